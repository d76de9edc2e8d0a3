"""Room over the seat, the belly and a round back: a wedge of length across the piece."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import sensible
from firsthand.alter._together import together
from firsthand.alter.kinds._bodily import wedge
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.pattern import Garment
from firsthand.units import Length, said

__all__ = ["Belly", "RoundBack", "Seat"]

MOST = 200.0
"""More than this, mm, is a slip of the keyboard."""


@dataclass(frozen=True, slots=True)
class _Wedge(Entry):
    """A wedge of length put in across a piece: what the kinds of this file share.

    Parameters
    ----------
    amount
        How much longer the centre becomes, mm; negative shorter.
    centre
        Where the wedge is open, as ``crotch at 40 %``.
    hinge
        Where it is hinged, as ``side at level hip``.
    piece
        Id of the piece.
    """

    kind: ClassVar[str]
    over: ClassVar[str]
    """What lies under the wedge, for the record."""

    amount: Length
    centre: str
    hinge: str
    piece: str = "back"

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        sensible(self.amount, MOST)
        done = "lengthened" if self.amount >= 0 else "shortened"
        words = f"{self.piece} {done} by {said(abs(self.amount))} {self.over}, at {self.centre}, running out to {self.hinge}"
        steps = wedge(garment, self.piece, self.amount, self.centre, self.hinge)
        return together(garment, self, steps, words, {"amount": self.amount})


@ALTERATIONS.register("seat")
@dataclass(frozen=True, slots=True)
class Seat(_Wedge):
    """Give a full seat the length it needs over it, or take it out for a flat one.

    A wedge is put in across the back, open at its centre edge and hinged at its side, so that the side seam keeps its length.
    Where the centre lies on the fold, which has to stay straight, all above is raised instead, by as much at the fold, running
    out to the side. The length from the waist at the back through the crotch drives it.
    """

    kind: ClassVar[str] = "seat"
    driven_by: ClassVar[tuple[str, ...]] = ("crotch_length_back", "back_waist_length")
    over: ClassVar[str] = "over the seat"


@ALTERATIONS.register("belly")
@dataclass(frozen=True, slots=True)
class Belly(_Wedge):
    """Give a belly the length it needs over it, or take it out for a flat one.

    As for the seat, on the front. The length from the waist at the front through the crotch drives it.
    """

    kind: ClassVar[str] = "belly"
    driven_by: ClassVar[tuple[str, ...]] = ("crotch_length_front", "front_waist_length")
    over: ClassVar[str] = "over the belly"

    piece: str = "front"


@ALTERATIONS.register("round-back")
@dataclass(frozen=True, slots=True)
class RoundBack(_Wedge):
    """Give a round back the length it needs between neck and shoulder blades, or take it out for a very straight one.

    A wedge is put in across the back at the shoulder blades, open at its centre and hinged at the armhole, so that the armhole
    keeps its length. Where the centre lies on the fold all above is raised instead, running out to the hinge; the shoulder
    becomes a little longer and is eased to the front. The length of the back from neck to waist drives it.

    Parameters
    ----------
    centre
        Where the wedge is open, as ``centre at 25 %``.
    hinge
        Where it is hinged, as ``armhole at notch n1``.
    """

    kind: ClassVar[str] = "round-back"
    driven_by: ClassVar[tuple[str, ...]] = ("back_waist_length",)
    over: ClassVar[str] = "over the shoulder blades"
