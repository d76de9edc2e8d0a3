"""What alterations that move edges by name have in common: reading the names, moving what lies under, telling what stays."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from functools import partial

from firsthand.alter._making import as_much_as_goes, finished, reshaped
from firsthand.alter.model import Alteration, Altered
from firsthand.alter.moving.follow import Moves, followers, partners_left
from firsthand.alter.moving.profile import constant, merged
from firsthand.alter.moving.reshape import Reshaped, moved_by
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, Profile

__all__ = ["EdgeName", "edge_names", "evenly", "moved_edges"]

EdgeName = tuple[str, str]
"""A piece and its edge."""


def edge_names(garment: Garment, words: Iterable[str]) -> tuple[EdgeName, ...]:
    """Edges written as ``PIECE.EDGE``.

    Raises
    ------
    NotThere
        If there is no such piece or edge, or the piece is only a card.
    CannotAlter
        If it is written otherwise, or the edge lies on the fold.
    """
    names: dict[EdgeName, None] = {}
    for word in words:
        piece, dot, edge = (part.strip() for part in word.partition("."))
        if not (piece and dot and edge):
            raise CannotAlter(f"{word!r} is no edge of a piece", "Write it as PIECE.EDGE, for example front.neck.")
        garment.piece(piece).drawn_shape.edge(edge)
        if garment.piece(piece).fold == edge:
            raise CannotAlter(f"{piece}.{edge} lies on the fold and cannot be moved", "Name other edges.")
        names[piece, edge] = None
    return tuple(names)


def evenly(names: Iterable[EdgeName], inwards: float) -> Moves:
    """All these edges by the same amount, mm."""
    moves: dict[str, dict[str, Profile]] = {}
    for piece, edge in names:
        moves.setdefault(piece, {})[edge] = constant(inwards)
    return moves


def moved_edges(
    garment: Garment,
    alteration: Alteration,
    words: str,
    amount: float,
    moves: Callable[[float], Moves],
    *,
    verb: str,
    figures: Mapping[str, float],
    with_partners: bool,
) -> Altered:
    """The garment with edges moved, and what lies under them moved along if wanted.

    Parameters
    ----------
    amount
        The amount wanted, mm: what is tried less of if it is too much.
    moves
        How far each edge moves inwards, for an amount.
    verb, figures, words
        For the refusal, and for the record.
    with_partners
        Whether edges that lie under the moved ones, and have their line, move along.

    Raises
    ------
    CannotAlter
        If it is too much, with the most that goes.
    """

    def all_moves(by: float) -> Moves:
        own = moves(by)
        return _joined(own, followers(garment, own)) if with_partners else own

    def attempt(by: float) -> tuple[Moves, dict[str, Reshaped]]:
        told = all_moves(by)
        return told, reshaped(garment, {piece: partial(moved_by, profiles=edges) for piece, edges in told.items()})

    told, changed = as_much_as_goes(attempt, amount, verb)
    extra = {f"edge {piece}.{edge}": _largest(one) for piece, edges in told.items() for edge, one in edges.items()}
    altered = finished(garment, alteration, words, {**figures, **extra}, changed)
    left = partners_left(garment, told, alteration.id or alteration.kind) if changed else ()
    return replace(altered, findings=(*altered.findings, *left))


def _joined(own: Moves, more: Moves) -> Moves:
    """Both, the first where both tell of an edge."""
    return {piece: {**more.get(piece, {}), **own.get(piece, {})} for piece in (*own, *(p for p in more if p not in own))}


def _largest(one: Profile) -> float:
    """What is furthest from nothing, mm; outwards is positive."""
    return -max((amount for _, amount in one.stations), key=abs) if merged([one]) else 0.0
