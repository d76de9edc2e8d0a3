"""The waist of what hangs from it, where no level tells it: how far round it is when it is closed."""

from __future__ import annotations

import math

from firsthand.findings import Block, Finding, Severity, kind
from firsthand.fit import _places as places
from firsthand.fit.wearing._case import Case
from firsthand.fit.wearing._openings import Place, place_of
from firsthand.pattern import Closure, ClosureKind, EdgeRef, Garment, Hand, Piece, sewn_length
from firsthand.units import said

__all__ = ["closes_waist", "slipping", "waist_round", "waist_short"]

SHORT = kind(
    "waist-does-not-close",
    Severity.FAULT,
    "What hangs from the waist is smaller there, when it is closed, than the wearer's waist. Take a larger size, or make the "
    "waistband and the edge it is sewn to longer.",
)
SLIPS = kind(
    "waist-slips",
    Severity.DOUBT,
    "What hangs from the waist is so much larger there, when it is closed, that it slides down. Take a smaller size, or make "
    "the waistband and the edge it is sewn to shorter.",
)
HOLDS = 50.0
"""A closed waist this much larger than the body's, mm, slides down on to the hips (common practice)."""
DRAWN = frozenset({ClosureKind.ELASTIC, ClosureKind.DRAWSTRING})


def closes_waist(case: Case, closure: Closure) -> bool:
    """Whether a closure holds a waist that no row of the ease table tells of."""
    row = case.rows.get("waist_girth")
    if case.upper or closure.kind in DRAWN or (row is not None and row.finished is not None):
        return False
    if any(one.kind in DRAWN and places.is_one(places.WAIST, one.id) for one in case.garment.closures):
        return False
    openings = [one for one in case.garment.openings if one.closure == closure.id]
    return any(place_of(case.garment, one) is Place.WAIST for one in openings)


def waist_round(garment: Garment) -> float | None:
    """Its waist edges as they are sewn, mm: where they are sewn to a band, as long as that; None if it has none."""
    found = [
        _as_sewn(garment, EdgeRef(piece.id, edge.id, hand))
        for piece in places.shell_pieces(garment)
        if not places.is_one(places.BAND, piece.id, piece.name)
        for edge in piece.drawn_shape.edges
        if places.is_one(places.WAIST, edge.id)
        for hand in _hands(garment, piece)
    ]
    return math.fsum(found) if found else None


def _hands(garment: Garment, piece: Piece) -> tuple[Hand, ...]:
    if piece.fold:
        return (Hand.RIGHT, Hand.LEFT)
    return tuple(part.hand for part in garment.parts_of(piece.id) if part.role == "shell")


def _as_sewn(garment: Garment, ref: EdgeRef) -> float:
    length = _length(garment, (ref,))
    for seam in garment.seams:
        for mine, other in ((seam.a, seam.b), (seam.b, seam.a)):
            banded = all(places.is_one(places.BAND, one.piece, garment.pieces[one.piece].name) for one in other)
            if ref in mine and banded and _length(garment, mine) > 0:
                return length * _length(garment, other) / _length(garment, mine)
    return length


def _length(garment: Garment, refs: tuple[EdgeRef, ...]) -> float:
    return math.fsum(sewn_length(garment.pieces[ref.piece].drawn_shape, ref.edge) for ref in refs)


def waist_short(case: Case, closure: Closure) -> tuple[float, Finding] | None:
    """By how much it does not close, and what is said of it; None if it does."""
    round_, body = waist_round(case.garment), case.need("waist_girth")
    if round_ is None or body is None or round_ >= body:
        return None
    message = f"{closure.id}: the waist is {said(round_)} round when it is closed, {case.body.name}'s is {said(body)}"
    remedy = f"Make the waist and its band {said(body - round_)} longer at the least, or take a larger size."
    return body - round_, SHORT(
        message, where=(case.garment.id, closure.id), remedy=remedy, blocks=[Block("cut", case.garment.id)]
    )


def slipping(case: Case, closure: Closure) -> tuple[float, Finding] | None:
    """By how much it is too large to stay up, and what is said of it; None if it holds."""
    round_, body = waist_round(case.garment), case.need("waist_girth")
    if round_ is None or body is None or round_ <= body + HOLDS:
        return None
    message = f"{closure.id}: the waist is {said(round_)} round when it is closed, {case.body.name}'s is {said(body)}"
    remedy = f"Make the waist and its band {said(round_ - body)} shorter, less a little ease, or take a smaller size."
    return round_ - body, SLIPS(message, where=(case.garment.id, closure.id), remedy=remedy)
