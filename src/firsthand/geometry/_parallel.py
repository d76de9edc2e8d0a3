"""The parallel of one segment, before any joins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from firsthand.geometry._path import JOINT
from firsthand.geometry._point import Point
from firsthand.geometry._segment import Cubic, Line, Segment

__all__ = ["Run", "parallel_run"]

DEEPEST = 12
STATIONS = 32  # places looked at along a curve for a bend tighter than the distance
CHECKS = tuple(k / 8 for k in range(1, 8))


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
    """

    pieces: tuple[Segment, ...]
    source: Segment
    loose_start: bool = False
    loose_end: bool = False


def parallel_run(segment: Segment, distance: float, tolerance: float) -> Run | None:
    """The raw parallel of one segment, positive to the right; None if the segment is a point.

    Curves are within ``tolerance`` of the true parallel, a line's is exact.
    """
    if segment.length <= JOINT:
        return None
    if isinstance(segment, Line):
        shift = segment.tangent(0.0).left * -distance
        return Run((Line(segment.a + shift, segment.b + shift),), segment)
    pieces: list[Segment] = []
    reached, at = 0.0, shifted(segment, 0.0, distance)
    stretches = _open_stretches(segment, distance)
    for lo, hi in [*stretches, (1.0, 1.0)]:
        if lo > reached:
            pieces += _detour(at, segment.point((reached + lo) / 2), shifted(segment, lo, distance))
        pieces += _fitted(segment, lo, hi, distance, tolerance, 0) if hi > lo else []
        reached, at = hi, pieces[-1].end if pieces else at
    loose_start = not stretches or stretches[0][0] > 0
    loose_end = not stretches or stretches[-1][1] < 1
    return Run(tuple(pieces), segment, loose_start, loose_end) if pieces else None


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
