"""The kernel of cutting: a piece cut along a line, one section moved rigidly, the edge joined again, everything carried."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from firsthand.alter.cutting.cuts import ON, Arc, Cut, Junction, Parted, Side
from firsthand.alter.cutting.placing import Moves, in_line, placed, with_dart
from firsthand.alter.moving.maps import Run, Runs, place
from firsthand.alter.moving.reaches import reaching
from firsthand.alter.moving.reshape import Crosses, Reshaped, carried, closed, refuse_crossings, tidied
from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Line, Path, Point, intersections
from firsthand.pattern import Edge, Shape

__all__ = ["Joint", "Sectioned", "moved_part", "moved_section"]

BLEND = 6.0
"""Where parted edges step after sections overlap, the step is blended over this many times its width on either side."""
RIGID = 1e-9
"""How far a motion may be from a turn and a shift."""


@dataclass(frozen=True, slots=True)
class Joint:
    """Where an edge was parted and joined again: arc lengths on the new edge between which nothing old lies."""

    edge: str
    start: float
    end: float

    @property
    def middle(self) -> float:
        """Arc length of its middle."""
        return (self.start + self.end) / 2


@dataclass(frozen=True, slots=True)
class Sectioned(Reshaped):
    """A shape of which one section was moved.

    Parameters
    ----------
    joints
        Where its edges were parted, in order from the start of the cut counter-clockwise; both ends of a joint are the same
        where nothing was put in (a hinge, a closed dart, an overlap).
    """

    joints: tuple[Joint, ...] = ()


@dataclass(frozen=True, slots=True)
class _Piece:
    """A stretch of an edge where it goes, less what is trimmed off its ends, and what of it a blend replaces."""

    arc: Arc
    path: Path
    trims: tuple[float, float] = (0.0, 0.0)
    held: tuple[float, float] = (0.0, 0.0)

    @property
    def kept(self) -> tuple[float, float]:
        """Arc lengths on its path between which it is kept."""
        return self.trims[0] + self.held[0], self.path.length - self.trims[1] - self.held[1]

    @property
    def start(self) -> Point:
        """Where what is kept begins."""
        return self.path.at(self.kept[0]) if self.kept[0] > 0 else self.path.start

    @property
    def end(self) -> Point:
        """Where what is kept ends."""
        return self.path.at(self.kept[1]) if self.kept[1] < self.path.length else self.path.end

    @property
    def left(self) -> Path:
        """What is kept."""
        start, end = self.kept
        if end - start < ON:
            raise Crosses(f"nothing would be left of {self.arc.edge} beside the cut")
        whole = self.kept == (0.0, self.path.length)
        return self.path if whole else self.path.between(start, end)

    def old(self, at: float) -> float:
        """Old arc length of a place on its path."""
        return self.arc.start + at * self.arc.length / self.path.length


def moved_section(shape: Shape, cut: Cut, motion: Affine, *, blends: bool = True) -> Sectioned:
    """Cut a shape along a line and move one of the two sections, with all that lies on it.

    The section that holds the middle of the grain line stays, or the one that ``cut.stays`` lies on; the other one moves. At
    each end of the cut the parted edge is joined: by a straight line over a gap; where the sections overlap, the one that
    moves is trimmed at the cut of the other, and a step that is left is blended by a straight line. The joint belongs to the
    edge that the cut's spot names: at a corner that decides which of its two edges grows. Darts, notches, pleats, inner lines
    and levels go with their section; a level or an inner line that crosses the cut is parted and joined and keeps its id. The
    grain line goes as a whole, with the section of its middle. A notch in what is trimmed is lost.

    Where the cut ends in a dart, the dart's wedge is the gap that closes or opens: its mouth follows; its point lies midway
    between the places to which either section takes it; a wedge that closes altogether is taken away.

    Parameters
    ----------
    shape, cut
        A shape, and where it is cut.
    motion
        A turn and a shift of the section that moves.
    blends
        Whether a step that is left where sections overlap is blended; else a straight line joins its two ends.

    Returns
    -------
    Sectioned
        The new shape, the maps of every edge that was parted (an edge that moves whole needs none), lost notches, and where the
        edges were joined.

    Raises
    ------
    GeometryError
        If the motion is not a turn and a shift.
    NotThere, CannotAlter
        If the cut is impossible: it leaves the piece, runs along the edge, or goes through a dart or a pleat.
    Crosses
        If the moved section would cross something, or too much would be overlapped.

    Examples
    --------
    >>> from firsthand.alter._spots import Spot
    >>> from firsthand.pattern import Corner
    >>> corners = [Point(0, 0), Point(200, 0), Point(200, 300), Point(0, 300)]
    >>> names = ("hem", "side", "waist", "centre")
    >>> edges = tuple(Edge(n, Corner(n), Path.line(a, b)) for n, a, b in zip(names, corners, corners[1:] + corners[:1]))
    >>> gore = Shape(edges, (Point(50, 20), Point(50, 280)))
    >>> wider = moved_section(gore, Cut(Spot("hem", 120.0), Spot("waist", 80.0)), Affine.translation(30, 0))
    >>> [(edge.id, edge.path.length) for edge in wider.shape.edges]
    [('hem', 230.0), ('side', 300.0), ('waist', 230.0), ('centre', 300.0)]
    >>> wider.maps["hem"]
    ((0.0, 120.0, 0.0, 120.0), (120.0, 200.0, 150.0, 230.0))
    """
    return moved_part(Parted(shape, cut), motion, blends=blends)


def moved_part(parted: Parted, motion: Affine, *, blends: bool = True) -> Sectioned:
    """One section of a shape that was cut already moved: see :func:`moved_section`."""
    _refuse_bent(motion)
    moves, shape = Moves(parted, motion, blends), parted.shape
    edges, maps, joints = _edges(moves)
    result = carried(placed(moves), edges, maps)
    result = replace(result, shape=reaching(shape, with_dart(moves, result.shape, maps)))
    _refuse_cut_into(shape, result.shape, maps)
    refuse_crossings(result.shape)
    return Sectioned(result.shape, maps, result.lost, joints)


def _refuse_bent(motion: Affine) -> None:
    stretch = max(abs(math.hypot(motion.a, motion.b) - 1), abs(motion.a - motion.d), abs(motion.b + motion.c))
    if stretch > RIGID:
        raise GeometryError("a section is moved by a turn and a shift, not bent or mirrored")


# edges -------------------------------------------------------------------------------------------------------


def _edges(moves: Moves) -> tuple[tuple[Edge, ...], dict[str, Runs], tuple[Joint, ...]]:
    """The edges joined again, what lies where on them, and where they were joined."""
    items = [item for edge in moves.parted.shape.edges for item in _items(moves, edge.id)]
    pieces: list[_Piece | Junction] = [_Piece(i, moves.stretch(i)) if isinstance(i, Arc) else i for i in items]
    for index, item in enumerate(pieces):
        if isinstance(item, Junction):
            _meet(moves, pieces, index)
    edges: list[Edge] = []
    maps: dict[str, Runs] = {}
    joints: dict[Junction, Joint] = {}
    for edge in moves.parted.shape.edges:
        built = _Built(moves, edge, [p for p in pieces if _edge_of(p) == edge.id], pieces)
        edges.append(built.edge())
        if built.is_parted:
            maps[edge.id] = built.ordered_runs()
        joints |= built.joints
    order = {junction: number for number, junction in enumerate(moves.parted.junctions)}
    found = tuple(joints[junction] for junction in sorted(joints, key=lambda j: order.get(j, len(order))))
    return closed(edges), maps, found


def _items(moves: Moves, edge: str) -> list[Arc | Junction]:
    """The stretches of an edge; the mouth of a dart that closes is left out and its two ends are one junction."""
    items = moves.parted.items(edge)
    if not moves.closes:
        return items
    return [
        replace(item, after=Side.LEFT) if isinstance(item, Junction) and item.after is Side.WEDGE else item
        for item in items
        if not (isinstance(item, Arc) and item.side is Side.WEDGE)
        and not (isinstance(item, Junction) and item.before is Side.WEDGE)
    ]


def _edge_of(item: _Piece | Junction) -> str:
    return item.edge if isinstance(item, Junction) else item.arc.edge


def _around(pieces: Sequence[_Piece | Junction], index: int) -> tuple[int, int]:
    """Indices of the stretches before and after a junction, round the outline."""
    count = len(pieces)
    found = []
    for step in (-1, 1):
        here = (index + step) % count
        while isinstance(pieces[here], Junction):
            here = (here + step) % count
        found.append(here)
    return found[0], found[1]


def _meet(moves: Moves, pieces: list[_Piece | Junction], index: int) -> None:
    """Trim the stretches on either side of a junction where they overlap, and hold what a blend replaces."""
    junction = pieces[index]
    one, two = _around(pieces, index)
    before, after = pieces[one], pieces[two]
    if not (isinstance(junction, Junction) and isinstance(before, _Piece) and isinstance(after, _Piece)):
        return
    if before.end.distance(after.start) <= ON or Side.WEDGE in (junction.before, junction.after):
        return
    closes = not junction.at_start and moves.parted.dart is not None
    if not closes and _is_gap(moves, junction, before.end, after.start):
        return
    if not closes:
        ray = moves.parted.run_on(start=junction.at_start)
        if junction.after is moves.parted.stays.other:
            after = replace(after, trims=(_first(after, ray), after.trims[1]))
        else:
            before = replace(before, trims=(before.trims[0], _first(before, ray, from_end=True)))
    step = before.end.distance(after.start)
    if moves.blends and step > ON and before.arc.edge == after.arc.edge:
        lengths = [piece.kept[1] - piece.kept[0] for piece in (before, after)]
        held = [min(BLEND * step, 0.45 * length) for length in lengths]
        before = replace(before, held=(before.held[0], held[0]))
        after = replace(after, held=(held[1], after.held[1]))
    pieces[one], pieces[two] = before, after


def _is_gap(moves: Moves, junction: Junction, end: Point, start: Point) -> bool:
    """Whether two sections stand apart at a junction: the next one lies onwards across the cut."""
    line = moves.parted.line
    across = -line.start_tangent.left if junction.at_start else line.end_tangent.left
    return (start - end).dot(across) >= -1e-12


def _first(piece: _Piece, ray: Path, *, from_end: bool = False) -> float:
    """How much of a stretch, from one end, has come to lie beyond the cut of the section that stays."""
    found = [crossing.at_a for crossing in intersections(piece.path, ray)]
    if not found:
        raise Crosses(f"all of {piece.arc.edge} beside the cut would be overlapped")
    return piece.path.length - max(found) if from_end else min(found)


class _Built:
    """An edge put together from its stretches."""

    def __init__(self, moves: Moves, edge: Edge, own: list[_Piece | Junction], all_pieces: Sequence[_Piece | Junction]) -> None:
        self.old = edge
        self.paths: list[Path] = []
        self.runs: list[tuple[bool, Run]] = []
        self.joints: dict[Junction, Joint] = {}
        self.reached = 0.0
        self._stays = moves.parted.stays
        self.is_parted = any(isinstance(item, Junction) for item in own) or any(
            isinstance(item, _Piece) and item.kept != (0.0, item.path.length) for item in own
        )
        for item in own:
            if isinstance(item, _Piece):
                self._add(item)
            else:
                before, after = (all_pieces[index] for index in _around(all_pieces, all_pieces.index(item)))
                if isinstance(before, _Piece) and isinstance(after, _Piece):
                    self._join(item, before, after)

    def _add(self, piece: _Piece) -> None:
        path = piece.left
        start, end = piece.kept
        self._run(piece, piece.old(start), piece.old(end), path.length)
        self.paths.append(path)

    def _run(self, piece: _Piece, start: float, end: float, long: float) -> None:
        """A stretch of old arc length lies on the next so many mm of the new edge."""
        moving = piece.arc.side is not self._stays
        self.runs.append((moving, (start, end, self.reached, self.reached + long)))
        self.reached += long

    def _join(self, junction: Junction, before: _Piece, after: _Piece) -> None:
        start, long = self.reached, before.end.distance(after.start)
        if long <= ON:
            self.joints[junction] = Joint(junction.edge, start, start)
            return
        self.paths.append(Path((Line(before.end, after.start),)))
        one, two = before.held[1], after.held[0]
        if not (one or two):
            self.reached += long
            self.joints[junction] = Joint(junction.edge, start, self.reached)
            return
        half = long * one / (one + two)
        self._run(before, before.old(before.kept[1]), before.old(before.kept[1] + one), half)
        middle = self.reached
        self._run(after, after.old(after.trims[0]), after.old(after.kept[0]), long - half)
        self.joints[junction] = Joint(junction.edge, middle, middle)

    def ordered_runs(self) -> Runs:
        """The runs; a position on the cut itself stays with the section that stays."""
        return tuple(run for _, run in sorted(self.runs, key=lambda item: item[0]))

    def edge(self) -> Edge:
        """The edge."""
        if not self.is_parted and len(self.paths) == 1:
            return self.old if self.paths[0] == self.old.path else replace(self.old, path=self.paths[0])
        path = tidied(in_line(self.paths))
        return replace(self.old, path=path)


def _refuse_cut_into(before: Shape, after: Shape, maps: dict[str, Runs]) -> None:
    """Refuse what would trim or stretch the mouth of a dart or the cloth of a pleat."""
    widths = {d.id: (d.at, d.width) for d in before.darts} | {p.id: (p.at, p.take_up) for p in before.pleats}
    marks = [(d.id, d.edge, d.at, d.width) for d in after.darts] + [(p.id, p.edge, p.at, p.take_up) for p in after.pleats]
    for name, edge, at, width in marks:
        old, wide = widths[name]
        if edge not in maps or abs(width - wide) > ON:  # the cut's own dart has another width
            continue
        ends = [place(maps[edge], old + sign * wide / 2) for sign in (-1, 1)]
        if any(end is None or abs(abs(end - at) - width / 2) > ON for end in ends):
            raise Crosses(f"{name} would be cut into")
