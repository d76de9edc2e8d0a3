"""Lengths and widths of a garment that are no girths, beside the body's: crotch, rise, across the back, sleeve heads."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from firsthand.body import Body, refuse_nonsense, taken
from firsthand.errors import FirsthandError
from firsthand.findings import Finding, Severity, kind
from firsthand.fit import _places as places
from firsthand.fit._bands import cap_band, ease_band, rise_band
from firsthand.fit._ease import judged, lower_first, wanted_band
from firsthand.fit.model import EaseBand, EaseRow, Verdict
from firsthand.geometry import Path, Point, intersections
from firsthand.pattern import EdgeRef, Garment, Hand, InnerLineKind, Part, Piece, Seam, SeamKind, part_shape, sewn_length
from firsthand.units import said

__all__ = ["length_findings", "length_table"]

SHORT = kind(
    "length-short",
    Severity.DOUBT,
    "A length or width of a garment is less than its wearer's body wants, so that it pulls when she bends or sits: the crotch "
    "length, the rise, the width across the back, the loop round the trunk. Lengthen or widen the pieces there before cutting.",
)
CAP = kind(
    "sleeve-head",
    Severity.DOUBT,
    "A sleeve's head is shorter than the armhole, or longer than can be eased in smoothly in such a garment. Sources differ "
    "(25 to 38 mm in woven cloth in textbooks, none in others); a crisp cloth takes less. Change the head, or gather it.",
)

FULL = frozenset({SeamKind.GATHERED, SeamKind.PLEATED})


@dataclass(frozen=True, slots=True)
class _Found:
    """A length found on a pattern; None with a note where it cannot be told."""

    value: float | None
    why: tuple[str, ...] = ()
    note: str = ""


def length_table(garment: Garment, body: Body, *, stretch: float = 0.0, along: float = 0.0) -> tuple[EaseRow, ...]:
    """Lengths and widths that can be read off the pieces, beside the body's.

    They are found by the trade's names of edges: a piece with edges called waist and crotch has a rise. What a level of the
    pattern measures already is left out. Where a band cannot be told the row says so.

    Parameters
    ----------
    garment, body
        The garment as it is now, and who wears it.
    stretch, along
        How far the cloth stretches round the body and along it, as shares.

    Returns
    -------
    tuple of EaseRow
        With ``level`` the measurement's key, or the seam's id for a sleeve head.
    """
    refuse_nonsense(body)
    measured = {level.body for level in garment.levels}
    readers: tuple[tuple[str, str, Callable[[Garment], _Found | None]], ...] = (
        ("back_width", "Across the back", lambda g: _across(g, places.BACK)),
        ("front_width", "Across the front", lambda g: _across(g, places.FRONT)),
        ("body_rise", "Body rise", _rise),
        ("crotch_length", "Crotch length", _crotch),
        ("trunk_circumference", "Round the trunk", _trunk),
    )
    rows = [
        _row(garment, body, key, name, found, stretch if key.endswith("width") else along)
        for key, name, read in readers
        if key not in measured and (found := read(garment)) is not None
    ]
    return (*rows, *_caps(garment, stretch))


def _row(garment: Garment, body: Body, key: str, name: str, found: _Found, stretch: float) -> EaseRow:
    had = taken(body, key)
    value = None if had is None else had.value
    band: EaseBand | None = wanted_band(garment, key, key)
    if band is None and value is not None:
        band = _band(garment, body, key, value, stretch)
    why = [f"no measurement {key} of {body.name}" if value is None else f"body {said(value)}", *found.why]
    why += [f"wanted {said(band.low)} to {said(band.high)}: {band.source}"] if band else []
    verdict = judged(value, found.value, band)
    note = found.note or ("" if band or value is None else "no source says how much ease this wants")
    return EaseRow(garment.id, key, name, key, value, found.value, band, verdict, tuple(why), note)


def _band(garment: Garment, body: Body, key: str, value: float, stretch: float) -> EaseBand | None:
    if key == "body_rise":
        hip = taken(body, "hip_girth")
        given = None if hip is None else hip.value
        return rise_band(given, rise=value, table=body.table, cut=garment.cut, stretch=stretch)
    return ease_band(garment.sort, garment.cut, key, body=value, stretch=stretch, table=body.table)


# on the pieces ----------------------------------------------------------------------------------------------


def _edges(piece: Piece, names: frozenset[str]) -> list[str]:
    return [edge.id for edge in piece.drawn_shape.edges if places.is_one(names, edge.id)]


def _trousered(garment: Garment) -> list[Piece]:
    return [piece for piece in places.shell_pieces(garment) if _edges(piece, places.CROTCH) and _edges(piece, places.WAIST)]


def _waistband(garment: Garment) -> tuple[float | None, str]:
    """Finished depth of what is sewn to the waist, mm, and in words; None if it cannot be told."""
    bands = [piece for piece in garment.pieces.values() if places.is_one(places.BAND, piece.id, piece.name)]
    if not bands:
        return 0.0, ""
    band = bands[0]
    if band.shape is None:
        return None, f"{band.name} is only a card: how high it stands is not known"
    fold = next((line.path for line in band.shape.lines if line.kind is InnerLineKind.FOLD), None)
    box = band.shape.outline.bounds
    depth = min(box.width, box.height)
    if fold is not None:
        centre = fold.at(fold.length / 2)
        depth = min(abs(centre.x - x) for x in (box.left, box.right)) if box.width < box.height else min(
            abs(centre.y - y) for y in (box.bottom, box.top))  # fmt: skip
    return depth, f"{band.name} stands {said(depth)} high"


def _rise(garment: Garment) -> _Found | None:
    """From the waist at the side straight down to the fork."""
    pieces = _trousered(garment)
    if not pieces:
        return None
    piece = next((one for one in pieces if places.is_one(places.FRONT, one.id, one.name)), pieces[0])
    shape, up = piece.drawn_shape, piece.drawn_shape.up
    fork = min(up.dot(p) for e in _edges(piece, places.CROTCH) for p in (shape.edge(e).path.start, shape.edge(e).path.end))
    sides = [p for e in _edges(piece, places.SIDE) for p in (shape.edge(e).path.start, shape.edge(e).path.end)]
    waist = [p for e in _edges(piece, places.WAIST) for p in (shape.edge(e).path.start, shape.edge(e).path.end)]
    at_side = [p for p in waist if any(p.distance(q) < 0.5 for q in sides)] or waist
    depth = max(up.dot(p) for p in at_side) - fork
    band, words = _waistband(garment)
    why = (f"{piece.name}: {said(depth)} from the waist at the side down to the fork", *filter(None, [words]))
    return _Found(None, why, words) if band is None else _Found(depth + band, why)


def _crotch(garment: Garment) -> _Found | None:
    """The crotch seam from the front waist through to the back one."""
    pieces = _trousered(garment)
    if not pieces:
        return None
    lengths = {
        piece.name: math.fsum(sewn_length(piece.drawn_shape, e) for e in _edges(piece, places.CROTCH)) for piece in pieces
    }
    band, words = _waistband(garment)
    why = (*(f"{name}: {said(length)}" for name, length in lengths.items()), *filter(None, [words]))
    if len(pieces) != 2:
        return _Found(None, why, "it takes a front and a back with a crotch seam each to tell this length")
    return _Found(None, why, words) if band is None else _Found(math.fsum(lengths.values()) + 2 * band, why)


def _trunk(garment: Garment) -> _Found | None:
    """Of a suit cut in one from shoulder to fork: straight from the middle of the shoulder to the fork, front and back."""
    shell = places.shell_pieces(garment)
    if not (places.has_edge(shell, places.CROTCH) and places.has_edge(shell, places.SHOULDER)):
        return None
    whole = [piece for piece in shell if _edges(piece, places.CROTCH) and _edges(piece, places.SHOULDER)]
    if len(whole) != 2:
        return _Found(None, (), "it is not cut in one from shoulder to fork: draw a level of the trunk on its pieces")
    reach = {piece.name: _shoulder_to_fork(piece) for piece in whole}
    why = tuple(
        f"{name}: {said(length)} from the middle of the shoulder straight to the fork" for name, length in reach.items()
    )
    return _Found(math.fsum(reach.values()), why)


def _shoulder_to_fork(piece: Piece) -> float:
    shape, up = piece.drawn_shape, piece.drawn_shape.up
    shoulder = shape.edge(_edges(piece, places.SHOULDER)[0]).path
    ends = [p for e in _edges(piece, places.CROTCH) for p in (shape.edge(e).path.start, shape.edge(e).path.end)]
    return shoulder.at(shoulder.length / 2).distance(min(ends, key=up.dot))


def _across(garment: Garment, names: frozenset[str]) -> _Found | None:
    """Midway up the armhole, from armhole to armhole."""
    shell = [piece for piece in places.shell_pieces(garment) if _edges(piece, places.ARMHOLE)]
    found = [
        piece for piece in shell if places.is_one(names, piece.id, piece.name) and not places.is_one(places.SLEEVE, piece.id)
    ]
    if not found:
        return None
    if len(found) > 1:
        return _Found(None, (), f"{' and '.join(piece.name for piece in found)} lie there: draw a level to have it summed")
    piece = found[0]
    parts = [part for part in garment.parts_of(piece.id) if part.role == "shell"]
    widths = [width for part in parts if (width := _width_at_armhole(garment, piece, part)) is not None]
    if not widths:
        return None
    gap = math.fsum(
        max(0.0, -closure.overlap) for closure in garment.closures if any(e.piece == piece.id for e in closure.edges)
    )
    why = [f"{piece.name}: {said(math.fsum(widths))} midway up the armhole"]
    why += [f"a gap of {said(gap)} is left open by its closure"] if gap else []
    return _Found(math.fsum(widths) + gap, tuple(why))


def _width_at_armhole(garment: Garment, piece: Piece, part: Part) -> float | None:
    shape, up = part_shape(garment, part), piece.drawn_shape.up
    if piece.drawn is not part.hand and part.hand is not Hand.CENTRE:
        up = Point(-up.x, up.y)
    edges = [edge.path for edge in shape.edges if places.is_one(places.ARMHOLE, edge.id)]
    ends = [up.dot(p) for path in edges for p in (path.start, path.end)]
    middle, aside = (min(ends) + max(ends)) / 2, Point(up.y, -up.x)
    far = shape.outline.bounds.width + shape.outline.bounds.height
    base = shape.outline.bounds.centre
    at = base + up * (middle - up.dot(base))
    line = Path.line(at - aside * far, at + aside * far)
    cuts = sorted(crossing.at_a for crossing in intersections(line, shape.outline))
    return cuts[-1] - cuts[0] if len(cuts) >= 2 else None


# sleeve heads -----------------------------------------------------------------------------------------------


def _is_armhole(refs: Iterable[EdgeRef]) -> bool:
    return all(places.is_one(places.ARMHOLE, ref.edge) and not places.is_one(places.SLEEVE, ref.piece) for ref in refs)


def _is_head(refs: Iterable[EdgeRef]) -> bool:
    return all(places.is_one(places.CAP, ref.edge) or places.is_one(places.SLEEVE, ref.piece) for ref in refs)


def _caps(garment: Garment, stretch: float) -> Iterator[EaseRow]:
    for seam in garment.seams:
        sides = next(
            ((x, y) for x, y in ((seam.a, seam.b), (seam.b, seam.a)) if x and y and _is_head(x) and _is_armhole(y)), None
        )
        if sides is None or any(ref.hand is Hand.LEFT or ref.role != "shell" for ref in (*seam.a, *seam.b)):
            continue
        yield _cap_row(garment, seam, sides, stretch)


def _cap_row(garment: Garment, seam: Seam, sides: tuple[tuple[EdgeRef, ...], tuple[EdgeRef, ...]], stretch: float) -> EaseRow:
    head, armhole = (_chain(garment, side) for side in sides)
    band: EaseBand | None = wanted_band(garment, seam.id, "sleeve head")
    note = ""
    if band is None and seam.kind in FULL:
        note = "it is gathered or pleated in: how full it is, is a matter of taste"
    elif band is None:
        band = cap_band(garment.sort, garment.cut, stretch=stretch)
    why = [] if head is None or armhole is None else [f"head {said(head)}, armhole {said(armhole)}"]
    why += [f"wanted {said(band.low)} to {said(band.high)}: {band.source}"] if band else []
    note = "a piece of it is only a card" if head is None or armhole is None else note
    name = f"Sleeve head, {seam.id}"
    return EaseRow(garment.id, seam.id, name, "", armhole, head, band, judged(armhole, head, band), tuple(why), note)


def _chain(garment: Garment, refs: Iterable[EdgeRef]) -> float | None:
    total = 0.0
    for ref in refs:
        piece = garment.pieces.get(ref.piece)
        if piece is None or piece.shape is None:
            return None
        try:
            total += sewn_length(piece.shape, ref.edge)
        except FirsthandError:
            return None
    return total


def length_findings(rows: Iterable[EaseRow]) -> Iterator[Finding]:
    """What is to be noticed of lengths: too short for the body, or a sleeve head that cannot be set in."""
    for row in rows:
        if row.ease is None or row.band is None or row.verdict not in (Verdict.TIGHT, Verdict.LOOSE):
            continue
        wanted = f"wanted {said(row.band.low)} to {said(row.band.high)}"
        where = (row.garment, row.level)
        if not row.body_key:
            words = f"{lower_first(row.name)}: {said(row.ease)} longer than its armhole, {wanted}"
            if row.verdict is Verdict.LOOSE:
                yield CAP(words, where=where, remedy="Lower the head a little, or gather it in.", why=row.why)
            elif row.ease < -1.0:
                short = f"{lower_first(row.name)}: {said(-row.ease)} shorter than its armhole"
                yield CAP(short, where=where, remedy="Raise or widen the head, or take up the armhole.", why=row.why)
        elif row.verdict is Verdict.TIGHT:
            sizes = f"{said(row.finished or 0.0)} on a body of {said(row.body or 0.0)}"
            words = f"{lower_first(row.name)}: {sizes}: ease {said(row.ease)}, {wanted}"
            need = said(row.band.low - row.ease)
            yield SHORT(words, where=where, remedy=f"Let out or lengthen by at least {need} there.", why=row.why)
