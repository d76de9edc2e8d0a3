"""How far a new line lies from the printed one, measured square to it: what a maker with a ruler draws it again by.

Measuring off and marking at intervals, and joining the marks by a smooth line, is common practice.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from firsthand.alter._composed import Composed, composed
from firsthand.alter.model import Record
from firsthand.alter.tissue.rigid import STILL, Bit
from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Path, Point, extended, intersections, nearest
from firsthand.pattern import Dart, Edge, Pleat, Shape
from firsthand.units import said

__all__ = ["CHANGED", "EVERY", "Mark", "Offset", "corner_of", "offsets", "renamed"]

EVERY = 50.0
"""Offsets are given this often, mm (common practice)."""
CHANGED = 0.3
"""A line that lies no further from the printed one, mm, is as printed: the width of the line itself."""
CLOSE = 0.5
"""Where a straight run between two stations would miss the new line by more than this, mm, there is one between them."""
FINEST = 8.0
"""Stations are not set closer than this, mm."""


class Mark(StrEnum):
    """What is at a place on the printed line."""

    STATION = "station"
    CORNER = "corner"
    NOTCH = "notch"
    DART = "dart"
    PLEAT = "pleat"
    CUT = "cut"


@dataclass(frozen=True, slots=True)
class Offset:
    """Where the new line is, seen from a place on the printed line.

    Parameters
    ----------
    edge
        Id of the printed edge.
    at
        Arc length from its start to the place, mm.
    place
        What is there, in words: ``notch waist``, ``corner with hem``; empty for a mere station.
    along
        For something that has a place of its own: how far the foot of the new one lies from the printed one along the printed
        line, mm, towards the end of the edge; beyond the ends of the edge it runs on straight.
    square
        How far the new line lies from the foot, square to the printed line, mm; positive into the piece.
    """

    edge: str
    at: float
    place: str
    along: float
    square: float
    mark: Mark = Mark.STATION

    @property
    def moved(self) -> bool:
        """Whether it differs from what is printed."""
        return max(abs(self.along), abs(self.square)) > CHANGED


def offsets(
    before: Shape,
    after: Shape,
    records: Iterable[Record],
    *,
    piece: str,
    every: float = EVERY,
    bits: Sequence[Bit] = (),
) -> tuple[Offset, ...]:
    """Offsets of the new line from the printed one, edge by edge, in order along each edge.

    Parameters
    ----------
    before, after
        The piece as printed and as altered.
    records
        What was done to it, in order.
    piece
        Its id.
    every
        How often offsets are given, mm, counted from the start of each edge.
    bits
        How sections of the printed piece were moved; the printed line is taken to have moved with them. Empty if none was.

    Returns
    -------
    tuple of Offset
        Stations where the line moved, with one where it is as printed on either side of them; every corner, notch, dart and
        pleat of an edge of which anything moved. Of each corner there are two, one measured on each printed edge. What was
        cut away has none.

    Raises
    ------
    GeometryError
        If ``every`` is not a length above zero.
    """
    if not (math.isfinite(every) and every > 0):
        raise GeometryError(f"offsets are given at intervals above zero, not every {said(every)}")
    measure = _Measure(before, after, composed(records), piece, tuple(bits))
    return tuple(offset for edge in before.edges for offset in measure.edge(edge, every))


def renamed(records: Iterable[Record], piece: str, name: str) -> str | None:
    """The id that something on a piece has now; None if it is gone."""
    now: str | None = name
    for record in records:
        new = record.ids.get(f"{piece}.{now}")
        if new is not None:
            now = next(iter(new), None)
            if now is None:
                return None
            now = now.removeprefix(f"{piece}.")
    return now


def corner_of(shape: Shape, corner: str) -> Point | None:
    """Where the corner with an id is."""
    return next((edge.path.start for edge in shape.edges if edge.corner.id == corner), None)


_Mouth = tuple[str, float, float]


@dataclass(frozen=True, slots=True)
class _Measure:
    before: Shape
    after: Shape
    maps: Composed
    piece: str
    bits: tuple[Bit, ...]

    def edge(self, edge: Edge, every: float) -> list[Offset]:
        """All offsets of one printed edge that are worth saying."""
        found: list[Offset] = []
        bits = [bit for bit in self.bits if bit.edge == edge.id] or [Bit(edge.id, 0.0, edge.path.length, STILL)]
        ends = self._corners(edge, bits)
        for number, bit in enumerate(bits):
            low = ends[0].at + ends[0].along if number == 0 and ends[0] else bit.start
            high = ends[1].at + ends[1].along if number == len(bits) - 1 and ends[1] else bit.end
            found += self._stations(edge, bit, max(low, bit.start), min(high, bit.end), every, number, len(bits))
        found = _worth(found)
        marks = [*self._marks(edge, bits), *(end for end in ends if end)]
        if any(offset.moved for offset in [*found, *marks]):
            found += marks
        return sorted(found, key=lambda offset: (offset.at, offset.mark is not Mark.CORNER))

    def _corners(self, edge: Edge, bits: Sequence[Bit]) -> tuple[Offset | None, Offset | None]:
        edges = self.before.edges
        k = edges.index(edge)
        last, follow = edges[k - 1], edges[(k + 1) % len(edges)]
        start = self._corner(edge.corner.id, edge, bits[0], 0.0, last.id)
        return start, self._corner(follow.corner.id, edge, bits[-1], edge.path.length, follow.id)

    def _corner(self, corner: str, edge: Edge, bit: Bit, at: float, other: str) -> Offset | None:
        now = renamed(self.maps.records, self.piece, corner)
        new = corner_of(self.after, now) if now else None
        return None if new is None else self._seen(edge, bit, at, f"corner with {_plain(other)}", new, Mark.CORNER)

    def _seen(self, edge: Edge, bit: Bit, at: float, place: str, new: Point, mark: Mark) -> Offset:
        """A point as seen from the printed line, which runs on straight beyond its ends."""
        point = bit.motion.inverse()(new)
        run = 2 * point.distance(edge.path.at(at)) + 10.0
        line = extended(edge.path, run, run)
        foot, distance = nearest(line, point)
        side = line.tangent_at(foot).cross(point - line.at(foot))
        scale = math.sqrt(abs(bit.motion.determinant))
        return Offset(
            edge.id, at, place, foot - run - at, math.copysign(distance * scale, side) if distance > 1e-9 else 0.0, mark
        )

    # what is marked on an edge -----------------------------------------------------------------------------------

    def _marks(self, edge: Edge, bits: Sequence[Bit]) -> Iterator[Offset]:
        for mark, place, at, new in self._pairs(edge):
            bit = next((bit for bit in bits if at <= bit.end), bits[-1])
            yield self._seen(edge, bit, at, place, new, mark)

    def _pairs(self, edge: Edge) -> Iterator[tuple[Mark, str, float, Point]]:
        """Everything marked on a printed edge that is still marked on the same edge, and where it is now."""
        notches = {notch.id: notch for notch in self.after.notches}
        for old in self.before.notches:
            now = notches.get(self._name(old.id)) if old.edge == edge.id else None
            if now is not None:
                yield Mark.NOTCH, _called("notch", old.id), old.at, self.after.edge(now.edge).path.at(now.at)
        yield from self._wide(edge, Mark.DART, _mouths(self.before.darts), _mouths(self.after.darts))
        yield from self._wide(edge, Mark.PLEAT, _mouths(self.before.pleats), _mouths(self.after.pleats))

    def _wide(
        self, edge: Edge, mark: Mark, olds: Mapping[str, _Mouth], news: Mapping[str, _Mouth]
    ) -> Iterator[tuple[Mark, str, float, Point]]:
        """Both ends of the mouths of darts or pleats."""
        for name, (where, at, width) in olds.items():
            new = news.get(self._name(name)) if where == edge.id else None
            if new is None or not self._comes_from(edge.id, new[0]):
                continue
            path = self.after.edge(new[0]).path
            for side, end in ((-0.5, "first"), (0.5, "second")):
                place = f"{_called(mark.value, name)}, {end} {'leg' if mark is Mark.DART else 'line'}"
                yield mark, place, at + side * width, path.at(new[1] + side * new[2])

    def _name(self, old: str) -> str:
        return renamed(self.maps.records, self.piece, old) or ""

    def _comes_from(self, old: str, new: str) -> bool:
        path = self.before.edge(old).path
        places = (self.maps.position(self.piece, old, path.length * share) for share in (0.02, 0.25, 0.5, 0.75, 0.98))
        return any(place is not None and place[1] == new for place in places)

    # the line between ---------------------------------------------------------------------------------------------

    def _stations(self, edge: Edge, bit: Bit, low: float, high: float, every: float, number: int, count: int) -> list[Offset]:
        if high - low < 1e-6:
            return []

        @cache
        def square(at: float) -> float | None:
            return self._square(edge, bit.motion, at)

        first = math.floor(low / every) + 1
        ats = [k * every for k in range(first, math.ceil(high / every)) if low + 1.0 < k * every < high - 1.0]
        sides = (("cut, second side", bit.start, number > 0), ("cut, first side", bit.end, number < count - 1))
        cuts = {at: words for words, at, here in sides if here}
        ats = sorted({*ats, *cuts})
        span = [low + min(0.5, (high - low) / 4), *ats, high - min(0.5, (high - low) / 4)]
        more = [at for a, b in itertools.pairwise(sorted(span)) for at in _between(square, a, b)]
        found = []
        for at in sorted({*ats, *more}):
            value = square(at)
            if value is not None:
                mark = Mark.CUT if at in cuts else Mark.STATION
                found.append(Offset(edge.id, at, cuts.get(at, ""), 0.0, value, mark))
        return found

    def _square(self, edge: Edge, motion: Affine, at: float) -> float | None:
        """How far the new line lies from a place on the printed one; None where it has gone from beside it."""
        place = self.maps.position(self.piece, edge.id, at)
        if place is None or place[0] != self.piece:
            return None
        new = self.after.edge(place[1]).path
        point = motion(edge.path.at(at))
        way = motion(edge.path.at(at) + edge.path.tangent_at(at)) - point
        if nearest(new, point)[1] < 0.01:
            return 0.0
        reach = 1.5 * point.distance(new.at(place[2])) + 20.0
        inwards = way.unit().left
        ray = Path.line(point - inwards * reach, point + inwards * reach)
        found = [crossing.at_b - reach for crossing in intersections(new, ray)]
        return min(found, key=abs, default=None)


def _mouths(things: Iterable[Dart | Pleat]) -> dict[str, _Mouth]:
    """Edge, middle and width of the mouths of darts or pleats."""
    return {one.id: (one.edge, one.at, one.width if isinstance(one, Dart) else one.take_up) for one in things}


def _between(square: Callable[[float], float | None], a: float, b: float) -> Iterator[float]:
    """Places between two stations without which a straight run would miss the line."""
    if b - a < 2 * FINEST:
        return
    one, two = square(a), square(b)
    if one is None or two is None:
        return
    for share in (0.25, 0.5, 0.75):
        value = square(a + (b - a) * share)
        if value is not None and abs(value - (one + (two - one) * share)) > CLOSE:
            middle = float(round((a + b) / 2))
            yield from _between(square, a, middle)
            yield middle
            yield from _between(square, middle, b)
            return


def _worth(found: Sequence[Offset]) -> list[Offset]:
    """Offsets that differ from the printed line, and the first on either side that do not."""
    moved = [offset.moved for offset in found]
    return [
        offset
        for k, offset in enumerate(found)
        if any(moved[max(k - 1, 0) : k + 2]) and (moved[k] or offset.mark is Mark.STATION)
    ]


def _called(sort: str, name: str) -> str:
    words = _plain(name)
    return words if sort in words.split() else f"{sort} {words}"


def _plain(name: str) -> str:
    return name.replace("-", " ").replace("_", " ")
