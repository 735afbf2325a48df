"""A tick that was answered survives the death of the server: the real program is killed while ticks are being sent, and the studio is opened again."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest

from lot_studio import START, TIDEWRACK, step, studio_in
from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.lot.lot import Dose, Entered, Use
from skeinwright.services.get_lot import get_lot
from skeinwright.services.start_lot import StartLot, start_lot
from skeinwright.services.studio import Studio
from skeinwright.store.engine import problems
from skeinwright.store.store import Store

STEPS = 240
HANDS = 3
"""So many hands tick at once, so that the kill falls into requests that are under way."""


@contextmanager
def served(file: Path) -> Iterator[tuple[subprocess.Popen[bytes], str]]:
    """The real program on the studio file, in a process of its own."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "skeinwright", "open", "--studio", str(file), "--port", str(port), "--no-browser"]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    home = f"http://127.0.0.1:{port}"
    try:
        deadline = time.monotonic() + 300
        while True:
            try:
                httpx.get(home + "/settings", timeout=2)
                break
            except httpx.TransportError:
                assert time.monotonic() < deadline, "the server did not start"
                assert process.poll() is None, "the server ended at once"
                time.sleep(0.05)
        yield process, home
    finally:
        if process.poll() is None:
            process.kill()
        process.wait(10)


def _tick_until_dead(home: str, code: str, steps: range, answered: list[int], enough: threading.Event, most: int) -> None:
    with httpx.Client(base_url=home, headers={"origin": home}, timeout=120) as browser:
        browser.get("/settings")
        token = browser.cookies["skeinwright_csrf"]
        for number in steps:
            try:
                answer = browser.post(f"/lots/{code}/tick", data={"step": str(number), "csrf_token": token})
            except httpx.TransportError:
                return
            assert answer.status_code == 303
            answered.append(number)
            if len(answered) >= most:
                enough.set()


def _reopened(file: Path) -> tuple[list[str], Studio]:
    found = problems(file)
    return found, Studio(file, Store.open(file), file.parent / "photos", lambda: START)


@pytest.mark.skipif(os.name != "posix", reason="a process is killed as POSIX does it")
def test_every_tick_that_was_answered_is_there_after_the_server_was_killed(tmp_path: Path) -> None:
    with studio_in(tmp_path) as (studio, _):
        steps = (step("fill", volume="3 l"), *(step("add dye", solution="Kelp 1 %", amount="1 ml") for _ in range(STEPS - 1)))
        with studio.store.writing() as writing:
            writing.add_colourway(Colourway(name="Long", fibre="100 g", bases=("Quay Sock",), vessel=TIDEWRACK.vessel, steps=steps), now=studio.now())
        code = start_lot(studio, StartLot(colourway="Long")).code
        file = studio.path

    for killed_after in (5, 17):  # twice: the second time on a file that was left by a killed server
        answered: list[int] = []
        enough = threading.Event()
        before = _standing(file, code)
        with served(file) as (process, home):
            share = [range(1 + hand, STEPS + 1, HANDS) for hand in range(HANDS)]
            hands = [threading.Thread(target=_tick_until_dead, args=(home, code, mine, answered, enough, killed_after)) for mine in share]
            for hand in hands:
                hand.start()
            assert enough.wait(60)
            os.kill(process.pid, signal.SIGKILL)
            for hand in hands:
                hand.join(20)
        assert killed_after <= len(answered) < STEPS, "the server was to be killed in the middle"
        wrong, again = _reopened(file)
        try:
            assert wrong == []
            view = get_lot(again, code)
        finally:
            again.store.close()
        ticked = [entry.step for entry in view.entries if entry.what is Entered.TICK]
        assert set(answered) | before <= set(ticked)
        assert len(ticked) == len(set(ticked)), "a step was ticked twice"
        assert _booked_ml(view.uses) == pytest.approx(sum(_dose_ml(view.lot.plan[number - 1].doses) for number in ticked if number))


def _standing(file: Path, code: str) -> set[int]:
    _, studio = _reopened(file)
    try:
        return {entry.step for entry in get_lot(studio, code).entries if entry.step is not None}
    finally:
        studio.store.close()


def _booked_ml(uses: tuple[Use, ...]) -> float:
    return sum(use.amount for use in uses if use.name == "Kelp 1 %")


def _dose_ml(doses: tuple[Dose, ...]) -> float:
    return sum(dose.amount for dose in doses if dose.name == "Kelp 1 %")
