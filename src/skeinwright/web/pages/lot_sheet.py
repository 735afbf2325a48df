"""The lot sheet on the screen: the whole page, one block of it, and what has changed since another window last looked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import NoMatchFound

from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.core.foundations.numbers import with_unit
from skeinwright.core.foundations.quantities import parse
from skeinwright.core.lot.slips import dose_slip
from skeinwright.core.lot.state import dose_key, vessels_of
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.get_lot import LotView, get_lot
from skeinwright.services.get_lot_sheet import get_lot_sheet
from skeinwright.services.get_settings import get_settings
from skeinwright.services.make_lot_sheet import make_lot_sheet
from skeinwright.services.make_slip import make_slip
from skeinwright.services.understand_text import understand_text
from skeinwright.web.extras import EXTRA_WORDS, extra_form
from skeinwright.web.lot_view import blocks_of, changed_blocks, last_entry
from skeinwright.web.page import render, studio_of

VOLUMES = ("ml", "l", "tsp", "tbsp", "drops", "cups")
MINUTES = (10, 20)
"""How long ago a step is ticked with one tap, besides now."""


@dataclass(frozen=True, slots=True)
class Told:
    """What the page has to say about what was just sent: a sentence, the form that it belongs to, what was typed in it, and the field that is wrong."""

    sentence: str = ""
    form: str = ""
    typed: Mapping[str, str] = field(default_factory=dict)
    where: str = ""


NOTHING = Told()


def show(request: Request) -> Response:
    """The sheet; `open` opens a step, `extra` a form for something that was not planned."""
    return page(request, _code(request))


def page(request: Request, code: str, told: Told = NOTHING, *, status: int = 200) -> Response:
    """The whole sheet with what is to be said about what was sent."""
    studio, query = studio_of(request), request.query_params
    view = get_lot(studio, code)
    opened = query.get("open", "") or told.typed.get("step", "")
    do = query.get("extra", "") or (told.typed.get("do", "") if told.form == "extra" else "")
    context = _context(request, view, blocks_of(view.lot, view.entries), told) | {
        "sheet": get_lot_sheet(studio, code),
        "opened": int(opened) if opened.isdigit() else 0,
        "extra": extra_form(studio, do) if do else None,
        "over_url": _over_url(request, view),
    }
    return render(request, "lots/sheet.html", context, status=status)


def step(request: Request) -> Response:
    """One step's row, opened or shut."""
    view = get_lot(studio_of(request), _code(request))
    name = f"step-{int(request.path_params['number'])}"
    blocks = blocks_of(view.lot, view.entries)
    if name not in blocks:
        raise NotFound("This lot has no such step.")
    opened = int(request.path_params["number"]) if request.query_params.get("open") == "yes" else 0
    context = _context(request, view, {name: blocks[name]}, NOTHING) | {"opened": opened, "oob": False}
    return render(request, "lots/blocks.html", context)


def extra(request: Request) -> Response:
    """The form for one act that was not planned."""
    view = get_lot(studio_of(request), _code(request))
    do = request.query_params.get("extra", "")
    context = _context(request, view, {}, NOTHING) | {"extra": extra_form(studio_of(request), do) if do else None}
    return render(request, "lots/extra.html", context)


def again(request: Request) -> Response:
    """What has changed since this window last looked; nothing (204) where nothing has. Blocks that are being typed in are kept as they are."""
    view = get_lot(studio_of(request), _code(request))
    return changes(request, view, _number(request.query_params.get("seen", "")), keep=request.query_params.get("keep", "").split())


def changes(request: Request, view: LotView, seen: int, *, keep: Iterable[str] = (), force: Iterable[str] = (), told: Told = NOTHING) -> Response:
    """The blocks that changed after entry `seen`, to be put in their places. `force` are sent even where they did not change, `keep` are left alone."""
    kept, forced = set(keep) - set(force), set(force)
    everything = blocks_of(view.lot, view.entries)
    found = {name: block for name, block in changed_blocks(view.lot, view.entries, seen).items() if name not in kept}
    found |= {name: block for name, block in everything.items() if name in forced}
    if not found and not told.sentence and not forced:
        return Response(status_code=204)
    skipped = any(name in kept for name in changed_blocks(view.lot, view.entries, seen))
    opened = told.typed.get("step", "") if told.sentence else ""
    context = _context(request, view, found, told) | {
        "oob": True,
        "seen": seen if skipped else last_entry(view.entries),
        "opened": int(opened) if opened.isdigit() else 0,
        "forms": [name for name in ("form-reading", "form-note", "form-photo", "form-extra") if name in forced],
        "extra": extra_form(studio_of(request), told.typed.get("do", "")) if told.form == "extra" and told.sentence else None,
    }
    return render(request, "lots/changes.html", context)


def understood(request: Request) -> Response:
    """An amount as it was understood, while it is being typed."""
    query = request.query_params
    said, unit = query.get("said", "")[:200], query.get("unit", "")
    kind = "volume" if unit in VOLUMES else "mass"
    echo, wrong, slip = "", "", ""
    try:
        echo = understand_text(studio_of(request), kind, with_unit(said.strip(), unit), "said")
        slip = _slip(request, kind, with_unit(said.strip(), unit)) if said.strip() else ""
    except BadInput as error:
        wrong = error.sentence
    return render(request, "lots/echo.html", {"understood": echo, "typed": said, "wrong": wrong, "slip": slip})


def _slip(request: Request, kind: str, said: str) -> str:
    """What is to be said of an amount that lies far from the planned one that the form names; "" where it names none."""
    query, lot = request.query_params, get_lot(studio_of(request), _code(request)).lot
    planned = [dose for one in lot.plan if str(one.number) == query.get("step", "") for dose in one.doses if dose.vessel == query.get("vessel", "")]
    dose = next((one for one in planned if dose_key(one) == query.get("about", "")), None)
    if dose is None:
        return ""
    amount = parse(kind, said, where="said", habits=get_settings(studio_of(request)).habits()).value
    return dose_slip(amount, dose.amount, dose.unit) if (kind == "volume") == (dose.unit == "ml") else ""


def slip(request: Request) -> Response:
    """The pot slips as PDF, for all vessels or for one."""
    pdf = make_slip(studio_of(request), _code(request), vessel=request.query_params.get("vessel", ""))
    return _pdf(pdf, f"slip {_code(request)}")


def paper(request: Request) -> Response:
    """The lot sheet as PDF."""
    return _pdf(make_lot_sheet(studio_of(request), _code(request)), f"lot {_code(request)}")


def _pdf(data: bytes, name: str) -> Response:
    safe = "".join(sign for sign in name if sign.isascii() and (sign.isalnum() or sign in " -"))
    return Response(data, media_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{safe}.pdf"', "Cache-Control": "no-store"})


def _context(request: Request, view: LotView, blocks: Mapping[str, Any], told: Told) -> dict[str, Any]:
    return {
        "view": view,
        "lot": view.lot,
        "code": view.lot.code,
        "base": str(request.app.url_path_for("lot", code=view.lot.code)),
        "blocks": blocks,
        "told": told,
        "several": len(vessels_of(view.lot)) > 1,
        "vessels": vessels_of(view.lot),
        "seen": last_entry(view.entries),
        "opened": 0,
        "oob": False,
        "minutes": MINUTES,
        "extra_words": EXTRA_WORDS,
        "extra": None,
        "forms": [],
        "colourway_url": colourway_url(request, view),
    }


def colourway_url(request: Request, view: LotView) -> str:
    """Where the lot's colourway is read: the one of that name now; "" where there is none."""
    if view.lot.colourway is None:
        return ""
    try:
        return str(request.app.url_path_for("colourway", id=get_colourway(studio_of(request), view.lot.colourway.name).id))
    except (NotFound, NoMatchFound):
        return ""


def _over_url(request: Request, view: LotView) -> str:
    return f"{request.app.url_path_for('lot_new')}?over={view.lot.code}"


def _code(request: Request) -> str:
    return str(request.path_params["code"]).upper()


def _number(said: str) -> int:
    return int(said) if said.isdecimal() else 0
