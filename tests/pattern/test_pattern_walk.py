"""Walking seams."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pattern_shapes import L, box, garment_of, piece, polygon, seam

from firsthand.errors import GeometryError, NotThere
from firsthand.geometry import Path, Point
from firsthand.pattern import Cut, Dart, Edge, Garment, How, Notch, NotchKind, Pleat, Seam, SeamWalk, Shape, walk_seam
from firsthand.pattern._walk import _nearest_in_order


def notched(shape: Shape, **places: float) -> Shape:
    """Notches named after their edge: ``right=30`` or ``right_b=60``."""
    notches = tuple(Notch(name, name.split("_")[0], at) for name, at in places.items())
    return replace(shape, notches=notches)


def walk(a: Shape, b: Shape, joined: Seam) -> SeamWalk:
    return walk_seam(garment_of([piece("front", a), piece("back", b)], [joined]), joined)


SIDE = seam("side", ["front.right"], ["back.left"])


def test_a_longer_front_is_out_by_what_it_is_longer() -> None:
    walked = walk(box(80, 407), box(80, 400), SIDE)
    assert (walked.a_length, walked.b_length, walked.expected_a) == (407, 400, 400)
    assert walked.difference == pytest.approx(7)
    assert not walked.fits
    assert walk(box(80, 401.5), box(80, 400), SIDE).fits


@given(st.floats(50, 500), st.floats(0.5, 3), st.floats(-10, 30), st.floats(-40, 40))
def test_the_rule_of_lengths(b: float, ratio: float, easing: float, out: float) -> None:
    a = ratio * b + easing + out
    if a < 1:
        return
    walked = walk(box(80, a), box(80, b), replace(SIDE, ratio=ratio, easing=easing))
    assert walked.difference == pytest.approx(out, abs=1e-9)
    assert walked.fits == (abs(out) <= 1.5 + 1e-9) or abs(abs(out) - 1.5) < 1e-6


def test_darts_and_pleats_are_closed_before_comparing() -> None:
    skirt = replace(box(300, 100), darts=(Dart("d", "top", 100, 20, Point(200, 20)),), pleats=(Pleat("p", "top", 200, 15),))
    assert walk(skirt, box(250, 40), seam("waist", ["front.top"], ["back.bottom"])).difference == pytest.approx(0)


def test_a_gathered_frill() -> None:
    """Ruffle of 15 in at a fullness of 2.5: 37.5 in. Source: stitchcoach, *How to estimate ruffles and gathers*."""
    frill = seam("frill", ["front.top"], ["back.bottom"], ratio=2.5)
    assert walk(box(37.5 * 25.4, 100), box(15 * 25.4, 40), frill).fits


def test_notches_that_meet_and_miss_from_head_to_tail() -> None:
    """The right edge runs up and the left edge runs down, so 30 from the start of one is 370 of the other."""
    front, back = notched(box(80, 400), right=30, right_b=200), notched(box(80, 400), left=370, left_b=190)
    gaps = walk(front, back, SIDE).notch_gaps
    assert [(gap.a, gap.b, gap.gap) for gap in gaps] == [("front.right", "back.left", 0), ("front.right_b", "back.left_b", -10)]


def test_notches_of_edges_that_run_alike() -> None:
    flat = replace(SIDE, reverse_b=False)
    gaps = walk(notched(box(80, 400), right=30), notched(box(80, 400), left=36), flat).notch_gaps
    assert [gap.gap for gap in gaps] == [-6]


def test_easing_explains_a_gap_up_to_its_amount_and_gathers_stretch_positions() -> None:
    eased = replace(SIDE, easing=20.0)
    for at, gap in ((200, 0), (215, 0), (225, 5), (190, -10)):
        walked = walk(notched(box(80, 420), right=at), notched(box(80, 400), left=200), eased)
        assert walked.notch_gaps[0].gap == pytest.approx(gap)
    full = replace(SIDE, ratio=2.0)
    assert walk(notched(box(80, 800), right=300), notched(box(80, 400), left=250), full).notch_gaps[0].gap == pytest.approx(0)


def test_a_notch_without_a_partner_is_named_and_the_others_keep_theirs() -> None:
    front, back = notched(box(80, 400), right=30, right_b=210, right_c=300), notched(box(80, 400), left=371, left_b=100)
    gaps = {gap.a: (gap.b, gap.gap) for gap in walk(front, back, SIDE).notch_gaps}
    assert gaps["front.right"] == ("back.left", 1)
    assert gaps["front.right_c"] == ("back.left_b", 0)
    assert gaps["front.right_b"][0] == ""
    assert math.isnan(gaps["front.right_b"][1])


def collar_on_neck(at: float) -> SeamWalk:
    front = piece("front", box(100, 200), Cut("shell", How.FOLD), fold="left", drawn=L)
    back = piece("back", box(80, 200), Cut("shell", How.FOLD), fold="left")
    collar = piece("collar", notched(box(180, 40), bottom=at), Cut("shell", How.PAIR))
    neck = seam("neck", ["collar.bottom right"], ["front.top right", "back.top right"])
    shoulder = seam("shoulder", ["front.right right"], ["back.right right"])
    return walk_seam(garment_of([front, back, collar], [shoulder, neck]), neck)


def test_a_notch_may_mean_the_joint_of_two_edges() -> None:
    # The collar's lower edge runs from centre back to centre front: the shoulder lies 80 from its start.
    for at, gap in ((80, 0), (76, 4)):
        (only,) = collar_on_neck(at).notch_gaps
        assert (only.b, only.gap) == ("front.top | back.top", pytest.approx(gap))
    assert collar_on_neck(30).notch_gaps[0].b == ""


@pytest.mark.parametrize("order", [1, -1])
def test_the_way_a_chain_is_walked_is_seen_from_its_order(order: int) -> None:
    """Whichever end of a chain is named first, notch meets notch."""
    corners = [(0, 0), (100, 0), (100, 120), (100, 300), (0, 300)]
    split = polygon(corners, ["hem", "one", "two", "top", "left"])
    split = replace(split, notches=(Notch("n", "one", 40.0), Notch("m", "two", 50.0)))
    plain = notched(box(100, 300), left=260, left_b=130)
    joined = seam("s", ["front.one", "front.two"][::order], ["back.left"])
    gaps = walk(split, plain, joined).notch_gaps
    assert [gap.gap for gap in gaps] == [pytest.approx(0), pytest.approx(0)]
    assert [gap.a for gap in gaps] == ["front.n", "front.m"][::order]


def test_both_hands_walk_alike() -> None:
    """A sleeve set in on the right and on the left, its chain in the same order of edges."""
    points = [(0, 0), (100, 0), (100, 200), (70, 300), (40, 320), (0, 300)]
    names = ["hem", "side", "armhole", "shoulder", "neck", "fold"]
    shape = replace(polygon(points, names), notches=(Notch("n", "armhole", 30.0),))
    front = piece("front", shape, Cut("shell", How.FOLD), fold="fold", drawn=L)
    back = piece(
        "back", replace(shape, notches=(Notch("n", "armhole", 30.0, NotchKind.DOUBLE),)), Cut("shell", How.FOLD), fold="fold"
    )
    cap = [(0, 0), (200, 0), (210, 200), (105, 280), (-5, 200)]
    sleeve = piece("sleeve", polygon(cap, ["wrist", "under_f", "cap_f", "cap_b", "under_b"]), Cut("shell", How.PAIR))
    for hand in ("right", "left"):
        joined = seam(
            f"sleeve {hand}",
            [f"sleeve.cap_b {hand}", f"sleeve.cap_f {hand}"],
            [f"back.armhole {hand}", f"front.armhole {hand}"],
        )
        shoulder = seam(f"shoulder {hand}", [f"front.shoulder {hand}"], [f"back.shoulder {hand}"])
        marked = replace(
            sleeve, sizes={"M": replace(sleeve.sizes["M"], notches=(Notch("b", "cap_b", 110.0), Notch("f", "cap_f", 30.0)))}
        )
        garment = garment_of([front, back, marked], [shoulder, joined])
        walked = walk_seam(garment, joined)
        assert [(gap.a, gap.b) for gap in walked.notch_gaps] == [("sleeve.b", "back.n"), ("sleeve.f", "front.n")]
        length = math.hypot(110, 80)  # of the cap's back half, sewn from the underarm
        assert walked.notch_gaps[0].gap == pytest.approx(length - 110 - 30)


def test_curved_edges_are_walked_along_the_curve() -> None:
    """A quarter circle of radius 100 against a straight edge of 50 pi."""
    round_ = box(100, 100)
    arc = Path.arc(Point(0, 0), 100, 0, math.pi / 2)
    edges = (
        Edge("hem", round_.edges[0].corner, Path.line(Point(0, 0), Point(100, 0))),
        Edge("arc", round_.edges[1].corner, arc),
        Edge("fold", round_.edges[2].corner, Path.line(Point(0, 100), Point(0, 0))),
    )
    walked = walk(Shape(edges, round_.grain), box(40, 50 * math.pi), seam("s", ["front.arc"], ["back.left"]))
    assert walked.difference == pytest.approx(0, abs=1e-4)


def garment() -> Garment:
    return garment_of([piece("front", box(10, 10)), piece("back", box(10, 10)), piece("card", None)])


@pytest.mark.parametrize("there", ["back.wing", "cape.left", "card.left", "back.left right", "back.left 2"])
def test_what_is_not_there_is_named(there: str) -> None:
    with pytest.raises(NotThere, match=there.split()[0].replace(".", r"\.")):
        walk_seam(garment(), seam("s", ["front.right"], [there]))


@pytest.mark.parametrize(
    "senseless",
    [{"ratio": 0.0}, {"ratio": -1.0}, {"ratio": math.nan}, {"easing": math.inf}, {"tolerance": -1.0}, {"tolerance": math.nan}],
)
def test_numbers_without_sense_are_refused(senseless: dict[str, float]) -> None:
    with pytest.raises(GeometryError):
        walk_seam(garment(), replace(SIDE, **senseless))
    with pytest.raises(GeometryError, match="one side"):
        walk_seam(garment(), replace(SIDE, b=()))


@given(st.lists(st.floats(0, 100), max_size=4), st.lists(st.floats(0, 100), max_size=3))
def test_the_nearest_in_order_is_the_best_of_all_choices(few: list[float], more: list[float]) -> None:
    few, many = sorted(few), sorted(few + more)
    chosen = _nearest_in_order(few, many)
    assert list(chosen) == sorted(set(chosen))
    cost = min(
        (
            sum(abs(a - many[j]) for a, j in zip(few, js, strict=True))
            for js in itertools.combinations(range(len(many)), len(few))
        ),
        default=0.0,
    )
    assert sum(abs(a - many[j]) for a, j in zip(few, chosen, strict=True)) == pytest.approx(cost)
