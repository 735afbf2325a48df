"""`skeinwright own-test`: tests that the dyer makes in her own pots, listed, explained and kept."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import read_file
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.shelf.calibration import Calibration
    from skeinwright.services.studio import Studio

own_test = typer.Typer(name="own-test", help="Tests of your own: a value of yours in the place of an assumed one.", rich_markup_mode=None)
Name = Annotated[str, typer.Argument(metavar="TEST", help="One of alkalinity, liquor, superwash, nylon, strike, evaporation, footprint, spread-length, wet.")]


@own_test.command("list")
def list_(
    context: typer.Context,
    of: Annotated[str, typer.Option(metavar="NAME", help="Only what was found of this base, dye, pot or water.")] = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """What your tests have found, newest first; the first of each quantity counts."""
    from skeinwright.core.shelf.calibration_words import say_calibration
    from skeinwright.services.list_calibrations import list_calibrations
    from skeinwright.services.list_shelf import list_shelf

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        found = [kept.thing for kept in list_calibrations(opened, of=of)]
        on_shelf = {kept.thing.name.casefold() for kind in ("base", "dye", "vessel", "water") for kept in list_shelf(opened, kind)}
        if of and not found and of.strip().casefold() not in on_shelf:
            raise BadInput(f"{of} is not on the shelf: name a base, dye, pot or water that is.", where="--of")
    answer = {"inputs": {"of": of}, "tests": [_plain(one) for one in found], "warnings": [], "assumed": []}
    show(answer, rows([(f"{one.made_on} {one.of}", say_calibration(one).sentence) for one in found]) or ["Nothing was tested yet."], as_json=json)


@own_test.command("explain")
def explain(name: Name, json: Json = False) -> None:
    """What a test is for, its steps with their cautions, and the fields that it asks for."""
    from skeinwright.core.safety.cautions import cautions_of
    from skeinwright.services import make_own_test as made

    test, asked, usual = made.own_test(name), made.asked_of(name), made.usual(name)
    steps = [{"text": step.text, "cautions": [f"{one.head}: {one.sentence} ({one.stands})" for one in cautions_of(step.cautions)]} for step in test.steps]
    fields = {key: {"label": ask.label, "usual": usual.get(key, ""), "needed": ask.need} for key, ask in asked.items()}
    answer: dict[str, Any] = {"inputs": {"test": name}, "title": test.title, "purpose": test.purpose, "needs": test.needs, "steps": steps, "fields": fields}
    answer |= {"improves": test.improves, "cannot_tell": test.cannot, "assumed": [test.until_then], "warnings": []}
    lines = [test.title, "", test.purpose, f"You need: {test.needs}", ""]
    for number, step in enumerate(steps, 1):
        lines += [f"{number}. {step['text']}", *(f"   ! {caution}" for caution in step["cautions"])]
    lines += ["", f"It improves: {test.improves}", *([test.cannot] if test.cannot else []), ""]
    show(answer, [*lines, *rows([(key, f"{ask.label}{f' [{usual[key]}]' if usual.get(key) else ''}") for key, ask in asked.items()])], as_json=json)


@own_test.command("keep")
def keep(
    context: typer.Context,
    name: Name,
    said: Annotated[list[str] | None, typer.Argument(metavar="FIELD=VALUE", help="What was read, as 'ph=5.1'; lines of samples are parted by ';'.")] = None,
    photo: Annotated[Path | None, typer.Option(metavar="FILE", help="A photo: on the photo sheet, or of pieces that --at points at.")] = None,
    at: Annotated[list[str] | None, typer.Option(metavar="PLACE=X,Y", help="A place in the photo, per cent from its left and top; white paper too.")] = None,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Work a test out and keep what it found with the thing that was tested."""
    from skeinwright.services import make_own_test as made
    from skeinwright.services.keep_photo import keep_photo

    test, fields, places = made.own_test(name), _fields(said or []), _places(at or [])
    if photo is not None and not test.photo:
        raise BadInput("This test reads no photo.", where="--photo")
    if places and (photo is None or not test.places):
        raise BadInput("Places are those of a photo of pieces: name the photo, and a test that reads one.", where="--at")
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        if photo is not None:
            number = keep_photo(opened, read_file(photo, "--photo"), photo.name).fact.id
            fields |= _read(opened, name, number, places, fields) if test.places else {"photo": str(number)}
        found = made.make_own_test(opened, name, fields)
    answer = {"inputs": {"test": name, **fields}, "tests": [_plain(kept.thing) for kept in found.calibrations]}
    show(answer | {"sentences": found.sentences, "warnings": [], "assumed": found.assumed}, found.sentences, as_json=json)


def _read(opened: Studio, name: str, photo: int, at: dict[str, tuple[float, float]], said: dict[str, str]) -> dict[str, str]:
    """The fields that a photo with its places fills."""
    from skeinwright.services.read_test_photo import PhotoOfTest, read_test_photo

    return read_test_photo(opened, PhotoOfTest(key=name, photo=photo, at=at, said=said)).fields


def _places(said: list[str]) -> dict[str, tuple[float, float]]:
    found = {}
    for one in said:
        key, _, both = one.partition("=")
        try:
            x, y = (float(number) / 100 for number in both.split(","))
        except ValueError:
            raise BadInput(f"Write a place as PLACE=X,Y in per cent, such as 'white=7,50'; '{one[:40]}' was read.", where="--at") from None
        found[key.strip()] = (x, y)
    return found


def _fields(said: list[str]) -> dict[str, str]:
    found = {}
    for one in said:
        key, equals, value = one.partition("=")
        if not equals:
            raise BadInput(f"Write what was read as FIELD=VALUE; '{one[:40]}' was read.", where="FIELD=VALUE")
        found[key.strip()] = value.strip()
    return found


def _plain(one: Calibration) -> dict[str, Any]:
    known = {"test": one.test, "of_kind": one.of_kind, "of": one.of, "quantity": one.quantity}
    return known | {
        "value": one.value,
        "low": one.low,
        "high": one.high,
        "unit": one.unit,
        "made_on": one.made_on.isoformat(),
        "lot": one.lot,
        "note": one.note,
    }
