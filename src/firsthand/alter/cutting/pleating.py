"""The kernel of pleats and tucks: where a row of them runs, cloth slashed in for them, and their marks."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from firsthand.alter._making import as_much_as_goes, finished, reshaped, sensible
from firsthand.alter._spots import Spot, along
from firsthand.alter.cutting.sections import Sectioned, far_side, spread_between
from firsthand.alter.model import Alteration, Altered
from firsthand.alter.moving.maps import Runs, chained, place
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.errors import CannotAlter
from firsthand.geometry import Line, Path, Point, intersections
from firsthand.pattern import Garment, InnerLine, InnerLineKind, Piece, Pleat, PleatKind, Shape, pleat_lines
from firsthand.units import said

__all__ = ["Fold", "Row", "crosswise", "folded_away", "folded_in", "pleated", "row_of"]

MOST = 500.0
"""A fold deeper than this, mm, is a slip of the keyboard."""
MOST_FOLDS = 200
"""A row of more is a slip of the keyboard."""
SHORT = 0.5
"""Of a pleat that is folded at both edges the mark at the far edge counts for a level within so much of it, mm."""
LEAST = 1e-3
"""Depths below this are none, mm."""
STEEPEST = 0.1
"""A pleat that makes a smaller angle with its edge (its sine) runs along it."""


@dataclass(frozen=True, slots=True)
class Row:
    """A row of pleats.

    Parameters
    ----------
    edge
        The edge at which they are folded.
    lines
        For each the place on the edge and the place on the outline to which it runs, in order along the edge.
    """

    edge: str
    lines: tuple[tuple[Spot, Spot], ...]


@dataclass(frozen=True, slots=True)
class Fold:
    """How each pleat of a row is folded.

    Parameters
    ----------
    kind, towards_end
        See :class:`firsthand.pattern.Pleat`.
    depth
        Depth of one fold at the edge, mm.
    levels
        Ids of levels, and the depth of one fold there, mm.
    reach
        How far in it stays closed, mm; infinite for all the way.
    both
        Whether it is folded at the far edge as well.
    stitched
        Whether the line along which it is stitched down is marked.
    word
        What it is called.
    """

    kind: PleatKind
    depth: float
    towards_end: bool = True
    levels: tuple[tuple[str, float], ...] = ()
    reach: float = 0.0
    both: bool = False
    stitched: bool = False
    word: str = "pleat"

    @property
    def folds(self) -> int:
        """How many times its depth it takes up."""
        return Pleat("", "", 0.0, 1.0, self.kind).folds

    def scaled(self, by: float) -> Fold:
        """The same with all depths scaled."""
        return replace(self, depth=self.depth * by, levels=tuple((level, depth * by) for level, depth in self.levels))


class _Entry(Alteration, Protocol):
    """What an entry for a row of pleats or tucks says of where they are."""

    @property
    def piece(self) -> str: ...
    @property
    def edge(self) -> str: ...
    @property
    def count(self) -> int: ...
    @property
    def start(self) -> str: ...
    @property
    def end(self) -> str: ...
    @property
    def to(self) -> str: ...
    @property
    def to_start(self) -> str: ...
    @property
    def to_end(self) -> str: ...
    @property
    def added(self) -> bool: ...


def pleated(garment: Garment, entry: _Entry, fold: Fold) -> Altered:
    """The garment with a row of pleats or tucks.

    Raises
    ------
    NotThere
        If the piece is not there or a card, or an edge, a place or a level is not there.
    CannotAlter
        If a number cannot be meant, a line is impossible, or they are deeper than goes.
    GeometryError
        If a number is not finite.
    """
    _refuse_numbers(fold)
    piece = garment.piece(entry.piece)
    shape = piece.drawn_shape
    if piece.fold == entry.edge:
        raise CannotAlter(f"{piece.id}.{entry.edge} lies on the fold", "Unfold the piece first, or name another edge.")
    row = row_of(shape, entry.edge, entry.count, (entry.start, entry.end), entry.to, (entry.to_start, entry.to_end))
    stays = Spot(piece.fold, shape.edge(piece.fold).path.length / 2) if piece.fold else None

    def attempt(depth: float) -> dict[str, Reshaped]:
        scaled = fold.scaled(depth / fold.depth)
        if entry.added:
            return reshaped(garment, {piece.id: lambda old: folded_in(old, row, scaled, stays=stays)})
        return reshaped(garment, {piece.id: lambda old: folded_away(old, row, scaled)})

    changed = as_much_as_goes(attempt, fold.depth, f"{fold.word}s with a depth of")
    for result in changed.values():
        _refuse_bent_fold(piece, result.shape)
    taken = fold.depth * fold.folds
    many = f"{entry.count} {fold.word}s" if entry.count > 1 else f"A {fold.word}"
    sort = "" if fold.word == "tuck" else f" ({fold.kind.value})"
    words = f"{many}{sort} {said(fold.depth)} deep at {piece.id}.{entry.edge}"
    words += (
        f", {said(taken * entry.count)} of cloth added"
        if entry.added
        else f", which is {said(taken * entry.count)} shorter sewn"
    )
    figures = {"depth": fold.depth, "each takes up": taken, "all take up": taken * entry.count}
    return finished(garment, entry, words, figures, changed)


def _refuse_numbers(fold: Fold) -> None:
    for depth in (fold.depth, *(depth for _, depth in fold.levels)):
        sensible(depth, MOST)
    if fold.depth < LEAST or any(depth < 0 for _, depth in fold.levels):
        raise CannotAlter(f"a {fold.word} {said(fold.depth)} deep is none", "Write a depth above zero.")
    if math.isnan(fold.reach) or fold.reach < 0:
        raise CannotAlter(f"a {fold.word} cannot be closed for {said(fold.reach)}", "Write a length from the edge inwards.")


def _refuse_bent_fold(piece: Piece, shape: Shape) -> None:
    if piece.fold:
        path = shape.edge(piece.fold).path
        if path.length - path.start.distance(path.end) > LEAST:
            raise CannotAlter(f"the fold edge of {piece.id} would no longer be straight", "Let them run to another edge.")


# where they run --------------------------------------------------------------------------------------------------


def row_of(shape: Shape, edge: str, count: int, ends: tuple[str, str], to: str, far_ends: tuple[str, str]) -> Row:
    """A row of pleats, spaced evenly between two places: the first and the last stand half a space from them.

    Parameters
    ----------
    edge, count, ends
        The edge, how many there are, and the places on it between which they stand.
    to, far_ends
        The edge to which they run, and the places on it that face the two ends; without an edge they run with the grain.

    Raises
    ------
    NotThere
        If an edge or a place is not there.
    CannotAlter
        If the number cannot be meant, the places are one, or there is no other edge to run to.
    """
    if not 1 <= count <= MOST_FOLDS:
        raise CannotAlter(f"{count} of them cannot be meant", f"Write a number from 1 to {MOST_FOLDS}.")
    one, two = sorted(along(shape, edge, words) for words in ends)
    if two - one < LEAST:
        raise CannotAlter(f"the places on {edge} are one and the same", "Name two places apart from each other.")
    shares = [(k + 0.5) / count for k in range(count)]
    spots = [Spot(edge, one + share * (two - one)) for share in shares]
    if not to:
        return Row(edge, tuple((spot, _with_grain(shape, spot)) for spot in spots))
    if to == edge:
        raise CannotAlter(f"pleats cannot run from {edge} to itself", "Name another edge with `to`.")
    last, first = sorted(along(shape, to, words) for words in far_ends)  # the far edge runs the other way
    return Row(edge, tuple((spot, Spot(to, first + share * (last - first))) for spot, share in zip(spots, shares, strict=True)))


def _with_grain(shape: Shape, spot: Spot) -> Spot:
    grain = shape.up
    inwards = shape.edge(spot.edge).path.tangent_at(spot.at).left
    way = grain if grain.dot(inwards) > 0 else -grain
    if way.dot(inwards) < STEEPEST:
        raise CannotAlter(f"{spot.edge} runs with the grain", "Say with `to` to which edge they run.")
    far = far_side(shape, spot, spot.point(shape) + way)
    if far.edge == spot.edge:
        raise CannotAlter(f"a line from {spot.edge} with the grain comes back to it", "Say with `to` to which edge they run.")
    return far


def crosswise(shape: Shape, line: tuple[Spot, Spot], level: str) -> float:
    """How far from its edge a line meets a level, run on, mm.

    Raises
    ------
    CannotAlter
        If it does not.
    """
    one, two = (spot.point(shape) for spot in line)
    for mark in (mark for mark in shape.levels if mark.level == level):
        way, middle = (mark.b - mark.a).unit(), mark.a.towards(mark.b, 0.5)
        far = one.distance(middle) + two.distance(middle) + one.distance(two)
        found = intersections(Path.line(one, two), Path((Line(middle - way * far, middle + way * far),)))
        if found:
            return found[0].at_a
    raise CannotAlter(f"a pleat does not cross the level {level} on its way", "Name a level between the two edges.")


# cloth for them --------------------------------------------------------------------------------------------------


def folded_in(shape: Shape, row: Row, fold: Fold, *, stays: Spot | None = None) -> Reshaped:
    """A shape slashed along each line of a row and spread by what the pleats take up, with their marks.

    Raises
    ------
    Crosses
        If something is in the way.
    CannotAlter, NotThere
        If a slash is impossible, or a level is not crossed.
    """
    maps: dict[str, Runs] = {}
    lost: list[str] = []
    lines = list(row.lines)
    for index in range(len(lines)):
        near, far = lines[index]
        depths = _ends(shape, (near, far), fold)
        moved = spread_between(shape, near, far, depths[0] * fold.folds, depths[1] * fold.folds, stays=stays)
        shape = _marked(moved.shape, _gap(moved, 0), _gap(moved, 1), fold)
        lost += moved.lost
        for edge, runs in moved.maps.items():
            maps[edge] = chained(maps[edge], runs) if edge in maps else runs
        lines[index + 1 :] = [(_followed(one, moved), _followed(two, moved)) for one, two in lines[index + 1 :]]
        stays = stays and _followed(stays, moved)
    return Reshaped(_lined(shape, row.edge, fold, len(row.lines)), maps, tuple(lost))


def _followed(spot: Spot, moved: Sectioned) -> Spot:
    at = place(moved.maps.get(spot.edge), spot.at)
    if at is None:
        raise Crosses(f"a place on {spot.edge} would be lost")
    return Spot(spot.edge, at)


def _ends(shape: Shape, line: tuple[Spot, Spot], fold: Fold) -> tuple[float, float]:
    """Depth at the edge and at the far end: a slash spreads evenly from one to the other."""
    if not fold.levels:
        return fold.depth, fold.depth
    if len(fold.levels) > 1:
        words = "cloth that is slashed in changes evenly from edge to edge, and cannot have two more depths on the way"
        raise CannotAlter(words, "Name one level, or fold the pleats out of the cloth as it is.")
    (level, depth), length = fold.levels[0], line[0].point(shape).distance(line[1].point(shape))
    place = crosswise(shape, line, level)
    if place < LEAST:
        raise CannotAlter(f"the level {level} runs along the edge of the pleats", "Name another level.")
    far = fold.depth + (depth - fold.depth) * length / place
    if far < -LEAST:
        raise CannotAlter(f"a pleat would end before the other edge, {said(-far)} past nothing", "Make it deeper at the level.")
    return fold.depth, max(0.0, far)


def _gap(moved: Sectioned, index: int) -> _Mouth:
    joint = moved.joints[index]
    path = moved.shape.edge(joint.edge).path
    one, two = path.at(joint.start), path.at(joint.end)
    return _Mouth(joint.edge, joint.middle, one.towards(two, 0.5), one.distance(two))


# out of the cloth as it is ---------------------------------------------------------------------------------------


def folded_away(shape: Shape, row: Row, fold: Fold) -> Reshaped:
    """A shape with the marks of pleats that are folded out of the cloth there is.

    Raises
    ------
    Crosses
        If they need more cloth than lies between them.
    CannotAlter
        If a level is not crossed.
    """
    half = fold.depth * fold.folds / 2
    room = _room(shape, [near for near, _ in row.lines])
    if half > room + 1e-6:
        raise Crosses(f"they would lie in each other's cloth at {row.edge}")
    for near, far in row.lines:
        one, two = (_Mouth(spot.edge, spot.at, spot.point(shape), 2 * half) for spot in (near, far))
        length = one.middle.distance(two.middle)
        depths = sorted((crosswise(shape, (near, far), level), depth) for level, depth in fold.levels)
        if depths:
            last = depths[-1] if depths[-1][0] < length - LEAST else (length, depths[-1][1])
            two = replace(two, width=last[1] * fold.folds)
        shape = _marked(shape, one, two, fold, tuple(depths))
    return Reshaped(_lined(shape, row.edge, fold, len(row.lines)), {})


def _room(shape: Shape, spots: Sequence[Spot]) -> float:
    """How much cloth each has to either side, mm."""
    ats = [spot.at for spot in spots]
    between = min([two - one for one, two in itertools.pairwise(ats)] or [math.inf]) / 2
    return min(between, ats[0], shape.edge(spots[0].edge).path.length - ats[-1])


# marks -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Mouth:
    """Where the cloth of a pleat lies at an edge: its middle along the edge and in the plane, and its width, mm."""

    edge: str
    at: float
    middle: Point
    width: float


def _marked(
    shape: Shape, near: _Mouth, far: _Mouth, fold: Fold, depths: tuple[tuple[float, float], ...] | None = None
) -> Shape:
    """The shape with the mark of one pleat, and of its other end if it is folded there too."""
    length = near.middle.distance(far.middle)
    if depths is None:
        depths = () if abs(near.width - far.width) < LEAST else ((length, far.width / fold.folds),)
    both = fold.both and far.width > LEAST
    taken = {pleat.id for pleat in shape.pleats}
    name = next(name for name in (f"{fold.word} {number}" for number in itertools.count(1)) if name not in taken)
    reach = max(0.0, min(fold.reach, length - (SHORT if both else 0.0)))
    pleat = Pleat(name, near.edge, near.at, near.width / fold.folds, fold.kind, fold.towards_end, reach, depths, far.middle)
    made = [pleat]
    if both:
        back = tuple(
            sorted((length - place, depth) for place, depth in ((0.0, pleat.depth), *depths) if place < length - LEAST)
        )
        way = not fold.towards_end
        depth = far.width / fold.folds
        further = back if depths else ()
        made.append(Pleat(f"{name} far", far.edge, far.at, depth, fold.kind, way, 0.0, further, near.middle))
    return replace(shape, pleats=(*shape.pleats, *made))


def _lined(shape: Shape, edge: str, fold: Fold, count: int) -> Shape:
    """The shape with the lines along which its last pleats are folded, and stitched down, from edge to edge."""
    made: list[InnerLine] = []
    for pleat in [pleat for pleat in shape.pleats if pleat.edge == edge and not pleat.id.endswith(" far")][-count:]:
        if pleat.towards is None:
            continue
        length = shape.edge(edge).path.at(pleat.at).distance(pleat.towards)
        lines = pleat_lines(shape, replace(pleat, reach=length))
        if not lines:
            raise Crosses(f"{pleat.id} cannot be folded along its line")
        for number, (line, kind) in enumerate(zip(lines, _line_kinds(pleat, stitched=fold.stitched), strict=True), 1):
            sewn = kind is InnerLineKind.STITCHING and pleat.reach < line.length - 1.0
            made.append(InnerLine(f"{pleat.id} line {number}", kind, line.between(0.0, pleat.reach) if sewn else line))
    return replace(shape, lines=(*shape.lines, *made))


def _line_kinds(pleat: Pleat, *, stitched: bool) -> Iterable[InnerLineKind]:
    """What each line of a pleat is for: those that come to lie on each other are stitched together, or placed."""
    outer = InnerLineKind.STITCHING if stitched else InnerLineKind.FOLD
    if pleat.kind is not PleatKind.KNIFE:
        return (outer, InnerLineKind.FOLD, InnerLineKind.PLACEMENT, InnerLineKind.FOLD, outer)
    if stitched:
        return (outer, InnerLineKind.FOLD, outer)
    ends = (InnerLineKind.FOLD, InnerLineKind.PLACEMENT)
    first, last = ends if pleat.towards_end else ends[::-1]
    return (first, InnerLineKind.FOLD, last)
