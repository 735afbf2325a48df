"""A fade: skeins evenly spaced to the eye between two colourways, with their doses; kept as a set of colourways."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.colour.eye import difference_sentence, spread_in_words
from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, NotFound
from skeinwright.core.foundations.quantities import say
from skeinwright.services.find_recipe import Recipe, find_recipe
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.keep_fade import KeepFade, keep_fade
from skeinwright.services.make_fade import Fade, FadeRequest, FadeSkein, make_fade
from skeinwright.services.studio import Studio
from skeinwright.web.act import text
from skeinwright.web.notes import note_of_many
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.recipe_form import Where, choices_of, ground_of, problem_of, said_doses_of, said_in, tools, where_in
from skeinwright.web.recipe_view import Line, ends_of, hex_of, picture_url, solution_names

MOST = 12


def show(request: Request) -> Response:
    """The form, and the fade where both ends are said."""
    return _page(request, dict(request.query_params))


def keep(request: Request, form: FormData) -> Response:
    """Keeps the skeins as colourways and the set of them."""
    said = {key: text(form, key) for key in ("start", "end", "skeins", "name")} | said_in(form)
    studio = studio_of(request)
    try:
        where = where_in(said, choices_of(studio))
        fade = _fade(request, gather_dyes(studio), where, said)[2]
        kept, changes = keep_fade(
            studio,
            KeepFade(
                name=said["name"], skeins=[skein.doses for skein in fade.skeins], fibre=where.fibre, base=where.base, over=where.over, liquor=where.liquor
            ),
        )
    except (BadInput, ManyBadInputs, Conflict) as error:
        return _page(request, said, error)
    return go(request, str(request.app.url_path_for("set", id=kept.id)), note_of_many(changes, f"{kept.thing.name} was kept as {len(fade.skeins)} colourways."))


def _page(request: Request, said: dict[str, str], error: Exception | None = None) -> Response:
    studio = studio_of(request)
    choices = choices_of(studio)
    where = where_in(said, choices)
    wrong = {"name": error.sentence} if isinstance(error, Conflict) else problem_of(error)
    context: dict[str, Any] = {
        "tools": tools(request),
        "choices": choices,
        "where": where,
        "said": {"start": said.get("start", ""), "end": said.get("end", ""), "skeins": said.get("skeins", "") or "5", "name": said.get("name", "")},
        "counts": [(str(count), str(count)) for count in range(2, MOST + 1)],
        "skeins": [],
        "wrong": wrong,
    }
    if said.get("start") and said.get("end"):
        try:
            start, end, fade = _fade(request, choices.facts, where, said)
            ground = ground_of(request, where)
            context |= {
                "skeins": [_skein(number, skein, choices.facts, ground.look) for number, skein in enumerate(fade.skeins, start=1)],
                "warnings": fade.warnings,
                "steps": _steps(fade),
                "fade_name": said.get("name", "") or f"{start.name} to {end.name}",
                "assumed": [sentence for sentence in fade.assumed if sentence != fade.bath],
                "bath": fade.bath,
            }
        except (BadInput, ManyBadInputs, NotFound) as problem:
            context["wrong"] = wrong = problem_of(problem)
    return render(request, "recipes/fade.html", context, status=422 if wrong else 200)


def _end(studio: Studio, said: dict[str, str], key: str) -> Recipe:
    try:
        return find_recipe(studio, int(said[key]) if said[key].isdigit() else said[key], even_only=True)
    except BadInput as problem:
        raise BadInput(problem.sentence, where=key, text=said[key]) from problem


def _fade(request: Request, facts: DyeFacts, where: Where, said: dict[str, str]) -> tuple[Recipe, Recipe, Fade]:
    studio, ground = studio_of(request), ground_of(request, where)
    start, end = _end(studio, said, "start"), _end(studio, said, "end")
    skeins = said.get("skeins", "") or "5"
    fade = make_fade(
        facts,
        FadeRequest(
            start=said_doses_of(start.doses),
            end=said_doses_of(end.doses),
            skeins=int(skeins) if skeins.isdigit() else 0,
            ground=ground.ground,
            fibre=where.fibre,
            liquor=where.liquor,
            yarn=ground.base,
            seed=studio.seed,
        ),
    )
    return start, end, fade


def _steps(fade: Fade) -> str:
    """How the neighbours differ, in words and figures."""
    low, high = min(fade.steps_de00), max(fade.steps_de00)
    figures = f"{low:.1f}" if high - low < 0.05 else f"{low:.1f} to {high:.1f}"
    return f"From each skein to the next: {figures} (CIEDE2000). {difference_sentence(sum(fade.steps_de00) / len(fade.steps_de00))}"


def _skein(number: int, skein: FadeSkein, facts: DyeFacts, look: Any) -> dict[str, Any]:
    solutions = solution_names(facts)
    forecast = skein.forecast
    lines = [
        Line(
            say("mass" if dose.unit == "g" else "volume", dose.amount),
            dose.dye if dose.unit == "g" else solutions.get(dose.dye, dose.dye),
            say("fraction", skein.doses.get(dose.dye, 0.0)),
            dose.coarse,
        )
        for dose in skein.amounts
    ]
    srgb = forecast.srgb or (214, 214, 214)
    sure = "" if forecast.spread_de00 is None else spread_in_words(forecast.spread_de00)
    return {"number": number, "lines": lines, "hex": hex_of(srgb), "picture": picture_url(look, srgb, size="small"), "sure": sure, "ends": ends_of(forecast)}
