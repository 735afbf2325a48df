"""Change the studio's settings."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any, cast

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import Habits, parse, write
from skeinwright.core.shelf.field import Ask
from skeinwright.core.shelf.kept import Change
from skeinwright.core.shelf.settings import Settings
from skeinwright.services.studio import Studio

LONGEST = 200
ASKS: dict[str, Ask] = {field.name: cast(Ask, field.metadata["ask"]) for field in dataclasses.fields(Settings) if "ask" in field.metadata}


def change_settings(studio: Studio, said: Mapping[str, str]) -> tuple[Settings, Change | None]:
    """The settings with what was said, by field name, and the change (None where nothing changed).

    An empty text sets the default, what is not said stays. Raises ManyBadInputs.
    """
    with studio.store.writing() as writing:
        before = writing.settings()
        settings = dataclasses.replace(read_settings(said, before), begun=True)
        labels = [ask.label for name, ask in ASKS.items() if getattr(settings, name) != getattr(before, name)]
        if not labels:
            return writing.set_settings(settings), None
        writing.change_settings(settings, now=studio.now(), sentence=f"Changed in the settings: {', '.join(labels)}.")
        return settings, writing.made[-1]


def say_settings(studio: Studio) -> dict[str, str]:
    """Every setting in words that `change_settings` reads back."""
    with studio.store.reading() as reading:
        settings = reading.settings()
    return {name: _say(ask, getattr(settings, name), settings.habits()) for name, ask in ASKS.items()}


def read_settings(said: Mapping[str, str], present: Settings) -> Settings:
    """`present` with what was said. Raises ManyBadInputs; each `where` is a field."""
    problems = [BadInput(f"There is no setting '{name[:60]}'. There are {', '.join(ASKS)}.", where=name[:60]) for name in said if name not in ASKS]
    values: dict[str, Any] = {}
    for name, ask in ASKS.items():
        if name not in said:
            continue
        try:
            values[name] = _read(name, ask, said[name].strip(), present.habits())
        except BadInput as problem:
            problems.append(problem)
    changed = dataclasses.replace(present, **values)
    if changed.drain_low_ph >= changed.drain_high_ph:
        problems.append(BadInput("The lowest pH of the drain must be below the highest.", where="drain_low_ph"))
    if problems:
        raise ManyBadInputs(tuple(problems))
    return changed


def _read(name: str, ask: Ask, typed: str, habits: Habits) -> Any:
    if not typed:
        return next(field.default for field in dataclasses.fields(Settings) if field.name == name)
    if ask.kind == "text":
        if len(typed) > LONGEST or not typed.isprintable():
            raise BadInput(f"{ask.label} is one line of at most {LONGEST} characters.", where=name, text=typed)
        return typed
    if ask.kind == "choice":
        if typed.casefold() not in ask.choices:
            raise BadInput(f"'{typed[:40]}' is none of: {', '.join(ask.choices)}.", where=name, text=typed)
        return typed.casefold()
    value = parse(ask.kind, typed, where=name, habits=habits).value
    if name == "drop_ml" and not 0.01 <= value <= 0.5:
        raise BadInput("A drop of water has about 0.05 ml; this is not between 0.01 and 0.5 ml.", where=name, text=typed)
    if name == "altitude_m" and not 0 <= value <= 6000:
        raise BadInput("The height above sea level lies between 0 and 6000 m.", where=name, text=typed)
    return round(value) if ask.kind == "money" else value


def _say(ask: Ask, value: Any, habits: Habits) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if ask.kind == "money":
        return write("money", value, habits.currency or None)
    return write(ask.kind, value, None if ask.kind == "count" else ask.unit or None, habits=habits)
