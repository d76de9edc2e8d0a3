"""Lower and widen a neckline."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal

from firsthand.alter._making import sensible
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.follow import Moves
from firsthand.alter.moving.grounds import standing_of
from firsthand.alter.moving.lines import EdgeName, edge_names, moved_edges
from firsthand.alter.moving.profile import profile
from firsthand.alter.moving.reshape import Crosses, moved_by
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, Profile, Shape
from firsthand.units import Length, said

__all__ = ["Neckline"]

MOST = 500.0
"""More than this, mm, is a slip of the keyboard."""
ROUNDS = 12
"""How often the amounts at the two ends are corrected at most."""
NEAR = 1e-7
"""Corners are brought this near to where they are wanted, mm, so that the opposite amounts take it back."""
ENOUGH = 0.01
"""If they cannot be, this is near enough, mm."""


@ALTERATIONS.register("neckline")
@dataclass(frozen=True, slots=True)
class Neckline(Entry):
    """Lower a neckline at the centre and widen it at the shoulder; negative amounts raise and narrow it.

    The depth is measured down the centre line, the width along the shoulder. Between the two the new line runs smoothly, and at
    either end in the direction of the bought one: a neckline square to the fold stays square to it, and opened out has no point
    there. Front and back have the same width. Facings and linings of the same line move along; a collar has another line and
    is named as still to be altered. What drives it is the girth of the base of the neck.

    Parameters
    ----------
    depths
        Edges, each with how much lower it gets at the centre, mm, as ``[["front.neck", "2 cm"], ["back.neck", 0]]``.
    width
        How much wider at each shoulder, mm.
    centre
        Which end of the edges is at the centre, ``start`` or ``end``, where it cannot be seen: it is the end at the fold, or
        else the one beside an edge that is not sewn to another piece.
    with_partners
        Whether facings and linings that lie under a moved edge, and have its line, move along.
    """

    kind: ClassVar[str] = "neckline"
    driven_by: ClassVar[tuple[str, ...]] = ("neck_base_girth",)

    depths: tuple[tuple[str, Length], ...]
    width: Length = 0.0
    centre: Literal["", "start", "end"] = ""
    with_partners: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        wanted = self._wanted(garment)
        peak = max((self.width, *wanted.values()), key=abs)
        told = [f"{edge} of {piece} {'lowered' if depth > 0 else 'raised'} by {said(abs(depth))}"
                for (piece, edge), depth in wanted.items() if depth]  # fmt: skip
        told += [f"{said(abs(self.width))} {'wider' if self.width > 0 else 'narrower'} at each shoulder"] if self.width else []
        figures = {f"depth {'.'.join(name)}": depth for name, depth in wanted.items()} | {"width": self.width}
        return moved_edges(
            garment, self, f"Neckline: {', '.join(told) or 'as it was'}", peak,
            lambda amount: self._moves(garment, wanted, amount / peak if peak else 0.0),
            verb="cutting out by" if peak >= 0 else "filling in by", figures=figures, with_partners=self.with_partners,
        )  # fmt: skip

    def _wanted(self, garment: Garment) -> dict[EdgeName, float]:
        for amount in (self.width, *(depth for _, depth in self.depths)):
            sensible(amount, MOST)
        if not self.depths:
            raise CannotAlter("no edge is named", 'Name them with depths = [["front.neck", "2 cm"], ...].')
        wanted: dict[EdgeName, float] = {}
        for words, depth in self.depths:
            (name,) = edge_names(garment, [words])
            if name in wanted:
                raise CannotAlter(f"{words} is named twice", "Name each edge once.")
            wanted[name] = depth
        return wanted

    def _moves(self, garment: Garment, wanted: Mapping[EdgeName, float], share: float) -> Moves:
        moves: dict[str, dict[str, Profile]] = {}
        for (piece, edge), depth in wanted.items():
            shape = garment.piece(piece).drawn_shape
            at_start = self.centre or _centre(garment, piece, edge)
            ends = (depth * share, self.width * share)
            try:
                told = _solved(shape, edge, ends if at_start == "start" else ends[::-1])
            except Crosses as crossing:
                raise Crosses(f"on {piece} {crossing}") from crossing
            moves.setdefault(piece, {})[edge] = told
        return moves


def _centre(garment: Garment, piece: str, edge: str) -> str:
    """Which end of a neckline is at the centre."""
    before, after = _neighbours(garment.piece(piece).drawn_shape, edge)
    fold = garment.piece(piece).fold
    if fold in (before, after):
        return "start" if fold == before else "end"
    sewn = [_sewn_to_another(garment, piece, beside) for beside in (before, after)]
    if sewn[0] == sewn[1]:
        words = f"it cannot be seen which end of {piece}.{edge} is at the centre"
        raise CannotAlter(words, 'Write centre = "start" or centre = "end".')
    return "end" if sewn[0] else "start"


def _neighbours(shape: Shape, edge: str) -> tuple[str, str]:
    at = next(k for k, one in enumerate(shape.edges) if one.id == edge)
    return shape.edges[at - 1].id, shape.edges[(at + 1) % len(shape.edges)].id


def _sewn_to_another(garment: Garment, piece: str, edge: str) -> bool:
    for seam in garment.seams:
        for own, other in ((seam.a, seam.b), (seam.b, seam.a)):
            if any((ref.piece, ref.edge) == (piece, edge) for ref in own) and any(ref.piece != piece for ref in other):
                return True
    return False


def _solved(shape: Shape, edge: str, wanted: tuple[float, float]) -> Profile:
    """The profile that moves the ends of an edge along its neighbours by what is wanted at its start and its end, mm."""
    path = shape.edge(edge).path
    places = 0.0, standing_of(shape, edge).line.length
    amounts = [by * sine for by, sine in zip(wanted, _sines(shape, edge), strict=True)]
    for _ in range(ROUNDS):
        told = profile(zip(places, amounts, strict=True))
        moved = moved_by(shape, {edge: told}).shape.edge(edge).path
        got = [_sign(by) * one.distance(two) for by, one, two in zip(
            amounts, (path.start, path.end), (moved.start, moved.end), strict=True)]  # fmt: skip
        off = max(abs(one - two) for one, two in zip(got, wanted, strict=True))
        if off <= NEAR:
            return told
        amounts = [a * w / g if abs(g) > NEAR else a for a, w, g in zip(amounts, wanted, got, strict=True)]
    if off <= ENOUGH:
        return told
    raise Crosses(f"{edge} does not come to lie where it is wanted")


def _sines(shape: Shape, edge: str) -> tuple[float, float]:
    """Of the angles between an edge and its neighbours at both ends: how far it moves for how far its corner does."""
    own = shape.edge(edge).path
    before, after = (shape.edge(name).path for name in _neighbours(shape, edge))
    pairs = ((before.end_tangent, own.start_tangent), (own.end_tangent, after.start_tangent))
    return tuple(max(abs(one.cross(two)), 0.1) for one, two in pairs)  # type: ignore[return-value]  # two pairs


def _sign(amount: float) -> float:
    return math.copysign(1.0, amount)
