"""Sections moved: slashes spread, overlapped, hinged; all that lies on a piece carried."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from cut_shapes import assert_sound, bodice, bodices, gore, gores, leg, legs, lengths, sewn
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter._spots import Spot
from firsthand.alter.cutting.sections import Cut, moved_section, spread_between
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Affine, Path, Point
from firsthand.pattern import Dart, InnerLine, InnerLineKind, LevelLine, Shape, level_width

pieces = st.one_of(
    bodices.map(lambda s: (s, "waist", "shoulder")),
    gores.map(lambda s: (s, "hem", "waist")),
    legs.map(lambda s: (s, "hem", "waist")),
)
shares = st.floats(0.3, 0.7)


def spots(shape: Shape, one: str, two: str, share_one: float, share_two: float) -> tuple[Spot, Spot]:
    """Places on two edges, beside all darts and pleats."""
    found = []
    for edge, share in ((one, share_one), (two, share_two)):
        length = shape.edge(edge).path.length
        at = share * length
        mouths = [(d.at, d.width) for d in shape.darts if d.edge == edge]
        mouths += [(p.at, p.take_up) for p in shape.pleats if p.edge == edge]
        for middle, width in mouths:
            if abs(at - middle) < width / 2 + 8:
                at = middle - width / 2 - 10 if middle > length / 2 else middle + width / 2 + 10
        found.append(Spot(edge, at))
    return found[0], found[1]


def slashed(case: tuple[Shape, str, str], a: float, b: float) -> tuple[Shape, Spot, Spot]:
    shape, one, two = case
    if one == "waist" and two == "shoulder":  # the bodice's waist dart points across: keep to its side
        shape = replace(shape, darts=tuple(d for d in shape.darts if d.id == "side dart"))
    if shape.darts and shape.darts[0].id == "dart":
        shape = replace(shape, darts=())
    return (shape, *spots(shape, one, two, a, b))


@settings(max_examples=40, deadline=None)
@given(case=pieces, a=shares, b=shares, gap=st.floats(0.5, 40))
def test_a_hinged_spread_keeps_the_far_edge(case: tuple[Shape, str, str], a: float, b: float, gap: float) -> None:
    shape, one, two = slashed(case, a, b)
    if shape.edges[0].id == "waist":
        shape = replace(shape, darts=())
    wide = spread_between(shape, one, two, gap, 0.0)
    assert_sound(shape, wide)
    old, new = lengths(shape), lengths(wide.shape)
    assert new[one.edge] == pytest.approx(old[one.edge] + gap, abs=1e-8)
    for name in old.keys() - {one.edge}:
        assert new[name] == pytest.approx(old[name], rel=1e-9)
    assert wide.lost == ()


@settings(max_examples=40, deadline=None)
@given(case=pieces, a=shares, b=shares, gap=st.floats(0.5, 60))
def test_a_parallel_spread_adds_to_both_ends(case: tuple[Shape, str, str], a: float, b: float, gap: float) -> None:
    shape, one, two = slashed(case, a, b)
    if shape.edges[0].id == "waist":
        shape = replace(shape, darts=())
    wide = spread_between(shape, one, two, gap, gap)
    assert_sound(shape, wide)
    old, new = lengths(shape), lengths(wide.shape)
    for name in old:
        assert new[name] == pytest.approx(old[name] + (gap if name in (one.edge, two.edge) else 0.0), abs=1e-8)
    area = wide.shape.outline.area - shape.outline.area
    assert area > 0


@settings(max_examples=40, deadline=None)
@given(case=pieces, a=shares, b=shares, gaps=st.tuples(st.floats(0, 30), st.floats(0, 30)), right=st.booleans())
def test_spread_then_overlap_is_nothing(
    case: tuple[Shape, str, str], a: float, b: float, gaps: tuple[float, float], right: bool
) -> None:
    shape, one, two = slashed(case, a, b)
    if shape.edges[0].id == "waist":
        shape = replace(shape, darts=())
    keep = Spot(one.edge, one.at / 2 if right else (one.at + shape.edge(one.edge).path.length) / 2)
    wide = spread_between(shape, one, two, *gaps, stays=keep)
    at_one, at_two = (joint.start if right == (number == 0) else joint.end for number, joint in enumerate(wide.joints))
    kept = Spot(one.edge, keep.at if right else keep.at + lengths(wide.shape)[one.edge] - lengths(shape)[one.edge])
    back = spread_between(wide.shape, Spot(one.edge, at_one), Spot(two.edge, at_two), -gaps[0], -gaps[1], stays=kept)
    assert_sound(wide.shape, back)
    assert lengths(back.shape) == pytest.approx(lengths(shape), abs=1e-6)
    assert back.shape.outline.area == pytest.approx(shape.outline.area, rel=1e-9)
    for notch, same in zip(back.shape.notches, shape.notches, strict=True):
        assert (notch.id, notch.edge) == (same.id, same.edge)
        assert notch.at == pytest.approx(same.at, abs=1e-6)
    for level, was in zip(back.shape.levels, shape.levels, strict=True):
        assert level.a.distance(was.a) + level.b.distance(was.b) < 1e-6


@settings(max_examples=25, deadline=None)
@given(case=pieces, a=shares, b=shares)
def test_spread_by_nothing_is_nothing(case: tuple[Shape, str, str], a: float, b: float) -> None:
    shape, one, two = slashed(case, a, b)
    if shape.edges[0].id == "waist":
        shape = replace(shape, darts=())
    same = spread_between(shape, one, two, 0.0, 0.0).shape
    assert lengths(same) == pytest.approx(lengths(shape), abs=1e-7)
    assert same.notches == tuple(replace(n, at=pytest.approx(n.at, abs=1e-7)) for n in shape.notches)
    assert (same.grain, same.darts) == (shape.grain, shape.darts)
    for level, was in zip(same.levels, shape.levels, strict=True):
        assert level.a.distance(was.a) + level.b.distance(was.b) < 1e-9


@settings(max_examples=40, deadline=None)
@given(case=pieces, a=shares, b=shares, gap=st.floats(0.5, 12), far=st.floats(0, 12))
def test_overlapping_is_sound(case: tuple[Shape, str, str], a: float, b: float, gap: float, far: float) -> None:
    shape, one, two = slashed(case, a, b)
    if shape.edges[0].id == "waist":
        shape = replace(shape, darts=())
    shape = replace(shape, pleats=())
    less = spread_between(shape, one, two, -gap, -far)
    assert_sound(shape, less)
    old, new = lengths(shape), lengths(less.shape)
    assert new[one.edge] == pytest.approx(old[one.edge] - gap, rel=0.02, abs=0.5)
    assert less.shape.outline.area < shape.outline.area


def test_everything_goes_with_its_section() -> None:
    shape = gore()
    wide = spread_between(shape, Spot("hem", 200.0), Spot("waist", 50.0), 20.0, 20.0)
    by = wide.shape.edge("right").path.start - shape.edge("right").path.start
    assert by.norm == pytest.approx(20)
    assert by.y == pytest.approx(0, abs=3)
    assert wide.shape.grain == shape.grain
    hip, tape = wide.shape.levels[0], wide.shape.lines[0]
    width = level_width(shape, "hip") or 0.0
    left = -width / 2
    assert hip.a.y == pytest.approx(shape.levels[0].a.y + by.y * (hip.a.x - left) / (width + 20), abs=0.1)
    assert hip.a.distance(hip.b) == pytest.approx(
        shape.levels[0].a.distance(shape.levels[0].b) * (width + 20) / width, rel=0.001
    )
    assert tape.path.end.distance(shape.lines[0].path.end + by) < 1e-9
    assert tape.path.length > shape.lines[0].path.length + 19.9
    assert [n.at for n in wide.shape.notches if n.id == "r"] == [n.at for n in shape.notches if n.id == "r"]
    assert wide.shape.edge("left") is shape.edge("left")
    other = spread_between(shape, Spot("hem", 200.0), Spot("waist", 50.0), 20.0, 20.0, stays=Spot("right", 300.0))
    assert other.shape.edge("right") is shape.edge("right")
    assert other.shape.grain[0].distance(shape.grain[0] - by) < 1e-9
    assert lengths(other.shape) == pytest.approx(lengths(wide.shape))


def test_the_corner_decides_which_edge_grows() -> None:
    shape = gore()
    hem = shape.edge("hem").path.length
    for spot, grown in ((Spot("hem", hem), "hem"), (Spot("right", 0.0), "right")):
        wide = spread_between(shape, spot, Spot("waist", 80.0), 15.0, 0.0)
        old, new = lengths(shape), lengths(wide.shape)
        assert new == pytest.approx({n: long + (15.0 if n == grown else 0.0) for n, long in old.items()})
        assert_sound(shape, wide)


def test_a_level_drawn_short_goes_with_the_edges_that_it_means() -> None:
    """Drawn only on the section that stays it still runs on over the other one: its far end there goes along."""
    shape = gore()
    short = replace(shape, levels=(LevelLine("hip", Point(-70, 420), Point(10, 420)),))
    cut = Spot("hem", 200.0), Spot("waist", 50.0)
    whole, part = (spread_between(s, *cut, 30.0, 0.0).shape.levels[0] for s in (shape, short))
    slope = [(line.b - line.a).angle for line in (whole, part)]
    assert slope[0] == pytest.approx(slope[1], abs=0.003)
    assert abs(slope[1]) > 0.005


def test_a_position_on_the_cut_stays_and_what_is_put_in_has_no_old_one() -> None:
    shape = gore()
    wide = spread_between(shape, Spot("hem", 100.0), Spot("waist", 100.0), 20.0, 0.0)
    (joint, hinge) = wide.joints
    assert joint.end - joint.start == pytest.approx(20)
    assert hinge.start == hinge.end
    news = sorted((run[2], run[3]) for run in wide.maps["hem"])
    assert news[0][1] == pytest.approx(joint.start)
    assert news[1][0] == pytest.approx(joint.end)


def test_through_a_point_and_two_places_on_one_edge() -> None:
    shape = gore(hem=400.0)
    bent = spread_between(shape, Spot("hem", 150.0), Spot("waist", 40.0), 10.0, 0.0, through=(Point(20, 300),))
    assert lengths(bent.shape)["hem"] == pytest.approx(lengths(shape)["hem"] + 10)
    notch = Cut(Spot("hem", 100.0), Spot("hem", 300.0), (Point(0, 200),))
    moved = moved_section(shape, notch, Affine.translation(0, -30))
    assert_sound(shape, moved)
    assert lengths(moved.shape)["hem"] == pytest.approx(lengths(shape)["hem"] + 60)


def test_darts_go_with_their_section_and_keep_their_form() -> None:
    shape = bodice()
    wide = spread_between(shape, Spot("waist", 40.0), Spot("neck", 60.0), 12.0, 0.0, stays=Spot("centre", 100.0))
    assert sewn(wide.shape)["side"] == pytest.approx(sewn(shape)["side"], abs=1e-9)
    for one, two in zip(wide.shape.darts, shape.darts, strict=True):
        assert one.width == two.width
        new, old = wide.shape.edge(one.edge).path, shape.edge(two.edge).path
        for sign in (-1, 0, 1):
            leg = new.at(one.at + sign * one.width / 2).distance(one.apex)
            assert leg == pytest.approx(old.at(two.at + sign * two.width / 2).distance(two.apex), abs=1e-9)


def test_a_step_of_an_overlap_is_blended() -> None:
    """A slash that slants across a slanting edge leaves a step: two straight lines become one without a jump."""
    shape = gore(dip=0.0)
    less = spread_between(shape, Spot("left", 300.0), Spot("right", 250.0), -40.0, -40.0)
    assert_sound(shape, less)
    path = less.shape.edge("right").path
    turns = [
        math.acos(min(1.0, one.tangent(1).dot(two.tangent(0))))
        for one, two in zip(path.segments, path.segments[1:], strict=False)
    ]
    assert len(path.segments) == 3
    assert max(turns) < 0.2


def test_a_hole_is_parted_and_closed_again() -> None:
    ring = Path.arc(Point(0, 300), 30, 0.3, 2 * math.pi)
    shape = replace(gore(), lines=(InnerLine("hole", InnerLineKind.CUT_OUT, ring),))
    wide = spread_between(shape, Spot("hem", 130.0), Spot("waist", 80.0), 20.0, 20.0)
    assert wide.shape.lines[0].path.is_closed
    assert wide.shape.lines[0].path.length == pytest.approx(ring.length + 40, abs=0.2)
    less = spread_between(shape, Spot("hem", 130.0), Spot("waist", 80.0), -10.0, -10.0)
    assert less.shape.lines[0].path.is_closed
    assert less.shape.lines[0].path.area == pytest.approx(ring.area - 600, rel=0.03)


@pytest.mark.parametrize(
    ("cut", "words"),
    [
        (Cut(Spot("waist", 100.0), Spot("shoulder", 40.0)), "would go through waist dart"),
        (Cut(Spot("centre", 200.0), Spot("side", 200.0)), "would go through"),
        (Cut(Spot("waist", 20.0), Spot("waist", 20.0)), "ends where it begins"),
        (Cut(Spot("waist", 20.0), Spot("waist", 60.0)), "runs along the edge|leaves the piece"),
        (Cut(Spot("armhole", 5.0), Spot("shoulder", 5.0)), "leaves the piece"),
        (Cut(Spot("waist", 20.0), Spot("neck", 2e4)), "beyond neck"),
        (Cut(Spot("waist", math.nan), Spot("neck", 20.0)), "beyond waist"),
        (Cut(Spot("waist", 20.0)), "ends either"),
        (Cut(Spot("waist", 20.0), Spot("neck", 20.0), dart="waist dart"), "ends either"),
        (Cut(Spot("waist", 100.0), dart="waist dart"), "begins in the mouth of waist dart"),
        (Cut(Spot("neck", 50.0), Spot("armhole", 20.0), (Point(900, 100),)), "leaves the piece"),
    ],
)
def test_impossible_cuts_are_refused(cut: Cut, words: str) -> None:
    with pytest.raises(CannotAlter, match=words):
        moved_section(bodice(), cut, Affine.translation(5, 0))


def test_bad_numbers_and_names_are_refused() -> None:
    shape = gore()
    for gap in (math.nan, math.inf):
        with pytest.raises(GeometryError):
            spread_between(shape, Spot("hem", 100.0), Spot("waist", 80.0), gap, 0.0)
    with pytest.raises(CannotAlter, match="cannot differ"):
        spread_between(shape, Spot("hem", 100.0), Spot("waist", 80.0), 5000.0, 0.0)
    with pytest.raises(NotThere):
        spread_between(shape, Spot("hems", 100.0), Spot("waist", 80.0), 5.0, 0.0)
    with pytest.raises(NotThere):
        moved_section(shape, Cut(Spot("hem", 100.0), dart="d"), Affine())
    for bent in (Affine.scaling(1.1), Affine.mirror()):
        with pytest.raises(GeometryError):
            moved_section(shape, Cut(Spot("hem", 100.0), Spot("waist", 80.0)), bent)
    pleat = Cut(Spot("hem", 100.0), Spot("waist", shape.pleats[0].at))
    with pytest.raises(CannotAlter, match="through p"):
        moved_section(shape, pleat, Affine())


def test_a_pleat_is_not_parted_from_where_it_runs() -> None:
    shape = gore()
    shape = replace(shape, pleats=(replace(shape.pleats[0], towards=Point(40, 20), reach=500.0),))
    with pytest.raises(CannotAlter, match="go through p"):
        spread_between(shape, Spot("left", 300.0), Spot("right", 250.0), 10.0, 10.0)
    beside = spread_between(shape, Spot("hem", 90.0), Spot("waist", 90.0), 10.0, 10.0, stays=Spot("left", 100.0)).shape
    by = beside.edge("right").path.start - shape.edge("right").path.start
    assert beside.pleats[0].towards == Point(40, 20) + by


def test_too_much_overlap_is_refused() -> None:
    from firsthand.alter.moving.reshape import Crosses

    shape = gore()
    with pytest.raises(Crosses, match=r"overlapped|cross"):
        spread_between(shape, Spot("hem", 200.0), Spot("waist", 30.0), -130.0, -100.0)
    dart = Dart("d", "hem", 230.0, 10.0, Point(100, 80))
    with pytest.raises(Crosses, match="d would be cut into"):
        spread_between(replace(shape, darts=(dart,)), Spot("hem", 200.0), Spot("waist", 30.0), -28.0, 0.0)


def test_a_leg_is_cut_from_the_crotch_to_the_side() -> None:
    shape = replace(leg(), levels=(LevelLine("hip", Point(-100, 800), Point(120, 800)),))
    wide = spread_between(shape, Spot("crotch", 120.0), Spot("side", 190.0), 18.0, 0.0, stays=Spot("hem", 50.0))
    assert_sound(shape, wide)
    assert lengths(wide.shape)["crotch"] == pytest.approx(lengths(shape)["crotch"] + 18)
    assert wide.shape.edge("hem") is shape.edge("hem")
