"""The kernel that moves edges by profiles."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from firsthand.alter.moving.grounds import on_ground, standing_of
from firsthand.alter.moving.maps import place
from firsthand.alter.moving.moved import GAUSS, Folds, moved_line, tightest_hollow
from firsthand.alter.moving.profile import amounts_of, constant, profile, scaled
from firsthand.alter.moving.reshape import Crosses, moved_by
from firsthand.demo import demo_patterns
from firsthand.errors import GeometryError
from firsthand.geometry import Cubic, Line, Path, Point, Segment, nearest
from firsthand.pattern import Corner, Dart, Edge, Fate, FateKind, Notch, Profile, Shape


@cache
def demo_edges() -> tuple[tuple[Shape, str], ...]:
    """Every edge of the demo's pieces but those on the fold."""
    pieces = [piece for pattern in demo_patterns().values() for piece in pattern.pieces.values() if "M" in piece.sizes]
    return tuple((p.sizes["M"], edge.id) for p in pieces for edge in p.sizes["M"].edges if edge.id != p.fold)


amounts = st.one_of(st.just(0.0), st.floats(-18, 18).map(lambda value: round(value, 3)))
edges = st.integers(0, len(demo_edges()) - 1).map(lambda k: demo_edges()[k])
shares = st.lists(amounts, min_size=1, max_size=5)


def spread(path: Path, told: list[float]) -> Profile:
    """Amounts at even distances."""
    return profile((path.length * k / max(len(told) - 1, 1), amount) for k, amount in enumerate(told))


def apart(one: Shape, two: Shape) -> float:
    """The farthest that edges of two shapes lie from each other at the same shares of their length, mm."""
    pairs = [(a.path, b.path) for a, b in zip(one.edges, two.edges, strict=True)]
    return max(a.at(a.length * k / 9).distance(b.at(b.length * k / 9)) for a, b in pairs for k in range(10))


def moved(shape: Shape, edge: str, told: Profile) -> Shape:
    """The edge moved, or the example left out where that would cross something."""
    try:
        return moved_by(shape, {edge: told}).shape
    except Crosses:
        assume(False)
        raise


@given(of=edges)
def test_moved_by_nothing_is_the_identity(of: tuple[Shape, str]) -> None:
    shape, edge = of
    assert moved_by(shape, {edge: constant(0.0)}).shape is shape
    assert moved_by(shape, {}).shape is shape


@settings(max_examples=80)
@given(of=edges, told=shares)
def test_a_profile_and_its_negative_restore_everything(of: tuple[Shape, str], told: list[float]) -> None:
    shape, edge = of
    one = spread(shape.edge(edge).path, told)
    back = moved(moved(shape, edge, one), edge, scaled(one, -1.0))
    assert back.edges == shape.edges
    assert all(edge.ground is None for edge in back.edges)


@settings(max_examples=40)
@given(of=edges, first=shares, second=shares, third=shares)
def test_profiles_on_one_edge_add(of: tuple[Shape, str], first: list[float], second: list[float], third: list[float]) -> None:
    """In any order, and with one taken back on the way, the same line: it is made from the bought one each time."""
    shape, edge = of
    a, b, c = (spread(shape.edge(edge).path, told) for told in (first, second, third))
    one = moved(moved(moved(moved(shape, edge, a), edge, c), edge, b), edge, scaled(c, -1.0))
    two = moved(moved(shape, edge, b), edge, a)
    assert apart(one, two) < 1e-6


@settings(max_examples=40)
@given(of=edges, told=amounts, more=amounts)
def test_two_even_amounts_are_one_of_their_sum(of: tuple[Shape, str], told: float, more: float) -> None:
    shape, edge = of
    two = moved(moved(shape, edge, constant(told)), edge, constant(more))
    assert apart(two, moved(shape, edge, constant(told + more))) < 1e-6


@settings(max_examples=40)
@given(of=edges, told=shares, beside=amounts)
def test_neighbours_moved_in_between_do_not_matter(of: tuple[Shape, str], told: list[float], beside: float) -> None:
    """An edge moved, then its neighbour, then the first one back: as if only the neighbour had been moved."""
    shape, edge = of
    names = [one.id for one in shape.edges]
    other = names[(names.index(edge) + 1) % len(names)]
    one = spread(shape.edge(edge).path, told)
    there = moved(moved(moved(shape, edge, one), other, constant(beside)), edge, scaled(one, -1.0))
    assert apart(there, moved(shape, other, constant(beside))) < 1e-6


@settings(max_examples=60)
@given(of=edges, told=shares, share=st.floats(0, 1))
def test_a_place_comes_to_lie_square_beside_where_it_was(of: tuple[Shape, str], told: list[float], share: float) -> None:
    """The true line is P(s) + a(s) n(s): the map's foot of s is within 0.02 mm of it, and so is the curve everywhere."""
    shape, edge = of
    path = shape.edge(edge).path
    one = spread(path, told)
    try:
        line = moved_line(path, (one,))
    except Folds:
        assume(False)
    s = share * path.length
    joints = list(itertools.accumulate(segment.length for segment in path.segments))[:-1]
    assume(all(abs(s - joint) > 25 for joint in joints) or len(path.segments) == 1 or _is_smooth(path))
    true = path.at(s) + path.tangent_at(s).left * amounts_of([one]).at(s)[0]
    assert nearest(line.path, true)[1] < 0.02
    assert line.path.at(line.foot(s)).distance(true) < 0.04
    assert line.origin(line.foot(s)) == pytest.approx(s, abs=1e-6)


def _is_smooth(path: Path) -> bool:
    return all(one.tangent(1.0).dot(two.tangent(0.0)) > 1 - 1e-9 for one, two in itertools.pairwise(path.segments))


@settings(max_examples=60)
@given(of=edges, amount=st.floats(-18, 18))
def test_an_even_amount_gives_the_parallel(of: tuple[Shape, str], amount: float) -> None:
    """Outside check: shapely's distance between the moved line's points and the bought line, flattened to 0.0005 mm."""
    import shapely

    shape, edge = of
    path = shape.edge(edge).path
    try:
        line = moved_line(path, (constant(amount),))
    except Folds:
        assume(False)
    old = shapely.LineString([(p.x, p.y) for p in path.flattened(0.0005)])
    for k in range(1, 40):
        p = line.path.at(line.path.length * k / 40)
        assert old.distance(shapely.Point(p.x, p.y)) == pytest.approx(abs(amount), abs=0.02)


@settings(max_examples=40)
@given(of=edges, told=shares)
def test_the_map_says_where_every_place_of_every_edge_went(of: tuple[Shape, str], told: list[float]) -> None:
    shape, edge = of
    try:
        result = moved_by(shape, {edge: spread(shape.edge(edge).path, told)})
    except Crosses:
        assume(False)
    for name, runs in result.maps.items():
        old, new = shape.edge(name).path, result.shape.edge(name).path
        assert [run[0] for run in runs] == sorted(run[0] for run in runs)
        assert all(0 <= n1 <= n2 <= new.length + 1e-6 for _, _, n1, n2 in runs)
        if name != edge and not _runs_on_into(shape, name, edge):
            for k in range(9):
                at = place(runs, old.length * k / 8)
                assert at is None or new.at(at).distance(old.at(old.length * k / 8)) < 1e-6


def _runs_on_into(shape: Shape, one: str, two: str) -> bool:
    a, b = shape.edge(one).path, shape.edge(two).path
    turns = [x.end_tangent.dot(y.start_tangent) for x, y in ((a, b), (b, a)) if x.end.distance(y.start) < 1e-6]
    return any(turn > math.cos(math.radians(10)) for turn in turns)


# closed forms ------------------------------------------------------------------------------------------------


def loop(*segments: Segment, notches: tuple[Notch, ...] = (), darts: tuple[Dart, ...] = ()) -> Shape:
    """A shape of one edge per segment, called a, b, c..."""
    made = tuple(
        Edge(name, Corner(f"corner {name}"), Path((segment,))) for name, segment in zip("abcdefgh", segments, strict=False)
    )
    return Shape(made, (Point(0, 0), Point(0, 1)), notches, darts)


def rectangle(width: float, height: float) -> Shape:
    corners = [Point(0, 0), Point(width, 0), Point(width, height), Point(0, height)]
    return loop(*(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)))


def test_a_rectangle_grows_with_mitred_corners() -> None:
    """200 x 300 mm moved outwards by 15 mm: 1120 mm round and 75900 mm2 (closed form, for regression only)."""
    grown = moved_by(rectangle(200, 300), {name: constant(-15.0) for name in "abcd"}).shape.outline
    assert grown.length == pytest.approx(1120, abs=1e-9)
    assert grown.area == pytest.approx(75900, abs=1e-6)
    assert all(isinstance(segment, Line) for segment in grown)


@pytest.mark.parametrize("r", [15.0, 40.0, -20.0])
def test_a_convex_piece_obeys_the_rule_of_parallels(r: float) -> None:
    """Length + 2 pi r, area + r L + pi r2 for any convex closed curve: an oval whose quarters run on into each other.

    Steiner's formula; *Parallel curve to a convex closed plane curve*, notes, jakehume.xyz, proposition.
    """
    w, h, k = 160.0, 110.0, 0.55
    right, top, left, bottom = Point(w, 0), Point(0, h), Point(-w, 0), Point(0, -h)
    oval = loop(
        Cubic(right, Point(w, k * h), Point(k * w, h), top), Cubic(top, Point(-k * w, h), Point(-w, k * h), left),
        Cubic(left, Point(-w, -k * h), Point(-k * w, -h), bottom), Cubic(bottom, Point(k * w, -h), Point(w, -k * h), right),
    )  # fmt: skip
    grown = moved_by(oval, {name: constant(-r) for name in "abcd"}).shape.outline
    length, area = oval.outline.length, oval.outline.area
    assert grown.length == pytest.approx(length + 2 * math.pi * r, abs=0.02)
    assert grown.area == pytest.approx(area + r * length + math.pi * r * r, abs=0.02 * length)


def test_a_straight_edge_moved_by_a_smooth_profile_is_that_profile_drawn() -> None:
    """On a straight line the moved curve is the profile's own graph, exactly: 20 mm in the middle, none at the ends."""
    told = profile([(0, 0), (150, 20), (300, 0)])
    path = moved_by(rectangle(200, 300), {"b": told}).shape.edge("b").path
    assert path.start == Point(200, 0)
    assert path.end == Point(200, 300)
    for k in range(31):
        y = k * 10.0
        assert nearest(path, Point(200 - amounts_of([told]).at(y)[0], y))[1] < 1e-9
    assert abs(path.start_tangent.x) < 1e-12
    assert abs(path.end_tangent.x) < 1e-12


def test_a_quarter_circle_moved_inwards_is_the_smaller_circle() -> None:
    arc = Path.arc(Point(0, 0), 200, 0, math.pi / 2)
    line = moved_line(arc, (constant(60.0),)).path
    assert all(line.at(line.length * k / 50).norm == pytest.approx(140, abs=0.01) for k in range(51))
    with pytest.raises(Folds):
        moved_line(arc, (profile([(0, 0), (150, 260), (300, 0)]),))
    with pytest.raises(Folds):
        moved_line(arc, (constant(200.0),))


def test_a_corner_inside_an_edge_is_mitred_outside_and_trimmed_inside() -> None:
    line = Path.line(Point(0, 0), Point(100, 0), Point(100, 100))
    outside, inside = (moved_line(line, (constant(amount),)) for amount in (-10.0, 10.0))
    for found, corner in ((outside, 110.0), (inside, 90.0)):
        joints = [(0, 100 - corner), (corner, 100 - corner), (corner, 100)]
        assert [at for p in found.path.joints for at in (p.x, p.y)] == pytest.approx([at for p in joints for at in p])
    assert [inside.foot(s) for s in (50, 95, 105, 150)] == pytest.approx([50, 90, 90, 130])


def test_a_bend_tighter_than_an_even_amount_is_taken_out() -> None:
    """A rounded corner of 5 mm moved inwards by 20 mm becomes a corner, as it would if drawn with a ruler."""
    bend = Cubic(Point(95, 0), Point(97.761424, 0), Point(100, 2.238576), Point(100, 5))
    line = Path((Line(Point(0, 0), Point(95, 0)), bend, Line(Point(100, 5), Point(100, 100))))
    inside = moved_line(line, (constant(20.0),)).path
    assert inside.start == Point(0, 20)
    assert inside.end == Point(80, 100)
    assert nearest(inside, Point(80, 20))[1] < 0.05
    with pytest.raises(Folds):
        moved_line(line, (profile([(0, 20.0), (150, 21.0)]),))


def test_the_places_of_quadrature_are_numpys() -> None:
    import numpy as np

    nodes, weights = np.polynomial.legendre.leggauss(5)
    ours = sorted(GAUSS)
    assert [node for node, _ in ours] == pytest.approx(sorted((nodes + 1) / 2), abs=1e-15)
    assert {round(weight, 15) for _, weight in ours} == {round(float(weight) / 2, 15) for weight in weights}


# corners, neighbours, darts ----------------------------------------------------------------------------------


def test_where_the_amount_at_an_end_is_nothing_the_corner_stays() -> None:
    for shape, edge in demo_edges():
        path = shape.edge(edge).path
        told = profile([(0, 0.0), (path.length / 2, 4.0), (path.length, 0.0)])
        try:
            result = moved_by(shape, {edge: told})
        except Crosses:
            continue
        assert set(result.maps) == {edge}
        new = result.shape.edge(edge).path
        assert (new.start, new.end) == (path.start, path.end) or path.start.distance(new.start) < 1e-9
        assert new.start_tangent.dot(path.start_tangent) == pytest.approx(1, abs=1e-9)
        assert new.end_tangent.dot(path.end_tangent) == pytest.approx(1, abs=1e-9)


def bottle() -> Shape:
    """A side that runs smoothly on from a curve into a straight stretch: b into c."""
    return loop(
        Line(Point(0, 0), Point(200, 0)),
        Cubic(Point(200, 0), Point(200, 60), Point(150, 90), Point(150, 150)),
        Line(Point(150, 150), Point(150, 400)),
        Line(Point(150, 400), Point(0, 400)),
        Line(Point(0, 400), Point(0, 0)),
    )


def test_a_movement_runs_out_on_a_neighbour_that_goes_on_smoothly() -> None:
    shape = bottle()
    result = moved_by(shape, {"b": constant(10.0)})
    b, c = result.shape.edge("b").path, result.shape.edge("c").path
    assert b.end == c.start == Point(140, 150)
    assert b.end_tangent.dot(c.start_tangent) == pytest.approx(1, abs=1e-12)
    assert nearest(c, Point(145, 190))[1] < 1e-6  # half of it half way along the 80 mm
    assert nearest(c, Point(150, 230))[1] < 1e-6
    assert c.end == Point(150, 400)
    assert moved_by(result.shape, {"b": constant(-10.0)}).shape.edges == shape.edges
    shorter = moved_by(shape, {"b": constant(10.0)}, taper=40.0).shape.edge("c").path
    assert nearest(shorter, Point(150, 190))[1] < 1e-6


def test_of_two_that_run_on_and_move_differently_the_one_that_moves_less_takes_over() -> None:
    result = moved_by(bottle(), {"b": constant(4.0), "c": constant(10.0)})
    b, c = result.shape.edge("b").path, result.shape.edge("c").path
    assert b.end == c.start
    assert b.end.x == pytest.approx(140)
    assert c.end.x == pytest.approx(140)
    even = moved_by(bottle(), {"b": constant(10.0), "c": constant(10.0)}).shape
    assert even.edge("b").path.end == even.edge("c").path.start == Point(140, 150)


def test_a_fold_takes_nothing_over() -> None:
    shape = bottle()
    fold = replace(shape.edge("c"), fate=Fate(FateKind.FOLD))
    with pytest.raises(Crosses, match="b and c would no longer meet in a corner"):
        moved_by(shape.with_edge(fold), {"b": constant(10.0)})


def test_what_changes_an_edge_otherwise_drops_what_it_was_moved_from() -> None:
    """After the path was exchanged the next movement is measured from the path as it is."""
    shape = moved_by(rectangle(200, 300), {"b": constant(20.0)}).shape
    assert shape.edge("b").ground is not None
    lower = replace(shape.edge("b"), path=Path.line(Point(180, 0), Point(170, 150), Point(180, 300)))
    changed = shape.with_edge(lower)
    assert standing_of(changed, "b").line == lower.path
    assert standing_of(changed, "a").line == shape.edge("a").path  # its untrimmed line no longer meets the new edge
    moved_on = moved_by(changed, {"b": constant(-20.0)}).shape
    assert moved_on.edge("a").path.end.distance(Point(180 + 20 / math.cos(math.atan(10 / 150)), 0)) < 1e-6


def test_places_on_an_edge_are_found_on_the_line_it_was_moved_from() -> None:
    shape = moved_by(rectangle(200, 300), {"a": constant(20.0), "b": constant(30.0)}).shape
    standing = standing_of(shape, "b")
    assert on_ground(standing, 0.0) == pytest.approx(20)
    assert on_ground(standing, 100.0) == pytest.approx(120)
    assert on_ground(standing, -5.0) == pytest.approx(15)


def test_notches_on_a_moved_edge_come_back_and_those_cut_away_are_told() -> None:
    shape = replace(rectangle(200, 300), notches=(Notch("n", "b", 120.0), Notch("near", "a", 195.0), Notch("far", "a", 50.0)))
    there = moved_by(shape, {"b": profile([(0, 0.0), (150, 12.0), (300, 30.0)])})
    back = moved_by(there.shape, {"b": profile([(0, 0.0), (150, -12.0), (300, -30.0)])})
    assert [notch.at for notch in back.shape.notches] == pytest.approx([120, 195, 50], abs=1e-6)
    assert moved_by(shape, {"b": constant(10.0)}).lost == ("near",)


def test_a_dart_on_a_moved_edge_keeps_its_point_and_what_it_takes_up() -> None:
    dart = Dart("d", "b", 150.0, 20.0, Point(120, 150))
    shape = replace(rectangle(200, 300), darts=(dart,))
    told = profile([(0, 0.0), (150, 25.0), (300, 0.0)])
    (kept,) = moved_by(shape, {"b": told}).shape.darts
    assert (kept.apex, kept.width) == (dart.apex, dart.width)
    assert moved_by(shape, {"b": told}).shape.edge("b").path.at(kept.at).distance(Point(175, 150)) < 1e-3
    with pytest.raises(Crosses, match="the point of d would be cut off"):
        moved_by(shape, {"b": profile([(0, 0.0), (150, 85.0), (300, 0.0)])})


def test_edges_that_cross_are_refused() -> None:
    with pytest.raises(Crosses, match="would cross"):
        moved_by(rectangle(60, 300), {"b": profile([(0, 0.0), (150, 70.0), (300, 0.0)])})
    with pytest.raises(Crosses, match="nothing would be left of a"):
        moved_by(rectangle(60, 300), {"b": constant(80.0)})


def test_a_hollow_too_tight_for_its_allowance_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the parallel fails for the moved line and did not for the line before. It copes with almost all: made to fail."""

    def failing(path: Path, distance: float) -> Path:
        if path != quarter:
            raise GeometryError("no sound parallel")
        return path

    monkeypatch.setattr("firsthand.alter.moving.reshape.offset", failing)
    quarter = Path((Cubic(Point(200, 0), Point(186, 0), Point(175, 11), Point(175, 25)),))
    sides = {"a": Path.line(Point(0, 0), Point(200, 0)), "b": quarter, "c": Path.line(Point(175, 25), Point(0, 25))}
    sides["d"] = Path.line(Point(0, 25), Point(0, 0))
    made = tuple(Edge(name, Corner(f"corner {name}"), path, 20.0) for name, path in sides.items())
    shape = Shape(made, (Point(0, 0), Point(0, 1)))
    told = profile([(0, 0.0), (18, -4.0), (quarter.length, 0.0)])
    with pytest.raises(Crosses, match="the curve of b would be too tight for its allowance of ⟨20 mm⟩"):
        moved_by(shape, {"b": told})
    gentle = replace(shape.edge("b"), allowance=8.0)
    assert moved_by(shape.with_edge(gentle), {"b": told}).shape.edge("b").allowance == 8.0  # not even tried


def test_the_tightest_hollow_of_a_line_is_found() -> None:
    assert tightest_hollow(moved_line(Path.arc(Point(0, 0), 50, 0, -1.0), (constant(10.0),)).path) == pytest.approx(60, abs=0.1)
    assert tightest_hollow(Path.arc(Point(0, 0), 50, 0, 1.0)) == math.inf
