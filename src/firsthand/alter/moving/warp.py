"""A whole shape bent by a smooth map of the plane, with all that lies on it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from firsthand.alter.moving.maps import Run, Runs, place
from firsthand.alter.moving.reaches import reaching
from firsthand.alter.moving.reshape import Crosses, Reshaped, refuse_crossings
from firsthand.geometry import Cubic, Line, Path, Point, Segment
from firsthand.pattern import Dart, Edge, Pleat, Shape

__all__ = ["Warp", "warped"]

TOLERANCE = 0.02
"""How far a fitted curve may leave the true image, mm."""
DEEPEST = 10
"""A segment is halved at most this often."""
STILL = 1e-12
"""Where all places of a segment move less than this, mm, it stays."""
STRAIGHT = 1e-7
"""An image of a line that bends less than this, mm, is a line."""
STATION = 25.0
"""Positions on an edge that is bent are followed at least this often, mm."""


class Warp(Protocol):
    """A smooth map of the plane."""

    def point(self, point: Point) -> Point:
        """Where a point goes."""

    def slope(self, point: Point, along: Point) -> Point:
        """How a small step from a point comes out: the map's derivative in a direction."""


def warped(shape: Shape, warp: Warp) -> Reshaped:
    """A shape bent by a map; curves within 0.02 mm of the true image, straight lines straight where they stay so.

    The mouths of darts and the take-up of pleats are bent with the edge on which they lie.

    Raises
    ------
    Crosses
        If the outline would cross itself.
    """
    made = {edge.id: _edge(edge, warp) for edge in shape.edges}
    maps = {name: runs for name, (_, runs) in made.items()}
    edges = tuple(edge for edge, _ in made.values())
    new = replace(
        shape,
        edges=edges,
        grain=(warp.point(shape.grain[0]), warp.point(shape.grain[1])),
        notches=tuple(replace(notch, at=_at(maps[notch.edge], notch.at)) for notch in shape.notches),
        darts=tuple(_dart(dart, maps[dart.edge], warp) for dart in shape.darts),
        pleats=tuple(_pleat(pleat, maps[pleat.edge], warp) for pleat in shape.pleats),
        lines=tuple(replace(line, path=_path(line.path, warp)[0]) for line in shape.lines),
        levels=tuple(replace(level, a=warp.point(level.a), b=warp.point(level.b)) for level in shape.levels),
    )
    refuse_crossings(new)
    return Reshaped(reaching(shape, new), maps)


def _at(runs: Runs, at: float) -> float:
    new = place(runs, at)
    if new is None:
        raise Crosses("a mark lies beyond its edge")
    return new


def _dart(dart: Dart, runs: Runs, warp: Warp) -> Dart:
    one, two = (_at(runs, dart.at + side * dart.width / 2) for side in (-1, 1))
    return replace(dart, at=(one + two) / 2, width=two - one, apex=warp.point(dart.apex))


def _pleat(pleat: Pleat, runs: Runs, warp: Warp) -> Pleat:
    """Further in its depth grows or shrinks as it does at the edge."""
    one, two = (_at(runs, end) for end in pleat.mouth)
    grown = (two - one) / pleat.take_up if pleat.take_up else 0.0
    return replace(
        pleat,
        at=(one + two) / 2,
        depth=pleat.depth * grown,
        depths=tuple((place, depth * grown) for place, depth in pleat.depths),
        towards=None if pleat.towards is None else warp.point(pleat.towards),
    )


def _edge(edge: Edge, warp: Warp) -> tuple[Edge, Runs]:
    path, runs = _path(edge.path, warp)
    return replace(edge, path=path), runs


def _path(path: Path, warp: Warp) -> tuple[Path, Runs]:
    pieces: list[Segment] = []
    runs: list[Run] = []
    old = new = 0.0
    for segment in path:
        for fit, long in _fitted(segment, warp):
            pieces.append(fit)
            runs.append((old, old + long, new, new + fit.length))
            old, new = old + long, new + fit.length
    return Path(tuple(pieces)), tuple(runs)


def _fitted(segment: Segment, warp: Warp) -> list[tuple[Segment, float]]:
    """Images of a segment's stretches, each with the length it had."""
    if segment.length <= 0:
        return []
    if all(warp.point(here := segment.point(k / 8)).distance(here) <= STILL for k in range(9)):
        return [(segment, segment.length)]
    if isinstance(segment, Line):
        ends = warp.point(segment.a), warp.point(segment.b)
        away = max(warp.point(segment.point(k / 8)).distance(ends[0].towards(ends[1], k / 8)) for k in range(1, 8))
        if away <= STRAIGHT:
            return [(Line(*ends), segment.length)]
    count = max(1, math.ceil(segment.length / STATION))
    marks = [k / count for k in range(count + 1)]
    return [found for lo, hi in itertools.pairwise(marks) for found in _halved(_Image(segment, warp), lo, hi, 0)]


@dataclass(frozen=True, slots=True)
class _Image:
    segment: Segment
    warp: Warp

    def point(self, t: float) -> Point:
        return self.warp.point(self.segment.point(t))

    def derivative(self, t: float) -> Point:
        s = self.segment
        return self.warp.slope(s.point(t), s.b - s.a if isinstance(s, Line) else s.derivative(t))

    def cubic(self, lo: float, hi: float) -> Cubic:
        step = (hi - lo) / 3
        a, d = self.point(lo), self.point(hi)
        return Cubic(a, a + self.derivative(lo) * step, d - self.derivative(hi) * step, d)


def _halved(image: _Image, lo: float, hi: float, depth: int) -> Sequence[tuple[Segment, float]]:
    fit = image.cubic(lo, hi)
    worst = max(fit.point(k / 8).distance(image.point(lo + (hi - lo) * k / 8)) for k in range(1, 8))
    if worst > TOLERANCE and depth < DEEPEST:
        mid = (lo + hi) / 2
        return [*_halved(image, lo, mid, depth + 1), *_halved(image, mid, hi, depth + 1)]
    segment = image.segment
    return [(fit, segment.length_to(hi) - segment.length_to(lo))]
