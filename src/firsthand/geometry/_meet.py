"""Where paths meet."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from firsthand.geometry._boxes import Boxes, near_pairs
from firsthand.geometry._clear import Headings, flat, surely_apart
from firsthand.geometry._pairs import SAME, meetings
from firsthand.geometry._path import JOINT, Path, hull
from firsthand.geometry._point import Point
from firsthand.geometry._segment import Cubic, Line, Segment

__all__ = ["Crossing", "intersections", "self_crossings"]


@dataclass(frozen=True, slots=True, order=True)
class Crossing:
    """Where two paths meet: arc lengths from the start of either, and the point.

    Parameters
    ----------
    at_a, at_b
        Arc lengths along the first and the second path, mm.
    point
        The point that they share.
    """

    at_a: float
    at_b: float
    point: Point


def intersections(a: Path, b: Path) -> tuple[Crossing, ...]:
    """Every point where two paths meet, in the order of ``a``.

    Crossings and touches count alike, ends included; whatever comes within 1e-6 mm meets. A meeting at the joint of two
    segments is given once, and so are two meetings less than 0.01 mm apart. Where the paths run along each other, both
    ends of every shared stretch are given (of each two segments: a long stretch may be given in several).

    Parameters
    ----------
    a, b
        The paths.

    Returns
    -------
    tuple of Crossing
        Empty if they do not meet.

    Examples
    --------
    >>> bow = Path.curve(Point(0, 0), Point(0, 40), Point(100, 40), Point(100, 0))
    >>> [round(c.point.x, 6) for c in intersections(bow, Path.line(Point(50, -10), Point(50, 90)))]
    [50.0]
    >>> intersections(Path.line(Point(0, 0), Point(9, 0)), Path.line(Point(0, 1), Point(9, 1)))
    ()
    """
    found = []
    before_a, before_b = a.reached, b.reached
    hulls_a, hulls_b = (Boxes(path.hulls) for path in (a, b))
    for i, j in near_pairs(hulls_a, hulls_b, JOINT):
        one, two = a.segments[i], b.segments[j]
        for t, u in meetings(one, two):
            here = one.point(t)
            crossing = Crossing(before_a[i] + one.length_to(t), before_b[j] + two.length_to(u), here)
            found.append((here.distance(two.point(u)), crossing))
    return _distinct(found, before_a[-1] if a.is_closed else 0.0, before_b[-1] if b.is_closed else 0.0)


def self_crossings(path: Path) -> tuple[Crossing, ...]:
    """Every point where a path meets itself, with ``at_a < at_b``; joints of neighbours and the closing point do not count.

    Examples
    --------
    >>> bowtie = Path.polygon([Point(0, 0), Point(10, 10), Point(10, 0), Point(0, 10)])
    >>> [c.point for c in self_crossings(bowtie)]
    [Point(x=5.0, y=5.0)]
    """
    closed = path.is_closed
    doubtful = _doubtful(path, closed)
    if not doubtful:
        return ()
    pieces = list(_monotone(path))
    before = [0.0, *itertools.accumulate(piece.length for _, piece in pieces)]
    whole = before[-1]
    found = []
    hulls = Boxes([hull(piece) for _, piece in pieces])
    for i, j in near_pairs(hulls, hulls, JOINT):
        (of_one, one), (of_two, two) = pieces[i], pieces[j]
        if (of_one, of_two) not in doubtful or (j == i + 1 and _goes_on(one, two)):
            continue
        for t, u in meetings(one, two):
            at_a, at_b = before[i] + one.length_to(t), before[j] + two.length_to(u)
            gap = min(at_b - at_a, whole - at_b + at_a) if closed else at_b - at_a
            if gap > SAME:
                found.append((one.point(t).distance(two.point(u)), Crossing(at_a, at_b, one.point(t))))
    return _distinct(found, 0.0, 0.0)


def _doubtful(path: Path, closed: bool) -> set[tuple[int, int]]:
    """The pairs of segments, and each segment with itself, that are not proven to meet nowhere but at their joint."""
    segments, count = path.segments, len(path.segments)
    headings = Headings(segments, closed=closed)
    hulls = Boxes(path.hulls)
    doubtful = {(k, k) for k in range(count) if not headings.forwards(k, k)}
    wild = {k for k, _ in doubtful}
    for i, j in near_pairs(hulls, hulls, JOINT):
        if headings.forwards(i, j):
            continue
        round_the_end = closed and i == 0 and j == count - 1
        if (j == i + 1) != round_the_end:
            one, two = (j, i) if round_the_end else (i, j)
            if one in wild or two in wild or not headings.corner_clear(segments[one], segments[two]):
                doubtful.add((i, j))
        elif j == i + 1 or not surely_apart(flat(segments[i]), flat(segments[j])):
            doubtful.add((i, j))
    return doubtful


def _goes_on(one: Segment, two: Segment) -> bool:
    """Whether two straight neighbours turn by a right angle at most: they meet nowhere but at their joint."""
    return isinstance(one, Line) and isinstance(two, Line) and (one.b - one.a).dot(two.b - two.a) >= 0


def _distinct(found: Iterable[tuple[float, Crossing]], round_a: float, round_b: float) -> tuple[Crossing, ...]:
    """Leave out meetings found twice: at joints, and at the start of a closed path, which is also its end."""
    kept: dict[tuple[int, int], list[Crossing]] = {}
    for _, one in sorted(found, key=lambda pair: (round(pair[0], 9), pair[1])):
        cells = itertools.product(_cells(one.at_a, round_a), _cells(one.at_b, round_b))
        beside = (k for cell in cells for k in kept.get(cell, ()))
        if not any(_gap(one.at_a, k.at_a, round_a) <= SAME and _gap(one.at_b, k.at_b, round_b) <= SAME for k in beside):
            kept.setdefault((int(one.at_a // SAME), int(one.at_b // SAME)), []).append(one)
    return tuple(sorted(itertools.chain.from_iterable(kept.values())))


def _cells(at: float, whole: float) -> list[int]:
    """The hundredths of a millimetre beside a place along a path; those at its other end too, if it is closed."""
    turns = [at, *(at + way for way in (whole, -whole) if whole and -2 * SAME <= at + way <= whole + 2 * SAME)]
    return [int(turn // SAME) + step for turn in turns for step in (-1, 0, 1)]


def _gap(one: float, two: float, whole: float) -> float:
    gap = abs(one - two)
    return min(gap, abs(whole - gap)) if whole else gap


def _monotone(path: Path) -> Iterator[tuple[int, Segment]]:
    """The segments with their numbers, cubics split where they turn back in x or y: no piece can cross itself."""
    for number, segment in enumerate(path.segments):
        rest, done = segment, 0.0
        if isinstance(segment, Cubic):
            for t in sorted({t for t in segment.extremes() if 1e-9 < t < 1 - 1e-9}):
                if t - done > 1e-9:
                    first, rest = rest.split((t - done) / (1 - done))
                    done = t
                    yield number, first
        yield number, rest
