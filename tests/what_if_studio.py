"""A small skein with powder on it, kept in a studio: the tests of what-if try it."""

from __future__ import annotations

from types import MappingProxyType

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.shelf.kept import Kept
from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.studio import Studio

SHELF = (
    ("dye", {"name": "Kelp"}),
    ("base", {"name": "Small", "fibres": "wool", "skein_g": "15 g", "length_mm": "48 m", "round_mm": "0.8 m"}),
    ("acid", {"name": "Vinegar 5 %", "acid": "vinegar", "strength": "5 %"}),
    ("water", {"name": "Tap", "alkalinity_mg_l": "80 mg/L"}),
    ("vessel", {"name": "Tray", "shape": "rectangle", "length_mm": "30 cm", "width_mm": "20 cm", "height_mm": "8 cm"}),
)


def step(do: str, **said: str) -> Step:
    return Step(do, MappingProxyType(said))


STEPS = (
    step("fill", volume="450 ml"),
    step("add acid", acid="Vinegar 5 %", amount="8 ml"),
    step("lay in", width="12 cm"),
    step("heat", to="85 C", rate="30 C/min"),
    step("sprinkle", dye="Kelp", amount="0.03 g", over="all"),
    step("wait", time="4 min"),
    step("hold", to="88 C", time="4 min"),
)


def keep_rock_pool(studio: Studio) -> Kept[Colourway]:
    """ "Rock pool", on a shelf of its own."""
    for kind, said in SHELF:
        add_to_shelf(studio, kind, said)
    for depth, colour in (("0.3 %", "70, -25, 2"), ("2 %", "42, -38, 0")):
        add_swatch(studio, "Kelp", {"depth": depth, "colour": colour})
    colourway = Colourway(name="Rock pool", fibre="15 g", bases=("Small",), water="Tap", vessel="Tray", steps=STEPS)
    return save_colourway(studio, colourway)[0]
