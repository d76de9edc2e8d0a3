"""Checking a lay without trusting whoever made it.

Nothing of the engines is used here: each part's outline is made into a polygon that contains it, put where the lay says,
and looked at with shapely.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from shapely.geometry.polygon import Polygon as Area

from firsthand.errors import GeometryError
from firsthand.fabric import Fabric, Nap
from firsthand.geometry import Affine
from firsthand.lay._shapes import Polygon, outward
from firsthand.lay.model import Lay, LayItem, Placement, Way
from firsthand.units import said

__all__ = ["OVERLAP", "usable", "verify"]

OVERLAP = 1e-3
"""Parts that share less than this, mm2, only touch."""
EDGE = 1e-6
"""How far, mm, a part may reach over an edge of the cloth, or a fold edge lie beside the fold: the last digits."""
NEAR = 1e-4
"""How much of the gap may be missing, mm."""
ANGLE = 1e-7
"""Radians."""


def usable(fabric: Fabric, way: Way) -> float:
    """Width of what lies on the table, mm."""
    return fabric.usable_width / 2 if way is Way.FOLDED else fabric.usable_width


def verify(lay: Lay, fabric: Fabric | None = None, *, overlap: float = OVERLAP) -> tuple[str, ...]:
    """Everything that is wrong with a lay.

    Looked at: parts inside the cloth and its length, clear of each other by the gap, turned only as allowed, the right
    side up, none missing and none twice, fold edges on the fold. With the fabric also: the width, the grain along the
    length and all tops one way where there is nap.

    Parameters
    ----------
    lay
        The lay.
    fabric
        What it is laid on.
    overlap
        Area, in the square of the lay's unit, that two parts may share and still count as touching.

    Returns
    -------
    tuple of str
        Problems in words; empty if the lay is sound.

    Examples
    --------
    >>> from firsthand.geometry import Path, Point
    >>> cuff = LayItem("cuff", "Cuff", Path.polygon([Point(0, 0), Point(80, 0), Point(80, 200), Point(0, 200)]), demand=2)
    >>> verify(Lay("linen", Way.OPEN, 200, 200, (cuff,), (Placement("cuff", 0, 0, 0), Placement("cuff", 0, 60, 0, copy=2))))
    ('Cuff and Cuff lie over each other by 40.0 cm2',)
    """
    problems = list(_numbers(lay))
    if problems:
        return tuple(problems)
    items, outlines = {item.id: item for item in lay.items}, _outlines(lay, problems)
    laid = [
        (items[placement.item], placement, _area(outlines[placement.item], placement.transform))
        for placement in lay.placements
        if placement.item in outlines
    ]
    problems += _counts(lay)
    for item, placement, area in laid:
        problems += _single(lay, item, placement, area)
    problems += _pairs(laid, lay.gap, overlap)
    if fabric is not None:
        problems += _against(lay, fabric)
    return tuple(problems)


def _outlines(lay: Lay, problems: list[str]) -> dict[str, Polygon]:
    outlines = {}
    for item in lay.items:
        try:
            outlines[item.id] = outward(item.outline)
        except GeometryError as error:
            problems.append(f"{item.label}: {error}")
    return outlines


def _area(points: Polygon, by: Affine) -> Any:
    return Area(points @ np.array([[by.a, by.b], [by.c, by.d]]) + (by.e, by.f))


def _numbers(lay: Lay) -> Iterator[str]:
    known = {item.id for item in lay.items}
    if len(known) < len(lay.items):
        yield "two items have the same id"
    if not (math.isfinite(lay.width) and lay.width > 0 and math.isfinite(lay.length) and lay.length >= 0):
        yield f"the cloth measures {lay.length} x {lay.width}"
    if not (math.isfinite(lay.gap) and lay.gap >= 0):
        yield f"the gap is {lay.gap}"
    for placement in lay.placements:
        if placement.item not in known:
            yield f"{placement.item} is laid but not known"
        if not all(math.isfinite(value) for value in (placement.turn, placement.x, placement.y)):
            yield f"{placement.item} lies nowhere"


def _counts(lay: Lay) -> Iterator[str]:
    laid = Counter((placement.item, placement.copy) for placement in lay.placements)
    wanted = {(item.id, copy): item.label for item in lay.items for copy in range(1, item.demand + 1)}
    for (name, copy), label in wanted.items():
        if laid[name, copy] != 1:
            yield f"{label} no. {copy} is laid {laid[name, copy]} times, not once"
    for name, copy in laid.keys() - wanted.keys():
        yield f"{lay.item(name).label} no. {copy} is laid but not wanted"
    parts = Counter(part for item in lay.items for part in item.parts)
    yield from (f"{part} would be cut {count} times" for part, count in parts.items() if count > 1)


def _single(lay: Lay, item: LayItem, placement: Placement, area: Any) -> Iterator[str]:
    if not area.is_valid:
        yield f"{item.label}: its outline crosses itself"
    left, low, right, high = area.bounds
    out = max(-left, right - lay.length, -low, high - lay.width)
    if out > EDGE:
        yield f"{item.label} reaches {said(out)} over the edge of the cloth"
    flipped = item.flips or item.fold is not None
    turns = _turns(item, placement.mirrored)
    if turns and min(abs(math.remainder(placement.turn - turn, 2 * math.pi)) for turn in turns) > ANGLE:
        yield f"{item.label} is turned by {math.degrees(placement.turn):.1f}°, which it may not be"
    if placement.mirrored != item.mirrored and not flipped:
        yield f"{item.label} lies the wrong side up: it would be cut for the other hand"
    if placement.layers != item.layers:
        yield f"{item.label} is cut in {placement.layers} layers, not {item.layers}"
    if item.fold is not None:
        yield from _fold(lay, item, placement)


def _turns(item: LayItem, mirrored: bool) -> tuple[float, ...]:
    """The allowed turns; the other side up, those that send the grain the same way."""
    if mirrored == item.mirrored or item.grain is None:
        return item.turns
    towards = [_direction(item, turn, item.mirrored) for turn in item.turns]
    zero = _direction(item, 0.0, mirrored)
    return tuple(angle - zero for angle in towards)


def _direction(item: LayItem, turn: float, mirrored: bool) -> float:
    assert item.grain is not None
    by = Placement(item.id, turn, 0.0, 0.0, mirrored).transform
    return (by(item.grain[1]) - by(item.grain[0])).angle


def _fold(lay: Lay, item: LayItem, placement: Placement) -> Iterator[str]:
    assert item.fold is not None
    off = max(abs(placement.transform(end).y) for end in item.fold)
    if lay.way is not Way.FOLDED:
        yield f"{item.label} is meant for a fold and the cloth lies open"
    elif off >= EDGE:
        yield f"{item.label}: its fold edge lies {said(off)} beside the fold"


def _pairs(laid: Sequence[tuple[LayItem, Placement, Any]], gap: float, overlap: float) -> Iterator[str]:
    if len(laid) < 2:
        return
    areas = [area if area.is_valid else area.buffer(0) for _, _, area in laid]
    tree = shapely.STRtree(areas)
    one, two = tree.query(areas, predicate="dwithin", distance=max(gap, 0.0) + EDGE)
    for i, j in sorted((int(i), int(j)) for i, j in zip(one, two, strict=True) if i < j):
        first, second = laid[i][0].label, laid[j][0].label
        shared = areas[i].intersection(areas[j]).area
        if shared > overlap:
            yield f"{first} and {second} lie over each other by {shared / 100:.1f} cm2"
        elif (missing := gap - areas[i].distance(areas[j])) > NEAR:
            yield f"{first} and {second} lie {said(missing)} too near to each other"


def _against(lay: Lay, fabric: Fabric) -> Iterator[str]:
    if lay.fabric != fabric.id:
        yield f"the lay is for {lay.fabric}, not for {fabric.id}"
    if lay.width > usable(fabric, lay.way) + EDGE:
        yield f"the cloth is {said(usable(fabric, lay.way))} wide, not {said(lay.width)}"
    for placement in lay.placements:
        item = lay.item(placement.item)
        if item.grain is None:
            continue
        angle = _direction(item, placement.turn, placement.mirrored)
        if abs(math.sin(angle)) > ANGLE:
            yield f"{item.label}: its grain does not lie along the fabric"
        elif fabric.nap is Nap.ONE_WAY and math.cos(angle) < 0:
            yield f"{item.label} lies upside down on a fabric with nap"
