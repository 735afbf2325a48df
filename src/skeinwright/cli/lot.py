"""`skeinwright lot` and `skeinwright slip`: lots started, listed and shown, and their papers."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, get_args

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import write_file
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.lot.lot import Lot, Planned
    from skeinwright.services.start_lot import RowWanted

lots = typer.Typer(name="lot", help="Lots: start one from a colourway, list them, show one.", rich_markup_mode=None)
Code = Annotated[str, typer.Argument(metavar="CODE", help="The lot's code, for example 2026-11-24-B.", show_default=False)]


@lots.command("start")
def start(
    context: typer.Context,
    colourway: Annotated[str, typer.Argument(metavar="COLOURWAY", help="The colourway's name.", show_default=False)],
    row: Annotated[
        list[str] | None,
        typer.Option(metavar="'BASE, SKEINS[, VESSEL]'", help="So many skeins of a base in a vessel: '2', or '2 skeins of 115 g'; may be repeated."),
    ] = None,
    day: Annotated[str, typer.Option(metavar="YYYY-MM-DD", help="The day; today if not said.")] = "",
    title: Annotated[str, typer.Option(metavar="TEXT", help="A title; the colourway's name if not said.")] = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Start a lot from a colourway: the amounts for these rows, and the steps in order."""
    from skeinwright.services.start_lot import StartLot, start_lot

    wanted = tuple(_row(text) for text in row or ())
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        lot = start_lot(opened, StartLot(colourway=colourway, rows=wanted, day=_day(day), title=title))
    show(_lot_answer(lot, {"colourway": colourway}), _lot_lines(lot), as_json=json)


@lots.command("list")
def list_(
    context: typer.Context,
    search: Annotated[str, typer.Option(metavar="WORDS", help="Words to look for.")] = "",
    standing: Annotated[str, typer.Option(metavar="STANDING", help="planned, 'under way', finished, or 'from the notebook'.")] = "",
    limit: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=10_000, help="At most so many.")] = 50,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """List the lots, newest day first."""
    from skeinwright.core.lot.state import Status
    from skeinwright.services.list_lots import ListLots, list_lots

    if standing not in ("", *get_args(Status)):
        raise BadInput(f"A lot is {', '.join(get_args(Status)[:-1])} or {get_args(Status)[-1]}, not '{standing}'.", where="--standing")
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        found = list_lots(opened, ListLots(search=search, status=standing, limit=limit))
    answer = {"inputs": {"search": search, "standing": standing}, "lots": found}
    show(
        answer,
        rows([(line.code, f"{line.title}, {line.skeins} skein{'' if line.skeins == 1 else 's'}, {line.status}") for line in found]) or ["No lots."],
        as_json=json,
    )


@lots.command("show")
def show_(context: typer.Context, code: Code, studio: StudioFile = None, json: Json = False) -> None:
    """Show a lot: its rows, its plan, and how far it is."""
    from skeinwright.services.get_lot import get_lot

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        view = get_lot(opened, code)
    answer = {**_lot_answer(view.lot, {"code": code}), "status": view.state.status, "entries": view.entries, "uses": view.uses}
    show(answer, [*_lot_lines(view.lot), f"This lot is {view.state.status}."], as_json=json)


@lots.command("liquor")
def liquor(
    context: typer.Context,
    code: Code,
    fibre: Annotated[str, typer.Option(metavar="MASS", help="Work out the depth that what is left makes on so much yarn.")] = "100 g",
    keep: Annotated[bool, typer.Option("--keep", help="Keep it on the shelf as leftover liquor.")] = False,
    vessel: Annotated[str, typer.Option(metavar="NAME", help="Which pot is kept, where the lot has several.")] = "",
    name: Annotated[str, typer.Option(metavar="NAME", help="What the leftover is called; after the lot if not said.")] = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """What is left in a lot's pots at the end: liquor, dye and pH, what it would dye, and the soda for the drain."""
    from skeinwright.cli.liquor import liquor_answer, liquor_lines
    from skeinwright.services.estimate_liquor import estimate_liquor
    from skeinwright.services.get_settings import get_settings
    from skeinwright.services.keep_liquor import KeepLiquor, keep_liquor
    from skeinwright.services.work_out_leftover import work_out_leftover

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        pots = estimate_liquor(opened, code)
        depths = [work_out_leftover(opened, {dye: one.value for dye, one in pot.dyes_g.items()}, fibre) for pot in pots]
        limits = get_settings(opened)
        kept = keep_liquor(opened, KeepLiquor(lot=code, vessel=vessel, name=name))[0].thing.name if keep else None
    answer = liquor_answer(pots, depths, limits)
    show({"inputs": {"code": code, "fibre": fibre}, **answer, "kept": kept}, liquor_lines(pots, depths, limits, kept), as_json=json)


@lots.command("pot")
def pot(context: typer.Context, code: Code, studio: StudioFile = None, json: Json = False) -> None:
    """A lot's pots over time as they were run: temperature, pH, water, and the uptake of each dye on each base."""
    from skeinwright.cli.liquor import pot_answer, pot_lines
    from skeinwright.services.follow_lot import follow_lot

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        pots = follow_lot(opened, code)
    show({"inputs": {"code": code}, **pot_answer(pots)}, [] if json else pot_lines(pots), as_json=json)


def slip(
    context: typer.Context,
    code: Code,
    out: Annotated[Path, typer.Option(metavar="FILE", help="Where to write the PDF.")],
    vessel: Annotated[str, typer.Option(metavar="NAME", help="Only the slip of this vessel.")] = "",
    sheet: Annotated[bool, typer.Option("--sheet", help="The lot sheet instead: the whole lot as it stands.")] = False,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Write a lot's pot slips as PDF, a page for each vessel; or its lot sheet."""
    from skeinwright.services.make_lot_sheet import make_lot_sheet
    from skeinwright.services.make_slip import make_slip

    if sheet and vessel:
        raise BadInput("The lot sheet shows every vessel: leave --vessel or --sheet out.", where="--vessel")
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        pdf = make_lot_sheet(opened, code) if sheet else make_slip(opened, code, vessel=vessel)
    write_file(out, pdf)
    show({"inputs": {"code": code}, "path": out, "size_bytes": len(pdf)}, [f"Written: {out}"], as_json=json)


def _row(text: str) -> RowWanted:
    from skeinwright.core.foundations.quantities import parse_fibre
    from skeinwright.services.start_lot import RowWanted

    base, *rest = (piece.strip() for piece in text.split(","))
    if not base or len(rest) not in (1, 2):
        raise _unclear(text)
    vessel = rest[1] if len(rest) == 2 else ""
    if rest[0].isdecimal() and int(rest[0]) > 0:
        return RowWanted(base=base, skeins=int(rest[0]), vessel=vessel)
    try:
        fibre = parse_fibre(rest[0], where="--row")
    except BadInput as problem:
        raise _unclear(text) from problem
    if not fibre.skeins:
        raise _unclear(text)
    return RowWanted(base=base, skeins=fibre.skeins, skein_g=fibre.skein_g, vessel=vessel)


def _unclear(text: str) -> BadInput:
    said = f"'{text}' is not clear; write the base, how many skeins, and the vessel: 'Quay Sock, 2, Steam pan' or 'Quay Sock, 2 skeins of 115 g, Steam pan'."
    return BadInput(said, where="--row")


def _day(text: str) -> Any:
    from datetime import date

    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError as error:
        raise BadInput(f"'{text}' is not a day; write it as 2026-11-24.", where="--day") from error


def _lot_answer(lot: Lot, inputs: dict[str, str]) -> dict[str, Any]:
    plan = [{"number": step.number, "sentence": step.sentence, "doses": step.doses, "start_min": step.start_min, "minutes": step.minutes} for step in lot.plan]
    kept = {"code": lot.code, "day": lot.day, "title": lot.title, "rows": lot.rows, "plan": plan}
    return {"inputs": inputs, **kept, "warnings": lot.warnings, "assumed": lot.assumed}


def _lot_lines(lot: Lot) -> list[str]:
    head = [f"Lot {lot.code}, {lot.title}"]
    skeins = [f"  {row.skeins} x {row.skein_g:g} g {row.base} in {row.vessel}" for row in lot.rows]
    return [*head, *skeins, *(line for step in lot.plan for line in _step_lines(step))]


def _step_lines(step: Planned) -> list[str]:
    doses = [f"      {dose.vessel}: {dose.said or f'{dose.amount:g} {dose.unit}'} {dose.name}".rstrip() for dose in step.doses]
    return [f"{step.number:3d}  {step.sentence}", *doses]
