"""Dye and solution for a depth of shade. All are common practice of the trade."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from skeinwright.core.foundations.errors import BadInput


def dye_g(fibre_g: float, depth: float, strength: float = 1.0) -> float:
    """Grams of powder: fibre_g x depth / strength.

    `fibre_g` is the fibre as it is weighed (no regain is added), `depth` the share of its weight (3 % = 0.03), `strength` that of the powder
    against the one the depth was worked out with (80 % = 0.8). 300 g at 3 % of an 80 % powder: 11.25 g.
    """
    _more_than_nothing(strength, "strength")
    return fibre_g * depth / strength


def solution_ml(powder_g: float, solution_strength: float) -> float:
    """Millilitres of solution that hold `powder_g`: powder_g / strength.

    `solution_strength` is grams of powder as bought in a millilitre (1 % = 0.01). 4.54 g of a 1 % solution: 454 ml.
    """
    _more_than_nothing(solution_strength, "solution")
    return powder_g / solution_strength


def powder_in_solution_g(volume_ml: float, solution_strength: float) -> float:
    """Grams of powder in so much solution: volume_ml x strength."""
    return volume_ml * solution_strength


def depth_of(powder_g: float, fibre_g: float, strength: float = 1.0) -> float:
    """The depth that so much powder makes: powder_g x strength / fibre_g."""
    _more_than_nothing(fibre_g, "fibre")
    return powder_g * strength / fibre_g


def parts_g(fibre_g: float, depth: float, parts: Sequence[tuple[str, float]], strengths: Mapping[str, float] | None = None) -> dict[str, float]:
    """Grams of each powder where `parts` share out one total depth: fibre_g x depth x part / (all parts) / strength of the dye.

    A name that comes twice is added up. 100 g at 1.5 %, 3 Kelp : 1 Ember: 1.125 g and 0.375 g.
    """
    whole = sum(share for _, share in parts)
    _more_than_nothing(whole, "parts")
    grams: dict[str, float] = {}
    for name, share in parts:
        grams[name] = grams.get(name, 0.0) + dye_g(fibre_g, depth * share / whole, (strengths or {}).get(name, 1.0))
    return grams


def dye_per_skein_g(grams_per_skein: float, skeins: float) -> float:
    """Grams of powder for a dose said per skein: grams_per_skein x skeins."""
    return grams_per_skein * skeins


def _more_than_nothing(value: float, where: str) -> None:
    if not value > 0:
        raise BadInput("It must be more than nothing.", where=where)
