"""What happens in a session, one after another, in numbers: the stepper and the quick forecast read these, never words."""

from __future__ import annotations

from dataclasses import dataclass, field

from skeinwright.core.spread.parameters import DyeParameters, Parameters

Amounts = tuple[float, ...]
"""One number for each dye of the session, mg."""
Bands = tuple[tuple[float, float], ...]
"""Stretches along the loop, cm from the tie; empty for all of it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Sprinkle:
    """Powder from above over all laid yarn (or bands of it, or what is still white); grains of a dry blend share their places.

    `acid_mmol` comes along in the powder, grain by grain; `clump` multiplies the radii (2-4 for a damp tin); `over_s` lets it out evenly over so long, as
    ice does;
    `smear_cm` is how far a hand rubs each grain out along the strands, in eight pieces.
    """

    dyes_mg: Amounts
    acid_mmol: float = 0.0
    bands: Bands = ()
    white: bool = False
    grain_mm: float | None = None
    clump: float = 1.0
    over_s: float | None = None
    smear_cm: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Pour:
    """Liquor poured or painted on the face; `thick` below 1 is thickened: it stays where it is put."""

    dyes_mg: Amounts
    volume_ml: float
    acid_mmol: float = 0.0
    bands: Bands = ()
    thick: float = 1.0
    edge_cm: float = 0.4
    """Standard deviation of the section's edge from strand to strand [assumed]."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Kettle:
    """Dye let into the free water at points: (cm along, share of the width), each with a spot of `spot_cm` standard deviation."""

    dyes_mg: Amounts
    points: tuple[tuple[float, float], ...]
    spot_cm: float = 1.5
    volume_ml: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Bath:
    """Dye even in the free water (or in what the yarn holds, where there is none)."""

    dyes_mg: Amounts
    acid_mmol: float = 0.0
    volume_ml: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Dip:
    """Bands held for `time_s` in other liquor of so much dye (mg/cm3), which is not used up."""

    dyes_mg_cm3: Amounts
    bands: Bands
    time_s: float


@dataclass(frozen=True, slots=True)
class AddWater:
    """Plain water, or acid in water, into the pan."""

    volume_ml: float
    acid_mmol: float = 0.0


@dataclass(frozen=True, slots=True)
class PourOff:
    """Free water away, with the dye and acid in it."""

    volume_ml: float


@dataclass(frozen=True, slots=True)
class Lid:
    """Lid on or off."""

    on: bool


@dataclass(frozen=True, slots=True)
class Heat:
    """To a temperature at so many C a second (also for cooling)."""

    to_c: float
    c_per_s: float


@dataclass(frozen=True, slots=True)
class Wait:
    """Nothing but time."""

    time_s: float


@dataclass(frozen=True, slots=True)
class Steam:
    """So long in steam: 100 C less what the height takes, nothing evaporates."""

    time_s: float
    temp_c: float = 99.0


@dataclass(frozen=True, slots=True)
class Turn:
    """Yarn turned over."""


@dataclass(frozen=True, slots=True)
class OpenUp:
    """Yarn laid so many times as wide."""

    wider: float


@dataclass(frozen=True, slots=True)
class Squeeze:
    """Liquor pressed out until the yarn holds `leave_g_g`; all free water goes too."""

    leave_g_g: float


@dataclass(frozen=True, slots=True)
class TieOff:
    """Bands tied tight: what strikes from now on stays out of them [idealised]."""

    bands: Bands


@dataclass(frozen=True, slots=True)
class Withdraw:
    """The skein drawn out of the liquor evenly, hanging by its tie, within `time_s`; the free water stays behind [idealised edge]."""

    time_s: float


@dataclass(frozen=True, slots=True)
class Rinse:
    """All liquor replaced by clean cold water; powder that has not dissolved goes with it."""

    temp_c: float = 20.0


@dataclass(frozen=True, slots=True)
class Ice:
    """Ice over the yarn: powder sprinkled while it lies comes down over the time it takes to melt."""

    mass_g: float


Event = Sprinkle | Pour | Kettle | Bath | Dip | AddWater | PourOff | Lid | Heat | Wait | Steam | Turn | OpenUp | Squeeze | TieOff | Withdraw | Rinse | Ice


@dataclass(frozen=True, kw_only=True, slots=True)
class Laid:
    """Yarn as it lies in its pan. `area_cm2` is what it covers, `floor_cm2` the pan's own; a grid is a part of the laid area."""

    fibre_g: float
    area_cm2: float
    floor_cm2: float
    round_cm: float = 150.0
    strands: float = 267.0
    """Strands of one skein."""
    skeins: int = 1

    @property
    def width_cm(self) -> float:
        """Width of one skein along its loop: area/(skeins round)."""
        return self.area_cm2 / (self.skeins * self.round_cm)

    @property
    def half_mg_cm2(self) -> float:
        """Fibre in a half, mg/cm2."""
        return 1000 * self.fibre_g / self.area_cm2 / 2


@dataclass(frozen=True, kw_only=True, slots=True)
class Session:
    """All that a run needs: dyes, laid yarn, what it starts with and what is done. `acid_mmol` is all the acid at the start, at rest between yarn and water."""

    dyes: tuple[DyeParameters, ...]
    laid: Laid
    events: tuple[Event, ...]
    free_ml: float
    """Free water at the start, besides what the yarn holds."""
    held_g_g: float | None = None
    """What the yarn holds at the start, where it is not soaked through."""
    temp_c: float = 20.0
    lid: bool = False
    acid_mmol: float = 0.0
    half_mobile: float | None = None
    """ah in mmol/cm2; None takes the yarn's usual share of its sites."""
    parameters: Parameters = field(default_factory=Parameters)
    names: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    steps: tuple[int, ...] = ()
    """For each event, the number of the step it comes from; empty where it was not written from steps."""

    @property
    def a_half(self) -> float:
        """ah of one half, mmol/cm2."""
        yarn = self.parameters.yarn
        return self.half_mobile if self.half_mobile is not None else yarn.half_mobile_share * yarn.b_max
