"""DXF files written by ezdxf at test time."""

import math
import random

import ezdxf
import pytest
from ezdxf.math import BSpline

from firsthand.errors import BadInput
from firsthand.geometry import Cubic, Line, Path, Point, nearest
from firsthand.importers import Meaning, import_dxf, proposal_to_piece
from firsthand.pattern import How
from firsthand.units import Unit

FRONT = [(0, 0), (250, 0), (250, 300), (180, 420), (0, 400)]


def saved(tmp_path, fill, version="R2000", name="pieces.dxf"):
    document = ezdxf.new(version)
    fill(document, document.modelspace())
    file = tmp_path / name
    document.saveas(file)
    return file


def block_piece(document, name, points, *, grain=((50, 50), (50, 350)), at=(0, 0)):
    """A piece in the manner of ASTM D6673 (layer numbers from memory)."""
    block = document.blocks.new(name)
    block.add_polyline2d([*points, points[0]], dxfattribs={"layer": "1"})
    block.add_line(*grain, dxfattribs={"layer": "7"})
    block.add_point((0, 200), dxfattribs={"layer": "4"})
    block.add_line((100, 100), (150, 100), dxfattribs={"layer": "8"})
    block.add_circle((125, 250), 2, dxfattribs={"layer": "13"})
    block.add_text("Piece Name: FRONT", dxfattribs={"layer": "15"}).set_placement((120, 200))
    document.modelspace().add_blockref(name, at)
    return block


def test_a_block_is_a_piece(tmp_path):
    file = saved(tmp_path, lambda d, m: block_piece(d, "FRONT", FRONT, at=(1000, 50)))
    found = import_dxf(file, unit=Unit.MM)
    (front,) = found.proposals
    assert found.findings == ()
    assert front.name == "FRONT"
    assert front.outline.area == pytest.approx(Path.polygon([Point(*p) for p in FRONT]).area)
    assert front.outline.joints[0].distance(Point(1000, 50)) < 1e-6
    assert sorted(line.kind for line in front.lines) == [Meaning.HOLE, Meaning.GRAIN, Meaning.INNER]
    assert [mark.kind for mark in front.marks] == [Meaning.NOTCH]
    assert front.words == ("Piece Name: FRONT",)


def test_a_block_inserted_twice_turned_and_mirrored(tmp_path):
    def fill(document, model):
        block_piece(document, "FRONT", FRONT)
        model.add_blockref("FRONT", (900, 0), dxfattribs={"xscale": -1, "rotation": 90})

    found = import_dxf(saved(tmp_path, fill), unit=Unit.MM)
    assert [p.name for p in found.proposals] == ["FRONT 1", "FRONT 2"]
    one, two = (p.outline for p in found.proposals)
    assert one.area == pytest.approx(two.area)
    assert two.area > 0
    # Mirrored in y, then turned by a quarter to the left, then shifted: (x, y) -> (-y + 900, -x).
    for x, y in FRONT:
        assert min(Point(900 - y, -x).distance(joint) for joint in two.joints) < 1e-6


def test_blocks_that_nothing_inserts_are_read(tmp_path):
    def fill(document, model):
        block_piece(document, "CUFF", FRONT)
        model.delete_all_entities()

    assert [p.name for p in import_dxf(saved(tmp_path, fill), unit=Unit.MM).proposals] == ["CUFF"]


def test_loose_lines_and_an_arc_are_joined(tmp_path):
    def fill(document, model):
        model.add_line((0, 0), (200, 0))
        model.add_line((0, 100), (0, 0.03))  # a gap of rounding
        model.add_line((0, 100), (200, 100))
        model.add_arc((200, 50), 50, -90, 90)

    (piece,) = import_dxf(saved(tmp_path, fill), unit=Unit.MM).proposals
    assert piece.outline.area == pytest.approx(200 * 100 + math.pi * 2500 / 2, abs=5)
    arcs = [s for s in piece.outline if isinstance(s, Cubic)]
    assert len(arcs) == 8
    assert all(abs(s.point(t).distance(Point(200, 50)) - 50) < 1e-4 for s in arcs for t in (0.25, 0.5, 0.75))


def test_bulges_circles_and_ellipses_become_cubics(tmp_path):
    def fill(document, model):
        model.add_lwpolyline([(0, 0, 0), (100, 0, 1), (100, 80, 0), (0, 80, 0)], format="xyb", close=True)
        model.add_circle((400, 0), 60)
        model.add_ellipse((700, 0), major_axis=(90, 0), ratio=0.5)

    found = import_dxf(saved(tmp_path, fill), unit=Unit.MM)
    areas = [p.outline.area for p in found.proposals]
    assert areas == pytest.approx([8000 + math.pi * 1600 / 2, math.pi * 3600, math.pi * 90 * 45], rel=1e-5)
    circle = found.proposals[1].outline
    assert max(abs(p.distance(Point(400, 0)) - 60) for p in circle.flattened(0.001)) < 1e-4


def test_a_cubic_spline_stays_as_it_is(tmp_path):
    control = [(0, 0), (40, 90), (120, 110), (160, 40), (220, 60), (250, 0)]
    spline = BSpline(control)

    def fill(document, model):
        model.add_spline().apply_construction_tool(spline)
        model.add_line((250, 0), (0, 0))

    (piece,) = import_dxf(saved(tmp_path, fill), unit=Unit.MM).proposals
    for point in spline.approximate(200):
        assert nearest(piece.outline, Point(point.x, point.y))[1] < 1e-6
    assert sum(isinstance(s, Cubic) for s in piece.outline) == 3


@pytest.mark.parametrize(("unit", "scale", "word"), [(Unit.MM, 1.0, "mm"), (Unit.INCH, 25.4, "in")])
def test_the_unit_is_proposed_by_size_and_said(tmp_path, unit, scale, word):
    def fill(document, model):
        document.header["$INSUNITS"] = 6  # metres, as some programs write without thinking
        model.add_lwpolyline([(x / scale, y / scale) for x, y in FRONT], close=True)

    found = import_dxf(saved(tmp_path, fill))
    assert found.proposals[0].outline.bounds.height == pytest.approx(420)
    assert [f.code for f in found.findings] == ["dxf-units"]
    assert f"taken as {word}" in found.findings[0].message
    assert "⟨420 mm⟩" in found.findings[0].message
    assert any("metres" in line for line in found.findings[0].why)


def test_words_in_the_file_help_with_the_unit(tmp_path):
    def fill(document, model):
        model.add_lwpolyline([(x / 10, y / 10) for x, y in FRONT], close=True)
        model.add_text("UNITS: METRIC").set_placement((1, 1))

    assert import_dxf(saved(tmp_path, fill)).proposals[0].outline.bounds.height == pytest.approx(420)


def test_round_trip_keeps_numbers_to_a_millionth(tmp_path):
    points = [(17.123456789, 3.3), (291.7182818, 14.14), (250.000001, 333.3333333), (9.87654321, 299.99)]
    file = saved(tmp_path, lambda d, m: m.add_lwpolyline(points, close=True), version="R2010")
    (piece,) = import_dxf(file, unit=Unit.MM).proposals
    assert all(min(Point(*p).distance(j) for j in piece.outline.joints) < 1e-6 for p in points)
    (inches,) = import_dxf(file, unit=Unit.INCH).proposals
    assert inches.outline.area == pytest.approx(piece.outline.area * 25.4**2)


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_releases(tmp_path, version):
    file = saved(tmp_path, lambda d, m: m.add_polyline2d([*FRONT, FRONT[0]]), version=version)
    assert len(import_dxf(file, unit=Unit.MM).proposals) == 1


def test_inner_loops_are_not_pieces(tmp_path):
    def fill(document, model):
        model.add_lwpolyline(FRONT, close=True)
        model.add_lwpolyline([(50, 50), (120, 50), (120, 120)], close=True)
        model.add_lwpolyline(FRONT, close=True)  # drawn twice

    (piece,) = import_dxf(saved(tmp_path, fill), unit=Unit.MM).proposals
    assert len(piece.lines) == 2


def test_made_into_a_piece_with_its_grain_up(tmp_path):
    sideways = [(y, x) for x, y in FRONT]  # along the x axis, as such files often are

    def fill(document, model):
        block = block_piece(document, "FRONT", sideways, grain=((50, 50), (350, 50)))
        block.add_line((0, 0), (400, 0), dxfattribs={"layer": "6"})

    (proposal,) = import_dxf(saved(tmp_path, fill), unit=Unit.MM).proposals
    piece = proposal_to_piece(proposal, "front", "1", "Front", "M")
    shape = piece.drawn_shape
    low, high = shape.grain
    assert (high - low).unit().distance(Point(0, 1)) < 1e-9
    assert shape.outline.bounds.height == pytest.approx(420)
    assert shape.outline.area == pytest.approx(proposal.outline.area)
    assert len(shape.edges) == 5
    assert piece.fold
    assert piece.cuts[0].how is How.FOLD
    fold = shape.edge(piece.fold).path
    assert fold.length == pytest.approx(400)
    assert len(shape.notches) == 1
    notch = shape.notches[0]
    assert shape.edge(notch.edge).path.at(notch.at).distance(Point(-200, 0)) < 1e-6  # (0, 200) turned by a quarter
    assert piece.bought == shape


# bad files ----------------------------------------------------------------------------------------------------------


def refused(file, **options):
    with pytest.raises(BadInput) as caught:
        import_dxf(file, **options)
    for problem in caught.value.problems:
        assert problem.file == file.name
        assert problem.found
        assert problem.expected
        assert problem.remedy.endswith(".")
    return str(caught.value)


def test_files_that_are_none(tmp_path):
    assert "nothing" in refused(tmp_path / "none.dxf")
    empty = tmp_path / "empty.dxf"
    empty.touch()
    assert "empty file" in refused(empty)
    noise = tmp_path / "noise.dxf"
    noise.write_bytes(bytes(range(256)) * 20)
    refused(noise)
    words = tmp_path / "words.dxf"
    words.write_text("Dear diary,\nthe cloth is gone.\n")
    refused(words)
    folder = tmp_path / "folder.dxf"
    folder.mkdir()
    assert "a folder" in refused(folder)


def test_a_truncated_file_is_refused_or_read(tmp_path):
    file = saved(tmp_path, lambda d, m: m.add_lwpolyline(FRONT, close=True))
    text = file.read_text()
    file.write_text(text[: len(text) // 3])
    refused(file)


def test_a_drawing_without_outlines(tmp_path):
    assert "no outline" in refused(saved(tmp_path, lambda d, m: m.add_text("hello")))


def test_an_open_outline_names_its_gap(tmp_path):
    file = saved(tmp_path, lambda d, m: m.add_lwpolyline([*FRONT, (0, 3.2)]))
    said = refused(file, unit=Unit.MM)
    assert "gap of 3.20 mm" in said
    assert "x 0.0, y 3.2" in said


def test_an_outline_that_crosses_itself(tmp_path):
    file = saved(tmp_path, lambda d, m: m.add_lwpolyline([(0, 0), (100, 100), (100, 0), (0, 100)], close=True))
    assert "near x 50.0 mm, y 50.0 mm" in refused(file, unit=Unit.MM)


def test_absurd_sizes_ask_for_the_unit(tmp_path):
    file = saved(tmp_path, lambda d, m: m.add_lwpolyline(FRONT, close=True))
    assert "Give the unit" in refused(file, unit=Unit.M)
    huge = saved(tmp_path, lambda d, m: m.add_lwpolyline([(x * 1e9, y * 1e9) for x, y in FRONT], close=True), name="huge.dxf")
    refused(huge, unit=Unit.MM)


def test_too_large_a_file_is_not_opened(tmp_path):
    file = tmp_path / "large.dxf"
    with file.open("wb") as out:
        out.truncate(60_000_000)
    assert "60 MB" in refused(file)


def test_too_many_entities(tmp_path, monkeypatch):
    monkeypatch.setattr("firsthand.importers._dxf.MOST_ELEMENTS", 5)
    assert "more than 5" in refused(saved(tmp_path, lambda d, m: [m.add_line((0, k), (9, k)) for k in range(9)]))


def test_what_is_left_out_is_said(tmp_path):
    def fill(document, model):
        model.add_lwpolyline(FRONT, close=True)
        model.add_3dface([(0, 0), (1, 0), (1, 1), (0, 1)])
        model.add_line((900, 900), (950, 900))
        picture = document.add_image_def("elsewhere.png", (10, 10))
        model.add_image(picture, (0, 0), (10, 10))

    found = import_dxf(saved(tmp_path, fill), unit=Unit.MM)
    assert sorted(f.code for f in found.findings) == ["import-external", "import-skipped", "import-stray"]
    assert all(isinstance(s, Line) for s in found.proposals[0].outline)


def test_bytes_that_are_no_drawing_stay_off_the_screen(tmp_path, capfd):
    file = tmp_path / "noise.dxf"
    for seed in range(5):
        file.write_bytes(random.Random(seed).randbytes(3000))
        with pytest.raises(BadInput) as caught:
            import_dxf(file)
        assert str(caught.value).isprintable()
        assert len(str(caught.value)) < 250
    assert capfd.readouterr() == ("", "")
