"""Paths: chains of segments."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from firsthand.errors import GeometryError
from firsthand.geometry._point import Affine, Box, Point
from firsthand.geometry._segment import Cubic, Line, Segment
from firsthand.units import said

__all__ = ["FARTHEST", "JOINT", "Path", "hull"]

JOINT = 1e-6
"""Ends closer than this, in mm, are one point."""

FARTHEST = 1e7
"""Nothing is drawn farther than ten kilometres from the origin, mm: such a number is a slip, and precision ends there."""

FINEST = 1e-6
"""The least tolerance to which a curve is flattened, mm."""


class _Kept:
    """Room for answers that keep, because a path never changes: no fields, so neither compared, shown, nor pickled."""

    __slots__ = ("_end_way", "_hash", "_hulls", "_reached", "_start_way", "_whole")

    _end_way: Point
    _hash: int
    _hulls: tuple[tuple[float, float, float, float], ...]
    _reached: tuple[float, ...]
    _start_way: Point
    _whole: float


@dataclass(frozen=True, slots=True)
class Path(_Kept):
    """A chain of one or more segments, each beginning where the one before ends.

    Raises
    ------
    GeometryError
        If it is empty, the segments do not join or reach farther than ten kilometres from the origin.

    Examples
    --------
    >>> square = Path.polygon([Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)])
    >>> square.length, square.area, square.is_closed
    (40.0, 100.0, True)
    >>> square.at(15)
    Point(x=10.0, y=5.0)
    """

    segments: tuple[Segment, ...]

    def __post_init__(self) -> None:
        segments = self.segments
        if segments.__class__ is not tuple:
            segments = tuple(segments)
            object.__setattr__(self, "segments", segments)
        if not segments:
            raise GeometryError("a path needs at least one segment")
        end: Point | None = None
        for segment in segments:
            points = (segment.a, segment.b) if isinstance(segment, Line) else (segment.a, segment.b, segment.c, segment.d)
            for p in points:
                if not (-FARTHEST <= p.x <= FARTHEST and -FARTHEST <= p.y <= FARTHEST):
                    raise GeometryError("a path reaches farther than ten kilometres")
            start = points[0]
            if end is not None and end is not start and math.hypot(end.x - start.x, end.y - start.y) > JOINT:
                raise GeometryError(f"a path is broken: there is a gap of {said(end.distance(start))} in it")
            end = points[-1]

    def __hash__(self) -> int:
        try:
            return self._hash
        except AttributeError:
            made = hash((self.segments,))
            _set_hash(self, made)
            return made

    # making -------------------------------------------------------------------------------------------------

    @staticmethod
    def line(*points: Point) -> Path:
        """Straight segments through points; points on top of the one before are left out.

        Raises
        ------
        GeometryError
            If there are not two different points.
        """
        kept: list[Point] = []
        for point in points:
            if not kept or kept[-1].distance(point) > JOINT:
                kept.append(point)
        if len(kept) < 2:
            raise GeometryError("a line needs two different points")
        return Path(tuple(Line(a, b) for a, b in itertools.pairwise(kept)))

    @staticmethod
    def polygon(points: Sequence[Point]) -> Path:
        """The closed path through points.

        Raises
        ------
        GeometryError
            If there are not three different points.
        """
        closed = Path.line(*points, *points[:1])
        if len(closed.segments) < 3:
            raise GeometryError("a polygon needs three different points")
        return closed

    @staticmethod
    def curve(a: Point, b: Point, c: Point, d: Point) -> Path:
        """One cubic Bézier."""
        return Path((Cubic(a, b, c, d),))

    @staticmethod
    def arc(centre: Point, radius: float, start: float, sweep: float) -> Path:
        """A circular arc as cubics of at most 22.5 degrees, radial error below 1e-7 of the radius.

        Parameters
        ----------
        centre, radius
            The circle, mm.
        start, sweep
            Angles in radians; a positive sweep runs counter-clockwise.

        Raises
        ------
        GeometryError
            If the radius is not above zero or the sweep is zero or more than a full turn.

        Examples
        --------
        >>> round(Path.arc(Point(0, 0), 100, 0, math.pi).length, 4)
        314.1593
        """
        if not (0 < radius <= FARTHEST and 0 < abs(sweep) <= 2 * math.pi + 1e-9 and math.isfinite(start)):
            raise GeometryError(f"an arc needs a radius and a sweep of at most a full turn, not {radius} and {sweep}")
        count = math.ceil(abs(sweep) / (math.pi / 8) - 1e-9)
        step = sweep / count
        handle = 4 / 3 * math.tan(step / 4) * radius
        pieces: list[Segment] = []
        last = centre + Point.polar(radius, start)
        for k in range(count):
            one, two = start + k * step, start + (k + 1) * step
            here = centre + Point.polar(radius, two)
            pieces.append(
                Cubic(
                    last,
                    last + Point.polar(handle, one + math.pi / 2),
                    here - Point.polar(handle, two + math.pi / 2),
                    here,
                )
            )
            last = here
        return Path(tuple(pieces))

    @staticmethod
    def joined(paths: Iterable[Path]) -> Path:
        """Paths one after the other.

        Raises
        ------
        GeometryError
            If there are none or they do not meet.
        """
        return Path(tuple(segment for path in paths for segment in path.segments))

    # asking -------------------------------------------------------------------------------------------------

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.segments[-1].end

    @property
    def is_closed(self) -> bool:
        """Whether it ends where it begins."""
        return self.start.distance(self.end) <= JOINT

    @property
    def length(self) -> float:
        """Arc length, mm."""
        try:
            return self._whole
        except AttributeError:
            whole = math.fsum(segment.length for segment in self.segments)
            _set_whole(self, whole)
            return whole

    @property
    def reached(self) -> tuple[float, ...]:
        """Arc length from the start to each of the joints, mm."""
        try:
            return self._reached
        except AttributeError:
            reached = tuple(itertools.accumulate((segment.length for segment in self.segments), initial=0.0))
            _set_reached(self, reached)
            return reached

    @property
    def area(self) -> float:
        """Signed area, mm2, positive when counter-clockwise; an open path is closed by a straight line."""
        chord = Line(self.end, self.start).signed_area
        return math.fsum([*(segment.signed_area for segment in self.segments), chord])

    @property
    def bounds(self) -> Box:
        """The smallest box around it."""
        box = self.segments[0].bounds
        for segment in self.segments[1:]:
            box = box.union(segment.bounds)
        return box

    @property
    def joints(self) -> tuple[Point, ...]:
        """Start of each segment, and the end."""
        return (*(segment.start for segment in self.segments), self.end)

    @property
    def hulls(self) -> tuple[tuple[float, float, float, float], ...]:
        """For each segment left, bottom, right and top of the box around its points and handles, mm."""
        try:
            return self._hulls
        except AttributeError:
            hulls = tuple(hull(segment) for segment in self.segments)
            _set_hulls(self, hulls)
            return hulls

    def locate(self, length: float) -> tuple[int, float]:
        """Segment index and parameter at an arc length from the start, clamped to the path."""
        if not math.isfinite(length):
            raise GeometryError(f"a place along a path must be a finite length, not {length}")
        reached = self.reached
        index = min(max(bisect_right(reached, length) - 1, 0), len(self.segments) - 1)
        return index, self.segments[index].parameter_at(length - reached[index])

    def at(self, length: float) -> Point:
        """Point at an arc length from the start, mm."""
        index, t = self.locate(length)
        return self.segments[index].point(t)

    def tangent_at(self, length: float) -> Point:
        """Unit tangent at an arc length from the start."""
        index, t = self.locate(length)
        return self.segments[index].tangent(t)

    @property
    def start_tangent(self) -> Point:
        """Unit tangent at the start, that of the first segment with a length."""
        try:
            return self._start_way
        except AttributeError:
            way = next((s for s in self.segments if _moves(s)), self.segments[0]).tangent(0.0)
            _set_start_way(self, way)
            return way

    @property
    def end_tangent(self) -> Point:
        """Unit tangent at the end, that of the last segment with a length."""
        try:
            return self._end_way
        except AttributeError:
            way = next((s for s in reversed(self.segments) if _moves(s)), self.segments[-1]).tangent(1.0)
            _set_end_way(self, way)
            return way

    def __iter__(self) -> Iterator[Segment]:
        return iter(self.segments)

    # changing -----------------------------------------------------------------------------------------------

    def reversed(self) -> Path:
        """The same path the other way round."""
        return Path(tuple(segment.reversed() for segment in reversed(self.segments)))

    def begun_at(self, start: Point) -> Path:
        """The same path but for where its first segment begins: for ends that should meet and differ by rounding."""
        return self if self.start == start else Path((replace(self.segments[0], a=start), *self.segments[1:]))

    def transformed(self, by: Affine) -> Path:
        """Its image under an affine map."""
        return Path(tuple(segment.transformed(by) for segment in self.segments))

    def split(self, length: float) -> tuple[Path, Path]:
        """The two paths before and after an arc length.

        Raises
        ------
        GeometryError
            If the length is not strictly inside the path.
        """
        if not JOINT < length < self.length - JOINT:
            raise GeometryError(f"{length} mm is not inside a path of {self.length:.3f} mm")
        index, t = self.locate(length)
        one, two = self.segments[index].split(t)
        if index and _within_joint(one):  # at a joint the segments stay whole
            return Path(self.segments[:index]), Path(self.segments[index:])
        if index + 1 < len(self.segments) and _within_joint(two):
            return Path(self.segments[: index + 1]), Path(self.segments[index + 1 :])
        return Path((*self.segments[:index], one)), Path((two, *self.segments[index + 1 :]))

    def between(self, start: float, end: float) -> Path:
        """The part between two arc lengths, ``start < end``.

        Raises
        ------
        GeometryError
            If they are not in order, not on the path or closer together than a millionth of a millimetre.
        """
        whole = self.length
        if not 0 - JOINT <= start < end <= whole + JOINT:
            raise GeometryError(f"no part of a path of {whole:.3f} mm lies between {start} and {end}")
        if start <= JOINT:
            return self if end >= whole - JOINT else self.split(end)[0]
        if end >= whole - JOINT:
            return self.split(start)[1]
        first, t = self.locate(start)
        last, u = self.locate(end)
        if first == last and t < u:
            return Path((self.segments[first].split(u)[0].split(t / u)[1],))
        head, tail = self.segments[first].split(t)[1], self.segments[last].split(u)[0]
        heads = () if _within_joint(head) else (head,)
        tails = () if _within_joint(tail) else (tail,)
        kept = (*heads, *self.segments[first + 1 : last], *tails)
        return Path(kept or (head, tail))

    def flattened(self, tolerance: float = 0.05) -> tuple[Point, ...]:
        """Points of a polyline on the path that stays within a tolerance of it, mm.

        The polyline's points lie on the curve. Where a polygon must contain the curve see
        :func:`firsthand.geometry.flatten_outwards`.
        """
        if not FINEST <= tolerance < math.inf:
            raise GeometryError(f"a tolerance must be at least {FINEST} mm, not {tolerance}")
        points = [self.start]
        for segment in self.segments:
            points += _flat(segment, tolerance)
        return tuple(points)


def _moves(segment: Segment) -> bool:
    """Whether a segment has a length."""
    a, b = segment.start, segment.end
    return a.x != b.x or a.y != b.y or segment.length > 0


def _within_joint(segment: Segment) -> bool:
    """Whether a segment is so short that its ends are one point."""
    return segment.start.distance(segment.end) <= JOINT and segment.length <= JOINT


def hull(segment: Segment) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of the box around the points and handles of a segment, mm."""
    a, b = segment.a, segment.b
    if isinstance(segment, Line):
        return min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)
    xs, ys = (a.x, b.x, segment.c.x, segment.d.x), (a.y, b.y, segment.c.y, segment.d.y)
    return min(xs), min(ys), max(xs), max(ys)


def _flat(segment: Segment, tolerance: float) -> list[Point]:
    if isinstance(segment, Line):
        return [segment.b]
    # Second differences bound the distance between a cubic and its chord (Wang's formula).
    a, b, c, d = segment.a, segment.b, segment.c, segment.d
    bend = max(math.hypot(a.x - 2 * b.x + c.x, a.y - 2 * b.y + c.y), math.hypot(b.x - 2 * c.x + d.x, b.y - 2 * c.y + d.y))
    count = max(1, math.ceil(math.sqrt(0.75 * bend / tolerance)))
    return [*(segment.point(k / count) for k in range(1, count)), segment.d]


# The doors of the slots for answers that keep.
_set_end_way, _set_hash, _set_hulls, _set_reached, _set_start_way, _set_whole = (
    _Kept.__dict__[name].__set__ for name in ("_end_way", "_hash", "_hulls", "_reached", "_start_way", "_whole")
)
