"""The way up a piece: with the grain, or along the fold that has to stay straight."""

from __future__ import annotations

from firsthand.geometry import Point
from firsthand.pattern import Shape

__all__ = ["NEARLY", "way_up"]

NEARLY = 0.99
"""A fold that leans no more than this (the cosine of its angle to the grain) runs along the grain."""


def way_up(shape: Shape, fold: str, *, least: float = -1.0) -> Point:
    """The direction along the fold that goes up the grain; along the grain where there is no fold.

    Parameters
    ----------
    fold
        Id of the edge on the fold; empty if none.
    least
        The cosine of the angle to the grain: a fold that leans more is passed over, and the grain counts.

    Examples
    --------
    >>> from firsthand.geometry import Path
    >>> from firsthand.pattern import Corner, Edge
    >>> fold = Edge("fold", Corner("a"), Path.line(Point(5, 0), Point(5, 100)))
    >>> shape = Shape((fold,), (Point(0, 0), Point(1, 50)))
    >>> way_up(shape, "fold"), way_up(shape, "") == shape.up
    (Point(x=0.0, y=1.0), True)
    """
    if not fold:
        return shape.up
    path = shape.edge(fold).path
    along = (path.end - path.start).unit()
    along = along if along.dot(shape.up) > 0 else -along
    return along if along.dot(shape.up) > least else shape.up
