"""The outer layer of what is turned or folded grows with the thickness of the cloth."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, rebuilt, reshaped, sensible
from firsthand.alter._notes import lost_notches
from firsthand.alter._spots import Spot
from firsthand.alter.cutting.sections import spread_between
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import put_in
from firsthand.alter.moving.grounds import on_ground, standing_of
from firsthand.alter.moving.maps import stretches
from firsthand.alter.moving.profile import profile
from firsthand.alter.moving.reshape import Reshaped, moved_by
from firsthand.alter.naming.layers import layer_apart
from firsthand.errors import CannotAlter, FirsthandError, NotThere
from firsthand.geometry import extended, intersections
from firsthand.pattern import Garment, Profile, Seam, Shape, walk_seam
from firsthand.units import Length, said

__all__ = ["TurnOfCloth", "turn_of_edge", "turn_of_roll"]

THICKEST = 15.0
"""Cloth thicker than this, mm, is a slip of the keyboard."""
BETWEEN = 3.0
"""Between the middles of two layers that are turned lie half of each and two turned-in allowances: three thicknesses."""


def turn_of_edge(thickness: float) -> float:
    """How much the outer layer grows at a turned edge so that its seam lies just underneath, mm.

    Derived: the seam moves from the middle of the edge to the under side, so the outer layer covers the whole depth of what
    lies between the two. Common practice: 1.5 to 3 mm for most cloths, 6 mm for coatings (from memory).

    Examples
    --------
    >>> turn_of_edge(0.25), turn_of_edge(0.6), turn_of_edge(2.0)
    (0.75, 1.7999999999999998, 6.0)
    """
    return BETWEEN * thickness


def turn_of_roll(thickness: float) -> float:
    """How much the outer layer grows across a roll of half a turn, mm: the arcs of two layers one thickness apart."""
    return math.pi * thickness


@ALTERATIONS.register("turn-of-cloth")
@dataclass(frozen=True, slots=True)
class TurnOfCloth(Entry):
    """Let the outer layer of a collar, cuff, lapel, flap or folded band grow by the turn of the cloth.

    At a turned edge the outer layer grows by three thicknesses: what lies between it and the under layer when their seam is
    rolled just out of sight; across a roll, as where a collar falls over its stand, by half the circumference of one thickness
    more. Where a turned edge meets one that is not turned it grows from nothing. The seams of the edges then ease the outer
    layer in. A band that is folded grows along its fold. A piece that is cut of several materials gets a piece of its own for
    the outer layer, visibly.

    Parameters
    ----------
    piece
        Id of the piece.
    thickness
        How thick the cloth is.
    edges
        Ids of the edges that are turned: a collar's outer edge and its ends.
    fold
        Id of an inner line along which a band is folded.
    role
        What the outer layer is cut of, where the piece is cut of more than that.
    rolled
        Whether the outer layer also goes round a roll.
    """

    kind: ClassVar[str] = "turn-of-cloth"

    piece: str
    thickness: Length
    edges: tuple[str, ...] = ()
    fold: str = ""
    role: str = "shell"
    rolled: bool = False

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        grows = self._grows()
        apart, name = layer_apart(garment, self.piece, self.role, "outer")
        changed = as_much_as_goes(partial(self._grown, apart, name), grows, "growing by")
        edges = {place: runs for piece, result in changed.items() for place, runs in stretches(piece, result.maps).items()}
        ids = {self.piece: (self.piece, name)} if name != self.piece else {}
        after = _eased_in(apart, put_in(apart, changed))
        where = " and ".join([*self.edges, *([f"the fold {self.fold}"] if self.fold else [])])
        words = f"{name} grown by {said(grows)} for the turn of the cloth at {where}"
        figures = {"thickness": self.thickness, "growth": grows}
        lost = lost_notches(garment, self.id or self.kind, changed)
        return rebuilt(garment, after, self, words, figures, edges, ids, changed, lost)

    def _grows(self) -> float:
        if not sensible(self.thickness, THICKEST) >= 0:
            raise CannotAlter("a cloth is not thinner than nothing", "Correct its thickness.")
        if not self.edges and not self.fold:
            raise CannotAlter("nothing is named that turns", "Name the edges that are turned, or the fold of a band.")
        return turn_of_edge(self.thickness) + (turn_of_roll(self.thickness) if self.rolled else 0.0)

    def _grown(self, garment: Garment, name: str, by: float) -> dict[str, Reshaped]:
        return reshaped(garment, {name: partial(self._reshaped, by=by)})

    def _reshaped(self, shape: Shape, by: float) -> Reshaped:
        if by == 0:
            return Reshaped(shape, {})
        if not self.fold:
            return moved_by(shape, _profiles(shape, self.edges, by))
        if self.edges:
            raise CannotAlter("a fold and turned edges are two alterations", "Write one for each.")
        return _spread_at_fold(shape, self.fold, by)


def _profiles(shape: Shape, names: tuple[str, ...], by: float) -> Mapping[str, Profile]:
    """Each edge out by an amount, from nothing where it meets an edge that is not turned; on the fold it is the whole."""
    profiles = {}
    order = [edge.id for edge in shape.edges]
    turned = {*names, *(edge.id for edge in shape.edges if edge.fate and edge.fate.kind == "fold")}
    for name in names:
        edge, standing = shape.edge(name), standing_of(shape, name)
        k = order.index(name)
        before, after = order[k - 1] in turned, order[(k + 1) % len(order)] in turned
        ends = [(0.0, -by if before else 0.0), (edge.path.length, -by if after else 0.0)]
        if not before and not after:
            ends.insert(1, (edge.path.length / 2, -by))
        profiles[name] = profile((on_ground(standing, at), amount) for at, amount in ends)
    return profiles


def _spread_at_fold(shape: Shape, fold: str, by: float) -> Reshaped:
    line = next((line for line in shape.lines if line.id == fold), None)
    if line is None:
        raise NotThere("inner line", fold, (line.id for line in shape.lines))
    box = shape.outline.bounds
    found = intersections(shape.outline, extended(line.path, box.width + box.height, box.width + box.height))
    spots = sorted(found, key=lambda crossing: crossing.at_b)
    if len(spots) != 2:
        raise CannotAlter(f"the fold {fold} does not cross the piece once", "Name another line.")
    one, two = (_spot(shape, crossing.at_a) for crossing in spots)
    return spread_between(shape, one, two, by, by)


def _spot(shape: Shape, at: float) -> Spot:
    for edge in shape.edges:
        length = edge.path.length
        if at <= length:
            return Spot(edge.id, at)
        at -= length
    return Spot(shape.edges[-1].id, shape.edges[-1].path.length)


def _eased_in(before: Garment, after: Garment) -> Garment:
    """Seams whose one side grew ease the growth in."""
    return replace(after, seams=tuple(_easing(before, after, seam) for seam in after.seams))


def _easing(before: Garment, after: Garment, seam: Seam) -> Seam:
    try:
        grown = walk_seam(after, seam).difference - walk_seam(before, seam).difference
    except FirsthandError:  # a seam that cannot be walked is found by its own check
        return seam
    return replace(seam, easing=seam.easing + grown) if abs(grown) > 1e-9 else seam
