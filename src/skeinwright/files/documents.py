"""TOML in and out: one colourway, or a whole shelf, as a text that a person can read and edit."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from datetime import date
from typing import Any

from skeinwright.core.foundations.errors import BadInput

LIMIT_BYTES = 5_000_000
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")


def read_document(data: bytes | str, *, name: str = "the file") -> dict[str, Any]:
    """The TOML document in `data`. Raises BadInput with line and column where it is not one."""
    if len(data) > LIMIT_BYTES:
        raise BadInput(f"The file is larger than {LIMIT_BYTES // 1_000_000} MB. Cut it in parts.", where=name)
    try:
        text = data if isinstance(data, str) else data.decode("utf-8-sig")
        return tomllib.loads(text.replace("\r\n", "\n"))
    except UnicodeDecodeError as error:
        raise BadInput("The file is not text in UTF-8. Save it as UTF-8 and try again.", where=name) from error
    except tomllib.TOMLDecodeError as error:
        raise BadInput(f"This is not TOML: {_sentence(str(error))}", where=_where(name, str(error))) from error
    except RecursionError as error:
        raise BadInput("The file is nested too deeply.", where=name) from error


def write_document(document: Mapping[str, Any]) -> str:
    """`document` as TOML text: text, numbers, yes/no, dates, lists of these, tables, and lists of tables. None is left out.

    Raises TypeError for any other value.
    """
    lines: list[str] = []
    _write_table(lines, (), document)
    return "\n".join(lines).strip() + "\n"


def _write_table(lines: list[str], path: tuple[str, ...], table: Mapping[str, Any]) -> None:
    later: list[tuple[str, Any]] = []
    for key, value in table.items():
        if isinstance(value, Mapping) or _is_tables(value):
            later.append((key, value))
        elif value is not None:
            lines.append(f"{_key(key)} = {_value(value)}")
    for key, value in later:
        inner = (*path, key)
        heading = ".".join(_key(part) for part in inner)
        for each in [value] if isinstance(value, Mapping) else value:
            lines.extend(("", f"[{heading}]" if isinstance(value, Mapping) else f"[[{heading}]]"))
            _write_table(lines, inner, each)


def _is_tables(value: object) -> bool:
    return isinstance(value, (list, tuple)) and bool(value) and all(isinstance(each, Mapping) for each in value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _string(key)


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _string(value)
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(_value(each) for each in value)}]"
    raise TypeError(f"{type(value).__name__} cannot be written as TOML")


def _string(text: str) -> str:
    # JSON's escapes are all TOML's too; TOML also wants DEL escaped.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _sentence(message: str) -> str:
    text = _PLACE.sub("", message)
    return text if text.endswith(".") else f"{text}."


def _where(name: str, message: str) -> str:
    found = _PLACE.search(message)
    if found is None or found.group(1) is None:
        return f"{name}, at its end" if found else name
    return f"{name}, line {found.group(1)}, column {found.group(2)}"
