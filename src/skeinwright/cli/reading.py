"""`skeinwright reading`: colours read from photos and kept in the studio, held against each other; and sizes in a photo without the sheet."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from skeinwright.cli.answers import REFUSED, rows, show
from skeinwright.cli.called import called
from skeinwright.cli.files import read_file, write_file
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.measure.kept_reading import KeptReading
    from skeinwright.core.shelf.kept import Kept
    from skeinwright.services.find_measured_colour import Nearness
    from skeinwright.services.keep_photo import KeptPhoto
    from skeinwright.services.size_without_sheet import SizedPiece
    from skeinwright.services.studio import Studio

readings = typer.Typer(name="reading", help="Colours read from photos: keep them, list them, lay two side by side.", rich_markup_mode=None)
ALL = 1_000_000
WHATS = {"dyed": "skein", "reskeined": "skein", "knitted": "knitted", "strand": "strand"}
Number = Annotated[int, typer.Argument(metavar="NUMBER", help="The reading's number, as `reading list` shows it.", show_default=False)]


@readings.command("keep")
def keep(
    context: typer.Context,
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="The photo, taken on the photo sheet.", show_default=False)],
    lot: Annotated[str, typer.Option(metavar="CODE", help="The lot whose colour it is.")] = "",
    dye: Annotated[str, typer.Option(metavar="NAME", help="Keep pieces as swatches of this dye; say --depth for each.")] = "",
    depth: Annotated[list[str] | None, typer.Option(metavar="'PIECE=DEPTH'", help="The depth of a piece by its number, '2=0.5 %'; may be repeated.")] = None,
    piece: Annotated[int, typer.Option(metavar="NUMBER", min=1, help="Which piece is the skein, 1 the first.")] = 1,
    base: Annotated[str, typer.Option(metavar="NAME", help="The base.")] = "",
    label: Annotated[str, typer.Option(metavar="TEXT", help="A name for it.")] = "",
    form: Annotated[str, typer.Option(metavar="FORM", help="dyed, reskeined, knitted or strand.")] = "dyed",
    state: Annotated[str, typer.Option(metavar="dry|wet", help="Whether the yarn was dry or wet.")] = "dry",
    printer: Annotated[str, typer.Option(metavar="NAME", help="The printer of the sheet, or none; the one checked last if not said.")] = "",
    reference: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="A reference of known values that lies on the sheet.")] = None,
    outline: Annotated[list[str] | None, typer.Option(metavar="'X,Y X,Y X,Y'", help="An outline round yarn in mm on the sheet; may be repeated.")] = None,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Read a photo and keep the colour of one piece, or of several as swatches of a dye. Of a refused photo no reading is kept: exit 3."""
    from skeinwright.services.keep_reading import KeepReading, keep_reading
    from skeinwright.services.keep_swatches import KeepSwatches, keep_swatches
    from skeinwright.services.measure_kept_photo import MeasureKeptPhoto, measure_kept_photo
    from skeinwright.services.read_outlines import read_outlines

    depths = dict(_depth(text) for text in depth or ())
    csv = read_file(reference, "--reference").decode("utf-8-sig", "replace") if reference is not None else ""
    outlines = read_outlines("; ".join(outline or ()))
    with parts_of(context).open_studio(studio, must_exist=True) as opened, _photo_in(opened, read_file(photo, "PHOTO"), photo.name) as kept:
        asked = MeasureKeptPhoto(photo=kept.fact.id, reference=csv, form=form, state=state, printer=printer, outlines=outlines)
        figures = measure_kept_photo(opened, asked)
        answer: dict[str, Any] = {"inputs": {"photo": str(photo), **figures.inputs}, "verdict": figures.verdict, "messages": figures.messages}
        answer |= {"warnings": figures.warnings, "assumed": figures.assumed}
        if figures.refused:
            _refuse(answer, json)
        if dye or depths:
            changes = keep_swatches(opened, KeepSwatches(figures=figures, dye=dye, depths=depths, base=base))
        else:
            found = figures.piece(piece)
            wanted = KeepReading(
                photo=kept.fact.id,
                lab=found.lab,
                spread_de00=figures.spread_de00 or 0.0,
                what=WHATS[form],
                state=state,
                lot=lot,
                base=base,
                label=label,
                document=figures.document(found),
            )
            changes = (keep_reading(opened, wanted)[1],)
    answer["done"] = [change.sentence for change in changes]
    answer["spread_de00"] = figures.spread_de00
    show(answer, answer["done"], as_json=json)


@contextmanager
def _photo_in(studio: Studio, data: bytes, name: str) -> Iterator[KeptPhoto]:
    """The photo in the studio. Where nothing of it is kept in the end (it is refused, or a word was wrong), one that was not there before is forgotten."""
    from skeinwright.services.forget_photo import forget_photo
    from skeinwright.services.keep_photo import keep_photo
    from skeinwright.services.list_photos import list_photos

    present = {fact.id for fact in list_photos(studio, limit=ALL)}
    kept = keep_photo(studio, data, name, keep_wide=True)
    try:
        yield kept
    except Exception:
        if kept.fact.id not in present:
            forget_photo(studio, kept.fact.id)
        raise


def _refuse(answer: dict[str, Any], json: bool) -> None:
    if json:
        show(answer, [], as_json=True)
    else:
        print(f"Refused: {' '.join(answer['messages'])}", file=sys.stderr)
    raise typer.Exit(REFUSED)


def _depth(text: str) -> tuple[int, str]:
    number, sign, depth = text.partition("=")
    if not sign or not number.strip().isdigit():
        raise BadInput("Give each depth with the number of its piece, for example '2=0.5 %'.", where="--depth", text=text)
    return int(number), depth.strip()


@readings.command("list")
def list_(
    context: typer.Context,
    lot: Annotated[str, typer.Option(metavar="CODE", help="Only those of one lot, with its measured colour and how near it came to the last.")] = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """List what was read from photos and kept, newest first."""
    from skeinwright.services.find_measured_colour import find_measured_colour
    from skeinwright.services.list_readings import list_readings

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        found = list_readings(opened, lot)
        measured = find_measured_colour(opened, lot) if lot else None
    answer: dict[str, Any] = {"inputs": {"lot": lot}, "readings": [_plain(one) for one in found], "warnings": [], "assumed": []}
    lines = rows([(str(one.id), f"{_lab(one.thing)}  {one.thing.said_of}, {one.thing.what}, {one.thing.state}") for one in found])
    if lot:
        last = measured.last if measured is not None else None
        answer["measured_lab"] = list(measured.reading.lab.values) if measured is not None else None
        answer["last"] = None if last is None else _near(last)
        lines += [f"Against lot {last.lot}: {last.sentence}"] if last is not None else []
    show(answer, lines or ["No readings."], as_json=json)


def _near(last: Nearness) -> dict[str, Any]:
    return {"lot": last.lot, "de00": last.de00, "spread_de00": last.spread_de00, "same_photo": last.same_photo}


def _plain(kept: Kept[KeptReading]) -> dict[str, Any]:
    one = kept.thing
    colour = {"lab": list(one.lab.values), "illuminant": one.lab.illuminant, "observer": one.lab.observer, "spread_de00": one.spread_de00}
    whose = {"lot": one.lot, "base": one.base, "dye": one.dye, "label": one.label}
    return {"number": kept.id, "made_at": one.made_at.isoformat(), "what": one.what, "state": one.state, **whose, **colour}


def _lab(one: KeptReading) -> str:
    return f"{', '.join(f'{value:.1f}' for value in one.lab.values)} \u00b1{one.spread_de00:.1f}"


@readings.command("export")
def export(
    context: typer.Context,
    out: Annotated[Path, typer.Option(metavar="FILE.csv", help="Where to write the table.")],
    lot: Annotated[str, typer.Option(metavar="CODE", help="Only those of one lot.")] = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Write the kept readings as CSV."""
    from skeinwright.services.export_readings import export_readings

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        file = export_readings(opened, lot)
    write_file(out, file.data)
    show({"inputs": {"lot": lot}, "out": out, "bytes": len(file.data), "warnings": [], "assumed": []}, rows([("Written", str(out))]), as_json=json)


@readings.command("beside")
def beside(
    context: typer.Context,
    a: Annotated[int, typer.Argument(metavar="A", help="The number of a kept reading.", show_default=False)],
    b: Annotated[int, typer.Argument(metavar="B", help="The number of another.", show_default=False)],
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Hold two kept readings against each other, their photos tied by the sheet's own patches."""
    from skeinwright.services.compare_photos import compare_photos
    from skeinwright.services.list_readings import list_readings
    from skeinwright.services.read_again import read_again

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        known = {one.id: one.thing for one in list_readings(opened)}
        for name, number in (("A", a), ("B", b)):
            if number not in known:
                raise BadInput(f"There is no reading {number}; `{called()} reading list` shows the numbers.", where=name)
        (first, one), (second, other) = read_again(opened, known[a]), read_again(opened, known[b])
        found = compare_photos(first, second, one, other)
    answer = {
        "inputs": {"a": a, "b": b},
        "a_lab": list(found.a_lab),
        "b_lab": list(found.b_lab),
        "illuminant": "D65",
        "observer": 2,
        "de00": found.de00,
        "spread_de00": found.spread_de00,
        "tied": found.tied,
        "tie_median_de00": found.tie_median_de00,
        "text": found.sentence,
        "warnings": list(found.notes),
        "assumed": [],
    }
    lines = [found.sentence, f"CIEDE2000 {found.de00:.1f} \u00b1{found.spread_de00:.1f}", *found.notes]
    show(answer, lines, as_json=json)


@readings.command("forget")
def forget(context: typer.Context, number: Number, studio: StudioFile = None, json: Json = False) -> None:
    """Take a kept reading back. The photo stays."""
    from skeinwright.services.forget_reading import forget_reading

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        change = forget_reading(opened, number)
    show({"inputs": {"number": number}, "done": change.sentence, "warnings": [], "assumed": []}, [change.sentence], as_json=json)


@readings.command("size")
def size(
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="A photo without the photo sheet.", show_default=False)],
    points: Annotated[str, typer.Option(metavar="'X,Y X,Y'", help="Two ends of a known length, or four corners clockwise, in % of the photo.")],
    length: Annotated[str, typer.Option(metavar="LENGTH", help="The known length.")] = "",
    width: Annotated[str, typer.Option(metavar="LENGTH", help="The rectangle's width.")] = "",
    height: Annotated[str, typer.Option(metavar="LENGTH", help="The rectangle's height.")] = "",
    outline: Annotated[list[str] | None, typer.Option(metavar="'X,Y X,Y X,Y'", help="An outline round yarn in % of the photo; may be repeated.")] = None,
    json: Json = False,
) -> None:
    """Sizes in a photo without the sheet, by a known length or rectangle. Colours are only relative."""
    from skeinwright.services.read_outlines import read_outlines, read_points
    from skeinwright.services.size_without_sheet import SizeWithoutSheet, size_without_sheet

    outlines = tuple(tuple((x / 100, y / 100) for x, y in one) for one in read_outlines("; ".join(outline or ())))
    ends = tuple((x / 100, y / 100) for x, y in read_points(points, "--points"))
    found = size_without_sheet(SizeWithoutSheet(photo=read_file(photo, "PHOTO"), points=ends, length=length, width=width, height=height, outlines=outlines))
    pieces = [{key: value for key, value in asdict(one).items() if key != "hex"} for one in found.pieces]
    answer = {"inputs": {"photo": str(photo), "points": points}, "px_per_mm": found.px_per_mm, "pieces": pieces, "warnings": found.warnings}
    answer["assumed"] = found.assumed if pieces else ()
    lines = rows([(f"Outline {one.number}", _sized(one)) for one in found.pieces])
    show(answer, [f"{found.px_per_mm:.2f} pixels a millimetre", *lines, *found.warnings], as_json=json)


def _sized(one: SizedPiece) -> str:
    return f"{one.area_cm2:.1f} cm2 ±{one.area_spread_cm2:.1f}, {one.longest_mm:.0f} mm ±{one.longest_spread_mm:.0f} at its longest"
