"""Lines spread evenly between an edge and the one opposite to it: what flares and fullness have in common."""

from __future__ import annotations

from collections.abc import Sequence

from firsthand.alter._spots import Spot, along
from firsthand.alter.cutting.slashed import Slash
from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import Garment, How, Piece, Shape

__all__ = ["copies_of", "even_lines", "opposite", "read_edges"]

BESIDE = 1.0
"""Lines keep this far from the mouths of darts and the cloth of pleats, mm."""
MOST_LINES = 40
"""More lines than this are a slip of the keyboard."""


def read_edges(garment: Garment, words: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Pieces and edges, from ``PIECE.EDGE``.

    Raises
    ------
    CannotAlter
        If none is named, or one cannot be read.
    NotThere
        If one is not there or its piece is only a card.
    """
    if not words:
        raise CannotAlter("no edge is named", 'Write for example edges = ["front.hem", "back.hem"].')
    found = []
    for word in dict.fromkeys(words):
        name, _, edge = word.rpartition(".")
        if not name:
            raise CannotAlter(f"{word!r} names no edge", "Write it as: PIECE.EDGE.")
        garment.piece(name).drawn_shape.edge(edge)
        found.append((name, edge))
    return tuple(found)


def copies_of(piece: Piece) -> int:
    """How often the outline of a piece as drawn goes into one layer of a garment: both hands, both halves of a fold.

    That layer is the one of the first role that it is cut of.
    """
    role = piece.cuts[0].role if piece.cuts else ""
    return sum(cut.count * (1 if cut.how is How.SINGLE else 2) for cut in piece.cuts if cut.role == role) or 1


def opposite(shape: Shape, edge: str, named: str = "") -> str:
    """The edge opposite to another one: the one named, or the only one that does not touch it.

    Raises
    ------
    NotThere
        If the named one is not there.
    CannotAlter
        If it is the same one, or none is named and there is not just one.
    """
    ids = [other.id for other in shape.edges]
    if named:
        if named not in ids:
            raise NotThere("edge", named, ids)
        if named == edge:
            raise CannotAlter(f"{edge} cannot be opposite to itself", "Name another edge.")
        return named
    k = ids.index(edge)
    beside = {ids[k - 1], edge, ids[(k + 1) % len(ids)]}
    left = [name for name in ids if name not in beside]
    if len(left) != 1:
        words = f"which edge is opposite to {edge} cannot be seen"
        raise CannotAlter(words, f"Name it: one of {', '.join(name for name in ids if name != edge)}.")
    return left[0]


def even_lines(shape: Shape, edge: str, to: str, *, count: int, places: Sequence[str] = ()) -> tuple[Slash, ...]:
    """Lines from an edge to the one opposite, evenly spaced or at places of the first one; beside darts and pleats.

    Each line runs from a share of the way along the one edge to the same share of the other, the two walked the same way.

    Raises
    ------
    CannotAlter
        If there are no lines, or more than can be meant, or a place is not on the edge.
    NotThere
        If a place names what is not there.
    """
    if not 1 <= count <= MOST_LINES:
        raise CannotAlter(f"{count} lines cannot be meant", f"Write a number from 1 to {MOST_LINES}.")
    length, far = shape.edge(edge).path.length, shape.edge(to).path.length
    starts = [along(shape, edge, place) for place in places] or [length * (k + 0.5) / count for k in range(count)]
    return tuple(
        Slash(Spot(edge, _beside(shape, edge, at)), Spot(to, _beside(shape, to, far * (1 - at / length))))
        for at in sorted(starts)
    )


def _beside(shape: Shape, edge: str, at: float) -> float:
    """A place moved out of the mouth of a dart or the cloth of a pleat, to the nearer end of it."""
    marks = [(d.edge, d.at, d.width) for d in shape.darts] + [(p.edge, p.at, p.take_up) for p in shape.pleats]
    length = shape.edge(edge).path.length
    for name, middle, width in marks:
        if name == edge and abs(at - middle) < width / 2 + BESIDE:
            low, high = middle - width / 2 - BESIDE, middle + width / 2 + BESIDE
            return low if (at < middle and low > 0) or high > length else high
    return at
