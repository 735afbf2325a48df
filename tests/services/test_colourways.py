"""Colourways and sets kept, found, renamed, put away, written out and read back."""

import dataclasses
from types import MappingProxyType

import pytest

from skeinwright.core.colourway.colourway import Colourway, ColourwaySet, Step
from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs
from skeinwright.services.archive_colourway import archive_colourway
from skeinwright.services.archive_set import archive_set
from skeinwright.services.export_colourway import export_colourway
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.import_colourway import import_colourway
from skeinwright.services.list_changes import list_changes
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.list_sets import list_sets
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.save_set import save_set
from skeinwright.services.studio import Studio
from skeinwright.services.undo_change import undo_change


def step(do: str, **said: str) -> Step:
    return Step(do, MappingProxyType(said))


TIDEWRACK = Colourway(
    name="Tidewrack", steps=(step("fill", volume="4 l"), step("add dye", dye="Kelp", depth="0.8 %"), step("heat", to="88 C"), step("hold", time="30 min")),
    fibre="200 g", bases=("Quay Sock",), notes="like the sea",
)  # fmt: skip


def test_save_change_rename_archive_and_undo(studio: Studio) -> None:
    kept, added = save_colourway(studio, TIDEWRACK)
    assert (kept.thing, kept.revision) == (TIDEWRACK, 1)
    assert added is not None
    changed, _ = save_colourway(studio, dataclasses.replace(TIDEWRACK, steps=TIDEWRACK.steps[:2]), key=kept.id, revision=1)
    assert (len(changed.thing.steps), changed.revision) == (2, 2)
    with pytest.raises(Conflict, match="changed elsewhere"):
        save_colourway(studio, TIDEWRACK, key=kept.id, revision=1)
    assert save_colourway(studio, changed.thing, key=kept.id)[1] is None
    save_set(studio, ColourwaySet(name="Fade", colourways=("tidewrack",)))
    renamed, change = save_colourway(studio, dataclasses.replace(changed.thing, name=" Spring   tide "), key="Tidewrack")
    assert renamed.thing.name == "Spring tide"
    assert list_sets(studio)[0].thing.colourways == ("Spring tide",)
    assert change is not None
    undo_change(studio, change.id)
    assert list_sets(studio)[0].thing.colourways == ("Tidewrack",)
    archive_colourway(studio, "Tidewrack")
    assert list_colourways(studio) == []
    assert len(list_colourways(studio, archived=True)) == 1
    with pytest.raises(Conflict):
        save_colourway(studio, TIDEWRACK)


def test_steps_that_cannot_be_read_are_named(studio: Studio) -> None:
    with pytest.raises(ManyBadInputs) as wrong:
        save_colourway(studio, Colourway(name="", steps=(step("soak"), step("heat", to="hot")), fibre="some", bases=("A", "a")))
    assert {problem.where for problem in wrong.value.problems} == {"name", "fibre", "step 2 (heat): to", "bases"}
    assert list_colourways(studio, archived=True) == []
    assert list_changes(studio) == []


def test_searching(studio: Studio) -> None:
    save_colourway(studio, TIDEWRACK)
    save_colourway(studio, Colourway(name="Ember", steps=(step("soak"),)))
    for words, names in {"": ["Ember", "Tidewrack"], "KELP sea": ["Tidewrack"], "quay": ["Tidewrack"], "soak": [], "nothing": []}.items():
        assert [kept.thing.name for kept in list_colourways(studio, words)] == names, words


def test_a_file_carries_a_colourway(studio: Studio) -> None:
    save_colourway(studio, TIDEWRACK)
    written = export_colourway(studio, "Tidewrack")
    assert written.name == "Tidewrack.toml"
    with pytest.raises(Conflict):
        import_colourway(studio, written.data, name=written.name)
    assert import_colourway(studio, written.data, name=written.name, replace=True)[1] is None  # it reads back as the same
    save_colourway(studio, dataclasses.replace(TIDEWRACK, notes=""), key="Tidewrack")
    import_colourway(studio, written.data, name=written.name, replace=True)
    assert get_colourway(studio, "tidewrack").thing == TIDEWRACK


FILE = b"""
name = "Carried"
[fibre]
mass = "200 g"
[base]
wool = 0.75
nylon = 0.25
superwash = true
skein = "100 g"
length = "400 m"
[water]
volume = "1.9 L"
alkalinity = "80 mg/L"
[[dye]]
name = "Kelp"
swatches = "swatches.csv"
[[step]]
do = "sprinkle"
blend = { Kelp = 3, Ember = 1 }
amount = "0.15 g"
"""


def test_a_file_with_its_own_things_and_swatches_beside_it(studio: Studio) -> None:
    with pytest.raises(BadInput, match=r"swatches\.csv"):
        import_colourway(studio, FILE, name="carried.toml")
    beside = {"swatches.csv": b"dye,depth_pct,L,a,b\nKelp,2,41.2,-8,-20\nEmber,1,50,40,30\n"}
    kept, _ = import_colourway(studio, FILE, name="carried.toml", swatches=beside)
    assert [swatch.depth for swatch in kept.thing.own_dyes[0].swatches] == [0.02]
    assert kept.thing.own_base is not None
    assert get_colourway(studio, "Carried").thing == kept.thing
    written = export_colourway(studio, "Carried")
    assert import_colourway(studio, written.data, replace=True)[1] is None


def test_a_set_names_colourways_that_exist(studio: Studio) -> None:
    save_colourway(studio, TIDEWRACK)
    with pytest.raises(BadInput, match="no colourway called Ember"):
        save_set(studio, ColourwaySet(name="Fade", colourways=("Tidewrack", "Ember")))
    kept, _ = save_set(studio, ColourwaySet(name="Fade", colourways=("tidewrack",)))
    save_set(studio, dataclasses.replace(kept.thing, notes="pale to deep"), key=kept.id, revision=1)
    archive_set(studio, "Fade")
    assert list_sets(studio) == []
