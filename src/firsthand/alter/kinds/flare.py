"""Flare: a wider hem, the edge opposite as it was."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, finished, on_piece, reshaped, sensible
from firsthand.alter._spots import Spot
from firsthand.alter.cutting.cuts import Cut, Parted, Side
from firsthand.alter.cutting.eased import trued_together
from firsthand.alter.cutting.placing import under_grain
from firsthand.alter.cutting.slashed import Slash, refuse_bent_folds, slashed, staying
from firsthand.alter.cutting.widening import copies_of, even_lines, opposite, read_edges
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import put_in
from firsthand.alter.moving.reshape import Reshaped
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, Piece, Shape
from firsthand.units import Length, said

__all__ = ["Flare"]

MOST = 20000.0
"""More than this in all, mm, is a slip of the keyboard."""


@ALTERATIONS.register("flare")
@dataclass(frozen=True, slots=True, kw_only=True)
class Flare(Entry):
    """Flare edges, as the hem of a skirt, by slashes hinged at the edge opposite; a negative amount takes flare out.

    The amount is what the whole garment gains all the way round: pieces share it by the lengths of their edges, and a piece
    that is cut as a pair or on the fold counts on both hands. Side seams only swing outwards, so that they keep their lengths,
    and so does the edge opposite. The fold edge stays where it is; on other pieces the grain goes on running down the middle of
    what is put in.

    Parameters
    ----------
    amount
        How much the named edges of the garment gain in all, mm.
    edges
        The edges that become wider, as ``["front.hem", "back.hem"]``.
    opposite
        The edges at which the slashes are hinged, as ``["front.waist", "back.waist"]``; without them the one edge of each piece
        that does not touch the wider one.
    count
        How many slashes each piece gets as it is drawn, evenly spaced.
    places
        Instead: places of the slashes along each of the edges, as ``["30 %", "notch n1"]``.
    trued
        Whether the edges are made fair where they were parted, over at most 6 cm on either side.
    """

    kind: ClassVar[str] = "flare"

    amount: Length
    edges: tuple[str, ...]
    opposite: tuple[str, ...] = ()
    count: int = 4
    places: tuple[str, ...] = ()
    trued: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        sensible(self.amount, MOST)
        lines = self._lines(garment)
        shares = self._shares(garment)

        def flared(amount: float) -> dict[str, Reshaped]:
            changes = {}
            for name, slashes in lines.items():
                piece = garment.piece(name)
                gaps = [replace(slash, at_one=amount * shares[name] / len(slashes)) for slash in slashes]
                changes[name] = partial(_slashed, piece=piece, slashes=gaps)
            return reshaped(garment, changes)

        verb = "flaring by" if self.amount > 0 else "taking out flare by"
        changed = as_much_as_goes(flared, self.amount, verb) if self.amount else {}
        refuse_bent_folds(garment, changed, put_in(garment, changed))
        changed = trued_together(garment, changed) if self.trued else changed
        figures = {"amount": self.amount} | {f"edge {edge}": self._gain(shares, edge) for edge in self.edges}
        what = "Flared" if self.amount >= 0 else "Flare taken out"
        words = f"{what} by {said(abs(self.amount))} in all at {', '.join(dict.fromkeys(self.edges))}"
        return finished(garment, self, words, figures, changed)

    def _gain(self, shares: dict[str, float], edge: str) -> float:
        return self.amount * shares[edge.rpartition(".")[0]]

    def _lines(self, garment: Garment) -> dict[str, tuple[Slash, ...]]:
        hinges = dict(read_edges(garment, self.opposite)) if self.opposite else {}
        lines: dict[str, tuple[Slash, ...]] = {}
        for name, edge in read_edges(garment, self.edges):
            if name in lines:
                raise CannotAlter(f"two edges of {name} cannot be flared at once", "Flare one after the other.")
            shape = garment.piece(name).drawn_shape
            with on_piece(name):
                far = opposite(shape, edge, hinges.get(name, ""))
                lines[name] = even_lines(shape, edge, far, count=self.count, places=self.places)
        return lines

    def _shares(self, garment: Garment) -> dict[str, float]:
        """What each piece as drawn gains of the whole amount."""
        named = read_edges(garment, self.edges)
        lengths = {name: garment.piece(name).drawn_shape.edge(edge).path.length for name, edge in named}
        whole = sum(length * copies_of(garment.piece(name)) for name, length in lengths.items())
        return {name: length / whole for name, length in lengths.items()}


def _slashed(shape: Shape, piece: Piece, slashes: Sequence[Slash]) -> Reshaped:
    stays = staying(piece, "", slashes)
    if stays is not None or len(slashes) % 2 == 0:
        return slashed(shape, slashes, stays)
    middle = slashes[len(slashes) // 2]
    right = Parted(shape, Cut(middle.one, middle.two, middle.through)).stays is Side.RIGHT
    result = slashed(shape, slashes, _beside(shape, slashes, right=right))
    # The grain lies on one side of the middle slash, and the wedges on its two sides would not be alike: it halves that one.
    half = math.asin(middle.at_one / 2 / middle.one.point(shape).distance(middle.two.point(shape)))
    return replace(result, shape=under_grain(result.shape, half if right else -half))


def _beside(shape: Shape, slashes: Sequence[Slash], *, right: bool) -> Spot:
    """A place on the section beside the middle slash, onwards along the edge (to the right of the slash) or before it."""
    edge = slashes[0].one.edge
    places = [0.0, *(slash.one.at for slash in slashes), shape.edge(edge).path.length]
    middle = len(slashes) // 2 + 1
    return Spot(edge, (places[middle] + places[middle + (1 if right else -1)]) / 2)
