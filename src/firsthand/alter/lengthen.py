"""Lengthen or shorten at a level."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._maps import stretches
from firsthand.alter._most import most_possible
from firsthand.alter._notes import lost_notches
from firsthand.alter._reshape import Crosses, Reshaped
from firsthand.alter._spread import CutLine, spread
from firsthand.alter.model import ALTERATIONS, Altered, Record, Stretch
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Point
from firsthand.pattern import Garment, Shape
from firsthand.units import Length, said

__all__ = ["Lengthen"]

STEEPEST = 0.7
"""A level that leans more than this (the sine of its angle to the crosswise grain) runs along a piece, not across it."""
MOST = 2000.0
"""More than this, mm, is a slip of the keyboard."""


@ALTERATIONS.register("lengthen")
@dataclass(frozen=True, slots=True)
class Lengthen:
    """Cut across at a level and spread along the grain; a negative amount takes a strip out above the level.

    All pieces across which the level runs are cut, so that their seams stay as long as each other; one along which it runs,
    as along a cuff cut lengthwise, is left as it is. What lies on the level or
    below it stays; what lies above moves. Edges that are parted get a straight piece along the grain. Where a strip is taken
    out of a slanting edge the step is blended by a straight line.

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
    id
        Stable id in the stack.
    """

    kind: ClassVar[str] = "lengthen"

    amount: Length
    level: str = ""
    height: Length | None = None
    pieces: tuple[str, ...] = ()
    id: str = ""

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        lines = self._lines(garment)
        name = self.id or self.kind
        words = f"{'Lengthened' if self.amount >= 0 else 'Shortened'} at {self.level or 'a height'}: {', '.join(lines)}"
        figures = {"amount": self.amount}
        if self.amount == 0:
            return Altered(garment, Record(name, self.kind, words, figures))
        changed = self._spread(garment, lines)
        edges: dict[str, tuple[Stretch, ...]] = {}
        for piece, result in changed.items():
            garment = garment.with_piece(replace(garment.piece(piece), shape=result.shape))
            edges |= stretches(piece, result.maps)
        ids: dict[str, tuple[str, ...]] = {f"{p}.{notch}": () for p, result in changed.items() for notch in result.lost}
        record = Record(name, self.kind, words, figures, edges, ids, tuple(changed))
        return Altered(garment, record, lost_notches(garment, name, changed))

    def _spread(self, garment: Garment, lines: dict[str, CutLine]) -> dict[str, Reshaped]:
        try:
            return _all_spread(garment, lines, self.amount)
        except Crosses as crossing:
            most = most_possible(lambda amount: _all_spread(garment, lines, amount), self.amount)
            verb = "lengthening" if self.amount > 0 else "shortening"
            raise CannotAlter(
                f"{verb} by {said(abs(self.amount))} cannot be done: {crossing}; at most {said(abs(most))}"
            ) from crossing

    def _lines(self, garment: Garment) -> dict[str, CutLine]:
        """Where each piece is cut."""
        if not math.isfinite(self.amount):
            raise GeometryError(f"an amount must be a finite length, not {self.amount}")
        if abs(self.amount) > MOST:
            raise CannotAlter(f"{said(self.amount)} is no amount to lengthen by; at most {said(MOST)}")
        if bool(self.level) == (self.height is not None):
            raise CannotAlter("lengthen needs either a level or a height at which to cut")
        return self._at_level(garment) if self.level else self._at_height(garment)

    def _at_level(self, garment: Garment) -> dict[str, CutLine]:
        lines, along = {}, []
        for name in self.pieces or garment.pieces:
            shape = garment.piece(name).shape
            mark = next((m for m in shape.levels if m.level == self.level), None) if shape else None
            if shape and mark:
                lines[name] = CutLine(mark.a, mark.b - mark.a, _up(shape))
                along += [name] if lines[name].steepness > STEEPEST else []
        if not lines or any(name not in lines for name in self.pieces):
            raise NotThere("level", self.level, (level.id for level in garment.levels))
        across = {name: line for name, line in lines.items() if name not in along}
        if not across or any(name in along for name in self.pieces):
            raise CannotAlter(f"the level {self.level} runs along the grain of {', '.join(along)}: name another level or piece")
        return across

    def _at_height(self, garment: Garment) -> dict[str, CutLine]:
        if not self.pieces:
            raise CannotAlter("lengthening at a height needs the pieces named")
        return {name: self._across(garment.piece(name).drawn_shape) for name in self.pieces}

    def _across(self, shape: Shape) -> CutLine:
        up = _up(shape)
        level = CutLine(Point(0, 0), -up.left, up)
        heights = [level.height(point) for point in shape.outline.flattened()]
        if self.height is None or not 0 < self.height < max(heights) - min(heights):
            raise CannotAlter(f"the piece is {said(max(heights) - min(heights))} high: the height must lie within it")
        return level.raised(min(heights) + self.height)


def _up(shape: Shape) -> Point:
    return (shape.grain[1] - shape.grain[0]).unit()


def _all_spread(garment: Garment, lines: dict[str, CutLine], amount: float) -> dict[str, Reshaped]:
    changed = {}
    for name, line in lines.items():
        try:
            changed[name] = spread(garment.piece(name).drawn_shape, line, amount)
        except Crosses as crossing:
            raise Crosses(f"on {name} {crossing}") from crossing
    return changed
