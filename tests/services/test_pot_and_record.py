"""What the studio knows reaches the pot: the record's pH, the dyer's own tests, the burner; and the lot's colour follows its pot."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from lot_studio import TIDEWRACK, Clock, step, studio_in
from skeinwright.core.bath.acids import VINEGAR, AcidDose
from skeinwright.core.bath.charge_balance import solve_ph
from skeinwright.core.bath.fibre import sponges_of
from skeinwright.core.bath.ph import Bath, best_guess, composition
from skeinwright.core.bath.process import process
from skeinwright.core.bath.uptake_of_acid import acid_for_ph_after
from skeinwright.core.bath.waters import stated_alkalinity
from skeinwright.core.bath.what_if import WhatIf
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.in_pot import ReadPh, pot_of_rows
from skeinwright.core.lot.lot import Entered
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Base, Dye, Heat
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.services.correct_recipe import CorrectRequest, correct_recipe
from skeinwright.services.draft_lot import RowWanted, StartLot, draft_lot
from skeinwright.services.edit_shelf import edit_shelf
from skeinwright.services.estimate_liquor import estimate_liquor
from skeinwright.services.find_lot_colour import find_lot_colour
from skeinwright.services.follow_lot import follow_lot
from skeinwright.services.follow_pot import PotQuestion, follow_pot
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.keep_calibration import keep_calibration
from skeinwright.services.make_own_test import make_own_test
from skeinwright.services.record_entry import RecordEntry, record_entry
from skeinwright.services.record_extra import RecordExtra, record_extra
from skeinwright.services.record_instead import RecordInstead, record_instead
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.start_lot import start_lot
from skeinwright.services.start_unplanned_pot import StartUnplannedPot, start_unplanned_pot
from skeinwright.services.studio import Studio
from skeinwright.services.tick_step import TickStep, tick_step

DONE = date(2026, 11, 20)
ACID_FIRST = dataclasses.replace(TIDEWRACK, name="Acid first", steps=tuple(TIDEWRACK.steps[place] for place in (0, 1, 5, 2, 3, 4, 6, 7, 8, 9)))


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[tuple[Studio, Clock]]:
    with studio_in(tmp_path) as (studio, clock):
        with studio.store.writing() as writing:
            for name, dye_class, b in (("Kelp", "milling", -30), ("Ember", "levelling", 40)):
                kept = writing.item("dye", name)
                assert isinstance(kept.thing, Dye)
                swatches = tuple(Swatch(depth=depth, lab=Lab(lightness, 20, b), reading=Reading.TYPED) for depth, lightness in ((0.003, 70), (0.02, 40)))
                new = dataclasses.replace(kept.thing, dye_class=dye_class, swatches=swatches)
                writing.replace_item("dye", kept.id, new, revision=kept.revision, now=studio.now())
        yield studio, clock


@pytest.fixture
def studio(opened: tuple[Studio, Clock]) -> Studio:
    return opened[0]


def acid_of(studio: Studio, *first: str) -> float:
    """Vinegar (ml) to pH 4.5 in an unplanned pot of 3 l, after the steps named."""
    pot = start_unplanned_pot(studio, StartUnplannedPot(vessel="Big pot", base="Quay Sock", skeins=1))
    record_extra(studio, RecordExtra(lot=pot.code, do="fill", said={"volume": "3 l"}))
    for do in first:
        record_extra(studio, RecordExtra(lot=pot.code, do=do))
    (dose,) = record_extra(studio, RecordExtra(lot=pot.code, do="add acid", said={"acid": "White vinegar", "amount": "to pH 4.5"})).doses
    return dose.amount


def test_an_unplanned_pot_counts_the_wool_that_lies_in_it(studio: Studio) -> None:
    """The same sum by the core: 3 l of 120 mg/L, pH 4.5 once 75 g of wool and 25 g of nylon have drunk; the vinegar's own water moves it by a trace."""
    bath = Bath(volume_ml=3000, alkalinity=stated_alkalinity(120))
    expected = acid_for_ph_after(bath, VINEGAR, 4.5, sponges_of(1.0, (("wool", 75.0), ("nylon", 25.0)))).amount.value
    before, after = acid_of(studio), acid_of(studio, "lay in")
    assert after == pytest.approx(expected, rel=0.02)
    assert after > 1.1 * before


def test_without_a_fill_acid_to_a_ph_is_refused(studio: Studio) -> None:
    pot = start_unplanned_pot(studio, StartUnplannedPot(vessel="Big pot", base="Quay Sock", skeins=1))
    with pytest.raises(BadInput, match="how much liquor"):
        record_extra(studio, RecordExtra(lot=pot.code, do="add acid", said={"acid": "White vinegar", "amount": "to pH 4.5"}))


def calibrate(studio: Studio, of_kind: str, of: str, quantity: str, value: float) -> None:
    keep_calibration(studio, Calibration("a test", of_kind, of, quantity, value, 0.9 * value, 1.1 * value, "x", DONE))


def test_own_tests_are_used_and_named(studio: Studio) -> None:
    plain = follow_pot(studio, TIDEWRACK, draws=0)
    calibrate(studio, "vessel", "Big pot", "evaporation_factor", 2.0)
    said = {"water": "Tap", "volume": "4 l", "strength": "5 %", "vinegar": "30 ml", "ph": "5.19", "read_with": "meter"}  # 250 mg/L, by the table of the model
    make_own_test(studio, "alkalinity", said)
    calibrate(studio, "dye", "Ember", "partition_factor", 0.2)
    found = follow_pot(studio, TIDEWRACK, draws=0)
    assert plain.course is not None
    assert found.course is not None
    assert plain.measured == ()
    assert [said.split(":")[0] for said in found.measured] == ["Alkalinity of Tap", "Steam off Big pot", "Hold of Ember on the fibre"]
    lost = [one.course.water_l.centre.max() - one.course.water_l.centre[-1] for one in (plain, found) if one.course is not None]
    assert lost[1] == pytest.approx(2 * lost[0], rel=0.01)
    assert found.course.ph.centre[-1] > plain.course.ph.centre[-1] + 0.3
    assert found.dyes["Ember"].exhaustion.value < plain.dyes["Ember"].exhaustion.value - 0.02
    edit_shelf(studio, "water", "Tap", {"alkalinity_mg_l": "87 mg/L"})
    later = follow_pot(studio, TIDEWRACK, draws=0)
    assert later.course is not None
    assert later.course.run.alkalinity.value == 87
    assert [said.split(":")[0] for said in later.measured] == ["Steam off Big pot", "Hold of Ember on the fibre"]
    assert any("alkalinity of Tap" in note and "87" in note for note in later.notes)


def test_a_weak_burner_holds_the_ramp_back_and_says_so(studio: Studio) -> None:
    quick = dataclasses.replace(TIDEWRACK, steps=tuple(step("heat", to="88 C", rate="10 C/min") if one.do == "heat" else one for one in TIDEWRACK.steps))
    before = follow_pot(studio, quick, draws=0)
    with studio.store.writing() as writing:
        writing.add_item(Heat(name="Left ring", does="burner", energy="electric plate", power_w=1000.0), now=studio.now())
    after = follow_pot(studio, quick, draws=0)
    assert before.course is not None
    assert after.course is not None
    assert after.course.time_s[-1] > before.course.time_s[-1] + 600
    assert any("on Left ring at full power" in said for said in after.notes)
    assert not any("Left ring" in said for said in before.notes)


def test_a_reading_corrects_by_its_error_and_a_strip_in_coloured_liquor_does_not(studio: Studio) -> None:
    strip, meter = (follow_pot(studio, ACID_FIRST, draws=0, asked=PotQuestion(read=ReadPh(3.7, 3, by))) for by in (0.5, 0.1))
    assert strip.course is not None
    assert meter.course is not None
    model = float(follow_pot(studio, ACID_FIRST, draws=0).course.ph.centre[-1])  # type: ignore[union-attr]
    assert model > 4
    assert -0.3 < meter.course.ph_offset < 5 * strip.course.ph_offset < 0, "both say that it is less than the model; the surer one more so"
    assert "strip that read pH 3.7 ± 0.5 after step 3" in strip.measured[0]
    late = follow_pot(studio, TIDEWRACK, draws=0, asked=PotQuestion(read=ReadPh(4.5, 6, 0.5)))
    assert late.course is not None
    assert late.course.ph_offset == 0
    assert any("cannot be read in coloured liquor" in said for said in late.notes)
    by_meter = follow_pot(studio, TIDEWRACK, draws=0, asked=PotQuestion(read=ReadPh(4.5, 6, 0.1))).course
    assert by_meter is not None
    assert by_meter.ph_offset != 0
    nowhere = follow_pot(studio, TIDEWRACK, draws=0, asked=PotQuestion(read=ReadPh(4.5, 99)))
    assert any("no bath in the pot then" in said for said in nowhere.notes)


def test_the_bands_start_from_the_same_reading(studio: Studio) -> None:
    asked = PotQuestion(read=ReadPh(7.0, 2, 0.1))
    line, full = follow_pot(studio, TIDEWRACK, draws=0, asked=asked), follow_pot(studio, TIDEWRACK, draws=40, asked=asked)
    without = follow_pot(studio, TIDEWRACK, draws=40)
    assert line.course is not None
    assert full.course is not None
    assert without.acid is not None
    assert full.acid is not None
    assert full.course.ph_offset == pytest.approx(line.course.ph_offset, abs=1e-4)
    assert full.acid.before.ph.value == pytest.approx(without.acid.before.ph.value + full.course.ph_offset)


def test_what_if_keeps_the_plan_beside_it(studio: Studio) -> None:
    sheet = follow_pot(studio, TIDEWRACK, draws=0, asked=PotQuestion(what=WhatIf(acid=0.0)))
    plan = follow_pot(studio, TIDEWRACK, draws=0)
    assert sheet.planned is plan.course
    assert sheet.what == "0 times the acid"
    assert sheet.dyes["Ember"].exhaustion.value < plan.dyes["Ember"].exhaustion.value
    read = ReadPh(3.7, 3, 0.1)
    plan, more = (follow_pot(studio, ACID_FIRST, draws=0, asked=PotQuestion(read=read, what=what)) for what in (WhatIf(), WhatIf(acid=2.0)))
    assert plan.course is not None
    assert more.course is not None
    assert more.course.ph_offset == pytest.approx(plan.course.ph_offset), "the reading was taken in the pot as planned"
    assert more.course.ph.centre[-1] < plan.course.ph.centre[-1] - 0.2


def a_lot(studio: Studio, *without: str) -> str:
    steps = tuple(one for one in TIDEWRACK.steps if one.do not in without)
    with studio.store.writing() as writing:
        writing.add_colourway(dataclasses.replace(TIDEWRACK, name=f"Trial {len(without)}", steps=steps), now=studio.now())
    return start_lot(studio, StartLot(colourway=f"Trial {len(without)}")).code


def acid_first(studio: Studio) -> str:
    with studio.store.writing() as writing:
        writing.add_colourway(ACID_FIRST, now=studio.now())
    return start_lot(studio, StartLot(colourway="Acid first")).code


def test_a_ph_that_was_read_before_any_acid_is_no_word_on_the_acid_bath(studio: Studio) -> None:
    """Tap water of pH 7 has more carbon dioxide than one of pH 8; 45 ml of vinegar leave hardly any of either, so nothing is carried over."""
    plan, read = (follow_pot(studio, TIDEWRACK, draws=0, asked=PotQuestion(read=one)) for one in (None, ReadPh(7.0, 2, 0.1)))
    assert plan.course is not None
    assert read.course is not None
    assert read.course.ph.centre[-1] == pytest.approx(plan.course.ph.centre[-1])
    assert any("after step 2 is not used" in note and "before any acid" in note for note in read.notes)
    mixed = best_ph(45.0, 1.02), best_ph(45.0, 1.22)
    assert mixed[0] == pytest.approx(mixed[1], abs=0.03)


def best_ph(vinegar_ml: float, carbon: float) -> float:
    bath = Bath(volume_ml=3000, alkalinity=stated_alkalinity(120), doses=(AcidDose(VINEGAR, vinegar_ml),))
    return solve_ph(composition(bath, dataclasses.replace(best_guess(bath), carbon=carbon)), 25.0).ph


def test_a_ph_in_the_record_moves_what_is_left_in_the_pot(studio: Studio) -> None:
    code = acid_first(studio)
    before = estimate_liquor(studio, code)[0]
    for number in (1, 2, 3):
        tick_step(studio, TickStep(lot=code, steps=(number,)))
    record_entry(studio, RecordEntry(lot=code, what=Entered.PH, said="3.6", step=3, about="meter"))
    after = estimate_liquor(studio, code)[0]
    assert before.ph is not None
    assert after.ph is not None
    assert after.ph.value < before.ph.value - 0.05


def test_a_lot_without_acid_is_paler_and_its_correction_counts_that_once(studio: Studio) -> None:
    usual, lean = find_lot_colour(studio, a_lot(studio)), find_lot_colour(studio, a_lot(studio, "add acid"))
    assert lean.uptake["Ember"] < 0.8 < usual.uptake["Ember"]
    assert lean.doses == pytest.approx(usual.doses), "doses stay as applied"
    assert lean.lab.values[0] > usual.lab.values[0] + 1
    doses = [f"{name}={100 * depth:.6g} %" for name, depth in lean.doses.items()]
    said = ", ".join(f"{value:.4f}" for value in lean.lab.values)
    found = correct_recipe(gather_dyes(studio), CorrectRequest(doses=doses, target=said, measured=said, ground=lean.ground, uptake=lean.uptake))
    assert dict(found.correction.recipe) == pytest.approx(lean.doses, rel=0.02), "a trial that came out as forecast asks for the same again"
    assert all(value == pytest.approx(1, abs=0.02) for value in found.correction.strengths.values())


def ember_left(studio: Studio, code: str) -> float:
    """Grams of Ember in the liquor at the end."""
    (left,) = estimate_liquor(studio, code)
    assert left.why == ""
    return left.dyes_g["Ember"].value


def lots(studio: Studio, count: int) -> list[str]:
    return [start_lot(studio, StartLot(colourway="Tidewrack")).code for _ in range(count)]


ACID, HEAT, HOLD = (next(place for place, one in enumerate(TIDEWRACK.steps, start=1) if one.do == do) for do in ("add acid", "heat", "hold"))


def test_a_pot_that_was_run_otherwise_than_planned_is_followed_as_it_ran(studio: Studio) -> None:
    """Cooler, shorter, or with the hold left out: less goes on the yarn, as the laws of uptake have it. What is as planned changes nothing."""
    planned, cooler, shorter, without, same = lots(studio, 5)
    for code, number, about, said in (
        (cooler, HEAT, "to", "60 C"),
        (shorter, HOLD, "time", "2 min"),
        (same, HOLD, "time", "30 min"),
        (same, HEAT, "rate", "1 C/min"),
    ):
        record_instead(studio, RecordInstead(lot=code, step=number, vessel="Big pot", about=about, said=said))
    tick_step(studio, TickStep(lot=without, steps=(HOLD,), skip=True))
    left = {code: ember_left(studio, code) for code in (planned, cooler, shorter, without, same)}
    assert left[same] == pytest.approx(left[planned], rel=1e-6)
    assert left[cooler] > 2 * left[planned]
    assert left[without] > left[shorter] > 1.05 * left[planned]


def test_acid_that_was_added_besides_goes_in_where_it_went_in(opened: tuple[Studio, Clock]) -> None:
    """The plan's acid was forgotten, and put in before the heat or when the pot had cooled: pH is alike, but dye met acid in the heat of one only."""
    studio, clock = opened
    early, late = lots(studio, 2)
    for code, before in ((early, HEAT - 1), (late, HOLD + 1)):
        tick_step(studio, TickStep(lot=code, steps=(ACID,), skip=True))
        tick_step(studio, TickStep(lot=code, steps=tuple(number for number in range(1, before + 1) if number != ACID)))
        clock.wait(1)
        record_extra(studio, RecordExtra(lot=code, do="add acid", said={"acid": "White vinegar", "amount": "30 ml"}))
        clock.wait(1)
        tick_step(studio, TickStep(lot=code, steps=tuple(range(before + 1, len(TIDEWRACK.steps) + 1))))
    (soon,), (too_late,) = (estimate_liquor(studio, code) for code in (early, late))
    assert soon.ph is not None
    assert too_late.ph is not None
    assert soon.ph.value == pytest.approx(too_late.ph.value, abs=0.2)
    assert soon.dyes_g["Ember"].value < 0.5 * too_late.dyes_g["Ember"].value


def test_a_pot_that_was_never_planned_is_followed_by_what_was_written_down(opened: tuple[Studio, Clock]) -> None:
    """An hour between the heat and the next line is an hour in the hot pot."""
    studio, clock = opened
    left = []
    for pause in (0, 60):
        pot = start_unplanned_pot(studio, StartUnplannedPot(vessel="Big pot", base="Quay Sock", skeins=1))
        for do, said in (
            ("fill", {"volume": "3 l"}),
            ("add dye", {"dye": "Ember", "amount": "0.2 g"}),
            ("lay in", {}),
            ("add acid", {"acid": "White vinegar", "amount": "30 ml"}),
            ("heat", {"to": "75 C", "rate": "2 C/min"}),
        ):
            record_extra(studio, RecordExtra(lot=pot.code, do=do, said=said))
            clock.wait(3)
        clock.wait(25 + pause)
        record_extra(studio, RecordExtra(lot=pot.code, do="cool", said={"to": "40 C"}))
        left.append(ember_left(studio, pot.code))
    assert left[1] < 0.9 * left[0]


def test_a_reading_belongs_to_its_step_whatever_was_left_out(studio: Studio) -> None:
    """With the soak left out, a pH after step 3 is still that of the acid bath, and not of the one with dye in it."""
    code = acid_first(studio)
    tick_step(studio, TickStep(lot=code, steps=(1,), skip=True))
    tick_step(studio, TickStep(lot=code, steps=(2, 3)))
    before = estimate_liquor(studio, code)[0]
    record_entry(studio, RecordEntry(lot=code, what=Entered.PH, said="3.5", step=3, about="strip"))
    after = estimate_liquor(studio, code)[0]
    assert before.ph is not None
    assert after.ph is not None
    assert after.ph.value < before.ph.value, "a strip in clear water counts; in coloured liquor it would not"


def test_bases_of_one_pot_are_compared_before_the_lot_is_started(studio: Studio) -> None:
    """The figure is that of the pot itself: what a kilogram of each base holds, one over the other; bases in pots of their own are not compared."""
    with studio.store.writing() as writing:
        writing.add_item(Base(name="Fen Single", fibres=(("wool", 1.0),), skein_g=100, length_mm=360_000, superwash=False), now=studio.now())
    quick = dataclasses.replace(
        TIDEWRACK,
        name="Quick",
        steps=tuple(step("hold", to="70 C", time="2 min") if one.do == "hold" else one for one in TIDEWRACK.steps if one.do != "heat"),
    )
    with studio.store.writing() as writing:
        writing.add_colourway(quick, now=studio.now())
    rows = (RowWanted(base="Quay Sock", skeins=1, vessel="Big pot"), RowWanted(base="Fen Single", skeins=1, vessel="Big pot"))
    lot = draft_lot(studio, StartLot(colourway="Quick", rows=rows)).lot
    said = [one for one in lot.warnings if one.startswith("In one pot, Kelp lies ")]
    assert len(said) == 1
    with studio.store.reading() as reading:
        run = pot_of_rows(lot.plan, lot.rows, "Big pot", shelf_for_lot(reading, "Tap")).run
    on = {base: dyes["Kelp"].value for base, dyes in process(run, block_s=240).on_fibre.items()}
    times = float(said[0].split("lies ")[1].split(" times")[0])
    assert times == pytest.approx(on["Quay Sock"] / on["Fen Single"], abs=0.06)
    apart = (rows[0], dataclasses.replace(rows[1], vessel="Small pot"))
    assert not any("In one pot" in one for one in draft_lot(studio, StartLot(colourway="Quick", rows=apart)).lot.warnings)


def test_a_lots_pot_is_followed_as_it_was_run_on_every_base(studio: Studio) -> None:
    """As planned it is the pot of the colourway (one base, the same fibre); cooler in the record, less is on; an unknown pot says why."""
    (code,) = lots(studio, 1)
    (planned,) = follow_lot(studio, code)
    beside = follow_pot(studio, TIDEWRACK)
    assert planned.vessel == "Big pot"
    assert planned.sheet.course is not None
    for dye, one in beside.dyes.items():
        assert planned.sheet.dyes[dye].exhaustion.value == pytest.approx(one.exhaustion.value, abs=0.011)
    assert set(beside.sentences) == set(planned.sheet.sentences)
    record_instead(studio, RecordInstead(lot=code, step=HEAT, vessel="Big pot", about="to", said="60 C"))
    (ran,) = follow_lot(studio, code)
    assert ran.sheet.course is not None
    assert float(ran.sheet.course.temp_c.max()) < float(planned.sheet.course.temp_c.max())
    assert ran.sheet.dyes["Ember"].exhaustion.value < planned.sheet.dyes["Ember"].exhaustion.value
    empty = start_unplanned_pot(studio, StartUnplannedPot(vessel="Big pot"))
    (nothing,) = follow_lot(studio, empty.code)
    assert nothing.sheet.course is None
    assert nothing.sheet.why
