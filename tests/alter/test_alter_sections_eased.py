"""Edges trued after they were cut and joined."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from cut_shapes import assert_sound, bodice, gore, gores, lengths, sewn
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import Lengthen, apply_stack
from firsthand.alter._spots import Spot
from firsthand.alter.cutting.eased import REACH, eased, trued, trued_together
from firsthand.alter.cutting.sections import spread_between, turned_dart
from firsthand.errors import GeometryError
from firsthand.geometry import Path, Point
from firsthand.pattern import Garment, Shape, walk_seam

Maker = Callable[..., Garment]


def turns(path: Path) -> list[float]:
    """By how much a path turns at each of its joints, radians."""
    pairs = zip(path.segments, path.segments[1:], strict=False)
    return [abs(math.atan2(a.tangent(1).cross(b.tangent(0)), a.tangent(1).dot(b.tangent(0)))) for a, b in pairs]


@given(angle=st.floats(0.01, 0.8), reach=st.floats(5, 95))
def test_a_kink_becomes_an_arc(angle: float, reach: float) -> None:
    """One circle touches both sides of a corner at equal reaches: the curve is its arc to a thousandth of the length."""
    bent = Path.line(Point(0, 0), Point(100, 0), Point(100, 0) + Point.polar(100, angle))
    fair, runs = eased(bent, 100.0, reach)
    assert max(turns(fair)) < 1e-6
    radius = reach / math.tan(angle / 2)
    assert fair.length == pytest.approx(200 - 2 * reach + radius * angle, rel=1e-3)
    assert runs[0] == pytest.approx((0, 100 - reach, 0, 100 - reach))
    assert runs[-1][1] == pytest.approx(200)
    assert runs[-1][3] == pytest.approx(fair.length)
    assert (fair.start, fair.end) == (bent.start, bent.end)


def test_a_step_is_blended_and_an_end_is_no_obstacle() -> None:
    step = Path.line(Point(0, 0), Point(100, 0), Point(100, 4), Point(200, 4))
    fair, _ = eased(step, 100.0, 40.0, until=104.0)
    assert max(turns(fair)) < 1e-6
    near, runs = eased(step, 100.0, 200.0, until=104.0)
    assert len(near.segments) == 1
    assert runs == ((0.0, pytest.approx(204.0), 0.0, pytest.approx(near.length)),)


@pytest.mark.parametrize(("at", "reach"), [(math.nan, 10.0), (50.0, 0.0), (50.0, -3.0), (50.0, math.inf), (900.0, 10.0)])
def test_senseless_numbers_are_refused(at: float, reach: float) -> None:
    with pytest.raises(GeometryError):
        eased(Path.line(Point(0, 0), Point(100, 0), Point(200, 10)), at, reach)


@settings(max_examples=25, deadline=None)
@given(shape=gores, gap=st.floats(1, 60))
def test_a_flared_hem_and_its_hinge_run_smoothly(shape: Shape, gap: float) -> None:
    spots = (Spot("hem", 0.6 * shape.edge("hem").path.length), Spot("waist", 0.4 * shape.edge("waist").path.length))
    wide = spread_between(shape, *spots, gap, 0.0)
    fair = trued(wide)
    assert_sound(shape, fair)
    for edge in ("hem", "waist"):
        assert max(turns(fair.shape.edge(edge).path)) < 0.005
    assert lengths(fair.shape)["hem"] == pytest.approx(lengths(wide.shape)["hem"], rel=0.01)
    assert {n.id for n in fair.shape.notches} == {n.id for n in wide.shape.notches}


def test_darts_and_folds_are_left_alone() -> None:
    shape = bodice()
    turned = turned_dart(shape, "waist dart", Spot("shoulder", 55.0))
    fair = trued(turned)
    assert_sound(shape, fair)
    assert max(turns(fair.shape.edge("waist").path)) < 1e-4
    dart = fair.shape.darts[-1] if fair.shape.darts[-1].edge == "shoulder" else fair.shape.darts[0]
    assert fair.shape.edge("shoulder") == turned.shape.edge("shoulder")
    assert dart.width == pytest.approx(next(d for d in turned.shape.darts if d.edge == "shoulder").width)
    kept = trued(turned, but=("waist",))
    assert kept.shape == turned.shape
    assert trued(turned, reaches={"waist": 0.0}).shape == turned.shape
    assert sewn(fair.shape)["waist"] == pytest.approx(sewn(shape)["waist"], rel=0.01)


def test_a_straight_edge_stays_as_it_is() -> None:
    shape = gore(dip=0.0)
    wide = spread_between(shape, Spot("hem", 100.0), Spot("waist", 80.0), 12.0, 12.0)
    square = trued(spread_between(shape, Spot("hem", 130.0), Spot("waist", 80.0), 12.0, 12.0))
    assert square.shape.edge("hem").path.segments == shape.edge("hem").path.segments or len(wide.maps) == 2
    legs = lengths(square.shape)
    assert legs["waist"] == pytest.approx(172)


@settings(max_examples=20, deadline=None)
@given(amount=st.one_of(st.floats(5, 150), st.floats(-120, -5)), lean=st.floats(-60, 60), bulge=st.floats(-25, 25))
def test_partners_agree_after_lengthening(make_leg: Maker, amount: float, lean: float, bulge: float) -> None:
    legs = make_leg(lean=lean, bulge=round(bulge, 3))
    plain = apply_stack(legs, [Lengthen(amount, level="middle", trued=False)]).garment
    fair = apply_stack(legs, [Lengthen(amount, level="middle")]).garment
    for seam in legs.seams:
        was, now = (walk_seam(garment, seam) for garment in (plain, fair))
        assert abs(now.difference - was.difference) <= 0.5
    path = fair.piece("front").drawn_shape.edge("inner").path
    assert max(turns(path), default=0.0) < 0.006


def test_one_kinked_partner_is_eased_less(make_leg: Maker) -> None:
    """Only the front is slashed at its side: its curve is made so short that the side still fits to half a millimetre."""
    legs = make_leg()
    front = legs.piece("front").drawn_shape
    wide = spread_between(front, Spot("hem", 100.0), Spot("inner", 300.0), 110.0, 0.0)
    free = trued(wide)
    assert lengths(wide.shape)["inner"] - lengths(free.shape)["inner"] > 0.5
    held = trued_together(legs, {"front": wide})["front"]
    assert 0 <= lengths(wide.shape)["inner"] - lengths(held.shape)["inner"] <= 0.5
    assert held.shape.edge("hem") == free.shape.edge("hem")


def test_a_fold_edge_stays_straight(make_vest: Maker) -> None:
    vest = make_vest()
    front = vest.piece("front").drawn_shape
    wide = spread_between(front, Spot("centre", 100.0), Spot("side", 100.0), 20.0, 0.0, stays=Spot("waist", 10.0))
    fair = trued_together(vest, {"front": wide})["front"]
    assert fair.shape.edge("centre") == wide.shape.edge("centre")
    assert fair.shape.edge("side") != wide.shape.edge("side")
    assert REACH == 60.0
    assert replace(fair).lost == ()
