"""Altering the pieces of one hand only: the two hands taken apart first, and one record of both."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from firsthand.alter._composed import composed
from firsthand.alter.kinds.split_hands import apart
from firsthand.alter.model import Altered, Record, Stretch
from firsthand.alter.naming.hands import hands_apart
from firsthand.pattern import Garment, How

__all__ = ["parted_for", "with_parting"]


def parted_for(garment: Garment, pieces: Iterable[str], alteration: str) -> tuple[Garment, Record]:
    """The garment with pieces of their own for each hand where they were cut for both, and the record of that.

    Raises
    ------
    CannotAlter
        If a piece cannot be taken apart.
    """
    edges: dict[str, tuple[Stretch, ...]] = {}
    ids: dict[str, tuple[str, ...]] = {}
    changed: list[str] = []
    for name in dict.fromkeys(pieces):
        piece = garment.piece(name)
        if all(cut.how is How.SINGLE for cut in piece.cuts):
            continue
        garment, sides = hands_apart(garment, name)
        maps = apart(piece, sides)
        edges, ids = edges | maps[0], ids | maps[1]
        changed += dict.fromkeys(there for there, _ in sides.values())
    return garment, Record(alteration, "split-hands", "", {}, edges, ids, tuple(changed))


def with_parting(before: Garment, parting: Record, altered: Altered) -> Altered:
    """What was altered after the hands were taken apart, with a record from the garment as it was before both."""
    then = altered.record
    both = composed([parting, then])
    names = {name.partition(".")[0] for name in parting.edges}
    edges = {name: runs for name, runs in then.edges.items() if name.partition(".")[0] not in parting.pieces}
    for name in names:
        for edge in before.piece(name).drawn_shape.edges:
            edges[f"{name}.{edge.id}"] = both.stretches(name, edge.id, edge.path.length)
    ids = {old: tuple(at for new in news for at in then.ids.get(new, (new,))) for old, news in parting.ids.items()}
    ids |= {old: news for old, news in then.ids.items() if old.partition(".")[0] not in parting.pieces}
    pieces = tuple(dict.fromkeys((*parting.pieces, *then.pieces)))
    return replace(altered, record=replace(then, edges=edges, ids=ids, pieces=pieces))
