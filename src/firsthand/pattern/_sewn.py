"""Sewn lengths: what is left of an edge when its darts and pleats are closed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from firsthand.errors import GeometryError
from firsthand.geometry import Path
from firsthand.pattern.model import Shape
from firsthand.units import said

__all__ = ["edge_length", "sewn_at", "sewn_length", "take_up"]


@lru_cache(maxsize=16384)
def edge_length(path: Path) -> float:
    """The length of an edge's path, remembered: it is asked for many times."""
    return path.length


def _folds(shape: Shape, edge: str) -> Iterator[tuple[float, float]]:
    """Position and width of everything that is folded out of an edge."""
    yield from ((dart.at, dart.width) for dart in shape.darts if dart.edge == edge)
    yield from ((pleat.at, pleat.take_up) for pleat in shape.pleats if pleat.edge == edge)


def _checked(shape: Shape, edge: str) -> list[tuple[float, float]]:
    folds = list(_folds(shape, edge))
    for at, width in folds:
        if not (math.isfinite(at) and math.isfinite(width) and width >= 0):
            raise GeometryError(f"a dart or pleat of edge {edge!r} is {said(width)} wide at {said(at)}")
    return folds


def take_up(shape: Shape, edge: str) -> float:
    """What darts and pleats take out of an edge, mm.

    Parameters
    ----------
    shape, edge
        A shape and the id of one of its edges.

    Raises
    ------
    NotThere
        If there is no such edge.
    GeometryError
        If a dart or pleat has a negative or endless width.

    Notes
    -----
    A knife pleat takes up twice its depth, a box or inverted pleat four times. Source: NIMI *Dress Making* trade practical,
    pp. 203-204.
    """
    shape.edge(edge)
    return math.fsum(width for _, width in _checked(shape, edge))


def sewn_length(shape: Shape, edge: str) -> float:
    """The length of an edge with its darts and pleats closed, mm.

    Raises
    ------
    NotThere
        If there is no such edge.
    GeometryError
        If the darts and pleats take up more than there is.

    Examples
    --------
    Eighteen knife pleats 40 mm deep make 920 mm out of 2,360 mm. Source: NIMI *Dress Making* trade practical, p. 203.

    >>> from firsthand.geometry import Point
    >>> from firsthand.pattern.model import Corner, Edge, Pleat
    >>> top = Edge("top", Corner("a"), Path.line(Point(2360, 150), Point(0, 150)))
    >>> pleats = tuple(Pleat(f"p{n}", "top", 60 + n * 131.1, 40) for n in range(18))
    >>> sewn_length(Shape((top,), (Point(0, 0), Point(0, 150)), pleats=pleats), "top")
    920.0
    """
    whole, taken = edge_length(shape.edge(edge).path), take_up(shape, edge)
    if taken > whole + 1e-6:
        raise GeometryError(f"darts and pleats take {said(taken)} out of edge {edge!r}, which is only {said(whole)} long")
    return max(0.0, whole - taken)


def sewn_at(shape: Shape, edge: str, at: float) -> float:
    """Where a position along an edge lies once its darts and pleats are closed, mm from the start of the edge.

    A position inside a dart's mouth or a pleat's cloth comes to lie where that closes.

    Examples
    --------
    >>> from firsthand.geometry import Point
    >>> from firsthand.pattern.model import Corner, Dart, Edge
    >>> waist = Edge("waist", Corner("a"), Path.line(Point(200, 0), Point(0, 0)))
    >>> shape = Shape((waist,), (Point(0, 0), Point(0, 1)), darts=(Dart("d", "waist", 100, 30, Point(100, -90)),))
    >>> [sewn_at(shape, "waist", at) for at in (50, 95, 100, 150)]
    [50.0, 85.0, 85.0, 120.0]
    """
    before = (min(width, max(0.0, at - (middle - width / 2))) for middle, width in _checked(shape, edge))
    return at - math.fsum(before)
