"""Cutting one long drawing into pages that are joined again with scissors and glue."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import LineKind, Sink
from firsthand.sheets._paper import Paper
from firsthand.units import said

__all__ = ["OVERLAP", "Tile", "Tiling", "column_name", "draw_joins", "tile"]

OVERLAP = 10.0
"""How much of a page its neighbours print again, mm."""

MARK = 3.0
"""Half the width of the diamonds that must meet, mm."""


@dataclass(frozen=True, slots=True)
class Tile:
    """One page's window on the drawing: its place counted from the upper left, and what it shows."""

    column: int
    row: int
    box: Box

    @property
    def name(self) -> str:
        """Column letter and row number."""
        return f"{column_name(self.column)}{self.row + 1}"


@dataclass(frozen=True, slots=True)
class Tiling:
    """The pages of a drawing, row by row, without the empty ones."""

    paper: Paper
    drawing: Box
    columns: int
    rows: int
    tiles: tuple[Tile, ...]

    def neighbour(self, of: Tile, right: int, down: int) -> Tile | None:
        """The page so many columns to the right and rows down, if it is not left out."""
        wanted = (of.column + right, of.row + down)
        return next((tile for tile in self.tiles if (tile.column, tile.row) == wanted), None)

    def to_page(self, tile: Tile) -> Affine:
        """From the drawing to the page."""
        frame = self.paper.frame
        return Affine.translation(frame.left - tile.box.left, frame.bottom - tile.box.bottom)


def column_name(number: int) -> str:
    """Letters for a column counted from 0.

    Examples
    --------
    >>> column_name(0), column_name(25), column_name(26)
    ('A', 'Z', 'AA')
    """
    name = ""
    number += 1
    while number:
        number, letter = divmod(number - 1, 26)
        name = chr(65 + letter) + name
    return name


def tile(drawing: Box, paper: Paper, shown: Callable[[Box], bool]) -> Tiling:
    """Cut a drawing into pages.

    Parameters
    ----------
    drawing
        The box around everything, mm.
    paper
        The paper.
    shown
        Whether anything that is needed lies in a box; pages for which it says no are left out. It is not asked about the
        strips that the pages to the left and above show too, and a page with nothing but what those to the right and below
        show is left out as well.

    Raises
    ------
    GeometryError
        If more than ten thousand pages would be needed.
    """
    step = Point(paper.frame.width - OVERLAP, paper.frame.height - OVERLAP)
    columns = max(1, -int(-(drawing.width - OVERLAP) // step.x))
    rows = max(1, -int(-(drawing.height - OVERLAP) // step.y))
    if columns * rows > 10_000:
        raise GeometryError(f"a drawing of {said(drawing.width)} x {said(drawing.height)} needs too many {paper.name} pages")
    tiles = (
        Tile(column, row, _window(drawing, paper, column * step.x, row * step.y))
        for row in range(rows)
        for column in range(columns)
    )
    return Tiling(paper, drawing, columns, rows, _needed([one for one in tiles if shown(_own(one))], shown))


def _needed(tiles: list[Tile], shown: Callable[[Box], bool]) -> tuple[Tile, ...]:
    """Tiles without those on which there is only what their neighbours to the right and below show too."""
    kept = {(one.column, one.row): one for one in tiles}
    for place in sorted(kept, reverse=True):
        column, row = place
        own = _own(kept[place])
        x, y = own.right - OVERLAP, own.bottom + OVERLAP
        right, below = (column + 1, row) in kept, (column, row + 1) in kept
        alone = Box(own.left, y if below else own.bottom, x if right else own.right, own.top)
        if (right or below) and not shown(alone):
            del kept[place]
    return tuple(one for one in tiles if (one.column, one.row) in kept)


def _own(tile: Tile) -> Box:
    box = tile.box
    left, top = (OVERLAP if tile.column else 0.0), (OVERLAP if tile.row else 0.0)
    return Box(box.left + left, box.bottom, box.right, box.top - top)


def _window(drawing: Box, paper: Paper, right: float, down: float) -> Box:
    left, top = drawing.left + right, drawing.top - down
    return Box(left, top - paper.frame.height, left + paper.frame.width, top)


def draw_joins(sink: Sink, tiling: Tiling, tile: Tile) -> None:
    """Draw, in the drawing's coordinates, where a page is trimmed, where the next ones are laid, and marks that meet.

    A page is trimmed at its left and upper edge where it has a neighbour there, and laid over that neighbour's strip.
    """
    box = tile.box
    sink.path(Path.polygon(box.corners), LineKind.RULE)
    for right, down in ((-1, 0), (0, -1), (1, 0), (0, 1)):
        if tiling.neighbour(tile, right, down):
            _join(sink, box, right, down)


def _join(sink: Sink, box: Box, right: int, down: int) -> None:
    """One join: the line where two pages meet, with two diamonds on it."""
    inner = OVERLAP if right + down > 0 else 0.0
    if right:
        x = box.left if right < 0 else box.right - inner
        line = (Point(x, box.bottom), Point(x, box.top))
    else:
        y = box.top if down < 0 else box.bottom + inner
        line = (Point(box.left, y), Point(box.right, y))
    sink.path(Path.line(*line), LineKind.TRIM)
    for at in (line[0].towards(line[1], 0.25), line[0].towards(line[1], 0.75)):
        sink.path(Path.polygon([at + Point(*p) for p in ((MARK, 0), (0, MARK), (-MARK, 0), (0, -MARK))]), LineKind.FRAME)
