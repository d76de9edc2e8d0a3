"""The parallel of one segment, before any joins."""

from __future__ import annotations

from firsthand.geometry._path import JOINT
from firsthand.geometry._point import Point
from firsthand.geometry._segment import Cubic, Line, Segment

__all__ = ["parallel_pieces"]

DEEPEST = 12
STATIONS = 32  # places looked at along a curve for a bend tighter than the distance
CHECKS = tuple(k / 8 for k in range(1, 8))


def parallel_pieces(segment: Segment, distance: float, tolerance: float) -> list[list[Segment]]:
    """Parallel runs of one segment, in order; a gap between two runs is where the curve bends more tightly than the distance.

    Positive to the right. Every run is within ``tolerance`` of the true parallel; a line's is exact. The result is empty if
    the segment is a point or bends too tightly all along.
    """
    if isinstance(segment, Line):
        if segment.length <= JOINT:
            return []
        shift = segment.tangent(0.0).left * -distance
        return [[Line(segment.a + shift, segment.b + shift)]]
    if segment.length <= JOINT:
        return []
    runs = []
    for lo, hi in _open_stretches(segment, distance):
        run = _fitted(segment, lo, hi, distance, tolerance, 0)
        if run:
            runs.append(run)
    return runs


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


def _change(holds: object, lo: float, hi: float) -> float:
    assert callable(holds)
    first = holds(lo)
    for _ in range(40):
        mid = (lo + hi) / 2
        lo, hi = (mid, hi) if holds(mid) == first else (lo, mid)
    return lo if first else hi


def _fitted(curve: Cubic, lo: float, hi: float, distance: float, tolerance: float, depth: int) -> list[Segment]:
    start, end = shifted(curve, lo, distance), shifted(curve, hi, distance)
    if start.distance(end) <= JOINT and depth:
        return []
    fit = _hermite(curve, lo, hi, distance, start, end)
    if _worst(curve, lo, hi, distance, fit, tolerance) > tolerance and depth < DEEPEST:
        mid = (lo + hi) / 2
        before = _fitted(curve, lo, mid, distance, tolerance, depth + 1)
        after = _fitted(curve, mid, hi, distance, tolerance, depth + 1)
        return before + after
    return [fit]


def _hermite(curve: Cubic, lo: float, hi: float, distance: float, start: Point, end: Point) -> Cubic:
    """The cubic with the parallel's ends, directions and speeds: the curve's speed times one plus distance over radius."""
    step = (hi - lo) / 3
    out = curve.tangent(lo) * (curve.derivative(lo).norm * step * max(0.0, 1 + distance * curve.curvature(lo)))
    into = curve.tangent(hi) * (curve.derivative(hi).norm * step * max(0.0, 1 + distance * curve.curvature(hi)))
    return Cubic(start, start + out, end - into, end)


def _worst(curve: Cubic, lo: float, hi: float, distance: float, fit: Cubic, enough: float) -> float:
    """How far the fit leaves the true parallel, looked at in seven places; stops at the first that is too far."""
    worst = 0.0
    for share in CHECKS:
        here, t = fit.point(share), lo + (hi - lo) * share
        for _ in range(6):  # the foot of the normal through this point, by Newton's method
            away, slope = here - curve.point(t), curve.derivative(t)
            bend = slope.dot(slope) - away.dot(curve.second_derivative(t))
            if bend <= 0:
                break
            t = min(hi, max(lo, t + away.dot(slope) / bend))
        worst = max(worst, here.distance(shifted(curve, t, distance)))
        if worst > enough:
            break
    return worst
