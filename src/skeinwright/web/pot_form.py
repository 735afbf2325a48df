"""What the page asks of a pot besides its steps: sliders that change nothing for good, and a pH that was read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from skeinwright.core.bath.what_if import WhatIf
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.lot.ph_read import READ_WITH, typed_ph
from skeinwright.services.follow_pot import PotQuestion


@dataclass(frozen=True, slots=True)
class Slider:
    """One range input: its field, its label, its ends and step, where it stands, and the same in words."""

    field: str
    id: str
    label: str
    low: float
    high: float
    step: float
    value: float
    said: str


_SLIDERS = (
    ("what.dye", "All the dye", 0.2, 3.0, 0.05, 1.0),
    ("what.acid", "All the acid", 0.0, 3.0, 0.05, 1.0),
    ("what.hotter", "Hottest", -30.0, 15.0, 1.0, 0.0),
)
FIELDS = (*(one[0] for one in _SLIDERS), "read.ph", "read.by", "read.step")


@dataclass(frozen=True, slots=True)
class PotAsked:
    """The sliders, the reading as typed, what it comes to, and what is wrong with it ("" where nothing is)."""

    sliders: tuple[Slider, ...]
    ph: str
    by: str
    step: str
    question: PotQuestion
    wrong: str = ""

    @property
    def is_open(self) -> bool:
        """True where something was asked, so that the fold stays open."""
        return bool(self.question.what) or bool(self.ph)


def asked_in(said: Mapping[str, str]) -> PotAsked:
    """What stands in the fields; a slider that makes no sense stands where the plan has it."""
    sliders = tuple(_slider(said.get(field, ""), field, label, low, high, step, usual) for field, label, low, high, step, usual in _SLIDERS)
    what = WhatIf(*(one.value for one in sliders))
    ph, by, step = said.get("read.ph", "").strip(), said.get("read.by", "strip"), said.get("read.step", "")
    by = by if by in READ_WITH else "strip"
    try:
        read, wrong = typed_ph(ph, by, step), ""
    except BadInput as error:
        read, wrong = None, error.sentence
    return PotAsked(sliders, ph, by, step, PotQuestion(what=what, read=read), wrong)


def _slider(text: str, field: str, label: str, low: float, high: float, step: float, usual: float) -> Slider:
    try:
        value = round(round(min(high, max(low, float(text))) / step) * step, 4) if text else usual
    except ValueError:  # words, or no number at all
        value = usual
    return Slider(field, field.replace(".", "-"), label, low, high, step, value, said_of(field, value))


def said_of(field: str, value: float) -> str:
    """Where a slider stands, in words."""
    if field == "what.hotter":
        return "as planned" if value == 0 else f"{abs(value):g} °C {'hotter' if value > 0 else 'cooler'}"
    return "as planned" if value == 1 else f"{value:g} times"
