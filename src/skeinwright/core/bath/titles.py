"""What the dyer's own tests of a bath are called, on their pages and wherever one would tell what is assumed."""

from __future__ import annotations

TEST_TITLES = {
    "alkalinity": "The water's alkalinity, from one pH",
    "liquor": "Samples of liquor over time",
    "superwash": "Superwash against untreated wool",
    "nylon": "Nylon against wool in one pot",
    "evaporation": "Evaporation, by weighing the pot",
}
"""The dyer's own tests that put a value of hers in the place of one of these."""
