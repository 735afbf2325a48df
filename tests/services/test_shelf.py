"""The shelf as a dyer uses it: typed words in, things with their changes out."""

import pytest

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, NotFound
from skeinwright.core.shelf.swatch import Reading
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.archive_on_shelf import archive_on_shelf
from skeinwright.services.change_settings import change_settings, say_settings
from skeinwright.services.edit_shelf import edit_shelf
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.get_settings import get_settings
from skeinwright.services.list_changes import list_changes
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.remove_swatch import remove_swatch
from skeinwright.services.studio import Studio
from skeinwright.services.undo_change import undo_change

KELP = {"name": "Kelp", "jar_g": "2 oz", "strength": "80 %"}


def test_add_edit_archive_and_undo(studio: Studio) -> None:
    kelp, added = add_to_shelf(studio, "dye", KELP)
    assert (kelp.thing.name, kelp.thing.strength) == ("Kelp", 0.8)
    assert kelp.thing.jar_g == pytest.approx(56.699, abs=0.001)  # 1 oz = 28.349523 g, the international avoirdupois ounce
    assert added.sentence == "Added dye Kelp."
    edited, change = edit_shelf(studio, "dye", "kelp", {"strength": "100 %", "revision": "1"}, revision=1)
    assert (edited.thing.strength, edited.thing.jar_g, edited.revision) == (1.0, kelp.thing.jar_g, 2)
    assert edit_shelf(studio, "dye", kelp.id, {"strength": "100 %"})[1] is None
    _, put_away = archive_on_shelf(studio, "dye", "Kelp")
    assert list_shelf(studio, "dye") == []
    assert [kept.archived for kept in list_shelf(studio, "dye", archived=True)] == [True]
    assert archive_on_shelf(studio, "dye", "Kelp")[1] is None
    for each in (put_away, change, added):
        undo_change(studio, each.id)
    assert list_shelf(studio, "dye", archived=True) == []
    assert len(list_changes(studio)) == 6


def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(studio: Studio) -> None:
    with pytest.raises(ManyBadInputs) as wrong:
        add_to_shelf(studio, "base", {"name": "Quay Sock", "skein_g": "100", "length_mm": "400 m", "colour": "blue"})
    assert {problem.where for problem in wrong.value.problems} == {"colour", "fibres", "skein_g"}
    assert list_shelf(studio, "base") == []


def test_a_stale_form_loses_nothing(studio: Studio) -> None:
    kelp, _ = add_to_shelf(studio, "dye", KELP)
    edit_shelf(studio, "dye", kelp.id, {"notes": "from the phone"}, revision=1)
    with pytest.raises(Conflict, match="changed elsewhere"):
        edit_shelf(studio, "dye", kelp.id, {"notes": "from the desk"}, revision=1)
    assert get_from_shelf(studio, "dye", kelp.id).thing.notes == "from the phone"


def test_swatches_come_in_words_and_stay_in_order_of_depth(studio: Studio) -> None:
    add_to_shelf(studio, "dye", KELP)
    add_swatch(studio, "Kelp", {"depth": "2 %", "colour": "41.2, -8, -20", "base": "Quay Sock", "repeats": "3", "read_on": "2026-11-01"})
    kept, change = add_swatch(studio, "Kelp", {"depth": "0.5 %", "colour": "#3a5f7b"})
    pale, deep = kept.thing.swatches
    assert (pale.depth, pale.reading, pale.lab.observer, pale.said) == (0.005, Reading.HEX, 2, "#3a5f7b")
    assert (deep.depth, deep.reading, deep.lab.values, deep.lab.observer, deep.repeats) == (0.02, Reading.TYPED, (41.2, -8.0, -20.0), 10, 3)
    # sRGB #3a5f7b in D65, 2 degree Lab, by hand from IEC 61966-2-1: linear 0.04231, 0.11444, 0.19807; Y = 0.1052 -> L = 116 * 0.1052^(1/3) - 16 = 38.8
    assert pytest.approx(38.8, abs=0.1) == pale.lab.L
    edit_shelf(studio, "dye", "Kelp", {"notes": "swatches stay"})
    left, _ = remove_swatch(studio, "Kelp", 0)
    assert left.thing.swatches == (deep,)
    with pytest.raises(NotFound):
        remove_swatch(studio, "Kelp", 1)
    with pytest.raises(Conflict):  # the dye was changed since
        undo_change(studio, change.id)


@pytest.mark.parametrize(
    ("said", "where"),
    [
        ({"colour": "1, 2, 3"}, "depth"),
        ({"depth": "2 %"}, "colour"),
        ({"depth": "200 %", "colour": "1,2,3"}, "depth"),
        ({"depth": "2 %", "colour": "1,2,3", "repeats": "0"}, "repeats"),
        ({"depth": "2 %", "colour": "1,2,3", "shade": "x"}, "shade"),
        ({"depth": "2 %", "colour": "1,2,3", "reading": "guess"}, "reading"),
    ],
)
def test_a_swatch_that_cannot_be_read_is_refused(studio: Studio, said: dict[str, str], where: str) -> None:
    add_to_shelf(studio, "dye", KELP)
    with pytest.raises(ManyBadInputs) as wrong:
        add_swatch(studio, "Kelp", said)
    assert where in {problem.where for problem in wrong.value.problems}
    assert get_from_shelf(studio, "dye", "Kelp").thing.swatches == ()


def test_settings_are_read_said_and_used(studio: Studio) -> None:
    change_settings(
        studio,
        {"studio": "Ebb", "spoons": "AU", "drop_ml": "0.04 ml", "currency": "€", "altitude_m": "300", "energy_price_minor": "0.31", "drain_low_ph": "6.5"},
    )
    settings = get_settings(studio)
    assert (settings.spoons, settings.drop_ml, settings.altitude_m, settings.energy_price_minor, settings.drain_low_ph, settings.drain_high_ph) == (
        "au",
        0.04,
        300.0,
        31,
        6.5,
        10.0,
    )
    assert change_settings(studio, say_settings(studio)) == (settings, None)
    solution, _ = add_to_shelf(studio, "solution", {"name": "One", "parts": "Kelp", "strength": "1 %", "volume_ml": "3 tbsp"})
    assert solution.thing.volume_ml == pytest.approx(60.0)  # an Australian tablespoon is 20 ml
    assert change_settings(studio, {"energy_price_minor": ""})[0].energy_price_minor is None


@pytest.mark.parametrize(
    ("said", "where"),
    [
        ({"spoons": "uk"}, "spoons"),
        ({"drop_ml": "5 ml"}, "drop_ml"),
        ({"drain_low_ph": "10.5"}, "drain_low_ph"),
        ({"colour": "blue"}, "colour"),
        ({"drain_high_ph": "high"}, "drain_high_ph"),
    ],
)
def test_settings_that_cannot_be_are_refused(studio: Studio, said: dict[str, str], where: str) -> None:
    with pytest.raises(ManyBadInputs) as wrong:
        change_settings(studio, said)
    assert where in {problem.where for problem in wrong.value.problems}
    assert all(isinstance(problem, BadInput) for problem in wrong.value.problems)
