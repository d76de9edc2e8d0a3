"""Room over the bust."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, finished, reshaped, sensible
from firsthand.alter._spots import Spot, spot
from firsthand.alter.cutting.cuts import Cut, dart_of
from firsthand.alter.cutting.sections import moved_section
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import in_turn
from firsthand.alter.moving.reshape import Crosses, Reshaped, carried
from firsthand.errors import CannotAlter
from firsthand.geometry import Affine, Path, Point, extended
from firsthand.pattern import Dart, Garment, Piece, Shape
from firsthand.units import Length, said

__all__ = ["Bust"]

MOST = 300.0
"""More than this, mm of girth, is a slip of the keyboard."""
INSIDE = 1.0
"""So far from its ends, mm, the lower edge must be slashed."""
NARROW = 0.1
"""Amounts below this, mm, put in nothing that a dart could take out."""
SLIGHT = 0.01
"""A lower edge that is out of level by less, mm, is level."""
STEEP = 0.5
"""The centre edge runs down along the grain within 60 degrees."""


@ALTERATIONS.register("bust")
@dataclass(frozen=True, slots=True)
class Bust(Entry):
    """Give a full bust room over its fullest part, or take it out for a small one.

    The front is slashed from its lower edge up to the point of the bust dart and on to the armhole. The side is swung out,
    hinged at the armhole so that this keeps its length, until half the amount is put in at the point. What lies below the dart
    is swung back, so that it is put in evenly from there down: the dart takes up more, side seam and armhole sew up as before.
    The centre becomes longer, until it is level with the side again. At the lower edge the piece is as much wider; a dart can
    take that out again. The girth of the bust drives it.

    Parameters
    ----------
    amount
        How much more girth the bust has all round, mm; each half of the front takes half of it; negative less.
    dart
        Id of the dart that shapes the bust, open to the side.
    lower
        Where the lower edge is slashed, as ``waist at 40 %``.
    hinge
        Where the armhole is the hinge, as ``armhole at notch n1``.
    piece
        Id of the piece.
    lower_dart
        Id of a new dart that takes out at the lower edge what was put in there; empty leaves it in.
    """

    kind: ClassVar[str] = "bust"
    driven_by: ClassVar[tuple[str, ...]] = ("bust_girth",)

    amount: Length
    dart: str
    lower: str
    hinge: str
    piece: str = "front"
    lower_dart: str = ""

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        gap = sensible(self.amount, MOST) / 2
        piece = garment.piece(self.piece)
        self._refuse(piece.drawn_shape)
        self._refuse_places(piece.drawn_shape)
        swing = _swing(piece, self)
        changed = as_much_as_goes(
            lambda amount: reshaped(garment, {self.piece: partial(_with_room, swing=swing, gap=amount / 2)}),
            self.amount,
            "putting in" if gap >= 0 else "taking out",
        )
        done = "more" if gap >= 0 else "less"
        words = f"{self.piece} given {said(abs(gap))} {done} room over the bust on each side, from {self.dart}"
        return finished(garment, self, words, {"amount": self.amount, "each side": gap}, changed)

    def _refuse(self, shape: Shape) -> None:
        dart_of(shape, self.dart)
        if any(dart.id == self.lower_dart for dart in shape.darts):
            raise CannotAlter(f"there is a dart {self.lower_dart} already", "Give the new dart another id.")
        if self.lower_dart and self.amount < 0:
            raise CannotAlter("nothing is put in at the lower edge that a dart could take out", "Leave lower_dart out.")
        if self.lower_dart and (not self.lower_dart.strip() or 0 < self.amount < NARROW):
            words = f"no dart can be called {self.lower_dart!r}" if self.amount >= NARROW else "nothing is put in for a dart"
            raise CannotAlter(words, "Give it another id, or leave lower_dart out.")

    def _refuse_places(self, shape: Shape) -> None:
        lower, hinge = spot(shape, self.lower), spot(shape, self.hinge)
        if lower.edge == hinge.edge:
            raise CannotAlter(f"{lower.edge} cannot be both slashed and the hinge", "Name two edges.")
        if not INSIDE <= lower.at <= shape.edge(lower.edge).path.length - INSIDE:
            raise CannotAlter(f"{self.lower} is a corner of the piece", "Slash the lower edge between its ends.")


@dataclass(frozen=True, slots=True)
class _Swing:
    """Where a front is slashed and swung.

    Parameters
    ----------
    dart, lower_dart
        The bust dart, and the id of the new one.
    lower, hinge
        Both ends of the slash.
    held
        A place on the section that stays.
    first
        Whether the lower edge starts at the centre, as drawn, and ends at the side.
    up
        The direction of the grain.
    away
        The direction across the grain from what stays to what is swung out.
    """

    dart: Dart
    lower_dart: str
    lower: Spot
    hinge: Spot
    held: Spot
    first: bool
    up: Point
    away: Point

    def angle(self, about: Point, gap: float) -> float:
        """By how much the side is swung about the hinge so that the point of the dart goes so far across, radians."""
        arm = self.dart.apex - about
        across, along = arm.dot(self.away), arm.dot(self.up)
        reach = (across + gap) / arm.norm
        if abs(reach) >= 1:
            raise Crosses(f"the point of {self.dart.id} lies too near the hinge")
        way = 1.0 if self.away.cross(self.up) > 0 else -1.0
        start = math.atan2(along, across)
        return way * (math.copysign(math.acos(reach), start) - start)


def _swing(piece: Piece, bust: Bust) -> _Swing:
    shape = piece.drawn_shape
    dart, lower, hinge = dart_of(shape, bust.dart), spot(shape, bust.lower), spot(shape, bust.hinge)
    mouth, up = shape.edge(dart.edge).path.at(dart.at), shape.up
    right = -up.left
    away = right if (mouth - dart.apex).dot(right) > 0 else -right
    path = shape.edge(lower.edge).path
    first = path.start.distance(mouth) > path.end.distance(mouth)
    return _Swing(dart, bust.lower_dart, lower, hinge, _held(piece, mouth), first, up, away)


def _held(piece: Piece, mouth: Point) -> Spot:
    """A place on the section that stays: the fold, or the edge farthest from the mouth of the dart."""
    middles = {edge.id: edge.path.at(edge.path.length / 2) for edge in piece.drawn_shape.edges}
    name = piece.fold or max(middles, key=lambda edge: middles[edge].distance(mouth))
    return Spot(name, piece.drawn_shape.edge(name).path.length / 2)


def _with_room(shape: Shape, swing: _Swing, gap: float) -> Reshaped:
    if gap == 0:
        return Reshaped(shape, {})
    about = swing.hinge.point(shape)
    angle = swing.angle(about, gap)
    shift = Affine.rotation(angle, about=about)(swing.dart.apex) - swing.dart.apex
    below = _moved(shape, swing, swing.lower, Affine.translation(shift.x, shift.y))
    level = _levelled(below, swing, -shift.dot(swing.up))
    done = in_turn(below, level) if level else below
    done = in_turn(done, _moved(done.shape, swing, swing.hinge, Affine.rotation(angle, about=about)))
    return replace(done, shape=_with_darts(done.shape, swing, done, shift))


def _moved(shape: Shape, swing: _Swing, start: Spot, motion: Affine) -> Reshaped:
    """What lies between a place on the outline and the dart moved; the dart opens or closes by it."""
    moved = moved_section(shape, Cut(start, None, (), swing.dart.id, swing.held), motion, blends=False)
    return Reshaped(moved.shape, moved.maps, moved.lost)


def _put_in(result: Reshaped, swing: _Swing) -> tuple[float, float]:
    """Where on the lower edge what was put in begins and ends, from the centre."""
    runs = result.maps[swing.lower.edge]
    before = max((run for run in runs if run[1] <= swing.lower.at + 1e-6), key=lambda run: run[1])
    after = min((run for run in runs if run[0] >= swing.lower.at - 1e-6), key=lambda run: run[0])
    return (before[3], after[2]) if swing.first else (after[2], before[3])


def _levelled(result: Reshaped, swing: _Swing, down: float) -> Reshaped | None:
    """The lower edge from the centre to what was put in shifted down along the centre until it is level with the side."""
    if abs(down) < SLIGHT:
        return None
    (near, far), first = _put_in(result, swing), swing.first
    shape, name = result.shape, swing.lower.edge
    path, length = shape.edge(name).path, shape.edge(name).path.length
    names = [edge.id for edge in shape.edges]
    beside = names[names.index(name) - 1 if first else (names.index(name) + 1) % len(names)]
    centre = shape.edge(beside).path
    out = centre.end_tangent if first else -centre.start_tangent
    if out.dot(-swing.up) < STEEP:
        raise CannotAlter(f"{beside} does not run down to {name}", "Name a lower edge that reaches the centre.")
    by = down / out.dot(-swing.up)
    shift, long = Affine.translation(out.x * by, out.y * by), centre.length
    if by < 0 and long + by < 1.0:
        raise Crosses(f"nothing would be left of {beside}")
    way = path.tangent_at(far + SLIGHT if first else far - SLIGHT)
    back = (shift(path.at(near)) - path.at(far)).dot(way)
    near += min(0.0, -back) if first else max(0.0, -back)  # what would lie beside the other part once it is level
    if first:
        kept = path.between(0.0, near).transformed(shift)
        new = Path.joined([kept, *_line(kept.end, path.at(far)), path.between(far, length)])
        runs = ((0.0, near, 0.0, near), (far, length, new.length - (length - far), new.length))
        longer = extended(centre, 0.0, by) if by > 0 else centre.between(0.0, long + by)
        held = ((0.0, min(long, long + by), 0.0, min(long, long + by)),)
    else:
        kept = path.between(near, length).transformed(shift)
        new = Path.joined([path.between(0.0, far), *_line(path.at(far), kept.start), kept])
        runs = ((0.0, far, 0.0, far), (near, length, new.length - (length - near), new.length))
        longer = extended(centre, by, 0.0) if by > 0 else centre.between(-by, long)
        held = ((max(0.0, -by), long, max(0.0, by), long + by),)
    edges = {edge.id: edge for edge in shape.edges}
    edges[name], edges[beside] = replace(edges[name], path=new), replace(edges[beside], path=longer)
    return carried(shape, tuple(edges.values()), {name: runs, beside: held})


def _line(start: Point, end: Point) -> list[Path]:
    return [Path.line(start, end)] if start.distance(end) > 1e-6 else []


def _with_darts(shape: Shape, swing: _Swing, done: Reshaped, shift: Point) -> Shape:
    """The point of the dart where it was swung to, and a new dart at the lower edge as wide as what was put in."""
    apex = swing.dart.apex + shift
    darts = tuple(replace(dart, apex=apex) if dart.id == swing.dart.id else dart for dart in shape.darts)
    if swing.lower_dart:
        near, far = _put_in(done, swing)
        middle = apex - shift * 0.5
        darts += (Dart(swing.lower_dart, swing.lower.edge, (near + far) / 2, abs(far - near), middle),)
    return replace(shape, darts=darts)
