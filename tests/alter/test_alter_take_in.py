"""Taking in and letting out."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import TakeIn, apply_stack
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Path, Point
from firsthand.pattern import Corner, Dart, Garment, Hand, Shape, make_garment, walk_seam

Maker = Callable[..., Garment]

amounts = st.floats(-80, 120, allow_nan=False)
leans = st.floats(-60, 60, allow_nan=False)
bulges = st.floats(-25, 25, allow_nan=False).map(lambda value: round(value, 3))


def width_at_middle(shape: Shape) -> float:
    """Width between the stitching lines at the level, by brute force: polygons, not the code under test."""
    import shapely

    points = [(p.x, p.y) for p in shape.outline.flattened(0.0005)]
    y = shape.levels[0].a.y
    return float(shapely.Polygon(points).intersection(shapely.LineString([(-2000, y), (2000, y)])).length)


def lengths(garment: Garment) -> dict[str, float]:
    return {f"{n}.{e.id}": e.path.length for n, p in garment.pieces.items() for e in p.drawn_shape.edges}


@pytest.mark.parametrize("amount", [40.0, -40.0, 0.5, 113.0])
def test_a_straight_tube_loses_exactly_the_amount(make_leg: Maker, amount: float) -> None:
    """A leg of two straight panels: girth = 2 x width; each limb takes half of what the two lose together."""
    legs = make_leg(width=200)
    taken = apply_stack(legs, [TakeIn(amount)]).garment
    girth = sum(width_at_middle(taken.piece(name).drawn_shape) for name in ("front", "back"))
    assert girth == pytest.approx(400 - amount / 2, abs=1e-9)
    limb = apply_stack(legs, [TakeIn(amount, limb=True)]).garment
    assert sum(width_at_middle(limb.piece(n).drawn_shape) for n in ("front", "back")) == pytest.approx(400 - amount, abs=1e-9)


def test_a_vest_loses_the_amount_at_every_level(make_vest: Maker) -> None:
    """Four edges round the body each move by a quarter, square to the edge: at a slant the level loses amount / cos(slant)."""
    vest = make_vest()
    taken = apply_stack(vest, [TakeIn(40)]).garment
    for before, after in zip(vest.piece("front").drawn_shape.levels, taken.piece("front").drawn_shape.levels, strict=True):
        assert before == after
    side = vest.piece("front").drawn_shape.edge("side").path
    widths = [width_at_middle(g.piece("front").drawn_shape) for g in (vest, taken)]
    at = next(k for k in range(int(side.length)) if side.at(k).y >= 200)
    slant = abs(side.tangent_at(at).x)
    assert widths[0] - widths[1] == pytest.approx(10 / math.cos(math.asin(slant)), abs=0.05)


@settings(max_examples=25)
@given(lean=leans, bulge=bulges)
def test_nothing_taken_in_is_the_identity(make_leg: Maker, lean: float, bulge: float) -> None:
    legs = make_leg(lean=lean, bulge=bulge)
    result = apply_stack(legs, [TakeIn(0)])
    assert result.garment == legs
    assert result.records[0].pieces == ()


@settings(max_examples=25)
@given(amount=amounts, lean=leans, bulge=bulges)
def test_in_then_out_restores_every_edge(make_leg: Maker, amount: float, lean: float, bulge: float) -> None:
    legs = make_leg(lean=lean, bulge=bulge)
    there_and_back = apply_stack(legs, [TakeIn(amount), TakeIn(-amount)])
    assert len(there_and_back.records) == 2
    for name, length in lengths(there_and_back.garment).items():
        assert length == pytest.approx(lengths(legs)[name], abs=1e-6)
    for name, piece in there_and_back.garment.pieces.items():
        assert piece.drawn_shape.edges == legs.piece(name).drawn_shape.edges


@settings(max_examples=25)
@given(amount=amounts, lean=leans, bulge=bulges)
def test_moved_edges_are_parallel_to_the_bought_ones(make_leg: Maker, amount: float, lean: float, bulge: float) -> None:
    """Outside check: shapely's distance from the new edge to the bought one run on straight."""
    import shapely

    from firsthand.geometry import extended

    legs = make_leg(lean=lean, bulge=bulge)
    taken = apply_stack(legs, [TakeIn(amount, limb=True)]).garment
    for name in ("inner", "outer"):
        old = extended(legs.piece("front").drawn_shape.edge(name).path, 200, 200).flattened(0.001)
        new = taken.piece("front").drawn_shape.edge(name).path
        line = shapely.LineString([(p.x, p.y) for p in old])
        for k in range(1, 10):
            p = new.at(new.length * k / 10)
            assert line.distance(shapely.Point(p.x, p.y)) == pytest.approx(abs(amount) / 4, abs=0.02)


@settings(max_examples=25)
@given(amount=amounts, lean=leans, bulge=bulges)
def test_maps_rise_and_ids_resolve(make_leg: Maker, amount: float, lean: float, bulge: float) -> None:
    legs = make_leg(lean=lean, bulge=bulge)
    result = apply_stack(legs, [TakeIn(amount)])
    (record,) = result.records
    for name, runs in record.edges.items():
        piece, edge = name.split(".")
        new = result.garment.piece(piece).drawn_shape.edge(edge).path.length
        marks = [mark for run in runs for mark in (run.new_start, run.new_end)]
        assert marks == sorted(marks)
        assert all(run.old_start < run.old_end for run in runs)
        assert marks[0] >= 0
        assert marks[-1] <= new + 1e-6
    for piece in result.garment.pieces.values():
        old, shape = legs.piece(piece.id).drawn_shape, piece.drawn_shape
        assert [e.id for e in shape.edges] == [e.id for e in old.edges]
        assert [e.corner for e in shape.edges] == [e.corner for e in old.edges]
        for notch in old.notches:
            gone = record.ids.get(f"{piece.id}.{notch.id}") == ()
            found = [n for n in shape.notches if n.id == notch.id]
            place = record.position(piece.id, notch.edge, notch.at)
            assert gone == (not found) == (place is None)
            if found and place:
                assert found[0].at == pytest.approx(place[2], abs=1e-9)


def test_a_notch_on_the_moved_edge_moves_square_to_it(make_leg: Maker) -> None:
    legs = make_leg(lean=60)
    taken = apply_stack(legs, [TakeIn(80)]).garment
    before, after = (g.piece("front").drawn_shape for g in (legs, taken))
    old = before.edge("inner").path
    moved = after.edge("inner").path.at(next(n.at for n in after.notches if n.id == "n1"))
    assert (moved - old.at(300)).dot(old.tangent_at(300)) == pytest.approx(0, abs=1e-6)
    assert moved.distance(old.at(300)) == pytest.approx(10)


def test_neighbours_stay_on_their_lines(make_vest: Maker) -> None:
    vest = make_vest()
    taken = apply_stack(vest, [TakeIn(60)]).garment
    old, new = (g.piece("front").drawn_shape.edge("armhole").path for g in (vest, taken))
    from firsthand.geometry import nearest

    assert all(nearest(old, new.at(new.length * k / 8))[1] < 1e-6 for k in range(9))
    assert new.end == old.end


def test_a_lining_of_the_same_pieces_moves_along_without_taking_a_share(make_vest: Maker) -> None:
    assert TakeIn(40).shares(make_vest()) == {
        "side right": 20.0, "side left": 20.0, "side right lining": 20.0, "side left lining": 20.0,
    }  # fmt: skip


def test_seams_are_named_one_by_one_or_for_both_hands(make_leg: Maker) -> None:
    legs = make_leg()
    assert TakeIn(40, seams=("outer",)).shares(legs) == {"outer right": 20.0, "outer left": 20.0}
    with pytest.raises(CannotAlter, match=r"only the right seam at front\.outer is named"):
        TakeIn(40, seams=("outer right",)).apply(legs)
    with pytest.raises(NotThere, match="side"):
        TakeIn(40, seams=("side",)).apply(legs)


def test_too_much_is_refused_with_the_most_possible(make_leg: Maker) -> None:
    legs = make_leg(width=50)  # each edge may move by half of 50 mm, less the least that must be left
    with pytest.raises(CannotAlter, match=r"nothing would be left of hem; at most ⟨19\d mm⟩"):
        TakeIn(300).apply(legs)
    most = TakeIn(300).most(legs)
    assert 190 < most < 200
    TakeIn(most).apply(legs)


def test_a_dart_is_not_cut_into(make_leg: Maker) -> None:
    dart = Dart("dart", "outer", 200, 20, Point(60, 400))
    legs = make_leg(darts=(dart,))
    taken = apply_stack(legs, [TakeIn(80)]).garment.piece("front").drawn_shape
    assert taken.darts[0].apex == dart.apex
    assert taken.darts[0].width == dart.width
    with pytest.raises(CannotAlter, match="the point of dart would be cut off; at most"):
        TakeIn(490).apply(legs)
    top = Dart("top dart", "top", 170, 20, Point(40, 500))
    with pytest.raises(CannotAlter, match="top dart would be cut into; at most"):
        TakeIn(200).apply(make_leg(darts=(top,)))


@pytest.mark.parametrize("amount", [math.nan, math.inf])
def test_an_amount_must_be_finite(make_leg: Maker, amount: float) -> None:
    with pytest.raises(GeometryError):
        TakeIn(amount).apply(make_leg())


def test_a_huge_amount_is_refused(make_leg: Maker) -> None:
    with pytest.raises(CannotAlter, match="above ⟨500 mm⟩"):
        TakeIn(90000).apply(make_leg())


def test_the_bought_outline_stays(make_vest: Maker) -> None:
    vest = make_vest()
    taken = apply_stack(vest, [TakeIn(40)]).garment
    for name, piece in taken.pieces.items():
        assert piece.bought == vest.piece(name).bought
        assert piece.shape != piece.bought


def test_handbook_example_two_inches_at_the_underarm(make_vest: Maker) -> None:
    """*A Complete Course in Dressmaking*, Lesson 3 (brassiere, figs. 27-29): 36 in to 34 in, half an inch at each edge."""
    inch = 25.4
    result = TakeIn(2 * inch).apply(make_vest())
    assert {v for k, v in result.record.figures.items() if k.startswith("edge")} == {0.5 * inch}


def split_leg(make_leg: Maker) -> Garment:
    """The outer edge of the front in two that run on into each other without a corner."""
    legs = make_leg()
    front = legs.piece("front").drawn_shape
    outer = front.edge("outer")
    upper, lower = outer.path.split(300)
    halves = (replace(outer, path=upper), replace(outer, id="lower", corner=Corner("middle"), path=lower))
    return legs.with_piece(replace(legs.piece("front"), shape=replace(front, edges=(*front.edges[:3], *halves), notches=())))


def test_an_edge_that_runs_smoothly_on_into_another_runs_out_on_it(make_leg: Maker) -> None:
    """No step and no kink: the lower half takes over the 5 mm and is where it was 80 mm further down."""
    taken = TakeIn(40).apply(split_leg(make_leg)).garment.piece("front").drawn_shape
    upper, lower = taken.edge("outer").path, taken.edge("lower").path
    assert (upper.end.x, upper.end.y) == pytest.approx((5, 300))
    assert upper.end == lower.start
    assert upper.end_tangent.dot(lower.start_tangent) == pytest.approx(1, abs=1e-12)
    assert [lower.at(at).x for at in (0, 40, 150, 299)] == pytest.approx([5, 2.5, 0, 0], abs=0.05)
    assert lower.end == Point(0, 0)


def test_a_pattern_that_offers_no_seam_for_taking_in_says_so(make_leg: Maker) -> None:
    legs = make_leg()
    none = replace(legs, seams=tuple(replace(seam, take_in=False) for seam in legs.seams))
    with pytest.raises(CannotAlter, match="the pattern offers no seam for taking in") as caught:
        TakeIn(40).apply(none)
    assert caught.value.remedy == "Name them with seams = [...]."


# amounts at places -------------------------------------------------------------------------------------------


def inset(garment: Garment, piece: str, edge: str, y: float) -> float:
    """How far the edge of the straight leg of 200 mm lies inside where it was, at a height, mm."""
    from firsthand.geometry import intersections

    path = garment.piece(piece).drawn_shape.edge(edge).path
    (found,) = intersections(path, Path.line(Point(-500, y), Point(700, y)))
    return 200 - found.point.x if edge == "inner" else found.point.x


def test_amounts_at_places_are_all_round_and_smooth_between(make_leg: Maker) -> None:
    """The outer seams on both legs are four edges: each takes a quarter of the 40 mm at the middle, nothing at the ends."""
    told = (("start", 0.0), ("level middle", 40.0), ("end", 0.0))
    taken = TakeIn(seams=("outer",), stations=told).apply(make_leg()).garment
    for piece in ("front", "back"):
        assert [inset(taken, piece, "outer", y) for y in (0, 150, 300, 450, 600)] == pytest.approx([0, 5, 10, 5, 0], abs=1e-3)
    assert width_at_middle(taken.piece("front").drawn_shape) == pytest.approx(190, abs=1e-9)


def test_beyond_the_outermost_place_the_amount_stays(make_leg: Maker) -> None:
    taken = TakeIn(seams=("outer",), stations=(("25 %", 40.0), ("level middle", 0.0))).apply(make_leg()).garment
    # side a is drawn from the top down: a quarter of the way is at 450
    assert [inset(taken, "front", "outer", y) for y in (10, 300, 450, 590)] == pytest.approx([0, 0, 10, 10], abs=1e-3)
    assert [inset(taken, "back", "outer", y) for y in (10, 590)] == pytest.approx(
        [10, 0], abs=1e-3
    )  # its seam runs head to tail


def test_places_are_found_by_length_notch_and_level_alike(make_leg: Maker) -> None:
    legs = make_leg(lean=40)
    half = legs.piece("front").drawn_shape.edge("inner").path.length / 2
    same = [TakeIn(seams=("inner",), stations=((words, 30.0), ("end", 0.0))).apply(legs).garment
            for words in ("50 %", f"{half} mm", f"-{half} mm")]  # fmt: skip
    for other in same[1:]:
        for edge in ("inner", "hem"):
            one, two = (g.piece("front").drawn_shape.edge(edge).path for g in (same[0], other))
            assert one.length == pytest.approx(two.length, abs=1e-6)


@settings(max_examples=25)
@given(one=st.floats(-30, 30), two=st.floats(-30, 30), three=st.floats(-30, 30), lean=leans)
def test_amounts_that_cancel_restore_every_edge(make_leg: Maker, one: float, two: float, three: float, lean: float) -> None:
    """Places are told on the seam as it was before it was moved: the opposite amounts at the same places take it back."""
    legs = make_leg(lean=lean)
    told = [("10 %", one), ("level middle", two), ("notch n1", two), ("end", three)]
    there, back = (TakeIn(seams=("inner",), stations=tuple((at, way * by) for at, by in told)) for way in (1, -1))
    between = TakeIn(17.0, seams=("outer",))
    result = apply_stack(legs, [there, between, back, replace(between, amount=-17.0)])
    assert len(result.records) == 4
    for name, piece in result.garment.pieces.items():
        for a, b in zip(piece.drawn_shape.edges, legs.piece(name).drawn_shape.edges, strict=True):
            assert a.path.length == pytest.approx(b.path.length, abs=1e-6)
            assert a.path.start.distance(b.path.start) < 1e-6


@settings(max_examples=25)
@given(one=st.floats(-30, 30), two=st.floats(-30, 30), share=st.floats(0.3, 0.7), which=st.sampled_from(["skirt", "shirt"]))
def test_on_alike_seams_the_partners_stay_as_long_as_each_other(one: float, two: float, share: float, which: str) -> None:
    """The sides of the demo's skirt and shirt are straight or nearly so, and mirror images of each other."""
    garment = make_garment(demo_patterns()[which], "M", id=which)
    told = (("start", one), ("level hip", two), ("end", 0.0))
    for alteration in (TakeIn(seams=("side",), stations=told), TakeIn(one, seams=("side",), share=share)):
        taken = alteration.apply(garment).garment
        for seam in taken.seams:
            if seam.id.startswith("side"):
                assert abs(walk_seam(taken, seam).difference) < (0.1 if alteration.stations else 0.25)


def test_shares_of_the_two_sides(make_leg: Maker) -> None:
    taken = TakeIn(40.0, seams=("outer",), share=0.75).apply(make_leg()).garment
    assert inset(taken, "front", "outer", 300) == pytest.approx(15)
    assert inset(taken, "back", "outer", 300) == pytest.approx(5)
    alone = TakeIn(40.0, seams=("outer",), share=1.0).apply(make_leg())
    assert alone.record.pieces == ("front",)
    with pytest.raises(CannotAlter, match="cannot take 120% of it"):
        TakeIn(40.0, share=1.2).apply(make_leg())


def test_too_much_at_one_place_says_how_much_goes_there(make_leg: Maker) -> None:
    told = (("start", 0.0), ("level middle", 480.0), ("end", 0.0))
    with pytest.raises(CannotAlter, match=r"taking in ⟨480 mm⟩ is too much: on front .* would cross .*; at most ⟨3\d\d mm⟩"):
        TakeIn(seams=("outer", "inner"), stations=told).apply(make_leg(width=90))


@pytest.mark.parametrize(
    ("alteration", "words"),
    [
        (TakeIn(10.0, stations=(("start", 5.0),)), "both an amount and stations"),
        (TakeIn(), "neither an amount nor stations"),
        (TakeIn(seams=("outer",), stations=(("level knee", 5.0),)), "no level on outer right called 'knee'"),
        (TakeIn(seams=("outer",), stations=(("notch n9", 5.0),)), "no notch on outer right called 'n9'"),
        (TakeIn(seams=("outer",), stations=(("9 m", 5.0),)), "lies beyond it"),
        (TakeIn(seams=("outer",), stations=(("somewhere", 5.0),)), "is no place on an edge"),
        (TakeIn(seams=("outer",), stations=(("start", 5.0), ("0 %", 7.0))), "two different amounts are told for one place"),
        (TakeIn(seams=("outer",), stations=(("start", 5e5),)), "more than can be meant"),
        (TakeIn(seams=("outer",), stations=(("start", math.nan),)), "finite"),
    ],
)
def test_places_that_cannot_be_meant_are_refused(make_leg: Maker, alteration: TakeIn, words: str) -> None:
    with pytest.raises((CannotAlter, NotThere, GeometryError), match=words):
        alteration.apply(make_leg())


def test_sides_of_several_edges_are_one_seam(make_leg: Maker) -> None:
    """The outer edge of the front in two: the amounts run on across the joint as they do along the back in one piece."""
    legs = split_leg(make_leg)
    seams = tuple(
        replace(seam, a=(seam.a[0], replace(seam.a[0], edge="lower"))) if seam.id.startswith("outer") else seam
        for seam in legs.seams
    )
    legs = replace(legs, seams=seams)
    told = (("start", 0.0), ("50 %", 40.0), ("end", 0.0))
    taken = TakeIn(seams=("outer",), stations=told).apply(legs).garment
    assert [inset(taken, "front", "outer", y) for y in (450, 310)] == pytest.approx([5, 9.97], abs=0.05)
    assert inset(taken, "front", "lower", 150) == pytest.approx(5, abs=1e-3)
    assert inset(taken, "back", "outer", 450) == pytest.approx(5, abs=1e-3)
    front = taken.piece("front").drawn_shape
    assert front.edge("outer").path.end_tangent.dot(front.edge("lower").path.start_tangent) == pytest.approx(1, abs=1e-9)


def test_a_total_is_divided_by_the_edges_of_its_seams(make_leg: Maker) -> None:
    """Per seam edge total / (2 x seams) (*Costume text*, ch. 17, Central Washington University; for regression only)."""
    figures = TakeIn(36.0).apply(make_leg()).record.figures  # outer and inner on both hands: four seams, eight edges
    assert {value for name, value in figures.items() if name.startswith("edge")} == {36.0 / 8}


# one hand ----------------------------------------------------------------------------------------------------


def test_one_hand_of_a_pair_alone(make_leg: Maker) -> None:
    legs = make_leg(lean=30)
    result = TakeIn(40.0, seams=("outer",), hand="left").apply(legs)
    taken = result.garment
    assert set(taken.pieces) == {"front right", "front left", "back right", "back left"}
    assert result.record.ids["front"] == ("front right", "front left")
    for name in ("front", "back"):
        right, left = (taken.piece(f"{name} {hand}").drawn_shape for hand in ("right", "left"))
        assert right.edges == legs.piece(name).drawn_shape.edges
        assert width_at_middle(right) - width_at_middle(left) == pytest.approx(20, abs=1e-9)  # the left seam takes all of it
    for old, new in (("front.outer", ("front right", "outer")), ("back.inner", ("back right", "inner"))):
        piece, edge = old.split(".")
        at = legs.piece(piece).drawn_shape.edge(edge).path.length / 3
        assert result.record.position(piece, edge, at) == (*new, pytest.approx(at))
    left_runs = [run for run in result.record.edges["front.hem"] if run.piece == "front left"]
    assert sum(run.old_end - run.old_start for run in left_runs) == pytest.approx(180)


def test_one_hand_of_a_piece_on_the_fold_opens_it_out(make_vest: Maker) -> None:
    vest = make_vest()
    result = TakeIn(20.0, seams=("side",), hand="right").apply(vest)
    front = result.garment.piece("front")
    assert not front.fold
    assert front.drawn_shape.edge("side").path != vest.piece("front").drawn_shape.edge("side").path
    assert front.drawn_shape.edge("side mirrored").path.length == pytest.approx(
        vest.piece("front").drawn_shape.edge("side").path.length
    )
    again = TakeIn(20.0, seams=("side",), hand="left").apply(result.garment).garment.piece("front").drawn_shape
    assert again.edge("side").path.length == pytest.approx(again.edge("side mirrored").path.length, abs=1e-6)


def test_both_hands_one_after_the_other_are_both_at_once(make_leg: Maker) -> None:
    legs = make_leg(bulge=12)
    each = [TakeIn(20.0, seams=("outer",), hand="left"), TakeIn(20.0, seams=("outer",), hand="right")]
    apart = apply_stack(legs, each).garment
    whole = apply_stack(legs, [TakeIn(40.0, seams=("outer",))]).garment
    assert width_at_middle(apart.piece("front left").drawn_shape) == pytest.approx(
        width_at_middle(whole.piece("front").drawn_shape), abs=1e-6
    )
    assert apart.piece("front right").drawn_shape.edges == whole.piece("front").drawn_shape.edges


def test_what_is_off_on_one_hand_is_told(make_leg: Maker) -> None:
    """The front of the left leg only: its side is as long as before, its partner too; an uneven taper is not."""
    legs = make_leg()
    result = apply_stack(legs, [TakeIn(seams=("outer",), hand="left", share=1.0, stations=(("start", 120.0), ("end", -120.0)))])
    assert [finding.code for finding in result.findings].count("alteration-seam-off") == 1
    (finding,) = [finding for finding in result.findings if finding.code == "alteration-seam-off"]
    assert finding.where == ("legs", "outer left")


def test_a_seam_across_both_hands_has_no_one_hand(make_leg: Maker) -> None:
    legs = make_leg()
    across = replace(legs.seams[0], id="centre", b=(replace(legs.seams[0].a[0], hand=Hand.LEFT),))
    legs = replace(legs, seams=(*legs.seams, across))
    with pytest.raises(CannotAlter, match="the seam centre does not lie on one hand"):
        TakeIn(10.0, seams=("centre",), hand="left").apply(legs)
    with pytest.raises(CannotAlter, match="no seam named lies on the left"):
        TakeIn(10.0, seams=("outer right",), hand="left").apply(legs)
    with pytest.raises(CannotAlter, match=r"only the right seam at front\.outer is named") as caught:
        TakeIn(10.0, seams=("outer right",)).apply(legs)
    assert caught.value.remedy == 'Name the left seam as well, or write hand = "right".'
