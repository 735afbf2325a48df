"""A colourway's colour on each of its bases as one number: its steps up to the first that no model covers.

What a step adds is a depth of shade for each dye, taken to be the same all over the skein; where it is not, the forecast says that it is of all dye mixed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from skeinwright.core.colourway.words import WORDS, is_even
from skeinwright.core.forecast.dyeing import AS_THE_SWATCHES, BaseForecast, Scatter, fit_dyes, forecast_dyeing
from skeinwright.core.forecast.fibre_parts import FibrePart, told_of
from skeinwright.core.forecast.ground import Ground, ground_of
from skeinwright.core.forecast.uptake_scale import UptakeScale
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Lab

NOT_AFTER = "not forecast after this step"
MIXED = "Dye does not lie evenly on this skein: this is the colour of all of it mixed."
StepDoses = tuple[str, Mapping[str, float]]
"""A step's word, and the depth (fraction of the fibre's weight, as applied) that it adds of each dye."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ColourwayForecast:
    """One forecast a base, in the order of the grounds. `stopped_at` is the index of the first step that no model covers, None where all are covered."""

    bases: tuple[BaseForecast, ...]
    doses: Mapping[str, float]
    stopped_at: int | None

    @property
    def stopped(self) -> str:
        """What is said there: "not forecast after this step", or "" where nothing stopped it."""
        return "" if self.stopped_at is None else NOT_AFTER


def forecast_colourway(
    steps: Sequence[StepDoses],
    dyes: Sequence[Dye],
    grounds: Sequence[Ground] = (),
    *,
    seed: int,
    undyed: Mapping[str, Lab] | None = None,
    fibre_g: float | None = None,
    scatter: Scatter | None = None,
    scales: Mapping[str, UptakeScale] | None = None,
    parts: Mapping[str, Sequence[FibrePart]] | None = None,
) -> ColourwayForecast:
    """The forecast of the steps up to the first whose word is not `forecast`.

    Every base is drawn with the same `seed`, so that bases differ by themselves and not by chance. Without grounds: one undyed base of assumed colour.
    `scales` by base puts the pot's uptake against that of the swatches' bath; a base without one stands at the swatches' conditions. `parts` by base
    are its fibres where the pot dyes them differently (`fibre_parts`).
    """
    stopped_at = next((index for index, (do, _) in enumerate(steps) if not WORDS[do].forecast), None)
    even = is_even(do for do, _ in steps[:stopped_at])
    doses: dict[str, float] = {}
    for _, added in steps[:stopped_at]:
        for name, depth in added.items():
            doses[name] = doses.get(name, 0.0) + depth
    models = fit_dyes([dye for dye in dyes if dye.name in doses], undyed)

    def on(ground: Ground) -> BaseForecast:
        scale = (scales or {}).get(ground.name)
        counted = doses if scale is None else {name: scale.depth(name, depth) for name, depth in doses.items()}
        wider = scatter if scale is None else _wider(scatter or Scatter(), scale)
        fibres = (parts or {}).get(ground.name, ())
        apart = [(one.share, one.depths(doses)) for one in fibres]
        rng = np.random.default_rng(seed)
        found = forecast_dyeing(counted, dyes, ground, rng=rng, undyed=undyed, models=models, fibre_g=fibre_g, scatter=wider, parts=apart)
        found = found if scale is None else _told(found, scale)
        found = _apart(found, fibres) if fibres and found.status == "complete" else found
        return found if even else replace(found, notes=(*found.notes, MIXED))

    bases = tuple(on(ground) for ground in grounds or (ground_of(None),))
    return ColourwayForecast(bases=bases, doses=doses, stopped_at=stopped_at)


def _wider(scatter: Scatter, scale: UptakeScale) -> Scatter:
    return replace(scatter, uptake_fraction=float(np.hypot(scatter.uptake_fraction, scale.sd)))


def _apart(found: BaseForecast, fibres: Sequence[FibrePart]) -> BaseForecast:
    notes, assumed = told_of(fibres)
    return replace(found, notes=(*found.notes, *notes), assumed=(*found.assumed, *assumed))


def _told(found: BaseForecast, scale: UptakeScale) -> BaseForecast:
    """What the scale rests on takes the place of "run as the swatches were"."""
    assumed = tuple(dict.fromkeys(line for said in found.assumed for line in (scale.assumed if said == AS_THE_SWATCHES else (said,))))
    return replace(found, notes=(*found.notes, *scale.notes), assumed=assumed)
