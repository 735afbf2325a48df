"""Bringing a file in: looked at row by row first, kept only then."""

from __future__ import annotations

from typing import Any

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.items import KINDS
from skeinwright.services.import_shelf import import_shelf
from skeinwright.services.preview_shelf_import import SWATCHES, ImportPreview, ImportRow, ShelfFile, preview_shelf_import
from skeinwright.web.act import text, upload
from skeinwright.web.forms import asks
from skeinwright.web.notes import note_of_many
from skeinwright.web.page import go, render, studio_of
from skeinwright.web.pages.shelf import drawer_of
from skeinwright.web.rows import TITLES

KIND_WORDS = {SWATCHES: "Swatches", **{kind: TITLES[kind][0] for kind in KINDS}}


def show(request: Request) -> Response:
    """Asks for the file, and says which columns are understood."""
    return render(request, "shelf/import.html", _context())


def preview(request: Request, form: FormData) -> Response:
    """What the file would put on the shelf. Nothing is kept yet."""
    kind = text(form, "kind")
    try:
        file = _file(request, form, kind if kind in KIND_WORDS else "")
    except BadInput as error:
        return render(request, "shelf/import.html", _context(wrong=str(error)), status=422)
    key = request.app.state.files.keep(file)
    try:
        looked = preview_shelf_import(studio_of(request), file)
    except (BadInput, ManyBadInputs) as error:
        return render(request, "shelf/import.html", _context(wrong=str(error), key=key, name=file.name, kind=kind), status=422)
    return render(request, "shelf/import_preview.html", _preview_context(looked, key))


def apply(request: Request, form: FormData) -> Response:
    """Keeps what was looked at, leaving out the rows that are wrong where that was asked."""
    file = request.app.state.files.read(text(form, "key"))
    if file is None:
        return render(request, "shelf/import.html", _context(wrong="The file has been forgotten meanwhile. Choose it again; nothing was changed."), status=422)
    try:
        done = import_shelf(studio_of(request), file, leave_out_wrong=text(form, "leave_out") == "yes")
    except ManyBadInputs:
        return render(request, "shelf/import_preview.html", _preview_context(preview_shelf_import(studio_of(request), file), text(form, "key")), status=422)
    count = len(done.changes)
    sentence = f"{count} {'thing' if count == 1 else 'things'} came onto the shelf or changed, from {file.name}."
    if not count:
        sentence = "The shelf had it all already; nothing changed."
    kind = done.changes[0].kind if done.changes else next(iter(KINDS))
    return go(request, drawer_of(request, kind), note_of_many(done.changes, sentence))


def _file(request: Request, form: FormData, kind: str) -> ShelfFile:
    chosen = form.get("file")
    if isinstance(chosen, UploadFile) and chosen.filename:
        name, data = upload(form, "file")
        return ShelfFile(data=data, name=name.replace("\\", "/").rsplit("/", 1)[-1][:120], kind=kind)
    kept: ShelfFile | None = request.app.state.files.read(text(form, "key"))
    if kept is None:
        raise BadInput("Choose a file first: CSV from a spreadsheet, or TOML.")
    return ShelfFile(data=kept.data, name=kept.name, kind=kind, beside=kept.beside)


def _context(*, wrong: str = "", key: str = "", name: str = "", kind: str = "") -> dict[str, Any]:
    return {"wrong": wrong, "key": key, "name": name, "kind": kind, "kinds": KIND_WORDS}


def _said(row: ImportRow, problem: BadInput) -> str:
    """The problem, led by the word that its field has on the form."""
    ask = asks(KINDS[row.kind]).get(problem.where or "") if row.kind in KINDS else None
    return f"{ask.label}: {problem.sentence}" if ask else str(problem)


def _preview_context(looked: ImportPreview, key: str) -> dict[str, Any]:
    rows = [
        {
            "number": row.number,
            "kind": row.kind,
            "name": row.name or "without a name",
            "status": row.status,
            "says": [_said(row, problem) for problem in row.problems] or [one.replace("->", "→") for one in row.differs],
        }
        for row in looked.rows
    ]
    return {
        "rows": rows,
        "file": looked.name,
        "notes": looked.notes,
        "key": key,
        "counts": {status: looked.count(status) for status in ("new", "changed", "same", "wrong")},
        "useful": looked.count("new") + looked.count("changed"),
    }
