"""The kernel of joining: one shape laid against another along an edge of both, and the two outlines made one."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from firsthand.alter.cutting.parted import WORDS
from firsthand.alter.naming.records import mark_ids
from firsthand.errors import CannotAlter
from firsthand.geometry import Affine, Cubic, Path, Point, Segment
from firsthand.pattern import Corner, Dart, Edge, LevelLine, Notch, Pleat, Shape

__all__ = ["Fit", "Joined", "Place", "fit", "free_id", "joined", "moved", "run_of", "stem"]

SAMPLES = 48
"""Two edges are compared at this many places."""
SMOOTH = math.radians(2)
"""Two edges that meet with less of a bend may become one."""
IN_LINE = 0.5
"""Level lines that lie this near to each other are one, mm: as near as a level counts as lying on an edge."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How one edge is laid on another one.

    Parameters
    ----------
    motion
        Moves the second shape without changing it.
    gap
        How far the two then are apart where they are farthest, mm.
    """

    motion: Affine
    gap: float


@dataclass(frozen=True, slots=True)
class Place:
    """Where an old edge is now: the new edge and the run of it, mm."""

    edge: str
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Joined:
    """Two shapes as one.

    Parameters
    ----------
    one, two
        For each old edge of the first and of the (moved) second shape that is still on the outline its place.
    renamed
        New ids of what is marked on the second one, by its old ids: of corners, notches, darts, pleats and lines.
    """

    shape: Shape
    one: Mapping[str, Place]
    two: Mapping[str, Place]
    renamed: Mapping[str, str]


def fit(one: Path, two: Path) -> Fit:
    """The motion that lays a path on another, both from start to end, with the least mean square distance.

    Source: the closed form for rigid motions of the plane (orthogonal Procrustes without mirroring).
    """
    shares = [k / SAMPLES for k in range(SAMPLES + 1)]
    lengths = one.length, two.length
    to, of = ([path.at(share * length) for share in shares] for path, length in zip((one, two), lengths, strict=True))
    middles = [Point(math.fsum(p.x for p in ps) / len(ps), math.fsum(p.y for p in ps) / len(ps)) for ps in (to, of)]
    pairs = [(a - middles[0], b - middles[1]) for a, b in zip(to, of, strict=True)]
    angle = math.atan2(math.fsum(b.cross(a) for a, b in pairs), math.fsum(b.dot(a) for a, b in pairs))
    turn = Affine.rotation(angle)
    by = middles[0] - turn(middles[1])
    motion = Affine.translation(by.x, by.y) @ turn
    return Fit(motion, max(a.distance(motion(b)) for a, b in zip(to, of, strict=True)))


def moved(shape: Shape, by: Affine) -> Shape:
    """A shape moved without being changed."""
    return replace(
        shape,
        edges=tuple(replace(edge, path=edge.path.transformed(by)) for edge in shape.edges),
        grain=(by(shape.grain[0]), by(shape.grain[1])),
        darts=tuple(replace(dart, apex=by(dart.apex)) for dart in shape.darts),
        pleats=tuple(replace(p, towards=None if p.towards is None else by(p.towards)) for p in shape.pleats),
        lines=tuple(replace(line, path=line.path.transformed(by)) for line in shape.lines),
        levels=tuple(LevelLine(line.level, by(line.a), by(line.b)) for line in shape.levels),
    )


def run_of(shape: Shape, names: Iterable[str]) -> tuple[list[Edge], list[Edge]]:
    """Edges that follow one another, in order, and the others, from where those end.

    Raises
    ------
    CannotAlter
        If they do not follow one another, or no edge would be left.
    """
    wanted, count = set(names), len(shape.edges)
    if wanted >= {edge.id for edge in shape.edges}:
        raise CannotAlter("nothing would be left of an outline", "Join along one edge of each piece.")
    begins = [k for k in range(count) if shape.edges[k].id in wanted and shape.edges[k - 1].id not in wanted]
    if len(begins) != 1:
        raise CannotAlter(f"{', '.join(sorted(wanted))} do not follow one another", "Join along one run of edges.")
    ring = [shape.edges[(begins[0] + k) % count] for k in range(count)]
    return ring[: len(wanted)], ring[len(wanted) :]


def joined(
    one: Shape,
    two: Shape,
    along: tuple[Iterable[str], Iterable[str]],
    together: Callable[[str, str], bool],
    fold: tuple[str, str],
) -> Joined:
    """Two shapes whose edges lie on each other as one shape; ends that miss each other a little meet half-way.

    Parameters
    ----------
    one, two
        The shapes, the second one moved to where it belongs.
    along
        For each the edges that lie on the other.
    together
        Whether all that names an edge of the first one names one of the second one with it, so that they may become one.
    fold
        For each the edge on the fold; empty if none. Two of them become one.

    Raises
    ------
    CannotAlter
        If the edges do not follow one another, or two folds do not meet.
    """
    rest = [run_of(shape, names)[1] for shape, names in zip((one, two), along, strict=True)]
    x, y = ([_End(k, edge) for edge in edges] for k, edges in enumerate(rest))
    corners = [x[-1].path.end.towards(y[0].path.start, 0.5), y[-1].path.end.towards(x[0].path.start, 0.5)]
    _meet(x, y, corners[0])
    _meet(y, x, corners[1])
    renamed = _renamed(one, two, {edge.id for edge in rest[0]}, rest[1])
    for end in y:
        end.name = renamed["edges"][end.edge.id]
    x[0].corner, y[0].corner = Corner(x[0].edge.corner.id), Corner(renamed["marks"][y[0].edge.corner.id])
    for end in y[1:]:
        end.corner = replace(end.edge.corner, id=renamed["marks"][end.edge.corner.id])
    ring = _merged(_merged([[end] for end in (*x, *y)], len(x) - 1, together, fold), -1, together, fold)
    if all(fold) and not any({(end.side, end.edge.id) for end in group} >= set(enumerate(fold)) for group in ring):
        raise CannotAlter("the folds of the two pieces would not lie in one line", "Open one of them out first.")
    return _assembled(one, two, ring, renamed["marks"])


class _End:
    """An edge on its way into the joined outline."""

    def __init__(self, side: int, edge: Edge) -> None:
        self.side, self.edge, self.name = side, edge, edge.id
        self.path, self.corner = edge.path, edge.corner


def _meet(before: Sequence[_End], after: Sequence[_End], corner: Point) -> None:
    before[-1].path = before[-1].path.reversed()
    before[-1].path = _from(before[-1].path, corner).reversed()
    after[0].path = _from(after[0].path, corner)


def _from(path: Path, start: Point) -> Path:
    """A path begun a little aside."""
    first = path.segments[0]
    head: Segment = replace(first, a=start)
    if isinstance(head, Cubic):
        head = replace(head, b=head.b + (start - first.start))
    return Path((head, *path.segments[1:]))


def _renamed(one: Shape, two: Shape, kept: set[str], rest: Sequence[Edge]) -> dict[str, dict[str, str]]:
    """New ids for what would be there twice."""
    edges: dict[str, str] = {}
    for edge in rest:
        edges[edge.id] = free_id(edge.id, kept | set(edges.values()))
    taken = mark_ids(one)
    marks: dict[str, str] = {}
    for old in dict.fromkeys(mark_ids(two)):
        marks[old] = free_id(old, {*taken, *marks.values()})
    return {"edges": edges, "marks": marks}


def free_id(name: str, taken: Iterable[str]) -> str:
    """A name that is not taken: itself, or with a number."""
    others = set(taken)
    return next(new for new in (name, *(f"{name}-{n}" for n in range(2, len(others) + 3))) if new not in others)


# edges that become one ---------------------------------------------------------------------------------------


def stem(one: str, two: str, words: Iterable[str]) -> str:
    """What two names have in common that were given to two halves of one thing; empty if they were not.

    Examples
    --------
    >>> stem("side upper", "side lower", ("upper", "lower")), stem("side", "hem", ("upper", "lower"))
    ('side', '')
    """
    (first, _, a), (second, _, b) = (_NUMBER.sub("", name).rpartition(" ") for name in (one, two))
    return first if first and first == second and a != b and {a, b} <= set(words) else ""


_NUMBER = re.compile(r" \d+$")

Group = list[_End]


def _merged(groups: Sequence[Group], joint: int, together: Callable[[str, str], bool], fold: tuple[str, str]) -> list[Group]:
    """Edges in groups of what is one; the group before a joint and the one after it are if they were (-1: last and first)."""
    kept = list(groups)
    one = [*kept[joint], *kept[joint + 1]]
    taken = {end.name for group in kept for end in group if end not in one}
    name = _common(kept[joint][-1], kept[joint + 1][0], together, fold) if len(kept) > 2 else ""
    if not name or name in taken:
        return kept
    for end in one:
        end.name = name
    return [one, *kept[1:-1]] if joint == -1 else [*kept[:joint], one, *kept[joint + 2 :]]


def _common(a: _End, b: _End, together: Callable[[str, str], bool], fold: tuple[str, str]) -> str:
    """What two edges that meet are called as one; empty if they stay two."""
    into, out = a.path.end_tangent, b.path.start_tangent
    bend = abs(into.angle_to(out))
    pair = (a.edge.id, b.edge.id) if a.side == 0 else (b.edge.id, a.edge.id)
    if all(fold) and pair == fold:
        if bend > SMOOTH:
            raise CannotAlter("the folds of the two pieces would not lie in one line", "Open one of them out first.")
        return fold[0]
    alike = (a.edge.allowance, a.edge.inlay, a.edge.fate) == (b.edge.allowance, b.edge.inlay, b.edge.fate)
    return stem(a.edge.id, b.edge.id, WORDS) if alike and bend <= SMOOTH and together(*pair) else ""


def _assembled(one: Shape, two: Shape, ring: Sequence[Group], marks: Mapping[str, str]) -> Joined:
    edges: list[Edge] = []
    places: tuple[dict[str, Place], dict[str, Place]] = ({}, {})
    for group in ring:
        reached = 0.0
        for end in group:
            length = end.path.length
            places[end.side][end.edge.id] = Place(end.name, reached, reached + length)
            reached += length
        path = Path.joined(end.path for end in group)
        edges.append(replace(group[0].edge, id=group[0].name, corner=group[0].corner, path=path))
    notches, darts, pleats = [], [], []
    for shape, there, new in ((one, places[0], {}), (two, places[1], marks)):
        olds = {edge.id: edge.path.length for edge in shape.edges}
        notches += [_put(mark, there, olds, new) for mark in shape.notches if mark.edge in there]
        darts += [_put(mark, there, olds, new) for mark in shape.darts if mark.edge in there]
        pleats += [_put(mark, there, olds, new) for mark in shape.pleats if mark.edge in there]
    lines = (*one.lines, *(replace(line, id=marks[line.id]) for line in two.lines))
    head = places[0].get(one.edges[0].id)
    first = next((k for k, edge in enumerate(edges) if head is not None and edge.id == head.edge), 0)
    shape = replace(
        one,
        edges=(*edges[first:], *edges[:first]),
        notches=tuple(notches),
        darts=tuple(darts),
        pleats=tuple(pleats),
        lines=lines,
        levels=_levels(one.levels, two.levels),
    )
    return Joined(shape, places[0], places[1], marks)


M = TypeVar("M", Notch, Dart, Pleat)


def _put(mark: M, there: Mapping[str, Place], olds: Mapping[str, float], new: Mapping[str, str]) -> M:
    """A mark on its edge of the joined outline."""
    place, length = there[mark.edge], olds[mark.edge]
    at = place.start + (mark.at / length if length else 0.0) * (place.end - place.start)
    return replace(mark, id=new.get(mark.id, mark.id), edge=place.edge, at=at)


def _levels(one: Sequence[LevelLine], two: Sequence[LevelLine]) -> tuple[LevelLine, ...]:
    """The level lines of both; two of one level in one line are one."""
    merged = list(one)
    for line in two:
        for k, other in enumerate(merged):
            if other.level == line.level and other.a.distance(other.b) > 1e-6:
                along = (other.b - other.a).unit()
                if all(abs(along.cross(end - other.a)) < IN_LINE for end in (line.a, line.b)):
                    points = sorted((other.a, other.b, line.a, line.b), key=lambda p: along.dot(p - other.a))
                    merged[k] = replace(other, a=points[0], b=points[-1])
                    break
        else:
            merged.append(line)
    return tuple(merged)
