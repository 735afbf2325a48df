"""What was typed into the fields of a test, read one by one, with all that is wrong told at once."""

from __future__ import annotations

import re
from dataclasses import fields
from math import nan
from typing import Any

from skeinwright.core.foundations.errors import BadInput, ManyBadInputs
from skeinwright.core.foundations.quantities import Habits, parse

_LINE = re.compile(r"^(?:\d+[.)]\s+)?(?P<time>.+?)\s*[:=;,\t ]\s*(?P<share>[\d.,½¼¾⅓⅔/]+\s*%)\s*$")
_TIMES = re.compile(r"\s*(?:times|x|×)?\s*$", re.IGNORECASE)


class Typed:
    """Reads fields of `request` (a dataclass of texts). A field that is wrong gives nought or not a number; `check` then raises all problems together."""

    def __init__(self, request: Any, habits: Habits) -> None:
        self.said: dict[str, str] = {one.name: getattr(request, one.name).strip() for one in fields(request)}
        self.habits = habits
        self.problems: list[BadInput] = []

    def amount(self, field: str, kind: str, *, least: float | None = 0.0, most: float | None = None, sentence: str = "") -> float:
        """A quantity that must be given, in its base unit, above `least` (None: any) and not above `most`; else `sentence` is told."""
        try:
            value = parse(kind, self.said[field], where=field, habits=self.habits).value
        except BadInput as problem:
            self.problems.append(problem)
            return nan
        if (least is not None and value <= least) or (most is not None and value > most):
            self.wrong(field, sentence or "This must be more than nothing.")
            return nan
        return value

    def maybe(self, field: str, kind: str, **limits: Any) -> float | None:
        """The same for a field that may stay empty."""
        return self.amount(field, kind, **limits) if self.said[field] else None

    def choice(self, field: str, choices: tuple[str, ...]) -> str:
        """One of the choices."""
        found = self.said[field].casefold()
        if found not in choices:
            self.wrong(field, f"Choose {' or '.join(choices)}.")
        return found

    def times(self, field: str) -> float:
        """How many times: "2.5", "2.5 times", or "250 %"."""
        text = self.said[field]
        try:
            value = parse("fraction", text, habits=self.habits).value if "%" in text else float(_TIMES.sub("", text).replace(",", "."))
        except (BadInput, ValueError):
            value = nan
        if not 0 < value < 1000:
            self.wrong(field, "Say how many times as deep, such as '2.5 times'; as deep is '1'.")
            return nan
        return value

    def lines(self, field: str, example: str) -> list[tuple[float, float]]:
        """(seconds, share) of lines such as "5 min 62 %"; shares above 1 stay as they were read."""
        found = []
        for number, line in enumerate((one for one in re.split(r"[\n;]+", self.said[field]) if one.strip()), 1):
            matched = _LINE.match(line.strip())
            try:
                if matched is None:
                    raise BadInput(f"Write a time and a share, such as '{example}'.")
                time_s = parse("time", matched["time"], habits=self.habits).value
                share = parse("fraction", matched["share"], habits=self.habits).value
                if time_s <= 0:
                    raise BadInput("The time is counted from when the yarn went in.")
                found.append((time_s, share))
            except BadInput as problem:
                self.wrong(field, f"Line {number}, '{line.strip()[:40]}': {problem.sentence}")
        return found

    def wrong(self, field: str, sentence: str) -> None:
        """Notes a problem of one field."""
        self.problems.append(BadInput(sentence, where=field, text=self.said.get(field, "")))

    def check(self) -> None:
        """Raises ManyBadInputs where anything was wrong."""
        if self.problems:
            raise ManyBadInputs(tuple(self.problems))
