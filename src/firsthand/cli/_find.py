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


def read_json(path: Path) -> Any:
    """The content of a JSON file.

    Raises
    ------
    BadInput
        If it is not there or not JSON.
    """
    try:
        return json.loads(path.read_bytes())
    except FileNotFoundError:
        raise BadInput([Problem(str(path), "", "no file", "a JSON file", "Check the path.")]) from None
    except IsADirectoryError:
        raise BadInput([Problem(str(path), "", "a folder", "a JSON file", "Name a file in it.")]) from None
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise BadInput([Problem(str(path), place, error.msg, "JSON", "Mend the file there.")]) from None
    except UnicodeDecodeError:
        raise BadInput([Problem(str(path), "", "bytes that are not text", "JSON in UTF-8", "Save it as UTF-8.")]) from None
