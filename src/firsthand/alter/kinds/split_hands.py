"""Pieces of their own for the right and the left hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import rebuilt
from firsthand.alter.model import ALTERATIONS, Altered, Entry, Stretch
from firsthand.alter.naming.hands import Sides, hands_apart
from firsthand.alter.naming.records import mark_ids, moved_ids
from firsthand.errors import CannotAlter
from firsthand.pattern import MIRRORED, Garment, Hand, How, Piece, Shape, opened

__all__ = ["SplitHands", "apart"]


@ALTERATIONS.register("split-hands")
@dataclass(frozen=True, slots=True, kw_only=True)
class SplitHands(Entry):
    """Make a piece of its own for each hand, so that one of them can be altered alone.

    A pair ``front`` becomes the pieces ``front right`` and ``front left``, each cut single and drawn as it is worn. A piece on
    the fold is opened out and stays one piece, whose other half has its ids with ``mirrored`` behind them. Everything that
    names them follows; nothing changes its size.

    Parameters
    ----------
    pieces
        Ids of the pieces.
    """

    kind: ClassVar[str] = "split-hands"

    pieces: tuple[str, ...]

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        if not self.pieces:
            raise CannotAlter("no piece is named", "Name the pieces with pieces = [...].")
        after = garment
        edges: dict[str, tuple[Stretch, ...]] = {}
        ids: dict[str, tuple[str, ...]] = {}
        changed: list[str] = []
        for name in dict.fromkeys(self.pieces):
            piece = garment.piece(name)
            if all(cut.how is How.SINGLE for cut in piece.cuts):
                raise CannotAlter(f"{name} is cut single already", "Alter it as it is.")
            after, sides = hands_apart(after, name)
            maps = apart(piece, sides)
            edges, ids = edges | maps[0], ids | maps[1]
            changed += dict.fromkeys(there for there, _ in sides.values())
        words = f"A piece for each hand: {', '.join(changed)}"
        return rebuilt(garment, after, self, words, {}, edges, ids, changed)


def apart(piece: Piece, sides: Sides) -> tuple[dict[str, tuple[Stretch, ...]], dict[str, tuple[str, ...]]]:
    """The maps of edges and ids for a record of :func:`hands_apart`; the hand for which the piece was drawn comes first.

    Parameters
    ----------
    piece
        As it was.
    sides
        What :func:`hands_apart` gave.
    """
    shape = piece.shape
    if shape is None:
        return {}, _piece_ids(piece, sides)
    hands = [hand for hand in (piece.drawn, piece.drawn.other) if hand in sides]
    edges = {
        f"{piece.id}.{edge.id}": tuple(
            _stretch(sides[hand], edge.id, edge.path.length, back=hand is not piece.drawn)
            for hand in hands
            if edge.id in sides[hand][1]
        )
        for edge in shape.edges
    }
    news = [(sides[hand][0], _same_ids(shape, piece, hand, sides[hand])) for hand in hands]
    return edges, moved_ids(piece.id, shape, news) | _piece_ids(piece, sides)


def _stretch(side: tuple[str, dict[str, str]], edge: str, length: float, *, back: bool) -> Stretch:
    piece, names = side
    return Stretch(piece, names[edge], 0.0, length, length if back else 0.0, 0.0 if back else length)


def _same_ids(shape: Shape, piece: Piece, hand: Hand, side: tuple[str, dict[str, str]]) -> Mapping[str, str]:
    """Old ids to new ones on the piece of a hand; what lies on an edge that is gone is gone.

    Of a piece opened out corners and lines on the fold have no mirror image: they are the same on both hands.
    """
    if side[0] != piece.id:
        return {name: name for name in mark_ids(shape)}
    there = set(mark_ids(opened(replace(piece, sizes={})).drawn_shape))
    tail = MIRRORED if hand is not piece.drawn else ""
    return {name: name + tail if name + tail in there else name for name in mark_ids(shape) if name in there}


def _piece_ids(piece: Piece, sides: Sides) -> dict[str, tuple[str, ...]]:
    news = tuple(dict.fromkeys(there for there, _ in sides.values()))
    return {piece.id: news} if news != (piece.id,) else {}
