"""Sixteen sessions on a patch of 51 mm, soon after the last dye came down and at the end, for docs/explanation/models/spread_sessions.jpg: to be looked at.

    .venv/bin/python benchmarks/spread_sheet.py [FILE.jpg]

Invented dyes; every session is said in step words and runs on the program's own defaults.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw, ImageFont

from skeinwright.core.colour.ladder import fit_dye
from skeinwright.core.colour.recover import recover
from skeinwright.core.colourway.document import read_colourway_document
from skeinwright.core.forecast.mapped_colour import look_up_of
from skeinwright.core.picture.patch import patch_pixels
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.core.spread.events import Dip, Heat, Ice, Pour, Session, Sprinkle, Steam, Wait
from skeinwright.core.spread.patch import CELL_CM, Patch, run_patch
from skeinwright.core.spread.session import session_of

ROOT = Path(__file__).parents[1]
NAMES = ("Kelp", "Ember", "Lichen")
DYES = {"Kelp": (42.0, -24.0, -8.0), "Ember": (52.0, 42.0, 38.0), "Lichen": (76.0, -4.0, 62.0)}
"""Invented: Lab (D65, 10 degree) at 1 %."""
UNDYED = Lab(91.0, 0.2, 9.0)
SOON_S = 60.0
WIDE, GAP, HEAD = 236, 12, 26
FONT = ROOT / "src" / "skeinwright" / "files" / "sheets" / "AtkinsonHyperlegibleNext_400Regular.ttf"

Step = dict[str, str]


def _do(do: str, **said: str) -> Step:
    return {"do": do, **said}


def _powder(over: str = "all", grain: str = "0.12 mm", amount: str = "0.06 g", **more: str) -> list[Step]:
    return [_do("sprinkle", dye=name, amount=amount, over=over, grain=grain) for name in NAMES]


ACID = _do("add acid", acid="vinegar 5 %", amount="60 ml")
LAID, HOT, HELD = _do("lay in", width="15 cm"), _do("heat", to="85 C", rate="4 C/min"), _do("hold", time="25 min")


def _wet(volume: str, acid: bool = True) -> list[Step]:
    return [_do("fill", volume=volume), *([ACID] if acid else []), LAID]


def _band(dye: str, over: str, do: str = "pour") -> Step:
    return _do(do, dye=dye, amount="0.04 g", over=over)


SESSIONS: dict[str, list[Step]] = {
    "no free water, steamed": [*_wet("1 l"), _do("squeeze"), *_powder(), _do("steam", time="30 min")],
    "1.5 mm, acid in the soak": [*_wet("0.85 l"), HOT, _do("lid on"), *_powder(), HELD],
    "4 mm": [*_wet("1.3 l"), HOT, *_powder(), HELD],
    "10 mm": [*_wet("2.3 l"), HOT, *_powder(), HELD],
    "1.5 mm, acid afterwards": [*_wet("0.85 l", False), HOT, _do("lid on"), *_powder(), _do("wait", time="10 min"), ACID, HELD],
    "10 mm, acid afterwards": [*_wet("2.3 l", False), HOT, *_powder(), _do("wait", time="10 min"), ACID, HELD],
    "fine grain": [*_wet("1.1 l"), HOT, *_powder(grain="0.06 mm", amount="0.03 g"), HELD],
    "coarse grain": [*_wet("1.1 l"), HOT, *_powder(grain="0.25 mm", amount="0.12 g"), HELD],
    "cold, heated afterwards": [*_wet("1.3 l"), *_powder(), HOT, HELD],
    "at a simmer, 96 C": [*_wet("2.3 l"), _do("heat", to="96 C", rate="4 C/min"), *_powder(), HELD],
    "on melting ice": [*_wet("0.9 l"), _do("ice", amount="400 g"), *_powder(), _do("wait", time="40 min"), HOT, HELD],
    "three rounds and turns": [*_wet("1.3 l"), HOT, *3 * [*_powder(amount="0.025 g"), _do("wait", time="10 min"), _do("turn")], HELD],
    "poured, two bands": [*_wet("0.8 l"), _band("Kelp", "0-2.4 cm"), _band("Ember", "2.4-5 cm"), HOT, HELD],
    "painted, thickened": [
        *_wet("0.7 l"), _do("add thickener", amount="5 g", what="gum"), _band("Kelp", "0-2.4 cm", "paint"), _band("Lichen", "2.4-5 cm", "paint"),
        _do("steam", time="30 min"),
    ],
    "tied off in a bath": [*_wet("1.6 l"), _do("tie off", over="1.5-3.5 cm"), _do("add dye", recipe="Kelp 0.4 %"), HOT, HELD],
    "bath, then powder, turned": [
        *_wet("1.6 l"), _do("add dye", recipe="Lichen 0.05 %"), HOT, HELD, *_powder()[:2], _do("wait", time="10 min"), _do("turn"), HELD,
    ],
}  # fmt: skip


def session(steps: list[Step]) -> Session:
    """Two skeins of 100 g in a pan of 53 x 32 cm."""
    document: dict[str, Any] = {
        "name": "x", "fibre": {"mass": "2 skeins of 100 g"}, "base": {"wool": 1.0, "superwash": True, "skein": "100 g", "length": "400 m", "round": "1.5 m"},
        "water": {"alkalinity": "80 mg/L"}, "vessel": {"shape": "rectangle", "size": "53 x 32 x 10 cm", "lid": False},
        "dye": [{"name": name, "class": "half-milling"} for name in NAMES], "step": steps,
    }  # fmt: skip
    return session_of(read_colourway_document(document))


def soon(whole: Session) -> Session:
    """The session cut off a minute after the last dye was laid; what was dipped or laid on ice is seen then too."""
    last = max((place for place, event in enumerate(whole.events) if isinstance(event, Sprinkle | Pour | Dip | Ice)), default=-1)
    if last < 0:
        last = next(place for place, event in enumerate(whole.events) if isinstance(event, Wait | Heat | Steam)) - 1
    return replace(whole, events=(*whole.events[: last + 1], Wait(SOON_S)))


def look_up(names: tuple[str, ...]) -> Any:
    """Colours of invented dyes over an undyed base."""
    ground = recover(UNDYED).reflectance
    models = {name: fit_dye([Swatch(depth=0.01, lab=Lab(*lab), reading=Reading.INSTRUMENT)], ground) for name, lab in DYES.items()}
    return look_up_of(names, models, {}, ground)


def drawn(patch: Patch) -> Image.Image:
    """A patch at half its size."""
    pixels = patch_pixels(patch.dye, look_up(patch.names), cell_mm=10 * CELL_CM, strand_mm=10 * patch.strand_cm, plies=4, seed=1)
    return Image.fromarray(pixels).resize((WIDE, round(WIDE * pixels.shape[0] / pixels.shape[1])), Image.Resampling.LANCZOS)


def main() -> None:
    """Writes the sheet and prints what is told of each session."""
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "docs" / "explanation" / "models" / "spread_sessions.jpg"
    font = ImageFont.truetype(str(FONT), 16)
    pairs = []
    for name, steps in SESSIONS.items():
        whole = session(steps)
        first, last = run_patch(soon(whole), 1), run_patch(whole, 1)
        print(f"{name}: {' '.join(last.sentences)} {'; '.join(whole.notes)}")
        pairs.append((name, drawn(first), drawn(last)))
    high = pairs[0][1].height + HEAD + GAP
    sheet = Image.new("RGB", (4 * (2 * WIDE + 3 + GAP) + GAP, 4 * high + GAP), (228, 228, 228))
    draw = ImageDraw.Draw(sheet)
    for place, (name, first, last) in enumerate(pairs):
        x, y = GAP + place % 4 * (2 * WIDE + 3 + GAP), GAP + place // 4 * high
        draw.text((x, y), f"{place + 1}. {name}", (22, 22, 22), font=font)
        sheet.paste(first, (x, y + HEAD))
        sheet.paste(last, (x + WIDE + 3, y + HEAD))
    sheet.save(path, quality=80, optimize=True)
    print(path, path.stat().st_size)


if __name__ == "__main__":
    main()
