"""A small whole workroom of our own, as text, for tests to spoil."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from firsthand.errors import BadInput, Problem
from firsthand.workroom import Workroom, load_workroom

PATTERN = """\
schema = 1
units = "cm"
name = "Apron"
sizes = ["S", "M"]

# the bib is cut on the fold
[[piece]]
id = "bib"
number = "1"
name = "Bib"
fold = "centre"
cut = [{ role = "shell", how = "fold" }]

[[piece]]
id = "strap"
number = "2"
cut = [{ role = "shell", how = "pair" }]

[[piece]]
id = "pocket"
cut = [{ role = "shell", how = "single" }]
rough = { S = [20, 15], M = [20, 16] }

[[seam]]
id = "strap"
a = ["strap.end"]
b = ["bib.top"]
ratio = 1

[[level]]
id = "waist"
name = "Waist"
body = "waist_girth"

[[opening]]
id = "neck"
edges = ["strap.long"]
hands = "both"
closure = "bow"

[[closure]]
id = "bow"
kind = "drawstring"
alone = true
"""

COSTUME = """\
schema = 1
units = "cm"
name = "Baker"
wearer = "ines"
due = 2027-05-15

[[session]]
date = 2027-05-01
hours = 2.5

[[garment]]
id = "apron"
pattern = "apron"
size = "M"
sort = "apron"
roles = { shell = "ticking" }
"""

FABRICS = """\
schema = 1
units = "cm"

[[fabric]]
id = "ticking"
width = 140
selvedge = 1
shrink_along = "3 %"
thickness = "0.5 mm"
"""


def edge(name: str, start: list[float], end: list[float], **more: Any) -> dict[str, Any]:
    """A straight edge as it stands in a piece's file."""
    return {"id": name, "corner": {"id": f"{name} corner"}, "start": start, "path": [["line", end]], **more}


def outline(*names: str, width: float = 100.0, height: float = 200.0) -> dict[str, Any]:
    """A rectangle from the lower left corner on, with four names for its edges."""
    corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]]
    ends = [*corners[1:], corners[0]]
    edges = [edge(name, a, b) for name, a, b in zip(names, corners, ends, strict=True)]
    return {"grain": [[width / 2, 10.0], [width / 2, height - 10.0]], "edges": edges}


def piece_file(name: str, *names: str) -> dict[str, Any]:
    """A piece's file with a rectangle in both sizes."""
    sizes = {"S": outline(*names), "M": outline(*names, width=110.0)}
    return {"schema": 1, "units": "mm", "piece": name, "sizes": sizes}


@dataclass
class Room:
    """The files of the workroom: text as it is, what is not text as JSON; None for no file."""

    folder: Path
    files: dict[str, Any] = field(
        default_factory=lambda: {
            "workroom.toml": 'schema = 1\nname = "Ours"\nunits = "cm"\npapers = ["A4", "Letter"]\ncurrency = "EUR"\n',
            "machines.toml": 'schema = 1\nunits = "cm"\n[machines]\ntable = 160\n',
            "wearers/ines.toml": 'schema = 1\nunits = "cm"\nname = "Ines"\n[measurements]\nwaist_girth = [74, "29 1/2 in"]\n',
            "shelf/fabrics.toml": FABRICS,
            "shelf/haberdashery.toml": 'schema = 1\nunits = "cm"\n[[item]]\nid = "tape"\nkind = "tape"\nlength = 300\n',
            "patterns/apron/pattern.toml": PATTERN,
            "patterns/apron/pieces/bib.json": piece_file("bib", "hem", "side", "top", "centre"),
            "patterns/apron/pieces/strap.json": piece_file("strap", "end", "long", "tip", "back"),
            "costumes/baker/costume.toml": COSTUME,
        }
    )

    def write(self) -> Path:
        """Write all files."""
        for path, contents in self.files.items():
            target = self.folder / path
            target.parent.mkdir(parents=True, exist_ok=True)
            if contents is not None:
                data = contents if isinstance(contents, bytes | str) else json.dumps(contents)
                target.write_bytes(data.encode() if isinstance(data, str) else data)
        return self.folder

    def change(self, path: str, old: str, new: str) -> None:
        """Exchange words in a file."""
        assert old in self.files[path]
        self.files[path] = self.files[path].replace(old, new)

    def read(self) -> Workroom:
        """Write and read it."""
        return load_workroom(self.write())

    def problems(self) -> dict[tuple[str, str], Problem]:
        """What is wrong with it, by file and place."""
        with pytest.raises(BadInput) as caught:
            self.read()
        return {(problem.file, problem.place): problem for problem in caught.value.problems}


@pytest.fixture
def room(tmp_path: Path) -> Room:
    """A whole workroom, not yet written."""
    return Room(tmp_path / "room")


@pytest.fixture
def make_room() -> Callable[[Path], Room]:
    """Makes a whole workroom somewhere."""
    return Room
