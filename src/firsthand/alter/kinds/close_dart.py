"""Leave a dart out: what it took up is gathered, eased in, laid into a pleat, or goes into a new seam."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import ClassVar

from firsthand.alter._making import finished
from firsthand.alter.cutting.cuts import dart_of
from firsthand.alter.cutting.eased import eased_at
from firsthand.alter.cutting.refit import eased_in, gathered
from firsthand.alter.kinds.split_piece import SplitPiece
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.reshape import Reshaped
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, Pleat, Pressed, Seam, Shape
from firsthand.units import said

__all__ = ["CloseDart", "Into"]


class Into(StrEnum):
    """What becomes of what a dart took up."""

    GATHERS = "gathers"
    """The edge is gathered to the length that it had with the dart sewn."""
    EASE = "ease"
    """The edge is eased in, which goes for small amounts."""
    PLEAT = "pleat"
    """A knife pleat that is not pressed below the seam."""
    SEAM = "seam"
    """A new seam through the dart's point, that the dart is part of."""


@ALTERATIONS.register("close-dart")
@dataclass(frozen=True, slots=True, kw_only=True)
class CloseDart(Entry):
    """Leave a dart out, and give what it took up to gathers, to ease, to a pleat or to a seam.

    The edge is not cut: gathered or eased in, it grows by what the dart took up, and the seams at it are made to fit. As
    a pleat the edge as sewn stays as it was. As a seam the piece is cut in two through the dart's point.

    Parameters
    ----------
    piece
        Id of the piece.
    dart
        Id of the dart.
    into
        What it becomes: ``gathers``, ``ease``, ``pleat`` or ``seam``.
    to
        Where the new seam ends, as ``shoulder at 50 %``; only for a seam.
    names
        Ids of the two new pieces; only for a seam.
    """

    kind: ClassVar[str] = "close-dart"

    piece: str
    dart: str
    into: Into
    to: str = ""
    names: tuple[str, ...] = ()

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        shape = garment.piece(self.piece).drawn_shape
        width = dart_of(shape, self.dart).width
        if self.into is Into.SEAM:
            return self._as_seam(garment, shape)
        if self.to or self.names:
            raise CannotAlter("only a dart that becomes a seam ends somewhere", "Leave out to and names.")
        result = self._as_pleat(shape) if self.into is Into.PLEAT else self._left_out(shape)
        words = f"{self.dart} of {self.piece} made into {_WORDS[self.into]} of {said(width)}"
        made = finished(garment, self, words, {"take-up": width}, {self.piece: result})
        edge = {(self.piece, dart_of(shape, self.dart).edge)}
        after = made.garment
        seams: tuple[Seam, ...] = ()
        if self.into is not Into.PLEAT:
            after, seams = (gathered if self.into is Into.GATHERS else eased_in)(made.garment, edge)
        figures = {f"ratio of {seam.id}": seam.ratio for seam in seams} | {
            f"easing of {seam.id}": seam.easing for seam in seams
        }
        gone = {f"{self.piece}.{self.dart}": (f"{self.piece}.{self.dart}",) if self.into is Into.PLEAT else ()}
        record = replace(made.record, figures={**made.record.figures, **figures}, ids={**made.record.ids, **gone})
        return Altered(after, record, made.findings)

    def _left_out(self, shape: Shape) -> Reshaped:
        dart = dart_of(shape, self.dart)
        return eased_at(replace(shape, darts=tuple(d for d in shape.darts if d.id != dart.id)), dart.edge, dart.mouth)

    def _as_pleat(self, shape: Shape) -> Reshaped:
        dart = dart_of(shape, self.dart)
        if any(pleat.id == dart.id for pleat in shape.pleats):
            raise CannotAlter(f"there is a pleat {dart.id} already", "Give one of them another id.")
        pleat = Pleat(dart.id, dart.edge, dart.at, dart.width / 2, towards_end=dart.pressed is Pressed.END, towards=dart.apex)
        darts = tuple(d for d in shape.darts if d.id != dart.id)
        return Reshaped(replace(shape, darts=darts, pleats=(*shape.pleats, pleat)), {})

    def _as_seam(self, garment: Garment, shape: Shape) -> Altered:
        if not self.to:
            raise CannotAlter("a seam needs a place where it ends", 'Write for example to = "shoulder at 50 %".')
        start = f"{dart_of(shape, self.dart).edge} at dart {self.dart}"
        line = (f"point of {self.dart}",)
        split = SplitPiece(piece=self.piece, start=start, end=self.to, through=line, names=self.names, id=self.id or self.kind)
        made = split.apply(garment)
        words = f"{self.dart} of {self.piece} made part of a seam to {self.to}: {' and '.join(made.record.pieces)}"
        return replace(made, record=replace(made.record, kind=self.kind, words=words))


_WORDS = {Into.GATHERS: "gathers", Into.EASE: "ease", Into.PLEAT: "a pleat"}
