"""What the spread model needs to know of dye, yarn, powder and pan. Each default says where it comes from.

Nearly all of it is [assumed]: no open measurement of dye spreading on wet yarn exists. `calibrate` narrows the powder's footprint, the spread length and
the strike.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import exp, log

from skeinwright.core.bath.constants import GAS_CONSTANT, ZERO_C_K
from skeinwright.core.bath.isotherm import HEAT_J_MOL
from skeinwright.core.bath.kinetics import WATER_DIFFUSION_25, pieces, water_diffusion_m2_s

STRIKE_85_PER_S = 0.03
"""k of a middling dye on wet yarn full of acid, 85 C (0.003 slow milling to 0.15 fast levelling) [assumed]; `derive` replaces it by the class's own."""
ACTIVATION_J_MOL = 75e3
"""50-100 kJ/mol, from memory."""
PHI0, PHI_HALF = 0.02, 0.15
"""Strike without acid over strike with all sites filled (0-0.1), and where half of it is reached (0.05-0.5) [assumed]."""
EQUILIBRIUM = 400.0
"""Dye on fibre over dye in the water that the yarn holds, sites filled, 85 C (50-5000) [assumed]."""
FULL_SHARE = 0.08
"""Dye that the sites hold, share of the fibre's weight (0.03-0.15) [assumed]."""
_REFERENCE_K = 85.0 + ZERO_C_K


@dataclass(frozen=True, kw_only=True, slots=True)
class DyeParameters:
    """One dye. `strikes` are (C, k in 1/s) with all acid sites filled, temperatures rising; ln k is a straight line in 1/T between them and beyond."""

    name: str = "dye"
    diffusion_25_cm2_s: float = 1e4 * WATER_DIFFUSION_25.value
    pieces_cold: float = 1.0
    pieces_hot: float = 1.0
    strikes: tuple[tuple[float, float], ...] = ()
    equilibrium_85: float = EQUILIBRIUM
    heat_j_mol: float = HEAT_J_MOL
    full_share: float = FULL_SHARE
    assumed: tuple[str, ...] = ()

    def diffusion_cm2_s(self, temp_c: float) -> float:
        """D_m = D25 (T/298.15)(mu25/mu(T))/pieces^(1/3), cm2/s; core/bath's law. 4.5e-6 at 25 C, 1.4e-5 at 85 C."""
        slower = float(pieces(temp_c, self.pieces_cold, self.pieces_hot)) ** (1 / 3)
        return float(1e4 * water_diffusion_m2_s(temp_c, self.diffusion_25_cm2_s * 1e-4) / slower)

    def strike_per_s(self, temp_c: float) -> float:
        """k(T); 0 where the dye has no strike at all."""
        table = self.strikes or arrhenius(STRIKE_85_PER_S)
        if table[0][1] <= 0:
            return 0.0
        x = 1 / (temp_c + ZERO_C_K)
        place = next((i for i in range(1, len(table)) if temp_c <= table[i][0]), len(table) - 1)
        (t0, k0), (t1, k1) = table[place - 1], table[place]
        x0, x1 = 1 / (t0 + ZERO_C_K), 1 / (t1 + ZERO_C_K)
        return exp(log(k0) + (log(k1) - log(k0)) * (x - x0) / (x1 - x0))

    def loosen_per_s(self, temp_c: float) -> float:
        """kd = k/Keq,  Keq(T) = Keq85 exp(-(dH/R)(1/T - 1/358.15))."""
        keq = self.equilibrium_85 * exp(-self.heat_j_mol / GAS_CONSTANT * (1 / (temp_c + ZERO_C_K) - 1 / _REFERENCE_K))
        return self.strike_per_s(temp_c) / keq


def arrhenius(k85_per_s: float, activation_j_mol: float = ACTIVATION_J_MOL) -> tuple[tuple[float, float], ...]:
    """k = k85 exp(-(Ea/R)(1/T - 1/358.15)) as a table at 20 and 100 C, which holds it exactly everywhere."""
    return tuple((temp, k85_per_s * exp(-activation_j_mol / GAS_CONSTANT * (1 / (temp + ZERO_C_K) - 1 / _REFERENCE_K))) for temp in (20.0, 100.0))


@dataclass(frozen=True, kw_only=True, slots=True)
class YarnParameters:
    """The laid yarn, one half (face or back) of it, a square centimetre of the pan at a time."""

    half_mg_cm2: float = 83.0
    """Fibre in one half: 100 g on 600 cm2 (40-150)."""
    held_g_g: float = 3.0
    """Water that soaked yarn holds, g/g; 1.2 where it was squeezed [assumed]."""
    least_held_g_g: float = 0.6
    """Yarn is not boiled drier than this in the model [assumed]."""
    sites_mmol_g: float = 0.82
    """Acid sites; core/bath's figure for wool, less for nylon."""
    half_mobile_share: float = 0.02
    """ah over bmax where the session's own acid does not say it [assumed]."""
    phi0: float = PHI0
    phi_half: float = PHI_HALF
    anisotropy: float = 4.0
    """Spreading along the strands over that across them, times 0.9/0.6 (2.5-6) [assumed]."""
    spreading: float = 1.0
    """Factor on spreading in soaked yarn, along and across, over what D in water gives (0.3-3) [assumed]; a test of spread length tells."""
    strand_cm: float = 0.12
    """Width of a wet strand; footprints vary from strand to strand."""
    strand_spread: float = 0.2
    """Standard deviation of ln(gain) from strand to strand [assumed]."""

    @property
    def b_max(self) -> float:
        """Acid that one half binds at most, mmol/cm2."""
        return self.sites_mmol_g * self.half_mg_cm2 / 1000

    @property
    def soaked_cm(self) -> float:
        """Depth of the water that one soaked half holds: held x half/1000."""
        return self.held_g_g * self.half_mg_cm2 / 1000


@dataclass(frozen=True, kw_only=True, slots=True)
class PowderParameters:
    """Dye powder as it falls."""

    grain_mm: float = 0.12
    """Median radius (0.03-0.5) [assumed]."""
    grain_sd: float = 1.6
    """Geometric standard deviation (1.3-2.2) [assumed]."""
    density_mg_cm3: float = 1200.0
    solubility_mg_cm3: float = 60.0
    """20-150 [assumed]."""
    footprint: float = 2.5
    """Standard deviation of a grain's stain as it dissolves, in radii [assumed]; a sprinkle on wet paper tells."""
    damp_slower: float = 2.0
    """On yarn without free water a grain dissolves so many times slower [assumed]."""

    def dissolves_s(self, radius_cm: float, diffusion_cm2_s: float, *, damp: bool = False) -> float:
        """t_d = rho r^2/(2 D_m c_s), still water (Sh 2); r 0.13 mm at 85 C: about 100 s."""
        still = self.density_mg_cm3 * radius_cm**2 / (2 * diffusion_cm2_s * self.solubility_mg_cm3)
        return still * (self.damp_slower if damp else 1.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class PanParameters:
    """Water over and round the yarn."""

    stirring: float = 1.0
    """Factor on the dispersion of free water by convection: 0.1-10 [assumed]."""
    most_dispersion_cm2_s: float = 0.5
    """Upper bound of it: core/bath's estimate for open water, 5e-5 m2/s [assumed]."""
    evaporation: float = 1.0
    """Factor on core/bath's still-air law (0.65-1.35, 2 with a fan) [assumed]."""
    room_c: float = 21.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Parameters:
    """All but the dyes."""

    yarn: YarnParameters = field(default_factory=YarnParameters)
    powder: PowderParameters = field(default_factory=PowderParameters)
    pan: PanParameters = field(default_factory=PanParameters)
