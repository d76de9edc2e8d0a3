"""Closed lines that may be pieces, and which of them are one piece in several sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import shapely

from firsthand.geometry import Line, Path, Point, nearest
from firsthand.importers._chains import RawLine, closed_up
from firsthand.importers.pdf._clip import hull_box
from firsthand.importers.pdf._state import Look
from firsthand.importers.pdf._weld import Drawn

__all__ = ["Cluster", "Loop", "clusters", "loops_of", "samples"]

SMALLEST = 25.0  # mm; no piece is smaller across
LEAST = 30.0  # mm; shorter open lines are no part of an outline
CLOSE = 0.6  # mm within which the end of a line lies on another
ALIKE = 0.45
"""Sizes of one piece: the smaller has at least this share of the larger's area."""
INSIDE = 0.8
"""... and at least this share of it lies within the larger."""
MOST_OPEN = 400
"""Open lines among which outlines of several looks are sought."""


@dataclass(frozen=True, slots=True)
class Loop:
    """A closed line: what it looks like, its area, and the lines it is made of."""

    path: Path
    look: Look
    area: Any
    parts: tuple[int, ...] = ()

    def holds(self, other: Loop) -> bool:
        """Whether most of another loop lies within."""
        if self is other or not self.area.intersects(other.area):
            return False
        return bool(self.area.intersection(other.area).area > INSIDE * other.area.area)


@dataclass(slots=True)
class Cluster:
    """One piece: its loops, the largest first."""

    loops: list[Loop] = field(default_factory=list)


def samples(path: Path, count: int) -> list[Point]:
    """Points evenly spaced on a path, its ends left out."""
    return [path.at(path.length * (k + 0.5) / count) for k in range(count)]


def loops_of(lines: Sequence[Drawn]) -> list[Loop]:
    """Loops of one look, and those that another look's line closes, as a fold edge does; the same loop only once."""
    found = []
    for k, (look, line) in enumerate(lines):
        if line.path.is_closed:
            loop = _loop(line.path, look, (k,))
            if loop is not None and not (look.filled and look.colour in {"#ffffff"}):
                found.append(loop)
    found += _bridged(lines)
    found.sort(key=lambda loop: (-loop.area.area, loop.look.filled, len(loop.parts)))
    kept: list[Loop] = []
    for loop in found:
        twin = (o for o in kept if abs(o.area.area - loop.area.area) < 0.002 * o.area.area + 1.0 and _alike(o, loop))
        if not any(o.area.symmetric_difference(loop.area).area < 0.002 * o.area.area + 1.0 for o in twin):
            kept.append(loop)
    return kept


def _alike(one: Loop, two: Loop) -> bool:
    """Whether loops drawn on top of each other are one: those of two layers are two sizes that happen to agree."""
    return (one.look.layer == two.look.layer and (one.look.colour, one.look.dash) == (two.look.colour, two.look.dash)) or (
        one.look.filled or two.look.filled
    )


def _loop(path: Path, look: Look, parts: tuple[int, ...]) -> Loop | None:
    box = path.bounds
    if max(box.width, box.height) < SMALLEST or min(box.width, box.height) < 3.0:
        return None
    path = closed_up(path)
    area = shapely.Polygon([(round(p.x, 5), round(p.y, 5)) for p in path.flattened(0.05)])
    if not area.is_valid:
        mended = area.buffer(0)
        if mended.geom_type != "Polygon" or abs(mended.area - area.area) > 1e-3 * area.area:
            return None
        area = mended
    return Loop(path if path.area > 0 else path.reversed(), look, area, parts)


def _bridged(lines: Sequence[Drawn]) -> list[Loop]:
    """Open lines made loops by lines of other looks that run from end to end of them."""
    able = [k for k, (look, line) in enumerate(lines) if not line.path.is_closed and line.path.length >= LEAST]
    if len(able) > MOST_OPEN:
        able = sorted(able, key=lambda k: -lines[k][1].path.length)[:MOST_OPEN]
    tree = shapely.STRtree([_box(line.path) for _, line in lines]) if lines else None
    out = []
    for key in {lines[k][0] for k in able}:
        mine = [k for k in able if lines[k][0] == key]
        out += _closed_by_others(mine, key, lines, tree)
    return out


def _box(path: Path) -> Any:
    b = hull_box(path)
    return shapely.box(b.left - CLOSE, b.bottom - CLOSE, b.right + CLOSE, b.top + CLOSE)


def _closed_by_others(mine: Sequence[int], look: Look, lines: Sequence[Drawn], tree: Any) -> list[Loop]:
    ends = [(k, at) for k in mine for at in (False, True)]
    on: dict[int, list[tuple[tuple[int, bool], float]]] = {}
    for k, at in ends:
        p = lines[k][1].path.end if at else lines[k][1].path.start
        for other in tree.query(shapely.Point(p.x, p.y)).tolist():
            if lines[other][0] == look or lines[other][1].path.length < LEAST / 3:
                continue
            place, distance = nearest(lines[other][1].path, p)
            if distance <= CLOSE:
                on.setdefault(other, []).append(((k, at), place))
    bridges: list[tuple[float, tuple[int, bool], tuple[int, bool], Path | None]] = []
    for other, places in on.items():
        for i, (one, a) in enumerate(places):
            bridges += [(span, one, two, way) for two, b in places[i + 1 :] for span, way in _ways(lines[other][1].path, a, b)]
    for i, one in enumerate(ends):  # ends that all but meet
        bridges += [
            (gap, one, two, None)
            for two in ends[i + 1 :]
            if (gap := _end(lines, one).distance(_end(lines, two))) <= 2 * CLOSE and one != two
        ]
    partner: dict[tuple[int, bool], tuple[tuple[int, bool], Path | None]] = {}
    for _, one, two, way in sorted(bridges, key=lambda bridge: bridge[0]):
        if one not in partner and two not in partner and one != two:
            partner[one] = (two, way)
            partner[two] = (one, way.reversed() if way else None)
    return _walked(mine, look, lines, partner)


def _end(lines: Sequence[Drawn], end: tuple[int, bool]) -> Point:
    return lines[end[0]][1].path.end if end[1] else lines[end[0]][1].path.start


def _ways(path: Path, a: float, b: float) -> list[tuple[float, Path]]:
    """The ways along a path from one place to another."""
    if abs(a - b) < 1e-6:
        return []
    low, high = min(a, b), max(a, b)
    direct = path.between(low, high)
    ways = [direct if a < b else direct.reversed()]
    if path.is_closed and path.length - high + low > 1e-6:
        parts = [p for p in ((path.between(high, path.length) if path.length - high > 1e-6 else None),
                             (path.between(0.0, low) if low > 1e-6 else None)) if p is not None]  # fmt: skip
        round_ = Path(tuple(s for part in parts for s in part))
        ways.append(round_.reversed() if a < b else round_)
    return [(way.length, way) for way in ways]


def _walked(mine: Sequence[int], look: Look, lines: Sequence[Drawn], partner: dict[Any, Any]) -> list[Loop]:
    used: set[int] = set()
    out = []
    for first in mine:
        if first in used:
            continue
        here, forwards, parts, pieces, own, lent = first, True, [], [], 0.0, 0.0
        while here not in used:
            used.add(here)
            path = lines[here][1].path
            parts.append(here)
            pieces.append(path if forwards else path.reversed())
            own += path.length
            nxt = partner.get((here, forwards))
            if nxt is None:
                break
            (to, at), way = nxt
            if way is not None:
                pieces.append(way)
                lent += way.length
            here, forwards = to, not at
        else:
            # a straight line and the way round it is no outline: what is lent is always shorter than what is drawn
            if here == first and forwards and lent < 0.8 * own:
                loop = _loop(_through(pieces), look, tuple(parts))
                out += [loop] if loop is not None else []
    return out


def _through(pieces: Sequence[Path]) -> Path:
    segments = list(pieces[0].segments)
    for piece in pieces[1:]:
        if segments[-1].end.distance(piece.start) > 1e-9:
            segments.append(Line(segments[-1].end, piece.start))
        segments += piece.segments
    if segments[-1].end.distance(segments[0].start) > 1e-9:
        segments.append(Line(segments[-1].end, segments[0].start))
    return RawLine(Path(tuple(segments))).path


def clusters(loops: Sequence[Loop]) -> tuple[list[Cluster], list[Loop]]:
    """Loops that lie on each other as sizes of one piece do, and the loops within pieces."""
    found: list[Cluster] = []
    inner: list[Loop] = []
    for loop in loops:  # the largest first
        around = [c for c in found if any(o.holds(loop) for o in c.loops)]
        like = [c for c in around if loop.area.area >= ALIKE * c.loops[-1].area.area * math.pow(0.9, len(c.loops) - 1)]
        if like:
            like[-1].loops.append(loop)
        elif around:
            inner.append(loop)
        else:
            found.append(Cluster([loop]))
    return found, inner
