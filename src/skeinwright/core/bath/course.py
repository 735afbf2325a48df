"""What happened in a pot over time, as the other rooms read it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skeinwright.core.bath.charge_balance import Composition
from skeinwright.core.bath.isotherm import Array
from skeinwright.core.bath.pot_run import PotRun
from skeinwright.core.foundations.estimate import Estimate


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """A line over time with its 90 % band; `low` and `high` are the line itself where no draws were made."""

    centre: Array
    low: Array
    high: Array


@dataclass(frozen=True, slots=True, eq=False)
class PotCourse:
    """What happened in a pot, at `time_s` (t,).

    `water_l` is the liquor, `steamed_l` what has steamed away since the start. `uptake` is the share of each dye's whole dose that is on the fibre; `on_fibre`
    g/kg at the end by base and dye (kinds of fibre of one base together), `by_fibre` by place in the run's fibres, and `fibre_draws` (n, dyes, fibres) the
    same of every draw, the first of which is the centre line's. `bath_g` is the dye left in the liquor, `liquor` what else is. `dye_balance` and
    `acid_balance` are the largest relative errors of all the dye and of the charge, on the centre line.
    """

    run: PotRun
    time_s: Array
    temp_c: Array
    ph: Band
    water_l: Band
    steamed_l: Band
    uptake: dict[str, Band]
    on_fibre: dict[str, dict[str, Estimate]]
    by_fibre: Array
    fibre_draws: Array
    bath_g: dict[str, float]
    liquor: Composition
    energy_kwh: Estimate
    dye_balance: float
    acid_balance: float
    status: str
    notes: tuple[str, ...]
    ph_offset: float = 0.0
    """What a reading moves the centre line's pH by, from its moment on; it is in `ph` already."""

    @property
    def all_uptake(self) -> Band:
        """All dyes of the pot together, by weight."""
        dose = self.run.dose_g
        whole = sum(dose.values())
        lines = [[band.centre, band.low, band.high] for band in self.uptake.values()]
        shares = np.array([dose[name] for name in self.uptake]) / whole if whole > 0 else np.zeros(len(lines))
        summed = np.einsum("d,dkt->kt", shares, np.array(lines)) if lines else np.zeros((3, len(self.time_s)))
        return Band(summed[0], summed[1], summed[2])
