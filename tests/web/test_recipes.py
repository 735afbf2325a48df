"""From a colour to a recipe: what is found, what is kept, what is refused."""

from __future__ import annotations

import html
import io
import re
import subprocess
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from PIL import Image
from starlette.testclient import TestClient

from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.spaces import hex_to_lab
from skeinwright.core.shelf.items import Dye
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.correct_lot import CorrectLot, correct_lot
from skeinwright.services.edit_shelf import edit_shelf
from skeinwright.services.find_recipe import find_recipe
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.get_lot import get_lot
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.keep_reading import KeepReading, keep_reading
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.list_lots import list_lots
from skeinwright.services.list_sets import list_sets
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.studio import Studio

BASE = "Quay Sock"


@pytest.fixture
def demo(studio: Studio) -> Studio:
    """The invented studio: twelve dyes with swatches."""
    set_up_studio(studio, demo=True)
    return studio


def _ask(client: TestClient, **said: str) -> str:
    page = client.get("/recipes", params={"by": "typed", "base": BASE, "fibre": "100 g", **said})
    assert page.status_code == 200, page.text
    return page.text


def _form(text: str, key: str) -> dict[str, str | list[str]]:
    """The hidden fields of one recipe's form."""
    article = text.split(f'class="recipe recipe-{key}"')[1].split("</article>")[0]
    fields: dict[str, list[str]] = {}
    for name, value in re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', article):
        fields.setdefault(name, []).append(html.unescape(value))
    return {name: values if name == "dose" else values[0] for name, values in fields.items() if name != "csrf_token"}


def test_the_form_asks_without_a_target_and_a_bad_one_is_said_beside_its_field(client: TestClient, demo: Studio) -> None:
    assert 'href="/recipes"' in client.get("/colourways").text
    assert 'class="squares' not in client.get("/recipes").text
    wrong = client.get("/recipes", params={"by": "typed", "target": "greenish"})
    assert wrong.status_code == 422
    assert 'id="wrong-target"' in wrong.text
    assert 'value="greenish"' in wrong.text


def test_without_a_dye_that_has_a_swatch_the_page_says_how_to_begin(client: TestClient, studio: Studio) -> None:
    set_up_studio(studio)
    assert "No dye is known yet" in client.get("/recipes").text
    assert client.get("/recipes/reach").status_code == 422
    assert "needs three dyes" in client.get("/recipes/triangle").text


def test_three_squares_touch_the_target_in_three_lights(client: TestClient, demo: Studio) -> None:
    text = _ask(client, target="40, 25, 10")
    drawings = re.findall(r'<svg class="squares light-([\w-]+)".*?</svg>', text, re.DOTALL)
    assert drawings == ["D65", "A", "LED-B3"]
    day = re.search(r'<svg class="squares light-D65".*?</svg>', text, re.DOTALL)
    assert day
    rects = re.findall(r'<rect (?:x="(\d)" )?(?:y="(\d)" )?width="1" height="1" fill="(#\w{6})"/>', day[0])
    assert [(x or "0", y or "0") for x, y, _ in rects] == [("1", "0"), ("0", "0"), ("2", "0"), ("1", "1")]
    target, *recipes = (hex_to_lab(colour).values for _, _, colour in rects)
    assert all(float(ciede2000(target, one)) < 2 for one in recipes)
    assert "Within reach." in text
    assert "<table>" in text.split("recipes as a table")[1]


def test_an_unreachable_target_says_so_and_still_shows_the_nearest(client: TestClient, demo: Studio) -> None:
    text = _ask(client, target="#ff1010")
    assert "Not within reach." in text
    assert "These dyes do not reach the target" in text
    assert 'class="squares' in text


def test_dyes_left_out_and_the_number_of_dyes_are_kept_to(client: TestClient, demo: Studio) -> None:
    text = client.get("/recipes", params={"by": "typed", "target": "40, 25, 10", "base": BASE, "most": "2", "without": ["Rosehip", "Ember"]}).text
    table = text.split("<tbody>")[1].split("</tbody>")[0]
    rows = re.findall(r"<tr><td>(.*?)</td>", table)
    assert rows
    assert all(row.count(",") <= 1 and "Rosehip" not in row and "Ember" not in row for row in rows)


def test_a_recipe_never_takes_more_than_the_jar_holds(client: TestClient, demo: Studio) -> None:
    edit_shelf(demo, "dye", "Rosehip", {"on_hand_g": "0.1 g"})
    text = _ask(client, target="35, 45, 10", fibre="100 g")
    depths = [float(found) for found in re.findall(r"([\d.]+) % Rosehip", text.split("<tbody>")[1].split("</tbody>")[0])]
    assert all(depth <= 0.1 + 0.006 for depth in depths)  # half a step of the balance on 100 g


def test_a_recipe_is_kept_as_a_bath_that_is_forecast_as_it_was_shown(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    form = _form(_ask(client, target="40, 25, 10"), "nearest")
    page = post("/recipes/keep", form)
    assert re.fullmatch(r"/colourways/\d+", page.url.path)
    kept = get_colourway(demo, int(page.url.path.rsplit("/", 1)[1]))
    assert kept.thing.bases == (BASE,)
    assert kept.thing.notes == "Target: 40, 25, 10"
    recipe = find_recipe(demo, kept.id)
    said = {dose.split("=")[0]: float(dose.split("=")[1].removesuffix(" %")) / 100 for dose in form["dose"]}
    assert recipe.doses == pytest.approx(said, rel=1e-4)
    assert float(ciede2000(recipe.lab.values, (40.0, 25.0, 10.0))) < 1
    again = post("/recipes/keep", form)
    assert get_colourway(demo, int(again.url.path.rsplit("/", 1)[1])).thing.name == f"{kept.thing.name} 2"


def test_the_bath_s_water_is_asked_said_and_kept_with_the_recipe(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    assert "Dyed as your swatches were (30:1" in _ask(client, target="40, 25, 10")
    text = _ask(client, target="40, 25, 10", liquor="60:1")
    assert "For 60:1 instead of the swatches&#39; 30:1" in text
    form = _form(text, "nearest")
    assert form["liquor"] == "60:1"
    page = post("/recipes/keep", form)
    kept = get_colourway(demo, int(page.url.path.rsplit("/", 1)[1]))
    assert next(step for step in kept.thing.steps if step.do == "fill").get("volume") == "60:1"
    wrong = client.get("/recipes", params={"by": "typed", "target": "40, 25, 10", "liquor": "60"})
    assert wrong.status_code == 422
    assert 'id="wrong-liquor"' in wrong.text
    assert 'value="60"' in wrong.text


def test_the_other_pages_ask_for_the_bath_s_water_too_and_keep_it(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    sent = {"base": BASE, "fibre": "100 g", "liquor": "60:1"}
    asked = {
        "fade": {"start": "1", "end": "2", "skeins": "3"},
        "reach": {},
        "triangle": {"a": "Kelp", "b": "Ember", "c": "Rosehip", "dose": "Kelp=0.5 %"},
        "use-up": {"gone": "30 g", "fibre": "1 kg"},
    }
    for page, more in asked.items():
        text = client.get(f"/recipes/{page}", params=sent | more).text
        says = text.split('bath-says">')[1].split("</p>")[0]
        assert ("The doses are those for 60:1." if page == "reach" else "In 60:1 instead of the swatches&#39; 30:1 less of the dye goes on") in says, page
        assert says.count("Otherwise dyed as your swatches were (30:1") == 1
        assert ("could be as dull as this" in text) == (page != "reach"), page  # each colour with what it could be; a chip tells it when tapped
        assert "likely within" in text or page == "reach"
        assert (page == "reach") or '<input type="hidden" name="liquor" value="60:1">' in text
        wrong = client.get(f"/recipes/{page}", params=sent | more | {"liquor": "lots"})
        assert wrong.status_code == 422
        assert wrong.text.count('id="wrong-liquor"') == 1
        assert 'value="lots"' in wrong.text
    page = post("/recipes/fade", sent | asked["fade"] | {"name": "Thin shore"})
    assert page.status_code == 200
    recipe = find_recipe(demo, "Thin shore 2")
    assert recipe.doses
    made = next(one for one in list_colourways(demo) if one.thing.name == "Thin shore 2")
    assert next(step for step in made.thing.steps if step.do == "fill").get("volume") == "60:1"


def test_a_search_without_a_colour_says_what_is_missing_beside_its_field(client: TestClient, demo: Studio) -> None:
    for way, field in (("typed", "target"), ("photo", "photo"), ("colourway", "colourway"), ("lot", "lot")):
        page = client.get("/recipes", params={"by": way, "most": "2", "fibre": "70 g", "target": "", "colourway": "", "lot": ""})
        assert page.status_code == 422, way
        assert f'id="wrong-{field}"' in page.text, way
        assert 'value="70 g"' in page.text
        assert page.text.count('class="wrong"') == 1
    assert client.get("/recipes", params={"by": "photo", "base": BASE}).status_code == 200


def test_a_target_lighter_than_the_yarn_needs_no_dye_and_tells_no_price(client: TestClient, demo: Studio) -> None:
    text = _ask(client, target="92, 0, 6")
    assert "No dye: the ground as it is." in text
    assert "costs" not in text.split('recipe-nearest"')[1].split("</article>")[0]
    assert "The one recipe as a table" in text


def test_what_cannot_be_dosed_finely_is_helped_by_what_it_is(client: TestClient, demo: Studio) -> None:
    """Gorse and Rosehip are taken from solutions in the invented studio: "use a solution" would be no help."""
    text = _ask(client, target="40, 25, 10", fibre="1 g")
    said = [one for one in re.findall(r'<p class="said">([^<]+)</p>', text) if "dosed finely" in one]
    assert said
    for sentence in said:
        amount = sentence.split(" of ")[0]
        assert ("use a weaker solution" in sentence) == amount.endswith("ml")
        assert ("use a solution" in sentence) == amount.endswith("g")


def test_a_field_that_is_not_used_yet_is_still_read_and_a_base_that_is_not_there_is_said(client: TestClient, demo: Studio) -> None:
    for page, more in (("reach", {}), ("triangle", {"a": "Kelp", "b": "Ember", "c": "Sloe"})):
        wrong = client.get(f"/recipes/{page}", params={"base": BASE, "fibre": "much", **more})
        assert wrong.status_code == 422
        assert 'id="wrong-fibre"' in wrong.text
        lost = client.get(f"/recipes/{page}", params={"base": BASE, "over": "ZZ-1", **more})
        assert lost.status_code == 422
        assert "ZZ-1" in lost.text.split('id="wrong-over"')[1].split("</p>")[0]
    on = client.get("/recipes", params={"by": "colourway", "colourway": "1", "of": "Nowhere", "most": "3"})
    assert on.status_code == 422
    assert "Nowhere is not on the shelf." in on.text.split('id="wrong-of"')[1].split("</p>")[0]


def test_trial_first_starts_one_small_lot_however_often_it_is_sent(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    form = _form(_ask(client, target="40, 25, 10"), "nearest") | {"trial": "7 g"}
    first = post("/recipes/trial", form)
    assert first.url.path.startswith("/lots/")
    assert post("/recipes/trial", form).url.path == first.url.path
    (line,) = list_lots(demo)
    lot = get_lot(demo, line.code).lot
    assert lot.rows[0].skein_g == 7
    assert lot.rows[0].base == BASE


def test_a_trial_that_is_no_trial_writes_nothing(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    before = len(list_colourways(demo))
    form = _form(_ask(client, target="40, 25, 10"), "nearest") | {"trial": "3 kg"}
    assert post("/recipes/trial", form).status_code == 422
    assert len(list_colourways(demo)) == before
    assert not list_lots(demo)


def test_a_colourway_is_made_to_match_on_another_base_and_lamps_are_compared(client: TestClient, demo: Studio) -> None:
    text = client.get("/recipes", params={"by": "colourway", "colourway": "2", "of": BASE, "base": "Fen Single"}).text
    assert "The target is Low Tide on Quay Sock, made on Fen Single" in text
    assert "the two part by" in text
    assert "smoothest spectrum" not in text  # the target's own spectrum is known
    beside = client.get("/colourways/2", params={"beside": "yes"}).text
    links = [html.unescape(found) for found in re.findall(r'href="(/recipes\?[^"]*)"', beside)]
    assert all(client.get(link).status_code == 200 for link in links)
    assert any(parse_qs(urlsplit(link).query)["colourway"] == ["2"] for link in links)


def test_an_uneven_colourway_is_a_target_where_it_is_coloured_and_no_end_of_a_fade(client: TestClient, demo: Studio) -> None:
    answer = client.get("/recipes", params={"by": "colourway", "colourway": "7"})
    assert answer.status_code == 200
    assert "where it is coloured" in answer.text
    fade = client.get("/recipes/fade", params={"start": "7", "end": "1", "skeins": "4"})
    assert fade.status_code == 422
    assert "Dye does not lie evenly" in fade.text
    assert 'id="wrong-start"' in fade.text


def test_over_a_dark_lot_dye_can_only_go_deeper(client: TestClient, demo: Studio) -> None:
    lot = start_lot(demo, StartLot(colourway="Low Tide"))
    base = lot.rows[0].base
    text = client.get("/recipes", params={"by": "typed", "target": "85, 0, 10", "base": base, "over": lot.code}).text
    assert "dye can only go deeper" in text
    assert "Not within reach." in text
    assert "this target is lighter" in text


def test_a_target_is_picked_in_a_photo(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    picture = Image.new("RGB", (800, 400), (200, 200, 200))
    picture.paste((60, 120, 90), (400, 0, 800, 400))
    out = io.BytesIO()
    picture.save(out, "PNG")
    page = post("/recipes/photo", {"then": f"/recipes?by=typed&base={BASE}", "into": "target"}, files={"photo": ("a.png", out.getvalue())})
    query = {"wx": "25", "wy": "50", "px": "75", "py": "50"} | {key: value[0] for key, value in parse_qs(urlsplit(str(page.url)).query).items()}
    read = client.get(page.url.path, params=query, headers={"hx-request": "true"}).text
    assert "<html" not in read
    use = re.search(r'href="([^"]+)">Use this colour', read)
    assert use
    found = client.get(html.unescape(use[1]))
    assert found.status_code == 200
    assert 'class="squares' in found.text
    assert "D65/2" in found.text


def test_the_way_back_never_leads_out_of_the_studio(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    out = io.BytesIO()
    Image.new("RGB", (300, 300), (200, 200, 200)).save(out, "PNG")
    page = post("/recipes/photo", {"then": "https://elsewhere.invalid/", "into": "whatever"}, files={"photo": ("a.png", out.getvalue())})
    assert "elsewhere" not in page.text


def test_a_fade_is_even_and_is_kept_as_a_set(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    said = {"start": "1", "end": "2", "skeins": "3", "base": BASE, "fibre": "100 g"}
    done = post("/recipes/fade", {**said, "name": "Shore fade"})
    assert done.url.path.startswith("/colourways/sets/")
    (kept,) = [one for one in list_sets(demo) if one.thing.name == "Shore fade"]
    assert kept.thing.colourways == tuple(f"Shore fade {number}" for number in range(1, 4))
    recipes = [find_recipe(demo, name) for name in kept.thing.colourways]
    steps = [float(ciede2000(one.lab.values, other.lab.values)) for one, other in pairwise(recipes)]
    assert max(steps) < 1.15 * min(steps)
    assert recipes[0].doses == pytest.approx(find_recipe(demo, 1).doses, abs=6e-5)
    again = post("/recipes/fade", {**said, "name": "Shore fade"})
    assert again.status_code == 422
    assert 'id="wrong-name"' in again.text
    assert again.text.count('<li><svg class="block"') == 3  # nothing typed or shown is lost


def test_chips_lie_in_their_hue_and_a_tapped_one_shows_its_recipe(client: TestClient, demo: Studio) -> None:
    page = client.get("/recipes/reach", params={"base": BASE}).text
    links = [html.unescape(found) for found in re.findall(r'hx-get="([^"]+)"', page)]
    assert len(links) > 40
    one = client.get(links[0], headers={"hx-request": "true"}).text
    assert "<html" not in one
    assert "Keep as a colourway" in one
    assert client.get(links[0]).text.count('aria-current="true"') == 1
    picture = re.search(r'src="(/pictures/chip\.png[^"]+)"', page)
    assert picture
    assert client.get(html.unescape(picture[1])).headers["content-type"] == "image/png"
    assert client.get("/pictures/chip.png", params={"look": "4_20_1_0.5", "colour": "none"}).status_code == 422


def test_a_mixing_triangle_names_the_parts_of_every_mixture(client: TestClient, demo: Studio) -> None:
    page = client.get("/recipes/triangle", params={"a": "Kelp", "b": "Ember", "c": "Rosehip", "steps": "3", "depth": "1.2 %"}).text
    parts = re.findall(r">(\d : \d : \d)</text>", page)
    assert len(parts) == len(set(parts)) == 10
    assert all(sum(int(part) for part in one.split(" : ")) == 3 for one in parts)
    link = re.search(r'<a href="([^"]+)" aria-label="1 : 1 : 1: ([^"]+)"', page)
    assert link
    assert parse_qs(urlsplit(html.unescape(link[1])).query)["dose"] == ["Kelp=0.4 %", "Ember=0.4 %", "Rosehip=0.4 %"]
    assert client.get("/recipes/triangle", params={"a": "Kelp", "b": "Kelp", "c": "Rosehip"}).status_code == 422
    own = client.get("/recipes/triangle", params={"a": "Kelp", "b": "Ember", "c": "Rosehip", "steps": "2", "depth": "1 %, 0.5 %, 2 %"}).text
    assert "at 1 %, 0.5 % and 2 % of the fibre at the corners" in own
    half = re.search(r'<a href="([^"]+)" aria-label="0 : 1 : 1', own)
    assert half
    assert parse_qs(urlsplit(html.unescape(half[1])).query)["dose"] == ["Ember=0.25 %", "Rosehip=1 %"]
    wrong = client.get("/recipes/triangle", params={"a": "Kelp", "b": "Ember", "c": "Rosehip", "depth": "1 %, 2 %"})
    assert (wrong.status_code, 'id="wrong-depth"' in wrong.text, 'value="1 %, 2 %"' in wrong.text) == (422, True, True)


def test_use_it_up_empties_a_jar(client: TestClient, demo: Studio) -> None:
    edit_shelf(demo, "dye", "Ember", {"on_hand_g": "1 g"})
    page = client.get("/recipes/use-up", params={"base": BASE, "fibre": "100 g"}).text
    assert "1 g Ember" in page
    assert "Keep as a colourway" in page
    assert client.get("/recipes/use-up", params={"fibre": "some"}).status_code == 422


def test_a_measured_trial_gives_a_top_up_and_the_next_recipe(client: TestClient, demo: Studio) -> None:
    lot = start_lot(demo, StartLot(colourway="Low Tide"))
    empty = client.get(f"/lots/{lot.code}/colour").text
    wanted = re.search(r'name="target" value="([^"]+)"', empty)
    assert wanted
    L, a, b = (float(part) for part in wanted[1].split(","))
    page = client.get(f"/lots/{lot.code}/colour", params={"measured": f"{L + 4}, {a}, {b + 1}"}).text  # too pale
    assert "Add to this skein" in page
    assert "less than expected" in page
    added = page.split("Add to this skein")[1].split("</article>")[0]
    assert re.search(r"<b>[\d.]+ (ml|g)</b>", added)
    deep = client.get(f"/lots/{lot.code}/colour", params={"measured": f"{L - 6}, {a}, {b}"}).text
    assert "cannot be taken away" in deep
    assert 'id="wrong-measured"' in client.get(f"/lots/{lot.code}/colour", params={"measured": "greenish"}).text
    assert f"/lots/{lot.code}/colour" in client.get(f"/lots/{lot.code}").text


def test_a_lot_of_two_rows_asks_which_skeins(client: TestClient, demo: Studio) -> None:
    rows = (RowWanted(base=BASE, skeins=1, vessel="Big pot"), RowWanted(base="Fen Single", skeins=1, vessel="Big pot"))
    lot = start_lot(demo, StartLot(colourway="Low Tide", rows=rows))
    page = client.get(f"/lots/{lot.code}/colour", params={"row": "2", "measured": "40, -20, -8"}).text
    assert "Which skeins" in page
    assert "Fen Single was dyed with" in page
    assert client.get(f"/lots/{lot.code}/colour", params={"row": "9"}).status_code == 422


def _measured(demo: Studio, lot: str, lab: Lab, state: str = "dry") -> None:
    data = io.BytesIO()
    Image.new("RGB", (200, 150), (90, 120, 140)).save(data, "PNG")
    photo = keep_photo(demo, data.getvalue(), "skein.png").fact.id
    keep_reading(demo, KeepReading(photo=photo, lab=lab, spread_de00=3.0, lot=lot, base=BASE, state=state))


def test_a_lot_that_was_measured_fills_in_its_reading_and_is_a_target_as_measured(client: TestClient, demo: Studio) -> None:
    lot = start_lot(demo, StartLot(colourway="Low Tide", rows=(RowWanted(base=BASE, skeins=1),)))
    assert "as forecast" in client.get("/recipes", params={"by": "lot", "lot": lot.code, "base": BASE}).text
    _measured(demo, lot.code, Lab(55, -12, -9, "D65", 2))
    _measured(demo, lot.code, Lab(30, -12, -9, "D65", 2), state="wet")
    target = client.get("/recipes", params={"by": "lot", "lot": lot.code, "base": BASE}).text
    assert "as measured on" in target
    assert "likely within 3.5" in target, "3.0 as read, and 0.5 for the way from 2 to 10 degrees"
    page = client.get(f"/lots/{lot.code}/colour").text
    assert 'value="55, -12, -9 D65/2"' in page
    assert "Filled in: measured on" in page
    assert "Add to this skein" in page
    own = client.get(f"/lots/{lot.code}/colour", params={"measured": "40, -12, -9", "picked": "55, -12, -9 D65/2"}).text
    assert "Filled in" not in own
    wet = client.get(f"/lots/{lot.code}/colour", params={"measured": "40, -12, -9", "state": "wet"}).text
    assert "It was read wet; dry it will be near L, a, b" in wet


def test_a_mark_counts_only_for_the_colour_that_it_was_made_for(demo: Studio) -> None:
    """Picked in a photo (5 in each) a trial moves the strengths less than typed (1 in each); a mark of another colour changes nothing."""
    lot = start_lot(demo, StartLot(colourway="Low Tide"))
    asked = CorrectLot(lot=lot.code, measured="60, -12, -9")
    typed, picked, other = (correct_lot(demo, replace(asked, picked=mark)).found.correction.strengths for mark in ("", "60, -12, -9", "61, -12, -9"))
    assert typed == other
    assert sum(abs(one - 1) for one in picked.values()) < sum(abs(one - 1) for one in typed.values())


def test_a_bad_trial_weight_is_said_beside_its_field_and_the_recipe_is_kept(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    form = _form(_ask(client, target="40, 25, 10"), "nearest")
    asked = post("/recipes/trial", form | {"trial": "900 g"})
    assert asked.status_code == 422
    assert 'id="wrong-trial"' in asked.text
    assert 'value="900 g"' in asked.text
    again = {name: html.unescape(value) for name, value in re.findall(r'<input type="hidden" name="(name|target|base|fibre)" value="([^"]*)"', asked.text)}
    doses = [html.unescape(one) for one in re.findall(r'name="dose" value="([^"]+)"', asked.text)]
    assert doses == form["dose"]
    assert again["target"] == form["target"]
    assert post("/recipes/trial", {**again, "dose": doses, "trial": "8 g"}).url.path.startswith("/lots/")


def test_the_triangle_is_printed_with_its_parts_and_swatches_or_the_page_says_why_not(client: TestClient, demo: Studio, tmp_path: Path) -> None:
    page = client.get("/recipes/triangle", params={"base": BASE, "a": "Gorse", "b": "Kelp", "c": "Rosehip", "steps": "4"}).text
    link = html.unescape(re.search(r'href="(/recipes/triangle\.pdf[^"]+paper=a3)"', page)[1])  # type: ignore[index]
    answer = client.get(link)
    assert answer.headers["content-type"] == "application/pdf"
    (tmp_path / "poster.pdf").write_bytes(answer.content)
    text = subprocess.run(["pdftotext", "-layout", str(tmp_path / "poster.pdf"), "-"], capture_output=True, check=True, text=True).stdout
    assert len(re.findall(r"\d\s?:\s?\d\s?:\s?\d", text)) == 15
    assert all(word in text for word in ("Gorse", "Kelp", "Rosehip", "Your swatches", "0.25 %", BASE))
    size = subprocess.run(["pdfinfo", str(tmp_path / "poster.pdf")], capture_output=True, check=True, text=True).stdout
    assert re.search(r"841\.\d+ x 1190\.\d+ pts \(A3\)", size)
    assert re.search(r"Pages:\s+1\n", size)
    wrong = client.get("/recipes/triangle.pdf", params={"base": BASE, "a": "Gorse", "b": "Gorse", "c": "Kelp"})
    assert wrong.status_code == 422
    assert "three different dyes" in wrong.text


def test_a_target_in_the_notes_comes_back_on_the_lot(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    sheet = post("/recipes/trial", _form(_ask(client, target="40, 25, 10"), "nearest"))
    assert 'name="target" value="40, 25, 10"' in client.get(f"{sheet.url.path}/colour").text


def test_the_dye_page_tells_the_dyers_own_error(client: TestClient, demo: Studio) -> None:
    text = client.get("/shelf/dye/1/swatches").text
    assert "How well your swatches agree" in text
    assert len(re.findall(r"<b>[\d.]+</b> at [\d.]+ %", text)) == 3


CGATS = """CGATS.17
ORIGINATOR "test"
NUMBER_OF_FIELDS 4
BEGIN_DATA_FORMAT
SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 3
BEGIN_DATA
"Bramble 0.5 %" 60 30 -10
"Bramble 2 %" 35 42 -14
"grey card" 50 0 0
END_DATA
"""


def test_an_instruments_readings_are_looked_at_and_then_kept(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    looked = post("/shelf/import", {"kind": ""}, files={"file": ("readings.txt", CGATS.encode())})
    assert looked.status_code == 200, looked.text
    assert "Bramble" in looked.text
    assert "grey card" in looked.text
    key = re.search(r'name="key" value="([^"]+)"', looked.text)
    assert key
    post("/shelf/import/apply", {"key": key[1]})
    dye = get_from_shelf(demo, "dye", "Bramble").thing
    assert isinstance(dye, Dye)
    assert [swatch.depth for swatch in dye.swatches] == pytest.approx([0.005, 0.02])


CXF = """<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core"><cc:Resources>
<cc:ObjectCollection>
  <cc:Object ObjectType="Standard" Name="Bramble 1 %" Id="1"><cc:ColorValues>
    <cc:ReflectanceSpectrum ColorSpecification="S" StartWL="400">VALUES</cc:ReflectanceSpectrum></cc:ColorValues></cc:Object>
  <cc:Object ObjectType="Standard" Name="Bramble 3 %" Id="2"><cc:ColorValues>
    <cc:ColorCIELab ColorSpecification="F"><cc:L>35</cc:L><cc:A>42</cc:A><cc:B>-14</cc:B></cc:ColorCIELab></cc:ColorValues></cc:Object>
</cc:ObjectCollection>
<cc:ColorSpecificationCollection>
  <cc:ColorSpecification Id="S"><cc:MeasurementSpec><cc:WavelengthRange StartWL="400" Increment="10"/></cc:MeasurementSpec></cc:ColorSpecification>
  <cc:ColorSpecification Id="F"><cc:TristimulusSpec>
    <cc:Illuminant>F11</cc:Illuminant><cc:Observer>10_Degree</cc:Observer></cc:TristimulusSpec></cc:ColorSpecification>
</cc:ColorSpecificationCollection></cc:Resources></cc:CxF>"""


def test_cxf_of_an_instrument_is_looked_at_and_then_kept(client: TestClient, demo: Studio, post) -> None:  # type: ignore[no-untyped-def]
    """Names, the illuminant F11 and the observer 10_Degree as the CxF3 core schema has them (iso17972 in sources.bib)."""
    text = CXF.replace("VALUES", " ".join(f"{0.2 + step / 100:.2f}" for step in range(31)))
    looked = post("/shelf/import", {"kind": ""}, files={"file": ("readings.cxf", text.encode())})
    assert looked.status_code == 200, looked.text
    key = re.search(r'name="key" value="([^"]+)"', looked.text)
    assert key, looked.text
    post("/shelf/import/apply", {"key": key[1]})
    dye = get_from_shelf(demo, "dye", "Bramble").thing
    assert isinstance(dye, Dye)
    assert [swatch.depth for swatch in dye.swatches] == pytest.approx([0.01, 0.03])
    assert [len(swatch.spectrum) for swatch in dye.swatches] == [31, 0]
    assert dye.swatches[0].spectrum[30] == pytest.approx((700.0, 0.5))
    assert (dye.swatches[1].lab.illuminant, dye.swatches[1].lab.observer) == ("FL11", 10)
    harm = text.replace("<cc:CxF ", '<!DOCTYPE CxF [<!ENTITY a "b">]><cc:CxF ', 1)
    refused = post("/shelf/import", {"kind": ""}, files={"file": ("readings.cxf", harm.encode())})
    assert refused.status_code == 422
