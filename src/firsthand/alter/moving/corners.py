"""Corners of a piece moved a little, the edges between them going along in proportion."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from firsthand.alter.moving.maps import Run, Runs
from firsthand.alter.moving.reaches import reaching
from firsthand.alter.moving.reshape import Crosses, Reshaped, carried, closed
from firsthand.geometry import Cubic, Line, Path, Point, Segment
from firsthand.pattern import Pleat, Shape, sewn_length

__all__ = ["Moves", "Way", "corners_moved", "edge_slopes", "least_moves", "lengthened", "sewn_lengths", "ways"]

FARTHEST = 60.0
"""A corner that would have to move farther than this, mm, to make a length right is not there for it."""

Moves = Mapping[int, Point]
"""How far corners move, each by the number of the edge that begins in it."""


@dataclass(frozen=True, slots=True)
class Way:
    """A direction in which a corner may move, and how readily: at 4 it moves four times as far as one at 1."""

    corner: int
    along: Point
    readiness: float = 1.0


def ways(shape: Shape, fold: str) -> list[Way]:
    """The directions in which corners may move: any, but along the fold only at the ends of a fold."""
    found = []
    for k, edge in enumerate(shape.edges):
        on_fold = next((one for one in (shape.edges[k - 1], edge) if one.id == fold), None)
        free = [Point(1, 0), Point(0, 1)] if on_fold is None else [(on_fold.path.end - on_fold.path.start).unit()]
        found += [Way(k, along) for along in free]
    return found


def edge_slopes(shape: Shape, name: str) -> dict[int, Point]:
    """By how much an edge grows when the corners at its ends move, as vectors.

    An edge that goes along in proportion grows by the part of the movement along its chord, times chord over arc.
    """
    k = next(k for k, edge in enumerate(shape.edges) if edge.id == name)
    path = shape.edges[k].path
    slope = (path.end - path.start) * (1 / path.length)
    return {k: -slope, (k + 1) % len(shape.edges): slope} if len(shape.edges) > 1 else {}


def least_moves(rows: Sequence[Sequence[float]], wanted: Sequence[float], readiness: Sequence[float]) -> list[float]:
    """The movements along ways, least in sum of squares, that change lengths as wanted; those that are readier cost less.

    Parameters
    ----------
    rows
        For each length by how much it grows along each way.
    wanted
        By how much each is to grow, mm.

    Raises
    ------
    Crosses
        If something would have to move too far.
    """
    import numpy as np  # late: it is seldom wanted

    ready = np.array(readiness, dtype=float)
    answer = np.linalg.lstsq(np.array(rows, dtype=float) * ready, np.array(wanted, dtype=float), rcond=1e-6)[0] * ready
    if max(abs(answer), default=0.0) > FARTHEST:
        raise Crosses("edges could not be made to fit any more")
    return [float(by) for by in answer]


def lengthened(shape: Shape, fold: str, by: Mapping[str, float]) -> Reshaped:
    """Corners moved so that edges become nearly so much longer and all others stay as long as they are.

    Raises
    ------
    Crosses
        If a corner would have to move too far.
    """
    free = ways(shape, fold)
    slopes = [edge_slopes(shape, edge.id) for edge in shape.edges]
    rows = [[slope.get(way.corner, Point(0, 0)).dot(way.along) for way in free] for slope in slopes]
    moves: dict[int, Point] = {}
    for way, far in zip(free, least_moves(rows, [by.get(e.id, 0.0) for e in shape.edges], [1.0] * len(free)), strict=True):
        moves[way.corner] = moves.get(way.corner, Point(0, 0)) + way.along * far
    return corners_moved(shape, moves)


def corners_moved(shape: Shape, moves: Moves) -> Reshaped:
    """Corners moved; the edges between them go along in proportion to their arc, and what lies on them with them.

    A dart keeps its width, and its point goes along with the middle of its mouth.
    """
    still, count = Point(0, 0), len(shape.edges)
    shifts, edges, maps = {}, [], {}
    for k, edge in enumerate(shape.edges):
        shift = _Shift(moves.get(k, still), moves.get((k + 1) % count, still), edge.path.length)
        if shift.start.norm or shift.end.norm:
            path, maps[edge.id] = shift.path(edge.path)
            shifts[edge.id], edge = shift, replace(edge, path=path)
        edges.append(edge)
    placed = replace(
        shape,
        darts=tuple(replace(d, apex=d.apex + shifts[d.edge].at(d.at)) if d.edge in shifts else d for d in shape.darts),
        pleats=tuple(_pleat(pleat, shifts.get(pleat.edge)) for pleat in shape.pleats),
    )
    result = carried(placed, closed(edges), maps)
    return replace(result, shape=reaching(shape, result.shape))


def sewn_lengths(shape: Shape) -> dict[str, float]:
    """The sewn length of each edge, mm."""
    return {edge.id: sewn_length(shape, edge.id) for edge in shape.edges}


@dataclass(frozen=True, slots=True)
class _Shift:
    """How a path goes along with its ends: in proportion to the arc."""

    start: Point
    end: Point
    length: float

    @property
    def rate(self) -> Point:
        return (self.end - self.start) * (1 / self.length)

    def at(self, arc: float) -> Point:
        return self.start + self.rate * arc

    def segment(self, segment: Segment, arc: float) -> Segment:
        one, two = self.at(arc), self.at(arc + segment.length)
        if isinstance(segment, Line):
            return Line(segment.a + one, segment.b + two)
        a, b, c, d = segment.a, segment.b, segment.c, segment.d
        handles = self.rate * a.distance(b), self.rate * c.distance(d)
        return Cubic(a + one, b + one + handles[0], c + two - handles[1], d + two)

    def path(self, path: Path) -> tuple[Path, Runs]:
        made: list[Segment] = []
        runs: list[Run] = []
        old = new = 0.0
        for segment in path:
            made.append(self.segment(segment, old))
            long, now = segment.length, made[-1].length
            runs.append((old, old + long, new, new + now))
            old, new = old + long, new + now
        return Path(tuple(made)), tuple(runs)


def _pleat(pleat: Pleat, shift: _Shift | None) -> Pleat:
    if shift is None or pleat.towards is None:
        return pleat
    return replace(pleat, towards=pleat.towards + shift.at(pleat.at))
