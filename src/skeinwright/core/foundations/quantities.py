"""Quantities as dyers say them: the one door through which every rim reads and writes amounts.

`parse` reads one quantity of a known kind; the `parse_*` functions read what may be one of several kinds. `say` writes for the eye, `write` exactly.
"""

from skeinwright.core.foundations.doses import FibreMass, parse_dose, parse_fibre, parse_size, parse_water
from skeinwright.core.foundations.measured import Quantity, parse
from skeinwright.core.foundations.numbers import say_number, write_number
from skeinwright.core.foundations.parts import Parts, parse_amounts, parse_doses, parse_parts, shares_of, write_amounts, write_parts
from skeinwright.core.foundations.say import say, write
from skeinwright.core.foundations.units import HABITS, Habits, Kind, Spoons

__all__ = [
    "HABITS", "FibreMass", "Habits", "Kind", "Parts", "Quantity", "Spoons",
    "parse", "parse_amounts", "parse_dose", "parse_doses", "parse_fibre", "parse_parts", "parse_size", "parse_water",
    "say", "say_number", "shares_of", "write", "write_amounts", "write_number", "write_parts",
]  # fmt: skip
