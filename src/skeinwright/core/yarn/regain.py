"""Water in the fibre: regain, moisture content and dry mass. Offered, never applied unasked: the dyer's fibre counts as it was weighed.

    R = water / dry mass;   content C = R/(1 + R);   dry mass = m/(1 + R);   blend of dry shares w: R = sum(w_i R_i)
Commercial regains are agreed figures for trade; they say little of how much water is in the yarn on the scale today (source: astm-d1909).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput

COMMERCIAL_REGAIN = {"wool": 0.136, "silk": 0.11, "cotton": 0.085, "nylon": 0.045}
"""Agreed regains (source: astm-d1909; wool, silk and cotton seen in a table that cites it, nylon from memory)."""
ROOM_REGAIN = {"wool": ((0.08, 0.10), (0.14, 0.14), (0.20, 0.22))}
"""Wool in a heated room, an ordinary room, in fog: a yarn maker's public page; the upper end of the last from memory."""
OTHER_REGAIN = 0.136


def regain_from_content(content: float) -> float:
    """R = C/(1 - C), both fractions, 0 <= C < 1."""
    if not 0.0 <= content < 1.0:
        raise BadInput("Moisture content lies between 0 and 100 %.", where="moisture content")
    return content / (1.0 - content)


def content_from_regain(regain: float) -> float:
    """C = R/(1 + R), both fractions, R >= 0."""
    return _regain(regain) / (1.0 + regain)


def dry_mass_g(mass_g: float, regain: float) -> float:
    """Bone-dry mass of `mass_g` at a regain (fraction): m/(1 + R)."""
    return mass_g / (1.0 + _regain(regain))


def mass_at_g(mass_g: float, regain: float, other_regain: float) -> float:
    """What `mass_g` at one regain weighs at another: m (1 + R2)/(1 + R1)."""
    return dry_mass_g(mass_g, regain) * (1.0 + _regain(other_regain))


def dry_shares(parts: Iterable[tuple[str, float, float]]) -> tuple[tuple[str, float], ...]:
    """Shares of dry mass from (fibre, share of commercial mass, its regain): w_i = [c_i/(1 + R_i)] / sum."""
    dry = [(name, share / (1.0 + _regain(regain))) for name, share, regain in parts]
    total = sum(share for _, share in dry)
    if not total > 0.0:
        raise BadInput("A blend needs at least one fibre with a share above zero.", where="fibre")
    return tuple((name, share / total) for name, share in dry)


def blend_regain(parts: Iterable[tuple[float, float]]) -> float:
    """sum(w_i R_i) of (dry share, regain)."""
    return sum(share * _regain(regain) for share, regain in parts)


@dataclass(frozen=True, slots=True)
class RegainOffer:
    """What a weight would be at other dampness: an offer to the dyer, who decides."""

    dry_g: float
    heated_room_g: float
    ordinary_room_g: float
    damp_room_g: float
    sentence: str


def regain_offer(mass_g: float, *, regain: float = COMMERCIAL_REGAIN["wool"]) -> RegainOffer:
    """The same fibre in other rooms, if it now holds `regain`: for wool at 9, 14 and 20 %."""
    heated, ordinary, damp = (mass_at_g(mass_g, regain, other) for other in (0.09, 0.14, 0.20))
    said = (
        f"Weighed as it is, {mass_g:.0f} g. If it holds {100 * regain:.1f} % of water now, it would weigh {heated:.0f} g in a heated room and {damp:.0f} g "
        f"in damp air: depths move by as much. Nothing is changed unless you ask for it."
    )
    return RegainOffer(dry_mass_g(mass_g, regain), heated, ordinary, damp, said)


def _regain(value: float) -> float:
    if not 0.0 <= value < 5.0:
        raise BadInput("Regain is water over dry mass, from 0 up.", where="regain")
    return value
