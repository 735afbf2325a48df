"""Core objects as plain data (dicts, lists, text, numbers) and back, for the journal and for columns that hold a whole object.

The type hints of the dataclass decide how each value is read back, so nothing in the data names a Python class. Dates are ISO 8601 text.
A field that the data does not carry takes its default: an older journal can be read by a newer program. A field that is not known any more is ignored.
"""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Mapping
from datetime import date, datetime
from enum import Enum
from functools import cache
from types import MappingProxyType
from typing import Any, TypeVar, Union, cast

T = TypeVar("T")


def to_plain(value: object) -> Any:
    """`value` as JSON-ready data. Raises TypeError for anything that is not a dataclass, a container, a date, an enum, text, a number or None."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: to_plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(key): to_plain(item) for key, item in value.items()}
    if isinstance(value, (tuple, list)):
        return [to_plain(item) for item in value]
    if value is None or isinstance(value, (str, int, float)):
        return value
    raise TypeError(f"{type(value).__name__} has no plain form")


def from_plain(cls: type[T], data: object) -> T:
    """The object of type `cls` that `to_plain` turned into `data`."""
    return cast(T, _read(cls, data))


def dumps(value: object) -> str:
    """`value` as compact JSON text."""
    return json.dumps(to_plain(value), ensure_ascii=False, separators=(",", ":"))


def loads(cls: type[T], text: str) -> T:
    """The object of type `cls` from the text that `dumps` wrote."""
    return from_plain(cls, json.loads(text))


@cache
def _hints(cls: type) -> dict[str, Any]:
    return typing.get_type_hints(cls)


def _read(hint: Any, data: Any) -> Any:
    origin = typing.get_origin(hint)
    if origin in (Union, types.UnionType):
        return _read_union(typing.get_args(hint), data)
    if origin is tuple:
        return _read_tuple(typing.get_args(hint), data)
    if origin is not None and issubclass(origin, Mapping):
        value_hint = typing.get_args(hint)[1]
        return MappingProxyType({key: _read(value_hint, item) for key, item in data.items()})
    if not isinstance(hint, type):
        return data
    if dataclasses.is_dataclass(hint):
        hints = _hints(hint)
        return hint(**{f.name: _read(hints[f.name], data[f.name]) for f in dataclasses.fields(hint) if f.name in data})
    return _read_leaf(hint, data)


def _read_leaf(hint: type, data: Any) -> Any:
    if issubclass(hint, Enum):
        return hint(data)
    if issubclass(hint, datetime):
        return datetime.fromisoformat(data)
    if issubclass(hint, date):
        return date.fromisoformat(data)
    return float(data) if hint is float else data


def _read_union(options: tuple[Any, ...], data: Any) -> Any:
    if data is None:
        return None
    return _read(next(option for option in options if option is not type(None)), data)


def _read_tuple(args: tuple[Any, ...], data: Any) -> tuple[Any, ...]:
    if len(args) == 2 and args[1] is Ellipsis:
        return tuple(_read(args[0], item) for item in data)
    return tuple(_read(hint, item) for hint, item in zip(args, data, strict=True))
