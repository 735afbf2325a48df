"""Panels of yarn for the tests and proofs of the spread model: conditions said in numbers, not in the words of a colourway."""

from __future__ import annotations

import numpy as np

from skeinwright.core.spread import kernels, transport
from skeinwright.core.spread.events import AddWater, Event, Laid, Session, Sprinkle, Wait
from skeinwright.core.spread.exchange import over
from skeinwright.core.spread.field import Field
from skeinwright.core.spread.grid import Grid
from skeinwright.core.spread.parameters import DyeParameters, PanParameters, Parameters, PowderParameters, YarnParameters, arrhenius

AREA_CM2 = 600.0
STRIKES = {"none": 0.0, "low": 0.03, "in fibre": 0.3}


def case(
    depth_cm: float = 0.4,
    phi: float = 0.15,
    temp_c: float = 85.0,
    *,
    dyes: int = 1,
    load_mg_cm2: float = 0.05,
    time_s: float = 1500.0,
    held_g_g: float = 3.0,
    powder_acid: float = 0.0,
    grain_mm: float = 0.12,
    evaporates: bool = True,
    clump: float = 1.0,
    before: tuple[Event, ...] = (),
    after: tuple[Event, ...] = (),
    strike: tuple[tuple[float, float], ...] | None = None,
    phi0: float = 0.02,
    late_s: float = 0.0,
) -> Session:
    """Powder of `dyes` alike dyes on soaked yarn under `depth_cm` of water, its acid sites filled to `phi`; `powder_acid` is mmol of acid a mg of powder.

    With `late_s` the yarn has no acid at first: as much as fills them to `phi` goes into the water so many seconds after the powder.
    """
    yarn = YarnParameters(phi0=phi0)
    laid = Laid(fibre_g=2 * yarn.half_mg_cm2 * AREA_CM2 / 1000, area_cm2=AREA_CM2, floor_cm2=AREA_CM2)
    held_cm = held_g_g * yarn.half_mg_cm2 / 1000
    a = yarn.half_mobile_share * yarn.b_max * phi / (1 - phi)
    acid = AREA_CM2 * (2 * (a + yarn.b_max * phi) + a / held_cm * depth_cm)
    each = load_mg_cm2 * AREA_CM2
    sprinkles = tuple(
        Sprinkle(dyes_mg=tuple(each if i == j else 0.0 for i in range(dyes)), acid_mmol=powder_acid * each, grain_mm=grain_mm, clump=clump) for j in range(dyes)
    )
    return Session(
        dyes=tuple(DyeParameters(name=f"dye {i}", strikes=strike if strike is not None else arrhenius(0.03)) for i in range(dyes)),
        laid=laid,
        events=(*before, *sprinkles, *((Wait(late_s), AddWater(0.0, acid)) if late_s else ()), Wait(time_s - late_s), *after),
        free_ml=depth_cm * AREA_CM2,
        held_g_g=held_g_g,
        temp_c=temp_c,
        acid_mmol=acid if phi > 0 and not late_s else 0.0,
        parameters=Parameters(yarn=yarn, powder=PowderParameters(), pan=PanParameters(evaporation=1.0 if evaporates else 0.0)),
    )


class OneLayer:
    """Strike and spreading in the face alone: the stepper's own kernels in the stepper's own order, with coefficients that an exact solution is known for."""

    def __init__(self, grid: Grid, *, k: float, kd: float = 0.0, full: float = 1e30, along: float = 0.0, across: float = 0.0) -> None:
        self.field = Field.empty(grid, 1, np.float64)
        self.grid, self.along, self.across = grid, along, across
        self.k, self.kd, self.full = np.array([k]), np.array([kd]), np.array([full])
        self.p = kernels.constants(1.0, 0.02, 1.0, 0.15, np.float64)
        self.e = over(np.zeros((1, 3, 3)), 1.0)

    def run(self, time_s: float, step_s: float) -> None:
        """Steps of `step_s` until `time_s` has passed."""
        field = self.field
        for _ in range(round(time_s / step_s)):
            self._react(step_s / 2, True)
            transport.spread(field.liquor[0, 1:2], self.grid, self.along * step_s, self.across * step_s)
            self._react(step_s / 2, False)

    def _react(self, time_s: float, first: bool) -> None:
        f = self.field
        kernels.react(f.liquor, f.fibre, f.acid, self.k, self.kd, self.full, self.e, self.e[0], time_s, self.p, strike_first=first, flat=True, threads=1)

    @property
    def liquor(self) -> np.ndarray:
        """Dye in the face's liquor."""
        return self.field.liquor[0, 1]

    @property
    def fibre(self) -> np.ndarray:
        """Dye on the face's fibre."""
        return self.field.fibre[0, 0]
