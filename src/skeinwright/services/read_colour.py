"""Read a colour that somebody typed, or picked in a photo, for a swatch or an undyed base."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.swatch import READING_SD, Lab, Reading

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from skeinwright.core.colour.pick import Spot


@dataclass(frozen=True, kw_only=True, slots=True)
class ColourRequest:
    """Either `text` ("41.2, -8, -20", "#3a5f7b"), or a `picture` with the `patch` and the `white` spot that were pointed at.

    `picture` is (rows, columns, 3): sRGB 0-255 where it holds bytes, linear light 0-1 where it holds floats.
    `by_eye` says that the colour on the screen was matched beside the real swatch; the spread is then that of an eye.
    """

    text: str = ""
    picture: NDArray[Any] | None = None
    patch: Spot | None = None
    white: Spot | None = None
    by_eye: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class ColourReading:
    """The Lab with its illuminant and observer, how it was read, `sd` in each of L*, a*, b*, what was said, and its colour on a screen (0-255)."""

    lab: Lab
    reading: Reading
    sd: float
    said: str
    srgb: tuple[int, int, int]
    clipped: bool
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]


def read_colour(request: ColourRequest) -> ColourReading:
    """The colour that was meant. Raises BadInput where it cannot be read."""
    if request.picture is not None:
        return _from_picture(request)
    text = request.text.strip()
    if not text:
        raise BadInput("Type L, a, b or a hex colour, or pick a patch in a photo.", where="colour")
    return _from_hex(text, request.by_eye) if _looks_like_hex(text) else _from_lab(text, request.by_eye)


def _looks_like_hex(text: str) -> bool:
    return text.startswith("#") or (len(text) in (3, 6) and text.isalnum() and not text.isdigit()) or (len(text) == 6 and text.isdigit())


def _from_hex(text: str, by_eye: bool) -> ColourReading:
    from skeinwright.core.colour.spaces import hex_to_lab, hex_to_srgb, srgb_to_hex

    srgb = hex_to_srgb(text)
    edge = ("A channel stands at its end (00 or ff): the real colour may lie beyond what hex can say.",) if min(srgb) == 0 or max(srgb) == 255 else ()
    reading = Reading.EYE if by_eye else Reading.HEX
    assumed = ("A hex colour is sRGB: D65, 2 degree.",)
    lab, said = hex_to_lab(text), srgb_to_hex(srgb)
    return ColourReading(lab=lab, reading=reading, sd=READING_SD[reading], said=said, srgb=srgb, clipped=False, warnings=edge, assumed=assumed)


def _from_lab(text: str, by_eye: bool) -> ColourReading:
    from skeinwright.core.colour.recover import recover
    from skeinwright.core.shelf.lab_text import parse_lab

    lab = parse_lab(text, where="colour")
    no_surface = recover(lab).miss > 0.5
    warnings = ("No dyed yarn can have this colour: look for a slip in the figures.",) if no_surface else ()
    reading = Reading.EYE if by_eye else Reading.TYPED
    srgb, clipped = _on_screen(lab)
    assumed = (f"Lab is {lab.illuminant}, {lab.observer} degree.",)
    return ColourReading(lab=lab, reading=reading, sd=READING_SD[reading], said=text, srgb=srgb, clipped=clipped, warnings=warnings, assumed=assumed)


def _from_picture(request: ColourRequest) -> ColourReading:
    import numpy as np

    from skeinwright.core.colour.pick import WHITE_Y, pick_colour
    from skeinwright.core.colour.spaces import srgb_to_linear

    if request.patch is None or request.white is None or request.picture is None:
        raise BadInput("Point at the yarn and at a white spot in the same light, such as a piece of white paper.", where="photo")
    picture = request.picture
    if picture.ndim != 3 or picture.shape[2] != 3:
        raise BadInput("This picture has no red, green and blue. Use a colour photo.", where="photo")
    linear = srgb_to_linear(np.arange(256) / 255)[picture] if picture.dtype == np.uint8 else np.asarray(picture, dtype=float)
    picked = pick_colour(linear, request.patch, request.white)
    srgb, clipped = _on_screen(picked.lab)
    said = f"picked at {request.patch.x:.0f}, {request.patch.y:.0f}"
    assumed = (
        f"The white spot reflects {100 * WHITE_Y:g} % and is neutral, and the yarn lies in the same light.",
        "The camera's file is plain sRGB; without a photo sheet the colour may be off by 5 or more.",
    )
    sd = READING_SD[Reading.PHOTO]
    return ColourReading(lab=picked.lab, reading=Reading.PHOTO, sd=sd, said=said, srgb=srgb, clipped=clipped, warnings=picked.warnings, assumed=assumed)


def _on_screen(lab: Lab) -> tuple[tuple[int, int, int], bool]:
    import numpy as np

    from skeinwright.core.colour.recover import recover
    from skeinwright.core.colour.spaces import lab_to_srgb, spectrum_to_xyz, xyz_to_srgb

    screen = (lab.illuminant, lab.observer) == ("D65", 2)
    srgb, clipped = lab_to_srgb(np.array(lab.values)) if screen else xyz_to_srgb(spectrum_to_xyz(recover(lab).reflectance, "D65", 2))
    red, green, blue = (int(value) for value in srgb)
    return (red, green, blue), bool(clipped)
