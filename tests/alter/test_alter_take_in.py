"""Taking in and letting out."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import TakeIn, apply_stack
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Point
from firsthand.pattern import Corner, Dart, Garment, Shape

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
        assert length == pytest.approx(lengths(legs)[name], abs=0.25)


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
            assert line.distance(shapely.Point(p.x, p.y)) == pytest.approx(abs(amount) / 4, abs=0.03)


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
    with pytest.raises(CannotAlter, match="at most ⟨500 mm⟩"):
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
