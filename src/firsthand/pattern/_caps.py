"""Caps: how an edge is cut across a dart or a pleat, so that what is folded ends in the seam.

Fold it the way it is pressed, cut along the seam, and unfold: between two creases the line is then the mirror image of the
line on the cloth that the strip lay on. (Common practice.) The same holds for the stitching line and for the cutting line.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Line, Path, extended, intersections, offset
from firsthand.pattern._folds import CLOSE, Crease, Fold, chained, edge_folds, stretches
from firsthand.pattern.model import Dart, Edge, Pleat, Shape

__all__ = ["capped_edge", "dart_cap", "parallel", "pleat_cap"]

STEEPEST = 3.0
"""A cap that would lie on more cloth than so many widths of its mouth is cut straight across: nothing so slanting is sewn.
Source: common practice."""

HAIR = 0.02
"""Where the lines beside a mouth do not quite end alike, so small a step is taken up by the cap, mm: as far as a parallel may
leave the true one."""

_Side = tuple[float, tuple[Path, ...]]
"""How far from its end the line beside the mouth is left, and the cap's pieces from there to the middle."""


def dart_cap(shape: Shape, dart: Dart) -> Path:
    """The stitching line across the mouth of a dart, as it comes out when the dart is folded and pressed.

    Folded flat, it lies on the stitching line beside the mouth: before it, after it, or both, as the dart is pressed. The
    edge's path itself runs straight over the mouth, and lengths and notches count along that.

    Parameters
    ----------
    shape, dart
        A dart of the shape.

    Returns
    -------
    Path
        From the start of the mouth to its end. A dart that cannot be folded, since its point lies outside, its mouth reaches
        over the end of its edge or the line beside it runs off too steeply, has the edge's own line.

    Raises
    ------
    NotThere
        If the shape has no such edge.

    Examples
    --------
    >>> from firsthand.geometry import Point
    >>> from firsthand.pattern.model import Corner
    >>> waist = Edge("waist", Corner("a"), Path.line(Point(200, 0), Point(0, 0)))
    >>> shape = Shape((waist,), (Point(0, 0), Point(0, 1)), darts=(Dart("d", "waist", 100, 60, Point(100, -72)),))
    >>> [(round(p.x, 3), round(p.y, 3) + 0.0) for p in dart_cap(shape, shape.darts[0]).joints]
    [(130.0, 0.0), (100.0, 30.252), (70.0, 0.0)]
    """
    return _mark_cap(shape, dart)


def pleat_cap(shape: Shape, pleat: Pleat) -> Path:
    """The stitching line across the cloth of a pleat, as it comes out when the pleat is folded.

    On an edge that runs square to the pleat it is the edge itself; on one that slants it goes to and fro between the creases.

    Parameters
    ----------
    shape, pleat
        A pleat of the shape.

    Returns
    -------
    Path
        From where the pleat's cloth begins to where it ends; the edge's own line if the pleat cannot be folded.

    Raises
    ------
    NotThere
        If the shape has no such edge.
    """
    return _mark_cap(shape, pleat)


def _mark_cap(shape: Shape, mark: Dart | Pleat) -> Path:
    path, folds = shape.edge(mark.edge).path, edge_folds(shape, mark.edge)
    lo, hi = mark.mouth
    own = path.between(max(lo, 0.0), min(hi, path.length))
    index = next((k for k, fold in enumerate(folds) if fold.id == mark.id and fold.mouth == mark.mouth), None)
    if index is None:
        return own
    found = _cap(path, folds, index, 0.0)
    return own if found is None else chained(iter((*found[0][1], *found[1][1])))


def capped_edge(shape: Shape, edge: str) -> Path:
    """The stitching line of an edge with the caps of its darts and pleats: what is drawn and stitched along.

    Raises
    ------
    NotThere
        If there is no such edge.
    """
    return parallel(shape, shape.edge(edge), 0.0)


def parallel(shape: Shape, edge: Edge, margin: float) -> Path:
    """The line of an edge at a margin, with the caps of its darts and pleats.

    Raises
    ------
    GeometryError
        If the line has no parallel at that margin.
    """
    folds = edge_folds(shape, edge.id)
    return _parallel(edge.path, folds, margin) if folds else offset(edge.path, margin)


@lru_cache(maxsize=1024)
def _parallel(path: Path, folds: tuple[Fold, ...], margin: float) -> Path:
    caps = [_cap(path, folds, index, margin) for index in range(len(folds))]
    folds = tuple(fold for fold, cap in zip(folds, caps, strict=True) if cap is not None)
    return chained(_snapped(_pieces(stretches(path, folds), [cap for cap in caps if cap is not None], margin)))


def _snapped(paths: Iterable[Path]) -> Iterator[Path]:
    """Paths that begin exactly where the one before ends, but for real steps: both sides meet half way."""
    found = list(paths)
    for index in range(1, len(found)):
        one, two = found[index - 1], found[index]
        if 0 < one.end.distance(two.start) <= HAIR and min(one.length, two.length) > HAIR:
            middle = one.end.towards(two.start, 0.5)
            found[index - 1] = one.reversed().begun_at(middle).reversed()
            found[index] = two.begun_at(middle)
    return iter(found)


def _pieces(parts: Sequence[Path | None], caps: Sequence[tuple[_Side, _Side]], margin: float) -> Iterator[Path]:
    """Stretches and caps in turn, each stretch ending where the caps beside it begin."""
    for index, part in enumerate(parts):
        if part is not None:
            before = caps[index - 1][1][0] if index else 0.0
            after = caps[index][0][0] if index < len(caps) else 0.0
            line = offset(part, margin)
            line = extended(line, max(0.0, -before), max(0.0, -after))
            lo, hi = max(0.0, before), line.length - max(0.0, after)
            if hi - lo > CLOSE:
                yield line.between(lo, hi)
        if index < len(caps):
            yield from (*caps[index][0][1], *caps[index][1][1])


# one cap ---------------------------------------------------------------------------------------------------------


def _cap(path: Path, folds: tuple[Fold, ...], index: int, margin: float) -> tuple[_Side, _Side] | None:
    """Both sides of a cap; None if it cannot be folded so."""
    fold = folds[index]
    parts = stretches(path, folds)
    try:
        back = offset(_away(path, folds, parts, index, -1), -margin)
        forth = offset(_away(path, folds, parts, index, 1), margin)
    except GeometryError:
        return None
    most = STEEPEST * (fold.width + margin)
    one = _side(back, fold.creases[: fold.split + 1], most)
    two = _side(forth, fold.creases[fold.split :][::-1], most)
    if one is None or two is None:
        return None
    return one, (two[0], tuple(piece.reversed() for piece in reversed(two[1])))


def _side(line: Path, creases: Sequence[Crease], most: float) -> _Side | None:
    """The strips that lie on a line which runs away from the mouth, from its outer crease inwards."""
    longer = extended(line, most, most)
    start = _meeting(longer, creases[0], -1.0, most)
    if start is None:
        return None
    if len(creases) == 1:
        return start - most, ()
    first = longer.transformed(creases[0].mirror)
    top = _meeting(first, creases[1], start, most)
    if top is None or top - start > most:
        return None
    strips = [first.between(start, top)]
    if len(creases) > 2:
        strips.append(first.transformed(creases[1].mirror).between(start, top).reversed())
    return start - most, tuple(strips)


def _meeting(line: Path, crease: Crease, after: float, near: float) -> float | None:
    """Where a line meets a crease: after an arc length the first place, before any the one nearest to where it is known."""
    found = [crossing.at_a for crossing in intersections(line, crease.path)]
    if after < 0:
        return min(found, key=lambda at: abs(at - near), default=None)
    return min((at for at in found if at > after + CLOSE), default=None)


def _away(path: Path, folds: tuple[Fold, ...], parts: Sequence[Path | None], index: int, way: int) -> Path:
    """The stitching line from a mouth away, before it (-1) or after it (1), other darts and pleats on the way folded.

    Where those fold with a step, what lies beyond is shifted so that the line runs on: as the cutter trues it.
    """
    wanted = STEEPEST * folds[index].width + 1.0
    motion, reached = Affine(), 0.0
    kept: list[Path] = []
    place = index if way < 0 else index + 1
    while True:
        part = parts[place]
        if part is not None:
            line = part.reversed() if way < 0 else part
            line = line.between(0.0, wanted - reached) if line.length > wanted - reached + CLOSE else line
            kept.append(_joined(kept, line.transformed(motion)))
            reached += line.length
        place += way
        if reached >= wanted - CLOSE or not 0 <= place < len(parts):
            break
        motion = motion @ (folds[place].closing.inverse() if way < 0 else folds[place - 1].closing)
    if kept:
        return Path.joined(kept)
    at = folds[index].mouth[0 if way < 0 else 1]
    here, along = path.at(at), path.tangent_at(at) * (way * wanted)
    return Path((Line(here, here + along),))


def _joined(before: Sequence[Path], path: Path) -> Path:
    """A path shifted to begin where the one before ends."""
    if not before:
        return path
    by = before[-1].end - path.start
    return path.transformed(Affine.translation(by.x, by.y))
