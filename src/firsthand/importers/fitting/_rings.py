"""Rings of points: evenly spaced along a closed line."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from firsthand.errors import GeometryError
from firsthand.geometry import Point

__all__ = ["Floats", "even_ring", "ring_of", "stretch"]

Floats = NDArray[np.float64]
MOST_POINTS = 400_000
"""More points than a photo's outline can have; a file with more is not looked at."""


def ring_of(points: Iterable[Point]) -> Floats:
    """Points as an array, without those that repeat the one before; counter-clockwise.

    Raises
    ------
    GeometryError
        If fewer than three are left, or far too many are given.
    """
    raw = np.array([(p.x, p.y) for p in points], dtype=np.float64).reshape(-1, 2)
    if len(raw) > MOST_POINTS:
        raise GeometryError(f"an outline of {len(raw)} points; at most {MOST_POINTS} are looked at")
    kept = raw[np.hypot(*(raw - np.roll(raw, 1, axis=0)).T) > 1e-9] if len(raw) > 1 else raw
    if len(kept) < 3:
        raise GeometryError("an outline needs at least three points apart from each other")
    x, y = kept.T
    area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2
    return kept if area > 0 else np.ascontiguousarray(kept[::-1])


def even_ring(ring: Floats, step: float) -> Floats:
    """The same closed line with points about a step apart."""
    closed = np.vstack([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    count = max(12, round(along[-1] / step))
    at = np.linspace(0.0, along[-1], count, endpoint=False)
    return np.column_stack([np.interp(at, along, closed[:, 0]), np.interp(at, along, closed[:, 1])])


def stretch(ring: Floats, first: int, last: int) -> Floats:
    """The points from one number to another, both included, over the ring's beginning if need be."""
    count = len(ring)
    return ring[np.arange(first, last + 1 if last >= first else last + count + 1) % count]
