"""Colours as a screen shows them in daylight and under indoor lamps, to an eye that has got used to each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from skeinwright.core.colour.tables import Array

LIGHTS = {"D65": "daylight", "A": "warm bulb (A)", "LED-B3": "LED lamp (LED-B3)"}
"""The lights to switch between, in words; the names are CIE's."""


@dataclass(frozen=True, slots=True)
class UnderLamp:
    """sRGB (0-255) of each spectrum under one light."""

    light: str
    words: str
    colours: tuple[tuple[int, int, int], ...]


def show_under_lamps(spectra: Array | Sequence[Array]) -> tuple[UnderLamp, ...]:
    """The spectra (n, 31) under each of `LIGHTS`, 2 degree: XYZ under the lamp, adapted by CAT02 from the lamp's white to D65, then sRGB."""
    import numpy as np

    from skeinwright.core.colour.lights import adapt
    from skeinwright.core.colour.spaces import spectrum_to_xyz, xyz_to_srgb
    from skeinwright.core.colour.tables import white_xyz

    found = []
    for light, words in LIGHTS.items():
        seen = adapt(spectrum_to_xyz(np.asarray(spectra, dtype=float), light, 2), white_xyz(light, 2), white_xyz("D65", 2))
        colours, _ = xyz_to_srgb(seen)
        found.append(UnderLamp(light, words, tuple((int(red), int(green), int(blue)) for red, green, blue in colours)))
    return tuple(found)
