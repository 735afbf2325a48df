"""Read the fields of one of the dyer's own tests out of a photo in which its pieces, or its glasses, were pointed at."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.make_own_test import own_test
from skeinwright.services.pick_in_photo import PickInPhoto, opened_photo, pick_in_photo
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.shelf.swatch import Lab

At = tuple[float, float]
TIMES = {"liquor": ("5 min", "15 min", "30 min", "60 min", "90 min", "120 min"), "strike": ("30 s", "60 s", "120 s", "240 s", "480 s")}
WHITE = "white"


@dataclass(frozen=True, kw_only=True, slots=True)
class PhotoOfTest:
    """A kept photo and where was pointed, by place ("white" and those of the test): (x, y) from the top left, 0-1 of width and height.

    `said` is what the test's fields held: the times of samples that are written there are kept.
    """

    key: str
    photo: int
    at: Mapping[str, At]
    said: Mapping[str, str]


@dataclass(frozen=True, kw_only=True, slots=True)
class PhotoFields:
    """What the photo says: fields to be filled, each piece's colour on a screen (0-255) by place, and what to be careful about."""

    fields: dict[str, str]
    colours: dict[str, tuple[int, int, int]]
    warnings: tuple[str, ...] = ()


def read_test_photo(studio: Studio, request: PhotoOfTest) -> PhotoFields:
    """The fields. Raises BadInput with `where` "photo" or the place where something is missing or cannot be read, NotFound for a test or photo."""
    test = own_test(request.key)
    if not test.places:
        raise BadInput("This test reads no colours from a photo.", where="photo")
    missing = [place.label for place in test.places if place.need and place.key not in request.at]
    if WHITE not in request.at:
        missing.insert(0, "White paper")
    if missing:
        raise BadInput(f"Still to be pointed at: {', '.join(missing)}.", where="photo")
    labs: dict[str, Lab] = {}
    colours: dict[str, tuple[int, int, int]] = {}
    warnings: list[str] = []
    opened = opened_photo(studio, request.photo)
    for place in test.places:
        if place.key in request.at:
            read = pick_in_photo(studio, PickInPhoto(photo=request.photo, white=request.at[WHITE], patch=request.at[place.key]), opened=opened)
            labs[place.key], colours[place.key] = read.lab, read.srgb
            warnings += [f"{place.label}: {sentence}" for sentence in read.warnings]
    return PhotoFields(fields=_FIELDS[request.key](labs, request.said), colours=colours, warnings=tuple(dict.fromkeys(warnings)))


def _superwash(labs: Mapping[str, Lab], said: Mapping[str, str]) -> dict[str, str]:
    from skeinwright.core.learn.depth_by_colour import depth_share

    return {
        field: _percent(depth_share(labs[piece], labs[full], labs["undyed"])) for field, piece, full in (("untreated", "u", "uf"), ("superwash", "s", "sf"))
    }


def _nylon(labs: Mapping[str, Lab], said: Mapping[str, str]) -> dict[str, str]:
    from skeinwright.core.learn.depth_by_colour import ratio_of_depths

    ratio = f"{ratio_of_depths(labs['n'], labs['n0'], labs['w'], labs['w0']):.2g} times"
    return {"deep_ratio" if said.get("pale_ratio", "").strip() else "pale_ratio": ratio}


def _liquor(labs: Mapping[str, Lab], said: Mapping[str, str]) -> dict[str, str]:
    from skeinwright.core.learn.depth_by_colour import liquor_share

    shares = {key: liquor_share(lab, labs["fresh"], labs["clear"], labs.get("half")) for key, lab in labs.items() if key.startswith("s")}
    return {"samples": _lines(shares, said.get("samples", ""), TIMES["liquor"])}


def _strike(labs: Mapping[str, Lab], said: Mapping[str, str]) -> dict[str, str]:
    from skeinwright.core.learn.depth_by_colour import depth_share

    shares = {key: depth_share(lab, labs["finished"], labs["undyed"]) for key, lab in labs.items() if key.startswith("s")}
    return {"strands": _lines(shares, said.get("strands", ""), TIMES["strike"])}


def _wet(labs: Mapping[str, Lab], said: Mapping[str, str]) -> dict[str, str]:
    from skeinwright.core.shelf.lab_text import write_lab

    def written(lab: Lab) -> str:
        return write_lab(replace(lab, L=round(lab.L, 1), a=round(lab.a, 1), b=round(lab.b, 1)))

    return {"pairs": "\n".join(f"{written(labs[f'd{number}'])} / {written(labs[f'w{number}'])}" for number in range(1, 4))}


_FIELDS = {"superwash": _superwash, "nylon": _nylon, "liquor": _liquor, "strike": _strike, "wet": _wet}


def _lines(shares: Mapping[str, float], said: str, usual: tuple[str, ...]) -> str:
    """Lines of a time and a share; a time that was written already is kept, else the usual one of that place."""
    written = [re.sub(r"[\s:=,]*[\d.,½¼¾/]*\s*%?\s*$", "", line).strip() if "%" in line else line.strip() for line in re.split(r"[\n;]+", said) if line.strip()]
    found = []
    for key in sorted(shares):
        number = int(key[1:]) - 1
        time = written[number] if number < len(written) and written[number] else usual[min(number, len(usual) - 1)]
        found.append(f"{time} {_percent(shares[key])}")
    return "\n".join(found)


def _percent(share: float) -> str:
    return f"{100 * max(share, 0.0):.0f} %"
