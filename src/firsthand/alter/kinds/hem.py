"""Lengthen or shorten at the hem."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import sensible
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.lines import EdgeName, edge_names, evenly, moved_edges
from firsthand.errors import CannotAlter
from firsthand.pattern import FateKind, Garment
from firsthand.units import Length, said

__all__ = ["Hem"]

MOST = 2000.0
"""More than this, mm, is a slip of the keyboard."""


@ALTERATIONS.register("hem")
@dataclass(frozen=True, slots=True)
class Hem(Entry):
    """Lengthen at the hem; a negative amount shortens.

    The hem moves square to itself, everywhere by the same amount, so that a curved hem stays parallel to what it was. The edges
    beside it are run on straight, or trimmed. The depth of the hem stays. For a length that is to go in above a level, as above
    a knee, lengthen there instead. What drives it is a length of the body down to where the hem is to be: the inside leg, the
    outside leg, the arm.

    Parameters
    ----------
    amount
        How much longer, mm.
    pieces
        Ids of the only pieces to alter, as the sleeve; empty means all that have a hem.
    edges
        Instead: the edges themselves, as ``front.hem``, also those that are not hemmed.
    with_partners
        Whether facings and linings that lie under a moved edge, and have its line, move along.
    """

    kind: ClassVar[str] = "hem"
    driven_by: ClassVar[tuple[str, ...]] = ("inside_leg_length", "outside_leg_length", "arm_length")

    amount: Length
    pieces: tuple[str, ...] = ()
    edges: tuple[str, ...] = ()
    with_partners: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        sensible(self.amount, MOST)
        names = self._names(garment)
        longer = self.amount >= 0
        words = f"Hem {'let down' if longer else 'raised'} by {said(abs(self.amount))}: {', '.join(map('.'.join, names))}"
        return moved_edges(
            garment, self, words, self.amount, lambda amount: evenly(names, -amount),
            verb="lengthening by" if longer else "shortening by", figures={"amount": self.amount},
            with_partners=self.with_partners,
        )  # fmt: skip

    def _names(self, garment: Garment) -> tuple[EdgeName, ...]:
        if self.pieces and self.edges:
            raise CannotAlter("hem names both pieces and edges", "Keep one of the two.")
        if self.edges:
            return edge_names(garment, self.edges)
        found = []
        for name in self.pieces or garment.pieces:
            shape = garment.piece(name).drawn_shape if self.pieces else garment.piece(name).shape
            hems = [edge.id for edge in shape.edges if edge.fate and edge.fate.kind is FateKind.HEM] if shape else []
            if self.pieces and not hems:
                raise CannotAlter(f"no edge of {name} is hemmed", "Name the edge with edges = [...].")
            found += [(name, edge) for edge in hems]
        if not found:
            raise CannotAlter("no edge of the garment is hemmed", "Name the edges with edges = [...].")
        return tuple(found)
