"""Lines moved along their own normals by amounts that may change from place to place."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from firsthand.alter.moving.profile import Amounts, amounts_of
from firsthand.errors import GeometryError
from firsthand.geometry import Cubic, Line, Path, Point, Segment, extended, intersections, nearest, offset
from firsthand.pattern.model import Profile

__all__ = ["Folds", "Moved", "moved_line", "tightest_hollow"]

FIT = 0.008
"""Curves may leave the true line by this, mm, at the places where that is looked at: within 0.02 mm everywhere."""
LOOKED_AT = tuple(k / 8 for k in range(1, 8))
"""Shares of a fitted curve where it is compared with the true line."""
DEEPEST = 12
"""A curve is halved at most this often."""
STRAY = 0.005
"""Between two marks positions stray from where they truly come to lie by about this at most, mm."""
MARKS = 64
"""Marks on one fitted curve at most."""
STATION = 12.5
"""On a line whose loops were taken out there is a mark at least this often, mm."""
SNAP = 0.0025
"""Ends of neighbouring segments this close, mm, are one point: an eighth of what curves may be off."""
RUN_ON = 6.0
"""At a corner inside the line both sides run on for at most this many times the movement."""

# Nodes and weights of 5-point Gauss-Legendre quadrature on [0, 1]; compared with numpy's in the tests.
GAUSS = (
    (0.5, 0.28444444444444444), (0.2307653449471585, 0.23931433524968324), (0.7692346550528415, 0.23931433524968324),
    (0.04691007703066802, 0.11846344252809454), (0.9530899229693319, 0.11846344252809454),
)  # fmt: skip

Mark = tuple[float, float]
"""A place on the line that is moved, and where it comes to lie, mm of arc."""


Stop = tuple[float, float]
"""A place on one curve: its parameter, and its arc length from the start of the curve, mm."""


class Folds(Exception):
    """The line bends more tightly than it is moved, so that what comes of it folds up."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A line that was moved.

    Parameters
    ----------
    path
        The moved line, ending beside the ends of the line it was.
    marks
        Places on the old line and on the new one, rising, from end to end; linear between, and running on alike beyond.
    """

    path: Path
    marks: tuple[Mark, ...]

    def foot(self, at: float) -> float:
        """Where a place on the old line comes to lie."""
        return _along(self.marks, at, 0, 1)

    def origin(self, at: float) -> float:
        """Which place on the old line came to lie at a place on the new one."""
        return _along(self.marks, at, 1, 0)


def _along(marks: Sequence[Mark], at: float, given: int, wanted: int) -> float:
    if at <= marks[0][given]:
        return marks[0][wanted] + at - marks[0][given]
    if at >= marks[-1][given]:
        return marks[-1][wanted] + at - marks[-1][given]
    after = bisect_right(marks, at, key=lambda mark: mark[given])
    one, two = marks[after - 1], marks[after]
    run = two[given] - one[given]
    return one[wanted] + (at - one[given]) / run * (two[wanted] - one[wanted]) if run > 0 else one[wanted]


@lru_cache(maxsize=512)
def moved_line(line: Path, profiles: tuple[Profile, ...]) -> Moved:
    """A line moved to its left by the sum of profiles.

    Parameters
    ----------
    line
        An open path.
    profiles
        Amounts at arc lengths along it, mm.

    Returns
    -------
    Moved
        Curves are within 0.02 mm of the true line; straight stretches that move evenly are straight, exactly.

    Raises
    ------
    Folds
        If what comes of it folds up.
    """
    amounts = amounts_of(profiles)
    length = line.length
    if not amounts.most:
        return Moved(line, ((0.0, 0.0), (length, length)))
    even = amounts.level(0.0, length)
    try:
        return _joined(list(_runs(line, amounts)))
    except Folds:
        if not even:
            raise
    return _parallel(line, amounts.at(length / 2)[0])


# one segment after the other ---------------------------------------------------------------------------------


@dataclass(slots=True)
class _Run:
    """A stretch of the moved line without a corner: its segments, places on the old line and on this run."""

    segments: list[Segment]
    marks: list[Mark]

    @property
    def length(self) -> float:
        return self.marks[-1][1]


def _runs(line: Path, amounts: Amounts) -> Iterator[_Run]:
    """The line in stretches that run on smoothly, each moved."""
    run: _Run | None = None
    reached = 0.0
    for segment in line.segments:
        length = segment.length
        if length <= 1e-9:
            continue
        fits = _straight(segment, amounts, reached, length) if isinstance(segment, Line) else _curved(segment, amounts, reached)
        at = reached
        for fit, feet in fits:
            if run is not None and run.segments[-1].end.distance(fit.start) > SNAP:
                yield run
                run = None
            if run is None:
                run = _Run([], [(at, 0.0)])
            elif fit.start != run.segments[-1].end:
                fit = _starting(fit, run.segments[-1].end)
            base = run.length
            run.segments.append(fit)
            run.marks += [(place, base + foot) for place, foot in feet]
            at = feet[-1][0]
        reached += length
    if run is None:
        raise Folds
    yield run


def _starting(segment: Segment, at: Point) -> Segment:
    if isinstance(segment, Line):
        return Line(at, segment.b)
    return Cubic(at, segment.b + (at - segment.a), segment.c, segment.d)


Fits = Iterator[tuple[Segment, list[Mark]]]
"""Fitted segments, each with places on the whole old line and on it, its start left out."""


def _straight(line: Line, amounts: Amounts, reached: float, length: float) -> Fits:
    """A straight stretch: exactly a line where it moves evenly, exactly a cubic between two stations."""
    ux, uy = (line.b.x - line.a.x) / length, (line.b.y - line.a.y) / length
    stops = [0.0, *(at - reached for at in amounts.between(reached, reached + length)), length]
    for one, two in itertools.pairwise(stops):
        (a, da), (b, db) = amounts.at(reached + one), amounts.at(reached + two)
        start = Point(line.a.x + ux * one - uy * a, line.a.y + uy * one + ux * a)
        end = Point(line.a.x + ux * two - uy * b, line.a.y + uy * two + ux * b)
        if amounts.level(reached + one, reached + two):
            yield Line(start, end), [(reached + two, two - one)]
            continue
        if amounts.straight(reached + one, reached + two):
            yield Line(start, end), [(reached + two, start.distance(end))]
            continue
        third = (two - one) / 3
        fit = Cubic(
            start,
            Point(start.x + (ux - uy * da) * third, start.y + (uy + ux * da) * third),
            Point(end.x - (ux - uy * db) * third, end.y - (uy + ux * db) * third),
            end,
        )
        yield fit, _feet(fit, _evenly(reached + one, reached + two))


def _evenly(lo: float, hi: float) -> Callable[[float], float]:
    return lambda u: lo + u * (hi - lo)


class _Curve:
    """A cubic of the old line, in plain numbers: its place, direction and bend, and where that lies along the line."""

    __slots__ = ("_a", "_amounts", "_b", "_c", "_d", "_even", "_reached", "cubic", "length")

    def __init__(self, cubic: Cubic, amounts: Amounts, reached: float) -> None:
        a, b, c, d = cubic.a, cubic.b, cubic.c, cubic.d
        self._a = (a.x, a.y)
        self._b = (3 * (b.x - a.x), 3 * (b.y - a.y))
        self._c = (3 * (a.x - 2 * b.x + c.x), 3 * (a.y - 2 * b.y + c.y))
        self._d = (d.x - 3 * c.x + 3 * b.x - a.x, d.y - 3 * c.y + 3 * b.y - a.y)
        self.cubic, self._reached, self._amounts = cubic, reached, amounts
        self.length = cubic.length
        self._even = amounts.at(reached)[0] if amounts.level(reached, reached + self.length) else None

    @property
    def even(self) -> bool:
        """Whether it moves by the same amount all along, so that places on it do not matter."""
        return self._even is not None

    def arc(self, one: float, two: float) -> float:
        """Arc length between two parameters that are not far apart."""
        (bx, by), (cx, cy), (dx, dy) = self._b, self._c, self._d
        h, total = two - one, 0.0
        for node, weight in GAUSS:
            t = one + node * h
            total += weight * math.hypot(bx + t * (2 * cx + 3 * t * dx), by + t * (2 * cy + 3 * t * dy))
        return h * total

    def bend(self, t: float) -> float:
        """The curvature at a parameter, 1/mm, positive to the left."""
        (bx, by), (cx, cy), (dx, dy) = self._b, self._c, self._d
        vx, vy = bx + t * (2 * cx + 3 * t * dx), by + t * (2 * cy + 3 * t * dy)
        speed = math.hypot(vx, vy)
        across = vx * (2 * cy + 6 * t * dy) - vy * (2 * cx + 6 * t * dx)
        return across / (speed * speed * speed) if speed > 1e-9 else 0.0

    def moved(self, t: float, s: float) -> tuple[float, float, float, float]:
        """The point of the true line beside a parameter, and the derivative of that line; ``s`` is its arc length."""
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = self._a, self._b, self._c, self._d
        x, y = ax + t * (bx + t * (cx + t * dx)), ay + t * (by + t * (cy + t * dy))
        vx, vy = bx + t * (2 * cx + 3 * t * dx), by + t * (2 * cy + 3 * t * dy)
        speed = math.hypot(vx, vy)
        if speed > 1e-9:
            ux, uy = vx / speed, vy / speed
            wx, wy = 2 * cx + 6 * t * dx, 2 * cy + 6 * t * dy
            bend = (vx * wy - vy * wx) / (speed * speed * speed)
        else:  # a folded handle: the direction in which it leaves or arrives
            along = self.cubic.tangent(t)
            ux, uy, bend = along.x, along.y, 0.0
        amount, slope = (self._even, 0.0) if self._even is not None else self._amounts.at(self._reached + s)
        forwards = 1.0 - bend * amount
        if forwards <= 0:
            raise Folds
        run, side = speed * forwards, speed * slope
        return x - uy * amount, y + ux * amount, ux * run - uy * side, uy * run + ux * side

    def places(self, start: Stop, end: Stop) -> Callable[[float], float]:
        """From a share of the way between two parameters to the place on the whole line."""
        (t0, s0), (t1, s1) = start, end
        whole = self.arc(t0, t1)
        stretch = (s1 - s0) / whole if whole else 0.0
        return lambda u: self._reached + (s1 if u == 1.0 else s0 + stretch * self.arc(t0, t0 + u * (t1 - t0)))

    def stops(self) -> list[Stop]:
        """Parameters and arc lengths between which the line is smooth enough to be fitted: both ends, and the stations."""
        inner = self._amounts.between(self._reached, self._reached + self.length)
        between = [(self.cubic.parameter_at(at - self._reached), at - self._reached) for at in inner]
        return [(0.0, 0.0), *between, (1.0, self.length)]


def _curved(cubic: Cubic, amounts: Amounts, reached: float) -> Fits:
    curve = _Curve(cubic, amounts, reached)
    for one, two in itertools.pairwise(curve.stops()):
        for fit, start, end in _fitted(curve, one, two, 0):
            yield fit, _feet(fit, curve.places(start, end))


def _fitted(curve: _Curve, one: Stop, two: Stop, depth: int) -> Iterator[tuple[Cubic, Stop, Stop]]:
    """Cubics with the true line's ends and derivatives there, halved till they are near enough to it.

    Of each it is said where on the old curve it begins and ends.
    """
    (t0, s0), (t1, s1) = one, two
    h, first, last = t1 - t0, curve.moved(t0, s0), curve.moved(t1, s1)
    third = h / 3
    ax, ay, dx, dy = first[0], first[1], last[0], last[1]
    bx, by, cx, cy = ax + first[2] * third, ay + first[3] * third, dx - last[2] * third, dy - last[3] * third
    worst, s, before, even = 0.0, s0, 0.0, curve.even
    for u in LOOKED_AT:
        if not even:
            s += curve.arc(t0 + before * h, t0 + u * h)
        before = u
        x, y, _, _ = curve.moved(t0 + u * h, s)
        v = 1 - u
        p, q, r, w = v * v * v, 3 * v * v * u, 3 * v * u * u, u * u * u
        worst = max(worst, math.hypot(p * ax + q * bx + r * cx + w * dx - x, p * ay + q * by + r * cy + w * dy - y))
        if worst > FIT:
            break
    if worst > FIT and depth < DEEPEST:
        middle = (t0 + h / 2, s0 + sum(curve.arc(t0 + k * h / 8, t0 + (k + 1) * h / 8) for k in range(4)))
        yield from _fitted(curve, one, middle, depth + 1)
        yield from _fitted(curve, middle, two, depth + 1)
        return
    yield Cubic(Point(ax, ay), Point(bx, by), Point(cx, cy), Point(dx, dy)), one, two


def _feet(fit: Cubic, place: Callable[[float], float]) -> list[Mark]:
    """Places along a fitted curve but its start: those of the old line, and arc lengths on it."""
    start, marks = (place(0.0), 0.0), _stepped(fit, place, 4)
    ratios = [(x2 - x1) / (g2 - g1) for (g1, x1), (g2, x2) in itertools.pairwise([start, *marks]) if g2 > g1]
    change = (max(ratios) - min(ratios)) / 0.75 if ratios else 0.0
    count = min(math.ceil(math.sqrt(change * marks[-1][1] / (8 * STRAY))), MARKS)
    return marks[-1:] if count <= 1 else marks if count <= 4 else _stepped(fit, place, count)


def _stepped(fit: Cubic, place: Callable[[float], float], count: int) -> list[Mark]:
    own = _Curve(fit, _STILL, 0.0)
    arcs = list(itertools.accumulate(own.arc(k / count, (k + 1) / count) for k in range(count)))
    stretch = fit.length / arcs[-1] if arcs[-1] else 1.0
    return [(place((k + 1) / count), arcs[k] * stretch) for k in range(count)]


_STILL = amounts_of(())


def tightest_hollow(path: Path) -> float:
    """The least radius with which a path turns right, looked at in some places of each curve, mm; endless if it never does."""
    sharpest = 0.0
    for segment in path.segments:
        if isinstance(segment, Cubic):
            curve = _Curve(segment, _STILL, 0.0)
            sharpest = max(sharpest, *(-curve.bend(k / 6) for k in range(7)))
    return 1 / sharpest if sharpest > 0 else math.inf


# corners inside the line -------------------------------------------------------------------------------------


def _joined(runs: list[_Run]) -> Moved:
    """Runs cut, or run on straight, to where they meet."""
    whole = Path(tuple(runs[0].segments))
    marks = runs[0].marks
    for run in runs[1:]:
        after = Path(tuple(run.segments))
        far = 1.0 + RUN_ON * whole.end.distance(after.start)
        found = intersections(extended(whole, 0, far), extended(after, far, 0))
        length = whole.length
        meetings = [(abs(c.at_a - length) + abs(c.at_b - far), c.at_a, c.at_b - far) for c in found]
        if not meetings:
            raise Folds
        _, end, start = min(meetings)
        if end <= 0 or start >= after.length:
            raise Folds
        before = extended(whole, 0, end - length) if end > length else whole.between(0.0, end)
        behind = extended(after, -start, 0) if start < 0 else after.between(start, after.length)
        segments = (*before.segments, _starting(behind.segments[0], before.end), *behind.segments[1:])
        whole = Path(segments)
        marks = [*_held(marks, 0.0, end), *((g, end + x - start) for g, x in _held(run.marks, start, math.inf))]
    return Moved(whole, tuple(marks))


def _held(marks: Sequence[Mark], lo: float, hi: float) -> Iterator[Mark]:
    """Marks of a line that is cut off at two places: what lay beyond is held there."""
    for k, (g, x) in enumerate(marks):
        before = marks[k - 1][1] if k else x
        yield from ((_along(marks, cut, 1, 0), cut) for cut in (lo, hi) if before < cut < x)
        yield g, min(max(x, lo), hi)


# the slow way, for lines with bends tighter than the amount ---------------------------------------------------


def _parallel(line: Path, amount: float) -> Moved:
    """The parallel with its loops taken out."""
    try:
        path = offset(line, -amount)
    except GeometryError:
        raise Folds from None
    marks: list[Mark] = []
    reached, top = 0.0, 0.0
    for segment in line.segments:
        length = segment.length
        count = 1 if isinstance(segment, Line) else max(2, math.ceil(length / STATION))
        for k in range(0 if not marks else 1, count + 1):
            t = segment.parameter_at(length * k / count)
            top = max(top, nearest(path, segment.point(t) + segment.tangent(t).left * amount)[0])
            marks.append((reached + length * k / count, top))
        reached += length
    return Moved(path, tuple(marks))
