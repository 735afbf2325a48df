"""How an answer is printed: one JSON object, or plain lines for a person.

In JSON a number is plain and in the unit of its key's suffix, fractions are 0-1, and `inputs`, `warnings` and `assumed` are always there.
"""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from pathlib import Path
from typing import Any

REFUSED = 3
"""The exit code of a photo that cannot be trusted."""
DIGITS = 10
"""Significant figures of a number in JSON: enough to lose nothing that is known, few enough to leave out the noise of binary fractions."""


def plain(value: Any) -> Any:
    """`value` as JSON can say it: dataclasses and mappings become objects, dates ISO 8601, a number that is not finite null."""
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, str | int):
        return value
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, Path):
        return str(value)
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, Sequence | set | frozenset):
        return [plain(one) for one in value]
    number = float(value)
    return float(f"{number:.{DIGITS}g}") if math.isfinite(number) else None


def show(answer: Mapping[str, Any], lines: Sequence[str], *, as_json: bool) -> None:
    """Print `answer` as one JSON object, or `lines` followed by its warnings and assumptions."""
    whole = {"inputs": {}, "warnings": [], "assumed": [], **answer}
    if as_json:
        print(json.dumps(plain(whole), ensure_ascii=True, allow_nan=False, indent=2))
        return
    for line in lines:
        print(line)
    for sentence in whole["warnings"]:
        print(f"Warning: {sentence}")
    for sentence in whole["assumed"]:
        print(f"Assumed: {sentence}")


def progress(sentence: str) -> None:
    """Say how far a slow command is, on stderr, so that stdout stays the answer's own."""
    print(sentence, file=sys.stderr, flush=True)


class Fifths:
    """Says how far a run is, at every fifth."""

    def __init__(self) -> None:
        self.said = 0

    def tell(self, done: float, sentence: str = "") -> None:
        """`done` is 0-1."""
        fifth = int(5 * done)
        if fifth > self.said:
            self.said = fifth
            progress(f"{20 * fifth} %{': ' if sentence else ''}{sentence}")


def rows(pairs: Sequence[tuple[str, str]]) -> list[str]:
    """Lines of a label and what it says, the second column lined up."""
    width = max((len(label) for label, _ in pairs), default=0)
    return [f"{label.ljust(width)}  {said}" for label, said in pairs]


def understood(inputs: Mapping[str, str]) -> list[tuple[str, str]]:
    """What was understood, as label and echo, so that a misread amount is seen."""
    return [(label[:1].upper() + label[1:], said) for label, said in inputs.items()]
