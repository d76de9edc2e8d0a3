"""Outlines: from their tables to shapes, with everything that can be wrong with an outline; and back."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from firsthand.errors import GeometryError
from firsthand.geometry import Cubic, Line, Path, Point, Segment, self_crossings
from firsthand.pattern import (
    Corner,
    Dart,
    Edge,
    Fate,
    InnerLine,
    LevelLine,
    Notch,
    Pleat,
    Shape,
)
from firsthand.units import Unit, format_length
from firsthand.workroom._reading import Gathered
from firsthand.workroom._words import listed
from firsthand.workroom.schema import EdgeTable, ShapeTable
from firsthand.workroom.schema._piece import Steps

__all__ = ["shape_of"]

JOINED = 1e-6  # mm; what the geometry takes for one point
GAP = 0.01  # mm; an outline may be so far from closed: the rounding of a drawing program
FLAT = 0.1  # mm; how finely an outline is flattened to look for crossings
SMALLEST = 1.0  # mm2; an outline of less has no sense


def shape_of(table: ShapeTable, file: str, place: str, gathered: Gathered) -> Shape | None:
    """The shape that a table of a piece's file means; None, with problems entered, if something is wrong with it.

    Parameters
    ----------
    table
        One size of the piece.
    file, place
        Where it stands.
    gathered
        Where problems are entered.
    """
    reader = _Reader(file, place, gathered)
    before = len(gathered.problems)
    edges = reader.edges(table.edges)
    lines = reader.lines(table)
    reader.marks(table, edges)
    reader.levels(table)
    if table.grain[0].distance(table.grain[1]) < 1.0:
        reader.problem("grain", "two points in one place", "a line of at least 1 mm", "Draw the grain line longer.")
    if len(gathered.problems) == before and len(edges) == len(table.edges):
        reader.outline(edges)
    if len(gathered.problems) > before:
        return None
    return gathered.built(file, place, lambda: _shape(table, edges, lines))


def _shape(table: ShapeTable, edges: dict[str, Edge], lines: tuple[InnerLine, ...]) -> Shape:
    return Shape(
        edges=tuple(edges.values()),
        grain=table.grain,
        notches=tuple(Notch(n.id, n.edge, n.at, n.kind) for n in table.notches),
        darts=tuple(Dart(d.id, d.edge, d.at, d.width, d.apex, d.pressed) for d in table.darts),
        pleats=tuple(
            Pleat(p.id, p.edge, p.at, p.depth, p.kind, p.towards_end, p.reach, p.depths, p.towards) for p in table.pleats
        ),
        lines=lines,
        levels=tuple(LevelLine(level.level, level.a, level.b) for level in table.levels),
    )


def path_of(start: Point, steps: Steps) -> Path:
    """The path from a start through the ends of its segments."""
    segments: list[Segment] = []
    for points in steps:
        segments.append(Line(start, points[0]) if len(points) == 1 else Cubic(start, points[0], points[1], points[2]))
        start = points[-1]
    return Path(tuple(segments))


class _Reader:
    def __init__(self, file: str, place: str, gathered: Gathered) -> None:
        self._file, self._place, self._gathered = file, place, gathered

    def problem(self, at: str, found: str, expected: str, remedy: str) -> None:
        self._gathered.problem(self._file, f"{self._place}{'.' if at else ''}{at}", found, expected, remedy)

    def path(self, at: str, start: Point, steps: Steps) -> Path | None:
        here = start
        for number, points in enumerate(steps, 1):
            if all(here.distance(point) <= JOINED for point in points):
                self.problem(f"{at}.path[{number}]", "a segment of no length", "two different points", "Take it out.")
                return None
            here = points[-1]
        return path_of(start, steps)

    def edges(self, tables: Sequence[EdgeTable]) -> dict[str, Edge]:
        made: dict[str, Edge] = {}
        corners: set[str] = set()
        for number, (table, before) in enumerate(zip(tables, [tables[-1], *tables[:-1]], strict=True), 1):
            at = f"edges[{number}]"
            for what, name, seen in (("id", table.id, made), ("corner.id", table.corner.id, corners)):
                if name in seen:
                    self.problem(f"{at}.{what}", repr(name), "an id used once", "Give it an id of its own.")
            corners.add(table.corner.id)
            start = self._joined(at, table, before)
            path = self.path(at, start, table.path)
            if path is not None:
                fate = Fate(table.fate.kind, table.fate.depth) if table.fate else None
                corner = Corner(table.corner.id, table.corner.shape)
                made[table.id] = Edge(table.id, corner, path, table.allowance, table.inlay, fate)
        return made

    def _joined(self, at: str, table: EdgeTable, before: EdgeTable) -> Point:
        """Where the edge starts: exactly at the end of the one before if it is within a hair of it."""
        end = before.path[-1][-1]
        gap = end.distance(table.start)
        if gap > GAP:
            self.problem(
                f"{at}.start",
                f"a gap of {format_length(gap, Unit.MM, digits=2)} after edge {before.id}",
                "each edge to start where the one before ends",
                "Move the start, or put the missing edge in.",
            )
        return end if JOINED < gap <= GAP else table.start

    def lines(self, table: ShapeTable) -> tuple[InnerLine, ...]:
        made = []
        for number, line in enumerate(table.lines, 1):
            path = self.path(f"lines[{number}]", line.start, line.path)
            if path is not None:
                made.append(InnerLine(line.id, line.kind, path))
        return tuple(made)

    def marks(self, table: ShapeTable, edges: dict[str, Edge]) -> None:
        known = [edge.id for edge in table.edges]
        once = len(set(known)) == len(known)  # else a name may be missing because another one stands in its place
        for name in ("notches", "darts", "pleats"):
            seen: set[str] = set()
            for number, mark in enumerate(getattr(table, name), 1):
                at = f"{name}[{number}]"
                if mark.id in seen:
                    self.problem(f"{at}.id", repr(mark.id), "an id used once", "Give it an id of its own.")
                seen.add(mark.id)
                if mark.edge not in known and not once:
                    continue
                if mark.edge not in known:
                    expected = f"an edge of this piece: {listed(known)}"
                    self.problem(f"{at}.edge", repr(mark.edge), expected, "Name one of these edges.")
                elif mark.edge in edges and not _within(edges[mark.edge].path, mark.at):
                    length = format_length(edges[mark.edge].path.length, Unit.MM)
                    found = format_length(mark.at, Unit.MM)
                    self.problem(f"{at}.at", found, f"a place on the edge, which is {length} long", "Correct the place.")

        for number, pleat in enumerate(table.pleats, 1):
            places = [place for place, _ in pleat.depths]
            if any(two <= one for one, two in itertools.pairwise(places)):
                expected = "distances from the edge that grow"
                self.problem(f"pleats[{number}].depths", str(places), expected, "Write them in order, each once.")

    def levels(self, table: ShapeTable) -> None:
        for number, level in enumerate(table.levels, 1):
            if level.a.distance(level.b) <= JOINED:
                self.problem(f"levels[{number}].b", "the same point as a", "another point", "Draw the level across the piece.")

    def outline(self, edges: dict[str, Edge]) -> None:
        try:
            path = Path.joined(edge.path for edge in edges.values())
        except GeometryError as error:
            self.problem("edges", str(error), "one closed outline", "Correct the points.")
            return
        if _crosses(_flat(path)) and (crossings := self_crossings(path)):
            self._crossing(crossings[0].point, edges)
        elif path.area < 0:
            remedy = "Turn the order of the edges round, and each edge."
            self.problem("edges", "an outline that runs clockwise", "one that runs counter-clockwise", remedy)
        elif path.area < SMALLEST:
            self.problem("edges", "an outline without area", "a piece of cloth", "Correct the points.")

    def _crossing(self, point: Point, edges: dict[str, Edge]) -> None:
        names = [edge.id for edge in edges.values() if _touches(edge.path, point)]
        where = f" ({' and '.join(names)})" if names else ""
        found = f"an outline that crosses itself at ({point.x:.1f}, {point.y:.1f}) mm{where}"
        self.problem("edges", found, "an outline without crossings", "Correct the points near that place.")


def _touches(path: Path, point: Point) -> bool:
    points = path.flattened(FLAT)
    return any(_distance(point, a, b) < 2 * FLAT for a, b in itertools.pairwise(points))


def _distance(point: Point, a: Point, b: Point) -> float:
    along = b - a
    share = (point - a).dot(along) / (along.dot(along) or 1.0)
    return point.distance(a.towards(b, min(1.0, max(0.0, share))))


def _within(path: Path, at: float) -> bool:
    if at <= path.start.distance(path.end):  # an arc is never shorter than its chord
        return True
    return at <= path.length + GAP


XY = tuple[float, float]


def _flat(path: Path) -> list[XY]:
    """The corners of a polygon within :data:`FLAT` of a closed path; plain numbers, since every outline read passes here."""
    points: list[XY] = []
    for segment in path.segments:
        if isinstance(segment, Line):
            points.append((segment.b.x, segment.b.y))
            continue
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = ((p.x, p.y) for p in (segment.a, segment.b, segment.c, segment.d))
        bend = max(math.hypot(ax - 2 * bx + cx, ay - 2 * by + cy), math.hypot(bx - 2 * cx + dx, by - 2 * cy + dy))
        count = max(1, math.ceil(math.sqrt(0.75 * bend / FLAT)))  # Wang's formula
        for k in range(1, count):
            t = k / count
            s = 1.0 - t
            i, j, m, n = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
            points.append((i * ax + j * bx + m * cx + n * dx, i * ay + j * by + m * cy + n * dy))
        points.append((dx, dy))
    return points


Stretch = tuple[float, float, float, float, int, float, float, float, float]
"""Left, right, low and high of a side, its number and its ends."""


def _crosses(points: Sequence[XY]) -> bool:
    """Whether a closed polygon crosses or touches itself: a sweep over its sides from left to right."""
    active: list[Stretch] = []
    count = len(points)
    for side in sorted(_sides(points)):
        left, _, low, high, number, *_ = side
        active = [other for other in active if other[1] >= left]
        for other in active:
            near = other[2] <= high and low <= other[3]
            if near and (number - other[4]) % count not in (1, count - 1) and _meet(side, other):
                return True
        active.append(side)
    return False


def _sides(points: Sequence[XY]) -> Iterator[Stretch]:
    for number, ((ax, ay), (bx, by)) in enumerate(zip(points, [*points[1:], points[0]], strict=True)):
        low, high = (ay, by) if ay <= by else (by, ay)
        left, right = (ax, bx) if ax <= bx else (bx, ax)
        yield left, right, low, high, number, ax, ay, bx, by


def _meet(one: Stretch, two: Stretch) -> bool:
    ax, ay, bx, by = one[5:]
    cx, cy, dx, dy = two[5:]
    ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
    c, d = ux * (cy - ay) - uy * (cx - ax), ux * (dy - ay) - uy * (dx - ax)
    a, b = vx * (ay - cy) - vy * (ax - cx), vx * (by - cy) - vy * (bx - cx)
    return c * d <= 0 and a * b <= 0
