"""A test of the dyer's own: how much deeper a base looks wet than dry, from pieces seen both ways. One figure a base."""

from __future__ import annotations

import re
from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.calibration import WET, Calibration
from skeinwright.core.shelf.field import ask
from skeinwright.core.shelf.items import Base
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services._typed import Typed
from skeinwright.services.keep_test import Tested, keep_test
from skeinwright.services.read_colour import ColourRequest, read_colour
from skeinwright.services.studio import Studio

_HALVES = re.compile(r"\s+/\s+|\s*(?:\||→|->|=>)\s*")
EXAMPLE = "62, 20, 15 / 48, 24, 19"


@dataclass(frozen=True, kw_only=True, slots=True)
class WetAndDry:
    """As typed: the base, and one line for each piece with its dry and its wet colour. Without lines: what was measured of this base and kept, wet and dry."""

    base: str = ask("Base", "choice", need=True)
    pairs: str = ask(
        "Dry / wet, a line for each piece",
        "long text",
        default="",
        help=f"L, a, b or hex: '{EXAMPLE}'. Leave it empty to take the skeins of this base that you measured wet and dry.",
    )


def measure_wet(studio: Studio, tested: WetAndDry) -> Tested:
    """m with its spread, kept with the base. Raises ManyBadInputs with `where` the fields, or NotFound for an unknown base."""
    import numpy as np

    from skeinwright.core.colour.wet import ASSUMED, FEWEST_PAIRS, fit_wetness
    from skeinwright.core.learn.wet_pairs import wet_pairs

    with studio.store.reading() as reading:
        typed = Typed(tested, reading.settings().habits())
        base = reading.item("base", tested.base).thing
        kept = [] if tested.pairs.strip() else [one.thing for one in reading.readings()]
    assert isinstance(base, Base)
    pairs = _typed_pairs(typed) if tested.pairs.strip() else [(dry.lab, wet.lab) for dry, wet in wet_pairs(kept, base.name)]
    if not typed.problems and len(pairs) < FEWEST_PAIRS:
        typed.wrong("pairs", f"{FEWEST_PAIRS} pieces or more have to be seen wet and dry; there are {len(pairs)}. One line each, such as '{EXAMPLE}'.")
    typed.check()
    found = fit_wetness(pairs)
    if not 1.05 < found.m < 7.5:
        raise BadInput("These pieces look no deeper wet than dry, or far too much so: look again at which is which.", where="pairs")
    spread = 1.645 * found.log_sd
    low, high = float(found.m * np.exp(-spread)), float(found.m * np.exp(spread))
    made = Calibration("wet", "base", base.name, WET, found.m, low, high, "times K/S", studio.now().date(), note=f"{len(pairs)} pieces")
    sentences = (
        f"{base.name} looks {found.m:.1f} times as deep wet as dry ({low:.1f} to {high:.1f}), measured as K/S.",
        f"With that one figure the pieces come within {found.left_de00:.1f} of their wet colour (CIEDE2000, mean).",
    )
    before = np.exp(1.645 * ASSUMED.log_sd)
    assumed = (
        f"Before the test: {ASSUMED.m:.1f} times ({ASSUMED.m / before:.1f} to {ASSUMED.m * before:.1f}).",
        "A wet reading is off by 2 in each of L*, a*, b*, one standard deviation, and glare was kept out.",
        "It holds for yarn as wet as this was: a soaked skein, or one that was spun out.",
    )
    return keep_test(studio, [made], sentences=sentences, assumed=assumed)


def _typed_pairs(typed: Typed) -> list[tuple[Lab, Lab]]:
    found = []
    for number, line in enumerate((one.strip() for one in re.split(r"[\n;]+", typed.said["pairs"]) if one.strip()), 1):
        halves = [one for one in _HALVES.split(line) if one]
        try:
            if len(halves) != 2:
                raise BadInput(f"Write the dry and the wet colour, parted by a stroke, such as '{EXAMPLE}'.")
            dry, wet = (read_colour(ColourRequest(text=half)).lab for half in halves)
            found.append((dry, wet))
        except BadInput as problem:
            typed.wrong("pairs", f"Line {number}, '{line[:40]}': {problem.sentence}")
    return found
