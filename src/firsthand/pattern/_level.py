"""Widths along a level, darts and pleats closed."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from firsthand.errors import GeometryError
from firsthand.geometry import Line, Path, Point, encloses, intersections, nearest
from firsthand.pattern.model import Dart, LevelLine, Pleat, Shape

__all__ = ["LevelCrossing", "Stretch", "exits", "level_crossing", "level_width", "lies_above"]

ON_EDGE = 0.5
"""A level this near to the outline runs along it, mm: a waist level drawn on the waist edge."""

Stretch = tuple[float, float]
"""From and to along a level line, mm."""


@dataclass(frozen=True, slots=True)
class LevelCrossing:
    """What a level cuts out of a shape.

    Parameters
    ----------
    flat
        Length of the line inside the outline, mm.
    taken_up
        What darts and pleats take out of it, mm.
    """

    flat: float
    taken_up: float

    @property
    def width(self) -> float:
        """What is left, mm."""
        return max(0.0, self.flat - self.taken_up)


@dataclass(frozen=True, slots=True)
class _Ray:
    """A line through the whole shape, of which only the positions from ``lo`` to ``hi`` count."""

    origin: Point
    along: Point
    lo: float
    hi: float

    def at(self, t: float) -> Point:
        return self.origin + self.along * t

    def height(self, point: Point) -> float:
        return self.along.cross(point - self.origin)

    def reach(self, point: Point) -> float:
        return self.along.dot(point - self.origin)


def _rays(shape: Shape, level: str) -> list[_Ray]:
    """The lines of a level, run on through the shape; two that meet at an angle end where they meet."""
    lines = [line for line in shape.levels if line.level == level]
    if any(line.a.distance(line.b) < 1e-6 for line in lines):
        raise GeometryError(f"the line of level {level!r} has no length")
    box = shape.outline.bounds
    far = math.hypot(box.width, box.height) + max(
        (p.distance(box.centre) for line in lines for p in (line.a, line.b)), default=0.0
    )
    rays = [_Ray(line.a, (line.b - line.a).unit(), -far, far) for line in lines]
    return [_cut_back(ray, line, [r for r in rays if r is not ray]) for ray, line in zip(rays, lines, strict=True)]


def _cut_back(ray: _Ray, line: LevelLine, others: Iterable[_Ray]) -> _Ray:
    lo, hi, middle = ray.lo, ray.hi, ray.reach(line.a.towards(line.b, 0.5))
    for other in others:
        turn = ray.along.cross(other.along)
        if abs(turn) < 1e-9:
            continue
        meeting = (other.origin - ray.origin).cross(other.along) / turn
        lo, hi = (max(lo, meeting), hi) if meeting <= middle else (lo, min(hi, meeting))
    return _Ray(ray.origin, ray.along, lo, hi)


@lru_cache(maxsize=256)
def _polygon(outline: Path) -> tuple[Point, ...]:
    return outline.flattened(0.05)


def _inside(outline: Path, point: Point) -> bool:
    """Even-odd rule; a point on the outline, or nearly, counts as inside."""
    return encloses(_polygon(outline), point) or nearest(outline, point)[1] <= ON_EDGE


def _stretches(outline: Path, ray: _Ray) -> list[Stretch]:
    """Where a ray runs inside the outline."""
    if ray.hi - ray.lo < 1e-6:
        return []
    whole = Path((Line(ray.at(ray.lo), ray.at(ray.hi)),))
    cuts = sorted({ray.lo, *(ray.lo + crossing.at_a for crossing in intersections(whole, outline)), ray.hi})
    return [(a, b) for a, b in itertools.pairwise(cuts) if b - a > 1e-6 and _inside(outline, ray.at((a + b) / 2))]


def _overlap(stretches: Iterable[Stretch], lo: float, hi: float) -> float:
    return math.fsum(max(0.0, min(b, hi) - max(a, lo)) for a, b in stretches)


def _across_triangle(ray: _Ray, corners: tuple[Point, Point, Point]) -> Stretch | None:
    """The part of a ray inside a triangle."""
    meets = []
    for a, b in itertools.pairwise((*corners, corners[0])):
        above, below = ray.height(a), ray.height(b)
        if above == below == 0:
            meets += [ray.reach(a), ray.reach(b)]
        elif (above <= 0 <= below) or (below <= 0 <= above):
            meets.append(ray.reach(a.towards(b, above / (above - below))))
    return (min(meets), max(meets)) if meets else None


def _dart_taken(shape: Shape, dart: Dart, ray: _Ray, stretches: list[Stretch]) -> float:
    path = shape.edge(dart.edge).path
    mouth = (path.at(dart.at - dart.width / 2), path.at(dart.at + dart.width / 2))
    if all(abs(ray.height(point)) <= ON_EDGE for point in mouth):  # the level runs along the edge: the whole mouth closes
        centre = ray.reach(path.at(dart.at))
        return _overlap(stretches, centre - dart.width / 2, centre + dart.width / 2)
    across = _across_triangle(ray, (*mouth, dart.apex))
    return _overlap(stretches, *across) if across else 0.0


def _pleat_taken(shape: Shape, pleat: Pleat, ray: _Ray) -> float:
    path = shape.edge(pleat.edge).path
    top = path.at(pleat.at)
    way = path.tangent_at(pleat.at).left if pleat.towards is None else pleat.towards - top
    if abs(ray.height(top)) <= ON_EDGE:
        return pleat.take_up if _counts(ray, top) else 0.0
    if pleat.reach <= 0 or way.norm < 1e-6:
        return 0.0
    foot = top + way.unit() * pleat.reach
    above, below = ray.height(top), ray.height(foot)
    if not (above < 0 <= below or below <= 0 < above):
        return 0.0
    share = above / (above - below)
    return pleat.folds * pleat.depth_at(share * pleat.reach) if _counts(ray, top.towards(foot, share)) else 0.0


def _counts(ray: _Ray, point: Point) -> bool:
    return ray.lo - ON_EDGE <= ray.reach(point) <= ray.hi + ON_EDGE


def level_crossing(shape: Shape, level: str) -> LevelCrossing | None:
    """What a level cuts out of a shape, with its working; None if the shape has no such level or no longer reaches it."""
    rays = _rays(shape, level)
    inside = [_stretches(shape.outline, ray) for ray in rays]
    if not any(inside):
        return None
    flat, taken = 0.0, 0.0
    for ray, stretches in zip(rays, inside, strict=True):
        flat += math.fsum(b - a for a, b in stretches)
        taken += math.fsum(_dart_taken(shape, dart, ray, stretches) for dart in shape.darts)
        taken += math.fsum(_pleat_taken(shape, pleat, ray) for pleat in shape.pleats)
    return LevelCrossing(flat, taken)


def level_width(shape: Shape, level: str) -> float | None:
    """The width of a shape along a level, darts and pleats closed, mm.

    The level's line is run on both ways; all stretches of it inside the outline count, and a line that runs along the outline
    (within 0.5 mm) counts as inside. On a piece opened out a level may be two lines that meet at an angle: each ends where
    they meet.

    A dart takes out what the line crosses of the triangle between its mouth and its point: by similar triangles, nothing at
    the point and the whole width at the mouth. A pleat takes out what it takes up there as far in from the edge as it stays
    closed (its ``reach``), and nothing beyond; one without a reach counts only for a level that runs along its edge.

    Parameters
    ----------
    shape, level
        A shape and the id of a level.

    Returns
    -------
    float or None
        None if the shape has no line of that level, or the line does not meet it: a piece shortened above its hip level has
        no width there, which is not a width of nothing.

    Raises
    ------
    GeometryError
        If the level's line has no length.

    Examples
    --------
    >>> from firsthand.pattern.model import Corner, Edge
    >>> corners = [Point(0, 0), Point(200, 0), Point(200, 300), Point(0, 300)]
    >>> edges = tuple(
    ...     Edge(name, Corner(name), Path.line(a, b))
    ...     for name, a, b in zip(("hem", "side", "waist", "centre"), corners, corners[1:] + corners[:1], strict=True)
    ... )
    >>> dart = Dart("d", "waist", 100, 30, Point(100, 200))
    >>> lines = (LevelLine("waist", Point(10, 300), Point(20, 300)), LevelLine("hip", Point(10, 240), Point(20, 240)))
    >>> shape = Shape(edges, (Point(0, 0), Point(0, 300)), darts=(dart,), levels=lines)
    >>> [level_width(shape, level) for level in ("waist", "hip", "knee")]
    [170.0, 188.0, None]
    """
    crossing = level_crossing(shape, level)
    return None if crossing is None else crossing.width


def lies_above(shape: Shape, level: str) -> bool:
    """Whether a shape lies wholly above the lines of a level, up being along the grain with the nap."""
    up = shape.grain[1] - shape.grain[0]
    lines = [line for line in shape.levels if line.level == level]
    return all(up.dot(point - line.a.towards(line.b, 0.5)) > 0 for line in lines for point in _polygon(shape.outline))


def exits(shape: Shape, level: str) -> tuple[tuple[str, ...], ...]:
    """The edges at each place where a level leaves a shape, two at a corner; an edge that it runs along is none of them."""
    found: list[tuple[str, ...]] = []
    for ray in _rays(shape, level):
        for stretch in _stretches(shape.outline, ray):
            ends = [_edges_at(shape, ray.at(t)) for t in stretch]
            inner = [abs(t - bound) < 1e-6 for t, bound in zip(stretch, (ray.lo, ray.hi), strict=True)]
            found += [tuple(e for e in ends[k] if e not in ends[1 - k]) for k in (0, 1) if not inner[k]]
    return tuple(found)


def _edges_at(shape: Shape, point: Point) -> list[str]:
    return [edge.id for edge in shape.edges if nearest(edge.path, point)[1] <= 1e-3]
