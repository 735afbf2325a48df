"""How a shelf fact is asked for, typed, imported and written: one description that every rim of the program reads.

A shelf object (`Dye`, `Base`, ...) is a frozen dataclass. Each of its fields carries a `Ask` in its metadata: the label on the form,
the kind of text that is understood, whether it must be given, and one sentence of help. The web form, the CSV and TOML import, the export
and the journal all read this description, so a field is added in one place.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

Kind = Literal[
    "text",  # one line
    "long text",
    "choice",  # one of `choices`
    "yes no",  # yes / no / not known
    "date",  # 2026-11-24
    "link",
    "mass",  # grams inside
    "volume",  # millilitres inside
    "length",  # millimetres inside
    "fraction",  # 0-1 inside, per cent at the rim
    "temperature",  # C inside
    "time",  # seconds inside
    "alkalinity",  # mg/L as CaCO3 inside
    "ph",
    "power",  # watts inside
    "money",  # minor units (cents, pence) inside
    "count",
    "twist",  # "soft", "medium", "high" or turns per metre
    "lab",  # L*, a*, b*
    "parts",  # ((name, share), ...)
    "amounts",  # ((name, grams), ...)
    "swatches",  # tuple of Swatch; edited on a page of their own
]


@dataclass(frozen=True, slots=True)
class Ask:
    """The description of one field at the rim."""

    label: str
    kind: Kind
    need: bool = False
    help: str = ""
    choices: tuple[str, ...] = ()
    unit: str = ""
    """The unit in which the value is written out ("g", "ml", "cm", "m", "W")."""
    more: bool = False
    """True for what is asked only under "more": adding asks only what it must."""


def ask(
    label: str, kind: Kind, *, default: Any = ..., need: bool = False, help: str = "", choices: tuple[str, ...] = (), unit: str = "", more: bool = False
) -> Any:
    """A dataclass field with its `Ask`; `default` is required unless `need` is true."""
    described = {"ask": Ask(label, kind, need, help, choices, unit, more)}
    if default is ...:
        return field(metadata=described)
    return field(default=default, metadata=described)
