"""Putting alterations into a garment's stack in its ``costume.toml``: everything else in the file stays as people wrote it."""

from __future__ import annotations

import json
import math
import tomllib
import typing
from collections.abc import Mapping, Sequence
from typing import Any

from firsthand.alter import Alteration
from firsthand.alter.model import told_fields
from firsthand.errors import BadInput, NotThere, Problem
from firsthand.units import Angle, Length, Unit, parse_length
from firsthand.workroom._commit import commit
from firsthand.workroom.model import Costume, Workroom
from firsthand.workroom.stacking import alteration_places, table_headers

__all__ = ["accept", "entry_table", "entry_text", "with_entries"]

DIGITS = 2
"""Decimals of a length in the file's units: a tenth of a millimetre, or better than a thirtieth of an eighth of an inch."""


def accept(
    workroom: Workroom, costume: Costume, garment: str, entries: Sequence[Alteration], *, note: str = "", first: bool = False
) -> int:
    """Put alterations at the end of a garment's stack, as one save that can be undone.

    Parameters
    ----------
    workroom, costume, garment
        Whose stack: the garment by its id.
    entries
        In order. Those without an id are named by their kind and place when the file is read.
    note
        What is said of them in a comment above, one line or more, and in the history; empty for none.
    first
        Whether they stand before all others instead.

    Returns
    -------
    int
        The new revision.

    Raises
    ------
    NotThere
        If there is no such garment.
    BadInput
        If an id is used already, or the file is written in a way that cannot be added to without touching the rest.
    Conflict, NotSaved
        See :func:`firsthand.workroom.commit`.
    """
    path = f"costumes/{costume.id}/costume.toml"
    text = (workroom.folder / path).read_bytes().decode("utf-8-sig")
    known = [brief.id for brief in costume.garments]
    if garment not in known:
        raise NotThere("garment", garment, known)
    new = with_entries(text, known.index(garment), entries, note=note, first=first, file=path)
    expected = {path: workroom.digests[path]} if path in workroom.digests else {}
    words = f"{garment}: {note.splitlines()[0] if note else 'alterations added'}"
    return commit(workroom.folder, {path: new.encode()}, words=words, expected=expected)


def with_entries(
    text: str, number: int, entries: Sequence[Alteration], *, note: str = "", first: bool = False, file: str = "costume.toml"
) -> str:
    """The text of a ``costume.toml`` with alterations put into the stack of its garment of a number, counted from 0.

    Raises
    ------
    BadInput
        See :func:`accept`.
    """
    data = tomllib.loads(text)
    units = Unit(data.get("units", Unit.MM))
    place = f"garment[{number + 1}].alteration"
    tables = [entry_table(entry, units) for entry in entries]
    old = data["garment"][number].get("alteration", [])
    for name in {table["id"] for table in tables if "id" in table} & {table.get("id") for table in old}:
        raise BadInput(
            [Problem(file, place, f"two called {name}", "an id used once", f"Take out {name} first, or drop the new one.")]
        )
    new = _by_lines(text, number, [entry_text(entry, units) for entry in entries], note, first=first)
    after = [*tables, *old] if first else [*old, *tables]
    if _read(new) != _with(data, number, after):
        found, expected = "tables written in an unusual way", "tables headed [[garment.alteration]]"
        raise BadInput([Problem(file, place, found, expected, "Add it by hand.")])
    return new


def entry_table(entry: Alteration, units: Unit) -> dict[str, Any]:
    """An alteration as it is written: its kind, and what is not as if it were left out; lengths in the file's units.

    Examples
    --------
    >>> from firsthand.alter import TakeIn
    >>> entry_table(TakeIn(stations=(("level waist", 24.0), ("level hip", 0.0)), seams=("side",)), Unit.CM)
    {'kind': 'take-in', 'seams': ['side'], 'stations': [['level waist', 2.4], ['level hip', 0]]}
    """
    hints = typing.get_type_hints(type(entry), include_extras=True)
    named = {"id": entry.id} if entry.id else {}
    told = {name: _plain(value, hints[name], units) for name, value in told_fields(entry).items()}
    return {"kind": entry.kind, **named, **told}


def entry_text(entry: Alteration, units: Unit) -> str:
    """An alteration as a table of a ``costume.toml``.

    Examples
    --------
    >>> from firsthand.alter import TakeIn
    >>> print(entry_text(TakeIn(25.4, seams=("side",), id="first fitting"), Unit.INCH), end="")
    [[garment.alteration]]
    kind = "take-in"
    id = "first fitting"
    amount = 1
    seams = ["side"]
    """
    lines = [f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in entry_table(entry, units).items()]
    return "\n".join(["[[garment.alteration]]", *lines]) + "\n"


def _plain(value: Any, hint: Any, units: Unit) -> Any:
    if isinstance(value, tuple | list):
        inner = [one for one in typing.get_args(hint) if one is not Ellipsis]
        hints = inner if len(inner) == len(value) and len(inner) > 1 else [inner[0] if inner else Any] * len(value)
        return [_plain(one, of, units) for one, of in zip(value, hints, strict=True)]
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    if _is(hint, Length):
        return _rounded(value / parse_length(f"1 {units.value}"), DIGITS + (units is Unit.INCH or units is Unit.YARD))
    return _rounded(math.degrees(value)) if _is(hint, Angle) else _rounded(value, 4)


def _is(hint: Any, wanted: Any) -> bool:
    return bool(hint == wanted) or any(one == wanted for one in typing.get_args(hint))


def _rounded(value: float, digits: int = DIGITS) -> float | int:
    near = round(value, digits)
    return int(near) if near == int(near) else near


def _by_lines(text: str, number: int, blocks: Sequence[str], note: str, *, first: bool) -> str:
    lines = text.splitlines(keepends=True)
    if lines and not lines[-1].endswith("\n"):
        lines[-1] += "\n"
    at = _line(lines, number, first=first)
    comment = "".join(f"# {line}\n" for line in note.splitlines())
    new = "\n".join([comment + blocks[0], *blocks[1:]]) if blocks else ""
    before = "" if at == 0 or not lines[at - 1].strip() else "\n"
    after = "" if at >= len(lines) or not lines[at].strip() else "\n"
    return "".join([*lines[:at], before, new, after, *lines[at:]])


def _line(lines: Sequence[str], number: int, *, first: bool) -> int:
    """The line before which new entries are put: behind the garment's last entry, or behind what it says of itself."""
    places = alteration_places("".join(lines), number)
    if places:
        return places[0][0] if first else places[-1][1]
    headers = list(table_headers([line.rstrip("\n") for line in lines]))
    garments = [k for k, (_, name) in enumerate(headers) if name == "garment"]
    own = garments[number] if number < len(garments) else len(headers) - 1
    following = (at for at, name in headers[own + 1 :] if name not in ("garment.roles", "garment.wanted"))
    end = next(following, len(lines))
    while end > headers[own][0] + 1 and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
        end -= 1
    return end


def _with(data: Mapping[str, Any], number: int, stack: list[dict[str, Any]]) -> dict[str, Any]:
    garments = [{**table, "alteration": stack} if k == number else table for k, table in enumerate(data["garment"])]
    return {**data, "garment": garments}


def _read(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None
