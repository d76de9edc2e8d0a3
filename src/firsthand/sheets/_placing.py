"""Finding room for lettering, clear of lines."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

from firsthand.geometry import Point

__all__ = ["Room", "Walls"]

GRID = 30
"""Places tried along the longer side of a shape."""


class Room:
    """The room inside a polygon that lines leave free.

    Parameters
    ----------
    outline
        The polygon.
    lines
        Polylines that must stay uncovered.
    clearance
        Kept from the outline and from every line, mm.

    Examples
    --------
    >>> room = Room([Point(0, 0), Point(100, 0), Point(100, 60), Point(0, 60)], [], clearance=2)
    >>> room.place(90, 50), room.place(99, 10)
    (Point(x=50.0, y=30.0), None)
    """

    def __init__(self, outline: Sequence[Point], lines: Iterable[Sequence[Point]], *, clearance: float) -> None:
        import shapely

        shape = shapely.make_valid(shapely.Polygon([(p.x, p.y) for p in outline])).buffer(-clearance)
        walls = [shapely.LineString([(p.x, p.y) for p in line]) for line in lines if len(line) > 1]
        if walls:
            shape = shape.difference(shapely.union_all(walls).buffer(clearance))
        self._shape = shape
        self._spots: list[Point] | None = None
        shapely.prepare(self._shape)

    def place(self, width: float, height: float, *, angle: float = 0.0) -> Point | None:
        """The middle of a free rectangle, as near the middle of the shape as there is one; None if there is none."""
        import shapely

        if self._shape.is_empty:
            return None
        cos, sin = abs(math.cos(angle)), abs(math.sin(angle))
        half = Point((width * cos + height * sin) / 2, (width * sin + height * cos) / 2)
        spots = self._candidates()
        if not spots:
            return None
        boxes = shapely.box(
            [p.x - half.x for p in spots], [p.y - half.y for p in spots],
            [p.x + half.x for p in spots], [p.y + half.y for p in spots],
        )  # fmt: skip
        for spot, fits in zip(spots, shapely.contains(self._shape, boxes), strict=True):
            if fits:
                return spot
        return None

    def _candidates(self) -> list[Point]:
        if self._spots is None:
            left, bottom, right, top = self._shape.bounds
            step = max(right - left, top - bottom) / GRID or 1.0
            middle = Point((left + right) / 2, (bottom + top) / 2)
            nx, ny = int((right - left) / step / 2) + 1, int((top - bottom) / step / 2) + 1
            grid = [middle + Point(i * step, j * step) for i in range(-nx, nx + 1) for j in range(-ny, ny + 1)]
            self._spots = sorted(grid, key=lambda p: (round(p.distance(middle), 6), -p.y, p.x))
        return self._spots


class Walls:
    """Lines that lettering must not touch.

    Examples
    --------
    >>> walls = Walls([(Point(0, 0), Point(10, 10))])
    >>> walls.free([Point(0, 5), Point(4, 5), Point(4, 9), Point(0, 9)], air=0.2)
    True
    >>> walls.free([Point(4, 4), Point(6, 4), Point(6, 6), Point(4, 6)], air=0.2)
    False
    """

    def __init__(self, lines: Iterable[Sequence[Point]]) -> None:
        self._lines = [line for line in lines if len(line) > 1]
        self._tree: Any = None

    def add(self, corners: Sequence[Point]) -> None:
        """Take a polygon among the lines: a word that was placed."""
        self._lines.append((*corners, corners[0]))
        self._tree = None

    def free(self, corners: Sequence[Point], air: float) -> bool:
        """Whether a polygon keeps its distance from all lines."""
        import shapely

        if self._tree is None:
            self._tree = shapely.STRtree([shapely.LineString([(p.x, p.y) for p in line]) for line in self._lines])
        polygon = shapely.Polygon([(p.x, p.y) for p in corners])
        return len(self._tree.query(polygon, predicate="dwithin", distance=air)) == 0
