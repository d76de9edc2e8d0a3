"""Polygons that contain a curved shape."""

from __future__ import annotations

import math
from collections.abc import Iterator

from firsthand.errors import GeometryError
from firsthand.geometry._path import JOINT, Path
from firsthand.geometry._point import Point
from firsthand.geometry._roots import bernstein_product, bernstein_roots
from firsthand.geometry._segment import Cubic, Line

__all__ = ["flatten_outwards"]

DEEPEST = 16
WIDEST = 1.0  # radians that one piece may turn


def flatten_outwards(path: Path, tolerance: float = 0.2) -> tuple[Point, ...]:
    """Corners of a polygon that contains a closed counter-clockwise path and stays near it.

    Where the boundary bulges outwards the polygon runs along tangents, where it is hollow along chords.

    Parameters
    ----------
    path
        A closed path, counter-clockwise, that does not cross itself.
    tolerance
        How far the polygon may lie outside the path, mm.

    Returns
    -------
    tuple of Point
        Counter-clockwise, the first corner not repeated. The polygon may touch or cross itself where the path comes nearer
        to itself than twice the tolerance.

    Raises
    ------
    GeometryError
        If the path is open, clockwise or without area, or the tolerance is below 0.00001 mm.

    Examples
    --------
    >>> disc = Path.arc(Point(0, 0), 100, 0, 2 * math.pi)
    >>> corners = flatten_outwards(disc, 0.5)
    >>> len(corners), round(max(p.norm for p in corners) - 100, 3) <= 0.5
    (32, True)
    """
    if not (math.isfinite(tolerance) and tolerance >= 1e-5):
        raise GeometryError(f"a tolerance must be at least 0.00001 mm, not {tolerance}")
    if not path.is_closed or path.area <= 0:
        raise GeometryError("only a closed counter-clockwise path can be contained in a polygon")
    corners = [path.start]
    for segment in path.segments:
        if isinstance(segment, Line):
            corners.append(segment.b)
            continue
        for piece in _bends(segment):
            corners += _around(piece, tolerance, 0)
    return tuple(_needed(corners))


def _bends(curve: Cubic) -> Iterator[Cubic]:
    """The curve split at its points of inflection."""
    speed = [(b - a) * 3 for a, b in ((curve.a, curve.b), (curve.b, curve.c), (curve.c, curve.d))]
    change = [(b - a) * 2 for a, b in ((speed[0], speed[1]), (speed[1], speed[2]))]
    x = bernstein_product([p.x for p in speed], [p.y for p in change])
    y = bernstein_product([p.y for p in speed], [p.x for p in change])
    rest, done = curve, 0.0
    for t in bernstein_roots([u - v for u, v in zip(x, y, strict=True)]):
        if done + 1e-6 < t < 1 - 1e-6:
            first, rest = rest.split((t - done) / (1 - done))
            done = t
            yield first
    yield rest


def _around(piece: Cubic, tolerance: float, depth: int) -> list[Point]:
    """Corners after the start of a piece that bends one way only, up to and with its end."""
    chord = piece.d - piece.a
    heights = [chord.cross(p - piece.a) / chord.norm if chord.norm > JOINT else 0.0 for p in (piece.b, piece.c)]
    hull = piece.a.distance(piece.b) + piece.b.distance(piece.c) + piece.c.distance(piece.d)
    if depth < DEEPEST and (hull > 1.5 * chord.norm + JOINT or _turning(piece) > WIDEST):
        return _split(piece, tolerance, depth)
    if max(heights) <= 0 and min(heights) < 0:
        return _bulge(piece, tolerance, depth)
    # Hollow or straight: the chord lies outside.
    if depth < DEEPEST and 0.75 * max(abs(h) for h in heights) > tolerance:
        return _split(piece, tolerance, depth)
    return [piece.d]


def _split(piece: Cubic, tolerance: float, depth: int) -> list[Point]:
    one, two = piece.split(0.5)
    return _around(one, tolerance, depth + 1) + _around(two, tolerance, depth + 1)


def _turning(piece: Cubic) -> float:
    into, out = piece.tangent(0.0), piece.tangent(1.0)
    return abs(into.angle_to(out))


def _bulge(piece: Cubic, tolerance: float, depth: int) -> list[Point]:
    """A piece that bulges outwards lies within the triangle of its end tangents."""
    into, out = piece.tangent(0.0), piece.tangent(1.0)
    turn = into.cross(out)
    if turn <= 1e-9:  # all but straight: its handles contain it as well
        return [piece.b, piece.c, piece.d]
    tip = piece.a + into * ((piece.d - piece.a).cross(out) / turn)
    if depth < DEEPEST and min(tip.distance(piece.point(k / 8)) for k in range(2, 7)) > tolerance:
        return _split(piece, tolerance, depth)
    return [tip, piece.d]


def _needed(corners: list[Point]) -> list[Point]:
    """Leave out repeated corners and those on the straight between their neighbours."""
    kept: list[Point] = []
    for point in corners:
        if kept and kept[-1].distance(point) <= JOINT:
            continue
        kept.append(point)
    if len(kept) > 1 and kept[0].distance(kept[-1]) <= JOINT:
        kept.pop()
    changed = True
    while changed and len(kept) > 3:
        changed = False
        for k in range(len(kept) - 1, -1, -1):
            before, here, after = kept[k - 1], kept[k], kept[(k + 1) % len(kept)]
            across = after - before
            if across.norm <= JOINT or len(kept) <= 3:
                continue
            inside = across.cross(here - before) / across.norm
            if 0 <= inside + 1e-9 <= 1e-6 and 0 < across.dot(here - before) < across.dot(across):
                del kept[k]
                changed = True
    return kept
