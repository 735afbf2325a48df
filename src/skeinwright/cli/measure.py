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


def measure(
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="The photo: JPEG, PNG, WebP or HEIC.")],
    reference: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="A reference of known values that lies on the sheet.")] = None,
    form: Annotated[str, typer.Option(metavar="FORM", help="What the yarn is in the photo: dyed, reskeined, knitted or strand.")] = "dyed",
    ruler: Annotated[str, typer.Option(metavar="'LENGTH, LENGTH'", help="What the sheet's two rulers of 200 mm really measure, across and upright.")] = "",
    seed: Annotated[int, typer.Option(metavar="NUMBER", min=0, help="The seed of the search for colours.")] = 1,
    json: Json = False,
) -> None:
    """Measure yarn in a photo taken on the photo sheet. A photo that cannot be trusted is refused, with exit 3 and no figures."""
    from skeinwright.services.measure_photo import MeasurePhoto, measure_photo

    request = MeasurePhoto(photo=read_file(photo, "PHOTO"), reference=_text(reference), form=form, ruler=ruler, seed=seed)
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
    low, high = answer["area_cm2_ci"]
    spread = answer["spread_de00"]
    pairs = [
        ("Verdict", answer["verdict"]),
        *(("", message) for message in answer["messages"]),
        ("Yarn", f"{answer['area_cm2']:.1f} cm2 (90 %: {low:.1f} to {high:.1f})"),
        ("Sharpness", f"{answer['blur_mm']:.2f} mm, {answer['px_per_mm']:.1f} pixels a millimetre" if answer["blur_mm"] else "not known"),
        ("Colours rest on", _rests_on(answer["correction"])),
    ]
    several = len(answer["pieces"]) > 1
    for number, piece in enumerate(answer["pieces"], 1):
        name = f"Piece {number}, " if several else ""
        pairs.append((f"{name}ground", f"{_lab(piece['ground_lab'])} ±{spread:.1f}"))
        pairs.append((f"{name}mean", f"{_lab(piece['mean_lab'])} ±{spread:.1f}"))
        others = enumerate(piece["palette"][1:], 1)
        pairs += [(f"{name}colour {place}", f"{_lab(one['lab'])} ±{spread:.1f}, {100 * one['share']:.0f} %") for place, one in others]
    return [*rows(pairs), *answer["notes"], "Lab is D65, 2 degree; ± holds 90 % (CIEDE2000)."]


def _rests_on(correction: dict[str, Any]) -> str:
    if correction["left_out_median_de00"] is None:
        return str(correction["rests_on"])
    figures = f"{correction['left_out_median_de00']:.1f} in the middle, {correction['left_out_90_de00']:.1f} at 90 %"
    return f"{correction['patches']} patches by {correction['rests_on']}; patches left out miss by {figures}"


def _lab(lab: list[float]) -> str:
    return ", ".join(f"{value:.1f}" for value in lab)
