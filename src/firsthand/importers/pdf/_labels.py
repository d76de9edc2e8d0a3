"""Names of tiles, as printed on the pages: a letter and a number, row and column."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from firsthand.errors import BadInput, Problem
from firsthand.importers.pdf._state import PageDrawing, Word

__all__ = ["Grid", "asked_grid", "labelled_grids", "looks_like_label"]

Grid = Mapping[int, tuple[int, int]]
"""Row from the top and column from the left of each page, by its number."""

_BEFORE = r"(?:page|tile|sheet|teil|blatt|seite|feuille|p\.?|no\.?|nr\.?)?\s*[:#]?\s*"
_LETTER_FIRST = re.compile(rf"{_BEFORE}([A-Z]{{1,2}})\s?[-.:/]?\s?(\d{{1,2}})", re.IGNORECASE)
_NUMBER_FIRST = re.compile(rf"{_BEFORE}(\d{{1,2}})\s?[-.:/]?\s?([A-Z]{{1,2}})", re.IGNORECASE)
_ROW_COLUMN = re.compile(r".*?\br(?:ow)?\.?\s*(\d{1,2})\W*\s*c(?:ol(?:umn)?)?\.?\s*(\d{1,2}).*", re.IGNORECASE)
_COLUMN_ROW = re.compile(r".*?\bc(?:ol(?:umn)?)?\.?\s*(\d{1,2})\W*\s*r(?:ow)?\.?\s*(\d{1,2}).*", re.IGNORECASE)
_PAIR = re.compile(rf"{_BEFORE}\(?(\d{{1,2}})\s?[-,x×/]\s?(\d{{1,2}})\)?", re.IGNORECASE)
SAME_PLACE = 6.0  # mm within which labels of different pages stand on their pages


def asked_grid(words: str, pages: int) -> Grid:
    """The grid told by hand: page numbers row by row, rows divided by ``/``, ``-`` for a place without a page.

    Raises
    ------
    BadInput
        If a number is not a page, comes twice, or nothing is told.

    Examples
    --------
    >>> asked_grid("2 3 / 4 -", 4)
    {2: (0, 0), 3: (0, 1), 4: (1, 0)}
    """
    grid: dict[int, tuple[int, int]] = {}
    for row, line in enumerate(words.split("/")):
        for column, word in enumerate(line.replace(",", " ").split()):
            if word in {"-", "0", "."}:
                continue
            if not word.isascii() or not word.isdigit() or not 1 <= int(word) <= pages or int(word) in grid:
                expected = f"each page from 1 to {pages} at most once, rows divided by /"
                raise BadInput([Problem("", "--pages", repr(word[:40]), expected, "Write it as: 1 2 3 / 4 5 6")])
            grid[int(word)] = (row, column)
    if not grid:
        raise BadInput([Problem("", "--pages", repr(words[:40]), "page numbers", "Write it as: 1 2 3 / 4 5 6")])
    return grid


def labelled_grids(drawings: Sequence[PageDrawing]) -> Iterator[Grid]:
    """Grids that the labels on the pages may mean, the likeliest first; none if a page has no label of its own."""
    for pattern, sort in (
        (_ROW_COLUMN, "rc"),
        (_COLUMN_ROW, "cr"),
        (_LETTER_FIRST, "ln"),
        (_NUMBER_FIRST, "nl"),
        (_PAIR, "rc?"),
    ):
        labels = _labels(drawings, pattern)
        if labels is None:
            continue
        if sort == "rc?" and len({second for _, second in labels.values()}) == 1:
            continue  # "3/12" counts pages and says nothing of rows
        pairs = {number: (_count(a), _count(b)) for number, (a, b) in labels.items()}
        swapped = {number: (b, a) for number, (a, b) in pairs.items()}
        # letters are columns or rows; a letter as column and a number as row is the commoner (common practice)
        for grid in (swapped, pairs) if sort in {"cr", "ln"} else (pairs, swapped):
            yield _from_zero(grid)
            most = max(row for row, _ in grid.values())
            yield _from_zero({number: (most - row, column) for number, (row, column) in grid.items()})
        return


def _labels(drawings: Sequence[PageDrawing], pattern: re.Pattern[str]) -> dict[int, tuple[str, str]] | None:
    found: list[tuple[int, tuple[str, str], Word]] = []
    for drawing in drawings:
        for word in drawing.words:
            match = pattern.fullmatch(word.text.strip())
            if match:
                found.append((drawing.number, (match[1].upper(), match[2].upper()), word))
    for _, _, like in found:
        near: dict[int, set[tuple[str, str]]] = defaultdict(set)
        for number, label, word in found:
            if abs(word.box.left - like.box.left) < SAME_PLACE and abs(word.box.bottom - like.box.bottom) < SAME_PLACE:
                near[number].add(label)
        chosen = {number: next(iter(labels)) for number, labels in near.items() if len(labels) == 1}
        if len(chosen) == len(drawings) == len(set(chosen.values())):
            return chosen
    every: dict[int, list[tuple[str, str]]] = defaultdict(list)
    for number, label, _ in found:
        every[number].append(label)
    single = {number: labels[0] for number, labels in every.items() if len(set(labels)) == 1}
    return single if len(single) == len(drawings) == len(set(single.values())) else None


def _count(word: str) -> int:
    if word.isdigit():
        return int(word)
    total = 0
    for letter in word:
        total = total * 26 + ord(letter) - 64
    return total


def _from_zero(grid: Grid) -> Grid:
    rows, columns = min(row for row, _ in grid.values()), min(column for _, column in grid.values())
    return {number: (row - rows, column - columns) for number, (row, column) in grid.items()}


def looks_like_label(text: str) -> bool:
    """Whether a text may name a tile.

    Examples
    --------
    >>> [looks_like_label(text) for text in ("B3", "page 2-1", "row 2, col 3", "FRONT")]
    [True, True, True, False]
    """
    return any(pattern.fullmatch(text.strip()) for pattern in (_LETTER_FIRST, _NUMBER_FIRST, _ROW_COLUMN, _COLUMN_ROW, _PAIR))
