"""Tucks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter.cutting.pleating import Fold, pleated
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.pattern import Garment, PleatKind
from firsthand.units import Length

__all__ = ["AddTucks"]


@ALTERATIONS.register("tuck")
@dataclass(frozen=True, slots=True, kw_only=True)
class AddTucks(Entry):
    """Put tucks into a piece, with the cloth for them: folds stitched down along a line.

    As pleats, and with their stitching lines marked: along all of each tuck, or from the edge as far as is said. A tuck that is
    stitched all the way is folded at both edges, and neither changes its sewn length.

    Parameters
    ----------
    piece
        Id of the piece.
    edge
        Id of the edge from which they are stitched.
    depth
        Depth of one fold, from its edge to its stitching, mm.
    count
        How many there are.
    start, end
        The places on the edge between which they are spaced, as ``2 cm`` or ``notch n1``.
    to
        The edge to which they run; without one they run with the grain.
    to_start, to_end
        The places on that edge between which they are spaced.
    towards_end
        Whether they are laid towards the end of the edge, counter-clockwise round the piece; else towards its start.
    stitched
        How far in from the edge they are stitched, mm; without a length all the way.
    added
        Whether the cloth for them is slashed in; else they are folded out of the piece as it is, which becomes narrower.
    """

    kind: ClassVar[str] = "tuck"

    piece: str
    edge: str
    depth: Length
    count: int = 1
    start: str = "start"
    end: str = "end"
    to: str = ""
    to_start: str = "start"
    to_end: str = "end"
    towards_end: bool = True
    stitched: Length | None = None
    added: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        reach, all_the_way = (math.inf, True) if self.stitched is None else (self.stitched, False)
        fold = Fold(PleatKind.KNIFE, self.depth, self.towards_end, (), reach, all_the_way, True, "tuck")
        return pleated(garment, self, fold)
