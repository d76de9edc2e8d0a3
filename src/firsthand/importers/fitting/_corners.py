"""Where an outline has a corner: the direction before it and the direction after it differ."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from firsthand.geometry import Point
from firsthand.importers.fitting._rings import Floats

__all__ = ["Corner", "corners_of"]

ARM, GAP = 9.0, 1.2
"""The directions are taken over so much of the line on either side, mm, this far from the place itself: a photo rounds off a
corner by about its blur."""
SHARP = np.deg2rad(22.0)
"""A turn by less is a bend."""
CLOSER, SHARP_CLOSE = 0.5, np.deg2rad(40.0)
"""Corners nearer to each other than an arm are looked for over so much of it, if they turn by so much."""
CALM = 0.13
"""Points that scatter by more, mm, are put in the mean of their neighbours first."""
SURE = 8.0
"""A corner turns by more than so many times what chance makes a turn of."""
BEND = 0.55
"""A place where the line turns as much beside the corner as in it is a tight bend: so much of the turn has to be in it."""


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner.

    Parameters
    ----------
    index
        Number of the nearest point of the ring.
    point
        Where the lines on both sides meet, mm.
    turn
        By how much the direction changes there, radians; positive to the left.
    """

    index: int
    point: Point
    turn: float


def corners_of(ring: Floats, *, arm: float = ARM, gap: float = GAP, sharp: float = SHARP) -> tuple[Corner, ...]:
    """The corners of a ring of evenly spaced points, in order.

    Parameters
    ----------
    ring
        Points of a closed line, evenly spaced, mm, shape (n, 2).
    arm, gap
        Over how much of the line its direction is taken, and how far from the place, mm.
    sharp
        Least turn of a corner, radians.
    """
    ring, gap = _calmed(ring, gap)
    found = list(_at_scale(ring, arm, gap, sharp))
    for near in _at_scale(ring, arm * CLOSER, gap, max(sharp, SHARP_CLOSE)):
        if all(near.point.distance(other.point) > arm * CLOSER for other in found):
            found.append(near)
    return tuple(sorted(found, key=lambda corner: corner.index))


def _at_scale(ring: Floats, arm: float, gap: float, sharp: float) -> Iterator[Corner]:
    step = float(np.hypot(*(ring[1] - ring[0])))
    reach, off = max(3, round(arm / step)), max(1, round(gap / step))
    if len(ring) < 2 * (reach + off) + 2:
        reach = max(2, (len(ring) - 2) // 2 - off)
    before, after = _directions(ring, reach, off)
    turn = _wrapped(after - before)
    sharp = max(sharp, SURE * _unsure(ring, reach, step))
    for peak in _peaks(np.abs(turn), reach + off, sharp):
        near = [(peak + j) % len(ring) for j in range(-off, off + 1)]
        k = max(near, key=lambda one: abs(_within(ring, one, reach, off)))
        if abs(_within(ring, k, reach, off)) >= BEND * abs(turn[peak]):
            yield Corner(k, _meeting(ring, k, reach, off), float(turn[peak]))


def _unsure(ring: Floats, reach: int, step: float) -> float:
    """Standard deviation of a turn between two arms, from the scatter of the points about a smooth line, radians."""
    count = reach + 1
    return float(np.sqrt(2.0) * _scatter(ring) * np.sqrt(12.0) / (step * count**1.5))


def _scatter(ring: Floats) -> float:
    """Standard deviation of the points about a smooth line, mm: their third differences know nothing of a smooth line."""
    third = np.diff(np.vstack([ring, ring[:3]]), n=3, axis=0)
    return 1.4826 * float(np.median(np.abs(third))) / float(np.sqrt(20.0))


def _calmed(ring: Floats, gap: float) -> tuple[Floats, float]:
    """The ring with each point in the mean of its neighbours, where they scatter more than usual; corners become rounder."""
    wide = min(4, int((_scatter(ring) / CALM) ** 2))
    if not wide:
        return ring, gap
    mean = np.mean([np.roll(ring, j, axis=0) for j in range(-wide, wide + 1)], axis=0)
    return np.asarray(mean, dtype=np.float64), gap + wide * float(np.hypot(*(ring[1] - ring[0])))


def _directions(ring: Floats, reach: int, off: int) -> tuple[Floats, Floats]:
    """Direction of the line before and after each point, by least squares over an arm."""
    count = len(ring)
    before, after = np.empty(count), np.empty(count)
    complex_ring = ring[:, 0] + 1j * ring[:, 1]
    tiled = np.concatenate([complex_ring[-(reach + off + 1) :], complex_ring, complex_ring[: reach + off + 1]])
    windows = np.lib.stride_tricks.sliding_window_view(tiled, reach + 1)
    slopes = _principal(windows)
    base = reach + off + 1
    at = np.arange(count) + base
    before[:] = slopes[at - off - reach]
    after[:] = slopes[at + off]
    return before, after


def _principal(windows: NDArray[Any]) -> Floats:
    """The principal direction of each window of points, pointing from its first to its last."""
    centred = windows - windows.mean(axis=1, keepdims=True)
    double = 0.5 * np.angle((centred**2).sum(axis=1))
    chord = windows[:, -1] - windows[:, 0]
    flipped = np.cos(double) * chord.real + np.sin(double) * chord.imag < 0
    return np.asarray(np.where(flipped, double + np.pi, double), dtype=np.float64)


def _wrapped(angle: Floats) -> Floats:
    return (angle + np.pi) % (2 * np.pi) - np.pi


def _peaks(turn: Floats, apart: int, sharp: float) -> list[int]:
    """Places of the greatest turn, the sharpest first taken, each so far from those before."""
    left: list[int] = []
    order = np.argsort(-turn)
    count = len(turn)
    blocked = np.zeros(count, dtype=bool)
    for k in order:
        if turn[k] < sharp:
            break
        if not blocked[k]:
            left.append(int(k))
            blocked[np.arange(k - apart, k + apart + 1) % count] = True
    return sorted(left)


def _within(ring: Floats, k: int, reach: int, off: int) -> float:
    """How much of the turn lies between the two gaps: straight lines there would turn by all of it, a bend by less."""
    count = len(ring)
    near = max(2, reach // 3)
    one = ring[(k - off) % count] - ring[(k - off - near) % count]
    two = ring[(k + off + near) % count] - ring[(k + off) % count]
    return float(np.arctan2(one[0] * two[1] - one[1] * two[0], one @ two))


def _meeting(ring: Floats, k: int, reach: int, off: int) -> Point:
    """Where the two sides, run on with their bend, meet; the point itself where they do not."""
    count = len(ring)
    here = ring[k]
    back = ring[(k - off - np.arange(reach + 1)) % count] - here
    forth = ring[(k + off + np.arange(reach + 1)) % count] - here
    one, two = _run_on(back), _run_on(forth)
    (ax, ay), (bx, by) = one[1], two[1]
    cross = ax * by - ay * bx
    if abs(cross) < 0.1:
        return Point(float(here[0]), float(here[1]))
    gap = two[0] - one[0]
    s = (gap[0] * by - gap[1] * bx) / cross
    found = one[0] + s * one[1]
    if float(np.hypot(*found)) > 4 * GAP + 2:
        found = np.zeros(2)
    return Point(float(here[0] + found[0]), float(here[1] + found[1]))


def _run_on(points: Floats) -> tuple[Floats, Floats]:
    """The point of a side nearest to the corner and its direction there, by a parabola through the side."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    design = np.column_stack([np.ones_like(along), along, along**2])
    (start, slope, _), *_ = np.linalg.lstsq(design, points, rcond=None)
    unit = slope / max(float(np.hypot(*slope)), 1e-12)
    return start, unit
