"""Which of many boxes come near each other, without comparing every two."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from firsthand.errors import GeometryError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["Bounds", "Boxes", "near_indices", "near_pairs"]

Bounds = tuple[float, float, float, float]
"""Left, bottom, right, top, mm."""

FEW = 2_000
"""So many pairs are compared one by one faster than a tree is grown."""


MOST = 5_000_000
"""More pairs than these lie near each other only in a scribble."""


class Boxes:
    """Boxes in the order of a path, with the box around every two, every four and so on.

    Neighbours on a path are neighbours in the plane, so that halves of the path are told apart by one comparison.
    """

    def __init__(self, bounds: Sequence[Bounds]) -> None:
        self.bounds = tuple(bounds)
        self._levels: list[NDArray[np.float64]] = []

    def __len__(self) -> int:
        return len(self.bounds)

    def levels(self, depth: int) -> list[NDArray[np.float64]]:
        """The boxes of all halvings, the whole first; empty boxes fill up to ``2 ** depth``."""
        import numpy as np

        if len(self._levels) != depth + 1:
            nowhere = (np.inf, np.inf, -np.inf, -np.inf)
            leaves = np.full((2**depth, 4), nowhere)
            leaves[: len(self.bounds)] = self.bounds
            levels = [leaves]
            for _ in range(depth):
                one, two = levels[-1][0::2], levels[-1][1::2]
                levels.append(np.hstack([np.minimum(one[:, :2], two[:, :2]), np.maximum(one[:, 2:], two[:, 2:])]))
            self._levels = levels[::-1]
        return self._levels


def near_pairs(one: Boxes, two: Boxes, reach: float) -> list[tuple[int, int]]:
    """The pairs of boxes, one of each, that come within a distance of each other; of the same boxes each pair once.

    Raises
    ------
    GeometryError
        If there are more pairs than any drawing has.

    Examples
    --------
    >>> row = Boxes([(k, 0.0, k + 0.5, 1.0) for k in range(100)])
    >>> near_pairs(row, row, 0.6)[:3], near_pairs(row, Boxes([(7.2, 0.2, 7.3, 0.3)]), 0.0)
    ([(0, 1), (1, 2), (2, 3)], [(7, 0)])
    """
    if not (len(one) and len(two)):
        return []
    if len(one) * len(two) <= FEW:
        near = []
        for i, (left, bottom, right, top) in enumerate(one.bounds):
            left, bottom, right, top = left - reach, bottom - reach, right + reach, top + reach
            for j in range(i + 1 if one is two else 0, len(two.bounds)):
                other = two.bounds[j]
                if other[0] <= right and other[2] >= left and other[1] <= top and other[3] >= bottom:
                    near.append((i, j))
        return near
    firsts, seconds = near_indices(one, two, reach)
    return sorted(zip(firsts.tolist(), seconds.tolist(), strict=True))


def near_indices(one: Boxes, two: Boxes, reach: float) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The same pairs as two arrays, in no order; from the wholes down, halves only where their wholes come near each other.

    Raises
    ------
    GeometryError
        If there are more pairs than any drawing has.
    """
    import numpy as np

    depth = max(len(one) - 1, len(two) - 1).bit_length()
    i = j = np.zeros(1, dtype=np.int64)
    for level, (p, q) in enumerate(zip(one.levels(depth), two.levels(depth), strict=True)):
        if level:
            i, j = (np.concatenate([2 * i, 2 * i, 2 * i + 1, 2 * i + 1]), np.concatenate([2 * j, 2 * j + 1] * 2))
        a, b = p[i], q[j]
        near = (a[:, :2] <= b[:, 2:] + reach).all(axis=1) & (b[:, :2] <= a[:, 2:] + reach).all(axis=1)
        near &= i <= j if one is two else True
        i, j = i[near], j[near]
        if len(i) > MOST:
            raise GeometryError("too many of its segments lie on top of each other")
    if one is two:
        return i[i != j], j[i != j]
    return i, j
