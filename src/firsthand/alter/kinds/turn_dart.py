"""Turn a dart to another place, or part of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import finished
from firsthand.alter._spots import Spot, inner_point, spot
from firsthand.alter.cutting.cuts import dart_of
from firsthand.alter.cutting.darts import merged
from firsthand.alter.cutting.eased import trued_together
from firsthand.alter.cutting.sections import turned_dart
from firsthand.alter.cutting.slashed import refuse_bent_folds, staying
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import in_turn, put_in
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, Shape
from firsthand.units import Share

__all__ = ["TurnDart"]

NARROW = 0.1
"""A mouth narrower than this, mm, is no dart."""


@ALTERATIONS.register("turn-dart")
@dataclass(frozen=True, slots=True, kw_only=True)
class TurnDart(Entry):
    """Turn a dart to another place of the outline, all of it or a share; its point is the pivot.

    The slash runs from the new place to the dart's point, the dart closes and the slash opens by the same angle. No sewn length
    changes; the new dart is as wide as its legs are long. To turn it into another dart name that: the two become one with the
    point of the other.

    Parameters
    ----------
    piece
        Id of the piece.
    dart
        Id of the dart.
    to
        Where it opens, as ``shoulder at 50 %``, or ``side at dart d2`` to add it to that dart.
    share
        How much of its angle goes there, above 0; the rest stays where it is.
    new
        Id of the new dart. Without it all of a dart keeps its id, and a share gets that id with a number.
    through
        Points through which the slash runs, from the new place to the dart's point, if it is not straight.
    stays
        A place on the section that stays, or the id of an edge of it; without one the section of the fold edge, or of the
        middle of the grain line.
    trued
        Whether the edge is made fair where the dart closed, over at most 6 cm on either side.
    """

    kind: ClassVar[str] = "turn-dart"

    piece: str
    dart: str
    to: str
    share: Share = 1.0
    new: str = ""
    through: tuple[str, ...] = ()
    stays: str = ""
    trued: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        shape = garment.piece(self.piece).drawn_shape
        try:
            turned = self._turned(garment, shape)
        except Crosses as crossing:
            words = f"turning {self.dart} of {self.piece} cannot be done: {crossing}"
            raise CannotAlter(words, "Turn it to another place, or less of it.") from crossing
        changed = {self.piece: turned}
        refuse_bent_folds(garment, changed, put_in(garment, changed))
        if any(dart.width < NARROW and dart not in shape.darts for dart in turned.shape.darts):
            words = f"so small a share of {self.dart} makes no dart that can be sewn"
            raise CannotAlter(words, "Name a share between, or turn all of it.")
        changed = trued_together(garment, changed) if self.trued else changed
        how = "turned" if self.share == 1 else f"turned by {100 * self.share:g} %"
        made = finished(garment, self, f"{self.dart} of {self.piece} {how} to {self.to}", {}, changed)
        ids = {**made.record.ids, **self._ids(shape, turned.shape)}
        figures = {f"width of {dart.id}": dart.width for dart in turned.shape.darts}
        return replace(made, record=replace(made.record, ids=ids, figures=figures))

    def _turned(self, garment: Garment, shape: Shape) -> Reshaped:
        other = self._other(shape)
        to = spot(shape, self.to) if other is None else Spot(dart_of(shape, other).edge, dart_of(shape, other).mouth[0])
        stays = staying(garment.piece(self.piece), self.stays, ())
        if stays is not None and not self.stays and to.edge == stays.edge:
            stays = None
        through = tuple(inner_point(shape, words) for words in self.through)
        new = "turned into another" if other else self.new
        turned = turned_dart(shape, self.dart, to, self.share, new_id=new, through=through, stays=stays)
        return in_turn(turned, merged(turned.shape, new, other)) if other else turned

    def _other(self, shape: Shape) -> str | None:
        """The dart that it is added to."""
        edge, _, place = self.to.partition(" at ")
        sort, _, name = " ".join(place.split()).partition(" ")
        if sort != "dart" or name == self.dart:
            return None
        return name if dart_of(shape, name).edge == edge.strip() else None

    def _ids(self, before: Shape, after: Shape) -> dict[str, tuple[str, ...]]:
        """Where the dart is now, if its id is not all that is left of it."""
        known = {dart.id for dart in before.darts}
        left = [dart.id for dart in after.darts if dart.id == self.dart or dart.id not in known]
        left += [other for other in [self._other(before)] if other]
        now = tuple(f"{self.piece}.{name}" for name in left)
        return {} if left == [self.dart] else {f"{self.piece}.{self.dart}": now}
