"""Laws of the record: whatever is entered, nothing is lost, and what was booked is what was taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from lot_studio import START, step
from skeinwright.core.foundations.errors import SkeinwrightError
from skeinwright.core.lot import record
from skeinwright.core.lot.lot import Dose, Entered, Entry, Lot, Planned, Row
from skeinwright.core.lot.state import lines_of, state_of
from skeinwright.core.lot.uses import used, uses_of

PLANNED = {("A", 1): 60.0, ("B", 1): 30.0, ("A", 2): 5.0, ("B", 2): 2.5}
LOT = Lot(
    code="2026-11-24-A",
    day=date(2026, 11, 24),
    title="Tidewrack",
    colourway=None,
    rows=(Row(number=1, base="Quay Sock", skeins=2, skein_g=100, vessel="A"), Row(number=2, base="Quay Sock", skeins=1, skein_g=100, vessel="B")),
    plan=tuple(
        Planned(
            number=number,
            step=step("add acid", acid="vinegar", amount="1 ml"),
            sentence="",
            doses=tuple(Dose(vessel=vessel, kind="acid", name="vinegar", amount=PLANNED[(vessel, number)], unit="ml") for vessel in "AB"),
        )
        for number in (1, 2)
    ),
)

WISH = st.one_of(
    st.tuples(st.sampled_from(["tick", "untick", "skip"]), st.sampled_from([1, 2]), st.sampled_from(["A", "B"])),
    st.tuples(st.just("instead"), st.sampled_from([1, 2]), st.sampled_from(["A", "B"]), st.integers(0, 500)),
    st.tuples(st.just("extra"), st.integers(1, 500)),
    st.tuples(st.just("weigh"), st.integers(1, 500)),
    st.tuples(st.just("correct"), st.integers(1, 20), st.integers(1, 500)),
    st.tuples(st.just("withdraw"), st.integers(1, 20)),
    st.tuples(st.sampled_from(["finish", "reopen"])),
)


class Naive:
    """What was really taken, kept the plain way: amounts by step and vessel that are overwritten as one would on a slate."""

    def __init__(self) -> None:
        self.taken: dict[tuple[str, int], float] = {}
        self.extras: dict[int, float] = {}

    @property
    def total(self) -> float:
        return sum(self.taken.values()) + sum(self.extras.values())


def _entry(wish: tuple, entries: Sequence[Entry]) -> Entry:
    match wish:
        case ("tick" | "untick" | "skip" as what, number, vessel):
            return record.entry_of(LOT, Entered(what), START, step=number, vessel=vessel)
        case ("instead", number, vessel, amount):
            return record.instead_of_dose(LOT, number, vessel, "acid vinegar", amount, "ml", START)
        case ("extra", amount):
            dose = Dose(vessel="A", kind="acid", name="vinegar", amount=amount, unit="ml")
            return record.entry_of(LOT, Entered.EXTRA, START, vessel="A", about="add acid", doses=(dose,))
        case ("weigh", amount):
            return record.entry_of(LOT, Entered.WEIGHT, START, row=1, about="1", value=float(amount), unit="g")
        case ("correct", number, amount):
            return record.correction_of(LOT, entries, number, START, value=float(amount))
        case ("withdraw", number):
            return record.withdrawal_of(LOT, entries, number, START)
        case (what,):
            return record.entry_of(LOT, Entered.FINISH if what == "finish" else Entered.UNTICK, START)


def record_of(wishes: Sequence[tuple]) -> list[Entry]:
    """The wishes that are allowed, in order, numbered as the store would."""
    entries: list[Entry] = []
    for wish in wishes:
        try:
            entry = _entry(wish, entries)
            record.check(LOT, entries, entry)
        except SkeinwrightError:
            continue
        entries.append(replace(entry, id=len(entries) + 1))
    return entries


def booked(entries: Sequence[Entry]) -> float:
    return sum(use.amount for place, entry in enumerate(entries) for use in uses_of(LOT, entries[:place], entry))


@settings(deadline=None, max_examples=150)
@given(st.lists(WISH, max_size=14))
def test_nothing_is_lost_and_each_struck_line_names_a_later_entry(wishes: list[tuple]) -> None:
    entries = record_of(wishes)
    lines = lines_of(entries)
    assert [line.entry for line in lines] == entries
    for line in lines:
        assert line.struck_by is None or line.struck_by > (line.entry.id or 0)
        assert line.struck_by is None or line.stands is None


@settings(deadline=None, max_examples=100)
@given(st.lists(WISH, max_size=14))
def test_the_state_follows_from_plan_and_entries_alone(wishes: list[tuple]) -> None:
    entries = record_of(wishes)
    assert state_of(LOT, entries) == state_of(LOT, tuple(entries))
    later = [replace(entry, at=entry.at, entered_at=entry.entered_at + timedelta(days=1)) for entry in entries]
    assert {key: doing.how for key, doing in state_of(LOT, entries).doings.items()} == {key: doing.how for key, doing in state_of(LOT, later).doings.items()}


@settings(deadline=None, max_examples=150)
@given(st.lists(WISH, max_size=14))
def test_all_events_add_up_to_what_a_slate_would_say(wishes: list[tuple]) -> None:
    entries = record_of(wishes)
    slate, roots = Naive(), dict[int, Entry]()
    for entry in entries:
        key = (entry.vessel, entry.step or 0)
        root = roots.get(entry.replaces or 0, entry) if entry.what is Entered.CORRECTION else entry
        roots[entry.id or 0] = root
        if entry.what is Entered.TICK:
            slate.taken.setdefault(key, PLANNED[key])
        elif entry.what is Entered.INSTEAD:
            slate.taken[key] = entry.doses[0].amount
        elif entry.what is Entered.UNTICK and entry.step is not None:
            _undo(slate, entries, entry, key)
        elif entry.what is Entered.EXTRA:
            slate.extras[entry.id or 0] = entry.doses[0].amount
        elif entry.what is Entered.CORRECTION and root.what is Entered.EXTRA:
            slate.extras[root.id or 0] = entry.doses[0].amount if entry.doses else 0.0
        elif entry.what is Entered.CORRECTION and root.what is Entered.INSTEAD:
            _rewrite(slate, entries, entry, key)
    assert abs(booked(entries) - slate.total) < 1e-6
    assert abs(sum(used(LOT, entries).values()) - slate.total) < 1e-6


def _standing_of(entries: Sequence[Entry], until: Entry, key: tuple[str, int]) -> list[Entry]:
    """Ticks and deviations of a step that stand after `until`, found by crossing out on a list."""
    found: list[Entry] = []
    for entry in entries:
        if (entry.vessel, entry.step) == key and entry.what in (Entered.TICK, Entered.INSTEAD, Entered.SKIP):
            found.append(entry)
        if (entry.vessel, entry.step) == key and entry.what in (Entered.UNTICK, Entered.CORRECTION):
            gone = [old for old in found if entry.replaces in (None, old.id)]
            if entry.what is Entered.CORRECTION and entry.about != "withdrawn" and gone:
                found[found.index(gone[0])] = replace(gone[0], id=entry.id, doses=entry.doses)
            else:
                found = [old for old in found if old not in gone]
        if entry is until:
            break
    return found


def _set(slate: Naive, standing: list[Entry], key: tuple[str, int]) -> None:
    slate.taken.pop(key, None)
    instead = [entry for entry in standing if entry.what is Entered.INSTEAD]
    if standing and standing[-1].what is not Entered.SKIP:
        slate.taken[key] = instead[-1].doses[0].amount if instead else PLANNED[key]


def _undo(slate: Naive, entries: Sequence[Entry], entry: Entry, key: tuple[str, int]) -> None:
    _set(slate, _standing_of(entries, entry, key), key)


def _rewrite(slate: Naive, entries: Sequence[Entry], entry: Entry, key: tuple[str, int]) -> None:
    _set(slate, _standing_of(entries, entry, key), key)


@settings(deadline=None, max_examples=60)
@given(st.lists(WISH, max_size=8), st.sampled_from([1, 2]), st.sampled_from(["A", "B"]))
def test_a_tick_and_its_undo_come_to_nothing(wishes: list[tuple], number: int, vessel: str) -> None:
    before = record_of([wish for wish in wishes if wish[0] not in ("finish",)])
    if state_of(LOT, before).doing(number, vessel).how != "planned":
        return
    ticked = [*before, replace(record.entry_of(LOT, Entered.TICK, START, step=number, vessel=vessel), id=90)]
    undone = [*ticked, replace(record.entry_of(LOT, Entered.UNTICK, START, step=number, vessel=vessel), id=91)]
    assert booked(undone) == booked(before) or abs(booked(undone) - booked(before)) < 1e-9
    assert abs(booked(ticked) - booked(before) - PLANNED[(vessel, number)]) < 1e-9
    assert len(state_of(LOT, undone).lines) == len(before) + 2
