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
from skeinwright.core.spread.arrays import Array
from skeinwright.core.spread.grains import LARGEST_SD

ONE_PHOTO = "One photo of a finished skein tells how far dye went (lambda) and the stain of a grain, never how fast it spread and how fast it struck apart."
SHARP = "The specks are no wider than the grains' own stains: the spread length is below {0:.1f} mm, and cannot be told more finely."
LAMBDA_PRIOR_CM, LAMBDA_PRIOR_SD = 0.05, 0.8
"""Centre and standard deviation of ln lambda before any photo [assumed]."""
LOWEST_RAD_CM, HIGHEST_RAD_CM = 2.0, 35.0
SHARP_BELOW_CM = 0.04
_NINETY = 1.645
_NODES = 41


@dataclass(frozen=True, slots=True)
class Footprint:
    """From a sprinkle on wet paper: median grain radius (mm), geometric sd, and the stain's standard deviation in radii as it was taken."""

    grain_mm: Estimate
    grain_sd: Estimate
    note: str


def powder_footprint(areas_mm2: Sequence[float], mass_mg: float | None = None, *, density_mg_cm3: float = 1200.0, footprint: float = 2.5) -> Footprint:
    """Grain size from stain areas (mm2, 12 or more) counted on wet paper.

        stain diameter at half height = 2 sqrt(2 ln 2) x footprint x r;   ln r: mean and sd over stains;   with the weighed mass of just those grains:
        r_m from n x 4/3 pi rho r_m^3 e^(4.5 L^2) = mass, and footprint from the two together

    Without the mass the footprint in radii is taken as given. Intervals: of the mean and sd of normal numbers.
    """
    areas = np.asarray([area for area in areas_mm2 if area > 0], dtype=float)
    if areas.size < 12:
        raise BadInput("Count at least a dozen stains.", where="stains")
    logs = np.log(2 * np.sqrt(areas / pi) / (2 * sqrt(2 * log(2)) * footprint))
    n, spread = areas.size, float(logs.std(ddof=1))
    half, half_sd = _NINETY * spread / sqrt(n), _NINETY * spread / sqrt(2 * (n - 1))
    sd = Estimate(exp(spread), exp(max(spread - half_sd, 0.0)), exp(spread + half_sd), "", Origin.MEASURED)
    if mass_mg is None:
        centre = float(logs.mean())
        doubt = sqrt(half**2 + log(1.3) ** 2)
        grain = Estimate(exp(centre), exp(centre - doubt), exp(centre + doubt), "mm", Origin.MEASURED, "the stain is taken as 2.5 radii wide, within 30 %")
        return Footprint(grain, sd, "Weigh what you sprinkle and count all stains: that tells the grain without taking the stain's width on trust.")
    if mass_mg <= 0:
        raise BadInput("The powder must weigh something.", where="mass")
    radius = (mass_mg / n / (4 / 3 * pi * density_mg_cm3 * exp(4.5 * spread**2))) ** (1 / 3) * 10
    doubt = sqrt((_NINETY * 3 * spread * sqrt(spread**2 / n)) ** 2 + (_NINETY * 0.1 / 3) ** 2 + half**2 / 9)
    grain = Estimate(radius, radius * exp(-doubt), radius * exp(doubt), "mm", Origin.MEASURED, "from the weight; the powder's density is assumed")
    width = footprint * exp(float(logs.mean())) / radius
    return Footprint(grain, sd, f"The stain is {width:.1f} radii wide (standard deviation).")


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

    fitted to the binned spectrum by logs with a soft loss and a prior on ln lambda. The width of F and lambda stand in for one another: get the powder's
    own size first.
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
        return np.concatenate([(np.log(power / scale) - np.log(model)) * weight, prior])

    start = np.array([log(LAMBDA_PRIOR_CM), log(LAMBDA_PRIOR_CM), 0.0, -8.0])
    fit = least_squares(residual, start, loss="soft_l1", bounds=([-7, -7, -8, -25], [1.0, 1.0, 10, 2]))
    freedom = max(1, power.size - 4)
    covariance = np.linalg.pinv(fit.jac.T @ fit.jac) * 2 * float(fit.cost) / freedom
    doubts = [_NINETY * sqrt(max(float(covariance[i, i]), 0.0) + 0.15**2) for i in (0, 1)]
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


def strike_rate(lifted: Sequence[tuple[float, float]], *, noise: float = 0.03) -> Estimate:
    """k g (1/s) from strands lifted at some times: pairs (time_s, K/S over that of the finished strand, 0-1); noise is the reading's relative sd.

        share = 1 - exp(-k t), fitted by least squares over ln k;   interval from the curve's own slope and the larger of `noise` and the scatter found
    """
    from scipy.optimize import minimize_scalar

    pairs = [(time, min(max(share, 0.0), 0.995)) for time, share in lifted if time > 0]
    if len(pairs) < 2:
        raise BadInput("Lift at least two strands, for example after 30, 60 and 120 s.", where="strands")
    times, shares = np.array(pairs).T
    if shares.max() < 0.05:
        raise BadInput("Hardly any dye has struck in these strands: wait longer before lifting.", where="strands")

    def off(ln_k: float) -> float:
        return float(((1 - np.exp(-np.exp(ln_k) * times) - shares) ** 2).sum())

    best = float(minimize_scalar(off, bounds=(log(1e-5), log(3.0)), method="bounded", options={"xatol": 1e-6}).x)
    k = exp(best)
    slope = k * times * np.exp(-k * times)
    scatter = max(noise, sqrt(off(best) / max(1, len(pairs) - 1)))
    half = _NINETY * scatter / max(float(np.sqrt((slope**2).sum())), 1e-9)
    note = "all strands were nearly done: lift earlier" if shares.min() > 0.9 else ""
    return Estimate(k, k * exp(-half), k * exp(half), "1/s", Origin.MEASURED, note)


def diffusion_from(strike: Estimate, length: Estimate) -> Estimate:
    """D = k lambda^2 (cm2/s) from both tests; the relative intervals add as squares, lambda's counted twice."""
    value = strike.value * (length.value / 10) ** 2
    up = sqrt(log(strike.high / strike.value) ** 2 + (2 * log(length.high / length.value)) ** 2)
    low = length.low if length.low > 0 else length.value / 10
    down = sqrt(log(strike.value / strike.low) ** 2 + (2 * log(length.value / low)) ** 2)
    return Estimate(value, value * exp(-down), value * exp(up), "cm2/s", Origin.MEASURED)
