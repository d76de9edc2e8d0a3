"""The first page of the pieces: test square, how to join the pages, a map of them, the key, what is left out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, Sink, WordKind
from firsthand.pattern import Garment, Piece
from firsthand.sheets._lettering import LEADING, shortened, width, wrap
from firsthand.sheets._paper import Paper
from firsthand.sheets._paragraph import paragraph
from firsthand.sheets._placing import Walls
from firsthand.sheets._tiling import Tile, Tiling
from firsthand.sheets._words import piece_title
from firsthand.sheets.look import MEANINGS, WORDS
from firsthand.sheets.model import Results
from firsthand.units import MM_PER_INCH

__all__ = ["Cover", "draw_cover"]

Marks = list[tuple[str, WordKind, list[Point]]]
"""Words for the map: text, kind, and places in order of preference."""

PRINTING = (
    "Print at 100 % (“actual size”), never “fit to page”. Measure both sides of this square and the line below it "
    "before you cut anything.",
    "If both measure wrong by the same share, print again at 10 000 ÷ what the square measures in mm, in per cent: "
    "measured 98 mm, print at 102 %.",
    "If only one way is wrong the printer drags the paper: try another printer or a copy shop. Never stretch the pages "
    "to meet.",
)
JOINING = (
    "Cut off the left and upper margins where it says so.",
    "Lay each page over its neighbour’s strip up to the dotted line, so that both halves of every diamond meet. "
    "Glue or tape row by row, then row to row.",
)


@dataclass(frozen=True, slots=True)
class Cover:
    """What the first page is about."""

    title: str
    results: Results
    garment: Garment
    paper: Paper
    tiling: Tiling | None
    pages: Mapping[Tile, int]
    pieces: tuple[tuple[Piece, Affine, tuple[Point, ...]], ...]
    left_out: tuple[str, ...]
    note: str = ""

    @property
    def is_joined(self) -> bool:
        """Whether any of its pages is joined to another one."""
        tiling = self.tiling
        return tiling is not None and any(tiling.neighbour(one, *way) for one in tiling.tiles for way in ((1, 0), (0, 1)))

    @property
    def owner(self) -> str:
        """The costume and who wears it."""
        return ", for ".join(word for word in (self.results.costume, self.results.wearer) if word)


def draw_cover(sink: Sink, cover: Cover, square: float) -> None:
    """Draw the first page.

    Parameters
    ----------
    square
        Side of the test square, mm.
    """
    frame = cover.paper.frame
    y = paragraph(sink, cover.title, Point(frame.left, frame.top), frame.width, WordKind.TITLE, most=2)
    count = len(cover.pages) + 1
    about = f"{cover.owner}. Size {cover.garment.size}. {cover.paper.name}, {count} page{'s' * (count > 1)}."
    y = paragraph(sink, about, Point(frame.left, y), frame.width, WordKind.BODY, most=2)
    y = (paragraph(sink, cover.note, Point(frame.left, y), frame.width, WordKind.BODY, most=3) if cover.note else y) - 3
    low = y - square
    _draw_square(sink, Box(frame.left + 0.5, low, frame.left + 0.5 + square, y), square)
    _draw_beside(sink, cover, Box(frame.left + square + 8, low - 14, frame.right, y))
    _draw_pages(sink, cover, Box(frame.left, frame.bottom, frame.right, low - 20))


def _draw_square(sink: Sink, box: Box, square: float) -> None:
    sink.path(Path.polygon(box.corners), LineKind.FRAME)
    at = Point(box.left + 5, box.top - 5)
    y = paragraph(sink, f"This square is {square:.0f} mm (10 cm) each way", at, square - 10, WordKind.HEADING) - 1.5
    for text in PRINTING:
        y = paragraph(sink, text, Point(at.x, y), square - 10, WordKind.BODY) - 1.8
    _draw_inches(sink, Point(box.left, box.bottom - 7))


def _draw_inches(sink: Sink, start: Point) -> None:
    """A line of four inches, ticked at each."""
    long = 4 * MM_PER_INCH
    sink.path(Path.line(start, start + Point(long, 0)), LineKind.FRAME)
    for inch in range(5):
        tick = start + Point(inch * MM_PER_INCH, 0)
        high = 2.5 if inch in (0, 4) else 1.5
        sink.path(Path.line(tick - Point(0, high), tick + Point(0, high)), LineKind.FRAME)
    sink.words("this line is 4 in", start + Point(long / 2, -5.5), WordKind.SMALL, anchor=Anchor.MIDDLE)


def _draw_beside(sink: Sink, cover: Cover, box: Box) -> None:
    y = box.top
    if cover.is_joined or not cover.pages:
        y = paragraph(sink, "Joining the pages", Point(box.left, y), box.width, WordKind.HEADING) - 1
        for text in JOINING:
            y = paragraph(sink, text, Point(box.left, y), box.width, WordKind.SMALL) - 1
        y -= 2.5
    y = paragraph(sink, "What the lines mean", Point(box.left, y), box.width, WordKind.HEADING) - 1
    step = min(6.0, (y - box.bottom) / (len(MEANINGS) + 2))
    for kind, meaning in MEANINGS:
        y -= step
        sink.path(Path.line(Point(box.left, y + 1), Point(box.left + 24, y + 1)), kind)
        sink.words(shortened(meaning, WordKind.SMALL, box.width - 27), Point(box.left + 27, y), WordKind.SMALL)
    y -= step
    for x in (8.5, 11.5, 16.0):
        sink.path(Path.line(Point(box.left + x, y - 0.5), Point(box.left + x, y + 3)), LineKind.NOTCH)
    sink.words("notches: match them", Point(box.left + 27, y), WordKind.SMALL)
    y -= step
    sink.path(Path.line(Point(box.left, y + 1), Point(box.left + 20, y + 1)), LineKind.GRAIN)
    head = [Point(box.left + 24, y + 1), Point(box.left + 19.5, y + 2.6), Point(box.left + 19.5, y - 0.6)]
    sink.path(Path.polygon(head), LineKind.GRAIN)
    sink.words("grain; the head points up", Point(box.left + 27, y), WordKind.SMALL)


def _draw_pages(sink: Sink, cover: Cover, box: Box) -> None:
    side = 66.0
    if cover.tiling:
        y = paragraph(sink, "Which page goes where", Point(box.left, box.top), box.width - side - 6, WordKind.HEADING)
        _draw_map(sink, cover, cover.tiling, Box(box.left, box.bottom, box.right - side - 6, y - 2))
    _draw_list(sink, cover, Box(box.right - side, box.bottom, box.right, box.top))


def _draw_map(sink: Sink, cover: Cover, tiling: Tiling, box: Box) -> None:
    """A small picture of all pages with the pieces on them."""
    tiles = tiling.tiles
    left, right = min(t.box.left for t in tiles), max(t.box.right for t in tiles)
    bottom, top = min(t.box.bottom for t in tiles), max(t.box.top for t in tiles)
    scale = min((box.width - 1) / (right - left), (box.height - 1) / (top - bottom))
    sink.push(Affine.translation(box.left + 0.5, box.top - 0.5) @ Affine.scaling(scale) @ Affine.translation(-left, -top))
    for _, by, outline in cover.pieces:
        sink.path(Path.polygon(outline).transformed(by), LineKind.PART)
    walls = [tuple(map(by, (*outline, outline[0]))) for _, by, outline in cover.pieces]
    for one in tiles:
        sink.path(Path.polygon(one.box.corners), LineKind.RULE)
        walls.append((*one.box.corners, one.box.corners[0]))
    marks = [(one.name, WordKind.TINY, _spots(one.box)) for one in tiles]
    marks += [(piece.number, WordKind.HEADING, _middles(tiles, by, outline)) for piece, by, outline in cover.pieces]
    _draw_marks(sink, marks[::-1], walls, scale)
    sink.pop()


def _draw_marks(sink: Sink, marks: Marks, walls: list[tuple[Point, ...]], scale: float) -> None:
    """Names on the map, each at the first of its spots where it covers no line and no other name."""
    for text, kind, spots in marks:
        free = Walls(walls)
        high, long = WORDS[kind].size * 0.8 / scale, width(text, kind) / scale
        for spot in spots:
            box = Box(spot.x - long / 2, spot.y - high / 2, spot.x + long / 2, spot.y + high / 2)
            if free.free(box.corners, 0.3 / scale):
                sink.words(text, Point(spot.x, box.bottom + high * 0.05), kind, anchor=Anchor.MIDDLE)
                walls.append((*box.corners, box.corners[0]))
                break


def _spots(box: Box) -> list[Point]:
    """Places for a page's name, the upper left corner first."""
    shares = (0.14, 0.5, 0.86, 0.3, 0.7)
    return [Point(box.left + box.width * x, box.top - box.height * y) for y in shares for x in shares]


def _middles(tiles: tuple[Tile, ...], by: Affine, outline: tuple[Point, ...]) -> list[Point]:
    """Places for a piece's number, near its middle and away from the joins."""
    box = Path.polygon(outline).transformed(by).bounds
    spots = [spot for one in tiles for spot in _spots(one.box) if box.touches(Box.around([spot]))]
    return sorted(spots, key=lambda spot: spot.distance(box.centre)) + _spots(box)


def _draw_list(sink: Sink, cover: Cover, box: Box) -> None:
    y = box.top
    if cover.left_out:
        y = paragraph(sink, "Not printed", Point(box.left, y), box.width, WordKind.HEADING) - 0.5
        y = _items(sink, cover.left_out, Box(box.left, box.bottom + 12, box.right, y), lines=3) - 2
    names = tuple(piece_title(piece) for piece, _, _ in cover.pieces)
    if names and y - box.bottom > 12:
        y = paragraph(sink, "Pieces", Point(box.left, y), box.width, WordKind.HEADING) - 0.5
        _items(sink, names, Box(box.left, box.bottom, box.right, y), lines=3)


def _items(sink: Sink, items: tuple[str, ...], box: Box, *, lines: int) -> float:
    """A list from the top of a box; what does not fit is counted."""
    y, step = box.top, WORDS[WordKind.SMALL].size * LEADING
    for done, item in enumerate(items):
        rest = len(items) - done
        need = min(lines, len(wrap(item, WordKind.SMALL, box.width))) * step
        if y - need - (step if rest > 1 else 0) < box.bottom:
            return paragraph(sink, f"and {rest} more", Point(box.left, y), box.width, WordKind.SMALL)
        y = paragraph(sink, item, Point(box.left, y), box.width, WordKind.SMALL, most=lines) - 0.6
    return y
