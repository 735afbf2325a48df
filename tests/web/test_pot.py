"""The pot's chart as the page sends it: neutral, labelled, in words, and told apart without hue."""

from __future__ import annotations

import itertools
import re
from typing import Any

import numpy as np
import pytest

from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.follow_pot import follow_pot
from skeinwright.services.studio import Studio
from skeinwright.web.colourway_form import a_bath
from skeinwright.web.pot_chart import LABEL_APART, Label, _apart, chart_of

FORM = {
    "name": "Low water",
    "fibre": "100 g",
    "vessel": "Big pot",
    "water": "Tap",
    "bases": "Quay Sock",
}


def _form() -> dict[str, str]:
    form = dict(FORM)
    for at, step in enumerate(a_bath({"dye": "Kelp", "acid": "Vinegar"})):
        form[f"do.{at}"] = step.do
        form |= {f"s.{at}.{key}": value for key, value in step.said.items()}
    return form


def test_the_live_answer_has_the_lines_and_the_second_the_bands_in_words_and_without_hue(filled: Studio, post: Any) -> None:
    quick, full = post("/colourways/forecast", _form()).text, post("/colourways/pot", _form()).text
    assert 'data-part="pot-chart"' in quick
    assert "fill-opacity" not in quick
    assert 'data-part="pot-said"' in full
    assert full.count("fill-opacity") == 2
    assert "pH in the pot" in full
    assert "once the yarn has drunk its share; as mixed it is" in full
    assert "a strip is ± 0.5, and cannot be read in coloured liquor" in full
    label = re.search(r'role="img" aria-label="([^"]*)"', full)
    assert label is not None
    for sentence in label[1].removeprefix("The pot over time. ").split(". ")[:3]:
        assert f"{sentence.rstrip('.')}" in full.split("The chart in words")[1]
    for red, green, blue in re.findall(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})", full):
        assert red == green == blue


def test_a_page_without_script_still_has_the_line_and_its_words(filled: Studio, client: Any) -> None:
    page = client.get("/colourways/new").text
    assert 'class="pot-chart"' in page
    assert "The chart in words" in page


def test_nonsense_is_told_and_is_no_failure(filled: Studio, post: Any) -> None:
    form = _form() | {"fibre": "much", "s.1.volume": "<b>lots</b>", "shown": "nobody's"}
    answer = post("/colourways/pot", form)
    assert answer.status_code == 200
    assert "Not followed yet." in answer.text
    assert "<b>" not in answer.text


def test_the_drawing_is_to_scale(filled: Studio) -> None:
    from skeinwright.core.colourway.colourway import Colourway

    colourway = Colourway(name="", fibre="100 g", vessel="Big pot", water="Tap", bases=("Quay Sock",), steps=a_bath({"dye": "Kelp", "acid": "Vinegar"}))
    course = follow_pot(filled, colourway, draws=0).course
    assert course is not None
    chart = chart_of(course, banded=False)
    yarn = chart.panels[2]
    points = np.array([[float(one) for one in pair.split()] for pair in yarn.lines[0].line.removeprefix("M").split("L")])
    assert points[0][0] == pytest.approx(chart.left)
    assert points[-1][0] == pytest.approx(chart.right)
    share = (yarn.top + yarn.height - points[-1][1]) / yarn.height
    assert share == pytest.approx(float(course.uptake["Kelp"].centre[-1]), abs=0.002)
    assert [rule.said for rule in yarn.rules] == ["0", "50", "100"]


def test_labels_never_lie_on_each_other() -> None:
    found = _apart([Label(50.0, "a", ""), Label(50.0, "b", ""), Label(51.0, "c", ""), Label(99.0, "d", "")], 0.0, 100.0)
    ys = [one.y for one in found]
    assert [one.said for one in found] == ["a", "b", "c", "d"]
    assert all(after - before >= LABEL_APART - 1e-9 for before, after in itertools.pairwise(ys))
    assert ys[-1] <= 100


def test_what_cannot_be_followed_says_why(filled: Studio, client: Any) -> None:
    text = client.get("/colourways/new?start=empty").text
    assert "Not followed yet." in text
    assert 'class="pot-chart"' not in text


def test_the_line_alone_answers_a_slider_with_the_plan_in_grey(filled: Studio, post: Any) -> None:
    plan = post("/colourways/pot/line", _form()).text
    asked = post("/colourways/pot/line", _form() | {"what.acid": "0.5", "what.hotter": "-10"}).text
    assert "#8a8a8a" not in plan
    assert asked.count("#8a8a8a") == 3
    assert "fill-opacity" not in asked
    assert "Black: 0.5 times the acid, 10 °C cooler. Grey: as planned." in asked
    assert "78 °C at most" in asked
    assert "As planned: pH" in asked


def test_a_slider_that_makes_no_sense_stands_within_its_ends(filled: Studio, post: Any) -> None:
    for said in ("nan", "1e999", "-7", "<b>"):
        answer = post("/colourways/pot/line", _form() | {"what.acid": said, "what.dye": said, "what.hotter": said})
        assert answer.status_code == 200
        assert "<b>" not in answer.text


def test_a_reading_that_cannot_be_is_told_beside_its_field(filled: Studio, post: Any) -> None:
    for ph, step, words in (("40", "6", "between 1 and 11"), ("sour", "6", "such as 4.5"), ("4.5", "", "after which step")):
        text = post("/colourways/pot/line", _form() | {"read.ph": ph, "read.step": step}).text
        assert words in text.split('data-part="pot-told">')[1].split("</div>")[0]
        assert 'class="pot-chart"' in text


def test_neither_slider_nor_reading_is_kept(filled: Studio, post: Any, client: Any) -> None:
    form = _form() | {"name": "Sliders", "id": "", "what.acid": "0.5", "read.ph": "4.4", "read.by": "meter", "read.step": "6"}
    answer = post("/colourways/save", form)
    id = re.search(r"/colourways/(\d+)", f"{answer.url} {answer.headers}")[1]  # type: ignore[index]
    page = client.get(f"/colourways/{id}").text
    assert re.search(r'name="what.acid"[^>]* value="1.0"', page)
    assert re.search(r'name="read.ph"[^>]* value=""', page)


def test_a_leveller_is_told_as_not_counted_beside_its_step(filled: Studio, post: Any) -> None:
    form = _form()
    number = sum(key.startswith("do.") for key in form)
    answer = post("/colourways/forecast", form | {f"do.{number}": "add leveller", f"s.{number}.what": "Even", f"s.{number}.amount": "1 %"}).text
    beside = re.search(rf'data-part="told-{number + 1}".*?</div>', answer, re.DOTALL)
    assert beside is not None
    assert "A leveller slows the strike" in beside[0]


def test_a_jar_is_drawn_behind_its_water_bath(filled: Studio, post: Any) -> None:
    """The grey line is the water bath's, and is said to be; without one there is none."""
    form = _form()
    assert "#8a8a8a" not in post("/colourways/pot", form).text
    add_to_shelf(filled, "vessel", {"name": "Jar", "shape": "round", "length_mm": "24 cm", "height_mm": "30 cm", "stands_on": "water bath"})
    answer = post("/colourways/pot", form | {"vessel": "Jar"}).text
    assert answer.count("#8a8a8a") == 1
    assert "the liquor in black, the water bath in grey" in answer
    assert "temperatures are those of the water bath" in answer
