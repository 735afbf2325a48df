"""`yarn`, `knit`, `stripes`, `picture` as a script uses them."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

SWATCHES = "dye,depth_pct,L,a,b\nKelp,1,42,-16,8\nEmber,1,52,42,38\n"
COLOURWAY = """
name = "Three Shores"
[fibre]
mass = "100 g"
[base]
wool = 0.75
nylon = 0.25
skein = "100 g"
length = "400 m"
round = "1.5 m"
plies = 4
twist = "high"
undyed = [92, 0, 8]
[vessel]
shape = "rectangle"
size = "50 x 30 x 10 cm"
[[dye]]
name = "Kelp"
swatches = "swatches.csv"
[[dye]]
name = "Ember"
swatches = "swatches.csv"
[[step]]
do = "soak"
time = "30 min"
[[step]]
do = "tie off"
over = "120-130 cm"
[[step]]
do = "paint"
dye = "Kelp"
amount = "0.4 g"
over = "0-70 cm"
[[step]]
do = "paint"
dye = "Ember"
amount = "30 ml"
over = "70-110 cm"
[[step]]
do = "steam"
time = "30 min"
"""

POWDER = '[[step]]\ndo = "sprinkle"\ndye = "Kelp"\namount = "0.1 g"\n'
PAINT = '[[step]]\ndo = "paint"\ndye = "Kelp"\namount = "0.1 g"\nover = "0-40 cm"\n'
HOT = '[[step]]\ndo = "heat"\nto = "85 C"\nrate = "10 C/min"\n[[step]]\ndo = "hold"\ntime = "20 min"\n'


@pytest.fixture
def file(tmp_path: Path) -> Path:
    (tmp_path / "swatches.csv").write_text(SWATCHES, encoding="utf-8")
    path = tmp_path / "three-shores.toml"
    path.write_text(COLOURWAY, encoding="utf-8")
    return path


def test_yarn(ask) -> None:  # type: ignore[no-untyped-def]
    found = ask("yarn", "--mass", "100 g", "--length", "400 m", "--json")
    assert found.code == 0
    assert found.json["tex"] == pytest.approx(250.0)
    assert found.json["yd_per_lb"] == pytest.approx(1984.22, abs=0.01)
    assert found.json["categories"] == ["fingering", "sport"]
    assert {"inputs", "warnings", "assumed", "nm", "m_per_100g"} <= set(found.json)


def test_a_put_up_that_is_no_yarn(ask) -> None:  # type: ignore[no-untyped-def]
    found = ask("yarn", "--mass", "100 kg", "--length", "4 m")
    assert found.code == 2
    assert found.err.count("\n") == 1
    assert "no yarn" in found.err


def test_knit(ask) -> None:  # type: ignore[no-untyped-def]
    found = ask("knit", "--gauge", "30 sts/10cm", "--stitches", "64", "--round", "1.5 m", "--json").json
    assert found["stitch_mm"] == pytest.approx(13.667, abs=1e-3)
    assert found["stitches_per_repeat"] == pytest.approx(109.756, abs=1e-3)
    assert found["shift_per_round"] == pytest.approx(64 - 109.756, abs=1e-3)
    assert found["verdict"] == "scatters"
    assert sum(found["verdict_band"].values()) == pytest.approx(1.0)


def test_knit_to_and_fro_and_with_a_ravelled_swatch(ask) -> None:  # type: ignore[no-untyped-def]
    swatch = ("--ravelled", "20 cm", "--ravelled-stitches", "20")
    found = ask("knit", "--gauge", "30 sts/10cm", "--stitches", "50", "--round", "1 m", "--flat", *swatch, "--json").json
    assert found["stitch_mm"] == pytest.approx(10.0)
    assert found["verdict"] == "stacks"
    assert found["shift_per_round"] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("gauge", ["thirty", "30/10cm", "30 sts/0 cm", "3000 sts/10cm", "30 sts/10", ""])
def test_gauges_that_cannot_be(ask, gauge: str) -> None:  # type: ignore[no-untyped-def]
    found = ask("knit", "--gauge", gauge, "--stitches", "64", "--round", "1.5 m")
    assert found.code == 2
    assert "Traceback" not in found.err
    assert found.out == ""


@pytest.mark.parametrize(("gauge", "stitch_mm"), [("7.5 sts/in", 13.885333), ("30 stitches per 10 cm", 13.666667), ("30 sts x 38 rows/10cm", 13.765)])
def test_gauges_as_knitters_write_them(ask, gauge: str, stitch_mm: float) -> None:  # type: ignore[no-untyped-def]
    found = ask("knit", "--gauge", gauge, "--stitches", "64", "--round", "1.5 m", "--json").json
    assert found["stitch_mm"] == pytest.approx(stitch_mm, abs=1e-3)


def test_stripes(ask) -> None:  # type: ignore[no-untyped-def]
    knitted = ("--gauge", "30 sts/10cm", "--stitches", "64")
    found = ask("stripes", "--stripe", "Kelp=10 rows", "--stripe", "Ember=4", *knitted, "--length", "400 m", "--kept", "100 %", "--json").json
    assert [one["name"] for one in found["stripes"]] == ["Kelp", "Ember"]
    assert found["stripes"][0]["wound_m"] == pytest.approx(9.01, abs=0.005)
    assert found["loop_m"] == pytest.approx(sum(one["wound_m"] for one in found["stripes"]))
    assert found["repeats"] * found["loop_m"] == pytest.approx(400.0)
    points = np.array(found["path_mm"])[:-1]
    across = np.abs(np.diff(points, axis=0)[::2, 0]).sum() / 1000.0
    assert across == pytest.approx(found["loop_m"])


def test_stripes_from_a_ravelled_swatch(ask) -> None:  # type: ignore[no-untyped-def]
    """20 stitches that gave 27.4 cm are 13.7 mm each: 10 rows of 64 are 8.768 m, with 3 % waste 9.03 m (by hand)."""
    asked = ("stripes", "--stripe", "Kelp=10", "--stitches", "64", "--length", "400 m", "--kept", "100 %")
    found = ask(*asked, "--ravelled", "27.4 cm", "--json").json
    assert found["stitch_mm"] == pytest.approx(13.7)
    assert found["stripes"][0]["wound_m"] == pytest.approx(9.031, abs=0.001)
    neither = ask(*asked)
    assert (neither.code, neither.out) == (2, "")
    assert "--gauge" in neither.err


def test_a_stripe_that_cannot_be_read(ask) -> None:  # type: ignore[no-untyped-def]
    found = ask("stripes", "--stripe", "Kelp", "--gauge", "30 sts/10cm", "--stitches", "64", "--length", "400 m")
    assert found.code == 2
    assert "Kelp=10 rows" in found.err


@pytest.mark.parametrize("view", ["pan", "open", "twisted", "reskeined", "knitted", "close"])
def test_picture(ask, file: Path, view: str) -> None:  # type: ignore[no-untyped-def]
    out, map_ = file.with_name("f.png"), file.with_name("m.npz")
    size = ("--width", "300", "--height", "200")
    found = ask("picture", str(file), "--view", view, "--out", str(out), "--map", str(map_), *size, "--json")
    assert found.code == 0
    first = out.read_bytes()
    image = Image.open(BytesIO(first))
    assert image.size == (300, 200)
    assert np.asarray(image).std() > 10.0
    assert found.json["not_forecast_from_step"] is None
    assert found.json["depth"] == pytest.approx({"Kelp": 0.004, "Ember": 0.003}, rel=1e-5)
    assert any("1 % solution" in sentence for sentence in found.json["assumed"])
    assert any("idealised" in sentence for sentence in found.json["assumed"])
    with np.load(map_) as held:
        assert held["dye"].ndim == 4
        assert list(held["names"]) == ["Kelp", "Ember"]
        assert str(held["state"]) == ("wet" if view in ("pan", "open") else "relaxed")
    ask("picture", str(file), "--view", view, "--out", str(out), *size)
    assert out.read_bytes() == first


def test_a_picture_ends_before_a_step_that_cannot_be_drawn(ask, file: Path) -> None:  # type: ignore[no-untyped-def]
    ends = '[[step]]\ndo = "remove colour"\nwhat = "Soft wash"\namount = "1 g"\n'
    for more, number in (('[[step]]\ndo = "re-skein"\nround = "1 m"\n', 7), (POWDER, 7)):
        file.write_text(COLOURWAY + more + (ends if more == POWDER else PAINT), encoding="utf-8")
        found = ask("picture", str(file), "--out", str(file.with_name("f.png")), "--width", "150", "--height", "100", "--json").json
        assert found["not_forecast_from_step"] == number
        assert any(f"Not forecast from step {number} " in sentence for sentence in found["warnings"])


def test_powder_is_drawn_where_it_falls_and_weighs_what_was_sprinkled(ask, file: Path) -> None:  # type: ignore[no-untyped-def]
    """The map holds dye on the fibre: with what stayed in the liquor, the powder that was weighed in. Drawn again from its own map, it is the same picture."""
    small = COLOURWAY[: COLOURWAY.index("[[step]]")].replace("100 g", "15 g").replace("400 m", "48 m").replace("1.5 m", "0.8 m")
    file.write_text(small + POWDER.replace("0.1 g", "0.015 g") + HOT, encoding="utf-8")
    first, second, wet = (file.with_name(name) for name in ("a.png", "b.png", "wet.npz"))
    size = ("--view", "close", "--width", "300", "--height", "200", "--json")
    found = ask("picture", str(file), "--out", str(first), "--view", "open", "--map", str(wet), *size[2:]).json
    assert found["not_forecast_from_step"] is None
    spread = ask("spread", str(file), "--quick", "--json").json
    with np.load(wet) as held:
        kelp = float(held["dye"][list(held["names"]).index("Kelp")].mean(dtype=float))
    assert kelp == pytest.approx(0.001 * spread["on_fibre_fraction"], rel=0.02), "15 mg on 15 g"
    assert ask("picture", str(file), "--out", str(first), *size).code == 0
    assert ask("picture", str(file), "--from-map", str(wet), "--out", str(second), *size).code == 0
    assert first.read_bytes() == second.read_bytes()


def test_a_dye_without_a_swatch_is_refused(ask, file: Path) -> None:  # type: ignore[no-untyped-def]
    file.write_text(COLOURWAY.replace('swatches = "swatches.csv"', "", 1), encoding="utf-8")
    out = file.with_name("f.png")
    found = ask("picture", str(file), "--out", str(out))
    assert found.code == 2
    assert "Kelp" in found.err
    assert not out.exists()


def test_a_view_that_is_not_there(ask, file: Path) -> None:  # type: ignore[no-untyped-def]
    found = ask("picture", str(file), "--view", "behind", "--out", str(file.with_name("f.png")))
    assert found.code == 2
    assert "knitted" in found.err


def test_a_size_on_paper(ask, file: Path) -> None:  # type: ignore[no-untyped-def]
    """3 x 2 cm at 300 dots to the inch: 354 x 236."""
    found = ask("picture", str(file), "--paper", "3 x 2 cm", "--out", str(file.with_name("f.png")), "--json").json
    assert (found["width_px"], found["height_px"]) == (354, 236)


def test_a_map_is_drawn_as_its_steps_are(ask, file: Path) -> None:  # type: ignore[no-untyped-def]
    """The wet map that one picture writes, drawn knitted, is what the steps themselves knit up to; another map is not."""
    size = ("--width", "300", "--height", "200")
    wet, first, second = (file.with_name(name) for name in ("wet.npz", "a.png", "b.png"))
    ask("picture", str(file), "--view", "open", "--out", str(first), "--map", str(wet), *size)
    ask("picture", str(file), "--view", "knitted", "--out", str(first), *size)
    assert ask("picture", str(file), "--view", "knitted", "--from-map", str(wet), "--out", str(second), *size).code == 0
    assert first.read_bytes() == second.read_bytes()
    wet.write_bytes(b"no map")
    refused = ask("picture", str(file), "--from-map", str(wet), "--out", str(second))
    assert refused.code == 2
    assert "no skein map" in refused.err


@pytest.fixture
def own(ask, real, tmp_path: Path):  # type: ignore[no-untyped-def]
    """`own("base", "show", ...)`: the command on a studio file with the invented studio in it."""
    file = str(tmp_path / "own.skeinwright")
    assert ask("demo", "--to", file, parts=real).code == 0
    return lambda *said: ask(*said, "--studio", file, parts=real)


def test_a_base_is_laid_open_measured_and_wound_for_stripes(own, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """94 cm of 1 m and 22 over 20 wraps, by hand; ten rounds of 64 stitches at 30 in 10 cm are 8.747 m (Munden), over 0.94 as wound."""
    shown = own("base", "show", "Quay Sock", "--beside", "Heron Two", "--label", "8 ply", "--json").json
    assert shown["tex"] == 250
    assert shown["relax_length"]["rests_on"] == "assumed"
    assert shown["beside"]["Heron Two"]["sentences"]
    assert own("base", "washed", "Quay Sock", "--wet-length", "1 m", "--until-dry", "--json").code == 0
    asked = ("base", "washed", "Quay Sock", "--wet-length", "1 m", "--dry-length", "94 cm", "--wet-wraps", "22", "--dry-wraps", "20")
    found = own(*asked, "--keep", "--json").json
    assert (found["relax_length"], found["relax_width"], found["kept"]) == (pytest.approx(0.94), pytest.approx(1.1), True)
    assert own("base", "show", "Quay Sock", "--json").json["relax_length"]["rests_on"] == "measured by you"
    sheet = tmp_path / "winding.pdf"
    stripes = ("base", "stripes", "Quay Sock", "--stripe", "Kelp 1 %=10", "--stripe", "undyed=10", "--gauge", "30 sts/10cm", "--waste", "0 %")
    planned = own(*stripes, "--sheet", str(sheet), "--keep", "Harbour Lights", "--json").json
    assert planned["loop_m"] == pytest.approx(2 * 8.7467 / 0.94, rel=1e-3)
    assert sheet.read_bytes().startswith(b"%PDF")
    drawn = tmp_path / "sock.png"
    knitted = own("colourway", "knit", "Harbour Lights", "--gauge", "30 sts/10cm", "--stitches", "40", "--rows", "20", "--out", str(drawn), "--json").json
    assert "stripes" in knitted["sentence"]
    assert knitted["piece"]["rows"]["leg"] == 20
    assert drawn.read_bytes().startswith(b"\x89PNG")
    assert knitted["is_even"] is False
    plain = own("colourway", "knit", "Lamp Oil", "--json").json
    assert plain["is_even"] is True
    assert "one colour all over" in plain["sentence"]
    reached = own("base", "reach", "Quay Sock", "--vessel", "Long pan", "--width", "6 cm", "--shuffles", "2", "--json").json
    assert reached["reached"] == pytest.approx(1 - (1 - reached["open"]) ** 2)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("base", "show", "Nowhere"), "no base called Nowhere"),
        (("base", "show", "Quay Sock", "--label", "thick"), "8 ply"),
        (("base", "washed", "Quay Sock", "--wet-length", "1 m"), "Both are needed"),
        (("base", "stripes", "Quay Sock", "--stripe", "Kelp"), "Write each stripe"),
        (("base", "reach", "Quay Sock", "--width", "9 m"), "1 cm to 1 m"),
        (("colourway", "knit", "Lamp Oil", "--stitches", "5"), "whole number"),
    ],
)
def test_what_a_base_cannot_be_asked_is_told_in_a_sentence(own, asked: tuple[str, ...], said: str) -> None:  # type: ignore[no-untyped-def]
    refused = own(*asked)
    assert refused.code == 2
    assert said in refused.err
    assert "Traceback" not in refused.err


def test_a_strand_in_a_photo(ask, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """A strip of 40 px between marks 400 px apart that are 2 cm: 2.00 mm."""
    from PIL import ImageDraw, ImageFilter

    picture, file = Image.new("L", (800, 600), 60), tmp_path / "strand.png"
    ImageDraw.Draw(picture).rectangle((0, 280, 799, 319), fill=220)
    picture.filter(ImageFilter.GaussianBlur(1.5)).save(file)
    found = ask("base", "strand", str(file), "--ruler", "25,10 75,10", "--along", "10,50 90,50", "--length", "2 cm", "--json").json
    assert found["width_mm"] == pytest.approx(2.0, abs=0.04)
    assert found["width_mm_ci"][0] < 2.0 < found["width_mm_ci"][1]
    assert ask("base", "strand", str(file), "--ruler", "25,10", "--along", "10,50 90,50").code == 2
    assert ask("base", "strand", str(file), "--ruler", "25,10 75,10", "--along", "10,5 90,5").code == 2
