"""Validation errors in words: place, what was found, what was expected, and what to do."""

from __future__ import annotations

import datetime
import difflib
import math
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from firsthand.errors import Problem

__all__ = ["NAME", "SIZE", "expected_of", "listed", "nearest_name", "place_of", "problems_of", "shown"]


def shown(value: Any) -> str:
    """A value as people would write it in the file, cut short.

    Examples
    --------
    >>> shown("velvet"), shown(True), shown(float("nan")), shown([1, 2]), shown(datetime.date(2027, 5, 15))
    ("'velvet'", 'true', 'NaN', '[1, 2]', '2027-05-15')
    """
    if isinstance(value, float) and not math.isfinite(value):
        return "NaN" if math.isnan(value) else "a number without end"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    if isinstance(value, dict):
        return "a table"
    try:
        text = repr(value)
    except ValueError:  # a whole number of thousands of digits
        return "a number of thousands of digits"
    return text if len(text) <= 60 else f"{text[:57]}..."


def place_of(loc: Iterable[int | str]) -> str:
    """A place in a file, items of lists counted from 1.

    Examples
    --------
    >>> place_of(("garment", 0, "size"))
    'garment[1].size'
    """
    place = ""
    for step in loc:
        if isinstance(step, int):
            place += f"[{step + 1}]"
        elif step != "[key]":
            place += f".{step}" if place else step
    return place


def listed(names: Iterable[str], last: str = "or") -> str:
    """Names in words.

    Examples
    --------
    >>> listed(["S", "M", "L"]), listed(["S"]), listed([])
    ('S, M or L', 'S', 'nothing')
    """
    known = list(names)
    if len(known) > 12:
        known = [*known[:12], f"{len(known) - 12} more"]
        last = "and"
    return f"{', '.join(known[:-1])} {last} {known[-1]}" if len(known) > 1 else (known[0] if known else "nothing")


def nearest_name(name: str, known: Iterable[str]) -> str:
    """The known name that was probably meant, or nothing."""
    close = difflib.get_close_matches(name, list(known), 1, 0.7)
    return close[0] if close else ""


def problems_of(file: str, error: ValidationError, prefix: str = "") -> list[Problem]:
    """Every problem of a validation error."""
    problems: list[Problem] = []
    details = error.errors(include_url=False)
    for detail in details:
        if not _follows(detail, details):
            problems += _problems(file, detail, prefix)
    return problems


def _follows(detail: ErrorDetails, details: Iterable[ErrorDetails]) -> bool:
    """Whether a list is only too short because its items are wrong, which is told of each of them."""
    loc = detail["loc"]
    return detail["type"] == "too_short" and any(
        len(other["loc"]) > len(loc) and other["loc"][: len(loc)] == loc for other in details if other["type"] != "missing"
    )


def _problems(file: str, detail: ErrorDetails, prefix: str) -> list[Problem]:
    inner = place_of(detail["loc"])
    place = prefix + ("." if prefix and inner and not inner.startswith("[") else "") + inner
    context: Mapping[str, Any] = detail.get("ctx", {})
    if detail["type"] == "several":
        return [
            Problem(file, f"{place}{at}", shown(value), expected, "Correct the numbers here.")
            for at, value, expected in context["found"]
        ]
    if detail["type"] == "problem":
        return [Problem(file, place, context["found"], context["expected"], context["remedy"])]
    if detail["type"] == "missing":
        last = detail["loc"][-1] if detail["loc"] else ""
        if isinstance(last, int):
            return [Problem(file, place, "nothing", f"{last + 1} in the list", "Put in what is missing.")]
        key = str(last)
        return [Problem(file, place, "nothing", _MISSING.get(key, "a value"), f"Write {key} = ... here.")]
    if detail["type"] in ("tuple_type", "list_type") and isinstance(detail["input"], dict):
        return [Problem(file, place, "one table", "a list of tables", f"Write [[{place}]] in two pairs of brackets.")]
    expected, remedy = _expected(detail["type"], detail["msg"], context)
    return [Problem(file, place, shown(detail["input"]), expected, remedy)]


_MISSING = {"units": '"cm", "mm" or "in"', "id": "a name for it", "width": "a length", "sizes": "the sizes"}

_PLAIN = {
    "string_type": ("words in quotes", "Put the words in quotes."),
    "bool_type": ("true or false", "Write true or false without quotes."),
    "int_type": ("a whole number", "Write a whole number without quotes."),
    "dict_type": ("a table", "Write a table of keys and values here."),
    "model_type": ("a table", "Write a table of keys and values here."),
    "tuple_type": ("a list", "Put it in square brackets."),
    "list_type": ("a list", "Put it in square brackets."),
    "string_unicode": ("words that can be written", "Take out the signs that are none."),
    "string_too_short": ("at least one letter", "Write the name."),
}
for _same in ("model_attributes_type", "dataclass_type", "mapping_type"):
    _PLAIN[_same] = _PLAIN["dict_type"]

NAME = (
    "a name of letters, digits, spaces, - and _",
    "Choose a name without other signs that neither begins nor ends with a space.",
)
"""What is expected of an id, and what to do."""

SIZE = ("a size that neither begins nor ends with a space", "Take the spaces and other signs that do not show away.")
"""What is expected of a size, and what to do."""

_PATTERNS = {
    "id": NAME,
    "size": SIZE,
    "text": ("words in one line", "Take out line breaks and other signs that do not show."),
}


def _sort_of(pattern: str) -> str:
    return "id" if "L}" in pattern else "size" if "s" in pattern else "text"


_BOUNDS = {
    "greater_than": ("gt", "more than {}"),
    "greater_than_equal": ("ge", "at least {}"),
    "less_than": ("lt", "less than {}"),
    "less_than_equal": ("le", "at most {}"),
}


def _expected(kind: str, message: str, context: Mapping[str, Any]) -> tuple[str, str]:
    if kind == "string_pattern_mismatch":
        return _PATTERNS[_sort_of(context["pattern"])]
    if kind in _PLAIN:
        return _PLAIN[kind]
    if kind in _BOUNDS:
        key, words = _BOUNDS[kind]
        return words.format(f"{context[key]:g}"), "Correct the number."
    if kind in ("enum", "literal_error"):
        return str(context.get("expected", "one of the known words")), "Write one of these words."
    if kind in ("too_short", "too_long"):
        least = context.get("min_length", context.get("max_length"))
        return f"{'at least' if kind == 'too_short' else 'at most'} {least} in the list", "Correct the list."
    if kind == "string_too_long":
        return f"at most {context['max_length']} letters", "Write it shorter."
    if kind == "value_error":
        return expected_of(str(context.get("error", message)))
    return message[:1].lower() + message[1:], "Correct the value."


def expected_of(message: str) -> tuple[str, str]:
    """What was expected and what to do, from the message of a reader of values.

    Examples
    --------
    >>> expected_of("'soon' is not a length: write for example 87.5 cm or 34 1/2 in")
    ('a length, for example 87.5 cm or 34 1/2 in', 'Write it like that.')
    >>> expected_of("'soon' is not a date written as 2027-05-15")
    ('a date written as 2027-05-15', 'Correct the value.')
    >>> expected_of("nan is not a finite length"), expected_of("'9 km' is longer than a kilometre")
    (('a finite length', 'Correct the value.'), ('a length of at most a kilometre', 'Correct the value.'))
    """
    what, _, how = message.rpartition(": write ")
    noun = (what or message).rpartition(" is not ")[2]
    if how and what:
        return (f"{noun}, {how}" if how.startswith("for example ") else how), "Write it like that."
    if message.endswith(" is longer than a kilometre"):
        return "a length of at most a kilometre", "Correct the value."
    return noun, "Correct the value."
