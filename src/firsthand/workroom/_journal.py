"""The journal: a save is written down whole before anything is changed, so that it can be finished after a fall.

A save goes through these states, in this order, each on the disk before the next begins:

1. ``.journal/save`` holds all former and all new contents and ends in their digest (written under another name and renamed);
2. ``.history/REVISION/`` holds the former contents, and then ``entry.json``;
3. every file has its new contents (each written beside its place, synced and renamed);
4. ``.journal/save`` is gone.

Before 1 is complete the save never was; after it the save will be. Steps 2 and 3 may be done any number of times.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import uuid
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Any

from firsthand.workroom._io import Disk

__all__ = [
    "HISTORY",
    "JOURNAL",
    "Change",
    "Save",
    "carry_out",
    "clear",
    "digest",
    "entry_folder",
    "latest",
    "pending",
    "record",
]

JOURNAL = ".journal"
HISTORY = ".history"
_NAME, _PART = "save", "save.part"


@dataclass(frozen=True, slots=True)
class Change:
    """What one file held and what it is to hold; None for no file."""

    former: bytes | None
    new: bytes | None


@dataclass(frozen=True, slots=True)
class Save:
    """One save over all the files it touches."""

    revision: int
    words: str
    when: str
    files: Mapping[str, Change]
    undoes: int = 0
    id: str = field(default_factory=lambda: uuid.uuid4().hex)

    def entry(self) -> dict[str, Any]:
        """What is kept of it in the history."""
        return {
            "schema": 1,
            "id": self.id,
            "revision": self.revision,
            "words": self.words,
            "when": self.when,
            "undoes": self.undoes,
            "files": {
                path: {"former": digest(change.former), "new": digest(change.new)} for path, change in self.files.items()
            },
        }


def digest(contents: bytes | None) -> str:
    """SHA-256 of a file's contents; empty for no file."""
    return "" if contents is None else hashlib.sha256(contents).hexdigest()


# writing it down --------------------------------------------------------------------------------------------


def _encoded(save: Save) -> bytes:
    blobs: list[bytes] = []
    files = {}
    for path, change in save.files.items():
        files[path] = [None if blob is None else len(blob) for blob in (change.former, change.new)]
        blobs += [blob for blob in (change.former, change.new) if blob is not None]
    head = {**save.entry(), "files": files}
    body = json.dumps(head).encode() + b"\n" + b"".join(blobs)
    return body + hashlib.sha256(body).hexdigest().encode()


def _decoded(data: bytes) -> Save | None:
    body, check = data[:-64], data[-64:]
    if hashlib.sha256(body).hexdigest().encode() != check:
        return None
    line, _, blobs = body.partition(b"\n")
    head = json.loads(line)
    at = 0
    files: dict[str, Change] = {}
    for path, sizes in head["files"].items():
        parts: list[bytes | None] = []
        for size in sizes:
            parts.append(None if size is None else blobs[at : at + size])
            at += size or 0
        files[path] = Change(*parts)
    return Save(head["revision"], head["words"], head["when"], files, head["undoes"], head["id"])


def record(root: Path, save: Save, disk: Disk) -> None:
    """Write a save down; once this returns it will be carried out, whatever happens."""
    folder = root / JOURNAL
    _make_folders(root, [folder], disk)
    disk.write(folder / _PART, _encoded(save))
    disk.sync(folder / _PART)
    disk.rename(folder / _PART, folder / _NAME)
    disk.sync_folder(folder)


def pending(root: Path) -> Save | None:
    """The save in flight; None if there is none, or what is there is incomplete or was overtaken."""
    try:
        save = _decoded((root / JOURNAL / _NAME).read_bytes())
    except FileNotFoundError:
        return None
    if save is None:
        return None
    revision, last = latest(root)
    in_turn = save.revision == revision + 1 or (save.revision == revision and last == save.id)
    return save if in_turn else None


def clear(root: Path, disk: Disk) -> None:
    """Forget the save in flight."""
    for name in (_NAME, _PART):
        with suppress(FileNotFoundError):
            disk.remove(root / JOURNAL / name)
    disk.sync_folder(root / JOURNAL)


# carrying it out --------------------------------------------------------------------------------------------


def carry_out(root: Path, save: Save, disk: Disk) -> None:
    """Do what a save says, from wherever an earlier try broke off, and forget it."""
    _keep_former(root, save, disk)
    _keep_found(root, save, disk)
    _put(root, {path: change.new for path, change in save.files.items()}, disk)
    clear(root, disk)


def entry_folder(root: Path, revision: int) -> Path:
    """Where the history keeps a revision."""
    return root / HISTORY / f"{revision:06d}"


def _keep_former(root: Path, save: Save, disk: Disk) -> None:
    folder = entry_folder(root, save.revision)
    if (folder / "entry.json").is_file():
        return
    former = {f"former/{path}": change.former for path, change in save.files.items() if change.former is not None}
    _make_folders(root, [folder], disk)
    _put(folder, former, disk)
    _put(folder, {"entry.json": (json.dumps(save.entry(), indent=1) + "\n").encode()}, disk)


def _keep_found(root: Path, save: Save, disk: Disk) -> None:
    """Keep what somebody wrote into a file between the fall and the finishing of the save."""
    strange: dict[str, bytes | None] = {}
    for path, change in save.files.items():
        there = _contents(root / path)
        if there is not None and there not in (change.former, change.new):
            strange[f"found/{path}"] = there
    _put(entry_folder(root, save.revision), strange, disk)


def _contents(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return None


def _put(root: Path, files: Mapping[str, bytes | None], disk: Disk) -> None:
    """Give files their contents, durably; each is whole at every moment."""
    touched: dict[Path, None] = {}
    written: list[tuple[Path, Path]] = []
    for path, contents in files.items():
        target = root / path
        if contents is None:
            if target.exists() or target.is_symlink():
                disk.remove(target)
                touched[target.parent] = None
            continue
        _make_folders(root, [target.parent], disk)
        beside = target.with_name(f".{target.name}.saving")
        disk.write(beside, contents)
        with suppress(OSError):
            shutil.copymode(target, beside)
        disk.sync(beside)
        written.append((beside, target))
    for beside, target in written:
        disk.rename(beside, target)
        touched[target.parent] = None
    for folder in touched:
        disk.sync_folder(folder)
    _drop_empty(root, [PurePosixPath(path).parent for path, contents in files.items() if contents is None], disk)


def _make_folders(root: Path, folders: Iterable[Path], disk: Disk) -> None:
    for folder in folders:
        missing = [part for part in (folder, *folder.parents) if part.is_relative_to(root) and not part.is_dir()]
        for part in reversed(missing):
            disk.make_folder(part)
            disk.sync_folder(part.parent)


def _drop_empty(root: Path, folders: Iterable[PurePosixPath], disk: Disk) -> None:
    for folder in folders:
        for part in (folder, *folder.parents):
            here = root / part
            if part == PurePosixPath(".") or not here.is_dir() or any(here.iterdir()):
                break
            disk.remove_folder(here)


# what was saved ---------------------------------------------------------------------------------------------


def latest(root: Path) -> tuple[int, str]:
    """Number and id of the last save in the history; 0 before the first."""
    try:
        numbers = [int(name.name) for name in (root / HISTORY).iterdir() if name.name.isdigit()]
    except (FileNotFoundError, NotADirectoryError):
        return 0, ""
    for number in sorted(numbers, reverse=True):
        try:
            entry = json.loads((entry_folder(root, number) / "entry.json").read_bytes())
            return number, str(entry["id"])
        except (OSError, ValueError, KeyError, TypeError):
            continue  # its save fell before the history had it whole, and is still in the journal or never was
    return 0, ""
