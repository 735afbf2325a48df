"""Why two bases differ, in words; and a colourway's steps laid on the map."""

from __future__ import annotations

import numpy as np
import pytest

from skeins import SOCK
from skeinwright.core.colourway.meaning import Place
from skeinwright.core.forecast.why import Measure, why
from skeinwright.core.shelf.items import Base
from skeinwright.core.spread.from_steps import LaidStep, skein_after
from skeinwright.core.spread.skein_map import blank_map

QUAY = Base(name="Quay Sock", fibres=(("wool", 0.75), ("nylon", 0.25)), skein_g=100.0, length_mm=400_000.0, plies=4, twist="high")
FELL = Base(name="Fell Two", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=200_000.0, plies=2, twist="soft")


def test_a_thinner_strand_breaks_a_mark_into_more_pieces() -> None:
    found = why(QUAY, FELL)
    by_name = {one.name: one for one in found.measures}
    assert by_name["strands under a 4 mm mark"].first > by_name["strands under a 4 mm mark"].second
    assert by_name["open to one side when laid 10 cm wide"].ratio > 1.0
    assert any("Quay Sock's strand is thinner" in sentence for sentence in found.sentences)
    assert any("do not change" in sentence for sentence in found.sentences)
    assert any("beaded" in sentence for sentence in found.sentences)


def test_assumed_parts_are_marked_and_measured_ones_are_not() -> None:
    found = why(QUAY, FELL)
    kept = next(one for one in found.measures if one.name == "length kept after washing")
    assert kept.assumed
    measured = [
        Base(name=name, fibres=(("wool", 1.0),), skein_g=100.0, length_mm=4e5, plies=4, twist="high", relax_length=kept, relax_width=1.1)
        for name, kept in (("A", 0.97), ("B", 0.90))
    ]
    told = why(*measured)
    assert not next(one for one in told.measures if one.name == "length kept after washing").assumed
    assert not any("Length kept" in sentence for sentence in told.assumed)


def test_a_measure_is_said_as_people_write_it() -> None:
    assert Measure("", 0.36, 1.08, "share", True).said(1.08) == "108 %"
    assert Measure("", 1.22, 1.63, "mm", True).said(1.63) == "1.6 mm"
    assert Measure("", 4.3, 3.4, "", True).said(3.4) == "3.4"
    assert Measure("", 30.0, 22.0, "degrees", True).said(30.0) == "30 degrees"


def test_the_same_base_twice_does_not_differ() -> None:
    found = why(QUAY, QUAY)
    assert not found.measures
    assert "same geometry" in found.sentences[0]


def laid(*steps: LaidStep):  # type: ignore[no-untyped-def]
    return skein_after(steps, blank_map(("Kelp", "Ember"), SOCK, rows=16, cell_mm=10.0), seed=1)


def test_a_bath_goes_in_evenly_and_a_withdrawn_one_as_a_gradient() -> None:
    even = laid(LaidStep(do="add dye", doses={"Kelp": 0.004}), LaidStep(do="heat", doses={})).skein.dye[0]
    assert np.ptp(even) < 1e-6
    assert even.mean() == pytest.approx(0.004, rel=1e-5)
    graded = laid(LaidStep(do="add dye", doses={"Kelp": 0.004}), LaidStep(do="withdraw", doses={})).skein.dye[0]
    assert graded.mean() == pytest.approx(0.004, rel=1e-5)
    assert np.ptp(graded) > 0.003


def test_a_tie_keeps_out_what_comes_later_and_not_what_came_before() -> None:
    tie = LaidStep(do="tie off", doses={}, place=Place("band", ((600.0, 700.0),)))
    bath = LaidStep(do="add dye", doses={"Kelp": 0.004})
    inside = slice(63, 67)
    before, after = laid(bath, tie).skein.dye[0], laid(tie, bath).skein.dye[0]
    assert before[..., inside].mean() == pytest.approx(0.004, rel=1e-5)
    assert after[..., inside].mean() < 0.0004


def test_a_step_that_cannot_be_drawn_ends_it() -> None:
    found = laid(LaidStep(do="add dye", doses={"Kelp": 0.004}), LaidStep(do="sprinkle", doses={"Ember": 0.001}), LaidStep(do="add dye", doses={"Ember": 0.1}))
    assert found.stopped_at == 2
    assert found.skein.mean() == pytest.approx({"Kelp": 0.004, "Ember": 0.0}, rel=1e-5)


def test_dye_after_winding_a_dyed_skein_anew_is_not_drawn() -> None:
    paint = LaidStep(do="paint", doses={"Kelp": 0.1}, place=Place("all"))
    found = laid(paint, LaidStep(do="re-skein", doses={}, round_mm=1200.0), paint)
    assert found.reskeined_mm == 1200.0
    assert found.stopped_at == 3


def test_an_undyed_skein_wound_anew_is_painted_on_its_new_circumference() -> None:
    """A self-striping loop: 20 m round, 5 m of it painted, the grams exact; the longer loop has as many strands fewer."""
    found = laid(LaidStep(do="re-skein", doses={}, round_mm=20_000.0), LaidStep(do="paint", doses={"Kelp": 0.004}, place=Place("band", ((5_000.0, 10_000.0),))))
    assert found.stopped_at is None
    assert found.skein.round_mm == pytest.approx(20_000.0)
    assert found.skein.strands == round(SOCK.length_mm / 20_000.0)
    assert found.skein.mean()["Kelp"] == pytest.approx(0.004, rel=1e-5)
    along = found.skein.dye[0].mean(axis=(0, 1))
    assert along[: found.skein.cells // 5].max() < 1e-6
    assert along[int(0.3 * found.skein.cells) : int(0.45 * found.skein.cells)].min() == pytest.approx(0.016, rel=0.01)
