"""Every form of a lot carries a key of its own: sent twice it writes one line, starts one lot."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from starlette.testclient import TestClient

from lot_studio import Clock, studio_in
from skeinwright.core.lot.lot import Entered, Lot
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.get_lot import get_lot
from skeinwright.services.list_lots import list_lots
from skeinwright.services.record_entry import RecordEntry, record_entry
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.studio import Studio
from skeinwright.services.tick_step import TickStep, tick_step
from skeinwright.web.app import create_app

HOME = "http://127.0.0.1:8470"
FORM = re.compile(r'<form[^>]*method="post"[^>]*action="([^"]+)"(.*?)</form>', re.DOTALL)
KEY = re.compile(r'name="key" value="([A-Za-z0-9_-]+)"')
ROWS = (RowWanted(base="Quay Sock", skeins=2, vessel="Big pot", mark="2 ties"),)


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[tuple[Studio, Clock]]:
    with studio_in(tmp_path) as found:
        yield found


@pytest.fixture
def studio(opened: tuple[Studio, Clock]) -> Studio:
    return opened[0]


@pytest.fixture
def client(studio: Studio) -> Iterator[TestClient]:
    with TestClient(create_app(studio), base_url=HOME, raise_server_exceptions=False) as made:
        yield made


@pytest.fixture
def lot(studio: Studio) -> Lot:
    return start_lot(studio, StartLot(colourway="Tidewrack", rows=ROWS))


def forms(page: str) -> list[tuple[str, str]]:
    """(action, key) of every form on the page that sends something."""
    found = []
    for action, inside in FORM.findall(page):
        keys = KEY.findall(inside)
        found.append((action, keys[0] if len(keys) == 1 else ""))
    return found


def key_on(client: TestClient, path: str, action: str) -> str:
    """The key of the first form with this action, as the page draws it."""
    return next(key for found, key in forms(client.get(path).text) if found == action)


def picture() -> bytes:
    kept = io.BytesIO()
    Image.new("RGB", (64, 48), (120, 120, 120)).save(kept, "JPEG")
    return kept.getvalue()


def test_every_form_has_a_fresh_key(client: TestClient, studio: Studio, lot: Lot) -> None:
    code = lot.code
    pages = [f"/lots/{code}", f"/lots/{code}?open=3", f"/lots/{code}?extra=add+dye", f"/lots/new?colourway={get_colourway(studio, 'Tidewrack').id}"]
    for number in range(1, 10):
        tick_step(studio, TickStep(lot=code, steps=(number,)))
    entry = record_entry(studio, RecordEntry(lot=code, what=Entered.PH, said="5"))
    found = [form for path in [*pages, "/lots/unplanned", "/lots/old", f"/lots/{code}/correct/{entry.id}"] for form in forms(client.get(path).text)]
    sent = {action.rsplit("/", 1)[-1] for action, _ in found if action.startswith("/lots")}
    assert {"tick", "untick", "instead", "weigh", "reading", "note", "photo", "extra", "mark", "finish", "copy", "new", "unplanned", "old"} <= sent
    keys = [key for action, key in found if action.startswith("/lots") and not action.endswith("/keep")]
    assert all(keys)
    assert len(set(keys)) == len(keys)


ACTS: dict[str, tuple[str, str, dict[str, Any]]] = {
    "tick": ("", "tick", {"step": "1"}),
    "untick": ("", "untick", {"step": "3"}),
    "skip": ("?open=1", "skip", {"step": "1", "vessel": "Big pot"}),
    "instead": ("?open=4", "instead", {"step": "4", "vessel": "Big pot", "about": "dye Ember", "said": "0.3", "unit": "g"}),
    "weigh": ("", "weigh", {"which": "1/1", "said": "98"}),
    "pH": ("", "reading", {"what": "pH by strip", "said": "4.6"}),
    "temperature": ("", "reading", {"what": "temperature", "said": "60 C"}),
    "wet weight": ("", "reading", {"what": "wet weight", "said": "450 g"}),
    "note": ("", "note", {"said": "Struck fast"}),
    "extra": ("?extra=add+dye", "extra", {"do": "add dye", "slot-dye": "Ember", "slot-amount": "1 g"}),
    "extra in one tap": ("", "extra", {"do": "turn"}),
    "mark": ("?open=10", "mark", {"step": "10", "row": "1", "said": "2 ties"}),
    "finish": ("", "finish", {}),
}


@pytest.mark.parametrize("act", ACTS)
def test_a_form_sent_twice_writes_one_line(client: TestClient, studio: Studio, lot: Lot, post, act: str) -> None:  # type: ignore[no-untyped-def]
    tick_step(studio, TickStep(lot=lot.code, steps=(3,)))
    query, word, said = ACTS[act]
    home = f"/lots/{lot.code}"
    said = said | {"key": key_on(client, home + query, f"{home}/{word}")}
    before = get_lot(studio, lot.code)
    assert post(f"{home}/{word}", said | {"seen": "0", "keep": ""}).status_code == 200
    once = get_lot(studio, lot.code)
    assert len(once.entries) == len(before.entries) + 1
    assert once.entries[-1].key
    assert post(f"{home}/{word}", said | {"seen": "7", "keep": "day"}).status_code == 200
    again = get_lot(studio, lot.code)
    assert (again.entries, again.uses) == (once.entries, once.uses)


def test_reopen_and_corrections_sent_twice(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    home = f"/lots/{lot.code}"
    entry = record_entry(studio, RecordEntry(lot=lot.code, what=Entered.PH, said="5.1"))
    path = f"{home}/correct/{entry.id}"
    for said in ({"said": "4.9"}, {"said": "4.8", "at": "09:10"}):
        newest = get_lot(studio, lot.code).entries[-1].id
        path = f"{home}/correct/{newest}"
        given = said | {"key": key_on(client, path, path)}
        assert [post(path, given).status_code for _ in range(2)] == [200, 200]
    newest = get_lot(studio, lot.code).entries[-1].id
    path = f"{home}/correct/{newest}"
    withdrawal = {"do": "withdraw", "key": key_on(client, path, path)}
    assert [post(path, withdrawal).status_code for _ in range(2)] == [200, 200]
    assert [one.what for one in get_lot(studio, lot.code).entries] == [Entered.PH, Entered.CORRECTION, Entered.CORRECTION, Entered.CORRECTION]
    post(f"{home}/finish", {"key": key_on(client, home, f"{home}/finish")})
    again = {"key": key_on(client, home, f"{home}/reopen")}
    for _ in range(2):
        post(f"{home}/reopen", again)
    assert [one.what for one in get_lot(studio, lot.code).entries[4:]] == [Entered.FINISH, Entered.UNTICK]


def test_photos_sent_twice_are_kept_and_noted_once(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    home, other = f"/lots/{lot.code}", io.BytesIO()
    Image.new("RGB", (48, 64), (60, 60, 60)).save(other, "JPEG")
    files = [("photo", ("one.jpg", picture(), "image/jpeg")), ("photo", ("two.jpg", other.getvalue(), "image/jpeg"))]
    said = {"key": key_on(client, home, f"{home}/photo")}
    for _ in range(2):
        assert post(f"{home}/photo", said, files=files).status_code == 200
    assert len(get_lot(studio, lot.code).state.photos) == 2
    with studio.store.reading() as reading:
        assert len(reading.photos()) == 2


def test_other_words_in_the_same_form_are_another_line(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    """A page that was gone back to and filled in anew loses nothing."""
    home = f"/lots/{lot.code}"
    key = key_on(client, home, f"{home}/note")
    for words in ("Struck fast", "Struck fast", "Then slowly"):
        post(f"{home}/note", {"said": words, "key": key})
    assert [note.text for note in get_lot(studio, lot.code).state.notes] == ["Struck fast", "Then slowly"]
    for _ in range(2):
        post(f"{home}/note", {"said": "By hand"})
    assert len(get_lot(studio, lot.code).state.notes) == 4


def test_lots_are_started_once(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    number = str(get_colourway(studio, "Tidewrack").id)
    row = {"colourway": number, "base": ["Quay Sock"], "skeins": ["2"], "skein": ["110"], "vessel": ["Big pot"], "mark": [""], "over": [""], "do": "start"}
    old = {"when": ["2019", "2020"], "title": ["One", "Two"], "base": "", "skeins": "", "notes": "", "do": "keep"}
    for path, action, said, made in (
        (f"/lots/new?colourway={number}", "/lots/new", row, 1),
        ("/lots/unplanned", "/lots/unplanned", {"vessel": "Old pan"}, 1),
        (f"/lots/{lot.code}", f"/lots/{lot.code}/copy", {}, 1),
        ("/lots/old", "/lots/old", old, 2),
    ):
        before, given = len(list_lots(studio)), said | {"key": key_on(client, path, action)}
        first, second = post(action, given), post(action, given)
        assert len(list_lots(studio)) == before + made
        assert first.url.path == second.url.path
    assert get_lot(studio, "2026-11-24-B").lot.rows[0].skein_g == 110


def test_weights_and_readings_can_be_ten_minutes_old(client: TestClient, opened: tuple[Studio, Clock], lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    studio, clock = opened
    home = f"/lots/{lot.code}"
    page = client.get(home).text
    for id in ("weigh", "reading"):
        assert f'id="{id}-at"' in page
    post(f"{home}/weigh", {"which": "1/1", "said": "98", "minutes": "10"})
    for what, said in (("pH by strip", "4.6"), ("temperature", "60"), ("wet weight", "450")):
        post(f"{home}/reading", {"what": what, "said": said, "minutes": "20"})
    ago = [clock() - entry.at for entry in get_lot(studio, lot.code).entries]
    assert ago == [timedelta(minutes=10), *[timedelta(minutes=20)] * 3]
    wrong = post(f"{home}/weigh", {"which": "1/2", "said": "heavy", "minutes": "10"})
    assert wrong.status_code == 422
    assert 'name="minutes" value="10" checked' in wrong.text


def test_the_sheet_leads_to_its_colourway_while_there_is_one_of_that_name(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    kept = get_colourway(studio, "Tidewrack")
    link = f'<a href="/colourways/{kept.id}">Tidewrack</a>'
    assert link in client.get(f"/lots/{lot.code}").text
    assert link in post(f"/lots/{lot.code}/copy").text
    with studio.store.writing() as writing:
        writing.replace_colourway(kept.id, type(kept.thing)(name="Wrack", steps=kept.thing.steps), revision=None, now=studio.now())
    page = client.get(f"/lots/{lot.code}").text
    assert link not in page
    assert "colourway Tidewrack" in page


def test_a_struck_deviation_is_named_by_its_amount(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    home = f"/lots/{lot.code}"
    post(f"{home}/instead", {"step": "4", "vessel": "Big pot", "about": "dye Ember", "said": "0.3", "unit": "g"})
    number = get_lot(studio, lot.code).entries[-1].id
    page = post(f"{home}/correct/{number}", {"said": "0.35"}).text
    assert '<s class="struck">0.3 g Ember</s>' in page or '<s class="struck">300 mg Ember</s>' in page
    assert "dye Ember 0.3" not in page
    assert "Instead Ember:" in client.get(f"{home}/correct/{get_lot(studio, lot.code).entries[-1].id}").text
