"""Closures done up: which of their edges come together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from firsthand.pattern.model import Closure, ClosureKind, EdgeRef, Garment, Seam

__all__ = ["closure_seams"]

DRAWN_UP = frozenset({ClosureKind.DRAWSTRING, ClosureKind.ELASTIC})
"""Closures that draw an opening up and join no two edges."""

Loop = Sequence[EdgeRef]


def closure_seams(garment: Garment, loops: Iterable[Loop]) -> tuple[Seam, ...]:
    """For each closure that joins edges the seam that it amounts to when it is done up.

    The edges of a closure lie in two runs along the holes, which come together head to tail, or in one run, which is folded
    in its middle (a slit). A closure of one edge, or one whose edges lie otherwise, joins nothing.

    Parameters
    ----------
    garment
        The garment.
    loops
        The holes that it has with all closures open.
    """
    kept = [tuple(loop) for loop in loops]
    seams = (_seam(closure, kept) for closure in garment.closures if closure.kind not in DRAWN_UP and closure.edges)
    return tuple(seam for seam in seams if seam is not None)


def _seam(closure: Closure, loops: Iterable[Loop]) -> Seam | None:
    edges = frozenset(closure.edges)
    runs = [run for loop in loops for run in _runs(loop, edges)]
    if sum(len(run) for run in runs) != len(edges):
        return None
    if len(runs) == 1 and len(runs[0]) % 2 == 0:
        half = len(runs[0]) // 2
        runs = [runs[0][:half], runs[0][half:]]
    if len(runs) != 2:
        return None
    return Seam(f"closure {closure.id}", tuple(runs[0]), tuple(reversed(runs[1])))


def _runs(loop: Loop, edges: frozenset[EdgeRef]) -> list[list[EdgeRef]]:
    """The stretches of a loop whose edges all belong to the closure, round the whole of it."""
    if all(ref in edges for ref in loop):
        return [list(loop)]
    begin = next(k for k, ref in enumerate(loop) if ref not in edges)
    runs: list[list[EdgeRef]] = [[]]
    for ref in (*loop[begin:], *loop[:begin]):
        if ref in edges:
            runs[-1].append(ref)
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if run]
