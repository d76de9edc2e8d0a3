"""From the stitching line to the cutting line."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

from firsthand.errors import GeometryError
from firsthand.geometry import Line, Path, Segment, extended, self_crossings
from firsthand.pattern._caps import parallel
from firsthand.pattern._corners import Bend, Joint, join
from firsthand.pattern.model import Edge, Fate, FateKind, Shape
from firsthand.units import said

__all__ = ["cutting_line"]

MOST = 20_000
"""An outline of more lines and curves than this is no pattern piece but a scan traced point by point."""

CLOSE = 1e-6
"""Points closer than this are one, mm."""


def cutting_line(shape: Shape, *, fold: str = "") -> Path:
    """The line along which a shape is cut.

    Each edge has a parallel at its margin (allowance and inlay); curves stay curves. How two parallels meet is said by the
    corner between them, see :class:`firsthand.pattern.CornerShape`. An edge whose fate is a fold has no margin, and next to
    one and at inward corners every corner is mitred. A point more than three margins from its corner is cut off. Where the
    stitching line runs nearly straight on, different margins meet in a step. Loops where allowances overlap are taken out.
    Across darts and pleats it has the caps that folding them gives, see :func:`firsthand.pattern.dart_cap`.

    Parameters
    ----------
    shape
        A shape with a closed, counter-clockwise outline.
    fold
        Id of an edge that has no margin although its fate does not say so.

    Returns
    -------
    Path
        Closed and counter-clockwise, beginning at the corner where the first edge begins.

    Raises
    ------
    NotThere
        If there is no edge of the fold's name.
    GeometryError
        If the outline has more than 20 000 segments, is open or clockwise, or a margin is negative, not finite, or so wide
        that no line is left.

    Examples
    --------
    >>> from firsthand.geometry import Point
    >>> from firsthand.pattern.model import Corner
    >>> corners = [Point(0, 0), Point(100, 0), Point(100, 300), Point(0, 300)]
    >>> edges = tuple(
    ...     Edge(name, Corner(name), Path.line(a, b), allowance)
    ...     for name, allowance, a, b in zip("abcd", (40, 15, 10, 0), corners, corners[1:] + corners[:1], strict=True)
    ... )
    >>> cutting_line(Shape(edges, (Point(0, 0), Point(0, 300)))).bounds
    Box(left=0.0, bottom=-40.0, right=115.0, top=310.0)
    """
    return _cutting_line(shape, fold)


@lru_cache(maxsize=512)
def _cutting_line(shape: Shape, fold: str) -> Path:
    outline = shape.outline
    if len(outline.segments) > MOST:
        raise GeometryError(f"its outline has {len(outline.segments)} lines and curves, and at most {MOST} can be worked with")
    if not outline.is_closed:
        raise GeometryError("an outline that is not closed has no cutting line")
    if outline.area <= 0:
        raise GeometryError("an outline that runs clockwise has no cutting line")
    if fold:
        shape = shape.with_edge(replace(shape.edge(fold), fate=Fate(FateKind.FOLD)))
    margins = [_margin(edge) for edge in shape.edges]
    if not (any(margins) or shape.darts or shape.pleats):
        return outline
    lines = [parallel(shape, edge, margin) for edge, margin in zip(shape.edges, margins, strict=True)]
    joints = [join(_bend(shape, margins, lines, index)) for index in range(len(lines))]
    raw = _chained(lines, joints)
    return _without_loops(raw)


def _margin(edge: Edge) -> float:
    if edge.fate is not None and edge.fate.kind is FateKind.FOLD:
        return 0.0
    if not (math.isfinite(edge.margin) and edge.margin >= 0):
        raise GeometryError(f"edge {edge.id!r} has an allowance of {said(edge.margin)}")
    return edge.margin


def _bend(shape: Shape, margins: list[float], lines: list[Path], index: int) -> Bend:
    """The corner where an edge begins."""
    before = index - 1
    after = shape.edges[index]
    pair = (margins[before], margins[index])
    return Bend(after.path.start, shape.edges[before], after, pair, (lines[before], lines[index]))


def _chained(lines: list[Path], joints: list[Joint]) -> Path:
    """The parallels, cut or run on as the joints say, with what lies between them."""
    chain: list[Segment] = []
    for index, line in enumerate(lines):
        for path in (*joints[index].between, *_stretch(line, joints[index].start, joints[(index + 1) % len(lines)].stop)):
            for segment in path.segments:
                _append(chain, segment)
    return _closed(chain)


def _closed(chain: list[Segment]) -> Path:
    """The chain as a path that ends in the very point where it begins."""
    if chain[-1].end.distance(chain[0].start) > CLOSE:
        chain.append(Line(chain[-1].end, chain[0].start))
    last, start = chain[-1], chain[0].start
    chain[-1] = replace(last, b=start) if isinstance(last, Line) else replace(last, d=start)
    return Path(tuple(chain))


def _append(chain: list[Segment], segment: Segment) -> None:
    if segment.start.distance(segment.end) <= CLOSE and segment.length <= CLOSE:
        return
    if chain and chain[-1].end.distance(segment.start) > CLOSE:
        chain.append(Line(chain[-1].end, segment.start))
    chain.append(replace(segment, a=chain[-1].end) if chain else segment)


def _stretch(line: Path, start: float, stop: float) -> tuple[Path, ...]:
    """A line from one arc length to another, run on where they lie beyond its ends; a straight way back if they are crossed."""
    length = line.length
    longer = extended(line, max(0.0, -start), max(0.0, stop - length))
    before = max(0.0, -start)
    lo, hi = start + before, stop + before
    if hi - lo > CLOSE:
        return (longer.between(max(lo, 0.0), min(hi, longer.length)),)
    one, two = longer.at(lo), longer.at(hi)
    return (Path((Line(one, two),)),) if one.distance(two) > CLOSE else ()


def _without_loops(path: Path) -> Path:
    """Take out loops: where the line crosses itself, the side that goes round more is kept."""
    for _ in range(64):
        crossing = next(iter(self_crossings(path)), None)
        if crossing is None:
            break
        inner = _closed_chain(list(path.between(crossing.at_a, crossing.at_b).segments))
        parts = [path.between(lo, hi) for lo, hi in ((0.0, crossing.at_a), (crossing.at_b, path.length)) if hi - lo > CLOSE]
        outer = _closed_chain([segment for part in parts for segment in part.segments])
        path = max((candidate for candidate in (inner, outer) if candidate is not None), key=lambda p: p.area)
    if path.area <= 0:
        raise GeometryError("the allowances are so wide that no cutting line is left")
    return path


def _closed_chain(segments: list[Segment]) -> Path | None:
    chain: list[Segment] = []
    for segment in segments:
        _append(chain, segment)
    return _closed(chain) if chain else None
