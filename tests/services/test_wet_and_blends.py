"""Wet against dry as a test of the dyer's own, and a yarn of wool and nylon coloured part by part in the studio's forecasts."""

from __future__ import annotations

import dataclasses
import io
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType

import numpy as np
import pytest
from PIL import Image

from invented_dyes import BASE, invented
from lot_studio import studio_in
from skeinwright.core.bath.process import quick_course
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.forecast.dyeing import BaseForecast
from skeinwright.core.forecast.uptake_scale import usual_run
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.learn.wet_pairs import wet_pairs
from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.core.shelf.items import Base, Dye
from skeinwright.core.shelf.lab_text import write_lab
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.services.forecast_colourway import ColourwaySheet, forecast_colourway
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.list_calibrations import list_calibrations
from skeinwright.services.make_own_test import make_own_test
from skeinwright.services.read_test_photo import PhotoOfTest, read_test_photo
from skeinwright.services.see_wet import dried, see_wet
from skeinwright.services.studio import Studio


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    with studio_in(tmp_path) as (studio, _):
        yield studio


def _lab(spectrum: np.ndarray) -> Lab:
    L, a, b = (round(float(value), 1) for value in spectrum_to_lab(spectrum))
    return Lab(L, a, b)


def _wetted(dry: np.ndarray, m: float) -> np.ndarray:
    """K/S times m, solved for R by the textbook quadratic."""
    ks = m * (1 - dry) ** 2 / (2 * dry)
    return np.asarray(1 + ks - np.sqrt(ks * ks + 2 * ks))


def _pieces(m: float) -> list[tuple[Lab, Lab]]:
    rng = np.random.default_rng(12)
    dry = [mix(BASE, invented(rng).at(depth)[None]) for depth in (0.001, 0.004, 0.012, 0.002)]
    return [(_lab(one), _lab(_wetted(one, m))) for one in dry]


def _lines(m: float) -> str:
    return "\n".join(f"{write_lab(dry)} / {write_lab(wet)}" for dry, wet in _pieces(m))


def test_pieces_seen_wet_and_dry_give_the_base_its_own_figure(studio: Studio) -> None:
    before = see_wet(studio, dataclasses.replace(_dry(), base="Quay Sock"))
    made = make_own_test(studio, "wet", {"base": "Quay Sock", "pairs": _lines(3.6)})
    kept = list_calibrations(studio, "base", "Quay Sock", "wet_match")[0].thing
    assert kept.value == pytest.approx(3.6, rel=0.1)
    assert kept.low < 3.6 < kept.high
    assert "4 pieces" in kept.note
    assert "Quay Sock looks" in made.sentences[0]
    after = see_wet(studio, dataclasses.replace(_dry(), base="Quay Sock"))
    assert before is not None
    assert after is not None
    assert (before.origin, before.m) == (Origin.ASSUMED, 2.8)
    assert after.origin is Origin.MEASURED
    assert after.m == pytest.approx(kept.value)
    assert after.lab.L < before.lab.L < _dry_lab().L
    assert after.spread_de00 < before.spread_de00
    assert "your own test of" in after.rests_on


def _dry() -> BaseForecast:
    spectrum = mix(BASE, invented(np.random.default_rng(12)).at(0.004)[None])
    return BaseForecast(base="Quay Sock", status="complete", lab=_lab(spectrum), spectrum=spectrum, spread_de00=2.0)


def _dry_lab() -> Lab:
    lab = _dry().lab
    assert lab is not None
    return lab


def test_a_skein_read_wet_is_told_dry_with_the_bases_figure(studio: Studio) -> None:
    """There and back: wetted by hand with 3.6, read, dried with what the test found."""
    make_own_test(studio, "wet", {"base": "Quay Sock", "pairs": _lines(3.6)})
    spectrum = _dry().spectrum
    assert spectrum is not None
    lab, spread, said = dried(studio, _lab(_wetted(spectrum, 3.6)), "Quay Sock")
    assert float(ciede2000(np.array(lab.values), np.array(_dry_lab().values))) < 1.5
    assert 0 < spread < 4
    assert "own test" in said
    assert "assumed" in dried(studio, lab, "another base")[2]


def test_what_cannot_be_read_is_told_by_line_and_nothing_is_kept(studio: Studio) -> None:
    for pairs, sentence in (("", "there are 0"), (_lines(3.0).splitlines()[0], "there are 1"), ("50, 0, 0\n60, 0, 0 / ??", "Line 1.*stroke")):
        with pytest.raises((ManyBadInputs, BadInput), match=sentence) as problem:
            make_own_test(studio, "wet", {"base": "Quay Sock", "pairs": pairs})
        assert "pairs" in str(getattr(problem.value, "problems", (problem.value,))[0].where)
    swapped = "\n".join(f"{write_lab(wet)} / {write_lab(dry)}" for dry, wet in _pieces(3.0))
    with pytest.raises(BadInput, match="which is which"):
        make_own_test(studio, "wet", {"base": "Quay Sock", "pairs": swapped})
    assert list_calibrations(studio, quantity="wet_match") == []


def test_pieces_pointed_at_in_one_photo_fill_the_pairs(studio: Studio) -> None:
    """Grey pieces of R 0.6, 0.4 and 0.2, wetted by hand with 3, on paper that reflects 0.9: the figure comes back within 15 %."""
    dry = np.array([0.6, 0.4, 0.2])
    linear = np.concatenate([[0.9], np.stack([dry, _wetted(dry, 3.0)], axis=1).ravel()]) / 0.9 * 0.85
    encoded = np.round(255 * (1.055 * linear ** (1 / 2.4) - 0.055)).astype(np.uint8)
    data = io.BytesIO()
    Image.fromarray(np.repeat(np.repeat(np.repeat(encoded[None, :, None], 120, axis=0), 80, axis=1), 3, axis=2)).save(data, "PNG")
    photo = keep_photo(studio, data.getvalue(), "pairs.png").fact.id
    at = {key: ((number + 0.5) / 7, 0.5) for number, key in enumerate(("white", "d1", "w1", "d2", "w2", "d3", "w3"))}
    read = read_test_photo(studio, PhotoOfTest(key="wet", photo=photo, at=at, said={}))
    assert len(read.fields["pairs"].splitlines()) == 3
    make_own_test(studio, "wet", {"base": "Quay Sock", **read.fields})
    assert list_calibrations(studio, quantity="wet_match")[0].thing.value == pytest.approx(3.0, rel=0.15)


def test_kept_readings_of_one_piece_are_paired_the_newest_of_each_state() -> None:
    def reading(lot: str, state: str, L: float, base: str = "Quay Sock", label: str = "") -> KeptReading:
        made_at = datetime(2026, 11, 24, tzinfo=UTC)
        return KeptReading(made_at=made_at, photo=1, lot=lot, base=base, state=state, label=label, lab=Lab(L, 0, 0), spread_de00=3)

    newest_first = [
        reading("A", "wet", 40),
        reading("A", "dry", 55),
        reading("A", "dry", 99),
        reading("B", "dry", 60),
        reading("", "dry", 70, label="red card"),
        reading("", "wet", 52, label="Red card"),
        reading("", "wet", 10),
        reading("C", "wet", 10, base="Fen Single"),
        reading("C", "dry", 20, base="Fen Single"),
    ]
    assert [(dry.lab.L, wet.lab.L) for dry, wet in wet_pairs(newest_first, "quay sock")] == [(55, 40), (70, 52)]


# ---------------------------------------------------------------- wool and nylon


def _sheet(studio: Studio, depth: str, base: str = "Quay Sock") -> ColourwaySheet:
    def step(do: str, **said: str) -> Step:
        return Step(do, MappingProxyType(said))

    steps = (
        step("fill", volume="30:1"),
        step("add dye", dye="Kelp", depth=depth),
        step("lay in"),
        step("add acid", acid="White vinegar", amount="to pH 4.5"),
        step("heat", to="88 C"),
        step("hold", time="40 min"),
    )
    return forecast_colourway(studio, Colourway(name="Inlet", fibre="200 g", bases=(base,), water="Tap", vessel="Big pot", steps=steps))


def _swatches_on(studio: Studio, base: str) -> None:
    truth = invented(np.random.default_rng(5))
    swatches = tuple(
        Swatch(depth=depth, lab=_lab(mix(BASE, truth.at(depth)[None])), reading=Reading.INSTRUMENT, base=base) for depth in (0.0005, 0.002, 0.01, 0.03)
    )
    with studio.store.writing() as writing:
        if "Fen Single" not in [kept.thing.name for kept in writing.items("base")]:
            writing.add_item(Base(name="Fen Single", fibres=(("wool", 1.0),), skein_g=100, length_mm=400_000, superwash=True), now=studio.now())
        kept = writing.item("dye", "Kelp")
        assert isinstance(kept.thing, Dye)
        writing.replace_item(
            "dye", kept.id, dataclasses.replace(kept.thing, swatches=swatches, dye_class="half-milling"), revision=kept.revision, now=studio.now()
        )


def test_wool_and_nylon_are_coloured_apart_and_blended_by_hand(studio: Studio) -> None:
    """The pale dose: dye on each fibre from the bath's own run, over the wool swatches' uptake, mixed by Stearns-Noechel written out here."""
    _swatches_on(studio, "Fen Single")
    found = _sheet(studio, "0.05 %").bases[0].forecast
    assert found.spectrum is not None
    note = next(one for one in found.notes if "nylon holds" in one)
    ratio = float(note.split("holds ")[1].split(" times")[0])
    assert ratio > 1.5
    assert any("Stearns and Noechel" in one for one in found.assumed)
    wool, nylon = _by_hand(studio, 0.0005, ratio)
    mean = 0.75 * _f(wool) + 0.25 * _f(nylon)
    by_hand = (1 - 0.0085 * mean) / (1 + 0.15 * mean)
    assert float(ciede2000(spectrum_to_lab(found.spectrum), spectrum_to_lab(by_hand))) < 0.7


def _f(reflectance: np.ndarray) -> np.ndarray:
    return np.asarray((1 - reflectance) / (0.15 * (reflectance - 0.01) + 0.01))


def _by_hand(studio: Studio, depth: float, ratio: float) -> tuple[np.ndarray, np.ndarray]:
    """Wool and nylon where nearly all dye is on the yarn: w + n = depth over the share that an all-wool bath takes up."""
    from skeinwright.core.bath.pot_run import DyeInPot, FibreInPot
    from skeinwright.core.forecast.ground import ground_of

    usual = quick_course(usual_run((FibreInPot(base="", kind="superwash", mass_g=100.0),), DyeInPot(name="dye", dye_class="half-milling"), depth))
    share = float(usual.uptake["dye"].centre[-1])
    wool = depth / (0.75 + 0.25 * ratio) / share
    truth, ground = invented(np.random.default_rng(5)), ground_of(None).spectrum
    return mix(ground, truth.at(wool)[None]), mix(ground, truth.at(ratio * wool)[None])


def test_swatches_on_the_blend_or_on_no_named_yarn_have_it_in_them_already(studio: Studio) -> None:
    for base in ("Quay Sock", ""):
        _swatches_on(studio, base)
        found = _sheet(studio, "0.05 %").bases[0].forecast
        assert not [one for one in (*found.notes, *found.assumed) if "nylon holds" in one or "Noechel" in one]


def test_a_yarn_of_one_fibre_is_left_alone_and_fibre_that_takes_no_dye_stays_pale(studio: Studio) -> None:
    _swatches_on(studio, "Fen Single")
    with studio.store.writing() as writing:
        writing.add_item(Base(name="Marl", fibres=(("wool", 0.7), ("cotton", 0.3)), skein_g=100, length_mm=400_000, superwash=True), now=studio.now())
    plain, marl = (_sheet(studio, "1 %", base).bases[0].forecast for base in ("Fen Single", "Marl"))
    assert not [one for one in plain.assumed if "Noechel" in one]
    assert any("30 % of this yarn takes no acid dye" in one for one in marl.notes)
    assert plain.lab is not None
    assert marl.lab is not None
    assert marl.lab.L > plain.lab.L + 5
    assert plain.spread_de00 is not None
    assert marl.spread_de00 is not None
    assert marl.spread_de00 > plain.spread_de00


def test_the_forecast_of_a_colourway_says_its_colour_wet_and_what_that_rests_on(studio: Studio) -> None:
    """By hand: K/S of the dry forecast times m, back to R, seen."""
    _swatches_on(studio, "Quay Sock")
    assumed = _sheet(studio, "0.5 %").to_plain()["bases"][0]["wet"]
    make_own_test(studio, "wet", {"base": "Quay Sock", "pairs": _lines(3.6)})
    one = _sheet(studio, "0.5 %").bases[0]
    assert one.wet is not None
    assert one.forecast.spectrum is not None
    assert np.allclose(one.wet.lab.values, spectrum_to_lab(_wetted(one.forecast.spectrum, one.wet.m)), atol=1e-6)
    assert (assumed["m"], "assumed" in assumed["rests_on"]) == (2.8, True)
    assert one.forecast.spread_de00 is not None
    assert one.forecast.spread_de00 < one.wet.spread_de00 < assumed["spread_de00"]
