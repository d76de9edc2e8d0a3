"""A patch pocket: hemmed along the top, its other edges turned under and sewn flat on to a piece."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite
from typing import ClassVar

from firsthand.draft._strip import Side, card_of, refuse_negative, strip_shape
from firsthand.draft.model import DRAFTS, Drafting
from firsthand.errors import GeometryError
from firsthand.geometry import Path, Point, intersections
from firsthand.pattern import (
    Applied,
    Cut,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    Piece,
)  # fmt: skip
from firsthand.units import Length, said

__all__ = ["PatchPocket"]

CLEAR = 0.5
"""A pocket that comes nearer than this to the stitching line of the piece beneath lies over it, mm."""


@DRAFTS.register("patch-pocket")
@dataclass(frozen=True, slots=True)
class PatchPocket:
    """A rectangular pocket, upright on the grain of the piece that it is laid on.

    It marks that piece with a placement line of its own id: three sides for one that lies across a fold, else all round.
    One that lies on a piece cut as a pair is single and names its hand, or is a pair; on a piece cut on the fold it is a pair,
    or lies in the middle with the fold through it.

    Parameters
    ----------
    id, name
        Of the piece it makes. A card of that id in the garment gives its number and, unless ``role`` is said, its role.
    width, depth
        Finished width and depth, mm.
    onto
        Id of the piece that it is laid on.
    at
        Where its lower middle lies on that piece, mm: across from the left-most point of the stitching line as drawn (from the
        fold, if the piece is cut on the fold), and up along the grain from the lowest point.
    hem
        Finished depth of the hem along the top, mm.
    allowance
        What is turned under at the other edges, and at the edge of the hem, mm.
    pair
        Whether there is one on each hand.
    hand
        The hand that a single one lies on, where the piece beneath is cut as a pair.
    role
        What it is cut from.
    """

    kind: ClassVar[str] = "patch-pocket"

    id: str
    width: Length
    depth: Length
    onto: str
    at: tuple[Length, Length]
    name: str = ""
    hem: Length = 25.0
    allowance: Length = 10.0
    pair: bool = False
    hand: Hand = Hand.CENTRE
    role: str = ""

    def draft(self, garment: Garment | None) -> Drafting:
        """See :meth:`firsthand.draft.Draft.draft`.

        Raises
        ------
        GeometryError
            If a number has no sense, it does not lie within the piece, or it cannot be said on which hand it lies.
        NotThere
            If the piece beneath is not there or is only a card.
        """
        refuse_negative({"width": self.width, "depth": self.depth, "hem": self.hem}, zero=False)
        refuse_negative({"allowance": self.allowance})
        if not all(isfinite(length) for length in self.at):
            raise GeometryError(f"its place must be two finite lengths, not {' and '.join(map(said, self.at))}")
        if self.hem >= self.depth:
            raise GeometryError(f"its hem is {said(self.hem)} deep and the pocket only {said(self.depth)}")
        piece, figures = self._piece(garment), self._figures()
        if garment is None:
            return Drafting(piece, figures=figures)
        beneath = garment.piece(self.onto)
        roles = [cut.role for cut in beneath.cuts]
        role = "shell" if "shell" in roles or not roles else roles[0]
        self._refuse_hand(beneath, {cut.how for cut in beneath.cuts if cut.role == role})
        line = InnerLine(self.id, InnerLineKind.PLACEMENT, self._line(beneath))
        applied = Applied(self.id, self.onto, self.id, role, Hand.CENTRE if self.pair else self.hand)
        return Drafting(piece, figures=figures, lines=((self.onto, line),), applied=(applied,))

    def _figures(self) -> dict[str, float]:
        return {
            "finished width": self.width,
            "finished depth": self.depth,
            "cut width": self.width + 2 * self.allowance,
            "cut depth": self.depth + self.hem + 2 * self.allowance,
        }

    def _piece(self, garment: Garment | None) -> Piece:
        on = Fate(FateKind.APPLIED)
        sides = (
            Side("right", self.allowance, on),
            Side("top", self.hem + self.allowance, Fate(FateKind.HEM, self.hem)),
            Side("left", self.allowance, on),
        )
        shape = strip_shape([(Side("bottom", self.allowance, on), self.width)], self.depth, sides)
        card = card_of(garment, self.id)
        role = self.role or (card.cuts[0].role if card and card.cuts else "shell")
        cuts = (Cut(role, How.PAIR if self.pair else How.SINGLE),)
        name = self.name or (card.name if card else self.id)
        return Piece(self.id, card.number if card else "", name, cuts, size=garment.size if garment else None, shape=shape)

    def _refuse_hand(self, beneath: Piece, hows: set[How]) -> None:
        if self.pair and self.hand is not Hand.CENTRE:
            raise GeometryError(f"the pocket is a pair and lies on both hands: leave the {self.hand.value} one out")
        if self.pair and hows == {How.SINGLE}:
            raise GeometryError(f"the pocket is a pair, and {self.onto} is cut single: it has no other hand")
        if not self.pair and self.hand is Hand.CENTRE and How.PAIR in hows:
            raise GeometryError(f"{self.onto} is cut as a pair, and the pocket is single: name the hand it lies on")
        if beneath.fold and not self.pair and abs(self.at[0]) > 1e-6:
            raise GeometryError(f"{self.onto} is cut on the fold: the pocket is a pair, or lies on the fold (0 across)")

    def _line(self, beneath: Piece) -> Path:
        """Where it lies on the piece beneath."""
        outline, axes = beneath.drawn_shape.outline, _axes(beneath)
        halved = bool(beneath.fold) and not self.pair
        across, up = self.at
        left, right = (0.0, self.width / 2) if halved else (across - self.width / 2, across + self.width / 2)
        points = axes.rectangle(left, right, up, up + self.depth)
        # What lies on the fold may touch it there.
        edge = left + CLEAR if halved else left - CLEAR
        room = Path.polygon(axes.rectangle(edge, right + CLEAR, up - CLEAR, up + self.depth + CLEAR))
        if intersections(room, outline) or not _inside(outline, room.start):
            size = f"{said(self.width)} by {said(self.depth)}"
            raise GeometryError(f"the pocket, {size}, would not lie within {self.onto} there; that is {axes.size(outline)}")
        return Path.line(*points) if halved else Path.polygon(points)


@dataclass(frozen=True, slots=True)
class _Axes:
    """How positions on a piece are counted: from an origin, across and up."""

    origin: Point
    across: Point
    up: Point

    def size(self, outline: Path) -> str:
        """How far an outline reaches, for people."""
        points = [point - self.origin for point in outline.flattened()]
        across, up = max(self.across.dot(p) for p in points), max(self.up.dot(p) for p in points)
        return f"{said(across)} across and {said(up)} high"

    def rectangle(self, near: float, far: float, low: float, high: float) -> list[Point]:
        """Four corners, by how far across and how far up its sides lie; from the near lower one to the far lower one."""
        corners = ((near, low), (far, low), (far, high), (near, high))
        return [self.origin + self.across * x + self.up * y for x, y in corners]


def _axes(piece: Piece) -> _Axes:
    shape = piece.drawn_shape
    up = shape.up
    points = shape.outline.flattened()
    if not piece.fold:
        return _from(points, -up.left, up, min(-up.left.dot(point) for point in points))
    fold = shape.edge(piece.fold).path
    along = (fold.end - fold.start).unit()
    up = along if along.dot(up) >= 0 else -along
    right, start = -up.left, fold.start
    inwards = right if sum(right.dot(point - start) for point in points) >= 0 else -right
    return _from(points, inwards, up, inwards.dot(start))


def _from(points: Iterable[Point], across: Point, up: Point, zero: float) -> _Axes:
    return _Axes(across * zero + up * min(up.dot(point) for point in points), across, up)


def _inside(outline: Path, point: Point) -> bool:
    """Whether a closed outline goes round a point that does not lie on it."""
    box = outline.bounds
    away = Point(box.left - 10.0, box.bottom - 0.37 * box.height - 10.0)  # so that the way there runs through no corner
    return len(intersections(Path.line(point, away), outline)) % 2 == 1
