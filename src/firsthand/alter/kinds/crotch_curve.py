"""The crotch curve of a leg: its point further out, its curve deeper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import sensible
from firsthand.alter._together import Next, together
from firsthand.alter.kinds._bodily import beside
from firsthand.alter.kinds.move_edge import MoveEdge
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment
from firsthand.units import Length, said

__all__ = ["CrotchCurve"]

MOST = 150.0
"""More than this, mm, is a slip of the keyboard."""
RUNS_OUT = 0.5
"""Share of the inseam over which a longer point runs out."""
DEEPEST = 0.3
"""Where the curve is deepened most, as a share of the crotch edge from its point. Source: common practice."""


@ALTERATIONS.register("crotch-curve")
@dataclass(frozen=True, slots=True)
class CrotchCurve(Entry):
    """Make the crotch of a leg longer at its point, or its curve deeper; negative amounts the other way.

    The point is moved out and the inseam runs out to where it was halfway down the leg: the curve runs on to the new point, and
    the thigh becomes wider by as much. Deepening scoops the curve out near its point and leaves both its ends. Alter front and
    back alike where their inseams are to stay equally long. The length through the crotch from waist to waist drives it, and
    the girth of the thigh.

    Parameters
    ----------
    piece
        Id of the piece.
    longer
        How far the point is moved out, mm.
    deeper
        How much the curve is scooped out, mm.
    crotch, inseam
        Ids of the two edges that meet in the point.
    """

    kind: ClassVar[str] = "crotch-curve"
    driven_by: ClassVar[tuple[str, ...]] = ("crotch_length", "thigh_girth")

    piece: str
    longer: Length = 0.0
    deeper: Length = 0.0
    crotch: str = "crotch"
    inseam: str = "inseam"

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        sensible(self.longer, MOST)
        sensible(self.deeper, MOST)
        if not self.longer and not self.deeper:
            raise CannotAlter("nothing is said of the crotch", "Say how much longer or deeper it becomes.")
        told = [f"{said(abs(by))} {more if by > 0 else less}" for by, more, less in (
            (self.longer, "longer at its point", "shorter at its point"), (self.deeper, "deeper", "flatter"),
        ) if by]  # fmt: skip
        words = f"Crotch of {self.piece} {' and '.join(told)}"
        return together(garment, self, self._steps(garment), words, {"longer": self.longer, "deeper": self.deeper})

    def _steps(self, garment: Garment) -> Iterator[Next]:
        shape = garment.piece(self.piece).drawn_shape
        point = beside(shape, self.inseam, self.crotch)
        stations = ((point, self.longer), (f"{RUNS_OUT:.0%}", 0.0))
        yield lambda now: MoveEdge(edges=(f"{self.piece}.{self.inseam}",), stations=stations) if self.longer else None
        near = DEEPEST if beside(shape, self.crotch, self.inseam) == "start" else 1 - DEEPEST
        curve = (("start", 0.0), (f"{near:.0%}", -self.deeper), ("end", 0.0))
        yield lambda now: MoveEdge(edges=(f"{self.piece}.{self.crotch}",), stations=curve) if self.deeper else None
