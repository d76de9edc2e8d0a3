"""What must follow a moved edge: facings, linings and stays that lie under it, and what is sewn to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from firsthand.alter.moving.chains import Link, chains
from firsthand.alter.moving.grounds import ground_shape
from firsthand.alter.moving.profile import merged, profile
from firsthand.errors import FirsthandError
from firsthand.findings import Finding, Severity, kind
from firsthand.geometry import Path, Point
from firsthand.pattern import UNDER_ROLES, EdgeRef, Garment, Profile, Seam, sewn_length

__all__ = ["PARTNER_STAYS", "Moves", "followers", "partners_left"]

PARTNER_STAYS = kind(
    "partner-edge-stays",
    Severity.DOUBT,
    "An edge was moved, and an edge of another piece that is sewn to it, or lies under it, was not, for it has another line: a "
    "collar, a facing, a sleeve head. Alter or draw it anew to suit; the walk along the seam says by how much it is off.",
)

Moves = Mapping[str, Mapping[str, Profile]]
"""How far edges move inwards, by piece and edge."""

LOOKED_AT = 16
"""Lines are compared in so many places."""
ALIKE = 0.5
"""Lines that stray no further from each other, mm, are one line: the width of a pencil line."""
STRAIGHT = 1.0
"""A line that strays no further from its chord, mm, is taken for straight."""


@dataclass(frozen=True, slots=True)
class _Pair:
    """A moved edge and one of another piece that belongs to it."""

    moved: Link
    other: Link
    under: bool
    """Whether one of the two lies under the other, rather than being joined to it edge to edge."""


def followers(garment: Garment, moves: Moves) -> dict[str, dict[str, Profile]]:
    """How far edges move that lie under moved ones and have the same line.

    An edge of another piece lies under a moved one if it is cut only in roles that lie under others and is sewn to it, or is
    curved and has just its line.
    """
    found: dict[str, dict[str, Profile]] = {}
    for pair in _pairs(garment, moves):
        if pair.under and _same_line(pair):
            told = moves[pair.moved.piece][pair.moved.edge]
            found.setdefault(pair.other.piece, {})[pair.other.edge] = _carried(pair, told)
    return found


def partners_left(garment: Garment, moves: Moves, alteration: str) -> tuple[Finding, ...]:
    """A finding for each edge of another piece that is sewn to a moved one, or lies under it, and was not moved."""
    left: dict[str, str] = {}
    told = {piece: {edge: one for edge, one in edges.items() if merged([one])} for piece, edges in moves.items()}
    for pair in _pairs(garment, told):
        if pair.other.edge not in moves.get(pair.other.piece, {}):
            left.setdefault(f"{pair.other.piece}.{pair.other.edge}", f"{pair.moved.piece}.{pair.moved.edge}")
    return tuple(
        PARTNER_STAYS(
            f"{alteration} moves {moved}; {other} belongs to it and was not moved",
            where=(garment.id, alteration, *other.split(".", 1)),
            remedy=f"Alter {other} to suit, or draw it anew.",
        )
        for other, moved in left.items()
    )


# what belongs to a moved edge --------------------------------------------------------------------------------


def _pairs(garment: Garment, moves: Moves) -> Iterator[_Pair]:
    sewn: set[tuple[str, str]] = set()
    for seam in garment.seams:
        for pair in _sewn_pairs(garment, seam, moves):
            sewn.add((pair.other.piece, pair.other.edge))
            yield pair
    for name, piece in garment.pieces.items():
        if name in moves or piece.shape is None or not _lies_under(garment, name):
            continue
        for edge in piece.shape.edges:
            if (name, edge.id) not in sewn and edge.id != piece.fold:
                yield from _loose_pairs(garment, moves, name, edge.id)


def _lies_under(garment: Garment, piece: str) -> bool:
    """Whether all that is cut of a piece lies under something else."""
    return all(cut.role in UNDER_ROLES for cut in garment.piece(piece).cuts)


def _sewn_pairs(garment: Garment, seam: Seam, moves: Moves) -> Iterator[_Pair]:
    refs = (*seam.a, *seam.b)
    if not any(ref.edge in moves.get(ref.piece, {}) for ref in refs):
        return
    try:
        one, two = chains(garment, seam)
    except FirsthandError:  # a seam that cannot be walked is found by its own check
        return
    for (side, own), (across, others) in (((one, seam.a), (two, seam.b)), ((two, seam.b), (one, seam.a))):
        for link, ref in zip(side, own, strict=True):
            if ref.edge not in moves.get(ref.piece, {}):
                continue
            for other, there in zip(across, others, strict=True):
                beside = min(link.start + link.length, other.start + other.length) - max(link.start, other.start)
                if (there.piece, there.edge) != (ref.piece, ref.edge) and beside > 1.0:
                    yield _Pair(link, other, _is_under(garment, ref, there))


def _is_under(garment: Garment, one: EdgeRef, two: EdgeRef) -> bool:
    return one.piece != two.piece and (_lies_under(garment, one.piece) or _lies_under(garment, two.piece))


def _loose_pairs(garment: Garment, moves: Moves, piece: str, edge: str) -> Iterator[_Pair]:
    """Moved edges whose curved line an edge of a piece that lies under others has, though no seam says so."""
    other = _whole(garment, piece, edge, forwards=True)
    for name, edges in moves.items():
        for moved in edges:
            link = _whole(garment, name, moved, forwards=True)
            if abs(link.length - other.length) > ALIKE or _depth(link.shape.edge(moved).path) <= STRAIGHT:
                continue
            for way in (True, False):
                pair = _Pair(link, _whole(garment, piece, edge, forwards=way), under=True)
                if _same_line(pair):
                    yield pair
                    break


def _whole(garment: Garment, piece: str, edge: str, *, forwards: bool) -> Link:
    shape = ground_shape(garment.piece(piece).drawn_shape)
    return Link(piece, edge, shape, forwards, 0.0, sewn_length(shape, edge))


# lines -------------------------------------------------------------------------------------------------------


def _depth(path: Path) -> float:
    """How far a line strays from its chord, mm."""
    return max(abs(height) for height in _heights(path, [path.length * k / LOOKED_AT for k in range(LOOKED_AT + 1)]))


def _heights(path: Path, places: list[float]) -> list[float]:
    """How far places on a line lie beside its chord, mm, towards the inside of the piece."""
    start, end = path.start, path.end
    if start.distance(end) < 1e-6:
        return [0.0 for _ in places]
    along = (end - start).unit()
    return [_beside(path.at(place) - start, along) for place in places]


def _beside(point: Point, along: Point) -> float:
    return along.cross(point)


def _same_line(pair: _Pair) -> bool:
    """Whether two edges could lie on each other, the insides of their pieces on the same side."""
    if abs(pair.moved.length - pair.other.length) > ALIKE:
        return False
    one, two = (link.shape.edge(link.edge).path for link in (pair.moved, pair.other))
    if abs(one.length - two.length) > ALIKE or abs(one.start.distance(one.end) - two.start.distance(two.end)) > ALIKE:
        return False
    places = [one.length * k / LOOKED_AT for k in range(LOOKED_AT + 1)]
    there = [_across(pair, place) for place in places]
    heights = zip(_heights(one, places), _heights(two, there), strict=True)
    return all(abs(a - b) <= ALIKE for a, b in heights)


def _across(pair: _Pair, at: float) -> float:
    """The place on the other edge for one on the moved edge; beyond the ends both run on."""
    return pair.other.place(pair.moved.sewn(at) - pair.moved.start + pair.other.start)


def _carried(pair: _Pair, told: Profile) -> Profile:
    """The profile of a moved edge as one of the edge that lies under it."""
    if len(told.stations) == 1:
        return told
    return profile((_across(pair, at), amount) for at, amount in told.stations)
