"""One save at a time: the lock of a workroom."""

from __future__ import annotations

import contextlib
import json
import os
import socket
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from firsthand.errors import Conflict

__all__ = ["LOCK", "held"]

LOCK = ".lock"
WAIT = 5.0
"""Seconds to wait for somebody else."""

FORGOTTEN = 600.0
"""Seconds after which the mark of another device, come here by synchronising, is taken for forgotten."""


@contextlib.contextmanager
def held(root: Path, *, wait: float | None = None) -> Iterator[None]:
    """Hold the workroom while something is saved.

    The system lets go of the lock when its process ends, however it ends; what a dead process wrote into the file is then
    only a stale mark and is written over.

    Parameters
    ----------
    root
        The workroom.
    wait
        Seconds to wait for somebody else; :data:`WAIT` if not said.

    Raises
    ------
    Conflict
        If somebody else holds it for longer than that, with who it is.
    OSError
        If the folder cannot be written.
    """
    handle = os.open(root / LOCK, os.O_RDWR | os.O_CREAT, 0o644)
    try:
        _take(handle, root, WAIT if wait is None else wait)
        try:
            _refuse_other_device(_mark(handle))
            _write(handle, json.dumps({"pid": os.getpid(), "device": socket.gethostname(), "since": time.time()}))
            yield
        finally:
            with contextlib.suppress(OSError):  # a mark left behind is a stale one
                _write(handle, "")
            _let_go(handle)
    finally:
        os.close(handle)


def _take(handle: int, root: Path, wait: float) -> None:
    until = time.monotonic() + wait
    while not _try(handle):
        if time.monotonic() > until:
            mark = _mark(handle)
            who = f" by process {mark['pid']}" if "pid" in mark else ""
            raise Conflict(f"the workroom {root.name} is being saved{who}; try again in a moment")
        time.sleep(0.02)


if sys.platform == "win32":
    import msvcrt

    def _try(handle: int) -> bool:
        os.lseek(handle, 1 << 20, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _let_go(handle: int) -> None:
        os.lseek(handle, 1 << 20, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)
else:
    import fcntl

    def _try(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def _let_go(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)


def _mark(handle: int) -> dict[str, Any]:
    os.lseek(handle, 0, os.SEEK_SET)
    try:
        mark = json.loads(os.read(handle, 4096) or b"{}")
    except ValueError:
        return {}
    return mark if isinstance(mark, dict) else {}


def _write(handle: int, text: str) -> None:
    os.lseek(handle, 0, os.SEEK_SET)
    os.ftruncate(handle, 0)
    os.write(handle, text.encode())


def _refuse_other_device(mark: dict[str, Any]) -> None:
    """A mark of this device whose lock is free is stale: its process ended. Of another device we cannot know, so we wait."""
    device, since = mark.get("device"), mark.get("since")
    if not isinstance(device, str) or device == socket.gethostname() or not isinstance(since, int | float):
        return
    age = time.time() - since
    if 0 <= age < FORGOTTEN:
        raise Conflict(
            f"the device {device} began to save this workroom {age:.0f} seconds ago; let the folder finish synchronising first"
        )
