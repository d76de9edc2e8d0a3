"""Move a dart along its edge, or its point."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from firsthand.alter._making import finished, sensible
from firsthand.alter._spots import inner_point, spot
from firsthand.alter.cutting.cuts import dart_of
from firsthand.alter.cutting.darts import shifted
from firsthand.alter.cutting.eased import trued_together
from firsthand.alter.cutting.pointing import pointed, pointed_at_angle
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import in_turn, put_in
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.errors import CannotAlter
from firsthand.geometry import Point
from firsthand.pattern import Garment, Shape
from firsthand.units import Length, said

__all__ = ["Keep", "MoveDart"]

MOST = 500.0
"""More than this, mm, is a slip of the keyboard."""


class Keep(StrEnum):
    """What of a dart stays as it is when its point is moved."""

    ANGLE = "angle"
    """The angle at the point: what the dart gives at the point stays, and the mouth becomes wider or narrower."""
    TAKE_UP = "take-up"
    """The mouth and what it takes up: the dart becomes blunter or sharper at the point."""


@ALTERATIONS.register("move-dart")
@dataclass(frozen=True, slots=True, kw_only=True)
class MoveDart(Entry):
    """Move a dart: all of it along its edge, or its point alone, or both.

    Along the edge it changes places with the stretch of edge that it passes: the dart is the same, and no sewn length changes.
    Where the edge is shaped so that it runs on with the dart sewn, the dart is closed there and opened where it comes to, by
    the same angle, and the edge is redrawn beside it.

    When the point is moved the dart keeps its angle, so that it makes as much room at the point as before, and both legs are
    equally long. A longer dart takes up more at the edge then, a shorter one less; by that much the edge is made longer or
    shorter at the corners of the piece, so that no edge changes its length as sewn. With ``keep = "take-up"`` the mouth and
    what it takes up stay instead, and only the edge beside the mouth is redrawn, over at most 6 cm, so that it runs on smoothly
    when the dart is sewn: the corners stay, and the dart gives more room at the point if it was made shorter, less if longer.

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
    keep
        What stays when the point is moved: ``angle``, how much the dart shapes, or ``take-up``, how wide it is at the edge.
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
    keep: Keep = Keep.ANGLE
    trued: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        figures = {name: sensible(by, MOST) for name, by in (("along", self.along), ("x", self.x), ("y", self.y)) if by}
        if (self.to and self.along) or (self.point and (self.x or self.y)):
            raise CannotAlter("a dart is moved by a length or to a place, not by both", "Leave one of the two out.")
        try:
            changed = self._repointed(garment, self._shifted(garment))
        except Crosses as crossing:
            raise CannotAlter(
                f"moving {self.dart} of {self.piece} cannot be done: {crossing}", "Move it by less."
            ) from crossing
        return finished(garment, self, self._words(), figures, changed)

    def _shifted(self, garment: Garment) -> dict[str, Reshaped]:
        shape = garment.piece(self.piece).drawn_shape
        at = self._at(shape)
        if at == dart_of(shape, self.dart).at:
            return {}
        changed = {self.piece: shifted(shape, self.dart, at)}
        return trued_together(garment, changed) if self.trued else changed

    def _repointed(self, garment: Garment, changed: Mapping[str, Reshaped]) -> dict[str, Reshaped]:
        piece = put_in(garment, changed).piece(self.piece)
        shape = piece.drawn_shape
        apex = dart_of(shape, self.dart).apex
        there = inner_point(shape, self.point) if self.point else apex + Point(self.x, self.y)
        if there == apex:
            return dict(changed)
        if self.keep is Keep.TAKE_UP:
            moved = pointed(shape, self.dart, there)
        else:
            moved = pointed_at_angle(shape, self.dart, there, piece.fold)
        return {self.piece: in_turn(changed.get(self.piece), moved)}

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
