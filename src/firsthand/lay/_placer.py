"""Our own engine: parts put down one after the other, each as near to the start of the cloth as it will go.

Where a part may lie is the cloth minus the no-fit polygons of the parts already there. A part that must lie on the fold
moves along it only. Many orders are tried: the good ones of a cutter first (large before small), then small changes to
the best so far. The same seed and number of orders give the same lay.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pyclipper
from numpy.typing import NDArray

from firsthand.lay._problem import Kind, Pose, Problem, Solution, Spot, settled

__all__ = ["ENOUGH", "place", "rows"]

ENOUGH = 1e-6
"""A lay this near to its lower bound, as a share, cannot be bettered."""

SETTLING = 1.0
"""How long settling may take beyond as long again as the search, s."""

Told = Callable[[Solution], bool]
"""Told after each order of the best lay so far; False stops the search."""


@dataclass(slots=True)
class _Laid:
    key: Any
    kind: int
    pose: Pose
    x: int
    y: int


def rows(problem: Problem) -> Solution:
    """A plain lay that is always there: shapes stacked across the cloth in columns, by their boxes."""
    spots, left, column, top = [], 0.0, 0.0, 0.0
    order = [(k, min(kind.poses, key=lambda pose: (pose.height > problem.width + 1e-9, pose.length)))
             for k, kind in enumerate(problem.kinds) for _ in kind.names]  # fmt: skip
    order.sort(key=lambda entry: (entry[1].held is None, -entry[1].length))
    for k, pose in order:
        if top + pose.height > problem.width + 1e-9 or (pose.held is not None and top > 0):
            left, column, top = left + column + problem.gap, 0.0, 0.0
        spots.append(Spot(k, pose, left - pose.low[0], pose.held if pose.held is not None else top - pose.low[1]))
        column, top = max(column, pose.length), top + pose.height + problem.gap
    return Solution(tuple(spots), left + column)


def place(problem: Problem, *, seconds: float, seed: int, orders: int = 1000, told: Told = lambda _: True) -> Solution:
    """The best lay found.

    Parameters
    ----------
    problem
        What is laid; every shape fits the width in some pose.
    seconds, orders
        Stop after so long or so many orders, whichever comes first; a first order is always finished unless it takes
        three times as long.
    seed
        For the changes tried.
    told
        Called after each order with the best so far; stops the search by answering False.
    """
    began = time.monotonic()
    search = _Orders(problem, seed)
    best = rows(problem)
    for tried in range(orders if search.units else 0):
        order = search.next(tried)
        late = began + (seconds if tried else 3 * seconds)
        found = _Placing(problem).run(order, best.length * (1 + 1e-9), late)
        if found is not None and found.length <= best.length:
            best, search.best = found, order
        if not told(best) or time.monotonic() >= began + seconds or best.length <= problem.bound * (1 + ENOUGH):
            break
    exact = settled(problem, best.spots, time.monotonic() + seconds + SETTLING) if best.spots else None
    return exact if exact is not None and exact.length <= best.length else best


class _Orders:
    """Orders to try: a cutter's first, then changes of the best so far."""

    def __init__(self, problem: Problem, seed: int) -> None:
        kinds = problem.kinds
        self.units = [k for k, kind in enumerate(kinds) for _ in kind.names]
        self.best = self.units
        self._chance = random.Random(seed)
        firsts = (True, False) if any(_held(kind) for kind in kinds) else (False,)
        self._plain = [
            [k for k in _sorted(kinds, size, first) for _ in kinds[k].names]
            for first in firsts
            for size in (_area, _length, _height)
        ]

    def next(self, tried: int) -> list[int]:
        """The order to try after so many."""
        return self._plain[tried] if tried < len(self._plain) else _changed(self.best, self._chance)


def _sorted(kinds: Sequence[Kind], size: Callable[[Kind], float], first: bool) -> list[int]:
    """Kinds, large ones first; those for the fold before all others if so wished."""
    return sorted(range(len(kinds)), key=lambda k: (first and not _held(kinds[k]), -size(kinds[k]), k))


def _area(kind: Kind) -> float:
    return kind.area


def _length(kind: Kind) -> float:
    return min(pose.length for pose in kind.poses)


def _height(kind: Kind) -> float:
    return min(pose.height for pose in kind.poses)


def _held(kind: Kind) -> bool:
    return all(pose.held is not None for pose in kind.poses)


def _changed(order: list[int], chance: random.Random) -> list[int]:
    """Two shapes exchanged, or one taken out and put in elsewhere."""
    changed = list(order)
    if len(order) < 2:
        return changed
    for _ in range(chance.choice((1, 1, 2, 3))):
        i, j = chance.sample(range(len(order)), 2)
        if chance.random() < 0.5:
            changed[i], changed[j] = changed[j], changed[i]
        else:
            changed.insert(j, changed.pop(i))
    return changed


class _Placing:
    """One order, put down; whole numbers of the store's grid."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._unit = problem.store.unit
        self._laid: list[_Laid] = []
        self._length = 0

    def run(self, order: Sequence[int], cap: float, late: float) -> Solution | None:
        """The lay, or None if it became longer than ``cap`` or it got too late."""
        for k in order:
            if time.monotonic() > late:
                return None
            spot = self._best_spot(k)
            if spot is None:
                return None
            self._laid.append(spot)
            self._length = max(self._length, spot.x + self._up(spot.pose.high[0]))
            if self._length * self._unit > cap:
                return None
        spots = tuple(
            Spot(s.kind, s.pose, s.x * self._unit, s.pose.held if s.pose.held is not None else s.y * self._unit)
            for s in self._laid
        )
        return Solution(spots, max(spot.x + spot.pose.high[0] for spot in spots))

    def _up(self, value: float) -> int:
        return math.ceil(value / self._unit - 1e-6)

    def _down(self, value: float) -> int:
        return math.floor(value / self._unit + 1e-6)

    def _best_spot(self, k: int) -> _Laid | None:
        found: tuple[tuple[int, int, int], _Laid] | None = None
        for pose in self._problem.kinds[k].poses:
            key = self._problem.key(k, pose)
            at = self._lowest(key, pose)
            if at is None:
                continue
            right = at[0] + self._up(pose.high[0])
            rank = (max(right, self._length), right, at[1])
            if found is None or rank < found[0]:
                found = (rank, _Laid(key, k, pose, *at))
        return found[1] if found else None

    def _lowest(self, key: Any, pose: Pose) -> tuple[int, int] | None:
        """The place nearest to the start, then to the fold."""
        left = self._up(-pose.low[0])
        right = self._length + left + self._up(self._problem.gap)
        if pose.held is not None:
            y = round(pose.held / self._unit)
            return self._along(key, y, left), y
        low, high = self._up(-pose.low[1]), self._down(self._problem.width - pose.high[1])
        if high < low:
            return None
        edges = [(self._along(key, y, left), y) for y in {low, high}]
        return min([*edges, *self._region(key, left, right, low, high)])

    def _along(self, key: Any, y: int, left: int) -> int:
        """The first x from ``left`` on where a shape may lie with its origin at this y."""
        blocked = []
        for laid in self._laid:
            edges = self._problem.store.edges(laid.key, key)
            blocked += _blocked(edges / self._unit, float(y - laid.y), laid.x)
        x = float(left)
        for start, end in sorted(blocked):
            if start >= x + 0.5:
                break
            x = max(x, end)
        return math.ceil(x - 1e-6)

    def _region(self, key: Any, left: int, right: int, low: int, high: int) -> list[tuple[int, int]]:
        """Corners of the free ground."""
        if high == low or right <= left:
            return []
        clipper = pyclipper.Pyclipper()
        clipper.AddPath([[left, low], [right, low], [right, high], [left, high]], pyclipper.PT_SUBJECT, True)
        loops = [loop for laid in self._laid for loop in self._shifted(laid, key, left, right)]
        if not loops:
            return [(left, low)]
        clipper.AddPaths(loops, pyclipper.PT_CLIP, True)
        free = clipper.Execute(pyclipper.CT_DIFFERENCE, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
        return [(x, y) for loop in free for x, y in loop]

    def _shifted(self, laid: _Laid, key: Any, left: int, right: int) -> Iterator[list[list[int]]]:
        for loop in self._problem.store.loops(laid.key, key):
            grid = np.rint(loop / self._unit).astype(np.int64) + np.array((laid.x, laid.y))
            if grid[:, 0].max() > left and grid[:, 0].min() < right:
                yield grid.tolist()


def _blocked(edges: NDArray[np.float64], y: float, shift: int) -> list[tuple[float, float]]:
    """Open intervals of x inside the loops, at a height."""
    above = _crossings(edges, (edges[:, 1] <= y) != (edges[:, 3] <= y), y)
    if not np.any(edges[:, 1] == y):
        both = above
    else:  # on a level edge shapes touch: only what is inside just above and just below is forbidden
        both = _common(above, _crossings(edges, (edges[:, 1] < y) != (edges[:, 3] < y), y))
    return [(a + shift, b + shift) for a, b in both if b > a]


def _crossings(edges: NDArray[np.float64], chosen: NDArray[np.bool_], y: float) -> list[tuple[float, float]]:
    cut = edges[chosen]
    x = np.sort(cut[:, 0] + (y - cut[:, 1]) / (cut[:, 3] - cut[:, 1]) * (cut[:, 2] - cut[:, 0])).tolist()
    return list(zip(x[::2], x[1::2], strict=True))


def _common(one: list[tuple[float, float]], two: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(max(a, c), min(b, d)) for a, b in one for c, d in two if max(a, c) < min(b, d)]
