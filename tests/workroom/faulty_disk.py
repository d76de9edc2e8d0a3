"""Disks that fail: at one chosen operation, by an error, by a torn write, by the end of the process, by the loss of power.

Power loss follows what POSIX promises of ``fsync`` and ``rename``: contents are certain once the file is synced, names once
their folder is; a rename is seen whole or not at all (The Open Group Base Specifications, ``fsync()`` and ``rename()``).
"""

from __future__ import annotations

import errno
import os
import signal
from collections.abc import Callable
from pathlib import Path

from firsthand.workroom._io import RealDisk

OPERATIONS = ("write", "sync", "sync_folder", "rename", "remove", "make_folder", "remove_folder")


class Fall(BaseException):
    """The end of the process; nothing after it happens. Not an Exception, so that nothing catches it."""


class FaultyDisk(RealDisk):
    """The real disk until the operation number ``at`` (from 1); then ``fault`` is called, before the operation is done.

    A torn disk writes half of the file first.
    """

    def __init__(self, at: int = 0, fault: Callable[[], None] = lambda: None, *, torn: bool = False) -> None:
        self.at, self.fault, self.torn = at, fault, torn
        self.count = 0
        self.log: list[str] = []

    def _next(self, what: str, path: Path, data: bytes = b"") -> None:
        self.count += 1
        self.log.append(f"{what} {path.name}")
        if self.count == self.at:
            if self.torn and what == "write":
                path.write_bytes(data[: len(data) // 2])
            self.fault()

    def write(self, path: Path, data: bytes) -> None:
        self._next("write", path, data)
        super().write(path, data)

    def sync(self, path: Path) -> None:
        self._next("sync", path)  # not really: whether contents are certain is modelled below, and tests need not wait

    def sync_folder(self, path: Path) -> None:
        self._next("sync_folder", path)

    def rename(self, old: Path, new: Path) -> None:
        self._next("rename", old)
        super().rename(old, new)

    def remove(self, path: Path) -> None:
        self._next("remove", path)
        super().remove(path)

    def make_folder(self, path: Path) -> None:
        self._next("make_folder", path)
        super().make_folder(path)

    def remove_folder(self, path: Path) -> None:
        self._next("remove_folder", path)
        super().remove_folder(path)


def fall() -> None:
    """The process ends, seen from within it."""
    raise Fall


def kill() -> None:
    """The process ends, really."""
    os.kill(os.getpid(), signal.SIGKILL)


def full() -> None:
    """There is no room left."""
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def read_only() -> None:
    """The folder cannot be written."""
    raise OSError(errno.EROFS, os.strerror(errno.EROFS))


class _File:
    """A file without its names: what was written, and what of it is certain."""

    def __init__(self, written: bytes, certain: bytes | None) -> None:
        self.written, self.certain = written, certain


class PowerDisk(FaultyDisk):
    """A disk that knows what would be left if the power went now."""

    def __init__(self, root: Path, at: int = 0, fault: Callable[[], None] = fall) -> None:
        super().__init__(at, fault)
        self.root = root
        self.names: dict[Path, _File | None] = {}
        for path in sorted(root.rglob("*")):
            contents = path.read_bytes() if path.is_file() else None
            self.names[path] = None if contents is None else _File(contents, contents)
        self.certain = dict(self.names)

    def write(self, path: Path, data: bytes) -> None:
        super().write(path, data)
        self.names[path] = _File(data, None)

    def sync(self, path: Path) -> None:
        super().sync(path)
        file = self.names[path]
        assert file is not None
        file.certain = file.written

    def sync_folder(self, path: Path) -> None:
        super().sync_folder(path)
        for name in {*self.names, *self.certain}:
            if name.parent == path:
                if name in self.names:
                    self.certain[name] = self.names[name]
                else:
                    del self.certain[name]

    def rename(self, old: Path, new: Path) -> None:
        super().rename(old, new)
        self.names[new] = self.names.pop(old)

    def remove(self, path: Path) -> None:
        super().remove(path)
        del self.names[path]

    def make_folder(self, path: Path) -> None:
        super().make_folder(path)
        self.names[path] = None

    def remove_folder(self, path: Path) -> None:
        super().remove_folder(path)
        del self.names[path]

    def after_power_loss(self, target: Path, *, names_survive: bool) -> None:
        """Write what would be left: certain contents only, under all names or under the certain ones only."""
        names = self.names if names_survive else self.certain
        target.mkdir()
        for path in sorted(names, key=lambda path: len(path.parts)):
            place = target / path.relative_to(self.root)
            if not place.parent.is_dir():
                continue  # its folder's name was lost
            file = names[path]
            if file is None:
                place.mkdir()
            else:
                place.write_bytes(file.certain if file.certain is not None else b"")
