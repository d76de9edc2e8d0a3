"""Openings of a garment: where each lies, how large it becomes, and which levels are open."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from firsthand.errors import FirsthandError
from firsthand.fit import _places as places
from firsthand.fit.wearing._case import Case
from firsthand.fit.wearing._table import ELASTIC
from firsthand.geometry import Path, Point, intersections
from firsthand.pattern import (
    INTERFACINGS,
    Closure,
    ClosureKind,
    EdgeRef,
    Garment,
    InnerLineKind,
    Opening,
    Piece,
    sewn_length,
)
from firsthand.units import said

__all__ = ["Hole", "Place", "closure_of", "hole", "neckline", "opened_edges", "opened_levels", "opens_all_the_way", "place_of"]


FOLDED = 1.0
"""An edge whose middle lies this near to the end of a fold, mm, is folded in two there."""


class Place(StrEnum):
    """Where an opening lies."""

    WRAP = "opens all the way"
    ARMHOLE = "armhole"
    WRIST = "wrist"
    LEG = "leg"
    NECK = "neck"
    WAIST = "waist"
    FACE = "face"
    HEM = "hem"
    UNKNOWN = ""


@dataclass(frozen=True, slots=True)
class Hole:
    """How large an opening is with its closure open: at rest and at full stretch, mm; None where a piece is a card."""

    rest: float | None
    full: float | None
    why: tuple[str, ...] = ()


_ORDER = (
    (places.ARMHOLE, Place.ARMHOLE), (places.WRIST, Place.WRIST), (places.LEG, Place.LEG), (places.NECK, Place.NECK),
    (places.WAIST, Place.WAIST), (places.FACE, Place.FACE), (places.HEM, Place.HEM),
)  # fmt: skip


def place_of(garment: Garment, opening: Opening) -> Place:
    """Where an opening lies, by the words of its id, else by those of most of its edges."""
    named = places.words_of(opening.id)
    if named & places.HEM and named & (places.FRONT | places.NECK | frozenset({"centre", "opening"})):
        return Place.WRAP
    found = next((place for words, place in _ORDER if named & words), None)
    if found is None:
        votes = [next((p for words, p in _ORDER if places.words_of(ref.edge) & words), None) for ref in opening.edges]
        known = [vote for vote in votes if vote is not None]
        found = max(known, key=known.count) if known else Place.UNKNOWN
    if found is Place.HEM:
        on = {ref.piece for ref in opening.edges}
        names = [word for name in on for word in (name, garment.pieces[name].name if name in garment.pieces else "")]
        if places.is_one(places.SLEEVE, *names):
            return Place.WRIST
        if len({ref.hand for ref in opening.edges}) == 1 and len(opening.edges) > 1 and _forked(garment):
            return Place.LEG
    return found


def _forked(garment: Garment) -> bool:
    return places.has_edge(places.shell_pieces(garment), places.CROTCH | frozenset({"inseam"}))


def closure_of(garment: Garment, opening: Opening) -> Closure | None:
    """The closure that an opening names, if it is there."""
    return next((closure for closure in garment.closures if closure.id == opening.closure), None)


# how large --------------------------------------------------------------------------------------------------


def hole(case: Case, opening: Opening) -> Hole:
    """How large an opening is when its closure is open."""
    shell = {(ref.piece, ref.edge, ref.hand) for ref in opening.edges if ref.role == "shell"}
    outer = [ref for ref in opening.edges if ref.role == "shell" or (ref.piece, ref.edge, ref.hand) not in shell]
    seen = _sum(case, outer)
    closure = closure_of(case.garment, opening)
    if closure is None or seen.rest is None or seen.full is None or closure.kind is not ClosureKind.ELASTIC:
        return seen
    elastics = [item.length for item in case.garment.haberdashery if item.kind == "elastic" and item.length > 0]
    many = sum(1 for one in case.garment.closures if one.kind is ClosureKind.ELASTIC)
    if len(elastics) != 1 or many != 1:
        return seen
    reach = elastics[0] * ELASTIC[0]
    why = (*seen.why, f"its elastic of {said(elastics[0])} can be drawn out to about {said(reach)}")
    return Hole(min(seen.rest, reach), min(seen.full, reach), why)


def _sum(case: Case, refs: Iterable[EdgeRef]) -> Hole:
    rest = full = 0.0
    why: dict[str, None] = {}
    for ref in refs:
        piece = case.garment.pieces.get(ref.piece)
        if piece is None or piece.shape is None:
            return Hole(None, None, (f"{ref.piece} is only a card",))
        try:
            length, factor = _in_round(case.garment, piece, ref), _stretched(case, piece, ref)
        except FirsthandError as error:
            return Hole(None, None, (str(error),))
        rest, full = rest + length, full + length * factor
        why[f"{ref}: {said(length)}"] = None
    return Hole(rest, full, tuple(why))


def _in_round(garment: Garment, piece: Piece, ref: EdgeRef) -> float:
    """What an edge gives to an opening: the end of a folded band half of itself, what a band runs on to lap over nothing.

    The run-on is in the band's other long side as well, and lies beside the opening.
    """
    length = _edge_now(garment, piece, ref)
    if ref.edge == "lap":
        return -length
    path = piece.drawn_shape.edge(ref.edge).path
    folds = [line.path for line in piece.drawn_shape.lines if line.kind is InnerLineKind.FOLD]
    ends = [point for fold in folds for point in (fold.start, fold.end)]
    middle = path.at(path.length / 2)
    return length / 2 if any(point.distance(middle) < FOLDED for point in ends) else length


def _edge_now(garment: Garment, piece: Piece, ref: EdgeRef) -> float:
    """Its length once it is sewn: an edge gathered or eased into another one is only as long as its share of that."""
    length = sewn_length(piece.drawn_shape, ref.edge)
    for seam in garment.seams:
        for mine, other in ((seam.a, seam.b), (seam.b, seam.a)):
            if ref in mine:
                return length * _ratio(garment, mine, other)
    return length


def _ratio(garment: Garment, mine: tuple[EdgeRef, ...], other: tuple[EdgeRef, ...]) -> float:
    def total(refs: tuple[EdgeRef, ...]) -> float:
        shapes = ((garment.pieces[ref.piece].drawn_shape, ref.edge) for ref in refs)
        return math.fsum(sewn_length(shape, edge) for shape, edge in shapes)

    here, there = total(mine), total(other)
    return min(1.0, there / here) if here > 0 else 1.0


def _stretched(case: Case, piece: Piece, ref: EdgeRef) -> float:
    """By how much an edge becomes longer at full stretch: across the grain by one share, along it by the other.

    Only of shell, and not where it is interfaced.
    """
    fused = any(cut.role in INTERFACINGS for cut in piece.cuts)
    if ref.role != "shell" or fused or (case.stretch <= 0 and case.along <= 0):
        return 1.0
    shape, up = piece.drawn_shape, piece.drawn_shape.up
    before = after = 0.0
    points = shape.edge(ref.edge).path.flattened(0.2)
    for a, b in itertools.pairwise(points):
        run = b - a
        high, wide = up.dot(run), up.cross(run)
        before += math.hypot(high, wide)
        after += math.hypot(high * (1 + case.along), wide * (1 + case.stretch))
    return after / before if before > 0 else 1.0


def neckline(case: Case) -> Hole | None:
    """A neck that is no opening of its own, as its edge is sewn to a lining: the edge, and the closures that begin at it."""
    garment = case.garment
    refs: list[EdgeRef] = []
    for piece in places.shell_pieces(garment):
        if places.is_one(places.NECK, piece.id) or places.is_one(places.SLEEVE, piece.id):
            continue
        ids = [edge.id for edge in piece.drawn_shape.edges]
        necks = [name for name in ids if places.is_one(places.NECK, name)]
        parts = [part for part in garment.parts_of(piece.id) if part.role == "shell"]
        sides = 2 if piece.fold or len(parts) > 1 else 1
        refs += [EdgeRef(piece.id, name) for name in necks for _ in range(sides)]
        beside = {ids[(ids.index(n) + step) % len(ids)] for n in necks for step in (-1, 1)}
        refs += [ref for closure in garment.closures for ref in closure.edges if ref.piece == piece.id and ref.edge in beside]
    return _sum(case, refs) if refs else None


# what is open -----------------------------------------------------------------------------------------------


def opened_edges(garment: Garment) -> Iterator[EdgeRef]:
    """Edges that can be parted: of openings, and of closures."""
    for opening in garment.openings:
        yield from opening.edges
    for closure in garment.closures:
        if closure.kind not in (ClosureKind.ELASTIC, ClosureKind.DRAWSTRING):
            yield from closure.edges


def opened_levels(garment: Garment) -> frozenset[str]:
    """Ids of the levels that an opened edge crosses: there is no closed ring there when the garment is open."""
    found: set[str] = set()
    for ref in set(opened_edges(garment)):
        piece = garment.pieces.get(ref.piece)
        if piece is None or piece.shape is None or all(edge.id != ref.edge for edge in piece.shape.edges):
            continue
        path, box = piece.shape.edge(ref.edge).path, piece.shape.outline.bounds
        far = box.width + box.height
        for line in piece.shape.levels:
            along = (line.b - line.a).unit()
            if _runs_across(path, along) and intersections(Path.line(line.a - along * far, line.b + along * far), path):
                found.add(line.level)
    return frozenset(found)


def _runs_across(path: Path, along: Point) -> bool:
    run = path.end - path.start
    return abs(along.cross(run)) > abs(along.dot(run))


def opens_all_the_way(garment: Garment) -> bool:
    """Whether an opening runs from the top edge down to the hem, so that it is put on like a coat."""
    if any(place_of(garment, opening) is Place.WRAP for opening in garment.openings):
        return True
    opened = {(ref.piece, ref.edge) for ref in opened_edges(garment)}
    top = places.NECK | places.WAIST
    for piece in places.shell_pieces(garment):
        ids = [edge.id for edge in piece.drawn_shape.edges]
        level = top | places.HEM | places.ARMHOLE
        runs = [name for name in ids if (piece.id, name) in opened and not places.is_one(level, name)]
        for name in runs:
            ends = [_next_shut(ids, ids.index(name), step, set(runs)) for step in (-1, 1)]
            if any(places.is_one(places.HEM, e) for e in ends) and any(places.is_one(top, e) for e in ends):
                return True
    return False


def _next_shut(ids: list[str], at: int, step: int, runs: set[str]) -> str:
    for n in range(1, len(ids)):
        if (name := ids[(at + step * n) % len(ids)]) not in runs:
            return name
    return ""
