"""One digest for one value, whatever machine or day it is computed on."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from typing import Any

__all__ = ["digest"]

Feed = Callable[[bytes], None]


def digest(*values: object) -> str:
    """Digest of values: equal for equal values, different for values of different types or contents.

    Parameters
    ----------
    values
        Anything built of frozen dataclasses, enums, tuples, lists, mappings, text, bytes, numbers, booleans and None.

    Raises
    ------
    TypeError
        If a value has no canonical form (a set, a function, an open file).

    Examples
    --------
    >>> digest({"b": 1.0, "a": ("x",)}) == digest({"a": ("x",), "b": 1.0})
    True
    >>> digest(1) == digest(1.0), digest("1") == digest(b"1")
    (False, False)
    """
    made = hashlib.sha256()
    _feed(values, made.update)
    return made.hexdigest()


@cache
def _layout(kind: type[Any]) -> tuple[bytes, tuple[str, ...]]:
    names = tuple(entry.name for entry in fields(kind))
    return f"{kind.__module__}.{kind.__qualname__}({','.join(names)})".encode(), names


def _feed(value: object, feed: Feed) -> None:
    kind = type(value)
    if kind is float:
        feed(b"f" + float.hex(value).encode() + b";")  # type: ignore[arg-type]  # narrowed by the exact type
    elif kind is str:
        text = value.encode()  # type: ignore[attr-defined]  # narrowed by the exact type
        feed(b"s%d:" % len(text))
        feed(text)
    elif value is None or kind in (bool, int):
        feed(f"{kind.__name__}{value!r};".encode())
    elif isinstance(value, Enum):
        feed(b"e")
        _feed(value.value, feed)
    elif is_dataclass(value) and not isinstance(value, type):
        head, names = _layout(type(value))
        feed(b"d%d:" % len(head))
        feed(head)
        for name in names:
            _feed(getattr(value, name), feed)
    else:
        _feed_many(value, feed)


def _feed_many(value: object, feed: Feed) -> None:
    if isinstance(value, tuple | list):
        feed(b"t%d:" % len(value))
        for item in value:
            _feed(item, feed)
    elif isinstance(value, Mapping):
        feed(b"m%d:" % len(value))
        for key in sorted(value, key=str):
            _feed(key, feed)
            _feed(value[key], feed)
    elif isinstance(value, bytes):
        feed(b"b%d:" % len(value))
        feed(value)
    else:
        raise TypeError(f"a {type(value).__name__} has no canonical form")
