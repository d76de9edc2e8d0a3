"""Proof that stretches of paths do not meet: quick, and silent where it cannot tell."""

from __future__ import annotations

import math
from collections.abc import Sequence

from firsthand.geometry._path import JOINT
from firsthand.geometry._segment import Line, Segment

__all__ = ["Flat", "Headings", "extent", "flat", "halves", "separate", "surely_apart"]

Flat = tuple[float, ...]
"""The eight coordinates of a cubic; of a line with its handles at its ends."""

FORWARDS = math.pi - 0.02
"""Directions within such a fan all make headway of a hundredth of their length, and more, along its middle."""
TOGETHER = 64
"""Segments looked at in one fan: so many gaps at joints are still less than the headway of a hundredth of a millimetre."""
PATIENCE = 24
"""Pairs of pieces looked at before the proof is given up."""
DEEPEST = 8
"""Halvings towards a corner before the proof is given up."""


class Headings:
    """The directions in which the segments of a path run, turn after turn.

    Between two places of a stretch whose directions lie within less than half a turn there is headway, so it does not meet
    itself. The directions of a cubic lie within those of its handles.
    """

    def __init__(self, segments: Sequence[Segment], *, closed: bool) -> None:
        self.count = len(segments)
        self.least: list[float] = []
        self.most: list[float] = []
        self.closed = closed
        ways = [_ways(flat(segment)) for segment in segments]
        last = 0.0
        for way in ways * 2 if closed else ways:
            turned = []
            for angle in way:
                last += math.remainder(angle - last, math.tau)
                turned.append(last)
            self.least.append(min(turned, default=last))
            self.most.append(max(turned, default=last))

    def forwards(self, first: int, last: int) -> bool:
        """Whether everything from one segment to another one after it, or the other way round, makes headway."""
        if self._forwards(first, last):
            return True
        return self.closed and first != last and self._forwards(last, first + self.count)

    def _forwards(self, first: int, last: int) -> bool:
        if last - first >= TOGETHER:
            return False
        return max(self.most[first : last + 1]) - min(self.least[first : last + 1]) < FORWARDS

    def within(self, angle: float) -> bool:
        """Whether all directions lie within an angle."""
        return max(self.most) - min(self.least) < angle

    def corner_clear(self, one: Segment, two: Segment) -> bool:
        """Whether a segment meets the one after it at their joint only: both are halved towards it until that is plain.

        Each of the two must make headway on its own.
        """
        p, q = flat(one), flat(two)
        for _ in range(DEEPEST):
            if fan(_ways(p) + _ways(q)) < FORWARDS:
                return True
            (before, p), (near, after) = halves(p), halves(q)
            if not (surely_apart(before, near) and surely_apart(before, after) and surely_apart(p, after)):
                return False
            q = near
        return False


def _ways(k: Flat) -> list[float]:
    """Directions of the handles that have a length."""
    return [math.atan2(k[i + 3] - k[i + 1], k[i + 2] - k[i]) for i in (0, 2, 4) if k[i + 2] != k[i] or k[i + 3] != k[i + 1]]


def fan(ways: Sequence[float]) -> float:
    """An angle that holds all directions, each taken to turn from the one before by less than half a turn."""
    last = least = most = ways[0] if ways else 0.0
    for angle in ways:
        last += math.remainder(angle - last, math.tau)
        least, most = min(least, last), max(most, last)
    return most - least


def flat(segment: Segment) -> Flat:
    """The coordinates of a segment."""
    a, b = segment.a, segment.b
    if isinstance(segment, Line):
        return a.x, a.y, a.x, a.y, b.x, b.y, b.x, b.y
    c, d = segment.c, segment.d
    return a.x, a.y, b.x, b.y, c.x, c.y, d.x, d.y


def halves(k: Flat) -> tuple[Flat, Flat]:
    """Both halves of a cubic (de Casteljau)."""
    ax, ay, bx, by, cx, cy, dx, dy = k
    abx, aby, bcx, bcy, cdx, cdy = (ax + bx) / 2, (ay + by) / 2, (bx + cx) / 2, (by + cy) / 2, (cx + dx) / 2, (cy + dy) / 2
    px, py, qx, qy = (abx + bcx) / 2, (aby + bcy) / 2, (bcx + cdx) / 2, (bcy + cdy) / 2
    mx, my = (px + qx) / 2, (py + qy) / 2
    return (ax, ay, abx, aby, px, py, mx, my), (mx, my, qx, qy, cdx, cdy, dx, dy)


def extent(k: Flat) -> float:
    """The longer side of the box around the control points."""
    return max(max(k[0::2]) - min(k[0::2]), max(k[1::2]) - min(k[1::2]))


def surely_apart(one: Flat, two: Flat) -> bool:
    """Whether two cubics are proven to come nowhere within 1e-6 mm of each other; False where that is not plain."""
    stack = [(one, two)]
    for _ in range(PATIENCE):
        if not stack:
            return True
        p, q = stack.pop()
        if separate(p, q):
            continue
        if extent(p) >= extent(q):
            stack += [(half, q) for half in halves(p)]
        else:
            stack += [(p, half) for half in halves(q)]
    return not stack


def separate(p: Flat, q: Flat) -> bool:
    """Whether the control points lie apart: along x, along y, or across the chord of either."""
    if (
        min(p[0::2]) > max(q[0::2]) + JOINT or min(q[0::2]) > max(p[0::2]) + JOINT
        or min(p[1::2]) > max(q[1::2]) + JOINT or min(q[1::2]) > max(p[1::2]) + JOINT
    ):  # fmt: skip
        return True
    return _apart_across(p, q) or _apart_across(q, p)


def _apart_across(p: Flat, q: Flat) -> bool:
    nx, ny = p[1] - p[7], p[6] - p[0]
    size = math.hypot(nx, ny)
    if size < 1e-9:
        return False
    of_p = [(p[i] * nx + p[i + 1] * ny) / size for i in (0, 2, 4, 6)]
    of_q = [(q[i] * nx + q[i + 1] * ny) / size for i in (0, 2, 4, 6)]
    return min(of_p) > max(of_q) + JOINT or min(of_q) > max(of_p) + JOINT
