"""What a typed value was understood as, to be said back beside the field."""

from __future__ import annotations

from skeinwright.core.foundations.quantities import Habits, parse, parse_amounts, parse_parts, write_amounts, write_parts
from skeinwright.core.shelf.lab_text import parse_lab, write_lab
from skeinwright.core.shelf.reading import read_twist
from skeinwright.services.studio import Studio


def understand_text(studio: Studio, kind: str, text: str, field: str = "") -> str:
    """`text` of a field of this kind (as `Ask.kind` names it), as it was understood: "3 tbsp = 44.4 ml". "" for nothing typed.

    `field` is the field's name: a fibre's parts are said back in per cent. Raises BadInput with the sentence to stand beside the field.
    """
    if not text.strip():
        return ""
    with studio.store.reading() as reading:
        habits: Habits = reading.settings().habits()
    match kind:
        case "parts":
            return write_parts(parse_parts(text, where=field), percent=field == "fibres")
        case "amounts":
            return write_amounts(parse_amounts(text, where=field, habits=habits))
        case "lab":
            lab = parse_lab(text, where=field)
            return f"L* a* b* {write_lab(lab)}" + ("" if "D65" in text or (lab.illuminant, lab.observer) != ("D65", 10) else " under D65, 10 degree")
        case "twist":
            return read_twist(text, where=field)
        case "fraction" if field in ("strength", "depth"):
            return parse("strength" if field == "strength" else "fraction", text, where=field, habits=habits).echo
    return parse(kind, text, where=field, habits=habits).echo
