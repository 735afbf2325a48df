"""`skeinwright lot` and `slip`, on a real studio file."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from skeinwright.cli.parts import Parts
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.services.add_to_shelf import add_to_shelf


@pytest.fixture
def studio(real: Parts, studio_file: Path) -> str:
    """A studio with a base, a dye, a pot and one colourway, Tidewrack."""
    with real.open_studio(studio_file) as opened:
        add_to_shelf(opened, "base", {"name": "Quay Sock", "fibres": "75 % wool, 25 % nylon", "skein_g": "100 g", "length_mm": "400 m"})
        add_to_shelf(opened, "dye", {"name": "Kelp"})
        add_to_shelf(opened, "vessel", {"name": "Big pot", "shape": "round", "length_mm": "28 cm", "height_mm": "20 cm"})
        steps = (
            Step("fill", {"volume": "5 l"}),
            Step("add dye", {"dye": "Kelp", "depth": "1 %"}),
            Step("lay in"),
            Step("heat", {"to": "88 C"}),
            Step("hold", {"time": "30 min"}),
            Step("rinse"),
        )
        with opened.store.writing() as writing:
            writing.add_colourway(
                Colourway(name="Tidewrack", steps=steps, fibre="100 g", bases=("Quay Sock",), vessel="Big pot"), now=datetime(2026, 11, 24, tzinfo=UTC)
            )
    return str(studio_file)


def test_a_lot_is_started_listed_shown_and_its_slip_written(ask: Any, real: Parts, studio: str, tmp_path: Path) -> None:
    """2 skeins of 100 g at 1 % take 2 g of dye."""
    started = ask("lot", "start", "Tidewrack", "--row", "Quay Sock, 2, Big pot", "--day", "2026-11-24", "--studio", studio, "--json", parts=real)
    assert (started.code, started.err) == (0, "")
    lot = started.json
    assert lot["code"] == "2026-11-24-A"
    doses = [dose for step in lot["plan"] for dose in step["doses"] if dose["kind"] == "dye"]
    assert [(dose["name"], dose["amount"], dose["unit"], dose["vessel"]) for dose in doses] == [("Kelp", 2, "g", "Big pot")]
    listed = ask("lot", "list", "--studio", studio, "--json", parts=real).json["lots"]
    assert [(line["code"], line["title"], line["skeins"]) for line in listed] == [("2026-11-24-A", "Tidewrack", 2)]
    shown = ask("lot", "show", lot["code"], "--studio", studio, parts=real)
    assert shown.code == 0
    assert "This lot is planned." in shown.out
    assert "Kelp" in shown.out
    for name, more in (("slip.pdf", []), ("sheet.pdf", ["--sheet"])):
        written = ask("slip", lot["code"], "--out", str(tmp_path / name), *more, "--studio", studio, parts=real)
        assert (written.code, written.err) == (0, "")
        assert (tmp_path / name).read_bytes().startswith(b"%PDF")


def test_without_rows_the_colourway_is_dyed_as_written(ask: Any, real: Parts, studio: str) -> None:
    answer = ask("lot", "start", "Tidewrack", "--studio", studio, "--json", parts=real)
    assert [(row["base"], row["skeins"], row["vessel"]) for row in answer.json["rows"]] == [("Quay Sock", 1, "Big pot")]


def test_skeins_that_weigh_otherwise_than_put_up_are_said_in_the_row(ask: Any, real: Parts, studio: str) -> None:
    answer = ask("lot", "start", "Tidewrack", "--row", "Quay Sock, 2 skeins of 50 g, Big pot", "--studio", studio, "--json", parts=real)
    assert [(row["skeins"], row["skein_g"]) for row in answer.json["rows"]] == [(2, 50)]
    (dose,) = [dose for step in answer.json["plan"] for dose in step["doses"] if dose["kind"] == "dye"]
    assert dose["amount"] == pytest.approx(1)  # 1 % of 100 g, where two of the put-up of 100 g took 2 g above


def test_a_base_that_nobody_knows_is_answered_with_the_one_that_was_meant(ask: Any, real: Parts, studio: str) -> None:
    answer = ask("lot", "start", "Tidewrack", "--row", "Quay Sok, 2, Big pot", "--studio", studio, parts=real)
    assert answer.code == 2
    assert "row 1, base: 'Quay Sok' is not on the shelf. Did you mean 'Quay Sock'?" in answer.err


@pytest.mark.parametrize(
    "arguments",
    [
        ("lot", "start", "Nowhere"),
        ("lot", "start", "Tidewrack", "--row", "Quay Sock, 200 g"),
        ("lot", "start", "Tidewrack", "--row", "Quay Sock, 2 skeins"),
        ("lot", "start", "Tidewrack", "--row", "Quay Sock"),
        ("lot", "start", "Tidewrack", "--row", "Quay Sock, none"),
        ("lot", "start", "Tidewrack", "--row", "Quay Sock, 0"),
        ("lot", "start", "Tidewrack", "--day", "tomorrow"),
        ("lot", "show", "2026-01-01-A"),
        ("slip", "2026-01-01-A", "--out", "x.pdf"),
        ("slip", "2026-01-01-A", "--out", "x.pdf", "--sheet", "--vessel", "Big pot"),
        ("lot",),
        ("lot", "no-such-word"),
    ],
)
def test_bad_input_is_a_sentence_and_nothing_is_written(
    ask: Any, real: Parts, studio: str, arguments: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    more = () if arguments[0] == "lot" and len(arguments) < 3 else ("--studio", studio)
    answer = ask(*arguments, *more, parts=real)
    assert (answer.code, answer.out) == (2, "")
    assert len(answer.err.splitlines()) == 1
    assert not (tmp_path / "x.pdf").exists()
    assert ask("lot", "list", "--studio", studio, "--json", parts=real).json["lots"] == []


def test_a_slip_that_cannot_be_written_says_so(ask: Any, real: Parts, studio: str, tmp_path: Path) -> None:
    ask("lot", "start", "Tidewrack", "--day", "2026-11-24", "--studio", studio, parts=real)
    answer = ask("slip", "2026-11-24-A", "--out", str(tmp_path / "no" / "such" / "x.pdf"), "--studio", studio, parts=real)
    assert answer.code == 2
    assert answer.err.startswith("--out: ")


def test_what_is_left_in_the_pot_is_told_and_kept(ask: Any, real: Parts, studio: str) -> None:
    assert ask("lot", "start", "Tidewrack", "--row", "Quay Sock, 1, Big pot", "--day", "2026-11-25", "--studio", studio, parts=real).code == 0
    told = ask("lot", "liquor", "2026-11-25-A", "--fibre", "50 g", "--keep", "--studio", studio, "--json", parts=real)
    assert told.code == 0
    (pot,) = told.json["pots"]
    left = pot["dyes_g"]["Kelp"]
    assert 0 <= left["low"] <= left["value"] <= left["high"] < 1.0
    assert pot["depths"]["Kelp"] == pytest.approx(left["value"] / 50)  # grams over grams, by hand
    assert pot["ph"]["low"] <= pot["ph"]["value"] <= pot["ph"]["high"]
    assert told.json["kept"] == "Rest of 2026-11-25-A"
    assert "defer to your local code" in told.json["limits"]
    again = ask("lot", "liquor", "2026-11-25-A", "--keep", "--studio", studio, parts=real)
    assert again.code == 2
    assert ask("lot", "liquor", "2026-11-25-A", "--fibre", "some", "--studio", studio, parts=real).code == 2


def test_a_lots_pot_is_followed(ask: Any, real: Parts, studio: str) -> None:
    assert ask("lot", "start", "Tidewrack", "--row", "Quay Sock, 1, Big pot", "--day", "2026-11-25", "--studio", studio, parts=real).code == 0
    found = ask("lot", "pot", "2026-11-25-A", "--studio", studio, "--json", parts=real)
    assert found.code == 0
    (pot,) = found.json["pots"]
    assert (pot["vessel"], pot["why_not"]) == ("Big pot", "")
    assert len(pot["time_s"]) == len(pot["ph"]) == len(pot["uptake"]["Kelp"])
    plain = ask("lot", "pot", "2026-11-25-A", "--studio", studio, parts=real)
    assert plain.code == 0
    assert "pH at the end" in plain.out
    assert ask("lot", "pot", "2020-01-01-A", "--studio", studio, parts=real).code == 2


def test_a_standing_that_no_lot_has_is_refused(ask: Any, real: Parts, studio: str) -> None:
    answer = ask("lot", "list", "--standing", "asleep", "--studio", studio, parts=real)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err == "--standing: A lot is planned, under way, finished or from the notebook, not 'asleep'.\n"


def test_a_base_that_is_not_on_the_shelf_is_refused(ask: Any, real: Parts, studio: str) -> None:
    answer = ask("colourway", "forecast", "Tidewrack", "--base", "Nobody", "--studio", studio, parts=real)
    assert (answer.code, answer.out) == (2, "")
    assert "no base called Nobody" in answer.err
    assert "Nobody' is not on the shelf" in ask("lot", "start", "Tidewrack", "--row", "Nobody, 1, Big pot", "--studio", studio, parts=real).err
