"""Which cautions belong to which step, and what is refused: the steps are walked in order, minding what is hot and what is in the liquor.

Thresholds are assumed and on the careful side: a pan counts as hot from 45 C (hands) and as steaming from 50 C (powder, vinegar); wet yarn weighs 3.5 times
its dry weight when it is lifted out; more than 5 kg wet is a heavy lift.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Literal, TypeVar

from skeinwright.core.colourway.colourway import Step
from skeinwright.core.colourway.meaning import parse_mix, parse_recipe
from skeinwright.core.colourway.timing import COOLED_C, COOLING_C_MIN, START_C
from skeinwright.core.colourway.words import WORDS
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.shelf.items import Acid, Blend, Dye, Solution

T = TypeVar("T")

HANDS_C = 45.0
STEAMING_C = 50.0
WET_FACTOR = 3.5
HEAVY_WET_G = 5000.0
STRONG_ACID = 0.25
_BY_HAND = ("rinse", "squeeze", "spin", "hang", "lay in", "tie off")
"""Steps in which hands meet the yarn, beside those that the table of words calls hot."""
_AFTER_POWDER = ("heat", "steam", "hold", "lid on", "turn")
"""Steps before which the jars are shut and the worktop is wiped."""

AcidKind = Literal["vinegar", "citric", "ammonium sulphate", "sulphuric", "not known"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Jars:
    """What is known of the things that the steps name; a name that is not here is judged by its words alone."""

    dyes: Mapping[str, Dye] = field(default_factory=lambda: MappingProxyType({}))
    solutions: Mapping[str, Solution] = field(default_factory=lambda: MappingProxyType({}))
    blends: Mapping[str, Blend] = field(default_factory=lambda: MappingProxyType({}))
    acids: Mapping[str, Acid] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Load:
    """One vessel of the lot: its name, what it is made of, and the dry fibre in it."""

    vessel: str
    material: str
    fibre_g: float

    @property
    def wet_g(self) -> float:
        """Weight lifted out: 3.5 * fibre_g [assumed]."""
        return WET_FACTOR * self.fibre_g


@dataclass(frozen=True, slots=True)
class Conflict:
    """What must not be done (`refused`) or only with care (`warned`), at step `step` (0-based)."""

    level: Literal["refused", "warned"]
    step: int
    sentence: str


@dataclass(frozen=True, slots=True)
class StepSafety:
    """Keys of the cautions of one step: those for every vessel, and (vessel, key) for one."""

    cautions: tuple[str, ...]
    cautions_in: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class _Pan:
    """What the walk knows before a step."""

    temp_c: float = 20.0
    acids: frozenset[AcidKind] = frozenset()
    soda: bool = False
    remover: bool = False
    yarn_in: bool = False
    powder_open: bool = False
    said: frozenset[str] = frozenset()

    @property
    def steaming(self) -> bool:
        return self.temp_c >= STEAMING_C


def _named(things: Mapping[str, T], name: str) -> T | None:
    """The thing of this name, in any case."""
    key = name.strip().casefold()
    return next((thing for other, thing in things.items() if other.casefold() == key), None)


def acid_kind(name: str, acids: Mapping[str, Acid]) -> AcidKind:
    """What kind of acid a name means: from the shelf, else from its words ("vinegar 5 %", "citric")."""
    kept = _named(acids, name)
    if kept is not None:
        kind: AcidKind = kept.acid  # type: ignore[assignment]
        return kind
    words = name.casefold()
    for sign, kind in (
        ("sulphuric", "sulphuric"),
        ("sulfuric", "sulphuric"),
        ("vinegar", "vinegar"),
        ("acetic", "vinegar"),
        ("citric", "citric"),
        ("ammoni", "ammonium sulphate"),
    ):
        if sign in words:
            return kind
    return "not known"


def acid_strength(name: str, acids: Mapping[str, Acid]) -> float | None:
    """The strength as a fraction: from the shelf, else from a per cent in the name; None where neither says it."""
    kept = _named(acids, name)
    if kept is not None:
        return kept.strength
    found = re.search(r"(\d+(?:[.,]\d+)?)\s*%", name)
    return float(found.group(1).replace(",", ".")) / 100 if found else None


def for_steps(steps: Sequence[Step], jars: Jars, loads: Sequence[Load] = ()) -> tuple[tuple[StepSafety, ...], tuple[Conflict, ...]]:
    """The cautions of every step, in order, and all conflicts. Common practice unless a caution names its source."""
    pan = _Pan()
    metal = tuple(dict.fromkeys(dye.name for step in steps for dye in _dyes_in(step, jars) if dye.is_metal_complex))
    safeties: list[StepSafety] = []
    conflicts: list[Conflict] = list(_bleach(steps, jars))
    for number, step in enumerate(steps):
        conflicts += [Conflict(level, number, sentence) for level, sentence in _conflicts(step, pan, jars, metal)]
        conflicts += [
            Conflict("warned", number, f"{load.vessel} is aluminium and citric acid pits it: use stainless steel, enamel or glass.")
            for load in loads
            if _pits(step, load, jars)
        ]
        keys = tuple(dict.fromkeys(_keys(step, pan, jars, last=number == len(steps) - 1)))
        vessels = tuple(dict.fromkeys(_keys_in(step, pan, jars, loads)))
        safeties.append(StepSafety(keys, vessels))
        pan = replace(_after(step, pan, jars), said=pan.said | set(keys) | {key for _, key in vessels})
    return tuple(safeties), tuple(conflicts)


def _temp_c(text: str, otherwise: float) -> float:
    try:
        return parse("temperature", text).value if text.strip() else otherwise
    except BadInput:
        return max(otherwise, 100.0)


def _cooled_c(step: Step, temp_c: float) -> float:
    """Where a cooling step leads: to what it says, else down at 0.5 C/min for its time, else to 40 C [assumed]; a time that cannot be read cools nothing."""
    if step.get("to").strip():
        return min(temp_c, _temp_c(step.get("to"), temp_c))
    if not step.get("time").strip():
        return min(temp_c, COOLED_C)
    try:
        return max(min(temp_c, START_C), temp_c - COOLING_C_MIN * parse("time", step.get("time")).value / 60)
    except BadInput:
        return temp_c


def _acids_in(step: Step, jars: Jars) -> tuple[AcidKind, ...]:
    """Acids that a step brings: an acid, a solution with acid in it, a dry blend with citric."""
    found: list[AcidKind] = []
    if step.get("acid"):
        found.append(acid_kind(step.get("acid"), jars.acids))
    solution = _named(jars.solutions, step.get("solution"))
    if solution is not None and solution.acid:
        found.append(acid_kind(solution.acid, jars.acids))
    blend = _named(jars.blends, step.get("blend"))
    if blend is not None and any("citric" in name.casefold() for name, _ in blend.parts):
        found.append("citric")
    return tuple(found)


def _names_in(step: Step) -> tuple[str, ...]:
    """The dyes or solutions that a step names, a recipe's and a loose blend's included."""
    names = [step.get("dye"), step.get("solution")]
    try:
        if step.get("recipe"):
            names += parse_recipe(step.get("recipe"), has_total=bool(step.get("depth") or step.get("amount"))).names
        if step.get("blend"):
            names += [name for name, _ in parse_mix(step.get("blend")).parts]
    except BadInput:
        pass  # a recipe that cannot be read is refused by the plan; here it counts as powder
    return tuple(name for name in dict.fromkeys(names) if name)


def _dyes_in(step: Step, jars: Jars) -> tuple[Dye, ...]:
    names: list[str] = []
    for name in _names_in(step):
        solution = _named(jars.solutions, name)
        names += [name] if solution is None else [part for part, _ in solution.parts]
    blend = _named(jars.blends, step.get("blend"))
    names += [name for name, _ in blend.parts] if blend is not None else []
    found = (_named(jars.dyes, name) for name in dict.fromkeys(names))
    return tuple(dye for dye in found if dye is not None)


def _opens_powder(step: Step, jars: Jars) -> bool:
    """Sprinkling always; adding dye unless all that it names are solutions on the shelf."""
    if step.do == "add dye" and not step.get("solution"):
        names = _names_in(step)
        return not names or any(_named(jars.solutions, name) is None for name in names)
    word = WORDS.get(step.do)
    return word is not None and word.powder


def _names_bleach(step: Step, jars: Jars) -> bool:
    texts = [step.get(key) for key in ("what", "acid", "text")]
    return any(re.search(r"\b(bleach|hypochlorite|chlorine)", text, re.IGNORECASE) for text in texts)


def _bleach(steps: Sequence[Step], jars: Jars) -> Iterable[Conflict]:
    """Bleach anywhere in a lot that has acid or ammonium anywhere: refused at whichever comes second."""
    bleach = [number for number, step in enumerate(steps) if step.do != "note" and _names_bleach(step, jars)]
    acid = [number for number, step in enumerate(steps) if _acids_in(step, jars)]
    for second in sorted({max(one, other) for one in bleach for other in acid}):
        yield Conflict("refused", second, "Bleach and acid are never in one lot: they give off chlorine. Leave the bleach out.")


def _conflicts(step: Step, pan: _Pan, jars: Jars, metal: tuple[str, ...]) -> Iterable[tuple[Literal["refused", "warned"], str]]:
    acids = set(_acids_in(step, jars))
    if "sulphuric" in acids:
        yield "refused", "Recipes with sulphuric acid are not offered: use vinegar, citric or ammonium sulphate."
    if step.do == "sprinkle" and pan.steaming:
        if "vinegar" in pan.acids:
            yield (
                "refused",
                "Powder over hot vinegar is not offered: a particle filter does not stop the vapour. "
                "Let it cool first, use citric, or add the vinegar after the powder is shut.",
            )
        else:
            yield "warned", "Not over a simmering pan: turn the heat off and let the steam settle, or take the pan off the burner, before you open the powder."
    if (step.do == "add soda" and "ammonium sulphate" in pan.acids) or ("ammonium sulphate" in acids and pan.soda):
        yield "refused", "Soda and ammonium liquor are never mixed: they give off ammonia. Rinse between them."
    if (step.do == "remove colour" and pan.acids) or (acids and pan.remover):
        yield "refused", "Colour remover and acid are never mixed: they give off sulphur dioxide. Rinse between them."
    strong = re.search(r"to pH\s*([\d.,]+)", step.get("amount"), re.IGNORECASE)
    if step.do == "add acid" and strong and metal and float(strong.group(1).rstrip(".,").replace(",", ".")) < 3:
        yield "refused", f"Strong-acid recipes for metal-complex dyes ({', '.join(metal)}) are not offered: stay at pH 4 or above."


def _pits(step: Step, load: Load, jars: Jars) -> bool:
    return load.material == "aluminium" and "citric" in _acids_in(step, jars)


def _keys(step: Step, pan: _Pan, jars: Jars, *, last: bool) -> Iterable[str]:
    """The cautions of one step; what has been said once is said again only where the risk is new (open powder, steam)."""

    def once(*keys: str) -> Iterable[str]:
        return (key for key in keys if key not in pan.said)

    word = WORDS.get(step.do)
    acids = _acids_in(step, jars)
    heating = step.do in ("heat", "steam") or (step.do == "hold" and bool(step.get("to")))
    to_c = 100.0 if step.do == "steam" else _temp_c(step.get("to"), pan.temp_c) if heating else pan.temp_c
    if _opens_powder(step, jars):
        yield "powder"
        yield "powder draught"
        if pan.temp_c >= HANDS_C:
            yield "powder heat"
        yield from once("powder transfer", "dye dust")
    elif pan.powder_open and step.do in _AFTER_POWDER:
        yield "powder after"
    if any(dye.is_metal_complex for dye in _dyes_in(step, jars)):
        yield from once("metal complex")
    if acids:
        yield from once("no bleach")
    if "citric" in acids:
        yield from once("citric dust")
    if "vinegar" in acids and (acid_strength(step.get("acid"), jars.acids) or 0) > STRONG_ACID:
        yield "acid strong"
    if "ammonium sulphate" in acids:
        yield from once("ammonium soda")
    if "vinegar" in (set(acids) | pan.acids) and max(to_c, pan.temp_c) >= STEAMING_C:
        yield from once("vinegar hot", "acetic limit", "acetic short")
    if heating and to_c >= HANDS_C:
        yield from once("stay", "flame indoors")
    if step.do in ("lid off", "steam"):
        yield "lid"
    by_hand = step.do in _BY_HAND or (word is not None and word.hot and not heating and step.do not in ("hold", "lid off"))
    if by_hand and pan.temp_c >= HANDS_C:
        yield from once("scald")
    if step.do == "remove colour":
        yield "remover"
    if step.do in ("pour off", "rinse"):
        yield from once("drain", "drain ph", "drain hazardous")
    if last and "stay" in pan.said:
        yield "day end"


def _keys_in(step: Step, pan: _Pan, jars: Jars, loads: Sequence[Load]) -> Iterable[tuple[str, str]]:
    lifts = pan.yarn_in and step.do in ("squeeze", "move", "rinse", "spin", "hang", "turn")
    for load in loads:
        if _pits(step, load, jars):
            yield load.vessel, "citric aluminium"
        if lifts and load.wet_g > HEAVY_WET_G and "lift" not in pan.said:
            yield load.vessel, "lift"


def _after(step: Step, pan: _Pan, jars: Jars) -> _Pan:
    """What the pan is like after a step: a rinse or a fresh fill ends what was in the liquor."""
    now = replace(pan, acids=pan.acids | set(_acids_in(step, jars)))
    match step.do:
        case "heat" | "hold":
            now = replace(now, temp_c=_temp_c(step.get("to"), pan.temp_c))
        case "steam":
            now = replace(now, temp_c=100.0)
        case "cool":
            now = replace(now, temp_c=_cooled_c(step, pan.temp_c))
        case "rinse" | "fill":
            now = replace(now, temp_c=20.0, acids=frozenset(), soda=False, remover=False)
        case "add soda":
            now = replace(now, soda=True)
        case "remove colour":
            now = replace(now, remover=True)
        case "lay in":
            now = replace(now, yarn_in=True)
        case _:
            pass
    powder_open = _opens_powder(step, jars) or (pan.powder_open and step.do not in _AFTER_POWDER)
    return replace(now, powder_open=powder_open)
