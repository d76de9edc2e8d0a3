"""What can be drawn and cannot be meant is found: lines beside the piece, darts on darts, hems without cloth."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pattern_shapes import box, pattern_of, piece, seam

from firsthand.findings import Finding
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Dart,
    Fate,
    FateKind,
    Garment,
    InnerLine,
    InnerLineKind,
    Level,
    LevelLine,
    Pleat,
    Shape,
    check_garment,
    girth,
    make_garment,
)

HIP = Level("round", "Hip", "hip_girth")


def garment_with(shape: Shape, *seams: object) -> tuple[Garment, dict[str, list[Finding]]]:
    pattern = pattern_of([piece("front", shape)], seams, levels=(HIP,))  # type: ignore[arg-type]
    garment = make_garment(pattern, "M", id="g")
    found: dict[str, list[Finding]] = {}
    for finding in check_garment(garment, pattern):
        found.setdefault(finding.code, []).append(finding)
    return garment, found


def sheet(**changes: object) -> Shape:
    return replace(box(300, 400, level=200), **changes)  # type: ignore[arg-type]


CODES = {"level-off-piece", "mark-off-piece", "darts-overlap", "pleat-too-deep", "hem-too-shallow", "allowance-wide"}


def test_a_sound_piece_has_none_of_it() -> None:
    dart = Dart("d1", "top", 80, 20, Point(220, 300))
    beside = replace(dart, id="d2", at=100)
    pleat = Pleat("p", "top", 200, 20, reach=400)
    garment, found = garment_with(sheet(darts=(dart, beside), pleats=(pleat,)))
    assert CODES.isdisjoint(found)
    assert girth(garment, HIP).total is not None


def test_a_level_line_beside_the_piece_is_no_tight_hip() -> None:
    line = LevelLine("round", Point(9000, 9000), Point(9900, 9000))
    garment, found = garment_with(sheet(levels=(line,)))
    (finding,) = found["level-off-piece"]
    assert finding.message == "the hip line does not cross front"
    assert "level-ended" not in found
    assert girth(garment, HIP).total is None
    assert girth(garment, HIP).ended == "the line of this level does not cross front"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"grain": (Point(0, 3000), Point(0, 3400))}, "front: its grain line lies ⟨2990 mm⟩ outside the piece"),
        (
            {"darts": (Dart("d", "top", 80, 20, Point(220, -1010)),)},
            "front: the point of dart 'd' lies ⟨1000 mm⟩ outside the piece",
        ),
        (
            {"lines": (InnerLine("turn", InnerLineKind.FOLD, Path.line(Point(0, 100), Point(2310, 100))),)},
            "front: the fold line 'turn' lies ⟨2000 mm⟩ outside the piece",
        ),
    ],
)
def test_marks_metres_away(changes: dict[str, object], words: str) -> None:
    (finding,) = garment_with(sheet(**changes))[1]["mark-off-piece"]
    assert finding.message == words


def test_two_darts_in_one_place() -> None:
    dart = Dart("d1", "top", 80, 20, Point(220, 300))
    (finding,) = garment_with(sheet(darts=(dart, replace(dart, id="d2", at=95))))[1]["darts-overlap"]
    assert finding.message == "front: darts 'd1' and 'd2' overlap by ⟨5 mm⟩ on top"


def test_a_pleat_that_reaches_through_the_piece() -> None:
    (finding,) = garment_with(sheet(pleats=(Pleat("p", "top", 100, 20, reach=4000),)))[1]["pleat-too-deep"]
    assert finding.message == "front: pleat 'p' stays closed for ⟨4000 mm⟩, and the piece ends before"


def test_a_hem_deeper_than_what_is_turned_up() -> None:
    shape = sheet()
    hemmed = shape.with_edge(replace(shape.edge("bottom"), fate=Fate(FateKind.HEM, 25.0)))
    (finding,) = garment_with(hemmed)[1]["hem-too-shallow"]
    assert finding.message == "front: the hem of bottom, ⟨25 mm⟩ deep, needs more than the ⟨10 mm⟩ allowance"
    kept = hemmed.with_edge(replace(hemmed.edge("bottom"), inlay=15.0))
    assert "hem-too-shallow" not in garment_with(kept)[1]


def test_an_allowance_of_a_hand() -> None:
    shape = sheet()
    wide = shape.with_edge(replace(shape.edge("left"), allowance=150.0))
    (finding,) = garment_with(wide)[1]["allowance-wide"]
    assert finding.message == "front: left has ⟨150 mm⟩ of allowance"


def test_a_seam_of_an_edge_with_itself_is_said_once() -> None:
    _, found = garment_with(sheet(), seam("side", ["front.left"], ["front.left"]))
    (finding,) = found["seam-itself"]
    assert finding.message == "side sews left of front to itself"
    assert not {"edge-sewn-twice", "notch-alone", "notches-miss", "seam-length"} & found.keys()


def test_an_outline_traced_point_by_point_is_refused() -> None:
    shape = sheet()
    dots = [Point(300 - k * 300 / 20_000, 400) for k in range(20_001)]
    traced = shape.with_edge(replace(shape.edge("top"), path=Path.line(*dots)))
    (finding,) = garment_with(traced)[1]["cutting-line-none"]
    assert "its outline has 20003 lines and curves, and at most 20000 can be worked with" in finding.message
