"""The colourway pages: written, forecast while they are written, kept, put in sets, taken out and brought back."""

from __future__ import annotations

import html
import re
from typing import Any

import httpx
import pytest
from starlette.datastructures import FormData
from starlette.testclient import TestClient

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.words import WORDS
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.list_sets import list_sets
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.studio import Studio
from skeinwright.web.colourway_form import edited, new_step, steps_in

PARTIAL = {"hx-request-type": "partial"}
FIELD = re.compile(r'<(?:input|textarea)[^>]* name="([^"]+)"(?:[^>]* value="([^"]*)")?[^>]*>')


def fields(page: str) -> dict[str, str]:
    """The fields of the editor as a browser would send them, without those that are not chosen."""
    form = page[page.index('<form id="colourway"') :]
    form = form[: form.index("</form>")]
    found = {}
    for match in FIELD.finditer(form):
        if ('type="radio"' in match[0] or 'type="checkbox"' in match[0]) and " checked" not in match[0]:
            continue
        found[match[1]] = html.unescape(match[2] or "")
    for name, options in re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r"<option selected>([^<]*)<", options) or re.search(r'<option value="([^"]*)"', options) or re.search(r"<option>([^<]*)", options)
        found[name] = html.unescape(chosen[1]) if chosen else ""
    return found


def part(page: str, name: str) -> str:
    """One part of a live answer, as text."""
    found = re.search(rf'<div data-part="{name}">(.*?)</div>\n(?:<div data-part|<img data-part|$)', page, re.DOTALL)
    assert found, name
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", found[1]))).strip()


@pytest.fixture
def sent(client: TestClient, post: Any) -> Any:
    def send(path: str, said: dict[str, str], **more: Any) -> httpx.Response:
        client.get("/settings")
        headers = {"origin": "http://127.0.0.1:8470", **more.pop("headers", {})}
        return client.post(path, data={**said, "csrf_token": client.cookies["skeinwright_csrf"]}, headers=headers, **more)

    return send


@pytest.fixture
def said(client: TestClient, filled: Studio) -> dict[str, str]:
    """A new colourway as the page offers it."""
    return fields(client.get("/colourways/new").text)


def test_an_empty_studio_offers_six_ways_to_begin(client: TestClient, filled: Studio) -> None:
    page = client.get("/colourways").text
    starts = page[page.index('class="starts"') :]
    assert starts[: starts.index("</div>")].count("<a ") == 6
    assert "What was archived" not in page


def test_a_kettle_begins_in_a_pot_and_is_begun_from_a_full_list_too(client: TestClient, filled: Studio) -> None:
    page = client.get("/colourways/new?start=kettle").text
    begun = fields(page)
    assert begun["vessel"] == "Big pot"
    assert [begun[f"do.{number}"] for number in range(3, 6)] == ["lay in", "heat", "pour"]
    assert "dye goes into the water" in page
    save_colourway(filled, Colourway(name="Kept", steps=(Step("soak", {"time": "30 min"}),)))
    listed = client.get("/colourways").text
    assert "start=kettle" in listed
    assert "start=pan" in listed


def test_a_new_colourway_begins_with_the_shelf(said: dict[str, str]) -> None:
    assert said["bases"] == "Quay Sock"
    assert said["vessel"] == "Big pot"
    assert [said[f"do.{number}"] for number in range(4)] == ["soak", "fill", "add dye", "lay in"]
    assert said["s.2.dye"] == "Kelp"
    assert said["s.5.acid"] == "Vinegar"


def test_it_can_be_kept_changed_and_taken_back(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    kept = sent("/colourways/save", {**said, "name": "Low water"})
    assert kept.url.path == "/colourways/1"
    assert "Undo" in kept.text
    assert get_colourway(filled, 1).thing.bases == ("Quay Sock",)
    again = fields(client.get("/colourways/1").text)
    changed = sent("/colourways/save", {**again, "s.2.depth": "2 %"})
    assert get_colourway(filled, 1).thing.steps[2].get("depth") == "2 %"
    change = re.search(r'name="changes" value="(\d+)"', changed.text)
    assert change
    sent("/undo", {"changes": change[1], "back": "/colourways/1"})
    assert get_colourway(filled, 1).thing.steps[2].get("depth") == "1 %"
    assert "Low water" in client.get("/colourways").text


def test_what_cannot_be_kept_is_told_at_its_place_and_nothing_typed_is_lost(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    answer = sent("/colourways/save", {**said, "name": "", "notes": "a <b>note</b>", "s.2.depth": "much"})
    assert answer.status_code == 422
    back = fields(answer.text)
    assert back["s.2.depth"] == "much"
    assert "a &lt;b&gt;note&lt;/b&gt;" in answer.text
    assert re.search(r'name="s\.2\.depth"[^>]*aria-invalid="true"', answer.text)
    assert re.search(r'id="f-name"[^>]*aria-invalid="true"', answer.text)
    assert list_colourways(filled) == []


def test_who_saves_an_older_state_is_told_and_keeps_what_was_typed(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    sent("/colourways/save", {**said, "name": "Low water"})
    mine, theirs = (fields(client.get("/colourways/1").text) for _ in range(2))
    sent("/colourways/save", {**theirs, "notes": "theirs"})
    answer = sent("/colourways/save", {**mine, "notes": "mine"})
    assert answer.status_code == 409
    assert "changed elsewhere" in answer.text
    assert ">mine</textarea>" in answer.text
    assert get_colourway(filled, 1).thing.notes == "theirs"


def test_a_name_that_is_taken_is_told_beside_the_name(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    sent("/colourways/save", {**said, "name": "Low water"})
    answer = sent("/colourways/save", {**said, "name": "low water"})
    assert answer.status_code == 409
    assert re.search(r'id="told-name"><p class="wrong">', answer.text)


def test_a_copy_is_kept_beside_the_first(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    sent("/colourways/save", {**said, "name": "Low water"})
    copy = sent("/colourways/save", {**fields(client.get("/colourways/1").text), "copy": "yes"})
    assert copy.url.path == "/colourways/2"
    assert [kept.thing.name for kept in list_colourways(filled)] == ["Low water", "Low water copy"]


def test_the_live_forecast_follows_the_form_and_keeps_nothing(filled: Studio, sent: Any, said: dict[str, str]) -> None:
    first = sent("/colourways/forecast", said).text
    assert "Kelp 1 g" in part(first, "margin")
    deeper = sent("/colourways/forecast", {**said, "s.2.depth": "3 %"}).text
    assert "Kelp 3 g" in part(deeper, "margin")
    pictures = [re.search(r'<img src="([^"]+)"', page)[1] for page in (first, deeper)]  # type: ignore[index]
    assert pictures[0] != pictures[1]
    assert list_colourways(filled) == []


def test_a_live_problem_stands_at_its_step_and_all_else_is_still_told(filled: Studio, sent: Any, said: dict[str, str]) -> None:
    page = sent("/colourways/forecast", {**said, "s.6.to": "hot"}).text
    assert "'hot' was read" in part(page, "told-7")
    assert 'data-slots="to"' in page
    assert part(page, "told-8") == ""
    assert "Kelp 1 g" in part(page, "margin")
    assert "Without step 7" in part(page, "yarn")
    crowded = sent("/colourways/forecast", {**said, "s.1.volume": "60 l"}).text
    assert "over the brim" in part(crowded, "told-2")
    assert "cannot hold it" in part(crowded, "margin")


@pytest.mark.parametrize("do", ["tie off", "withdraw"])
def test_a_tie_or_a_withdrawal_may_be_written_before_any_dye(filled: Studio, sent: Any, said: dict[str, str], do: str) -> None:
    said = {key: value for key, value in said.items() if not key.startswith(("do.", "s."))}
    said |= {"do.0": do, **({"s.0.over": "40-45 cm"} if do == "tie off" else {"s.0.time": "10 min"})}
    answer = sent("/colourways/forecast", said, headers=PARTIAL)
    assert answer.status_code == 200
    assert "Quay Sock" in part(answer.text, "yarn")


def test_the_rule_stands_after_the_last_step_that_is_forecast(client: TestClient, filled: Studio, sent: Any) -> None:
    pan = fields(client.get("/colourways/new?start=pan").text) | {"do.4": "remove colour", "s.4.what": "Soft wash", "s.4.amount": "5 g"}
    page = sent("/colourways/forecast", pan).text
    stops = [number for number in range(0, 12) if f'data-part="stop-{number}"' in page and part(page, f"stop-{number}")]
    assert pan["do.4"] == "remove colour"
    assert stops == [4]
    assert "As it is after step 4" in part(page, "yarn")


def test_the_hazard_stands_beside_a_powder_step_and_nowhere_else(client: TestClient, filled: Studio) -> None:
    page = client.get("/colourways/new?start=pan").text
    assert 'class="hazard"' in page[page.index('id="told-5"') : page.index('id="step-5"')]
    assert page.count('class="hazard"') == 1


def test_views_and_bases_can_be_chosen(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    knitted = sent("/colourways/forecast", {**said, "view": "knitted"}).text
    assert "view=knitted" in knitted
    assert "view=twisted" in sent("/colourways/forecast", {**said, "view": "from the moon"}).text


@pytest.mark.parametrize(
    ("act", "words", "focus"),
    [
        ("up.2", ["soak", "add dye", "fill"], "up-1"),
        ("up.1", ["fill", "soak", "add dye"], "down-0"),
        ("down.0", ["fill", "soak", "add dye"], "down-1"),
        ("down.99", ["soak", "fill", "add dye"], ""),
        ("up.0", ["soak", "fill", "add dye"], ""),
        ("remove.1", ["soak", "add dye", "lay in"], "put-back"),
        ("nonsense", ["soak", "fill", "add dye"], ""),
    ],
)
def test_steps_are_moved_and_taken_out(filled: Studio, sent: Any, said: dict[str, str], act: str, words: list[str], focus: str) -> None:
    page = sent("/colourways/steps", {**said, "act": act}, headers=PARTIAL).text
    back = fields(page)
    assert [back[f"do.{number}"] for number in range(3)] == words
    assert (f'data-focus="{focus}"' in page) == bool(focus)
    assert "<html" not in page


def test_a_step_taken_out_can_be_put_back_as_it_was(filled: Studio, sent: Any, said: dict[str, str]) -> None:
    without = fields(sent("/colourways/steps", {**said, "s.2.depth": "0.7 %", "act": "remove.2"}).text)
    assert without["do.2"] == "lay in"
    back = fields(sent("/colourways/steps", {**without, "act": "back"}).text)
    assert (back["do.2"], back["s.2.dye"], back["s.2.depth"]) == ("add dye", "Kelp", "0.7 %")


def test_every_step_word_can_be_added_anywhere(filled: Studio, sent: Any, said: dict[str, str]) -> None:
    """All of them in the form; in the whole page one that is forecast in place, one that no model covers, one that needs a thing that is not there."""
    for word in WORDS:
        form = FormData({**said, "act": "add", "new.do": word, "new.after": "1"})
        done = edited(form, steps_in(form), {})
        assert [one.do for one in done.steps[1:3]] == [word, "fill"]
    for word in ("sprinkle", "move", "top up"):
        answer = sent("/colourways/steps", {**said, "act": "add", "new.do": word, "new.after": "1"}, headers=PARTIAL)
        assert answer.status_code == 200, word
        back = fields(answer.text)
        assert (back["do.1"], back["do.2"]) == (word, "fill")


def test_a_new_step_takes_what_the_shelf_has() -> None:
    assert dict(new_step("add dye", {"dye": "Kelp"}).said) == {"dye": "Kelp", "depth": "0.5 %"}
    assert dict(new_step("hold", {}).said) == {"time": "30 min"}


def test_what_only_a_file_can_carry_survives_the_editor(client: TestClient, filled: Studio, sent: Any) -> None:
    from skeinwright.core.shelf.items import Dye

    save_colourway(filled, Colourway(name="Carried", own_dyes=(Dye(name="Lupin"),), steps=(Step("soak", {"time": "30 min"}),)))
    sent("/colourways/save", {**fields(client.get("/colourways/1").text), "notes": "changed"})
    thing = get_colourway(filled, 1).thing
    assert (thing.notes, [dye.name for dye in thing.own_dyes]) == ("changed", ["Lupin"])


def test_a_colourway_goes_out_as_a_file_and_comes_in_again(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    sent("/colourways/save", {**said, "name": "Low water"})
    file = client.get("/colourways/1/export")
    assert "Low water.toml" in file.headers["content-disposition"] or "Low-water.toml" in file.headers["content-disposition"]
    taken = sent("/colourways/import", {}, files={"file": ("low.toml", file.content)})
    assert taken.status_code == 409
    held = re.search(r'name="key" value="([^"]+)"', taken.text)
    assert held
    assert sent("/colourways/import", {"key": held[1], "replace": "yes"}).url.path == "/colourways/1"
    other = file.content.replace(b"Low water", b"High water")
    assert sent("/colourways/import", {}, files={"file": ("high.toml", other)}).url.path == "/colourways/2"


def test_a_wrong_file_is_told_line_by_line_and_nothing_is_kept(client: TestClient, filled: Studio, sent: Any) -> None:
    wrong = b'name = "Bad"\n[[step]]\ndo = "heat"\nto = "hot"\n[[step]]\ndo = "simmer"\n'
    answer = sent("/colourways/import", {}, files={"file": ("bad.toml", wrong)})
    assert answer.status_code == 422
    assert "step 1 (heat): to" in answer.text
    assert "step 2" in answer.text
    assert list_colourways(filled) == []
    assert sent("/colourways/import", {}).status_code == 422


def test_search_archive_and_back(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    for name in ("Low water", "High water"):
        sent("/colourways/save", {**said, "name": name})
    page = client.get("/colourways?q=high").text
    assert "High water</a>" in page
    assert "Low water</a>" not in page
    sent("/colourways/1/archive", {"archived": "yes"})
    assert "Low water</a>" not in client.get("/colourways").text
    assert "Low water</a>" in client.get("/colourways?archived=yes").text


def test_a_set_is_made_ordered_and_kept(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    for name in ("Deep", "Mid", "Pale"):
        sent("/colourways/save", {**said, "name": name})
    two = {"name": "Fade", "member": ["Deep", "Mid"]}
    three = sent("/colourways/sets/new", {**two, "act": "add", "adding": "Pale"}).text
    assert re.findall(r'name="member" value="([^"]+)"', three) == ["Deep", "Mid", "Pale"]
    moved = sent("/colourways/sets/new", {"name": "Fade", "member": ["Deep", "Mid", "Pale"], "act": "up.2"}).text
    assert re.findall(r'name="member" value="([^"]+)"', moved) == ["Deep", "Pale", "Mid"]
    assert list_sets(filled) == []
    kept = sent("/colourways/sets/new", {"name": "Fade", "member": ["Deep", "Pale", "Mid"]})
    assert kept.url.path == "/colourways/sets/1"
    assert list_sets(filled)[0].thing.colourways == ("Deep", "Pale", "Mid")
    sent("/colourways/sets/1", {"name": "Fade", "member": ["Deep", "Mid"], "revision": "1"})
    assert list_sets(filled)[0].thing.colourways == ("Deep", "Mid")
    wrong = sent("/colourways/sets/1", {"name": "", "member": ["Deep", "Nothing"], "revision": "2"})
    assert wrong.status_code == 422
    assert "Fade" in client.get("/colourways").text
    sent("/colourways/sets/1/archive", {"archived": "yes"})
    assert list_sets(filled) == []


def test_pictures_come_by_address(client: TestClient, filled: Studio, sent: Any, said: dict[str, str]) -> None:
    sent("/colourways/save", {**said, "name": "Low water"})
    first = client.get("/pictures/colourway/1.png")
    assert first.content.startswith(b"\x89PNG")
    assert client.get("/pictures/colourway/1.png", headers={"if-none-match": first.headers["etag"]}).status_code == 304
    good = "/pictures/skein.png?look=4_25_1.25_0.4&colour=336699&view=strand&size=small"
    assert client.get(good).headers["content-type"] == "image/png"
    for wrong in ("look=4_25_1.25", "look=4_25_nan_0.4", "look=1e400_1_1_1", "colour=33669", "colour=3366990", "colour=zzzzzz", "view=moon", "size=vast"):
        key = wrong.partition("=")[0]
        assert client.get(re.sub(rf"{key}=[^&]*", wrong, good)).status_code == 422, wrong


@pytest.mark.parametrize("path", ["/colourways/99", "/colourways/99/export", "/colourways/sets/99", "/pictures/colourway/99.png"])
def test_what_there_is_not_is_said(client: TestClient, filled: Studio, path: str) -> None:
    assert client.get(path).status_code == 404


def test_too_many_steps_are_refused_in_a_sentence(client: TestClient, filled: Studio, sent: Any) -> None:
    answer = sent("/colourways/forecast", {f"do.{number}": "turn" for number in range(200)}, headers=PARTIAL)
    assert answer.status_code == 422
    assert "at most" in answer.text


def test_the_pages_need_no_base_dye_or_pot(client: TestClient, studio: Studio) -> None:
    from skeinwright.services.set_up_studio import set_up_studio

    set_up_studio(studio, name="Empty")
    for path in ("/colourways", "/colourways/new", "/colourways/new?start=pan", "/colourways/new?start=empty", "/colourways/import", "/colourways/sets/new"):
        assert client.get(path).status_code == 200, path
