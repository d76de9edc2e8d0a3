"""What the engines are given: kinds of shapes, each in every way it may lie, and so many of each."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from firsthand.errors import GeometryError
from firsthand.lay._nofit import NoFit
from firsthand.lay._settle import Body, Vector, settle
from firsthand.lay._shapes import Polygon, alike, area, bounded, inflated, outward, simplified, turned
from firsthand.lay.model import LayItem, Placement

__all__ = ["MANY", "Kind", "Pose", "Problem", "Refused", "Solution", "Spot", "make_problem", "placements", "settled"]

SLIMNESS = (1.0, 2.0)
"""How far the engines' polygons may lie outside the checked ones, mm, to have fewer points: for few and for many items."""
FEW = 12
MANY = 150
"""Beyond so many shapes settling is kept short."""
FREE_TURNS = 16
"""How many turns our own placer tries where any is allowed."""

MOST_POINTS = 60
"""How many points a shape has at most for the engines: work grows with the fourth power of it where outlines are ragged."""
MANY_POSES = 120
"""With more ways of lying than this, of all kinds together, points are fewer yet."""
MOST_SETTLED = 2500
"""More shapes are not settled: neighbours are looked for among all pairs."""

Refused = list[tuple[LayItem, GeometryError]]
"""Items that cannot be laid, and why."""


@dataclass(frozen=True, slots=True)
class Pose:
    """A way of lying: turn, side, and the shape it then has about its origin.

    Parameters
    ----------
    shape
        Contains the part, with few points and half the gap round it.
    low, high
        Box of the part itself.
    held
        The y at which the fold edge comes to lie on the fold.
    """

    turn: float
    mirrored: bool
    shape: Polygon
    low: tuple[float, float]
    high: tuple[float, float]
    held: float | None = None

    @property
    def height(self) -> float:
        """Across the fabric."""
        return self.high[1] - self.low[1]

    @property
    def length(self) -> float:
        """Along the fabric."""
        return self.high[0] - self.low[0]


@dataclass(frozen=True, slots=True)
class Kind:
    """Equal shapes: the item and number of each copy, and how they may lie (no pose is free of choice if ``free``)."""

    names: tuple[tuple[str, int], ...]
    polygon: Polygon
    slim: Polygon
    """Contains the polygon, with no more points than the engines can bear."""
    poses: tuple[Pose, ...]
    area: float
    layers: int = 1
    free: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """One copy of a kind, laid."""

    kind: int
    pose: Pose
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Solution:
    """Where everything lies, and the length it takes."""

    spots: tuple[Spot, ...]
    length: float


@dataclass(frozen=True)
class Problem:
    """Kinds of shapes for a strip."""

    width: float
    gap: float
    kinds: tuple[Kind, ...]
    slimness: float
    _store: list[NoFit] = field(default_factory=list, repr=False, compare=False)

    @cached_property
    def count(self) -> int:
        """How many shapes in all."""
        return sum(len(kind.names) for kind in self.kinds)

    @cached_property
    def bound(self) -> float:
        """A length that no lay can go below: area by width, or the longest shape."""
        if not self.kinds:
            return 0.0
        covered = math.fsum(kind.area * len(kind.names) for kind in self.kinds) / self.width
        return max(covered, *(min(pose.length for pose in kind.poses) for kind in self.kinds if not kind.free), 0.0)

    @property
    def store(self) -> NoFit:
        """No-fit polygons of the shapes, shared by the engines."""
        if not self._store:
            extent = max(self.width, *(max(pose.length, pose.height) for kind in self.kinds for pose in kind.poses))
            self._store.append(NoFit(extent))
        return self._store[0]

    def key(self, kind: int, pose: Pose) -> Hashable:
        """The key of a shape in the store, where it is put if need be."""
        name = (kind, pose.turn, pose.mirrored)
        self.store.add(name, pose.shape)
        return name


def make_problem(
    items: Iterable[LayItem], width: float, gap: float, *, slimness: float | None = None, refused: Refused | None = None
) -> Problem:
    """Sort items into kinds.

    Parameters
    ----------
    slimness
        How far the engines' polygons may lie outside the true ones, to have fewer points; 0 for exactly, None for the usual.
    refused
        Items that no lay can take are entered here, each with the reason, and left out.

    Raises
    ------
    GeometryError
        If there is such an item and nowhere to enter it.
    """
    groups: dict[Hashable, list[LayItem]] = {}
    for item in items:
        groups.setdefault((item.outline, item.turns, item.mirrored, item.flips, item.fold, item.layers), []).append(item)
    if slimness is None:
        slimness = SLIMNESS[len(groups) > FEW]
    kinds, most = [], _most_points(sum(len(ways(group[0])) for group in groups.values()))
    for group in groups.values():
        try:
            kinds.append(_kind(group, gap, slimness, most))
        except GeometryError as error:
            if refused is None:
                raise
            refused += [(item, error) for item in group]
    return Problem(width, gap, tuple(kind for kind in kinds if kind.names), slimness)


def _most_points(poses: int) -> int:
    return round(MOST_POINTS * min(1.0, math.sqrt(math.sqrt(MANY_POSES / max(poses, 1)))))


def _kind(items: Sequence[LayItem], gap: float, slimness: float, most: int) -> Kind:
    item = items[0]
    polygon = outward(item.outline)
    slim = bounded(polygon, max(most, 12))
    names = tuple((one.id, copy) for one in items for copy in range(1, one.demand + 1))
    poses = tuple(pose_of(item, polygon, slim, turn, side, gap=gap, slimness=slimness) for turn, side in ways(item))
    if item.fold is not None:
        poses = tuple(pose for pose in poses if pose.held is not None and pose.low[1] + pose.held > -1e-6)
    poses = _different(poses)
    if not poses:
        raise GeometryError("with its fold edge on the fold of the fabric it would reach over it")
    return Kind(names, polygon, slim, poses, area(polygon), item.layers, free=not item.turns)


def _different(poses: Sequence[Pose]) -> tuple[Pose, ...]:
    """Leave out ways of lying in which a part that is alike on both sides looks as in one before."""
    kept: list[Pose] = []
    for pose in poses:
        if not any(_off_fold(pose) == _off_fold(other) and alike(pose.shape, other.shape) for other in kept):
            kept.append(pose)
    return tuple(kept)


def _off_fold(pose: Pose) -> float | None:
    return None if pose.held is None else round(pose.held + pose.low[1], 6)


def ways(item: LayItem) -> list[tuple[float, bool]]:
    """Turns and sides an item may be laid with."""
    turns = item.turns or tuple(2 * math.pi * k / FREE_TURNS for k in range(FREE_TURNS))
    ways = [(turn, item.mirrored) for turn in turns]
    if item.flips or item.fold is not None:
        # Mirroring x -> -x leaves "up" where it is only for an upright grain: the turn is measured from the mirrored one.
        ways += [(_flipped_turn(item, turn), not item.mirrored) for turn in turns]
    return ways


def _flipped_turn(item: LayItem, turn: float) -> float:
    if item.grain is None:
        return turn
    (a, b), sign = item.grain, -1.0 if item.mirrored else 1.0
    one = math.atan2(b.y - a.y, sign * (b.x - a.x))
    other = math.atan2(b.y - a.y, -sign * (b.x - a.x))
    return math.remainder(turn + one - other, 2 * math.pi)


def pose_of(
    item: LayItem, polygon: Polygon, slim: Polygon, turn: float, mirrored: bool, *, gap: float, slimness: float
) -> Pose:
    """One way of lying."""
    true = turned(polygon, turn, mirrored=mirrored)
    low, high = true.min(axis=0), true.max(axis=0)
    held = None
    if item.fold is not None:
        ends = turned(np.array([(p.x, p.y) for p in item.fold]), turn, mirrored=mirrored)
        level = abs(ends[0, 1] - ends[1, 1]) <= 1e-6
        held = -float(ends[0, 1]) if level else None
    shape = inflated(simplified(turned(slim, turn, mirrored=mirrored), slimness), gap / 2)
    return Pose(turn, mirrored, shape, (float(low[0]), float(low[1])), (float(high[0]), float(high[1])), held)


def settled(problem: Problem, spots: Sequence[Spot], late: float = math.inf) -> Solution | None:
    """The same arrangement, exact and as short as it can be without a change of order.

    None if shapes overlap too deeply, there are too many of them, or nothing was reached by the moment ``late``.
    """
    if len(spots) > MOST_SETTLED:
        return None
    rounds, reach = (6, 0.06) if len(spots) <= MANY else (1, 0.015)
    bodies = [Body(problem.key(spot.kind, spot.pose), spot.pose.low, spot.pose.high, spot.pose.held) for spot in spots]
    at: Vector = np.array([(spot.x, spot.y) for spot in spots], dtype=np.float64).reshape(-1, 2)
    found = settle(bodies, at, problem.width, problem.store, rounds=rounds, reach=reach, late=late)
    if found is None:
        return None
    places, length = found
    moved = (Spot(spot.kind, spot.pose, float(x), float(y)) for spot, (x, y) in zip(spots, places, strict=True))
    return Solution(tuple(moved), length)


def placements(problem: Problem, solution: Solution) -> tuple[Placement, ...]:
    """The spots with the names of the copies that lie there, from the start of the fabric on."""
    names = {k: iter(kind.names) for k, kind in enumerate(problem.kinds)}
    order = sorted(solution.spots, key=lambda spot: (spot.x + spot.pose.low[0], spot.y + spot.pose.low[1]))
    placed = []
    for spot in order:
        item, copy = next(names[spot.kind])
        layers = problem.kinds[spot.kind].layers
        placed.append(Placement(item, spot.pose.turn, spot.x, spot.y, spot.pose.mirrored, copy, layers))
    return tuple(placed)
