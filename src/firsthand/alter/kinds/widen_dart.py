"""Make a dart wider or narrower at its mouth."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import finished, sensible
from firsthand.alter.cutting.cuts import dart_of
from firsthand.alter.cutting.darts import at_angle
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.reshape import Crosses
from firsthand.errors import CannotAlter
from firsthand.pattern import Dart, Garment, Shape
from firsthand.units import Length, said

__all__ = ["WidenDart"]

MOST = 200.0
"""More than this, mm, is a slip of the keyboard."""
NARROW = 1.0
"""A mouth narrower than this, mm, is no dart that can be sewn."""


@ALTERATIONS.register("widen-dart")
@dataclass(frozen=True, slots=True, kw_only=True)
class WidenDart(Entry):
    """Make a dart wider at its mouth, or narrower: its point stays, and so do the ends of its edge.

    Both legs move by half of it and stay equally long; the edge on either side of the mouth is redrawn so that it runs on
    smoothly when the dart is sewn. The edge becomes shorter as sewn by what the dart takes up more: what is sewn to it, as a
    waistband, is altered or drafted to the new length. As at a fitting: pinned deeper along its legs, or let out.

    Parameters
    ----------
    piece
        Id of the piece.
    dart
        Id of the dart.
    amount
        How much wider the mouth gets, mm; negative makes it narrower.
    """

    kind: ClassVar[str] = "widen-dart"

    piece: str
    dart: str
    amount: Length

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        sensible(self.amount, MOST)
        shape = garment.piece(self.piece).drawn_shape
        dart = dart_of(shape, self.dart)
        try:
            changed = {self.piece: at_angle(shape, self.dart, self._angle(shape, dart))} if self.amount else {}
        except Crosses as crossing:
            words = f"{self.dart} of {self.piece} cannot be made so wide: {crossing}"
            raise CannotAlter(words, "Make it wider by less, or take some in along a seam.") from crossing
        way = "wider" if self.amount >= 0 else "narrower"
        figures = {"amount": self.amount, "width": dart.width + self.amount}
        return finished(garment, self, f"{self.dart} of {self.piece} {way} by {said(abs(self.amount))}", figures, changed)

    def _angle(self, shape: Shape, dart: Dart) -> float:
        wanted = dart.width + self.amount
        if wanted < NARROW:
            words = f"{self.dart} is {said(dart.width)} wide and cannot be narrower by {said(-self.amount)}"
            raise CannotAlter(words, "Make it narrower by less, or close it with close-dart.")
        path = shape.edge(dart.edge).path
        legs = [path.at(at).distance(dart.apex) for at in dart.mouth]
        half = wanted / sum(legs)
        if half >= 1:
            raise CannotAlter(f"{self.dart} would be wider than its legs reach", "Make it wider by less.")
        return 2 * math.asin(half)
