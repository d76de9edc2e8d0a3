"""Seams made to fit again: corners of the pieces moved a little, the difference shared, the edges between them going along."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from firsthand.alter._seams import seam_difference, touched
from firsthand.alter.moving.chaining import in_turn, put_in
from firsthand.alter.moving.maps import Run, Runs
from firsthand.alter.moving.reaches import reaching
from firsthand.alter.moving.reshape import Crosses, Reshaped, carried, refuse_crossings
from firsthand.geometry import Cubic, Line, Path, Point, Segment
from firsthand.pattern import EdgeRef, Garment, Pleat, Seam, SeamKind, Shape, single_seams

__all__ = ["evened", "uneven"]

FITS = 0.5
"""A seam that fitted fits again within this, mm."""
FINE = 0.05
"""What is evened is evened to this, mm."""
TRIES = 12
"""Lengths change almost in proportion to how far corners move, so that a few rounds do."""
GATHERS = 4.0
"""A corner of a side that is gathered, pleated or stretched to the other moves so many times as readily as others."""
FOLLOWS_A = frozenset({SeamKind.GATHERED, SeamKind.PLEATED, SeamKind.STRETCHED})
FARTHEST = 60.0
"""A corner that would have to move farther than this, mm, is not there to even a seam."""

CornerAt = tuple[str, int]
"""A piece and the number of the edge that begins in the corner."""
Moves = dict[CornerAt, Point]


def evened(before: Garment, changed: Mapping[str, Reshaped], readiness: Mapping[str, float]) -> dict[str, Reshaped]:
    """Changed pieces whose seams that fitted before fit again within half a millimetre.

    All seams are evened at once, by the least movement of corners that does it. The edges between go along in proportion, as
    does what lies on them; a fold stays where it is and straight.

    Parameters
    ----------
    before
        The garment before the change.
    changed
        Its changed pieces.
    readiness
        The pieces that may give way, each with how readily: one of 4 moves four times as far as one of 1. Seams with another
        piece in them are left as they are.

    Raises
    ------
    Crosses
        If an outline would cross itself.
    """
    now, found = put_in(before, changed), dict(changed)
    for _ in range(TRIES):
        wanted = _wanted(before, now, readiness)
        if all(abs(by) <= FINE for _, by in wanted):
            break
        moves = _least(now, wanted, readiness)
        made = {name: _moved(now.piece(name).drawn_shape, name, moves) for name in {piece for piece, _ in moves}}
        now = put_in(now, made)
        found |= {name: in_turn(found.get(name), result) for name, result in made.items()}
    for name in found:
        try:
            refuse_crossings(found[name].shape)
        except Crosses as crossing:
            raise Crosses(f"on {name} {crossing}") from crossing
    return found


def uneven(before: Garment, changed: Mapping[str, Reshaped], names: Iterable[str]) -> dict[str, float]:
    """Seams between some pieces that fitted before, and by how much each is to be evened, mm; right and left are one."""
    wanted = _wanted(before, put_in(before, changed), dict.fromkeys(names, 1.0))
    single = {seam.id: name for name, seam in single_seams(before)}
    return {single[seam.id]: abs(by) for seam, by in wanted if abs(by) > FINE and seam.id in single}


def _wanted(before: Garment, now: Garment, readiness: Mapping[str, float]) -> list[tuple[Seam, float]]:
    """Seams that are to fit, and by how much side a has to become longer against what it should be, mm."""
    found = []
    for seam in before.seams:
        if not touched(before, now, seam) or any(ref.piece not in readiness for ref in (*seam.a, *seam.b)):
            continue
        was, off = seam_difference(before, seam), seam_difference(now, seam)
        if was is None or off is None or abs(was) > seam.tolerance + 1e-9:
            continue
        most = FITS - 2 * FINE
        found.append((seam, min(max(was, -most), most) - off))
    return found


# the least movement ------------------------------------------------------------------------------------------


def _least(garment: Garment, wanted: Iterable[tuple[Seam, float]], readiness: Mapping[str, float]) -> Moves:
    """The least movements of corners that make sides of seams so much longer: least squares, those readier to move cheaper."""
    import numpy as np  # late: it is seldom wanted

    seams = list(wanted)
    ways = _ways(garment, {ref.piece for seam, _ in seams for ref in (*seam.a, *seam.b)})
    readier = _gathered(garment, (seam for seam, _ in seams))
    columns = [(corner, way, readiness[corner[0]] * readier.get(corner, 1.0)) for corner in ways for way in ways[corner]]
    system = np.zeros((len(seams), len(columns)))
    for row, (seam, _) in enumerate(seams):
        slopes = _slopes(garment, seam)
        system[row] = [slopes.get(corner, Point(0, 0)).dot(way) * ready for corner, way, ready in columns]
    answer = np.linalg.lstsq(system, np.array([by for _, by in seams]), rcond=1e-6)[0]
    moves: Moves = {}
    for (corner, way, ready), by in zip(columns, answer, strict=True):
        moves[corner] = moves.get(corner, Point(0, 0)) + way * (float(by) * ready)
    farthest = max((move.norm for move in moves.values()), default=0.0)
    if farthest > FARTHEST:
        raise Crosses("seams between pieces would not fit any more")
    return {corner: move for corner, move in moves.items() if move.norm > 1e-9}


def _ways(garment: Garment, names: Iterable[str]) -> dict[CornerAt, tuple[Point, ...]]:
    """The directions in which each corner may move: any, but along the fold only at the ends of a fold."""
    found: dict[CornerAt, tuple[Point, ...]] = {}
    for name in sorted(names):
        piece = garment.piece(name)
        edges = piece.drawn_shape.edges
        for k, edge in enumerate(edges):
            fold = next((one for one in (edges[k - 1], edge) if one.id == piece.fold), None)
            free = (Point(1, 0), Point(0, 1))
            found[name, k] = free if fold is None else ((fold.path.end - fold.path.start).unit(),)
    return found


def _gathered(garment: Garment, seams: Iterable[Seam]) -> dict[CornerAt, float]:
    """The corners that give way more readily, because an edge between them is gathered, pleated or stretched on."""
    found: dict[CornerAt, float] = {}
    for ref in (ref for seam in seams if seam.kind in FOLLOWS_A for ref in seam.a):
        k, count = _number(garment, ref)
        found |= {(ref.piece, k): GATHERS, (ref.piece, (k + 1) % count): GATHERS}
    return found


def _number(garment: Garment, ref: EdgeRef) -> tuple[int, int]:
    edges = garment.piece(ref.piece).drawn_shape.edges
    return next(k for k, edge in enumerate(edges) if edge.id == ref.edge), len(edges)


def _slopes(garment: Garment, seam: Seam) -> dict[CornerAt, Point]:
    """By how much the difference of a seam grows when a corner moves, as a vector.

    An edge that goes along in proportion grows by the part of the movement along its chord, times chord over arc.
    """
    found: dict[CornerAt, Point] = {}
    for refs, sign in ((seam.a, 1.0), (seam.b, -seam.ratio)):
        for ref in refs:
            path = garment.piece(ref.piece).drawn_shape.edge(ref.edge).path
            k, count = _number(garment, ref)
            slope = (path.end - path.start) * (sign / path.length)
            for corner, by in (((ref.piece, k), -slope), ((ref.piece, (k + 1) % count), slope)):
                found[corner] = found.get(corner, Point(0, 0)) + by
    return found


# moving ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Shift:
    """How a path goes along with its ends: in proportion to the arc."""

    start: Point
    end: Point
    length: float

    @property
    def rate(self) -> Point:
        return (self.end - self.start) * (1 / self.length)

    def at(self, arc: float) -> Point:
        return self.start + self.rate * arc

    def segment(self, segment: Segment, arc: float) -> Segment:
        one, two = self.at(arc), self.at(arc + segment.length)
        if isinstance(segment, Line):
            return Line(segment.a + one, segment.b + two)
        a, b, c, d = segment.a, segment.b, segment.c, segment.d
        handles = self.rate * a.distance(b), self.rate * c.distance(d)
        return Cubic(a + one, b + one + handles[0], c + two - handles[1], d + two)

    def path(self, path: Path) -> tuple[Path, Runs]:
        made: list[Segment] = []
        runs: list[Run] = []
        old = new = 0.0
        for segment in path:
            made.append(self.segment(segment, old))
            long, now = segment.length, made[-1].length
            runs.append((old, old + long, new, new + now))
            old, new = old + long, new + now
        return Path(tuple(made)), tuple(runs)


def _moved(shape: Shape, name: str, moves: Mapping[CornerAt, Point]) -> Reshaped:
    still, count = Point(0, 0), len(shape.edges)
    shifts, edges, maps = {}, [], {}
    for k, edge in enumerate(shape.edges):
        shift = _Shift(moves.get((name, k), still), moves.get((name, (k + 1) % count), still), edge.path.length)
        if shift.start.norm or shift.end.norm:
            path, maps[edge.id] = shift.path(edge.path)
            shifts[edge.id], edge = shift, replace(edge, path=path)
        edges.append(edge)
    placed = replace(
        shape,
        darts=tuple(replace(d, apex=d.apex + shifts[d.edge].at(d.at)) if d.edge in shifts else d for d in shape.darts),
        pleats=tuple(_pleat(pleat, shifts.get(pleat.edge)) for pleat in shape.pleats),
    )
    result = carried(placed, tuple(edges), maps)
    return replace(result, shape=reaching(shape, result.shape))


def _pleat(pleat: Pleat, shift: _Shift | None) -> Pleat:
    if shift is None or pleat.towards is None:
        return pleat
    return replace(pleat, towards=pleat.towards + shift.at(pleat.at))
