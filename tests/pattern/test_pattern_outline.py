"""One outline for cutting, laying and printing, its fold edge exactly straight; and the table of roles."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pattern_shapes import C, L, R, box, pattern_of, piece, polygon
from shapely.geometry import Polygon

from firsthand.errors import GeometryError, NotThere
from firsthand.geometry import Line, Path, Point
from firsthand.pattern import (
    BACKINGS,
    ROLES,
    UNDER_ROLES,
    CornerShape,
    Cut,
    FateKind,
    Garment,
    How,
    Layer,
    Part,
    Rough,
    Shape,
    cut_outline,
    cutting_line,
    drawn_outline,
    is_backing,
    is_on_fold,
    layer_of,
    make_garment,
    part_shape,
)
from firsthand.pattern._fold import STRAIGHT, fold_line, straightened

MARGINS = (40.0, 15.0, 10.0, 15.0)


def half(stray: float = 0.0, *, corner: CornerShape = CornerShape.MITRED, fate: bool = True) -> Shape:
    """A half whose fold edge, "left", is pushed out in its middle."""
    fates = {"bottom": FateKind.HEM} | ({"left": FateKind.FOLD} if fate else {})
    shape = polygon([(0, 0), (120, 0), (100, 300), (0, 310)], ("bottom", "right", "top", "left"), margin=MARGINS, fates=fates,
                    corners=[corner] * 4)  # fmt: skip
    if not stray:
        return shape
    bent = replace(shape.edge("left"), path=Path.line(Point(0, 310), Point(-stray, 150), Point(0, 0)))
    return shape.with_edge(bent)


def garment_of(shape: Shape | None, *cuts: Cut, fold: str = "left", **rest: object) -> Garment:
    return make_garment(pattern_of([piece("back", shape, *cuts, fold=fold, **rest)], []), "M", id="shirt")


def on_fold(shape: Shape) -> Garment:
    return garment_of(shape, Cut("shell", How.FOLD))


@pytest.mark.parametrize("stray", [0.0, 0.03, -0.03, STRAIGHT])
def test_a_fold_edge_bent_by_a_hair_is_cut_exactly_straight(stray: float) -> None:
    garment = on_fold(half(stray))
    found = cut_outline(garment, garment.parts[0])
    assert found.fold is not None
    assert (found.fold[0].x, found.fold[1]) == (0, Point(0, -40))
    assert [s for s in found.outline if isinstance(s, Line) and s.a.x == s.b.x == 0] == [Line(*found.fold)]
    assert min(p.x for p in found.outline.flattened(0.01)) == 0.0
    assert found.outline.is_closed
    straight = cut_outline(on_fold(half()), garment.parts[0])
    assert found.outline.area == pytest.approx(straight.outline.area, abs=1e-6)


def test_beyond_that_it_is_refused_and_the_numbers_said() -> None:
    garment = on_fold(half(0.2))
    with pytest.raises(GeometryError, match=r"'left' is not straight: it strays ⟨0\.2 mm⟩"):
        cut_outline(garment, garment.parts[0])
    with pytest.raises(GeometryError, match="not straight"):
        drawn_outline(garment.piece("back"))
    back = half().with_edge(replace(half().edge("left"), path=Path.line(Point(0, 310), Point(0, 330), Point(0, 0))))
    with pytest.raises(GeometryError, match="not straight"):
        fold_line(back, "left")  # it runs on beyond its own end and comes back
    assert straightened(half(), "left") == half()


@pytest.mark.parametrize("corner", list(CornerShape))
@pytest.mark.parametrize("fate", [True, False])
def test_what_is_printed_is_what_is_laid_whatever_the_corners_and_fates(corner: CornerShape, fate: bool) -> None:
    garment = on_fold(half(corner=corner, fate=fate))
    laid = cut_outline(garment, garment.parts[0])
    assert drawn_outline(garment.piece("back")) == laid
    whole = cut_outline(garment, garment.parts[0], opened=True)
    assert whole.fold is None
    one = Polygon([(p.x, p.y) for p in laid.outline.flattened(0.01)])
    both = one.union(Polygon([(-x, y) for x, y in one.exterior.coords]))
    assert both.symmetric_difference(Polygon([(p.x, p.y) for p in whole.outline.flattened(0.01)])).area < 1.0


def test_the_cut_part_and_the_fold_make_up_the_outline() -> None:
    garment = on_fold(half())
    found = cut_outline(garment, garment.parts[0])
    assert found.fold is not None
    assert (found.cut.start, found.cut.end) == (found.fold[1], found.fold[0])
    assert found.cut.length + found.fold[0].distance(found.fold[1]) == pytest.approx(found.outline.length)


def test_a_slit_in_line_with_the_fold_is_cut() -> None:
    points = [(0, 0), (100, 0), (100, 300), (0, 300), (0, 200)]
    shape = polygon(points, ("hem", "side", "neck", "slit", "centre"), margin=(20, 15, 10, 0, 0))
    garment = garment_of(shape, Cut("shell", How.FOLD), fold="centre")
    found = cut_outline(garment, garment.parts[0])
    assert found.fold == (Point(0, 200), Point(0, -20))
    assert any(s.start == Point(0, 310) and s.end == Point(0, 200) for s in found.cut)


def test_an_outline_that_reaches_over_its_fold_is_refused() -> None:
    shape = polygon([(0, 0), (100, 0), (100, 300), (-60, 300), (0, 200)], ("hem", "side", "top", "over", "centre"), margin=5)
    garment = garment_of(shape, Cut("shell", How.FOLD), fold="centre")
    with pytest.raises(GeometryError, match=r"reaches ⟨68\.83\d* mm⟩ over the fold edge 'centre'"):
        cut_outline(garment, garment.parts[0])


def test_other_parts_have_the_cutting_line_of_their_shape() -> None:
    garment = garment_of(box(100, 200), Cut("shell"), fold="")
    for part in garment.parts:
        found = cut_outline(garment, part)
        assert (found.outline, found.fold) == (cutting_line(part_shape(garment, part)), None)
        assert found.cut is found.outline
    assert {part.hand for part in garment.parts} == {L, R}
    folded = garment_of(box(100, 200), Cut("shell", How.FOLD), fold="")
    with pytest.raises(GeometryError, match="no edge lies on the fold"):
        cut_outline(folded, folded.parts[0])


def test_cards_are_rectangles_of_their_rough_size() -> None:
    garment = garment_of(None, Cut("shell", How.FOLD), Cut("lining", How.SINGLE), fold="", rough={"M": Rough(700, 300)})
    on, off = garment.parts
    assert (is_on_fold(garment.piece("back"), on), is_on_fold(garment.piece("back"), off)) == (True, False)
    one = cut_outline(garment, on)
    assert (one.outline.area, one.fold, one.from_card) == (105_000.0, (Point(0, 0), Point(0, 700)), True)
    assert one.cut.length == 700 + 2 * 150
    whole = cut_outline(garment, off)
    assert (whole.outline.area, whole.fold, whole.from_card) == (210_000.0, None, True)
    assert whole.outline.area == cut_outline(garment, on, opened=True).outline.area
    bare = garment_of(None, Cut("shell"), fold="")
    with pytest.raises(NotThere, match="rough size"):
        cut_outline(bare, bare.parts[0])
    with pytest.raises(NotThere):
        drawn_outline(garment.piece("back"))
    with pytest.raises(NotThere):
        cut_outline(garment, Part("cuff", C, "shell"))


@given(
    turn=st.floats(-3.1, 3.1),
    shift=st.floats(-5e3, 5e3),
    margins=st.tuples(*[st.just(0.0) | st.floats(0.5, 40)] * 3),
    tilt=st.floats(-40, 40),
)
def test_the_fold_is_found_wherever_the_piece_is_drawn(
    turn: float, shift: float, margins: tuple[float, ...], tilt: float
) -> None:
    spread = [(0, 0), (120, tilt), (100, 300), (0, 310)]
    cos, sin = math.cos(turn), math.sin(turn)
    points = [(x * cos - y * sin + shift, x * sin + y * cos - shift) for x, y in spread]
    shape = polygon(points, ("bottom", "right", "top", "left"), margin=(*margins, 15.0))
    garment = on_fold(shape)
    found = cut_outline(garment, garment.parts[0])
    assert found.fold is not None
    a, b = found.fold
    assert a.distance(b) >= 310 - 1e-6
    inwards = (b - a).unit().left
    assert min(inwards.dot(p - a) for p in found.outline.joints) >= -1e-9


def test_one_table_of_roles() -> None:
    assert {"lining", "interlining", "interfacing", "mounting", "underlining", "facing", "padding"} == UNDER_ROLES
    assert BACKINGS < UNDER_ROLES < ROLES.keys()
    assert {layer_of(name) for name in ("shell", "contrast", "hood lining")} == {Layer.OUTER}
    assert is_backing("mounting")
    assert not is_backing("facing")
    assert is_backing("tape", fusible=True)
