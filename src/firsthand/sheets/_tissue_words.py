"""What is done on the tissue, in words: cuts, corners and offsets."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence

from firsthand.alter import Added, Altering, End, Mark, Moved, Offset, PointMoved, Tissue, on_tissue
from firsthand.fit.model import FitResult
from firsthand.pattern import Piece, Shape
from firsthand.sheets._words import length, plain
from firsthand.units import MM_PER_INCH, Unit

__all__ = [
    "added_words", "corner_rows", "cuts", "edge_rows", "figure", "fine", "inner_words", "interval", "motion_words",
    "neighbours", "piece_tissues", "square_words", "stage_words", "where_words",
]  # fmt: skip

LEAST = 3
"""So many stations with the same offset are told in one row."""

Row = tuple[str, str, str]


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
    return f"{fine(square, units)} {'in' if square > 0 else 'out'}" if round(abs(square)) else "as printed"


def where_words(shape: Shape, edge: str, at: float, units: Unit) -> str:
    """A place on a printed edge, from the nearer of its corners."""
    last, follow = neighbours(shape, edge)
    long = shape.edge(edge).path.length
    corner, far = (follow, long - at) if at > long / 2 else (last, at)
    if min(at, long - at) < 1.0:
        return f"the corner of {plain(edge)} and {plain(corner)}"
    return f"{plain(edge)}, {length(far, units)} from the corner with {plain(corner)}"


def neighbours(shape: Shape, edge: str) -> tuple[str, str]:
    """The edges before and after an edge."""
    ids = [one.id for one in shape.edges]
    k = ids.index(edge)
    return ids[k - 1], ids[(k + 1) % len(ids)]


# cut and spread ------------------------------------------------------------------------------------------------------


def stage_words(shape: Shape, stage: Altering, units: Unit) -> Iterator[str]:
    """What one alteration cuts, and where the parts go."""
    for ends in cuts(stage):
        yield _cut_words(shape, ends, units)
    for moved in stage.moved:
        if moved.factor != 1.0:
            yield f"Copy the whole piece at {moved.factor * 100:.1f} % and draw its allowances anew, as wide as they were"
        else:
            names = _listed(plain(name) for name in moved.edges) if moved.edges else ""
            which = f" between the cuts, at {names}," if moved.between and names else f" with {names}" if names else ""
            yield f"The part{which} {motion_words(moved, units)}"


def cuts(stage: Altering) -> list[list[End]]:
    """The cuts of an alteration, each by its ends; those that reach the outline at one end only meet inside, and are one."""
    ends = dict.fromkeys(end for moved in stage.moved for end in moved.ends)
    numbers = dict.fromkeys(end.cut for end in ends)
    found = [[end for end in ends if end.cut == number] for number in numbers]
    whole, single = [cut for cut in found if len(cut) > 1], [cut[0] for cut in found if len(cut) == 1]
    return [*whole, *([single] if single else [])]


def _cut_words(shape: Shape, ends: Sequence[End], units: Unit) -> str:
    opened = [end.opened for end in ends]
    if len(ends) > 2:
        inside = f"at the point of {plain(shape.darts[0].id)}" if len(shape.darts) == 1 else "inside the piece"
        return f"Cut from these places to meet {inside}: " + "; ".join(_end_words(shape, end, units) for end in ends)
    if max(opened) - min(opened) < 0.5 and not any(end.dart for end in ends):
        return _straight(shape, ends, units)
    return "Cut through between these places: " + "; ".join(_end_words(shape, end, units) for end in ends)


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
        name = plain(end.dart)
        return f"close {name if 'dart' in name.split() else f'dart {name}'} by {length(-end.opened, units)}"
    doing = _gap_words(end.opened, units) if round(abs(end.opened)) else "leave it hanging together"
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


def _listed(names: Iterable[str]) -> str:
    *most, last = list(names)
    return f"{', '.join(most)} and {last}" if most else last


def inner_words(point: PointMoved, units: Unit) -> str:
    """Where a point inside goes."""
    shift = _shift_words(point.right, point.up, units, " along the grain") or "less than half a millimetre"
    return f"{plain(point.name)}: {shift}"


def added_words(shape: Shape, added: Added, units: Unit) -> str:
    """A mark that is new."""
    where = f"at {where_words(shape, added.edge, added.at, units)}" if added.edge else "in what was put in: the strip shows it"
    return f"{plain(added.name)}: draw it new, {where}"


# corners and edges ---------------------------------------------------------------------------------------------------


def corner_rows(shape: Shape, tissue: Tissue, units: Unit) -> Iterator[Row]:
    """Each corner that moved, as seen along each of the two printed edges that meet there."""
    seen = {(o.edge, o.at > 0.0): o for o in tissue.offsets if o.mark is Mark.CORNER}
    for edge in shape.edges:
        last, _ = neighbours(shape, edge.id)
        ends, starts = seen.get((last, True)), seen.get((edge.id, False))
        if any(one is not None and _tells(one) for one in (ends, starts)):
            yield f"{plain(last)} and {plain(edge.id)}", _corner_words(last, ends, units), _corner_words(edge.id, starts, units)


def _tells(offset: Offset) -> bool:
    return round(abs(offset.along)) > 0 or round(abs(offset.square)) > 0


def _corner_words(edge: str, offset: Offset | None, units: Unit) -> str:
    if offset is None or not _tells(offset):
        return f"{plain(edge)}: as printed"
    beyond = offset.along if offset.at > 0 else -offset.along
    words = [f"{fine(beyond, units)} {'beyond' if beyond > 0 else 'back'}"] if round(abs(beyond)) else []
    words.append(square_words(offset.square, units) if round(abs(offset.square)) else "on the line")
    return f"{plain(edge)}: {', '.join(words)}"


def edge_rows(shape: Shape, tissue: Tissue, edge: str, units: Unit) -> list[Row]:
    """The table of one edge: how far from its first corner, what is there, where the new line is."""
    here = [offset for offset in tissue.offsets if offset.edge == edge and offset.mark is not Mark.CORNER]
    if not any(_tells(offset) for offset in here):
        return []
    runs = [row for same in _runs(here) for row in _run_rows(same, units)]
    marks = [(o.at, (length(o.at, units), o.place, _mark_words(shape, o, units))) for o in here if not _is_station(o)]
    return [row for _, row in sorted([*runs, *marks], key=lambda one: one[0])]


def _is_station(offset: Offset) -> bool:
    return offset.mark in (Mark.STATION, Mark.CUT)


def _runs(offsets: Iterable[Offset]) -> Iterator[list[Offset]]:
    stations = [offset for offset in offsets if _is_station(offset)]
    for _, same in itertools.groupby(stations, key=lambda offset: round(offset.square)):
        yield list(same)


def _run_rows(same: Sequence[Offset], units: Unit) -> Iterator[tuple[float, Row]]:
    if len(same) >= LEAST:
        first, last = length(same[0].at, units, name=False), length(same[-1].at, units)
        yield same[0].at, (f"{first} to {last}", "all along", square_words(same[0].square, units))
        return
    for offset in same:
        yield offset.at, (length(offset.at, units), offset.place, square_words(offset.square, units))


def _mark_words(shape: Shape, offset: Offset, units: Unit) -> str:
    words = square_words(offset.square, units)
    if round(abs(offset.along)):
        corner = neighbours(shape, offset.edge)[offset.along > 0]
        shift = f"{fine(offset.along, units)} towards {plain(corner)}"
        words = shift if words == "as printed" else f"{shift}, {words}"
    return words
