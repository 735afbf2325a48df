"""Photos: nothing that could tell where or by whom is kept, colours are turned to sRGB, and hostile files are refused with a sentence."""

import io
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from skeinwright.core.foundations.errors import NotFound, PhotoRefused
from skeinwright.files import photos
from skeinwright.services.find_photo import find_photo
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.studio import Studio


def picture(width: int = 64, height: int = 32) -> Image.Image:
    """Red on the left, blue on the right."""
    made = Image.new("RGB", (width, height), (200, 30, 40))
    made.paste((20, 40, 180), (width // 2, 0, width, height))
    return made


def saved(made: Image.Image, form: str = "JPEG", **how: object) -> bytes:
    target = io.BytesIO()
    made.save(target, form, **how)
    return target.getvalue()


def with_gps(orientation: int = 1) -> bytes:
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "SecretMaker"
    exif[0x9286] = "SecretComment"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 12.0), 3: "W", 4: (0.0, 7.0, 39.0)})
    data = saved(picture(), exif=exif, comment=b"SecretJpegComment", quality=95)
    assert Image.open(io.BytesIO(data)).getexif().get_ifd(0x8825)[1] == "N"
    return data


def near(value: tuple[int, ...], wanted: tuple[int, int, int], tolerance: int = 12) -> bool:
    return all(abs(one - other) <= tolerance for one, other in zip(value, wanted, strict=True))


def test_place_and_all_metadata_are_dropped(studio: Studio) -> None:
    kept = keep_photo(studio, with_gps(), "IMG_1\n.jpg")
    for preview in (False, True):
        data = find_photo(studio, kept.fact.id, preview=preview).read_bytes()
        opened = Image.open(io.BytesIO(data))
        assert dict(opened.getexif()) == {}
        assert set(opened.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        assert b"Secret" not in data
        assert b"Exif" not in data
    assert (kept.fact.width_px, kept.fact.height_px, kept.fact.said_name) == (64, 32, "IMG_1.jpg")
    assert sorted(file.name for file in studio.photos.iterdir()) == sorted([kept.fact.file, kept.fact.preview])


def test_orientation_is_applied(studio: Studio) -> None:
    kept = keep_photo(studio, with_gps(orientation=6))  # 6: the camera was turned; the picture stands on its side
    opened = Image.open(find_photo(studio, kept.fact.id))
    assert opened.size == (32, 64)
    assert near(opened.getpixel((16, 5)), (200, 30, 40))  # turned a quarter to the right, the left edge is on top
    assert near(opened.getpixel((16, 58)), (20, 40, 180))


def test_the_same_picture_is_kept_once(studio: Studio) -> None:
    assert keep_photo(studio, with_gps()).fact == keep_photo(studio, with_gps()).fact
    assert len(list(studio.photos.iterdir())) == 2


@pytest.mark.parametrize(("form", "mode"), [("PNG", "RGB"), ("PNG", "RGBA"), ("PNG", "P"), ("PNG", "L"), ("WEBP", "RGB"), ("JPEG", "CMYK")])
def test_other_forms_are_read(form: str, mode: str) -> None:
    opened, notes = photos.open_picture(saved(picture().convert(mode), form))
    assert (opened.mode, opened.size, notes) == ("RGB", (64, 32), ())


def test_sixteen_bits_keep_their_tones() -> None:
    grey = Image.fromarray(np.full((8, 8), 128 * 257, dtype=np.uint16))
    opened, _ = photos.open_picture(saved(grey, "PNG"))
    assert opened.getpixel((4, 4)) == (128, 128, 128)


def test_what_is_see_through_lies_on_white() -> None:
    opened, _ = photos.open_picture(saved(Image.new("RGBA", (8, 8), (0, 0, 0, 0)), "PNG"))
    assert opened.getpixel((4, 4)) == (255, 255, 255)


def test_an_embedded_profile_is_turned_to_srgb() -> None:
    """A picture in CIELAB-near D50 XYZ is awkward to make; a profile with another gamma is not: 128 of gamma 1 is linear 0.502, in sRGB 188."""
    linear = linear_profile()
    opened, notes = photos.open_picture(saved(Image.new("RGB", (8, 8), (128, 128, 128)), "PNG", icc_profile=linear))
    assert notes == ()
    # IEC 61966-2-1: 1.055 * 0.50196^(1/2.4) - 0.055 = 0.7367 -> 187.9
    assert near(opened.getpixel((4, 4)), (188, 188, 188), 1)
    _, notes = photos.open_picture(saved(Image.new("RGB", (8, 8)), "PNG", icc_profile=b"rubbish"))
    assert "profile" in notes[0]


def linear_profile() -> bytes:
    """The sRGB profile with its three tone curves replaced by gamma 1 (an ICC `curv` tag of count 0 is the identity)."""
    data = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    count = struct.unpack(">I", data[128:132])[0]
    changed = 0
    for number in range(count):
        tag, offset, size = struct.unpack(">4sII", data[132 + 12 * number : 144 + 12 * number])
        if tag in (b"rTRC", b"gTRC", b"bTRC"):
            data[offset : offset + size] = (b"curv" + b"\0" * 8).ljust(size, b"\0")
            changed += 1
    assert changed == 3
    return bytes(data)


def png_claiming(width: int, height: int, rows: bytes = b"\0" * 100) -> bytes:
    """A few bytes that announce a huge picture; `rows` are its pixels."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    )


REFUSED = {
    "nothing": b"",
    "text": b"<svg onload='alert(1)'/>",
    "a bomb": png_claiming(60_000, 60_000),
    "a long thin bomb": png_claiming(30_000, 1, b"\0" * 90_001),
    "a large one": png_claiming(12_000, 12_000),
    "a picture cut short": saved(picture(600, 600))[:1500],
    "a png without its pixels": png_claiming(100, 100),
    "heic in name only": b"\0\0\0\x18ftypheic" + b"\0" * 40,
    "another form": saved(picture(), "GIF"),
    "postscript": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n",
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_cannot_be_trusted_is_refused_with_a_sentence_and_not_kept(studio: Studio, what: str) -> None:
    with pytest.raises(PhotoRefused) as refused:
        keep_photo(studio, REFUSED[what], "x.jpg")
    assert refused.value.sentence.endswith(".")
    assert ("pixels" in refused.value.sentence) == (what in ("a bomb", "a long thin bomb", "a large one"))
    assert refused.value.exit_code == 3
    assert not studio.photos.exists()


def test_too_many_bytes_are_refused_before_they_are_looked_at() -> None:
    with pytest.raises(PhotoRefused, match="MB"):
        photos.open_picture(b"\0" * (photos.LIMIT_BYTES + 1))


HEIC = Path(__file__).parent / "data" / "two_colours.heic"
"""96 x 64, red on the left and blue on the right, with a place in its metadata; made for this test with an encoder that is not shipped."""


def test_heic_is_read_and_loses_its_metadata(studio: Studio) -> None:
    assert b"SecretMaker" in HEIC.read_bytes()
    kept = keep_photo(studio, HEIC.read_bytes(), "IMG_2.HEIC")
    data = find_photo(studio, kept.fact.id).read_bytes()
    opened = Image.open(io.BytesIO(data))
    assert (opened.format, opened.size, b"Secret" in data) == ("JPEG", (96, 64), False)
    assert near(opened.getpixel((10, 30)), (200, 30, 40), 20)
    assert near(opened.getpixel((85, 30)), (20, 40, 180), 20)


@pytest.mark.parametrize("name", ["../studio.skeinwright", "x.jpg", "/etc/passwd", f"{'0' * 32}.jpg/../x", f"{'0' * 32}.jpg"])
def test_only_kept_names_are_read_from_the_folder(studio: Studio, name: str) -> None:
    studio.photos.mkdir()
    (studio.photos / "x.jpg").write_bytes(b"x")
    with pytest.raises(NotFound):
        photos.photo_path(studio.photos, name)
