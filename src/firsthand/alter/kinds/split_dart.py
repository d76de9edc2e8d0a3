"""Make several smaller darts of one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import finished, sensible
from firsthand.alter.cutting.darts import divided
from firsthand.alter.cutting.eased import trued_together
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.reshape import Crosses
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment
from firsthand.units import Length, said

__all__ = ["SplitDart"]

MOST = 300.0
"""Darts farther apart, mm, are a slip of the keyboard."""
LEAST = 1.0
"""Darts nearer to each other, mm, are one."""
MOST_DARTS = 8
"""More darts of one are a slip of the keyboard."""


@ALTERATIONS.register("split-dart")
@dataclass(frozen=True, slots=True, kw_only=True)
class SplitDart(Entry):
    """Make several smaller darts of one, side by side on its edge and parallel.

    Each takes the same share of the angle, and the angles add up to the old one. Each has equal legs. The edge is redrawn
    beside them, so that it runs on smoothly when they are sewn; its sewn length changes by less than a millimetre.

    Parameters
    ----------
    piece
        Id of the piece.
    dart
        Id of the dart; the first of the new ones, in the direction of the edge, keeps it, the others get it with a number.
    into
        How many.
    gap
        How far apart they are along the sewn edge, mm.
    trued
        Whether the edge is made fair where the dart was.
    """

    kind: ClassVar[str] = "split-dart"

    piece: str
    dart: str
    into: int = 2
    gap: Length = 20.0
    trued: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        if sensible(self.gap, MOST) < LEAST:
            raise CannotAlter(f"darts side by side need a gap of at least {said(LEAST)}", "Write for example 2 cm.")
        if not 2 <= self.into <= MOST_DARTS:
            raise CannotAlter(f"a dart cannot be made into {self.into}", f"Write a number from 2 to {MOST_DARTS}.")
        try:
            split, names = divided(garment.piece(self.piece).drawn_shape, self.dart, self.into, self.gap)
        except Crosses as crossing:
            words = f"{self.into} darts {said(self.gap)} apart cannot be made of {self.dart}: {crossing}"
            raise CannotAlter(words, "Use a smaller gap, or fewer darts.") from crossing
        changed = trued_together(garment, {self.piece: split}) if self.trued else {self.piece: split}
        words = f"{self.dart} of {self.piece} made into {self.into}, {said(self.gap)} apart"
        made = finished(garment, self, words, {"gap": self.gap}, changed)
        ids = {**made.record.ids, f"{self.piece}.{self.dart}": tuple(f"{self.piece}.{name}" for name in names)}
        return replace(made, record=replace(made.record, ids=ids))
