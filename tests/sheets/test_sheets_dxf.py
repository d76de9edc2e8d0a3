"""DXF files of pieces: true to a hundredth of a millimetre, the same bytes each time, and readable by our own importer."""

from __future__ import annotations

import itertools
import math
from pathlib import Path as FilePath

import ezdxf
import ezdxf.path
import pytest

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Cubic, Path, Point
from firsthand.geometry.drawing import LineKind, WordKind
from firsthand.importers import import_dxf
from firsthand.pattern import Garment, capped_edge, cutting_line, make_garment, part_shape
from firsthand.sheets import pieces_dxf
from firsthand.sheets.sinks.dxf import DxfSink
from firsthand.units import Unit


def shirt() -> Garment:
    from firsthand.demo import demo_patterns

    pattern = demo_patterns()["shirt"]
    return make_garment(pattern, pattern.sizes[0], id="shirt")


def length_of(entity: object) -> float:
    """As ezdxf itself flattens it, to a ten-thousandth of a millimetre."""
    points = list(ezdxf.path.make_path(entity).flattening(1e-4, segments=64))  # type: ignore[arg-type]
    return sum(math.hypot(b.x - a.x, b.y - a.y) for a, b in itertools.pairwise(points))


def test_lengths_on_each_layer_are_those_of_the_pieces(tmp_path: FilePath) -> None:
    garment = shirt()
    file = tmp_path / "pieces.dxf"
    file.write_bytes(pieces_dxf(garment))
    drawing = ezdxf.readfile(file)
    assert (drawing.dxfversion, drawing.units) == ("AC1024", 4)
    for name in garment.pieces:
        lines = [entity for entity in drawing.blocks[name] if entity.dxftype() != "TEXT"]
        part = garment.parts_of(name)[0]
        cut = sum(length_of(entity) for entity in lines if entity.dxf.layer == "cutting")
        wanted = cutting_line(part_shape(garment, part)).length
        assert cut == pytest.approx(wanted, abs=0.01), name
        shape = part_shape(garment, part)
        sewn = sum(length_of(entity) for entity in lines if entity.dxf.layer == "stitching")
        assert sewn == pytest.approx(
            sum(capped_edge(shape, edge.id).length for edge in shape.edges if edge.margin), abs=0.01
        ), name
    assert not drawing.audit().errors


def test_the_importer_reads_the_outlines_back(tmp_path: FilePath) -> None:
    garment = shirt()
    file = tmp_path / "pieces.dxf"
    file.write_bytes(pieces_dxf(garment))
    found = {proposal.name: proposal.outline for proposal in import_dxf(file, unit=Unit.MM).proposals}
    assert set(found) == set(garment.pieces)
    for name, outline in found.items():
        cut = cutting_line(part_shape(garment, garment.parts_of(name)[0]))
        assert abs(outline.area) == pytest.approx(abs(cut.area), rel=1e-6), name
        assert outline.length == pytest.approx(cut.length, abs=0.01)
        assert outline.bounds.width == pytest.approx(cut.bounds.width, abs=0.01)
        assert outline.bounds.height == pytest.approx(cut.bounds.height, abs=0.01)


def test_the_same_pieces_give_the_same_bytes() -> None:
    garment = shirt()
    before = ezdxf.options.write_fixed_meta_data_for_testing  # type: ignore[attr-defined]
    assert pieces_dxf(garment) == pieces_dxf(garment)
    assert ezdxf.options.write_fixed_meta_data_for_testing == before  # type: ignore[attr-defined]


def test_a_curve_is_exactly_the_same_curve(tmp_path: FilePath) -> None:
    curve = Cubic(Point(1, 2), Point(30, 90), Point(60, -40), Point(123.456, 7))
    sink = DxfSink()
    sink.push(Affine.translation(10, 0) @ Affine.rotation(0.3))
    sink.path(Path((curve,)), LineKind.STITCHING)
    sink.pop()
    file = tmp_path / "curve.dxf"
    file.write_bytes(sink.data)
    (spline,) = ezdxf.readfile(file).modelspace()
    assert spline.dxf.layer == "stitching"
    tool = spline.construction_tool()  # type: ignore[attr-defined]
    moved = Path((curve,)).transformed(Affine.translation(10, 0) @ Affine.rotation(0.3)).segments[0]
    for k in range(11):
        there, here = tool.point(k / 10), moved.point(k / 10)
        assert (there.x, there.y) == pytest.approx((here.x, here.y), abs=1e-9)


def test_words_keep_their_place_and_turn_and_names_become_blocks(tmp_path: FilePath) -> None:
    sink = DxfSink()
    for _ in range(2):
        sink.push(Affine.translation(5, 6), name='a/b "c"')
        sink.words("Rücken ✂ 🪡", Point(1, 1), WordKind.NAME, angle=math.pi / 2)
        sink.pop()
    file = tmp_path / "words.dxf"
    file.write_bytes(sink.data)
    drawing = ezdxf.readfile(file)
    names = [block.name for block in drawing.blocks if not block.name.startswith("*")]
    assert names == ["a b  c", "a b  c no. 2"]
    (word,) = drawing.blocks["a b  c"]
    assert word.dxf.text.startswith("Rücken")
    assert word.dxf.rotation == pytest.approx(90)
    assert (word.dxf.insert.x, word.dxf.insert.y) == (6, 7)


def test_a_group_left_open_is_refused() -> None:
    sink = DxfSink()
    sink.push(Affine(), name="front")
    with pytest.raises(GeometryError, match="never left"):
        _ = sink.data
