"""Fullness: a piece spread between two edges, and gathered where it is sewn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, finished, reshaped, sensible
from firsthand.alter.cutting.eased import trued_together
from firsthand.alter.cutting.refit import gathered
from firsthand.alter.cutting.slashed import refuse_bent_folds, slashed, staying
from firsthand.alter.cutting.widening import even_lines, opposite, read_edges
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import put_in
from firsthand.alter.moving.reshape import Reshaped
from firsthand.pattern import Garment
from firsthand.units import Length, said

__all__ = ["Fullness"]

MOST = 10000.0
"""More than this in one piece, mm, is a slip of the keyboard."""


@ALTERATIONS.register("fullness")
@dataclass(frozen=True, slots=True, kw_only=True)
class Fullness(Entry):
    """Put fullness into a piece between two edges, to be gathered; a negative amount takes it out again.

    The piece is slashed from the one edge to the other and spread parallel. Both edges grow by the amount; the others keep
    their lengths. Seams at the two edges become gathered, with the ratio at which they fit; a seam that was
    gathered or pleated stays so, with another ratio.

    Parameters
    ----------
    amount
        How much wider the piece becomes as it is cut, mm: a piece on the fold opened out, of a pair each one.
    edge
        The edge that is gathered, as ``front.waist``.
    opposite
        Id of the other edge of the piece that grows; without it the one edge that does not touch the first.
    count
        How many lines the piece gets as it is drawn, evenly spaced.
    places
        Instead: places of the lines along the edge, as ``["30 %", "notch n1"]``.
    hinged
        Whether only the one edge grows, and the slashes are hinged at the other.
    trued
        Whether the edges are made fair where they were parted, over at most 6 cm on either side.
    """

    kind: ClassVar[str] = "fullness"

    amount: Length
    edge: str
    opposite: str = ""
    count: int = 3
    places: tuple[str, ...] = ()
    hinged: bool = False
    trued: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        sensible(self.amount, MOST)
        ((name, edge),) = read_edges(garment, (self.edge,))
        piece = garment.piece(name)
        far = opposite(piece.drawn_shape, edge, self.opposite)
        lines = even_lines(piece.drawn_shape, edge, far, count=self.count, places=self.places)
        halves = 2 if staying(piece, "", ()) else 1

        def fuller(amount: float) -> dict[str, Reshaped]:
            gap = amount / halves / len(lines)
            slashes = [replace(line, at_one=gap, at_two=0.0 if self.hinged else gap) for line in lines]
            return reshaped(garment, {name: lambda shape: slashed(shape, slashes, staying(piece, "", slashes))})

        verb = "adding fullness of" if self.amount > 0 else "taking out fullness of"
        changed = as_much_as_goes(fuller, self.amount, verb) if self.amount else {}
        refuse_bent_folds(garment, changed, put_in(garment, changed))
        changed = trued_together(garment, changed) if self.trued else changed
        what = "Fullness added" if self.amount >= 0 else "Fullness taken out"
        words = f"{what} to {name} at {edge}{'' if self.hinged else ' and ' + far}: {said(abs(self.amount))}"
        made = finished(garment, self, words, {"amount": self.amount}, changed)
        after, seams = gathered(made.garment, {(name, edge), (name, far)} if changed else ())
        figures = dict(made.record.figures) | {f"ratio of {seam.id}": seam.ratio for seam in seams}
        record = replace(made.record, figures=figures)
        return Altered(after, record, made.findings)
