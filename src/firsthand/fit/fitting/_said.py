"""What was noted at a fitting, said again in words."""

from __future__ import annotations

from firsthand.fit._fitted import FittingPoint, PointSort
from firsthand.fit.fitting._places import said_place
from firsthand.units import said

__all__ = ["said_point"]


def said_point(point: FittingPoint) -> str:
    """One sentence for people: what was noted, and what it takes.

    Examples
    --------
    >>> from firsthand.units import Unit, shown
    >>> point = FittingPoint(PointSort.PIN, "jerkin", "side", "8 cm below waist", 12.0, "left", doubled=True)
    >>> shown(said_point(point), Unit.CM)
    'left side, 8.0 cm below waist: pinned 1.2 cm in the fold, so 1.2 cm on each side of the seam, 2.4 cm of the girth'
    """
    where = f"{point.hand} {point.line}".strip() + f", {said_place(point.at)}"
    size = abs(point.amount)
    if size == 0:
        return f"{where}: nothing"
    if point.sort is PointSort.HEM:
        return f"{where}: {said(size)} {'up' if point.amount > 0 else 'down'}"
    if point.sort is PointSort.EDGE:
        return f"{where}: {said(size)} {'cut away' if point.amount > 0 else 'added'}"
    if point.sort is PointSort.DART:
        return f"{where}: {said(size)} {'wider' if point.amount > 0 else 'narrower'} at its mouth"
    each = abs(point.each)
    verb = "let out" if point.amount < 0 else "pinned" if point.sort is PointSort.PIN else "taken in"
    how = " in the fold" if point.doubled and point.amount > 0 else " from the old line" if point.sort is PointSort.SEWN else ""
    return f"{where}: {verb} {said(size)}{how}, so {said(each)} on each side of the seam, {said(2 * each)} of the girth"
