"""The ends of seams: which corners come together there, and whether the edges beside them run on smoothly."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from firsthand.errors import NotThere
from firsthand.pattern import EdgeRef, Garment, Seam, SeamKind, chain_senses, single_seams

__all__ = ["MEANT", "SLIGHT", "End", "Meeting", "meetings"]

MEANT = math.radians(30.0)
"""Edges that meet at a seam with more of a corner than this are meant to. Source: our own choice."""
SLIGHT = math.radians(0.05)
"""A corner less than this is none."""

End = tuple[str, str, bool]
"""A piece, an edge, and whether its start is meant (else its end)."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """One end of a seam: the corners of both pieces that come together there.

    Parameters
    ----------
    seam
        Its name.
    one, two
        The seam's edges at that end.
    beside_one, beside_two
        The edges that run on from there, and from which of their ends.
    gap
        By how much the two corners together lack half a turn, radians: 0 where one edge runs on smoothly into the other.
    one_line
        Whether the two edges beside it make one line: both free, or both sewn to the same. Where four pieces meet, as a
        sleeve's seam and a side seam at the armhole, the edges beside the later seam are those of two other seams.
    """

    seam: str
    one: End
    two: End
    beside_one: End
    beside_two: End
    gap: float
    one_line: bool


def meetings(garment: Garment, seams: Iterable[str] = ()) -> tuple[Meeting, ...]:
    """Both ends of every plain seam between two drawn pieces; a right and a left seam alike are one.

    Parameters
    ----------
    seams
        Names of the only seams to look at; empty means all.

    Raises
    ------
    NotThere
        If a named seam is not there.
    """
    known = {name: seam for name, seam in single_seams(garment) if seam.kind is SeamKind.PLAIN}
    for name in seams:
        if name not in known and not any(seam.id == name for seam in known.values()):
            raise NotThere("plain seam", name, known)
    named, sides = set(seams), _sides(garment)
    return tuple(
        meeting
        for name, seam in known.items()
        if not named or {name, seam.id} & named
        for meeting in _ends(garment, name, seam, sides)
    )


Sides = dict[tuple[str, str], set[tuple[str, int]]]
"""The sides of seams on which an edge of a piece lies."""


def _sides(garment: Garment) -> Sides:
    sides: Sides = {}
    for seam in garment.seams:
        for side, refs in enumerate((seam.a, seam.b)):
            for ref in refs:
                sides.setdefault((ref.piece, ref.edge), set()).add((seam.id, side))
    return sides


def _ends(garment: Garment, name: str, seam: Seam, sides: Sides) -> Iterator[Meeting]:
    if any(garment.piece(ref.piece).shape is None for ref in (*seam.a, *seam.b)):
        return
    ways = chain_senses(garment, seam)
    a, b = ([_walked(garment, ref, way) for ref in refs] for refs, way in zip((seam.a, seam.b), ways, strict=True))
    for one, two in (((*a[0][:2], a[0][2]), (*b[0][:2], b[0][2])), ((*a[-1][:2], not a[-1][2]), (*b[-1][:2], not b[-1][2]))):
        beside_one, angle_one = _beside(garment, one)
        beside_two, angle_two = _beside(garment, two)
        on = [sides.get(beside[:2], set()) for beside in (beside_one, beside_two)]
        one_line = not any(on) or bool(on[0] & on[1])
        yield Meeting(name, one, two, beside_one, beside_two, math.pi - angle_one - angle_two, one_line)


def _walked(garment: Garment, ref: EdgeRef, way: int) -> End:
    """An edge as drawn, and whether the walk begins at its start; a mirrored part is walked the other way round."""
    image = ref.hand is garment.piece(ref.piece).drawn.other and ref.hand is not garment.piece(ref.piece).drawn
    return ref.piece, ref.edge, (way > 0) != image


def _beside(garment: Garment, end: End) -> tuple[End, float]:
    """The neighbour at an end of an edge, and the angle inside the piece between them."""
    piece, name, at_start = end
    edges = garment.piece(piece).drawn_shape.edges
    k = next(k for k, edge in enumerate(edges) if edge.id == name)
    before, after = (edges[k - 1], edges[k]) if at_start else (edges[k], edges[(k + 1) % len(edges)])
    into, out = before.path.end_tangent, after.path.start_tangent
    angle = math.pi - into.angle_to(out)
    return (piece, before.id if at_start else after.id, not at_start), angle
