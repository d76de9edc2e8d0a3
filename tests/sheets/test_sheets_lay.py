"""Lay diagrams."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path as File

import pypdfium2 as pdfium
import pytest
import shapely

from firsthand.geometry import Affine, Path, Point
from firsthand.geometry.drawing import LineKind, Recorder
from firsthand.lay import FabricLays, Lay, LayItem, Placement, Way
from firsthand.sheets import Results
from firsthand.sheets._lay_diagram import draw_lay, fitted
from firsthand.sheets.lays import lay_picture, lay_sheets, lay_words
from firsthand.sheets.sinks import MeasureSink
from firsthand.units import Unit

GOLDEN = File(__file__).parent / "golden"
SVG = "{http://www.w3.org/2000/svg}"


def simple(way: Way = Way.FOLDED, *, count: int = 1, label: str = "Cape collar") -> Lay:
    """Oblongs in a row."""
    outline = Path.polygon([Point(0, 0), Point(300, 0), Point(300, 500), Point(0, 500)])
    item = LayItem("collar", label, outline, grain=(Point(150, 50), Point(150, 450)))
    places = tuple(Placement("collar", -1.5707963267948966, 20 + 520.0 * k, 320.0, copy=k + 1) for k in range(count))
    return Lay("linen", way, 700.0, 20 + 520.0 * count, (item,), places)


def recorded(lay: Lay, units: Unit = Unit.CM, wide: float = 250.0, high: float = 120.0) -> str:
    """A lay in words."""
    recorder = Recorder()
    draw_lay(recorder, fitted(lay, None, units, wide, high), Point(0, 0))
    return recorder.text


def test_a_small_lay_reads_as_before() -> None:
    file = GOLDEN / "lay.txt"
    text = recorded(simple())
    if not file.exists():
        file.write_text(text + "\n")
        pytest.fail("the record was not there and has been written: look at it")
    assert text + "\n" == file.read_text()


def test_a_lay_says_how_much_new_cloth_it_takes(results: Results) -> None:
    """190 cm after washing that takes a twentieth were 200 cm before: arithmetic."""
    lay = replace(simple(), length=1900.0)
    lays = FabricLays("linen", (lay,))
    linen = replace(results.fabrics["melton"], shrink_along=0.05, preshrunk=True)
    said = " ".join(lay_words(replace(results, fabrics={"linen": linen}), lays, lay))
    assert "1.90 m long" in said
    assert "That is 2.00 m of new cloth: washing takes 5 % before it is laid." in said
    for other in (replace(linen, shrink_along=0.0), replace(linen, preshrunk=False)):
        assert "new cloth" not in " ".join(lay_words(replace(results, fabrics={"linen": other}), lays, lay))


def test_parts_lie_where_the_lay_says_to_scale() -> None:
    drawing = fitted(simple(count=3), None, Unit.CM, 250, 120)
    measure = MeasureSink()
    draw_lay(measure, drawing, Point(0, 0))
    parts = [shapely.Polygon([(p.x, p.y) for p in line]) for kind, line in measure.lines if kind is LineKind.PART]
    assert len(parts) == 3
    assert [part.area for part in parts] == pytest.approx([300 * 500 / drawing.scale**2] * 3)
    assert parts[1].bounds[0] - parts[0].bounds[0] == pytest.approx(520 / drawing.scale)


def test_long_cloth_is_drawn_in_strips_without_losing_a_part() -> None:
    drawing = fitted(simple(count=24), None, Unit.CM, 277, 120)
    assert len(drawing.strips) > 1
    assert drawing.size[0] <= 277
    assert drawing.size[1] <= 121
    assert drawing.strips[0].start == 0.0
    assert drawing.strips[-1].end == simple(count=24).length
    text = recorded(simple(count=24), wide=277)
    assert text.count("goes on below") == len(drawing.strips) - 1


def test_marks_stand_every_10_cm_or_6_inches() -> None:
    for units, every in ((Unit.CM, 100.0), (Unit.INCH, 152.4)):
        lay = simple(Way.OPEN, count=4)
        drawing = fitted(lay, None, units, 250, 120)
        measure = MeasureSink()
        draw_lay(measure, drawing, Point(0, 0))
        marks = sorted(line[0].x for kind, line in measure.lines if kind is LineKind.FRAME)
        assert len(marks) == int(lay.length // every) + 1
        steps = [b - a for a, b in itertools.pairwise(marks)]
        assert steps == pytest.approx([every / drawing.scale] * len(steps))


def test_folded_cloth_has_a_fold_open_cloth_two_selvedges() -> None:
    assert "fold M" in recorded(simple())
    assert recorded(simple(Way.OPEN)).count("selvedge M") == 2
    assert "fold M" not in recorded(simple(Way.OPEN))


def test_names_too_long_for_their_part_go_into_the_key() -> None:
    text = recorded(simple(count=3, label="Shoulder cape overlay with pocketflapextensionsthatnobodywouldwrite"))
    assert 'tiny "1"' in text
    assert '"1 Shoulder cape' in text


def test_lettering_stays_inside_its_part(costume: Results) -> None:
    lays = costume.lays["melton"]
    assert lays.best is not None
    measure = MeasureSink()
    draw_lay(measure, fitted(lays.best, None, Unit.CM, 250, 120), Point(0, 0))
    lines = [
        shapely.LineString([(p.x, p.y) for p in line])
        for kind, line in measure.lines
        if kind in (LineKind.PART, LineKind.GRAIN)
    ]
    named = [(text, shapely.Polygon([(p.x, p.y) for p in box])) for text, box in measure.lettering if text.startswith("Jerkin")]
    assert len(named) == 4
    for text, box in named:
        assert not any(line.intersects(box) for line in lines), text


@pytest.mark.parametrize(("length", "count"), [(120.0, 0), (540.0, 1), (3000.0, 5), (9000.0, 17)])
def test_words_on_a_lay_do_not_meet(length: float, count: int) -> None:
    for way in Way:
        lay = replace(simple(way, count=count), length=length)
        measure = MeasureSink()
        draw_lay(measure, fitted(lay, None, Unit.CM, 250, 120), Point(0, 0))
        boxes = [(text, shapely.Polygon([(p.x, p.y) for p in box])) for text, box in measure.lettering]
        for k, (text, box) in enumerate(boxes):
            for other, another in boxes[k + 1 :]:
                assert box.intersection(another).area < 0.01, (text, other)


def test_picture_is_sound_xml_and_escapes(costume: Results) -> None:
    lay = simple(label="</svg><script>alert(1)</script>")
    picture = lay_picture(costume, FabricLays("linen", (lay,)), lay)
    root = ET.fromstring(picture)
    assert root.tag == f"{SVG}svg"
    assert not list(root.iter(f"{SVG}script"))
    assert root.find(f"{SVG}title") is not None
    assert any("<script>" in (text.text or "") for text in root.iter(f"{SVG}text"))


def test_page_says_the_way_and_the_others(costume: Results) -> None:
    page = next(file for file in lay_sheets(costume) if file.name.endswith(".pdf"))
    text = " ".join(pdfium.PdfDocument(page.data)[0].get_textpage().get_text_bounded().split())
    assert "Lay the cloth open, one layer, right side up: 1.92 m long" in text
    assert "Other ways: folded lengthwise, right sides together, 2.20 m." in text
    assert "all tops lie one way" in text


def test_no_lay_no_sheet_and_an_empty_lay_is_drawn(costume: Results) -> None:
    assert lay_sheets(replace(costume, lays={"melton": FabricLays("melton", ())})) == ()
    empty = Lay("melton", Way.OPEN, 1450.0, 0.0, (), ())
    assert len(lay_sheets(replace(costume, lays={"melton": FabricLays("melton", (empty,))}))) == 2


def test_mirrored_part_keeps_its_name_readable() -> None:
    lay = simple(Way.OPEN)
    mirrored = replace(lay, placements=(Placement("collar", 1.5707963267948966, 520.0, 320.0, mirrored=True),))
    measure = MeasureSink()
    measure.push(Affine())
    draw_lay(measure, fitted(mirrored, None, Unit.CM, 250, 120), Point(0, 0))
    (a, b, *_) = next(box for text, box in measure.lettering if text.startswith("Cape"))
    assert (b - a).angle == pytest.approx(0.0)
