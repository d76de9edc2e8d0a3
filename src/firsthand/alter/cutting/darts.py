"""Darts on one piece: legs made alike, one dart shifted along its edge or made into several."""

from __future__ import annotations

import math
from dataclasses import replace

from firsthand.alter._spots import Spot
from firsthand.alter.cutting.cuts import ON, dart_of, mouth_spots
from firsthand.alter.cutting.eased import REACH, fair, limits_on, ways_at
from firsthand.alter.cutting.placing import grown
from firsthand.alter.cutting.sections import dart_angle, turned_dart
from firsthand.alter.moving.chaining import in_turn
from firsthand.alter.moving.maps import Run
from firsthand.alter.moving.reshape import Crosses, Reshaped, carried, refuse_crossings, tidied
from firsthand.errors import CannotAlter
from firsthand.geometry import Affine, Line, Path, Point, Segment
from firsthand.pattern import Dart, Shape
from firsthand.units import said

__all__ = ["at_angle", "divided", "legs_trued", "merged", "shifted"]

ALIKE = 0.01
"""Legs that differ by less than this are equally long, mm."""
LEAST = 1.0
"""Nothing is redrawn over less than this, mm."""


def legs_trued(shape: Shape, name: str) -> Reshaped:
    """A dart with both legs equally long, so that they meet when it is sewn.

    The longer leg gives half the difference and the shorter takes it; the edge on either side is redrawn over a short reach so
    that it runs on smoothly when the dart is closed. A leg that ends at a corner, or beside another dart, stays.

    Raises
    ------
    NotThere
        If the dart is not there.
    Crosses
        If the edge redrawn would cross something.
    """
    dart = dart_of(shape, name)
    one, two = (end.distance(dart.apex) for end in _ends(shape, dart))
    if abs(one - two) <= ALIKE or max(_reaches(shape, dart)) < LEAST:
        return Reshaped(shape, {})
    return at_angle(shape, name, dart_angle(shape, dart))


def at_angle(shape: Shape, name: str, angle: float) -> Reshaped:
    """A dart with an angle between two equally long legs, its point and the direction of its middle as they are.

    The edge on either side is redrawn over a short reach. A leg that ends at a corner, or beside another dart, stays.

    Parameters
    ----------
    angle
        In radians.

    Raises
    ------
    NotThere
        If the dart is not there.
    Crosses
        If the edge redrawn would cross something, or neither leg can be moved.
    """
    dart = dart_of(shape, name)
    one, two = (end - dart.apex for end in _ends(shape, dart))
    reaches = _reaches(shape, dart)
    free = [reach >= LEAST for reach in reaches]
    if all(free):
        length, middle = (one.norm + two.norm) / 2, (one.unit() + two.unit()).unit()
        legs = Affine.rotation(-angle / 2)(middle) * length, Affine.rotation(angle / 2)(middle) * length
    elif any(free):
        legs = (one, Affine.rotation(angle)(one)) if free[1] else (Affine.rotation(-angle)(two), two)
    else:
        raise Crosses(f"there is no room beside {name}")
    ends = dart.apex + legs[0], dart.apex + legs[1]
    return _redrawn(shape, dart, reaches, ends, _ways(shape, dart, reaches, angle))


def _reaches(shape: Shape, dart: Dart) -> tuple[float, float]:
    """How far the edge can be redrawn on either side of a dart, mm."""
    low, high = dart.mouth
    limits = limits_on(_with(shape, None, dart.id), dart.edge, [dart.mouth])
    return (
        min(REACH, low - max(limit for limit in limits if limit <= low + ON)),
        min(REACH, min(limit for limit in limits if limit >= high - ON) - high),
    )


def _ways(shape: Shape, dart: Dart, reaches: tuple[float, float], angle: float) -> tuple[Point, Point]:
    """The directions of the edge before and after a dart in which it runs on smoothly when the dart is sewn at an angle."""
    path = shape.edge(dart.edge).path
    before, after = ways_at(path, dart.mouth[0])[0], ways_at(path, dart.mouth[1])[1]
    turned = Affine.rotation(-angle)(after)
    way = turned if reaches[0] < LEAST else before if reaches[1] < LEAST else (before + turned).unit()
    return way, Affine.rotation(angle)(way)


def _redrawn(
    shape: Shape,
    dart: Dart,
    reaches: tuple[float, float],
    ends: tuple[Point, Point],
    ways: tuple[Point, Point],
    *,
    straight: bool = False,
) -> Reshaped:
    """The edge redrawn on either side of a dart to the new ends of its legs."""
    path = shape.edge(dart.edge).path
    whole, (low, high) = path.length, dart.mouth
    start, end = low - (reaches[0] if reaches[0] >= LEAST else 0.0), high + (reaches[1] if reaches[1] >= LEAST else 0.0)
    built = _Building(path.start)
    if start > ON:
        built.add(path.between(0.0, start), 0.0, start)
    if start < low:
        built.add(Path((fair(built.end, ways_at(path, start)[1], ends[0], ways[0]),)), start, low)
    mouth = path if high - low > whole - ON else path.between(max(low, 0.0), min(high, whole))
    at = built.reached
    across = built.end, path.end if high > whole - ON else ends[1]
    built.add(Path.line(*across) if straight else mouth.transformed(grown((mouth.start, mouth.end), across)), low, high)
    built.ends_at(across[1])
    width = built.reached - at
    if end > high:
        to = path.end if end > whole - ON else path.at(end)
        built.add(Path((fair(built.end, ways[1], to, ways_at(path, end)[0]),)), high, end)
    if end < whole - ON:
        built.add(path.between(end, whole), end, whole)
    return _with_built(shape, replace(dart, at=at + width / 2, width=width), built)


def _with_built(shape: Shape, new: Dart, built: _Building) -> Reshaped:
    """The shape with the edge of a dart put together anew, and the dart as it is now."""
    edge = replace(shape.edge(new.edge), path=tidied(built.path))
    rest = replace(shape.with_edge(edge), darts=tuple(d for d in shape.darts if d.id != new.id))
    result = carried(rest, rest.edges, {new.edge: tuple(built.runs)})
    shape = replace(result.shape, darts=tuple(_at(result.shape, d) if d.id != new.id else new for d in shape.darts))
    refuse_crossings(shape)
    return replace(result, shape=shape)


def _at(shape: Shape, dart: Dart) -> Dart:
    return dart_of(shape, dart.id)


class _Building:
    """A path put together, with what lies where on it."""

    def __init__(self, start: Point) -> None:
        self.end = start
        self.segments: list[Segment] = []
        self.runs: list[Run] = []
        self.reached = 0.0

    @property
    def path(self) -> Path:
        """The whole."""
        return Path(tuple(self.segments))

    def ends_at(self, point: Point) -> None:
        """Put its end exactly on a point that it misses by rounding."""
        last = self.segments[-1]
        self.segments[-1] = replace(last, b=point) if isinstance(last, Line) else replace(last, d=point)
        self.end = point

    def add(self, path: Path, start: float, end: float, *, mapped: bool = True) -> None:
        """Go on with a path on which an old stretch lies."""
        long = path.length
        self.segments += [replace(path.segments[0], a=self.end), *path.segments[1:]]
        self.end = path.end
        self.runs += [(start, end, self.reached, self.reached + long)] if mapped else []
        self.reached += long


def shifted(shape: Shape, name: str, at: float) -> Reshaped:
    """A dart shifted along its edge, its angle and both legs as they are.

    Where the edge runs straight on over the open mouth, the dart changes places with the stretch of edge that it passes: the
    dart itself is the same, and no sewn length changes. Where the edge is shaped so that it runs on when the dart is sewn, the
    dart is closed there and opened at the other place, and set upright; the edge is redrawn beside it.

    Parameters
    ----------
    at
        Where the middle of its mouth comes to lie, arc length on the edge, mm.

    Raises
    ------
    NotThere, CannotAlter, Crosses
        If it is not there, there is no room, or another dart or a pleat is in the way.
    """
    dart = dart_of(shape, name)
    length = shape.edge(dart.edge).path.length
    if not (dart.width / 2 <= at <= length - dart.width / 2):
        raise CannotAlter(f"there is no room for {name} at {said(at)} of {dart.edge}", "Shift it by less.")
    if abs(at - dart.at) <= ON:
        return Reshaped(shape, {})
    _refuse_passed(shape, dart, at)
    if not _is_shaped(shape, dart):
        return _exchanged(shape, dart, at)
    one, two = _ends(shape, dart)
    axis, angle = (dart.apex - one.towards(two, 0.5)).unit(), dart_angle(shape, dart)
    turned = turned_dart(shape, name, Spot(dart.edge, _opening(shape, dart, at)))
    return in_turn(turned, _upright(turned.shape, name, angle, axis))


def _refuse_passed(shape: Shape, dart: Dart, at: float) -> None:
    """Refuse to shift a dart over another one or a pleat."""
    half = dart.width / 2
    low, high = min(at, dart.at) - half, max(at, dart.at) + half
    marks = [(d.id, d.edge, d.at, d.width) for d in shape.darts if d.id != dart.id]
    marks += [(p.id, p.edge, p.at, p.take_up) for p in shape.pleats]
    for name, edge, middle, width in marks:
        if edge == dart.edge and middle + width / 2 > low + ON and middle - width / 2 < high - ON:
            raise CannotAlter(f"{name} is in the way of {dart.id}", "Shift it by less.")


def _is_shaped(shape: Shape, dart: Dart) -> bool:
    """Whether the edge runs on better with the dart sewn than with it open."""
    path, angle = shape.edge(dart.edge).path, dart_angle(shape, dart)
    before, after = ways_at(path, dart.mouth[0])[0], ways_at(path, dart.mouth[1])[1]
    open_turn = abs(before.angle_to(after))
    sewn = Affine.rotation(-angle)(after)
    return abs(before.angle_to(sewn)) < open_turn


def _exchanged(shape: Shape, dart: Dart, at: float) -> Reshaped:
    """A dart and the stretch of edge that it passes in each other's place, both only shifted."""
    path, (low, high) = shape.edge(dart.edge).path, dart.mouth
    one, two = path.at(low), path.at(high)
    back = at < dart.at
    new = at - dart.width / 2 if back else at + dart.width / 2
    mouth, passed = (low, high), (new, low) if back else (high, new)
    shift = path.at(new) - (one if back else two)
    moves = {mouth: shift, passed: two - one if back else one - two}
    built = _Building(path.start)
    if min(new, low) > ON:
        built.add(path.between(0.0, min(new, low)), 0.0, min(new, low))
    where = 0.0
    for stretch in (mouth, passed) if back else (passed, mouth):
        where = built.reached if stretch == mouth else where
        by = Affine.translation(moves[stretch].x, moves[stretch].y)
        built.add(path.between(*stretch).transformed(by), *stretch, mapped=stretch != mouth)  # maps only ever rise
    if max(new, high) < path.length - ON:
        built.add(path.between(max(new, high), path.length), max(new, high), path.length)
    else:
        built.ends_at(path.end)
    moved = replace(dart, at=where + dart.width / 2, apex=dart.apex + shift)
    return _with_built(shape, moved, built)


def _opening(shape: Shape, dart: Dart, at: float) -> float:
    """Where a dart is to be opened so that the middle of its mouth comes to lie at a place of its edge.

    The mouth there is as wide as the legs to there are long.
    """
    path, turn = shape.edge(dart.edge).path, 2 * math.sin(dart_angle(shape, dart) / 2)
    width = dart.width
    for _ in range(3):
        start = at + dart.width - width / 2 if at > dart.at else at - width / 2
        width = turn * path.at(start).distance(dart.apex)
    return start


def _ends(shape: Shape, dart: Dart) -> tuple[Point, Point]:
    """The two ends of a dart's mouth."""
    one, two = (spot.point(shape) for spot in mouth_spots(dart))
    return one, two


def divided(shape: Shape, name: str, count: int, gap: float) -> tuple[Reshaped, tuple[str, ...]]:
    """A dart made into several smaller ones side by side on its edge, each with its share of the angle.

    Their middles run parallel, each has equal legs, and the angles add up to the old one. The edge is redrawn beside them, so
    that it runs on smoothly when they are sewn; its sewn length changes by less than a millimetre.

    Parameters
    ----------
    count
        How many.
    gap
        How far apart they are, along the sewn edge, mm.

    Returns
    -------
    reshaped, ids
        The new shape, and the ids of the darts in the direction of the edge.

    Raises
    ------
    NotThere, CannotAlter, Crosses
        If the dart is not there, or there is no room.
    """
    dart = dart_of(shape, name)
    angle = dart_angle(shape, dart) / count
    free = _names(shape, name, count)
    offsets = sorted(((k - (count - 1) / 2) * gap for k in range(count)), key=lambda offset: -abs(offset))
    result = Reshaped(shape, {})
    left = count
    new = [f"{name} new {k}" for k in range(count)]
    for number, offset in enumerate(offsets):
        if abs(offset) > ON:
            result = in_turn(result, _part(result.shape, name, offset, 1 / left, new[number]))
            left -= 1
    made = {d.id: d for d in result.shape.darts if d.id in new or d.id == name}
    order = sorted(made.values(), key=lambda d: d.at)
    called = dict(zip((d.id for d in order), free, strict=True))
    middles = [one.towards(two, 0.5) for one, two in (_ends(result.shape, d) for d in order)]
    centre = Point(sum(m.x for m in middles) / count, sum(m.y for m in middles) / count)
    axis = (order[0].apex - centre).unit()
    for d in order:
        result = in_turn(result, _upright(result.shape, d.id, angle, axis))
    darts = tuple(replace(d, id=called.get(d.id, d.id)) for d in result.shape.darts)
    final = replace(result.shape, darts=darts)
    refuse_crossings(final)
    return replace(result, shape=final), free


def _part(shape: Shape, name: str, offset: float, share: float, new: str) -> Reshaped:
    """A share of a dart turned to a place beside it, with nothing between the two."""
    dart = dart_of(shape, name)
    low, high = dart.mouth
    at = low + offset if offset < 0 else high + offset
    if not 0 <= at <= shape.edge(dart.edge).path.length:
        raise CannotAlter(f"there is no room beside {name} on {dart.edge}", "Use a smaller gap, or fewer darts.")
    return turned_dart(shape, name, Spot(dart.edge, at), min(share, 1.0), new_id=new)


def _upright(shape: Shape, name: str, angle: float, axis: Point) -> Reshaped:
    """A dart turned upright on its mouth: its middle runs along an axis, at an angle between two equal legs."""
    dart = dart_of(shape, name)
    one, two = _ends(shape, dart)
    half = one.distance(two) / 2
    apex = one.towards(two, 0.5) + axis * (half / math.tan(angle / 2))
    down = -axis * (half / math.sin(angle / 2))
    ends = apex + Affine.rotation(-angle / 2)(down), apex + Affine.rotation(angle / 2)(down)
    reaches = _reaches(shape, dart)
    return _redrawn(shape, replace(dart, apex=apex), reaches, ends, _ways(shape, dart, reaches, angle))


def _names(shape: Shape, name: str, count: int) -> tuple[str, ...]:
    taken = {dart.id for dart in shape.darts} - {name}
    numbered = (f"{name} {number}" for number in range(2, count + len(taken) + 2))
    return (name, *[other for other in numbered if other not in taken][: count - 1])


def merged(shape: Shape, one: str, two: str) -> Reshaped:
    """Two darts whose mouths touch made into one: it has the id and the point of the second, and takes up what both did.

    Raises
    ------
    NotThere
        If one is not there.
    CannotAlter
        If their mouths do not touch.
    Crosses
        If the dart would be cut into.
    """
    first, second = dart_of(shape, one), dart_of(shape, two)
    ends = sorted((first.mouth, second.mouth))
    if first.edge != second.edge or abs(ends[0][1] - ends[1][0]) > ALIKE:
        raise CannotAlter(f"{one} and {two} do not touch each other", "Turn the one to the other first.")
    low, high = ends[0][0], ends[1][1]
    whole = replace(second, at=(low + high) / 2, width=high - low)
    darts = tuple(whole if d.id == two else d for d in shape.darts if d.id != one)
    bridged = _bridged(replace(shape, darts=darts), two)
    return in_turn(bridged, legs_trued(bridged.shape, two))


def _bridged(shape: Shape, name: str) -> Reshaped:
    """A dart with a straight mouth."""
    dart = dart_of(shape, name)
    path = shape.edge(dart.edge).path
    one, two = _ends(shape, dart)
    back, on = ways_at(path, dart.mouth[0])[0], ways_at(path, dart.mouth[1])[1]
    return _redrawn(shape, dart, (0.0, 0.0), (one, two), (back, on), straight=True)


def _with(shape: Shape, dart: Dart | None, name: str = "") -> Shape:
    """The shape with a dart of that id exchanged, or left out."""
    darts = (dart if dart is not None and d.id == dart.id else d for d in shape.darts if dart is not None or d.id != name)
    return replace(shape, darts=tuple(darts))
