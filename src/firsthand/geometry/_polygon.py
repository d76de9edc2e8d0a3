"""Polygons."""

from __future__ import annotations

from collections.abc import Sequence

from firsthand.geometry._point import Point

__all__ = ["encloses"]


def encloses(polygon: Sequence[Point], point: Point) -> bool:
    """Whether a point lies inside a polygon, by the even-odd rule; on its line either answer may come.

    Parameters
    ----------
    polygon
        Its corners in order; the last is joined to the first.
    point
        Any point.

    Examples
    --------
    >>> square = [Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)]
    >>> encloses(square, Point(3, 7)), encloses(square, Point(13, 7))
    (True, False)
    """
    odd = False
    for a, b in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
        if (a.y > point.y) != (b.y > point.y) and point.x < a.x + (point.y - a.y) * (b.x - a.x) / (b.y - a.y):
            odd = not odd
    return odd
