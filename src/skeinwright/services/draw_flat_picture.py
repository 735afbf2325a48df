"""The flat picture of a photo for the eye: the sheet from straight above, its light evened by the paper, as a small JPEG file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from skeinwright.core.measure.flatten import Flat
    from skeinwright.core.measure.light import Light
    from skeinwright.core.measure.reading import PhotoReading

SHOWN_PX_PER_MM = 5.0
"""A sheet of A4 is 1485 pixels wide."""
QUALITY = 88


def draw_flat_picture(reading: PhotoReading, *, wide: bool = False) -> bytes:
    """A JPEG file of the whole page; b"" where the sheet was not found. `wide` says that the photo stands in Display P3: so does the picture then.

    Where the light is known, each pixel is divided by it and multiplied by the reflectance that is assumed of paper (0.9), so that two photos of one
    sheet can be looked at side by side; without it (a refused photo) the picture is as bright and as tinted as it was taken.
    """
    import io

    from PIL import Image

    from skeinwright.core.measure.flatten import Flat
    from skeinwright.files.wide_gamut import p3_profile

    if reading.flat is None:
        return b""
    flat = reading.flat
    picture = Image.fromarray(flat.pixels)
    share = SHOWN_PX_PER_MM / flat.px_per_mm
    picture = picture.resize((round(picture.width * share), round(picture.height * share)), Image.Resampling.BOX)
    if reading.light is not None:
        import numpy as np

        small = Flat(np.asarray(picture), flat.box, SHOWN_PX_PER_MM)
        picture = Image.fromarray(_evened(small, reading.light, wide))
    target = io.BytesIO()
    picture.save(target, "JPEG", quality=QUALITY, icc_profile=p3_profile() if wide else None)
    return target.getvalue()


def _evened(flat: Flat, light: Light, wide: bool) -> NDArray[Any]:
    """The picture relative to its paper, encoded again in the primaries that it came in."""
    import cv2
    import numpy as np

    from skeinwright.core.colour.pick import WHITE_Y
    from skeinwright.core.measure.light import even
    from skeinwright.files.wide_gamut import p3_to_srgb

    linear = even(flat, light, flat.box, p3_to_srgb() if wide else None) * np.float32(WHITE_Y)
    if wide:
        linear = np.asarray(cv2.transform(linear, np.linalg.inv(p3_to_srgb())))
    steps = np.arange(4096, dtype=np.float64) / 4095
    encoded = np.where(steps <= 0.0031308, 12.92 * steps, 1.055 * steps ** (1 / 2.4) - 0.055)
    table = np.rint(255 * encoded).astype(np.uint8)
    return np.asarray(table[np.rint(np.clip(linear, 0, 1) * 4095).astype(np.int16)])
