"""Pictures as bytes: arrays of pixels in, PNG, JPEG or WebP out, without metadata."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.foundations.errors import BadInput

Format = Literal["png", "jpeg", "webp"]
LOOPS = ("webp", "png", "gif")
MEDIA_TYPES: dict[str, str] = {"png": "image/png", "jpeg": "image/jpeg", "webp": "image/webp"}


def picture_bytes(pixels: NDArray[np.uint8], form: Format = "png", *, quality: int = 90, dpi: int | None = None) -> bytes:
    """An image file of pixels (height, width, 3) uint8 sRGB. PNG is exact and compressed quickly; JPEG and WebP are for screens, quality 1-95.

    The same pixels give the same bytes. No metadata is written but, with `dpi`, how large a PNG
    is on paper. Raises BadInput for another form or another shape.
    """
    from PIL import Image

    if form not in MEDIA_TYPES:
        raise BadInput(f"A picture is written as {', '.join(MEDIA_TYPES)}.", where="format", text=str(form))
    if pixels.ndim != 3 or pixels.shape[2] != 3 or pixels.dtype != np.uint8:
        raise BadInput("A picture is an array of height x width x 3 bytes.", where="pixels")
    image = Image.fromarray(np.ascontiguousarray(pixels))
    out = BytesIO()
    if form == "png":
        image.save(out, "PNG", compress_level=1, **({} if dpi is None else {"dpi": (dpi, dpi)}))
    elif form == "jpeg":
        image.save(out, "JPEG", quality=quality, subsampling=0)
    else:
        image.save(out, "WEBP", quality=quality, method=2)
    return out.getvalue()


def loop_bytes(frames: Sequence[NDArray[np.uint8]], form: str = "webp", *, frame_ms: int = 160, last_ms: int = 1600, quality: int = 80) -> bytes:
    """A short film that repeats, of frames (height, width, 3) alike in size: "webp" (small), "png" (exact) or "gif" (256 colours, for old programs).

    Every frame stands `frame_ms`, the last one `last_ms`. The same frames give the same bytes. Raises BadInput for another form, or without frames.
    """
    from PIL import Image

    if form not in LOOPS or not frames:
        raise BadInput(f"A film is written as {', '.join(LOOPS)}.", where="format", text=form)
    images = [Image.fromarray(np.ascontiguousarray(pixels)) for pixels in frames]
    kinds: dict[str, dict[str, Any]] = {"webp": {"quality": quality, "method": 2}, "png": {}, "gif": {"optimize": False}}
    if form == "gif":
        images = [image.quantize(256, dither=Image.Dither.FLOYDSTEINBERG) for image in images]
    out = BytesIO()
    times = [*[frame_ms] * (len(images) - 1), last_ms]
    images[0].save(out, form.upper(), save_all=True, append_images=images[1:], duration=times, loop=0, **kinds[form])
    return out.getvalue()
