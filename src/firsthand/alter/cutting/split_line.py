"""The line along which a piece is split: from one place of its outline to another, through it and through nothing else."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from firsthand.alter._spots import Spot
from firsthand.alter.moving.reshape import dart_mouth
from firsthand.errors import CannotAlter
from firsthand.geometry import Path, Point, intersections, self_crossings, smooth
from firsthand.pattern import Dart, InnerLineKind, Shape
from firsthand.units import said

__all__ = ["ASIDE", "SHORTEST", "SNAP", "Line", "line_of"]

SNAP = 0.5
"""A line that meets the outline this near to a corner meets it in the corner; a notch this near to the line is gone, mm."""
SHORTEST = 10.0
"""A seam is at least this long, mm."""
ASIDE = 0.01
"""Crossings this far from the ends of a line are not its ends, mm."""
HELD = frozenset({InnerLineKind.BUTTONHOLE, InnerLineKind.EYELET, InnerLineKind.CUT_OUT})
"""Lines that cannot be cut in two."""


@dataclass(frozen=True, slots=True)
class _Gate:
    """Where a line meets the outline: where what comes before it ends and what comes after it begins, as edge and arc length.

    The two are apart where the line begins in a dart that goes into the seam.
    """

    before: tuple[int, float]
    after: tuple[int, float]
    dart: Dart | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """A line across a shape, from one place of its outline to another.

    Parameters
    ----------
    middle
        The line itself, from the outline, or the point of a dart that goes into the seam, to the same at its other end.
    """

    one: _Gate
    two: _Gate
    middle: Path


def line_of(shape: Shape, start: Spot, end: Spot, through: Sequence[Point] = (), *, straight: bool = False) -> Line:
    """The line between two places of an outline, smooth through inner points, or straight from each to the next.

    A line that begins or ends in the middle of a dart's mouth runs along the legs of that dart to its point.

    Raises
    ------
    CannotAlter
        If it begins elsewhere in the mouth of a dart or in a pleat, leaves the piece, crosses itself, or cuts into something.
    """
    one, two = _gate(shape, start), _gate(shape, end)
    ends = [gate.dart.apex if gate.dart else spot.point(shape) for gate, spot in ((one, start), (two, end))]
    points = [ends[0], *through, ends[1]]
    kept = [points[0]] + [b for a, b in itertools.pairwise(points[:-1]) if b.distance(a) > SNAP]
    kept = (kept[:-1] if len(kept) > 1 and kept[-1].distance(points[-1]) <= SNAP else kept) + [points[-1]]
    if sum(a.distance(b) for a, b in itertools.pairwise(kept)) < SHORTEST:
        raise CannotAlter(f"a seam of less than {said(SHORTEST)} cannot be sewn", "Name places farther apart.")
    middle = Path.line(*kept) if straight or len(kept) == 2 else smooth(kept)
    line = Line(one, two, middle)
    _refuse_line(shape, line)
    return line


def _gate(shape: Shape, spot: Spot) -> _Gate:
    index = next(k for k, edge in enumerate(shape.edges) if edge.id == spot.edge)
    for dart in shape.darts:
        if dart.edge == spot.edge and abs(spot.at - dart.at) < dart.width / 2:
            if abs(spot.at - dart.at) > SNAP:
                words = f"the line would begin in the mouth of {dart.id}, and not in its middle"
                raise CannotAlter(words, f"Let it begin at: {dart.edge} at dart {dart.id}.")
            lo, hi = (_snapped(shape, index, dart.at + side * dart.width / 2) for side in (-1, 1))
            return _Gate(lo, hi, dart)
    for pleat in shape.pleats:
        if pleat.edge == spot.edge and abs(spot.at - pleat.at) < pleat.take_up / 2:
            raise CannotAlter(f"the line would begin in the pleat {pleat.id}", "Let it begin beside the pleat.")
    place = _snapped(shape, index, spot.at)
    return _Gate(place, place)


def _snapped(shape: Shape, index: int, at: float) -> tuple[int, float]:
    """A place on an edge, put into the corner where it is next to one."""
    length = shape.edges[index].path.length
    return index, 0.0 if at < SNAP else length if at > length - SNAP else at


def _refuse_line(shape: Shape, line: Line) -> None:
    middle, length = line.middle, line.middle.length
    inner = [c for c in intersections(middle, shape.outline) if ASIDE < c.at_a < length - ASIDE]
    if inner or (len(middle.segments) > 1 and self_crossings(middle)):
        raise CannotAlter("the line would leave the piece, or cross itself", "Give it other places, or points to run through.")
    for dart in shape.darts:
        for end in dart_mouth(shape, dart):
            if intersections(Path.line(end, end.towards(dart.apex, 0.98)), middle):
                words = f"the line would cut through {dart.id}"
                raise CannotAlter(words, "Let it begin in the middle of the dart's mouth, or move the dart first.")
    for pleat in shape.pleats:
        path = shape.edge(pleat.edge).path
        top, inwards = path.at(pleat.at), path.tangent_at(pleat.at).left
        if pleat.reach > SNAP and intersections(Path.line(top + inwards * SNAP, top + inwards * pleat.reach), middle):
            raise CannotAlter(f"the line would cut through the pleat {pleat.id}", "Make the pleat shorter first.")
    for inner_line in shape.lines:
        if inner_line.kind in HELD and intersections(inner_line.path, middle):
            words = f"the line would cut through the {inner_line.kind.value} {inner_line.id}"
            raise CannotAlter(words, "Lead the line round it.")
