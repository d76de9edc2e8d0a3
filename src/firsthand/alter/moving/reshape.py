"""The kernel of what moves edges: new lines for some, corners kept on the lines of the others, all that lies on them mapped."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from firsthand.alter.moving.grounds import Standing, cut_to, meeting, runs_between, standings, tidied
from firsthand.alter.moving.maps import Runs, clipped, place
from firsthand.alter.moving.moved import Folds, Moved, moved_line, tightest_hollow
from firsthand.alter.moving.profile import amounts_of, merged, profile
from firsthand.alter.moving.reaches import run_out
from firsthand.errors import GeometryError
from firsthand.geometry import Path, Point, intersections, offset, self_crossings
from firsthand.pattern.model import Dart, Edge, FateKind, Profile, Shape
from firsthand.units import said

__all__ = [
    "SMOOTH", "TAPER", "Crosses", "Reshaped", "carried", "closed", "dart_mouth", "moved_by",
    "refuse_crossings", "tidied",
]  # fmt: skip

NOTHING = 1e-4
"""Movements below this, mm, are none."""
RUN_ON = 6.0
"""An edge runs on for at most this many times the movement to find its neighbour: enough for corners above 10 degrees."""
SMOOTH = math.radians(10)
"""Edges whose directions differ by less than this where they meet run on smoothly into each other: no corner (common
practice: a sharper bend is marked and notched as a corner)."""
TAPER = 80.0
"""Over this length, mm, a movement runs out on an edge into which the moved one runs smoothly (common practice: alterations
are blended to nothing over three to four inches)."""
LEAST = 1.0
"""The least that must be left of an edge, and between a dart's point and its edge, mm."""


class Crosses(Exception):
    """A movement that would cross something; the message says what."""


@dataclass(frozen=True, slots=True)
class Reshaped:
    """A shape whose edges were moved.

    Parameters
    ----------
    maps
        For each edge that changed, old arc lengths to new ones.
    lost
        Ids of notches that were cut away.
    tried
        The shapes before and after for which it was found that allowances can still be drawn, if it was tried.
    """

    shape: Shape
    maps: Mapping[str, Runs]
    lost: tuple[str, ...] = ()
    tried: tuple[Shape, Shape] | None = field(default=None, compare=False, repr=False, kw_only=True)


def moved_by(shape: Shape, profiles: Mapping[str, Profile], *, taper: float = TAPER) -> Reshaped:
    """Move edges inwards along their normals by profiles.

    An edge is moved from the line it had before it was ever moved, by the sum of all profiles so far, so that profiles add,
    and a profile and its negative leave everything as it was: the edge, the corners, and its neighbours. Neighbouring edges
    stay on their lines and are trimmed, or run on straight, to the new corners. Where an edge that moves at its end runs
    smoothly into its neighbour there is no corner: the neighbour takes over the movement and runs it out, so that there is
    neither a kink nor a step. Darts on a moved edge keep their point and what they take up, so that the seam keeps its
    length; the wedge becomes shorter and a little blunter.

    Parameters
    ----------
    profiles
        For each edge that moves how far inwards, at arc lengths on the line it was moved from (:func:`on_ground` in
        :mod:`firsthand.alter.moving.grounds` gives them for places on the edge as it is); negative outwards.
    taper
        Over which length a movement runs out on a neighbour, mm, or over its whole length if that is less.

    Raises
    ------
    Crosses
        If an edge would be used up, fold up, or cross another one or a dart.
    NotThere
        If there is no such edge.
    """
    told = {name: one for name, one in profiles.items() if any(abs(amount) > NOTHING for _, amount in one.stations)}
    for name in told:
        shape.edge(name)
    if not told:
        return Reshaped(shape, {})
    olds = standings(shape)
    given = _run_out(olds, told, taper)
    news = [_renewed(old, given.get(old.edge.id, ())) for old in olds]
    return _joined(shape, olds, news, set(given))


@dataclass(slots=True)
class _New:
    """An edge while it is made anew: what moves it, the whole moved line, and where on it the edge begins and ends."""

    standing: Standing
    line: Moved
    start: float
    end: float


def _renewed(old: Standing, given: Sequence[Profile]) -> _New:
    try:
        if not given:
            return _New(old, old.moved, old.start, old.end)
        profiles = merged((*old.profiles, *given))
        return _New(replace(old, profiles=profiles), moved_line(old.line, profiles), old.start, old.end)
    except Folds:
        raise Crosses(f"the curve of {old.edge.id} is too tight to be moved so far") from None


def _run_out(olds: Sequence[Standing], told: Mapping[str, Profile], taper: float) -> dict[str, tuple[Profile, ...]]:
    """What is told, and what neighbours take over where edges run smoothly into each other: the one that moves less does."""
    given: dict[str, tuple[Profile, ...]] = {name: (one,) for name, one in told.items()}
    for one, two in zip((olds[-1], *olds[:-1]), olds, strict=True):
        length = one.line.length
        at_end = amounts_of([told[one.edge.id]]).at(length)[0] if one.edge.id in told else 0.0
        at_start = amounts_of([told[two.edge.id]]).at(0.0)[0] if two.edge.id in told else 0.0
        step = at_end - at_start
        if abs(step) <= NOTHING or _turn(one.line, two.line) >= SMOOTH:
            continue
        takes, stations = two, [(0.0, step), (min(taper, two.line.length), 0.0)]
        if abs(at_end) < abs(at_start):
            takes, stations = one, [(length, -step), (length - min(taper, length), 0.0)]
        if takes.edge.fate is not None and takes.edge.fate.kind is FateKind.FOLD:
            raise Crosses(f"{one.edge.id} and {two.edge.id} would no longer meet in a corner")
        given[takes.edge.id] = (*given.get(takes.edge.id, ()), profile(stations))
    return given


def _turn(one: Path, two: Path) -> float:
    """By how much the direction turns where one line runs into the next, radians."""
    into, out = one.end_tangent, two.start_tangent
    return abs(into.angle_to(out))


def _joined(shape: Shape, olds: Sequence[Standing], news: Sequence[_New], moved: set[str]) -> Reshaped:
    """Join new lines into a loop again and carry everything that lies on them along."""
    run = RUN_ON * max(amounts_of(new.standing.profiles).most for new in news) + 1.0
    for before, after in zip((news[-1], *news[:-1]), news, strict=True):
        if before.standing.edge.id in moved or after.standing.edge.id in moved:
            before.end, after.start = _corner(before, after, run)
    paths: list[Path] = []
    maps = {}
    for old, new in zip(olds, news, strict=True):
        name = old.edge.id
        if (new.start, new.end) == (old.start, old.end) and name not in moved:
            paths.append(old.edge.path)
            continue
        length = new.line.path.length
        if new.end - new.start < LEAST - 1e-6 or new.end <= 0 or new.start >= length:
            raise Crosses(f"nothing would be left of {name}")
        paths.append(cut_to(new.line.path, new.start, new.end))
        maps[name] = clipped(runs_between(old, new.line), new.start, new.end, hold=name in moved)
    result = carried(shape, _closed(news, paths), maps)
    result = replace(result, shape=run_out(shape, result.shape))
    refuse_crossings(result.shape)
    _refuse_no_margin(shape, result.shape, maps)
    return result


def _refuse_no_margin(before: Shape, after: Shape, names: Iterable[str]) -> None:
    """Refuse a line that bends so tightly that its allowance cannot be drawn, if that of the line before could."""
    for name in names:
        edge = after.edge(name)
        if edge.margin > 0 and tightest_hollow(edge.path) <= edge.margin and not _has_margin(edge):
            was = before.edge(name)
            if tightest_hollow(was.path) > was.margin or _has_margin(was):
                raise Crosses(f"the curve of {name} would be too tight for its allowance of {said(edge.margin)}")


def _has_margin(edge: Edge) -> bool:
    try:
        offset(edge.path, edge.margin)
    except GeometryError:
        return False
    return True


def _corner(before: _New, after: _New, run: float) -> tuple[float, float]:
    """Where on both lines the corner is at which one edge ends and the next begins."""
    one, two = before.line.path, after.line.path
    if one.end.distance(two.start) < 1e-6:
        return one.length, 0.0
    found = meeting(one, two, run)
    if found is None:
        raise Crosses(f"{before.standing.edge.id} and {after.standing.edge.id} would no longer meet in a corner")
    return found


def _closed(news: Sequence[_New], paths: Sequence[Path]) -> tuple[Edge, ...]:
    """Edges that end in exactly the same points (lines cut at a crossing differ by rounding), but where both are as drawn."""
    edges = []
    for k, (new, path) in enumerate(zip(news, paths, strict=True)):
        before, edge = paths[k - 1], new.standing.edge
        drawn = path is new.standing.line and before is news[k - 1].standing.line
        joined = path if drawn else path.begun_at(before.end)
        edges.append(edge if joined is edge.path else replace(new.standing, start=new.start, end=new.end).edged(joined))
    return tuple(edges)


def closed(edges: Sequence[Edge]) -> tuple[Edge, ...]:
    """Edges each of which begins at exactly the point where the one before ends."""
    joined = []
    for before, edge in zip((edges[-1], *edges[:-1]), edges, strict=True):
        path = edge.path.begun_at(before.path.end)
        joined.append(edge if path is edge.path else replace(edge, path=path))
    return tuple(joined)


# what lies on the edges --------------------------------------------------------------------------------------


def carried(shape: Shape, edges: tuple[Edge, ...], maps: Mapping[str, Runs]) -> Reshaped:
    """A shape with new edges and its notches, darts and pleats carried along by the maps.

    Raises
    ------
    Crosses
        If the mouth of a dart or a pleat would not find room on its edge any more.
    """
    lengths = {edge.id: edge.path.length for edge in edges}
    notches, lost = [], []
    for notch in shape.notches:
        at = place(maps.get(notch.edge), notch.at)
        if at is None:
            lost.append(notch.id)
        else:
            notches.append(replace(notch, at=at))
    darts = [replace(d, at=_room(d.id, maps.get(d.edge), d.at, d.width, lengths[d.edge])) for d in shape.darts]
    pleats = [replace(p, at=_room(p.id, maps.get(p.edge), p.at, p.take_up, lengths[p.edge])) for p in shape.pleats]
    new = replace(shape, edges=edges, notches=tuple(notches), darts=tuple(darts), pleats=tuple(pleats))
    return Reshaped(new, maps, tuple(lost))


def _room(name: str, runs: Runs | None, at: float, width: float, length: float) -> float:
    if runs is None:
        return at
    new = place(runs, at)
    if new is None or new - width / 2 < -1e-6 or new + width / 2 > length + 1e-6:
        raise Crosses(f"{name} would be cut into")
    return new


def dart_mouth(shape: Shape, dart: Dart) -> tuple[Point, Point]:
    """The two ends of a dart's mouth on its edge."""
    path = shape.edge(dart.edge).path
    return path.at(max(dart.at - dart.width / 2, 0.0)), path.at(min(dart.at + dart.width / 2, path.length))


def refuse_crossings(shape: Shape) -> None:
    """Refuse a shape whose outline crosses itself or cuts into a dart.

    Raises
    ------
    Crosses
        Naming the two edges, or the dart.
    """
    outline = shape.outline
    if outline.area <= 0:
        raise Crosses("nothing would be left of the piece")
    for crossing in self_crossings(outline):
        one, two = _edge_at(shape, crossing.at_a), _edge_at(shape, crossing.at_b)
        raise Crosses(f"{one} would cross {two}")
    for dart in shape.darts:
        _refuse_cut_dart(shape, dart, outline)


def _edge_at(shape: Shape, at: float) -> str:
    ends = itertools.accumulate(edge.path.length for edge in shape.edges)
    return next((edge.id for edge, end in zip(shape.edges, ends, strict=True) if at <= end), shape.edges[-1].id)


def _refuse_cut_dart(shape: Shape, dart: Dart, outline: Path) -> None:
    mouth = dart_mouth(shape, dart)
    along = shape.edge(dart.edge).path.tangent_at(dart.at)
    if (dart.apex - shape.edge(dart.edge).path.at(dart.at)).dot(along.left) < LEAST:
        raise Crosses(f"the point of {dart.id} would be cut off")
    for end in mouth:
        leg = Path.line(dart.apex, end.towards(dart.apex, min(0.02, 0.2 / max(end.distance(dart.apex), 0.2))))
        if intersections(leg, outline):
            raise Crosses(f"{dart.id} would be cut into")
