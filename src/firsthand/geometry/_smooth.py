"""Fair curves through points, and straight run-on."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable

from firsthand.errors import GeometryError
from firsthand.geometry._path import JOINT, Path
from firsthand.geometry._point import Point
from firsthand.geometry._segment import Cubic, Line, Segment

__all__ = ["extended", "smooth"]


def smooth(points: Iterable[Point], *, start: Point | None = None, end: Point | None = None) -> Path:
    """A fair curve through points: the cubic spline parametrised by chord length.

    Tangent and curvature run on without a break through every point. Without an end direction the curve leaves straight
    (no curvature, the natural spline).

    Parameters
    ----------
    points
        At least two, each apart from the one before.
    start, end
        Directions in which the curve starts and ends, of any length; None for a free end.

    Returns
    -------
    Path
        One cubic between each two points; a line for two points with free ends.

    Raises
    ------
    GeometryError
        If there are fewer than two points, two in a row coincide, or a direction is zero.

    Examples
    --------
    >>> neck = smooth([Point(0, 0), Point(60, 20), Point(90, 80)], start=Point(1, 0), end=Point(0, 1))
    >>> neck.at(0), neck.end, neck.start_tangent
    (Point(x=0.0, y=0.0), Point(x=90.0, y=80.0), Point(x=1.0, y=0.0))
    """
    knots = list(points)
    if len(knots) < 2:
        raise GeometryError("a curve needs at least two points")
    steps = [a.distance(b) for a, b in itertools.pairwise(knots)]
    if min(steps) <= JOINT:
        raise GeometryError(f"two points in a row coincide at {knots[steps.index(min(steps))]}")
    if len(knots) == 2 and start is None and end is None:
        return Path.line(*knots)
    slopes = _slopes(knots, steps, None if start is None else start.unit(), None if end is None else end.unit())
    return Path(
        tuple(
            Cubic(knots[k], knots[k] + slopes[k] * (h / 3), knots[k + 1] - slopes[k + 1] * (h / 3), knots[k + 1])
            for k, h in enumerate(steps)
        )
    )


def _slopes(knots: list[Point], steps: list[float], start: Point | None, end: Point | None) -> list[Point]:
    """Derivatives at the knots of the C2 spline: a tridiagonal system, eliminated downwards (de Boor)."""
    chords = [(b - a) / h for a, b, h in zip(knots, knots[1:], steps, strict=False)]
    last = len(knots) - 1
    above, right = [0.0] * (last + 1), [Point(0, 0)] * (last + 1)
    if start is None:
        above[0], right[0] = 0.5, chords[0] * 1.5
    else:
        right[0] = start
    for k in range(1, last):
        below, diagonal, over = steps[k], 2 * (steps[k - 1] + steps[k]), steps[k - 1]
        pivot = diagonal - below * above[k - 1]
        above[k] = over / pivot
        right[k] = ((chords[k - 1] * steps[k] + chords[k] * steps[k - 1]) * 3 - right[k - 1] * below) / pivot
    if end is None:
        right[last] = (chords[-1] * 1.5 - right[last - 1] * 0.5) / (1 - 0.5 * above[last - 1])
    else:
        right[last] = end
    for k in range(last - 1, -1, -1):
        right[k] = right[k] - right[k + 1] * above[k]
    return right


def extended(path: Path, start_by: float, end_by: float) -> Path:
    """A path run on straight along its end tangents.

    Parameters
    ----------
    path
        An open path.
    start_by, end_by
        How far it is run on before its start and after its end, mm, not negative. A straight end becomes one longer line.

    Raises
    ------
    GeometryError
        If a length is negative or not finite.

    Examples
    --------
    >>> extended(Path.line(Point(0, 0), Point(10, 0)), 2, 3).segments
    (Line(a=Point(x=-2.0, y=0.0), b=Point(x=13.0, y=0.0)),)
    """
    for by in (start_by, end_by):
        if not (math.isfinite(by) and by >= 0):
            raise GeometryError(f"a path is run on by a length, not by {by}")
    segments: list[Segment] = list(path.segments)
    if start_by > 0:
        before = path.start - path.start_tangent * start_by
        first = segments[0]
        segments[:1] = [Line(before, first.b)] if isinstance(first, Line) else [Line(before, first.a), first]
    if end_by > 0:
        after = path.end + path.end_tangent * end_by
        last = segments[-1]
        segments[-1:] = [Line(last.a, after)] if isinstance(last, Line) else [last, Line(last.end, after)]
    return Path(tuple(segments))
