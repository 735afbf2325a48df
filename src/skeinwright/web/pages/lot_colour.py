"""How a lot came out: its measured colour against the one that was wanted, with what to add to that skein and the recipe for the next."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.colour.eye import difference_sentence
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound
from skeinwright.core.foundations.quantities import say
from skeinwright.services.correct_lot import CorrectLot, correct_lot, kept_colour, wanted_colour
from skeinwright.services.find_lot_colour import find_lot_colour
from skeinwright.services.forecast_recipe import forecast_recipe
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.get_lot import get_lot
from skeinwright.services.get_settings import get_settings
from skeinwright.services.show_under_lamps import show_under_lamps
from skeinwright.web.page import render, studio_of
from skeinwright.web.recipe_form import Where, address, problem_of
from skeinwright.web.recipe_view import card_of, dose_words, hex_of


def show(request: Request) -> Response:
    """The form, and the correction where a measured colour was said or a dry skein of the lot was measured."""
    studio, query = studio_of(request), request.query_params
    view = get_lot(studio, str(request.path_params["code"]))
    row = int(query.get("row", "0")) if query.get("row", "0").isdigit() else 0
    picked = query.get("picked", "") or (query.get("measured", "") if query.get("how") == "photo" else "")
    context: dict[str, Any] = {
        "code": view.lot.code,
        "rows": [(str(one.number), f"{one.base}, {one.vessel}") for one in view.lot.rows],
        "row": row,
        "measured": query.get("measured", ""),
        "state": "wet" if query.get("state") == "wet" else "dry",
        "picked": picked,
        "kept": None,
        "target": query.get("target", ""),
        "photos": [entry.photo for entry in view.state.photos if entry.photo is not None],
        "then": address(request.url.path, {"row": str(row or ""), "target": query.get("target", "")}),
        "wrong": {},
        "made": None,
        "dyed": None,
    }
    try:
        dyed = find_lot_colour(studio, view.lot.code, row)
        context |= {"dyed": dyed, "went_in": dose_words(dyed.doses), "kept": kept_colour(studio, dyed)}
        context["target"] = context["target"] or wanted_colour(studio, dyed)
        if "measured" not in query and context["kept"] is not None:
            context["measured"] = context["kept"].text
        if context["measured"]:
            asked = CorrectLot(lot=dyed.lot, row=row, measured=context["measured"], target=context["target"], state=context["state"], picked=context["picked"])
            context |= _corrected(request, asked)
    except (BadInput, ManyBadInputs, NotFound) as error:
        return render(request, "recipes/lot_colour.html", context | {"wrong": problem_of(error)}, status=422)
    return render(request, "recipes/lot_colour.html", context)


def _corrected(request: Request, asked: CorrectLot) -> dict[str, Any]:
    studio = studio_of(request)
    facts, currency = gather_dyes(studio), get_settings(studio).currency
    corrected = correct_lot(studio, asked)
    dyed, correction = corrected.dyed, corrected.found.correction
    (daylight, *_) = show_under_lamps([corrected.wanted.spectrum, corrected.spectrum])
    made: dict[str, Any] = {
        "target_hex": hex_of(daylight.colours[0]),
        "measured_hex": hex_of(daylight.colours[1]),
        "apart": difference_sentence(correction.trial_de00),
        "de00": f"{correction.trial_de00:.1f}",
        "strengths": [f"{name} acted {_times(value)}" for name, value in correction.strengths.items()],
        "notes": (*corrected.notes, *correction.notes),
        "assumed": [*corrected.found.assumed, *corrected.assumed],
        "top_up": None,
        "top_up_note": "",
        "recipe_note": "",
        "recipe": None,
        "where": Where(dyed.base, "", f"{dyed.fibre_g:g} g"),
    }
    spreads = {"top_up": correction.top_up_spread_de00, "recipe": correction.recipe_spread_de00}
    left = {"top_up": corrected.found.left_after_adding, "recipe": corrected.found.left_after}
    for key, doses in (("top_up", correction.top_up), ("recipe", correction.recipe)):
        if doses:
            try:
                one = forecast_recipe(facts, doses, dyed.ground, fibre_g=dyed.fibre_g, seed=studio.seed, uptake=dyed.uptake)
            except BadInput as problem:
                made[f"{key}_note"] = problem.sentence
                continue
            rounded = left[key](one.match.doses)
            made |= {f"{key}_left": f"{rounded:.1f}", f"{key}_sentence": difference_sentence(rounded), f"{key}_sure": f"{spreads[key] or 0.0:.1f}"}
            made[key] = card_of(one, facts, fibre_g=dyed.fibre_g, currency=currency)
    return {"made": made, "fibre": say("mass", dyed.fibre_g)}


def _times(factor: float) -> str:
    """A factor in words: "8 % more than expected"."""
    off = round(100 * (factor - 1))
    return "as expected" if off == 0 else f"{abs(off)} % {'more' if off > 0 else 'less'} than expected"
