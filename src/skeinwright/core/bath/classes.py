"""What a class of acid dye does in the pot where nothing better is known: every figure is assumed, with its spread, and wants a test of your own.

pH ranges and the words on migration are broadbent2001 (seen); the numbers are our own estimates, set so that the one published exhaustion that was found
(levelling dyes, 3 % at 30:1 and pH 4.0-4.5, 95 % or more: rangudhyog-333, seen) comes out.
"""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.bath.fibre import WOOL_SITES_MOL_KG, donnan
from skeinwright.core.bath.spread import Spread
from skeinwright.core.shelf.items import NOT_KNOWN

REFERENCE_C = 95.0
REFERENCE_ANIONS_EQ_L = 0.02
"""Anions of the bath that the class values stand at: acetate and salts of a usual pot [assumed]. A leaner bath counts as this one: dye and its salt
bring ions."""
MOLAR_G = 500.0
"""Grams of pure dye to a mole [assumed]."""
PURE_SHARE = Spread(0.55, 0.30, 0.80)
"""Colour in a powder; the rest is salt and dextrin [from memory]."""


@dataclass(frozen=True, slots=True)
class DyeClass:
    """A class of acid dye.

    `kp_own` at `own_ph` and `kp_other` at `other_ph` are wool's partition (L/kg) for a trace of dye at 95 C in 0.02 eq/L of anions;
    `saturation_g_kg` is what the
    sites hold; `sulphonates` the charges of a molecule; `speed` its diffusion in the fibre over the usual; `pieces_cold` and `pieces_hot` how many molecules
    go about together at 25 and 80 C.
    """

    name: str
    own_ph: float
    kp_own: Spread
    other_ph: float
    kp_other: float
    saturation_g_kg: Spread
    sulphonates: float
    speed: Spread
    pieces_cold: float = 1.0
    pieces_hot: float = 1.0
    migration: str = ""

    @property
    def ionic(self) -> float:
        """Ke of Kp = Kh + Ke filled^n, from the two partitions; see `isotherm.partition`."""
        own, other = (float(_filled(ph) ** self.sulphonates) for ph in (self.own_ph, self.other_ph))
        return max(0.0, (self.kp_own.value - self.kp_other) / (own - other))

    @property
    def neutral(self) -> float:
        """Kh of the same law: what holds the dye without charge."""
        return max(0.0, self.kp_own.value - self.ionic * float(_filled(self.own_ph) ** self.sulphonates))


def _filled(ph: float) -> float:
    return donnan(10**-ph, REFERENCE_ANIONS_EQ_L, WOOL_SITES_MOL_KG).filled


def _kp(value: float) -> Spread:
    return Spread.times(value, 3.0)


CLASSES: dict[str, DyeClass] = {
    one.name: one
    for one in (
        DyeClass("levelling", 4.0, _kp(1800), 6.0, 70, Spread.times(150, 1.5), 1.5, Spread.times(3.0, 1.5), migration="high"),
        DyeClass("half-milling", 4.5, _kp(800), 6.0, 150, Spread.times(120, 1.5), 1.0, Spread.times(1.0, 1.5), 2.0, 1.2, "moderate"),
        DyeClass("milling", 5.0, _kp(2000), 6.5, 800, Spread.times(100, 1.5), 1.0, Spread.times(1 / 3, 1.5), 8.0, 2.0, "low"),
        DyeClass("super-milling", 5.5, _kp(3000), 6.5, 1500, Spread.times(90, 1.5), 1.0, Spread.times(1 / 3, 1.5), 8.0, 2.0, "very low"),
        DyeClass("1:2 premetallised", 5.5, _kp(3000), 6.5, 1500, Spread.times(90, 1.5), 1.0, Spread.times(1 / 3, 1.5), 8.0, 2.0, "very low"),
        DyeClass("1:1 premetallised", 2.0, _kp(400), 4.0, 400, Spread.times(120, 1.5), 1.0, Spread.times(1.0, 1.5), 2.0, 1.2, "good"),
    )
}
"""Own values. Levelling's partition is three times the first estimate (600), which gives 88 % where 95 % or more was published."""

MIXTURE: tuple[tuple[str, float], ...] = (
    ("levelling", 0.25),
    ("half-milling", 0.25),
    ("milling", 0.25),
    ("super-milling", 0.125),
    ("1:2 premetallised", 0.125),
)
"""What a dye of unknown class may be [assumed]: each draw takes one."""

USUAL_FOR_UNKNOWN = "half-milling"
"""The centre line of a dye of unknown class stands here, in the middle."""


def dye_class(name: str) -> DyeClass:
    """The class by its name on the shelf; the middle one where it is not known."""
    return CLASSES.get(name, CLASSES[USUAL_FOR_UNKNOWN])


def class_assumption(dye: str, name: str) -> str:
    """What is assumed of a dye, in a sentence."""
    if name == NOT_KNOWN or name not in CLASSES:
        return f"{dye}: its class is not known, so anything from levelling to milling is allowed for"
    found = CLASSES[name]
    kp = f"partition {found.kp_own.value:.0f} l/kg at pH {found.own_ph:g} and 95 C (times or divided by 3)"
    return f"{dye}: {name}, {kp}, as for its class; a test on your own yarn would tell"
