"""Seams made to fit again: corners of the pieces moved a little, the difference shared, the edges between them going along."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from firsthand.alter._seams import seam_difference, touched
from firsthand.alter.moving.chaining import in_turn, put_in
from firsthand.alter.moving.corners import corners_moved, edge_slopes, least_moves, ways
from firsthand.alter.moving.reshape import Crosses, Reshaped, refuse_crossings
from firsthand.geometry import Point
from firsthand.pattern import Garment, Seam, SeamKind, single_seams

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
        made = {name: corners_moved(now.piece(name).drawn_shape, far) for name, far in moves.items()}
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


def _least(
    garment: Garment, wanted: Sequence[tuple[Seam, float]], readiness: Mapping[str, float]
) -> dict[str, dict[int, Point]]:
    """The least movements of corners, by piece, that make sides of seams so much longer."""
    names = sorted({ref.piece for seam, _ in wanted for ref in (*seam.a, *seam.b)})
    readier = _gathered(garment, (seam for seam, _ in wanted))
    free = [(name, way) for name in names for way in ways(garment.piece(name).drawn_shape, garment.piece(name).fold)]
    ready = [readiness[name] * readier.get((name, way.corner), 1.0) for name, way in free]
    rows = []
    for seam, _ in wanted:
        slopes = _slopes(garment, seam)
        rows.append([slopes.get((name, way.corner), Point(0, 0)).dot(way.along) for name, way in free])
    moves: dict[str, dict[int, Point]] = {}
    for (name, way), by in zip(free, least_moves(rows, [by for _, by in wanted], ready), strict=True):
        of_piece = moves.setdefault(name, {})
        of_piece[way.corner] = of_piece.get(way.corner, Point(0, 0)) + way.along * by
    return {name: far for name, far in moves.items() if any(move.norm > 1e-9 for move in far.values())}


def _gathered(garment: Garment, seams: Iterable[Seam]) -> dict[tuple[str, int], float]:
    """The corners that give way more readily, because an edge between them is gathered, pleated or stretched on."""
    sides = (ref for seam in seams if seam.kind in FOLLOWS_A for ref in seam.a)
    return {(ref.piece, k): GATHERS for ref in sides for k in edge_slopes(garment.piece(ref.piece).drawn_shape, ref.edge)}


def _slopes(garment: Garment, seam: Seam) -> dict[tuple[str, int], Point]:
    """By how much the difference of a seam grows when a corner moves, as a vector."""
    found: dict[tuple[str, int], Point] = {}
    for refs, sign in ((seam.a, 1.0), (seam.b, -seam.ratio)):
        for ref in refs:
            for k, slope in edge_slopes(garment.piece(ref.piece).drawn_shape, ref.edge).items():
                found[ref.piece, k] = found.get((ref.piece, k), Point(0, 0)) + slope * sign
    return found
