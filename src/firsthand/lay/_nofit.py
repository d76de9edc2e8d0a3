"""No-fit polygons: where one shape may not be put because another one lies there.

The no-fit polygon of A and B is the Minkowski sum of A and B turned by half a circle: with A at the origin, B overlaps A
when its own origin lies inside it, and touches A when it lies on its border.
"""

from __future__ import annotations

from collections.abc import Hashable

import numpy as np
import pyclipper
from numpy.typing import NDArray

from firsthand.lay._shapes import Polygon, area

__all__ = ["NoFit", "no_fit"]

_BITS = 33
"""The grid is 2^-33 of the extent: some 2e-7 mm on a fabric 2 m wide."""

Loops = tuple[Polygon, ...]


def no_fit(a: Polygon, b: Polygon, unit: float) -> Loops:
    """Outer loops counter-clockwise and holes clockwise, on a grid of ``unit``.

    A hole is a place inside A's hollows, closed all round, where B fits.
    """
    pattern, path = _grid(a, unit), _grid(-b, unit)
    clipper = pyclipper.Pyclipper()
    clipper.StrictlySimple = True
    clipper.AddPaths(pyclipper.MinkowskiSum(pattern, path, True), pyclipper.PT_SUBJECT, True)
    # Clipper sweeps the borders only. Where one shape lies wholly inside the other so does any one of its points.
    for shape, (x, y) in ((pattern, path[0]), (path, pattern[0])):
        clipper.AddPath([[px + x, py + y] for px, py in shape], pyclipper.PT_SUBJECT, True)
    loops = clipper.Execute(pyclipper.CT_UNION, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    # Where borders cross the grid leaves cracks a unit wide.
    return tuple(np.array(loop, dtype=np.float64) * unit for loop in loops if not _crack(loop))


def _crack(loop: list[list[int]]) -> bool:
    points = np.array(loop, dtype=np.float64)
    sides = points - np.roll(points, 1, axis=0)
    return abs(area(points - points[0])) < 16 * float(np.hypot(sides[:, 0], sides[:, 1]).sum())


def _grid(points: Polygon, unit: float) -> list[list[int]]:
    grid: list[list[int]] = np.rint(points / unit).astype(np.int64).tolist()
    return grid


class NoFit:
    """No-fit polygons of shapes known by a key, computed once.

    Parameters
    ----------
    extent
        The largest length that matters: sets the grid.
    """

    def __init__(self, extent: float) -> None:
        self.unit = float(2.0 ** np.ceil(np.log2(extent)) / 2**_BITS)
        self._shapes: dict[Hashable, Polygon] = {}
        self._loops: dict[tuple[Hashable, Hashable], Loops] = {}
        self._edges: dict[tuple[Hashable, Hashable], NDArray[np.float64]] = {}

    def add(self, key: Hashable, polygon: Polygon) -> None:
        """Make a shape known."""
        self._shapes.setdefault(key, polygon)

    def shape(self, key: Hashable) -> Polygon:
        """The shape with a key."""
        return self._shapes[key]

    def loops(self, fixed: Hashable, moved: Hashable) -> Loops:
        """The loops for a moved shape beside a fixed one at the origin."""
        pair = (fixed, moved)
        if pair not in self._loops:
            self._loops[pair] = no_fit(self._shapes[fixed], self._shapes[moved], self.unit)
            back = tuple(-loop for loop in self._loops[pair])
            self._loops.setdefault((moved, fixed), back)
        return self._loops[pair]

    def edges(self, fixed: Hashable, moved: Hashable) -> NDArray[np.float64]:
        """All edges of the loops as rows (x1, y1, x2, y2), forbidden ground to their left."""
        pair = (fixed, moved)
        if pair not in self._edges:
            rows = [np.hstack([loop, np.roll(loop, -1, axis=0)]) for loop in self.loops(fixed, moved)]
            self._edges[pair] = np.vstack(rows) if rows else np.empty((0, 4))
        return self._edges[pair]
