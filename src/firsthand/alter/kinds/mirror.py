"""Turn a piece over, and open out one on the fold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import rebuilt
from firsthand.alter.kinds.split_hands import apart
from firsthand.alter.model import ALTERATIONS, Altered, Entry, Stretch
from firsthand.alter.naming.hands import opened_out, turned
from firsthand.alter.naming.records import runs_of
from firsthand.alter.naming.refs import settled
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, How

__all__ = ["Mirror", "Unfold"]


@ALTERATIONS.register("mirror")
@dataclass(frozen=True, slots=True, kw_only=True)
class Mirror(Entry):
    """Turn pieces over, as they are drawn, so that they are drawn for the other hand.

    The outline and all bought sizes are mirrored from left to right; ids stay, edges run the other way, and every corner keeps
    its meaning. Parts that belong to a hand, and those on the fold, stay as they are worn. A single part that belongs to
    neither hand comes out turned over: for a piece that was taken in face down.

    Parameters
    ----------
    pieces
        Ids of the pieces.
    """

    kind: ClassVar[str] = "mirror"

    pieces: tuple[str, ...]

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        if not self.pieces:
            raise CannotAlter("no piece is named", "Name the pieces with pieces = [...].")
        after = garment
        edges: dict[str, tuple[Stretch, ...]] = {}
        for name in dict.fromkeys(self.pieces):
            piece = garment.piece(name)
            after = after.with_piece(turned(piece))
            if piece.shape is not None:
                edges |= runs_of(name, piece.shape, {edge.id: (name, edge.id, True) for edge in piece.shape.edges})
        words = f"Turned over: {', '.join(dict.fromkeys(self.pieces))}"
        return rebuilt(garment, settled(garment, after), self, words, {}, edges, {}, self.pieces)


@ALTERATIONS.register("unfold")
@dataclass(frozen=True, slots=True, kw_only=True)
class Unfold(Entry):
    """Open out a piece on the fold to a whole one, cut single.

    The mirror image of the edge ``side`` is called ``side mirrored``, and so are those of notches, darts, pleats and lines.
    The fold edge is gone. Everything that names the piece follows.

    Parameters
    ----------
    piece
        Id of the piece.
    """

    kind: ClassVar[str] = "unfold"

    piece: str

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        piece = garment.piece(self.piece)
        if all(cut.how is not How.FOLD for cut in piece.cuts):
            raise CannotAlter(f"{self.piece} is not cut on the fold", "Name a piece that is.")
        after, sides = opened_out(garment, piece)
        edges, ids = apart(piece, sides)
        return rebuilt(garment, after, self, f"Opened out: {self.piece}", {}, edges, ids, (self.piece,))
