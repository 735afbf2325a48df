"""What a strand of a base looks like, in four numbers: the key of every picture's light."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.items import Base
from skeinwright.core.yarn.diameter import visual_diameter_mm
from skeinwright.core.yarn.ply import cable, ply_angle_deg, twist_class

HALO_OF_TWIST = {"soft": 0.9, "medium": 0.55, "high": 0.25}
"""Hairiness 0-1 by class of twist: our judgement by eye, assumed."""
ASSUMED_PLIES = 3


@dataclass(frozen=True, slots=True)
class StrandLook:
    """The looks of one strand. Hashable: pictures are cached by it.

    plies: strands twisted together, 1-12. angle_deg: slope of a ply against the yarn's axis, 0-45. diameter_mm: visual (hairs and air included).
    halo: hairiness, 0 (bald) to 1 (mohair-like).
    """

    plies: int = 4
    angle_deg: float = 25.0
    diameter_mm: float = 1.25
    halo: float = 0.4

    def __post_init__(self) -> None:
        if not 1 <= self.plies <= 12:
            raise BadInput("A strand has 1 to 12 plies twisted together.", where="plies")
        if not 0.0 <= self.angle_deg <= 45.0:
            raise BadInput("The ply angle lies between 0 and 45 degrees.", where="twist")
        if not 0.1 <= self.diameter_mm <= 30.0:
            raise BadInput("A strand is 0.1 to 30 mm thick.", where="length")
        if not 0.0 <= self.halo <= 1.0:
            raise BadInput("The halo lies between 0 and 1.", where="halo")

    @property
    def outline_mm(self) -> float:
        """Diameter of the circle round the plies: the visual diameter is the mean width seen, so it is larger by D/W of the ring."""
        lay = cable(self.plies)
        return self.diameter_mm * lay.outline / lay.width

    @property
    def lobes(self) -> int:
        """Plies or groups of plies that show outside."""
        return cable(self.plies).groups


def look_of(base: Base) -> tuple[StrandLook, tuple[str, ...]]:
    """The look of a base and the sentences of what was assumed for it."""
    assumed = []
    plies = base.plies
    if plies is None:
        plies = ASSUMED_PLIES
        assumed.append(f"Drawn with {ASSUMED_PLIES} plies twisted together until you count them.")
    diameter_mm = visual_diameter_mm(base.tex, base.fibres)
    angle_deg = ply_angle_deg(base.twist, diameter_mm=diameter_mm, plies=plies)
    assumed.append("Thickness, twist and hair are drawn from the put-up and the class of twist, not from a photo.")
    halo = HALO_OF_TWIST[twist_class(base.twist, diameter_mm=diameter_mm, plies=plies)]
    return StrandLook(min(max(plies, 1), 12), round(angle_deg, 1), round(min(max(diameter_mm, 0.1), 30.0), 2), halo), tuple(assumed)
