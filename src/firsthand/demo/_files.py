"""The demo workroom on disk: hand-written files from this package, and the drafted patterns written beside them."""

from __future__ import annotations

import os
from collections.abc import Mapping
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from firsthand.demo._cape import cape
from firsthand.demo._cards import hood, ruff
from firsthand.demo._hose import hose
from firsthand.demo._jerkin import jerkin
from firsthand.demo._shirt import shirt
from firsthand.demo._skirt import skirt
from firsthand.demo._tools import tidied
from firsthand.errors import BadInput, Problem
from firsthand.pattern import Pattern

__all__ = ["COSTUME", "demo_files", "demo_patterns", "write_demo"]

COSTUME = "costumes/tide-warden"
"""The costume's folder below the demo workroom."""
DAYBOOK = f"{COSTUME}/daybook.jsonl"
MARKS = ("workroom.toml", "wearers/isaura.toml", f"{COSTUME}/costume.toml")
"""A folder with these files is taken for a demo workroom."""


def demo_patterns() -> Mapping[str, Pattern]:
    """The seven patterns of the costume, by id.

    Examples
    --------
    >>> patterns = demo_patterns()
    >>> list(patterns), patterns["cape"].trimmed
    (['shirt', 'hose', 'skirt', 'jerkin', 'cape', 'hood', 'ruff'], ('L',))
    """
    made = (shirt(), hose(), skirt(), jerkin(), cape(), hood(), ruff())
    return {pattern.id: tidied(pattern) for pattern in made}


def demo_files() -> dict[str, bytes]:
    """Every file of the demo workroom, by its path below it."""
    from firsthand.workroom import pattern_files

    files = dict(_below(resources.files("firsthand.demo") / "files", ""))
    files[DAYBOOK] = b""
    for name, pattern in demo_patterns().items():
        files |= {f"patterns/{name}/{path}": data for path, data in pattern_files(pattern).items()}
    return dict(sorted(files.items()))


def _below(folder: Traversable, path: str) -> list[tuple[str, bytes]]:
    found: list[tuple[str, bytes]] = []
    for entry in sorted(folder.iterdir(), key=lambda one: one.name):
        name = f"{path}{entry.name}"
        found += _below(entry, f"{name}/") if entry.is_dir() else [(name, entry.read_bytes())]
    return found


def write_demo(folder: str | os.PathLike[str]) -> Path:
    """Write the demo workroom, or set one back to how it was written.

    What is set back stays in the workroom's history. The daybook of work done is left as it is.

    Parameters
    ----------
    folder
        A folder that does not exist yet, is empty, or holds a demo workroom.

    Returns
    -------
    Path
        The costume's folder in it.

    Raises
    ------
    BadInput
        If something else is in the folder, or it is a file.
    """
    from firsthand.workroom import commit

    root = Path(folder)
    _refuse_other_folders(root)
    files = {path: data for path, data in demo_files().items() if path != DAYBOOK or not (root / path).exists()}
    commit(root, files, words="the demo workroom")
    return root / COSTUME


def _refuse_other_folders(root: Path) -> None:
    if root.is_dir():
        # Dot files alone are what a save that broke off leaves behind: commit finishes it.
        if all(one.name.startswith(".") for one in root.iterdir()) or all((root / name).is_file() for name in MARKS):
            return
        found = "a folder with other files in it"
    elif root.exists():
        found = "a file"
    else:
        return
    raise BadInput([Problem(str(root), "", found, "a new or empty folder, or a demo workroom", "Choose another folder.")])
