"""Places on a piece in words, as people write them in a stack.

A place on an edge: ``start``, ``end``, ``12 cm`` from its start, ``-3 cm`` back from its end, ``40 %`` of the way along,
``notch ID``, ``dart ID`` (the middle of its mouth), ``pleat ID``, ``level ID`` (where the level's line, run on, meets it).
A place on a piece: ``EDGE at PLACE``. A point inside: ``point of DART``, ``level ID at 40 %`` of the way across from the left
as drawn, ``10 cm, 25 cm`` from where x and y are zero, or a place on the outline.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Path, Point, intersections
from firsthand.pattern import Dart, LevelLine, Notch, Pleat, Shape
from firsthand.units import parse_length, parse_share, said

__all__ = ["Spot", "along", "inner_point", "level_at", "measured", "place_told", "spot"]

HOW = "Write for example: start, end, 12 cm, -3 cm, 40 %, notch ID, dart ID, level ID."
"""What a place on an edge may be."""
RUN_ON = 1e4
"""Levels are run on this far, mm: farther than any piece is wide."""
TOUCH = 1e-6
"""Places this far beyond an end of an edge lie on it, mm."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the outline: an edge, and the arc length from its start, mm."""

    edge: str
    at: float

    def point(self, shape: Shape) -> Point:
        """Where it lies."""
        return shape.edge(self.edge).path.at(self.at)


def along(shape: Shape, edge: str, words: str) -> float:
    """The place on an edge that words name.

    Parameters
    ----------
    words
        See the head of this module.

    Returns
    -------
    float
        Arc length from the start of the edge, mm.

    Raises
    ------
    NotThere
        If a notch, dart, pleat, level or the edge is not there.
    CannotAlter
        If the words cannot be read, or the place lies beyond the edge.
    """
    path = shape.edge(edge).path
    text = " ".join(words.split())
    if text in ("start", "end"):
        return 0.0 if text == "start" else path.length
    sort, _, name = text.partition(" ")
    if sort == "level":
        return _on_level(shape, edge, name)
    if sort in _MARKS:
        return _mark(shape, edge, sort, name)
    at = measured(text, path.length)
    if not -TOUCH <= at <= path.length + TOUCH:
        raise CannotAlter(f"{edge} is {said(path.length)} long, and {text} lies beyond it", "Name a place on the edge.")
    return min(max(at, 0.0), path.length)


_MARKS = {"notch": "notches", "dart": "darts", "pleat": "pleats"}


def _mark(shape: Shape, edge: str, sort: str, name: str) -> float:
    marks: tuple[Notch | Dart | Pleat, ...] = getattr(shape, _MARKS[sort])
    for mark in marks:
        if mark.id == name and mark.edge == edge:
            return mark.at
    raise NotThere(f"{sort} on {edge}", name, (mark.id for mark in marks if mark.edge == edge))


def measured(text: str, length: float) -> float:
    """The place on something of a length that ``12 cm``, ``-3 cm`` or ``40 %`` names, mm from its start.

    Raises
    ------
    CannotAlter
        If it cannot be read.
    """
    try:
        if text.endswith("%"):
            return parse_share(text) * length
        if not re.search(r"[a-zA-Z\"″]$", text):
            raise ValueError(text)
        at = parse_length(text)
    except ValueError:
        raise CannotAlter(f"{text!r} is no place on an edge", HOW) from None
    return length + at if text.startswith("-") else at


def place_told(words: str) -> str:
    """A place as it is told to people: a length in it follows the reader's units.

    Examples
    --------
    >>> place_told("50.00 mm"), place_told("level  waist"), place_told("40 %")
    ('⟨50 mm⟩', 'level waist', '40 %')
    """
    text = " ".join(words.split())
    try:
        return said(measured(text, 0.0)) if text[:1].isdigit() and not text.endswith("%") else text
    except CannotAlter:
        return text


def level_at(shape: Shape, edge: str, level: str) -> float | None:
    """Where a level's line, run on, meets an edge; None where it does not or has none on this piece.

    Of several places the one nearest to the line as drawn counts.
    """
    lines = [line for line in shape.levels if line.level == level]
    path = shape.edge(edge).path
    found = [(near, at) for line in lines for near, at in _crossings(path, line)]
    return min(found)[1] if found else None


def _crossings(path: Path, line: LevelLine) -> list[tuple[float, float]]:
    """How far beyond the line as drawn, and where on the path, each meeting lies."""
    unit, middle = (line.b - line.a).unit(), line.a.towards(line.b, 0.5)
    half = line.a.distance(line.b) / 2
    run_on = Path.line(middle - unit * RUN_ON, middle + unit * RUN_ON)
    return [(max(0.0, abs(c.at_b - RUN_ON) - half), c.at_a) for c in intersections(path, run_on)]


def _on_level(shape: Shape, edge: str, level: str) -> float:
    at = level_at(shape, edge, level)
    if at is None:
        known = dict.fromkeys(line.level for line in shape.levels if level_at(shape, edge, line.level) is not None)
        raise NotThere(f"level across {edge}", level, known)
    return at


def spot(shape: Shape, words: str) -> Spot:
    """The place on the outline that words name, as ``side at 40 %``.

    Raises
    ------
    NotThere, CannotAlter
        See :func:`along`.
    """
    edge, _, place = words.partition(" at ")
    if not place.strip():
        raise CannotAlter(f"{words!r} is no place on the outline", "Write it as: EDGE at PLACE. " + HOW)
    return Spot(edge.strip(), along(shape, edge.strip(), place))


def inner_point(shape: Shape, words: str) -> Point:
    """The point that words name: ``point of DART``, ``level ID at 40 %``, ``10 cm, 25 cm``, or a place on the outline.

    Raises
    ------
    NotThere, CannotAlter
        If it is not there or cannot be read.
    """
    text = " ".join(words.split())
    if text.startswith("point of "):
        return _dart(shape, text.removeprefix("point of ")).apex
    if text.startswith("level "):
        return _across(shape, text.removeprefix("level "))
    if " at " in text:
        return spot(shape, text).point(shape)
    try:
        x, y = re.split(r",\s", text)
        if not all(re.search(r"[a-zA-Z\"″]$", word) for word in (x, y)):
            raise ValueError(text)
        return Point(parse_length(x), parse_length(y))
    except ValueError:
        how = "Write it as: point of DART; level ID at 40 %; EDGE at PLACE; or 10 cm, 25 cm."
        raise CannotAlter(f"{words!r} is no place on a piece", how) from None


def _dart(shape: Shape, name: str) -> Dart:
    for dart in shape.darts:
        if dart.id == name:
            return dart
    raise NotThere("dart", name, (dart.id for dart in shape.darts))


def _across(shape: Shape, words: str) -> Point:
    level, _, place = words.partition(" at ")
    lines = [line for line in shape.levels if line.level == level]
    if not lines:
        raise NotThere("level", level, (line.level for line in shape.levels))
    outline = shape.outline
    ends = [outline.at(at) for line in lines for _, at in _crossings(outline, line)]
    if len(ends) < 2:
        raise CannotAlter(f"the level {level} does not cross the piece", "Name another place.")
    left, right = min(ends, key=_x), max(ends, key=_x)
    return left.towards(right, _share(place or "50 %"))


def _x(point: Point) -> float:
    return point.x


def _share(words: str) -> float:
    try:
        share = parse_share(words)
    except ValueError:
        share = math.nan
    if not 0 <= share <= 1:
        raise CannotAlter(f"{words!r} is no share of the way across", "Write for example 40 %.")
    return share
