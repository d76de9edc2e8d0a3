"""Checks of what becomes of edges, and of what levels run through."""

from __future__ import annotations

from collections.abc import Iterator

from firsthand.errors import FirsthandError, GeometryError
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.pattern._fate import edge_fate, sewn_refs
from firsthand.pattern._girth import girth, level_neighbours
from firsthand.pattern._parts import PartEdge, part_shape, ref_to
from firsthand.pattern.checks._registry import CHECKS
from firsthand.pattern.checks._words import listed
from firsthand.pattern.model import EdgeRef, FateKind, Garment, Part, Pattern

__all__: list[str] = []

NO_FATE = kind(
    "edge-without-fate",
    Severity.DOUBT,
    "Nothing says what becomes of an edge: no seam names it, and it is no hem, facing, band, casing, binding, fold or raw "
    "edge, nor sewn flat on to another part. That is how a waistband or a facing is forgotten. Say what becomes of it before "
    "it is cut.",
)
UNSEWN = kind(
    "edge-unsewn",
    Severity.DOUBT,
    "An edge is meant for a seam, and no seam names it. Add the seam, or say what else becomes of the edge.",
)
LEVEL_NOWHERE = kind(
    "level-nowhere",
    Severity.DOUBT,
    "A level is named, and no piece that lies outside carries its line: the finished girth there cannot be summed.",
)
LEVEL_GAP = kind(
    "level-gap",
    Severity.DOUBT,
    "A level runs from one piece across a seam into another that does not carry its line, so that the girth summed there is "
    "too small. Draw the level on that piece, or cut it in a role that lies beneath (facing, lining).",
)
LEVEL_CARD = kind(
    "level-card",
    Severity.NOTE,
    "A level runs through a piece that has no outline, so that the girth there is not known.",
)
LEVEL_ENDED = kind(
    "level-ended",
    Severity.NOTE,
    "A piece carries the line of a level and no longer reaches it, because it was shortened: there is no girth there to judge.",
)
LEVEL_OFF = kind(
    "level-off-piece",
    Severity.FAULT,
    "The line of a level does not cross the piece that carries it, not even as it was bought, so that the girth there is not "
    "known. Draw the line on the piece; look whether its numbers are in another unit.",
)


def _judged(garment: Garment, part: Part, sewn_parts: set[tuple[str, str]]) -> bool:
    return part.role == "shell" or (part.piece, part.role) in sewn_parts


def _refs(garment: Garment, part: Part) -> Iterator[EdgeRef]:
    try:
        shape = part_shape(garment, part)
    except FirsthandError:
        return
    for edge in shape.edges:
        yield ref_to(garment, PartEdge(part, edge.id))


@CHECKS.register("fates")
def fates(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Edges of which nothing says what becomes of them."""
    sewn = sewn_refs(garment)
    sewn_parts = {(ref.piece, ref.role) for ref in sewn}
    open_ends: dict[tuple[str, bool], list[str]] = {}
    for part in garment.parts:
        for ref in _refs(garment, part) if _judged(garment, part, sewn_parts) else ():
            fate = edge_fate(garment, ref)
            waiting = fate is not None and fate.kind is FateKind.SEAM and not _in_a_seam(ref, sewn)
            if fate is None or waiting:
                open_ends.setdefault((part.piece, waiting), []).append(ref.edge)
    for (name, waiting), edges in open_ends.items():
        piece, words = garment.pieces[name], listed(edges)
        where = (garment.id, name, *dict.fromkeys(edges))
        if waiting:
            yield UNSEWN(f"{piece.name}: {words} should be sewn, and no seam names it", where=where,
                         remedy="Add the seam, or say what else becomes of it.")  # fmt: skip
        else:
            yield NO_FATE(f"{piece.name}: nothing says what becomes of {words}", where=where,
                          remedy="Give it a seam, hem, facing, band, casing, binding, or leave it raw.")  # fmt: skip


def _in_a_seam(ref: EdgeRef, sewn: frozenset[EdgeRef]) -> bool:
    """Whether a seam names the edge, or for another role than shell the same edge in shell."""
    shell = EdgeRef(ref.piece, ref.edge, ref.hand, "shell", ref.copy), EdgeRef(ref.piece, ref.edge, ref.hand)
    return ref in sewn or (ref.role != "shell" and any(other in sewn for other in shell))


@CHECKS.register("levels")
def levels(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Levels that no piece carries, or that run into pieces that do not carry them."""
    for level in garment.levels:
        where = (garment.id, level.id)
        try:
            summed = girth(garment, level)
        except GeometryError as error:
            yield LEVEL_NOWHERE(f"{level.name}: {error}", where=where, remedy="Draw its line anew.")
            continue
        if summed.missing:
            names = listed(garment.pieces[name].name.lower() for name in summed.missing)
            yield LEVEL_CARD(f"{level.name}: {names} has no outline yet, so the girth is not known", where=where,
                             remedy="Take the outline in, or measure the piece by hand.")  # fmt: skip
        elif summed.off:
            for name in summed.off:
                yield LEVEL_OFF(f"the {level.name.lower()} line does not cross {garment.pieces[name].name.lower()}",
                                where=(*where, name), remedy="Draw it on the piece; look at the unit of its numbers.",
                                blocks=[Block("fit", garment.id)])  # fmt: skip
        elif summed.ended:
            yield LEVEL_ENDED(f"{level.name}: {summed.ended}", where=where)
        elif not summed.terms:
            if any(not piece.is_card for piece in garment.pieces.values()):
                yield LEVEL_NOWHERE(f"{level.name}: no piece carries this level", where=where, remedy="Draw it on the pieces.")
        else:
            carried = level_neighbours(garment, level)
            bare = {name for over in carried.values() for name in over} - carried.keys()
            for name in sorted(bare & garment.pieces.keys()):
                piece = garment.pieces[name]
                yield LEVEL_GAP(f"{level.name}: the level runs into {piece.name.lower()}, which does not carry it",
                                where=(*where, name), remedy=f"Draw the level on {piece.name.lower()}.")  # fmt: skip
