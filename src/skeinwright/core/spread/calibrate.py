"""What a dyer's own tests say of her powder and yarn: estimates with intervals, and plainly what a test cannot tell.

* Powder on wet paper: stains' areas -> footprint and grain size.
* A photo of a finished test skein -> spread length lambda = sqrt(D/(k g)) along and across; never D and k apart.
* Strands lifted at 30, 60, 120 s -> strike rate k; with lambda, D = k lambda^2.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, pi, sqrt

import numpy as np

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.foundations.posterior import factor_estimate, factor_prior, normal_prior, off
from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.grains import LARGEST_SD, mean_grain_mg
from skeinwright.core.spread.parameters import STRIKE_85_PER_S, DyeParameters, PowderParameters

ONE_PHOTO = "One photo of a finished skein tells how far dye went (lambda) and the stain of a grain, never how fast it spread and how fast it struck apart."
SHARP = "The specks are no wider than the grains' own stains: the spread length is below {0:.1f} mm, and cannot be told more finely."
LAMBDA_PRIOR_CM, LAMBDA_PRIOR_SD = 0.05, 0.8
"""Centre and standard deviation of ln lambda before any photo [assumed]."""
ALONG_OVER_ACROSS, ALONG_OVER_ACROSS_SD = 2.0, 0.35
"""lambda along over lambda across, and the standard deviation of its logarithm, before any photo [assumed; spreading along is about four times that across]."""
FIT_SD = (0.20, 0.35)
"""What the fit misses ln lambda by, along and across, with strands that take unequally and a powder known to a tenth: found on made-up skeins (`tests`)."""
LOWEST_RAD_CM, HIGHEST_RAD_CM = 2.0, 35.0
SHARP_BELOW_CM = 0.04
LEAST_STAINS = 12
STAIN_PRIOR_MM, GRAIN_SD_PRIOR = (0.3, 0.06, 1.5), (1.6, 1.3, 2.2)
"""Usual, least, most before any test [assumed], as `parameters.PowderParameters`."""
CUT_MEAN, CUT_SD = 0.0552, 0.9415
"""Mean (below nought) and sd of a normal number that is never above 2: phi(2)/P(2), and (1 - 2 m - m^2)^(1/2)."""
STRIKE_85_RANGE = (0.003, 0.15)
"""Slow milling to fast levelling [assumed], as `parameters.STRIKE_85_PER_S`."""
_NINETY = 1.645
_NODES = 41


@dataclass(frozen=True, slots=True)
class Footprint:
    """From a sprinkle on wet paper: the stain of a median grain (its standard deviation, mm), the grain's radius (mm), and the geometric sd of radii."""

    stain_mm: Estimate
    grain_mm: Estimate
    grain_sd: Estimate
    note: str


def powder_footprint(
    areas_mm2: Sequence[float], mass_mg: float | None = None, *, blur_mm: float = 0.0, density_mg_cm3: float = 1200.0, footprint: float = 2.5
) -> Footprint:
    """Stain and grain size from stain areas (mm2 at half height, 12 or more) on wet paper.

        sd of a stain = (A/(2 pi ln 2))^(1/2), the photo's blur (its sd) taken off in squares = footprint x r
        ln r: normal about ln r_m with sd L, cut at 2 L above (`grains`): seen mean ln r_m - 0.0552 L, seen sd 0.9415 L
        r_m from the weight of just those grains: n x mean grain = mass; without it r_m = stain/footprint, footprint 2.5 within 30 %

    ln stain and L on a grid; priors: stain 0.3 mm (0.06 to 1.5), L of a sd of 1.3 to 2.2. How wide a stain is in radii is not needed for the stain itself.
    """
    areas = np.asarray([area for area in areas_mm2 if area > 0], dtype=float)
    if areas.size < LEAST_STAINS:
        raise BadInput(f"Count at least a dozen stains; {areas.size} can be read.", where="stains")
    variance = areas / (2 * pi * log(2)) - blur_mm**2
    logs = 0.5 * np.log(np.maximum(variance, 1e-4))
    n, mean, scatter = areas.size, float(logs.mean()), float(logs.var(ddof=1))
    ln_stain, stain_density = factor_prior(*STAIN_PRIOR_MM, points=401, reach=2.0)
    width, width_density = factor_prior(*GRAIN_SD_PRIOR, points=121, reach=2.5)
    width, width_density = width[width > 0.05], width_density[width > 0.05]
    sd = CUT_SD * width[None, :]
    told = -n * np.log(sd) - (n * (mean - (ln_stain[:, None] - CUT_MEAN * width[None, :])) ** 2 + (n - 1) * scatter) / (2 * sd * sd)
    density = stain_density[:, None] + width_density[None, :] + told
    stain, grain_sd = factor_estimate(density, ln_stain, 0, unit="mm"), factor_estimate(density, width, 1, unit="")
    return Footprint(stain, *_grain(stain, grain_sd, n, mass_mg, density_mg_cm3, footprint))


def _grain(stain: Estimate, grain_sd: Estimate, n: int, mass_mg: float | None, density_mg_cm3: float, footprint: float) -> tuple[Estimate, Estimate, str]:
    """The grain's median radius, its sd passed through, and what is to be said."""
    if mass_mg is None:
        value = stain.value / footprint
        up, down = (exp(sqrt(log(ratio) ** 2 + log(1.3) ** 2)) for ratio in (stain.high / stain.value, stain.value / stain.low))
        note = "the stain is taken as 2.5 radii wide, within 30 %"
        said = "Weigh what you sprinkle and count all its stains: that tells the grain without taking the stain's width on trust."
        return Estimate(value, value / down, value * up, "mm", Origin.MEASURED, note), grain_sd, said
    if mass_mg <= 0:
        raise BadInput("The powder must weigh something.", where="mass")

    def radius(sd: float) -> float:
        unit = mean_grain_mg(PowderParameters(grain_mm=1.0, grain_sd=sd, density_mg_cm3=density_mg_cm3))
        return float((mass_mg / n / unit) ** (1 / 3))

    value, wide = radius(grain_sd.value), log(grain_sd.value)
    chance = (exp(9 * (CUT_SD * wide) ** 2) - 1) / n  # of the mean of r^3 over n grains, relative, squared
    doubt = sqrt((_NINETY / 3) ** 2 * chance + log(radius(grain_sd.low) / value) ** 2 + (0.15 / 3) ** 2)
    grain = Estimate(value, value * exp(-doubt), value * exp(doubt), "mm", Origin.MEASURED, "from the weight; the powder's density is assumed")
    return grain, grain_sd, f"The stain is {stain.value / value:.1f} radii wide (standard deviation)."


@dataclass(frozen=True, slots=True)
class SpreadLength:
    """lambda along and across (mm); `sharp` where specks are no wider than the grains' stains."""

    along_mm: Estimate
    across_mm: Estimate
    sharp: bool
    sentences: tuple[str, ...]


def spread_length(ks: Array, px_cm: float, *, grain_mm: float = 0.12, grain_sd: float = 1.6, footprint: float = 2.5, blur_mm: float = 0.1) -> SpreadLength:
    """Spread length from K/S (rows across, columns along) of a speckled skein, pixels of `px_cm`.

        P(kx, ky) = A e^(-kappa^2 blur^2) F(kappa)/(1 + (lx kx)^2 + (ly ky)^2)^2 + noise,     2 <= kappa <= 35 rad/cm
        F = sum_q w_q exp(-kappa^2 (f r_m e^(L t_q))^2),  w_q ~ e^(-t_q^2/2 + 6 L t_q),  L = ln(grain sd)     (cut lognormal grains, weighed by mass squared)

    fitted to the binned spectrum by logs with a soft loss, a prior on ln lambda and one on along over across. The width of F and lambda stand in for
    one another: get the powder's own size first.
    """
    from scipy.optimize import least_squares

    if min(ks.shape) < 64:
        raise BadInput("The photo's piece is too small: 64 by 64 pixels at least.", where="photo")
    kx, ky, power, weight = _spectrum(ks, px_cm)
    footprint_power = _grain_power(np.hypot(kx, ky), grain_mm / 10, grain_sd, footprint) * np.exp(-(np.hypot(kx, ky) ** 2) * (blur_mm / 10) ** 2)
    scale = float(power.max())

    def residual(theta: Array) -> Array:
        lx, ly = np.exp(theta[0]), np.exp(theta[1])
        model = np.exp(theta[2]) * footprint_power / (1 + (lx * kx) ** 2 + (ly * ky) ** 2) ** 2 + np.exp(theta[3])
        prior = (theta[:2] - log(LAMBDA_PRIOR_CM)) / LAMBDA_PRIOR_SD
        tie = (theta[0] - theta[1] - log(ALONG_OVER_ACROSS)) / ALONG_OVER_ACROSS_SD
        return np.concatenate([(np.log(power / scale) - np.log(model)) * weight, prior, [tie]])

    start = np.array([log(LAMBDA_PRIOR_CM), log(LAMBDA_PRIOR_CM), 0.0, -8.0])
    fit = least_squares(residual, start, loss="soft_l1", bounds=([-7, -7, -8, -25], [1.0, 1.0, 10, 2]))
    freedom = max(1, power.size - 4)
    covariance = np.linalg.pinv(fit.jac.T @ fit.jac) * 2 * float(fit.cost) / freedom
    doubts = [_NINETY * sqrt(max(float(covariance[i, i]), 0.0) + floor**2) for i, floor in enumerate(FIT_SD)]
    along, across = (10 * exp(float(fit.x[i])) for i in (0, 1))
    estimates = [Estimate(value, value * exp(-doubt), value * exp(doubt), "mm", Origin.MEASURED) for value, doubt in zip((along, across), doubts, strict=True)]
    sharp = max(along, across) < 10 * SHARP_BELOW_CM
    said = [ONE_PHOTO, *([SHARP.format(10 * SHARP_BELOW_CM)] if sharp else [])]
    if sharp:
        estimates = [Estimate(one.value, 0.0, max(one.high, 10 * SHARP_BELOW_CM), "mm", Origin.MEASURED, "an upper bound") for one in estimates]
    return SpreadLength(estimates[0], estimates[1], sharp, tuple(said))


def _spectrum(ks: Array, px_cm: float) -> tuple[Array, Array, Array, Array]:
    """|FFT|^2 in bins of (|kx|, |ky|): middles of the bins, mean power, and weight (root of the count, at most 3)."""
    centred = ks - ks.mean()
    window = np.hanning(ks.shape[0])[:, None] * np.hanning(ks.shape[1])[None, :]
    power = np.abs(np.fft.fft2(centred * window)) ** 2
    ky, kx = (2 * pi * np.abs(np.fft.fftfreq(n, px_cm)) for n in ks.shape)
    edges = np.concatenate([[0.0], np.geomspace(LOWEST_RAD_CM, HIGHEST_RAD_CM, 13)])
    gx, gy = np.broadcast_to(kx[None, :], ks.shape).ravel(), np.broadcast_to(ky[:, None], ks.shape).ravel()
    kappa = np.hypot(gx, gy)
    inside = (kappa >= LOWEST_RAD_CM) & (kappa <= HIGHEST_RAD_CM)
    label = np.digitize(gx[inside], edges) * 100 + np.digitize(gy[inside], edges)
    _, where = np.unique(label, return_inverse=True)
    count = np.bincount(where)
    means = [np.bincount(where, values[inside]) / count for values in (gx, gy, power.ravel())]
    kept = (count >= 3) & (means[2] > 0)
    return means[0][kept], means[1][kept], means[2][kept], np.minimum(np.sqrt(count[kept]), 3.0)


def _grain_power(kappa: Array, radius_cm: float, sd: float, footprint: float) -> Array:
    width = log(sd)
    t = np.linspace(-4.0, LARGEST_SD, _NODES)
    weights = np.exp(-0.5 * t**2 + 6 * width * t)
    sizes = footprint * radius_cm * np.exp(width * t)
    return np.asarray(np.exp(-(kappa[:, None] ** 2) * sizes[None, :] ** 2) @ (weights / weights.sum()))


def strike_rate(lifted: Sequence[tuple[float, float]], *, noise: float = 0.03, temp_c: float = 85.0) -> Estimate:
    """k g (1/s) from strands lifted at some times: pairs (time_s, K/S over that of the finished strand); `noise` is one reading's relative sd.

        share = (1 - exp(-k t)) e^(d + e_i);   e_i and the finished strand's own d normal with sd `noise`
        prior: ln k, 0.03 (0.003 to 0.15) at 85 C with 75 kJ/mol (`parameters`)

    k and d on a grid, d summed out.
    """
    pairs = [(time, share) for time, share in lifted if time > 0]
    if len(pairs) < 2:
        raise BadInput("Lift at least two strands, for example after 30, 60 and 120 s.", where="strands")
    if any(not 0 <= share <= 1.5 for _, share in pairs):
        raise BadInput("A strand has a share between 0 and 1 of the finished strand's depth.", where="strands")
    if max(share for _, share in pairs) < 0.05:
        raise BadInput("Hardly any dye has struck in these strands: wait longer before lifting.", where="strands")
    warm = DyeParameters().strike_per_s(temp_c) / STRIKE_85_PER_S
    ln_k, density = factor_prior(warm * STRIKE_85_PER_S, warm * STRIKE_85_RANGE[0], warm * STRIKE_85_RANGE[1], points=1201, reach=2.5)
    finished, common = normal_prior(0.0, -_NINETY * noise, _NINETY * noise, points=25)
    told = density[:, None] + common[None, :]
    for time, share in pairs:
        expected = -np.expm1(-np.exp(ln_k[:, None]) * time) * np.exp(finished[None, :])
        told = told + off(share, expected, np.maximum(noise * expected, 0.005)) - np.log(np.maximum(noise * expected, 0.005))
    note = "all strands were nearly done: lift earlier" if min(share for _, share in pairs) > 0.9 else ""
    return factor_estimate(told, ln_k, 0, unit="1/s", note=note)


def at_85(strike: Estimate, temp_c: float) -> Estimate:
    """A rate of strike that was found at `temp_c`, carried to 85 C with the usual activation energy of 75 kJ/mol (`parameters`)."""
    warm = DyeParameters().strike_per_s(temp_c) / STRIKE_85_PER_S
    return Estimate(strike.value / warm, strike.low / warm, strike.high / warm, strike.unit, strike.origin, strike.note)


def diffusion_from(strike: Estimate, length: Estimate) -> Estimate:
    """D = k lambda^2 (cm2/s) from both tests; the relative intervals add as squares, lambda's counted twice."""
    value = strike.value * (length.value / 10) ** 2
    up = sqrt(log(strike.high / strike.value) ** 2 + (2 * log(length.high / length.value)) ** 2)
    low = length.low if length.low > 0 else length.value / 10
    down = sqrt(log(strike.value / strike.low) ** 2 + (2 * log(length.value / low)) ** 2)
    return Estimate(value, value * exp(-down), value * exp(up), "cm2/s", Origin.MEASURED)
