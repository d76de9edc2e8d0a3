"""Polygons for the engines: arrays of points, counter-clockwise, each containing the curve it stands for."""

from __future__ import annotations

import heapq
import math
from functools import lru_cache
from typing import Any

import numpy as np
import pyclipper
import shapely
from numpy.typing import NDArray

from firsthand.errors import GeometryError
from firsthand.geometry import Line, Path, flatten_outwards

__all__ = ["FLATNESS", "Polygon", "alike", "area", "bounded", "inflated", "outward", "simplified", "turned"]

Polygon = NDArray[np.float64]
"""Points (n x 2), counter-clockwise, without the first one repeated."""

FLATNESS = 0.2
"""How far a polygon may lie outside the curve that it contains, mm (common practice: a tenth of a cutting error)."""

_MITRE = 1.5
_CLIPPER = float(2**40)
_FIRST = 1e-4
"""The first share of its size by which an outline of too many points is made larger for the engines."""


def area(polygon: Polygon) -> float:
    """Signed area."""
    x, y = polygon[:, 0], polygon[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


@lru_cache(maxsize=512)
def outward(path: Path, tolerance: float = FLATNESS) -> Polygon:
    """The polygon round a closed path that contains it.

    Where a path crosses itself (a cutting line at a tight inner corner) the outer outline is taken.

    Raises
    ------
    GeometryError
        If the path is open or encloses nothing.
    """
    if not path.is_closed or abs(path.area) < 1e-9:
        raise GeometryError("a shape to lay needs a closed outline with an area")
    polygon = _without_doubles(np.array(_points(path if path.area > 0 else path.reversed(), tolerance)))
    if not shapely.Polygon(polygon).is_valid:
        polygon = _outer(polygon)
    polygon.setflags(write=False)  # it is kept and shared
    return polygon


def _points(path: Path, tolerance: float) -> list[tuple[float, float]]:
    if all(isinstance(segment, Line) for segment in path):
        return [(point.x, point.y) for point in path.joints[:-1]]
    return [(point.x, point.y) for point in flatten_outwards(path, tolerance)]


def _without_doubles(points: Polygon) -> Polygon:
    kept = np.hypot(*(points - np.roll(points, 1, axis=0)).T) > 1e-9
    return np.asarray(points[kept])


def _outer(polygon: Polygon) -> Polygon:
    scale = _CLIPPER / max(1.0, float(np.abs(polygon).max()))
    loops = pyclipper.SimplifyPolygon(np.rint(polygon * scale).astype(np.int64).tolist(), pyclipper.PFT_NONZERO)
    outer = shapely.union_all([shapely.Polygon(np.array(loop) / scale) for loop in loops if len(loop) > 2])
    if outer.is_empty:
        raise GeometryError("a shape to lay encloses nothing")
    if outer.geom_type != "Polygon":
        outer = outer.convex_hull
    return _ring(outer)


def _ring(shape: Any) -> Polygon:
    points = np.array(shapely.geometry.polygon.orient(shape).exterior.coords)[:-1]
    return _without_doubles(points)


def turned(polygon: Polygon, turn: float, *, mirrored: bool = False) -> Polygon:
    """The polygon mirrored (x -> -x) if asked, then turned about the origin; still counter-clockwise."""
    points = (polygon * (-1.0, 1.0))[::-1] if mirrored else polygon
    cos, sin = round(math.cos(turn), 15), round(math.sin(turn), 15)
    return np.asarray(points @ np.array([[cos, sin], [-sin, cos]]))


def inflated(polygon: Polygon, by: float) -> Polygon:
    """A polygon that contains everything nearer than a distance, and whose box grows by just that distance."""
    if by <= 0:
        return polygon
    low, high = polygon.min(axis=0) - by, polygon.max(axis=0) + by
    grown = shapely.Polygon(polygon).buffer(by, join_style="mitre", mitre_limit=_MITRE)
    return _ring(shapely.Polygon(grown.exterior).intersection(shapely.box(*low, *high)))


def alike(one: Polygon, two: Polygon, tolerance: float = 1e-6) -> bool:
    """Whether two polygons have the same corners, one being shifted on to the other."""
    if len(one) != len(two):
        return False
    one, two = one - one.min(axis=0), two - two.min(axis=0)
    first = int(np.argmin(np.hypot(*(two - one[0]).T)))
    return bool(np.abs(np.roll(two, -first, axis=0) - one).max() <= tolerance)


def simplified(polygon: Polygon, tolerance: float) -> Polygon:
    """A polygon with fewer points that contains the given one, lies within a tolerance of it and has the same box.

    Points of hollows are left out, and short edges are cut away by running their neighbours on until they meet, the
    smallest gain of area first. If the result should cross itself the polygon is given back as it is.
    """
    return polygon if tolerance <= 0 else _slimmed(polygon, tolerance, 4)


def bounded(polygon: Polygon, most: int) -> Polygon:
    """A polygon of at most so many points (eight or more) that contains the given one and has the same box.

    Room is given away in steps, from a ten-thousandth of the size on; where a sixteenth is not enough, as for a fringe,
    what is left is the convex hull, and its box in the end.
    """
    low, high = polygon.min(axis=0), polygon.max(axis=0)
    size = float((high - low).max())
    slim, tolerance = polygon, _FIRST * size
    while len(slim) > most and tolerance <= size / 16:
        slim, tolerance = _slimmed(slim, tolerance, most), 2 * tolerance
    if len(slim) > most:
        slim = _slimmed(_ring(shapely.Polygon(polygon).convex_hull), math.inf, most)
    return slim if len(slim) <= most else _ring(shapely.box(*low, *high))


def _slimmed(polygon: Polygon, tolerance: float, fewest: int) -> Polygon:
    """Points taken away while they may and more than the fewest are left."""
    points = [(float(x), float(y)) for x, y in polygon]
    box = (polygon.min(axis=0).tolist(), polygon.max(axis=0).tolist())
    chain = _Chain(points)
    moves = [_move(chain.four(k), tolerance, box) for k in range(len(points))]
    heap = [(gain, k, 0) for k, (gain, _) in enumerate(moves) if gain < math.inf]
    heapq.heapify(heap)
    times = [0] * len(points)
    while heap and chain.left > max(fewest, 4):
        _, k, time = heapq.heappop(heap)
        if time != times[k]:
            continue  # its neighbours have changed since
        corner = moves[k][1]
        if corner is not None:
            points[k] = corner
        gone = k if corner is None else chain.after[k]
        times[gone] = -1
        for near in chain.take(gone):
            moves[near], times[near] = _move(chain.four(near), tolerance, box), times[near] + 1
            if moves[near][0] < math.inf:
                heapq.heappush(heap, (moves[near][0], near, times[near]))
    slim = np.array([points[k] for k, time in enumerate(times) if time >= 0])
    hair = 1e-12 * max(1e3, float(np.abs(polygon).max()))
    sound = shapely.Polygon(slim).is_valid and shapely.Polygon(slim).buffer(hair).covers(shapely.Polygon(polygon))
    return slim if sound else polygon


_Pt = tuple[float, float]


class _Chain:
    """Points in a ring, from which some are taken."""

    def __init__(self, points: list[_Pt]) -> None:
        n = self.left = len(points)
        self._points = points
        self._before = [(k - 1) % n for k in range(n)]
        self.after = [(k + 1) % n for k in range(n)]

    def four(self, k: int) -> tuple[_Pt, _Pt, _Pt, _Pt]:
        """The point before, the point itself and the two after it."""
        b = self.after[k]
        return self._points[self._before[k]], self._points[k], self._points[b], self._points[self.after[b]]

    def take(self, gone: int) -> set[int]:
        """Take a point out; the points whose neighbourhood that changes, with room to spare."""
        before, after = self._before[gone], self.after[gone]
        self.after[before], self._before[after] = after, before
        self.left -= 1
        near = {before, after, self.after[after]}
        for _ in range(3):
            before = self._before[before]
            near.add(before)
        return near


_Box = tuple[list[float], list[float]]
_STAY: tuple[float, None] = (math.inf, None)


def _move(four: tuple[_Pt, _Pt, _Pt, _Pt], tolerance: float, box: _Box) -> tuple[float, _Pt | None]:
    """The area gained by leaving out the second point, or by one corner for the edge after it; infinite for neither."""
    a, b, c, d = four
    bend = _cross(a, b, c)
    if bend <= 0:
        chord = math.dist(a, c)
        return (-bend / 2, None) if chord and -bend / chord <= tolerance else _STAY
    turn = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0])
    if turn <= 0 or _cross(b, c, d) <= 0:
        return _STAY
    share = ((c[0] - a[0]) * (d[1] - c[1]) - (c[1] - a[1]) * (d[0] - c[0])) / turn
    corner = (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)
    gain = abs(_cross(b, corner, c)) / 2
    inside = box[0][0] <= corner[0] <= box[1][0] and box[0][1] <= corner[1] <= box[1][1]
    return (gain, corner) if share >= 1 and inside and 2 * gain <= tolerance * math.dist(b, c) else _STAY


def _cross(a: _Pt, b: _Pt, c: _Pt) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
