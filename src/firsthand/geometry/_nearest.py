"""The point of a path nearest to another point."""

from __future__ import annotations

import math

from firsthand.geometry._path import Path
from firsthand.geometry._point import Point
from firsthand.geometry._roots import bernstein_product, bernstein_roots
from firsthand.geometry._segment import Cubic, Line, Segment

__all__ = ["nearest", "nearest_parameter"]


def nearest(path: Path, point: Point) -> tuple[float, float]:
    """Where on a path the point nearest to another point lies.

    Parameters
    ----------
    path
        The path.
    point
        Any point.

    Returns
    -------
    tuple of float
        Arc length from the start of the path to the nearest point, and its distance, mm. Of several points that are
        equally near the first along the path is given.

    Examples
    --------
    >>> nearest(Path.line(Point(0, 0), Point(100, 0), Point(100, 50)), Point(40, 7))
    (40.0, 7.0)
    """
    best, where, at = math.inf, 0, 0.0
    for index, segment in enumerate(path.segments):
        if _hull_distance(segment, point) >= best:
            continue
        t, distance = nearest_parameter(segment, point)
        if distance < best - 1e-12:
            best, where, at = distance, index, t
    before = math.fsum(segment.length for segment in path.segments[:where])
    return before + path.segments[where].length_to(at), best


def nearest_parameter(segment: Segment, point: Point) -> tuple[float, float]:
    """Parameter of the nearest point of one segment, and its distance, mm."""
    if isinstance(segment, Line):
        along = segment.b - segment.a
        square = along.dot(along)
        t = min(1.0, max(0.0, (point - segment.a).dot(along) / square)) if square > 0 else 0.0
        return t, segment.point(t).distance(point)
    candidates = [0.0, *_feet(segment, point), 1.0]
    distances = [segment.point(t).distance(point) for t in candidates]
    best = min(range(len(candidates)), key=distances.__getitem__)
    return candidates[best], distances[best]


def _feet(curve: Cubic, point: Point) -> list[float]:
    """Parameters where the line to the point stands square on the curve: roots of a quintic."""
    a, b, c, d = curve.a, curve.b, curve.c, curve.d
    x = bernstein_product([p.x - point.x for p in (a, b, c, d)], [b.x - a.x, c.x - b.x, d.x - c.x])
    y = bernstein_product([p.y - point.y for p in (a, b, c, d)], [b.y - a.y, c.y - b.y, d.y - c.y])
    return bernstein_roots([u + v for u, v in zip(x, y, strict=True)])


def _hull_distance(segment: Segment, point: Point) -> float:
    """Distance from a point to the box around a segment's points and handles: never more than to the segment."""
    points = (segment.a, segment.b) if isinstance(segment, Line) else (segment.a, segment.b, segment.c, segment.d)
    xs, ys = [p.x for p in points], [p.y for p in points]
    dx = max(min(xs) - point.x, point.x - max(xs), 0.0)
    dy = max(min(ys) - point.y, point.y - max(ys), 0.0)
    return math.hypot(dx, dy)
