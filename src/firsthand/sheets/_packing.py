"""Setting shapes side by side on one long drawing so that few of its pages have anything on them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from firsthand.geometry import Affine, Point

__all__ = ["Pages", "pack"]

CELL = 6.0
"""Side of the squares that shapes are reckoned in, mm: what is lost between two pieces is at most this."""
CELLS = 300
"""A shape longer than so many squares is reckoned in larger ones."""
BREADTH = 8
"""Arrangements kept in mind at most while shapes are laid down one after the other."""
EFFORT = 32
"""With more shapes fewer arrangements are kept in mind: about so many places are looked for in all."""
FEW = 3
"""Of so many shapes all orders are tried."""
MANY = 1_000_000
SPREAD = 5
"""Places that differ by fewer squares than this from page edges count as the same, while others are to be had."""

Mask = NDArray[np.bool_]
Counts = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Pages:
    """How a drawing falls into pages.

    Parameters
    ----------
    step
        From one page to the next, across and down, mm.
    overlap
        How far the first page across and down reaches beyond that, mm.
    columns
        Pages across.
    """

    step: tuple[float, float]
    overlap: float
    columns: int


@dataclass(frozen=True, slots=True)
class _Grid:
    """Squares so that pages begin and end between two of them.

    Parameters
    ----------
    cell
        Width and height of a square, mm.
    count, first
        Squares from one page to the next, and how many more the first page has; across and down.
    start
        Upper left corner of the first square on the drawing.
    pad
        Squares kept free round a shape, across and down.
    """

    cell: tuple[float, float]
    count: tuple[int, int]
    first: tuple[int, int]
    start: Point
    pad: tuple[int, int]

    def point(self, row: int, column: int) -> Point:
        """The upper left corner of a square."""
        return Point(self.start.x + column * self.cell[0], self.start.y - row * self.cell[1])


@dataclass(frozen=True, slots=True)
class _Look:
    """A shape one way up, in squares: what it covers, and what it covers with room round it.

    ``keep`` begins the grid's ``pad`` above and to the left of ``ink``, whose corner is that of the turned shape's box.
    """

    turned: bool
    ink: Mask
    keep: Mask
    corner: Point


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place for a shape: how many further pages it needs, and how deep everything then reaches."""

    look: _Look
    row: int
    column: int
    further: int
    depth: int


def pack(shapes: Mapping[str, Any], pages: Pages, gap: float, *, below: int = MANY) -> dict[str, Affine] | None:
    """Set shapes on a drawing of a given number of pages across, upright or turned by half a circle.

    One after the other goes where it needs the fewest further pages, as high up as it will, in several orders; afterwards each
    is taken up and laid down again where it is best.

    Parameters
    ----------
    shapes
        Polygons of shapely, y up.
    pages
        How the drawing falls into pages.
    gap
        Between shapes, mm.
    below
        Only an arrangement with fewer pages than this is wanted.

    Returns
    -------
    dict or None
        From each shape to the drawing, whose upper left corner is the origin and whose y falls downwards; None if a shape is
        wider than the pages, or no arrangement with so few pages was found.

    Examples
    --------
    Two triangles lie head to tail on one page where two upright ones would need two.

    >>> import shapely
    >>> gore = shapely.Polygon([(0, 0), (100, 0), (50, 200)])
    >>> places = pack({"one": gore, "two": gore}, Pages((180, 267), 10, 1), 8)
    >>> sorted(round(by.a) for by in places.values())
    [-1, 1]
    """
    extent = max(max(s.bounds[2] - s.bounds[0], s.bounds[3] - s.bounds[1]) for s in shapes.values())
    grid = _grid(pages, max(CELL, extent / CELLS), gap)
    table = _Table(grid, pages.columns)
    looks = {name: _looks(shape, grid, gap) for name, shape in shapes.items()}
    if any(look[0].ink.shape[1] > table.width for look in looks.values()):
        return None
    best: tuple[_Table, dict[str, _Spot]] | None = None
    for order in _orders(looks):
        found = _searched(table, looks, order, below)
        if found is not None:
            _settle(*found, looks)
            best, below = found, found[0].pages
    return None if best is None else {name: _affine(spot, grid) for name, spot in best[1].items()}


def _orders(looks: Mapping[str, Sequence[_Look]]) -> list[tuple[str, ...]]:
    """Orders in which shapes are laid down: all of a few, else by area, height and width."""
    by_area = sorted(looks, key=lambda name: (-looks[name][0].ink.sum(), name))
    if len(looks) <= FEW:
        return list(itertools.permutations(by_area))
    heights, widths = (sorted(by_area, key=lambda name: -looks[name][0].ink.shape[axis]) for axis in (0, 1))
    return list(dict.fromkeys([tuple(by_area), tuple(heights), tuple(widths), (*by_area[1:], by_area[0])]))


def _searched(
    table: _Table, looks: Mapping[str, Sequence[_Look]], order: Sequence[str], below: int
) -> tuple[_Table, dict[str, _Spot]] | None:
    """Shapes laid one after the other, with the most promising arrangements of those laid so far kept in mind; None if they
    need as many pages as others did."""
    states: list[tuple[_Table, dict[str, _Spot]]] = [(table, {})]
    many = max(1, min(BREADTH, EFFORT // len(order)))
    for name in order:
        tries = [(spot, state, spots) for state, spots in states for spot in state.places(looks[name], many)]
        tries = [one for one in tries if one[1].pages + one[0].further < below]
        tries.sort(key=lambda one: (one[1].pages + one[0].further, one[0].depth))
        states = []
        for spot, state, spots in tries[:many]:
            after = state.copy()
            after.put(spot)
            states.append((after, {**spots, name: spot}))
    return states[0] if states else None


def _settle(table: _Table, spots: dict[str, _Spot], looks: Mapping[str, Sequence[_Look]]) -> None:
    """Take each shape up again, the lowest first, and lay it down where it is best."""
    for name in sorted(spots, key=lambda key: (-spots[key].row - spots[key].look.ink.shape[0], key)):
        table.take(spots[name])
        spots[name] = table.places(looks[name], 1)[0]
        table.put(spots[name])


def _affine(spot: _Spot, grid: _Grid) -> Affine:
    corner, at = spot.look.corner, grid.point(spot.row, spot.column)
    shift = Affine.translation(at.x - corner.x, at.y - corner.y)
    return shift @ Affine(a=-1.0, d=-1.0) if spot.look.turned else shift


def _grid(pages: Pages, side: float, gap: float) -> _Grid:
    count = tuple(max(1, math.ceil(step / side)) for step in pages.step)
    cell = (pages.step[0] / count[0], pages.step[1] / count[1])
    first = (int(pages.overlap / cell[0]), int(pages.overlap / cell[1]))
    start = Point(pages.overlap - first[0] * cell[0], first[1] * cell[1] - pages.overlap)
    return _Grid(cell, (count[0], count[1]), first, start, (math.ceil(gap / 2 / cell[0]), math.ceil(gap / 2 / cell[1])))


def _looks(shape: Any, grid: _Grid, gap: float) -> tuple[_Look, ...]:
    import shapely
    from shapely import affinity

    (wide, high), (across, down) = grid.cell, grid.pad
    looks = []
    for turned, one in enumerate((shape, affinity.rotate(shape, 180, origin=(0, 0)))):
        left, bottom, right, top = one.bounds
        columns, rows = math.ceil((right - left) / wide), math.ceil((top - bottom) / high)
        grown = shapely.buffer(one, gap / 2)
        shapely.prepare(grown)
        shapely.prepare(one)
        x = left + wide * np.arange(-across, columns + across)[None, :]
        y = top - high * np.arange(-down, rows + down)[:, None]
        squares = shapely.box(x, y - high, x + wide, y)
        ink = shapely.intersects(one, squares[down : down + rows, across : across + columns])
        looks.append(_Look(bool(turned), ink, shapely.intersects(grown, squares), Point(left, top)))
    return tuple(looks)


class _Table:
    """The drawing in squares: how many shapes keep each, and which pages have ink on them."""

    def __init__(self, grid: _Grid, columns: int) -> None:
        self._grid = grid
        self.width = columns * grid.count[0] + grid.first[0]
        self.depth = 0
        self._kept: Counts = np.zeros((0, self.width + 2 * grid.pad[0]), dtype=np.int64)
        self._inked: Counts = np.zeros((0, columns), dtype=np.int64)

    def put(self, spot: _Spot) -> None:
        """Lay a shape down."""
        self._change(spot, 1)
        self.depth = self._deepest()

    def take(self, spot: _Spot) -> None:
        """Take a shape up."""
        self._change(spot, -1)
        self.depth = self._deepest()

    @property
    def pages(self) -> int:
        """How many pages have ink on them."""
        return int((self._inked > 0).sum())

    def copy(self) -> _Table:
        """The same arrangement, to go on from."""
        twin = _Table(self._grid, self._inked.shape[1])
        twin.depth, twin._kept, twin._inked = self.depth, self._kept.copy(), self._inked.copy()
        return twin

    def places(self, looks: Sequence[_Look], many: int) -> list[_Spot]:
        """Where a shape needs the fewest further pages; of such places the highest first, then those furthest to the left."""
        found = [spot for look in looks for spot in self._places(look, many)]
        return sorted(found, key=lambda spot: (spot.further, spot.depth, spot.look.turned, spot.row, spot.column))[:many]

    def _change(self, spot: _Spot, by: int) -> None:
        rows, columns = spot.look.keep.shape
        self._grow(spot.row + rows)
        self._kept[spot.row : spot.row + rows, spot.column : spot.column + columns] += by * spot.look.keep
        sums = _sums(spot.look.ink)
        for page_row, page_column, inked in self._on_pages(sums, np.array([spot.row]), np.array([spot.column])):
            self._inked[page_row[0], page_column[0]] += by * int(inked[0])

    def _grow(self, rows: int) -> None:
        lacking = rows - len(self._kept)
        if lacking > 0:
            self._kept = np.vstack([self._kept, np.zeros((lacking, self._kept.shape[1]), dtype=np.int64)])
        pages = rows // self._grid.count[1] + 2 - len(self._inked)
        if pages > 0:
            self._inked = np.vstack([self._inked, np.zeros((pages, self._inked.shape[1]), dtype=np.int64)])

    def _deepest(self) -> int:
        rows = np.flatnonzero(self._kept.any(axis=1))
        return max(0, int(rows[-1]) + 1 - 2 * self._grid.pad[1]) if len(rows) else 0

    def _places(self, look: _Look, many: int) -> list[_Spot]:
        rows = self.depth + 2 * self._grid.pad[1] + len(look.keep)  # at the latest below everything there is room
        self._grow(rows)
        row, column = np.nonzero(self._worth_trying(_free(self._kept[:rows] > 0, look.keep), look))
        further = np.zeros(len(row), dtype=np.int64)
        for page_row, page_column, inked in self._on_pages(_sums(look.ink), row, column):
            further += inked & (self._inked[page_row, page_column] == 0)
        depth = np.maximum(row + look.ink.shape[0], self.depth)
        order = np.lexsort((column, row, depth, further))
        kept: dict[tuple[int, int], _Spot] = {}
        for at in order:
            if len(kept) == many:
                break
            phase = (int(row[at]) % self._grid.count[1] // SPREAD, int(column[at]) % self._grid.count[0] // SPREAD)
            kept.setdefault(phase, _Spot(look, int(row[at]), int(column[at]), int(further[at]), int(depth[at])))
        return list(kept.values())

    def _worth_trying(self, free: Mask, look: _Look) -> Mask:
        """Of the free places those from which it can move neither up nor left without meeting something or another page."""
        tight = []
        for axis in (0, 1):
            before = np.zeros_like(free)
            before[(slice(1, None), slice(None)) if axis == 0 else (slice(None), slice(1, None))] = np.delete(free, -1, axis)
            at = np.arange(free.shape[axis])
            count, first, long = self._grid.count[1 - axis], self._grid.first[1 - axis], look.ink.shape[axis]
            edge = ((at - first) % count == 0) | ((at + long - first) % count == 0)
            tight.append(~before | (edge[:, None] if axis == 0 else edge[None, :]))
        return np.asarray(free & tight[0] & tight[1])

    def _on_pages(self, sums: Counts, row: Counts, column: Counts) -> Iterator[tuple[Counts, Counts, Mask]]:
        """For places of a shape, page after page that it may reach: row and column of the page, and whether ink lies on it."""
        rows, columns = sums.shape[0] - 1, sums.shape[1] - 1
        first_row, last_row = self._pages_of(row, 1), self._pages_of(row + rows - 1, 1)
        first_column = self._pages_of(column, 0)
        last_column = np.minimum(self._pages_of(column + columns - 1, 0), self._inked.shape[1] - 1)
        for down in range(int((last_row - first_row).max()) + 1):
            for across in range(int((last_column - first_column).max()) + 1):
                page_row, page_column = first_row + down, first_column + across
                top, bottom = self._edges(page_row, 1, row, rows)
                left, right = self._edges(page_column, 0, column, columns)
                ink = sums[bottom, right] - sums[top, right] - sums[bottom, left] + sums[top, left]
                there = (ink > 0) & (page_row <= last_row) & (page_column <= last_column)
                yield np.minimum(page_row, len(self._inked) - 1), np.minimum(page_column, self._inked.shape[1] - 1), there

    def _pages_of(self, squares: Counts, axis: int) -> Counts:
        return np.maximum(0, (squares - self._grid.first[axis]) // self._grid.count[axis])

    def _edges(self, page: Counts, axis: int, start: Counts, count: int) -> tuple[Counts, Counts]:
        """Which of a shape's squares lie on a page: from, and up to."""
        low = np.where(page == 0, 0, page * self._grid.count[axis] + self._grid.first[axis])
        high = (page + 1) * self._grid.count[axis] + self._grid.first[axis]
        return np.clip(low - start, 0, count), np.clip(high - start, 0, count)


def _sums(mask: Mask) -> Counts:
    """Sums of all squares above and to the left."""
    sums = np.zeros((mask.shape[0] + 1, mask.shape[1] + 1), dtype=np.int64)
    sums[1:, 1:] = mask.cumsum(axis=0).cumsum(axis=1)
    return sums


def _free(kept: Mask, shape: Mask) -> Mask:
    """Where the upper left corner of a shape may lie so that it meets nothing that is kept."""
    rows, columns = kept.shape[0] - shape.shape[0] + 1, kept.shape[1] - shape.shape[1] + 1
    if not kept.any():
        return np.ones((rows, columns), dtype=np.bool_)
    size = (_quick(kept.shape[0]), _quick(kept.shape[1]))
    there = np.fft.irfft2(np.fft.rfft2(kept, s=size) * np.conj(np.fft.rfft2(shape, s=size)), s=size)
    return np.asarray(there[:rows, :columns] < 0.5)


def _quick(length: int) -> int:
    """A length from here on that Fourier transforms are quick with."""
    step = 1 << max(0, length.bit_length() - 3)
    return -(-length // step) * step
