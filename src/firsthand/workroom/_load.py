"""Reading a whole workroom."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from firsthand.errors import BadInput, Problem
from firsthand.pattern import Pattern
from firsthand.sheets import Settings
from firsthand.steps import Machines
from firsthand.units import Unit
from firsthand.workroom._costumes import body_of, costume_of, fabrics_of, shelf_of
from firsthand.workroom._fittings import fittings_of
from firsthand.workroom._patterns import pattern_of
from firsthand.workroom._reading import Gathered, Raw
from firsthand.workroom._snapshot import Snapshot, files_below, snapshot
from firsthand.workroom.model import Workroom
from firsthand.workroom.schema import (
    CostumeFile,
    Document,
    FabricsFile,
    HaberdasheryFile,
    MachinesFile,
    WearerFile,
    WorkroomFile,
)

__all__ = ["find_workroom", "load_pattern", "load_workroom"]

V = TypeVar("V")
M = TypeVar("M", bound=Document)


def find_workroom(start: str | os.PathLike[str]) -> Path:
    """The workroom that a folder or file lies in.

    Parameters
    ----------
    start
        Where to begin: the workroom itself or anything in it, such as a costume's folder.

    Returns
    -------
    Path
        The nearest folder, from there upwards, with a ``workroom.toml`` in it.

    Raises
    ------
    BadInput
        If there is none.
    """
    here = Path(start).absolute()
    for folder in (here, *here.parents):
        if os.path.lexists(folder / "workroom.toml"):
            return folder
    expected = "a folder with workroom.toml in it or above it"
    raise BadInput([Problem(str(start), "", "no workroom", expected, "Make one with: firsthand new FOLDER")])


def load_workroom(folder: str | os.PathLike[str]) -> Workroom:
    """Read a workroom.

    A save that was cut off is first brought to its end (or, if it had not been recorded, left away).

    Parameters
    ----------
    folder
        The folder with ``workroom.toml`` in it.

    Raises
    ------
    BadInput
        With every problem of every file at once.
    NewerSchema
        If a file was written by a newer version of firsthand.
    """
    root = Path(folder)
    if not os.path.lexists(root / "workroom.toml") and not (root / ".journal").is_dir():
        remedy = "Make one with: firsthand new FOLDER"
        raise BadInput([Problem(str(folder), "", "no workroom.toml", "a workroom's folder", remedy)])
    return _Room(root, snapshot(root)).read()


def load_pattern(folder: str | os.PathLike[str]) -> Pattern:
    """Read one pattern.

    Parameters
    ----------
    folder
        The pattern's folder, with ``pattern.toml`` and ``pieces/`` in it; its name is the pattern's id.

    Raises
    ------
    BadInput
        With every problem of every file at once.
    """
    root = Path(folder).absolute()
    files = {path: contents for path, contents in files_below(root) if path == "pattern.toml" or path.startswith("pieces/")}
    gathered = Gathered()
    pattern, _ = pattern_of(root.name, f"patterns/{root.name}/", files, gathered)
    gathered.finish()
    assert pattern is not None  # without problems there is one
    return pattern


class _Room:
    def __init__(self, root: Path, taken: Snapshot) -> None:
        self._root, self._taken, self._files = root, taken, taken.files
        self._gathered = Gathered(unreadable=taken.unreadable)

    def read(self) -> Workroom:
        gathered, files = self._gathered, self._files
        self._refuse_strange_names()
        settings, name = self._settings()
        machines = self._machines()
        fabrics = fabrics_of(self._if_there("shelf/fabrics.toml", FabricsFile), gathered)
        shelf = shelf_of(self._if_there("shelf/haberdashery.toml", HaberdasheryFile), gathered)
        wearers = {
            key: body_of(key, gathered.read(f"wearers/{key}.toml", files[f"wearers/{key}.toml"], WearerFile), gathered)
            for key in self._wearers()
        }
        patterns = {
            key: pattern_of(key, f"patterns/{key}/", below, gathered)[0] for key, below in self._folders("patterns").items()
        }
        costumes = {
            key: costume_of(
                key,
                gathered.read(f"costumes/{key}/costume.toml", below.get("costume.toml"), CostumeFile),
                self._root / "costumes" / key,
                list(wearers),
                patterns,
                gathered,
            )
            for key, below in self._folders("costumes").items()
        }
        for key, below in self._folders("costumes").items():
            costume = costumes[key]
            garments = [brief.id for brief in costume.garments] if costume else []
            fittings = fittings_of(key, below, garments, list(wearers), gathered) if costume else ()
            costumes[key] = replace(costume, fittings=fittings) if costume else None
        gathered.finish()
        return Workroom(
            folder=self._root,
            settings=settings,
            wearers=_there(wearers),
            fabrics=fabrics,
            shelf=shelf,
            machines=machines,
            patterns=_there(patterns),
            costumes=_there(costumes),
            findings=tuple(gathered.findings),
            revision=self._taken.revision,
            name=name,
            digests=self._taken.digests,
        )

    def _refuse_strange_names(self) -> None:
        """Names of folders and files stand in every answer, so that none may hold signs that play tricks on a terminal."""
        for kind in ("wearers", "patterns", "costumes"):
            for name in sorted({path.split("/")[1] for path in self._files if path.startswith(f"{kind}/")}):
                if not name.isprintable():
                    found, remedy = f"the name {name!r}", "Rename it."
                    self._gathered.problem(kind, "", found, "a name without signs that do not show", remedy)

    def _settings(self) -> tuple[Settings, str]:
        table = self._gathered.read("workroom.toml", self._files.get("workroom.toml"), WorkroomFile).value
        if table is None:
            return Settings(), ""
        return Settings(Unit(table.units), table.papers, table.currency, table.words), table.name

    def _if_there(self, file: str, model: type[M]) -> Raw[M]:
        if file not in self._files:
            return Raw(file, {}, None, True)
        return self._gathered.read(file, self._files[file], model)

    def _machines(self) -> Machines:
        table = self._if_there("machines.toml", MachinesFile).value
        if table is None:
            return Machines()
        return Machines(**{name: getattr(table.machines, name) for name in type(table.machines).model_fields})

    def _wearers(self) -> Iterator[str]:
        for path in self._files:
            parts = path.split("/")
            if len(parts) == 2 and parts[0] == "wearers" and parts[1].endswith(".toml"):
                yield parts[1].removesuffix(".toml")

    def _folders(self, kind: str) -> dict[str, dict[str, bytes | None]]:
        found: dict[str, dict[str, bytes | None]] = {}
        for path, contents in self._files.items():
            top, _, rest = path.partition("/")
            name, _, below = rest.partition("/")
            if top == kind and below:
                found.setdefault(name, {})[below] = contents
        return found


def _there(found: Mapping[str, V | None]) -> dict[str, V]:
    return {key: value for key, value in found.items() if value is not None}
