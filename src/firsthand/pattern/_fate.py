"""What becomes of an edge."""

from __future__ import annotations

from dataclasses import replace

from firsthand.errors import NotThere
from firsthand.pattern._parts import find_part
from firsthand.pattern.model import EdgeRef, Fate, FateKind, Garment, How

__all__ = ["edge_fate", "sewn_refs"]


def sewn_refs(garment: Garment) -> frozenset[EdgeRef]:
    """Every edge that a seam names."""
    return frozenset(ref for seam in garment.seams for ref in (*seam.a, *seam.b))


def edge_fate(garment: Garment, ref: EdgeRef) -> Fate | None:
    """What becomes of an edge of a part.

    Parameters
    ----------
    garment, ref
        An edge and the garment it belongs to.

    Returns
    -------
    Fate or None
        ``SEAM`` if a seam names it; ``FOLD`` for the fold edge of a part cut on the fold; else the fate written on the
        edge. An edge of another role (a lining, say) for which nothing is written shares the fate that it has in shell.
        None if nothing says what becomes of it.

    Raises
    ------
    NotThere
        If there is no such piece, part or edge.
    """
    piece = garment.piece(ref.piece)
    edge = piece.drawn_shape.edge(ref.edge)
    part = find_part(garment, ref)
    if ref.edge == piece.fold and any(cut.role == ref.role and cut.how is How.FOLD for cut in piece.cuts):
        return Fate(FateKind.FOLD)
    if part is None:
        raise NotThere("part", str(ref), (part.id for part in garment.parts_of(ref.piece)))
    sewn = sewn_refs(garment)
    if ref in sewn:
        return Fate(FateKind.SEAM)
    if edge.fate is not None:
        return edge.fate
    in_shell = {replace(ref, role="shell", copy=copy) for copy in (ref.copy, 1)}
    return Fate(FateKind.SEAM) if ref.role != "shell" and in_shell & sewn else None
