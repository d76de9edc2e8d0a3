"""Room at the calf."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import sensible
from firsthand.alter._together import together
from firsthand.alter.kinds._bodily import seam_named
from firsthand.alter.kinds.take_in import TakeIn
from firsthand.alter.model import ALTERATIONS, Alteration, Altered, Entry
from firsthand.alter.moving.chains import chains, place_along
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, sewn_length
from firsthand.units import Length, said

__all__ = ["Calf"]

MOST = 200.0
"""More than this, mm, is a slip of the keyboard."""


@ALTERATIONS.register("calf")
@dataclass(frozen=True, slots=True)
class Calf(Entry):
    """Give each calf more room in a leg, or less; knee and ankle stay as they are.

    The leg is let out at its seams at the level of the calf, running out above and below it. The girth of the calf drives it.

    Parameters
    ----------
    amount
        How much more room each leg has at the calf, mm; negative less.
    seams
        Ids of the seams of a leg, or names common to a right and a left one; all take the same share.
    level
        Id of the level of the calf.
    reach
        How far above and below it the change runs out.
    """

    kind: ClassVar[str] = "calf"
    driven_by: ClassVar[tuple[str, ...]] = ("calf_girth",)

    amount: Length
    seams: tuple[str, ...] = ("side", "inseam")
    level: str = "calf"
    reach: Length = 180.0

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        sensible(self.amount, MOST)
        if not self.seams or sensible(self.reach, 1000.0) < 20.0:
            raise CannotAlter(
                "a calf needs seams to let out, and a reach of at least 2 cm", "Name seams, or correct the reach."
            )
        verb = "let out" if self.amount >= 0 else "taken in"
        words = f"Each leg {verb} by {said(abs(self.amount))} at the {self.level}, at {' and '.join(self.seams)}"
        steps = [self._step(garment, name) for name in self.seams] if self.amount else []
        return together(garment, self, [lambda now, entry=entry: entry for entry in steps], words, {"amount": self.amount})  # type: ignore[misc]

    def _step(self, garment: Garment, name: str) -> Alteration:
        seam = seam_named(garment, name)
        at, _ = place_along(seam.id, chains(garment, seam), f"level {self.level}")
        whole = sum(sewn_length(garment.piece(ref.piece).drawn_shape, ref.edge) for ref in seam.a)
        share = -self.amount / len(self.seams)
        ends = [(f"{stop:.6f} mm", 0.0) for stop in (at - self.reach, at + self.reach) if 0 <= stop <= whole]
        stations = ((f"level {self.level}", 2 * share), *ends)
        return TakeIn(stations=stations, seams=(name,))
