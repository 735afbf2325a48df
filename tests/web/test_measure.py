"""The Measure pages by plain forms, as a browser without scripts sends them. The photographs and their truth: tests/measured_ladder.py."""

from __future__ import annotations

import html
import io
import re
import time
from datetime import date
from pathlib import Path

import httpx
import pytest
from PIL import Image
from starlette.testclient import TestClient

from lot_studio import studio_in
from measured_ladder import ladder, refused, shadowed
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.get_settings import get_settings
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.keep_reading import KeepReading, keep_reading
from skeinwright.services.list_readings import list_readings
from skeinwright.services.read_outlines import read_outlines
from skeinwright.services.start_lot import RowWanted, StartLot, start_lot
from skeinwright.services.studio import Studio
from skeinwright.web.app import create_app
from skeinwright.web.measure_ask import Asked, asked_in, asked_of

LADDER = {"photo": ("ladder.jpg", ladder().data, "image/jpeg")}


def open_photo(post, files, **data: str) -> str:
    """The address of the opened photo."""
    answer = post("/measure", data=data, files=files, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"].split("?")[0]


def wait_for(client: TestClient, place: str) -> httpx.Response:
    """The page once the photo is read; while it is being read the page says so and looks again by itself."""
    until = time.monotonic() + 300
    answer = client.get(place)
    while "data-job=" in answer.text and time.monotonic() < until:
        assert '<noscript><meta http-equiv="refresh"' in answer.text
        time.sleep(0.2)
        answer = client.get(place)
    return answer


def tiny(grey: int = 190) -> bytes:
    target = io.BytesIO()
    Image.new("RGB", (320, 240), (grey,) * 3).save(target, "PNG")
    return target.getvalue()


def test_the_empty_screen_says_what_to_do(client: TestClient) -> None:
    page = client.get("/measure").text
    assert "Nothing is kept yet." in page
    assert 'capture="environment"' in page
    assert 'aria-current="page">Measure' in page
    for paper in ("a4", "letter"):
        sheet = client.get(f"/measure/sheet.pdf?paper={paper}")
        assert sheet.content.startswith(b"%PDF-")
        assert sheet.headers["content-type"] == "application/pdf"
    assert client.get("/measure/sheet.pdf?paper=legal").status_code == 422


def test_a_printer_is_checked_and_nothing_typed_is_lost(client: TestClient, studio: Studio, post) -> None:
    answer = post("/measure/printer", {"printer": "By the door", "across": "199 mm", "upright": "150 mm"})
    assert answer.status_code == 422
    assert 'value="By the door"' in answer.text
    assert re.search(r'id="f-upright-wrong"><span>The printed ruler should be near 200 mm', answer.text)
    assert get_settings(studio).printers == ()
    page = post("/measure/printer", {"printer": "By the door", "across": "199 mm", "upright": "20,1 cm"}).text
    assert "199 mm across, 201 mm upright" in page


@pytest.mark.parametrize("content", [b"", b"no picture at all", ladder().data[:400]])
def test_what_is_no_photo_is_refused_beside_the_field(client: TestClient, studio: Studio, post, content: bytes) -> None:
    answer = post("/measure", files={"photo": ("x.jpg", content, "image/jpeg")})
    assert answer.status_code == 422
    assert 'id="f-photo-wrong"' in answer.text
    assert not studio.photos.exists() or not list(studio.photos.iterdir())
    assert post("/measure").status_code == 422


def test_a_ladder_from_the_photo_to_the_dye(client: TestClient, filled: Studio, post) -> None:
    place = open_photo(post, LADDER)
    page = wait_for(client, place).text
    assert "A good photo" in page
    assert len(re.findall(r'<g class="piece"', page)) == 3
    assert client.get(f"{place}/flat.jpg").headers["content-type"] == "image/jpeg"
    assert "Differences inside one photo are surer" in page
    said = {"form": "dyed", "state": "dry", "printer": "", "reference": "", "outlines": "", "dye": "Rosehip", "base": "Quay Sock"}
    wrong = post(f"{place}/swatches", said | {"depth-1": "3 %", "depth-2": "pale", "depth-3": "1.2 %"})
    assert wrong.status_code == 422
    assert re.search(r'id="f-depth-2-wrong"><span>', wrong.text)
    assert all(f'value="{typed}"' in wrong.text for typed in ("3 %", "pale", "1.2 %"))
    assert list_readings(filled) == []
    right = said | {"depth-1": "3 %", "depth-2": "0.4 %", "depth-3": "", "key": re.search(r'name="key" value="([^"]+)"', wrong.text)[1]}
    kept = post(f"{place}/swatches", right)
    assert post(f"{place}/swatches", right).url == kept.url  # a second tap keeps nothing more
    assert len(list_readings(filled)) == 2
    assert "Kept 2 swatches of Rosehip" in kept.text
    assert "measured on the photo sheet" in kept.text
    assert "Rosehip, 0.4 %" in client.get("/measure").text
    taken_back = post("/undo", {"changes": re.search(r'name="changes" value="([\d,]+)"', kept.text)[1], "back": "/measure"})
    assert "Nothing is kept yet." in taken_back.text


@pytest.mark.parametrize(("taken", "says"), [(refused, "corner marks"), (shadowed, "A shadow crosses the sheet")])
def test_a_refused_photo_shows_why_and_no_number(client: TestClient, post, taken, says: str) -> None:
    page = wait_for(client, open_photo(post, {"photo": ("x.jpg", taken().data, "image/jpeg")})).text
    assert "Refused: no figure is taken" in page
    assert says in page
    assert ("flat.jpg" in page) == (taken is shadowed)  # it flattens all the same, without outlines or a rule
    assert '<a class="button first" href="/measure">Take another photo</a>' in page
    for gone in ("cm²", "Area mean", "Keep as swatches", "a millimetre as taken", 'class="figure"', "rule-mm"):
        assert gone not in page


def test_the_next_photo_is_read_as_the_one_that_was_refused(client: TestClient, post) -> None:
    csv = "x_mm,y_mm,w_mm,h_mm,L,a,b\n" + "\n".join(f"{50 + 16 * place},175,9,9,{90 - 15 * place},0,0" for place in range(5))
    asked = Asked(form="knitted", state="wet", printer="none", reference=csv)
    place = open_photo(post, {"photo": ("x.png", tiny(), "image/png")}, **asked.said)
    page = wait_for(client, f"{place}{asked.query}").text
    again = client.get(html.unescape(re.search(r'href="(/measure[^"]*)">Take another photo', page)[1])).text
    assert "It is read as the last one: knitted, wet, printer not checked, with the reference of 5 patches." in again
    given = {key: html.unescape(value) for key, value in re.findall(r'<input type="hidden" name="(form|state|printer|reference)" value="([^"]*)"', again)}
    assert given == asked.said
    answer = post("/measure", data=given, files={"photo": ("y.png", tiny(100), "image/png")}, follow_redirects=False)
    assert asked_in(httpx.URL(answer.headers["location"]).params) == asked


def test_a_wrong_cell_of_the_reference_is_named(client: TestClient, post) -> None:
    place = open_photo(post, {"photo": ("x.png", tiny(), "image/png")})
    csv = "x_mm,y_mm,w_mm,h_mm,L,a,b\n" + "50,175,9,9,90,0,0\n" * 3 + "50,175,9,9,90,0,grey\n"
    page = wait_for(client, f"{place}{Asked(reference=csv).query}").text
    assert "Row 5, b: &#39;grey&#39; is not a number." in page
    assert f'<a href="{place}">Or read it as usual</a>' in page


def test_a_reading_that_ends_while_its_page_is_written_is_still_waited_for(client: TestClient, post, monkeypatch: pytest.MonkeyPatch) -> None:
    from skeinwright.services.run_in_background import Job
    from skeinwright.web import measure_read
    from skeinwright.web.pages import measure_photo

    job, written = Job("one", "Reading the photo."), measure_photo.render

    def ends_first(*said, **more):
        job.state = "done"
        return written(*said, **more)

    monkeypatch.setattr(measure_read, "run_in_background", lambda *_, **__: job)
    monkeypatch.setattr(measure_read, "WAIT_S", 0.0)
    monkeypatch.setattr(measure_photo, "WAIT_S", 0.0)
    monkeypatch.setattr(measure_photo, "render", ends_first)
    page = client.get(open_photo(post, {"photo": ("x.png", tiny(), "image/png")})).text
    assert "<h1>Reading the photo</h1>" in page  # and not that it was not read
    assert '<noscript><meta http-equiv="refresh"' in page


def test_a_difference_that_two_photos_cannot_tell_is_not_said_to_be_seen(tmp_path: Path) -> None:
    with studio_in(tmp_path) as (studio, clock):
        rows = (RowWanted(base="Quay Sock", skeins=1, vessel="Big pot"),)
        for day, L, data in ((20, 50.0, tiny()), (24, 53.0, tiny(200))):
            lot = start_lot(studio, StartLot(colourway="Tidewrack", rows=rows, day=date(2026, 11, day))).code
            clock.wait(10)
            keep_reading(studio, KeepReading(photo=keep_photo(studio, data).fact.id, lot=lot, lab=Lab(L, 0, 0, "D65", 2), spread_de00=3.0))
        with TestClient(create_app(studio), base_url="http://127.0.0.1:8470") as client:
            page = client.get(f"/measure/lot/{lot}").text
    assert "Their two photos cannot tell them apart: 3.0 \u00b1 4.2 (CIEDE2000)." in page  # sqrt(3^2 + 3^2) = 4.24
    assert "you would see" not in page
    assert '/measure/beside?a=1&amp;b=2&amp;ap=1&amp;bp=1">both photos side by side' in page


def test_a_photo_of_which_nothing_is_kept_can_be_forgotten(client: TestClient, studio: Studio, post) -> None:
    place = open_photo(post, {"photo": ("x.png", tiny(), "image/png")})
    assert f'action="{place}/forget"' in wait_for(client, place).text
    answer = post(f"{place}/forget")
    assert "Forgot the photo." in answer.text
    assert client.get(place).status_code == 404
    assert list(studio.photos.iterdir()) == []


def test_photos_beyond_the_first_dozen_are_still_reached(client: TestClient, studio: Studio) -> None:
    for grey in range(13):
        keep_photo(studio, tiny(10 + grey))
    page = client.get("/measure").text
    assert '<a href="/measure/1">' not in page
    assert page.count('class="section-head"') == 2
    every = client.get(html.unescape(re.search(r'href="(/measure[^"#]*)#photos-head">All photos', page)[1])).text
    assert '<a href="/measure/1">' in every
    assert "All photos" not in every


def test_the_target_of_a_recipe_says_how_well_it_is_known(client: TestClient, filled: Studio, post) -> None:
    page = wait_for(client, open_photo(post, LADDER)).text
    link = html.unescape(re.search(r'<a href="(/recipes[^"]+)"', page)[1])
    recipes = client.get(link)
    assert recipes.status_code == 200
    read = float(re.search(r'class="spread">\u00b1 ([\d.]+)<', page)[1])
    spread = f"{read + 0.5:.1f}"  # the way from 2 to 10 degrees leads through a guessed spectrum
    assert f"known within \u00b1 {spread}" in recipes.text
    assert f"The target itself is only known within {spread}" in recipes.text
    wrong = client.get("/recipes?by=typed&target=40,20,10+%C2%B1+much")
    assert wrong.status_code == 422
    assert "Behind the plus-minus sign" in wrong.text


def test_what_was_asked_stands_in_the_address_and_wrong_fields_say_so(client: TestClient, filled: Studio, post) -> None:
    place = open_photo(post, LADDER)
    usual = {"form": "dyed", "state": "dry", "printer": "none", "reference": "", "outlines": ""}
    csv = {"reference_file": ("card.csv", ladder().reference_csv.encode(), "text/csv")}
    square = {"rect_x": "62", "rect_y": "64", "rect_w": "44 mm", "rect_h": "80"}
    asked = post(f"{place}/as", usual | {"form": "knitted"} | square, files=csv, follow_redirects=False)
    assert asked.status_code == 303
    page = wait_for(client, asked.headers["location"]).text
    assert len(re.findall(r'<g class="piece"', page)) == 1
    assert re.search(r"Colours rest on 2\d patches of your reference, by .*patches left out are missed by", page)
    assert "as knitted" not in page
    for field, typed, says in (
        ("outlines", "10,10 20", "is no point"),
        ("outlines", "1,1 2,1 2,2", "holds no yarn"),
        ("rect_x", "12", "all four of the rectangle"),
        ("reference", "x_mm,y_mm\n1,2", "needs the columns"),
        ("printer", "Attic", "has been checked"),
    ):
        answer = post(f"{place}/as", usual | {field: typed}, follow_redirects=False)
        answer = answer if answer.status_code == 422 else wait_for(client, answer.headers["location"])
        assert answer.status_code == 422, field
        assert re.search(rf'class="wrong"[^>]*><span>[^<]*{says}', answer.text), (field, says)
        if field in ("outlines", "reference"):
            assert typed.splitlines()[0] in answer.text
    assert client.get("/measure/999").status_code == 404


def test_a_rectangle_of_a_form_and_outlines_come_back_the_same() -> None:
    asked = asked_in({"form": "strand", "state": "wet", "outlines": "1,2 3,2.5 3,4", "rect_x": "10", "rect_y": "20", "rect_w": "5", "rect_h": "4", "lot": "x"})
    assert asked == Asked("strand", "wet", "", "", "1,2 3,2.5 3,4; 10,20 15,20 15,24 10,24", "X")
    assert asked_in(dict(httpx.QueryParams(asked.query.lstrip("?")))) == asked
    details = {"form": "strand", "state": "wet", "outlines": [[list(point) for point in one] for one in read_outlines(asked.outlines)]}
    assert asked_of(details).outlines == asked.outlines
    assert asked_in({"form": "felted", "state": "damp"}) == Asked()


def test_a_lot_has_its_measured_colour_and_says_how_near_it_is_to_the_last(tmp_path: Path) -> None:
    with studio_in(tmp_path) as (studio, clock):
        rows = (RowWanted(base="Quay Sock", skeins=1, vessel="Big pot"),)
        lots = []
        for day in (20, 24):
            lots.append(start_lot(studio, StartLot(colourway="Tidewrack", rows=rows, day=date(2026, 11, day))).code)
            clock.wait(10)
        photos = [keep_photo(studio, tiny()).fact.id]
        for lot, L, state, spread in ((lots[0], 50.0, "dry", 3.0), (lots[1], 53.0, "dry", 4.0), (lots[1], 20.0, "wet", 4.0)):
            clock.wait(1)
            keep_reading(studio, KeepReading(photo=photos[0], lot=lot, lab=Lab(L, 0, 0, "D65", 2), spread_de00=spread, state=state))
        with TestClient(create_app(studio), base_url="http://127.0.0.1:8470") as client:
            first, second = (client.get(f"/measure/lot/{lot}").text for lot in lots)
            sheet = client.get(f"/lots/{lots[1]}").text
            assert client.get("/measure/lot/2020-01-01-A").status_code == 404
        assert "L, a, b 50.0, 0.0, 0.0" in first
        assert "the last of this colourway" not in first
        assert "L, a, b 53.0, 0.0, 0.0" in second  # not the newer, wet one
        assert f'/lots/{lots[0]}">{lots[0]}</a>, the last of this colourway' in second
        # by hand, 3 / (1 + 0.015 x 1.5^2 / sqrt(20 + 1.5^2)) = 2.98; the spread is that of one photo, sqrt(1.5^2 + (0.19 x 2.98)^2) = 1.60
        assert "Side by side you would see the difference. It is 3.0 \u00b1 1.6" in second
        assert "Both photos side by side" not in second
        assert f"/measure/lot/{lots[1]}" in sheet


def test_a_reading_is_kept_for_a_lot_listed_and_taken_back(client: TestClient, filled: Studio, post) -> None:
    place = open_photo(post, LADDER)
    wait_for(client, place)
    usual = {"form": "dyed", "state": "wet", "printer": "", "reference": "", "outlines": "", "piece": "2", "label": "Second from the left"}
    wait_for(client, f"{place}?state=wet")
    answer = post(f"{place}/keep", usual)
    assert "Second from the left" in answer.text
    assert 'name="changes"' in answer.text
    (kept,) = list_readings(filled)
    assert (kept.thing.state, kept.thing.what, kept.thing.details["piece"]) == ("wet", "skein", 2)
    assert post(f"{place}/keep", usual | {"piece": "9"}).status_code == 422
    page = client.get("/measure").text
    assert f"/measure/{kept.thing.photo}?state=wet" in page
    assert "Second from the left,50" in client.get("/measure/readings.csv").text.replace(str(kept.thing.lab.L), "50")
    gone = post(f"/measure/readings/{kept.id}/forget")
    assert "Nothing is kept yet." in gone.text
    assert "Took back the colour of Second from the left." in gone.text


def test_two_photos_stand_at_one_scale(client: TestClient, post) -> None:
    assert "There are not two photos yet." in client.get("/measure/beside").text
    place = open_photo(post, LADDER)
    wait_for(client, place)
    number = place.split("/")[-1]
    assert f"a={number}&amp;b=" in client.get(f"/measure/beside?a={number}").text
    page = wait_for(client, f"/measure/beside?a={number}&b={number}&ap=1&bp=2").text
    sizes = re.findall(r'class="side-picture" viewBox="0 0 ([\d.]+) ([\d.]+)"', page)
    assert len(sizes) == 2
    assert sizes[0] == sizes[1]
    assert "CIEDE2000" in page
    assert client.get("/measure/beside?a=7&b=8").status_code == 404


def test_sizes_without_the_sheet(client: TestClient, post) -> None:
    place = open_photo(post, {"photo": ("x.png", tiny(), "image/png")})
    assert "Sizes without the sheet" in wait_for(client, place).text
    page = client.get(f"{place}/without?by=length&points=10,10+60,10&length=16+cm&outlines=10,20+60,20+60,60+10,60")
    assert "1.0 pixels a millimetre" in page.text  # 160 px are 160 mm
    assert "153.6 cm²" in page.text  # 160 x 96 mm
    wrong = client.get(f"{place}/without?by=rectangle&points=10,10+60,10&width=16+cm&height=2+cm")
    assert wrong.status_code == 422
    assert "the four corners" in wrong.text
    assert client.get(f"{place}/without?by=length&points=10,10+60,10&length=").status_code == 422
