"""Pictures as bytes: arrays of pixels in, PNG, JPEG or WebP out, without metadata."""

from __future__ import annotations

from io import BytesIO
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput

Format = Literal["png", "jpeg", "webp"]
MEDIA_TYPES: dict[str, str] = {"png": "image/png", "jpeg": "image/jpeg", "webp": "image/webp"}


def picture_bytes(pixels: NDArray[np.uint8], form: Format = "png", *, quality: int = 90) -> bytes:
    """An image file of pixels (height, width, 3) uint8 sRGB. PNG is exact and compressed quickly; JPEG and WebP are for screens, quality 1-95.

    The same pixels give the same bytes. No metadata is written. Raises BadInput for another form or another shape.
    """
    from PIL import Image

    if form not in MEDIA_TYPES:
        raise BadInput(f"A picture is written as {', '.join(MEDIA_TYPES)}.", where="format", text=str(form))
    if pixels.ndim != 3 or pixels.shape[2] != 3 or pixels.dtype != np.uint8:
        raise BadInput("A picture is an array of height x width x 3 bytes.", where="pixels")
    image = Image.fromarray(np.ascontiguousarray(pixels))
    out = BytesIO()
    if form == "png":
        image.save(out, "PNG", compress_level=1)
    elif form == "jpeg":
        image.save(out, "JPEG", quality=quality, subsampling=0)
    else:
        image.save(out, "WEBP", quality=quality, method=2)
    return out.getvalue()
