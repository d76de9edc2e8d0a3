"""The point of a path nearest to another point."""

from __future__ import annotations

import math
import operator

from firsthand.geometry._path import Path
from firsthand.geometry._point import Point
from firsthand.geometry._roots import bernstein_roots
from firsthand.geometry._segment import Cubic, Line, Segment

__all__ = ["hull_distance", "nearest", "nearest_parameter"]


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
    x, y, segments = point.x, point.y, path.segments
    gaps = [
        (left - x if x < left else x - right if x > right else 0.0) ** 2
        + (bottom - y if y < bottom else y - top if y > top else 0.0) ** 2
        for left, bottom, right, top in path.hulls
    ]
    first = gaps.index(min(gaps))
    likely = nearest_parameter(segments[first], point)
    enough = likely[1] * (likely[1] + 1e-9) + 1e-9  # nothing farther than this, squared, can be the nearest
    best, where, at = math.inf, first, likely[0]
    for index, gap in enumerate(gaps):
        if gap > enough:
            continue
        t, distance = likely if index == first else nearest_parameter(segments[index], point)
        if distance < best - 1e-12:
            best, where, at = distance, index, t
    return path.reached[where] + segments[where].length_to(at), best


def nearest_parameter(segment: Segment, point: Point) -> tuple[float, float]:
    """Parameter of the nearest point of one segment, and its distance, mm."""
    if isinstance(segment, Line):
        ax, ay = segment.a.x, segment.a.y
        wx, wy, px, py = segment.b.x - ax, segment.b.y - ay, point.x - ax, point.y - ay
        square = wx * wx + wy * wy
        t = min(1.0, max(0.0, (px * wx + py * wy) / square)) if square > 0 else 0.0
        return t, math.hypot(px - wx * t, py - wy * t)
    return _on_curve(segment, point)


def _on_curve(curve: Cubic, point: Point) -> tuple[float, float]:
    """The same on a curve. How fast the square of the distance grows is a quintic; where its Bernstein coefficients change
    their sign once or not at all, so does it (Descartes), and the nearest place is that one or an end."""
    a, b, c, d, x, y = curve.a, curve.b, curve.c, curve.d, point.x, point.y
    fx, gx, hx, kx = a.x - x, b.x - x, c.x - x, d.x - x
    fy, gy, hy, ky = a.y - y, b.y - y, c.y - y, d.y - y
    ux, vx, wx = gx - fx, hx - gx, kx - hx
    uy, vy, wy = gy - fy, hy - gy, ky - hy
    growth = (
        fx * ux + fy * uy,
        (2 * (fx * vx + fy * vy) + 3 * (gx * ux + gy * uy)) / 5,
        (fx * wx + fy * wy + 6 * (gx * vx + gy * vy) + 3 * (hx * ux + hy * uy)) / 10,
        (3 * (gx * wx + gy * wy) + 6 * (hx * vx + hy * vy) + kx * ux + ky * uy) / 10,
        (3 * (hx * wx + hy * wy) + 2 * (kx * vx + ky * vy)) / 5,
        kx * wx + ky * wy,
    )
    at_start, at_end = math.hypot(fx, fy), math.hypot(kx, ky)
    signs = [value > 0 for value in growth if value]
    changes = sum(map(operator.ne, signs, signs[1:]))
    if changes == 0 or (changes == 1 and signs[0]):  # it only grows, or only shrinks, or is farthest somewhere between
        return (0.0, at_start) if at_start <= at_end else (1.0, at_end)
    if changes == 1:
        t, distance = _descended(fx, fy, 3 * ux, 3 * uy, 3 * (vx - ux), 3 * (vy - uy), wx - 2 * vx + ux, wy - 2 * vy + uy)
        if min(at_start, at_end) <= distance:
            return (0.0, at_start) if at_start <= at_end else (1.0, at_end)
        return t, distance
    candidates = [0.0, *bernstein_roots(growth), 1.0]
    distances = [curve.point(t).distance(point) for t in candidates]
    best = min(range(len(candidates)), key=distances.__getitem__)
    return candidates[best], distances[best]


def _descended(ax: float, ay: float, bx: float, by: float, cx: float, cy: float, dx: float, dy: float) -> tuple[float, float]:
    """Where in (0, 1) ``a + b t + c t2 + d t3`` is nearest to the origin, if only once; by Newton's method in a bracket."""
    lo, hi, t = 0.0, 1.0, 0.5
    for _ in range(60):
        px, py = ax + t * (bx + t * (cx + t * dx)), ay + t * (by + t * (cy + t * dy))
        vx, vy = bx + t * (2 * cx + 3 * t * dx), by + t * (2 * cy + 3 * t * dy)
        growth = px * vx + py * vy
        if growth == 0:
            break
        lo, hi = (lo, t) if growth > 0 else (t, hi)
        bend = vx * vx + vy * vy + px * (2 * cx + 6 * t * dx) + py * (2 * cy + 6 * t * dy)
        step = t - growth / bend if bend > 0 else -1.0
        before, t = t, step if lo < step < hi else (lo + hi) / 2
        if abs(t - before) <= 1e-15:
            break
    return t, math.hypot(ax + t * (bx + t * (cx + t * dx)), ay + t * (by + t * (cy + t * dy)))


def hull_distance(segment: Segment, point: Point) -> float:
    """Distance from a point to the box around a segment's points and handles: never more than to the segment."""
    x, y = point.x, point.y
    if isinstance(segment, Line):
        a, b = segment.a, segment.b
        xs, ys = (a.x, b.x), (a.y, b.y)
        dx, dy = max(min(xs) - x, x - max(xs), 0.0), max(min(ys) - y, y - max(ys), 0.0)
        return math.hypot(dx, dy)
    a, b, c, d = segment.a, segment.b, segment.c, segment.d
    of_x, of_y = (a.x, b.x, c.x, d.x), (a.y, b.y, c.y, d.y)
    return math.hypot(max(min(of_x) - x, x - max(of_x), 0.0), max(min(of_y) - y, y - max(of_y), 0.0))
