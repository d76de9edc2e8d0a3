"""How edges stand: the lines they were moved from, what moved them, and where on the moved lines they begin and end."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from firsthand.alter.moving.maps import Run, Runs
from firsthand.alter.moving.moved import Moved, moved_line
from firsthand.geometry import Line, Path, Segment, extended, intersections
from firsthand.pattern.model import Dart, Edge, Ground, Notch, Pleat, Profile, Shape

__all__ = ["Standing", "cut_to", "ground_shape", "meeting", "on_ground", "runs_between", "standing_of", "standings", "tidied"]

Mark = TypeVar("Mark", Notch, Dart, Pleat)
MEET = 1e-6
"""Ends closer than this, mm, are one point."""
NATURAL = 1e-9
"""A line begins or ends where it does by itself if it is cut closer than this to it, mm."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How one edge stands.

    Parameters
    ----------
    edge
        The edge as it is.
    line
        The line it was moved from; its own path if it was not.
    profiles
        What moved it.
    start, end
        Where on the moved line it begins and ends, mm of arc; below nothing or beyond the line's length where it was run on.
    """

    edge: Edge
    line: Path
    profiles: tuple[Profile, ...]
    start: float
    end: float

    @property
    def moved(self) -> Moved:
        """The moved line, whole."""
        return moved_line(self.line, self.profiles)

    def edged(self, path: Path) -> Edge:
        """The edge with the path that came of it; it forgets its ground where that is the line itself."""
        if path is self.line or (not self.profiles and path == self.line):
            return replace(self.edge, path=path, ground=None)
        return replace(self.edge, path=path, ground=Ground(self.line, self.profiles, self.start, self.end, path))


def _by_itself(edge: Edge) -> Standing:
    return Standing(edge, edge.path, (), 0.0, edge.path.length)


def _standing(edge: Edge) -> Standing:
    ground = edge.ground
    if ground is None or not (ground.result is edge.path or ground.result == edge.path):
        return _by_itself(edge)
    return Standing(edge, ground.line, ground.profiles, ground.start, ground.end)


def standings(shape: Shape) -> tuple[Standing, ...]:
    """How the edges of a shape stand, in order.

    Their lines meet end to end. What changes one edge without its ground leaves neighbours with lines that do not meet it any
    more: those are taken as they are drawn now.
    """
    found = [_standing(edge) for edge in shape.edges]
    again = True
    while again:
        again = False
        for k in range(len(found)):
            one, two = found[k - 1], found[k]
            if one.line.end.distance(two.line.start) > MEET:
                for at, standing in ((k - 1, one), (k, two)):
                    again = again or standing.line is not standing.edge.path
                    found[at] = _by_itself(standing.edge)
    return tuple(found)


def standing_of(shape: Shape, edge: str) -> Standing:
    """How one edge stands.

    Raises
    ------
    NotThere
        If there is no such edge.
    """
    shape.edge(edge)
    return next(standing for standing in standings(shape) if standing.edge.id == edge)


def ground_shape(shape: Shape) -> Shape:
    """The shape as it was before its edges were moved along their normals, with the marks that are left, each where it was.

    Places that are told on it stay the same places however much the edges have been moved by then.
    """
    found = {standing.edge.id: standing for standing in standings(shape)}
    if all(standing.line is standing.edge.path for standing in found.values()):
        return shape

    def carried(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
        return tuple(replace(mark, at=on_ground(found[mark.edge], mark.at)) for mark in marks)

    edges = tuple(replace(standing.edge, path=standing.line, ground=None) for standing in found.values())
    return replace(shape, edges=edges, notches=carried(shape.notches), darts=carried(shape.darts), pleats=carried(shape.pleats))


def on_ground(standing: Standing, at: float) -> float:
    """The place on the line an edge was moved from, mm, for a place on the edge as it is; both run on alike beyond the ends."""
    return standing.moved.origin(standing.start + at)


# corners -----------------------------------------------------------------------------------------------------


def meeting(before: Path, after: Path, run: float) -> tuple[float, float] | None:
    """Where a line, run on, meets the next one, run on backwards: arc lengths on both; the meeting nearest to their ends."""
    near = 2 * run + 1.0
    tail, skipped = _tail(before, near)
    found = _meeting(tail, _head(after, near), run, 0.0)
    if found is not None and found[0] <= near:
        return skipped + found[1], found[2]
    found = _meeting(before, after, run, run)
    return None if found is None else found[1:]


def _meeting(before: Path, after: Path, run: float, back: float) -> tuple[float, float, float] | None:
    """How far from their ends, and where on both; each is run on beyond its far end by ``back`` too."""
    length = before.length
    crossings = intersections(extended(before, back, run), extended(after, run, back))
    found = [(abs(c.at_a - back - length) + abs(c.at_b - run), c.at_a - back, c.at_b - run) for c in crossings]
    return min(found, default=None)


def _tail(path: Path, least: float) -> tuple[Path, float]:
    """The last segments of a path, as many as make up a length, and the length of what comes before."""
    segments, reached = path.segments, 0.0
    for k in range(len(segments) - 1, 0, -1):
        reached += segments[k].length
        if reached >= least:
            return Path(segments[k:]), path.length - reached
    return path, 0.0


def _head(path: Path, least: float) -> Path:
    reached = 0.0
    for k, segment in enumerate(path.segments):
        reached += segment.length
        if reached >= least:
            return Path(path.segments[: k + 1])
    return path


def cut_to(path: Path, start: float, end: float) -> Path:
    """The line between two places on it, run on straight where they lie beyond its ends; itself if they are its ends.

    The places are in order, and at least one of them lies on the line or they lie on both sides of it.
    """
    length = path.length
    at_start, at_end = abs(start) <= NATURAL, abs(end - length) <= NATURAL
    if at_start and at_end:
        return path
    inner = path if start <= NATURAL and end >= length - NATURAL else path.between(max(start, 0.0), min(end, length))
    before = 0.0 if at_start else max(-start, 0.0)
    after = 0.0 if at_end else max(end - length, 0.0)
    return tidied(extended(inner, before, after))


def tidied(path: Path) -> Path:
    """The same path with straight segments that run on in one line made one."""
    kept: list[Segment] = []
    for segment in path:
        last = kept[-1] if kept else None
        if isinstance(last, Line) and isinstance(segment, Line) and _runs_on(last, segment):
            kept[-1] = Line(last.a, segment.b)
        else:
            kept.append(segment)
    return path if len(kept) == len(path.segments) else Path(tuple(kept))


def _runs_on(one: Line, two: Line) -> bool:
    u, v = one.b - one.a, two.b - two.a
    return u.dot(v) > 0 and abs(u.cross(v)) <= 1e-9 * u.norm * v.norm + 1e-12


# maps --------------------------------------------------------------------------------------------------------


def runs_between(old: Standing, new: Moved) -> Runs:
    """From places on an edge as it stands to places on a newly moved line of the same ground."""
    was, length = old.moved, old.edge.path.length
    if was is new:
        return ((0.0, length, old.start, old.end),)
    first, last = was.origin(old.start), was.origin(old.end)
    inner = sorted({g for moved in (was, new) for g in _between([g for g, _ in moved.marks], first, last)})
    places = [(0.0, new.foot(first)), *((was.foot(g) - old.start, new.foot(g)) for g in inner), (length, new.foot(last))]
    runs: list[Run] = []
    for o, n in places[1:]:
        here = (runs[-1][1], runs[-1][3]) if runs else places[0]
        if o - here[0] > NATURAL:
            runs.append((here[0], o, here[1], max(n, here[1])))
    return tuple(runs)


def _between(places: Sequence[float], first: float, last: float) -> Sequence[float]:
    return places[bisect_right(places, first + NATURAL) : bisect_right(places, last - NATURAL)]
