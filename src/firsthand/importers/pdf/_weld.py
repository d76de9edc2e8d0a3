"""The pages' lines put together: each place drawn by one page only, cut lines joined, the pages' own furniture left out."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

from firsthand.geometry import Affine, Box, Line, Path, Segment
from firsthand.importers._chains import GAP, RawLine, chained
from firsthand.importers.pdf._clip import clipped, hull_box
from firsthand.importers.pdf._dashes import undashed
from firsthand.importers.pdf._frames import on_frame
from firsthand.importers.pdf._labels import looks_like_label
from firsthand.importers.pdf._state import Look, PageDrawing, Stroke, Word
from firsthand.importers.pdf._tiles import Joined, Tile

__all__ = ["Drawn", "welded", "words_together"]

SHORTEST = 1e-3  # mm; shorter scraps are rounding
MARK = 14.0  # mm; marks for joining pages are smaller
Drawn = tuple[Look, RawLine]


def welded(drawings: Mapping[int, PageDrawing], joined: Joined) -> list[Drawn]:
    """All lines on the whole drawing, mm, joined end to end within one look."""
    owned = _own_boxes(joined)
    alone = len(joined.tiles) == 1 or joined.how == "apart"
    furniture = set() if alone else _furniture([drawings[tile.number] for tile in joined.tiles])
    pots: dict[Look, list[Path]] = defaultdict(list)
    seen: set[tuple[object, ...]] = set()
    for tile, boxes in zip(joined.tiles, owned, strict=True):
        by = Affine.translation(tile.shift.x, tile.shift.y)
        for stroke in drawings[tile.number].strokes:
            if _place(stroke) in furniture or (not alone and _belongs_to_page(stroke, tile, joined)):
                continue
            for part in (part for box in boxes for part in clipped(stroke.path, box)):
                moved = part.transformed(by)
                key = (stroke.look, *_rounded(moved))
                if part.length > SHORTEST and key not in seen:
                    seen.add(key)
                    pots[stroke.look].append(moved)
    out: list[Drawn] = []
    for look, paths in pots.items():
        lines = chained(RawLine(path) for path in paths)
        whole, dashes = undashed([_straightened(line.path) for line in lines])
        out += [(look, RawLine(path)) for path in whole]
        for period, found in dashes.items():
            drawn = Look(look.layer, look.colour, period, look.filled, look.width)
            out += [(drawn, RawLine(path)) for path in found]
    return out


def _rounded(path: Path) -> tuple[object, ...]:
    """A key that a path has in both directions and wherever it was drawn twice."""
    ends = sorted((round(p.x * 50), round(p.y * 50)) for p in (path.start, path.end))
    middle = path.at(path.length / 2)
    return (*ends, round(path.length * 20), round(middle.x * 20), round(middle.y * 20))


def words_together(drawings: Mapping[int, PageDrawing], joined: Joined) -> list[Word]:
    """All words on the whole drawing, each once; those of the margins are left out."""
    out: list[Word] = []
    seen: set[tuple[str, int, int]] = set()
    common = Counter((w.text, round(w.at.x / 3), round(w.at.y / 3)) for one in drawings.values() for w in one.words)
    labels = Counter(
        place
        for one in drawings.values()
        for place in {(round(w.at.x / 6), round(w.at.y / 6)) for w in one.words if looks_like_label(w.text)}
    )
    half = len(joined.tiles) / 2
    for tile, cell in zip(joined.tiles, _cells(joined), strict=True):
        for word in drawings[tile.number].words:
            at = word.at
            if not (cell.left <= at.x <= cell.right and cell.bottom <= at.y <= cell.top):
                continue
            if len(joined.tiles) > 1 and common[word.text, round(at.x / 3), round(at.y / 3)] > 1:
                continue
            if len(joined.tiles) > 1 and looks_like_label(word.text) and labels[round(at.x / 6), round(at.y / 6)] > half:
                continue
            box, s = word.box, tile.shift
            moved = Word(word.text, Box(box.left + s.x, box.bottom + s.y, box.right + s.x, box.top + s.y))
            key = (word.text, round(moved.at.x / 2), round(moved.at.y / 2))
            near = {(key[0], key[1] + i, key[2] + j) for i in (-1, 0, 1) for j in (-1, 0, 1)}
            if not near & seen:
                seen.add(key)
                out.append(moved)
    return out


def _own_boxes(joined: Joined) -> list[list[Box]]:
    """The boxes on each page that it alone stands for: its cell without what an earlier page stands for already.

    Cells overlap where a page between them is left out because its neighbours show all of it.
    """
    taken: list[Box] = []
    out = []
    for tile, cell in zip(joined.tiles, _cells(joined), strict=True):
        x, y = tile.shift.x, tile.shift.y
        whole = Box(cell.left + x, cell.bottom + y, cell.right + x, cell.top + y)
        boxes = [whole]
        for other in taken:
            boxes = [part for box in boxes for part in _without(box, other)]
        taken.append(whole)
        out.append([Box(b.left - x, b.bottom - y, b.right - x, b.top - y) for b in boxes])
    return out


def _without(box: Box, other: Box) -> list[Box]:
    left, right = max(box.left, other.left), min(box.right, other.right)
    bottom, top = max(box.bottom, other.bottom), min(box.top, other.top)
    if right - left < 0.5 or top - bottom < 0.5:
        return [box]
    parts = (
        (box.left, box.bottom, left, box.top), (right, box.bottom, box.right, box.top),
        (left, box.bottom, right, bottom), (left, top, right, box.top),
    )  # fmt: skip
    return [Box(*part) for part in parts if part[2] - part[0] > 1e-6 and part[3] - part[1] > 1e-6]


def _cells(joined: Joined) -> list[Box]:
    """The part of each page, on the page, that it alone stands for: frames divided in the middle of where they overlap."""
    taken = {(tile.row, tile.column) for tile in joined.tiles}
    across, down = (overlap / 2 for overlap in joined.overlap)
    cells = []
    for tile in joined.tiles:
        frame = tile.frame
        left, right = (across if (tile.row, tile.column + k) in taken else 0.0 for k in (-1, 1))
        top, bottom = (down if (tile.row + k, tile.column) in taken else 0.0 for k in (-1, 1))
        cells.append(Box(frame.left + left, frame.bottom + bottom, frame.right - right, frame.top - top))
    return cells


# furniture --------------------------------------------------------------------------------------------------------


def _place(stroke: Stroke) -> tuple[int, ...]:
    box = hull_box(stroke.path)
    return tuple(round(v * 5) for v in (box.left, box.bottom, box.right, box.top, stroke.path.length))


def _furniture(pages: Sequence[PageDrawing]) -> set[tuple[int, ...]]:
    """Strokes that stand at the same place of most pages: frames, trimming lines, marks."""
    counts = Counter(place for page in pages for place in {_place(stroke) for stroke in page.strokes})
    return {place for place, count in counts.items() if count >= max(2, 0.5 * len(pages))}


def _belongs_to_page(stroke: Stroke, tile: Tile, joined: Joined) -> bool:
    """Whether a stroke is the frame, a line along which the page is trimmed, or a small mark on such a line.

    Pages are trimmed, and their marks meet, where one's frame or its neighbour's ends.
    """
    frame, box = tile.frame, hull_box(stroke.path)
    if on_frame(stroke, frame):
        return True
    across, down = joined.overlap
    straight = len(stroke.path.segments) == 1 and isinstance(stroke.path.segments[0], Line)
    small = max(box.width, box.height) < MARK and stroke.path.is_closed
    if not (straight or small):
        return False
    for middle, thin, long, least, most, lap in (
        (box.centre.x, box.width, box.height / frame.height, frame.left, frame.right, across),
        (box.centre.y, box.height, box.width / frame.width, frame.bottom, frame.top, down),
    ):
        on_edge = min(abs(middle - edge) for edge in (least, most, least + lap, most - lap)) < 0.1
        if straight and on_edge and thin < 0.02 and long > 0.9:
            return True
        if small and (on_edge or not least + 0.1 < middle < most - 0.1):
            return True
    return False


def _straightened(path: Path) -> Path:
    """Straight lines that were cut at the edge of a page made one again."""
    kept: list[Segment] = []
    for s in path:
        last = kept[-1] if kept else None
        if isinstance(s, Line) and isinstance(last, Line) and _on(last, s):
            kept[-1] = Line(last.a, s.b)
        else:
            kept.append(s)
    first, last = kept[0], kept[-1]
    if path.is_closed and len(kept) > 3 and isinstance(first, Line) and isinstance(last, Line) and _on(last, first):
        kept = [Line(last.a, first.b), *kept[1:-1]]
    return Path(tuple(kept))


def _on(one: Line, two: Line) -> bool:
    """Whether two lines that meet are one line; the joint may be off by what printing rounds."""
    whole = two.b - one.a
    long = abs(whole.x) + abs(whole.y)
    if long < 1e-9 or (one.b - one.a).dot(whole) <= 0 or (two.b - two.a).dot(whole) <= 0:
        return False
    off = abs(whole.cross(one.b - one.a)) / one.a.distance(two.b)
    return off < 0.002 or (off < GAP / 2 and min(one.length, two.length) > 1000 * off)
