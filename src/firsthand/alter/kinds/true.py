"""True what no longer runs on smoothly or is no longer as long as its partner."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

from firsthand.alter._making import finished, reshaped, sensible
from firsthand.alter._meetings import MEANT, SLIGHT, Meeting, meetings
from firsthand.alter._seams import seam_difference
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import in_turn, put_in
from firsthand.alter.moving.maps import Runs, chained
from firsthand.alter.moving.reshape import Crosses, Reshaped, carried, refuse_crossings
from firsthand.errors import CannotAlter
from firsthand.geometry import Affine, Cubic, Path, Point, extended
from firsthand.pattern import Edge, FateKind, Garment, Shape, single_seams
from firsthand.units import Length

__all__ = ["Trued"]

UNEVEN = 0.02
"""Seams that differ by less than this, mm, are even."""
MOST = 500.0
"""A longer reach, mm, is a slip of the keyboard."""
FREE = frozenset({FateKind.HEM, FateKind.RAW, FateKind.FACING, FateKind.CASING, FateKind.BINDING})
"""What becomes of an edge that can be redrawn without a partner."""


@dataclass(frozen=True, slots=True)
class _Bend:
    """What happens at one end of an edge.

    Parameters
    ----------
    turn
        By how much the edge is turned there, radians, so that the angle inside the piece grows by it.
    longer
        By how much it becomes longer there, mm.
    """

    turn: float = 0.0
    longer: float = 0.0


@ALTERATIONS.register("true")
@dataclass(frozen=True, slots=True)
class Trued(Entry):
    """True the ends of seams: edges run on smoothly across them, and both sides are equally long.

    Where two edges meet across a seam (two hems at a side seam, two necklines at a shoulder) and make a corner of less than
    30 degrees, both are redrawn over a short reach so that they meet in a smooth line; a greater corner is taken to be meant.
    Plain seams whose sides differ a little are evened: the longer side gives half the difference, the shorter takes it, at
    the end where the edges are free (a hem, a raw or a faced edge).

    Parameters
    ----------
    seams
        Names of the only seams to true; empty means all plain ones.
    reach
        Over what length the edges beside a seam are redrawn.
    most
        Seams that differ by more than this are left alone: something else is wrong with them.
    """

    kind: ClassVar[str] = "true"

    seams: tuple[str, ...] = ()
    reach: Length = 60.0
    most: Length = 10.0

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        if sensible(self.reach, MOST) <= 0 or sensible(self.most, MOST) < 0:
            raise CannotAlter("the reach must be above zero, and the most not below", "Leave them out, or correct them.")
        try:
            evened = self._evened(garment)
            now = put_in(garment, evened) if evened else garment
            corners = self._corners(now)
            turned = reshaped(now, {name: partial(_bent, ends=ends, reach=self.reach) for name, ends in corners.items()})
        except Crosses as crossing:
            raise CannotAlter(f"truing: {crossing}", "Use a shorter reach, or name the seams to true.") from crossing
        both = {name: in_turn(evened.get(name), turned.get(name)) for name in {**evened, **turned}}
        turns = [abs(bend.turn) for ends in corners.values() for bend in ends.values() if abs(bend.turn) > SLIGHT]
        words = f"Trued {_count(len(turns), 'corner')} at seams"
        words += f", by at most {math.degrees(max(turns)):.1f} degrees" if turns else ""
        words += f", and evened {_count(len(self._uneven(garment)), 'seam')}"
        return finished(garment, self, words, {"reach": self.reach}, both)

    def _uneven(self, garment: Garment) -> list[tuple[Meeting, float]]:
        """Seams whose sides differ, each with the end at which it is evened, and by how much side a is too long."""
        found = []
        ends: dict[str, list[Meeting]] = {}
        for meeting in meetings(garment, self.seams):
            ends.setdefault(meeting.seam, []).append(meeting)
        for name, seam in single_seams(garment):
            if name in ends and UNEVEN < abs(off := seam_difference(garment, seam) or 0.0) <= self.most:
                found.append((max(ends[name], key=lambda meeting: _freedom(garment, meeting)), off))
        return found

    def _evened(self, garment: Garment) -> dict[str, Reshaped]:
        longer: dict[str, dict[tuple[str, bool], _Bend]] = {}
        for meeting, off in self._uneven(garment):
            for (piece, edge, at_start), by in ((meeting.one, -off / 2), (meeting.two, off / 2)):
                longer.setdefault(piece, {})[edge, at_start] = _Bend(longer=by)
        return reshaped(garment, {name: partial(_moved_ends, ends=ends, reach=self.reach) for name, ends in longer.items()})

    def _corners(self, garment: Garment) -> dict[str, dict[tuple[str, bool], _Bend]]:
        turns: dict[str, dict[tuple[str, bool], _Bend]] = {}
        for meeting in meetings(garment, self.seams):
            if not (meeting.one_line and SLIGHT < abs(meeting.gap) <= MEANT):
                continue
            free = [end for end in (meeting.beside_one, meeting.beside_two) if end[1] != garment.piece(end[0]).fold]
            for piece, edge, at_start in free:
                turns.setdefault(piece, {}).setdefault((edge, at_start), _Bend(turn=meeting.gap / len(free)))
        return turns


def _count(number: int, what: str) -> str:
    return f"{number or 'no'} {what}{'' if number == 1 else 's'}"


def _freedom(garment: Garment, meeting: Meeting) -> int:
    """How many of the edges beside an end can be redrawn without a partner."""
    seams = {(ref.piece, ref.edge) for seam in garment.seams for ref in (*seam.a, *seam.b)}
    free = 0
    for piece, edge, _ in (meeting.beside_one, meeting.beside_two):
        fate = garment.piece(piece).drawn_shape.edge(edge).fate
        free += (piece, edge) not in seams and fate is not None and fate.kind in FREE
    return free


# edges -------------------------------------------------------------------------------------------------------


def _bent(shape: Shape, ends: Mapping[tuple[str, bool], _Bend], reach: float) -> Reshaped:
    """Edges turned at their ends, the corners staying where they are."""
    edges = {edge.id: edge for edge in shape.edges}
    maps: dict[str, Runs] = {}
    for (name, at_start), bend in ends.items():
        path = edges[name].path
        new, runs = _redrawn(path, at_start, path.start if at_start else path.end, bend.turn, reach)
        maps[name] = chained(maps[name], runs) if name in maps else runs
        edges[name] = replace(edges[name], path=new)
    result = carried(shape, tuple(edges.values()), maps)
    refuse_crossings(result.shape)
    return result


def _moved_ends(shape: Shape, ends: Mapping[tuple[str, bool], _Bend], reach: float) -> Reshaped:
    """Edges made longer or shorter at their ends, their neighbours redrawn to the new corners."""
    edges = {edge.id: edge for edge in shape.edges}
    maps: dict[str, Runs] = {}
    for (name, at_start), bend in ends.items():
        path, runs = _longer(edges[name].path, at_start, bend.longer)
        maps[name] = chained(maps[name], runs) if name in maps else runs
        edges[name] = replace(edges[name], path=path)
        corner = path.start if at_start else path.end
        beside = _neighbour(shape, name, at_start)
        new, runs = _redrawn(edges[beside].path, not at_start, corner, 0.0, reach)
        maps[beside] = chained(maps[beside], runs) if beside in maps else runs
        edges[beside] = replace(edges[beside], path=new)
    result = carried(shape, tuple(edges.values()), maps)
    refuse_crossings(result.shape)
    return result


def _neighbour(shape: Shape, name: str, before: bool) -> str:
    k = next(k for k, edge in enumerate(shape.edges) if edge.id == name)
    found: Edge = shape.edges[k - 1] if before else shape.edges[(k + 1) % len(shape.edges)]
    return found.id


def _longer(path: Path, at_start: bool, by: float) -> tuple[Path, Runs]:
    length = path.length
    if by < 0 and length + by < 1.0:
        raise Crosses("nothing would be left of an edge")
    if by >= 0:
        new = extended(path, by, 0.0) if at_start else extended(path, 0.0, by)
        return new, ((0.0, length, by, length + by),) if at_start else ((0.0, length, 0.0, length),)
    if at_start:
        return path.between(-by, length), ((0.0, -by, 0.0, 0.0), (-by, length, 0.0, length + by))
    return path.between(0.0, length + by), (
        (0.0, length + by, 0.0, length + by),
        (length + by, length, length + by, length + by),
    )


def _redrawn(path: Path, at_start: bool, corner: Point, turn: float, reach: float) -> tuple[Path, Runs]:
    """A path redrawn over a reach from one end, which lies at a corner; turned there so that the piece's angle grows."""
    if at_start:
        # Counter-clockwise the piece lies on the left, so an edge that leaves more to the right makes the angle greater.
        return _from_start(path, corner, -turn, reach)
    there, runs = _from_start(path.reversed(), corner, turn, reach)
    old, new = path.length, there.length
    return there.reversed(), tuple((old - o2, old - o1, new - n2, new - n1) for o1, o2, n1, n2 in reversed(runs))


def _from_start(path: Path, corner: Point, turn: float, reach: float) -> tuple[Path, Runs]:
    length = path.length
    cut = min(reach, length / 2)
    kept, way = path.between(cut, length), Affine.rotation(turn)(path.start_tangent)
    chord = corner.distance(kept.start)
    first = Cubic(corner, corner + way * (chord / 3), kept.start - kept.start_tangent * (chord / 3), kept.start)
    new = first.length
    return Path((first, *kept.segments)), ((0.0, cut, 0.0, new), (cut, length, new, new + length - cut))
