"""Fittings: a few places become a smooth new stitching line, and what that means for each part."""

from __future__ import annotations

import contextlib
import itertools
import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import apply_stack
from firsthand.demo import demo_patterns
from firsthand.errors import BadInput
from firsthand.fit.fitting import (
    ChalkSide,
    Fitted,
    Fitting,
    FittingPoint,
    Outcome,
    PointSort,
    alterations_of,
    fitted,
    known_parts,
    parse_entry,
    with_states,
)
from firsthand.geometry import Path, Point, nearest
from firsthand.pattern import Garment, Level, PartState, girth, make_garment, sewn_length, single_seams

CUT, SEWN = PartState.CUT, PartState.SEWN


@cache
def jerkin() -> Garment:
    return make_garment(demo_patterns()["jerkin"], "M", id="jerkin")


@cache
def skirt() -> Garment:
    return make_garment(demo_patterns()["skirt"], "M", id="skirt")


def pin(at: str, amount: float, hand: str = "", **more: object) -> FittingPoint:
    return FittingPoint(PointSort.PIN, "jerkin", "side", at, amount, hand, doubled=True, **more)  # type: ignore[arg-type]


def taken(*points: FittingPoint, garment: Garment | None = None, **more: object) -> tuple[Garment, Fitted]:
    return fitted(garment or jerkin(), Fitting("2027-02-06", "2027-02-06", "isaura", points=points), **more)  # type: ignore[arg-type]


def codes(done: Fitted) -> list[str]:
    return [finding.code for finding in done.findings]


def level(garment: Garment, name: str) -> Level:
    return next(one for one in garment.levels if one.id == name)


def inwards(side: ChalkSide, at: float) -> float:
    """How far inwards the new line is, square to the old one, measured on the drawn lines alone."""
    foot, way = side.old.at(at), side.old.tangent_at(at)
    points = [point - foot for point in drawn(side.new)]
    found = [
        a.towards(b, share).dot(way.left)
        for a, b in itertools.pairwise(points)
        if (a.dot(way) < 0) != (b.dot(way) < 0) and (share := a.dot(way) / (a.dot(way) - b.dot(way))) is not None
    ]
    return min(found, key=abs, default=math.nan)


@cache
def drawn(path: Path) -> tuple[Point, ...]:
    return path.flattened(0.01)


# the line -----------------------------------------------------------------------------------------------------


def test_the_new_line_runs_through_every_place_that_was_noted() -> None:
    _, done = taken(pin("4 cm below armhole", 4.0), pin("waist", 9.0), pin("8 cm below waist", 12.0), pin("hip", 0.0))
    (line,) = done.lines
    for side in line.sides:
        for spot in side.spots:
            assert nearest(side.new, spot.new)[1] < 0.2
    assert codes(done) == ["fitting-before-cutting"]


def test_pins_in_a_fold_take_twice_what_the_same_pins_take_in_all() -> None:
    """Arithmetic: a fold of 12 mm takes 24 mm out of the girth at that seam, and two seams take 48 mm."""
    before = girth(jerkin(), level(jerkin(), "waist")).total or 0.0
    after, _ = taken(pin("waist", 12.0))
    flat, _ = taken(replace(pin("waist", 24.0), doubled=False))
    assert before - (girth(after, level(after, "waist")).total or 0.0) == pytest.approx(48, abs=1.0)
    assert (girth(flat, level(flat, "waist")).total or 0.0) == pytest.approx(
        girth(after, level(after, "waist")).total, abs=1e-6
    )


def test_it_runs_to_nothing_at_the_ends_of_the_seam_in_the_direction_of_the_old_line() -> None:
    _, done = taken(pin("waist", 12.0))
    for side in done.lines[0].sides:
        assert side.old.start.distance(side.new.start) < 0.01
        assert side.old.end.distance(side.new.end) < 0.01
        assert abs(side.old.start_tangent.cross(side.new.start_tangent)) < math.sin(math.radians(0.2))
        assert abs(side.old.end_tangent.cross(side.new.end_tangent)) < math.sin(math.radians(0.2))


def test_where_it_is_told_to_run_to_nothing_the_old_line_stays_beyond() -> None:
    _, done = taken(pin("waist", 12.0, nothing=("hip", "10 cm above waist")))
    side = next(side for side in done.lines[0].sides if side.piece == "back")
    zero = sorted(spot.at for spot in side.spots if spot.amount == 0)
    for at in (zero[0] / 2, (zero[-1] + side.old.length) / 2):
        assert nearest(side.new, side.old.at(at))[1] < 0.02


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(-9, 14), min_size=3, max_size=5), st.data())
def test_between_places_it_is_monotone_and_never_beyond(amounts: list[float], data: st.DataObject) -> None:
    shares = sorted(data.draw(st.lists(st.integers(2, 18), min_size=len(amounts), max_size=len(amounts), unique=True)))
    points = [pin(f"{5 * share} %", amount) for share, amount in zip(shares, amounts, strict=True)]
    _, done = taken(*points)
    (line,) = done.lines
    side = next(side for side in line.sides if side.piece == "back")
    spots = sorted(side.spots, key=lambda spot: spot.at)
    for one, two in itertools.pairwise(spots):
        found = [inwards(side, at) for at in np.linspace(one.at + 0.01, two.at - 0.01, 9)]
        low, high = min(one.amount, two.amount), max(one.amount, two.amount)
        assert low - 0.15 <= min(found)
        assert max(found) <= high + 0.15
        rising = two.amount >= one.amount
        assert all((b - a) * (1 if rising else -1) > -0.12 for a, b in itertools.pairwise(found))


def test_it_is_the_monotone_cubic_of_scipy_inside() -> None:
    """Against scipy's PchipInterpolator, which has the same slopes inside by Fritsch and Butland (1984)."""
    from scipy.interpolate import PchipInterpolator

    _, done = taken(pin("10 %", 0.0), pin("30 %", 4.0), pin("50 %", 9.0), pin("70 %", 11.0), pin("90 %", 0.0))
    side = next(side for side in done.lines[0].sides if side.piece == "back")
    spots = sorted(side.spots, key=lambda spot: spot.at)
    reference = PchipInterpolator([spot.at for spot in spots], [spot.amount for spot in spots])
    inner = [spot for spot in spots if spot.amount > 0]
    for one, two in itertools.pairwise(inner):
        for at in np.linspace(one.at + 0.01, two.at - 0.01, 6):
            assert inwards(side, at) == pytest.approx(float(reference(at)), abs=0.2)


PATTERNS = ("shirt", "hose", "skirt", "cape")


@pytest.mark.parametrize("name", PATTERNS)
def test_every_seam_and_hand_of_other_garments_is_met_in_the_places_noted(name: str) -> None:
    garment = make_garment(demo_patterns()[name], "M", id=name)
    met = 0
    for base, _ in single_seams(garment):
        for hand, amount in (("", 5.0), ("left", -4.0)):
            point = FittingPoint(PointSort.SEWN, name, base, "40 %", amount, hand)
            _, done = fitted(garment, Fitting("2027-02-06", "2027-02-06", points=(point,)))
            for side in (side for line in done.lines for side in line.sides):
                assert all(nearest(side.new, spot.new)[1] < 0.2 for spot in side.spots), (base, hand)
                met += 1
            assert done.lines or codes(done) == ["fitting-not-taken"]
    assert met > 4


# hands --------------------------------------------------------------------------------------------------------


def test_one_side_is_carried_to_the_other() -> None:
    carried, done = taken(pin("waist", 8.0, "left", carry=True))
    both, _ = taken(pin("waist", 8.0))
    assert done.lines[0].hand == ""
    assert carried.pieces == both.pieces


def test_uneven_sides_are_kept() -> None:
    after, done = taken(pin("waist", 8.0, "left"), pin("waist", 3.0, "right"))
    assert [line.hand for line in done.lines] == ["right", "left"]
    assert {"front left", "front right"} <= set(after.pieces)
    for line, amount in zip(done.lines, (3.0, 8.0), strict=True):
        for side in line.sides:
            spot = next(spot for spot in side.spots if spot.words == "waist")
            assert spot.amount == amount
            assert nearest(side.new, spot.new)[1] < 0.2


def test_sides_that_came_out_alike_stay_one_piece() -> None:
    after, done = taken(pin("waist", 8.0, "left"), pin("waist", 8.0, "right"))
    assert len(done.lines) == 1
    assert "front" in after.pieces


def test_the_alterations_alone_give_the_same_garment() -> None:
    after, done = taken(pin("waist", 8.0, "left"), pin("hip", -5.0, "right", to_end=True))
    again = apply_stack(jerkin(), alterations_of(done), compare=False)
    assert again.garment.pieces == after.pieces
    assert not [finding for finding in again.findings if finding.code == "alteration-refused"]


def test_a_second_fitting_starts_from_the_first() -> None:
    first, _ = taken(pin("waist", 8.0))
    second = Fitting("2027-02-13", "2027-02-13", points=(pin("waist", -3.0),))
    after, done = fitted(first, second)
    once, _ = taken(pin("waist", 5.0))
    assert girth(after, level(after, "waist")).total == pytest.approx(girth(once, level(once, "waist")).total, abs=0.3)
    for side in done.lines[0].sides:
        for spot in side.spots:
            assert nearest(side.new, spot.new)[1] < 0.2


# edges --------------------------------------------------------------------------------------------------------


def test_a_hem_is_marked_up_at_places() -> None:
    up = [
        FittingPoint(PointSort.HEM, "jerkin", "back.hem", place, amount, to_end=True)
        for place, amount in (("start", 0.0), ("end", 15.0))
    ]
    after, done = taken(*up)
    (side,) = done.lines[0].sides
    assert side.new.end.distance(side.old.end) == pytest.approx(15, abs=1.5)
    assert side.new.start.distance(side.old.start) < 0.05
    assert after.piece("back").shape != jerkin().piece("back").shape


def test_a_neckline_is_cut_away_on_one_hand_only() -> None:
    after, done = taken(FittingPoint(PointSort.EDGE, "jerkin", "front.neck", "50 %", 6.0, "left"))
    assert done.findings[0].code == "fitting-before-cutting"
    assert {"front left", "front right"} <= set(after.pieces)
    (side,) = done.lines[0].sides
    assert side.piece == "front left"
    assert all(nearest(side.new, spot.new)[1] < 0.2 for spot in side.spots)
    right = after.piece("front right").drawn_shape.edge("neck").path
    assert right.length == pytest.approx(jerkin().piece("front").drawn_shape.edge("neck").path.length)


# darts --------------------------------------------------------------------------------------------------------


def dart(amount: float, hand: str = "", name: str = "front.bust dart") -> FittingPoint:
    return FittingPoint(PointSort.DART, "jerkin", name, "its mouth", amount, hand)


def test_a_dart_is_pinned_deeper_and_the_edge_is_shorter_by_it() -> None:
    garment = with_states(jerkin(), {"front": SEWN})
    after, done = taken(dart(6.0), garment=garment)
    old, new = (one.piece("front").drawn_shape for one in (jerkin(), after))
    assert new.darts[0].width == pytest.approx(old.darts[0].width + 6, abs=0.01)
    assert new.darts[0].apex == old.darts[0].apex
    assert sewn_length(old, "side") - sewn_length(new, "side") == pytest.approx(6, abs=0.6)
    assert outcomes(done)["front left shell"] is Outcome.UNPICK
    assert "back centre shell" not in outcomes(done)


def test_a_dart_of_one_hand_alone() -> None:
    after, done = taken(dart(-6.0, "left"))
    widths = {name: after.piece(name).drawn_shape.darts[0].width for name in ("front left", "front right")}
    assert widths["front right"] - widths["front left"] == pytest.approx(6, abs=0.01)
    assert outcomes(done)["front left shell"] is Outcome.FOLLOWS


@pytest.mark.parametrize("point", [dart(6.0, name="front.bust drt"), dart(-24.5), dart(190.0), dart(6.0, name="dart")])
def test_a_dart_that_cannot_be_is_told(point: FittingPoint) -> None:
    after, done = taken(point)
    assert codes(done) == ["fitting-not-taken"]
    assert after.pieces == jerkin().pieces


def test_two_amounts_for_a_dart_are_a_contradiction() -> None:
    assert codes(taken(dart(6.0), dart(4.0))[1]) == ["fitting-contradictory"]


def test_a_dart_is_entered_in_words() -> None:
    point = parse_entry("front.bust dart left, 6 mm narrower, carry", PointSort.DART, jerkin())
    assert (point.line, point.hand, point.amount, point.carry) == ("front.bust dart", "left", -6.0, True)
    with pytest.raises(BadInput, match="bust dart"):
        parse_entry("front.bust drt, 6 mm", PointSort.DART, jerkin())


# what it means for parts --------------------------------------------------------------------------------------


def outcomes(done: Fitted) -> dict[str, Outcome]:
    return {one.part: one.outcome for one in done.consequences}


def test_what_to_do_goes_by_how_far_each_part_is() -> None:
    garment = with_states(jerkin(), {"front shell": SEWN, "back": CUT})
    _, done = taken(pin("waist", 8.0), garment=garment)
    found = outcomes(done)
    assert found["front left shell"] is Outcome.UNPICK
    assert found["back centre shell"] is Outcome.RETRIM
    assert found["front left lining"] is Outcome.FOLLOWS
    assert "stay left interfacing" not in found
    assert any("unpick" in step for step in done.steps)
    assert any("Trim last" in step for step in done.steps)


def test_letting_out_goes_as_far_as_the_inlay() -> None:
    garment = with_states(jerkin(), {"": CUT})
    _, done = taken(pin("waist", -9.0), garment=garment)
    assert outcomes(done)["back centre shell"] is Outcome.LET_OUT
    assert codes(done) == []


def test_more_let_out_than_inlay_says_what_would_make_it_possible() -> None:
    """The jerkin's side has an inlay of 10 mm: 14 mm are 4 mm short, and with 11 mm of its 15 mm allowance it would go."""
    garment = with_states(jerkin(), {"": CUT})
    _, done = taken(pin("waist", -14.0), garment=garment)
    assert outcomes(done)["back centre shell"] is Outcome.RECUT
    assert set(codes(done)) == {"fitting-inlay-short"}
    finding = done.findings[0]
    assert "⟨4 mm⟩ short" in finding.message
    assert "allowance of ⟨11 mm⟩" in finding.remedy


def test_a_trimmed_seam_is_too_late_to_let_out() -> None:
    garment = with_states(jerkin(), {"": SEWN})
    _, done = taken(pin("waist", -5.0, trimmed=True), garment=garment)
    assert set(codes(done)) == {"fitting-too-late"}
    assert outcomes(done)["front right shell"] is Outcome.TOO_LATE


def test_what_crosses_a_seam_is_opened_first() -> None:
    garment = with_states(jerkin(), {"": SEWN})
    _, done = taken(pin("waist", 6.0, to_end=True), garment=garment)
    assert any("hem" in words for words in done.lines[0].crossing)
    assert any("first open" in step for step in done.steps)
    _, inner = taken(pin("waist", 6.0), garment=garment)
    assert inner.lines[0].crossing == ()


def test_a_waistband_that_is_not_cut_yet_gets_the_new_length() -> None:
    from firsthand.draft import DRAFTS

    refs = ("back.waist left", "front.waist left", "front.waist right", "back.waist right")
    band = DRAFTS["band"](id="waistband", name="Waistband", depth=40.0, onto=refs)  # type: ignore[call-arg]
    seam = next(seam.id for seam in skirt().seams if seam.id.startswith("side"))
    name = seam.removesuffix(" right").removesuffix(" left")
    point = FittingPoint(PointSort.PIN, "skirt", name, "waist", 10.0, doubled=True)
    _, done = fitted(skirt(), Fitting("2027-03-01", "2027-03-01", points=(point,)), drafts=[band])
    change = next(one for one in done.lengths if "waistband" in one.seam)
    assert change.a_before - change.a_after > 15 or change.b_before - change.b_after > 15
    assert "new length" in change.words
    assert outcomes(done)["waistband centre shell"] is Outcome.FOLLOWS


# bad input ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("point", "words"),
    [
        (FittingPoint(PointSort.PIN, "jerkin", "sid", "waist", 5.0), "sid"),
        (pin("90 cm below waist", 5.0), "beyond"),
        (pin("8 below waist", 5.0), "no length"),
        (pin("knee", 5.0), "knee"),
        (pin("waist", 300.0), "side: ⟨1200 mm⟩ is more than can be meant"),
        (FittingPoint(PointSort.HEM, "jerkin", "wing.hem", "start", 5.0), "wing"),
        (FittingPoint(PointSort.EDGE, "jerkin", "front.nick", "50 %", 5.0), "nick"),
        (FittingPoint(PointSort.EDGE, "jerkin", "neck", "50 %", 5.0), "PIECE.EDGE"),
        (FittingPoint(PointSort.EDGE, "jerkin", "back.centre", "50 %", 5.0), "on the fold"),
        (FittingPoint(PointSort.EDGE, "jerkin", "back.centre", "50 %", 5.0, "left"), "on the fold"),
        (FittingPoint(PointSort.PIN, "jerkin", "neck", "50 %", 5.0, "left"), "one seam"),
    ],
)
def test_what_cannot_be_is_left_out_and_told(point: FittingPoint, words: str) -> None:
    after, done = taken(point)
    assert codes(done) == ["fitting-not-taken"]
    assert words in done.findings[0].message + done.findings[0].remedy
    assert after.pieces == jerkin().pieces


def test_what_is_wrong_leaves_the_rest_in() -> None:
    _, done = taken(FittingPoint(PointSort.PIN, "jerkin", "sid", "waist", 5.0), pin("waist", 5.0))
    assert len(done.lines) == 1
    assert "fitting-not-taken" in codes(done)


@pytest.mark.parametrize(
    "points",
    [
        (pin("waist", 5.0), pin("waist", 8.0)),
        (pin("waist", 5.0), pin("hip", 8.0, "left")),
        (pin("waist", 5.0, "left", carry=True), pin("hip", 8.0, "right")),
    ],
)
def test_contradictory_places_are_told(points: tuple[FittingPoint, ...]) -> None:
    _, done = taken(*points)
    assert codes(done) == ["fitting-contradictory"]


def test_a_bump_is_told() -> None:
    _, done = taken(pin("waist", 12.0), pin("3 cm below waist", 0.0))
    assert "fitting-abrupt" in codes(done)


# how far parts are, and the words of an entry -----------------------------------------------------------------


def test_states_count_the_more_closely_they_are_told() -> None:
    told = with_states(jerkin(), {"": PartState.HELD_BACK, "front": CUT, "front left lining": SEWN})
    states = {part.id: part.state for part in told.parts}
    assert states["front left lining"] is SEWN
    assert states["front right lining"] is CUT
    assert states["back centre shell"] is PartState.HELD_BACK
    assert "front left lining" in known_parts(told)


def test_an_unknown_part_is_told() -> None:
    from firsthand.fit.fitting import unknown_states

    (finding,) = unknown_states({"frnt": CUT, "front": CUT, "": CUT}, jerkin())
    assert finding.code == "part-state-unknown"
    assert "front" in finding.remedy


def test_an_entry_is_read_in_the_words_of_the_trade() -> None:
    point = parse_entry(
        "Left side seam, 80 mm below the waist, let out 5 mm, to nothing at hip, carry", PointSort.PIN, jerkin()
    )
    assert point == FittingPoint(
        PointSort.PIN, "jerkin", "side", "80 mm below waist", -5.0, "left", nothing=("hip",), carry=True
    )
    hem = parse_entry("back.hem, 40 %, up 2 cm, to the end", PointSort.HEM, jerkin())
    assert (hem.amount, hem.to_end, hem.line) == (20.0, True, "back.hem")


def test_everything_wrong_with_an_entry_is_told_at_once() -> None:
    with pytest.raises(BadInput) as caught:
        parse_entry("sid left, waste, 12, dubled", PointSort.PIN, jerkin(), option="--pin")
    told = [problem.remedy for problem in caught.value.problems]
    assert len(told) == 3
    assert any("doubled" in remedy for remedy in told)
    assert any("side" in remedy for remedy in told)


@settings(max_examples=40, deadline=None)
@given(st.text("sidelft ,0123456789cmwaist%.-∞", max_size=40))
def test_no_entry_crashes(words: str) -> None:
    with contextlib.suppress(BadInput):
        assert parse_entry(words, PointSort.PIN, jerkin()).line == "side"
