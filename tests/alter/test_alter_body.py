"""Alterations for the body: each does what its measurement asks for, and leaves alone what it says it leaves alone."""

from __future__ import annotations

import math
from typing import Any

import pytest
from cut_shapes import bodice
from hypothesis import given
from hypothesis import strategies as st

from firsthand.alter import ALTERATIONS, Alteration, SplitHands, TakeIn, apply_stack
from firsthand.alter.kinds.bust import Bust
from firsthand.alter.kinds.calf import Calf
from firsthand.alter.kinds.crotch_curve import CrotchCurve
from firsthand.alter.kinds.seat import Belly, RoundBack, Seat
from firsthand.alter.kinds.shoulder_slope import ShoulderSlope
from firsthand.alter.kinds.sleeve_cap import SleeveCap, UpperArm
from firsthand.alter.kinds.thickness import ForThickness
from firsthand.body import MEASUREMENTS
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import self_crossings
from firsthand.pattern import (
    Cut,
    Garment,
    How,
    Pattern,
    Piece,
    Shape,
    girth,
    level_width,
    make_garment,
    sewn_length,
    walk_seam,
)  # fmt: skip


def garment(name: str) -> Garment:
    pattern = demo_patterns()[name]
    return make_garment(pattern, id=name, size=pattern.sizes[1])


def edge(of: Garment, piece: str, name: str) -> float:
    return of.piece(piece).drawn_shape.edge(name).path.length


def round_of(of: Garment, level: str) -> float:
    total = girth(of, next(one for one in of.levels if one.id == level)).total
    assert total is not None
    return total


def front(how: How = How.FOLD) -> Garment:
    fold = {"fold": "centre"} if how is How.FOLD else {}
    piece = Piece("front", "1", "Front", (Cut("shell", how),), sizes={"M": bodice()}, **fold)  # type: ignore[arg-type]
    return make_garment(Pattern("b", "Bodice", ("M",), {"front": piece}), "M", id="b")


KINDS = ("seat", "belly", "round-back", "calf", "crotch-curve", "shoulder-slope", "sleeve-cap", "upper-arm", "bust")


@pytest.mark.parametrize("name", KINDS)
def test_each_names_the_measurement_that_drives_it(name: str) -> None:
    cls: Any = ALTERATIONS[name]
    assert cls.driven_by
    assert set(cls.driven_by) <= set(MEASUREMENTS)


# seat, belly, back -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("amount", [25.0, -15.0])
def test_a_seat_gets_length_at_its_centre_and_none_at_its_side(amount: float) -> None:
    hose = garment("hose")
    done = Seat(amount, "crotch at 50 %", "side at level hip").apply(hose).garment
    assert edge(done, "back", "side") == pytest.approx(edge(hose, "back", "side"), abs=0.3)
    assert edge(done, "back", "crotch") == pytest.approx(edge(hose, "back", "crotch") + amount, abs=1.0)
    assert edge(done, "back", "inseam") == edge(hose, "back", "inseam")
    assert done.piece("front") == hose.piece("front")


def test_a_belly_is_the_same_on_the_front() -> None:
    hose = garment("hose")
    result = apply_stack(hose, [Belly(12.0, "crotch at 60 %", "side at level hip")])
    assert result.records[0].words == (
        "front lengthened by ⟨12 mm⟩ over the belly, at crotch at 60 %, running out to side at level hip"
    )
    assert edge(result.garment, "front", "crotch") == pytest.approx(edge(hose, "front", "crotch") + 12, abs=0.6)


@pytest.mark.parametrize("amount", [15.0, -8.0])
def test_a_round_back_on_the_fold_keeps_its_fold_straight_and_its_armhole(amount: float) -> None:
    shirt = garment("shirt")
    done = RoundBack(amount, "centre at 75 %", "armhole at 50 %").apply(shirt).garment
    fold = done.piece("back").drawn_shape.edge("centre").path
    assert fold.length == pytest.approx(fold.start.distance(fold.end), abs=1e-9)
    assert fold.length == pytest.approx(edge(shirt, "back", "centre") + amount, abs=0.15 * abs(amount))
    assert edge(done, "back", "armhole") == pytest.approx(edge(shirt, "back", "armhole"), abs=0.25 * abs(amount))
    assert edge(done, "back", "side") == edge(shirt, "back", "side")


# legs --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("amount", [20.0, -12.0])
def test_each_calf_gets_its_room_and_knee_and_thigh_stay(amount: float) -> None:
    hose = garment("hose")
    result = apply_stack(hose, [Calf(amount)])
    done = result.garment
    assert round_of(done, "calf") - round_of(hose, "calf") == pytest.approx(amount, rel=0.02)
    assert round_of(done, "thigh") == pytest.approx(round_of(hose, "thigh"), abs=0.05)
    assert [finding.code for finding in result.findings] == []
    for seam in hose.seams:
        assert walk_seam(done, seam).difference == pytest.approx(walk_seam(hose, seam).difference, abs=0.5)


def test_a_crotch_is_made_longer_at_its_point_and_deeper() -> None:
    hose = garment("hose")
    done = apply_stack(hose, [CrotchCurve("back", longer=15.0), CrotchCurve("front", longer=15.0)]).garment
    for piece in ("front", "back"):
        assert edge(done, piece, "crotch") - edge(hose, piece, "crotch") == pytest.approx(15, abs=4)
        assert edge(done, piece, "waist") == edge(hose, piece, "waist")
    assert round_of(done, "thigh") > round_of(hose, "thigh") + 15
    assert round_of(done, "calf") == pytest.approx(round_of(hose, "calf"), abs=0.01)
    deeper = CrotchCurve("back", deeper=8.0).apply(hose).garment
    old, new = hose.piece("back").drawn_shape, deeper.piece("back").drawn_shape
    assert new.outline.area < old.outline.area
    assert new.edge("crotch").path.start.distance(old.edge("crotch").path.start) < 1e-6
    assert new.edge("crotch").path.end.distance(old.edge("crotch").path.end) < 1e-6


# shoulders and sleeves ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("amount", [12.0, -8.0])
def test_shoulders_slope_and_the_sleeve_still_fits(amount: float) -> None:
    shirt = garment("shirt")
    done = ShoulderSlope(amount).apply(shirt).garment
    for piece in ("front", "back"):
        old, new = shirt.piece(piece).drawn_shape, done.piece(piece).drawn_shape
        assert edge(done, piece, "armhole") == pytest.approx(edge(shirt, piece, "armhole"), abs=0.02)
        tips = [max((e.path.start, e.path.end), key=lambda p: abs(p.x)).y for e in (old.edge("shoulder"), new.edge("shoulder"))]
        assert tips[0] - tips[1] == pytest.approx(amount, rel=0.25)
        assert edge(done, piece, "neck") == pytest.approx(edge(shirt, piece, "neck"), abs=1e-6)
    for seam in shirt.seams:
        assert walk_seam(done, seam).fits == walk_seam(shirt, seam).fits


def test_one_degree_is_two_millimetres_over_a_shoulder_of_twelve_centimetres() -> None:
    assert 120 * math.tan(math.radians(1)) == pytest.approx(2.1, abs=0.1)  # as its docstring says


@pytest.mark.parametrize("amount", [20.0, -20.0])
def test_a_cap_is_raised_and_what_lies_below_it_stays(amount: float) -> None:
    shirt = garment("shirt")
    done = SleeveCap("sleeve", amount).apply(shirt)
    old, new = (of.piece("sleeve").drawn_shape for of in (shirt, done.garment))
    assert new.outline.bounds.top - old.outline.bounds.top == pytest.approx(amount, abs=0.01)
    assert new.edge("underarm-front") == old.edge("underarm-front")
    assert new.edge("hem") == old.edge("hem")


def test_an_upper_arm_gets_room_and_the_cap_still_fits() -> None:
    shirt = garment("shirt")
    result = apply_stack(shirt, [UpperArm(30.0)])
    assert round_of(result.garment, "upper arm") - round_of(shirt, "upper arm") == pytest.approx(30, abs=1.5)
    assert edge(result.garment, "sleeve", "hem") == pytest.approx(edge(shirt, "sleeve", "hem"), abs=0.3)
    assert result.garment.piece("sleeve").drawn_shape.outline.bounds.top < shirt.piece("sleeve").drawn_shape.outline.bounds.top
    for seam in shirt.seams:
        assert walk_seam(result.garment, seam).fits == walk_seam(shirt, seam).fits
    assert [finding.code for finding in result.findings if finding.code != "alteration-corners-off"] == []


# bust --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("how", [How.FOLD, How.PAIR])
@pytest.mark.parametrize("amount", [60.0, 100.0, -24.0])
def test_a_bust_gets_room_and_every_seam_sews_up_as_before(amount: float, how: How) -> None:
    before = front(how)
    done = Bust(amount, "side dart", "waist at 22 %", "armhole at notch n1").apply(before).garment
    old, new = before.piece("front").drawn_shape, done.piece("front").drawn_shape
    for name in ("side", "armhole", "shoulder", "neck"):
        assert sewn_length(new, name) == pytest.approx(sewn_length(old, name), abs=0.01)
    assert sewn_length(new, "waist") == pytest.approx(sewn_length(old, "waist") + amount / 2, abs=1.0)
    assert (edge(done, "front", "centre") - edge(before, "front", "centre")) * amount > 0
    apex = [next(dart.apex for dart in shape.darts if dart.id == "side dart") for shape in (old, new)]
    assert apex[1].x - apex[0].x == pytest.approx(amount / 2, abs=1e-6)
    widths = [next(dart.width for dart in shape.darts if dart.id == "side dart") for shape in (old, new)]
    assert (widths[1] - widths[0]) * amount > 0
    assert self_crossings(new.outline) == ()
    wider = [level_width(shape, "bust") for shape in (old, new)]
    assert wider[0] is not None
    assert wider[1] is not None
    assert (wider[1] - wider[0]) * amount > 0


def test_what_is_put_in_at_the_waist_is_taken_out_in_a_dart() -> None:
    before = front()
    done = Bust(60.0, "side dart", "waist at 22 %", "armhole at notch n1", lower_dart="new").apply(before).garment
    old, new = before.piece("front").drawn_shape, done.piece("front").drawn_shape
    assert sewn_length(new, "waist") == pytest.approx(sewn_length(old, "waist"), abs=0.5)
    made = next(dart for dart in new.darts if dart.id == "new")
    assert made.width == pytest.approx(30, abs=0.5)
    legs = [new.edge("waist").path.at(made.at + side * made.width / 2).distance(made.apex) for side in (-1, 1)]
    assert legs[0] == pytest.approx(legs[1], rel=0.05)


@given(st.floats(-24, 120), st.floats(0.1, 0.25))
def test_any_bust_leaves_a_sound_piece(amount: float, lower: float) -> None:
    before = front()
    done = Bust(amount, "side dart", f"waist at {lower:.0%}", "armhole at 40 %").apply(before)
    shape: Shape = done.garment.piece("front").drawn_shape
    assert self_crossings(shape.outline) == ()
    assert shape.outline.area > 0
    assert {dart.id for dart in shape.darts} == {"waist dart", "side dart"}
    assert {notch.id for notch in shape.notches} == {"n1", "n2", "n3"}


# what is refused ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "entry", "error"),
    [
        ("hose", Seat(20.0, "crotch at 50 %", "side at level knee"), NotThere),
        ("hose", Seat(900.0, "crotch at 50 %", "side at level hip"), CannotAlter),
        ("hose", Seat(20.0, "seat", "side at level hip"), CannotAlter),
        ("shirt", RoundBack(20.0, "centre at 50 %", "centre at 60 %"), CannotAlter),
        ("hose", Calf(20.0, level="knee"), NotThere),
        ("hose", Calf(20.0, seams=()), CannotAlter),
        ("hose", CrotchCurve("back"), CannotAlter),
        ("hose", CrotchCurve("back", longer=10.0, inseam="waist", crotch="hem"), CannotAlter),
        ("hose", CrotchCurve("sleeve", longer=10.0), NotThere),
        ("shirt", ShoulderSlope(10.0, shoulders=()), CannotAlter),
        ("shirt", ShoulderSlope(10.0, shoulders=("front.yoke",)), NotThere),
        ("shirt", SleeveCap("side"), CannotAlter),
        ("shirt", SleeveCap("collar"), NotThere),
        ("shirt", SleeveCap("sleeve", -250.0), CannotAlter),
        ("shirt", UpperArm(30.0, level="elbow"), NotThere),
        ("jerkin", Bust(60.0, "no dart", "hem at 40 %", "armhole at 40 %"), NotThere),
        ("jerkin", Bust(900.0, "bust dart", "hem at 40 %", "armhole at 40 %"), CannotAlter),
    ],
)
def test_what_cannot_be_is_refused_with_words(name: str, entry: Alteration, error: type[Exception]) -> None:
    with pytest.raises(error):
        entry.apply(garment(name))


def test_nothing_is_nothing() -> None:
    hose, shirt = garment("hose"), garment("shirt")
    assert Seat(0.0, "crotch at 50 %", "side at level hip").apply(hose).garment == hose
    assert Calf(0.0).apply(hose).garment == hose
    assert UpperArm(0.0).apply(shirt).garment == shirt
    assert ShoulderSlope(0.0).apply(shirt).garment == shirt
    assert Bust(0.0, "side dart", "waist at 22 %", "armhole at notch n1").apply(front()).garment == front()


def test_hands_that_were_taken_apart_are_altered_alike() -> None:
    """One piece of a seam has a piece of its own for each hand, the other is still cut as a pair."""
    hose, shirt = garment("hose"), garment("shirt")
    apart = apply_stack(hose, [SplitHands(pieces=("front",))]).garment
    stations = (("20 %", 12.0), ("70 %", 4.0))
    entries: tuple[Alteration, ...] = (
        Calf(15.0),
        ForThickness(expected=0.4, thickness=1.4),
        TakeIn(stations=stations, seams=("side",)),
    )
    for entry in entries:
        whole, halves = apply_stack(hose, [entry]), apply_stack(apart, [entry])
        assert [finding.code for finding in halves.findings] == [finding.code for finding in whole.findings]
        for level in hose.levels:
            assert round_of(halves.garment, level.id) == pytest.approx(round_of(whole.garment, level.id), abs=1e-3)
    sleeves = apply_stack(shirt, [SplitHands(pieces=("sleeve",))]).garment
    arms: tuple[Alteration, ...] = (SleeveCap("sleeve", 12.0), UpperArm(20.0))
    for arm in arms:
        one, two = apply_stack(shirt, [arm]), apply_stack(sleeves, [arm])
        assert len(two.records) == 1
        for name in ("sleeve right", "sleeve left"):
            assert two.garment.piece(name).drawn_shape.outline.area == pytest.approx(
                one.garment.piece("sleeve").drawn_shape.outline.area, rel=1e-6
            )
