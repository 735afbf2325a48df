"""The form of anything that is described by `Ask`: what is asked first, what is folded under "more", and what is wrong beside which field."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.shelf.field import Ask

NUMBERS = frozenset(
    ("mass", "volume", "length", "fraction", "temperature", "time", "alkalinity", "ph", "power", "money", "count", "twist", "lab", "parts", "amounts")
)
"""Kinds that are typed as people say them and echoed as they were understood."""
WIDE = frozenset({"parts", "amounts", "lab"})
CONTROLS = {"long text": "textarea", "date": "date", "link": "url"}
YES_NO = ("yes", "no", "not known")
EXAMPLES = {("mass", "g"): "100 g", ("volume", "ml"): "500 ml", ("length", "m"): "400 m", ("length", "cm"): "30 cm", ("alkalinity", "mg/L"): "120 mg/L"}
"""How an amount is written, by kind and unit: shown in the empty field."""
_QUOTED = re.compile(r"'([^']{2,40})'")
SHOWN = {"us": "US", "au": "Australian"}
"""Choices that are written otherwise on the screen."""
MOST_BUTTONS = 4
"""Up to this many choices stand side by side as buttons; more become a list."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field as it is drawn: its control, what stands in it, and what is wrong with it."""

    name: str
    label: str
    kind: str
    control: str
    value: str
    help: str = ""
    need: bool = False
    choices: tuple[str, ...] = ()
    wrong: str = ""
    hint: str = ""

    @property
    def id(self) -> str:
        """The id of the control on the page."""
        return f"f-{self.name}"

    def shown(self, choice: str) -> str:
        """A choice as it is written on the screen."""
        return SHOWN.get(choice, choice)

    @property
    def is_number(self) -> bool:
        """True where what was understood is said back."""
        return self.kind in NUMBERS

    @property
    def is_wide(self) -> bool:
        """True where the text is longer than a number."""
        return self.kind in WIDE


@dataclass(frozen=True, slots=True)
class Form:
    """A form: the fields asked at once, those folded under "more", and sentences that belong to no single field."""

    first: tuple[Field, ...]
    more: tuple[Field, ...]
    general: tuple[str, ...] = ()
    more_open: bool = False

    @property
    def more_words(self) -> str:
        """What lies under "more", in a few words."""
        words = [_lower(one.label) for one in self.more]
        return ", ".join(words[:4]) + (" …" if len(words) > 4 else "")

    def choosing(self, name: str, choices: Sequence[str]) -> Form:
        """The form with a list to choose from in the field `name`; what stands in it stays a choice."""

        def chosen(one: Field) -> Field:
            return replace(one, control="select", choices=tuple(dict.fromkeys((*choices, one.value)))) if one.name == name else one

        return replace(self, first=tuple(map(chosen, self.first)), more=tuple(map(chosen, self.more)))

    @property
    def is_wrong(self) -> bool:
        """True where anything has to be put right."""
        return bool(self.general) or any(one.wrong for one in (*self.first, *self.more))


def asks(described: type) -> dict[str, Ask]:
    """The fields of a described dataclass that are asked on a form, in order."""
    found = {one.name: one.metadata.get("ask") for one in fields(described)}
    return {name: ask for name, ask in found.items() if isinstance(ask, Ask) and ask.kind != "swatches"}


def form_of(described: type, said: Mapping[str, str], *, adding: bool = False, early: Collection[str] = (), error: Exception | None = None) -> Form:
    """The form for `described`, filled with what was `said`.

    Adding asks only what is needed, and `early` fields that matter from the start, and folds the rest away. What was typed is kept, and each problem
    stands beside its field.
    """
    return form_from(asks(described), said, adding=adding, early=early, error=error)


def form_from(asked: Mapping[str, Ask], said: Mapping[str, str], *, adding: bool = False, early: Collection[str] = (), error: Exception | None = None) -> Form:
    """The same, for fields that belong to no shelf kind."""
    wrong = problems_by_field(error)
    made = [_field(name, ask, said.get(name, ""), wrong.pop(name, "")) for name, ask in asked.items()]
    folded = [one for one in made if one.name not in early and _is_folded(asked[one.name], adding)]
    first = [one for one in made if one not in folded]
    first.sort(key=lambda one: not one.need and one.name not in early)
    is_open = any(one.wrong for one in folded) or (adding and any(said.get(one.name) and one.control not in ("select", "choices") for one in folded))
    return Form(tuple(first), tuple(folded), tuple(wrong.values()), is_open)


def problems_by_field(error: Exception | None) -> dict[str, str]:
    """{field: sentence}; a problem that names no field stands under ""."""
    if error is None:
        return {}
    problems: Iterable[Exception] = error.problems if isinstance(error, ManyBadInputs) else (error,)
    found: dict[str, str] = {}
    for one in problems:
        where = (one.where or "") if isinstance(one, BadInput) else ""
        sentence = getattr(one, "sentence", str(one))
        found[where] = f"{found[where]} {sentence}" if where in found else sentence
    return found


def _is_folded(ask: Ask, adding: bool) -> bool:
    return not ask.need and (adding or ask.more)


def _field(name: str, ask: Ask, value: str, wrong: str) -> Field:
    choices = YES_NO if ask.kind == "yes no" else ask.choices
    if choices:
        control = "choices" if len(choices) <= MOST_BUTTONS and "" not in choices else "select"
        if (ask.kind == "yes no" and not value) or (not value and not ask.need and "not known" in choices):
            value = "not known"
    else:
        control = CONTROLS.get(ask.kind, "text")
    return Field(name, ask.label, ask.kind, control, value, ask.help, ask.need, choices, wrong, _example(ask))


def _example(ask: Ask) -> str:
    """What stands in an empty field: the first example of its help, or how such an amount is written."""
    if ask.kind in ("text", "parts", "amounts") and (quoted := _QUOTED.search(ask.help)):
        return quoted[1]
    return EXAMPLES.get((ask.kind, ask.unit), "") if ask.need or ask.kind == "alkalinity" else "2 %" if ask.label == "Depth of shade" else ""


def _lower(label: str) -> str:
    return label if label[:2].isupper() or label.startswith("pH") else label[:1].lower() + label[1:]
