"""Sheets for the tissue there is: golden cards, strips measured in what a reader of the PDF draws, drawings to scale."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path as File

import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest

from firsthand.alter import ALTERATIONS, Alteration, Lengthen, Scale, SplitPiece, TakeIn, TurnDart, Unfold, apply_stack
from firsthand.body import Body
from firsthand.demo import demo_patterns
from firsthand.fit import FitResult, fit_garment
from firsthand.geometry import Box, Path, Point, nearest
from firsthand.geometry.drawing import BoundsSink, LineKind
from firsthand.pattern import make_garment
from firsthand.sheets import Results, Settings, SheetFile
from firsthand.sheets._paper import paper
from firsthand.sheets._strip_pages import by_page
from firsthand.sheets._tissue_words import piece_tissues
from firsthand.sheets.alteration_cards import alteration_cards
from firsthand.sheets.alteration_strips import _strips, _Within, alteration_strips
from firsthand.sheets.before_after import BOUGHT, CUT, NOW, _fitted, before_after
from firsthand.sheets.look import LINES
from firsthand.sheets.pieces import pieces
from firsthand.sheets.sinks import MeasureSink
from firsthand.units import Unit

GOLDEN = File(__file__).parent / "golden"
MM = 25.4 / 72
HOSE: tuple[Alteration, ...] = (Lengthen(amount=30.0, level="thigh"), TakeIn(amount=40.0))
JERKIN: tuple[Alteration, ...] = (
    TurnDart(piece="front", dart="bust dart", to="shoulder at 50 %"),
    TakeIn(amount=24.0),
    SplitPiece(piece="stay", start="front at 40 %", end="inner at 60 %"),
)


def altered(name: str, *stack: Alteration, **settings: object) -> Results:
    """A garment of the demo with a stack of alterations."""
    garment = make_garment(demo_patterns()[name], "M", id=name, name=name.title())
    result = apply_stack(garment, stack)
    outlines = tuple(
        {piece: after.pieces[piece].drawn_shape for piece in record.pieces if piece in after.pieces}
        for record, (_, after) in zip(result.records, result.stages, strict=True)
    )
    assert len(result.records) == len(stack), [finding.message for finding in result.findings]
    fit = FitResult(result.garment, (), (), result.records, altered=outlines)
    return Results("Tide Warden", "Isaura", replace(Settings(), **settings), fits={name: fit})  # type: ignore[arg-type]


def words(file: SheetFile) -> str:
    """All text of a PDF, a line each."""
    pages = [page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(file.data)]
    return "\n".join(line.rstrip() for page in pages for line in page.splitlines()) + "\n"


# cards -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "stack"), [("hose", HOSE), ("jerkin", JERKIN)])
def test_cards_of_the_demo(name: str, stack: tuple[Alteration, ...]) -> None:
    (card,) = alteration_cards(altered(name, *stack))
    assert words(card) == (GOLDEN / f"alteration-card-{name}.txt").read_text("utf-8")


def test_cards_in_inches_count_in_inches_and_keep_the_millimetres() -> None:
    (card,) = alteration_cards(altered("hose", TakeIn(amount=40.0), units=Unit.INCH))
    text = words(card)
    assert "2 to 30 in" in text
    assert "¼ in (5 mm) in" in text
    assert " cm" not in text


def test_one_card_for_each_piece_that_changed_and_none_for_others() -> None:
    (card,) = alteration_cards(altered("jerkin", TakeIn(amount=24.0)))
    assert card.pages == 1
    text = words(card)
    assert "1 Jerkin front" in text
    assert "2 Jerkin back" in text
    assert "Front stay" not in text
    fit = FitResult(make_garment(demo_patterns()["jerkin"], "M", id="jerkin"), (), ())
    bare = Results("Tide Warden", "", Settings(), fits={"jerkin": fit})
    assert alteration_cards(bare) == alteration_strips(bare) == before_after(bare) == ()


def test_halves_of_a_piece_are_cut_on_its_tissue() -> None:
    (card,) = alteration_cards(altered("jerkin", *JERKIN))
    text = " ".join(words(card).split())
    assert "Front stay (upper)" in text
    assert "It is a part of the tissue of stay." in text
    assert "Draw a line straight from front" in text
    assert "print it" not in text


def test_a_copy_and_a_half_are_called_that() -> None:
    (card,) = alteration_cards(altered("jerkin", Scale(printed=100.0, measured=97.0)))
    assert "Copy the whole piece at 103.1 %" in words(card)
    assert alteration_strips(altered("jerkin", Scale(printed=100.0, measured=97.0))) == ()
    (card,) = alteration_cards(altered("jerkin", Unfold(piece="back"), TakeIn(amount=24.0)))
    assert "The tissue shows half of it" in words(card)


def test_the_fit_hands_on_what_the_cards_need() -> None:
    garment = make_garment(demo_patterns()["hose"], "M", id="hose", name="Hose")
    fit = fit_garment(garment, Body("isaura", "Isaura", {}), alterations=HOSE)
    assert [set(outlines) for outlines in fit.altered] == [{"front", "back"}, {"front", "back"}]
    (card,) = alteration_cards(Results("Tide Warden", "Isaura", Settings(), fits={"hose": fit}))
    assert words(card) == (GOLDEN / "alteration-card-hose.txt").read_text("utf-8")


def test_every_kind_is_spoken_of_only_through_records() -> None:
    """No sheet knows a kind of alteration: a new one needs nothing here."""
    folder = File(__file__).parents[2] / "src" / "firsthand" / "sheets"
    text = "".join((folder / f"{n}.py").read_text("utf-8") for n in ("_tissue_words", "alteration_cards", "alteration_strips"))
    assert not [kind for kind in ALTERATIONS if f'"{kind}"' in text]


# strips ------------------------------------------------------------------------------------------------------------


def strokes(page: pdfium.PdfPage) -> Iterator[tuple[float, list[Point]]]:
    """Line width and corner points, in mm, of every path on a page."""
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        m, width = item.get_matrix(), ctypes.c_float()
        raw.FPDFPageObj_GetStrokeWidth(item.raw, ctypes.byref(width))
        points = []
        for k in range(raw.FPDFPath_CountSegments(item.raw)):
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item.raw, k), ctypes.byref(x), ctypes.byref(y))
            points.append(Point(m.a * x.value + m.c * y.value + m.e, m.b * x.value + m.d * y.value + m.f) * MM)
        yield width.value * MM, points


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
def test_a_millimetre_of_a_strip_is_a_millimetre_of_paper(sheet: str) -> None:
    """Ticks on the printed line stand 50 mm of arc apart; on the straight end of the hose's hem that is 50 mm of paper."""
    (file,) = alteration_strips(altered("hose", *HOSE, papers=(sheet,)))
    assert file.test_square == 100.0
    document = pdfium.PdfDocument(file.data)
    assert len(document) == file.pages
    found = 0
    for k in range(1, len(document)):
        ticks = [points for width, points in strokes(document[k]) if abs(width - 0.35) < 0.02 and len(points) == 2]
        ticks = [points for points in ticks if points[0].distance(points[1]) == pytest.approx(4.0, abs=0.01)]
        middles = [a.towards(b, 0.5) for a, b in ticks]
        for one in middles:
            near = sorted(one.distance(other) for other in middles if other is not one)
            # neighbours on a line as little bent as a leg are a chord of 50 mm apart
            found += bool(near) and near[0] == pytest.approx(50.0, abs=0.15)
    assert found >= 30


def test_strips_lie_whole_on_pages_that_need_no_joining() -> None:
    results = altered("hose", *HOSE)
    fit = results.fits["hose"]
    strips = [s for p, t in piece_tissues(fit, Unit.CM) for s in _strips(results, fit.garment, p, t, paper("A4").frame)]
    places = by_page(strips, paper("A4"))
    frame = paper("A4").frame
    for strip in strips:
        box = Box.around(places[strip.piece.id](corner) for corner in strip.box.corners)
        step = (frame.width - 10.0, frame.height - 10.0)
        column, row = int(box.left // step[0]), int(-box.top // step[1])
        assert (column + row) % 2 == 0
        assert column * step[0] + 10.0 <= box.left
        assert box.right <= (column + 1) * step[0] + 10.0
        assert -(row + 1) * step[1] - 10.0 <= box.bottom
    text = words(alteration_strips(results)[0])
    assert "Joining the pages" not in text
    assert "lay B1 up" not in text


def test_strips_save_pages() -> None:
    results = altered("jerkin", TakeIn(amount=24.0))
    (strips,), (whole,) = alteration_strips(results), pieces(results)
    assert strips.pages <= whole.pages / 3


def test_a_strip_shows_the_new_line_and_the_printed_one_where_they_are() -> None:
    results = altered("hose", TakeIn(amount=40.0))
    fit = results.fits["hose"]
    piece, tissue = next(iter(piece_tissues(fit, Unit.CM)))
    strip = next(iter(_strips(results, fit.garment, piece, tissue, Box(0, 0, 300, 2000))))
    measure = MeasureSink()
    strip.tape.play(measure)
    lines = {kind: [line for k, line in measure.lines if k is kind] for kind in (LineKind.BOUGHT, LineKind.STITCHING)}
    bought = max(lines[LineKind.BOUGHT], key=lambda line: Box.around(line).height)
    new = max(lines[LineKind.STITCHING], key=lambda line: Box.around(line).height)
    assert Box.around(bought).height > 700
    middle = bought[len(bought) // 2]
    # 40 mm in all at four seams of two edges each: 5 mm at every edge
    assert nearest(Path.line(*new), middle)[1] == pytest.approx(5.0, abs=0.1)


def test_lines_end_at_the_border_of_their_strip() -> None:
    import shapely

    within = _Within(shapely.box(0, 0, 10, 10))
    within.path(Path.line(Point(-5, 5), Point(20, 5)), LineKind.FRAME)
    within.path(Path.line(Point(11, 5), Point(20, 5)), LineKind.FRAME)
    within.path(Path.line(Point(1, 1), Point(2, 2)), LineKind.FRAME)
    sink, measure = BoundsSink(), MeasureSink()
    within.tape.play(sink)
    within.tape.play(measure)
    assert sink.box == Box(0, 1, 10, 5)
    assert len(measure.lines) == 2


# before and after ----------------------------------------------------------------------------------------------------


def test_before_and_after_are_drawn_to_scale() -> None:
    results = altered("hose", *HOSE)
    piece, tissue = next(iter(piece_tissues(results.fits["hose"], Unit.CM)))
    drawing = _fitted(piece, tissue, Unit.CM, Box(10, 30, 200, 250))
    sink = BoundsSink()
    drawing.draw(sink)
    assert sink.box is not None
    both = piece.drawn_shape.outline.bounds.union(piece.sizes["M"].outline.bounds)
    assert sink.box.height == pytest.approx(both.height / drawing.scale, abs=0.01)
    (file,) = before_after(results)
    drawn = list(strokes(pdfium.PdfDocument(file.data)[0]))
    bars = [Box.around(points) for width, points in drawn if abs(width - 0.35) < 0.02 and len(points) == 2]
    # the bar of 10 cm is 20 mm at 1 to 5
    assert any(box.height < 0.01 and box.width == pytest.approx(100.0 / 5, abs=0.02) for box in bars)
    text = words(file)
    assert "1 to 5; the bar is 10.0 cm" in text
    assert "5 mm in" in text
    assert "cut the tissue here" in text


def test_lines_before_and_after_differ_in_black_and_white() -> None:
    now, bought, cut = (LINES[kind] for kind in (NOW, BOUGHT, CUT))
    assert not now.dash
    assert bought.dash
    assert now.width >= 2 * bought.width
    assert cut.dash
    assert cut.dash != bought.dash
    assert cut.round
