"""The kernel of what moves edges: new lines for some, corners kept on the lines of the others, all that lies on them mapped."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from firsthand.alter._maps import Run, Runs, clipped, place
from firsthand.errors import GeometryError
from firsthand.geometry import Line, Path, Point, Segment, extended, intersections, nearest, offset, self_crossings
from firsthand.pattern import Dart, Edge, Shape

__all__ = ["Crosses", "Reshaped", "carried", "dart_mouth", "moved_inwards", "refuse_crossings", "tidied"]

STATION = 25.0
"""Positions on a curved edge are followed at least this often, mm of arc."""
NOTHING = 1e-4
"""Movements below this, mm, are none."""
RUN_ON = 6.0
"""An edge runs on for at most this many times the movement to find its neighbour: enough for corners above 10 degrees."""
LEAST = 1.0
"""The least that must be left of an edge, and between a dart's point and its edge, mm."""


class Crosses(Exception):
    """A movement that would cross something; the message says what."""


@dataclass(frozen=True, slots=True)
class Reshaped:
    """A shape whose edges were moved.

    Parameters
    ----------
    maps
        For each edge that changed, old arc lengths to new ones.
    lost
        Ids of notches that were cut away.
    """

    shape: Shape
    maps: Mapping[str, Runs]
    lost: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Raw:
    """An edge's new line before its corners are found: run on at both ends by ``run``."""

    edge: Edge
    line: Path
    run: float
    runs: Runs

    @property
    def inner(self) -> tuple[float, float]:
        """Where the line itself begins and ends on the run-on one."""
        return self.run, self.line.length - self.run


def moved_inwards(shape: Shape, amounts: Mapping[str, float]) -> Reshaped:
    """Move edges inwards along their normals.

    Neighbouring edges stay on their lines and are trimmed, or run on straight, to the new corners. Darts on a moved edge keep
    their point and what they take up, so that the seam keeps its length; the wedge becomes shorter and a little blunter.

    Parameters
    ----------
    amounts
        For each edge that moves how far, mm; negative outwards.

    Raises
    ------
    Crosses
        If an edge would be used up or cross another one or a dart.
    """
    amounts = {name: amount for name, amount in amounts.items() if abs(amount) > NOTHING}
    if not amounts:
        return Reshaped(shape, {})
    run = RUN_ON * max(abs(amount) for amount in amounts.values()) + 1.0
    raws = [_raw(edge, amounts.get(edge.id, 0.0), run) for edge in shape.edges]
    return _joined(shape, raws, {edge.id for edge in shape.edges if edge.id in amounts})


def _raw(edge: Edge, amount: float, run: float) -> _Raw:
    if not amount:
        length = edge.path.length
        return _Raw(edge, extended(edge.path, run, run), run, ((0.0, length, run, run + length),))
    try:
        line = extended(offset(edge.path, -amount), run, run)
    except GeometryError as error:
        raise Crosses(f"the curve of {edge.id} is too tight to be moved so far") from error
    return _Raw(edge, line, run, _feet(edge.path, amount, line))


def _feet(path: Path, amount: float, line: Path) -> Runs:
    """Where positions of a path come to lie on its parallel line."""
    runs: list[Run] = []
    reached, top = 0.0, 0.0
    for segment in path:
        length = segment.length
        count = 1 if isinstance(segment, Line) else max(2, math.ceil(length / STATION))
        stations = [length * k / count for k in range(count + 1)]
        feet = [_foot(segment, at, amount, line) for at in stations]
        feet = list(itertools.accumulate((max(foot, top) for foot in feet), max))
        marks = [(reached + at, foot) for at, foot in zip(stations, feet, strict=True)]
        runs += [(o1, o2, n1, n2) for (o1, n1), (o2, n2) in itertools.pairwise(marks)]
        reached, top = reached + length, feet[-1]
    return tuple(runs)


def _foot(segment: Segment, at: float, amount: float, line: Path) -> float:
    t = segment.parameter_at(at)
    return nearest(line, segment.point(t) + segment.tangent(t).left * amount)[0]


def _joined(shape: Shape, raws: Sequence[_Raw], moved: set[str]) -> Reshaped:
    """Join new lines into a loop again and carry everything that lies on them along."""
    ends = {raw.edge.id: list(raw.inner) for raw in raws}
    for before, after in zip((raws[-1], *raws[:-1]), raws, strict=True):
        if before.edge.id in moved or after.edge.id in moved:
            at_before, at_after = _corner(before, after)
            ends[before.edge.id][1], ends[after.edge.id][0] = at_before, at_after
    edges, maps = [], {}
    for raw in raws:
        start, end = ends[raw.edge.id]
        if (start, end) == raw.inner and raw.edge.id not in moved:
            edges.append(raw.edge)
            continue
        if end - start < LEAST - 1e-6:
            raise Crosses(f"nothing would be left of {raw.edge.id}")
        edges.append(replace(raw.edge, path=tidied(raw.line.between(start, end))))
        maps[raw.edge.id] = clipped(raw.runs, start, end, hold=raw.edge.id in moved)
    result = carried(shape, _closed(edges), maps)
    refuse_crossings(result.shape)
    return result


def _corner(before: _Raw, after: _Raw) -> tuple[float, float]:
    """Arc lengths on both run-on lines of the corner where one edge ends and the next begins."""
    end, start = before.inner[1], after.inner[0]
    if before.line.at(end).distance(after.line.at(start)) < 1e-6:
        return end, start
    found = intersections(before.line, after.line)
    if not found:
        raise Crosses(f"{before.edge.id} and {after.edge.id} would no longer meet in a corner")
    best = min(found, key=lambda c: abs(c.at_a - end) + abs(c.at_b - start))
    return best.at_a, best.at_b


def _closed(edges: Sequence[Edge]) -> tuple[Edge, ...]:
    """Edges whose ends are exactly the same points (lines cut at a crossing differ by rounding)."""
    return tuple(
        edge if edge.path.start == before.path.end else replace(edge, path=_from(edge.path, before.path.end))
        for before, edge in zip((edges[-1], *edges[:-1]), edges, strict=True)
    )


def _from(path: Path, start: Point) -> Path:
    first = path.segments[0]
    head: Segment = replace(first, a=start)
    return Path((head, *path.segments[1:]))


def tidied(path: Path) -> Path:
    """The same path with straight segments that run on in one line made one."""
    kept: list[Segment] = []
    for segment in path:
        last = kept[-1] if kept else None
        if isinstance(last, Line) and isinstance(segment, Line) and _runs_on(last, segment):
            kept[-1] = Line(last.a, segment.b)
        else:
            kept.append(segment)
    return Path(tuple(kept))


def _runs_on(one: Line, two: Line) -> bool:
    u, v = one.b - one.a, two.b - two.a
    return u.dot(v) > 0 and abs(u.cross(v)) <= 1e-9 * u.norm * v.norm + 1e-12


# what lies on the edges --------------------------------------------------------------------------------------


def carried(shape: Shape, edges: tuple[Edge, ...], maps: Mapping[str, Runs]) -> Reshaped:
    """A shape with new edges and its notches, darts and pleats carried along by the maps.

    Raises
    ------
    Crosses
        If the mouth of a dart or a pleat would not find room on its edge any more.
    """
    lengths = {edge.id: edge.path.length for edge in edges}
    notches, lost = [], []
    for notch in shape.notches:
        at = place(maps.get(notch.edge), notch.at)
        if at is None:
            lost.append(notch.id)
        else:
            notches.append(replace(notch, at=at))
    darts = [replace(d, at=_room(d.id, maps.get(d.edge), d.at, d.width, lengths[d.edge])) for d in shape.darts]
    pleats = [replace(p, at=_room(p.id, maps.get(p.edge), p.at, p.take_up, lengths[p.edge])) for p in shape.pleats]
    new = replace(shape, edges=edges, notches=tuple(notches), darts=tuple(darts), pleats=tuple(pleats))
    return Reshaped(new, maps, tuple(lost))


def _room(name: str, runs: Runs | None, at: float, width: float, length: float) -> float:
    if runs is None:
        return at
    new = place(runs, at)
    if new is None or new - width / 2 < -1e-6 or new + width / 2 > length + 1e-6:
        raise Crosses(f"{name} would be cut into")
    return new


def dart_mouth(shape: Shape, dart: Dart) -> tuple[Point, Point]:
    """The two ends of a dart's mouth on its edge."""
    path = shape.edge(dart.edge).path
    return path.at(max(dart.at - dart.width / 2, 0.0)), path.at(min(dart.at + dart.width / 2, path.length))


def refuse_crossings(shape: Shape) -> None:
    """Refuse a shape whose outline crosses itself or cuts into a dart.

    Raises
    ------
    Crosses
        Naming the two edges, or the dart.
    """
    outline = shape.outline
    if outline.area <= 0:
        raise Crosses("nothing would be left of the piece")
    for crossing in self_crossings(outline):
        one, two = _edge_at(shape, crossing.at_a), _edge_at(shape, crossing.at_b)
        raise Crosses(f"{one} would cross {two}")
    for dart in shape.darts:
        _refuse_cut_dart(shape, dart, outline)


def _edge_at(shape: Shape, at: float) -> str:
    ends = itertools.accumulate(edge.path.length for edge in shape.edges)
    return next((edge.id for edge, end in zip(shape.edges, ends, strict=True) if at <= end), shape.edges[-1].id)


def _refuse_cut_dart(shape: Shape, dart: Dart, outline: Path) -> None:
    mouth = dart_mouth(shape, dart)
    along = shape.edge(dart.edge).path.tangent_at(dart.at)
    if (dart.apex - shape.edge(dart.edge).path.at(dart.at)).dot(along.left) < LEAST:
        raise Crosses(f"the point of {dart.id} would be cut off")
    for end in mouth:
        leg = Path.line(dart.apex, end.towards(dart.apex, min(0.02, 0.2 / max(end.distance(dart.apex), 0.2))))
        if intersections(leg, outline):
            raise Crosses(f"{dart.id} would be cut into")
