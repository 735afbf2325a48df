"""Draws twelve invented colourways on three bases in every view, to out/contact_<base>.png and out/contact_close.png: to be looked at.

python benchmarks/contact_sheet.py [--only BASE] [--docs FOLDER]

`--docs` writes what docs/explanation/models/yarn.md shows instead: the "after" halves of its pairs (`pairs.py`), and small sheets of all three bases.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from skeinwright.core.colour.ladder import DyeModel, fit_dye
from skeinwright.core.colour.recover import recover
from skeinwright.core.colourway.colourway import SkeinGeometry
from skeinwright.core.forecast.skein_colour import cell_colours, colour_lookup, sharpest_place
from skeinwright.core.picture.knitted import Knit
from skeinwright.core.picture.light import MAT, Floats, Pixels
from skeinwright.core.picture.look import StrandLook, look_of
from skeinwright.core.picture.of_map import MAP_VIEWS, WET_VIEWS, View, picture_of_map, relaxed_look, strips
from skeinwright.core.picture.pan import Pan
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.swatch import Lab, Reading, Swatch
from skeinwright.core.spread.ideal import Dyeing, begin, dip, immerse, kettle, paint, pour, tie_off, withdraw
from skeinwright.core.spread.skein_map import SkeinMap, blank_map
from skeinwright.core.spread.yarn_path import path_of
from skeinwright.core.yarn.knitting import stitch_length_mm
from skeinwright.core.yarn.relaxation import relaxation_of
from skeinwright.files.pictures import picture_bytes

UNDYED = Lab(91.0, 0.2, 9.0)
DYES = {
    "Kelp": (42.0, -16.0, 8.0), "Ember": (52.0, 42.0, 38.0), "Rosehip": (40.0, 50.0, 16.0), "Sloe": (26.0, 12.0, -22.0), "Lichen": (76.0, -8.0, 52.0),
    "Tarn": (40.0, -12.0, -26.0), "Bracken": (46.0, 18.0, 34.0), "Heather": (52.0, 24.0, -20.0), "Slate": (38.0, -2.0, -8.0), "Moss": (50.0, -14.0, 30.0),
    "Shell": (74.0, 20.0, 14.0), "Peat": (22.0, 6.0, 8.0),
}  # fmt: skip
"""Invented dyes: Lab (D65, 10 degree) at 1 % on an undyed base."""
BASES = (
    Base(name="Quay Sock", fibres=(("wool", 0.75), ("nylon", 0.25)), skein_g=100.0, length_mm=400_000.0, plies=4, twist="high", round_mm=1500.0),
    Base(name="Fell Two", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=230_000.0, plies=2, twist="soft", round_mm=1500.0),
    Base(name="Lamb Single", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=360_000.0, plies=1, twist="soft", round_mm=1500.0),
)
GAUGES = {"Quay Sock": 30.0, "Fell Two": 21.0, "Lamb Single": 26.0}
Step = Callable[[Dyeing], Dyeing]


def _each(*bands: tuple[str, float, float, float]) -> list[Step]:
    """Painted bands: dye, depth on the whole skein per cent, from and to in cm."""
    return [lambda d, b=band: paint(d, {b[0]: b[1] / 100}, [(10 * b[2], 10 * b[3])]) for band in bands]


COLOURWAYS: dict[str, list[Step]] = {
    "Tidewrack": [lambda d: immerse(d, {"Kelp": 0.005, "Slate": 0.002})],
    "Three shores": _each(("Tarn", 0.45, 0, 50), ("Lichen", 0.25, 50, 100), ("Ember", 0.4, 100, 150)),
    "Hedge": _each(("Rosehip", 0.35, 0, 30), ("Moss", 0.4, 30, 75), ("Sloe", 0.3, 75, 100), ("Moss", 0.15, 100, 150)),
    "First frost": [lambda d: immerse(d, {"Heather": 0.0012}), *_each(("Sloe", 0.12, 20, 34), ("Shell", 0.08, 80, 100))],
    "Dipped in dusk": [lambda d: dip(d, {"Sloe": 0.004, "Tarn": 0.003}, [(380.0, 1120.0)])],
    "Long evening": [lambda d: withdraw(d, {"Heather": 0.004, "Ember": 0.0012})],
    "Kept white": [lambda d: tie_off(d, [(0.0, 90.0), (480.0, 560.0), (950.0, 1080.0)]), lambda d: immerse(d, {"Tarn": 0.006})],
    "Kettle moor": [lambda d: immerse(d, {"Shell": 0.0012}), lambda d: kettle(d, {"Bracken": 0.003}), lambda d: kettle(d, {"Heather": 0.002}, points=5)],
    "Orchard": _each(("Lichen", 0.2, 0, 60), ("Moss", 0.3, 60, 90), ("Ember", 0.15, 90, 105), ("Rosehip", 0.15, 105, 118), ("Shell", 0.1, 118, 150)),
    "Rope and tar": _each(("Peat", 0.9, 0, 75), ("Bracken", 0.12, 75, 150)),
    "Poured rain": [lambda d: pour(d, {"Slate": 0.002}, [(100.0, 420.0), (800.0, 1050.0)]), lambda d: pour(d, {"Tarn": 0.002}, [(500.0, 760.0)])],
    "Pebble": _each(*[(("Slate", "Peat", "Shell", "Bracken")[k % 4], (0.10, 0.07, 0.08, 0.07)[k % 4], 12.5 * k, 12.5 * k + 8) for k in range(12)]),
}


@dataclass(frozen=True)
class Shown:
    """A base's geometry, and a colourway on it, wet and dried."""

    base: Base
    look: StrandLook
    dried: StrandLook
    wet: SkeinMap
    dry: SkeinMap
    wet_colours: Floats
    dry_colours: Floats


def show(base: Base, steps: list[Step], seed: int = 1) -> Shown:
    """The maps and their colours."""
    ground = recover(UNDYED).reflectance
    models = {name: model(lab, ground) for name, lab in DYES.items()}
    geometry = SkeinGeometry(skein_g=base.skein_g, length_mm=base.length_mm, round_mm=base.round_mm or 1500.0)
    dyeing = begin(blank_map(tuple(DYES), geometry, base=base.name), seed=seed)
    for step in steps:
        dyeing = step(dyeing)
    look, _ = look_of(base)
    kept = relaxation_of(base)
    dry = dyeing.skein.relaxed(kept.length.value, kept.width.value, kept.mixing.value)
    look_up = colour_lookup(dyeing.skein.names, models, ground)
    dried = relaxed_look(look, kept.length.value, kept.width.value)
    return Shown(base, look, dried, dyeing.skein, dry, cell_colours(dyeing.skein, look_up), cell_colours(dry, look_up))


def picture(shown: Shown, view: str, *, width: int, height: int) -> Pixels:
    """One view of it."""
    wet = view in WET_VIEWS
    skein, colours = (shown.wet, shown.wet_colours) if wet else (shown.dry, shown.dry_colours)
    asked = View(
        view=view, width=width, height=height, round_mm=1230.0, at=sharpest_place(colours),
        knit=Knit(stitch_mm=stitch_length_mm(GAUGES[shown.base.name] / 100.0), stitches=64),
        pan=Pan(length_mm=500.0, width_mm=300.0, circular=False, round_mm=skein.round_mm, breadth_mm=110.0, strands=skein.strands),
    )  # fmt: skip
    return picture_of_map(asked, colours, shown.look if wet else shown.dried, path_of(skein))


def sheet(base: Base, names: list[str], *, width: int = 420, height: int = 280) -> Pixels:
    """Rows of colourways, columns of views."""
    rows = []
    for name in names:
        shown = show(base, COLOURWAYS[name])
        rows.append(np.concatenate([picture(shown, view, width=width, height=height) for view in MAP_VIEWS], axis=1))
    gap = np.full((4, rows[0].shape[1], 3), MAT, dtype=np.uint8)
    return np.concatenate([part for row in rows for part in (row, gap)])


def for_docs(folder: Path) -> None:
    """The pictures that stand beside those of the first drawing code, one of each view that is new, and the sheets."""
    from pairs import pairs_for_docs

    pairs_for_docs(folder)
    keep(folder, "after-laid-open", picture(show(BASES[0], COLOURWAYS["Hedge"]), "laid open", width=600, height=400))
    cable = Base(name="Eight in a cable", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=200_000.0, plies=8, twist="high", round_mm=1500.0)
    GAUGES[cable.name] = 20.0
    keep(folder, "after-cable", picture(show(cable, COLOURWAYS["Long evening"]), "close up", width=600, height=400))
    for base in BASES:
        keep(folder, f"sheet-{base.name.replace(' ', '-').lower()}", sheet(base, list(COLOURWAYS), width=156, height=104), quality=64)


def model(lab: tuple[float, float, float], ground: Floats) -> DyeModel:
    return fit_dye([Swatch(depth=0.01, lab=Lab(*lab), reading=Reading.INSTRUMENT)], ground)


def keep(folder: Path, name: str, pixels: Pixels, *, quality: int = 76) -> None:
    (folder / f"{name}.jpg").write_bytes(picture_bytes(pixels, "jpeg", quality=quality))


def main() -> None:
    """Writes the sheets."""
    if len(sys.argv) > 2 and sys.argv[1] == "--docs":
        for_docs(Path(sys.argv[2]))
        return
    out = Path("out")
    out.mkdir(exist_ok=True)
    only = sys.argv[2] if len(sys.argv) > 2 else ""
    for base in BASES:
        if only and base.name != only:
            continue
        path = out / f"contact_{base.name.replace(' ', '_').lower()}.png"
        path.write_bytes(picture_bytes(sheet(base, list(COLOURWAYS))))
        shown = show(base, COLOURWAYS["Three shores"])
        knit = Knit(stitch_mm=stitch_length_mm(GAUGES[base.name] / 100.0))
        thin = strips((56, 60, 64, 68, 72), knit, 60, shown.dry_colours, shown.dried, path_of(shown.dry))
        (out / f"strips_{base.name.replace(' ', '_').lower()}.png").write_bytes(picture_bytes(thin))
        print(path)


if __name__ == "__main__":
    main()
