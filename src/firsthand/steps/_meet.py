"""Where seams cross: which seams end on another one, and where.

A chain of edges is walked along its seam. Where one edge of it ends and the next begins, either the part runs on, or another
seam ends there: that seam is crossed. Where the last edge of a chain ends the first may begin again: then the seam is a
ring, and a seam that ends there closes it.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from firsthand.pattern import EdgeRef, Seam
from firsthand.steps._view import View

__all__ = ["Crossing", "crossings", "ends_at"]


@dataclass(frozen=True, slots=True)
class Crossing:
    """The seams that a seam runs across, and those that meet where its ends meet (or where that cannot be told)."""

    inside: tuple[Seam, ...]
    closing: tuple[Seam, ...]


def crossings(view: View, seam: Seam) -> Crossing:
    """Which seams end on a seam."""
    sense = max((1, -1), key=lambda way: _score(view, seam, way))
    inside: list[Seam] = []
    closing: list[Seam] = []
    for chain, way in ((seam.a, sense), (seam.b, -sense if seam.reverse_b else sense)):
        for one, two in itertools.pairwise(chain):
            found = _joint(view, one, two, way)
            if isinstance(found, Seam):
                inside.append(found)
            elif found is None:
                closing += [other for other in view.seams if ends_at(view, one, two, other)]
        last = _joint(view, chain[-1], chain[0], way) if chain else None
        closing += [last] if isinstance(last, Seam) else []
    return Crossing(_others(inside, seam), _others(closing, seam))


def ends_at(view: View, one: EdgeRef, two: EdgeRef, seam: Seam) -> bool:
    """Whether a seam ends where two edges meet: it joins an edge beside the one to an edge beside the other."""
    return any(_joins(seam, here, there) for here in view.beside(one) for there in view.beside(two))


def _score(view: View, seam: Seam, sense: int) -> tuple[int, int]:
    """How many neighbours in both chains meet when walked one way, and how many of them on one part."""
    ways = ((seam.a, sense), (seam.b, -sense if seam.reverse_b else sense))
    joints = [_joint(view, one, two, way) for chain, way in ways for one, two in itertools.pairwise(chain)]
    return sum(joint is not None for joint in joints), sum(joint is True for joint in joints)


def _joint(view: View, one: EdgeRef, two: EdgeRef, sense: int) -> Seam | bool | None:
    """The seam that ends where an edge's end meets another's beginning; True if one part runs on; None if they do not meet."""
    here, there = _beyond(view, one, sense), _beyond(view, two, -sense)
    if here is None or there is None:
        return None
    if here == two and there == one:
        return True
    return next((seam for seam in view.seams if _joins(seam, here, there)), None)


def _beyond(view: View, ref: EdgeRef, sense: int) -> EdgeRef | None:
    """The edge beyond the end of an edge that is walked counter-clockwise round the part as cut (1) or clockwise (-1)."""
    beside = view.beside(ref)
    if not beside:
        return None
    image = ref.hand is view.garment.pieces[ref.piece].drawn.other
    return beside[1 if (sense == 1) != image else 0]


def _joins(seam: Seam, one: EdgeRef, two: EdgeRef) -> bool:
    return one != two and ((one in seam.a and two in seam.b) or (one in seam.b and two in seam.a))


def _others(seams: list[Seam], seam: Seam) -> tuple[Seam, ...]:
    return tuple(other for other in _each(seams) if other is not seam)


def _each(seams: list[Seam]) -> Iterator[Seam]:
    seen: set[str] = set()
    for seam in seams:
        if seam.id not in seen:
            seen.add(seam.id)
            yield seam
