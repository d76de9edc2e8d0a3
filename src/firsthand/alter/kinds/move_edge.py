"""Move any edge, evenly or by different amounts from place to place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import sensible
from firsthand.alter._spots import along, place_told
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.follow import Moves
from firsthand.alter.moving.grounds import ground_shape
from firsthand.alter.moving.lines import EdgeName, edge_names, evenly, moved_edges
from firsthand.alter.moving.profile import profile
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, Profile
from firsthand.units import Length, said

__all__ = ["MoveEdge"]

MOST = 1000.0
"""More than this, mm, is a slip of the keyboard."""


@ALTERATIONS.register("move-edge")
@dataclass(frozen=True, slots=True)
class MoveEdge(Entry):
    """Move edges outwards, evenly or by different amounts from place to place; negative amounts move them inwards.

    For lines that are not taken in along a seam: an armhole, the top of a bodice. Each edge moves along its normals from the
    line it had before it was ever moved, so that several of these add up. Neighbouring edges stay on their lines and are
    trimmed or run on; where the amount at an end is nothing the corner stays; into a neighbour that the edge runs into
    smoothly the movement runs out over 8 cm. A dart on the edge keeps its point and what it takes up. Only the edges named
    move, and what lies under them: what is sewn to them edge to edge, as a sleeve to an armhole, is named as still to be
    altered. Where the edge is an armhole, the girth of the armhole drives it.

    Parameters
    ----------
    edges
        The edges, as ``front.armhole``.
    amount
        How far outwards, mm, all along. Needed unless ``stations`` are told.
    stations
        Instead: places along the edge, each with its amount, mm, as ``[["start", 0], ["notch n1", "8 mm"], ["end", 0]]``.
        Places are told on each of the edges by itself, as it was before it was ever moved: ``start``, ``end``, ``12 cm``,
        ``40 %``, ``notch ID``, ``dart ID``, ``level ID``. The amount runs smoothly between them and stays the same beyond
        the outermost.
    straight
        Whether the amount runs straight from one of two places to the other and on beyond, so that a straight edge stays
        straight.
    with_partners
        Whether facings and linings that lie under a moved edge, and have its line, move along.
    """

    kind: ClassVar[str] = "move-edge"
    driven_by: ClassVar[tuple[str, ...]] = ("armscye_girth",)

    edges: tuple[str, ...]
    amount: Length | None = None
    stations: tuple[tuple[str, Length], ...] = ()
    straight: bool = False
    with_partners: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        names, peak = self._names(garment), self._peak
        told = ", ".join(map(".".join, names))
        out = "out" if peak >= 0 else "in"
        words, figures = f"Moved {out} by {said(abs(peak))}: {told}", {"amount": peak}
        if self.stations:
            sign = -1.0 if peak < 0 else 1.0
            places = ", ".join(f"{said(sign * amount)} at {place_told(place)}" for place, amount in self.stations)
            words, figures = f"Moved {out}: {told}: {places}", {f"at {place}": amount for place, amount in self.stations}
        return moved_edges(
            garment, self, words, peak, lambda amount: self._moves(garment, names, amount / peak if peak else 0.0),
            verb=f"moving {out} by", figures=figures, with_partners=self.with_partners,
        )  # fmt: skip

    @property
    def _peak(self) -> float:
        return max((amount for _, amount in self.stations), key=abs, default=self.amount or 0.0)

    def _names(self, garment: Garment) -> tuple[EdgeName, ...]:
        for amount in (self.amount or 0.0, *(amount for _, amount in self.stations)):
            sensible(amount, MOST)
        if bool(self.stations) == (self.amount is not None):
            both = "both an amount and stations" if self.stations else "neither an amount nor stations"
            raise CannotAlter(f"move-edge has {both}", "Write one of the two.")
        if not self.edges:
            raise CannotAlter("no edge is named", "Name the edges with edges = [...].")
        return edge_names(garment, self.edges)

    def _moves(self, garment: Garment, names: Iterable[EdgeName], share: float) -> Moves:
        if not self.stations:
            return evenly(names, -(self.amount or 0.0) * share)
        moves: dict[str, dict[str, Profile]] = {}
        for piece, edge in names:
            shape = ground_shape(garment.piece(piece).drawn_shape)
            moves.setdefault(piece, {})[edge] = profile(
                (along(shape, edge, words), -amount * share) for words, amount in self.stations
            )
        return moves
