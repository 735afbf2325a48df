"""What washing and drying do to yarn, and to the marks on it.

Two measured factors, wet-stretched (0) to dried (1):   lambda_L = L1/L0,   lambda_D = D1/D0.
    mark length x lambda_L; width x lambda_D; area x lambda_L lambda_D; equivalent diameter x sqrt(lambda_L lambda_D); width/length x lambda_D/lambda_L
    per length x 1/lambda_L; per surface x 1/(lambda_L lambda_D); per gram, coverage, dye per gram: unchanged, exactly
    packing x 1/(lambda_L lambda_D^2); tex x 1/lambda_L; metres per 100 g x lambda_L; tan(helix angle) x lambda_D/lambda_L
What does change the looks: fibres from inside and from neighbours come up (mixing m), and the halo grows (a blur of sigma = k (D1 - D0), k = 0.5).
No published figures for mill-spun hand-knitting yarn were found: the classes below are assumed until the dyer measures her own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, radians, sqrt, tan

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.calibration import Calibration, newest
from skeinwright.core.shelf.items import Base
from skeinwright.core.yarn.diameter import visual_diameter_mm
from skeinwright.core.yarn.ply import twist_class

HALO_SHARE = 0.5
"""k: blur of the halo over the growth of the diameter [assumed]."""
WITHIN_90 = 1.645
TYPED_SPREAD = 0.015
"""What is taken for the spread of a factor that was typed without its measurement, as a share of it [assumed]."""
LENGTH, WIDTH = "relax_length", "relax_width"
"""The quantities under which the two factors are kept, with their spread, when they are measured."""
HANDLING = 0.005
"""One standard deviation, as a share, of how alike a strand is straightened twice and how alike two strands are [assumed]."""
READING_MM, READING_WRAPS, READING_PHOTO_MM = 1.0, 0.5, 0.05
"""One standard deviation of reading a ruler, a count of wraps, a strand's width in a photo close up [assumed]."""


@dataclass(frozen=True, slots=True)
class Relaxation:
    """lambda_L, lambda_D and the mixing m of a base, each with its spread and origin."""

    length: Estimate
    width: Estimate
    mixing: Estimate
    words: str
    """The class of yarn it was taken from, or "measured"."""

    @property
    def assumed(self) -> tuple[str, ...]:
        """What is assumed, as sentences."""
        said = [
            f"{name} {100 * one.value:.0f} % ({self.words}; {100 * one.low:.0f}-{100 * one.high:.0f} %)."
            for name, one in (("Length kept after washing", self.length), ("Thickness after washing", self.width))
            if one.origin is Origin.ASSUMED
        ]
        said.append(f"Fibres from inside make up {100 * self.mixing.value:.0f} % of the surface after washing ({self.words}).")
        return tuple(said)


CLASSES = {
    "high twist, three plies or more": ((0.96, 0.92, 0.99), (1.08, 1.03, 1.15), 0.05),
    "medium twist": ((0.95, 0.91, 0.98), (1.15, 1.05, 1.25), 0.15),
    "soft or woollen, two plies": ((0.91, 0.83, 0.97), (1.25, 1.10, 1.40), 0.30),
    "soft single ply": ((0.93, 0.85, 0.98), (1.22, 1.10, 1.35), 0.25),
}
"""Class -> lambda_L (value, low, high), lambda_D, m: all assumed, a working guess of practice."""


def relaxation_class(twist: str, plies: int) -> str:
    """The class of a yarn, from its class of twist and the number of its plies."""
    if plies == 1:
        return "soft single ply"
    if twist == "soft" or (plies == 2 and twist != "high"):
        return "soft or woollen, two plies"
    return "high twist, three plies or more" if twist == "high" else "medium twist"


def relaxation_of(base: Base, measured: Sequence[Calibration] = ()) -> Relaxation:
    """The base's own two measurements where it has them; what it lacks is taken from its class and marked assumed.

    `measured`: the base's calibrations, newest first; the one that belongs to the value on the shelf gives its spread.
    """
    plies = base.plies or 3
    words = relaxation_class(twist_class(base.twist, diameter_mm=visual_diameter_mm(base.tex, base.fibres), plies=min(plies, 12)), plies)
    length, width, mixing = CLASSES[words]

    def known(value: float | None, prior: tuple[float, float, float], quantity: str) -> Estimate:
        if value is None:
            return Estimate(*prior, "", Origin.ASSUMED, words)
        kept = newest(measured, quantity)
        if kept is not None and abs(kept.value - value) < 6e-4:
            return Estimate(value, min(kept.low, value), max(kept.high, value), "", Origin.MEASURED, f"{kept.test}, {kept.made_on.isoformat()}")
        return Estimate(value, value * (1.0 - TYPED_SPREAD), value * (1.0 + TYPED_SPREAD), "", Origin.MEASURED)

    inner = Estimate(mixing, 0.5 * mixing, 2.0 * mixing, "", Origin.ASSUMED)
    return Relaxation(known(base.relax_length, length, LENGTH), known(base.relax_width, width, WIDTH), inner, words)


def measured_length(wet_mm: float, dry_mm: float, *, reading_mm: float = READING_MM) -> Estimate:
    """lambda_L = dry/wet of one marked strand; 90 % interval 1.645 lambda hypot(e/wet, e/dry, h), e = `reading_mm` and h = `HANDLING` (1 sd)."""
    if min(wet_mm, dry_mm) <= 0.0:
        raise BadInput("Lengths must be above zero.", where="dry_length")
    if not 0.5 <= dry_mm / wet_mm <= 1.1:
        raise BadInput("A strand that keeps less than half of its length, or gains more than a tenth, was misread: measure again.", where="dry_length")
    return _ratio(dry_mm, wet_mm, reading_mm)


def measured_width_by_wraps(wet_wraps: float, dry_wraps: float, *, reading_wraps: float = READING_WRAPS) -> Estimate:
    """lambda_D = wet/dry wraps over one stretch of ruler, since the thickness is that stretch over the wraps."""
    if min(wet_wraps, dry_wraps) <= 0.0:
        raise BadInput("Wraps must be above zero.", where="dry_wraps")
    return _checked_width(_ratio(wet_wraps, dry_wraps, reading_wraps), "dry_wraps")


def measured_width_by_photo(wet_mm: float, dry_mm: float, *, reading_mm: float = READING_PHOTO_MM) -> Estimate:
    """lambda_D = dry/wet thickness of the strand, both read in photos close up beside a ruler."""
    if min(wet_mm, dry_mm) <= 0.0:
        raise BadInput("Thicknesses must be above zero.", where="dry_width")
    return _checked_width(_ratio(dry_mm, wet_mm, reading_mm), "dry_width")


def _ratio(top: float, under: float, reading: float) -> Estimate:
    value = top / under
    off = WITHIN_90 * value * hypot(reading / top, reading / under, HANDLING)
    return Estimate(value, value - off, value + off, "", Origin.MEASURED)


def _checked_width(found: Estimate, where: str) -> Estimate:
    if not 0.6 <= found.value <= 2.5:
        raise BadInput("A strand that is less than 0.6 or more than 2.5 times as thick after washing was misread: measure again.", where=where)
    return found


def measured_relaxation(wet_mm: float, dry_mm: float, wet_wraps: float, dry_wraps: float, *, reading_mm: float = 1.0, reading_wraps: float = 0.5) -> Relaxation:
    """lambda_L and lambda_D from a marked strand and from wraps round a ruler, before and after washing; the mixing stays assumed."""
    return Relaxation(
        measured_length(wet_mm, dry_mm, reading_mm=reading_mm),
        measured_width_by_wraps(wet_wraps, dry_wraps, reading_wraps=reading_wraps),
        Estimate(0.15, 0.05, 0.30, "", Origin.ASSUMED),
        "measured",
    )


@dataclass(frozen=True, slots=True)
class MarkFactors:
    """What relaxing multiplies each measure by; per gram, coverage and dye per gram are exactly 1."""

    length: float
    width: float

    @property
    def area(self) -> float:
        return self.length * self.width

    @property
    def equivalent_diameter(self) -> float:
        return sqrt(self.area)

    @property
    def aspect(self) -> float:
        """Width over length; also of the tangent of a helix or streak."""
        return self.width / self.length

    @property
    def per_length(self) -> float:
        return 1.0 / self.length

    @property
    def per_surface(self) -> float:
        """Also of dye per surface."""
        return 1.0 / self.area

    @property
    def packing(self) -> float:
        return 1.0 / (self.length * self.width**2)

    @property
    def tex(self) -> float:
        return 1.0 / self.length

    @property
    def metres_per_100_g(self) -> float:
        return self.length

    per_gram = 1.0
    coverage = 1.0
    dye_per_gram = 1.0


def mark_factors(length: float, width: float) -> MarkFactors:
    """The factors for lambda_L and lambda_D, both above zero."""
    if not (length > 0.0 and width > 0.0):
        raise BadInput("Both factors of relaxing must be above zero.", where="relax")
    return MarkFactors(length, width)


def no_bulking_width(length: float) -> float:
    """The lambda_D of a yarn that shortens at constant packing: lambda_L^(-1/2)."""
    return 1.0 / sqrt(mark_factors(length, 1.0).length)


def halo_blur_mm(wet_diameter_mm: float, width: float) -> float:
    """sigma = k (D1 - D0), at least 0: how far the halo smears a mark's edge."""
    return max(0.0, HALO_SHARE * wet_diameter_mm * (width - 1.0))


def wet_length(angle_deg: float, swelling: float) -> float:
    """Length of a twisted yarn while wet over its dry length: sqrt(1 + tan^2 a - g^2 tan^2 a) for fibres of fixed length whose diameter grows by g.

    The wool's g is 1.08-1.17 in water, silk 1.16-1.19, nylon 1.02-1.03 (source: morton-hearle, table seen).
    """
    square = tan(radians(angle_deg)) ** 2
    inside = 1.0 + square - swelling**2 * square
    if not inside > 0.0:
        raise BadInput("So steep a twist cannot swell so much at constant fibre length.", where="twist")
    return sqrt(inside)
