"""The seams at which the fit may be changed, and where levels cross them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from firsthand.alter.moving.chains import Link, chains, place_along
from firsthand.alter.moving.profile import amounts_of
from firsthand.errors import FirsthandError
from firsthand.fit.model import EaseRow
from firsthand.pattern import UNDER_ROLES, EdgeRef, Garment, Part, PartState, Seam, SeamKind, stem

__all__ = ["Movable", "Station", "movable_seams"]

CENTRE_COSTS = 3.0
"""A centre seam is moved for so much more than a side seam: side seams first (common practice)."""
SAME = 2.0
"""Levels that cross a seam this near to each other, mm, cross it at one place."""
MOST = 480.0
"""Nothing is taken in or let out by more than this, mm of girth; what is more counts as a slip."""
PLAIN = (SeamKind.PLAIN, SeamKind.LAPPED, SeamKind.STRETCHED)


@dataclass(frozen=True, slots=True)
class Station:
    """A place along a seam where an amount can be told.

    Parameters
    ----------
    levels
        Ids of the levels that cross the seam there.
    at
        How far along it, mm of sewn length.
    moved
        How far its edges were moved in already by earlier alterations, mm.
    """

    levels: tuple[str, ...]
    at: float
    moved: float = 0.0


@dataclass(frozen=True, slots=True)
class Movable:
    """A seam that can be moved, right and left as one.

    Parameters
    ----------
    name
        Its id, or the name common to the right and the left one.
    also
        Names of seams of layers beneath that move with it.
    edges
        How many edges move: two for each single seam.
    stations
        In the order in which they lie along the seam.
    cost
        How unwillingly it is moved, compared with a side seam.
    least, most
        How far an edge can be let out (negative) and taken in, mm.
    held
        Why it cannot be let out further, in words.
    """

    name: str
    also: tuple[str, ...]
    edges: int
    stations: tuple[Station, ...]
    cost: float
    least: float
    most: float
    held: str = ""

    @property
    def seams(self) -> tuple[str, ...]:
        """All names, as an alteration tells them."""
        return (self.name, *self.also)


def movable_seams(garment: Garment, rows: Sequence[EaseRow], keep: Iterable[str] = ()) -> tuple[Movable, ...]:
    """The seams that may be moved, each with the levels that cross it.

    Those that the pattern offers for taking in; if it offers none, all plain seams across which a level of both their sides
    runs on: so no armhole, neckline or waist seam, and none with an edge of a closure or a fold.

    Parameters
    ----------
    rows
        Those levels count whose ease and band are known.
    keep
        Ids of seams that stay, or names common to a right and a left one.
    """
    kept = set(keep)
    free = [seam for seam in garment.seams if seam.id not in kept and stem(seam.id) not in kept]
    offered = [seam for seam in free if seam.take_in]
    anyhow = any(seam.take_in for seam in garment.seams)
    groups: dict[str, list[Seam]] = {}
    for seam in offered if anyhow else [seam for seam in free if _may_move(garment, seam)]:
        groups.setdefault(stem(seam.id), []).append(seam)
    levels = [row.level for row in rows if row.ease is not None and row.band is not None]
    outer = {name: seams for name, seams in groups.items() if seams[0].a[0].role not in UNDER_ROLES}
    under = {name: seams for name, seams in groups.items() if name not in outer}
    found = []
    for name, seams in outer.items():
        stations = _stations(garment, seams[0], levels, both=not anyhow)
        if stations:
            also = tuple(other for other, beneath in under.items() if _goes_with(name, seams, other, beneath, list(outer)))
            found.append(_movable(garment, name, also, seams, stations))
    return tuple(found)


def _movable(
    garment: Garment, name: str, also: tuple[str, ...], seams: Sequence[Seam], stations: tuple[Station, ...]
) -> Movable:
    edges = 2 * len(seams)
    most = MOST / edges
    inlay = _inlay(garment, [ref for seam in seams for ref in (*seam.a, *seam.b)])
    least, held = (-most, "") if inlay is None else (-min(inlay, most), "its edges are cut, and there is no more inlay")
    cost = CENTRE_COSTS if _is_centre(seams[0]) else 1.0
    return Movable(name, also, edges, stations, cost, least, most, held)


def _is_centre(seam: Seam) -> bool:
    """Whether it joins an edge to its own mirror image, as down the centre of the back."""
    one, two = seam.a[0], seam.b[0]
    return (one.piece, one.edge) == (two.piece, two.edge) or "centre" in seam.id.split()


def _goes_with(name: str, seams: Sequence[Seam], other: str, beneath: Sequence[Seam], outer: Sequence[str]) -> bool:
    """Whether a seam of a layer beneath moves with one of the outer layer: of the same edges, or named after it."""
    mine, theirs = ({(ref.piece, ref.edge) for seam in some for ref in (*seam.a, *seam.b)} for some in (seams, beneath))
    if mine & theirs:
        return True
    named = max((one for one in outer if other.startswith(one)), key=len, default="")
    return named == name or (not named and len(outer) == 1)


def _may_move(garment: Garment, seam: Seam) -> bool:
    refs = (*seam.a, *seam.b)
    closed = {(ref.piece, ref.edge) for closure in garment.closures for ref in closure.edges}
    if seam.kind not in PLAIN or any((ref.piece, ref.edge) in closed for ref in refs):
        return False
    return all(_has_outline(garment, ref) for ref in refs)


def _has_outline(garment: Garment, ref: EdgeRef) -> bool:
    """Whether an edge belongs to a piece with an outline, and does not lie on the fold."""
    piece = garment.pieces.get(ref.piece)
    return piece is not None and piece.shape is not None and piece.fold != ref.edge


def _stations(garment: Garment, seam: Seam, levels: Iterable[str], *, both: bool) -> tuple[Station, ...]:
    try:
        sides = chains(garment, seam)
    except FirsthandError:
        return ()
    found: list[tuple[float, str]] = []
    for level in levels:
        try:
            at, _ = place_along(seam.id, sides, f"level {level}")
        except FirsthandError:
            continue
        if not both or all(_carried(side, level) for side in sides):
            found.append((at, level))
    merged: list[Station] = []
    for at, level in sorted(found):
        if merged and at - merged[-1].at < SAME:
            merged[-1] = replace(merged[-1], levels=(*merged[-1].levels, level))
        else:
            merged.append(Station((level,), at, _moved(garment, sides[0], at)))
    return tuple(merged)


def _moved(garment: Garment, side: Sequence[Link], at: float) -> float:
    """How far the edge that a place along a side lies on was moved already, from the line it had at first."""
    link = next((one for one in side if at <= one.start + one.length + SAME), side[-1])
    ground = garment.piece(link.piece).drawn_shape.edge(link.edge).ground
    return amounts_of(ground.profiles).at(link.place(at))[0] if ground else 0.0


def _carried(side: tuple[Link, ...], level: str) -> bool:
    try:
        place_along("", (side, side), f"level {level}")
    except FirsthandError:
        return False
    return True


def _inlay(garment: Garment, refs: Iterable[EdgeRef]) -> float | None:
    """The least inlay of edges that are cut already; None if none is."""
    found = []
    for ref in refs:
        parts = [part for part in garment.parts if part.piece == ref.piece and part.role == ref.role]
        shape = garment.piece(ref.piece).shape
        if shape is not None and any(_is_cut(part) for part in parts):
            found.append(shape.edge(ref.edge).inlay)
    return min(found, default=None)


def _is_cut(part: Part) -> bool:
    return part.state in (PartState.CUT, PartState.SEWN)
