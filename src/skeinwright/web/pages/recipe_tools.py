"""What a shelf can reach, a mixing triangle, use it up: colours to choose from, each a tap away from its recipe."""

from __future__ import annotations

from collections.abc import Mapping
from math import atan2, degrees, hypot
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.colour.eye import spread_in_words
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound
from skeinwright.core.foundations.quantities import parse, parse_fibre, say
from skeinwright.services.find_base_ground import BaseGround
from skeinwright.services.forecast_chips import forecast_chips
from skeinwright.services.forecast_recipe import forecast_recipe
from skeinwright.services.get_settings import get_settings
from skeinwright.services.mixing_triangle import corner_depths, mixing_triangle, parts_at, said_depths
from skeinwright.services.print_triangle import Poster, print_triangle
from skeinwright.services.reach_of_shelf import Chip, reach_of_shelf
from skeinwright.services.say_bath import say_bath
from skeinwright.services.use_up import NEARLY_GONE_G, use_up
from skeinwright.web.page import render, studio_of
from skeinwright.web.recipe_form import Choices, Where, address, choices_of, doses_in, ground_of, problem_of, said_doses_of, tools, where_in
from skeinwright.web.recipe_view import card_of, chip_url, dose_words, ends_of, hex_of, picture_url

HUES = ("greys", "pink", "red", "orange", "yellow", "leaf", "green", "sea green", "turquoise", "sky", "blue", "violet", "purple")
"""The columns of the map: what has hardly any hue, then twelve sectors of 30 degrees of CIELAB hue, from 345 degrees."""
BANDS = (85, 75, 65, 55, 45, 35, 25, 0)
"""The lower ends of the rows, in L*."""
GREY_BELOW = 9.0
LEVELS = (0.0003, 0.001, 0.003, 0.008, 0.02)
"""Total depths of the chips, from a hint to deep."""
STRENGTHS = {"clear": "as clear as they go", "muted": "muted", "dull": "dull"}
MOST_POTS = 12
STEPS = ("2", "3", "4", "5", "6")


def reach(request: Request) -> Response:
    """Chips of rendered yarn, hue across and pale to deep down; a tapped one with its recipe."""
    query = request.query_params
    context = _begin(request)
    kind = query.get("kind", "clear") if query.get("kind", "clear") in STRENGTHS else "clear"
    context |= {"kinds": STRENGTHS, "kind": kind, "hues": HUES, "rows": [], "one": None}
    try:
        where, ground = context["where"], ground_of(request, context["where"])
        parse_fibre(where.fibre, skein_g=ground.base.skein_g, where="fibre")
        facts = context["choices"].facts
        chips = reach_of_shelf(facts, ground.ground, levels=LEVELS, liquor=where.liquor, yarn=ground.base)
        context["bath"] = say_bath(facts, where.liquor, ground.base)
        doses = doses_in(query)
        rows = _map(chips, kind)
        context["rows"] = [[_cell(chip, ground, where, kind, doses) if chip else None for chip in row] for row in rows]
        context["count"] = len(chips)
        if doses:
            context["one"] = _one(request, context["choices"], where, ground, doses)
    except (BadInput, ManyBadInputs, NotFound) as error:
        return render(request, "recipes/reach.html", context | {"wrong": problem_of(error)}, status=422)
    return render(request, "recipes/one.html" if request.headers.get("hx-request") and doses else "recipes/reach.html", context)


def triangle(request: Request) -> Response:
    """Every mixture of three dyes at the depths of its corners, with its parts; printed as a poster."""
    query = request.query_params
    context = _begin(request)
    choices: Choices = context["choices"]
    names = [query.get(key, "") or (choices.dyes[place] if place < len(choices.dyes) else "") for place, key in enumerate(("a", "b", "c"))]
    steps = query.get("steps", "4") if query.get("steps", "4") in STEPS else "4"
    depth = query.get("depth", "1 %")
    context |= {"corners": names, "steps": steps, "all_steps": STEPS, "depth": depth, "cells": [], "one": None}
    try:
        if len(choices.dyes) < 3:
            raise BadInput("A mixing triangle needs three dyes with a swatch each.", where="dyes")
        ground = ground_of(request, context["where"])
        parse_fibre(context["where"].fibre, skein_g=ground.base.skein_g, where="fibre")
        depths = corner_depths(depth)
        liquor = context["where"].liquor
        rows = mixing_triangle(choices.facts, names, depths, ground.ground, steps=int(steps), liquor=liquor, yarn=ground.base)
        context["bath"] = say_bath(choices.facts, liquor, ground.base, dict(zip(names, depths, strict=True)))
        sure = forecast_chips(
            choices.facts, ground.ground, [chip for row in rows for chip in row], liquor=liquor, yarn=ground.base, seed=studio_of(request).seed
        )
        context["sure"] = f"{min(sure):.1f} to {max(sure):.1f}"
        context["at"] = said_depths(depths)
        here = {"a": names[0], "b": names[1], "c": names[2], "depth": depth, "steps": steps}
        context["cells"] = _cells(rows, int(steps), context["where"], here)
        context["poster"] = address("/recipes/triangle.pdf", {**context["where"].said, **here})
        doses = doses_in(query)
        if doses:
            context["one"] = _one(request, choices, context["where"], ground, doses)
    except (BadInput, ManyBadInputs, NotFound) as error:
        return render(request, "recipes/triangle.html", context | {"wrong": problem_of(error)}, status=422)
    return render(request, "recipes/triangle.html", context)


def poster(request: Request) -> Response:
    """The triangle as a PDF to print, with the swatches that it rests on. What cannot be drawn is said on the page instead."""
    query = request.query_params
    choices = choices_of(studio_of(request))
    where = where_in(query, choices)
    try:
        ground = ground_of(request, where)
        names = [choices.facts.name(query.get(key, ""), where=key) for key in ("a", "b", "c")]
        steps = int(query.get("steps", "4")) if query.get("steps", "4") in STEPS else 4
        depths = corner_depths(query.get("depth", "1 %"))
        rows = mixing_triangle(choices.facts, names, depths, ground.ground, steps=steps, liquor=where.liquor, yarn=ground.base)
        by_name = {dye.name: dye for dye in choices.facts.known}
        corners, paper = [by_name[name] for name in names], query.get("paper", "a4")
        asked = Poster(dyes=corners, depths=depths, steps=steps, base=where.base, over=where.over, paper=paper, liquor=where.liquor)
        made = print_triangle(asked, rows)
    except (BadInput, ManyBadInputs, NotFound):
        return triangle(request)
    return Response(made, media_type="application/pdf", headers={"Content-Disposition": 'inline; filename="mixing-triangle.pdf"'})


def leftovers(request: Request) -> Response:
    """What can be dyed today from nearly empty jars and leftovers."""
    context = _begin(request)
    query = request.query_params
    gone = query.get("gone", "") or say("mass", NEARLY_GONE_G)
    context |= {"gone": gone, "pots": [], "left": [], "notes": ()}
    studio = studio_of(request)
    try:
        ground = ground_of(request, context["where"])
        fibre_g = parse_fibre(context["where"].fibre, skein_g=ground.base.skein_g, where="fibre").total_g
        gone_g = parse("mass", gone, where="gone").value
        liquor = context["where"].liquor
        found = use_up(studio, ground.ground, fibre_g=(fibre_g, 2 * fibre_g), nearly_gone_g=gone_g, liquor=liquor, yarn=ground.base)
        context["bath"] = found.bath
        context["left"] = [f"{say('mass', grams)} {name}" for name, grams in found.left_g.items()]
        context["notes"] = found.notes
        context["pots"] = [
            {
                "picture": picture_url(ground.look, pot.chip.srgb, size="small"),
                "fibre": say("mass", pot.fibre_g),
                "takes": [f"{say('mass', grams)} {name}" for name, grams in pot.takes_g.items()],
                "depths": dose_words(pot.chip.doses),
                "hex": hex_of(pot.chip.srgb),
                "sure": spread_in_words(pot.forecast.spread_de00 or 0.0),
                "ends": ends_of(pot.forecast),
                "notes": pot.forecast.notes,
                "doses": said_doses_of(pot.chip.doses),
                "name": f"Use up {' and '.join(pot.takes_g)}",
                "where": Where(context["where"].base, context["where"].over, say("mass", pot.fibre_g), liquor),
            }
            for pot in found.pots[:MOST_POTS]
        ]
        context["try_fibre"] = _fibre_for(found.left_g)
    except (BadInput, ManyBadInputs, NotFound) as error:
        return render(request, "recipes/use_up.html", context | {"wrong": problem_of(error)}, status=422)
    return render(request, "recipes/use_up.html", context)


def _fibre_for(left_g: Mapping[str, float]) -> str:
    """The least that is left, and on how much fibre it is a colour: "9.15 g Kelp would be 0.05 to 3 % deep on 305 g to 18.3 kg"."""
    from skeinwright.core.colour.use_up import DEEPEST, PALEST

    if not left_g:
        return ""
    name = min(left_g, key=lambda one: left_g[one])
    least, most = (say("mass", left_g[name] / depth, digits=3) for depth in (DEEPEST, PALEST))
    return f"{say('mass', left_g[name])} {name} would be {100 * PALEST:g} to {100 * DEEPEST:g} % deep on {least} to {most}"


def _begin(request: Request) -> dict[str, Any]:
    choices = choices_of(studio_of(request))
    return {"tools": tools(request), "choices": choices, "where": where_in(request.query_params, choices), "wrong": {}}


def _one(request: Request, choices: Choices, where: Where, ground: BaseGround, doses: list[str]) -> dict[str, Any]:
    """One recipe with its picture."""
    studio = studio_of(request)
    depths = choices.facts.depths(doses)
    fibre_g = parse_fibre(where.fibre, skein_g=ground.base.skein_g, where="fibre").total_g
    found = forecast_recipe(choices.facts, depths, ground.ground, fibre_g=fibre_g, seed=studio.seed, liquor=where.liquor, yarn=ground.base)
    card = card_of(found, choices.facts, fibre_g=fibre_g, currency=get_settings(studio).currency)
    return {"card": card, "picture": picture_url(ground.look, found.forecast.srgb or (214, 214, 214)), "said": dose_words(found.match.doses)}


def _map(chips: tuple[Chip, ...], kind: str) -> list[list[Chip | None]]:
    """One chip a cell: the clearest, or one about half or a quarter as clear. Rows that are empty are left out."""
    cells: dict[tuple[int, int], list[Chip]] = {}
    for chip in chips:
        cells.setdefault(_place(chip), []).append(chip)
    share = {"clear": 1.0, "muted": 0.55, "dull": 0.3}[kind]
    rows = []
    for band in range(len(BANDS)):
        row = [_chosen(cells.get((band, hue), []), share if hue else 1.0) for hue in range(len(HUES))]
        if any(row):
            rows.append(row)
    return rows


def _chosen(chips: list[Chip], share: float) -> Chip | None:
    if not chips:
        return None
    aim = share * max(_chroma(chip) for chip in chips)
    return min(chips, key=lambda chip: (abs(_chroma(chip) - aim), len(chip.doses)))


def _chroma(chip: Chip) -> float:
    return hypot(chip.lab.a, chip.lab.b)


def _place(chip: Chip) -> tuple[int, int]:
    band = next(number for number, low in enumerate(BANDS) if low <= chip.lab.L)
    hue = (degrees(atan2(chip.lab.b, chip.lab.a)) + 15) % 360
    return band, 0 if _chroma(chip) < GREY_BELOW else 1 + int(hue // 30)


def _cell(chip: Chip, ground: BaseGround, where: Where, kind: str, chosen: list[str]) -> dict[str, Any]:
    doses = said_doses_of(chip.doses)
    url = address("/recipes/reach", {**where.said, "kind": kind, "dose": doses})
    return {"picture": chip_url(ground.look, chip.srgb), "words": dose_words(chip.doses), "url": f"{url}#one", "asks": url, "here": doses == chosen}


def _cells(rows: tuple[tuple[Chip, ...], ...], steps: int, where: Where, here: dict[str, str]) -> list[dict[str, Any]]:
    """Where each mixture stands in a drawing that is 100 a cell wide, and its parts."""
    found = []
    for row, chips in enumerate(rows):
        for place, chip in enumerate(chips):
            parts = parts_at(steps, row, place)
            doses = said_doses_of(chip.doses)
            found.append(
                {
                    "x": 50 + 100 * place + 50 * (steps - row),
                    "y": 55 + 100 * row,
                    "hex": hex_of(chip.srgb),
                    "parts": " : ".join(str(part) for part in parts),
                    "words": dose_words(chip.doses),
                    "url": f"{address('/recipes/triangle', {**where.said, **here, 'dose': doses})}#one",
                    "edge": "bottom" if row == steps and 0 < place < steps else "",
                }
            )
    return found
