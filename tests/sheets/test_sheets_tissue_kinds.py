"""Every kind of alteration once on a piece of the demo: its card says what a maker with a ruler does."""

from __future__ import annotations

import re

import pypdfium2 as pdfium
import pytest
from tissue_entries import ENTRIES, Fields, altered_by

from firsthand.alter import ALTERATIONS, Bit, Offset, Tissue
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import LineKind
from firsthand.pattern import Corner, Edge, Shape
from firsthand.sheets._paper import Paper, paper
from firsthand.sheets._strip_pages import by_page
from firsthand.sheets._tiling import OVERLAP
from firsthand.sheets._tissue_rows import edge_rows
from firsthand.sheets._tissue_words import piece_tissues
from firsthand.sheets.alteration_cards import alteration_cards
from firsthand.sheets.alteration_strips import _strips, alteration_strips
from firsthand.sheets.before_after import before_after
from firsthand.sheets.sinks import MeasureSink
from firsthand.units import Unit

PRINTED_ANEW: tuple[str, ...] = ()
"""Kinds whose pieces are printed again: none. Even a size that was trimmed off is measured from one that was not."""
DOING = {
    "cut and spread": r"Cut from .+(spread by|lay one side over|and the cut opens|across to|to meet)",
    "cut in two": r"Draw a line (straight )?from .+ Cut the tissue along it",
    "tape": r"Tape the tissue of .+ stitching line on stitching line",
    "turn over": r"turn the tracing over",
    "open out": r"The tissue shows half of it: trace it twice",
    "each hand": r"Trace it from the tissue of",
    "measure off": r"\d mm (in|out|beyond|back|towards)",
    "mark": r"(draw it new, at|gone, leave it out)",
    "copy": r"Copy the whole piece at \d",
}
"""What a maker can do at a table, and the words that say it."""
ONLY = {"split-piece": "cut in two", "join": "tape", "mirror": "turn over", "unfold": "open out", "split-hands": "each hand",
        "scale": "copy", "flare": "cut and spread", "slash": "cut and spread", "turn-dart": "cut and spread",
        "turn-of-cloth": "measure off", "grade": "measure off", "notches": "mark", "close-dart": "mark"}  # fmt: skip
"""The shortest way of some kinds."""


def text_of(garment: str, kind: str, fields: Fields) -> str:
    """All words of the card, in one line."""
    (card,) = alteration_cards(altered_by(garment, (kind, fields)))
    pages = [page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(card.data)]
    return " ".join(" ".join(pages).split())


def test_every_kind_has_an_entry() -> None:
    assert {kind for _, kind, _ in ENTRIES} == set(ALTERATIONS)


@pytest.mark.parametrize(("garment", "kind", "fields"), ENTRIES, ids=[kind for _, kind, _ in ENTRIES])
def test_the_card_of_every_kind_says_what_to_do(garment: str, kind: str, fields: Fields) -> None:
    text = text_of(garment, kind, fields)
    found = {name for name, words in DOING.items() if re.search(words, text)}
    assert found
    assert found >= {ONLY[kind]} if kind in ONLY else True
    assert ("print it" in text) == (kind in PRINTED_ANEW)
    # no ids of files, no amounts of nothing, no mirrored edges
    assert not re.search(r"[a-z]\.[a-z]", text)
    assert not re.search(r"(by|:) 0\.0 cm", text)
    assert "mirrored" not in text


def test_a_flare_says_and_draws_where_its_cuts_are_hinged() -> None:
    """Four cuts at eighths of the hem are hinged at the eighths of the waist, within what a ruler lets one read off."""
    garment, kind, fields = next(entry for entry in ENTRIES if entry[1] == "flare")
    text = text_of(garment, kind, fields)
    hinges = [float(word) for word in re.findall(r"to waist, ([\d.]+) cm from the corner with side, and leave", text)]
    assert sorted(hinges[:2]) == pytest.approx([18.9 / 8, 18.9 * 3 / 8], abs=0.5)
    results = altered_by(garment, (kind, fields))
    (file,) = before_after(results)
    assert "cut the tissue here" in pdfium.PdfDocument(file.data)[0].get_textpage().get_text_bounded()


@pytest.mark.parametrize("kind", ["bust", "turn-dart", "split-dart", "take-in", "upper-arm", "split-piece", "turn-of-cloth"])
def test_strips_need_no_joining_and_carry_their_names(kind: str) -> None:
    garment, _, fields = next(entry for entry in ENTRIES if entry[1] == kind)
    (file,) = alteration_strips(altered_by(garment, (kind, fields), papers=("A4",)))
    document = pdfium.PdfDocument(file.data)
    pages = [page.get_textpage().get_text_bounded() for page in document]
    assert "Joining the pages" not in pages[0]
    names = re.findall(r"^\d\w? .+$", pages[0].split("Pieces")[1], re.MULTILINE)
    assert names
    rest = " ".join(" ".join(pages[1:]).split())
    for name in names:
        assert name.split(",")[0].strip() in rest


@pytest.mark.parametrize("kind", ["bust", "turn-dart", "split-dart", "take-in"])
def test_a_dart_is_whole_on_one_strip(kind: str) -> None:
    """Its legs and its point lie within the border of the strip on which its mouth is."""
    import shapely

    garment, _, fields = next(entry for entry in ENTRIES if entry[1] == kind)
    results = altered_by(garment, (kind, fields))
    fit = results.fits[garment]
    for piece, tissue in piece_tissues(fit, Unit.CM):
        strips = list(_strips(results, fit.garment, piece, tissue, paper("A4").frame))
        for dart in piece.drawn_shape.darts:
            long = piece.drawn_shape.edge(dart.edge).path.at(dart.at).distance(dart.apex)
            whole = 0
            for strip in strips:
                measure = MeasureSink()
                strip.tape.play(measure)
                border = shapely.Polygon([(p.x, p.y) for p in strip.outline])
                legs = [line for line_kind, line in measure.lines if line_kind is LineKind.DART]
                assert all(border.buffer(0.1).covers(shapely.LineString([(p.x, p.y) for p in line])) for line in legs)
                whole += sum(line[0].distance(line[-1]) > 0.9 * long for line in legs) >= 2
            assert whole, (piece.id, dart.id)


def test_words_on_a_strip_larger_than_a_page_keep_clear_of_its_joins() -> None:
    import shapely

    garment, kind, fields = next(entry for entry in ENTRIES if entry[1] == "turn-dart")
    results = altered_by(garment, (kind, fields))
    fit = results.fits[garment]
    small = Paper("small", 140.0, 160.0)
    strips = [s for p, t in piece_tissues(fit, Unit.CM) for s in _strips(results, fit.garment, p, t, small.frame)]
    places = by_page(strips, small)
    wide, high = small.frame.width - OVERLAP, small.frame.height - OVERLAP
    large = [strip for strip in strips if strip.box.height + 2 > high]
    assert large
    for strip in large:
        measure = MeasureSink()
        strip.tape.play(measure)
        box = Box.around(places[strip.piece.id](corner) for corner in strip.box.corners)
        lines = [shapely.LineString([(k * wide, box.bottom), (k * wide, box.top)]) for k in range(1, 4)]
        lines += [shapely.LineString([(box.left, -k * high), (box.right, -k * high)]) for k in range(1, 40)]
        joins = shapely.union_all(lines)
        for text, corners in measure.lettering:
            block = shapely.Polygon([(p.x, p.y) for p in map(places[strip.piece.id], corners)])
            assert block.distance(joins) > 0.5, text


def test_a_line_that_is_another_printed_size_is_called_that() -> None:
    def square(side: float) -> Shape:
        corners = [Point(0, 0), Point(side, 0), Point(side, 300), Point(0, 300)]
        names = ("hem", "side", "top", "centre")
        paths = [Path.line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
        edges = tuple(Edge(name, Corner(name), path) for name, path in zip(names, paths, strict=True))
        return Shape(edges, (Point(20, 20), Point(20, 280)))

    sizes = {"M": square(200.0), "L": square(210.0)}
    outs = tuple(Offset("side", at, "", 0.0, -10.0) for at in (50.0, 100.0))
    tissue = Tissue("p", bits=tuple(Bit(edge.id, 0.0, edge.path.length, Affine()) for edge in sizes["M"].edges), offsets=outs)
    rows = edge_rows(sizes["M"], tissue, "side", Unit.CM, {"L": sizes["L"]})
    assert [words for *_, words in rows[:2]] == ["10 mm out: the line of size L"] * 2
    assert [words for *_, words in edge_rows(sizes["M"], tissue, "side", Unit.CM)[:2]] == ["10 mm out"] * 2
