"""Darts turned about their points, opened and closed."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from cut_shapes import angle_at, assert_sound, bodice, bodices, lengths, sewn
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter._spots import Spot
from firsthand.alter.cutting.sections import Cut, closed_dart, dart_angle, moved_section, opened_dart, turned_dart
from firsthand.alter.moving.reshape import Crosses
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Affine, Line, Path, Point
from firsthand.pattern import Corner, Dart, Edge, Pressed, Shape

PLACES = [("shoulder", 0.5), ("armhole", 0.5), ("neck", 0.4), ("centre", 0.6), ("side", 0.85)]
INCH = 25.4


def only(shape: Shape, dart: str) -> Shape:
    return replace(shape, darts=tuple(d for d in shape.darts if d.id == dart))


def total(shape: Shape) -> float:
    return math.fsum(angle_at(shape, dart.id) for dart in shape.darts)


@settings(max_examples=60, deadline=None)
@given(shape=bodices, place=st.sampled_from(PLACES), share=st.one_of(st.just(1.0), st.floats(0.05, 0.95)))
def test_turning_keeps_the_angle_and_every_sewn_length(shape: Shape, place: tuple[str, float], share: float) -> None:
    shape = only(shape, "waist dart")
    edge, part = place
    result = turned_dart(shape, "waist dart", Spot(edge, part * shape.edge(edge).path.length), share)
    new = result.shape
    assert_sound(shape, result)
    assert total(new) == pytest.approx(total(shape), abs=1e-9)
    assert angle_at(new, new.darts[-1].id) == pytest.approx(share * total(shape), abs=1e-9)
    assert sewn(new) == pytest.approx(sewn(shape), abs=0.01)
    assert len(new.darts) == (1 if share == 1 else 2)
    assert all(dart.apex.distance(shape.darts[0].apex) < 1e-9 for dart in new.darts)


@settings(max_examples=30, deadline=None)
@given(shape=bodices, place=st.sampled_from([p for p in PLACES if p[0] != "side"]))
def test_there_and_back_is_the_same_piece(shape: Shape, place: tuple[str, float]) -> None:
    """A dart turned to another edge and back again lies where it was, and so does everything else, but for a turn."""
    shape = only(shape, "waist dart")
    edge, part = place
    there = turned_dart(shape, "waist dart", Spot(edge, part * shape.edge(edge).path.length)).shape
    back = turned_dart(there, "waist dart", Spot("waist", shape.darts[0].at - shape.darts[0].width / 2)).shape
    assert lengths(back) == pytest.approx(lengths(shape), abs=1e-6)
    assert back.outline.area == pytest.approx(shape.outline.area, rel=1e-9)
    assert back.darts[0].at == pytest.approx(shape.darts[0].at, abs=1e-6)
    assert back.darts[0].width == pytest.approx(shape.darts[0].width, abs=1e-6)


def test_two_darts_become_one() -> None:
    """The waist dart is turned into the side dart's place: one dart whose angle is the sum."""
    shape = bodice()
    side = next(d for d in shape.darts if d.id == "side dart")
    result = turned_dart(shape, "waist dart", Spot("side", side.at - side.width / 2), 1.0)
    assert total(result.shape) == pytest.approx(total(shape), abs=1e-9)
    assert sewn(result.shape) == pytest.approx(sewn(shape), abs=0.01)
    one, two = sorted((d for d in result.shape.darts), key=lambda d: d.at)
    assert one.edge == two.edge == "side"
    assert two.at - two.width / 2 == pytest.approx(one.at + one.width / 2, abs=1e-6)


def test_a_longer_dart_is_wider() -> None:
    """Angle stays and the width goes with the length of the legs: 3 in at legs of 9 in is 2 in at 6 in.

    Source of the rule: Mabel D. Erwin, Practical Dress Design, revised edition 1954, p. 31 (the numbers are ours).
    """
    apex, leg, mouth = Point(0, 0), 9 * INCH, 3 * INCH
    half = math.asin(mouth / 2 / leg)
    low, right = -leg * math.cos(half), 6 * INCH
    corners = [Point(-200, low), Point(right, low), Point(right, 200), Point(-200, 200)]
    names = ("waist", "side", "shoulder", "centre")
    edges = tuple(
        Edge(n, Corner(n), Path((Line(a, b),))) for n, a, b in zip(names, corners, (*corners[1:], corners[0]), strict=True)
    )
    shape = Shape(edges, (Point(-150, 0), Point(-150, 150)), darts=(Dart("dart", "waist", 200.0, mouth, apex),))
    assert math.degrees(dart_angle(shape, shape.darts[0])) == pytest.approx(19.18814, abs=1e-5)
    result = turned_dart(shape, "dart", Spot("side", -low))
    assert result.shape.darts[0].width == pytest.approx(2 * INCH, abs=1e-9)
    assert math.degrees(dart_angle(result.shape, result.shape.darts[0])) == pytest.approx(19.18814, abs=1e-5)
    assert sewn(result.shape) == pytest.approx(sewn(shape), abs=1e-9)


def test_the_waist_of_a_french_lining_closes_to_a_quarter() -> None:
    """Centre front to side at the waist is a quarter of the waist when the dart is out, wherever the dart goes.

    Source: Carrie Crane Ingalls, Text-Book on Domestic Art (1911), French lining draft; the waist of 24 in is ours.
    """
    shape = only(bodice(width=6 * INCH / 0.86 + 30 / 0.86, dart=30.0), "waist dart")
    assert sewn(shape)["waist"] == pytest.approx(6 * INCH, abs=1e-9)
    for edge in ("shoulder", "armhole"):
        turned = turned_dart(shape, "waist dart", Spot(edge, 60.0)).shape
        assert turned.edge("waist").path.length == pytest.approx(6 * INCH, abs=0.01)


@settings(max_examples=30, deadline=None)
@given(shape=bodices, width=st.floats(2, 40), height=st.floats(80, 180))
def test_a_dart_opened_and_closed_again_is_nothing(shape: Shape, width: float, height: float) -> None:
    shape = replace(shape, darts=())
    to = Spot("waist", 0.45 * shape.edge("waist").path.length)
    point = to.point(shape) + Point(4, height)
    wide = opened_dart(shape, to, point, width=width)
    assert_sound(shape, wide)
    assert sewn(wide.shape) == pytest.approx(sewn(shape), abs=1e-6)
    assert wide.shape.darts[0].width == pytest.approx(width, abs=1e-9)
    hinge = next(j for j in wide.joints if j.edge != "waist")
    back = closed_dart(wide.shape, "dart", far=Spot(hinge.edge, hinge.start))
    assert back.shape.darts == ()
    assert lengths(back.shape) == pytest.approx(lengths(shape), abs=1e-6)
    assert back.shape.outline.area == pytest.approx(shape.outline.area, rel=1e-9)
    half = closed_dart(wide.shape, "dart", 0.5, far=Spot(hinge.edge, hinge.start))
    assert half.shape.darts[0].width == pytest.approx(width / 2, rel=0.02)
    assert sewn(half.shape) == pytest.approx(sewn(shape), abs=1e-6)


def test_a_dart_opened_by_an_angle() -> None:
    shape = replace(bodice(), darts=())
    to = Spot("waist", 90.0)
    result = opened_dart(shape, to, Point(90, 150), angle=0.2)
    assert result.shape.darts[0].width == pytest.approx(2 * 150 * math.sin(0.1), abs=1e-9)


def test_legs_that_differ_leave_a_blended_step() -> None:
    shape = only(bodice(), "waist dart")
    slanted = replace(shape, darts=(replace(shape.darts[0], apex=shape.darts[0].apex + Point(30, 0)),))
    result = turned_dart(slanted, "waist dart", Spot("shoulder", 60.0))
    assert_sound(slanted, result)
    assert sewn(result.shape)["waist"] == pytest.approx(sewn(slanted)["waist"], abs=1.0)
    assert len(result.shape.edge("waist").path.segments) > 2


def test_a_dart_moved_with_its_section_widens_and_narrows() -> None:
    """The wedge of a dart is the gap: turned about another point, the mouth follows both legs."""
    shape = bodice()
    cut = Cut(Spot("shoulder", 60.0), None, (), "side dart")
    wider = moved_section(shape, cut, Affine.rotation(-0.02, about=Cut(Spot("shoulder", 60.0)).start.point(shape)))
    old, new = (next(d for d in s.darts if d.id == "side dart") for s in (shape, wider.shape))
    assert new.width != old.width
    assert sewn(wider.shape)["side"] == pytest.approx(sewn(shape)["side"], abs=1e-9)
    with pytest.raises(Crosses, match="closed by more than there is"):
        moved_section(shape, cut, Affine.rotation(-2.5 * angle_at(shape, "side dart"), about=old.apex))


def test_impossible_turns_are_refused() -> None:
    shape = bodice()
    for share in (0.0, -1.0, 1.5, math.nan):
        with pytest.raises(CannotAlter, match="share"):
            turned_dart(shape, "waist dart", Spot("shoulder", 60.0), share)
        with pytest.raises(CannotAlter, match="share"):
            closed_dart(shape, "waist dart", share)
    with pytest.raises(NotThere):
        turned_dart(shape, "no dart", Spot("shoulder", 60.0))
    with pytest.raises(CannotAlter, match="there is a dart side dart already"):
        turned_dart(shape, "waist dart", Spot("shoulder", 60.0), 0.5, new_id="side dart")
    with pytest.raises(CannotAlter, match="through side dart"):
        turned_dart(shape, "waist dart", Spot("side", shape.darts[1].at))
    with pytest.raises(CannotAlter, match="an angle or by a width"):
        opened_dart(shape, Spot("waist", 10.0), Point(20, 100))
    for width in (0.0, -3.0, math.nan, math.inf):
        with pytest.raises(GeometryError):
            opened_dart(shape, Spot("waist", 10.0), Point(20, 100), width=width)
    with pytest.raises(CannotAlter, match="cannot lie on its edge"):
        opened_dart(shape, Spot("waist", 10.0), Point(10, 0), width=4.0)


def test_a_turned_dart_is_pressed_the_same_way() -> None:
    shape = bodice()
    shape = replace(shape, darts=tuple(replace(dart, pressed=Pressed.END) for dart in shape.darts))
    turned = turned_dart(shape, "waist dart", Spot("shoulder", 60.0), 0.5).shape
    assert {dart.pressed for dart in turned.darts} == {Pressed.END}


def test_a_split_dart_gets_a_free_id() -> None:
    shape = bodice()
    one = turned_dart(shape, "waist dart", Spot("shoulder", 60.0), 0.5).shape
    two = turned_dart(one, "waist dart", Spot("neck", 60.0), 0.5).shape
    assert [d.id for d in two.darts] == ["waist dart", "side dart", "waist dart 2", "waist dart 3"]
    assert total(two) == pytest.approx(total(shape), abs=1e-9)
