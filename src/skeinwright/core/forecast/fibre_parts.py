"""A yarn of several fibres, coloured part by part: wool and nylon that take up differently, and fibre that takes no acid dye at all.

    depth that counts in part i = dye on fibre i / u        u what the swatches' usual bath lays on the swatches' own fibre, once and never twice

and the parts are blended by Stearns-Noechel (`colour.blend`). This says something only of dyes whose swatches were all made on yarn of one fibre: how a
blend looks is in a swatch on that blend already, and a swatch on yarn that is not named is taken to be on this yarn. Such dyes count alike in all parts.
A gram of dye in a kilogram of nylon is taken to colour as it does in wool [assumed].
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from skeinwright.core.bath.fibre import fibre_kind
from skeinwright.core.bath.pot_run import FibreInPot, PotRun
from skeinwright.core.bath.process import quick_course
from skeinwright.core.forecast.uptake_scale import UptakeScale, usual_share
from skeinwright.core.shelf.items import NOT_KNOWN, Base, Dye

INERT = "inert"
SAME_WITHIN = 0.05
"""Parts that hold the same within this share are not told apart."""
_WORDS = {"wool": "wool", "superwash": "wool", "nylon": "nylon", INERT: "undyed fibre"}


@dataclass(frozen=True, slots=True)
class FibrePart:
    """A kind of fibre, its share of the yarn's weight, and by dye the factor that makes the depth applied to the whole yarn the depth that counts here."""

    kind: str
    share: float
    worth: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))

    def depths(self, applied: Mapping[str, float]) -> dict[str, float]:
        """The depths that count in this part, in the order of `applied`."""
        return {name: depth * self.worth.get(name, 1.0) for name, depth in applied.items()}


def kinds_by_share(base: Base) -> dict[str, float]:
    """The kinds of fibre of a base with their shares of its weight, "inert" among them; shares add up to 1."""
    found: dict[str, float] = {}
    for name, share in base.fibres:
        kind = fibre_kind(name)
        kind = "superwash" if kind == "wool" and base.superwash else kind
        if share > 0:
            found[kind] = found.get(kind, 0.0) + share
    whole = sum(found.values())
    return {kind: share / whole for kind, share in found.items()} if whole > 0 else {"wool": 1.0}


def fibre_parts(run: PotRun, base: Base, dyes: Sequence[Dye], bases: Sequence[Base], scale: UptakeScale, total_g: float) -> tuple[FibrePart, ...]:
    """The parts of `base` in this pot, or () where they cannot be told apart; `scale` is that of the base as a whole, `bases` those that swatches name.

    `total_g` is the weight of all yarn in the pot, which depths of shade are shares of.
    """
    kinds = kinds_by_share(base)
    places = {one.kind: place for place, one in enumerate(run.fibres) if one.base == base.name}
    if len(kinds) < 2 or not places or any(kind not in places for kind in kinds if kind != INERT):
        return ()
    by_name = {one.name: one for one in dyes}
    used = [(number, dye, run.dose_g.get(dye.name, 0.0) / total_g) for number, dye in enumerate(run.dyes)]
    under = {dye.name: _swatch_fibre(by_name.get(dye.name), bases) for _, dye, applied in used if applied > 0}
    if not any(under.values()):
        return ()
    on_fibre = quick_course(run).by_fibre
    worth: dict[str, dict[str, float]] = {kind: {} for kind in kinds}
    for number, dye, applied in used:
        fibre = under.get(dye.name)
        for kind in kinds:
            if fibre is None:
                worth[kind][dye.name] = scale.ratio.get(dye.name, 1.0)
            elif kind == INERT:
                worth[kind][dye.name] = 0.0
            else:
                usual = usual_share((fibre,), replace(dye, name="dye"), applied)
                worth[kind][dye.name] = float(on_fibre[number, places[kind]]) / 1000 / applied / usual
        if fibre is not None and dye.dye_class == NOT_KNOWN:
            _level(worth, kinds, dye.name)
    parts = tuple(FibrePart(kind, share, MappingProxyType(worth[kind])) for kind, share in kinds.items())
    return parts if _differ(parts) else ()


def told_of(parts: Sequence[FibrePart]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(notes, assumed): how unlike the parts are, and what their colour rests on."""
    notes = []
    wool = next((one for one in parts if one.kind in ("wool", "superwash")), None)
    nylon = next((one for one in parts if one.kind == "nylon"), None)
    if wool is not None and nylon is not None:
        for name, worth in nylon.worth.items():
            ratio = worth / max(wool.worth.get(name, 0.0), 1e-9)
            if abs(ratio - 1) > SAME_WITHIN:
                notes.append(f"Gram for gram its nylon holds {ratio:.2g} times as much {name} as its wool.")
    inert = next((one for one in parts if one.kind == INERT), None)
    if inert is not None:
        notes.append(f"{100 * inert.share:.0f} % of this yarn takes no acid dye and stays as it is.")
    said = " and ".join(dict.fromkeys(_WORDS[one.kind] for one in parts))
    return tuple(notes), (
        f"{said[:1].upper()}{said[1:]} are coloured apart and blended by Stearns and Noechel's rule (M 0.15); a gram of dye colours them alike.",
        "How unequally the fibres take up may be half as much again or half as much.",
    )


def _swatch_fibre(dye: Dye | None, bases: Sequence[Base]) -> FibreInPot | None:
    """The one kind of fibre that all of a dye's swatches are on; None where that is not known, or they are on a blend."""
    if dye is None:
        return None
    by_name = {one.name.casefold(): one for one in bases}
    kinds: set[str] = set()
    for swatch in dye.swatches:
        if swatch.depth > 0:
            base = by_name.get(swatch.base.casefold()) if swatch.base else None
            found = kinds_by_share(base) if base is not None else {}
            if len(found) != 1 or INERT in found:
                return None
            kinds |= set(found)
    return FibreInPot(base="", kind=kinds.pop(), mass_g=100.0) if len(kinds) == 1 else None


def _level(worth: dict[str, dict[str, float]], kinds: Mapping[str, float], name: str) -> None:
    """Of a dye of no known class only the division between the fibres is used: its mean over the yarn stays the depth applied."""
    mean = sum(share * worth[kind][name] for kind, share in kinds.items())
    if mean > 0:
        for kind in kinds:
            worth[kind][name] /= mean


def _differ(parts: Sequence[FibrePart]) -> bool:
    names = {name for part in parts for name in part.worth}
    return any(max(part.worth.get(name, 0.0) for part in parts) > (1 + SAME_WITHIN) * min(part.worth.get(name, 0.0) for part in parts) for name in names)
