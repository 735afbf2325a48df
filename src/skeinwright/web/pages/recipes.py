"""Target to recipe: the colour that is wanted as a square, and the three recipes that touch it; kept as a colourway, or tried first."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.forecast.dye_facts import DyeFacts, fibre_g_of
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound
from skeinwright.core.shelf.swatch import READING_SD, Reading
from skeinwright.services.find_target import Target, TargetWanted, find_target
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.get_settings import get_settings
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.keep_recipe import KeepRecipe, keep_recipe
from skeinwright.services.match_target import MatchesFound, MatchRequest, match_target, recipe_sentence
from skeinwright.services.pick_in_photo import RADIUS_SHARE
from skeinwright.services.start_trial import start_trial
from skeinwright.web.act import text, upload
from skeinwright.web.notes import Note, note_of
from skeinwright.web.once import key_of
from skeinwright.web.page import back, go, render, studio_of
from skeinwright.web.picking import picked
from skeinwright.web.recipe_form import Choices, Where, address, choices_of, doses_in, ground_of, problem_of, said_in, tools, where_in
from skeinwright.web.recipe_view import cards_of, money, squares_of

MOST_DYES = ("1", "2", "3", "4")
WAYS = {"typed": "Type it", "photo": "Pick it in a photo", "colourway": "Like a colourway", "lot": "Like a lot"}
TRIAL = "10 g"


def show(request: Request) -> Response:
    """The form, and under it what was found where a target was said."""
    studio, query = studio_of(request), request.query_params
    choices = choices_of(studio)
    where = where_in(query, choices)
    way = query.get("by", "typed") if query.get("by", "typed") in WAYS else "typed"
    asked = {
        "by": way,
        "target": query.get("target", ""),
        "colourway": query.get("colourway", ""),
        "of": query.get("of", ""),
        "lot": query.get("lot", ""),
        "most": query.get("most", "3") if query.get("most", "3") in MOST_DYES else "3",
        "deepest": query.get("deepest", "4 %"),
        "without": query.getlist("without"),
    }
    context: dict[str, Any] = {
        "tools": tools(request),
        "choices": choices,
        "where": where,
        "asked": asked,
        "ways": WAYS,
        "most_dyes": MOST_DYES,
        "then": address(request.url.path, {**where.said, "by": "typed"}),
        "found": None,
        "wrong": {},
        "trial": TRIAL,
    }
    said = way != "photo" and any(asked[key] for key in ("target", "colourway", "lot"))
    if not said and "most" not in query:  # "most" comes with the form alone: it was sent, with or without a colour
        return render(request, "recipes/target.html", context)
    try:
        if way == "photo":
            raise BadInput("Choose a photo and press Open the photo: the colour is then pointed at in it.", where="photo")
        context |= _found(request, choices, where, asked)
    except (BadInput, ManyBadInputs, NotFound) as error:
        return render(request, "recipes/target.html", context | {"wrong": problem_of(error)}, status=422)
    return render(request, "recipes/target.html", context)


def _found(request: Request, choices: Choices, where: Where, asked: dict[str, Any]) -> dict[str, Any]:
    studio = studio_of(request)
    ground = ground_of(request, where)
    colourway = asked["colourway"]
    wanted = TargetWanted(
        way=asked["by"], text=asked["target"], colourway=int(colourway) if colourway.isdigit() else colourway, base=asked["of"], lot=asked["lot"]
    )
    target = find_target(studio, wanted)
    fibre_g = fibre_g_of(where.fibre) or 100.0
    facts, currency = choices.facts, get_settings(studio).currency
    found = match_target(
        facts,
        MatchRequest(
            target="" if target.is_known else target.text,
            target_spectrum=target.pairs if target.is_known else (),
            ground=ground.ground,
            max_dyes=int(asked["most"]),
            without=asked["without"],
            deepest=asked["deepest"],
            limits=in_the_jars(facts, fibre_g),
            fibre=where.fibre,
            liquor=where.liquor,
            yarn=ground.base,
            seed=studio.seed,
        ),
    )
    return {
        "target": target,
        "found": found,
        "cards": cards_of(found, facts, fibre_g=fibre_g, fibre=where.fibre, currency=currency),
        "lights": squares_of(target, found),
        "rows": _rows(found, fibre_g, currency),
        "says": _says(target, found, where),
        "assumed": list(dict.fromkeys(found.assumed)),
    }


def in_the_jars(facts: DyeFacts, fibre_g: float) -> dict[str, float]:
    """The deepest that each jar still gives on this much fibre, of those whose weight is known."""
    return {dye.name: dye.on_hand_g * dye.strength / fibre_g for dye in facts.known if dye.on_hand_g is not None}


def _says(target: Target, found: MatchesFound, where: Where) -> list[str]:
    said = [*target.warnings, *found.warnings]
    if where.over:
        said.append(f"Over lot {where.over} dye can only go deeper: what is lighter or clearer than the ground cannot be reached.")
    if not target.is_known:
        said.append("Under a lamp the target is drawn with the smoothest spectrum that has its colour: a guess.")
    if found.cheapest is None:
        said.append("Which one is cheapest is not known: a jar's price and weight are missing on the shelf.")
    return list(dict.fromkeys(said))


def _rows(found: MatchesFound, fibre_g: float, currency: str) -> list[dict[str, str]]:
    rows = []
    for recipe in found.recipes:
        match = recipe.match
        rows.append(
            {
                "doses": recipe_sentence(recipe),
                "de00": f"{match.de00:.1f}",
                "spread": "" if recipe.forecast.spread_de00 is None else f"± {recipe.forecast.spread_de00:.1f}",
                "moves": f"{match.robustness:.1f}",
                "light": f"{match.light:.1f}",
                "cost": money(None if match.cost_minor is None else match.cost_minor * fibre_g / 100, currency),
            }
        )
    return rows


def keep(request: Request, form: FormData) -> Response:
    """Keeps a recipe as a colourway and opens it."""
    kept, change = keep_recipe(studio_of(request), _recipe(request, form))
    return go(request, str(request.app.url_path_for("colourway", id=kept.id)), note_of(change))


def trial(request: Request, form: FormData) -> Response:
    """Keeps it for a small skein, starts the lot, and opens its sheet."""
    studio, typed = studio_of(request), text(form, "trial") or TRIAL
    try:
        lot = start_trial(studio, _recipe(request, form), trial=typed, key=key_of(form))
    except (BadInput, ManyBadInputs) as error:
        return _asked_again(request, form, typed, error)
    return go(request, str(request.app.url_path_for("lot", code=lot.code)))


def _asked_again(request: Request, form: FormData, typed: str, error: BadInput | ManyBadInputs) -> Response:
    """The recipe and the weight as they were sent, with what is wrong beside it."""
    doses = doses_in(form)
    wrong = problem_of(error) if isinstance(error, BadInput) else {"": " ".join(one.sentence for one in error.problems)}
    context = {
        "where": Where(**said_in(form)),
        "doses": doses,
        "said": [dose.replace("=", " ") for dose in doses],
        "name": text(form, "name"),
        "target": text(form, "target"),
        "trial": typed,
        "wrong": wrong,
        "then": back(request.headers.get("referer", ""), "/recipes"),
    }
    return render(request, "recipes/trial.html", context, status=422)


def _recipe(request: Request, form: FormData) -> KeepRecipe:
    facts = gather_dyes(studio_of(request))
    where = said_in(form)
    return KeepRecipe(
        name=text(form, "name"),
        doses=facts.depths(doses_in(form)),
        fibre=where["fibre"] or "100 g",
        base=where["base"],
        over=where["over"],
        liquor=where["liquor"],
        target=text(form, "target"),
    )


def photo(request: Request, form: FormData) -> Response:
    """Keeps the photo and goes on to picking in it."""
    name, data = upload(form, "photo", what="a photo")
    kept = keep_photo(studio_of(request), data, name)
    place = str(request.app.url_path_for("recipes_in_photo", photo=kept.fact.id))
    place = address(place, {"then": _then(text(form, "then")), "into": _into(text(form, "into"))})
    return go(request, place, Note(" ".join(kept.notes)) if kept.notes else None)


def in_photo(request: Request) -> Response:
    """Picks a white spot and then the place whose colour is wanted; the colour goes back to the page that asked."""
    number, query = int(request.path_params["photo"]), request.query_params
    found = picked(studio_of(request), number, query)
    then, into = _then(query.get("then", "")), _into(query.get("into", ""))
    joint = "&" if "?" in then else "?"
    context = {
        "photo": number,
        "picked": found,
        "then": then,
        "into": into,
        "radius_share": RADIUS_SHARE,
        "sd": READING_SD[Reading.PHOTO],
        "use": f"{then}{joint}{address('', {into: found.said, 'picked': found.said})[1:]}" if found.read else "",
    }
    return render(request, "recipes/picked.html" if request.headers.get("hx-request") else "recipes/photo.html", context)


def _then(said: str) -> str:
    return back(said, "/recipes?by=typed")


def _into(said: str) -> str:
    return said if said in ("target", "measured") else "target"
