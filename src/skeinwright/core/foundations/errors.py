"""The few errors that Skeinwright raises on purpose; each one is fit to be shown to a person.

An error says what is wrong, where, and what to do. They are caught once in the web and once in the command line.
A model that is used outside its range is not an error: its result carries `status` and `notes` instead.
"""

from __future__ import annotations


class SkeinwrightError(Exception):
    """An error with a sentence that can be shown to a person as it stands."""

    exit_code = 2

    def __init__(self, sentence: str, *, where: str | None = None) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.where = where

    def __str__(self) -> str:
        return f"{self.where}: {self.sentence}" if self.where else self.sentence


class BadInput(SkeinwrightError):
    """Something typed, imported or sent cannot be understood or cannot be right.

    `where` names the field or option; `position` is the 0-based place in the text where reading stopped, if known.
    """

    def __init__(self, sentence: str, *, where: str | None = None, position: int | None = None, text: str | None = None) -> None:
        super().__init__(sentence, where=where)
        self.position = position
        self.text = text


class ManyBadInputs(SkeinwrightError):
    """Several fields or rows are wrong at once; each is a `BadInput`."""

    def __init__(self, problems: tuple[BadInput, ...]) -> None:
        super().__init__(" ".join(str(problem) for problem in problems))
        self.problems = problems


def first_of(error: BadInput | ManyBadInputs) -> BadInput:
    """The error itself, or the first of many."""
    return error.problems[0] if isinstance(error, ManyBadInputs) else error


class NotFound(SkeinwrightError):
    """The thing asked for is not in this studio."""


class Conflict(SkeinwrightError):
    """The thing was changed elsewhere, or its name is already taken."""


class PhotoRefused(SkeinwrightError):
    """A picture cannot be read or cannot be trusted; no figure is given from it."""

    exit_code = 3
