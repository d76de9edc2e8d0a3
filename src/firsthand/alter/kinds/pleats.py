"""Pleats."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter.cutting.pleating import Fold, pleated
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.pattern import Garment, PleatKind
from firsthand.units import Length

__all__ = ["AddPleats"]


@ALTERATIONS.register("pleat")
@dataclass(frozen=True, slots=True, kw_only=True)
class AddPleats(Entry):
    """Put pleats into a piece, with the cloth for them.

    The piece is slashed along each pleat, from its edge to another one, and spread by what the pleat takes up: twice its depth
    for a knife pleat, four times for a box or an inverted one. Folded, the edge is what it was. They are spaced evenly between
    two places: the first and the last stand half a space from them. Fold lines are marked all the way; where they end at
    another edge, that edge grows by the cloth, unless it is folded as well.

    Parameters
    ----------
    piece
        Id of the piece.
    edge
        Id of the edge at which they are folded.
    depth
        Depth of one fold at the edge, mm.
    count
        How many there are.
    form
        How they are folded.
    start, end
        The places on the edge between which they are spaced, as ``2 cm`` or ``notch n1``.
    to
        The edge to which they run; without one they run with the grain.
    to_start, to_end
        The places on that edge between which they are spaced.
    towards_end
        Whether knife pleats are laid towards the end of the edge, counter-clockwise round the piece; else towards its start.
    depths
        Levels, and the depth of one fold there. Between them, and from the edge to them, the folds run straight. Cloth that is
        slashed in can follow one of them; it changes evenly from the edge through the level to the other edge.
    closed
        How far in from the edge they stay closed, stitched down or pressed flat, mm.
    both
        Whether they are folded at the other edge as well.
    added
        Whether the cloth for them is slashed in; else they are folded out of the piece as it is, whose edge becomes shorter.
    """

    kind: ClassVar[str] = "pleat"

    piece: str
    edge: str
    depth: Length
    count: int = 1
    form: PleatKind = PleatKind.KNIFE
    start: str = "start"
    end: str = "end"
    to: str = ""
    to_start: str = "start"
    to_end: str = "end"
    towards_end: bool = True
    depths: tuple[tuple[str, Length], ...] = ()
    closed: Length = 0.0
    both: bool = False
    added: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        fold = Fold(self.form, self.depth, self.towards_end, self.depths, self.closed, self.both)
        return pleated(garment, self, fold)
