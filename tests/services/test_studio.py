"""The studio as a whole: set up, found, backed up, restored, and quick when it is full."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from skeinwright import wiring
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.foundations.errors import BadInput, Conflict
from skeinwright.core.lot.lot import Entered, Entry, Lot, Planned, Row
from skeinwright.services import set_up_studio as setting_up
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.back_up import back_up
from skeinwright.services.get_settings import get_settings
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.restore_studio import restore_at, restore_studio
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.studio import Studio


def test_an_empty_studio_is_set_up_once(studio: Studio) -> None:
    assert set_up_studio(studio, name=" Ebb ").studio == "Ebb"
    assert (get_settings(studio).studio, get_settings(studio).demo) == ("Ebb", False)
    add_to_shelf(studio, "dye", {"name": "Kelp"})
    with pytest.raises(Conflict, match="begun already"):
        set_up_studio(studio, demo=True)


def test_a_demo_is_read_from_its_files_in_one_go(studio: Studio, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "package" / "demo" / "colourways"
    folder.mkdir(parents=True)
    (folder.parent / "shelf.toml").write_text(
        '[[dye]]\nname = "Kelp"\nswatches = "swatches.csv"\n[[dye]]\nname = "Ember"\n[[dye.swatches]]\ndepth = "1 %"\nlab = "50, 40, 30"\n'
    )
    (folder.parent / "swatches.csv").write_text("dye,depth_pct,L,a,b\nKelp,2,41.2,-8,-20\n")
    (folder / "tidewrack.toml").write_text('name = "Tidewrack"\n[[step]]\ndo = "soak"\n')
    monkeypatch.setattr(setting_up, "demo_folder", lambda: tmp_path / "package" / "demo")
    assert set_up_studio(studio, demo=True).demo
    assert [(kept.thing.name, len(kept.thing.swatches)) for kept in list_shelf(studio, "dye")] == [("Ember", 1), ("Kelp", 1)]
    assert [kept.thing.name for kept in list_colourways(studio)] == ["Tidewrack"]


def test_a_demo_with_a_wrong_file_leaves_the_studio_empty(studio: Studio, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "shelf.toml").write_text('[[dye]]\nname = "Kelp"\n[[base]]\nname = "Quay Sock"\n')
    monkeypatch.setattr(setting_up, "demo_folder", lambda: tmp_path / "demo")
    with pytest.raises(BadInput.__bases__[0]):
        set_up_studio(studio, demo=True)
    assert list_shelf(studio, "dye") == []
    assert not get_settings(studio).demo


def test_the_demo_that_is_shipped_can_be_read(studio: Studio) -> None:
    if not setting_up._demo_files(".toml"):
        pytest.skip("the demo's files are not in this checkout yet")
    assert set_up_studio(studio, demo=True).demo
    assert list_shelf(studio, "dye")
    assert list_colourways(studio)


def test_wiring_opens_a_studio_where_it_is_told(tmp_path: Path) -> None:
    assert wiring.default_studio_path().name == "studio.skeinwright"
    for said, file in ((tmp_path, tmp_path / "studio.skeinwright"), (tmp_path / "mine.skeinwright", tmp_path / "mine.skeinwright")):
        opened = wiring.open_studio(said)
        assert (opened.path, opened.photos) == (file, tmp_path / f"{file.stem}.photos")
        assert opened.now().tzinfo is not None
        opened.store.close()
        assert file.is_file()


def test_back_up_and_restore_through_an_open_studio(studio: Studio, tmp_path: Path) -> None:
    add_to_shelf(studio, "dye", {"name": "Kelp"})
    made = back_up(studio)
    assert made.path.parent == studio.path.parent / "backups"
    assert made.path.name.startswith("studio-2026-11-24-09")
    add_to_shelf(studio, "dye", {"name": "Ember"})
    restored = restore_studio(studio, made.path)
    assert [kept.thing.name for kept in list_shelf(studio, "dye")] == ["Kelp"]
    assert restored.kept_aside is not None
    add_to_shelf(studio, "dye", {"name": "Rosehip"})  # the same open studio goes on
    with pytest.raises(BadInput):
        restore_studio(studio, tmp_path / "nothing")
    studio.store.close()
    broken = tmp_path / "broken" / "studio.skeinwright"
    broken.parent.mkdir()
    broken.write_bytes(b"rubbish" * 999)
    restore_at(broken, tmp_path / "broken" / "photos", made.path)
    again = wiring.open_studio(broken)
    assert [kept.thing.name for kept in list_shelf(again, "dye")] == ["Kelp"]
    again.store.close()
    assert len(list_shelf(studio, "dye")) == 2
    (tmp_path / "a file").write_bytes(b"")
    with pytest.raises(BadInput, match="cannot be written"):
        back_up(studio, tmp_path / "a file" / "x.skeinwright-backup")


def test_lots_are_counted_and_found_by_their_bases(studio: Studio) -> None:
    steps = tuple(Step("wait", {"time": f"{number + 1} min"}) for number in range(12))
    begun = date(2020, 1, 1)
    now = studio.now()
    with studio.store.writing() as writing:
        for number in range(20):
            writing.add_colourway(Colourway(name=f"Colourway {number}", steps=steps, bases=("Quay Sock",)), now=now)
        colourway = writing.colourway("Colourway 7").thing
        plan = tuple(Planned(number=place, step=step, sentence="Wait") for place, step in enumerate(steps, start=1))
        for number in range(200):
            day = begun + timedelta(days=number)
            row = Row(number=1, base="Quay Sock" if number % 2 else "Pier DK", skeins=2, skein_g=100, vessel="Pan")
            writing.add_lot(Lot(code=f"{day}-A", day=day, title=f"Lot {number}", colourway=colourway, rows=(row,), plan=plan))
    with studio.store.writing() as writing:
        for number in range(50):
            writing.add_entry(Entry(lot=f"{begun + timedelta(days=199 - number)}-A", what=Entered.TICK, at=now, entered_at=now, step=1, vessel="Pan"))

    with studio.store.reading() as reading:
        assert [line.done for line in reading.lots(limit=2)] == [pytest.approx(1 / 12)] * 2
        assert reading.count_lots(search="pier") == 100
