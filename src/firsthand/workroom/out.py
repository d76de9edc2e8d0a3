"""Putting what was made into a costume's ``out/``: only what changed is written, what is no longer made is removed."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from firsthand.errors import BadInput, Problem
from firsthand.sheets import SheetFile
from firsthand.workroom._cache import Kept, write_whole

__all__ = ["OutFile", "Written", "write_out"]

MANIFEST = ".made.json"


@dataclass(frozen=True, slots=True)
class OutFile:
    """One file in ``out/``; see :class:`firsthand.sheets.SheetFile`."""

    name: str
    kind: str
    title: str
    paper: str
    pages: int
    test_square: float
    sha256: str


@dataclass(frozen=True, slots=True)
class Written:
    """What lies in ``out/`` now, and what of it was written or removed this time."""

    files: tuple[OutFile, ...]
    written: tuple[str, ...]
    removed: tuple[str, ...]


def write_out(folder: Path, sheets: Mapping[str, Kept[tuple[SheetFile, ...]]]) -> Written:
    """Write sheets below a folder.

    Parameters
    ----------
    folder
        Where: a costume's ``out/``.
    sheets
        What was made, by garment.

    Returns
    -------
    Written
        All files that belong to these results, in the order in which they were made.

    Raises
    ------
    BadInput
        If something cannot be written there.
    """
    try:
        return _written(folder, sheets)
    except OSError as error:
        place, reason = str(error.filename or folder), error.strerror or str(error)
        remedy = "Move away what lies there, or make room and let it be written to; then make again."
        raise BadInput([Problem(place, "", reason.lower(), "a file that can be written", remedy)]) from error


def _written(folder: Path, sheets: Mapping[str, Kept[tuple[SheetFile, ...]]]) -> Written:
    before = _read_manifest(folder)
    files: dict[str, list[OutFile]] = {}
    written: list[str] = []
    for name, kept in sheets.items():
        entry = before.get(name, {})
        listed = [OutFile(**item) for item in entry.get("files", ())]
        if entry.get("content") != kept.content or not all(_is_there(folder, item) for item in listed):
            listed = [_put(folder, sheet, written) for sheet in kept.value]
        files[name] = listed
    stay = {item.name for some in files.values() for item in some}
    removed = _remove(folder, {item["name"] for entry in before.values() for item in entry["files"]} - stay)
    manifest = {
        name: {"content": kept.content, "files": [asdict(item) for item in files[name]]} for name, kept in sheets.items()
    }
    write_whole(folder / MANIFEST, json.dumps(manifest, indent=1).encode())
    return Written(tuple(item for some in files.values() for item in some), tuple(written), tuple(removed))


def _read_manifest(folder: Path) -> dict[str, Any]:
    try:
        found = json.loads((folder / MANIFEST).read_bytes())
        named = [OutFile(**item).name for entry in found.values() for item in entry["files"]]
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return {}  # not there, or damaged: everything is written again
    # Files that are no longer made are removed by these names: one that leads out of the folder is not ours.
    return dict(found) if all(_is_inside(folder, name) for name in named) else {}


def _is_inside(folder: Path, name: object) -> bool:
    return isinstance(name, str) and (folder / name).resolve().is_relative_to(folder.resolve())


def _is_there(folder: Path, item: OutFile) -> bool:
    path = folder / item.name
    return path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == item.sha256


def _put(folder: Path, sheet: SheetFile, written: list[str]) -> OutFile:
    made = OutFile(
        sheet.name, sheet.kind, sheet.title, sheet.paper, sheet.pages, sheet.test_square,
        hashlib.sha256(sheet.data).hexdigest(),
    )  # fmt: skip
    if not _is_there(folder, made):
        write_whole(folder / sheet.name, sheet.data)
        written.append(sheet.name)
    return made


def _remove(folder: Path, names: Iterable[str]) -> list[str]:
    removed = []
    for name in sorted(names):
        path = folder / name
        if path.is_file():
            path.unlink()
            removed.append(name)
    return removed
