"""Move a dart along its edge, or its point."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import finished, sensible
from firsthand.alter._spots import inner_point, spot
from firsthand.alter.cutting.cuts import dart_of
from firsthand.alter.cutting.darts import pointed, shifted
from firsthand.alter.cutting.eased import trued_together
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import in_turn
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.errors import CannotAlter
from firsthand.geometry import Point
from firsthand.pattern import Garment, Shape
from firsthand.units import Length, said

__all__ = ["MoveDart"]

MOST = 500.0
"""More than this, mm, is a slip of the keyboard."""


@ALTERATIONS.register("move-dart")
@dataclass(frozen=True, slots=True, kw_only=True)
class MoveDart(Entry):
    """Move a dart: all of it along its edge, or its point alone, or both.

    Along the edge it changes places with the stretch of edge that it passes: the dart is the same, and no sewn length changes.
    Where the edge is shaped so that it runs on with the dart sewn, the dart is closed there and opened where it comes to, by
    the same angle, and the edge is redrawn beside it. When the point is moved, the mouth and what it takes up stay, and both
    legs are made equally long: the edge is redrawn beside the mouth, over at most 6 cm, so that it runs on smoothly when the
    dart is sewn.

    Parameters
    ----------
    piece
        Id of the piece.
    dart
        Id of the dart.
    along
        How far it is shifted along its edge, mm; positive towards the end of the edge (counter-clockwise round the piece).
    to
        Instead: the place of its edge to which the middle of its mouth comes, as ``waist at 40 %``.
    x
        How far the point is moved to the right as drawn, mm.
    y
        How far the point is moved up the grain as drawn, mm.
    point
        Instead: where the point comes to lie, as ``level bust at 45 %`` or ``10 cm, 25 cm``.
    trued
        Whether the edge is made fair where the dart was.
    """

    kind: ClassVar[str] = "move-dart"

    piece: str
    dart: str
    along: Length = 0.0
    to: str = ""
    x: Length = 0.0
    y: Length = 0.0
    point: str = ""
    trued: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        figures = {name: sensible(by, MOST) for name, by in (("along", self.along), ("x", self.x), ("y", self.y)) if by}
        if (self.to and self.along) or (self.point and (self.x or self.y)):
            raise CannotAlter("a dart is moved by a length or to a place, not by both", "Leave one of the two out.")
        shape = garment.piece(self.piece).drawn_shape
        try:
            moved = self._moved(shape)
        except Crosses as crossing:
            raise CannotAlter(
                f"moving {self.dart} of {self.piece} cannot be done: {crossing}", "Move it by less."
            ) from crossing
        changed = {self.piece: moved} if moved.shape != shape else {}
        changed = trued_together(garment, changed) if self.trued else changed
        return finished(garment, self, self._words(), figures, changed)

    def _moved(self, shape: Shape) -> Reshaped:
        dart = dart_of(shape, self.dart)
        result = Reshaped(shape, {})
        at = self._at(shape)
        if at != dart.at:
            result = in_turn(result, shifted(shape, self.dart, at))
        apex = dart_of(result.shape, self.dart).apex
        there = inner_point(result.shape, self.point) if self.point else apex + Point(self.x, self.y)
        return in_turn(result, pointed(result.shape, self.dart, there)) if there != apex else result

    def _at(self, shape: Shape) -> float:
        dart = dart_of(shape, self.dart)
        if not self.to:
            return dart.at + self.along
        found = spot(shape, self.to)
        if found.edge != dart.edge:
            raise CannotAlter(f"{self.dart} lies on {dart.edge}, not on {found.edge}", "Use turn-dart for another edge.")
        return found.at

    def _words(self) -> str:
        ways = [f"to {self.to}"] if self.to else []
        ways += [f"along its edge by {said(self.along)}"] if self.along else []
        ways += [f"its point to {self.point}"] if self.point else []
        ways += [f"its point by {said(self.x)} across and {said(self.y)} up"] if self.x or self.y else []
        return f"{self.dart} of {self.piece} moved {', '.join(ways) or 'by nothing'}"
