"""Lines along which a piece is cut in two, and what lies on which side of them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

from firsthand.alter._spots import Spot
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Line, Path, Point, encloses, intersections
from firsthand.pattern import Dart, Pleat, Shape

__all__ = ["ON", "Arc", "Cut", "Junction", "Parted", "Side", "dart_of", "mouth_spots"]

ON = 1e-6
"""Points this close to each other are one, mm."""
NEAR = 1e-3
"""A cut that comes this close to the outline only touches it, mm."""
FLAT = 0.05
"""Outlines are flattened to this for the question on which side something lies, mm."""
LEAST_AREA = 1.0
"""A section smaller than this, mm2, is none: the cut runs along the edge."""
FAR = 1e4
"""Cuts are run on this far beyond the outline, mm, to find what has come to lie on the other side."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A line across a piece.

    Parameters
    ----------
    start
        Where on the outline it begins.
    end
        Where on the outline it ends; None for a cut that ends in a dart.
    through
        Points inside the piece through which it goes, in order.
    dart
        Id of a dart: the cut ends at its point, and its wedge, open to the edge, does the rest.
    stays
        A place on the section that stays; None for the one that holds the middle of the grain line.
    """

    start: Spot
    end: Spot | None = None
    through: tuple[Point, ...] = ()
    dart: str = ""
    stays: Spot | None = None


class Side(Enum):
    """The sections of a cut piece, as seen along the cut."""

    LEFT = "left"
    RIGHT = "right"
    WEDGE = "wedge"
    """Of a dart: what is folded away."""

    @property
    def other(self) -> Side:
        """The section over the cut."""
        return {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT}[self]


@dataclass(frozen=True, slots=True)
class Arc:
    """A stretch of an edge that lies wholly on one section; arc lengths from the start of the edge."""

    edge: str
    start: float
    end: float
    side: Side

    @property
    def length(self) -> float:
        """How long it is, mm."""
        return self.end - self.start

    @property
    def middle(self) -> float:
        """Arc length of its middle."""
        return (self.start + self.end) / 2


@dataclass(frozen=True, slots=True)
class Junction:
    """Where the outline goes over from one section to the next."""

    edge: str
    at: float
    before: Side
    after: Side
    at_start: bool
    """Whether the cut begins here."""


def dart_of(shape: Shape, name: str) -> Dart:
    """The dart with an id.

    Raises
    ------
    NotThere
        If there is none.
    """
    for dart in shape.darts:
        if dart.id == name:
            return dart
    raise NotThere("dart", name, (dart.id for dart in shape.darts))


def mouth_spots(dart: Dart) -> tuple[Spot, Spot]:
    """The two ends of a dart's mouth, in the direction of its edge."""
    return Spot(dart.edge, dart.at - dart.width / 2), Spot(dart.edge, dart.at + dart.width / 2)


class Parted:
    """A shape with a cut across it.

    The outline from the start of the cut on, counter-clockwise, is the right section, until the cut ends; the rest is the left.

    Parameters
    ----------
    shape, cut
        A shape, and where it is cut.

    Attributes
    ----------
    line
        The cut from its start to its end, or to the point of its dart.
    stays
        The section that stays.

    Raises
    ------
    NotThere
        If it names an edge or a dart that is not there.
    CannotAlter
        If the cut leaves the piece, runs along its edge or through the mouth or the wedge of a dart or a pleat.
    """

    def __init__(self, shape: Shape, cut: Cut) -> None:
        self.shape, self.cut = shape, cut
        lengths = [edge.path.length for edge in shape.edges]
        reached = itertools.accumulate(lengths, initial=0.0)
        self._offsets = dict(zip((edge.id for edge in shape.edges), reached, strict=False))
        self._whole = sum(lengths)
        self.dart = dart_of(shape, cut.dart) if cut.dart else None
        self._ends = self._find_ends()
        self.line = self._find_line()
        self._refuse_leaving()
        self._refuse_mouths()
        self.stays = Side.LEFT
        self.stays = self._find_stays()

    # where it is cut --------------------------------------------------------------------------------------

    def _find_ends(self) -> tuple[Spot, Spot]:
        """Where the right section ends and where the left one begins."""
        if bool(self.cut.end) == bool(self.dart):
            raise CannotAlter("a cut ends either on the outline or in a dart", "Name one of the two.")
        end = self.cut.end or self.cut.start
        found = mouth_spots(self.dart) if self.dart else (end, end)
        if any(min(self._from_start(end), self._whole - self._from_start(end)) <= NEAR for end in found):
            raise CannotAlter("the cut ends where it begins", "Name two places apart from each other.")
        return found

    def _from_start(self, spot: Spot) -> float:
        """How far a place lies round the outline from the start of the cut, mm."""
        for place in (spot, self.cut.start):
            if not -ON <= place.at <= self.shape.edge(place.edge).path.length + ON:
                raise CannotAlter(f"the cut ends beyond {place.edge}", "Name a place on the edge.")
        start = self._offsets[self.cut.start.edge] + self.cut.start.at
        return (self._offsets[spot.edge] + spot.at - start) % self._whole

    def _find_line(self) -> Path:
        last = self.dart.apex if self.dart else self._ends[0].point(self.shape)
        try:
            return Path.line(self.cut.start.point(self.shape), *self.cut.through, last)
        except ValueError:
            raise CannotAlter("the cut has no length", "Name two places apart from each other.") from None

    @property
    def junctions(self) -> tuple[Junction, ...]:
        """Where the outline goes over from section to section, in order from the start of the cut."""
        start, (one, two) = self.cut.start, self._ends
        first = Junction(start.edge, start.at, Side.LEFT, Side.RIGHT, True)
        if not self.dart:
            return first, Junction(one.edge, one.at, Side.RIGHT, Side.LEFT, False)
        return (
            first,
            Junction(one.edge, one.at, Side.RIGHT, Side.WEDGE, False),
            Junction(two.edge, two.at, Side.WEDGE, Side.LEFT, False),
        )

    def items(self, edge: str) -> list[Arc | Junction]:
        """The stretches of an edge and the junctions between them, in order."""
        length = self.shape.edge(edge).path.length
        here = sorted((j for j in self.junctions if j.edge == edge), key=lambda j: j.at)
        items: list[Arc | Junction] = []
        reached = 0.0
        for junction in here:
            if junction.at - reached > ON:
                items.append(self._arc(edge, reached, junction.at))
            items.append(junction)
            reached = max(reached, junction.at)
        if length - reached > ON:
            items.append(self._arc(edge, reached, length))
        return items

    def _arc(self, edge: str, start: float, end: float) -> Arc:
        return Arc(edge, start, end, self.side_at(Spot(edge, (start + end) / 2)))

    def side_at(self, spot: Spot) -> Side:
        """The section on which a place of the outline lies."""
        far = self._from_start(spot)
        one, two = (self._from_start(end) for end in self._ends)
        if far < one:
            return Side.RIGHT
        return Side.WEDGE if far < two else Side.LEFT

    # what lies where --------------------------------------------------------------------------------------

    @cached_property
    def polygons(self) -> dict[Side, tuple[Point, ...]]:
        """The two sections, flattened."""
        arcs = [item for edge in self.shape.edges for item in self.items(edge.id) if isinstance(item, Arc)]
        arcs.sort(key=lambda arc: self._from_start(Spot(arc.edge, arc.middle)))
        found: dict[Side, list[Point]] = {Side.RIGHT: [], Side.LEFT: []}
        for arc in arcs:
            if arc.side in found:
                path = self.shape.edge(arc.edge).path
                part = path if arc.length > path.length - ON else path.between(arc.start, arc.end)
                found[arc.side] += part.flattened(FLAT)
        cut = self.line.joints
        return {Side.RIGHT: (*found[Side.RIGHT], *reversed(cut)), Side.LEFT: (*found[Side.LEFT], *cut)}

    def side_of(self, point: Point) -> Side:
        """The section on which a point lies, or the nearer one; on the cut itself, the one that stays."""
        joints = self.line.joints
        if min(_from_segment(point, a, b) for a, b in itertools.pairwise(joints)) <= ON:
            return self.stays
        inside = [side for side, polygon in self.polygons.items() if encloses(polygon, point)]
        if len(inside) == 1:
            return inside[0]
        beyond = {side: _beyond(polygon, point) for side, polygon in self.polygons.items()}
        return self.stays.other if beyond[self.stays.other] < beyond[self.stays] - ON else self.stays

    def across(self, path: Path) -> list[float]:
        """Arc lengths at which a path goes over from section to section, rising; with the legs of the cut's dart."""
        found = [crossing.at_a for line in self._lines() for crossing in intersections(path, line)]
        return sorted(found)

    def _lines(self) -> list[Path]:
        if not self.dart:
            return [self.line]
        return [self.line, *(Path.line(self.dart.apex, spot.point(self.shape)) for spot in self._ends)]

    def run_on(self, *, start: bool) -> Path:
        """The cut, run on straight far beyond one of its ends on the outline, seen from there."""
        line = self.line if start else self.line.reversed()
        return Path((Line(line.start - line.start_tangent * FAR, line.start), *line.segments))

    def in_wedge(self, point: Point) -> bool:
        """Whether a point lies in the wedge of the cut's dart."""
        if not self.dart:
            return False
        corners = (self.dart.apex, *(spot.point(self.shape) for spot in self._ends))
        return encloses(corners, point)

    # refusals ---------------------------------------------------------------------------------------------

    def _find_stays(self) -> Side:
        areas = {side: _area(polygon) for side, polygon in self.polygons.items()}
        if min(areas.values()) < LEAST_AREA:
            raise CannotAlter("the cut runs along the edge", "Name places on two edges, or lead it through the piece.")
        if self.cut.stays is not None:
            side = self.side_at(self.cut.stays)
            return side if side is not Side.WEDGE else Side.LEFT
        middle = self.shape.grain[0].towards(self.shape.grain[1], 0.5)
        beyond = {side: _beyond(polygon, middle) for side, polygon in self.polygons.items()}
        if abs(beyond[Side.LEFT] - beyond[Side.RIGHT]) <= ON:
            return max(areas, key=lambda side: areas[side])
        return min(beyond, key=lambda side: beyond[side])

    def _refuse_leaving(self) -> None:
        outline = self.shape.outline
        words = "the line of the cut leaves the piece"
        remedy = "Name other places, or lead it through points inside."
        length = self.line.length
        for crossing in intersections(self.line, outline):
            at_end = crossing.at_a > length - NEAR and not self.dart
            if not (crossing.at_a < NEAR or at_end):
                raise CannotAlter(words, remedy)
        polygon = outline.flattened(FLAT)
        for a, b in itertools.pairwise(self.line.joints):
            if _beyond(polygon, a.towards(b, 0.5)) > FLAT:
                raise CannotAlter(words, remedy)

    def _refuse_mouths(self) -> None:
        mouths = [(d.id, d.edge, d.at, d.width) for d in self.shape.darts if d is not self.dart]
        mouths += [(p.id, p.edge, p.at, p.take_up) for p in self.shape.pleats]
        for junction in self.junctions:
            for name, edge, at, width in mouths:
                if junction.edge == edge and at - width / 2 + ON < junction.at < at + width / 2 - ON:
                    words = f"the line of the cut would go through {name}"
                    raise CannotAlter(words, "Lead it beside that, or through the point of the dart.")
        if self.dart and self._in_mouth(self.dart):
            raise CannotAlter(f"the cut begins in the mouth of {self.dart.id}", "Name another place.")
        for dart in self.shape.darts:
            if dart is not self.dart:
                self._refuse_wedge(dart)
        for pleat in self.shape.pleats:
            self._refuse_pleat(pleat)

    def _refuse_pleat(self, pleat: Pleat) -> None:
        """A cut may not part a pleat from where it runs."""
        start = Spot(pleat.edge, pleat.at).point(self.shape)
        if pleat.towards is None or start.distance(pleat.towards) <= NEAR:
            return
        middle = Path.line(start, pleat.towards)
        if any(intersections(line, middle) for line in self._lines()):
            words = f"the line of the cut would go through {pleat.id}"
            raise CannotAlter(words, "Lead it beside that, or fold the pleats after it.")

    def _in_mouth(self, dart: Dart) -> bool:
        start = self.cut.start
        return start.edge == dart.edge and abs(start.at - dart.at) < dart.width / 2 + NEAR

    def _refuse_wedge(self, dart: Dart) -> None:
        """A cut may touch the point of a dart and the ends of its mouth, and nothing else of it."""
        mouth = [spot.point(self.shape) for spot in mouth_spots(dart)]
        allowed = [dart.apex, *mouth]
        legs = [Path.line(dart.apex, end) for end in mouth if end.distance(dart.apex) > NEAR]
        touched = [c.point for line in self._lines() for leg in legs for c in intersections(line, leg)]
        for point in touched:
            if min(point.distance(place) for place in allowed) > NEAR:
                words = f"the line of the cut would go through {dart.id}"
                raise CannotAlter(words, "Lead it beside that, or through the point of the dart.")


def _area(polygon: Sequence[Point]) -> float:
    return abs(sum(a.cross(b) for a, b in zip(polygon, (*polygon[1:], polygon[0]), strict=True))) / 2


def _beyond(polygon: Sequence[Point], point: Point) -> float:
    """How far a point lies outside a polygon, mm; 0 inside."""
    if encloses(polygon, point):
        return 0.0
    return min(_from_segment(point, a, b) for a, b in zip(polygon, (*polygon[1:], polygon[0]), strict=True))


def _from_segment(point: Point, a: Point, b: Point) -> float:
    ux, uy, vx, vy = b.x - a.x, b.y - a.y, point.x - a.x, point.y - a.y  # in plain numbers: this is asked for very often
    square = ux * ux + uy * uy
    share = min(1.0, max(0.0, (vx * ux + vy * uy) / square)) if square else 0.0
    return math.hypot(vx - share * ux, vy - share * uy)
