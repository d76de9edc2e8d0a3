"""Where each page lies on the one long drawing that was cut into them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from firsthand.geometry import Box, Point
from firsthand.importers.pdf._borders import Borders
from firsthand.importers.pdf._clip import clipped
from firsthand.importers.pdf._frames import framed, on_frame
from firsthand.importers.pdf._labels import Grid, asked_grid, labelled_grids
from firsthand.importers.pdf._state import PageDrawing

__all__ = ["Joined", "Tile", "joined"]

OVERLAP = 60.0
"""Neighbours show at most so much of each other, mm."""
GAP = 1.0  # mm; frames may stand this far apart on the drawing
SIDEWAYS = 1.0  # mm by which rows may be shifted against each other
SAME = 0.15  # mm; points of two pages closer than this are one
MOST_POINTS = 700  # of one page
CANDIDATES = 8
"""Shifts that are compared line by line."""
MOST_COMPARED = 8
"""Pairs of pages compared so."""
ROUNDING = 0.02  # mm; smaller shifts are none
MOST_GUESSED = 60
"""Pages whose order is guessed at most."""


@dataclass(frozen=True, slots=True)
class Tile:
    """One page: its frame on the page, its place, and the shift to the whole drawing."""

    number: int
    frame: Box
    row: int
    column: int
    shift: Point


@dataclass(frozen=True, slots=True)
class Joined:
    """All pages placed.

    Parameters
    ----------
    tiles
        The pages; each by itself if nothing joins them.
    how
        ``told``, ``labels``, ``guessed``, ``one page`` or ``apart``.
    overlap
        How much neighbours show of each other sideways and upwards, mm.
    residual
        RMS distance of points that two pages share, mm; None if they share none.
    shared
        How many points that are.
    """

    tiles: tuple[Tile, ...]
    how: str
    overlap: tuple[float, float] = (0.0, 0.0)
    residual: float | None = None
    shared: int = 0


def joined(drawings: Sequence[PageDrawing], pages: str = "", total: int = 0) -> Joined:
    """Place the pages.

    Raises
    ------
    BadInput
        If the grid told by hand has no sense.
    """
    grid = asked_grid(pages, total or len(drawings)) if pages.strip() else None
    chosen = [one for one in drawings if one.strokes and (grid is None or one.number in grid)]
    frames = framed(chosen)
    if grid is not None:
        frames = {one.number: frames.get(one.number, Box(0, 0, one.width, one.height)) for one in chosen}
    chosen = [one for one in chosen if one.number in frames]
    if not chosen:
        return Joined((), "apart")
    match = _Match(chosen, frames)
    if grid is not None:
        return match.placed({k: place for k, place in grid.items() if k in frames}, "told")
    if len(chosen) == 1:
        return match.placed({chosen[0].number: (0, 0)}, "one page")
    labelled = list(labelled_grids(chosen))
    if labelled:
        best = max(enumerate(labelled), key=lambda one: (match.score(one[1]), -one[0]))[1]
        return match.placed(best, "labels")
    guesses = list(_guesses([one.number for one in chosen])) if len(chosen) <= MOST_GUESSED else []
    scored = [(match.score(guess), -abs(_columns(guess) - math.sqrt(len(chosen))), k) for k, guess in enumerate(guesses)]
    if scored and max(scored)[0] >= len(chosen) - 1:
        return match.placed(guesses[max(scored)[2]], "guessed")
    return Joined(match.apart(), "apart")


def _columns(grid: Grid) -> int:
    return 1 + max(column for _, column in grid.values())


def _guesses(numbers: Sequence[int]) -> Iterator[Grid]:
    """Pages in the order of the file, row by row or column by column, in any number of columns that fills all but one row."""
    count = len(numbers)
    for wide in range(1, count + 1):
        yield {number: divmod(k, wide) for k, number in enumerate(numbers)}
        if 1 < wide < count:
            yield {number: (k % wide, k // wide) for k, number in enumerate(numbers)}


class _Match:
    """Compares pages at the edges where they would meet."""

    def __init__(self, drawings: Sequence[PageDrawing], frames: dict[int, Box]) -> None:
        self._frames = frames
        self._drawings = {one.number: one for one in drawings}
        self._along: dict[tuple[int, int, bool], Any] = {}
        self._edges_of: dict[int, Borders] = {}
        self._points = {one.number: _points(one, frames[one.number]) for one in drawings}
        self._pairs: dict[tuple[int, int, bool], Any] = {}

    def _offsets(self, a: int, b: int, sideways: bool) -> Any:
        """All shifts, beside that of frames edge to edge, that bring a point of b (to the right or below) on one of a."""
        key = (a, b, sideways)
        if key not in self._pairs:
            one, two = self._frames[a], self._frames[b]
            axis = 0 if sideways else 1
            p = self._points[a] - ([one.right, one.top] if sideways else [one.left, one.bottom])
            q = self._points[b] - [two.left, two.top]
            way = -1 if sideways else 1
            between = (p[:, None, :] - q[None, :, :]).reshape(-1, 2)
            deep = between[:, axis] * way
            kept = (deep > -GAP) & (deep < OVERLAP) & (np.abs(between[:, 1 - axis]) < SIDEWAYS)
            along = self._borders(a).depths(self._borders(b), sideways, OVERLAP)
            self._along[key] = along
            self._pairs[key] = np.concatenate([between[kept], along])
        return self._pairs[key]

    def _neighbours(self, grid: Grid) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
        at = {place: number for number, place in grid.items()}
        beside = [(n, at[r, c + 1]) for n, (r, c) in grid.items() if (r, c + 1) in at]
        below = [(n, at[r + 1, c]) for n, (r, c) in grid.items() if (r + 1, c) in at]
        return beside, below

    def _step(self, pairs: list[tuple[int, int]], sideways: bool) -> tuple[Any, int, Any]:
        """The shift that most shared points agree on, how many do, and how far they are from it."""
        offsets = [self._offsets(a, b, sideways) for a, b in pairs]
        every = np.concatenate(offsets) if offsets else np.zeros((0, 2))
        if len(every) == 0:
            return np.zeros(2), 0, np.zeros(0)
        cells, counts = np.unique(np.round(every / SAME).astype(np.int64), axis=0, return_counts=True)
        deep = np.abs(cells[:, 0 if sideways else 1] * SAME)
        likeliest = [self._refined(every, cells[k] * SAME) for k in np.lexsort((deep, -counts))[:CANDIDATES]]
        likeliest.append(self._refined(every, np.zeros(2)))
        along = np.concatenate([self._along[a, b, sideways] for a, b in pairs])
        if len(along):
            cells, counts = np.unique(np.round(along / SAME).astype(np.int64), axis=0, return_counts=True)
            likeliest += [self._refined(along, cells[k] * SAME) for k in np.argsort(-counts, kind="stable")[: 3 * CANDIDATES]]
        middle = max(likeliest, key=lambda middle: self._worth(pairs, sideways, every, middle))
        close = every[np.linalg.norm(every - middle, axis=1) < 1.5 * SAME]
        if len(close) < 2 and self._worth(pairs, sideways, every, middle)[0] <= 0:
            return np.zeros(2), 0, np.zeros(0)  # one point alone may be chance
        return middle, len(close), np.linalg.norm(close - middle, axis=1)

    def _refined(self, every: Any, middle: Any) -> Any:
        for _ in range(3):
            close = every[np.linalg.norm(every - middle, axis=1) < 1.5 * SAME]
            middle = np.median(close, axis=0) if len(close) else middle
        return np.where(np.abs(middle) < ROUNDING, 0.0, middle)

    def _worth(self, pairs: list[tuple[int, int]], sideways: bool, every: Any, middle: Any) -> tuple[int, int]:
        """How many lines go on from page to page less those that break off, and how many points are shared."""
        good = bad = 0
        for a, b in pairs[:MOST_COMPARED]:
            one, two = self._borders(a), self._borders(b)
            more, less = one.agreement(two, sideways, middle)
            good, bad = good + more, bad + less
        shared = int((np.linalg.norm(every - middle, axis=1) < 1.5 * SAME).sum())
        return good - 2 * bad, shared

    def _borders(self, number: int) -> Borders:
        if number not in self._edges_of:
            self._edges_of[number] = Borders(self._drawings[number], self._frames[number], OVERLAP + GAP)
        return self._edges_of[number]

    def score(self, grid: Grid) -> int:
        """How many points the pages share if they lie so."""
        beside, below = self._neighbours(grid)
        total = 0
        for pairs, sideways in ((beside, True), (below, False)):
            middle, shared, _ = self._step(pairs, sideways)
            found = [self._borders(a).agreement(self._borders(b), sideways, middle) for a, b in pairs[:MOST_COMPARED]]
            total += min(shared, 500) // 100 + sum(good - 2 * bad for good, bad in found)
        return total

    def placed(self, grid: Grid, how: str) -> Joined:
        """The pages in a grid."""
        beside, below = self._neighbours(grid)
        across, _, apart = self._step(beside, True)
        down, _, away = self._step(below, False)
        lefts = self._edges(grid, 1, lambda box: box.width, across[0])
        tops = self._edges(grid, 0, lambda box: box.height, -down[1])
        tiles = []
        for number, (row, column) in sorted(grid.items()):
            frame = self._frames[number]
            x = lefts[column] + row * float(down[0])
            y = -tops[row] + column * float(across[1])
            tiles.append(Tile(number, frame, row, column, Point(x - frame.left, y - frame.top)))
        rest = np.concatenate([apart, away])
        residual = float(np.sqrt((rest**2).mean())) if len(rest) else None
        overlap = (max(0.0, -float(across[0])), max(0.0, float(down[1])))
        return Joined(tuple(tiles), how, overlap, residual, len(rest))

    def _edges(self, grid: Grid, axis: int, extent: Any, step: float) -> list[float]:
        most = 1 + max(place[axis] for place in grid.values())
        usual = max(extent(self._frames[number]) for number in grid)
        edges = [0.0]
        for k in range(most):
            own = [extent(self._frames[number]) for number, place in grid.items() if place[axis] == k]
            edges.append(edges[-1] + (max(own) if own else usual) + float(step))
        return edges

    def apart(self) -> tuple[Tile, ...]:
        """Every page by itself, side by side with room between."""
        tiles, x = [], 0.0
        for k, (number, frame) in enumerate(self._frames.items()):
            tiles.append(Tile(number, frame, 0, 2 * k, Point(x - frame.left, -frame.top)))
            x += frame.width + 100.0
        return tuple(tiles)


def _points(drawing: PageDrawing, frame: Box) -> Any:
    """Corners and ends of all that is drawn within a frame, the frame left out."""
    points: dict[tuple[int, int], tuple[float, float]] = {}
    near = OVERLAP + GAP
    inner = (frame.left + near, frame.bottom + near, frame.right - near, frame.top - near)
    for stroke in drawing.strokes:
        if on_frame(stroke, frame):
            continue
        for part in clipped(stroke.path, frame):
            for p in (part.start, *(s.end for s in part)):
                if len(points) < MOST_POINTS and not (inner[0] < p.x < inner[2] and inner[1] < p.y < inner[3]):
                    points.setdefault((round(p.x * 20), round(p.y * 20)), (p.x, p.y))
    for p in [*drawing.anchors, *(word.at for word in drawing.words if not _on_page(word.at, drawing))]:
        points.setdefault((round(p.x * 20), round(p.y * 20)), (p.x, p.y))
    return np.array(list(points.values())).reshape(-1, 2)


def _on_page(point: Point, drawing: PageDrawing) -> bool:
    return 0 <= point.x <= drawing.width and 0 <= point.y <= drawing.height
