"""One piece in several sizes: the same things found in each, and mixed in constant shares."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from firsthand.alter.moving.maps import Runs
from firsthand.alter.moving.reshape import Crosses, Reshaped, closed, refuse_crossings
from firsthand.errors import CannotAlter
from firsthand.geometry import Cubic, Line, Path, Point, Segment
from firsthand.pattern import Dart, Edge, InnerLine, LevelLine, Notch, Pleat, Shape, level_width

__all__ = [
    "elevated", "inner_pleat", "level_widths", "marks", "matched", "mixed", "mixed_edge", "mixed_line", "mixed_place",
    "mixed_point", "mouths", "same_make", "sound",
]  # fmt: skip

MARKS = 1e-9
"""Marks this close together on an edge are one, mm."""


# the same things in each size ---------------------------------------------------------------------------------


def matched(piece: str, shapes: Mapping[str, Shape]) -> dict[str, Shape]:
    """The sizes of a piece with everything on them in the order of the first one.

    Parameters
    ----------
    piece
        Its id, for the refusal.
    shapes
        At least one shape by size.

    Raises
    ------
    CannotAlter
        If one has an edge, corner, notch, dart, pleat, line or level that another one has not; naming it.
    """
    sizes = list(shapes)
    first = shapes[sizes[0]]
    ordered = {sizes[0]: first}
    for size in sizes[1:]:
        other = _turned(shapes[size], first.edges[0].id)
        differing = _differing(first, other)
        if differing:
            words = f"{piece} is not made alike in sizes {sizes[0]} and {size}: {differing}"
            raise CannotAlter(words, "Give both sizes the same edges and marks, under the same names.")
        ordered[size] = _in_order(first, other)
    return ordered


def _turned(shape: Shape, start: str) -> Shape:
    """The same outline counted from another edge."""
    index = next((k for k, edge in enumerate(shape.edges) if edge.id == start), 0)
    return replace(shape, edges=shape.edges[index:] + shape.edges[:index]) if index else shape


def _differing(one: Shape, two: Shape) -> str:
    """What one of two shapes has and the other has not; empty if they are made alike."""
    for what, first, second in zip(_WHAT, _things(one), _things(two), strict=True):
        gone = [name for name in first if name not in second] or [name for name in second if name not in first]
        if gone:
            return f"{what} {gone[0]} is not in both"
        if what == "edge" and first != second:
            return "the edges do not follow each other in the same order"
    return ""


_WHAT = ("edge", "corner", "notch", "dart", "pleat", "line", "level")


def _things(shape: Shape) -> tuple[list[str], ...]:
    """Everything on a shape by sort, each with what it must have in common."""
    counted = [f"{level.level} no. {n}" if n > 1 else level.level for level, n in _numbered(shape.levels)]
    return (
        [edge.id for edge in shape.edges],
        [edge.corner.id for edge in shape.edges],
        [f"{n.id} on {n.edge}" for n in shape.notches],
        [f"{d.id} on {d.edge}" for d in shape.darts],
        [f"{p.id} ({p.kind.value}) on {p.edge}" for p in shape.pleats],
        [f"{line.id} ({line.kind.value})" for line in shape.lines],
        counted,
    )


def _numbered(levels: Iterable[LevelLine]) -> list[tuple[LevelLine, int]]:
    seen: dict[str, int] = {}
    found = []
    for level in levels:
        seen[level.level] = seen.get(level.level, 0) + 1
        found.append((level, seen[level.level]))
    return found


def _in_order(first: Shape, other: Shape) -> Shape:
    notches = {n.id: n for n in other.notches}
    darts, pleats = {d.id: d for d in other.darts}, {p.id: p for p in other.pleats}
    lines, levels = {line.id: line for line in other.lines}, {(lv.level, n): lv for lv, n in _numbered(other.levels)}
    return replace(
        other,
        notches=tuple(notches[n.id] for n in first.notches),
        darts=tuple(darts[d.id] for d in first.darts),
        pleats=tuple(pleats[p.id] for p in first.pleats),
        lines=tuple(lines[line.id] for line in first.lines),
        levels=tuple(levels[level.level, n] for level, n in _numbered(first.levels)),
    )


# constant shares ----------------------------------------------------------------------------------------------


def mixed(shapes: Sequence[Shape], weights: Sequence[float]) -> Reshaped:
    """A mixture of sizes in constant shares.

    Control points, marks and points of darts are mixed one by one where an edge is drawn with the same number of segments in
    every size, so that one size alone gives back exactly its outline. Where the numbers differ, places at the same share of
    the arc between two marks are mixed, and a curve is laid through them.

    Parameters
    ----------
    shapes
        Made alike, see :func:`matched`; what is not a length (allowances, fates, kinds of notches) is taken from the first.
    weights
        The share of each; they add to one, and some may be negative.

    Returns
    -------
    Reshaped
        The mixture, and maps from the edges of the first shape.

    Raises
    ------
    Crosses
        If the outline crosses itself or a mark comes to lie beyond its edge.
    """
    first = shapes[0]
    if list(weights[1:]) == [0.0] * (len(weights) - 1):
        return Reshaped(first, {edge.id: ((0.0, edge.path.length, 0.0, edge.path.length),) for edge in first.edges})
    edges = closed([replace(edge, path=mixed_edge(shapes, weights, k)) for k, edge in enumerate(first.edges)])
    ruler = _Ruler(shapes, weights, edges)
    new = replace(
        first,
        edges=edges,
        grain=(
            mixed_point([s.grain[0] for s in shapes], weights),
            mixed_point([s.grain[1] for s in shapes], weights),
        ),
        notches=tuple(_notch([s.notches[k] for s in shapes], ruler) for k in range(len(first.notches))),
        darts=tuple(_dart([s.darts[k] for s in shapes], ruler) for k in range(len(first.darts))),
        pleats=tuple(_pleat([s.pleats[k] for s in shapes], ruler) for k in range(len(first.pleats))),
        lines=tuple(replace(n, path=mixed_line([s.lines[k] for s in shapes], weights)) for k, n in enumerate(first.lines)),
        levels=tuple(_level([s.levels[k] for s in shapes], weights) for k in range(len(first.levels))),
    )
    sound(new)
    return Reshaped(new, {edge.id: _runs(first, new, edge.id) for edge in edges})


class _Ruler:
    """Places on the edges of a mixture: the mixed arc lengths, by the share of the whole edge."""

    def __init__(self, shapes: Sequence[Shape], weights: Sequence[float], edges: Iterable[Edge]) -> None:
        self.weights = weights
        self._lengths = {edge.id: (edge.path.length, [s.edges[k].path.length for s in shapes]) for k, edge in enumerate(edges)}

    def number(self, values: Iterable[float]) -> float:
        """The mixture of a number."""
        return math.fsum(weight * value for weight, value in zip(self.weights, values, strict=True))

    def at(self, edge: str, places: Sequence[float]) -> float:
        """The mixture of a place on an edge."""
        length, lengths = self._lengths[edge]
        return mixed_place(places, lengths, self.weights, length)


def mixed_place(places: Sequence[float], lengths: Sequence[float], weights: Sequence[float], length: float) -> float:
    """A place on the mixture of an edge: the mixed arc length, as a share of the mixed length.

    Parameters
    ----------
    places, lengths
        The place on the edge, and the length of the edge, in each size, mm.
    weights
        The share of each size.
    length
        The length of the mixture.

    Examples
    --------
    A notch 200 mm up stays there though the edge grows.

    >>> round(mixed_place([200.0, 200.0], [300.0, 310.0], [0.5, 0.5], 305.0), 9)
    200.0
    """
    place, whole = (math.fsum(w * x for w, x in zip(weights, row, strict=True)) for row in (places, lengths))
    return place / whole * length


def mixed_point(points: Sequence[Point], weights: Sequence[float]) -> Point:
    """A mixture of points.

    Examples
    --------
    >>> mixed_point([Point(0, 0), Point(10, 20)], [0.5, 0.5])
    Point(x=5.0, y=10.0)
    """
    x = math.fsum(weight * point.x for weight, point in zip(weights, points, strict=True))
    return Point(x, math.fsum(weight * point.y for weight, point in zip(weights, points, strict=True)))


def same_make(paths: Sequence[Path]) -> bool:
    """Whether paths have the same number of segments."""
    return len({len(path.segments) for path in paths}) == 1


def elevated(segment: Segment) -> Cubic:
    """A segment as a cubic."""
    if isinstance(segment, Cubic):
        return segment
    return Cubic(segment.a, segment.a.towards(segment.b, 1 / 3), segment.a.towards(segment.b, 2 / 3), segment.b)


def _path(paths: Sequence[Path], weights: Sequence[float]) -> Path:
    """Paths of the same make, mixed."""
    made: list[Segment] = []
    for row in zip(*(path.segments for path in paths), strict=True):
        if all(isinstance(segment, Line) for segment in row):
            made.append(Line(*(mixed_point([getattr(s, name) for s in row], weights) for name in "ab")))
        else:
            cubics = [elevated(segment) for segment in row]
            made.append(Cubic(*(mixed_point([getattr(s, name) for s in cubics], weights) for name in "abcd")))
    return Path(tuple(made))


def mixed_edge(shapes: Sequence[Shape], weights: Sequence[float], index: int) -> Path:
    """The path of an edge in constant shares."""
    paths = [shape.edges[index].path for shape in shapes]
    if same_make(paths):
        return _path(paths, weights)
    from firsthand.alter.sizing.curves import Strand  # late: numpy is needed only here

    return Strand.of(shapes, index).constant(weights)


def mixed_line(lines: Sequence[InnerLine], weights: Sequence[float]) -> Path:
    """The path of a line within a piece in constant shares."""
    paths = [line.path for line in lines]
    if same_make(paths):
        return _path(paths, weights)
    from firsthand.alter.sizing.curves import Strand  # late: numpy is needed only here

    return Strand.plain(paths).constant(weights)


def _notch(notches: Sequence[Notch], ruler: _Ruler) -> Notch:
    return replace(notches[0], at=ruler.at(notches[0].edge, [notch.at for notch in notches]))


def _dart(darts: Sequence[Dart], ruler: _Ruler) -> Dart:
    return replace(
        darts[0],
        at=ruler.at(darts[0].edge, [dart.at for dart in darts]),
        width=ruler.number(dart.width for dart in darts),
        apex=mixed_point([dart.apex for dart in darts], ruler.weights),
    )


def _pleat(pleats: Sequence[Pleat], ruler: _Ruler) -> Pleat:
    return replace(
        inner_pleat(pleats, ruler.weights),
        at=ruler.at(pleats[0].edge, [pleat.at for pleat in pleats]),
    )


def inner_pleat(pleats: Sequence[Pleat], weights: Sequence[float]) -> Pleat:
    """A pleat with its depths mixed; its place is that of the first.

    Raises
    ------
    CannotAlter
        If its depth is told at more places in one size than in another, or it runs to a point in one only.
    """
    first = pleats[0]
    if len({len(pleat.depths) for pleat in pleats}) > 1 or len({pleat.towards is None for pleat in pleats}) > 1:
        raise CannotAlter(f"the pleat {first.id} is not told alike in every size", "Tell its depths at the same places.")

    def number(values: Iterable[float]) -> float:
        return math.fsum(weight * value for weight, value in zip(weights, values, strict=True))

    towards = [pleat.towards for pleat in pleats if pleat.towards is not None]
    return replace(
        first,
        depth=number(pleat.depth for pleat in pleats),
        reach=number(pleat.reach for pleat in pleats),
        depths=tuple((number(row[0] for row in rows), number(row[1] for row in rows))
                     for rows in zip(*(pleat.depths for pleat in pleats), strict=True)),
        towards=mixed_point(towards, weights) if towards else None,
    )  # fmt: skip


def _level(levels: Sequence[LevelLine], weights: Sequence[float]) -> LevelLine:
    a, b = (mixed_point([getattr(level, end) for level in levels], weights) for end in "ab")
    return replace(levels[0], a=a, b=b)


# marks --------------------------------------------------------------------------------------------------------


def marks(shape: Shape, edge: str) -> list[float]:
    """Where the things on an edge lie: notches, and both ends of the mouths of darts and pleats; not in order."""
    return [*(n.at for n in shape.notches if n.edge == edge), *(end for mouth in mouths(shape, edge) for end in mouth)]


def mouths(shape: Shape, edge: str) -> list[tuple[float, float]]:
    """Where the darts and then the pleats on an edge begin and end, mm of arc."""
    return [d.mouth for d in shape.darts if d.edge == edge] + [p.mouth for p in shape.pleats if p.edge == edge]


def _runs(old: Shape, new: Shape, edge: str) -> Runs:
    """Runs from mark to mark."""
    pairs = sorted(zip(marks(old, edge), marks(new, edge), strict=True))
    ends = (old.edge(edge).path.length, new.edge(edge).path.length)
    kept = [(0.0, 0.0)]
    for pair in (*pairs, ends):
        if pair[0] > kept[-1][0] + MARKS and pair[1] >= kept[-1][1] and pair[0] <= ends[0] + MARKS:
            kept.append((min(pair[0], ends[0]), min(pair[1], ends[1])))
    return tuple((o1, o2, n1, n2) for (o1, n1), (o2, n2) in itertools.pairwise(kept))


def level_widths(changed: Mapping[str, Reshaped]) -> dict[str, float]:
    """How wide the changed pieces are at their levels, mm, by ``"front at bust"``; darts closed."""
    widths: dict[str, float] = {}
    for name, result in changed.items():
        for level in dict.fromkeys(mark.level for mark in result.shape.levels):
            width = level_width(result.shape, level)
            widths |= {f"{name} at {level}": width} if width is not None else {}
    return widths


def sound(shape: Shape) -> None:
    """Refuse a mixture that is no piece any more.

    Raises
    ------
    Crosses
        If a mark lies beyond its edge, a dart or pleat has no width, or the outline crosses itself.
    """
    lengths = {edge.id: edge.path.length for edge in shape.edges}
    for notch in shape.notches:
        if not -MARKS <= notch.at <= lengths[notch.edge] + MARKS:
            raise Crosses(f"the notch {notch.id} would lie beyond {notch.edge}")
    folds = [(d.id, d.edge, d.mouth) for d in shape.darts] + [(p.id, p.edge, p.mouth) for p in shape.pleats]
    for name, edge, (start, end) in folds:
        if not (-1e-6 <= start <= end <= lengths[edge] + 1e-6):
            raise Crosses(f"{name} would not find room on {edge}")
    refuse_crossings(shape)
