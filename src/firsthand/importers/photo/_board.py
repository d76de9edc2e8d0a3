"""The reference sheets: chequered sheets with coded marks, each of which says on its own which sheet it is.

The pattern is a ChArUco board of OpenCV (dictionary ``DICT_4X4_250``). Lengths are millimetres on the sheet, x to the right
and y down from the upper left corner of the chequered field, as OpenCV has them.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Any

from firsthand.errors import NotThere

__all__ = ["COLUMNS", "FIELD_TOP", "MOST_SHEETS", "ROWS", "SHEETS", "ReferenceSheet", "Square", "dictionary", "reference_sheet"]

COLUMNS, ROWS = 6, 9
MARKS = COLUMNS * ROWS // 2
"""Coded marks on a sheet: one in each white square."""
MOST_SHEETS = 8
"""The dictionary has 250 marks, which is enough for nine sheets."""
CELLS = 6
"""A mark is so many cells wide, its black border included."""


@dataclass(frozen=True, slots=True)
class Square:
    """A black square: its upper left corner and its side, mm."""

    x: float
    y: float
    side: float


@dataclass(frozen=True, slots=True)
class ReferenceSheet:
    """One sheet.

    Parameters
    ----------
    number
        From 1; each has marks of its own.
    paper
        What it is printed on.
    square, mark
        Sides of the chequered squares and of the marks, mm.
    """

    number: int
    paper: str
    square: float
    mark: float

    @property
    def width(self) -> float:
        """Of the chequered field, mm."""
        return COLUMNS * self.square

    @property
    def height(self) -> float:
        """Of the chequered field, mm."""
        return ROWS * self.square

    @property
    def cross(self) -> tuple[float, float]:
        """The cross from which a tape measures to that of another sheet: in the middle, above the field."""
        return self.width / 2, -CROSS_ABOVE

    @property
    def ids(self) -> tuple[int, ...]:
        """The numbers of its marks in the dictionary."""
        return tuple(range((self.number - 1) * MARKS, self.number * MARKS))

    @property
    def page(self) -> tuple[tuple[float, float], ...]:
        """The corners of its paper."""
        wide, high = PAGES[self.paper]
        left, top = (self.width - wide) / 2, -FIELD_TOP
        return (left, top), (left + wide, top), (left + wide, top + high), (left, top + high)

    def board(self) -> Any:
        """The sheet as OpenCV knows it."""
        return _board(self)

    def squares(self) -> tuple[Square, ...]:
        """Everything that is black on the chequered field."""
        plain = [
            Square(column * self.square, row * self.square, self.square)
            for row in range(ROWS)
            for column in range(COLUMNS)
            if (row + column) % 2 == 0
        ]
        return (*plain, *self._marks())

    def _marks(self) -> tuple[Square, ...]:
        board, cell = self.board(), self.mark / CELLS
        found = []
        for corners, number in zip(board.getObjPoints(), board.getIds().ravel(), strict=True):
            left, top = (float(value) for value in corners[0][:2])
            bits = dictionary().generateImageMarker(int(number), CELLS)
            found += [
                Square(left + column * cell, top + row * cell, cell)
                for row in range(CELLS)
                for column in range(CELLS)
                if bits[row, column] == 0
            ]
        return tuple(found)


CROSS_ABOVE = 6.0
"""The cross stands this far above the field, mm."""
FIELD_TOP = 15.5
"""The field begins so far below the upper edge of the paper, mm: room for the cross within what printers print."""
PAGES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height of the papers, mm (ISO 216; ANSI/ASME Y14.1)."""

SHEETS = {"A4": (30.0, 22.0), "Letter": (28.0, 20.5)}
"""Sides of squares and marks for each paper, mm: as large as it allows with a margin that printers leave blank."""


def reference_sheet(number: int, paper: str = "A4") -> ReferenceSheet:
    """A sheet by its number, from 1.

    Raises
    ------
    NotThere
        If there is no sheet of that number, or none for that paper.

    Examples
    --------
    >>> sheet = reference_sheet(2)
    >>> sheet.width, sheet.height, sheet.ids[0], len(sheet.ids)
    (180.0, 270.0, 27, 27)
    """
    known = {name.lower(): name for name in SHEETS}
    if paper.lower() not in known:
        raise NotThere("paper for reference sheets", paper, SHEETS)
    if not 1 <= number <= MOST_SHEETS:
        raise NotThere("reference sheet", str(number), map(str, range(1, MOST_SHEETS + 1)))
    name = known[paper.lower()]
    return ReferenceSheet(number, name, *SHEETS[name])


@functools.cache
def dictionary() -> Any:
    """OpenCV's dictionary of marks."""
    import cv2

    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_250)


@functools.cache
def _board(sheet: ReferenceSheet) -> Any:
    import cv2
    import numpy as np

    return cv2.aruco.CharucoBoard((COLUMNS, ROWS), sheet.square, sheet.mark, dictionary(), np.array(sheet.ids))
