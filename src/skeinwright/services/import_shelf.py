"""Put the things of a CSV or TOML file on the shelf."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.kept import Change
from skeinwright.services.preview_shelf_import import ImportPreview, ShelfFile, preview_with
from skeinwright.services.studio import Studio


@dataclass(frozen=True, slots=True)
class ImportedShelf:
    """What the file was understood as, and the changes that were made; each can be taken back."""

    preview: ImportPreview
    changes: tuple[Change, ...]


def import_shelf(studio: Studio, file: ShelfFile, *, leave_out_wrong: bool = False) -> ImportedShelf:
    """Adds what is new and changes what differs, in one transaction; a field that the file does not say keeps its value.

    Raises ManyBadInputs where a row is wrong, and nothing is written, unless `leave_out_wrong`.
    """
    with studio.store.writing() as writing:
        preview = preview_with(writing, file)
        problems = [BadInput(problem.sentence, where=_where(file, row.kind, row.number, problem.where)) for row in preview.rows for problem in row.problems]
        if problems and not leave_out_wrong:
            raise ManyBadInputs(tuple(problems))
        now = studio.now()
        for row in preview.rows:
            if row.thing is None or row.status == "same":
                continue
            if row.present is None:
                writing.add_item(row.thing, now=now)
            else:
                writing.replace_item(row.kind, row.present.id, row.thing, revision=row.present.revision, now=now)
        return ImportedShelf(preview, tuple(writing.made))


def _where(file: ShelfFile, kind: str, number: int, field: str | None) -> str:
    place = f"{file.name}, {kind} {number}" if file.name.casefold().endswith(".toml") else f"{file.name}, line {number}"
    return place if not field or field.startswith(file.name) else f"{place}, {field}"
