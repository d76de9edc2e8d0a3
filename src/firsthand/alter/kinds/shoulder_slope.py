"""Shoulders that slope more or less than the pattern's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, sensible
from firsthand.alter._spots import level_at
from firsthand.alter._together import Next, together
from firsthand.alter.kinds._bodily import beside
from firsthand.alter.kinds.move_edge import MoveEdge
from firsthand.alter.model import ALTERATIONS, Alteration, Altered, Entry
from firsthand.alter.moving.lines import edge_names
from firsthand.alter.moving.reshape import Crosses
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, Shape
from firsthand.units import Length, said

__all__ = ["ShoulderSlope"]

MOST = 100.0
"""More than this, mm, is a slip of the keyboard."""
TRIES, FINE = 12, 1e-4
"""The depth of the armhole is found to this, mm, in at most so many tries."""
PLACES = 16
"""An armhole is slid by what lies along its normal at so many places."""
ENOUGH = 0.01
"""So near, mm, the armhole keeps its length."""


@ALTERATIONS.register("shoulder-slope")
@dataclass(frozen=True, slots=True)
class ShoulderSlope(Entry):
    """Let shoulders slope more, or less with a negative amount, and keep the armhole as long as it was.

    The tip of each shoulder edge is lowered, its end at the neck stays. The armhole is slid down with it, as it is, so that it
    is as long as before and the sleeve still fits; a level that would run into it goes down with it. The slope of the shoulder
    drives it: over a shoulder of 12 cm one degree is 2 mm.

    Parameters
    ----------
    amount
        How much lower the tip lies, mm.
    shoulders
        The shoulder edges, as ``front.shoulder``.
    keep_armhole
        Whether the armhole is slid down so that it keeps its length.
    """

    kind: ClassVar[str] = "shoulder-slope"
    driven_by: ClassVar[tuple[str, ...]] = ("shoulder_slope",)

    amount: Length
    shoulders: tuple[str, ...] = ("front.shoulder", "back.shoulder")
    keep_armhole: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        sensible(self.amount, MOST)
        if not self.shoulders:
            raise CannotAlter("no shoulder edge is named", "Name them with shoulders = [...].")
        edge_names(garment, self.shoulders)
        more = "more" if self.amount >= 0 else "less"
        words = f"Shoulders slope {more}: the tip of {' and '.join(self.shoulders)} moved by {said(abs(self.amount))}"

        def attempt(amount: float) -> Altered:
            try:
                return together(garment, self, self._steps(garment, amount), words, {"amount": self.amount})
            except CannotAlter as refusal:  # a step tells how much of the step would go, which is not what was asked for
                if isinstance(refusal.__cause__, Crosses):
                    raise Crosses(str(refusal.__cause__)) from refusal
                raise

        if not self.amount:
            return together(garment, self, (), words, {"amount": 0.0})
        return as_much_as_goes(attempt, self.amount, "lowering the tip by" if self.amount > 0 else "raising the tip by")

    def _steps(self, garment: Garment, amount: float) -> Iterator[Next]:
        for piece, edge in edge_names(garment, self.shoulders):
            shape = garment.piece(piece).drawn_shape
            tip, armhole = _tip(shape, edge)
            yield _lowered(piece, edge, tip, amount)
            if self.keep_armhole:
                yield _kept(piece, armhole, beside(shape, armhole, edge), shape.edge(armhole).path.length, amount)


def _tip(shape: Shape, edge: str) -> tuple[str, str]:
    """The end of a shoulder edge that lies lower, and the edge that meets it there."""
    path, up = shape.edge(edge).path, shape.up
    names = [one.id for one in shape.edges]
    k = names.index(edge)
    if path.start.dot(up) < path.end.dot(up):
        return "start", names[k - 1]
    return "end", names[(k + 1) % len(names)]


def _lowered(piece: str, edge: str, tip: str, amount: float) -> Next:
    def step(now: Garment) -> Alteration:
        shape = now.piece(piece).drawn_shape
        path = shape.edge(edge).path
        tangent = path.start_tangent if tip == "start" else path.end_tangent
        down = tangent.left.dot(-shape.up)  # how far inwards along the normal a lowering by one is
        neck = "end" if tip == "start" else "start"
        return MoveEdge(edges=(f"{piece}.{edge}",), stations=((tip, -amount * down), (neck, 0.0)), straight=True)

    return step


def _kept(piece: str, armhole: str, shoulder_end: str, length: float, amount: float) -> Next:
    """Lower the whole armhole, about as much as the tip, until it is as long as it was."""

    def step(now: Garment) -> Alteration | None:
        shape = now.piece(piece).drawn_shape

        def off(by: float) -> float:
            return (
                _slid(shape, piece, armhole, by).apply(now).garment.piece(piece).drawn_shape.edge(armhole).path.length - length
            )

        one, two = amount, amount * 1.1
        off_one = off(one)
        for _ in range(TRIES):  # the secant method: the length grows nearly evenly with the depth
            if abs(two - one) < FINE or abs(off_one) < FINE:
                break
            off_two = off(two)
            if off_two == off_one:
                break
            one, two, off_one = two, two - off_two * (two - one) / (off_two - off_one), off_two
        if abs(off_one) > ENOUGH:
            raise Crosses(f"on {piece} {armhole} would not keep its length")
        return _Slid(piece, _beyond(shape, armhole, shoulder_end), one, _slid(shape, piece, armhole, one))

    return step


def _slid(shape: Shape, piece: str, armhole: str, by: float) -> MoveEdge:
    """The armhole slid straight down: at each place by what of that lies along its normal."""
    path, down = shape.edge(armhole).path, -shape.up
    shares = [k / PLACES for k in range(PLACES + 1)]
    stations = tuple((f"{share:.4%}", -by * path.tangent_at(path.length * share).left.dot(down)) for share in shares)
    return MoveEdge(edges=(f"{piece}.{armhole}",), stations=stations)


def _beyond(shape: Shape, armhole: str, shoulder_end: str) -> str:
    """The edge at the other end of the armhole: the side."""
    names = [edge.id for edge in shape.edges]
    k = names.index(armhole)
    return names[(k + 1) % len(names)] if shoulder_end == "start" else names[k - 1]


@dataclass(frozen=True, slots=True)
class _Slid(Entry):
    """The step that slides the armhole; a level that would then run into it, and not to the side any more, goes with it."""

    kind: ClassVar[str] = "slid"

    piece: str
    side: str
    by: float
    move: MoveEdge

    def apply(self, garment: Garment) -> Altered:
        """The garment with the armhole slid."""
        altered = self.move.apply(garment)
        old, new = (of.piece(self.piece).drawn_shape for of in (garment, altered.garment))
        shift = old.up * -self.by
        levels = tuple(
            replace(line, a=line.a + shift, b=line.b + shift)
            if level_at(old, self.side, line.level) is not None and level_at(new, self.side, line.level) is None
            else line
            for line in new.levels
        )
        piece = replace(altered.garment.piece(self.piece), shape=replace(new, levels=levels))
        return replace(altered, garment=altered.garment.with_piece(piece))
