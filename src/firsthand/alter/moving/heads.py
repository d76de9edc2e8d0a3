"""The part of a piece that one seam alone goes round, as a sleeve's head, made higher or lower until the seam fits."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from firsthand.alter._seams import seam_difference
from firsthand.alter.moving.chaining import in_turn, put_in
from firsthand.alter.moving.reshape import Reshaped
from firsthand.alter.moving.warp import warped
from firsthand.geometry import Point
from firsthand.pattern import EdgeRef, Garment, Seam, Shape

__all__ = ["Head", "head_of", "heads_fitted", "raised_head"]

LEAST, MOST = 0.5, 2.0
"""A head is made at most this much lower or higher, as a share of its height."""
SET_IN = 0.2
"""Over this share of its height a change sets in smoothly."""
FLAT = 20.0
"""What is lower than this, mm, is no head."""
SLIGHT = 0.05
"""A seam is fitted to this, mm."""


@dataclass(frozen=True, slots=True)
class Head:
    """A seam's run on a piece, from where it begins, up.

    Parameters
    ----------
    piece, edges
        The piece, and the edges of it that the seam goes along.
    base
        The higher of the two ends of the run.
    up
        The direction in which it rises.
    height
        How far it rises above its base, mm.
    """

    piece: str
    edges: frozenset[str]
    base: Point
    up: Point
    height: float


@dataclass(frozen=True, slots=True)
class _Raised:
    """All above a line made higher by a factor, the change setting in smoothly over the lowest fifth."""

    head: Head
    factor: float

    def point(self, point: Point) -> Point:
        return point + self.head.up * (self._by(self._share(point))[0] * self.head.height)

    def slope(self, point: Point, along: Point) -> Point:
        return along + self.head.up * (self._by(self._share(point))[1] * along.dot(self.head.up))

    def _share(self, point: Point) -> float:
        return (point - self.head.base).dot(self.head.up) / self.head.height

    def _by(self, share: float) -> tuple[float, float]:
        """How far a share of the height is raised, and how fast that grows."""
        more = self.factor - 1
        if share <= 0:
            return 0.0, 0.0
        if share < SET_IN:
            return more * share * share / (2 * SET_IN), more * share / SET_IN
        return more * (share - SET_IN / 2), more


def raised_head(shape: Shape, head: Head, by: float) -> Reshaped:
    """A shape whose head is higher by an amount, mm; lower if it is negative. What lies below it stays.

    Raises
    ------
    Crosses
        If the outline would cross itself.
    """
    return warped(shape, _Raised(head, 1 + by / (head.height * (1 - SET_IN / 2))))


def heads_fitted(before: Garment, changed: Mapping[str, Reshaped], *, always: Collection[str] = ()) -> dict[str, Reshaped]:
    """Changed pieces whose heads are made higher or lower so that seams that fitted before fit again.

    Only what a seam goes round alone is touched: from the height where its run begins to the top, no edge of another seam.

    Parameters
    ----------
    before
        The garment before the change.
    changed
        Its changed pieces.
    always
        Ids of seams that are fitted though they did not fit before, or are within their tolerance.
    """
    now = put_in(before, changed)
    fitted = dict(changed)
    for seam in before.seams:
        was, off = seam_difference(before, seam), seam_difference(now, seam)
        if was is None or off is None or abs(off) <= SLIGHT:
            continue
        if seam.id not in always and (abs(was) > seam.tolerance or abs(off) <= seam.tolerance):
            continue
        for refs in (seam.a, seam.b):
            head = head_of(now, refs) if refs[0].piece in fitted else None
            raised = _solved(now, seam, head) if head else None
            if head and raised:
                now = now.with_piece(replace(now.piece(head.piece), shape=raised.shape))
                fitted[head.piece] = in_turn(fitted[head.piece], raised)
                break
    return fitted


def head_of(garment: Garment, refs: tuple[EdgeRef, ...]) -> Head | None:
    """The head that a side of a seam goes round; None if it goes round none."""
    names = {ref.piece for ref in refs}
    if len(names) != 1:
        return None
    (name,) = names
    shape, edges = garment.piece(name).drawn_shape, frozenset(ref.edge for ref in refs)
    for up in _ups(shape):
        base, height = _span(shape, edges, up)
        rest = [point for edge in shape.edges if edge.id not in edges for point in edge.path.flattened(1.0)]
        if height >= FLAT and all((point - base).dot(up) <= SLIGHT for point in rest):
            return Head(name, edges, base, up, height)
    return None


def _ups(shape: Shape) -> tuple[Point, Point]:
    up = shape.up
    return up, -up


def _span(shape: Shape, edges: frozenset[str], up: Point) -> tuple[Point, float]:
    """The higher end of a run of edges, and how far the run rises above it."""
    points = [point for edge in shape.edges if edge.id in edges for point in edge.path.flattened(1.0)]
    ends = [p for e in shape.edges if e.id in edges for p in (e.path.start, e.path.end)]
    inner = {(round(p.x, 6), round(p.y, 6)) for p in ends if sum(p.distance(q) < 1e-6 for q in ends) > 1}
    base = max((p for p in ends if (round(p.x, 6), round(p.y, 6)) not in inner), key=lambda p: p.dot(up), default=ends[0])
    return base, max((point - base).dot(up) for point in points)


def _solved(garment: Garment, seam: Seam, head: Head) -> Reshaped | None:
    shape = garment.piece(head.piece).drawn_shape

    def raised(factor: float) -> Reshaped:
        return warped(shape, _Raised(head, factor))

    def off(factor: float) -> float:
        there = garment.with_piece(replace(garment.piece(head.piece), shape=raised(factor).shape))
        return seam_difference(there, seam) or 0.0

    if off(LEAST) * off(MOST) >= 0:
        return None
    from scipy.optimize import brentq  # late: half a second to load, and seldom wanted

    return raised(float(brentq(off, LEAST, MOST, xtol=1e-4)))
