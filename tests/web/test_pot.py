"""The pot's chart as the page sends it: neutral, labelled, in words, and told apart without hue."""

from __future__ import annotations

import itertools
import re
from typing import Any

import numpy as np
import pytest

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


def test_the_live_answer_has_the_lines_and_the_second_the_bands(filled: Studio, post: Any) -> None:
    quick, full = post("/colourways/forecast", _form()).text, post("/colourways/pot", _form()).text
    assert 'data-part="pot-chart"' in quick
    assert "fill-opacity" not in quick
    assert 'data-part="pot-said"' in full
    assert full.count("fill-opacity") == 2
    assert "pH in the pot" in full
    assert "once the yarn has its share" in full
    assert "a strip is ± 0.5, and cannot be read in coloured liquor" in full


def test_the_chart_stands_in_words_beside_it(filled: Studio, post: Any) -> None:
    text = post("/colourways/pot", _form()).text
    label = re.search(r'role="img" aria-label="([^"]*)"', text)
    assert label is not None
    for sentence in label[1].removeprefix("The pot over time. ").split(". ")[:3]:
        assert f"{sentence.rstrip('.')}" in text.split("The chart in words")[1]


def test_no_hue(filled: Studio, post: Any) -> None:
    for red, green, blue in re.findall(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})", post("/colourways/pot", _form()).text):
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
