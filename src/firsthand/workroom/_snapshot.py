"""All files of a workroom at one moment, even while somebody else saves."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from firsthand.errors import Conflict
from firsthand.workroom._commit import recover
from firsthand.workroom._journal import JOURNAL, Save, digest, latest

__all__ = ["Snapshot", "files_below", "snapshot"]


@dataclass(frozen=True, slots=True)
class Snapshot:
    """Files as they were at one moment.

    Parameters
    ----------
    files
        Contents by path below the workroom; None for a file that ought to be there.
    unreadable
        Why a file could not be read, by path.
    """

    files: Mapping[str, bytes | None]
    revision: int = 0
    unreadable: Mapping[str, str] = field(default_factory=dict)

    @property
    def digests(self) -> dict[str, str]:
        """SHA-256 of each file."""
        return {path: digest(contents) for path, contents in self.files.items() if contents is not None}


def snapshot(root: Path) -> Snapshot:
    """Read all files of a workroom.

    Raises
    ------
    Conflict
        If somebody else goes on saving all the time.
    """
    for _ in range(50):
        waiting = recover(root)
        before = _token(root)
        taken = _read(root, waiting)
        if _token(root) == before:
            return taken
        time.sleep(0.02)
    raise Conflict(f"the workroom {root.name} is being changed all the time; try again in a moment")


def _token(root: Path) -> tuple[object, ...]:
    try:
        there = (root / JOURNAL / "save").stat()
    except OSError:
        return latest(root)
    return (*latest(root), there.st_mtime_ns, there.st_size, there.st_ino)


def _read(root: Path, waiting: Save | None) -> Snapshot:
    files: dict[str, bytes | None] = {}
    unreadable: dict[str, str] = {}
    for path in _paths(root):
        try:
            files[path] = (root / path).read_bytes()
        except OSError as error:
            files[path] = None
            if not isinstance(error, FileNotFoundError) or (root / path).is_symlink():
                unreadable[path] = _why(root / path, error)
    revision = latest(root)[0]
    if waiting is not None:
        revision = waiting.revision
        for path, change in waiting.files.items():
            files.pop(path, None)
            if change.new is not None and _is_ours(path):
                files[path] = change.new
    return Snapshot(dict(sorted(files.items())), revision, unreadable)


def _why(path: Path, error: OSError) -> str:
    if path.is_dir():
        return "it is a folder"
    return "a link that leads nowhere" if isinstance(error, FileNotFoundError) else error.strerror or str(error)


def _is_ours(path: str) -> bool:
    parts = path.split("/")
    match parts[0], len(parts):
        case (("workroom.toml" | "machines.toml"), 1):
            return True
        case ("wearers", 2):
            return path.endswith(".toml")
        case ("shelf", 2):
            return parts[1] in _SHELF
        case ("patterns", 3):
            return parts[2] == "pattern.toml"
        case ("patterns", 4):
            return parts[2] == "pieces" and path.endswith(".json")
        case ("costumes", 3):
            return parts[2] == "costume.toml"
        case ("costumes", 4):
            return parts[2] == "fittings" and path.endswith(".toml")
    return False


_SHELF = ("fabrics.toml", "haberdashery.toml")


def _paths(root: Path) -> Iterator[str]:
    yield from (name for name in ("workroom.toml", "machines.toml") if os.path.lexists(root / name))
    yield from (f"wearers/{name}" for name in _entries(root / "wearers") if name.endswith(".toml"))
    yield from (f"shelf/{name}" for name in _SHELF if os.path.lexists(root / "shelf" / name))
    for name in _folders(root / "patterns"):
        yield from (f"patterns/{name}/{below}" for below in _pattern_paths(root / "patterns" / name))
    for name in _folders(root / "costumes"):
        # A folder with nothing but results, or the day book, in it is what is left of a costume taken away.
        folder = root / "costumes" / name
        if os.path.lexists(folder / "costume.toml") or set(_files(folder)) - {"daybook.jsonl"}:
            yield f"costumes/{name}/costume.toml"
            yield from (f"costumes/{name}/fittings/{one}" for one in _entries(folder / "fittings") if one.endswith(".toml"))


def _pattern_paths(folder: Path) -> Iterator[str]:
    pieces = [name for name in _entries(folder / "pieces") if name.endswith(".json")]
    if pieces or _files(folder) or os.path.lexists(folder / "pattern.toml"):
        yield "pattern.toml"
    yield from (f"pieces/{name}" for name in pieces)


def files_below(folder: Path) -> Iterator[tuple[str, bytes | None]]:
    """The files of one pattern's folder."""
    for path in ["pattern.toml", *(path for path in _pattern_paths(folder) if path != "pattern.toml")]:
        file = folder / path
        yield path, file.read_bytes() if file.is_file() else None


def _files(folder: Path) -> list[str]:
    return _entries(folder, os.DirEntry.is_file)


def _folders(folder: Path) -> list[str]:
    return _entries(folder, os.DirEntry.is_dir)


def _entries(folder: Path, wanted: Callable[[os.DirEntry[str]], bool] = lambda entry: True) -> list[str]:
    """Names below a folder; without a wish those of anything, so that what cannot be read is not taken for absent."""
    try:
        with os.scandir(folder) as entries:
            return sorted(entry.name for entry in entries if not entry.name.startswith(".") and wanted(entry))
    except (FileNotFoundError, NotADirectoryError):
        return []
