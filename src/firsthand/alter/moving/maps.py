"""Maps of positions along one edge: runs of old arc length that lie on runs of new arc length, linear between the ends."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping

from firsthand.alter.model import Stretch

__all__ = ["Run", "Runs", "chained", "clipped", "place", "stretches"]

Run = tuple[float, float, float, float]
"""Old start and end, new start and end, mm of arc."""
Runs = tuple[Run, ...]
"""Rising runs; what lies between two of them was cut away."""

TOUCH = 1e-9
"""Positions this close to the end of a run are on it, mm."""


def place(runs: Iterable[Run] | None, at: float) -> float | None:
    """Where a position is now; itself where there is no map, None where it was cut away.

    Examples
    --------
    >>> place([(10.0, 30.0, 0.0, 40.0)], 20.0), place([(10.0, 30.0, 0.0, 40.0)], 5.0), place(None, 5.0)
    (20.0, None, 5.0)
    """
    if runs is None:
        return at
    for o1, o2, n1, n2 in runs:
        if o1 - TOUCH <= at <= o2 + TOUCH:
            share = (at - o1) / (o2 - o1) if o2 > o1 else 0.0
            return n1 + min(max(share, 0.0), 1.0) * (n2 - n1)
    return None


def clipped(runs: Iterable[Run], start: float, end: float, *, hold: bool) -> Runs:
    """Runs as counted from a new start, cut off where the new edge begins and ends.

    Parameters
    ----------
    hold
        Whether what falls off an end is held there (the edge itself moved) instead of cut away (the edge was trimmed).

    Examples
    --------
    >>> clipped([(0.0, 10.0, 5.0, 15.0)], 8.0, 15.0, hold=False)
    ((3.0, 10.0, 0.0, 7.0),)
    >>> clipped([(0.0, 10.0, 5.0, 15.0)], 8.0, 15.0, hold=True)
    ((0.0, 3.0, 0.0, 0.0), (3.0, 10.0, 0.0, 7.0))
    """
    kept: list[Run] = []
    for o1, o2, n1, n2 in runs:
        shares = [0.0, *sorted((cut - n1) / (n2 - n1) for cut in (start, end) if n1 < cut < n2), 1.0]
        for one, two in itertools.pairwise(shares):
            first, last = n1 + one * (n2 - n1), n1 + two * (n2 - n1)
            if hold or start - TOUCH <= (first + last) / 2 <= end + TOUCH:
                held = [min(max(n, start), end) - start for n in (first, last)]
                kept.append((o1 + one * (o2 - o1), o1 + two * (o2 - o1), held[0], held[1]))
    return tuple(kept)


def stretches(piece: str, maps: Mapping[str, Runs]) -> dict[str, tuple[Stretch, ...]]:
    """The maps of one piece in the form of a record."""
    return {f"{piece}.{edge}": tuple(Stretch(piece, edge, *run) for run in runs) for edge, runs in maps.items()}


def chained(first: Iterable[Run], second: Iterable[Run]) -> Runs:
    """Runs of two changes of an edge as one; a stretch that either cut away is cut away.

    Examples
    --------
    >>> chained([(0.0, 10.0, 0.0, 20.0)], [(5.0, 20.0, 0.0, 15.0)])
    ((2.5, 10.0, 0.0, 15.0),)
    >>> chained([(0.0, 5.0, 0.0, 0.0), (5.0, 9.0, 0.0, 4.0)], [(0.0, 4.0, 1.0, 5.0)])
    ((0.0, 5.0, 1.0, 1.0), (5.0, 9.0, 1.0, 5.0))
    """
    then = tuple(second)
    return tuple(run for one in first for run in _through(one, then))


def _through(run: Run, then: Runs) -> list[Run]:
    o1, o2, n1, n2 = run
    if n2 - n1 <= TOUCH:
        there = place(then, n1)
        return [] if there is None else [(o1, o2, there, there)]
    back = (o2 - o1) / (n2 - n1)
    made: list[Run] = []
    for s1, s2, t1, t2 in then:
        lo, hi = max(n1, s1), min(n2, s2)
        if hi - lo > TOUCH:
            on = (t2 - t1) / (s2 - s1)
            made.append((o1 + (lo - n1) * back, o1 + (hi - n1) * back, t1 + (lo - s1) * on, t1 + (hi - s1) * on))
    return made
