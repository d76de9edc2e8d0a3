"""The kernel of splitting: a shape cut in two along a line from one place of its outline to another."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from firsthand.alter.cutting.split_line import ASIDE, SHORTEST, SNAP, Line
from firsthand.alter.moving.maps import Run
from firsthand.alter.moving.reshape import Crosses, refuse_crossings
from firsthand.errors import CannotAlter, FirsthandError
from firsthand.geometry import Path, Point, encloses, intersections
from firsthand.pattern import (
    Corner,
    Edge,
    Fate,
    FateKind,
    InnerLine,
    LevelLine,
    Notch,
    NotchKind,
    Shape,
    level_width,
)

__all__ = ["WORDS", "Half", "parted"]

WORDS = ("upper", "lower", "inner", "outer", "first", "second")
"""What halves are called."""

LEAST_AREA = 100.0
"""The least that a half may be, mm2: a square centimetre."""
NEAR_LEVEL = 0.05
"""Widths along a level that differ by less, mm, are the same."""
LONG = 300.0
"""A seam longer than this, mm, has two notches, one above 60 mm has one. Source: our own choice."""


@dataclass(frozen=True, slots=True)
class Half:
    """One of the two shapes.

    Parameters
    ----------
    word
        ``upper`` or ``lower``, ``inner`` or ``outer`` (away from the fold), ``first`` or ``second`` (from the left as drawn).
    fold
        The id of the edge that lies on the fold; empty if none does.
    runs
        For each old edge of which something is here the new edge and the run of positions.
    lost
        Ids of notches in whose place the line is.
    """

    word: str
    shape: Shape
    fold: str
    runs: Mapping[str, tuple[tuple[str, Run], ...]]
    lost: tuple[str, ...] = ()


# the halves --------------------------------------------------------------------------------------------------


def parted(shape: Shape, line: Line, *, fold: str, cut: str, allowance: float, notches: int | None = None) -> tuple[Half, Half]:
    """The two shapes on either side of a line, each with its share of all that is marked.

    Parameters
    ----------
    fold
        The id of the edge on the fold, empty if none.
    cut, allowance
        Id of the new edges, and from their stitching to their cutting line, mm.
    notches
        How many match notches they get; None for none below 60 mm, one up to 300 mm and two above.

    Returns
    -------
    tuple
        The half that lies above the other, nearer to the fold, or farther to the left as drawn; and the other. The new edge
        runs once round either, the two run past each other.

    Raises
    ------
    CannotAlter
        If a half would be next to nothing, or both ends of the line lie on the fold.
    """
    raw = [_Raw.of(shape, line, way) for way in (1, -1)]
    if any(half.area < LEAST_AREA for half in raw):
        raise CannotAlter("next to nothing would be left on one side of the line", "Lead the line through the piece.")
    if fold and any(sum(edge.id == fold for edge, _, _ in half.stretches) > 1 for half in raw):
        raise CannotAlter("both ends of the line lie on the fold", "Let it end at another edge.")
    words = _words(shape, raw, fold)
    at = _notch_places(line.middle.length, notches)
    halves = [_half(shape, half, word, _New(line, fold, cut, allowance, at)) for half, word in zip(raw, words, strict=True)]
    halves = _with_levels(shape, halves)
    for half in halves:
        try:
            refuse_crossings(half.shape)
        except Crosses as crossing:
            raise CannotAlter(f"of the {half.word} half {crossing}", "Lead the line another way.") from crossing
    one, two = sorted(halves, key=lambda half: WORDS.index(half.word))
    return one, two


@dataclass(frozen=True, slots=True)
class _New:
    """What the new edges are like."""

    line: Line
    fold: str
    cut: str
    allowance: float
    notches: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _Raw:
    """A half before its edges are named: its stretches of old edges, each from where to where, and the cut that closes it."""

    way: int
    stretches: tuple[tuple[Edge, float, float], ...]
    paths: tuple[Path, ...]
    cut: Path
    before_middle: float
    """Length of the cut before the line itself: the leg of a dart, mm."""

    @staticmethod
    def of(shape: Shape, line: Line, way: int) -> _Raw:
        begin, end = (line.two, line.one) if way > 0 else (line.one, line.two)
        stretches = tuple(_between(shape, begin.after, end.before))
        paths = tuple(
            edge.path if _is_whole(edge, lo, hi) else edge.path.between(lo, min(hi, edge.path.length))
            for edge, lo, hi in stretches
        )
        if not paths:
            raise CannotAlter("the line begins and ends in one place", "Name two places.")
        middle = line.middle if way > 0 else line.middle.reversed()
        first, last = _leg(paths[-1].end, middle.start), _leg(middle.end, paths[0].start)
        cut = Path.joined(path for path in (first, middle, last) if path is not None)
        return _Raw(way, stretches, paths, cut, first.length if first else 0.0)

    @property
    def outline(self) -> tuple[Point, ...]:
        return Path.joined((*self.paths, self.cut)).flattened()

    @property
    def area(self) -> float:
        return Path.joined((*self.paths, self.cut)).area


def _leg(a: Point, b: Point) -> Path | None:
    return Path.line(a, b) if a.distance(b) > ASIDE else None


def _is_whole(edge: Edge, lo: float, hi: float) -> bool:
    return lo == 0.0 and hi == edge.path.length


def _between(shape: Shape, begin: tuple[int, float], end: tuple[int, float]) -> Iterator[tuple[Edge, float, float]]:
    """The stretches of the outline from one place round to another."""
    (i, lo), (j, hi) = begin, end
    count = len(shape.edges)
    steps = (j - i) % count or (0 if lo < hi else count)
    for step in range(steps + 1):
        edge = shape.edges[(i + step) % count]
        a, b = (lo if step == 0 else 0.0), (hi if step == steps else edge.path.length)
        if b - a > ASIDE:
            yield edge, a, b


def _words(shape: Shape, halves: Sequence[_Raw], fold: str) -> tuple[str, str]:
    up = shape.up
    one, two = (_centroid(half.outline) for half in halves)
    apart = one - two
    if abs(apart.dot(up)) >= abs(apart.cross(up)):
        return ("upper", "lower") if apart.dot(up) > 0 else ("lower", "upper")
    folds = [any(edge.id == fold for edge, _, _ in half.stretches) for half in halves]
    if folds[0] != folds[1]:
        return ("inner", "outer") if folds[0] else ("outer", "inner")
    return ("first", "second") if apart.cross(up) < 0 else ("second", "first")


def _centroid(points: Sequence[Point]) -> Point:
    origin, total, sum_ = points[0], 0.0, Point(0, 0)
    for a, b in itertools.pairwise(point - points[0] for point in points):
        total, sum_ = total + a.cross(b), sum_ + (a + b) * a.cross(b)
    return origin + sum_ / (3 * total)


def _notch_places(length: float, count: int | None) -> tuple[float, ...]:
    """Where on the line match notches are: not so that an edge turned end for end would match as well."""
    count = (0 if length < 60.0 else 1 if length <= LONG else 2) if count is None else count
    return tuple(length * (k + 0.8) / (count + 1) for k in range(count))


# one half ----------------------------------------------------------------------------------------------------


def _half(shape: Shape, raw: _Raw, word: str, new: _New) -> Half:
    edges: list[Edge] = []
    runs: dict[str, list[tuple[str, Run]]] = {}
    for k, ((edge, lo, hi), path) in enumerate(zip(raw.stretches, raw.paths, strict=True)):
        again = f" {len(runs[edge.id]) + 1}" if edge.id in runs else ""
        name = edge.id if _is_whole(edge, lo, hi) or edge.id == new.fold else f"{edge.id} {word}{again}"
        corner = edge.corner if lo == 0.0 else Corner(f"{new.cut} end")
        corner = Corner(corner.id) if k == 0 else corner  # what comes before it is the new edge
        edges.append(replace(edge, id=name, corner=corner, path=path))
        runs.setdefault(edge.id, []).append((name, (lo, hi, 0.0, hi - lo)))
    edges.append(Edge(new.cut, Corner(f"{new.cut} start"), raw.cut, new.allowance, fate=Fate(FateKind.SEAM)))
    outline = raw.outline
    marks = _marks(shape, runs)
    used = tuple(gate.dart.id for gate in (new.line.one, new.line.two) if gate.dart)
    made = Shape(
        edges=tuple(edges),
        grain=_grain(shape, outline),
        notches=(*marks.notches, *_match_notches(shape, raw, new)),
        darts=tuple(
            replace(dart, edge=found[0], at=found[1])
            for dart in shape.darts
            if dart.id not in used and (found := _moved(runs, dart.edge, dart.at)) is not None
        ),
        pleats=tuple(
            replace(pleat, edge=found[0], at=found[1])
            for pleat in shape.pleats
            if (found := _moved(runs, pleat.edge, pleat.at)) is not None
        ),
        lines=tuple(kept for line in shape.lines for kept in _inner(line, new.line.middle, outline)),
        levels=shape.levels,
    )
    folds = runs.get(new.fold, []) if new.fold else []
    return Half(word, made, folds[0][0] if folds else "", {edge: tuple(found) for edge, found in runs.items()}, marks.lost)


def _moved(runs: Mapping[str, Sequence[tuple[str, Run]]], edge: str, at: float) -> tuple[str, float] | None:
    """The new edge and place of an old one, if it is on this half."""
    for name, (lo, hi, start, _) in runs.get(edge, ()):
        if lo <= at <= hi:
            return name, start + at - lo
    return None


@dataclass(frozen=True, slots=True)
class _Marks:
    notches: tuple[Notch, ...]
    lost: tuple[str, ...]


def _marks(shape: Shape, runs: Mapping[str, Sequence[tuple[str, Run]]]) -> _Marks:
    kept, lost = [], []
    for notch in shape.notches:
        length = shape.edge(notch.edge).path.length
        for name, (lo, hi, _, _) in runs.get(notch.edge, ()):
            cuts = [end for end in (lo, hi) if 0.0 < end < length]
            if any(abs(notch.at - end) <= SNAP for end in cuts):
                lost.append(notch.id)
            elif lo <= notch.at <= hi:
                kept.append(replace(notch, edge=name, at=notch.at - lo))
    return _Marks(tuple(kept), tuple(lost))


def _match_notches(shape: Shape, raw: _Raw, new: _New) -> Iterator[Notch]:
    """Notches at the same places of the line on both halves, and where a dart's legs end."""
    taken = {notch.id for notch in shape.notches}
    length = new.line.middle.length
    places = [*new.notches]
    places += [0.0] if new.line.one.dart else []
    places += [length] if new.line.two.dart else []
    double = sum(notch.kind is NotchKind.DOUBLE for notch in shape.notches) * 2 > len(shape.notches)
    kind = NotchKind.DOUBLE if double else NotchKind.SINGLE
    names = (name for n in itertools.count(1) if (name := f"{new.cut} {n}") not in taken)
    for place, name in zip(sorted(places), names, strict=False):
        yield Notch(name, new.cut, raw.before_middle + (place if raw.way > 0 else length - place), kind)


def _inner(line: InnerLine, middle: Path, outline: Sequence[Point]) -> Iterator[InnerLine]:
    """What of an inner line is on this half."""
    length = line.path.length
    cuts = sorted({c.at_a for c in intersections(line.path, middle) if SNAP < c.at_a < length - SNAP})
    stretches = list(itertools.pairwise([0.0, *cuts, length]))
    kept = [(a, b) for a, b in stretches if encloses(outline, line.path.at((a + b) / 2))]
    for number, (a, b) in enumerate(kept, 1):
        name = line.id if number == 1 else f"{line.id} {number}"
        yield replace(line, id=name, path=line.path if len(stretches) == 1 else line.path.between(a, b))


def _grain(shape: Shape, outline: Sequence[Point]) -> tuple[Point, Point]:
    """The grain line, if it lies in this half; else one of the same direction in its middle."""
    a, b = shape.grain
    if all(encloses(outline, a.towards(b, share)) for share in (0.0, 0.25, 0.5, 0.75, 1.0)):
        return shape.grain
    along = (b - a).unit()
    middle = _centroid(outline)
    reach = max(middle.distance(point) for point in outline) + 1.0
    ray = Path.line(middle - along * reach, middle + along * reach)
    ends = sorted({0.0, *(c.at_a for c in intersections(ray, Path.line(*outline))), 2 * reach})
    inner = [(lo, hi) for lo, hi in itertools.pairwise(ends) if encloses(outline, ray.at((lo + hi) / 2))]
    lo, hi = max(inner, key=lambda stretch: stretch[1] - stretch[0], default=(reach, reach))
    half = max(0.3 * (hi - lo), SHORTEST)
    return ray.at((lo + hi) / 2 - half), ray.at((lo + hi) / 2 + half)


# levels ------------------------------------------------------------------------------------------------------


def _with_levels(shape: Shape, halves: Sequence[Half]) -> list[Half]:
    """Each level on the half or halves that it crosses, so that the widths add up to what they were."""
    kept: list[list[LevelLine]] = [[], []]
    for level in dict.fromkeys(line.level for line in shape.levels):
        lines = [line for line in shape.levels if line.level == level]
        for k in _carriers(shape, halves, level):
            kept[k] += lines
    return [replace(half, shape=replace(half.shape, levels=tuple(levels))) for half, levels in zip(halves, kept, strict=True)]


def _carriers(shape: Shape, halves: Sequence[Half], level: str) -> tuple[int, ...]:
    try:
        whole = level_width(shape, level)
        widths = [level_width(half.shape, level) for half in halves]
    except FirsthandError:  # a level without a line is found by its own check
        return (0, 1)
    found = tuple(k for k, width in enumerate(widths) if width is not None)
    if whole is None or len(found) < 2:
        return found or (0, 1)
    one, two = (width or 0.0 for width in widths)
    choices = [((0, 1), one + two), ((0,), one), ((1,), two)]
    least = min(abs(total - whole) for _, total in choices)
    first = "upper" if any(half.word == "upper" for half in halves) else halves[0].word
    close = [which for which, total in choices if abs(total - whole) <= least + NEAR_LEVEL]
    return max(close, key=lambda which: (len(which), any(halves[k].word == first for k in which)))
