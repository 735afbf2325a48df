"""`photosheet` and `measure`: figures, exit 3 without any, and what they do with nonsense."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from cli.conftest import Ask
from photo_proofs import speckled, swatches, synthetic


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("photos")
    (made / "skein.jpg").write_bytes(speckled().data)
    (made / "card.csv").write_text(speckled().reference_csv, encoding="utf-8")
    (made / "swatches.jpg").write_bytes(swatches().data)
    (made / "far.jpg").write_bytes(synthetic.take(synthetic.ladder_scene(2, 5, card=False), synthetic.Shot(width_px=1200, fills=0.6)).data)
    (made / "torn.jpg").write_bytes(speckled().data[:5000])
    return made


def test_the_sheet_is_written(ask: Ask, tmp_path: Path) -> None:
    answer = ask("photosheet", "--paper", "letter", "--out", str(tmp_path / "sheet.pdf"), "--json")
    assert (answer.code, answer.json["inputs"]) == (0, {"paper": "letter"})
    assert (tmp_path / "sheet.pdf").read_bytes()[:5] == b"%PDF-"
    assert ask("photosheet", "--paper", "a3", "--out", str(tmp_path / "no.pdf")).code == 2
    assert ask("photosheet", "--out", str(tmp_path / "nowhere" / "no.pdf")).code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.pdf"]


def test_a_photo_with_a_card_as_json(ask: Ask, folder: Path) -> None:
    answer = ask("measure", str(folder / "skein.jpg"), "--reference", str(folder / "card.csv"), "--ruler", "200 mm,200 mm", "--json")
    assert (answer.code, answer.err) == (0, "")
    found = answer.json
    assert found["verdict"] == "accept"
    assert found["area_cm2"] == pytest.approx(speckled().yarns[0].area_cm2, rel=0.03)
    assert len(found["palette"]) == 3
    assert found["inputs"] == {"photo": str(folder / "skein.jpg"), "form": "dyed", "ruler": "200 mm, 200 mm", "reference": "24 patches"}
    assert (found["illuminant"], found["observer"], found["coverage"]) == ("D65", 2, None)


def test_a_photo_in_words(ask: Ask, folder: Path) -> None:
    answer = ask("measure", str(folder / "swatches.jpg"))
    assert answer.code == 0
    assert re.search(r"Piece 5, area mean +[-\d., ]+ ±6\.0\n", answer.out)
    assert re.search(r"Piece 5, on the crests +[-\d., ]+ ±6\.2\n", answer.out)  # sqrt(6^2 + 1.5^2) = 6.18: as the page and the palette in JSON say
    assert re.search(r"Piece 5, area +[\d.]+ cm2 \(90 %: [\d.]+ to [\d.]+\)", answer.out)
    assert len(re.findall(r"\d and \d apart +[\d.]+ ±[\d.]+", answer.out)) == 6
    assert "4 further pairs lie wider apart" in answer.out  # five pieces make ten
    assert "D65, 2 degree" in answer.out
    assert "±6.0" in answer.out
    assert "Assumed: Colours rest on the paper's white alone" in answer.out


def test_an_outline_of_ones_own_is_read_as_drawn(ask: Ask, folder: Path) -> None:
    found = ask("measure", str(folder / "skein.jpg"), "--outline", "120,90 150,90 150,120 120,120", "--json").json
    assert found["pieces"][0]["area_cm2"] == pytest.approx(9.0, rel=0.01)  # 3 cm by 3 cm, as typed
    low, high = found["pieces"][0]["area_cm2_ci"]
    assert low < found["pieces"][0]["area_cm2"] < high
    wrong = ask("measure", str(folder / "skein.jpg"), "--outline", "120,90 150,90")
    assert (wrong.code, wrong.out) == (2, "")
    assert "Outline 1 needs three points" in wrong.err


@pytest.mark.parametrize(("name", "says"), [("far.jpg", "move closer"), ("torn.jpg", "cannot be read")])
def test_a_refused_photo_exits_3_with_no_figure(ask: Ask, folder: Path, name: str, says: str) -> None:
    words = ask("measure", str(folder / name))
    assert (words.code, words.out) == (3, "")
    assert says in words.err
    answer = ask("measure", str(folder / name), "--json")
    assert (answer.code, answer.err) == (3, "")
    found = json.loads(answer.out)
    assert says in " ".join(found["messages"])
    allowed = {"verdict", "messages", "inputs", "warnings", "assumed", "notes", "illuminant", "observer"}
    assert all(value is None for key, value in found.items() if key not in allowed)


@pytest.mark.parametrize(
    "more",
    [["nowhere.jpg"], ["skein.jpg", "--form", "felt"], ["skein.jpg", "--ruler", "2 m, 2 m"], ["skein.jpg", "--reference", "none.csv"], []],
)
def test_nonsense_is_one_sentence_and_exit_2(ask: Ask, folder: Path, more: list[str]) -> None:
    arguments = [str(folder / part) if part.endswith((".jpg", ".csv")) else part for part in more]
    answer = ask("measure", *arguments)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.count("\n") == 1
