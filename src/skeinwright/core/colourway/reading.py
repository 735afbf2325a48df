"""The one door to what a colourway says: steps as values and as sentences, their times, and the TOML document."""

from skeinwright.core.colourway.document import read_colourway_document, swatch_files
from skeinwright.core.colourway.document_out import colourway_document
from skeinwright.core.colourway.meaning import AcidSaid, Mix, Place, Recipe, parse_acid, parse_mix, parse_place, parse_recipe
from skeinwright.core.colourway.steps import ALTERNATIVES, MISSING, ReadStep, needed_slots, read_step, read_steps, sentence, sentence_parts
from skeinwright.core.colourway.timing import minutes_of, timing_assumptions

__all__ = [
    "ALTERNATIVES", "MISSING", "AcidSaid", "Mix", "Place", "ReadStep", "Recipe",
    "colourway_document", "minutes_of", "needed_slots", "parse_acid", "parse_mix", "parse_place", "parse_recipe",
    "read_colourway_document", "read_step", "read_steps", "sentence", "sentence_parts", "swatch_files", "timing_assumptions",
]  # fmt: skip
