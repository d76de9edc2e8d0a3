"""An empty workroom to begin with."""

from __future__ import annotations

from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from firsthand.errors import BadInput, Problem
from firsthand.units import Unit
from firsthand.workroom import commit, find_workroom

__all__ = ["new_workroom"]


def new_workroom(folder: Path, units: Unit = Unit.CM) -> tuple[str, ...]:
    """Write an empty workroom whose files explain themselves.

    Parameters
    ----------
    folder
        A folder that does not exist yet or is empty.
    units
        How the workroom shows lengths; each file may be written in its own.

    Returns
    -------
    tuple of str
        The files written, relative to the folder.

    Raises
    ------
    BadInput
        If there is something in the folder already, it is a file, or it lies within a workroom.
    """
    if folder.is_file() or (folder.is_dir() and any(folder.iterdir())):
        found = "a file" if folder.is_file() else "a folder with files in it"
        raise BadInput([Problem(str(folder), "", found, "a new or empty folder", "Choose another folder.")])
    _refuse_within(folder)
    blank = resources.files("firsthand.workroom") / "blank"
    files = {name: source.read_bytes() for name, source in _below(blank, "")}
    files["workroom.toml"] = files["workroom.toml"].replace(b'units = "cm"', f'units = "{units.value}"'.encode())
    folder.mkdir(parents=True, exist_ok=True)
    commit(folder, files, words="new workroom")
    return tuple(files)


def _refuse_within(folder: Path) -> None:
    try:
        outer = find_workroom(folder.resolve())
    except BadInput:
        return
    found = f"a folder within the workroom {outer.name}"
    raise BadInput([Problem(str(folder), "", found, "a folder outside it", "Choose a folder that is in no workroom.")])


def _below(folder: Traversable, path: str) -> list[tuple[str, Traversable]]:
    found: list[tuple[str, Traversable]] = []
    for entry in sorted(folder.iterdir(), key=lambda e: e.name):
        name = f"{path}{entry.name}"
        found += _below(entry, f"{name}/") if entry.is_dir() else [(name, entry)]
    return found
