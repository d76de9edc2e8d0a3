"""From one piece for both hands to what can be altered on one hand only."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from firsthand.alter.naming.refs import Names, Target, Way, rerouted, settled
from firsthand.errors import CannotAlter
from firsthand.pattern import MIRRORED, Cut, Garment, Hand, How, Piece, Shape, flipped, opened

__all__ = ["Sides", "exchanged", "free_name", "hands_apart", "is_name", "opened_out", "turned"]

Sides = dict[Hand, tuple[str, dict[str, str]]]
"""For each hand the id of its piece, and for each edge id of the old piece the id there."""


def hands_apart(garment: Garment, piece: str) -> tuple[Garment, Sides]:
    """The garment with a piece of its own for each hand, so that one of them can be altered alone.

    Parameters
    ----------
    garment, piece
        A garment and the id of one of its pieces.

    Returns
    -------
    garment
        A *pair* ``front`` becomes the pieces ``front right`` and ``front left``, in its place among the pieces, each cut single
        (:attr:`How.SINGLE`), each drawn as its own hand is worn: the shape, and every bought size, of the one for which the
        pair was not drawn is turned over, with the same ids on it. Parts keep hand, role, copy and state, and references keep
        their hand: ``front.side left`` is now ``front left.side left``. What was cut single of the piece beside the pair stays
        with the hand for which it was drawn.

        A piece *on the fold* stays one piece of the same id, opened out (:func:`firsthand.pattern.opened`), cut single, its
        parts belonging to neither hand: ``front.side right`` is now ``front.side``, ``front.side left`` is now
        ``front.side mirrored`` (the other way round if it is drawn for the left). The fold edge is gone.

        A piece that is cut single only is given back with the garment as it is.
    sides
        For each hand the id of the piece to alter, and a map from each old edge id to the id there. For a fold piece both
        hands have the same piece and other edges, and the fold edge is in neither map. For a piece cut single there is one
        entry: that of the hand of its parts if they have one, else of ``CENTRE``.

    Raises
    ------
    NotThere
        If there is no such piece.
    CannotAlter
        If it is cut on the fold and otherwise as well, so that opening it out would change what is cut otherwise.
    GeometryError
        If its fold edge has no length.
    """
    found = garment.piece(piece)
    hows = {cut.how for cut in found.cuts}
    if How.FOLD in hows:
        return opened_out(garment, found)
    if How.PAIR in hows:
        return _pair_apart(garment, found)
    hands = {part.hand for part in garment.parts_of(piece)}
    return garment, {hands.pop() if len(hands) == 1 else Hand.CENTRE: (piece, _same_edges(found))}


def _same_edges(piece: Piece) -> dict[str, str]:
    shape = piece.shape or next(iter(piece.sizes.values()), None)
    return {edge.id: edge.id for edge in shape.edges} if shape is not None else {}


# on the fold -------------------------------------------------------------------------------------------------


def opened_out(garment: Garment, piece: Piece) -> tuple[Garment, Sides]:
    """A piece on the fold as a whole one; see :func:`hands_apart`."""
    if any(cut.how is not How.FOLD for cut in piece.cuts):
        words = f"{piece.id} is cut on the fold and otherwise as well"
        raise CannotAlter(words, "Make a piece of its own of what is not cut on the fold.")
    edges = {name: name for name in _same_edges(piece) if name != piece.fold}
    images = {name: name + MIRRORED for name in edges}
    one, two = piece.drawn, piece.drawn.other
    ways: dict[Way, tuple[Target, ...]] = {(piece.id, name, one): (Target(piece.id, name, Hand.CENTRE),) for name in edges}
    ways |= {(piece.id, name, two): (Target(piece.id, image, Hand.CENTRE),) for name, image in images.items()}
    cuts = tuple(
        replace(cut, how=How.SINGLE) for cut in piece.cuts
    )  # a card has no edge on the fold, and is single from now on
    whole = replace(opened(piece), cuts=cuts)
    after = settled(garment, rerouted(garment, ways).with_piece(whole))
    return after, {one: (piece.id, edges), two: (piece.id, images)}


# a pair ------------------------------------------------------------------------------------------------------


def _pair_apart(garment: Garment, piece: Piece) -> tuple[Garment, Sides]:
    drawn, other = piece.drawn, piece.drawn.other
    ids = {hand: free_name(garment, f"{piece.id} {hand.value}") for hand in (Hand.RIGHT, Hand.LEFT)}
    paired = {cut.role for cut in piece.cuts if cut.how is How.PAIR}
    pieces = {
        drawn: replace(_of_hand(piece, drawn, piece.cuts), id=ids[drawn]),
        other: replace(turned(_of_hand(piece, other, [c for c in piece.cuts if c.how is How.PAIR])), id=ids[other]),
    }
    edges = _same_edges(piece)
    ways: dict[Way, tuple[Target, ...]] = {
        (piece.id, name, hand): (Target(ids[hand], name),) for name in edges for hand in (Hand.RIGHT, Hand.LEFT)
    }
    ways |= {(piece.id, name, Hand.CENTRE): (Target(ids[drawn], name),) for name in edges}
    names = Names({piece.id: tuple((ids[hand], hand) for hand in (Hand.RIGHT, Hand.LEFT))})
    apart = rerouted(garment, ways, names)
    parts = tuple(
        replace(part, piece=ids[part.hand if part.hand in ids and part.role in paired else drawn])
        if part.piece == piece.id
        else part
        for part in garment.parts
    )
    both = {ids[hand]: pieces[hand] for hand in (Hand.RIGHT, Hand.LEFT)}
    sides = {hand: (ids[hand], dict(edges)) for hand in (Hand.RIGHT, Hand.LEFT)}
    after = replace(apart, pieces=exchanged(garment.pieces, piece.id, both), parts=parts)
    return settled(garment, after), sides


def _of_hand(piece: Piece, hand: Hand, cuts: Iterable[Cut]) -> Piece:
    return replace(piece, name=f"{piece.name} ({hand.value})", cuts=tuple(replace(cut, how=How.SINGLE) for cut in cuts))


# shared ------------------------------------------------------------------------------------------------------


def turned(piece: Piece) -> Piece:
    """A piece drawn for the other hand: its outline and all bought sizes turned over, all ids kept."""
    shape: Shape | None = None if piece.shape is None else flipped(piece.shape)
    sizes = {size: flipped(bought) for size, bought in piece.sizes.items()}
    return replace(piece, drawn=piece.drawn.other, shape=shape, sizes=sizes)


def exchanged(pieces: Mapping[str, Piece], old: str, new: Mapping[str, Piece]) -> dict[str, Piece]:
    """Pieces with one of them exchanged for others, in its place."""
    kept: dict[str, Piece] = {}
    for name, piece in pieces.items():
        kept |= new if name == old else {name: piece}
    return kept


def is_name(words: str) -> bool:
    """Whether a piece can be called so: one line without a point, which stands between a piece and its edge.

    Examples
    --------
    >>> is_name("front upper"), is_name("front.upper"), is_name(" ")
    (True, False, False)
    """
    return bool(words) and words == " ".join(words.split()) and "." not in words


def free_name(garment: Garment, wanted: str) -> str:
    """A name that no piece has, the one wanted or that with a number."""
    taken = set(garment.pieces)
    return next(name for name in (wanted, *(f"{wanted} {n}" for n in range(2, len(taken) + 3))) if name not in taken)
