"""The yarn pages without a screen: what is said, what stands beside a field, what is kept and taken back."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from io import BytesIO
from typing import Any
from urllib.parse import urlencode

import pytest
from PIL import Image

from skeinwright.core.shelf.items import Base
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.studio import Studio
from skeinwright.web.pages import knitted

Post = Callable[..., Any]


@pytest.fixture(autouse=True)
def demo(studio: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    """The invented studio; its pages wait for their pictures, however busy the machine is."""
    set_up_studio(studio, demo=True)
    monkeypatch.setattr(knitted, "PATIENCE_S", 60.0)


def ids(studio: Studio) -> tuple[int, int]:
    return get_from_shelf(studio, "base", "Quay Sock").id, get_from_shelf(studio, "base", "Heron Two").id


def test_the_base_page_says_what_is_assumed_and_why_bases_differ(client: Any, studio: Studio) -> None:
    quay, heron = ids(studio)
    page = client.get(f"/shelf/base/{quay}/yarn", params={"beside": heron, "label": "8 ply"}).text
    assert "1984" in page
    assert "96 %" in page
    assert page.count("is-assumed") > 4
    assert "this one does not fit" in page
    assert "Heron Two has two plies" in page
    assert page.count("<img") == page.count('alt="')
    assert f"/shelf/base/{quay}/yarn" in client.get(f"/shelf/base/{quay}").text
    wrong = client.get(f"/shelf/base/{quay}/yarn", params={"label": "thick"})
    assert "for example" in wrong.text
    assert 'value="thick"' in wrong.text
    assert client.get("/shelf/base/999/yarn").status_code == 404
    assert (
        client.get("/shelf/bases/beside", params={"base": ["heron two", "Quay Sock"]}, follow_redirects=False)
        .headers["location"]
        .startswith(f"/shelf/base/{heron}/yarn?beside={quay}")
    )
    assert client.get("/shelf/bases/beside", params={"base": "Nowhere"}).status_code == 404


def test_washing_is_typed_in_two_halves_kept_and_undone(client: Any, post: Post, studio: Studio) -> None:
    quay, _ = ids(studio)
    here = f"/shelf/base/{quay}/washing"
    wet = post(here, {"wet_length": "1 m", "wet_wraps": "22", "act": "wet"})
    assert wet.status_code == 200
    assert "wait for the dry ones" in wet.text
    assert 'value="1 m"' in wet.text
    half = post(here, {"wet_length": "1 m", "dry_length": "", "wet_wraps": "22", "dry_wraps": "many"})
    assert half.status_code == 422
    assert 'value="many"' in half.text
    assert half.text.count("data-wrong") >= 2
    live = client.get(here, params={"wet_length": "1 m", "dry_length": "94 cm"}).text
    assert "94.0 %" in live
    done = post(here, {"wet_length": "1 m", "dry_length": "94 cm", "wet_wraps": "22", "dry_wraps": "20"})
    assert done.url.path == f"/shelf/base/{quay}/yarn"
    assert "measured by you" in done.text
    changes = re.search(r'name="changes" value="([\d,]+)"', done.text)
    assert changes is not None
    post("/undo", {"changes": changes[1], "back": "/shelf"})
    base = get_from_shelf(studio, "base", quay).thing
    assert isinstance(base, Base)
    assert base.relax_length is None
    assert post("/shelf/base/999/washing", {"wet_length": "1 m", "dry_length": "94 cm"}).status_code == 404


def test_an_even_colourway_is_said_to_be_even_and_a_wrong_field_keeps_what_was_typed(client: Any, post: Post, studio: Studio) -> None:
    number = next(kept.id for kept in list_colourways(studio) if kept.thing.name == "Lamp Oil")
    page = client.get(f"/colourways/{number}/knitted", params={"gauge": "30 sts/10cm", "stitches": "64", "chosen": "66"})
    assert "one colour all over" in page.text
    assert "66 stitches in the round" in page.text
    told = re.sub(r"<[^>]+>", " ", page.text)
    assert not any(word in told for word in ("scatters", "flashes", "Scatters best", "stitches a round", "over that range"))  # no pooling of one colour
    assert page.text.count("one colour all over") == 2, "said once, and once more to those who cannot see the picture"
    assert 'name="chosen"' not in page.text, "strips that are all alike leave nothing to choose"
    picture = re.search(r'<img src="(/pictures/knitted/[^"]+)"', page.text)
    assert picture is not None
    drawn = client.get(picture[1].replace("&amp;", "&"))
    assert (drawn.status_code, drawn.headers["content-type"]) == (200, "image/png")
    assert f"/colourways/{number}/knitted" in client.get(f"/colourways/{number}").text
    swatch = post(f"/colourways/{number}/knitted", {"base": "Quay Sock", "ravelled": "27.4 cm", "piece": "hat"})
    assert "13.7 mm of yarn a stitch" in swatch.text
    assert "Swatch, ravelled" in swatch.text
    wrong = client.get(f"/colourways/{number}/knitted", params={"gauge": "loose", "rows": "-3"})
    assert wrong.status_code == 422
    assert 'value="loose"' in wrong.text
    assert wrong.text.count("Write the gauge as") >= 1
    assert client.get("/colourways/999/knitted").status_code == 404
    assert client.get(f"/pictures/knitted/{number}.png?stitch=nan-ish").status_code == 422
    assert client.get(f"/pictures/knitted/{number}.png?stitch=9000").status_code == 422


def test_while_dye_is_laid_the_page_says_so_and_then_shows_it(client: Any, studio: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    wharf = next(one.id for one in list_colourways(studio) if one.thing.name == "Wharf Steps")
    monkeypatch.setattr(knitted, "PATIENCE_S", 0.0)
    page = client.get(f"/colourways/{wharf}/knitted?stitches=60").text
    job = re.search(r'data-job="(/jobs/[^"]+)" data-state="running" data-then="([^"]+)"', page)
    assert job is not None
    assert job[2] == f"/colourways/{wharf}/knitted?stitches=60"
    assert "is being laid on Quay Sock" in page
    assert "60 stitches in the round: stripes" in page, "what needs no picture is there at once"
    assert "/pictures/knitted" not in page
    until = time.monotonic() + 300
    while client.get(job[1]).json()["state"] == "running" and time.monotonic() < until:
        time.sleep(0.05)
    monkeypatch.setattr(knitted, "PATIENCE_S", 60.0)
    page = client.get(job[2]).text
    assert "data-job" not in page
    picture = re.search(r'href="(/pictures/knitted[^"]+size=paper)"', page)
    assert picture is not None
    drawn = Image.open(BytesIO(client.get(picture[1].replace("&amp;", "&")).content))
    assert drawn.size == (1772, 1181)
    assert drawn.info["dpi"] == pytest.approx((300, 300), abs=0.1)


PLAN = {
    "base": "Quay Sock", "gauge": "30 sts/10cm", "stitches": "64", "waste": "3 %", "span": "2 m",
    "dye.0": "Kelp", "depth.0": "1 %", "rows.0": "8", "dye.1": "", "depth.1": "", "rows.1": "2", "dye.2": "Gorse", "depth.2": "1,5 %", "rows.2": "5",
}  # fmt: skip


def test_stripes_are_drawn_printed_and_kept(client: Any, post: Post, studio: Studio) -> None:
    first = client.get("/colourways/stripes").text
    assert "One repeat is" in first, "it begins with two dyes of the shelf"
    page = client.get("/colourways/stripes", params=PLAN).text
    assert "times between pegs" in page
    assert "-4.0 %" in page, "the dried round is not the winder's"
    sheet = client.get(f"/colourways/stripes/winding.pdf?{urlencode(PLAN)}")
    assert sheet.content.startswith(b"%PDF")
    nameless = post("/colourways/stripes", PLAN)
    assert nameless.status_code == 422
    assert 'value="1,5 %"' in nameless.text
    kept = post("/colourways/stripes", PLAN | {"name": "Harbour Lights"})
    assert kept.status_code == 200
    assert "Harbour Lights" in [one.thing.name for one in list_colourways(studio)]
    assert post("/colourways/stripes", PLAN | {"name": "Harbour Lights"}).status_code == 409
    wrong = client.get("/colourways/stripes", params=PLAN | {"rows.2": "a few", "depth.0": "much"})
    assert wrong.status_code == 422
    assert "Stripe 1:" in wrong.text
    assert "Stripe 3:" in wrong.text
    gap = client.get("/colourways/stripes", params=PLAN | {"rows.1": "", "rows.2": "a few"})
    assert 'data-of="rows.2"' in gap.text, "the line that was typed, though the one before it is empty"
    assert "Stripe 3:" in gap.text
    crowded = client.get("/colourways/stripes", params=PLAN | {"span": "1 mm"})
    assert "give them more room" in crowded.text


def test_a_studio_without_yarn_is_told_what_to_do(client: Any, post: Post, studio: Studio) -> None:
    from skeinwright.services.list_shelf import list_shelf

    for kept in list_shelf(studio, "base"):
        post(f"/shelf/base/{kept.id}/archive", {"archived": "yes"})
    assert "Add a base" in client.get("/colourways/stripes").text
    assert client.get("/shelf/pan-reach").status_code == 200


def test_the_reach_follows_what_is_asked(client: Any) -> None:
    page = client.get("/shelf/pan-reach", params={"base": "Quay Sock", "vessel": "Long pan", "width": "6 cm", "sides": "one", "shuffles": "2"}).text
    assert "one side, shuffled 2 times" in page
    picture = re.search(r'<img src="(/pictures/pan[^"]+)"', page)
    assert picture is not None
    assert client.get(picture[1].replace("&amp;", "&")).content.startswith(b"\x89PNG")
    wrong = client.get("/shelf/pan-reach", params={"width": "wide"})
    assert wrong.status_code == 422
    assert 'value="wide"' in wrong.text
    assert 'id="y-width-wrong"' in wrong.text
    assert 'data-of="width"' in wrong.text, "for the script, which sets it beside the field when only the answer is swapped"


def test_a_strand_is_measured_in_a_photo_and_the_figure_goes_back(client: Any, post: Post, studio: Studio) -> None:
    """A strip of 40 px between two marks 400 px apart that are 2 cm: 2.00 mm, within 0.8 px."""
    from io import BytesIO

    from PIL import Image, ImageDraw, ImageFilter

    picture = Image.new("L", (800, 600), 60)
    ImageDraw.Draw(picture).rectangle((0, 280, 799, 319), fill=220)
    data = BytesIO()
    picture.filter(ImageFilter.GaussianBlur(1.5)).save(data, "PNG")
    quay, _ = ids(studio)
    here = f"/shelf/base/{quay}/washing/photo"
    assert "Choose a photo of the strand" in post(here, {"wet_length": "1 m"}).text
    page = post(here, {"which": "dry", "wet_length": "1 m", "wet_width": "1.80 mm"}, files={"photo": ("strand.png", data.getvalue(), "image/png")})
    assert page.status_code == 200
    assert 'name="wet_length" value="1 m"' in page.text
    marks = {"rax": "25", "ray": "10", "rbx": "75", "rby": "10", "sax": "10", "say": "50", "sbx": "90", "sby": "50"}
    asked = {"which": "dry", "length": "2 cm", "wet_width": "1.80 mm"} | marks
    found = client.get(page.url.path, params=asked)
    said = re.search(r"<strong>([\d.]+) mm</strong>", found.text)
    assert said is not None
    assert float(said[1]) == pytest.approx(2.0, abs=0.04)
    use = re.search(r'class="button first" href="([^"]+)"', found.text)
    assert use is not None
    back = client.get(use[1].replace("&amp;", "&"))
    assert f'value="{said[1]} mm"' in back.text
    assert "Thickness: " in back.text
    assert client.get(page.url.path, params=asked | {"say": "5", "sby": "5"}).status_code == 422
    assert client.get(f"{here}/9999").status_code == 404
