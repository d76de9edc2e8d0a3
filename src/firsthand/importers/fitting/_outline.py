"""A fair curve through noisy points of an outline."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PPoly, splprep
from scipy.spatial import cKDTree

from firsthand.errors import GeometryError
from firsthand.geometry import Cubic, Line, Path, Point
from firsthand.importers.fitting._corners import GAP, Corner, corners_of
from firsthand.importers.fitting._rings import Floats, even_ring, ring_of, stretch

__all__ = ["FittedOutline", "fit_line", "fit_outline"]

TOLERANCE = 0.3
"""How far the points may lie from the curve in the mean (root of the mean square), mm."""
STEP = 0.75
"""Between the points that are looked at, mm."""
STRAIGHT = 0.8
"""A stretch whose points lie no further from its chord than this many tolerances is a straight line."""
PINNED = 60.0
"""Weight of the ends of a stretch, so that it runs through its corners."""


@dataclass(frozen=True, slots=True)
class FittedOutline:
    """A fair closed curve.

    Parameters
    ----------
    path
        Closed, counter-clockwise, mm: lines and cubics.
    corners
        Its true corners, in order along it.
    residual
        Root of the mean square distance of the points from it, mm.
    """

    path: Path
    corners: tuple[Point, ...]
    residual: float


def fit_outline(
    points: Iterable[Point], *, tolerance: float = TOLERANCE, corners: Sequence[Point] | None = None, step: float = STEP
) -> FittedOutline:
    """A fair curve with true corners through the points of a closed line.

    Corners are found, or given; each is put where the lines on its two sides meet, so that the rounding of a blurred picture
    does not stay. Between them runs a straight line where the points lie on one, and else a smoothing spline with as few
    pieces as the tolerance needs.

    Parameters
    ----------
    points
        Along the outline, in order, either way round, mm.
    tolerance
        How far the points may lie from the curve, in the mean, mm: about the noise of their places.
    corners
        The corners, if they are known: the outline then has these and no others.
    step
        Between the points that are looked at, mm.

    Raises
    ------
    GeometryError
        If there is no outline in the points, or the tolerance is none.
    """
    if not (math.isfinite(tolerance) and tolerance > 0 and math.isfinite(step) and step > 0):
        raise GeometryError(f"tolerance and step are lengths above zero, not {tolerance} and {step}")
    ring = even_ring(ring_of(points), step)
    found = corners_of(ring) if corners is None else _given(ring, corners)
    if not found:
        path = _closed(ring, tolerance)
        return FittedOutline(path, (), _residual(ring, path))
    pieces = []
    for one, two in zip(found, [*found[1:], found[0]], strict=True):
        pieces.append(_stretch(ring, one, two, tolerance, step))
    path = Path.joined(pieces)
    return FittedOutline(path, tuple(corner.point for corner in found), _residual(ring, path))


def fit_line(points: Sequence[Point], *, tolerance: float = TOLERANCE) -> Path:
    """A fair open curve through noisy points in order, from the first to the last.

    Examples
    --------
    >>> fit_line([Point(x, 0.05 * (-1) ** x) for x in range(50)]).bounds.width
    49.0
    """
    if len(points) < 2:
        raise GeometryError("a line needs at least two points")
    raw = np.array([(p.x, p.y) for p in points], dtype=np.float64)
    return _curve(raw, points[0], points[-1], tolerance)


def _given(ring: Floats, corners: Sequence[Point]) -> tuple[Corner, ...]:
    tree = cKDTree(ring)
    numbers = {int(tree.query((c.x, c.y))[1]): c for c in corners}
    return tuple(Corner(k, numbers[k], 0.0) for k in sorted(numbers))


def _stretch(ring: Floats, one: Corner, two: Corner, tolerance: float, step: float) -> Path:
    points = stretch(ring, one.index, two.index if two.index != one.index else two.index - 1)
    off = min(max(1, round(GAP / step)), max(0, (len(points) - 4) // 2))
    return _curve(points[off : len(points) - off or None], one.point, two.point, tolerance)


def _curve(points: Floats, start: Point, end: Point, tolerance: float) -> Path:
    """A curve from one place to another, fair through the points between them."""
    inner = _between(points, start, end)
    chord = np.array([end.x - start.x, end.y - start.y])
    long = float(np.hypot(*chord))
    if long < 1e-6:
        raise GeometryError("two corners of the outline lie in one place")
    offsets = ((inner[:, 0] - start.x) * chord[1] - (inner[:, 1] - start.y) * chord[0]) / long
    if len(inner) < 4 or float(np.sqrt(np.mean(offsets**2))) < STRAIGHT * tolerance:
        return Path.line(start, end)
    whole = np.vstack([[start.x, start.y], inner, [end.x, end.y]])
    weights = np.ones(len(whole))
    weights[[0, -1]] = PINNED
    return _spline(whole, weights, tolerance, periodic=False)


def _between(points: Floats, start: Point, end: Point) -> Floats:
    """The points that lie apart from both ends."""
    far = np.hypot(points[:, 0] - start.x, points[:, 1] - start.y) > 0.2
    far &= np.hypot(points[:, 0] - end.x, points[:, 1] - end.y) > 0.2
    return points[far]


def _closed(ring: Floats, tolerance: float) -> Path:
    whole = np.vstack([ring, ring[:1]])
    return _spline(whole, np.ones(len(whole)), tolerance, periodic=True)


def _spline(points: Floats, weights: Floats, tolerance: float, *, periodic: bool) -> Path:
    knots = splprep(points.T, w=weights, s=len(points) * tolerance**2, k=3, per=int(periodic))[0]
    polys = [PPoly.from_spline((knots[0], coefficients, knots[2])) for coefficients in knots[1]]
    made: list[Cubic | Line] = []
    breaks = np.unique(np.clip(polys[0].x, 0.0, 1.0))
    last = Point(float(points[0, 0]), float(points[0, 1]))
    for a, b in itertools.pairwise(breaks):
        if b - a < 1e-9:
            continue
        start, ds = (np.array([float(p(a)) for p in polys]), np.array([float(p(a, 1)) for p in polys]))
        end, de = (np.array([float(p(b)) for p in polys]), np.array([float(p(b, 1)) for p in polys]))
        third = (b - a) / 3
        far = Point(*map(float, end))
        made.append(Cubic(last, Point(*map(float, start + ds * third)), Point(*map(float, end - de * third)), far))
        last = far
    final = Point(float(points[-1, 0]), float(points[-1, 1]))
    tail = made[-1]
    assert isinstance(tail, Cubic)
    made[-1] = Cubic(tail.a, tail.b, tail.c, final)
    return Path(tuple(made))


def _residual(ring: Floats, path: Path) -> float:
    flat = np.array([(p.x, p.y) for p in path.flattened(0.02)])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(flat, axis=0).T))])
    at = np.linspace(0.0, along[-1], max(50, round(along[-1] / 0.2)))
    dense = np.column_stack([np.interp(at, along, flat[:, 0]), np.interp(at, along, flat[:, 1])])
    distance = cKDTree(dense).query(ring)[0]
    return float(np.sqrt(np.mean(distance**2)))
