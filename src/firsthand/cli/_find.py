"""Finding what a command is about."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from firsthand.errors import BadInput, Problem
from firsthand.units import Unit
from firsthand.workroom import Costume, Workroom, find_workroom, load_workroom

__all__ = ["check_only", "find_costume", "find_workroom_of", "read_bytes", "read_json", "read_units", "units_here"]


def find_costume(name: str) -> tuple[Workroom, Costume]:
    """The costume that a command names, with its workroom.

    Parameters
    ----------
    name
        A costume's folder or anything in it, or the folder of a workroom with one costume; or, in the workroom that the
        current folder belongs to, a costume's id or the name it is shown by. Empty for the costume of the current folder, or
        the only one there is.

    Raises
    ------
    BadInput
        If there is no such costume or workroom, or its files cannot be understood.
    """
    plain = name.rstrip("/" + os.sep) or name
    is_path = not name or os.path.lexists(plain) or any(sign in plain for sign in ("/", os.sep))
    root, below = _inside(Path(plain) if is_path else Path())
    workroom = load_workroom(root)
    wanted = below[1] if is_path and len(below) > 1 and below[0] == "costumes" else ""
    if wanted not in workroom.costumes and name:
        wanted = _called(plain, workroom.costumes) or wanted
    if not wanted and len(workroom.costumes) == 1 and (not name or (is_path and not below)):
        wanted = next(iter(workroom.costumes))
    if wanted not in workroom.costumes:
        raise BadInput([_no_costume(name, workroom, wanted or plain)])
    return workroom, workroom.costumes[wanted]


def find_workroom_of(name: str) -> Workroom:
    """The workroom that a path lies in, or that of the current folder.

    Raises
    ------
    BadInput
        If there is none, or its files cannot be understood.
    """
    return load_workroom(_inside(Path(name or "."))[0])


def _inside(path: Path) -> tuple[Path, tuple[str, ...]]:
    """The workroom of a path and the way from there to it; where links lead is asked if the path as written says nothing."""
    ways: list[tuple[Path, tuple[str, ...]]] = []
    for place in dict.fromkeys((Path(os.path.abspath(path)), path.resolve())):
        try:
            root = find_workroom(place)
        except BadInput:
            continue
        ways.append((root, place.relative_to(root).parts))
    if not ways:
        find_workroom(path)  # says that there is none, in the words of whoever named the path
    return next((way for way in ways if way[1][:1] == ("costumes",)), ways[0])


def _called(name: str, costumes: Mapping[str, Costume]) -> str:
    """The id of the costume of an id or, where only one has it, of a name that is shown."""
    if name in costumes:
        return name
    shown = [key for key, costume in costumes.items() if costume.name.casefold() == name.casefold()]
    return shown[0] if len(shown) == 1 else ""


def _no_costume(name: str, workroom: Workroom, wanted: str) -> Problem:
    known = list(workroom.costumes)
    if wanted == Path(wanted).name != "" and (workroom.folder / "costumes" / wanted).is_dir():
        found, remedy = f"costumes/{wanted}, a folder without costume.toml", "Write its costume.toml, or name another costume."
    else:
        found = repr(name) if name else "nothing"
        remedy = "Write one of these names, or the costume's folder." if known else "Write costumes/NAME/costume.toml."
    there = f"{'one of ' if len(known) > 1 else ''}{', '.join(known)}"
    expected = f"{there} (costumes of {workroom.folder.name})" if known else "a costume, and there is none yet"
    return Problem("", "COSTUME", found, expected, remedy)


def check_only(costume: Costume, only: Iterable[str]) -> None:
    """Refuse a ``--only`` that names no garment of the costume.

    Raises
    ------
    BadInput
        With every such name.
    """
    known = [brief.id for brief in costume.garments]
    expected = f"a garment of {costume.id}: {', '.join(known)}"
    problems = [Problem("", "--only", repr(name), expected, "Write one of these.") for name in only if name not in known]
    if problems:
        raise BadInput(problems)


def read_units(name: str) -> Unit:
    """The unit that ``--units`` names.

    Raises
    ------
    BadInput
        If it is neither centimetres nor inches.
    """
    known = {"cm": Unit.CM, "inch": Unit.INCH, "in": Unit.INCH}
    if name not in known:
        raise BadInput([Problem("", "--units", repr(name), "cm or inch", "Write --units cm or --units inch.")])
    return known[name]


def units_here() -> Unit:
    """The units of the workroom that the current folder belongs to; centimetres where there is none that can be read."""
    try:
        return load_workroom(find_workroom(Path())).settings.units
    except BadInput:
        return Unit.CM


LARGEST = 64 * 1024 * 1024
"""A larger file is no file of pieces, bytes."""


def read_json(path: Path) -> Any:
    """The content of a JSON file in UTF-8.

    Raises
    ------
    BadInput
        If it cannot be read, is not JSON, or has a key twice in one object.
    """
    text = _text(path)
    try:
        return json.loads(text, object_pairs_hook=_once)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise BadInput([Problem(str(path), place, error.msg, "JSON", "Mend the file there.")]) from None
    except RecursionError:
        raise _not_read(path, "lists within lists without end", "JSON", "Correct the brackets.") from None
    except ValueError as error:  # a key twice, or a whole number of thousands of digits
        found = str(error) if str(error).startswith("the key") else "a whole number of thousands of digits"
        raise _not_read(path, found, "JSON", "Correct the value.") from None


def read_bytes(path: Path, what: str = "a file") -> bytes:
    """The contents of a file that a command names.

    Raises
    ------
    BadInput
        If it cannot be read, or is larger than any of ours.
    """
    try:
        with path.open("rb") as file:
            contents = file.read(LARGEST + 1)
    except FileNotFoundError:
        raise _not_read(path, "no file", what, "Check the path.") from None
    except IsADirectoryError:
        raise _not_read(path, "a folder", what, "Name a file in it.") from None
    except (OSError, ValueError) as error:
        words = getattr(error, "strerror", None) or str(error)
        raise _not_read(path, words[:1].lower() + words[1:], "a file that can be read", "Look at the file.") from None
    if len(contents) > LARGEST:
        found, expected = f"more than {LARGEST // 1024**2} MB", f"at most {LARGEST // 1024**2} MB"
        raise _not_read(path, found, expected, "Give fewer pieces at a time.")
    return contents


def _text(path: Path) -> str:
    contents = read_bytes(path, "a JSON file")
    try:
        return contents.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _not_read(path, "bytes that are not text", "JSON in UTF-8", "Save it as UTF-8.") from None


def _not_read(path: Path, found: str, expected: str, remedy: str) -> BadInput:
    return BadInput([Problem(str(path), "", found, expected, remedy)])


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) != len(pairs):
        names = [name for name, _ in pairs]
        raise ValueError(f"the key {next(name for name in names if names.count(name) > 1)!r:.60} twice in one object")
    return table
