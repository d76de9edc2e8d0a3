"""Cut smaller for cloth that stretches."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from firsthand.alter._making import finished, reshaped
from firsthand.alter._most import most_possible
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import put_in
from firsthand.alter.moving.evened import evened, uneven
from firsthand.alter.moving.heads import heads_fitted
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.alter.moving.warp import warped
from firsthand.alter.moving.ways import way_up
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.findings import Finding, Severity, kind
from firsthand.geometry import Point
from firsthand.pattern import EdgeRef, Garment, LevelLine, sewn_length
from firsthand.units import Share, said

__all__ = ["CutForStretch"]

ALONG = 0.7
"""A level that leans more than this (the sine of its angle to the crosswise grain) runs along the grain, as on a cuff."""
MOST = 0.5
"""Half of it gone, or half as much again, is a slip of the keyboard."""

FOLLOWS = 4.0
"""Where a seam does not come out even, a piece that only follows others gives way so many times as readily as they do."""

NOT_REACHED = kind(
    "stretch-not-reached",
    Severity.DOUBT,
    "A piece has none of the levels at which the garment is cut smaller for stretch, and joins no piece that has one, so it "
    "was left as it is. Give it a level, or name a share for a level that it has.",
)

_Stretched = tuple[dict[str, Reshaped], list[str], dict[str, float]]
"""The pieces that changed, the ids of those that were not reached, and the seams that were evened, with by how much, mm."""
Knots = tuple[tuple[float, float], ...]
"""Heights above the origin, mm, with the factor there; rising."""


@ALTERATIONS.register("stretch")
@dataclass(frozen=True, slots=True)
class CutForStretch(Entry):
    """Cut smaller for cloth that stretches: across by level, lengthwise apart; negative shares make larger.

    Across is the way the levels run, round the body, which is where the cloth should stretch most. Between levels the share
    changes smoothly, beyond the outermost it stays. A piece that has none of the levels (a band, a collar) follows those
    that it is sewn to. The head of a sleeve is made higher or lower until it fits its armhole again. Seams that fitted and
    would not, because their edges run through different shares, are evened: both sides share the difference; a gathered,
    pleated or stretched side, and a piece that only follows others, takes most of it, and gathers keep their ratio. A fold
    stays straight. Allowances stay as they are. How much of a cloth's stretch may be used up is not decided here.

    Skin-tight clothes must never press at the neck and must be easy to take off: let the wearer try them on before they are
    finished.

    Parameters
    ----------
    across
        Levels, each with the share by which pieces become narrower there.
    along
        The share by which pieces become shorter, the same everywhere so that seams along the body still fit.
    pieces
        Ids of the only pieces to change; empty means all.
    """

    kind: ClassVar[str] = "stretch"

    across: tuple[tuple[str, Share], ...] = ()
    along: Share = 0.0
    pieces: tuple[str, ...] = ()

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        self._sensible(garment)
        changed, left, off = self._as_wanted(garment)
        figures = {f"{level} ratio": 1 - share for level, share in self.across} | {"along ratio": 1 - self.along}
        figures |= {f"{seam} evened": by for seam, by in off.items()}
        by = [*(f"{_percent(share)} at the {level}" for level, share in self.across), f"{_percent(self.along)} lengthwise"]
        words = f"Cut smaller for stretch: {', '.join(by)}"
        words += f"; seams evened by at most {said(max(off.values()))}: {', '.join(off)}" if off else ""
        altered = finished(garment, self, words, figures, changed)
        return Altered(altered.garment, altered.record, (*altered.findings, *self._not_reached(garment, left)))

    def _sensible(self, garment: Garment) -> None:
        shares = self._shares
        if not all(math.isfinite(share) for share in shares):
            raise GeometryError("a share must be a finite number")
        if any(abs(share) > MOST for share in shares):
            raise CannotAlter("more than half is more than can be meant", "Look whether a share is wrong: 8 %, not 8.")
        known = {line.level for piece in garment.pieces.values() if piece.shape for line in piece.shape.levels}
        for level, _ in self.across:
            if level not in known:
                raise NotThere("level", level, known)
        for name in self.pieces:
            garment.piece(name)

    def _chosen(self, garment: Garment) -> list[str]:
        return [name for name in self.pieces or garment.pieces if garment.piece(name).shape is not None]

    def _as_wanted(self, garment: Garment) -> _Stretched:
        try:
            return self._stretched(garment, 1.0)
        except Crosses as crossing:
            most = most_possible(lambda percent: self._stretched(garment, percent / 100), 100.0)
            words = f"shares of {', '.join(_percent(share) for share in self._shares)} are too much: {crossing}"
            raise CannotAlter(f"{words}; at most {most:.0f} % of each", "Use smaller shares.") from crossing

    @property
    def _shares(self) -> list[float]:
        return [*(share for _, share in self.across), self.along]

    def _stretched(self, garment: Garment, how_far: float) -> _Stretched:
        scalings = {name: scaling for name in self._chosen(garment) if (scaling := self._by_levels(garment, name, how_far))}
        now = reshaped(garment, {name: partial(warped, warp=scaling) for name, scaling in scalings.items()})
        known = dict(scalings)
        while follows := self._followers(garment, put_in(garment, now), known):
            now |= reshaped(garment, {name: partial(warped, warp=scaling) for name, scaling in follows.items()})
            known |= follows
        left = [name for name in self._chosen(garment) if name not in known and self.across]
        readiness = {name: 1.0 if name in scalings else FOLLOWS for name in known}
        fitted = heads_fitted(garment, now)
        return evened(garment, fitted, readiness), left, uneven(garment, fitted, readiness)

    def _by_levels(self, garment: Garment, name: str, how_far: float) -> _Scaling | None:
        """How a piece is scaled by the levels it has; None if it has none."""
        factors = {level: 1 - share * how_far for level, share in self.across}
        shape = garment.piece(name).drawn_shape
        lines = [line for line in shape.levels if line.level in factors]
        if not lines and factors:
            return None
        axes = _axes(garment, name, lines)
        heights = {axes.height(line.a.towards(line.b, 0.5)): factors[line.level] for line in lines}
        return _Scaling(axes, tuple(sorted(heights.items())) or ((0.0, 1.0),), 1 - self.along * how_far)

    def _followers(self, garment: Garment, now: Garment, known: Mapping[str, _Scaling]) -> dict[str, _Scaling]:
        """How pieces without levels follow known ones that they are sewn to."""
        found: dict[str, _Scaling] = {}
        chosen = set(self._chosen(garment)) - set(known)
        for seam in garment.seams:
            for own, other in ((seam.a, seam.b), (seam.b, seam.a)):
                if own[0].piece in chosen - set(found) and all(ref.piece in known for ref in other):
                    found[own[0].piece] = _following(garment, now, own[0], other, known[other[0].piece])
        return found

    def _not_reached(self, garment: Garment, left: Iterable[str]) -> Iterable[Finding]:
        for name in left:
            words = f"{name} has none of the levels {', '.join(level for level, _ in self.across)} and was left as it is"
            yield NOT_REACHED(words, where=(garment.id, name), remedy="Give it a level, or name one that it has.")


def _percent(share: float) -> str:
    return f"{share * 100:.3g} %"


def _following(garment: Garment, now: Garment, own: EdgeRef, other: Sequence[EdgeRef], partner: _Scaling) -> _Scaling:
    """How a piece follows its partner: at a seam across by as much as that became shorter, at one along the body like it."""
    axes = _axes(garment, own.piece, ())
    path = garment.piece(own.piece).drawn_shape.edge(own.edge).path
    way = (path.end - path.start).unit()
    if abs(way.dot(axes.up)) < ALONG or len({ref.piece for ref in other}) > 1:
        return _Scaling(_Axes(path.start, way.left), ((0.0, _sewn(now, other) / _sewn(garment, other)),), 1.0)
    beside = garment.piece(other[0].piece).drawn_shape.edge(other[0].edge).path
    factor = _between(partner.knots, partner.axes.height(beside.at(beside.length / 2)))[0]
    return _Scaling(axes, ((0.0, factor),), partner.along)


def _sewn(garment: Garment, refs: Iterable[EdgeRef]) -> float:
    return math.fsum(sewn_length(garment.piece(ref.piece).drawn_shape, ref.edge) for ref in refs)


@dataclass(frozen=True, slots=True)
class _Axes:
    """A piece's own axes: where it is held, across and up the grain."""

    origin: Point
    up: Point

    @property
    def across(self) -> Point:
        return -self.up.left

    def height(self, point: Point) -> float:
        return (point - self.origin).dot(self.up)


def _axes(garment: Garment, name: str, lines: Sequence[LevelLine]) -> _Axes:
    """Across is the way the piece's levels run, square to or along its grain.

    A piece on the fold is held at its fold and has its axes along and square to that, so that the fold stays straight however
    the grain leans; another one is held in the middle of its grain line.
    """
    piece = garment.piece(name)
    shape = piece.drawn_shape
    fold = way_up(shape, piece.fold)
    up = max((fold, fold.left, -fold.left), key=shape.up.dot)  # a fold may lie across the grain
    held = shape.edge(piece.fold).path.start if piece.fold else shape.grain[0].towards(shape.grain[1], 0.5)
    along_grain = bool(lines) and abs((lines[0].b - lines[0].a).unit().dot(up)) > ALONG
    return _Axes(held, up.left if along_grain else up)


def _between(knots: Sequence[tuple[float, float]], height: float) -> tuple[float, float]:
    """The factor at a height, and how fast it changes; smooth between two knots, level at each."""
    k = bisect_right([h for h, _ in knots], height)
    if k in (0, len(knots)):
        return knots[min(k, len(knots) - 1)][1], 0.0
    (low, f), (high, g) = knots[k - 1], knots[k]
    t = (height - low) / (high - low)
    return f + (g - f) * t * t * (3 - 2 * t), (g - f) * 6 * t * (1 - t) / (high - low)


@dataclass(frozen=True, slots=True)
class _Scaling:
    """Scaled across by a factor that changes with the height, and along by one factor."""

    axes: _Axes
    knots: Knots
    along: float

    def point(self, point: Point) -> Point:
        axes = self.axes
        x, y = (point - axes.origin).dot(axes.across), axes.height(point)
        return axes.origin + axes.across * (x * _between(self.knots, y)[0]) + axes.up * (y * self.along)

    def slope(self, point: Point, along: Point) -> Point:
        axes = self.axes
        x, y = (point - axes.origin).dot(axes.across), axes.height(point)
        factor, change = _between(self.knots, y)
        dx, dy = along.dot(axes.across), along.dot(axes.up)
        return axes.across * (dx * factor + x * change * dy) + axes.up * (dy * self.along)
