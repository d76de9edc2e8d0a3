"""Putting imported outlines into a pattern of the workroom."""

from __future__ import annotations

from pathlib import Path

from firsthand.errors import BadInput, Problem
from firsthand.importers import Proposals, proposal_to_piece
from firsthand.workroom import add_pieces, load_workroom
from firsthand.workroom._words import NAME, SIZE
from firsthand.workroom.schema import is_id, is_size

__all__ = ["take_in_proposals"]


def take_in_proposals(folder: Path, pattern: str, proposals: Proposals, *, size: str = "") -> tuple[str, ...]:
    """Put every proposed outline into a pattern, as one save.

    Parameters
    ----------
    folder
        The workroom.
    pattern
        Id of the pattern; one that is not there is made.
    proposals
        What an importer proposes.
    size
        The size that the outlines belong to; the pattern's first, or ``one`` for a new pattern.

    Returns
    -------
    tuple of str
        Ids of the pieces.

    Raises
    ------
    BadInput
        If nothing can be called what the pattern or the size is called, nothing is proposed, the pattern never had that
        size, or it would have problems with the pieces in it.
    """
    if not is_id(pattern):
        raise BadInput([Problem("", "--into", repr(pattern), *NAME)])
    if size and not is_size(size):
        raise BadInput([Problem("", "--size", repr(size), *SIZE)])
    known = load_workroom(folder).patterns.get(pattern)
    sizes = known.sizes if known else (size or "one",)
    if size and size not in sizes:
        raise BadInput([Problem("", "--size", repr(size), f"one of {', '.join(sizes)}", "Write one of the pattern's sizes.")])
    if not proposals.proposals:
        raise BadInput([Problem("", "FILE", "no closed outline", "at least one", "Draw each piece as one closed line.")])
    taken = set(known.pieces) if known else set()
    pieces = []
    for proposal in proposals.proposals:
        name = _free(proposal.name, taken)
        taken.add(name)
        pieces.append(proposal_to_piece(proposal, id=name, number=str(len(taken)), name=proposal.name, size=size or sizes[0]))
    add_pieces(folder, pattern, pieces, words=f"{len(pieces)} outlines imported into {pattern}")
    return tuple(piece.id for piece in pieces)


def _free(name: str, taken: set[str]) -> str:
    plain = "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())[:60].strip("-") or "piece"
    number = 1
    while (found := plain if number == 1 else f"{plain}-{number}") in taken:
        number += 1
    return found
