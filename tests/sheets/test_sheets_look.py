"""The look: every kind has one, kinds differ without colour, and the font has the signs we write."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ET
from importlib.resources import files

import pytest

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import LineKind, WordKind
from firsthand.sheets._lettering import font_of, shortened, width, wrap
from firsthand.sheets.look import LINES, MEANINGS, WORDS
from firsthand.sheets.sinks import SvgSink
from firsthand.sheets.sinks.pdf import PdfDocument


def test_every_kind_has_a_look() -> None:
    assert set(LINES) == set(LineKind)
    assert set(WORDS) == set(WordKind)


def test_lines_on_pieces_differ_in_black_and_white() -> None:
    looks = [(LINES[kind].width, LINES[kind].dash) for kind, _ in MEANINGS]
    for one, other in itertools.combinations(looks, 2):
        assert one != other
        assert one[1] != other[1] or abs(one[0] - other[0]) >= 0.2


def test_the_font_has_the_signs_we_write_and_its_licence() -> None:
    from reportlab.pdfbase.pdfmetrics import getFont

    for bold in (False, True):
        known = getFont(font_of(bold)).face.charToGlyph
        assert not [sign for sign in "½¼¾⅛⅜⅝⅞−°×²÷–…’“”£€äéñøčłß" if ord(sign) not in known]
    assert "SIL OPEN FONT LICENSE" in (files("firsthand.sheets") / "fonts" / "OFL.txt").read_text()


def test_wrapped_lines_fit_and_lose_nothing() -> None:
    text = "Shoulder cape overlay with pocketflapextensionsthatnobodywouldwrite and more"
    for kind in WordKind:
        for room in (15.0, 30.0, 80.0):
            lines = wrap(text, kind, room)
            assert all(width(line, kind) <= room for line in lines)
            assert "".join(lines).replace(" ", "") == text.replace(" ", "")
            assert width(shortened(text, kind, room), kind) <= room


def test_svg_groups_clip_and_keep_line_widths() -> None:
    sink = SvgSink(100, 50, "a & b")
    sink.push(Affine.scaling(0.1), name='part "one"', clip=Box(0, 0, 500, 500))
    sink.path(Path.line(Point(0, 0), Point(400, 400)), LineKind.CUTTING)
    sink.path(Path.line(Point(600, 600), Point(700, 700)), LineKind.CUTTING)  # wholly outside the clip
    sink.pop()
    root = ET.fromstring(sink.text)
    drawn = [path.get("d") for path in root.iter("{http://www.w3.org/2000/svg}path")]
    assert drawn == ["M0 50L50 50L50 0L0 0L0 50Z", "M0 50L40 10"]
    with pytest.raises(GeometryError):
        SvgSink(0, 10, "flat")


def test_enlarged_page_keeps_its_paper() -> None:
    document = PdfDocument("big")
    document.page(210, 297, enlarge=2.0).path(Path.line(Point(0, 0), Point(50, 0)), LineKind.FRAME)
    assert document.pages == 1
    assert document.bytes().startswith(b"%PDF-")
