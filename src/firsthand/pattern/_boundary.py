"""Going round the holes of a glued surface."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

__all__ = ["boundary_loops"]

Side = tuple[str, str, int]


class _Glue(Protocol):
    """What is needed of a glued pair of sides."""

    @property
    def one(self) -> Side:
        """The first side."""

    @property
    def two(self) -> Side:
        """The second side."""

    @property
    def head_to_tail(self) -> bool:
        """Whether they run past each other."""


def boundary_loops(rings: Sequence[Sequence[Side]], glues: Sequence[_Glue]) -> list[tuple[Side, ...]]:
    """The loops of free sides of discs glued along their sides.

    Parameters
    ----------
    rings
        The sides of each disc, counter-clockwise.
    glues
        Which sides are glued; a side at most once.

    Returns
    -------
    list of tuple
        Each loop begins with its side that comes first in ``rings``.
    """
    after = {side: ring[(k + 1) % len(ring)] for ring in rings for k, side in enumerate(ring)}
    before = {following: side for side, following in after.items()}
    partner = {g.one: (g.two, g.head_to_tail) for g in glues} | {g.two: (g.one, g.head_to_tail) for g in glues}

    def following(side: Side, way: int) -> tuple[Side, int]:
        """The free side next along the hole, and which way it is gone along: turn round the corner from part to part."""
        here = after[side] if way > 0 else before[side]
        while here in partner:
            over, head_to_tail = partner[here]
            over_way = -way if head_to_tail else way
            here = before[over] if over_way > 0 else after[over]
            way = -over_way
        return here, way

    seen: set[Side] = set()
    loops = []
    for ring in rings:
        for first in ring:
            if first in partner or first in seen:
                continue
            loop = [first]
            side, way = following(first, 1)
            while side != first:
                loop.append(side)
                side, way = following(side, way)
            seen.update(loop)
            loops.append(tuple(loop))
    return loops
