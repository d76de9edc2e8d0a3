"""What is on the shelf, taken line by line so that nothing is promised twice."""

from __future__ import annotations

import math
from collections.abc import Iterable

from firsthand.errors import GeometryError
from firsthand.fabric.model import ShelfItem

__all__ = ["Shelf"]


class Shelf:
    """The shelf's haberdashery; what a line takes is gone for the next.

    Raises
    ------
    GeometryError
        If an item's count or length has no sense.

    Examples
    --------
    >>> shelf = Shelf([ShelfItem("tin", "button", "11 mm", count=5)])
    >>> shelf.take_count("button", "11 mm", "", 4), shelf.take_count("button", "11 mm", "", 4)
    (4, 1)
    """

    def __init__(self, items: Iterable[ShelfItem]) -> None:
        self._items = tuple(items)
        for item in self._items:
            if item.count < 0 or not (math.isfinite(item.length) and item.length >= 0):
                raise GeometryError(f"shelf item {item.id}: count and length must be zero or more")
        self._counts = {index: item.count for index, item in enumerate(self._items)}
        self._lengths = {index: item.length for index, item in enumerate(self._items)}

    def take_count(self, kind: str, size: str, colour: str, wanted: int) -> int:
        """Take up to so many."""
        taken = 0
        for index in self._fitting(kind, size, colour):
            here = min(self._counts[index], wanted - taken)
            self._counts[index] -= here
            taken += here
        return taken

    def take_length(self, kind: str, size: str, colour: str, wanted: float, *, each: float = 0.0) -> float:
        """Take up to a length, mm; an item that is only counted holds ``each`` a piece."""
        taken = 0.0
        for index in self._fitting(kind, size, colour):
            if not self._lengths[index] and each:
                self._lengths[index], self._counts[index] = self._counts[index] * each, 0
            here = min(self._lengths[index], wanted - taken)
            self._lengths[index] -= here
            taken += here
        return taken

    def _fitting(self, kind: str, size: str, colour: str) -> Iterable[int]:
        for index, item in enumerate(self._items):
            same = _same(item.kind, kind) and (not size or not item.size or _same(item.size, size))
            if same and (not colour or not item.colour or _same(item.colour, colour)):
                yield index


def _same(one: str, two: str) -> bool:
    return one.strip().casefold().rstrip("s") == two.strip().casefold().rstrip("s")
