"""The record of a lot: only ever added to, and on disk once it was acknowledged, whatever happens to the process."""

import dataclasses
import os
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import cast

import pytest
import sqlalchemy as sa

from skeinwright.core.foundations.errors import Conflict, NotFound
from skeinwright.core.lot.lot import Entered
from skeinwright.core.lot.state import state_of
from skeinwright.store import engine
from skeinwright.store.store import Reading, Store
from store.things import LOT, NOW, USE, tick


@pytest.fixture
def lot(store: Store):
    with store.writing() as writing:
        writing.add_lot(LOT)
        writing.add_entry(tick(), (USE,))
    return LOT


@pytest.mark.parametrize("table", ["entry", "use"])
@pytest.mark.parametrize("statement", ['UPDATE "{}" SET lot = lot', 'DELETE FROM "{}"', 'INSERT OR REPLACE INTO "{}" SELECT * FROM "{}" WHERE id = 1'])
def test_sqlite_itself_refuses_to_change_the_record(store: Store, lot, table: str, statement: str) -> None:
    connection = sqlite3.connect(store.path)
    before = connection.execute(f'SELECT * FROM "{table}"').fetchall()
    assert before
    connection.execute("PRAGMA recursive_triggers=ON")
    with pytest.raises(sqlite3.IntegrityError, match="only be added to"):
        connection.execute(statement.format(table, table))
    connection.rollback()
    assert connection.execute(f'SELECT * FROM "{table}"').fetchall() == before
    connection.close()


def test_the_programs_own_connection_refuses_too(store: Store, lot) -> None:
    for statement in (
        "UPDATE entry SET text = 'x'",
        "DELETE FROM entry",
        'INSERT OR REPLACE INTO "use" SELECT * FROM "use"',
        "REPLACE INTO entry SELECT * FROM entry",
    ):
        with pytest.raises(sa.exc.IntegrityError, match="only be added to"), store.writing() as writing:
            writing.connection.exec_driver_sql(statement)


def test_a_lot_code_is_given_once_and_the_next_is_named(store: Store, lot) -> None:
    with pytest.raises(Conflict, match="2026-11-24-B"), store.writing() as writing:
        writing.add_lot(LOT)
    with store.reading() as reading:
        assert reading.free_lot_code(LOT.day) == "2026-11-24-B"
        assert reading.free_lot_code(LOT.day + timedelta(days=1)) == "2026-11-25-A"


@pytest.mark.parametrize("wrong", [{"lot": "2026-01-01-A"}, {"photo": 99}, {"replaces": 99}])
def test_an_entry_must_belong(store: Store, lot, wrong: dict) -> None:
    with pytest.raises(NotFound), store.writing() as writing:
        writing.add_entry(dataclasses.replace(tick(), **wrong))


def test_a_correction_must_be_of_the_same_lot(store: Store, lot) -> None:
    with store.writing() as writing:
        writing.add_lot(dataclasses.replace(LOT, code="2026-11-24-B"))
    with pytest.raises(NotFound), store.writing() as writing:
        writing.add_entry(tick(lot="2026-11-24-B", replaces=1))


def test_an_unplanned_pot_of_an_older_file_is_under_way(store: Store) -> None:
    """Earlier programs wrote it down as planned; nothing ever planned it."""
    with store.writing() as writing:
        writing.add_lot(dataclasses.replace(LOT, code="2026-11-24-C", unplanned=True, plan=(), colourway=None))
        writing.connection.execute(sa.text("UPDATE lot SET status = 'planned'"))
    with store.reading() as reading:
        assert [each.status for each in reading.lots()] == ["under way"]
        assert [each.code for each in reading.lots(status="under way")] == ["2026-11-24-C"]
        assert reading.lots(status="planned") == []


def test_lines_of_the_list_say_how_a_lot_stands(store: Store, lot) -> None:
    def line():
        with store.reading() as reading:
            return reading.lots()[0]

    assert (line().status, line().done, line().skeins, line().bases) == ("under way", 0.25, 4, ("Quay Sock", "Pier DK"))
    with store.writing() as writing:
        writing.add_entry(tick(vessel="Pot"))
        writing.add_entry(tick(step=2, what=Entered.SKIP))
        writing.add_entry(tick(step=2, vessel="Pot"))
        writing.add_entry(tick(step=None, vessel="", what=Entered.FINISH))
    assert (line().status, line().done) == ("finished", 1.0)
    with store.writing() as writing:
        writing.add_entry(tick(vessel="Pot", what=Entered.UNTICK))
        writing.add_entry(tick(step=None, vessel="", what=Entered.UNTICK))
    assert (line().status, line().done) == ("under way", 0.75)
    with store.reading() as reading:
        assert reading.lots(status="finished") == []
        assert [each.code for each in reading.lots(status="under way")] == [LOT.code]


def test_what_is_done_is_counted_in_every_vessel_and_not_where_it_was_withdrawn(store: Store, lot) -> None:
    def stands() -> float:
        with store.reading() as reading:
            (line,) = reading.lots()
            doings = state_of(reading.lot(LOT.code), reading.entries(LOT.code)).doings.values()
            assert line.done == sum(doing.how != "planned" for doing in doings) / len(doings)
            return line.done

    assert stands() == 0.25  # step 1 in the pan, of two steps in two vessels
    with store.writing() as writing:
        other = writing.add_entry(tick(step=2, what=Entered.INSTEAD, about="to", value=92.0, unit="C"))
    assert stands() == 0.5
    with store.writing() as writing:
        writing.add_entry(tick(step=2, what=Entered.CORRECTION, about="withdrawn", replaces=other.id))
    assert stands() == 0.25


def _work(store: Store, ask: Callable[[Reading], object]) -> int:
    """What the database does to answer, in hundreds of its machine's steps: a measure that no load of this computer changes."""
    steps = 0

    def counted() -> int:
        nonlocal steps
        steps += 1
        return 0

    with store.reading() as reading:
        ask(reading)
        raw = cast("sqlite3.Connection", reading.connection.connection.driver_connection)
        raw.set_progress_handler(counted, 100)
        try:
            ask(reading)
        finally:
            raw.set_progress_handler(None, 0)
    return steps


def test_a_page_of_lots_costs_the_same_however_many_there_are(store: Store) -> None:
    """A lost index, or a record read to say what is done, would make each of these grow with the lots."""
    asked: tuple[Callable[[Reading], object], ...] = (
        lambda reading: reading.lots(),
        lambda reading: reading.lots(status="under way", search="tidewrack", limit=50),
        lambda reading: reading.lot("2020-01-01-X4"),
        lambda reading: reading.entries("2020-01-01-X4"),
    )
    _add_lots(store, 0, 120)
    few = [_work(store, ask) for ask in asked]
    _add_lots(store, 120, 1200)
    many = [_work(store, ask) for ask in asked]
    assert few[0] > 10
    assert all(now <= 1.5 * before + 1 for before, now in zip(few, many, strict=True)), (few, many)
    with store.reading() as reading:
        lines = reading.lots(status="under way", search="tidewrack", limit=50)
    assert len(lines) == 50
    assert {line.done for line in lines} == {0.25}


def _add_lots(store: Store, first: int, last: int) -> None:
    with store.writing() as writing:
        for number in range(first, last):
            code = f"{2020 + number // 400}-01-01-X{number}"
            writing.add_lot(dataclasses.replace(LOT, code=code, unplanned=False, day=date(2020 + number // 400, 1, 1), title=f"Tidewrack {number}"))
            if number % 2 == 0:
                writing.add_entry(tick(lot=code, vessel="Pot"))


def test_one_key_writes_one_line(store: Store, lot) -> None:
    with store.writing() as writing:
        writing.add_entry(tick(step=2, key="tap-1"))
        writing.add_entry(tick(step=2, vessel="Pot"))  # lines without a key are many
    with pytest.raises(sa.exc.IntegrityError), store.writing() as writing:
        writing.add_entry(tick(vessel="Pot", key="tap-1"))
    with store.writing() as writing:
        writing.add_lot(dataclasses.replace(LOT, code="2026-11-24-B"))
        writing.add_entry(tick(lot="2026-11-24-B", key="tap-1"))  # of another lot
        assert [entry.key for entry in writing.entries(LOT.code)] == ["", "tap-1", ""]


def test_searching_lots(store: Store, lot) -> None:
    with store.writing() as writing:
        writing.add_lot(
            dataclasses.replace(LOT, code="2026-11-25-A", day=LOT.day + timedelta(days=1), title="100 % Ember_x", notes="", rows=LOT.rows[1:], colourway=None)
        )
    with store.reading() as reading:
        assert [each.code for each in reading.lots()] == ["2026-11-25-A", "2026-11-24-A"]
        for words, codes in {
            "quay": ["2026-11-24-A"],
            "NELL fair": ["2026-11-24-A"],
            "2026-11-25": ["2026-11-25-A"],
            "100 %": ["2026-11-25-A"],
            "r_x": ["2026-11-25-A"],
            "pier": ["2026-11-25-A", "2026-11-24-A"],
            "e%r": [],
        }.items():
            assert [each.code for each in reading.lots(search=words)] == codes, words
        assert [each.code for each in reading.lots(limit=1, offset=1)] == ["2026-11-24-A"]
        assert reading.count_lots() == 2
        assert [each.code for each in reading.lots(colourway="Tidewrack")] == ["2026-11-24-A"]
    with store.writing() as writing:
        writing.add_entry(tick(what=Entered.NOTE, text="Felted a LITTLE"))
        assert [each.code for each in writing.lots(search="felted little")] == ["2026-11-24-A"]


def test_pragmas_are_in_force_on_every_connection(store: Store) -> None:
    with store.reading() as first, store.reading() as second, store.writing() as third:
        for each in (first, second, third):
            said = {
                name: each.connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
            }
            assert said == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": engine.BUSY_MS}


def test_a_reading_sees_one_state_while_another_writes(store: Store, lot) -> None:
    with store.reading() as reading:
        assert len(reading.entries(LOT.code)) == 1
        with store.writing() as writing:
            writing.add_entry(tick(step=2))
        assert len(reading.entries(LOT.code)) == 1
    with store.reading() as reading:
        assert len(reading.entries(LOT.code)) == 2


def test_writers_wait_for_each_other(store: Store, lot) -> None:
    def write() -> None:
        for _ in range(5):
            with store.writing() as writing:
                count = len(writing.entries(LOT.code))
                time.sleep(0.002)
                writing.add_entry(tick(text=f"{count}"))

    threads = [threading.Thread(target=write) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with store.reading() as reading:
        assert [entry.text for entry in reading.entries(LOT.code)[1:]] == [str(number) for number in range(1, 21)]


def test_foreign_keys_are_enforced(store: Store) -> None:
    with pytest.raises(sa.exc.IntegrityError), store.writing() as writing:
        writing.connection.exec_driver_sql("INSERT INTO lot_row (lot, number, skeins, skein_g) VALUES (7, 1, 1, 1)")


CHILD = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[2])
from skeinwright.store.store import Reading, Store
from store.things import tick, USE
store = Store.open(Path(sys.argv[1]))
for number in range(100000):
    with store.writing() as writing:
        writing.add_entry(tick(text=str(number)), (USE,))
    sys.stdout.write(f"{number}\\n")
    sys.stdout.flush()
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system has no SIGKILL")
@pytest.mark.parametrize("after_s", [0.05, 0.11, 0.17])
def test_killing_the_process_loses_no_acknowledged_entry(store: Store, lot, after_s: float) -> None:
    store.close()
    child = subprocess.Popen([sys.executable, "-c", CHILD, str(store.path), str(Path(__file__).parents[1])], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    said = [child.stdout.readline()]  # it has begun to write
    time.sleep(after_s)
    os.kill(child.pid, signal.SIGKILL)
    said += child.stdout.readlines()
    child.wait()
    child.stdout.close()
    acknowledged = [int(line) for line in said if line.endswith("\n")]
    assert len(acknowledged) >= 1
    again = Store.open(store.path)
    with again.reading() as reading:
        entries = reading.entries(LOT.code)[1:]
        assert [int(entry.text) for entry in entries][: len(acknowledged)] == acknowledged
        assert len(entries) - len(acknowledged) in (0, 1)  # one may be written and not yet told
        assert len(reading.uses(LOT.code)) == 1 + len(entries)  # never an entry without its use
        assert {entry.at for entry in entries} == {NOW}
    again.close()
    assert engine.problems(store.path) == []
