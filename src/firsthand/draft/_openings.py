"""What becomes of a garment's openings when a drafted piece is sewn to their edges."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from firsthand.pattern import EdgeRef, Garment, Hand, How, Opening, Piece, Seam, assemble

__all__ = ["openings_with"]


def openings_with(garment: Garment, piece: Piece, seams: Iterable[Seam]) -> tuple[Opening, ...]:
    """The openings of a garment to which a drafted piece has been sewn.

    Where an edge of an opening is now sewn to the piece, the piece's own free edges on the same hole take its place: the
    opening at a skirt's waist runs on round the waistband. An opening of which nothing is left falls away.

    Parameters
    ----------
    garment
        The garment with the piece and its seams.
    piece, seams
        The drafted piece, and the seams that join it.
    """
    partners: dict[EdgeRef, list[EdgeRef]] = {}
    for seam in seams:
        for here, there in ((seam.a, seam.b), (seam.b, seam.a)):
            for ref in here:
                if ref.piece != piece.id:
                    partners.setdefault(ref, []).extend(other for other in there if other.piece == piece.id)
    if not any(ref in partners for opening in garment.openings for ref in opening.edges):
        return garment.openings
    loops = assemble(garment).loops
    moved = (_moved(opening, partners, loops, piece) for opening in garment.openings)
    return tuple(opening for opening in moved if opening.edges)


def _moved(
    opening: Opening, partners: dict[EdgeRef, list[EdgeRef]], loops: tuple[tuple[EdgeRef, ...], ...], piece: Piece
) -> Opening:
    sewn = [ref for ref in opening.edges if ref in partners]
    if not sewn:
        return opening
    kept = [ref for ref in opening.edges if ref not in partners]
    pairs = any(cut.how is How.PAIR for cut in piece.cuts)
    parts = {_part(other, pairs) for ref in sewn for other in partners[ref]}
    added = [
        ref
        for loop in loops
        if set(kept) & set(loop) or not kept
        for ref in loop
        if ref.piece == piece.id and _part(ref, pairs) in parts
    ]
    return replace(opening, edges=(*kept, *dict.fromkeys(added)))


def _part(ref: EdgeRef, pairs: bool) -> tuple[str, int, Hand]:
    """Which part of the drafted piece a reference is about; on a single one the hand says no more than which half."""
    return ref.role, ref.copy, ref.hand if pairs else Hand.CENTRE
