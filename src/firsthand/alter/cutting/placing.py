"""Where what lies on a cut piece goes: its grain, darts, pleats, inner lines and levels."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, replace

from firsthand.alter.cutting.cuts import FAR, ON, Arc, Parted, Side, mouth_spots
from firsthand.alter.moving.maps import Runs
from firsthand.alter.moving.reshape import Crosses, tidied
from firsthand.geometry import Affine, Path, Point, Segment, intersections
from firsthand.pattern import Dart, InnerLine, LevelLine, Pleat, Shape

__all__ = ["Moves", "grown", "in_line", "placed", "under_grain", "with_dart"]


@dataclass(frozen=True, slots=True)
class Moves:
    """Where everything on a cut piece goes."""

    parted: Parted
    motion: Affine
    blends: bool = True

    def image(self, side: Side) -> Affine:
        """What happens to a section."""
        return self.motion if side is self.parted.stays.other else Affine()

    def point(self, point: Point) -> Point:
        """Where a point of the piece goes."""
        return self.image(self.parted.side_of(point))(point)

    @property
    def mouth(self) -> tuple[Point, Point]:
        """Where the two ends of the mouth of the cut's dart go."""
        ends = [j for j in self.parted.junctions if not j.at_start]
        path = self.parted.shape.edge(ends[0].edge).path
        return self.image(Side.RIGHT)(path.at(ends[0].at)), self.image(Side.LEFT)(path.at(ends[1].at))

    @property
    def closes(self) -> bool:
        """Whether the wedge of the cut's dart closes altogether: its legs lie in one line from where the section turns."""
        dart = self.parted.dart
        if dart is None:
            return False
        one, two = self.mouth
        if one.distance(two) <= ON or abs(_angle(_pivot(self.motion) or dart.apex, one, two)) <= 1e-9:
            return True
        was = [spot.point(self.parted.shape) for spot in mouth_spots(dart)]
        if (two - one).dot(was[1] - was[0]) < 0:
            raise Crosses(f"{dart.id} would be closed by more than there is of it")
        return False

    def stretch(self, arc: Arc) -> Path:
        """A stretch of an edge where it goes."""
        whole = self.parted.shape.edge(arc.edge).path
        path = whole if arc.length > whole.length - ON else whole.between(arc.start, arc.end)
        if arc.side is not Side.WEDGE:
            by = self.image(arc.side)
            return path if by == Affine() else path.transformed(by)
        return path.transformed(grown((path.start, path.end), self.mouth))


def _angle(apex: Point, one: Point, two: Point) -> float:
    """The angle from one leg to the other, radians, counter-clockwise positive."""
    u, v = one - apex, two - apex
    return u.angle_to(v)


def _pivot(motion: Affine) -> Point | None:
    """The point about which a motion turns; None for a shift."""
    free = Affine(1 - motion.a, -motion.b, -motion.c, 1 - motion.d)
    if abs(free.determinant) < 1e-20:
        return None
    return free.inverse()(Point(motion.e, motion.f))


def grown(old: tuple[Point, Point], new: tuple[Point, Point]) -> Affine:
    """The turn, shift and growth that takes two points to two others."""
    was, now = old[1] - old[0], new[1] - new[0]
    square = was.dot(was)
    cos, sin = was.dot(now) / square, was.cross(now) / square
    turn = Affine(cos, sin, -sin, cos)
    by = new[0] - turn(old[0])
    return Affine.translation(by.x, by.y) @ turn


def placed(moves: Moves) -> Shape:
    """The shape with what lies inside it moved; its edges still the old ones."""
    shape = moves.parted.shape
    middle = shape.grain[0].towards(shape.grain[1], 0.5)
    grain = moves.image(moves.parted.side_of(middle))
    return replace(
        shape,
        grain=(grain(shape.grain[0]), grain(shape.grain[1])),
        darts=tuple(_dart(moves, dart) for dart in shape.darts if not (moves.closes and dart == moves.parted.dart)),
        pleats=tuple(_pleat(moves, pleat) for pleat in shape.pleats),
        lines=tuple(_inner(moves, line) for line in shape.lines),
        levels=tuple(_level(moves, level) for level in shape.levels),
    )


def _pleat(moves: Moves, pleat: Pleat) -> Pleat:
    """Where a pleat runs goes with the section of its mouth."""
    if pleat.towards is None:
        return pleat
    return replace(pleat, towards=moves.image(_arc(moves, pleat).side)(pleat.towards))


def _arc(moves: Moves, mark: Dart | Pleat) -> Arc:
    """The stretch of its edge on which a mark lies."""
    arcs = (item for item in moves.parted.items(mark.edge) if isinstance(item, Arc))
    return next(item for item in arcs if item.start - ON <= mark.at <= item.end + ON)


def _dart(moves: Moves, dart: Dart) -> Dart:
    """A dart goes with the section of its mouth."""
    if dart == moves.parted.dart:
        return replace(dart, apex=dart.apex.towards(moves.motion(dart.apex), 0.5))
    return replace(dart, apex=moves.image(_arc(moves, dart).side)(dart.apex))


def with_dart(moves: Moves, shape: Shape, maps: dict[str, Runs]) -> Shape:
    """The shape with the mouth of the cut's own dart as wide as it is now."""
    dart = moves.parted.dart
    if dart is None or moves.closes:
        return shape
    run = next(run for run in maps[dart.edge] if abs(run[0] - (dart.at - dart.width / 2)) <= ON and run[1] > dart.at)
    mouth = replace(dart, at=(run[2] + run[3]) / 2, width=run[3] - run[2])
    return replace(shape, darts=tuple(mouth if other.id == dart.id else other for other in shape.darts))


def _level(moves: Moves, level: LevelLine) -> LevelLine:
    """A level runs on to the edges, and goes where they go: it is drawn as long a share of the way between them as it was."""
    ends = _ends_of(moves.parted.shape, level)
    sides = [moves.parted.side_of(end) for end in ends]
    one, two = (moves.image(side) for side in sides)
    if sides[0] is sides[1]:
        a, b = one(level.a), one(level.b)
    else:
        whole = ends[0].distance(ends[1])
        a, b = (one(ends[0]).towards(two(ends[1]), ends[0].distance(point) / whole) for point in (level.a, level.b))
    return level if (a, b) == (level.a, level.b) else replace(level, a=a, b=b)


def _ends_of(shape: Shape, level: LevelLine) -> tuple[Point, Point]:
    """Where a level, run on beyond its ends, meets the outline last, either way; no nearer than its ends."""
    length = level.a.distance(level.b)
    if length <= ON:
        return level.a, level.b
    unit = (level.b - level.a).unit()
    line = Path.line(level.a - unit * FAR, level.b + unit * FAR)
    met = [crossing.at_a - FAR for crossing in intersections(line, shape.outline)]
    return level.a + unit * min([0.0, *met]), level.a + unit * max([length, *met])


def _inner(moves: Moves, inner: InnerLine) -> InnerLine:
    """An inner line is parted and joined like an edge, without a blend."""
    path = inner.path
    length = path.length
    marks = [0.0, *(at for at in moves.parted.across(path) if ON < at < length - ON), length]
    kept: list[Path] = []
    ray = moves.parted.run_on(start=True)
    for start, end in itertools.pairwise(marks):
        if end - start <= ON:
            continue
        part = path if end - start > length - ON else path.between(start, end)
        middle = part.at(part.length / 2)
        if moves.parted.in_wedge(middle):
            continue
        side = moves.parted.side_of(middle)
        moved = part.transformed(moves.image(side))
        crossed = side is not moves.parted.stays and len(marks) > 2
        kept += _uncovered(moved, ray, moves, at_start=start > ON, at_end=end < length - ON) if crossed else [moved]
    if not kept:
        raise Crosses(f"the line {inner.id} lies wholly in what would be overlapped")
    joined = _bridged(kept, closed=path.is_closed)
    return inner if joined == path else replace(inner, path=joined)


def _uncovered(path: Path, ray: Path, moves: Moves, *, at_start: bool, at_end: bool) -> list[Path]:
    """What of a moved stretch of an inner line does not lie over the section that stays."""
    found = [crossing.at_a for crossing in intersections(path, ray)]
    inside = [at for at in found if ON < at < path.length - ON]
    if not inside:
        return [path]
    start = min(inside) if at_start else 0.0
    end = max(inside) if at_end else path.length
    return [path.between(start, end)] if end - start > ON else []


def _bridged(paths: list[Path], *, closed: bool) -> Path:
    joined: list[Path] = []
    for path in paths:
        if joined and joined[-1].end.distance(path.start) > ON:
            joined.append(Path.line(joined[-1].end, path.start))
        joined.append(path)
    if closed and joined[-1].end.distance(joined[0].start) > ON:
        joined.append(Path.line(joined[-1].end, joined[0].start))
    return joined[0] if len(joined) == 1 else tidied(in_line(joined))


def in_line(paths: Iterable[Path]) -> Path:
    """Paths one after the other whose ends may differ by rounding."""
    segments: list[Segment] = []
    for path in paths:
        head = replace(path.segments[0], a=segments[-1].end) if segments else path.segments[0]
        segments += [head, *path.segments[1:]]
    return Path(tuple(segments))


def under_grain(shape: Shape, angle: float) -> Shape:
    """A shape turned under its grain line, which stays, about the middle of that, radians; positions on edges stay the same."""
    turn = Affine.rotation(angle, about=shape.grain[0].towards(shape.grain[1], 0.5))
    turned = [edge.path.transformed(turn) for edge in shape.edges]
    return replace(
        shape,
        edges=tuple(replace(edge, path=path) for edge, path in zip(shape.edges, turned, strict=True)),
        darts=tuple(replace(dart, apex=turn(dart.apex)) for dart in shape.darts),
        pleats=tuple(replace(p, towards=None if p.towards is None else turn(p.towards)) for p in shape.pleats),
        lines=tuple(replace(line, path=line.path.transformed(turn)) for line in shape.lines),
        levels=tuple(replace(level, a=turn(level.a), b=turn(level.b)) for level in shape.levels),
    )
