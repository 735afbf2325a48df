"""A colourway out of a TOML file, with the tables of swatches that it names."""

from __future__ import annotations

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs
from skeinwright.services.import_colourway import import_colourway
from skeinwright.services.preview_shelf_import import ShelfFile
from skeinwright.web.act import text
from skeinwright.web.notes import note_of
from skeinwright.web.page import go, render, studio_of


def show(request: Request) -> Response:
    """Asks for the file."""
    return render(request, "colourway/import.html", {"problems": [], "key": "", "name": "", "taken": False})


def bring_in(request: Request, form: FormData) -> Response:
    """Keeps the colourway; where the file is wrong, all that is wrong with it is told and nothing is kept."""
    try:
        file = _file(request, form)
    except BadInput as error:
        return render(request, "colourway/import.html", {"problems": [error], "key": "", "name": "", "taken": False}, status=422)
    key = request.app.state.files.keep(file)
    try:
        kept, change = import_colourway(studio_of(request), file.data, name=file.name, swatches=file.beside, replace=text(form, "replace") == "yes")
    except (BadInput, ManyBadInputs, Conflict) as error:
        problems = error.problems if isinstance(error, ManyBadInputs) else (error,)
        context = {"problems": problems, "key": key, "name": file.name, "taken": isinstance(error, Conflict)}
        return render(request, "colourway/import.html", context, status=409 if isinstance(error, Conflict) else 422)
    return go(request, str(request.app.url_path_for("colourway", id=kept.id)), note_of(change))


def _file(request: Request, form: FormData) -> ShelfFile:
    """The chosen files, or the ones held ready from before."""
    chosen = [one for one in form.getlist("file") if isinstance(one, UploadFile) and one.filename]
    if not chosen:
        held: ShelfFile | None = request.app.state.files.read(text(form, "key"))
        if held is None:
            raise BadInput("Choose a file first: the TOML file of a colourway.", where="file")
        return held
    read = {(one.filename or "").replace("\\", "/").rsplit("/", 1)[-1][:120]: one.file.read() for one in chosen}
    documents = [name for name in read if name.lower().endswith(".toml")]
    if len(documents) != 1:
        raise BadInput("Choose one TOML file, and with it the tables of swatches that it names.", where="file")
    beside = {name: data for name, data in read.items() if name != documents[0]}
    return ShelfFile(data=read[documents[0]], name=documents[0], beside=beside)
