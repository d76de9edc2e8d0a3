"""Fold edges: when one counts as straight, and making it exactly so."""

from __future__ import annotations

from dataclasses import replace

from firsthand.errors import GeometryError
from firsthand.geometry import Line, Path, Point
from firsthand.pattern.model import Shape
from firsthand.units import said

__all__ = ["STRAIGHT", "fold_line", "straightened"]

STRAIGHT = 0.05
"""How far a fold edge may stray from the straight line between its ends and still count as straight, mm.

That is what rounding does in files, and less than the breadth of a pencil line (common practice). Every room asks here; what
passes is made exactly straight before it is cut, laid or printed.
"""


def fold_line(shape: Shape, fold: str) -> tuple[Point, Point]:
    """The two ends of the straight line that a fold edge stands for, in the direction of the outline.

    Raises
    ------
    NotThere
        If there is no such edge.
    GeometryError
        If the edge has no length, or strays by more than :data:`STRAIGHT`.
    """
    path = shape.edge(fold).path
    a, b = path.start, path.end
    if a.distance(b) <= STRAIGHT:
        raise GeometryError(f"fold edge {fold!r} has no length")
    along = (b - a).unit()
    points = [point - a for point in path.flattened(STRAIGHT / 2)]
    stray = max(abs(along.cross(point)) for point in points)
    reach = max(max(-along.dot(point), along.dot(point) - a.distance(b)) for point in points)
    if max(stray, reach) > STRAIGHT:
        raise GeometryError(f"fold edge {fold!r} is not straight: it strays {said(max(stray, reach))}")
    return a, b


def straightened(shape: Shape, fold: str) -> Shape:
    """The shape with its fold edge exactly straight; the shape itself if it is so already.

    Raises
    ------
    NotThere
        If there is no such edge.
    GeometryError
        If the edge has no length, or strays by more than :data:`STRAIGHT`.
    """
    a, b = fold_line(shape, fold)
    edge = shape.edge(fold)
    if edge.path.segments == (Line(a, b),):
        return shape
    return shape.with_edge(replace(edge, path=Path((Line(a, b),))))
