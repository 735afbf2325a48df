"""What the pages point to is there, and the tables that they show can be brought in as they stand."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from skeinwright.services.import_shelf import import_shelf
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.preview_shelf_import import ShelfFile
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.studio import Studio
from skeinwright.store.store import Store

ROOT = Path(__file__).resolve().parents[2]
PAGES = [ROOT / "README.md", ROOT / "tests" / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
LINK = re.compile(r"\]\((?!https?:|#|mailto:)([^)#\s]+)")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_link_leads_somewhere(page: Path) -> None:
    for target in LINK.findall(page.read_text(encoding="utf-8")):
        assert (page.parent / target).exists(), target


def test_design_notes_are_numbered_without_a_gap() -> None:
    notes = sorted(path.name for path in (ROOT / "docs" / "design").glob("*.md"))
    assert [name[:4] for name in notes] == [f"{number:04}" for number in range(1, len(notes) + 1)]
    for name in notes:
        assert (ROOT / "docs" / "design" / name).read_text(encoding="utf-8").startswith(f"# {name[:4]} ")


def test_the_tables_of_the_how_to_come_onto_the_shelf(tmp_path: Path) -> None:
    tables = re.findall(r"```csv\n(.+?)```", (ROOT / "docs" / "how-to" / "import-a-shelf.md").read_text(encoding="utf-8"), re.DOTALL)
    path = tmp_path / "studio.skeinwright"
    store = Store.open(path)
    studio = Studio(path, store, tmp_path / "photos", datetime.now)
    set_up_studio(studio, name="Table")
    try:
        for name, table in zip(("dyes.csv", "bases.csv", "swatches.csv"), tables, strict=True):
            import_shelf(studio, ShelfFile(data=table.encode(), name=name))
        dyes = {kept.thing.name: kept.thing for kept in list_shelf(studio, "dye")}
        assert set(dyes) == {"Thistledown", "Samphire"}
        assert len(dyes["Thistledown"].swatches) == 2  # type: ignore[union-attr]
        assert [kept.thing.name for kept in list_shelf(studio, "base")] == ["Pier Sock"]
    finally:
        store.close()
