"""Saving: one commit over all the files it touches; undo and restore, which are commits too."""

from __future__ import annotations

import datetime
import json
import os
import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from firsthand.errors import BadInput, Conflict, NothingToTakeBack, NotSaved, NotThere, Problem
from firsthand.workroom._io import DISK, Disk
from firsthand.workroom._journal import (
    HISTORY,
    JOURNAL,
    Change,
    Save,
    carry_out,
    clear,
    digest,
    entry_folder,
    latest,
    pending,
    record,
)
from firsthand.workroom._lock import LOCK, held

__all__ = ["Entry", "commit", "history", "recover", "restore", "undo"]

Folder = str | os.PathLike[str]

LONGEST_NAME, LONGEST_PATH = 200, 700
_STRANGE = re.compile(r'[\\:<>"|?*\x00-\x1f\ud800-\udfff]|[. ]$')
"""Signs that one system or another does not allow in a file's name; workrooms travel between devices."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One save of the past.

    Parameters
    ----------
    revision
        Its number, from 1.
    words
        What was done.
    when
        UTC, ISO form.
    files
        The files it touched.
    undoes
        The save that it took back; 0 for none.
    """

    revision: int
    words: str
    when: str
    files: tuple[str, ...]
    undoes: int = 0


def commit(
    folder: Folder,
    files: Mapping[str, bytes | None],
    *,
    words: str,
    expected_revision: int | None = None,
    expected: Mapping[str, str] | None = None,
    disk: Disk = DISK,
) -> int:
    """Save files: all of them or none, whatever happens in between.

    Parameters
    ----------
    folder
        The workroom; made if it is not there.
    files
        New contents by path below the workroom, with ``/``; None takes the file away.
    words
        What was done, in a few words, for the history.
    expected_revision
        The revision that the new contents were made from.
    expected
        SHA-256 by path (empty for no file) of the files that the new contents were made from, as in
        :attr:`firsthand.workroom.Workroom.digests`.
    disk
        What to write with.

    Returns
    -------
    int
        The new revision; the former one if nothing changed.

    Raises
    ------
    Conflict
        If somebody else saves now, has saved since ``expected_revision``, or changed an ``expected`` file.
    BadInput
        If a path leads out of the workroom or into what firsthand keeps there.
    NotSaved
        If it could not be written. Unless it says that the save is recorded, nothing was changed.
    """
    return _commit(Path(folder), files, words, expected_revision, expected or {}, disk, 0)


def _commit(
    root: Path,
    files: Mapping[str, bytes | None],
    words: str,
    expected_revision: int | None,
    expected: Mapping[str, str],
    disk: Disk,
    undoes: int,
) -> int:
    recorded = False
    try:
        _make_root(root, disk)
        _refuse_bad_paths(root, files)
        with held(root):
            _finish(root, disk)
            revision, _ = latest(root)
            _refuse_conflicts(root, revision, expected_revision, expected)
            changes = _changes(root, files)
            if not changes:
                return revision
            save = Save(revision + 1, words, _now(), changes, undoes)
            _record(root, save, disk)
            recorded = True
            carry_out(root, save, disk)
            return save.revision
    except (Conflict, NotSaved):
        raise
    except OSError as error:
        raise _not_saved(root, error, recorded) from error


def _record(root: Path, save: Save, disk: Disk) -> None:
    try:
        record(root, save, disk)
    except OSError as error:
        with suppress(OSError):
            clear(root, disk)
        stays = pending(root)
        raise _not_saved(root, error, stays is not None and stays.id == save.id) from error


def _not_saved(root: Path, error: OSError, recorded: bool) -> NotSaved:
    why = error.strerror or str(error)
    after = "it is recorded and will be finished when the workroom is opened again" if recorded else "nothing was changed"
    return NotSaved(f"could not save to {root.name}: {why}; {after}", recorded=recorded)


def _make_root(root: Path, disk: Disk) -> None:
    missing = [part for part in (root, *root.parents) if not part.exists()]
    for part in reversed(missing):
        disk.make_folder(part)
        disk.sync_folder(part.parent)


def _now() -> str:
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")


def _changes(root: Path, files: Mapping[str, bytes | None]) -> dict[str, Change]:
    changes = {path: Change(_former(root / path), new) for path, new in sorted(files.items())}
    return {path: change for path, change in changes.items() if change.former != change.new}


def _former(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _refuse_conflicts(root: Path, revision: int, expected_revision: int | None, expected: Mapping[str, str]) -> None:
    if expected_revision is not None and expected_revision != revision:
        raise Conflict(
            f"the workroom is at revision {revision}, not {expected_revision}: somebody saved meanwhile; read it again"
        )
    for path, known in expected.items():
        if digest(_former(root / path)) != known:
            raise Conflict(f"{path} was changed meanwhile by somebody else; read it again")


# paths ------------------------------------------------------------------------------------------------------


def _refuse_bad_paths(root: Path, files: Iterable[str]) -> None:
    problems = [
        Problem(path, "", found, expected, "Choose another name.") for path in files for found, expected in _bad(root, path)
    ]
    names = list(files)
    inside = {parent for path in names for parent in map(str, PurePosixPath(path).parents)}
    problems += [
        Problem(path, "", "a file and a folder of one name", "one", "Choose another name.") for path in names if path in inside
    ]
    if problems:
        raise BadInput(problems)


def _bad(root: Path, path: str) -> Iterable[tuple[str, str]]:
    parts = path.split("/")
    if any(part in ("", ".", "..") or _STRANGE.search(part) for part in parts):
        yield "a path that is not plainly below the workroom", "names joined by /, without the signs that some systems refuse"
        return
    if parts[0].lower() in (HISTORY, JOURNAL, LOCK) or parts[-1].endswith(".saving"):
        yield "a name that firsthand keeps for itself", "another name"
        return
    # A name that the disk refuses must be found before the save is recorded, or it could never be finished.
    if any(len(part.encode()) > LONGEST_NAME for part in parts) or len(path.encode()) > LONGEST_PATH:
        yield "a very long name", f"at most {LONGEST_NAME} letters"
        return
    target, whole = root / path, root.resolve()
    if not target.parent.resolve().is_relative_to(whole):
        yield "a link that leads out of the workroom", "a folder in it"
    elif target.is_dir() or any(part.exists() and not part.is_dir() for part in target.parents if part.is_relative_to(root)):
        yield "a file and a folder of one name", "one of the two"


# after a fall -----------------------------------------------------------------------------------------------


def recover(folder: Folder, *, disk: Disk = DISK) -> Save | None:
    """Finish a save that broke off, or drop what was not yet recorded of it.

    Parameters
    ----------
    folder
        The workroom.
    disk
        What to write with.

    Returns
    -------
    Save or None
        A save that is recorded but cannot be finished now (somebody holds the folder, or it cannot be written): whoever
        reads the files must read its contents instead of theirs.
    """
    root = Path(folder)
    if not (root / JOURNAL / "save").is_file() and not (root / JOURNAL / "save.part").is_file():
        return None
    try:
        with held(root):
            _finish(root, disk)
    except OSError:  # a Conflict too
        return pending(root)
    return None


def _finish(root: Path, disk: Disk) -> None:
    save = pending(root)
    if save is not None:
        carry_out(root, save, disk)
    elif (root / JOURNAL).is_dir() and any((root / JOURNAL).iterdir()):
        clear(root, disk)


# the past ---------------------------------------------------------------------------------------------------


def history(folder: Folder) -> tuple[Entry, ...]:
    """Every save there was, the first one first."""
    recover(folder)
    return tuple(
        Entry(entry["revision"], entry["words"], entry["when"], tuple(entry["files"]), entry["undoes"])
        for entry in _entries(Path(folder))
    )


def _entries(root: Path) -> list[dict[str, Any]]:
    found = []
    for number in range(1, latest(root)[0] + 1):
        with suppress(OSError, ValueError):
            found.append(json.loads((entry_folder(root, number) / "entry.json").read_bytes()))
    return found


def _former_at(root: Path, entry: Mapping[str, Any], path: str) -> bytes | None:
    if not entry["files"][path]["former"]:
        return None
    return (entry_folder(root, entry["revision"]) / "former" / path).read_bytes()


def undo(folder: Folder, *, over_edits: bool = False, disk: Disk = DISK) -> int:
    """Take back the last save that was not taken back yet. What it overwrites is kept in the history.

    Parameters
    ----------
    folder
        The workroom.
    over_edits
        Whether files that were edited by hand since may be set back as well.
    disk
        What to write with.

    Returns
    -------
    int
        The new revision.

    Raises
    ------
    NotThere
        If there is nothing to take back.
    Conflict
        If a file of it was edited since, or somebody else saves now.
    """
    root = Path(folder)
    recover(root, disk=disk)
    entries = _entries(root)
    undone = {entry["undoes"] for entry in entries}
    last = next((e for e in reversed(entries) if not e["undoes"] and e["revision"] not in undone), None)
    if last is None or _is_beginning(root, last):
        raise NothingToTakeBack
    files = {path: _former_at(root, last, path) for path in last["files"]}
    known = {} if over_edits else {path: digests["new"] for path, digests in last["files"].items()}
    return _commit(root, files, f"undo: {last['words']}", entries[-1]["revision"], known, disk, last["revision"])


def _is_beginning(root: Path, entry: dict[str, Any]) -> bool:
    """Whether a save made the workroom itself: taking that back would leave nothing to go on from."""
    return "workroom.toml" in entry["files"] and _former_at(root, entry, "workroom.toml") is None


def restore(folder: Folder, revision: int, *, over_edits: bool = False, disk: Disk = DISK) -> int:
    """Bring every saved file back to what it was after a save, as a new save.

    Parameters
    ----------
    folder
        The workroom.
    revision
        The number of that save; 0 for before the first.
    over_edits
        Whether files that were edited by hand since the last save may be set back as well.
    disk
        What to write with.

    Returns
    -------
    int
        The new revision.

    Raises
    ------
    NotThere
        If there was no such save.
    Conflict
        If a file was edited by hand since the last save, or somebody else saves now.
    """
    root = Path(folder)
    recover(root, disk=disk)
    entries = _entries(root)
    numbers = [0, *(entry["revision"] for entry in entries)]
    if revision not in numbers:
        raise NotThere("revision", str(revision), map(str, numbers))
    files: dict[str, bytes | None] = {}
    known: dict[str, str] = {}
    for entry in entries[numbers.index(revision) :]:
        for path, digests in entry["files"].items():
            known[path] = digests["new"]
            if path not in files:
                files[path] = _former_at(root, entry, path)
    return _commit(root, files, f"back to revision {revision}", numbers[-1], {} if over_edits else known, disk, 0)
