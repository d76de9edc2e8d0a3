"""The name of a strip, on the strip itself: along it where there is room, else on a tab that is cut out with it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from firsthand.geometry import Box, Point
from firsthand.geometry.drawing import WordKind
from firsthand.sheets._label import Label
from firsthand.sheets._lettering import wrap
from firsthand.sheets._placing import Room
from firsthand.sheets.sinks.measure import MeasureSink

__all__ = ["strip_label", "tab"]

KINDS = ((WordKind.HEADING, WordKind.SMALL), (WordKind.BODY, WordKind.TINY), (WordKind.SMALL, WordKind.TINY))
"""Kinds of the name and of the rest, the most readable first."""
WIDTHS = (150.0, 110.0, 80.0, 60.0, 46.0, 36.0)
"""Widths to wrap at, mm."""
AIR = 1.2
"""Kept between lettering and lines, mm."""
ROUND = 2.5
"""Kept round the lettering on a tab, mm."""
TABS = (70.0, 42.0)
"""Widths at which the words of a tab are wrapped, mm."""
LAPS = 1.0
"""How far a tab runs into its strip, mm."""
STEPS = 60
"""Places tried round the border of a strip."""


def strip_label(words: Sequence[str], outline: Sequence[Point], drawn: MeasureSink) -> Label | None:
    """A label that covers no line and lies within the border; None if there is no room for one.

    Parameters
    ----------
    words
        What it says, the name first.
    outline
        The border.
    drawn
        What must not be covered.
    """
    walls = [line for _, line in drawn.lines] + [(*corners, corners[0]) for _, corners in drawn.lettering]
    room = Room(outline, walls, clearance=AIR)
    for (name, rest), wide, angle in itertools.product(KINDS, WIDTHS, (0.0, math.pi / 2)):
        label = Label(_lines(words, name, rest, wide), Point(0, 0), angle)
        middle = room.place(*label.size, angle=angle)
        if middle is not None:
            return Label(label.lines, middle, angle)
    return None


def tab(words: Sequence[str], border: Any, inside: Any, fits: Callable[[Any, Any], bool]) -> tuple[Label, Any]:
    """A label beside a strip, and the border with a tab for it: on the inner side of the new line if there is room.

    Parameters
    ----------
    words
        What it says.
    border, inside
        Polygons of shapely: the strip, and what of the piece lies within the new line.
    fits
        Whether a tab, and the strip with it, finds room on paper.
    """
    import shapely

    shape = shapely.Polygon(border.exterior)
    tries: list[tuple[tuple[float, float], Label, Box]] = []
    for wrapped, angle in itertools.product(TABS, (0.0, math.pi / 2)):
        lines = _lines(words, WordKind.BODY, WordKind.TINY, wrapped)
        wide, high = (side + 2 * ROUND for side in Label(lines, Point(0, 0)).size)
        wide, high = (high, wide) if angle else (wide, high)
        for box in _beside(shape, wide, high):
            block = shapely.box(box.left, box.bottom, box.right, box.top)
            common = block.intersection(shape).area
            if 0.5 * LAPS * min(wide, high) < common < 4.0 * LAPS * max(wide, high):
                score = (-round(block.intersection(inside).area / block.area, 1), common)
                tries.append((score, Label(lines, box.centre, angle), box))
    if not tries:
        return _below(words, shape)
    tries.sort(key=lambda one: one[0])
    for _, label, box in tries:
        whole = _with(shape, box)
        if fits(shapely.box(box.left, box.bottom, box.right, box.top), whole):
            return label, whole
    return tries[0][1], _with(shape, tries[0][2])


def _below(words: Sequence[str], shape: Any) -> tuple[Label, Any]:
    """A tab below the middle of the lowest part of a border."""
    lines = _lines(words, WordKind.BODY, WordKind.TINY, TABS[-1])
    wide, high = (side + 2 * ROUND for side in Label(lines, Point(0, 0)).size)
    x, bottom = min(shape.exterior.coords, key=lambda spot: spot[1])
    box = Box(x - wide / 2, bottom + LAPS - high, x + wide / 2, bottom + LAPS)
    return Label(lines, box.centre), _with(shape, box)


def _with(shape: Any, box: Box) -> Any:
    import shapely

    whole = shapely.union_all([shape, shapely.box(box.left, box.bottom, box.right, box.top)])
    shell = max(getattr(whole, "geoms", [whole]), key=lambda part: part.area)
    return shapely.Polygon(shell.exterior)


def _beside(shape: Any, wide: float, high: float) -> Iterator[Box]:
    """Boxes that touch a border from outside, upright."""
    ring = shape.exterior
    for k in range(STEPS):
        spot = ring.interpolate(k / STEPS, normalized=True)
        for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            middle = Point(spot.x + x * (wide / 2 - LAPS), spot.y + y * (high / 2 - LAPS))
            yield Box(middle.x - wide / 2, middle.y - high / 2, middle.x + wide / 2, middle.y + high / 2)


def _lines(words: Sequence[str], name: WordKind, rest: WordKind, wide: float) -> tuple[tuple[str, WordKind], ...]:
    first = [(line, name) for line in wrap(words[0], name, wide)]
    return (*first, *((line, rest) for text in words[1:] for line in wrap(text, rest, wide)))
