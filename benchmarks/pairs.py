"""The "after" halves of the pairs in docs/explanation/models/yarn.md: two dyeings laid out as those of the first drawing code were, on a ring in a pan.

Painted: violet over one end, white beside it, yellow-green, green, dark specks over all. Speckled: four colours of powder on white. Dyes are invented.
"""

from __future__ import annotations

from pathlib import Path

from contact_sheet import BASES, GAUGES, UNDYED, Shown, keep, model

from skeinwright.core.colour.recover import recover
from skeinwright.core.forecast.skein_colour import cell_colours, colour_lookup, sharpest_place
from skeinwright.core.picture.knitted import Knit
from skeinwright.core.picture.light import Pixels
from skeinwright.core.picture.look import look_of
from skeinwright.core.picture.of_map import WET_VIEWS, View, picture_of_map, relaxed_look
from skeinwright.core.picture.pan import Pan
from skeinwright.core.spread.yarn_path import path_of
from skeinwright.core.yarn.knitting import stitch_length_mm
from skeinwright.core.yarn.relaxation import relaxation_of
from skeinwright.services.lay_dye import LayRequest, lay_dye

ROUND_MM, BREADTH_MM = 1100.0, 132.0
"""A small skein, so that it lies in its pan as a ring, as the skeins of the first drawings did."""
PAN = {"length_mm": 600.0, "width_mm": 360.0, "circular": False}
DYES = {
    "Foxglove": (46.0, 42.0, -40.0), "Catkin": (68.0, -14.0, 44.0), "Duckweed": (68.0, -40.0, 28.0), "Soot": (20.0, 6.0, 0.0),
    "Damson": (28.0, 42.0, -30.0), "Verdigris": (66.0, -44.0, 8.0), "Olive": (48.0, -8.0, 38.0), "Briar": (36.0, 26.0, 8.0),
}  # fmt: skip
"""Invented dyes: Lab (D65, 10 degree) at 1 % on an undyed base."""
_HEAD = """
name = "{name}"
[fibre]
mass = "100 g"
[base]
wool = 0.75
nylon = 0.25
superwash = true
skein = "100 g"
length = "400 m"
round = "1.1 m"
plies = 4
twist = "high"
[water]
volume = "0.9 L"
alkalinity = "80 mg/L"
[vessel]
shape = "rectangle"
size = "60 x 36 x 10 cm"
lid = true
"""
_DYE = '[[dye]]\nname = "{}"\nclass = "not known"\n'
_BEFORE = '[[step]]\ndo = "add acid"\nacid = "vinegar 5 %"\namount = "90 ml"\n[[step]]\ndo = "lay in"\nwidth = "26.4 cm"\n[[step]]\ndo = "heat"\nto = "88 C"\n'
_PAINT = '[[step]]\ndo = "paint"\ndye = "{}"\namount = "{} g"\nover = "{} cm"\n'
_POWDER = '[[step]]\ndo = "sprinkle"\ndye = "{}"\namount = "{} g"\nover = "all"\ngrain = "{} mm"\n'
_AFTER = '[[step]]\ndo = "wait"\ntime = "8 min"\n[[step]]\ndo = "rinse"\n'
PAINTED = (("Foxglove", 0.42, "86-110 cm, 0-22"), ("Catkin", 0.30, "27-55"), ("Duckweed", 0.30, "55-86"))
SPECKS = (("Damson", 0.05, 0.20), ("Verdigris", 0.075, 0.20), ("Olive", 0.07, 0.20), ("Briar", 0.03, 0.18))


def painted() -> str:
    """The steps of the painted skein, as a file."""
    steps = "".join(_PAINT.format(*one) for one in PAINTED) + _POWDER.format("Soot", 0.04, 0.24)
    return _document("Painted", ("Foxglove", "Catkin", "Duckweed", "Soot"), steps)


def speckled() -> str:
    """The steps of the speckled skein, as a file."""
    return _document("Speckled", tuple(name for name, _, _ in SPECKS), "".join(_POWDER.format(*one) for one in SPECKS))


def _document(name: str, dyes: tuple[str, ...], steps: str) -> str:
    return _HEAD.format(name=name) + "".join(_DYE.format(dye) for dye in dyes) + _BEFORE + steps + _AFTER


def shown(document: str, quick: bool = False) -> Shown:
    """The map that the model of spreading makes of the steps, in the colours of this file."""
    laid = lay_dye(LayRequest(document=document.encode(), quick=quick, threads=2))
    skein, ground = laid.skein, recover(UNDYED).reflectance
    look_up = colour_lookup(skein.names, {name: model(DYES[name], ground) for name in skein.names}, ground)
    look, _ = look_of(BASES[0])
    kept = relaxation_of(BASES[0])
    dry = skein.relaxed(kept.length.value, kept.width.value, kept.mixing.value)
    dried = relaxed_look(look, kept.length.value, kept.width.value)
    return Shown(BASES[0], look, dried, skein, dry, cell_colours(skein, look_up), cell_colours(dry, look_up))


def picture(one: Shown, view: str, *, width: int = 600, height: int = 400) -> Pixels:
    """A view of it, as large as that of the first drawing code."""
    wet = view in WET_VIEWS
    skein, colours = (one.wet, one.wet_colours) if wet else (one.dry, one.dry_colours)
    asked = View(
        view=view, width=width, height=height, at=sharpest_place(colours), knit=Knit(stitch_mm=stitch_length_mm(GAUGES[one.base.name] / 100.0), stitches=64),
        pan=Pan(**PAN, round_mm=ROUND_MM, breadth_mm=BREADTH_MM, strands=skein.strands),
    )  # fmt: skip
    return picture_of_map(asked, colours, one.look if wet else one.dried, path_of(skein))


def pairs_for_docs(folder: Path, *, quick: bool = False) -> None:
    """Writes them."""
    for name, document, views in (
        ("painted", painted(), ("in the pan", "knitted")),
        ("speckled", speckled(), ("in the pan", "knitted", "twisted", "close up")),
    ):
        one = shown(document, quick)
        for view in views:
            keep(folder, f"after-{name}-{view.replace(' ', '-')}", picture(one, view))
