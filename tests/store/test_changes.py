"""Changes: names are unique, revisions are watched, a new name is carried everywhere, and each change can be taken back."""

import dataclasses
from types import MappingProxyType

import pytest

from skeinwright.core.colourway.colourway import Colourway, ColourwaySet, Step
from skeinwright.core.foundations.errors import Conflict
from skeinwright.core.shelf.items import Acid, Base, Blend, Dye, Leftover, Solution
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.store.store import Store
from store.things import NOW, TIDEWRACK

KELP = Dye(name="Kelp", swatches=(Swatch(depth=0.02, lab=Lab(40, -10, 5), reading=Reading.TYPED, base="Quay Sock"),))
SOCK = Base(name="Quay Sock", fibres=(("wool", 0.75), ("nylon", 0.25)), skein_g=100, length_mm=4e5)


def add(store: Store, *things):
    with store.writing() as writing:
        return [writing.add_colourway(thing, now=NOW) if isinstance(thing, Colourway) else writing.add_item(thing, now=NOW) for thing in things]


@pytest.mark.parametrize("name", ["Kelp", "KELP", "ＫＥＬＰ", " kelp "])
def test_a_name_is_given_once(store: Store, name: str) -> None:
    add(store, KELP)
    with pytest.raises(Conflict, match="There is a dye called Kelp already"):
        add(store, Dye(name=name))
    add(store, Blend(name=name, parts=(("Kelp", 1.0),)))  # another kind is another drawer


def test_an_archived_name_stays_taken_and_says_so(store: Store) -> None:
    (kelp,) = add(store, KELP)
    with store.writing() as writing:
        writing.archive_item("dye", kelp.id, True, now=NOW)
        assert writing.items("dye") == []
        assert [kept.archived for kept in writing.items("dye", archived=True)] == [True]
    with pytest.raises(Conflict, match="archived"):
        add(store, KELP)


def test_a_stale_revision_changes_nothing(store: Store) -> None:
    (kelp,) = add(store, KELP)
    with store.writing() as writing:
        writing.replace_item("dye", kelp.id, dataclasses.replace(KELP, notes="first"), revision=1, now=NOW)
    with pytest.raises(Conflict, match="changed elsewhere"), store.writing() as writing:
        writing.replace_item("dye", kelp.id, dataclasses.replace(KELP, notes="second"), revision=1, now=NOW)
    with store.reading() as reading:
        assert (reading.item("dye", "Kelp").thing.notes, reading.item("dye", "Kelp").revision) == ("first", 2)
        assert len(reading.changes()) == 2


def test_a_call_that_fails_keeps_nothing_of_it(store: Store) -> None:
    with pytest.raises(Conflict):
        add(store, SOCK, SOCK)
    with store.reading() as reading:
        assert (reading.items("base"), reading.changes()) == ([], [])


def everything(store: Store) -> None:
    add(
        store, KELP, Dye(name="Kelp Deep"), SOCK, Acid(name="White", acid="vinegar"),
        Solution(name="Kelp 1 %", parts=(("Kelp", 0.5), ("Kelp Deep", 0.5)), strength=0.01, acid="White 20 ml"),
        Blend(name="Foam", parts=(("Kelp", 0.9), ("White", 0.1))), Leftover(name="Dregs", volume_ml=900, dyes_g=(("Kelp", 0.2),)), TIDEWRACK,
        Colourway(name="Named alike", steps=(Step("pour", MappingProxyType({"solution": "Kelp 1 %", "amount": "50 ml"})),), own_dyes=()),
    )  # fmt: skip
    with store.writing() as writing:
        writing.add_set(ColourwaySet(name="Fade", colourways=("Tidewrack", "Other")), now=NOW)


def rename(store: Store, kind: str, old: str, new: str):
    with store.writing() as writing:
        kept = writing.item(kind, old)
        writing.replace_item(kind, kept.id, dataclasses.replace(kept.thing, name=new), revision=kept.revision, now=NOW)
        return writing.made[-1]


def test_a_dyes_new_name_is_carried_everywhere(store: Store) -> None:
    everything(store)
    rename(store, "dye", "Kelp", "Wrack")
    with store.reading() as reading:
        assert reading.item("solution", "Kelp 1 %").thing.parts == (("Wrack", 0.5), ("Kelp Deep", 0.5))
        assert reading.item("blend", "Foam").thing.parts == (("Wrack", 0.9), ("White", 0.1))
        assert reading.item("leftover", "Dregs").thing.dyes_g == (("Wrack", 0.2),)
        steps = reading.colourway("Tidewrack").thing.steps
        assert steps[1].said["dye"] == "Wrack"
        assert steps[2].said["recipe"] == "Wrack 0.5 %, Kelp Deep 0.2 %"
        assert steps[4].said["text"] == "Kelp smells"  # a note is the dyer's own words
        assert reading.colourway("Named alike").thing.steps[0].said["solution"] == "Kelp 1 %"  # the name of a solution, not of the dye
        assert reading.colourway("Tidewrack").revision == 2


def test_a_blend_may_be_called_like_a_dye(store: Store) -> None:
    add(store, KELP, Blend(name="Kelp", parts=(("Kelp", 1.0),)))
    add(
        store,
        Colourway(
            name="Dust",
            steps=(
                Step("sprinkle", MappingProxyType({"blend": "Kelp", "amount": "1 g"})),
                Step("sprinkle", MappingProxyType({"dye": "Kelp", "amount": "1 g"})),
            ),
        ),
    )
    rename(store, "dye", "Kelp", "Wrack")
    with store.reading() as reading:
        assert [dict(step.said) for step in reading.colourway("Dust").thing.steps] == [{"blend": "Kelp", "amount": "1 g"}, {"dye": "Wrack", "amount": "1 g"}]
        assert reading.item("blend", "Kelp").thing.parts == (("Wrack", 1.0),)


def test_other_names_are_carried_too(store: Store) -> None:
    everything(store)
    rename(store, "base", "Quay Sock", "Quay Fine")
    rename(store, "solution", "Kelp 1 %", "Weak Kelp")
    rename(store, "acid", "White", "Clear")
    rename(store, "blend", "Foam", "Spume")
    with store.writing() as writing:
        kept = writing.colourway("Tidewrack")
        writing.replace_colourway(kept.id, dataclasses.replace(kept.thing, name="Springtide"), revision=kept.revision, now=NOW)
    with store.reading() as reading:
        assert reading.item("dye", "Kelp").thing.swatches[0].base == "Quay Fine"
        assert reading.colourway("Springtide").thing.bases == ("Quay Fine", "Pier DK")
        assert reading.colourway("Springtide").thing.steps[3].said["blend"] == "Spume"
        assert reading.colourway("Named alike").thing.steps[0].said["solution"] == "Weak Kelp"
        assert reading.item("solution", "Weak Kelp").thing.acid == "Clear 20 ml"
        assert reading.item("blend", "Spume").thing.parts[1][0] == "Clear"
        assert reading.set_("Fade").thing.colourways == ("Springtide", "Other")


def test_undo_goes_back_step_by_step_and_forth_again(store: Store) -> None:
    everything(store)
    with store.reading() as reading:
        before = [reading.items("solution"), reading.colourways()]
    change = rename(store, "dye", "Kelp", "Wrack")
    assert (change.sentence, change.before["name"], change.after["name"]) == ("Renamed dye Kelp to Wrack.", "Kelp", "Wrack")
    with store.writing() as writing:
        back = writing.undo(change.id, now=NOW)
    with store.reading() as reading:
        assert reading.item("dye", "Kelp").thing == KELP
        assert [[kept.thing for kept in group] for group in before] == [
            [kept.thing for kept in group] for group in (reading.items("solution"), reading.colourways())
        ]
        assert reading.change(change.id).undone
    with store.writing() as writing:
        writing.undo(back.id, now=NOW)
    with store.reading() as reading:
        assert reading.item("dye", "Wrack").thing.swatches == KELP.swatches
        assert not reading.change(change.id).undone


def test_undo_of_adding_and_archiving(store: Store) -> None:
    (kelp,) = add(store, KELP)
    with store.writing() as writing:
        added = writing.changes(1)[0]
        writing.archive_item("dye", kelp.id, True, now=NOW)
        archived = writing.made[-1]
        assert writing.undo(archived.id, now=NOW).before["archived"] is True
        taken = writing.undo(added.id, now=NOW)
        assert writing.items("dye", archived=True) == []
        writing.undo(taken.id, now=NOW)
        assert writing.item("dye", kelp.id).thing == KELP


def test_undo_refuses_what_was_changed_or_used_since(store: Store) -> None:
    (kelp,) = add(store, KELP)
    with store.reading() as reading:
        added = reading.changes(1)[0]
    with store.writing() as writing:
        writing.replace_item("dye", kelp.id, dataclasses.replace(KELP, notes="dull"), revision=1, now=NOW)
        noted = writing.made[-1]
    with pytest.raises(Conflict, match="changed since"), store.writing() as writing:
        writing.undo(added.id, now=NOW)
    with store.writing() as writing:
        writing.undo(noted.id, now=NOW)
    with pytest.raises(Conflict, match="already"), store.writing() as writing:
        writing.undo(noted.id, now=NOW)
    add(store, Solution(name="One", parts=(("Kelp", 1.0),), strength=0.01))
    with pytest.raises(Conflict, match="used in solution One"), store.writing() as writing:
        writing.undo(added.id, now=NOW)
    with store.reading() as reading:
        assert reading.item("dye", "Kelp").thing == KELP
