"""What can be done on a lot sheet.

Each act is written down before it is answered; a page without scripts gets the sheet again, htmx the blocks that changed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import NoMatchFound

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, PhotoRefused, SkeinwrightError
from skeinwright.core.foundations.numbers import with_unit
from skeinwright.core.lot.lot import Entered
from skeinwright.core.lot.state import vessels_of
from skeinwright.services.copy_lot import copy_lot
from skeinwright.services.correct_line import CorrectLine, correct_line, is_number, standing_entry, unit_of
from skeinwright.services.finish_lot import finish_lot
from skeinwright.services.get_lot import get_lot
from skeinwright.services.keep_as_colourway import keep_as_colourway
from skeinwright.services.keep_photo import keep_photo
from skeinwright.services.record_entry import RecordEntry, record_entry
from skeinwright.services.record_extra import RecordExtra, record_extra
from skeinwright.services.record_instead import RecordInstead, record_instead
from skeinwright.services.reopen_lot import reopen_lot
from skeinwright.services.tick_step import TickStep, tick_step
from skeinwright.services.untick_step import untick_step
from skeinwright.web.act import text, texts
from skeinwright.web.notes import Note
from skeinwright.web.once import key_of, key_of_file
from skeinwright.web.page import go, is_fragment, render, studio_of
from skeinwright.web.pages.lot_sheet import NOTHING, Told, changes, page
from skeinwright.web.when import clock_time, minutes_ago

WRONG = (BadInput, ManyBadInputs, Conflict, PhotoRefused)
_READINGS = {"pH by strip": Entered.PH, "pH by meter": Entered.PH, "temperature": Entered.TEMPERATURE, "wet weight": Entered.WET_WEIGHT}


def tick(request: Request, form: FormData) -> Response:
    """Ticks a step in one vessel or in all of them; a second tap adds nothing."""

    def do() -> None:
        step, ago = _step(form), _ago(request, form)
        tick_step(studio_of(request), TickStep(lot=_code(request), steps=(step,), vessels=_vessels(form), minutes_ago=ago, key=key_of(form)))

    return _done(request, form, do)


def skip(request: Request, form: FormData) -> Response:
    """Leaves a step out."""

    def do() -> None:
        why, key = text(form, "why"), key_of(form)
        tick_step(studio_of(request), TickStep(lot=_code(request), steps=(_step(form),), vessels=_vessels(form), skip=True, why=why, key=key))

    return _done(request, form, do)


def untick(request: Request, form: FormData) -> Response:
    """Takes a mis-tap back; where it was taken back already, nothing is left to do."""

    def do() -> None:
        studio, code, step = studio_of(request), _code(request), _step(form)
        state = get_lot(studio, code).state
        if any(doing.how != "planned" for (number, vessel), doing in state.doings.items() if number == step and vessel in (_vessels(form) or (vessel,))):
            untick_step(studio, code, step, vessels=_vessels(form), key=key_of(form))

    return _done(request, form, do)


def instead(request: Request, form: FormData) -> Response:
    """Another number than planned."""

    def do() -> None:
        record_instead(
            studio_of(request),
            RecordInstead(
                lot=_code(request),
                step=_step(form),
                about=text(form, "about"),
                said=with_unit(text(form, "said"), text(form, "unit")),
                vessel=text(form, "vessel"),
                minutes_ago=_ago(request, form),
                key=key_of(form),
            ),
        )

    return _done(request, form, do, name=f"instead {text(form, 'vessel')} {text(form, 'about')}")


def mark(request: Request, form: FormData) -> Response:
    """The wet identity of the skein in the hand; the same answer twice is written once."""

    def do() -> None:
        studio, code, row, said = studio_of(request), _code(request), _row(form), text(form, "said")
        seen = get_lot(studio, code).state.marks.get(row or 0)
        if seen is None or seen.text != said:
            record_entry(studio, RecordEntry(lot=code, what=Entered.MARK, said=said, row=row, key=key_of(form)))

    return _done(request, form, do, name=f"mark {text(form, 'row')}")


def weigh(request: Request, form: FormData) -> Response:
    """A skein's weight; the form then asks for the next."""

    def do() -> None:
        row, _, skein = text(form, "which").partition("/")
        if not row.isdecimal():
            raise BadInput("Say which row of the lot it is.", where="row")
        said, ago = text(form, "said"), _ago(request, form)
        weight = RecordEntry(lot=_code(request), what=Entered.WEIGHT, said=said, row=int(row), about=skein, minutes_ago=ago, key=key_of(form))
        record_entry(studio_of(request), weight)

    return _done(request, form, do, name="weigh", force=("weigh",), anchor="weigh")


def reading(request: Request, form: FormData) -> Response:
    """A pH, a temperature or a wet weight."""

    def do() -> None:
        what = _READINGS.get(text(form, "what"))
        if what is None:
            raise BadInput("Say what was measured: pH, temperature or wet weight.", where="what")
        vessel, ago, about = _vessel(request, form), _ago(request, form), "meter" if text(form, "what") == "pH by meter" else ""
        figure = RecordEntry(lot=_code(request), what=what, said=text(form, "said"), vessel=vessel, minutes_ago=ago, about=about, key=key_of(form))
        record_entry(studio_of(request), figure)

    return _done(request, form, do, name="reading", force=("form-reading",), anchor="form-reading")


def note(request: Request, form: FormData) -> Response:
    """Words."""

    def do() -> None:
        record_entry(studio_of(request), RecordEntry(lot=_code(request), what=Entered.NOTE, said=text(form, "said"), key=key_of(form)))

    return _done(request, form, do, name="note", force=("form-note",), anchor="form-note")


def photo(request: Request, form: FormData) -> Response:
    """One photo or several."""

    def do() -> None:
        given = [one for one in form.getlist("photo") if isinstance(one, UploadFile) and one.filename]
        if not given:
            raise BadInput("Choose a photo first.", where="photo")
        for one in given:
            data = one.file.read()
            kept = keep_photo(studio_of(request), data, one.filename or "")
            key = key_of_file(key_of(form), data)
            record_entry(studio_of(request), RecordEntry(lot=_code(request), what=Entered.PHOTO, photo=kept.fact.id, said=text(form, "said"), key=key))

    return _done(request, form, do, name="photo", force=("form-photo",), anchor="form-photo")


def extra(request: Request, form: FormData) -> Response:
    """Something that was not planned, or the next act of an unplanned pot."""

    def do() -> None:
        said = {key.removeprefix("slot-"): value for key, value in texts(form).items() if key.startswith("slot-")}
        vessel, ago = _vessel(request, form), _ago(request, form)
        record_extra(studio_of(request), RecordExtra(lot=_code(request), do=text(form, "do"), said=said, vessel=vessel, minutes_ago=ago, key=key_of(form)))

    return _done(request, form, do, name="extra", force=("form-extra",), anchor="form-extra")


def finish(request: Request, form: FormData) -> Response:
    """The lot is done; told twice, it is done once."""

    def do() -> None:
        if get_lot(studio_of(request), _code(request)).state.finished_at is None:
            finish_lot(studio_of(request), _code(request), key=key_of(form))

    return _done(request, form, do)


def reopen(request: Request, form: FormData) -> Response:
    """The lot goes on."""

    def do() -> None:
        if get_lot(studio_of(request), _code(request)).state.finished_at is not None:
            reopen_lot(studio_of(request), _code(request), key=key_of(form))

    return _done(request, form, do)


def copy(request: Request, form: FormData) -> Response:
    """The same plan as a new lot."""
    lot = copy_lot(studio_of(request), _code(request), key=key_of(form))
    return go(request, _url(request, "lot", code=lot.code), Note(f"Lot {lot.code} has the plan of {_code(request)}."))


def keep(request: Request, form: FormData) -> Response:
    """Keeps what was done as a colourway and shows it."""
    try:
        kept, change = keep_as_colourway(studio_of(request), _code(request), text(form, "name"), vessel=text(form, "vessel"))
    except (BadInput, Conflict) as error:
        return page(request, _code(request), Told(error.sentence, "keep", texts(form)), status=409 if isinstance(error, Conflict) else 422)
    note = Note(f"{kept.thing.name} is kept as a colourway.", (change.id,))
    for name, parts in (("colourway", {"id": kept.id}), ("colourways", {})):
        try:
            return go(request, _url(request, name, **parts), note)
        except NoMatchFound:
            continue
    return go(request, _home(request), note)


def correction(request: Request) -> Response:
    """The form that puts one line of the record right."""
    return _correction(request, NOTHING)


def correct(request: Request, form: FormData) -> Response:
    """Puts a line right, or strikes it through."""
    code, entry = _code(request), int(request.path_params["entry"])
    try:
        at = clock_time(text(form, "at"), studio_of(request).now())
        withdraw = text(form, "do") == "withdraw"
        correct_line(studio_of(request), CorrectLine(lot=code, entry=entry, said=text(form, "said"), at=at, withdraw=withdraw, key=key_of(form)))
    except WRONG as error:
        if is_fragment(request):
            return changes(request, get_lot(studio_of(request), code), _seen(form), keep=_keep(form), told=Told(_sentence(error)))
        return _correction(request, Told(_sentence(error), "correct", texts(form)), status=422)
    return _answer(request, form, ())


def _correction(request: Request, told: Told, *, status: int = 200) -> Response:
    code, number = _code(request), int(request.path_params["entry"])
    entry = standing_entry(studio_of(request), code, number)
    numeric = is_number(entry)
    amount = entry.doses[0].amount if len(entry.doses) == 1 else entry.value
    context: dict[str, Any] = {
        "code": code,
        "base": _home(request),
        "number": number,
        "what": entry.what.value,
        "about": entry.doses[0].name if entry.what is Entered.INSTEAD and len(entry.doses) == 1 else entry.about,
        "numeric": numeric,
        "was": f"{amount:g} {unit_of(entry)}".strip() if numeric and amount is not None else entry.text,
        "at": f"{entry.at:%H:%M}",
        "has_words": numeric or entry.what in (Entered.NOTE, Entered.MARK, Entered.INSTEAD),
        "told": told,
    }
    template = "lots/correct_piece.html" if is_fragment(request) else "lots/correct.html"
    return render(request, template, context, status=status)


def _done(request: Request, form: FormData, do: Callable[[], None], *, name: str = "", force: Iterable[str] = (), anchor: str = "") -> Response:
    """Do it, then answer with the sheet or its changed blocks; what cannot be right is said beside the form it came from, with what was typed."""
    try:
        do()
    except WRONG as error:
        status = 409 if isinstance(error, Conflict) else 422
        told = Told(_sentence(error), name, texts(form), _field(error))
        if not is_fragment(request):
            return page(request, _code(request), told, status=status)
        answer = changes(request, get_lot(studio_of(request), _code(request)), _seen(form), keep=_keep(form), force=_forced(form, force), told=told)
        answer.status_code = status
        return answer
    return _answer(request, form, force, anchor)


def _answer(request: Request, form: FormData, force: Iterable[str], anchor: str = "") -> Response:
    if is_fragment(request):
        view = get_lot(studio_of(request), _code(request))
        return changes(request, view, _seen(form), keep=_keep(form), force=_forced(form, force))
    step = text(form, "step")
    place = anchor or (f"step-{step}" if step.isdecimal() else "")
    return go(request, _home(request) + (f"#{place}" if place else ""))


def _forced(form: FormData, force: Iterable[str]) -> tuple[str, ...]:
    step = text(form, "step")
    return (*force, *((f"step-{step}",) if step.isdecimal() else ()))


def _sentence(error: SkeinwrightError) -> str:
    if isinstance(error, ManyBadInputs):
        return " ".join(problem.sentence for problem in error.problems)
    return error.sentence


def _field(error: SkeinwrightError) -> str:
    """The one field that is wrong; "" where several are, or none is named."""
    wrong = {problem.where or "" for problem in error.problems} if isinstance(error, ManyBadInputs) else {error.where or ""}
    return wrong.pop() if len(wrong) == 1 else ""


def _step(form: FormData) -> int:
    said = text(form, "step")
    if not said.isdecimal():
        raise BadInput("Say which step it is.", where="step")
    return int(said)


def _row(form: FormData) -> int | None:
    said = text(form, "row")
    return int(said) if said.isdecimal() else None


def _vessels(form: FormData) -> tuple[str, ...]:
    """The vessels named; none means all of them."""
    return tuple(str(vessel) for vessel in form.getlist("vessel"))


def _vessel(request: Request, form: FormData) -> str:
    vessels = vessels_of(get_lot(studio_of(request), _code(request)).lot)
    return text(form, "vessel") or (vessels[0] if len(vessels) == 1 else "")


def _ago(request: Request, form: FormData) -> float:
    return minutes_ago(text(form, "minutes"), text(form, "at"), studio_of(request).now())


def _seen(form: FormData) -> int:
    said = text(form, "seen")
    return int(said) if said.isdecimal() else 0


def _keep(form: FormData) -> list[str]:
    return text(form, "keep").split()


def _code(request: Request) -> str:
    return str(request.path_params["code"]).upper()


def _home(request: Request) -> str:
    return _url(request, "lot", code=_code(request))


def _url(request: Request, name: str, **parts: object) -> str:
    return str(request.app.url_path_for(name, **parts))
