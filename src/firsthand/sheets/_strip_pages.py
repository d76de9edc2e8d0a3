"""How strips lie on paper: turned so that they find room on a page, and set on pages that need no joining."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Any

from firsthand.geometry import Affine, Box, Point
from firsthand.sheets._paper import Paper
from firsthand.sheets._tiling import OVERLAP
from firsthand.sheets.pieces import Drawn

__all__ = ["by_page", "finds_room", "is_on", "joins", "least_turn", "turned"]

SLANTS = (0, 5, 10, 15, 20, 25, 30, 35, 40)
"""By how much a strip may be turned from upright to find room, degrees."""
ROOM = OVERLAP + 4.0
"""By how much a strip is smaller than the frame of a page, mm."""
COLUMNS = 3
"""Pages in a row of the map."""
APART, EDGE = 3.0, 1.2
"""Between strips, and between a strip and the edge of the page, mm."""


def by_page(strips: Sequence[Drawn], sheet: Paper) -> dict[str, Affine]:
    """Strips set in order, none of them across two pages but for those that are larger than one, which come last.

    Pages lie like the dark squares of a chessboard, so that none has a neighbour to be joined to.
    """
    wide, high = sheet.frame.width - OVERLAP, sheet.frame.height - OVERLAP
    large = [one for one in strips if one.box.width + 2 * EDGE > wide or one.box.height + 2 * EDGE > high]
    places: dict[str, Affine] = {}
    page, x, y, deep = 0, EDGE, EDGE, 0.0
    for strip in (one for one in strips if one not in large):
        box = strip.box
        if x + box.width + EDGE > wide:
            x, y, deep = EDGE, y + deep + APART, 0.0
        if y + box.height + EDGE > high:
            page, x, y, deep = page + 1, EDGE, EDGE, 0.0
        row, column = divmod(page, COLUMNS)
        left, top = (2 * column + row % 2) * wide + OVERLAP, -row * high - OVERLAP
        places[strip.piece.id] = Affine.translation(left + x - box.left, top - y - box.top)
        x, deep = x + box.width + APART, max(deep, box.height)
    row = page // COLUMNS + 2 if places else 0
    for strip in large:
        box = strip.box
        places[strip.piece.id] = Affine.translation(OVERLAP + EDGE - box.left, -row * high - OVERLAP - EDGE - box.top)
        row += math.ceil((box.height + 2 * EDGE + OVERLAP) / high) + 1
    return places


def finds_room(region: Any, page: Box) -> bool:
    """Whether a strip finds room on a page, however it is turned."""
    return is_on(turned(region, Affine.rotation(least_turn(region, page))), page)


def is_on(region: Any, page: Box) -> bool:
    """Whether a strip finds room on a page as it lies."""
    left, bottom, right, top = region.bounds
    return bool(right - left <= page.width - ROOM and top - bottom <= page.height - ROOM)


def least_turn(region: Any, page: Box | None = None) -> float:
    """The turn that sets a strip upright, radians; with a page the least one from there with which it finds room on it."""
    upright = _upright(region)
    for degrees, way in itertools.product(SLANTS if page else (), (1, -1)):
        turn = upright + way * math.radians(degrees)
        if page and is_on(turned(region, Affine.rotation(turn)), page):
            return turn
    return upright


def turned(shape: Any, turn: Affine) -> Any:
    from shapely import affinity

    return affinity.affine_transform(shape, [turn.a, turn.c, turn.b, turn.d, turn.e, turn.f])


def joins(region: Any, turn: Affine, page: Box) -> list[tuple[Point, Point]]:
    """The lines along which pages are joined on a strip that is larger than one, in the coordinates of the piece."""
    lies = turned(region, turn)
    if is_on(lies, page):
        return []
    left, bottom, right, top = lies.bounds
    wide, high, start = page.width - OVERLAP, page.height - OVERLAP, OVERLAP + EDGE
    across = [left - start + k * wide for k in range(1, math.ceil((right - left + start) / wide) + 1)]
    down = [top + start - k * high for k in range(1, math.ceil((top - bottom + start) / high) + 1)]
    lines = [(Point(x, bottom), Point(x, top)) for x in across] + [(Point(left, y), Point(right, y)) for y in down]
    back = turn.inverse()
    return [(back(one), back(two)) for one, two in lines]


def _upright(region: Any) -> float:
    """The turn that sets a strip upright, radians."""
    corners = list(region.minimum_rotated_rectangle.exterior.coords)
    (ax, ay), (bx, by) = max(itertools.pairwise(corners), key=lambda side: math.dist(*side))
    angle = math.atan2(by - ay, bx - ax)
    return -math.remainder(angle - math.pi / 2, math.pi)
