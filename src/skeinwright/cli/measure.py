"""`skeinwright measure`: sizes and colours from a photograph on the photo sheet."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, Any

import typer

from skeinwright.cli.answers import REFUSED, rows, show
from skeinwright.cli.files import read_file
from skeinwright.cli.options import Json
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.say import joined

MOST_PAIRS = 6
"""Pairs of pieces that are printed, the nearest first."""


def measure(
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="The photo: JPEG, PNG, WebP or HEIC.")],
    reference: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="A reference of known values that lies on the sheet.")] = None,
    form: Annotated[str, typer.Option(metavar="FORM", help="What the yarn is in the photo: dyed, reskeined, knitted or strand.")] = "dyed",
    ruler: Annotated[str, typer.Option(metavar="'LENGTH, LENGTH'", help="What the sheet's two rulers of 200 mm really measure, across and upright.")] = "",
    outline: Annotated[list[str] | None, typer.Option(metavar="'X,Y X,Y X,Y'", help="An outline round yarn in mm on the sheet; may be repeated.")] = None,
    seed: Annotated[int, typer.Option(metavar="NUMBER", min=0, help="The seed of the search for colours.")] = 1,
    json: Json = False,
) -> None:
    """Measure yarn in a photo taken on the photo sheet. A photo that cannot be trusted is refused, with exit 3 and no figures."""
    from skeinwright.services.measure_photo import MeasurePhoto, measure_photo
    from skeinwright.services.read_outlines import read_outlines

    outlines = read_outlines("; ".join(outline or ()))
    request = MeasurePhoto(photo=read_file(photo, "PHOTO"), reference=_text(reference), form=form, ruler=ruler, outlines=outlines, seed=seed)
    answer = measure_photo(request).to_plain()
    answer["inputs"] = {"photo": str(photo), **answer["inputs"]}
    if answer["verdict"] == "refuse":
        if json:
            show(answer, [], as_json=True)
        else:
            print(f"Refused: {' '.join(answer['messages'])}", file=sys.stderr)
        raise typer.Exit(REFUSED)
    show(answer, [] if json else _lines(answer), as_json=json)


def _text(path: Path | None) -> str:
    if path is None:
        return ""
    try:
        return read_file(path, "--reference").decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput(f"{path} is not text in UTF-8: save it as UTF-8 and try again.", where="--reference") from error


def _lines(answer: dict[str, Any]) -> list[str]:
    pairs = [
        ("Verdict", answer["verdict"]),
        *(("", message) for message in answer["messages"]),
        ("Yarn", _area(answer)),
        ("Sharpness", f"{answer['blur_mm']:.2f} mm, {answer['px_per_mm']:.1f} pixels a millimetre" if answer["blur_mm"] else "not known"),
        ("Colours rest on", _rests_on(answer["correction"])),
    ]
    several = len(answer["pieces"]) > 1
    for number, piece in enumerate(answer["pieces"], 1):
        name = f"Piece {number}, " if several else ""
        pairs += [(f"{name}area", _area(piece))] if several else []
        pairs.append((f"{name}area mean", f"{_lab(piece['mean_lab'])} ±{answer['spread_de00']:.1f}"))
        on_crests, *others = piece["palette"]
        pairs.append((f"{name}on the crests", f"{_lab(on_crests['lab'])} ±{on_crests['spread_de00']:.1f}"))
        pairs += [(f"{name}also", f"{_lab(one['lab'])} ±{one['spread_de00']:.1f}, {100 * one['share']:.0f} %") for one in others]
    pairs += [("Go together", joined(group)) for group in answer["sets"] if len(group) > 1]
    pairs += [(f"{joined(pair['pieces'])} apart", _apart(pair)) for pair in answer["pairs"][:MOST_PAIRS]]
    left = len(answer["pairs"]) - MOST_PAIRS
    more = [f"{left} further pairs lie wider apart; --json has them all."] if left > 0 else []
    return [*rows(pairs), *more, *answer["notes"], "Lab is D65, 2 degree; ± holds 90 % (CIEDE2000)."]


def _area(figures: dict[str, Any]) -> str:
    low, high = figures["area_cm2_ci"]
    return f"{figures['area_cm2']:.1f} cm2 (90 %: {low:.1f} to {high:.1f})"


def _apart(pair: dict[str, Any]) -> str:
    return f"{pair['de00']:.1f} ±{pair['spread_de00']:.1f}{'' if pair['told_apart'] else ', cannot be told apart here'}"


def _rests_on(correction: dict[str, Any]) -> str:
    if correction["left_out_median_de00"] is None:
        return str(correction["rests_on"])
    figures = f"{correction['left_out_median_de00']:.1f} in the middle, {correction['left_out_90_de00']:.1f} at 90 %"
    return f"{correction['patches']} patches by {correction['rests_on']}; patches left out miss by {figures}"


def _lab(lab: list[float]) -> str:
    return ", ".join(f"{value:.1f}" for value in (min(lab[0], 100.0), *lab[1:]))  # bare paper may come out a little whiter than white
