"""How a lot came out: its measured colour against the one that was wanted, with what to add to that skein and the recipe for the next."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.colour.eye import difference_sentence
from skeinwright.core.colour.recover import recover
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound
from skeinwright.core.foundations.quantities import say
from skeinwright.core.measure.kept_reading import RADIUS_OVER_SD
from skeinwright.core.shelf.lab_text import write_lab
from skeinwright.core.shelf.swatch import READING_SD, Lab, Reading
from skeinwright.services.bring_to_light import bring_to_light
from skeinwright.services.correct_recipe import CorrectRequest, correct_recipe
from skeinwright.services.find_lot_colour import LotColour, find_lot_colour
from skeinwright.services.find_measured_colour import find_measured_colour
from skeinwright.services.find_target import TargetWanted, find_target
from skeinwright.services.forecast_recipe import forecast_recipe
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.get_lot import get_lot
from skeinwright.services.get_settings import get_settings
from skeinwright.services.keep_recipe import target_of
from skeinwright.services.see_wet import dried
from skeinwright.services.show_under_lamps import show_under_lamps
from skeinwright.services.studio import Studio
from skeinwright.web.page import render, studio_of
from skeinwright.web.recipe_form import Where, address, problem_of, said_doses_of
from skeinwright.web.recipe_view import card_of, dose_words, hex_of

WET = "wet"


def show(request: Request) -> Response:
    """The form, and the correction where a measured colour was said."""
    studio, query = studio_of(request), request.query_params
    view = get_lot(studio, str(request.path_params["code"]))
    row = int(query.get("row", "0")) if query.get("row", "0").isdigit() else 0
    photos = [entry.photo for entry in view.state.photos if entry.photo is not None]
    here = request.url.path
    context: dict[str, Any] = {
        "code": view.lot.code,
        "rows": [(str(one.number), f"{one.base}, {one.vessel}") for one in view.lot.rows],
        "row": row,
        "measured": query.get("measured", ""),
        "state": query.get("state", ""),
        "picked": query.get("picked", "") or (query.get("measured", "") if query.get("how") == "photo" else ""),
        "kept": None,
        "target": query.get("target", "") or target_of(view.lot.colourway),
        "photos": photos,
        "then": address(here, {"row": str(row or ""), "target": query.get("target", "")}),
        "wrong": {},
        "made": None,
        "dyed": None,
    }
    try:
        dyed = find_lot_colour(studio, view.lot.code, row)
        context["dyed"] = dyed
        context["went_in"] = dose_words(dyed.doses)
        context["target"] = context["target"] or _text(dyed)
        context["kept"] = kept = _kept(studio, dyed)
        context["measured"] = context["measured"] or (kept.text if kept is not None and "measured" not in query else "")
        if context["measured"]:
            context |= _corrected(request, dyed, context)
    except (BadInput, ManyBadInputs, NotFound) as error:
        return render(request, "recipes/lot_colour.html", context | {"wrong": problem_of(error)}, status=422)
    return render(request, "recipes/lot_colour.html", context)


def _text(dyed: LotColour) -> str:
    return _said(dyed.lab)


def _said(lab: Lab) -> str:
    return ", ".join(f"{value:.1f}" for value in lab.values)


@dataclass(frozen=True, slots=True)
class _Kept:
    """The lot's newest dry reading as text, when and in which photo it was read, and its standard deviation."""

    text: str
    day: str
    photo: int
    sd: float


def _kept(studio: Studio, dyed: LotColour) -> _Kept | None:
    found = find_measured_colour(studio, dyed.lot)
    if found is None or (found.reading.base and found.reading.base != dyed.base):
        return None
    lab = found.reading.lab
    text = write_lab(replace(lab, L=round(lab.L, 1), a=round(lab.a, 1), b=round(lab.b, 1)))
    return _Kept(text, f"{found.reading.made_at:%Y-%m-%d}", found.reading.photo, found.reading.sd)


def _read_as(said: dict[str, Any]) -> tuple[Reading, float | None]:
    """How the measured colour was read: a mark counts only for the very colour that it was made for."""
    text, kept = said["measured"].strip(), said["kept"]
    if kept is not None and text == kept.text:
        return Reading.SHEET, kept.sd
    if text == said["picked"].strip():
        return Reading.PHOTO, None
    return (Reading.HEX if text.startswith("#") else Reading.TYPED), None


def _corrected(request: Request, dyed: LotColour, said: dict[str, Any]) -> dict[str, Any]:
    studio = studio_of(request)
    facts = gather_dyes(studio)
    try:
        measured = find_target(studio, TargetWanted(text=said["measured"]))
    except BadInput as problem:
        raise BadInput(problem.sentence, where="measured") from problem
    wanted = find_target(studio, TargetWanted(text=said["target"]))
    (reading, sd) = _read_as(said)
    was_wet: tuple[str, ...] = ()
    lab, spectrum = measured.lab, measured.spectrum
    if said["state"] == WET:
        lab, off, rests_on = dried(studio, lab, dyed.base)
        spectrum = recover(lab).reflectance
        sd = float(np.hypot(sd or READING_SD[reading], off / RADIUS_OVER_SD))
        was_wet = (f"It was read wet; dry it will be near L, a, b {_said(lab)}, give or take {off:.1f} for the wetness alone. {rests_on}",)
    target, changed = bring_to_light(wanted.lab, like=lab)
    found = correct_recipe(
        facts,
        CorrectRequest(
            doses=said_doses_of(dyed.doses), target=target, measured=write_lab(lab), reading=reading, sd=sd, ground=dyed.ground, uptake=dyed.uptake
        ),
    )
    correction, currency = found.correction, get_settings(studio).currency
    (daylight, *_) = show_under_lamps([wanted.spectrum, spectrum])
    made: dict[str, Any] = {
        "target_hex": hex_of(daylight.colours[0]),
        "measured_hex": hex_of(daylight.colours[1]),
        "apart": difference_sentence(correction.trial_de00),
        "de00": f"{correction.trial_de00:.1f}",
        "strengths": [f"{name} acted {_times(value)}" for name, value in correction.strengths.items()],
        "notes": (*was_wet, *correction.notes),
        "assumed": [*found.assumed, *([changed] if changed else [])],
        "top_up": None,
        "top_up_note": "",
        "recipe_note": "",
        "top_up_left": f"{correction.top_up_de00:.1f}",
        "top_up_sentence": difference_sentence(correction.top_up_de00),
        "recipe": None,
        "recipe_sentence": difference_sentence(correction.recipe_de00),
        "recipe_left": f"{correction.recipe_de00:.1f}",
        "where": Where(dyed.base, "", f"{dyed.fibre_g:g} g"),
    }
    for key, doses in (("top_up", correction.top_up), ("recipe", correction.recipe)):
        if doses:
            try:
                one = forecast_recipe(facts, doses, dyed.ground, fibre_g=dyed.fibre_g, seed=studio.seed, uptake=dyed.uptake)
            except BadInput as problem:
                made[f"{key}_note"] = problem.sentence
                continue
            made[key] = card_of(one, facts, fibre_g=dyed.fibre_g, currency=currency)
    return {"made": made, "fibre": say("mass", dyed.fibre_g)}


def _times(factor: float) -> str:
    """A factor in words: "8 % more than expected"."""
    off = round(100 * (factor - 1))
    return "as expected" if off == 0 else f"{abs(off)} % {'more' if off > 0 else 'less'} than expected"
