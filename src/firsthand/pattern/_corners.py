"""How two cutting lines meet at a corner of the stitching line."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from firsthand.geometry import Affine, Crossing, Line, Path, Point, extended, intersections
from firsthand.pattern.model import CornerShape, Edge, FateKind

__all__ = ["Bend", "Joint", "join"]

MITRE_LIMIT = 3.0
"""A mitred point further from its corner than this many margins is cut off across. Source: common practice."""

SLIGHT = math.radians(30)
"""Below this turn two different margins meet in a step, not in a far-off point. Source: common practice."""

TURNED = frozenset({FateKind.HEM, FateKind.CASING, FateKind.FACING})
"""Fates whose allowance is turned up along the stitching line."""

CLOSE = 1e-6


@dataclass(frozen=True, slots=True)
class Joint:
    """Where the line before stops and the line after starts, arc lengths along them, mm, and what lies between.

    ``stop`` may lie beyond the end of the line before and ``start`` before the beginning of the line after (negative): they
    are run on straight.
    """

    stop: float
    start: float
    between: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class Bend:
    """A corner: the point, the edges before and after it, their margins, and their parallels."""

    corner: Point
    before: Edge
    after: Edge
    margins: tuple[float, float]
    lines: tuple[Path, Path]

    @property
    def into(self) -> Point:
        """Direction in which the stitching line comes in."""
        return self.before.path.end_tangent

    @property
    def out(self) -> Point:
        """Direction in which it goes on."""
        return self.after.path.start_tangent

    @property
    def turn(self) -> float:
        """How far it turns left, radians."""
        return math.atan2(self.into.cross(self.out), self.into.dot(self.out))

    @property
    def wide(self) -> float:
        """The wider of the margins, mm."""
        return max(self.margins)

    @property
    def length(self) -> float:
        """Arc length of the line before, mm."""
        return self.lines[0].length

    @property
    def run_on(self) -> float:
        """How far lines are run on to look for where they meet, mm."""
        return 4 * MITRE_LIMIT * self.wide + 1.0

    @property
    def long_lines(self) -> tuple[Path, Path]:
        """Both lines run on past the corner."""
        return extended(self.lines[0], 0.0, self.run_on), extended(self.lines[1], self.run_on, 0.0)

    @property
    def reversed(self) -> Bend:
        """The same corner walked the other way."""
        one, two = self.lines
        return Bend(
            self.corner,
            _backwards(self.after),
            _backwards(self.before),
            (self.margins[1], self.margins[0]),
            (two.reversed(), one.reversed()),
        )


def _backwards(edge: Edge) -> Edge:
    return Edge(edge.id, edge.corner, edge.path.reversed(), edge.allowance, edge.inlay, edge.fate)


def join(bend: Bend) -> Joint:
    """How the two lines of a corner meet."""
    straight = abs(bend.turn) < SLIGHT
    if bend.lines[0].end.distance(bend.lines[1].start) <= CLOSE:
        return Joint(bend.length, 0.0)
    if straight and abs(bend.margins[0] - bend.margins[1]) > 0.1:
        return _step(bend)
    shape = CornerShape.MITRED if straight or bend.turn < 0 or _on_fold(bend) else bend.after.corner.shape
    return _special(bend, shape) or _mitred(bend)


def _on_fold(bend: Bend) -> bool:
    return any(edge.fate is not None and edge.fate.kind is FateKind.FOLD for edge in (bend.before, bend.after))


def _special(bend: Bend, shape: CornerShape) -> Joint | None:
    """The corner as asked for; None where that shape does not go there."""
    if shape is CornerShape.SQUARED:
        return _squared(bend)
    if shape is CornerShape.SQUARED_NEXT:
        return _turned_back(bend, _squared(bend.reversed))
    if shape in (CornerShape.MIRRORED, CornerShape.MIRRORED_LAST):
        return _mirrored(bend) if _hem_begins(bend, shape) else _turned_back(bend, _mirrored(bend.reversed))
    if shape is CornerShape.BLUNTED:
        return _blunted(bend, bend.wide)
    return None


def _turned_back(bend: Bend, joint: Joint | None) -> Joint | None:
    """A joint found on the reversed corner, for the corner itself."""
    if joint is None:
        return None
    between = tuple(path.reversed() for path in reversed(joint.between))
    return Joint(bend.length - joint.start, bend.lines[1].length - joint.stop, between)


def _hem_begins(bend: Bend, shape: CornerShape) -> bool:
    before, after = _turning(bend.before), _turning(bend.after)
    return after > before if after != before else shape is CornerShape.MIRRORED


def _turning(edge: Edge) -> int:
    """How surely an edge's allowance is turned up along it: one with a finished depth is, a faced one without may be."""
    if edge.fate is None or edge.fate.kind not in TURNED:
        return 0
    return 2 if edge.fate.depth > 0 or edge.fate.kind is not FateKind.FACING else 1


# the shapes ------------------------------------------------------------------------------------------------------


def _straight(*points: Point) -> tuple[Path, ...]:
    return tuple(Path((Line(a, b),)) for a, b in itertools.pairwise(points) if a.distance(b) > CLOSE)


def _step(bend: Bend) -> Joint:
    return Joint(bend.length, 0.0, _straight(bend.lines[0].end, bend.lines[1].start))


def _meeting(bend: Bend) -> Crossing | None:
    """Where the lines, run on, meet: of several places the one nearest to both ends. ``at_b`` counts from the line's start."""
    one, two = bend.long_lines
    found = [Crossing(c.at_a, c.at_b - bend.run_on, c.point) for c in intersections(one, two)]
    if bend.turn > 0:  # outside, the lines part: a meeting well before the ends has nothing to do with this corner
        near = MITRE_LIMIT * bend.wide + CLOSE
        found = [c for c in found if c.at_a >= bend.length - near and c.at_b <= near]
    return min(found, key=lambda c: abs(c.at_a - bend.length) + abs(c.at_b), default=None)


def _mitred(bend: Bend) -> Joint:
    meeting = _meeting(bend)
    if bend.turn < 0:
        if meeting is not None:
            return Joint(meeting.at_a, meeting.at_b)
        return Joint(bend.length, 0.0, _straight(bend.lines[0].end, bend.corner, bend.lines[1].start))
    if meeting is not None and meeting.point.distance(bend.corner) <= MITRE_LIMIT * bend.wide:
        return Joint(meeting.at_a, meeting.at_b)
    return _blunted(bend, MITRE_LIMIT * bend.wide) or _step(bend)


def _blunted(bend: Bend, reach: float) -> Joint | None:
    """Mitred, and cut off across at a distance from the corner."""
    meeting = _meeting(bend)
    if meeting is not None and meeting.point.distance(bend.corner) <= reach + CLOSE:
        return Joint(meeting.at_a, meeting.at_b)
    outwards = meeting.point - bend.corner if meeting is not None else bend.into - bend.out
    if outwards.norm < CLOSE:
        return None
    outwards = outwards.unit()
    middle, half = bend.corner + outwards * reach, outwards.left * (2 * bend.run_on)
    across = Path((Line(middle - half, middle + half),))
    one, two = bend.long_lines
    stop = min((c for c in intersections(one, across)), key=lambda c: abs(c.at_a - bend.length), default=None)
    start = min((c for c in intersections(two, across)), key=lambda c: abs(c.at_a - bend.run_on), default=None)
    if stop is None or start is None:
        return None
    return Joint(stop.at_a, start.at_a - bend.run_on, _straight(stop.point, start.point))


def _squared(bend: Bend) -> Joint | None:
    """The edge before run on to the other's cutting line, its allowance cut off there square."""
    if min(bend.margins) <= CLOSE:
        return None
    ahead = Path((Line(bend.corner, bend.corner + bend.into * bend.run_on),))
    found = min((c for c in intersections(ahead, bend.long_lines[1])), key=lambda c: c.at_a, default=None)
    if found is None or found.at_a > MITRE_LIMIT * bend.wide:
        return None
    outer = found.point + (bend.lines[0].end - bend.corner)
    return Joint(bend.length + found.at_a, found.at_b - bend.run_on, _straight(outer, found.point))


def _mirrored(bend: Bend) -> Joint | None:
    """The edge before comes to a hem that begins here: beyond the hem's line it is its own mirror image in it."""
    if bend.margins[1] <= CLOSE:
        return None
    side, hem = bend.long_lines
    half = bend.out * (2 * bend.run_on)
    fold = Path((Line(bend.corner - half, bend.corner + half),))
    at_fold = min((c for c in intersections(side, fold)), key=lambda c: abs(c.at_a - bend.length), default=None)
    if at_fold is None or at_fold.at_a <= CLOSE:
        return None
    mirror = Affine.mirror(bend.corner, bend.corner + bend.out)
    image = extended(side.between(0.0, at_fold.at_a).transformed(mirror).reversed(), 0.0, bend.run_on)
    at_hem = min((c for c in intersections(image, hem)), key=lambda c: c.at_a, default=None)
    if at_hem is None or at_hem.at_a <= CLOSE:
        return None
    return Joint(at_fold.at_a, at_hem.at_b - bend.run_on, (image.between(0.0, at_hem.at_a),))
