"""The parallel of one segment, before any joins."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from firsthand.geometry._path import JOINT
from firsthand.geometry._point import Point
from firsthand.geometry._segment import Cubic, Line, Segment

__all__ = ["Run", "parallel_run"]

DEEPEST = 12
STATIONS = 32  # places looked at along a curve for a bend tighter than the distance
CHECKS = tuple(
    (((1 - s) ** 3, 3 * (1 - s) ** 2 * s, 3 * (1 - s) * s**2, s**3), s) for s in (0.5, 0.25, 0.75, 0.125, 0.875, 0.375, 0.625)
)
"""Places of a fit that are looked at, each as the weights of its points and its share of the way; the likeliest first."""


@dataclass(frozen=True, slots=True)
class Run:
    """The raw parallel of one segment: a chain of segments from beside its start to beside its end.

    Parameters
    ----------
    pieces
        The chain. Where the source bends more tightly than the distance it runs through the source itself, so that what is
        wrong there lies far too near it.
    source
        The segment that it is parallel to.
    loose_start, loose_end
        Whether the chain begins or ends with such a detour.
    plain
        Whether the source is proven to bend nowhere so tightly.
    """

    pieces: tuple[Segment, ...]
    source: Segment
    loose_start: bool = False
    loose_end: bool = False
    plain: bool = True


def parallel_run(segment: Segment, distance: float, tolerance: float) -> Run | None:
    """The raw parallel of one segment, positive to the right; None if the segment is a point.

    Curves are within ``tolerance`` of the true parallel, a line's is exact.
    """
    if segment.start.distance(segment.end) <= JOINT and segment.length <= JOINT:
        return None
    if isinstance(segment, Line):
        shift = segment.tangent(0.0).left * -distance
        return Run((Line(segment.a + shift, segment.b + shift),), segment)
    plain = bends_gently(segment, distance)
    pieces: list[Segment] = []
    stretches = [(0.0, 1.0)] if plain else _open_stretches(segment, distance)
    reached, at = 0.0, None if plain else shifted(segment, 0.0, distance)
    powers = _powers(segment)
    for lo, hi in [*stretches, (1.0, 1.0)]:
        if lo > reached:
            detour_from = at or shifted(segment, 0.0, distance)
            pieces += _detour(detour_from, segment.point((reached + lo) / 2), shifted(segment, lo, distance))
        if hi > lo:
            start, end = (_place(segment, powers, t, distance) for t in (lo, hi))
            pieces += _fitted(segment, powers, start, end, distance, tolerance, 0)
        reached, at = hi, pieces[-1].end if pieces else at
    loose_start = not stretches or stretches[0][0] > 0
    loose_end = not stretches or stretches[-1][1] < 1
    return Run(tuple(pieces), segment, loose_start, loose_end, plain) if pieces else None


def bends_gently(curve: Cubic, distance: float) -> bool:
    """Whether the parallel is proven to run the same way as the curve all along, at a tenth of its speed at least.

    Bounds by Bernstein coefficients: of the speed along the chord, and of the cross product of the first two derivatives.
    """
    a, b, c, d = curve.a, curve.b, curve.c, curve.d
    ux, uy, vx, vy, wx, wy = b.x - a.x, b.y - a.y, c.x - b.x, c.y - b.y, d.x - c.x, d.y - c.y
    chord_x, chord_y = d.x - a.x, d.y - a.y
    chord = math.hypot(chord_x, chord_y)
    if chord <= JOINT:
        return False
    slowest = 3 / chord * min(ux * chord_x + uy * chord_y, vx * chord_x + vy * chord_y, wx * chord_x + wy * chord_y)
    turns = (18 * (ux * vy - uy * vx), 9 * (ux * wy - uy * wx), 18 * (vx * wy - vy * wx))
    return slowest > 0 and min(turn * distance for turn in turns) >= -0.9 * slowest**3


def _detour(start: Point, through: Point, end: Point) -> list[Segment]:
    return [Line(start, through), Line(through, end)]


def shifted(curve: Cubic, t: float, distance: float) -> Point:
    """The point of the true parallel beside the parameter ``t``."""
    return curve.point(t) - curve.tangent(t).left * distance


def _open_stretches(curve: Cubic, distance: float) -> list[tuple[float, float]]:
    """Stretches of the parameter where the parallel runs the same way as the curve."""

    def forwards(t: float) -> bool:
        return 1 + distance * curve.curvature(t) > 0

    signs = [forwards(k / STATIONS) for k in range(STATIONS + 1)]
    if all(signs):
        return [(0.0, 1.0)]
    stretches, start = [], 0.0 if signs[0] else None
    for k in range(STATIONS):
        if signs[k] == signs[k + 1]:
            continue
        turn = _change(forwards, k / STATIONS, (k + 1) / STATIONS)
        if signs[k] and start is not None:
            stretches.append((start, turn))
            start = None
        else:
            start = turn
    if start is not None:
        stretches.append((start, 1.0))
    return [(lo, hi) for lo, hi in stretches if hi - lo > 1e-9]


def _change(holds: Callable[[float], bool], lo: float, hi: float) -> float:
    """Where a condition changes, on the side where it holds."""
    first = holds(lo)
    for _ in range(40):
        mid = (lo + hi) / 2
        lo, hi = (mid, hi) if holds(mid) == first else (lo, mid)
    return lo if first else hi


Powers = tuple[float, float, float, float, float, float, float, float]
"""A cubic as a + b t + c t2 + d t3: the four coefficients in x, then in y."""

Place = tuple[float, float, float, float, float, float]
"""A parameter, the point of the parallel beside it, the direction there, and how fast the parallel runs."""


def _powers(curve: Cubic) -> Powers:
    a, b, c, d = curve.a, curve.b, curve.c, curve.d
    return (
        a.x, 3 * (b.x - a.x), 3 * (a.x - 2 * b.x + c.x), d.x - 3 * c.x + 3 * b.x - a.x,
        a.y, 3 * (b.y - a.y), 3 * (a.y - 2 * b.y + c.y), d.y - 3 * c.y + 3 * b.y - a.y,
    )  # fmt: skip


def _place(curve: Cubic, powers: Powers, t: float, distance: float) -> Place:
    point, slope, second = curve.point(t), curve.derivative(t), curve.second_derivative(t)
    speed = math.hypot(slope.x, slope.y)
    if speed <= 1e-9:
        way = curve.tangent(t)
        return t, point.x + way.y * distance, point.y - way.x * distance, way.x, way.y, speed
    ux, uy = slope.x / speed, slope.y / speed
    bend = (slope.x * second.y - slope.y * second.x) / speed**3
    return t, point.x + uy * distance, point.y - ux * distance, ux, uy, speed * max(0.0, 1 + distance * bend)


def _fitted(
    curve: Cubic, powers: Powers, start: Place, end: Place, distance: float, tolerance: float, depth: int
) -> list[Segment]:
    """Cubics with the parallel's ends, directions and speeds: the curve's speed times one plus distance over radius."""
    if depth and math.hypot(start[1] - end[1], start[2] - end[2]) <= JOINT:
        return []
    lo, hi = start[0], end[0]
    out, into = start[5] * (hi - lo) / 3, end[5] * (hi - lo) / 3
    fit = (
        start[1], start[2], start[1] + start[3] * out, start[2] + start[4] * out,
        end[1] - end[3] * into, end[2] - end[4] * into, end[1], end[2],
    )  # fmt: skip
    if depth < DEEPEST and _strays(powers, lo, hi, distance, fit, tolerance):
        middle = _place(curve, powers, (lo + hi) / 2, distance)
        before = _fitted(curve, powers, start, middle, distance, tolerance, depth + 1)
        return before + _fitted(curve, powers, middle, end, distance, tolerance, depth + 1)
    ax, ay, bx, by, cx, cy, dx, dy = fit
    return [Cubic(Point(ax, ay), Point(bx, by), Point(cx, cy), Point(dx, dy))]


def _strays(powers: Powers, lo: float, hi: float, distance: float, fit: Powers, enough: float) -> bool:
    """Whether the fit leaves the true parallel by more than is allowed, looked at in seven places."""
    ax, bx, cx, dx, ay, by, cy, dy = powers
    for (u, v, w, z), share in CHECKS:
        x, y = fit[0] * u + fit[2] * v + fit[4] * w + fit[6] * z, fit[1] * u + fit[3] * v + fit[5] * w + fit[7] * z
        t = lo + (hi - lo) * share
        for _ in range(6):  # the foot of the normal through this point, by Newton's method
            gx, gy = x - (ax + t * (bx + t * (cx + t * dx))), y - (ay + t * (by + t * (cy + t * dy)))
            vx, vy = bx + t * (2 * cx + 3 * t * dx), by + t * (2 * cy + 3 * t * dy)
            bend = vx * vx + vy * vy - gx * (2 * cx + 6 * t * dx) - gy * (2 * cy + 6 * t * dy)
            if bend <= 0:
                break
            before, t = t, min(hi, max(lo, t + (gx * vx + gy * vy) / bend))
            if abs(t - before) <= 1e-10:
                break
        gx, gy = x - (ax + t * (bx + t * (cx + t * dx))), y - (ay + t * (by + t * (cy + t * dy)))
        vx, vy = bx + t * (2 * cx + 3 * t * dx), by + t * (2 * cy + 3 * t * dy)
        speed = math.hypot(vx, vy)
        if speed <= 1e-9:
            vx, vy = fit[6] - fit[0], fit[7] - fit[1]
            speed = math.hypot(vx, vy) or 1.0
        if math.hypot(gx - vy / speed * distance, gy + vx / speed * distance) > enough:
            return True
    return False
