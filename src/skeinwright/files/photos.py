"""Photos in: any picture bytes, opened safely and kept plainly.

What is kept is a new picture: turned upright, in sRGB, without place, time, camera or any other metadata, under a name made from its own hash.
One that is to be measured in, and reaches further than sRGB, is kept in Display P3.
Nothing of the file that came in is written to disk. Limits stand before decoding: the bytes, and the pixels that the header announces.
"""

from __future__ import annotations

import hashlib
import io
import os
import re
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import NotFound, PhotoRefused

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from PIL import Image

LIMIT_BYTES = 50_000_000
LIMIT_PIXELS = 64_000_000
LIMIT_SIDE_PX = 20_000
PREVIEW_PX = 640
FORMATS = ("JPEG", "PNG", "WEBP")
Plain = tuple["Image.Image", tuple[str, ...], bool]
"""A picture, notes, and whether it stands in P3."""
NAME = re.compile(r"[0-9a-f]{32}(-small)?\.jpg")
"""What the name of a kept photo looks like; nothing else is read or written in the photo folder."""


@dataclass(frozen=True, slots=True)
class KeptPicture:
    """A picture as it was written into the photo folder. `notes` says what could not be honoured."""

    file: str
    preview: str
    width_px: int
    height_px: int
    size_bytes: int
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OpenPhoto:
    """A picture to measure in: `pixels` (rows, columns, 3) of encoded bytes, upright. `matrix` (3, 3) takes its linear light to linear sRGB, None where
    it is sRGB; colours beyond sRGB are kept. `notes` says what could not be honoured.
    """

    pixels: NDArray[np.uint8]
    matrix: NDArray[np.float64] | None
    notes: tuple[str, ...] = ()


def open_photo(data: bytes) -> OpenPhoto:
    """The picture in `data` for measuring: as `open_picture`, but a wide-gamut profile is turned to Display P3 rather than cut down to sRGB.

    Raises PhotoRefused as `open_picture` does.
    """
    import numpy as np

    from skeinwright.files.wide_gamut import p3_to_srgb

    picture, notes, wide = _opened(data, lambda opened: _plain(opened, keep_wide=True))
    return OpenPhoto(np.array(picture), p3_to_srgb() if wide else None, notes)


def open_picture(data: bytes) -> tuple[Image.Image, tuple[str, ...]]:
    """The picture in `data` as an upright sRGB image, and notes. JPEG, PNG, WebP and HEIC are read.

    Raises PhotoRefused, with a sentence, for anything else, for a damaged file, and for one beyond the limits.
    """
    picture, notes, _ = _opened(data, _plain)
    return picture, notes


def _opened(data: bytes, plainly: Callable[[Image.Image], Plain]) -> Plain:
    """The picture in `data`, made plain by `plainly`; whatever goes wrong in a decoder is a sentence."""
    if not data:
        raise PhotoRefused("The file is empty. Choose the picture again.")
    if len(data) > LIMIT_BYTES:
        raise PhotoRefused(f"The file has {len(data) / 1e6:.0f} MB; up to {LIMIT_BYTES / 1e6:.0f} MB are read. Export it smaller and try again.")
    try:
        picture = _open_heic(data) if _is_heic(data) else _open_other(data)
        return plainly(picture)
    except PhotoRefused:
        raise
    except Exception as error:  # the decoders raise nearly anything on hostile or damaged bytes
        raise PhotoRefused("The picture cannot be read: the file is damaged, or not a JPEG, PNG, WebP or HEIC. Take or export it again.") from error


def keep_picture(data: bytes, folder: Path, *, keep_wide: bool = False) -> KeptPicture:
    """Opens `data` as `open_picture` does and writes the picture and its preview into `folder`, whole or not at all.

    With `keep_wide` a picture of a wider gamut is kept in Display P3, with that profile and a little less loss: it is to be measured in.
    """
    from skeinwright.files.wide_gamut import p3_profile

    picture, notes, wide = _opened(data, lambda opened: _plain(opened, keep_wide=keep_wide))
    picture = _without_metadata(picture) if keep_wide else picture
    profile = p3_profile() if wide else None
    large = _jpeg(picture, 95 if keep_wide else 92, profile)
    small = picture.copy()
    small.thumbnail((PREVIEW_PX, PREVIEW_PX))
    stem = hashlib.sha256(large).hexdigest()[:32]
    folder.mkdir(parents=True, exist_ok=True)
    write_whole(folder / f"{stem}.jpg", large)
    write_whole(folder / f"{stem}-small.jpg", _jpeg(small, 85, profile))
    return KeptPicture(f"{stem}.jpg", f"{stem}-small.jpg", picture.width, picture.height, len(large), notes)


def photo_path(folder: Path, name: str) -> Path:
    """The path of a kept photo. Raises NotFound for a name that is none or a file that is gone."""
    path = folder / name
    if not NAME.fullmatch(name) or not path.is_file():
        raise NotFound("This photo is not in the studio's photo folder. It may have been moved by hand; a backup still holds it.")
    return path


def write_whole(path: Path, data: bytes) -> None:
    """Writes a file so that it is there as a whole or not at all, and on disk before this returns."""
    draft = path.with_name(f".{path.stem}.{secrets.token_hex(6)}.part")
    try:
        with draft.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        draft.replace(path)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    if os.name == "posix":  # the new name itself must be on disk too
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _is_heic(data: bytes) -> bool:
    return data[4:8] == b"ftyp" and data[8:12] in {b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"heif"}


def _check_size(width: int, height: int) -> None:
    if width * height > LIMIT_PIXELS or max(width, height) > LIMIT_SIDE_PX:
        raise PhotoRefused(f"The picture has {width} x {height} pixels; up to {LIMIT_PIXELS // 1_000_000} million are read. Export it smaller and try again.")


def _open_heic(data: bytes) -> Image.Image:
    import pi_heif

    found = pi_heif.open_heif(io.BytesIO(data))  # reads the boxes only; pixels are decoded by to_pillow, already upright
    _check_size(*found.size)
    picture: Image.Image = found.to_pillow()
    return picture


def _open_other(data: bytes) -> Image.Image:
    import warnings

    from PIL import Image, ImageOps, JpegImagePlugin, PngImagePlugin, WebPImagePlugin

    assert {JpegImagePlugin.JpegImageFile.format, PngImagePlugin.PngImageFile.format, WebPImagePlugin.WebPImageFile.format} == set(FORMATS)

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # Pillow warns of large pictures and odd metadata; our own limit decides
        try:
            picture = Image.open(io.BytesIO(data), formats=FORMATS)
        except Image.DecompressionBombError:  # Pillow's own limit lies beyond ours
            sentence = f"The picture has too many pixels; up to {LIMIT_PIXELS // 1_000_000} million are read. Export it smaller and try again."
            raise PhotoRefused(sentence) from None
        _check_size(*picture.size)
        picture.load()
        return ImageOps.exif_transpose(picture)


def _plain(picture: Image.Image, keep_wide: bool = False) -> Plain:
    """The pixels alone, 8 bits, in sRGB (or in P3 where the profile is another and `keep_wide`), what is see-through laid on white."""
    profile = picture.info.get("icc_profile")
    picture = _eight_bits(picture)
    if "A" in picture.getbands() or "transparency" in picture.info:
        picture = _on_white(picture)
    notes: tuple[str, ...] = ()
    wide = False
    if profile:
        wide = keep_wide and picture.mode == "RGB" and not _is_srgb(profile)
        picture, notes = _from_profile(picture, profile, wide)
    picture = picture if picture.mode == "RGB" else picture.convert("RGB")
    return (picture if keep_wide else _without_metadata(picture)), notes, wide and not notes  # to measure in, only the array of pixels is taken


def _is_srgb(profile: bytes) -> bool:
    """True where the profile calls itself sRGB, as most pictures do: nothing need be kept beyond it."""
    from PIL import ImageCms

    try:
        return "srgb" in ImageCms.getProfileDescription(ImageCms.ImageCmsProfile(io.BytesIO(profile))).casefold()
    except (ImageCms.PyCMSError, OSError, ValueError):
        return False


def _without_metadata(picture: Image.Image) -> Image.Image:
    from PIL import Image

    bare = Image.new("RGB", picture.size)
    bare.paste(picture)
    return bare


def _eight_bits(picture: Image.Image) -> Image.Image:
    if not picture.mode.startswith(("I", "F")):
        return picture
    import numpy as np
    from PIL import Image

    values = np.asarray(picture).astype(np.float64)
    return Image.fromarray(np.clip(values / (257.0 if picture.mode.startswith("I") else 1.0), 0, 255).round().astype(np.uint8))


def _on_white(picture: Image.Image) -> Image.Image:
    from PIL import Image

    picture = picture.convert("RGBA")
    ground = Image.new("RGBA", picture.size, (255, 255, 255, 255))
    return Image.alpha_composite(ground, picture).convert("RGB")


def _from_profile(picture: Image.Image, profile: bytes, wide: bool) -> tuple[Image.Image, tuple[str, ...]]:
    from PIL import ImageCms

    from skeinwright.files.wide_gamut import p3_profile

    try:
        target = ImageCms.ImageCmsProfile(io.BytesIO(p3_profile())) if wide else ImageCms.createProfile("sRGB")
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if picture.mode not in ("RGB", "L", "CMYK"):
            picture = picture.convert("RGB")
        turned = ImageCms.profileToProfile(picture, source, target, renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC, outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture, ("The picture's colour profile cannot be read; its colours are taken as sRGB.",)
    assert turned is not None
    return turned, ()


def _jpeg(picture: Image.Image, quality: int, profile: bytes | None = None) -> bytes:
    target = io.BytesIO()
    picture.save(target, "JPEG", quality=quality, subsampling=0, optimize=True, icc_profile=profile)
    return target.getvalue()
