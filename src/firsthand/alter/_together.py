"""Alterations that are made of others: applied in order, and told as one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import chain

from firsthand.alter._composed import composed
from firsthand.alter.model import Alteration, Altered, Record, Stretch
from firsthand.alter.moving.follow import PARTNER_STAYS
from firsthand.findings import Finding
from firsthand.pattern import Garment

__all__ = ["Next", "together"]

Next = Callable[[Garment], Alteration | None]
"""What is done next, seen from the garment as it is by then; None if nothing is."""


def together(
    garment: Garment, alteration: Alteration, steps: Iterable[Next], words: str, figures: Mapping[str, float]
) -> Altered:
    """Apply alterations in order and give what came of it as one alteration with one record.

    Parameters
    ----------
    garment
        As it was.
    alteration
        The one that is made of the others.
    steps
        What is done in order; each sees the garment after the ones before it.
    words, figures
        See :class:`firsthand.alter.Record`. The figures of the steps are put behind them.

    Raises
    ------
    FirsthandError
        What a step cannot do.
    """
    before, records, findings = garment, list[Record](), list[Finding]()
    for step in steps:
        entry = step(garment)
        if entry is None:
            continue
        altered = entry.apply(garment)
        garment = altered.garment
        records.append(altered.record)
        # That a step leaves a partner alone is for the whole to answer for, and the walk along its seam tells.
        findings += [finding for finding in altered.findings if finding.code != PARTNER_STAYS.code]
    called = alteration.id or alteration.kind
    told = dict(figures)
    for record in records:
        told |= {name: figure for name, figure in record.figures.items() if name not in told}
    merged = Record(called, alteration.kind, words, told, _edges(before, records), _ids(records), _pieces(garment, records))
    return Altered(garment, merged, tuple(findings))


def _edges(before: Garment, records: list[Record]) -> dict[str, tuple[Stretch, ...]]:
    """The maps of all edges that any record moved, in one step from the garment as it was."""
    through = composed(records)
    moved = {piece for record in records for piece in {name.partition(".")[0] for name in record.edges}}
    lengths = {
        (name, edge.id): edge.path.length
        for name, piece in before.pieces.items()
        if name in moved and piece.shape
        for edge in piece.shape.edges
    }
    found = {place: through.stretches(*place, length) for place, length in lengths.items()}
    return {
        f"{piece}.{edge}": runs
        for (piece, edge), runs in found.items()
        if runs != (Stretch(piece, edge, 0.0, lengths[piece, edge], 0.0, lengths[piece, edge]),)
    }


def _ids(records: list[Record]) -> dict[str, tuple[str, ...]]:
    """Old ids to those of the end; an id that came in between is no old one."""
    ids: dict[str, tuple[str, ...]] = {}
    for record in records:
        known = set(chain.from_iterable(ids.values()))
        ids = {old: tuple(chain.from_iterable(record.ids.get(new, (new,)) for new in news)) for old, news in ids.items()}
        ids |= {old: news for old, news in record.ids.items() if old not in known and old not in ids}
    return ids


def _pieces(after: Garment, records: list[Record]) -> tuple[str, ...]:
    named = dict.fromkeys(piece for record in records for piece in record.pieces)
    return tuple(piece for piece in named if piece in after.pieces)
