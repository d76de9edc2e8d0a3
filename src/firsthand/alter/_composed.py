"""Positions through a whole stack: where a place on the printed line is now, and where a place on the new line came from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from firsthand.alter.model import Record, Stretch

__all__ = ["Composed", "Place", "composed"]

TOUCH = 1e-9
"""Positions this close to the end of a stretch are on it, mm."""

Place = tuple[str, str, float]
"""Piece, edge and arc length from the start of the edge, mm."""


@dataclass(frozen=True, slots=True)
class Composed:
    """The maps of some records, one after the other.

    Parameters
    ----------
    records
        In the order in which they were applied.
    """

    records: tuple[Record, ...]

    def position(self, piece: str, edge: str, at: float) -> Place | None:
        """Where a position on an edge as it was before all records is now; None if it was cut away.

        Examples
        --------
        >>> longer = Record("a", "lengthen", "", edges={"leg.side": (Stretch("leg", "side", 0, 100, 0, 150),)})
        >>> trimmed = Record("b", "hem", "", edges={"leg.side": (Stretch("leg", "side", 30, 150, 0, 120),)})
        >>> both = composed([longer, trimmed])
        >>> both.position("leg", "side", 50.0), both.position("leg", "side", 10.0), both.position("leg", "hem", 3.0)
        (('leg', 'side', 45.0), None, ('leg', 'hem', 3.0))
        """
        place: Place | None = (piece, edge, at)
        for record in self.records:
            place = record.position(*place) if place else None
        return place

    def origin(self, piece: str, edge: str, at: float) -> Place | None:
        """Where a position on an edge as it is now came from; None for what was put in.

        Where several positions were drawn together into one, the first of them is given. An edge that no record names is taken
        to have been there from the start: one who asks about a new edge finds that no old one has its name.

        Examples
        --------
        >>> parted = Record("a", "lengthen", "", edges={
        ...     "leg.side": (Stretch("leg", "side", 0, 60, 0, 60), Stretch("leg", "side", 60, 100, 80, 120))})
        >>> composed([parted]).origin("leg", "side", 100.0), composed([parted]).origin("leg", "side", 70.0)
        (('leg', 'side', 80.0), None)
        """
        place: Place | None = (piece, edge, at)
        for record in reversed(self.records):
            place = _back(record, *place) if place else None
        return place

    def stretches(self, piece: str, edge: str, length: float) -> tuple[Stretch, ...]:
        """The whole map of one edge in one step, in the order of the old positions.

        Parameters
        ----------
        length
            Length of the edge before all records, mm.

        Examples
        --------
        >>> longer = Record("a", "lengthen", "", edges={"leg.side": (Stretch("leg", "side", 0, 100, 0, 150),)})
        >>> [(s.old_start, s.old_end, s.new_start, s.new_end) for s in composed([longer]).stretches("leg", "side", 100.0)]
        [(0.0, 100.0, 0.0, 150.0)]
        """
        kept = [Stretch(piece, edge, 0.0, length, 0.0, length)]
        for record in self.records:
            kept = [part for one in kept for part in _through(record, one)]
        return tuple(sorted(kept, key=lambda s: (s.old_start, s.old_end)))


def composed(records: Iterable[Record]) -> Composed:
    """The maps of a stack, chained.

    Parameters
    ----------
    records
        In the order in which they were applied.
    """
    return Composed(tuple(records))


def _back(record: Record, piece: str, edge: str, at: float) -> Place | None:
    """Where a position came from through one record."""
    named = [(name, s) for name, runs in record.edges.items() for s in runs if (s.piece, s.edge) == (piece, edge)]
    for name, s in named:
        low, high = sorted((s.new_start, s.new_end))
        if low - TOUCH <= at <= high + TOUCH:
            run = s.new_end - s.new_start
            share = min(max((at - s.new_start) / run, 0.0), 1.0) if run else 0.0
            old_piece, _, old_edge = name.partition(".")
            return old_piece, old_edge, s.old_start + share * (s.old_end - s.old_start)
    untouched = not named and f"{piece}.{edge}" not in record.edges
    return (piece, edge, at) if untouched else None


def _through(record: Record, one: Stretch) -> Sequence[Stretch]:
    """A stretch followed through one record, in as many parts as its map has there."""
    runs = record.edges.get(f"{one.piece}.{one.edge}")
    if runs is None:
        return [one]
    low, high = sorted((one.new_start, one.new_end))
    parts = []
    for run in runs:
        start, end = max(low, run.old_start), min(high, run.old_end)
        if end - start > TOUCH or (high - low <= TOUCH and start <= end + TOUCH):
            new = [_along(at, run.old_start, run.old_end, run.new_start, run.new_end) for at in (start, end)]
            old = [_along(at, one.new_start, one.new_end, one.old_start, one.old_end) for at in (start, end)]
            if high - low <= TOUCH:  # what was drawn together into one place stays together
                parts.append(replace(one, piece=run.piece, edge=run.edge, new_start=new[0], new_end=new[0]))
                break
            if old[1] < old[0]:
                old, new = old[::-1], new[::-1]
            parts.append(Stretch(run.piece, run.edge, old[0], old[1], new[0], new[1]))
    return parts


def _along(at: float, start: float, end: float, to_start: float, to_end: float) -> float:
    share = (at - start) / (end - start) if end != start else 0.0
    return to_start + share * (to_end - to_start)
