"""Checks of pieces that are laid flat on others: what lies on what, and where."""

from __future__ import annotations

from collections.abc import Iterator

from firsthand.findings import Finding, Severity, kind
from firsthand.pattern._fate import sewn_refs
from firsthand.pattern.checks._registry import CHECKS
from firsthand.pattern.checks._words import listed
from firsthand.pattern.model import Applied, FateKind, Garment, Hand, Pattern, Piece

__all__: list[str] = []

NOWHERE = kind(
    "applied-nowhere",
    Severity.DOUBT,
    "A piece is to be laid flat on another one and sewn down, as a pocket or a badge, and what it lies on is not said or is "
    "not there: the piece, the part of that role or hand, or the line that shows where. Say what it lies on, or mend the name.",
)


@CHECKS.register("pieces laid on others")
def applied(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Pieces laid on others that are not there, and edges to be sewn flat on to nothing."""
    for item in garment.applied:
        for words, remedy in _missing(garment, item):
            yield NOWHERE(words, where=(garment.id, item.piece), remedy=remedy)
    laid = {item.piece for item in garment.applied}
    for piece in garment.pieces.values():
        edges = _flat(garment, piece)
        if edges and piece.id not in laid:
            words = f"{piece.name}: {listed(edges)} should be sewn flat on to something, and nothing says on to what"
            yield NOWHERE(words, where=(garment.id, piece.id, *edges), remedy="Say what the piece is laid on.")


def _flat(garment: Garment, piece: Piece) -> list[str]:
    """Edges of a piece that are to be sewn flat on and that no seam names."""
    sewn = {(ref.piece, ref.edge) for ref in sewn_refs(garment)}
    edges = piece.shape.edges if piece.shape is not None else ()
    return [edge.id for edge in edges if edge.fate and edge.fate.kind is FateKind.APPLIED and (piece.id, edge.id) not in sewn]


def _missing(garment: Garment, item: Applied) -> Iterator[tuple[str, str]]:
    """What is wrong with what is said of one piece, and what to do about it."""
    known = f"Name one of the pieces: {listed(garment.pieces)}."
    for name in (item.piece, item.onto):
        if name not in garment.pieces:
            yield f"{item.piece!r} is laid on {item.onto!r}, and there is no piece {name!r}", known
    piece, onto = garment.pieces.get(item.piece), garment.pieces.get(item.onto)
    if piece is None or onto is None:
        return
    if piece.id == onto.id:
        yield f"{piece.name} is laid on itself", "Name the piece beneath."
    lines = [line.id for line in onto.shape.lines] if onto.shape is not None else []
    if item.line and onto.shape is not None and item.line not in lines:
        there = f"Name one of its lines: {listed(lines)}." if lines else "Draw the line, or leave it out."
        yield f"{piece.name} is laid on the line {item.line!r}, which {onto.name.lower()} does not have", there
    hands = {part.hand for part in garment.parts_of(onto.id) if part.role == item.role}
    if not hands:
        yield f"{piece.name} is laid on {onto.name.lower()} cut of {item.role}, and none is", "Name a role that it is cut from."
    elif item.hand is not Hand.CENTRE and item.hand not in hands and hands != {Hand.CENTRE}:
        yield f"{piece.name} is laid on the {item.hand.value} {onto.name.lower()}, and none is cut", "Name the other hand."
    elif item.hand is Hand.CENTRE and len(hands) > 1 and {part.hand for part in garment.parts_of(piece.id)} == {Hand.CENTRE}:
        words = f"{piece.name} is single, and does not say on which of two it lies: {onto.name.lower()} right or left"
        yield words, "Write the hand, or cut it as a pair."
