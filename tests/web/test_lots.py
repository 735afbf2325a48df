"""Lots by plain forms, as a browser without scripts sends them; and the parts that another window asks for."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import httpx
import pytest
from PIL import Image
from starlette.testclient import TestClient

from lot_studio import Clock, studio_in
from skeinwright.core.lot.lot import Lot
from skeinwright.services.enter_old_lots import OldLot, enter_old_lots
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.get_lot import get_lot
from skeinwright.services.list_lots import list_lots
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.studio import Studio
from skeinwright.web.app import create_app
from skeinwright.web.lot_view import blocks_of, changed_blocks

HOME = "http://127.0.0.1:8470"
ROWS = (RowWanted(base="Quay Sock", skeins=2, vessel="Big pot", mark="2 ties"), RowWanted(base="Quay Sock", skeins=1, vessel="Old pan", mark="tag 14"))


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[tuple[Studio, Clock]]:
    with studio_in(tmp_path) as found:
        yield found


@pytest.fixture
def studio(opened: tuple[Studio, Clock]) -> Studio:
    return opened[0]


@pytest.fixture
def clock(opened: tuple[Studio, Clock]) -> Clock:
    return opened[1]


@pytest.fixture
def client(studio: Studio) -> Iterator[TestClient]:
    with TestClient(create_app(studio), base_url=HOME, raise_server_exceptions=False) as made:
        yield made


@pytest.fixture
def lot(studio: Studio) -> Lot:
    return start_lot(studio, StartLot(colourway="Tidewrack", rows=ROWS[:1]))


@pytest.fixture
def two_pots(studio: Studio) -> Lot:
    return start_lot(studio, StartLot(colourway="Tidewrack", rows=ROWS))


def _dose(studio: Studio, code: str, step: int, vessel: str = "Big pot") -> list[tuple[float, str]]:
    return [(dose.amount, dose.unit) for dose in get_lot(studio, code).state.doing(step, vessel).actual]


def _booked(studio: Studio, code: str, name: str) -> float:
    return sum(use.amount for use in get_lot(studio, code).uses if use.name == name)


# the list


def test_no_lot_yet_says_what_a_lot_is_and_where_to_begin(client: TestClient) -> None:
    page = client.get("/lots").text
    assert "No lot yet." in page
    for place in ("/lots/new", "/lots/unplanned", "/lots/old"):
        assert f'href="{place}"' in page


def test_the_list_is_newest_first_and_is_searched_by_code_title_base_and_notes(client: TestClient, studio: Studio, lot: Lot) -> None:
    enter_old_lots(studio, (OldLot(when="2019", title="Sea fret", base="Moor Double", notes="too much vinegar"), OldLot(when="2020", title="Lamp oil")))
    page = client.get("/lots").text
    assert page.index(lot.code) < page.index("Lamp oil") < page.index("Sea fret")
    for words in (lot.code, "tidewrack", "quay sock"):
        found = client.get("/lots", params={"q": words}).text
        assert lot.code in found
        assert "Sea fret" not in found
    assert "Sea fret" in client.get("/lots", params={"q": "vinegar"}).text
    assert "Sea fret" in client.get("/lots", params={"q": "moor"}).text
    assert lot.code not in client.get("/lots", params={"status": "from the notebook"}).text
    assert "No lot matches." in client.get("/lots", params={"q": "nothing like it"}).text


def test_many_lots_are_listed_a_page_at_a_time(client: TestClient, studio: Studio) -> None:
    many = tuple(OldLot(when=(date(2015, 1, 1) + timedelta(days=number)).isoformat(), title=f"Colour {number}", base="Quay Sock") for number in range(200))
    enter_old_lots(studio, many)
    first = client.get("/lots").text
    searched = client.get("/lots", params={"q": "colour 77"}).text
    assert "Colour 199" in first
    assert "Colour 149" not in first
    assert "Colour 77" in searched
    assert "Colour 76" not in searched
    older = re.search(r'href="(/lots\?from=50)"', first)
    assert older
    assert "Colour 149" in client.get(older[1]).text
    assert "Colour 0<" in client.get("/lots", params={"from": "150"}).text


# a new lot


def _new(studio: Studio, **more: object) -> dict[str, object]:
    given: dict[str, object] = {"colourway": str(get_colourway(studio, "Tidewrack").id), "do": "start"}
    row = {"base": ["Quay Sock"], "skeins": ["2"], "skein": [""], "vessel": ["Big pot"], "mark": ["2 ties"], "over": [""]}
    return given | row | more


def test_a_lot_is_started_by_form_and_its_draft_shows_the_amounts_first(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    number = get_colourway(studio, "Tidewrack").id
    page = client.get("/lots/new", params={"colourway": number}).text
    assert 'name="skeins" value="1"' in page
    assert "62.5 ml" in page  # 0.5 % of 100 g, powder of 80 % strength, in a 1 % solution: 0.5 g / 0.8 / 0.01 g/ml
    draft = post("/lots/new/draft", _new(studio))
    assert "<html" not in draft.text
    assert "125 ml" in draft.text  # of two skeins
    assert not list_lots(studio)
    sheet = post("/lots/new", _new(studio))
    assert sheet.url.path == "/lots/2026-11-24-A"
    (row,) = get_lot(studio, "2026-11-24-A").lot.rows
    assert (row.skeins, row.skein_g, row.vessel, row.mark) == (2, 100, "Big pot", "2 ties")


def test_rows_are_added_and_taken_out_without_scripts_and_nothing_typed_is_lost(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/lots/new", _new(studio, do="more", title="Harbour order")).text
    assert page.count('name="skeins"') == 2
    assert 'value="Harbour order"' in page
    assert 'value="2 ties"' in page
    both = {key: [f"{key} one", f"{key} two"] for key in ("base", "vessel", "mark", "over", "skein")} | {"skeins": ["1", "2"]}
    page = post("/lots/new", _new(studio, do="less-0") | both).text
    assert "base one" not in page
    assert 'value="base two"' in page


def test_a_wrong_row_is_said_and_kept(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/lots/new", _new(studio, skeins=["several"]))
    assert page.status_code == 422
    assert "how many skeins" in page.text
    assert 'value="several"' in page.text
    assert not list_lots(studio)


def test_a_bath_that_would_run_over_is_refused_in_the_draft_and_at_the_start(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    rows = {"skeins": ["60"], "base": ["Quay Sock"]}
    assert 'class="wrong"' in post("/lots/new/draft", _new(studio, **rows)).text
    assert post("/lots/new", _new(studio, **rows)).status_code == 422
    assert not list_lots(studio)


def test_an_unplanned_pot_takes_two_taps_and_acts_are_added_as_they_happen(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    assert 'value="Big pot"' in client.get("/lots/unplanned").text
    page = post("/lots/unplanned", {"vessel": "Big pot"})
    code = page.url.path.removeprefix("/lots/")
    assert "What did you do?" in page.text
    assert 'list="choices-solution"' in client.get(f"/lots/{code}", params={"extra": "add dye"}).text
    page = post(f"/lots/{code}/extra", {"do": "add dye", "slot-solution": "Kelp 1 %", "slot-amount": "12 ml"})
    assert "12 ml of Kelp 1 %" in page.text
    assert _booked(studio, code, "Kelp 1 %") == pytest.approx(12)
    wrong = post(f"/lots/{code}/extra", {"do": "add dye", "slot-solution": "Kelp 1 %", "slot-amount": "some"})
    assert wrong.status_code == 422
    assert 'value="some"' in wrong.text
    kept = post(f"/lots/{code}/keep", {"name": "Found in the pot"})
    assert kept.status_code == 200
    assert [step.do for step in get_colourway(studio, "Found in the pot").thing.steps] == ["add dye"]


def test_old_lots_are_copied_in_with_half_of_their_facts_missing(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    rows = {
        "when": ["2019", "", "spring 2021"],
        "title": ["Sea fret", "", "Lamp oil"],
        "base": ["", "", "Quay Sock"],
        "skeins": ["", "", "3"],
        "notes": ["", "", "pale"],
    }
    assert post("/lots/old", rows | {"do": "keep"}).url.path == "/lots"
    assert [(one.title, one.status) for one in list_lots(studio)] == [("Lamp oil", "from the notebook"), ("Sea fret", "from the notebook")]
    wrong = post("/lots/old", {"when": ["2019", "soon"], "title": ["One", "Two"], "base": "", "skeins": "", "notes": "", "do": "keep"})
    assert wrong.status_code == 422
    second_row = wrong.text.split('value="soon"')[1]
    assert "not a day" in second_row
    assert len(list_lots(studio)) == 2


def test_pasted_lines_become_rows_to_look_at_first(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/lots/old", {"pasted": "March 2021; Sea fret; Quay Sock; 3; too much vinegar\n2020\tLamp oil", "do": "rows"}).text
    for typed in ("March 2021", "Sea fret", "too much vinegar", "2020", "Lamp oil"):
        assert f'value="{typed}"' in page
    assert not list_lots(studio)


# the sheet


def test_one_tap_ticks_and_a_second_one_changes_nothing(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    page = post(f"/lots/{lot.code}/tick", {"step": "3"})
    assert page.url.path == f"/lots/{lot.code}"
    once = get_lot(studio, lot.code)
    assert once.state.doing(3, "Big pot").ticked
    assert post(f"/lots/{lot.code}/tick", {"step": "3"}).status_code == 200
    assert get_lot(studio, lot.code).entries == once.entries
    assert get_lot(studio, lot.code).uses == once.uses


def test_several_pots_are_ticked_together_or_one_by_one(client: TestClient, studio: Studio, two_pots: Lot, post) -> None:  # type: ignore[no-untyped-def]
    post(f"/lots/{two_pots.code}/tick", {"step": "1", "vessel": "Old pan"})
    state = get_lot(studio, two_pots.code).state
    assert (state.doing(1, "Old pan").how, state.doing(1, "Big pot").how) == ("done", "planned")
    post(f"/lots/{two_pots.code}/tick", {"step": "2"})
    state = get_lot(studio, two_pots.code).state
    assert {state.doing(2, vessel).how for vessel in ("Old pan", "Big pot")} == {"done"}


def test_that_was_ten_minutes_ago(client: TestClient, studio: Studio, clock: Clock, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    post(f"/lots/{lot.code}/tick", {"step": "1", "minutes": "10"})
    assert get_lot(studio, lot.code).state.doing(1, "Big pot").at == clock() - timedelta(minutes=10)
    post(f"/lots/{lot.code}/tick", {"step": "2", "at": "9:05"})
    at = get_lot(studio, lot.code).state.doing(2, "Big pot").at
    assert at is not None
    assert f"{at:%H:%M}" == "09:05"
    assert at <= clock()
    wrong = post(f"/lots/{lot.code}/tick", {"step": "3", "at": "noonish"})
    assert wrong.status_code == 422
    assert "not a time by the clock" in wrong.text


def test_a_mis_tap_is_undone_and_stays_legible(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    post(f"/lots/{lot.code}/tick", {"step": "3"})
    assert _booked(studio, lot.code, "Kelp 1 %") == pytest.approx(125)
    page = post(f"/lots/{lot.code}/untick", {"step": "3"})
    assert get_lot(studio, lot.code).state.doing(3, "Big pot").how == "planned"
    assert _booked(studio, lot.code, "Kelp 1 %") == pytest.approx(0)
    assert '<s class="struck">done 09:30</s>' in page.text
    assert post(f"/lots/{lot.code}/untick", {"step": "3"}).status_code == 200


def test_another_number_is_a_correction_on_paper(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    opened = client.get(f"/lots/{lot.code}", params={"open": "3"}).text
    assert 'name="about" value="solution Kelp 1 %"' in opened
    page = post(f"/lots/{lot.code}/instead", {"step": "3", "vessel": "Big pot", "about": "solution Kelp 1 %", "said": "6", "unit": "tbsp"})
    (amount, unit) = _dose(studio, lot.code, 3)[0]
    assert unit == "ml"
    assert amount == pytest.approx(6 * 14.787, abs=0.01)  # US tablespoon, NIST Handbook 44, appendix C: half a fluid ounce of 29.5735 ml
    assert '<s class="struck">125\u00a0ml Kelp 1\u00a0%</s>' in page.text, "a number stays on one line with its unit"
    wrong = post(f"/lots/{lot.code}/instead", {"step": "4", "vessel": "Big pot", "about": "dye Ember", "said": "a pinch"})
    assert wrong.status_code == 422
    assert 'value="a pinch"' in wrong.text


def test_what_is_typed_is_echoed(client: TestClient, lot: Lot) -> None:
    assert "44.4 ml" in client.get(f"/lots/{lot.code}/understood", params={"said": "3", "unit": "tbsp"}).text
    assert 'class="wrong"' in client.get(f"/lots/{lot.code}/understood", params={"said": "3 cm", "unit": "ml"}).text


def test_a_slip_of_ten_times_is_told_while_it_is_typed_and_afterwards(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    asked = {"step": "3", "vessel": "Big pot", "about": "solution Kelp 1 %"}  # 125 ml are planned
    told = "10 times the 125 ml that were planned"
    assert told in client.get(f"/lots/{lot.code}/understood", params={**asked, "said": "1250", "unit": "ml"}).text
    assert "planned" not in client.get(f"/lots/{lot.code}/understood", params={**asked, "said": "130", "unit": "ml"}).text
    assert "10 times less" in client.get(f"/lots/{lot.code}/understood", params={**asked, "said": "12.5", "unit": "ml"}).text
    assert told in post(f"/lots/{lot.code}/instead", {**asked, "said": "1.25 l"}).text, "it is written down: it may be true"
    assert _dose(studio, lot.code, 3) == [(1250, "ml")]
    page = post(f"/lots/{lot.code}/weigh", {"which": "1/1", "said": "9.8"}).text
    assert "10 times less than the 100 g that were put up" in page
    number = get_lot(studio, lot.code).entries[-1].id
    assert "that were put up" not in post(f"/lots/{lot.code}/correct/{number}", {"said": "98"}).text


def test_a_recorded_number_is_corrected_later_and_the_old_one_stays(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    page = post(f"/lots/{lot.code}/weigh", {"which": "1/1", "said": "98"})
    assert "skein 2 of 2" in page.text
    number = get_lot(studio, lot.code).entries[-1].id
    assert 'name="said"' in client.get(f"/lots/{lot.code}/correct/{number}").text
    page = post(f"/lots/{lot.code}/correct/{number}", {"said": "3.5 oz"})
    assert [entry.value for entry in get_lot(studio, lot.code).state.weights] == [pytest.approx(99.22, abs=0.01)]  # 28.3495 g to the ounce
    assert '<s class="struck">98</s>' in page.text
    again = post(f"/lots/{lot.code}/correct/{number}", {"said": "97"})
    assert again.status_code == 422
    assert "struck through" in again.text
    newest = get_lot(studio, lot.code).entries[-1].id
    post(f"/lots/{lot.code}/correct/{newest}", {"do": "withdraw"})
    assert get_lot(studio, lot.code).state.weights == ()


def test_the_time_of_a_tick_is_put_right(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    post(f"/lots/{lot.code}/tick", {"step": "1"})
    number = get_lot(studio, lot.code).entries[-1].id
    post(f"/lots/{lot.code}/correct/{number}", {"at": "08:15"})
    doing = get_lot(studio, lot.code).state.doing(1, "Big pot")
    assert doing.ticked
    assert f"{doing.at:%H:%M}" == "08:15"


def test_the_rinse_asks_which_mark_the_skein_carries(client: TestClient, studio: Studio, two_pots: Lot, post) -> None:  # type: ignore[no-untyped-def]
    question = "Which mark does the skein in your hand carry?"
    assert question not in client.get(f"/lots/{two_pots.code}").text
    post(f"/lots/{two_pots.code}/skip", {"step": "1", "vessel": ["Big pot", "Old pan"], "why": "was wet"})
    for number in range(2, 10):
        post(f"/lots/{two_pots.code}/tick", {"step": str(number)})
    assert question in client.get(f"/lots/{two_pots.code}").text
    post(f"/lots/{two_pots.code}/mark", {"step": "10", "row": "1", "said": "2 ties"})
    post(f"/lots/{two_pots.code}/mark", {"step": "10", "row": "1", "said": "2 ties"})
    view = get_lot(studio, two_pots.code)
    assert view.state.marks[1].text == "2 ties"
    assert sum(entry.what.value == "mark" for entry in view.entries) == 1
    assert view.state.doing(1, "Old pan").how == "skipped"


def test_readings_notes_photos_and_the_end(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    code = lot.code
    post(f"/lots/{code}/reading", {"what": "pH by strip", "said": "4.6"})
    post(f"/lots/{code}/reading", {"what": "temperature", "said": "190 F"})
    assert post(f"/lots/{code}/reading", {"what": "pH by strip", "said": "46"}).status_code == 422
    post(f"/lots/{code}/note", {"said": "Struck fast <b>"})
    picture = io.BytesIO()
    Image.new("RGB", (64, 48), (120, 120, 120)).save(picture, "JPEG")
    page = post(f"/lots/{code}/photo", {}, files={"photo": ("skein.jpg", picture.getvalue(), "image/jpeg")})
    state = get_lot(studio, code).state
    assert [round(entry.value or 0, 1) for entry in state.readings] == [4.6, 87.8]  # (190 F - 32) / 1.8
    assert "Struck fast &lt;b&gt;" in page.text
    (photo,) = state.photos
    assert f'src="/photos/{photo.photo}?small=yes"' in page.text
    page = post(f"/lots/{code}/finish")
    assert "This lot is finished." in page.text
    assert post(f"/lots/{code}/finish").status_code == 200
    assert post(f"/lots/{code}/tick", {"step": "1"}).status_code == 409
    post(f"/lots/{code}/reopen")
    assert get_lot(studio, code).state.finished_at is None


def test_copy_and_overdye_lead_to_a_new_lot(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    copied = post(f"/lots/{lot.code}/copy")
    assert copied.url.path == "/lots/2026-11-24-B"
    assert f"copied from lot {lot.code}" in copied.text or f"has the plan of {lot.code}" in copied.text
    number = get_colourway(studio, "Tidewrack").id
    form = client.get("/lots/new", params={"over": lot.code, "colourway": number}).text
    assert f'name="over" value="{lot.code}"' in form


@pytest.mark.parametrize("paper", ["slip.pdf", "sheet.pdf"])
def test_the_papers_are_shown_in_the_browser(client: TestClient, lot: Lot, paper: str) -> None:
    answer = client.get(f"/lots/{lot.code}/{paper}")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"].startswith("inline")
    assert answer.content.startswith(b"%PDF-")


def test_a_lot_that_is_not_there_says_so(client: TestClient, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    assert client.get("/lots/2026-11-24-Q").status_code == 404
    assert client.get(f"/lots/{lot.code.lower()}").status_code == 200
    assert client.get(f"/lots/{lot.code}/step/99").status_code == 404
    assert post("/lots/2026-11-24-Q/tick", {"step": "1"}).status_code == 404
    assert post(f"/lots/{lot.code}/tick", {"step": "99"}).status_code == 422


def test_without_the_token_nothing_is_written(client: TestClient, studio: Studio, lot: Lot) -> None:
    answer = client.post(f"/lots/{lot.code}/tick", data={"step": "1"}, headers={"origin": HOME})
    assert answer.status_code == 403
    assert get_lot(studio, lot.code).entries == ()


# what another window is told


def _partial(client: TestClient, post, path: str, data: dict[str, str]) -> httpx.Response:  # type: ignore[no-untyped-def]
    client.headers["hx-request-type"] = "partial"
    try:
        answer: httpx.Response = post(path, data)
    finally:
        del client.headers["hx-request-type"]
    return answer


def _ids(text: str) -> set[str]:
    return set(re.findall(r'id="([\w-]+)"[^>]*hx-swap-oob', text))


def test_a_tick_answers_with_the_rows_that_changed_only(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    answer = _partial(client, post, f"/lots/{lot.code}/tick", {"step": "1", "seen": "0"})
    assert answer.status_code == 200
    assert _ids(answer.text) == {"seen", "told", "head", "step-1", "step-2", "next-step", "finish"}
    assert "<html" not in answer.text


def test_another_window_hears_what_changed_since_and_keeps_what_is_being_typed(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    post(f"/lots/{lot.code}/tick", {"step": "1"})
    post(f"/lots/{lot.code}/weigh", {"which": "1/1", "said": "98"})
    last = get_lot(studio, lot.code).entries[-1].id
    assert client.get(f"/lots/{lot.code}/again", params={"seen": last}).status_code == 204
    everything = client.get(f"/lots/{lot.code}/again", params={"seen": "0"}).text
    assert {"step-1", "step-2", "skeins", "weigh", "head"} <= _ids(everything)
    kept = client.get(f"/lots/{lot.code}/again", params={"seen": "0", "keep": "step-2 weigh"}).text
    assert not {"step-2", "weigh"} & _ids(kept)
    assert 'name="seen" value="0"' in kept  # so that the kept blocks are told again


def test_changed_blocks_are_exactly_those_that_differ(studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    post(f"/lots/{lot.code}/tick", {"step": "3"})
    view = get_lot(studio, lot.code)
    changed = changed_blocks(view.lot, view.entries, 0)
    before, after = blocks_of(view.lot, ()), blocks_of(view.lot, view.entries)
    assert set(changed) == {name for name in after if after[name] != before[name]} == {"head", "step-3", "uses"}
    assert changed_blocks(view.lot, view.entries, view.entries[-1].id or 0) == {}


@pytest.fixture
def post(client: TestClient):  # type: ignore[no-untyped-def]
    """Sends a form as one of our own pages does."""

    def send(path: str, data: dict[str, object] | None = None, **more: object) -> httpx.Response:
        client.get("/lots")
        token = client.cookies["skeinwright_csrf"]
        answer: httpx.Response = client.post(path, data={**(data or {}), "csrf_token": token}, headers={"origin": HOME}, **more)  # type: ignore[arg-type]
        return answer

    return send


# the look


def test_the_hazard_style_stands_only_at_the_step_where_it_belongs(client: TestClient, studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    def hazards(text: str) -> list[str]:
        return [row.partition('"')[0] for row in text.split('id="step-')[1:] if 'class="hazard"' in row]

    assert hazards(client.get(f"/lots/{lot.code}").text) == []
    for number in ("1", "2", "3"):
        post(f"/lots/{lot.code}/tick", {"step": number})
    assert hazards(client.get(f"/lots/{lot.code}").text) == ["4"]  # dye powder is opened


def test_a_ph_says_whether_a_strip_or_a_meter_read_it(studio: Studio, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    for what in ("pH by strip", "pH by meter"):
        post(f"/lots/{lot.code}/reading", {"what": what, "said": "4.6"})
    assert [entry.about for entry in get_lot(studio, lot.code).state.readings] == ["", "meter"]


def test_what_is_not_on_the_shelf_is_told_before_the_start(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    number = str(get_colourway(studio, "Tidewrack").id)
    row = {"colourway": number, "skeins": "2", "base": "Quay Sok", "skein": "100", "vessel": "Bigg pot", "mark": "", "over": ""}
    page = post("/lots/new", {**row, "do": "look"}).text
    assert "Quay Sok is not on the shelf" in page
    assert "Bigg pot is not on the shelf" in page
    assert "is not on the shelf" not in post("/lots/new", {**row, "base": "quay sock", "vessel": "Big pot", "do": "look"}).text


def test_all_that_is_wrong_in_a_row_stands_beside_its_cells_at_once(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    number = str(get_colourway(studio, "Tidewrack").id)
    typed = {"skeins": "two", "base": "Quay Sok", "skein": "", "vessel": "Big pot", "mark": "", "over": "2019-01-01-a"}
    page = post("/lots/new", {"colourway": number, **typed, "do": "start"})
    assert page.status_code == 422
    drafted = post("/lots/new/draft", {"colourway": number, **typed}).text
    for key, sentence in {"skeins": "Say how many skeins", "base": "Did you mean &#39;Quay Sock&#39;?", "over": "There is no lot 2019-01-01-A"}.items():
        assert f'aria-describedby="wrong-1-{key}" aria-invalid="true"' in page.text
        for text in (page.text, drafted):  # sent as a page, and told while the form is filled in
            assert sentence in text.split(f'id="wrong-1-{key}"')[1].split("</p>")[0]
    assert 'hx-swap-oob="true"' in drafted
    assert 'hx-swap-oob="true"' not in page.text
    assert not list_lots(studio)
    right = post("/lots/new/draft", {"colourway": number, **typed, "skeins": "2", "base": "Quay Sock", "over": ""}).text
    assert "As it would be" in right
    assert 'class="wrong"' in right
    assert "<span>" not in right.split('id="wrong-1-base"')[1].split("</p>")[0]


def test_a_wrong_number_of_skeins_of_an_unplanned_pot_is_said_and_nothing_typed_is_lost(studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    pot = post("/lots/unplanned", {"vessel": "Big pot", "base": "Quay Sock", "skeins": "two", "title": "Odd"})
    assert pot.status_code == 422
    assert all(f'value="{typed}"' in pot.text for typed in ("two", "Quay Sock", "Odd"))
    assert not list_lots(studio)


def test_enter_in_a_field_chooses_no_pot(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    first = client.get("/lots/unplanned").text.split("<form")[1].split("<button")[1]
    assert 'value="look"' in first, "Enter presses the first button of a form"
    page = post("/lots/unplanned", {"do": "look", "title": "Odd", "skeins": "2"})
    assert page.url.path == "/lots/unplanned"
    assert 'value="Odd"' in page.text
    assert not list_lots(studio)


def test_rows_that_nothing_marks_are_told_apart_at_the_scale(client: TestClient, studio: Studio) -> None:
    twice = (RowWanted(base="Quay Sock", skeins=1, vessel="Big pot"), RowWanted(base="Quay Sock", skeins=1, vessel="Big pot"))
    page = client.get(f"/lots/{start_lot(studio, StartLot(colourway='Tidewrack', rows=twice)).code}").text
    assert "Quay Sock in Big pot, row 1: skein 1 of 1" in page
    assert "Quay Sock in Big pot, row 2: skein 1 of 1" in page


def test_what_is_wrong_in_an_act_that_was_not_planned_stands_beside_its_field(client: TestClient, lot: Lot, post) -> None:  # type: ignore[no-untyped-def]
    page = post(f"/lots/{lot.code}/extra", {"do": "add acid", "slot-acid": "Citric", "slot-amount": "a pinch"})
    assert page.status_code == 422
    assert re.search(r'<input id="slot-amount"[^>]* autofocus aria-invalid="true" aria-describedby="slot-amount-wrong"', page.text)
    assert page.text.count("was read") == 1
    assert 'value="a pinch"' in page.text
