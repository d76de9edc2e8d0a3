"""The pieces of a garment at true size, set economically on one long drawing and cut into pages."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from firsthand.errors import FirsthandError
from firsthand.findings import blocked
from firsthand.fit.model import FitResult
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, Sink, WordKind
from firsthand.pattern import Garment, Piece, drawn_outline
from firsthand.sheets._cover import Cover, draw_cover
from firsthand.sheets._label import draw_label, label_box, label_words, place_label
from firsthand.sheets._lettering import ASCENT, shortened
from firsthand.sheets._packing import Pages, pack
from firsthand.sheets._paper import MARGIN, UNPRINTABLE, Paper, paper
from firsthand.sheets._piece import draw_piece
from firsthand.sheets._tiling import OVERLAP, Tile, Tiling, draw_joins, tile
from firsthand.sheets._words import all_findings, piece_title
from firsthand.sheets.look import WORDS
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.sheets.sinks.measure import MeasureSink
from firsthand.sheets.sinks.tape import Tape
from firsthand.units import shown

__all__ = ["TEST_SQUARE", "Drawn", "covering", "pieces", "true_size"]

TEST_SQUARE = 100.0
"""True side of the test square, mm."""
GAP = 8.0
"""Between pieces on the drawing, mm."""
HAIR = 1.0
"""Kept free round everything that is drawn, so that no line is halved by the edge of the outermost page, mm."""
COLUMNS = (3, 5, 6, 8, 12, 20, 32)
"""Columns of pages that are tried, those beyond :data:`MOST` only for what is wider."""
MOST = 8
AIR = 1.2
"""Between the drawing and the words in the margins, mm."""
_TURN = math.pi / 2


@dataclass(frozen=True, slots=True)
class Drawn:
    """A piece ready to be put on paper: its drawing, its box with the label, the polygon that is cut out, and all that is
    covered, as a shape of shapely."""

    piece: Piece
    tape: Tape
    box: Box
    outline: tuple[Point, ...]
    covered: Any


@SHEETS[Scope.GARMENT].register("pieces")
def pieces(results: Results) -> tuple[SheetFile, ...]:
    """One file for each garment and paper."""
    return tuple(file for fit in results.fits.values() for file in _garment(results, fit))


def _garment(results: Results, fit: FitResult) -> tuple[SheetFile, ...]:
    garment = fit.garment
    drawn, left_out = [], []
    for piece in garment.pieces.values():
        try:
            reason = _reason(results, fit, piece)
            if not reason:
                drawn.append(_drawn(results, garment, piece))
        except FirsthandError as error:
            reason = shown(str(error), results.settings.units)
        if reason:
            left_out.append(f"{piece_title(piece)}: {reason}")
    if not drawn and not left_out:
        return ()
    title = f"{garment.name or garment.id}: pieces at true size"
    return tuple(true_size(results, garment, drawn, left_out, paper(name), title, "pieces") for name in results.settings.papers)


def _reason(results: Results, fit: FitResult, piece: Piece) -> str:
    """Why a piece is not printed; empty if it is."""
    noticed = all_findings(results.findings, fit.findings)
    garment = fit.garment.id
    found = blocked(noticed, "print", garment) or blocked(noticed, "print", f"{garment}/{piece.id}")
    if found:
        return found[0].message.removeprefix(f"{piece.name}: ")
    return "it is only a card, without an outline" if piece.is_card else ""


def _drawn(results: Results, garment: Garment, piece: Piece) -> Drawn:
    tape, measure = Tape(), MeasureSink()
    draw_piece(tape, garment, piece, results.settings.units)
    tape.play(measure)
    words = label_words(garment, piece, results.wearer, results.fabrics, results.settings.units)
    label = place_label(words, piece.drawn_shape.outline.flattened(0.2), measure)
    draw_label(tape, label)
    box = label_box(label)
    outline = drawn_outline(piece).outline.flattened(0.2)
    covered = covering(outline, [*(line for _, line in measure.lines), *(c for _, c in measure.lettering), box.corners])
    return Drawn(piece, tape, measure.bounds.union(box), outline, covered)


def covering(outline: tuple[Point, ...], drawn: Iterable[tuple[Point, ...]]) -> Any:
    """What a piece takes up on paper: itself, whatever of its drawing stands out, and a hair of air."""
    import shapely

    whole = shapely.make_valid(shapely.Polygon([(p.x, p.y) for p in outline]))
    lines = [shapely.LineString([(p.x, p.y) for p in (*line, line[0])]) for line in drawn]
    return shapely.union_all([whole, *(shapely.convex_hull(line) for line in lines if not whole.covers(line))]).buffer(HAIR)


def true_size(
    results: Results,
    garment: Garment,
    drawn: list[Drawn],
    left_out: list[str],
    sheet: Paper,
    title: str,
    kind: str,
    note: str = "",
    places: Mapping[str, Affine] | None = None,
) -> SheetFile:
    """Drawings at true size, set on pages, behind a page with the test square.

    Parameters
    ----------
    drawn
        What is set on the pages.
    left_out
        What is not, and why, a line each.
    sheet
        The paper.
    title, kind
        Title and kind of the file; the kind is also its name.
    note
        What else is said at its top.
    places
        Where each drawing goes, if that is settled; the upper left corner of the first page is the origin.
    """
    from firsthand.sheets.sinks.pdf import PdfDocument

    document = PdfDocument(title, subject=results.costume, language=results.settings.words)
    shapes = {d.piece.id: d.covered for d in drawn}
    places, tiling = _best(shapes, sheet) if places is None else (places, _tiled(shapes, places, sheet))
    pages = {one: number for number, one in enumerate(tiling.tiles, start=2)} if tiling else {}
    cover = Cover(title, results, garment, sheet, tiling, pages, tuple((d.piece, places[d.piece.id], d.outline) for d in drawn),
                  tuple(left_out), note)  # fmt: skip
    draw_cover(document.page(sheet.width, sheet.height, bookmark="Test square and page map"), cover, TEST_SQUARE)
    for one, number in pages.items():
        sink = document.page(sheet.width, sheet.height, bookmark=f"{one.name}")
        _draw_page(sink, garment, drawn, places, cover, one, number)
    name = f"{garment.id}/{kind}-{sheet.name}.pdf"
    return SheetFile(name, kind, title, document.bytes(), sheet.name, document.pages, TEST_SQUARE)


def _best(shapes: Mapping[str, Any], sheet: Paper) -> tuple[Mapping[str, Affine], Tiling | None]:
    """The arrangement with the fewest pages, the narrowest of those."""
    if not shapes:
        return {}, None
    step = (sheet.frame.width - OVERLAP, sheet.frame.height - OVERLAP)
    best: tuple[dict[str, Affine], Tiling] | None = None
    for columns in (columns for columns in COLUMNS if best is None or columns <= MOST):
        places = pack(shapes, Pages(step, OVERLAP, columns), GAP, **({} if best is None else {"below": len(best[1].tiles)}))
        if places is not None:
            best = places, _tiled(shapes, places, sheet)
    assert best is not None  # no piece is wider than the widest drawing: the checks hold larger ones back
    return best


def _tiled(shapes: Mapping[str, Any], places: Mapping[str, Affine], sheet: Paper) -> Tiling:
    import shapely
    from shapely import affinity

    maps = {name: [by.a, by.c, by.b, by.d, by.e, by.f] for name, by in places.items()}
    laid = [affinity.affine_transform(shape, maps[name]) for name, shape in shapes.items()]
    tree = shapely.STRtree(laid)
    _, bottom, right, _ = shapely.total_bounds(laid)

    def shown(box: Box) -> bool:
        return len(tree.query(shapely.box(box.left, box.bottom, box.right, box.top), predicate="intersects")) > 0

    return tile(Box(0.0, float(bottom), float(right), 0.0), sheet, shown)


def _draw_page(
    sink: Sink, garment: Garment, drawn: list[Drawn], places: Mapping[str, Affine], cover: Cover, one: Tile, number: int
) -> None:
    tiling = cover.tiling
    assert tiling is not None  # a page is a tile of it
    sink.push(tiling.to_page(one), clip=one.box)
    for d in drawn:
        by = places[d.piece.id]
        if d.outline and Path.polygon(d.box.corners).transformed(by).bounds.touches(one.box):
            sink.push(by, name=piece_title(d.piece))
            d.tape.play(sink)
            sink.pop()
    sink.pop()
    sink.push(tiling.to_page(one))
    draw_joins(sink, tiling, one)
    sink.pop()
    _draw_edges(sink, garment, cover, one, number)


def _draw_edges(sink: Sink, garment: Garment, cover: Cover, one: Tile, number: int) -> None:
    """Words in the narrow band between the drawing and what a printer can reach."""
    tiling, sheet = cover.tiling, cover.paper
    assert tiling is not None
    frame, low = sheet.frame, UNPRINTABLE + 1.0
    half = frame.width / 2
    name = f"{garment.name or garment.id}, page {number} of {len(tiling.tiles) + 1}"
    # letters and figures of the page's name have no descenders: it may stand a little lower
    sink.words(one.name, Point(frame.left, UNPRINTABLE + 0.2), WordKind.HEADING)
    sink.words(shortened(name, WordKind.TINY, half - 45), Point(frame.left + 14, low), WordKind.TINY)
    owner = shortened(cover.owner, WordKind.TINY, half - 45)
    sink.words(owner, Point(frame.right, low), WordKind.TINY, anchor=Anchor.END)
    below, beside = tiling.neighbour(one, 0, 1), tiling.neighbour(one, 1, 0)
    middle = frame.centre
    if below:
        sink.words(f"lay {below.name} up to the dots", Point(middle.x, low), WordKind.TINY, anchor=Anchor.MIDDLE)
    if beside:
        at = Point(sheet.width - MARGIN + AIR + WORDS[WordKind.TINY].size * ASCENT, middle.y)
        sink.words(f"lay {beside.name} up to the dots", at, WordKind.TINY, anchor=Anchor.MIDDLE, angle=_TURN)
    if tiling.neighbour(one, -1, 0):
        at = Point(MARGIN - AIR, middle.y)
        sink.words("cut this margin off", at, WordKind.TINY, anchor=Anchor.MIDDLE, angle=_TURN)
    if tiling.neighbour(one, 0, -1):
        sink.words("cut this margin off", Point(middle.x, frame.top + AIR), WordKind.TINY, anchor=Anchor.MIDDLE)
