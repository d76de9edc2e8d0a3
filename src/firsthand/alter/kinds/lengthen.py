"""Lengthen or shorten at a level."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, finished, reshaped, sensible
from firsthand.alter.cutting.eased import trued_together
from firsthand.alter.cutting.slashed import refuse_bent_folds
from firsthand.alter.cutting.spread import CutLine, spread
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import put_in
from firsthand.alter.moving.reshape import Reshaped
from firsthand.alter.moving.ways import NEARLY, way_up
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Point
from firsthand.pattern import Garment, Piece
from firsthand.units import Length, said

__all__ = ["Lengthen"]

STEEPEST = 0.7
"""A level that leans more than this (the sine of its angle to the crosswise grain) runs along a piece, not across it."""
MOST = 2000.0
"""More than this, mm, is a slip of the keyboard."""


@ALTERATIONS.register("lengthen")
@dataclass(frozen=True, slots=True)
class Lengthen(Entry):
    """Cut across at a level and spread along the grain; a negative amount takes a strip out above the level.

    All pieces across which the level runs are cut, so that their seams stay as long as each other; one along which it runs,
    as along a cuff cut lengthwise, is left as it is. What lies on the level or
    below it stays; what lies above moves. Edges that are parted get a straight piece along the grain; where a strip is taken
    out of a slanting edge the step is blended by a straight line. Then the edges are trued: kinks where they were parted become
    one fair curve, over at most 6 cm on either side and less where the two sides of a seam would come to differ.

    Parameters
    ----------
    amount
        How much longer, mm.
    level
        Id of the level at which to cut.
    height
        Instead of a level: height above the lowest point of each piece, along the grain, mm; needs ``pieces``.
    pieces
        Ids of the only pieces to cut; empty means all that have the level.
    trued
        Whether the edges are trued after. Without it every parted edge grows by exactly the amount; an edge that runs along
        the grain there has no kink and is the same either way.
    """

    kind: ClassVar[str] = "lengthen"

    amount: Length
    level: str = ""
    height: Length | None = None
    pieces: tuple[str, ...] = ()
    trued: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        lines = self._lines(garment)
        longer = self.amount >= 0
        verb = "lengthening by" if longer else "shortening by"
        changed = as_much_as_goes(partial(_spread, garment, lines), self.amount, verb) if self.amount else {}
        refuse_bent_folds(garment, changed, put_in(garment, changed))
        changed = trued_together(garment, changed) if self.trued else changed
        where = f"the {self.level}" if self.level else f"a height of {said(self.height or 0.0)}"
        words = f"{'Lengthened' if longer else 'Shortened'} at {where} by {said(abs(self.amount))}: {', '.join(lines)}"
        return finished(garment, self, words, {"amount": self.amount}, changed)

    def _lines(self, garment: Garment) -> dict[str, CutLine]:
        """Where each piece is cut."""
        sensible(self.amount, MOST)
        if bool(self.level) == (self.height is not None):
            raise CannotAlter("lengthen needs either a level or a height at which to cut", "Name one of the two.")
        return self._at_level(garment) if self.level else self._at_height(garment)

    def _at_level(self, garment: Garment) -> dict[str, CutLine]:
        lines, along = {}, []
        for name in self.pieces or garment.pieces:
            shape = garment.piece(name).shape
            mark = next((m for m in shape.levels if m.level == self.level), None) if shape else None
            if shape and mark:
                lines[name] = CutLine(mark.a, mark.b - mark.a, way_up(shape, garment.piece(name).fold, least=NEARLY))
                along += [name] if lines[name].steepness > STEEPEST else []
        if not lines or any(name not in lines for name in self.pieces):
            raise NotThere("level", self.level, (level.id for level in garment.levels))
        across = {name: line for name, line in lines.items() if name not in along}
        if not across or any(name in along for name in self.pieces):
            words = f"the level {self.level} runs along the grain of {', '.join(along)}"
            raise CannotAlter(words, "Name another level or other pieces.")
        return across

    def _at_height(self, garment: Garment) -> dict[str, CutLine]:
        if not self.pieces:
            raise CannotAlter("lengthening at a height needs the pieces named", "Name the pieces.")
        return {name: self._across(garment.piece(name)) for name in self.pieces}

    def _across(self, piece: Piece) -> CutLine:
        shape = piece.drawn_shape
        up = way_up(shape, piece.fold, least=NEARLY)
        level = CutLine(Point(0, 0), -up.left, up)
        heights = [level.height(point) for point in shape.outline.flattened()]
        if self.height is None or not 0 < self.height < max(heights) - min(heights):
            words = f"the piece is {said(max(heights) - min(heights))} high, and the height does not lie within it"
            raise CannotAlter(words, "Name a height between its lowest and its highest point.")
        return level.raised(min(heights) + self.height)


def _spread(garment: Garment, lines: Mapping[str, CutLine], amount: float) -> dict[str, Reshaped]:
    return reshaped(garment, {name: partial(spread, line=line, amount=amount) for name, line in lines.items()})
