"""What an altered edge must allow: its allowance drawn beside it, and no two darts in the same cloth."""

from __future__ import annotations

import itertools
import math
from functools import lru_cache

from firsthand.alter.moving.moved import tightest_hollow
from firsthand.alter.moving.reshape import Crosses
from firsthand.errors import GeometryError
from firsthand.geometry import Path, Segment
from firsthand.pattern import Dart, Edge, FateKind, Pleat, Shape, cutting_line

__all__ = ["refuse_unsound"]

BENT = math.radians(1)
"""A corner inside an edge of more than this may leave no room for its allowance, if what runs on beside it is short."""
SHORT = 2.0
"""What runs on beside a corner is short below so many times what its allowance takes off it."""
TIGHTER = 1e-3
"""A hollow that was as tight before, to this share, leaves as much room as it did."""
NARROW = 5.0
"""Nor may so little cloth between two darts or pleats, mm."""
OVER = 1e-3
"""Mouths that overlap by less, mm, lie side by side."""


def refuse_unsound(before: Shape, after: Shape) -> None:
    """Refuse a shape beside one of whose edges its allowance cannot be drawn any more, or two of whose darts overlap.

    Only edges that changed and look as if it might are tried, for a cutting line takes its time.

    Raises
    ------
    Crosses
        Naming the edge.
    """
    old = {edge.id: edge for edge in before.edges}
    doubtful = []
    for edge in after.edges:
        was = old.get(edge.id)
        if was is not None and was.path is edge.path and _mouths(before, edge.id) == _mouths(after, edge.id):
            continue
        over = _overlapping(after, edge.id)
        if over and not (was and _overlapping(before, edge.id)):
            raise Crosses(f"{over[0]} and {over[1]} would overlap on {edge.id}")
        doubtful += [edge.id] if _is_doubtful(after, edge, was) else []
    if doubtful and not _is_drawn(after) and _is_drawn(before):
        raise Crosses(f"the allowance of {' or '.join(doubtful)} could not be drawn any more")


def _is_drawn(shape: Shape) -> bool:
    try:
        cutting_line(shape)
    except GeometryError:
        return False
    return True


def _is_doubtful(shape: Shape, edge: Edge, was: Edge | None) -> bool:
    if edge.margin <= 0 or (edge.fate is not None and edge.fate.kind is FateKind.FOLD):
        return False
    marks = [0.0, *(end for lo, hi, _ in _mouths(shape, edge.id) for end in (lo, hi)), edge.path.length]
    if len(marks) > 2 and min(hi - lo for lo, hi in zip(marks[::2], marks[1::2], strict=True)) < NARROW:
        return True
    hollow = _hollow(edge.path)
    if hollow <= edge.margin and (was is None or hollow < _hollow(was.path) * (1 - TIGHTER) or edge.margin > was.margin):
        return True
    return any(_is_cramped(*pair, edge.margin) for pair in itertools.pairwise(edge.path))


@lru_cache(maxsize=1024)
def _hollow(path: Path) -> float:
    return tightest_hollow(path)


def _is_cramped(one: Segment, two: Segment, margin: float) -> bool:
    """Whether two stretches make a corner beside which one of them is too short for the allowance to turn it."""
    before, after = one.tangent(1.0), two.tangent(0.0)
    turn = abs(before.angle_to(after))
    return turn > BENT and min(one.length, two.length) < SHORT * margin * math.tan(turn / 2)


def _mouths(shape: Shape, edge: str) -> list[tuple[float, float, str]]:
    """From and to of the darts and pleats on an edge, in order."""
    marks: tuple[Dart | Pleat, ...] = (*shape.darts, *shape.pleats)
    return sorted((*mark.mouth, mark.id) for mark in marks if mark.edge == edge)


def _overlapping(shape: Shape, edge: str) -> tuple[str, str] | None:
    darts = {dart.id for dart in shape.darts}
    mouths = [mouth for mouth in _mouths(shape, edge) if mouth[2] in darts]
    return next(((one[2], two[2]) for one, two in itertools.pairwise(mouths) if one[1] - two[0] > OVER), None)
