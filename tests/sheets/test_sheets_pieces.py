"""Pieces at true size, read back from the PDF with pypdfium2."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path as File

import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest
import shapely
from shapely.affinity import affine_transform

from firsthand.errors import GeometryError, NotThere
from firsthand.findings import Block, Finding, Severity
from firsthand.fit import FitResult
from firsthand.geometry import Affine, Box, Line, Path, Point
from firsthand.geometry.drawing import LineKind, Recorder
from firsthand.pattern import Corner, Cut, Edge, How, Pattern, Piece, Shape, check_garment, drawn_outline
from firsthand.sheets import SHEETS, Results, Scope, Settings, SheetFile, index_page, make_sheets
from firsthand.sheets._label import draw_label, label_words, place_label
from firsthand.sheets._packing import Pages, pack
from firsthand.sheets._paper import PAPERS, UNPRINTABLE, paper
from firsthand.sheets._piece import draw_piece
from firsthand.sheets._tiling import OVERLAP, column_name, tile
from firsthand.sheets.pieces import _drawn, pieces
from firsthand.sheets.sinks import MeasureSink
from firsthand.units import Unit
from firsthand.units import said as marked

MM = 25.4 / 72
GOLDEN = File(__file__).parent / "golden"


def strokes(page: pdfium.PdfPage) -> Iterator[tuple[float, list[Point]]]:
    """Line width and corner points, in mm, of every path on a page."""
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        m = item.get_matrix()
        width = ctypes.c_float()
        raw.FPDFPageObj_GetStrokeWidth(item.raw, ctypes.byref(width))
        points = []
        for k in range(raw.FPDFPath_CountSegments(item.raw)):
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item.raw, k), ctypes.byref(x), ctypes.byref(y))
            points.append(Point(m.a * x.value + m.c * y.value + m.e, m.b * x.value + m.d * y.value + m.f) * MM)
        yield width.value * MM, points


def words(file: SheetFile) -> str:
    """All text of a PDF."""
    return "\n".join(page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(file.data))


def with_piece(results: Results, piece: Piece) -> Results:
    """The results with one piece only."""
    fit = results.fits["jerkin"]
    return replace(results, fits={"jerkin": replace(fit, garment=replace(fit.garment, pieces={piece.id: piece}))})


def oblong(name: str, wide: float, high: float, allowance: float = 10.0) -> Piece:
    """A plain piece."""
    corners = [Point(0, 0), Point(wide, 0), Point(wide, high), Point(0, high)]
    edges = tuple(
        Edge(f"edge {k}", Corner(f"corner {k}"), Path.line(corners[k], corners[(k + 1) % 4]), allowance=allowance)
        for k in range(4)
    )
    shape = Shape(edges, (Point(wide / 2, high * 0.2), Point(wide / 2, high * 0.8)))
    return Piece("plain", "9", name, (Cut("shell", How.SINGLE),), size="M", shape=shape)


@pytest.fixture
def files(results: Results) -> dict[str, SheetFile]:
    """The printed pieces by paper."""
    return {file.paper: file for file in pieces(results)}


# ISO 216:2007 gives A4 as 210 x 297 mm; ANSI/ASME Y14.1 size A (Letter) is 8.5 x 11 in.
@pytest.mark.parametrize(("name", "size"), [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))])
def test_page_sizes_are_those_of_the_standard(files: dict[str, SheetFile], name: str, size: tuple[float, float]) -> None:
    document = pdfium.PdfDocument(files[name].data)
    assert len(document) == files[name].pages
    for page in document:
        assert [side * MM for side in page.get_size()] == pytest.approx(size, abs=0.1)


def test_papers_of_the_a_series_halve_each_other() -> None:
    # ISO 216: each size is the one above folded across, rounded down to a millimetre
    for big, small in (("A0", "A1"), ("A1", "A2"), ("A2", "A3"), ("A3", "A4")):
        assert PAPERS[small].height == PAPERS[big].width
        assert PAPERS[small].width == PAPERS[big].height // 2


def test_unknown_paper_is_named(results: Results) -> None:
    with pytest.raises(NotThere, match="A9"):
        pieces(replace(results, settings=Settings(papers=("A9",))))


@pytest.mark.parametrize("name", ["A4", "Letter"])
def test_square_measures_100_mm_and_line_4_inches(files: dict[str, SheetFile], name: str) -> None:
    assert files[name].test_square == 100.0
    drawn = list(strokes(pdfium.PdfDocument(files[name].data)[0]))
    boxes = [Box.around(points) for _, points in drawn]
    squares = [box for box in boxes if abs(box.width - 100) < 2 and abs(box.height - 100) < 2]
    assert len(squares) == 1
    assert (squares[0].width, squares[0].height) == pytest.approx((100, 100), abs=0.05)
    lines = [box for box in boxes if box.height < 0.01 and abs(box.width - 101.6) < 1]
    assert [box.width for box in lines] == pytest.approx([101.6], abs=0.05)


def test_a_metre_is_true_across_joins(results: Results) -> None:
    """Pages are put together by their diamonds alone; the piece's edges must then meet and measure a metre."""
    file = pieces(with_piece(replace(results, settings=Settings(papers=("A4",))), oblong("Board", 980, 980)))[0]
    document = pdfium.PdfDocument(file.data)
    seen = {}
    for k in range(1, len(document)):
        text = document[k].get_textpage().get_text_bounded()
        name = next(word for word in text.split() if word[0].isalpha() and word[1:].isdigit())
        drawn = [points for _, points in strokes(document[k])]
        diamonds = sorted(_centre(p) for p in drawn if abs(Box.around(p).width - 6) < 0.01 and len(p) > 3)
        cut = max(drawn, key=lambda p: Box.around(p).width)
        seen[name] = (diamonds, Box.around(cut))
    assert {"A1", "F1", "A4", "F4"} <= set(seen)
    shift = {"A1": Point(0, 0)}
    for name, before, across in _neighbours(seen):
        mine = [d for d in seen[name][0] if (d.x if across else -d.y) < (15 if across else -280)]
        theirs = [d for d in seen[before][0] if (d.x if across else -d.y) > (185 if across else -25)]
        step = {Point(round(a.x - b.x, 3), round(a.y - b.y, 3)) for a, b in zip(theirs, mine, strict=True)}
        assert len(step) == 1  # both diamonds of a join agree
        shift[name] = shift[before] + step.pop()
    boxes = [
        (box.left + s.x, box.bottom + s.y, box.right + s.x, box.top + s.y) for k, s in shift.items() for box in [seen[k][1]]
    ]
    for box in boxes:
        assert box == pytest.approx(boxes[0], abs=0.05)
        assert (box[2] - box[0], box[3] - box[1]) == pytest.approx((1000, 1000), abs=0.05)


def _centre(points: list[Point]) -> Point:
    return Box.around(points).centre


def _neighbours(names: dict[str, object]) -> Iterator[tuple[str, str, bool]]:
    """Each page with the one it is laid on, in an order in which that one has its place already."""
    for row in range(1, 9):
        for column in range(12):
            name = f"{column_name(column)}{row}"
            if name in names and column:
                yield name, f"{column_name(column - 1)}{row}", True
            elif name in names and row > 1:
                yield name, f"A{row - 1}", False


def test_nothing_is_drawn_where_printers_cannot_reach(files: dict[str, SheetFile], costume: Results) -> None:
    made = [*files.values(), *make_sheets(costume, Scope.GARMENT), *make_sheets(costume, Scope.COSTUME)]
    for file in {file.name: file for file in made if file.name.endswith(".pdf")}.values():
        for page in pdfium.PdfDocument(file.data):
            scale = 3.0
            picture = page.render(scale=scale).to_pil().convert("L")
            edge = int(UNPRINTABLE / MM * scale)
            wide, high = picture.size
            for strip in ((0, 0, wide, edge), (0, high - edge, wide, high), (0, 0, edge, high), (wide - edge, 0, wide, high)):
                assert picture.crop(strip).getextrema() == (255, 255), file.name


def test_same_input_same_bytes(results: Results, files: dict[str, SheetFile]) -> None:
    assert {file.paper: file.data for file in pieces(results)} == {name: file.data for name, file in files.items()}


def test_no_results_no_sheets(results: Results) -> None:
    assert make_sheets(replace(results, fits={}), Scope.GARMENT) == ()
    assert make_sheets(Results("", "", Settings()), Scope.COSTUME) == ()


def test_text_says_what_the_piece_is(files: dict[str, SheetFile]) -> None:
    text = words(files["A4"])
    for said in ("1 Front", "Jerkin, size M", "for Wenna Tresk", "cut a pair: shell (Slate melton)", "1 on the fold",
                 "5 Sash: it is only a card", "armhole 1.5 cm", "hem 3.0 cm"):  # fmt: skip
        assert said in text


def test_inches_are_inches(results: Results) -> None:
    text = words(pieces(replace(results, settings=Settings(units=Unit.INCH)))[0])
    assert "armhole ⅝ in" in text
    assert "1.5 cm" not in text


def test_a_blocked_piece_is_left_out_and_why(results: Results, findings: tuple[Finding, ...]) -> None:
    text = words(pieces(replace(results, findings=findings))[0])
    assert "4 Shoulder tab: The shoulder tab is torn." in text
    assert "seam allowance 0.6 cm" not in text
    elsewhere = Finding("piece-torn", Severity.FAULT, "Another one.", ("shirt", "tab"), blocks=(Block("print", "shirt/tab"),))
    assert "Another one" not in words(pieces(replace(results, findings=(elsewhere,)))[0])


def test_all_blocked_still_gives_a_page_that_says_so(results: Results) -> None:
    everything = Finding("scale", Severity.FAULT, "The pattern is a copy at 97 %.", blocks=(Block("print", "jerkin"),))
    file = pieces(replace(results, findings=(everything,)))[0]
    assert file.pages == 1
    assert words(file).count("copy at 97 %") == 5


def test_a_piece_that_cannot_be_drawn_does_not_stop_the_others(results: Results, fit: FitResult) -> None:
    broken = replace(fit.garment.pieces["back"], fold="no such edge")
    huge = replace(oblong("Sail", 9000, 200), id="sail")
    garment = fit.garment.with_piece(broken).with_piece(huge)
    found = check_garment(garment, Pattern("jerkin-pattern", "Jerkin", ("M",), garment.pieces))
    made = make_sheets(replace(results, fits={"jerkin": replace(fit, garment=garment)}, findings=found), Scope.GARMENT)
    text = words(next(file for file in made if file.kind == "pieces"))
    assert "2 Back: its fold edge 'no such edge' is not there" in " ".join(text.split())
    assert "9 Sail: it is 902.0 cm long with its allowances, too large to print" in " ".join(text.split())
    assert "cut a pair: shell" in text


def test_very_long_names_stay_on_the_page(results: Results) -> None:
    name = "Shoulder cape overlay with pocketflapextensionsthatnobodywouldeverwritewithoutabreak " * 3
    long = replace(results, costume=name, wearer=name)
    fit = long.fits["jerkin"]
    named = {key: replace(piece, name=name) for key, piece in fit.garment.pieces.items()}
    long = replace(long, fits={"jerkin": replace(fit, garment=replace(fit.garment, name=name, pieces=named))})
    for file in make_sheets(long, Scope.GARMENT):
        for page in list(pdfium.PdfDocument(file.data))[: 1 if file.kind == "pieces" else None]:
            wide, _ = page.get_size()
            text = page.get_textpage()
            spans = [text.get_rect(k) for k in range(text.count_rects())]
            assert spans
            assert all(left >= 9.9 / MM and right <= wide - 9.9 / MM for left, _, right, _ in spans), file.name


def test_the_fold_is_not_drawn_as_a_cut(fit: FitResult) -> None:
    back = fit.garment.pieces["back"]
    found = drawn_outline(back)
    assert found.fold == (Point(0, 590), Point(0, -30))
    assert not any(isinstance(s, Line) and abs(s.a.x) < 0.01 and abs(s.b.x) < 0.01 for s in found.cut)
    recorder = Recorder()
    draw_piece(recorder, fit.garment, back, Unit.CM)
    assert "on the fold of the cloth, do not cut" in recorder.text
    assert sum(line.startswith("bought ") for line in recorder.text.splitlines()) == 3  # hem, side and armhole were altered


@pytest.mark.parametrize("name", ["front", "back", "sleeve", "tab"])
def test_lettering_covers_no_line_and_no_other_lettering(fit: FitResult, name: str, results: Results) -> None:
    piece = fit.garment.pieces[name]
    drawn = MeasureSink()
    draw_piece(drawn, fit.garment, piece, Unit.CM)
    said = label_words(fit.garment, piece, "Wenna Tresk", results.fabrics, Unit.CM)
    draw_label(drawn, place_label(said, piece.drawn_shape.outline.flattened(0.2), drawn))
    boxes = [(text, shapely.Polygon([(p.x, p.y) for p in corners])) for text, corners in drawn.lettering]
    assert len(boxes) > 5
    for k, (text, box) in enumerate(boxes):
        for kind, line in drawn.lines:
            assert not box.intersects(shapely.LineString([(p.x, p.y) for p in line])), (text, kind)
        for other, another in boxes[k + 1 :]:
            assert box.intersection(another).area < 0.5, (text, other)


def test_a_small_piece_reads_as_before(fit: FitResult, results: Results) -> None:
    recorder = Recorder()
    piece = fit.garment.pieces["tab"]
    draw_piece(recorder, fit.garment, piece, Unit.CM)
    assert_golden("tab.txt", recorder.text)


def assert_golden(name: str, text: str) -> None:
    """Compare with a record; a missing one is written and the test fails once."""
    file = GOLDEN / name
    if not file.exists():
        file.write_text(text + "\n")
        pytest.fail(f"{name} was not there and has been written: look at it")
    assert text + "\n" == file.read_text()


def test_words_in_the_margins_touch_neither_the_drawing_nor_the_unprintable_edge(files: dict[str, SheetFile]) -> None:
    for file in files.values():
        sheet = paper(file.paper)
        page = pdfium.PdfDocument(file.data)[6]
        text = page.get_textpage()
        inner, seen = sheet.frame.grown(0.5), 0
        for k in range(text.count_rects()):
            box = Box(*(side * MM for side in text.get_rect(k)))
            said = text.get_text_bounded(*(side / MM for side in (box.left, box.bottom, box.right, box.top)))
            if "dots" in said or "margin" in said:
                assert not inner.touches(box), said
                assert min(box.left, box.bottom, sheet.width - box.right, sheet.height - box.top) > UNPRINTABLE, said
                seen += 1
        assert seen >= 3


def test_tiles_overlap_and_cover_everything() -> None:
    drawing = Box(0, -1000, 700, 0)
    tiling = tile(drawing, paper("A4"), lambda box: True)
    whole = shapely.union_all([shapely.box(t.box.left, t.box.bottom, t.box.right, t.box.top) for t in tiling.tiles])
    assert whole.covers(shapely.box(0, -1000, 700, 0))
    for one in tiling.tiles:
        beside, below = tiling.neighbour(one, 1, 0), tiling.neighbour(one, 0, 1)
        assert beside is None or one.box.right - beside.box.left == pytest.approx(OVERLAP)
        assert below is None or below.box.top - one.box.bottom == pytest.approx(OVERLAP)


def test_empty_pages_are_skipped(results: Results) -> None:
    tiling = tile(Box(0, -500, 900, 0), paper("A4"), lambda box: box.left < 10 and box.top > -10)
    assert [one.name for one in tiling.tiles] == ["A1"]


def test_a_page_with_only_what_its_neighbours_show_is_left_out() -> None:
    # a line that begins in the strip which the first and the second page both show is on the second page, all of it
    step = paper("A4").frame.width - OVERLAP
    line = shapely.LineString([(step + 4, -50), (step + 80, -50)])
    low = shapely.LineString([(step + 4, -500), (step + 80, -500), (20, -520)])

    def named(*lines: shapely.LineString) -> list[str]:
        drawing = shapely.union_all(lines)

        def shown(box: Box) -> bool:
            return bool(drawing.intersects(shapely.box(box.left, box.bottom, box.right, box.top)))

        return [one.name for one in tile(Box(0, -540, 370, 0), paper("A4"), shown).tiles]

    assert named(line) == ["B1"]
    assert named(line, low) == ["B1", "A2", "B2"]
    assert named(shapely.LineString([(step + 4, -50), (step + 6, -60)])) == ["A1"]


def test_stitching_line_at_the_edge_is_not_drawn_twice(fit: FitResult) -> None:
    recorder = Recorder()
    draw_piece(recorder, fit.garment, oblong("Strap", 40, 200, allowance=0.0), Unit.CM)
    assert f"\n{LineKind.STITCHING}" not in "\n" + recorder.text


def test_turned_text_is_never_upside_down(fit: FitResult) -> None:
    for piece in fit.garment.pieces.values():
        if piece.shape:
            measure = MeasureSink()
            draw_piece(measure, fit.garment, piece, Unit.CM)
            for text, (a, b, *_) in measure.lettering:
                angle = (b - a).angle
                assert -math.pi / 2 - 1e-6 < angle <= math.pi / 2 + 1e-3, text


def test_a_fold_edge_bent_by_a_hair_is_printed_as_the_fold(fit: FitResult) -> None:
    back = fit.garment.pieces["back"]
    edge = back.drawn_shape.edge("centre back")
    bent = replace(edge, path=Path.line(edge.path.start, Point(0.03, 300), edge.path.end))
    recorder = Recorder()
    draw_piece(recorder, fit.garment, replace(back, shape=back.drawn_shape.with_edge(bent)), Unit.CM)
    straight = Recorder()
    draw_piece(straight, fit.garment, back, Unit.CM)
    for kind in (LineKind.FOLD, LineKind.CUTTING):
        lines = [[line for line in one.text.splitlines() if line.startswith(f"{kind} ")] for one in (recorder, straight)]
        assert lines[0] == lines[1]
        assert len(lines[0]) == 1


def gore(low: float, high: float, tall: float) -> shapely.Polygon:
    return shapely.Polygon([(-low / 2, 0), (low / 2, 0), (high / 2, tall), (-high / 2, tall)])


def moved(shape: shapely.Polygon, by: Affine) -> shapely.Polygon:
    return shapely.Polygon([(p.x, p.y) for p in (by(Point(x, y)) for x, y in shape.exterior.coords)])


def test_gores_are_set_head_to_tail() -> None:
    shapes = {name: gore(400, 120, 500) for name in ("one", "two", "three")}
    pages = Pages((180, 267), 10, 5)
    places = pack(shapes, pages, 8)
    assert places is not None
    assert {round(by.a) for by in places.values()} == {1, -1}
    laid = [moved(shapes[name], by) for name, by in places.items()]
    for k, one in enumerate(laid):
        assert all(one.distance(other) >= 8 - 1e-6 for other in laid[k + 1 :])
    left, _, right, top = shapely.total_bounds(laid)
    assert left >= 0
    assert top <= 0
    assert right <= 5 * 180 + 10
    # three boxes of 400 beside each other with the gaps would reach over 1216 mm; head to tail it is 400 + 2 x (260 + 9.2)
    assert right - left < 960
    assert pack(shapes, replace(pages, columns=2), 8) is None
    assert pack(shapes, pages, 8, below=1) is None


def test_no_arrangement_lets_pieces_meet(fit: FitResult, results: Results) -> None:
    shapes = {name: _drawn(results, fit.garment, piece).covered for name, piece in fit.garment.pieces.items() if piece.shape}
    for columns in (3, 5):
        places = pack(shapes, Pages((180, 267), 10, columns), 8)
        assert places is not None
        laid = [affine_transform(shapes[n], [by.a, by.c, by.b, by.d, by.e, by.f]) for n, by in places.items()]
        assert min(one.distance(two) for k, one in enumerate(laid) for two in laid[k + 1 :]) >= 8 - 1e-6


# what is true of every sheet --------------------------------------------------------------------------------------


def test_a_sheet_goes_out_under_the_name_it_is_registered_by(results: Results, monkeypatch: pytest.MonkeyPatch) -> None:
    def odd(results: Results) -> tuple[SheetFile, ...]:
        return (SheetFile("jerkin/odd.pdf", "no such sheet", "Odd", b""),)

    monkeypatch.setitem(SHEETS[Scope.GARMENT]._entries, "odd", odd)
    made = make_sheets(results, Scope.GARMENT)
    assert {file.kind for file in made} <= set(SHEETS[Scope.GARMENT])
    assert [file.kind for file in made if file.name == "jerkin/odd.pdf"] == ["odd"]


def test_a_sheet_that_cannot_be_made_says_so_and_stops_no_other(
    results: Results, costume: Results, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(results: Results) -> tuple[SheetFile, ...]:
        raise GeometryError(f"a drawing of {marked(90_000)} needs too many pages")

    before = {file.name for file in make_sheets(results, Scope.GARMENT)}
    monkeypatch.setitem(SHEETS[Scope.GARMENT]._entries, "fit", broken)
    monkeypatch.setitem(SHEETS[Scope.COSTUME]._entries, "buy-list", broken)
    made = {file.name: file for file in make_sheets(results, Scope.GARMENT)}
    assert made.keys() == before - {"jerkin/fit.pdf"} | {"jerkin/fit-not-made.pdf"}
    (finding,) = (finding for file in made.values() for finding in file.findings)
    assert (finding.code, finding.where, finding.blocks) == ("sheet-not-made", ("jerkin", "fit"), (Block("print", "jerkin"),))
    assert "needs too many pages" in finding.message
    assert "90.0 m" in " ".join(words(made["jerkin/fit-not-made.pdf"]).split())
    other = {file.name: file for file in make_sheets(costume, Scope.COSTUME)}
    assert "buy-list-not-made.pdf" in other
    assert "findings.pdf" in other
    page = index_page(results, made.values()).data.decode()
    assert "could not be made" in page
