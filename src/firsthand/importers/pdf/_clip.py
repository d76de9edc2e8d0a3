"""Lines cut at the edges of a box, curves exactly."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from firsthand.geometry import Box, Cubic, Line, Path, Point, Segment

__all__ = ["clipped", "hull_box"]

EDGE = 1e-7  # mm; what lies on the edge of the box is in it


def clipped(path: Path, box: Box) -> Iterator[Path]:
    """The parts of a path inside a box; the path itself if all of it is.

    Examples
    --------
    >>> [part.length for part in clipped(Path.line(Point(-5, 1), Point(15, 1)), Box(0, 0, 10, 10))]
    [10.0]
    """
    bounds = hull_box(path)
    if bounds.left > box.right or bounds.right < box.left or bounds.bottom > box.top or bounds.top < box.bottom:
        return
    if bounds.left >= box.left and bounds.right <= box.right and bounds.bottom >= box.bottom and bounds.top <= box.top:
        yield path
        return
    runs: list[list[Segment]] = [[]]
    for segment in path:
        for piece, inside in _cut(segment, box):
            if inside:
                runs[-1].append(piece)
            elif runs[-1]:
                runs.append([])
    kept = [run for run in runs if run]
    if (
        len(kept) > 1
        and path.is_closed
        and kept[0][0].a.distance(kept[-1][-1].b if isinstance(kept[-1][-1], Line) else kept[-1][-1].d) < EDGE
    ):
        kept[0] = kept.pop() + kept[0]
    for run in kept:
        yield Path(tuple(run))


def hull_box(path: Path) -> Box:
    """A box that holds a path and the points that steer its curves: quick, and seldom much larger than the path's own."""
    points = [path.start, *(p for s in path.segments for p in ((s.b,) if isinstance(s, Line) else (s.b, s.c, s.d)))]
    xs, ys = [p.x for p in points], [p.y for p in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _cut(segment: Segment, box: Box) -> Iterator[tuple[Segment, bool]]:
    xs = [p.x for p in _points(segment)]
    ys = [p.y for p in _points(segment)]
    if min(xs) >= box.left and max(xs) <= box.right and min(ys) >= box.bottom and max(ys) <= box.top:
        yield segment, True
        return
    if max(xs) < box.left or min(xs) > box.right or max(ys) < box.bottom or min(ys) > box.top:
        yield segment, False
        return
    at = [*_meets(xs, box.left), *_meets(xs, box.right), *_meets(ys, box.bottom), *_meets(ys, box.top)]
    cuts = [0.0]
    for t in sorted(at):
        if t - cuts[-1] > 1e-9 and 1 - t > 1e-9:
            cuts.append(t)
    cuts.append(1.0)
    for lo, hi in itertools.pairwise(cuts):
        middle = _at(segment, (lo + hi) / 2)
        inside = box.left - EDGE <= middle.x <= box.right + EDGE and box.bottom - EDGE <= middle.y <= box.top + EDGE
        yield _part(segment, lo, hi), inside


def _points(segment: Segment) -> tuple[Point, ...]:
    return (segment.a, segment.b) if isinstance(segment, Line) else (segment.a, segment.b, segment.c, segment.d)


def _meets(values: list[float], level: float) -> list[float]:
    """Parameters in 0..1 at which a coordinate takes a value."""
    if min(values) > level or max(values) < level:
        return []
    if len(values) == 2:
        span = values[1] - values[0]
        return [(level - values[0]) / span] if abs(span) > 1e-12 else []
    import numpy as np

    a, b, c, d = values
    roots = np.roots([d - 3 * c + 3 * b - a, 3 * (c - 2 * b + a), 3 * (b - a), a - level])
    return [float(r.real) for r in roots if abs(r.imag) < 1e-9 and -1e-9 <= r.real <= 1 + 1e-9 and math.isfinite(r.real)]


def _at(segment: Segment, t: float) -> Point:
    if isinstance(segment, Line):
        return segment.a.towards(segment.b, t)
    return _split(segment, t)[0].d


def _split(curve: Cubic, t: float) -> tuple[Cubic, Cubic]:
    ab, bc, cd = curve.a.towards(curve.b, t), curve.b.towards(curve.c, t), curve.c.towards(curve.d, t)
    abc, bcd = ab.towards(bc, t), bc.towards(cd, t)
    middle = abc.towards(bcd, t)
    return Cubic(curve.a, ab, abc, middle), Cubic(middle, bcd, cd, curve.d)


def _part(segment: Segment, lo: float, hi: float) -> Segment:
    if isinstance(segment, Line):
        return Line(segment.a.towards(segment.b, lo), segment.a.towards(segment.b, hi))
    right = _split(segment, lo)[1] if lo > 0 else segment
    return _split(right, (hi - lo) / (1 - lo))[0] if hi < 1 else right
