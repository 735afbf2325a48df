"""The colour of one base after a bath with known doses, and how far it may be off.

The doses are depths of shade as applied (fractions of the fibre's weight). The forecast stands at the conditions under which the swatches were dyed: uptake is
in the swatches already. The spread comes from draws: of the swatches' reading, of what they leave open, of weighing, of uptake, of the ground, and of the
model itself; it is the radius round the forecast, in CIEDE2000, that holds 90 % of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from skeinwright.core.colour.blend import blend
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.ladder import DyeModel, fit_dye
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.recover import ADDED_SD_OBSERVER, logistic, recover
from skeinwright.core.colour.spaces import spectrum_to_lab, spectrum_to_xyz, xyz_to_srgb
from skeinwright.core.colour.tables import Array
from skeinwright.core.forecast.ground import Ground, ground_of
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import ASSUMED_UNDYED, Lab

DRAWS = 200
HELD = 0.9
AS_THE_SWATCHES = "The bath is run as the swatches were: same acid, heat and time."
_FAR = 1.5
_MOST_LOGIT = 3.0
"""A draw moves the ground no further than this: near black and white the slope no longer says how far a spectrum moves."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Scatter:
    """What varies between the recipe and the pot; standard deviations, all [assumed]."""

    weighing_fraction: float = 0.02
    weighing_g: float = 0.01
    uptake_fraction: float = 0.05
    """Common to all dyes of a pot: temperature, acid, water and time are never quite the same."""
    law_lab: float = 0.4
    """In each of L*, a*, b*: what the mixing law misses with perfect inputs."""
    curve_lab: float = 0.58
    """The same of a depth curve through a single swatch. Through swatches at n depths it is over sqrt(n): every one of them holds the curve at its place."""

    def model_lab(self, swatched: Sequence[int]) -> float:
        """The two together: sqrt(law^2 + curve^2 mean(1/n)), n the number of depths at which each dye of a recipe has swatches.

        0.70 where each has one, 0.52 where each has three.
        """
        shares = [1 / max(count, 1) for count in swatched]
        return float(np.sqrt(self.law_lab**2 + self.curve_lab**2 * (sum(shares) / len(shares) if shares else 0.0)))


@dataclass(frozen=True, slots=True)
class Edge:
    """One end of what the colour could be, with its label."""

    words: str
    lab: Lab
    srgb: tuple[int, int, int]
    clipped: bool


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class BaseForecast:
    """The forecast of one base. `status` is "incomplete" where a dye's colour is not known; then there is no colour at all.

    `lab` is D65, 10 degree; `srgb` (0-255) is D65, 2 degree, of the same spectrum, and `clipped` says that a screen cannot show it.
    """

    base: str
    status: Literal["complete", "incomplete"]
    lab: Lab | None = None
    srgb: tuple[int, int, int] | None = None
    clipped: bool = False
    spread_de00: float | None = None
    edges: tuple[Edge, ...] = ()
    spectrum: Array | None = None
    rests_on: str = ""
    notes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def fit_dyes(dyes: Sequence[Dye], undyed: Mapping[str, Lab] | None = None) -> dict[str, DyeModel]:
    """A model for every dye that has a dyed swatch. `undyed` gives the undyed colour of the bases that swatches name; 93, 0, 8 stands for the others."""
    known = undyed or {}
    models = {}
    for dye in dyes:
        if any(swatch.depth > 0 for swatch in dye.swatches):
            bases = np.array([recover(known.get(swatch.base, ASSUMED_UNDYED)).reflectance for swatch in dye.swatches])
            models[dye.name] = fit_dye(dye.swatches, bases)
    return models


def forecast_dyeing(
    doses: Mapping[str, float],
    dyes: Sequence[Dye],
    ground: Ground | None = None,
    *,
    rng: np.random.Generator,
    undyed: Mapping[str, Lab] | None = None,
    models: Mapping[str, DyeModel] | None = None,
    fibre_g: float | None = None,
    scatter: Scatter | None = None,
    draws: int = DRAWS,
    parts: Sequence[tuple[float, Mapping[str, float]]] = (),
) -> BaseForecast:
    """The colour of `ground` after a bath with `doses` {dye's name: depth as a fraction}.

    `models` are those of `fit_dyes`, made here where they are not given; `fibre_g` turns the balance's 0.01 g into a share of the dose. `parts` are a yarn's
    fibres where they take up differently, as (share, depths that count in it): the colour is then that of their blend (Stearns-Noechel), and half of what
    they move it away from `doses` spread evenly is added to the spread, since how unequally fibres take up is known within about that [assumed].
    """
    ground = ground or ground_of(None)
    used = {name: depth for name, depth in doses.items() if depth > 0}
    by_name = {dye.name: dye for dye in dyes}
    models = models if models is not None else fit_dyes([by_name[name] for name in used if name in by_name], undyed)
    missing = tuple(name for name in used if name not in models)
    if missing:
        said = tuple(_no_colour(name, by_name) for name in missing)
        return BaseForecast(base=ground.name, status="incomplete", rests_on="Not enough is known for a forecast.", notes=said, assumed=ground.assumed)
    even = _coloured(used, models, ground)
    shares = np.array([share for share, _ in parts])
    spectrum = blend(np.array([_coloured(depths, models, ground) for _, depths in parts]), shares) if used and parts else even
    lab = spectrum_to_lab(spectrum)
    scatter = scatter or Scatter()
    if used and parts:
        seed = int(rng.integers(2**62))  # one seed for all: the parts hang in one bath and are weighed once
        each = [_draw_spectra(depths, models, ground, fibre_g, scatter, np.random.default_rng(seed), draws) for _, depths in parts]
        drawn_spectra = blend(np.array(each), shares)
    else:
        drawn_spectra = _draw_spectra(used, models, ground, fibre_g, scatter, rng, draws)
    drawn = spectrum_to_lab(drawn_spectra)
    if used:
        drawn = drawn + scatter.model_lab([len(set(models[name].rungs)) for name in used]) * rng.standard_normal(drawn.shape)
    spread = float(np.quantile(ciede2000(lab, drawn), HELD))
    if used and parts:
        spread = float(np.hypot(spread, 0.5 * float(ciede2000(lab, spectrum_to_lab(even)))))
    if ground.observer_changed or any(models[name].observer_changed for name in used):
        spread += ADDED_SD_OBSERVER
    srgb, clipped = _screen(spectrum)
    return BaseForecast(
        base=ground.name,
        status="complete",
        lab=as_lab(lab),
        srgb=srgb,
        clipped=clipped,
        spread_de00=spread,
        edges=_edges(lab, drawn, drawn_spectra),
        spectrum=spectrum,
        rests_on=_rests_on(used, by_name, ground),
        notes=_notes(used, models, clipped),
        assumed=(*_assumed(used, by_name, undyed or {}, fibre_g, scatter), *ground.assumed),
    )


def _coloured(depths: Mapping[str, float], models: Mapping[str, DyeModel], ground: Ground) -> Array:
    layers = [models[name].ks(depth, ground.name) for name, depth in depths.items() if depth > 0]
    return mix(ground.spectrum, np.array(layers)) if layers else ground.spectrum


def as_lab(values: Array) -> Lab:
    """Lab (D65, 10 degree) of three numbers."""
    L, a, b = (float(value) for value in values)
    return Lab(L, a, b)


def _screen(spectrum: Array) -> tuple[tuple[int, int, int], bool]:
    srgb, clipped = xyz_to_srgb(spectrum_to_xyz(spectrum, "D65", 2))
    red, green, blue = (int(value) for value in srgb)
    return (red, green, blue), bool(clipped)


def _draw_spectra(
    used: Mapping[str, float], models: Mapping[str, DyeModel], ground: Ground, fibre_g: float | None, scatter: Scatter, rng: np.random.Generator, n: int
) -> Array:
    spectrum = np.clip(ground.spectrum, 1e-4, 1 - 1e-4)
    moved = (ground.sd * rng.standard_normal((n, 3))) @ ground.logit_slope.T
    grounds = logistic(np.log(spectrum / (1 - spectrum)) + np.clip(moved, -_MOST_LOGIT, _MOST_LOGIT))
    uptake = np.exp(scatter.uptake_fraction * rng.standard_normal(n))
    layers = []
    for name, depth in used.items():
        if depth <= 0:
            continue
        weighing = scatter.weighing_fraction
        if fibre_g:
            weighing = max(weighing, scatter.weighing_g / (depth * fibre_g))
        depths = depth * uptake * np.clip(1 + weighing * rng.standard_normal(n), 0.02, None)
        layers.append(models[name].draw(depths, rng, ground.name))
    return mix(grounds, np.array(layers)) if layers else grounds


def _edges(lab: Array, drawn: Array, spectra: Array) -> tuple[Edge, ...]:
    """The draws nearest to the 5 % and 95 % ends along the direction in which chroma changes; lightness, where the colour is close to grey."""
    grey = float(np.hypot(lab[1], lab[2])) < 5
    words = ("could be as dark as this", "could be as light as this") if grey else ("could be as dull as this", "could be as bright as this")
    measure = drawn[:, 0] if grey else np.hypot(drawn[:, 1], drawn[:, 2])
    off = measure - measure.mean()
    sd = float(off.std())
    if sd < 1e-9:
        return ()
    direction = (off[:, None] * (drawn - drawn.mean(axis=0))).mean(axis=0) / sd
    edges = []
    for word, way in zip(words, (-1.645, 1.645), strict=True):
        nearest = int(np.argmin(np.sum((spectrum_to_lab(spectra) - lab - way * direction) ** 2, axis=1)))
        srgb, clipped = _screen(spectra[nearest])
        edges.append(Edge(word, as_lab(spectrum_to_lab(spectra[nearest])), srgb, clipped))
    return tuple(edges)


def _no_colour(name: str, by_name: Mapping[str, Dye]) -> str:
    if name not in by_name:
        return f"{name} is not on the shelf: its colour is not known."
    return f"{name} has no swatch: its colour is not known."


def _rests_on(used: Mapping[str, float], by_name: Mapping[str, Dye], ground: Ground) -> str:
    parts = []
    for name in used:
        swatches = [swatch for swatch in by_name[name].swatches if swatch.depth > 0] if name in by_name else []
        readings = ", ".join(dict.fromkeys("spectrum" if swatch.spectrum else swatch.reading.value for swatch in swatches))
        parts.append(f"{len(swatches)} swatch{'es' if len(swatches) != 1 else ''} of {name} ({readings})")
    return f"Rests on {', '.join([*parts, f'the base as {ground.origin.value}'])}."


def _notes(used: Mapping[str, float], models: Mapping[str, DyeModel], clipped: bool) -> tuple[str, ...]:
    notes = []
    for name, depth in used.items():
        model = models[name]
        if depth > _FAR * model.deepest:
            notes.append(f"{100 * depth:.3g} % of {name} is beyond its deepest swatch ({100 * model.deepest:.3g} %): the forecast is a guess there.")
        notes.extend(f"{name}: {flag}{'' if flag.endswith('?') else '.'}" for flag in model.flags)
    if clipped:
        notes.append("This colour is stronger than a screen can show.")
    return tuple(notes)


def _assumed(used: Mapping[str, float], by_name: Mapping[str, Dye], undyed: Mapping[str, Lab], fibre_g: float | None, scatter: Scatter) -> tuple[str, ...]:
    if not used:
        return ()
    said = [AS_THE_SWATCHES]
    balance = f" or {scatter.weighing_g:g} g" if fibre_g else ""
    uptake = f"uptake repeats within {100 * scatter.uptake_fraction:.2g} % (one standard deviation each)"
    said.append(f"Weighing is within {100 * scatter.weighing_fraction:g} %{balance}, {uptake}.")
    if any(swatch.base not in undyed and not swatch.spectrum for name in used if name in by_name for swatch in by_name[name].swatches):
        L, a, b = ASSUMED_UNDYED.values
        said.append(f"The undyed yarn under the swatches is Lab {L:g}, {a:g}, {b:g} (D65, 10 degree).")
    return tuple(said)
