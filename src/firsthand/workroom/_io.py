"""The few things a save does to a disk, behind one small protocol, so that a test can let each of them fail."""

from __future__ import annotations

import errno
import os
import sys
from pathlib import Path
from typing import Protocol

__all__ = ["DISK", "Disk", "RealDisk"]


class Disk(Protocol):
    """What a save needs from a disk. Every method may raise OSError."""

    def write(self, path: Path, data: bytes) -> None:
        """Write a file anew; nothing is certain before :meth:`sync`."""

    def sync(self, path: Path) -> None:
        """Wait until the contents of a file are on the disk."""

    def sync_folder(self, path: Path) -> None:
        """Wait until the names in a folder are on the disk."""

    def rename(self, old: Path, new: Path) -> None:
        """Give a file the name of another one, in one act."""

    def remove(self, path: Path) -> None:
        """Take a file away."""

    def make_folder(self, path: Path) -> None:
        """Make a folder whose parent is there."""

    def remove_folder(self, path: Path) -> None:
        """Take an empty folder away."""


class RealDisk:
    """The disk itself."""

    def write(self, path: Path, data: bytes) -> None:
        """Write a file anew."""
        path.write_bytes(data)

    def sync(self, path: Path) -> None:
        """Wait until the contents of a file are on the disk."""
        handle = os.open(path, os.O_RDWR)
        try:
            _flush(handle)
        finally:
            os.close(handle)

    def sync_folder(self, path: Path) -> None:
        """Wait until the names in a folder are on the disk (where the system can say so)."""
        if sys.platform == "win32":
            return
        handle = os.open(path, os.O_RDONLY)
        try:
            os.fsync(handle)
        except OSError as error:
            if error.errno not in (errno.EINVAL, errno.ENOTSUP):  # some network folders cannot sync names
                raise
        finally:
            os.close(handle)

    def rename(self, old: Path, new: Path) -> None:
        """Give a file the name of another one, in one act (POSIX ``rename``)."""
        os.replace(old, new)

    def remove(self, path: Path) -> None:
        """Take a file away."""
        path.unlink()

    def make_folder(self, path: Path) -> None:
        """Make a folder whose parent is there."""
        path.mkdir()

    def remove_folder(self, path: Path) -> None:
        """Take an empty folder away."""
        path.rmdir()


def _flush(handle: int) -> None:
    if sys.platform == "darwin":
        import fcntl

        fcntl.fcntl(handle, fcntl.F_FULLFSYNC)  # fsync alone leaves the data in the drive's own memory there
    else:
        os.fsync(handle)


DISK = RealDisk()
