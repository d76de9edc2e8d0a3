"""Finding what a command is about."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from firsthand.errors import BadInput, Problem
from firsthand.units import Unit
from firsthand.workroom import Costume, Workroom, find_workroom, load_workroom

__all__ = ["find_costume", "read_json", "read_units", "units_here"]


def find_costume(name: str) -> tuple[Workroom, Costume]:
    """The costume of a folder or a name, with its workroom.

    Parameters
    ----------
    name
        A costume's folder, a workroom's folder with one costume in it, or a costume's name in the workroom that the current
        folder belongs to; empty for the only costume there.

    Raises
    ------
    BadInput
        If there is no such costume or workroom, or its files cannot be understood.
    """
    folder = Path(name)
    inside = folder if name and folder.is_dir() else Path()
    workroom = load_workroom(find_workroom(inside))
    wanted = folder.resolve().name if name and folder.is_dir() and (folder / "costume.toml").is_file() else name
    if (not name or (folder.is_dir() and wanted == name)) and wanted not in workroom.costumes:
        wanted = next(iter(workroom.costumes)) if len(workroom.costumes) == 1 else wanted
    if wanted not in workroom.costumes:
        known = ", ".join(workroom.costumes) or "none yet"
        raise BadInput([Problem(
            "", "COSTUME", repr(name), f"a costume of the workroom {workroom.folder.name}: {known}",
            "Write one of these names, or the costume's folder.",
        )])  # fmt: skip
    return workroom, workroom.costumes[wanted]


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


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            contents = file.read(LARGEST + 1)
    except FileNotFoundError:
        raise _not_read(path, "no file", "a JSON file", "Check the path.") from None
    except IsADirectoryError:
        raise _not_read(path, "a folder", "a JSON file", "Name a file in it.") from None
    except (OSError, ValueError) as error:
        words = getattr(error, "strerror", None) or str(error)
        raise _not_read(path, words[:1].lower() + words[1:], "a file that can be read", "Look at the file.") from None
    if len(contents) > LARGEST:
        found, expected = f"more than {LARGEST // 1024**2} MB", f"at most {LARGEST // 1024**2} MB"
        raise _not_read(path, found, expected, "Lay fewer pieces at a time.")
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
