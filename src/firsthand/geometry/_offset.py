"""Parallel paths: joins outside, trims inside, and loops taken out."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable

from firsthand.errors import GeometryError
from firsthand.geometry._boxes import Boxes, near_indices
from firsthand.geometry._clear import Headings
from firsthand.geometry._meet import Crossing, self_crossings
from firsthand.geometry._parallel import Run, parallel_run
from firsthand.geometry._path import JOINT, Path
from firsthand.geometry._point import Point
from firsthand.geometry._segment import Cubic, Line, Segment
from firsthand.units import said

__all__ = ["offset"]

MITRE_LIMIT = 4.0
"""A mitre's point lies at most this many distances from its corner (the default of many drawing formats, SVG's among them);
a sharper corner is cut off across."""

FARTHEST = 10_000.0  # mm; nothing sewn has a margin of ten metres
FEW = 2_000  # pairs of places and edges are looked at one by one faster than all at once
AT_ONCE = 256  # places, so that their neighbours fit into memory whatever the drawing
TINY_LOOP = 1.0  # mm; a loop of the raw parallel shorter than this is never part of the answer


def offset(path: Path, distance: float, *, tolerance: float = 0.02) -> Path:
    """The parallel of a path.

    Parameters
    ----------
    path
        An open path, or a closed one that does not cross itself.
    distance
        Signed distance, mm: positive to the right of the direction of travel, which is outwards for a counter-clockwise loop.
        Zero gives the path itself.
    tolerance
        How far curves may leave the true parallel, mm. Lines are exact.

    Returns
    -------
    Path
        Lines stay lines and curves become cubics. On the outside of a corner both sides run straight on until they meet;
        where that is more than four distances from the corner the point is cut off across. On the inside they are
        trimmed where they meet. Where the path bends more tightly than the distance, the loop is taken out; a bay that the
        parallel closes over is filled. An open path whose end pieces are wholly inside a corner's trim starts or ends later.

    Raises
    ------
    GeometryError
        If a number is not finite or beyond ten metres, or nothing sound is left: the shape vanishes or falls apart. The
        message says the most that would go.

    Examples
    --------
    >>> square = Path.polygon([Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)])
    >>> offset(square, 2).bounds, offset(square, -2).area
    (Box(left=-2.0, bottom=-2.0, right=12.0, top=12.0), 36.0)
    >>> offset(square, -6)
    Traceback (most recent call last):
    ...
    firsthand.errors.GeometryError: nothing is left of the shape ⟨6 mm⟩ inside it: at most ⟨5 mm⟩ would go
    """
    if not (math.isfinite(distance) and abs(distance) <= FARTHEST):
        raise GeometryError(f"an offset must be a length below ten metres, not {distance}")
    if not (math.isfinite(tolerance) and tolerance >= 1e-5):
        raise GeometryError(f"a tolerance must be at least 0.00001 mm, not {tolerance}")
    if distance == 0:
        return path
    try:
        return _offset(path, distance, tolerance)
    except _Lost as lost:
        most = _most(path, distance, tolerance)
        raise GeometryError(lost.words(distance, most)) from None


class _Lost(Exception):
    """No sound parallel; its words take the distance asked for and the most that would go."""

    def words(self, distance: float, most: float) -> str:
        side = "inside" if distance < 0 else "outside"
        return f"{self.args[0]} {said(abs(distance))} {side} it: at most {said(math.floor(most * 100) / 100)} would go"


def _most(path: Path, distance: float, tolerance: float) -> float:
    lo, hi = 0.0, abs(distance)
    while hi - lo > max(0.002, hi / 1000):
        mid = (lo + hi) / 2
        try:
            _offset(path, math.copysign(mid, distance), tolerance)
            lo = mid
        except _Lost:
            hi = mid
    return round(lo, 1) if abs(round(lo, 1) - lo) < 0.004 else lo


def _offset(path: Path, distance: float, tolerance: float) -> Path:
    raw, plain = _raw(path, distance, tolerance)
    if raw is None:
        raise _Lost("nothing is left of the shape")
    if plain and not self_crossings(raw):
        return raw
    clearance = _Clearance(path, abs(distance), tolerance)
    if path.is_closed:
        return _closed(raw, path, clearance)
    return _open(raw, clearance)


# the raw parallel, with joins ------------------------------------------------------------------------------------


def _raw(path: Path, distance: float, tolerance: float) -> tuple[Path | None, bool]:
    """All runs joined: mitres outside, through the source's own corner inside, so that what is wrong lies far too near it.

    Also whether nothing can be wrong: an open path without corners, whose directions lie within a right angle, and which bends
    nowhere as tightly as the distance. About a point of its parallel lies a circle through the foot; curving less than the
    circle and turning by less than a right angle either way, the path cannot enter it again.
    """
    runs = [run for segment in path.segments if (run := parallel_run(segment, distance, tolerance / 4))]
    if not runs:
        return None, False
    chains = [list(run.pieces) for run in runs]
    betweens: list[list[Segment]] = [[] for _ in runs]
    last = len(runs) if path.is_closed else len(runs) - 1
    corners = 0
    for k in range(last):
        after = (k + 1) % len(runs)
        ends = chains[k][-1].end, chains[after][0].start
        betweens[k] = _joined(runs[k], chains[k], runs[after], chains[after], distance, tolerance)
        corners += ends[0].distance(ends[1]) > tolerance / 8
    flat = [segment for chain, between in zip(chains, betweens, strict=True) for segment in (*chain, *between)]
    flat = [segment for segment in flat if segment.start.distance(segment.end) > JOINT or segment.length > JOINT]
    plain = not path.is_closed and not corners and all(run.plain for run in runs)
    plain = plain and Headings(path.segments, closed=False).within(math.pi / 2 - 0.01)
    return (Path(tuple(_closed_up(flat, path.is_closed))) if flat else None), plain


def _closed_up(segments: list[Segment], closed: bool) -> list[Segment]:
    """Let each segment begin exactly where the one before ends."""
    out = segments[:1]
    for segment in segments[1:]:
        out.append(segment if segment.start == out[-1].end else _starting(segment, out[-1].end))
    if closed and out[0].start != out[-1].end:
        out[0] = _starting(out[0], out[-1].end)
    return out


def _joined(
    one: Run, behind: list[Segment], two: Run, ahead: list[Segment], distance: float, tolerance: float
) -> list[Segment]:
    """What comes between two runs; their chains are run on, or moved by far less than the tolerance, in place."""
    end, start, corner = behind[-1].end, ahead[0].start, one.source.end
    into, out = one.source.tangent(1.0), two.source.tangent(0.0)
    turn = into.angle_to(out)
    gap = end.distance(start)
    straight = isinstance(one.source, Line) and isinstance(two.source, Line)
    if gap <= (JOINT if straight else tolerance / 8):
        if isinstance(two.source, Cubic):
            ahead[0] = _starting(ahead[0], end)
        else:
            behind[-1] = _ending(behind[-1], start)
        return []
    if turn * distance <= 0 and abs(turn) < math.pi - 1e-6:
        return _through(end, corner, start)
    points = [end, *_mitre(end, into, start, out, abs(turn), abs(distance)), start]
    if isinstance(one.source, Line):
        behind[-1], points = _ending(behind[-1], points[1]), points[1:]
    if isinstance(two.source, Line):
        ahead[0], points = _starting(ahead[0], points[-2]), points[:-1]
    return _through(*points)


def _mitre(end: Point, into: Point, start: Point, out: Point, turn: float, distance: float) -> list[Point]:
    """The point of a mitre, or the two corners where it is cut off, square to the bisector at the limit."""
    half = turn / 2
    if math.cos(half) * MITRE_LIMIT >= 1:
        reach = distance * math.tan(half)
        return [(end + into * reach).towards(start - out * reach, 0.5)]
    run = distance * (MITRE_LIMIT - math.cos(half)) / math.sin(half)
    return [end + into * run, start - out * run]


def _through(*points: Point) -> list[Segment]:
    return [Line(a, b) for a, b in itertools.pairwise(points) if a.distance(b) > JOINT]


def _starting(segment: Segment, at: Point) -> Segment:
    if isinstance(segment, Line):
        return Line(at, segment.b)
    return Cubic(at, segment.b + (at - segment.a), segment.c, segment.d)


def _ending(segment: Segment, at: Point) -> Segment:
    if isinstance(segment, Line):
        return Line(segment.a, at)
    return Cubic(segment.a, segment.b, segment.c + (at - segment.d), at)


# taking loops out ------------------------------------------------------------------------------------------------


class _Clearance:
    """Tells whether a point keeps its distance from the source path."""

    def __init__(self, path: Path, distance: float, tolerance: float) -> None:
        self.limit = distance - min(tolerance, distance / 4)
        self._edges: list[tuple[float, float, float, float]] = []
        for segment in path.segments:
            points = Path((segment,)).flattened(min(tolerance / 2, distance / 16))
            self._edges += [(a.x, a.y, b.x - a.x, b.y - a.y) for a, b in itertools.pairwise(points)]
        ends = [(x, y, x + dx, y + dy) for x, y, dx, dy in self._edges]
        self._boxes = Boxes([(min(a, c), min(b, d), max(a, c), max(b, d)) for a, b, c, d in ends])

    def kept(self, point: Point) -> bool:
        """Whether nothing of the source is nearer than the distance, give or take the tolerance."""
        x, y, limit, square = point.x, point.y, self.limit, self.limit * self.limit
        for (left, bottom, right, top), (ax, ay, dx, dy) in zip(self._boxes.bounds, self._edges, strict=True):
            if x < left - limit or x > right + limit or y < bottom - limit or y > top + limit:
                continue
            px, py = x - ax, y - ay
            whole = dx * dx + dy * dy
            t = (px * dx + py * dy) / whole if whole else 0.0
            t = 0.0 if t < 0 else min(t, 1.0)
            if (px - t * dx) ** 2 + (py - t * dy) ** 2 < square:
                return False
        return True

    def sound(self, path: Path) -> bool:
        """Whether all of a path keeps its distance, looked at in several places of each segment."""
        places = [segment.point(t) for segment in path.segments for t in _places(segment)]
        if len(places) * len(self._edges) <= FEW:
            return all(self.kept(place) for place in places)
        return all(self._all_kept(places[k : k + AT_ONCE]) for k in range(0, len(places), AT_ONCE))

    def _all_kept(self, places: list[Point]) -> bool:
        import numpy as np

        at, edge = near_indices(Boxes([(p.x, p.y, p.x, p.y) for p in places]), self._boxes, self.limit)
        edges, spots = np.array(self._edges)[edge], np.array([(p.x, p.y) for p in places])[at]
        way, gap = edges[:, 2:], spots - edges[:, :2]
        whole = (way * way).sum(axis=1)
        share = np.clip((gap * way).sum(axis=1) / np.where(whole > 0, whole, 1.0), 0.0, 1.0)
        gap -= share[:, None] * way
        return not bool(((gap * gap).sum(axis=1) < self.limit * self.limit).any())


def _places(segment: Segment) -> tuple[float, ...]:
    count = max(3, min(16, math.ceil(segment.start.distance(segment.end) / 10)))
    return tuple((k + 0.5) / count for k in range(count))


def _closed(raw: Path, source: Path, clearance: _Clearance) -> Path:
    crossings = self_crossings(raw)
    whole = raw.length
    start = _sound_place(raw, crossings, whole, clearance)
    turned = _from(raw, start)
    moved = []
    for crossing in crossings:
        one, two = sorted(((crossing.at_a - start) % whole, (crossing.at_b - start) % whole))
        moved.append(Crossing(one, two, crossing.point))
    kept = _loops_out(turned, moved, clearance, math.copysign(1.0, source.area))
    if not clearance.sound(kept) or kept.area * source.area <= 0:
        raise _Lost("nothing is left of the shape")
    return _starting_near(kept, raw.start)


def _sound_place(raw: Path, crossings: tuple[Crossing, ...], whole: float, clearance: _Clearance) -> float:
    """Arc length of a place that surely belongs to the answer: the middle of the longest sound stretch between crossings."""
    marks = sorted({0.0, whole, *(at for c in crossings for at in (c.at_a, c.at_b))})
    stretches = sorted(itertools.pairwise(marks), key=lambda stretch: stretch[0] - stretch[1])
    for lo, hi in stretches:
        if hi - lo > JOINT and all(clearance.kept(raw.at(lo + (hi - lo) * share)) for share in (0.5, 0.1, 0.3, 0.7, 0.9)):
            return (lo + hi) / 2
    raise _Lost("nothing is left of the shape")


def _from(path: Path, at: float) -> Path:
    if not JOINT < at < path.length - JOINT:
        return path
    before, after = path.split(at)
    return Path(after.segments + before.segments)


def _starting_near(path: Path, point: Point) -> Path:
    """A closed path begun at its joint nearest to a point, the split that was made on the way healed."""
    segments = list(path.segments)
    if len(segments) > 1 and isinstance(segments[0], Line) and isinstance(segments[-1], Line):
        one, two = segments[-1], segments[0]
        if abs(one.tangent(1.0).cross(two.tangent(0.0))) < 1e-9 and one.tangent(1.0).dot(two.tangent(0.0)) > 0:
            segments = [Line(one.start, two.end), *segments[1:-1]]
    first = min(range(len(segments)), key=lambda k: segments[k].start.distance(point))
    return Path(tuple(segments[first:] + segments[:first]))


def _loops_out(raw: Path, crossings: Iterable[Crossing], clearance: _Clearance, way: float = 0.0) -> Path:
    """Take out the loops between self-crossings, the shortest first, where they come too near the source."""
    taken: list[tuple[float, float]] = []
    reached = [0.0, *itertools.accumulate(segment.length for segment in raw.segments)]
    for crossing in sorted(crossings, key=lambda c: c.at_b - c.at_a):
        if _inside(taken, crossing.at_a) or _inside(taken, crossing.at_b):
            continue
        loop = _without(raw, reached, crossing.at_a, crossing.at_b, taken)
        if loop.length > TINY_LOOP and clearance.sound(loop) and loop.area * way > 0:
            raise _Lost("the shape falls apart")
        taken[bisect_left(taken, (crossing.at_a,)) : bisect_right(taken, (crossing.at_b, math.inf))] = [_stretch(crossing)]
    return _without(raw, reached, 0.0, reached[-1], taken)


def _inside(taken: list[tuple[float, float]], at: float) -> bool:
    """Whether a place lies within one of the stretches, which are in order and apart."""
    first = bisect_left(taken, (at,)) - 1
    return any(lo < at < hi for lo, hi in taken[max(first, 0) : first + 1])


def _stretch(crossing: Crossing) -> tuple[float, float]:
    return crossing.at_a, crossing.at_b


def _between(raw: Path, reached: list[float], lo: float, hi: float) -> list[Segment]:
    """The stretch of a path between two arc lengths; each joint's arc length is known."""
    first = max(bisect_right(reached, lo + JOINT) - 1, 0)
    last = min(max(bisect_left(reached, hi - JOINT), first + 1), len(raw.segments))
    segments = list(raw.segments[first:last])
    if reached[last] - hi > JOINT:
        segments[-1] = segments[-1].split(segments[-1].parameter_at(hi - reached[last - 1]))[0]
    if lo - reached[first] > JOINT:
        done = raw.segments[first].parameter_at(lo - reached[first])
        if last == first + 1 and reached[last] - hi > JOINT:
            done /= raw.segments[first].parameter_at(hi - reached[first])
        segments[0] = segments[0].split(done)[1]
    return segments


def _without(raw: Path, reached: list[float], start: float, end: float, taken: list[tuple[float, float]]) -> Path:
    """The stretch of a path from start to end without the stretches taken, whose ends meet."""
    kept: list[Segment] = []
    at = start
    inside = taken[bisect_left(taken, (start,)) : bisect_right(taken, (end, math.inf))]
    for lo, hi in [*(stretch for stretch in inside if stretch[1] <= end), (end, end)]:
        if lo - at > JOINT:
            piece = _between(raw, reached, at, lo)
            kept += [_starting(piece[0], kept[-1].end), *piece[1:]] if kept else piece
        at = hi
    if not kept:
        raise _Lost("nothing is left of the shape")
    return Path(tuple(kept))


def _open(raw: Path, clearance: _Clearance) -> Path:
    trimmed = _trimmed_start(_trimmed_start(raw, clearance).reversed(), clearance).reversed()
    kept = _loops_out(trimmed, self_crossings(trimmed), clearance)
    if not clearance.sound(kept):
        raise _Lost("the path has no sound parallel")
    return kept


def _trimmed_start(raw: Path, clearance: _Clearance) -> Path:
    """Leave out a beginning that lies too near the source: the rest begins where it first keeps its distance."""
    before, bad = 0.0, None
    for segment in raw.segments:
        for t in _places(segment):
            if clearance.kept(segment.point(t)):
                if bad is None:
                    return raw
                lo, hi = bad, before + segment.length_to(t)
                for _ in range(30):
                    mid = (lo + hi) / 2
                    lo, hi = (lo, mid) if clearance.kept(raw.at(mid)) else (mid, hi)
                return raw.split(hi)[1]
            bad = before + segment.length_to(t)
        before += segment.length
    raise _Lost("the path has no sound parallel")
