"""Reading files: bytes to tables to models, with every problem gathered instead of raised."""

from __future__ import annotations

import copy
import json
import re
import tomllib
import typing
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from firsthand.errors import BadInput, FirsthandError, NewerSchema, Problem
from firsthand.findings import Finding, Severity, kind
from firsthand.units import Unit
from firsthand.workroom._words import nearest_name, place_of, problems_of
from firsthand.workroom.migrations import lifted, schema_problem
from firsthand.workroom.schema import FILES, Document, Table

__all__ = ["LARGEST", "UNKNOWN_KEY", "Gathered", "Raw", "known_keys", "parsed", "unknown_key", "unknown_keys"]

LARGEST = 20_000_000
"""A file above this many bytes is not one of ours."""

Numbers = Mapping[str, Sequence[int]]

UNKNOWN_KEY = kind(
    "unknown-key",
    Severity.NOTE,
    "A file holds a key that firsthand does not know, so what it says has no effect. It is kept when the file is rewritten. A "
    "doubt where it looks like a known one misspelt, or holds one. Correct it, or leave it if it is a note of your own.",
)

M = TypeVar("M", bound=Document)
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Raw(Generic[M]):
    """A file as it was read.

    Parameters
    ----------
    data
        Its tables, as parsed; empty if they could not be.
    value
        The model; None if it could not be made even after leaving out what is wrong.
    whole
        Whether nothing in it was wrong.
    numbers
        For each list of tables, at what numbers of the file those of ``value`` stand, if some were left out.
    """

    file: str
    data: Mapping[str, Any]
    value: M | None
    whole: bool
    numbers: Mapping[str, Sequence[int]] = field(default_factory=dict)

    def numbered(self, table: str, items: Sequence[T]) -> Iterator[tuple[int, T]]:
        """The tables of a list, each with its number in the file, where wrong ones before it may have been left out."""
        return zip(self.numbers.get(table) or range(1, len(items) + 1), items, strict=True)

    def ids(self, table: str) -> list[str]:
        """The ids in a list of tables, those of tables with problems too."""
        return _ids(self.data.get(table))


@dataclass
class Gathered:
    """All problems and findings so far."""

    problems: list[Problem] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    newer: bool = False
    unreadable: Mapping[str, str] = field(default_factory=dict)

    def problem(self, file: str, place: str, found: str, expected: str, remedy: str) -> None:
        """Enter one problem."""
        self.problems.append(Problem(file, place, found, expected, remedy))

    def finish(self) -> None:
        """Raise everything that was wrong, if anything was.

        Raises
        ------
        NewerSchema
            If a file was written by a newer version.
        BadInput
            If anything else was wrong.
        """
        if self.problems:
            raise (NewerSchema if self.newer else BadInput)(self.problems)

    def read(self, file: str, contents: bytes | None, model: type[M]) -> Raw[M]:
        """Read one file; a file that is not there or not readable gives a :class:`Raw` without a value."""
        nothing: Raw[M] = Raw(file, {}, None, False)
        if contents is None:
            found = f"a file that cannot be read ({self.unreadable[file]})" if file in self.unreadable else "no file"
            remedy = (
                "Put a file in its place." if file in self.unreadable else "Put the file back, or take its folder away too."
            )
            self.problem(file, "", found, "the file", remedy)
            return nothing
        data = parsed(file, contents, self.problems)
        return nothing if data is None else self.taken(file, data, model)

    def taken(self, file: str, data: dict[str, Any], model: type[M]) -> Raw[M]:
        """The tables of a file, checked against a model."""
        wrong, newer = schema_problem(file, data)
        self.newer |= newer
        if wrong:
            self.problems.append(wrong)
            if newer:
                return Raw(file, data, None, False)
        before = len(self.problems)
        if not wrong:
            data = lifted(_kind_of(model), data)
        value, numbers = self._validated(file, {**data, "schema": 1}, model)
        whole = len(self.problems) == before and wrong is None
        if value is not None:
            self.findings += unknown_keys(file, value)
        return Raw(file, data, value, whole, numbers)

    def _validated(self, file: str, data: dict[str, Any], model: type[M]) -> tuple[M | None, Numbers]:
        units = data.get("units")
        context = {"units": units if units in ("mm", "cm", "in") else Unit.MM}
        try:
            return model.model_validate(data, context=context), {}
        except ValidationError as error:
            self.problems += problems_of(file, error)
            return _salvaged(data, model, context, error)

    def built(self, file: str, place: str, make: Callable[[], T]) -> T | None:
        """What a maker of values gives; None, with a problem entered, if it refuses what the file says."""
        try:
            return make()
        except BadInput as bad:
            self.problems += bad.problems
        except FirsthandError as error:
            self.problem(file, place, str(error), "values that make sense", error.remedy or "Correct the values here.")
        return None

    def unique(self, file: str, what: str, ids: Sequence[str], place: str) -> None:
        """Enter a problem for each id that is there twice."""
        seen: set[str] = set()
        for number, name in enumerate(ids, 1):
            if name in seen:
                here = f"{place}[{number}].id"
                self.problem(file, here, repr(name), "an id used once", f"Give this {what} an id of its own.")
            seen.add(name)


def _ids(tables: Any) -> list[str]:
    items = tables if isinstance(tables, list) else []
    return [item["id"] for item in items if isinstance(item, dict) and isinstance(item.get("id"), str)]


def _kind_of(model: type[Document]) -> str:
    return next((name for name, known in FILES.items() if known is model), model.__name__)


# parsing ----------------------------------------------------------------------------------------------------


def parsed(file: str, contents: bytes, problems: list[Problem], *, form: str = "") -> dict[str, Any] | None:
    """The tables of a TOML or JSON file; None, with a problem entered, if it cannot be read.

    Parameters
    ----------
    form
        ``TOML`` or ``JSON``; as the file's name ends if not said.
    """
    form = form or ("JSON" if file.endswith(".json") else "TOML")
    if len(contents) > LARGEST:
        found = f"{len(contents)} bytes"
        problems.append(Problem(file, "", found, f"less than {LARGEST}", "This is not a file of a workroom."))
        return None
    try:
        text = contents.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = contents.count(b"\n", 0, error.start) + 1
        found = f"a byte {contents[error.start]:#04x} that is no letter"
        problems.append(Problem(file, f"line {line}", found, "UTF-8 text", "Save the file as UTF-8."))
        return None
    try:
        data = json.loads(text, object_pairs_hook=_once) if form == "JSON" else tomllib.loads(text)
    except (json.JSONDecodeError, tomllib.TOMLDecodeError) as error:
        place, said = _position(error, text)
        problems.append(Problem(file, place, said, f"{form} that can be read", "Correct the line, or the one before it."))
        return None
    except RecursionError:
        problems.append(Problem(file, "", "lists within lists without end", f"a {form} file", "Correct the brackets."))
        return None
    except ValueError as error:
        if match := re.search(r"(?<![\d.])\d{4300,}(?![\d.eE])", text):  # more digits than Python takes
            line = text.count("\n", 0, match.start()) + 1
            found = "a number of thousands of digits"
            problems.append(Problem(file, f"line {line}", found, "a number that can be meant", "Correct the number."))
            return None
        problems.append(Problem(file, "", str(error)[:80], f"{form} that can be read", "Correct the value."))
        return None
    if not isinstance(data, dict):
        problems.append(Problem(file, "", "a list or value", "keys and values in braces", "Write the file again."))
        return None
    return data


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) != len(pairs):
        names = [name for name, _ in pairs]
        raise ValueError(f"the key {next(name for name in names if names.count(name) > 1)!r} twice in one table")
    return table


def _position(error: ValueError, text: str) -> tuple[str, str]:
    if isinstance(error, json.JSONDecodeError):
        return f"line {error.lineno}, column {error.colno}", error.msg[:1].lower() + error.msg[1:]
    said = str(error)
    match = re.search(r" \(at (?:line (\d+), column (\d+)|end of document)\)$", said)
    if match is None:
        return "", said
    if match[1] is None:
        return f"line {text.count(chr(10)) + 1}", said[: match.start()]
    return f"line {match[1]}, column {match[2]}", said[: match.start()]


# salvaging what is right -----------------------------------------------------------------------------------


def _salvaged(
    data: dict[str, Any], model: type[M], context: dict[str, Any], error: ValidationError
) -> tuple[M | None, Numbers]:
    """The model without what is wrong in it, so that the rest can be checked against the other files at once."""
    rest: Any = copy.deepcopy(data)
    if "units" in model.model_fields and rest.get("units") not in ("mm", "cm", "in"):
        rest["units"] = "cm"
    numbers = {key: list(range(1, len(value) + 1)) for key, value in rest.items() if isinstance(value, list)}
    for _ in range(6):
        for loc in sorted({_offending(detail["type"], detail["loc"]) for detail in error.errors()}, key=_last_first):
            _take_out(rest, loc)
            if len(loc) == 2 and loc[0] in numbers:
                _take_out(numbers, loc)
        try:
            return model.model_validate(rest, context=context), numbers
        except ValidationError as again:
            error = again
    return None, {}


def _offending(kind_of_error: str, loc: tuple[int | str, ...]) -> tuple[int | str, ...]:
    loc = tuple(step for step in loc if step != "[key]")
    return loc[:-1] if kind_of_error == "missing" else loc


def _last_first(loc: tuple[int | str, ...]) -> tuple[tuple[int, int, str], ...]:
    return tuple((0, -step, "") if isinstance(step, int) else (1, 0, step) for step in loc)


def _take_out(data: Any, loc: tuple[int | str, ...]) -> None:
    *way, last = loc or ("",)
    for step in way:
        if not _has(data, step):
            return
        data = data[step]
    if _has(data, last):
        del data[last]


def _has(data: Any, step: int | str) -> bool:
    if isinstance(data, list):
        return isinstance(step, int) and step < len(data)
    return isinstance(data, dict) and step in data


# unknown keys -----------------------------------------------------------------------------------------------


@cache
def known_keys(model: type[BaseModel]) -> tuple[str, ...]:
    """The keys of a table, as they are written."""
    return tuple(info.alias or name for name, info in model.model_fields.items())


def unknown_keys(file: str, table: Table) -> list[Finding]:
    """A finding for every key in a file that nobody knows."""
    return [unknown_key(file, place, hint) for place, hint in _unknown(table, ())]


def unknown_key(file: str, place: str, hint: str) -> Finding:
    """The finding that a key is not known, with the one that was probably meant."""
    return UNKNOWN_KEY(
        f"{file}: nothing is known of {place}, it has no effect",
        where=(file, place),
        remedy=f"Did you mean {hint}?" if hint else "Correct the spelling, or leave it if it is a note of your own.",
        severity=Severity.DOUBT if hint else Severity.NOTE,
    )


@cache
def _tables_in(model: type[BaseModel]) -> tuple[str, ...]:
    """The fields of a table that hold tables of ours."""
    return tuple(name for name, info in model.model_fields.items() if _holds_table(info.annotation))


def _holds_table(annotation: Any) -> bool:
    if isinstance(annotation, type) and not typing.get_args(annotation):
        return issubclass(annotation, Table)
    return any(_holds_table(inner) for inner in typing.get_args(annotation))


def _unknown(value: Any, loc: tuple[int | str, ...]) -> Iterator[tuple[str, str]]:
    if isinstance(value, Table):
        for key, extra in (value.model_extra or {}).items():
            known = known_keys(type(value))
            within = next((name for name in extra if name in known), "") if isinstance(extra, dict) else ""
            yield place_of((*loc, key)), nearest_name(key, known) or within
        for name in _tables_in(type(value)):
            yield from _unknown(getattr(value, name), (*loc, name))
    elif isinstance(value, tuple):
        for number, item in enumerate(value):
            yield from _unknown(item, (*loc, number))
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from _unknown(item, (*loc, key))
