"""The outer layer of collars and bands grows with the thickness of the cloth."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.alter.kinds.turn_of_cloth import TurnOfCloth, turn_of_edge
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Corner,
    Cut,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    How,
    InnerLine,
    InnerLineKind,
    Pattern,
    Piece,
    Seam,
    Shape,
    check_garment,
    make_garment,
    walk_seam,
)  # fmt: skip


def collar(fold: bool = False) -> Garment:
    """A collar 400 by 70, of shell and an under layer that are joined along the ends and the outer edge."""
    points = [Point(0, 0), Point(400, 0), Point(400, 70), Point(0, 70)]
    names = ("neck", "right end", "outer", "left end")
    edges = tuple(
        Edge(name, Corner(name), Path.line(a, b), fate=Fate(FateKind.SEAM))
        for name, a, b in zip(names, points, points[1:] + points[:1], strict=True)
    )
    lines = (InnerLine("middle", InnerLineKind.FOLD, Path.line(Point(20, 35), Point(380, 35))),)
    shape = Shape(edges, (Point(200, 10), Point(200, 60)), lines=lines)
    cuts = (Cut("shell", How.SINGLE),) if fold else (Cut("shell", How.SINGLE), Cut("under", How.SINGLE))
    pieces = {"collar": Piece("collar", "1", "Collar", cuts, sizes={"M": shape})}
    turned = names[1:]
    outer, under = (tuple(EdgeRef("collar", name, role=role) for name in turned) for role in ("shell", "under"))
    seam = Seam("edge", outer, under, reverse_b=False)
    return make_garment(Pattern("c", "Collar", ("M",), pieces, () if fold else (seam,)), "M", id="c", sort="cape")


TURNED = ("right end", "outer", "left end")


def test_common_practice() -> None:
    """1.5 to 3 mm for most cloths, to 6 mm for coatings: common practice (from memory)."""
    assert 1.5 <= turn_of_edge(0.6) <= 3.0
    assert turn_of_edge(2.0) == pytest.approx(6.0)


def test_the_outer_layer_becomes_a_piece_of_its_own_and_grows() -> None:
    before = collar()
    done = TurnOfCloth("collar", thickness=1.0, edges=TURNED).apply(before)
    after = done.garment
    assert set(after.pieces) == {"collar", "collar outer"}
    assert [(part.piece, part.role) for part in after.parts] == [("collar outer", "shell"), ("collar", "under")]
    under, outer = after.piece("collar").drawn_shape, after.piece("collar outer").drawn_shape
    assert under == before.piece("collar").drawn_shape
    box = outer.outline.bounds
    assert (box.top, box.bottom) == pytest.approx((73.0, 0.0))
    assert (box.left, box.right) == pytest.approx((-3.0, 403.0), abs=0.01)
    assert outer.edge("neck").path == under.edge("neck").path  # where it is not turned nothing grows
    (seam,) = after.seams
    assert {ref.piece for ref in seam.a} == {"collar outer"}
    assert walk_seam(after, seam).difference == pytest.approx(0, abs=1e-9)
    assert seam.easing > 6.0  # what the outer layer is longer is eased in
    assert done.record.ids == {"collar": ("collar", "collar outer")}
    assert done.record.words.startswith("collar outer grown by ⟨3 mm⟩ for the turn of the cloth at right end and outer")
    pattern = Pattern("c", "Collar", ("M",), {})
    assert {f.code for f in check_garment(after, pattern)} == {f.code for f in check_garment(before, pattern)}


def test_a_roll_takes_half_a_circumference_more() -> None:
    done = TurnOfCloth("collar", thickness=1.0, edges=("outer",), rolled=True).apply(collar())
    grown = done.garment.piece("collar outer").drawn_shape.outline
    assert grown.bounds.top == pytest.approx(70 + 3 + math.pi, abs=0.01)


def test_a_folded_band_grows_along_its_fold() -> None:
    done = TurnOfCloth("collar", thickness=0.5, fold="middle").apply(collar(fold=True))
    shape = done.garment.piece("collar").drawn_shape
    assert (shape.outline.bounds.width, shape.outline.bounds.height) == pytest.approx((400, 71.5))
    assert shape.edge("right end").path.length == pytest.approx(71.5)
    assert shape.edge("neck").path.length == pytest.approx(400)
    assert done.garment.parts == collar(fold=True).parts


@given(st.floats(0, 3))
def test_growth_is_in_proportion(thickness: float) -> None:
    done = TurnOfCloth("collar", thickness=thickness, edges=TURNED).apply(collar())
    name = "collar outer"
    assert done.garment.piece(name).drawn_shape.outline.bounds.top == pytest.approx(70 + 3 * thickness, abs=0.02)
    assert walk_seam(done.garment, done.garment.seams[0]).difference == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize(
    ("entry", "error"),
    [
        (TurnOfCloth("collar", thickness=1.0), CannotAlter),
        (TurnOfCloth("collar", thickness=-1.0, edges=("outer",)), CannotAlter),
        (TurnOfCloth("collar", thickness=40.0, edges=("outer",)), CannotAlter),
        (TurnOfCloth("collar", thickness=1.0, edges=("outer",), role="lining"), CannotAlter),
        (TurnOfCloth("collar", thickness=1.0, edges=("brim",)), NotThere),
        (TurnOfCloth("cuff", thickness=1.0, edges=("outer",)), NotThere),
        (TurnOfCloth("collar", thickness=1.0, fold="edge"), NotThere),
        (TurnOfCloth("collar", thickness=1.0, fold="middle", edges=("outer",)), CannotAlter),
    ],
)
def test_what_has_no_sense_is_refused(entry: TurnOfCloth, error: type[Exception]) -> None:
    with pytest.raises(error):
        entry.apply(collar())
