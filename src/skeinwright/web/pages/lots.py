"""Lots: the list, newest first; and old ones copied out of the notebook, many at once."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, PhotoRefused
from skeinwright.services.enter_old_lots import OldLot, enter_old_lots
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.list_lots import ListLots, list_lots
from skeinwright.web.act import text
from skeinwright.web.notes import Note
from skeinwright.web.once import key_of
from skeinwright.web.page import go, render, studio_of

PAGE = 50
STATUSES = ("planned", "under way", "finished", "from the notebook")
BLANK_ROWS = 5
MOST_ROWS = 80
OLD_FIELDS = ("when", "title", "base", "skeins", "notes")


def show(request: Request) -> Response:
    """One page of the list, searched by code, title, base or notes."""
    query = request.query_params
    wanted, status = query.get("q", "").strip()[:200], query.get("status", "")
    status = status if status in STATUSES else ""
    start = int(query.get("from", "0")) if query.get("from", "0").isdigit() else 0
    found = list_lots(studio_of(request), ListLots(search=wanted, status=status, limit=PAGE + 1, offset=min(start, 10**9)))
    home = str(request.app.url_path_for("lots"))

    def place(**changed: object) -> str:
        said = {"q": wanted, "status": status, "from": start or ""} | changed
        kept = {key: value for key, value in said.items() if value}
        return f"{home}?{urlencode(kept)}" if kept else home

    context = {
        "lots": found[:PAGE],
        "wanted": wanted,
        "status": status,
        "statuses": [{"word": word or "all", "url": place(status=word, **{"from": ""}), "here": word == status} for word in ("", *STATUSES)],
        "newer": place(**{"from": max(0, start - PAGE) or ""}) if start else "",
        "older": place(**{"from": start + PAGE}) if len(found) > PAGE else "",
        "is_empty": not found and not wanted and not status and not start,
    }
    return render(request, "lots/list.html", context)


def old(request: Request) -> Response:
    """An empty table for lots of the notebook."""
    return _old_page(request, [{} for _ in range(BLANK_ROWS)])


def keep_old(request: Request, form: FormData) -> Response:
    """Keeps the rows, or first makes rows of what was pasted; where one row cannot be read nothing is kept and nothing typed is lost."""
    rows = _typed_rows(form)
    pasted = text(form, "pasted")
    if pasted or text(form, "do") == "rows":
        more = [_pasted_row(line) for line in pasted.splitlines() if line.strip()]
        filled = [row for row in rows if any(row.values())]
        return _old_page(request, [*filled, *(more or []), *([] if more else [{} for _ in range(BLANK_ROWS)])][:MOST_ROWS])
    places = [place for place, row in enumerate(rows) if any(row.values())]
    if not places:
        return _old_page(request, rows, {"": "Nothing is written in any row yet."})
    try:
        photo = _photo(request, form)
        lots = tuple(_old_lot(rows[place], number, photo) for number, place in enumerate(places, start=1))
        kept = enter_old_lots(studio_of(request), lots, key=key_of(form, str(photo or "")))
    except (BadInput, ManyBadInputs, PhotoRefused) as error:
        return _old_page(request, rows, _by_row(error, places))
    words = "1 lot was copied" if len(kept) == 1 else f"{len(kept)} lots were copied"
    return go(request, str(request.app.url_path_for("lots")), Note(f"{words} out of the notebook."))


def _old_page(request: Request, rows: list[dict[str, str]], wrong: dict[object, str] | None = None) -> Response:
    context: dict[str, Any] = {"rows": [{key: row.get(key, "") for key in OLD_FIELDS} for row in rows], "wrong": wrong or {}}
    return render(request, "lots/old.html", context, status=422 if wrong else 200)


def _typed_rows(form: FormData) -> list[dict[str, str]]:
    columns = {key: [str(value).strip() for value in form.getlist(key)][:MOST_ROWS] for key in OLD_FIELDS}
    count = max((len(column) for column in columns.values()), default=0)
    return [{key: column[place] if place < len(column) else "" for key, column in columns.items()} for place in range(count)]


def _pasted_row(line: str) -> dict[str, str]:
    """A line of a spreadsheet (columns between tabs) or of a file (between semicolons, else commas), in the order of the table's columns."""
    sign = next((sign for sign in ("\t", ";", ",") if sign in line), "\t")
    pieces = [piece.strip() for piece in line.split(sign, len(OLD_FIELDS) - 1)]
    return dict(zip(OLD_FIELDS, pieces, strict=False))


def _old_lot(row: dict[str, str], number: int, photo: int | None) -> OldLot:
    skeins = row["skeins"]
    if skeins and not (skeins.isdecimal() and int(skeins) < 10_000):
        raise BadInput("How many skeins is a whole number; leave it out where you do not know.", where=f"line {number}: skeins")
    return OldLot(when=row["when"], title=row["title"], base=row["base"], skeins=int(skeins or 0), colourway=row["title"], notes=row["notes"], photo=photo)


def _by_row(error: Exception, places: list[int]) -> dict[object, str]:
    """{place in the table: what is wrong there}; what belongs to no row stands under ""."""
    found: dict[object, str] = {}
    for problem in error.problems if isinstance(error, ManyBadInputs) else (error,):
        where = getattr(problem, "where", "") or ""
        number = where.removeprefix("line ").partition(":")[0]
        key = places[int(number) - 1] if where.startswith("line ") and number.isdigit() and int(number) <= len(places) else ""
        sentence = getattr(problem, "sentence", str(problem))
        found[key] = f"{found[key]} {sentence}" if key in found else sentence
    return found


def _photo(request: Request, form: FormData) -> int | None:
    given = form.get("photo")
    if not isinstance(given, UploadFile) or not given.filename:
        return None
    return keep_photo(studio_of(request), given.file.read(), given.filename).fact.id
