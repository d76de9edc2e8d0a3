"""From one piece cut of several materials to a piece for one of them, so that the layers can differ."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from firsthand.alter.naming.hands import free_name
from firsthand.errors import CannotAlter
from firsthand.pattern import EdgeRef, Garment

__all__ = ["layer_apart"]


def layer_apart(garment: Garment, piece: str, role: str, word: str) -> tuple[Garment, str]:
    """The garment with a piece of its own for one role, and that piece's id.

    Parameters
    ----------
    garment, piece
        A garment and the id of one of its pieces.
    role
        What the layer is cut of. A piece that is cut of nothing else is given back as it is.
    word
        What is put behind the id and the name, as ``outer``.

    Raises
    ------
    NotThere
        If there is no such piece.
    CannotAlter
        If nothing of that role is cut of it.
    """
    found = garment.piece(piece)
    own = tuple(cut for cut in found.cuts if cut.role == role)
    if not own:
        words = f"no {role} is cut of {piece}"
        raise CannotAlter(words, f"Name one of: {', '.join(sorted({cut.role for cut in found.cuts}))}.")
    if len(own) == len(found.cuts):
        return garment, piece
    name = free_name(garment, f"{piece} {word}")
    layer = replace(found, id=name, name=f"{found.name} ({word})", cuts=own)
    rest = replace(found, cuts=tuple(cut for cut in found.cuts if cut.role != role))

    def follow(refs: Iterable[EdgeRef]) -> tuple[EdgeRef, ...]:
        return tuple(replace(ref, piece=name) if (ref.piece, ref.role) == (piece, role) else ref for ref in refs)

    return (
        replace(
            garment,
            pieces={**garment.pieces, piece: rest, name: layer},
            parts=tuple(
                replace(part, piece=name) if (part.piece, part.role) == (piece, role) else part for part in garment.parts
            ),
            seams=tuple(replace(seam, a=follow(seam.a), b=follow(seam.b)) for seam in garment.seams),
            openings=tuple(replace(opening, edges=follow(opening.edges)) for opening in garment.openings),
            closures=tuple(replace(closure, edges=follow(closure.edges)) for closure in garment.closures),
            applied=tuple(
                replace(item, onto=name) if (item.onto, item.role) == (piece, role) else item for item in garment.applied
            ),
        ),
        name,
    )
