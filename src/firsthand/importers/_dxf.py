"""DXF files."""

from __future__ import annotations

import logging
import math
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path as FilePath
from typing import Any

import ezdxf.path
from ezdxf import recover
from ezdxf.lldxf.const import DXFError

from firsthand.errors import BadInput, GeometryError
from firsthand.findings import Finding
from firsthand.geometry import Affine, Box, Cubic, Line, Path, Point, Segment
from firsthand.importers._chains import RawLine
from firsthand.importers._file import EXTERNAL, MOST_ELEMENTS, SKIPPED, UNITS_DXF, checked_file, plain, problem
from firsthand.importers._layers import LAYERS, layer_meaning
from firsthand.importers._sort import Raw, RawMark, sorted_out
from firsthand.importers.model import Meaning, Proposals
from firsthand.units import Unit, parse_length, said

__all__ = ["import_dxf"]

_CURVES = {"LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE"}
_IGNORED = {"ATTDEF", "ATTRIB", "SEQEND", "VERTEX", "VIEWPORT", "DIMENSION", "LEADER"}
_OUTSIDE = {"IMAGE", "PDFUNDERLAY", "DWFUNDERLAY", "DGNUNDERLAY"}
_HEADER_UNITS = {1: "inches", 2: "feet", 4: "millimetres", 5: "centimetres", 6: "metres"}
DEEPEST = 20
REMEDY = "Give the unit when importing."

logging.getLogger("ezdxf").addHandler(logging.NullHandler())  # what it grumbles about is for its makers, not for the screen


def import_dxf(path: str | os.PathLike[str], *, unit: Unit | None = None, layers: Mapping[str, Meaning] = LAYERS) -> Proposals:
    """Outlines of a DXF file.

    Parameters
    ----------
    path
        The file, text or binary; a damaged one is read as far as it goes.
    unit
        What one unit of the drawing measures; None to propose one by the size of the pieces. What the file itself says is
        not trusted: old files cannot say it and many programs write a default.
    layers
        What layer names mean; ASTM D6673 numbers if not given.

    Returns
    -------
    Proposals
        One for each block with an outline, and for each loose closed outline that lies in no other. Arcs, bulges and ellipses
        become cubics to a millionth of their radius, cubic splines stay as they are. References to other files are not
        followed.

    Raises
    ------
    BadInput
        If the file cannot be read, has no closed outline, or an outline crosses itself or is absurdly large.
    """
    file = checked_file(path, "DXF")
    drawing = _opened(file)
    reader = _Reader(file)
    reader.read(drawing)
    findings = reader.findings(drawing)
    size, doubts = _unit_size(reader.raw, drawing, unit)
    findings += doubts
    raw = _scaled(reader.raw, size, file)
    proposals, stray = sorted_out(raw, lambda name: layer_meaning(name, layers), file, REMEDY)
    return Proposals(proposals, (*findings, *stray))


def _opened(file: FilePath) -> Any:
    try:
        return recover.readfile(file)[0]
    except (DXFError, OSError, ValueError, KeyError, IndexError, AttributeError, TypeError, ArithmeticError) as error:
        found = plain(str(error)) or "a file that is not DXF"
        raise BadInput([problem(file, "", found, "a DXF drawing", "Export it again as DXF, release R12 or R2000.")]) from None


class _Reader:
    """Walks a drawing and keeps its lines, points and words in the drawing's own unit."""

    def __init__(self, file: FilePath) -> None:
        self.raw = Raw()
        self._file = file
        self._count = 0
        self._skipped: set[str] = set()
        self._outside = False
        self._instances: dict[str, int] = {}

    def read(self, drawing: Any) -> None:
        """Read the model space; blocks that nothing inserts are read too."""
        self._entities(drawing.modelspace(), "", 0)
        if self.raw.lines or self.raw.marks:
            return
        for block in drawing.blocks:
            if not block.name.startswith("*"):
                self._entities(block, block.name, 1)

    def findings(self, drawing: Any) -> list[Finding]:
        """What was left out."""
        found = []
        if self._outside or any(block.block is not None and block.block.is_xref for block in drawing.blocks):
            found.append(EXTERNAL("The drawing points to other files, which were not followed."))
        if self._skipped:
            found.append(SKIPPED(f"Left out: {', '.join(sorted(self._skipped))}."))
        return found

    def _entities(self, entities: Iterable[Any], group: str, depth: int) -> None:
        for entity in entities:
            self._count += 1
            if self._count > MOST_ELEMENTS:
                found = f"more than {MOST_ELEMENTS} entities"
                raise BadInput([problem(self._file, "", found, "fewer", "Export only the outlines.")])
            try:
                self._entity(entity, group, depth)
            except BadInput:
                raise
            except (DXFError, GeometryError, ValueError, TypeError, ArithmeticError, AttributeError) as error:
                place = f"{entity.dxftype()} {entity.dxf.handle or ''}".strip()
                remedy = "Delete or redraw it and export again."
                raise BadInput(
                    [
                        problem(
                            self._file,
                            place,
                            plain(str(error)) or "what cannot be read",
                            "an entity with finite numbers",
                            remedy,
                        )
                    ]
                ) from None

    def _entity(self, entity: Any, group: str, depth: int) -> None:
        sort, layer = entity.dxftype(), entity.dxf.get("layer", "0")
        handle = str(entity.dxf.handle or f"{sort} {self._count}")
        if sort == "INSERT":
            self._insert(entity, group, depth)
        elif sort in _CURVES:
            for path in _paths(entity):
                self.raw.lines.append(RawLine(path, layer, (handle,), group))
        elif sort == "POINT":
            self.raw.marks.append(RawMark(_point(entity.dxf.location), layer, group))
        elif sort in {"TEXT", "MTEXT"}:
            text = entity.plain_text() if sort == "TEXT" else entity.plain_text().replace("\n", " ")
            if text.strip():
                self.raw.words.append((text.strip(), RawMark(_point(entity.dxf.insert), layer, group)))
        elif sort in _OUTSIDE:
            self._outside = True
        elif sort not in _IGNORED:
            self._skipped.add(sort)

    def _insert(self, insert: Any, group: str, depth: int) -> None:
        if depth >= DEEPEST:
            found = f"blocks within blocks, {DEEPEST} deep"
            raise BadInput(
                [problem(self._file, f"block {insert.dxf.name}", found, "fewer", "Explode the blocks and export again.")]
            )
        name = insert.dxf.name
        key = group or self._key(name)
        for single in insert.multi_insert() if insert.mcount > 1 else (insert,):
            self._entities(single.virtual_entities(), key, depth + 1)

    def _key(self, name: str) -> str:
        self._instances[name] = self._instances.get(name, 0) + 1
        number = self._instances[name]
        key = name if number == 1 else f"{name} {number}"
        self.raw.names[key] = name
        return key


def _point(at: Any) -> Point:
    return Point(float(at[0]), float(at[1]))


def _paths(entity: Any) -> Iterator[Path]:
    """The entity as paths; arcs in cubics of at most 22.5 degrees."""
    path = ezdxf.path.make_path(entity, segments=_arc_count(entity), level=6)
    for one in path.sub_paths() if len(path) else ():
        segments: list[Segment] = []
        here = _point(one.start)
        for command in one.commands():
            end = _point(command.end)
            segments += [s for s in (_segment(here, command, end),) if s.length > 1e-12]
            here = segments[-1].end if segments else here
        if segments:
            yield Path(tuple(segments))


def _segment(a: Point, command: Any, d: Point) -> Segment:
    kind = command.type.name
    if kind == "CURVE4_TO":
        return Cubic(a, _point(command.ctrl1), _point(command.ctrl2), d)
    if kind == "CURVE3_TO":
        middle = _point(command.ctrl)
        return Cubic(a, a.towards(middle, 2 / 3), d.towards(middle, 2 / 3), d)
    return Line(a, d)


def _arc_count(entity: Any) -> int:
    """How many cubics an arc of this entity needs."""
    sort = entity.dxftype()
    if sort == "ARC":
        sweep = (entity.dxf.end_angle - entity.dxf.start_angle) % 360 or 360
        return max(1, math.ceil(sweep / 22.5 - 1e-9))
    if sort in {"LWPOLYLINE", "POLYLINE"}:
        bulges = [abs(v) for v in _bulges(entity)]
        return max(1, math.ceil(4 * math.atan(max(bulges, default=0.0)) / (math.pi / 8) - 1e-9))
    return 16


def _bulges(entity: Any) -> list[float]:
    if entity.dxftype() == "LWPOLYLINE":
        return [float(point[4]) for point in entity.get_points()]
    return [float(vertex.dxf.get("bulge", 0.0)) for vertex in entity.vertices]


# the unit ---------------------------------------------------------------------------------------------------------


def _unit_size(raw: Raw, drawing: Any, unit: Unit | None) -> tuple[float, list[Finding]]:
    """Millimetres in one unit of the drawing, and what must be said about it."""
    if unit is not None:
        return parse_length(1, unit), []
    largest = _largest(raw)
    guess = _guessed(largest, _spoken(raw))
    size = parse_length(1, guess)
    header = _HEADER_UNITS.get(drawing.header.get("$INSUNITS", 0), "nothing")
    return size, [
        UNITS_DXF(
            f"The drawing's unit was taken as {guess.value}: its largest piece is then {said(largest * size)} long.",
            remedy="Measure that piece or a printed test line; if it is wrong give the unit when importing.",
            why=(
                f"largest extent in the file's numbers: {largest:.6g}",
                f"the file's header says {header}, which is not relied on",
            ),
        )
    ]


def _spoken(raw: Raw) -> str:
    """``metric`` or ``english`` where a line of text says so, as files in the manner of ASTM D6673 do (from memory)."""
    for text, _ in raw.words:
        match = re.search(r"\bunits?\s*:\s*(metric|english)", text, re.IGNORECASE)
        if match:
            return match[1].lower()
    return ""


def _largest(raw: Raw) -> float:
    """Extent of the largest block or, without blocks, of the longest single line's chain of its layer."""
    boxes: dict[str, Box] = {}
    for k, line in enumerate(raw.lines):
        key = line.group or (f"closed {k}" if line.path.is_closed else f"open {line.layer}")
        boxes[key] = boxes[key].union(line.path.bounds) if key in boxes else line.path.bounds
    return max((max(box.width, box.height) for box in boxes.values()), default=0.0)


def _guessed(largest: float, spoken: str) -> Unit:
    """The unit by which the largest piece has a likely size: 15 cm to 3 m (common practice for garments)."""
    order = {"english": (Unit.INCH,), "metric": (Unit.MM, Unit.CM, Unit.M)}.get(spoken, (Unit.MM, Unit.INCH, Unit.CM, Unit.M))
    for unit in order:
        if 150.0 <= largest * parse_length(1, unit) <= 3000.0:
            return unit
    return order[0]


def _scaled(raw: Raw, size: float, file: FilePath) -> Raw:
    by = Affine.scaling(size)
    try:
        return Raw(
            [RawLine(line.path.transformed(by), line.layer, line.ids, line.group) for line in raw.lines],
            [RawMark(by(mark.point), mark.layer, mark.group) for mark in raw.marks],
            [(text, RawMark(by(mark.point), mark.layer, mark.group)) for text, mark in raw.words],
            raw.names,
        )
    except GeometryError as error:
        raise BadInput([problem(file, "", str(error), "pieces below ten metres", REMEDY)]) from None
