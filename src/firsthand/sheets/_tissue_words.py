"""What is done on the tissue, in words: cuts, corners and offsets."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from firsthand.alter import (
    Added,
    Altering,
    End,
    Hinge,
    Moved,
    NewLine,
    PointMoved,
    Spot,
    Taped,
    Tissue,
    on_tissue,
)
from firsthand.fit.model import FitResult
from firsthand.pattern import MIRRORED, Piece, Shape
from firsthand.sheets._words import length, plain
from firsthand.units import MM_PER_INCH, Unit

__all__ = [
    "PRINTED", "Cut", "added_words", "cuts", "edge_words", "figure", "fine", "inner_words", "interval",
    "line_words", "listed", "mark_words", "motion_words", "moves", "neighbours", "piece_tissues",
    "square_words", "stage_words", "taped_words", "where_words",
]  # fmt: skip

PRINTED = "as printed"


def interval(units: Unit) -> float:
    """How often offsets are given, mm: every 5 cm, or every 2 in (common practice)."""
    return 2 * MM_PER_INCH if units in (Unit.INCH, Unit.YARD) else 50.0


def figure(at: float, units: Unit) -> str:
    """A place at a whole interval, without its unit.

    Examples
    --------
    >>> figure(150.0, Unit.CM), figure(101.6, Unit.INCH)
    ('15', '4')
    """
    return f"{at / MM_PER_INCH:.0f}" if units in (Unit.INCH, Unit.YARD) else f"{at / (1 if units is Unit.MM else 10):.0f}"


def piece_tissues(fit: FitResult, units: Unit) -> Iterator[tuple[Piece, Tissue]]:
    """Each piece of a garment that was altered, with what to do on its tissue."""
    for piece in fit.garment.pieces.values():
        tissue = on_tissue(piece, fit.records, fit.altered, every=interval(units)) if fit.records else None
        if tissue is not None:
            yield piece, tissue


def fine(millimetres: float, units: Unit) -> str:
    """A small length off a ruler: whole millimetres; readers of inches get both, as eighths are too coarse for an offset.

    Examples
    --------
    >>> fine(6.2, Unit.CM), fine(-6.2, Unit.INCH), fine(0.3, Unit.CM)
    ('6 mm', '¼ in (6 mm)', '0 mm')
    """
    size = f"{abs(millimetres):.0f} mm"
    return f"{length(abs(millimetres), units)} ({size})" if units in (Unit.INCH, Unit.YARD) else size


def square_words(square: float, units: Unit) -> str:
    """An offset square to the line.

    Examples
    --------
    >>> square_words(6.0, Unit.CM), square_words(-12.4, Unit.CM), square_words(0.2, Unit.CM)
    ('6 mm in', '12 mm out', 'as printed')
    """
    return f"{fine(square, units)} {'in' if square > 0 else 'out'}" if round(abs(square)) else PRINTED


def where_words(shape: Shape, edge: str, at: float, units: Unit) -> str:
    """A place on a printed edge, from the nearer of its corners."""
    last, follow = neighbours(shape, edge)
    long = shape.edge(edge).path.length
    corner, far = (follow, long - at) if at > long / 2 else (last, at)
    if min(at, long - at) < 1.0:
        return f"the corner of {edge_words(shape, edge)} and {edge_words(shape, corner)}"
    return f"{edge_words(shape, edge)}, {length(far, units)} from the corner with {edge_words(shape, corner)}"


def edge_words(shape: Shape, edge: str) -> str:
    """The name of an edge; of a piece that is opened out also on which half of it, as it is drawn."""
    bare = edge.removesuffix(MIRRORED)
    ids = {one.id for one in shape.edges}
    twin = bare if bare != edge else bare + MIRRORED
    if twin not in ids or edge not in ids:
        return plain(bare)
    mine, other = (shape.edge(name).path.at(shape.edge(name).path.length / 2) for name in (edge, twin))
    return f"{plain(bare)} on the {'left' if shape.up.cross(mine - other) > 0 else 'right'}"


def mark_words(name: str) -> str:
    """A mark by its id: the second of two that are mirror images is called so."""
    bare = name.removesuffix(MIRRORED)
    return plain(bare) + (" of the other half" if bare != name else "")


def neighbours(shape: Shape, edge: str) -> tuple[str, str]:
    """The edges before and after an edge."""
    ids = [one.id for one in shape.edges]
    k = ids.index(edge)
    return ids[k - 1], ids[(k + 1) % len(ids)]


# cut and spread ------------------------------------------------------------------------------------------------------


def stage_words(shape: Shape, stage: Altering, units: Unit) -> Iterator[str]:
    """What one alteration cuts, and where the parts go."""
    for cut in cuts(stage):
        yield _cut_words(shape, cut, units)
    for moved in stage.moved:
        if moved.factor != 1.0:
            yield (
                f"Copy the whole piece at {moved.factor * 100:.1f} %, every length of the stitching line that much "
                f"{'longer' if moved.factor > 1 else 'shorter'}, and draw its allowances anew, as wide as they were"
            )
        else:
            names = listed(edge_words(shape, name) for name in moved.edges) if moved.edges else ""
            which = f" between the cuts, at {names}," if moved.between and names else f" with {names}" if names else ""
            yield f"The part{which} {motion_words(moved, units)}"


@dataclass(frozen=True, slots=True)
class Cut:
    """A cut: its ends on the outline, and where it is hinged; ``inside`` if its ends meet others inside the piece."""

    ends: tuple[End, ...]
    hinge: Hinge | None = None
    inside: bool = False

    @property
    def dart(self) -> str:
        """Id of the dart that closes as it opens."""
        return next((end.dart for end in self.ends if end.dart), "")


def cuts(stage: Altering) -> list[Cut]:
    """The cuts of an alteration; those that reach the outline at one end only and have no hinge there meet inside."""
    ends = dict.fromkeys(end for moved in stage.moved for end in moved.ends)
    groups = [[end for end in ends if end.cut == number] for number in dict.fromkeys(end.cut for end in ends)]
    found, single = [], []
    for group in groups:
        opened = [end for end in group if round(abs(end.opened))]
        hinge = next((end.hinge for end in group if end.hinge is not None), None)
        if len(opened) == 1 and hinge is not None and not opened[0].dart:
            found.append(Cut(tuple(opened), hinge))
        elif len(group) > 1:
            found.append(Cut(tuple(group)))
        else:
            single += group
    if single and not (found and all(not round(abs(end.opened)) for end in single)):
        found.append(Cut(tuple(single), inside=True))
    return found


def _cut_words(shape: Shape, cut: Cut, units: Unit) -> str:
    if cut.inside:
        return _meeting(shape, cut.ends, units)
    if cut.hinge is not None:
        (end,) = cut.ends
        far = where_words(shape, cut.hinge.edge, cut.hinge.at, units) if cut.hinge.edge else "what was put in before"
        doing = _gap_words(end.opened, units)
        return (
            f"Cut from {_place(shape, end, units)}, to {far}, and leave the paper hanging together there, as a hinge; {doing}"
        )
    if cut.dart and len(cut.ends) == 2:
        return _turned(shape, cut, units)
    opened = [end.opened for end in cut.ends]
    if max(opened) - min(opened) < 0.5:
        return _straight(shape, cut.ends, units)
    return "Cut through between these places: " + "; ".join(_end_words(shape, end, units) for end in cut.ends)


def _meeting(shape: Shape, ends: Sequence[End], units: Unit) -> str:
    inside = f"at the point of {plain(shape.darts[0].id)}" if len(shape.darts) == 1 else "inside the piece"
    places = "; ".join(_end_words(shape, end, units) for end in ends)
    return f"Cut from these places to meet {inside}: {places}" if len(ends) > 1 else f"Cut in from {places}"


def _turned(shape: Shape, cut: Cut, units: Unit) -> str:
    """A dart closed and a cut opened round its point."""
    closed = next(end for end in cut.ends if end.dart)
    (other,) = (end for end in cut.ends if end is not closed)
    name = _dart(cut.dart)
    return (
        f"Cut from {_place(shape, other, units)}, to the point of {name}, and along one of its legs; close {name}, "
        f"{length(-closed.opened, units)} at its mouth, and the cut opens by {length(abs(other.opened), units)}"
    )


def _dart(name: str) -> str:
    words = plain(name)
    return words if "dart" in words.split() else f"dart {words}"


def _straight(shape: Shape, ends: Sequence[End], units: Unit) -> str:
    places = ", across to ".join(_place(shape, end, units) for end in ends)
    amount = ends[0].opened
    if round(abs(amount)) == 0:
        return f"Cut from {places}"
    return f"Cut from {places}; {_gap_words(amount, units)}"


def _gap_words(opened: float, units: Unit) -> str:
    return f"spread by {length(opened, units)}" if opened > 0 else f"lay one side over the other by {length(-opened, units)}"


def _end_words(shape: Shape, end: End, units: Unit) -> str:
    if end.dart:
        return f"close {_dart(end.dart)} by {length(-end.opened, units)}"
    doing = _gap_words(end.opened, units) if round(abs(end.opened)) else "leave the paper hanging together, as a hinge"
    return f"{_place(shape, end, units)}: {doing}"


def _place(shape: Shape, end: End, units: Unit) -> str:
    return where_words(shape, end.edge, end.at, units) if end.edge else "what was put in before"


def motion_words(moved: Moved, units: Unit, *, short: bool = False) -> str:
    """How a part moves; ``short`` for a drawing that shows the rest.

    Examples
    --------
    >>> motion_words(Moved(("waist",), 0.0, 20.0), Unit.CM), motion_words(Moved((), -5.0, 0.0), Unit.CM)
    ('moves up 2.0 cm along the grain', 'moves 0.5 cm to the left')
    >>> import math
    >>> motion_words(Moved(("side",), 3.0, 4.0, math.radians(6), "the point of bust dart"), Unit.CM)
    'turns 6.0° anticlockwise as printed round the point of bust dart'
    """
    if moved.turn and short:
        return f"turns {abs(math.degrees(moved.turn)):.1f}°"
    if moved.turn:
        way = "anticlockwise" if moved.turn > 0 else "clockwise"
        return f"turns {abs(math.degrees(moved.turn)):.1f}° {way} as printed" + (f" round {moved.pivot}" if moved.pivot else "")
    return "moves " + (_shift_words(moved.right, moved.up, units, "" if short else " along the grain") or "nowhere")


def _shift_words(right: float, up: float, units: Unit, grain: str = "") -> str:
    words = [f"{'up' if up > 0 else 'down'} {length(abs(up), units)}{grain}"] if abs(up) >= 0.5 else []
    words += [f"{length(abs(right), units)} to the {'right' if right > 0 else 'left'}"] if abs(right) >= 0.5 else []
    return " and ".join(words)


def listed(names: Iterable[str]) -> str:
    *most, last = list(names)
    return f"{', '.join(most)} and {last}" if most else last


def inner_words(point: PointMoved, units: Unit) -> str:
    """Where a point inside goes."""
    return f"{mark_words(point.name)}: {_shift_words(point.right, point.up, units, ' along the grain')}"


def moves(point: PointMoved) -> bool:
    """Whether a point goes far enough to be told."""
    return max(abs(point.right), abs(point.up)) >= 0.5


def added_words(shape: Shape, added: Added, units: Unit) -> str:
    """A mark that is new."""
    where = f"at {where_words(shape, added.edge, added.at, units)}" if added.edge else "in what was put in: the strip shows it"
    return f"{mark_words(added.name)}: draw it new, {where}"


def line_words(shape: Shape, line: NewLine, units: Unit) -> Iterator[str]:
    """How a new line is drawn on the tissue, and what is done along it."""
    start, end = (_spot(shape, spot, units) for spot in (line.start, line.end))
    straight = " straight" if not line.bends else ""
    yield f"Draw a line{straight} from {start}, to {end}: it is {length(line.length, units)} long"
    bends = [bend for bend in line.bends if round(abs(bend.left))]
    if bends:
        rows = "; ".join(
            f"{length(bend.along, units)}: {fine(bend.left, units)} to the {'left' if bend.left > 0 else 'right'}"
            for bend in bends
        )
        yield (
            "It bends: along a ruler laid between its ends, measured from the first, and square to the ruler as seen from "
            f"there: {rows}. Join the marks with one smooth line"
        )
    if line.notches:
        yield f"Notches on it, from its first end: {listed(length(at, units) for at in line.notches)}"
    by = length(line.margin, units)
    yield f"Cut the tissue along it. It is a stitching line: tape paper on and add {by} allowance beyond it"


def _spot(shape: Shape, spot: Spot, units: Unit) -> str:
    return where_words(shape, spot.edge, spot.at, units) if spot.edge else "the end of the printed line there"


def taped_words(shape: Shape, taped: Taped, names: Mapping[str, str], units: Unit) -> str:
    """How the tissue of another piece is taped on."""
    along = listed(plain(name.removesuffix(MIRRORED)) for name in taped.along) if taped.along else "their edges"
    ids = {edge.id for edge in shape.edges}
    to = [edge_words(shape, name) for name in taped.to if name in ids]
    lap = sum({edge.margin for edge in shape.edges if edge.id in taped.to}) if len(taped.to) == 1 else 0.0
    by = f", so that they lap by their allowances ({length(2 * lap, units)} if both are as wide)" if lap else ""
    where = f"its {along} on {listed(to)}" if to else f"along {along}"
    name = names.get(taped.piece, plain(taped.piece))
    return (
        f"Tape the tissue of {name} to it, {where}: stitching line on stitching line{by}, turned over if it does not lie so "
        "otherwise. Cut both as one"
    )
