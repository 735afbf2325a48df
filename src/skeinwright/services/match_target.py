"""Find recipes for a target colour among known dyes (the command line's `match`, and the page)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from skeinwright.core.forecast.dye_facts import DyeFacts, deepest_of, lab_list, said_doses
from skeinwright.core.forecast.found_recipe import FoundRecipe
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import say
from skeinwright.core.shelf.lab_text import parse_lab, write_lab
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services._dosing import Dosing, liquor_scale
from skeinwright.services.say_bath import in_scale

if TYPE_CHECKING:
    from skeinwright.core.colour.match import Match, Matches
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.shelf.items import Base

SHOWN = 20
MOST_DYES = 4


@dataclass(frozen=True, kw_only=True, slots=True)
class MatchRequest:
    """A target as typed Lab, as hex, or as a spectrum of (nm, reflectance) pairs; the ground as typed Lab or a base's name, or `ground` itself for an overdye.

    `without` and `must` are dyes' names, `deepest` the most of any one dye ("4 %"), `limits` {dye: fraction} what there is of it. With `fibre` ("100 g")
    amounts are rounded to what can be weighed or pipetted and forecast again. `liquor` ("60:1") is the bath's liquor ratio where it is not the swatches', and
    `yarn` the base whose fibres take up from it (plain wool where none is said): the doses are then those for that bath.
    """

    target: str = ""
    target_hex: str = ""
    target_spectrum: Sequence[tuple[float, float]] = ()
    base_lab: str = ""
    base: str = ""
    ground: Ground | None = field(default=None, compare=False)
    max_dyes: int = 3
    must: Sequence[str] = ()
    without: Sequence[str] = ()
    deepest: str = ""
    limits: Mapping[str, float] = field(default_factory=dict)
    fibre: str = ""
    liquor: str = ""
    yarn: Base | None = field(default=None, compare=False)
    seed: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class MatchesFound:
    """At most 20 recipes, the nearest first, and the three to choose from (`cheapest` is None where a price is missing)."""

    reachable: bool
    target: Lab
    recipes: tuple[FoundRecipe, ...]
    nearest: FoundRecipe
    most_repeatable: FoundRecipe
    cheapest: FoundRecipe | None
    bath: str
    """In which bath the doses give these colours, in a sentence."""
    inputs: dict[str, Any]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        return {
            "reachable": self.reachable,
            "illuminant": self.target.illuminant,
            "observer": self.target.observer,
            "matches": [recipe.to_plain() for recipe in self.recipes],
            "nearest": self.nearest.to_plain(),
            "most_repeatable": self.most_repeatable.to_plain(),
            "cheapest": None if self.cheapest is None else self.cheapest.to_plain(),
            "inputs": self.inputs,
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def match_target(facts: DyeFacts, request: MatchRequest) -> MatchesFound:
    """Recipes for the target. Raises BadInput for a target, base or dye that cannot be read, and where no dye's colour is known."""
    import numpy as np

    from skeinwright.core.colour.match import Wanted, find_matches
    from skeinwright.core.colour.spectra import on_bands

    target = _target(request)
    ground, said = (request.ground, request.ground.name) if request.ground is not None else facts.ground(request.base_lab, request.base)
    names = _names(facts, request)
    must = tuple(facts.name(name, where="must") for name in request.must)
    dyes = facts.dye_set(ground, names)
    scale, deepest = liquor_scale(facts, request.liquor, request.yarn), deepest_of(request.deepest)
    wanted = Wanted(
        lab=target,
        spectrum=on_bands(request.target_spectrum) if request.target_spectrum else None,
        max_dyes=_most(request.max_dyes, must),
        must=must,
        limits=request.limits if scale is None else scale.counted({name: most for name, most in request.limits.items() if most < deepest}),
        deepest=deepest,
    )
    dosing = Dosing(facts, wanted, ground, fibre=request.fibre, scale=scale, seed=request.seed)
    solved = find_matches(dyes, wanted, prices=facts.prices(), rng=np.random.default_rng(request.seed))
    matches = dosing.as_dosed(solved)
    recipes = tuple(dosing.recipe(match) for match in matches.matches[:SHOWN])
    picked = {id(match): recipe for match, recipe in zip(matches.matches, recipes, strict=False)}

    def pick(match: Match) -> FoundRecipe:
        return picked.get(id(match)) or dosing.recipe(match)

    cheapest, nearest = matches.cheapest, pick(matches.nearest)
    bath = in_scale(scale, "" if scale is None else scale.said(nearest.match.doses), request.yarn)
    inputs: dict[str, Any] = {"target": _said(target), "base": said, "dyes": list(names), "max_dyes": request.max_dyes}
    return MatchesFound(
        reachable=solved.reachable,
        target=target,
        recipes=recipes,
        nearest=nearest,
        most_repeatable=pick(matches.most_repeatable),
        cheapest=None if cheapest is None else pick(cheapest),
        bath=bath,
        inputs=inputs if scale is None else inputs | {"liquor_ratio": scale.ratio},
        warnings=_warnings(solved, recipes[0]),
        assumed=(*facts.assumed, *recipes[0].forecast.assumed, bath),
    )


def _said(lab: Lab) -> str:
    L, a, b = lab_list(lab)
    return write_lab(replace(lab, L=L, a=a, b=b))


def _target(request: MatchRequest) -> Lab:
    from skeinwright.core.colour.spaces import hex_to_lab
    from skeinwright.core.colour.spectra import measured_lab

    given = [bool(request.target.strip()), bool(request.target_hex.strip()), bool(request.target_spectrum)]
    if sum(given) != 1:
        raise BadInput("Give the target once: as Lab ('40, 20, 10'), as hex, or as a spectrum.", where="target")
    if request.target_hex.strip():
        return hex_to_lab(request.target_hex)
    if request.target_spectrum:
        return measured_lab(request.target_spectrum)
    return parse_lab(request.target, where="target")


def _names(facts: DyeFacts, request: MatchRequest) -> tuple[str, ...]:
    left_out = {facts.name(name, where="without") for name in request.without}
    names = tuple(sorted(dye.name for dye in facts.known if dye.name not in left_out))
    if not names:
        raise BadInput("No dye is left that has a swatch: without one its colour is not known.", where="dyes")
    return names


def _most(max_dyes: int, must: Sequence[str]) -> int:
    if not 1 <= max_dyes <= MOST_DYES:
        raise BadInput(f"A recipe has 1 to {MOST_DYES} dyes.", where="max-dyes")
    if len(set(must)) > max_dyes:
        raise BadInput(f"{len(set(must))} dyes must be in the recipe, and it may have {max_dyes}.", where="must")
    return max_dyes


def _warnings(matches: Matches, first: FoundRecipe) -> tuple[str, ...]:
    from skeinwright.core.colour.eye import NOBODY_BELOW

    said = [f"{', '.join(coarse)} cannot be dosed finely: {way}, or dye more fibre." for coarse, way in _coarse(first)]
    if matches.reachable and first.match.de00 > NOBODY_BELOW:
        near = f"{first.match.de00:.1f}"
        said.append(f"It is within reach, but what can be weighed for this much fibre comes only within {near}. Use solutions, or dye more fibre.")
    return (*matches.notes, *said, *first.forecast.notes)


def _coarse(recipe: FoundRecipe) -> list[tuple[list[str], str]]:
    """What of a recipe is too little for a fine dose, powders and solutions apart, each with what helps."""
    powders = [f"{say('mass', dose.amount)} of {dose.dye}" for dose in recipe.amounts if dose.coarse and dose.unit == "g"]
    poured = [f"{say('volume', dose.amount)} of {dose.dye}" for dose in recipe.amounts if dose.coarse and dose.unit == "ml"]
    return [(found, way) for found, way in ((powders, "use a solution"), (poured, "use a weaker solution")) if found]


def recipe_sentence(recipe: FoundRecipe) -> str:
    """A recipe in words: "0.5 % Kelp, 0.2 % Ember"."""
    return said_doses(recipe.match.doses)
