"""The services of photographs: the sheet, the ruler check, a photo measured, an overdye on the skein's picture."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from photo_proofs import pixels, speckled, swatches, synthetic
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, PhotoRefused
from skeinwright.files.photos import open_photo
from skeinwright.services.change_settings import change_settings
from skeinwright.services.check_ruler import CheckRuler, check_ruler
from skeinwright.services.get_settings import get_settings
from skeinwright.services.make_photo_sheet import make_photo_sheet
from skeinwright.services.measure_photo import FIGURES, STAGES, Measured, MeasurePhoto, measure_photo
from skeinwright.services.overdye_on_skein import Overdye, OverdyeOnSkein, overdye_on_skein
from skeinwright.services.studio import Studio


@pytest.fixture(scope="module")
def skein() -> Measured:
    return measure_photo(MeasurePhoto(photo=speckled().data, reference=speckled().reference_csv, ruler="199.8 mm, 200 mm"))


def test_the_sheet_is_made_for_both_papers() -> None:
    assert make_photo_sheet("A4")[:5] == make_photo_sheet("letter")[:5] == b"%PDF-"
    with pytest.raises(BadInput, match="a4 or letter"):
        make_photo_sheet("legal")


def test_a_printer_s_rulers_are_kept_and_replaced(studio: Studio) -> None:
    check_ruler(studio, CheckRuler(printer="By the door", across="199 mm", upright="20.1 cm"))
    check_ruler(studio, CheckRuler(printer="Library", across="200 mm", upright="200 mm"))
    kept = check_ruler(studio, CheckRuler(printer=" by  the door ", across="199,5 mm", upright="200.5 mm"))
    assert (kept.across_mm, kept.upright_mm, kept.checked_on.isoformat()) == (199.5, 200.5, "2026-11-24")
    assert [printer.name for printer in get_settings(studio).printers] == ["by the door", "Library"]
    change_settings(studio, {"currency": "kr"})
    assert len(get_settings(studio).printers) == 2


@pytest.mark.parametrize(("across", "says"), [("150 mm", "far off"), ("ten", "ten"), ("200 g", "length")])
def test_a_ruler_that_cannot_be_is_refused(studio: Studio, across: str, says: str) -> None:
    with pytest.raises((BadInput, ManyBadInputs), match=says):
        check_ruler(studio, CheckRuler(printer="p", across=across, upright="200 mm"))
    assert get_settings(studio).printers == ()


def test_a_good_photo_gives_its_figures(skein: Measured) -> None:
    plain = skein.to_plain()
    truth = speckled().yarns[0]
    assert plain["verdict"] == "accept"
    assert (plain["illuminant"], plain["observer"]) == ("D65", 2)
    low, high = plain["area_cm2_ci"]
    assert low < truth.area_cm2 < high
    assert sum(one["share"] for one in plain["palette"]) == pytest.approx(1)
    assert plain["palette"][0]["lab"] == plain["ground_lab"]
    assert plain["correction"]["patches"] == 24
    assert plain["correction"]["left_out_median_de00"] < plain["spread_de00"] == plain["correction"]["left_out_90_de00"]
    assert all(plain[name] is None and plain[f"{name}_ci"] is None for name in ("coverage", "per_cm2", "median_mm", "edge_mm"))


def test_an_unchecked_ruler_widens_the_area_and_is_said(skein: Measured) -> None:
    unchecked = measure_photo(MeasurePhoto(photo=speckled().data, reference=speckled().reference_csv)).to_plain()
    checked = skein.to_plain()
    assert np.diff(unchecked["area_cm2_ci"]) > 1.5 * np.diff(checked["area_cm2_ci"])
    assert any("rulers" in sentence for sentence in unchecked["assumed"])
    assert unchecked["inputs"]["ruler"] == "not checked"


def test_a_refused_photo_gives_no_figure() -> None:
    blurred = synthetic.take(synthetic.ladder_scene(2, 5, card=False), synthetic.Shot(width_px=2150, blur_px=9.0))
    found = measure_photo(MeasurePhoto(photo=blurred.data))
    plain = found.to_plain()
    assert plain["verdict"] == "refuse"
    assert plain["messages"]
    assert all(plain[name] is None for name in FIGURES)
    assert "pieces" not in plain
    with pytest.raises(PhotoRefused):
        overdye_on_skein(OverdyeOnSkein(reading=found.reading, find=lambda spectra: []))


@pytest.mark.parametrize(
    ("more", "where"),
    [({"form": "felted"}, "form"), ({"ruler": "200 mm"}, "ruler"), ({"ruler": "100 mm, 100 mm"}, "ruler"), ({"reference": "a,b\n1,2\n"}, "reference")],
)
def test_what_cannot_be_meant_is_refused_before_the_photo_is_read(more: dict[str, str], where: str) -> None:
    with pytest.raises(BadInput) as refused:
        measure_photo(MeasurePhoto(photo=b"never looked at", **more))
    assert refused.value.where == where


def test_stop_is_heard_at_every_stage_of_the_reading() -> None:
    """On five swatches: whichever time it is told how far it is, what that raises ends the work there and then."""

    class Enough(Exception):
        pass

    heard: list[tuple[float, str]] = []
    measure_photo(MeasurePhoto(photo=swatches().data), lambda share, said: heard.append((share, said)))
    shares = [share for share, _ in heard]
    assert shares == sorted(shares)
    assert 0 < shares[0] < shares[-1] < 0.9
    assert list(dict.fromkeys(said for _, said in heard)) == [said for _, said in STAGES]
    assert sum(said == STAGES[-1][1] for _, said in heard) == 5 * 4, "four times for each swatch"
    for place in (0, 3, 5, len(heard) - 1):
        left = iter(range(place + 1))

        def tell(share: float, said: str, left: Iterator[int] = left, last: int = place) -> None:
            if next(left) == last:
                raise Enough

        with pytest.raises(Enough):
            measure_photo(MeasurePhoto(photo=swatches().data), tell)
        assert list(left) == [], "nothing went on after it"


def test_rulers_with_decimal_commas_are_two_numbers() -> None:
    found = measure_photo(MeasurePhoto(photo=b"x", ruler="199,5 mm, 200,5 mm"))
    assert found.inputs["ruler"] == "199.5 mm, 200.5 mm"


def test_a_turned_photo_reads_as_the_upright_one() -> None:
    scene = synthetic.ladder_scene(2, 5, card=False)
    labs = []
    for orientation in (1, 6):
        taken = synthetic.take(scene, synthetic.Shot(width_px=2150, blur_px=0.5, orientation=orientation, quality=97))
        found = measure_photo(MeasurePhoto(photo=taken.data)).to_plain()
        labs.append([piece["mean_lab"] for piece in found["pieces"]])
    assert np.array(labs[0]) == pytest.approx(np.array(labs[1]), abs=0.4)


def test_colours_beyond_srgb_are_not_cut_off() -> None:
    """A P3 green (40, 230, 60): linear P3 to sRGB gives a red below nought (test_photo_colour_science.py holds the matrix to colour-science)."""
    target = io.BytesIO()
    Image.new("RGB", (40, 40), (40, 230, 60)).save(target, "PNG", icc_profile=synthetic.p3_profile())
    opened = open_photo(target.getvalue())
    assert opened.matrix is not None
    assert opened.pixels[20, 20] == pytest.approx([40, 230, 60], abs=2)
    linear = np.where(opened.pixels[20, 20] / 255 <= 0.04045, 0, ((opened.pixels[20, 20] / 255 + 0.055) / 1.055) ** 2.4)
    assert (opened.matrix @ linear)[0] < -0.1
    plain = open_photo(synthetic.take(synthetic.Scene((), card=False), synthetic.Shot(width_px=600)).data)
    assert plain.matrix is None


def test_overdyes_are_shown_on_the_skein(skein: Measured) -> None:
    assert skein.reading is not None
    asked = []

    def find(spectra: np.ndarray) -> list[Overdye]:
        asked.append(spectra)
        ks = 4 * np.exp(-(((np.arange(400, 701, 10) - 460) / 60) ** 2))
        return [Overdye(f"{strength} of it", np.array([mix(one, (strength * ks)[None]) for one in spectra])) for strength in (0.2, 1.0, 2.0, 4.0)]

    found = overdye_on_skein(OverdyeOnSkein(reading=skein.reading, find=find))
    assert asked[0].shape == (3, 31)  # the ground and two specks
    assert [shown.said for shown in found.shown] == ["0.2 of it", "1.0 of it", "2.0 of it"]
    was = np.array(Image.open(io.BytesIO(found.picture)))
    yellower = []
    for shown in found.shown:
        picture = np.array(Image.open(io.BytesIO(shown.picture)))
        assert picture.shape == was.shape
        middle = picture[picture.shape[0] // 3 : -picture.shape[0] // 3, picture.shape[1] // 3 : -picture.shape[1] // 3].mean(axis=(0, 1))
        yellower.append(middle[0] - middle[2])
    assert yellower == sorted(yellower)
    wanted = spectrum_to_lab(mix(asked[0][0], (4 * np.exp(-(((np.arange(400, 701, 10) - 460) / 60) ** 2)))[None]), "D65", 2)
    assert found.shown[1].colours[0].values == pytest.approx(tuple(wanted), abs=0.05)
    assert found.shown[1].colours[0].observer == 2


def test_photographs_in_other_forms_are_read() -> None:
    picture = Image.fromarray(pixels(swatches()))
    for form in ("PNG", "WEBP"):
        target = io.BytesIO()
        picture.save(target, form, **({"compress_level": 1} if form == "PNG" else {"quality": 95, "method": 0}))
        assert measure_photo(MeasurePhoto(photo=target.getvalue())).verdict == "accept"


def test_a_heic_file_of_a_wide_gamut_phone_is_measured_to_its_truth() -> None:
    """The file was made once by libheif's heif-enc (quality 60) from the JPEG of this very scene and shot; the scene's truth is exact."""
    shot = synthetic.Shot(width_px=1800, blur_px=0.5, seed=6, camera=3, profile="p3", distortion=0.02, noise=0.003, quality=98)
    taken = synthetic.take(synthetic.ladder_scene(6, 6), shot)
    data = (Path(__file__).parent / "data" / "swatches_wide.heic").read_bytes()
    opened = open_photo(data)
    assert opened.matrix is not None  # Display P3, kept wide
    found = measure_photo(MeasurePhoto(photo=data, reference=taken.reference_csv))
    assert found.reading is not None
    assert found.reading.found is not None
    assert found.reading.found.lens_k > 0.01  # the lens was taken out
    off = [float(ciede2000(np.array(piece.mean_lab), truth.mean_lab)) for piece, truth in zip(found.reading.pieces, taken.yarns, strict=True)]
    assert np.median(off) < 1.5
    assert max(off) < 3
    areas = [piece.area_cm2 / truth.area_cm2 for piece, truth in zip(found.reading.pieces, taken.yarns, strict=True)]
    assert areas == pytest.approx([1.0] * 6, abs=0.03)
    without = measure_photo(MeasurePhoto(photo=taken.data, reference=taken.reference_csv))
    assert without.reading is not None
    assert (
        max(float(ciede2000(np.array(one.mean_lab), np.array(other.mean_lab))) for one, other in zip(found.reading.pieces, without.reading.pieces, strict=True))
        < 0.5
    )
