"""A colourway as the plain data of its file, ready for TOML; `document` reads it back as the same colourway."""

from __future__ import annotations

from dataclasses import MISSING
from dataclasses import fields as dataclass_fields
from typing import Any

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.document import SHORT
from skeinwright.core.foundations.quantities import shares_of, write
from skeinwright.core.shelf.items import Base, Dye, Item, Vessel
from skeinwright.core.shelf.reading import fields, say_item
from skeinwright.core.shelf.swatch_document import swatch_table


def colourway_document(colourway: Colourway, *, swatch_file: str = "") -> dict[str, Any]:
    """The document (plain data, ready for TOML) that reads back as the same colourway.

    With `swatch_file` dyes name that file for their swatches; without it the swatches are written in full.
    """
    document: dict[str, Any] = {"name": colourway.name}
    for key in ("notes", "over"):
        if getattr(colourway, key):
            document[key] = getattr(colourway, key)
    if len(colourway.bases) == 1 and colourway.own_base is None:
        document["base"] = colourway.bases[0]
    elif colourway.bases:
        document["bases"] = list(colourway.bases)
    for key in ("water", "vessel"):
        if getattr(colourway, key):
            document[key] = getattr(colourway, key)
    document["fibre"] = {"mass": colourway.fibre}
    document |= _own(colourway)
    if colourway.own_dyes:
        document["dye"] = [_say_dye(dye, swatch_file) for dye in colourway.own_dyes]
    if colourway.steps:
        document["step"] = [{"do": step.do, **step.said} for step in colourway.steps]
    return document


def _own(colourway: Colourway) -> dict[str, Any]:
    own: dict[str, Any] = {}
    if colourway.own_base is not None:
        own["base"] = _say_base(colourway.own_base)
    if colourway.own_water is not None:
        volume = {"volume": colourway.water_volume} if colourway.water_volume else {}
        own["water"] = volume | _say_own(colourway.own_water, "this water")
    if colourway.own_vessel is not None:
        own["vessel"] = _say_vessel(colourway.own_vessel)
    return own


def _say_own(item: Item, unnamed: str) -> dict[str, Any]:
    """An item under the file's words; what is not known, or goes without saying, is left out."""
    back = {field: word for word, field in SHORT.get(item.kind, {}).items()}
    defaults = {field.name: field.default for field in dataclass_fields(item) if field.default is not MISSING}
    table: dict[str, Any] = {}
    for name, text in say_item(item).items():
        value = getattr(item, name)
        if text == "" or (name == "name" and text == unnamed) or (name in defaults and defaults[name] == value):
            continue
        table[back.get(name, name)] = value if isinstance(value, bool) or (isinstance(value, int) and text == str(value)) else text
    return table


def _say_vessel(vessel: Vessel) -> dict[str, Any]:
    """A vessel with its three lengths as one size, in cm."""
    table = _say_own(vessel, "this vessel")
    lengths = [vessel.length_mm, vessel.width_mm, vessel.height_mm] if vessel.shape == "rectangle" else [vessel.length_mm, vessel.height_mm]
    if (vessel.shape == "round" and vessel.width_mm is not None) or None in lengths:
        return table
    for key in ("length_mm", "width_mm", "height_mm"):
        table.pop(key, None)
    said = [write("length", length, "cm").removesuffix(" cm") for length in lengths if length is not None]
    return {key: table[key] for key in ("name", "shape") if key in table} | {"size": " x ".join(said) + " cm"} | table


def _say_base(base: Base) -> dict[str, Any]:
    table = _say_own(base, "this base")
    known = {name for name, _ in fields("base")} | set(SHORT["base"])
    exact = sum(share for _, share in base.fibres) == 1.0 and shares_of(dict(base.fibres)) == base.fibres
    if exact and not any(name in known for name, _ in base.fibres):
        table.pop("fibres")
        table = {key: table[key] for key in ("name",) if key in table} | dict(base.fibres) | table
    return table


def _say_dye(dye: Dye, swatch_file: str) -> dict[str, Any]:
    table = _say_own(dye, "")
    if dye.swatches:
        table["swatches"] = swatch_file if swatch_file else [swatch_table(swatch) for swatch in dye.swatches]
    return table
