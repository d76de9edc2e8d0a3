"""Cutting lines, against shapely and in closed form."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pattern_shapes import polygon, sector
from shapely import Point as SPoint
from shapely import Polygon

from firsthand.errors import GeometryError
from firsthand.geometry import Cubic, Path, Point, nearest, self_crossings
from firsthand.pattern import Corner, CornerShape, Edge, Fate, FateKind, Shape, cutting_line
from firsthand.pattern._parts import flipped, opened_shape

M = CornerShape


def poly(path: Path, tolerance: float = 0.01) -> Polygon:
    return Polygon([(round(p.x, 8), round(p.y, 8)) for p in path.flattened(tolerance)])


def corner_points(path: Path) -> set[tuple[float, float]]:
    return {(round(p.x, 6) + 0.0, round(p.y, 6) + 0.0) for p in path.joints}


def sound(shape: Shape) -> Path:
    """What holds for every cutting line."""
    line = cutting_line(shape)
    assert line.is_closed
    assert line.area >= shape.outline.area - 1e-6
    assert self_crossings(line) == ()
    assert poly(line, 0.005).buffer(0.05).contains(poly(shape.outline, 0.005))
    return line


def test_a_rectangle_with_a_margin_for_each_edge_grows_by_them() -> None:
    line = sound(polygon([(0, 0), (100, 0), (100, 60), (0, 60)], margin=(40, 15, 10, 0)))
    assert corner_points(line) == {(0, -40), (115, -40), (115, 70), (0, 70)}


def test_no_margin_gives_the_stitching_line_itself() -> None:
    shape = polygon([(0, 0), (100, 0), (100, 60), (0, 60)], margin=0.0)
    assert cutting_line(shape) == shape.outline


def test_a_fold_has_no_margin_and_is_run_on_straight_even_where_it_meets_the_hem_askew() -> None:
    points = [(0, 0), (100, 0), (100, 60), (0, 60)]
    line = sound(polygon(points, margin=(40, 15, 10, 15), fates={"e3": FateKind.FOLD}))
    assert line.bounds.left == pytest.approx(0)
    askew = [(0, 0), (100, 20), (100, 60), (0, 60)]
    corners = [M.MIRRORED] * 4
    line = sound(polygon(askew, margin=(40, 15, 10, 15), fates={"e3": FateKind.FOLD, "e0": FateKind.HEM}, corners=corners))
    assert line.bounds.left == pytest.approx(0)
    plain = polygon(points, margin=(40, 15, 10, 15))
    assert cutting_line(plain, fold="e3").bounds.left == pytest.approx(0)


def test_inlay_counts_as_margin() -> None:
    shape = polygon([(0, 0), (100, 0), (100, 60), (0, 60)])
    shape = shape.with_edge(replace(shape.edge("e1"), inlay=25.0))
    assert sound(shape).bounds.right == pytest.approx(135)


def test_a_sharp_point_is_cut_off_at_three_margins() -> None:
    angle = math.radians(20)
    tip = Point(0, 0)
    points = [
        (0, 0),
        (300 * math.cos(angle / 2), -300 * math.sin(angle / 2)),
        (300 * math.cos(angle / 2), 300 * math.sin(angle / 2)),
    ]
    line = sound(polygon(points, margin=10))
    assert 10 / math.sin(angle / 2) > 30  # the full mitre would reach further
    assert line.bounds.left == pytest.approx(-30)
    assert nearest(line, tip)[1] >= 10 - 1e-6


def test_a_blunted_corner_is_cut_off_at_the_margin_from_the_corner() -> None:
    shape = polygon([(0, 0), (100, 0), (100, 60), (0, 60)], corners=[M.MITRED, M.BLUNTED, M.MITRED, M.MITRED])
    line = sound(shape)
    # A square corner with margin 10: the mitre's diagonal is 10 * sqrt 2; what is cut off has legs of 2 * 10 * (sqrt 2 - 1).
    assert poly(line).area == pytest.approx(120 * 80 - (10 * (math.sqrt(2) - 1)) ** 2, abs=1e-6)
    assert nearest(line, Point(100, 0))[1] == pytest.approx(10)


@pytest.mark.parametrize("degrees", [50, 75, 100, 130])
def test_a_squared_corner_ends_the_allowance_square_at_the_other_cutting_line(degrees: float) -> None:
    """Closed form: the edge that ends is run on by margin / sin(turn), and cut off there square at its full width."""
    turn = math.radians(degrees)
    out = Point(math.cos(turn), math.sin(turn))
    end = Point(200, 0) + out * 200
    shape = polygon([(0, 0), (200, 0), (end.x, end.y)], margin=(10, 20, 10), corners=[M.MITRED, M.SQUARED, M.MITRED])
    run = 20 / math.sin(turn)
    points = corner_points(sound(shape))
    assert (round(200 + run, 6), -10.0) in points
    assert (round(200 + run, 6), 0.0) in points
    image = cutting_line(flipped(shape))
    assert corner_points(image) == {(-x + 0.0, y) for x, y in points}


def test_two_seamed_edges_squared_at_the_same_line_end_alike() -> None:
    """The end of one allowance lies exactly on the end of the other when the two are put together along the seam."""
    left = polygon([(0, 0), (100, 0), (100, 200), (0, 160)], margin=15, corners=[M.MITRED, M.MITRED, M.SQUARED, M.MITRED])
    right = polygon(
        [(100, 0), (200, 0), (200, 240), (100, 200)], margin=15, corners=[M.MITRED, M.MITRED, M.MITRED, M.SQUARED_NEXT]
    )
    top = [p for p in corner_points(cutting_line(left)) if p[0] == 115]
    over = [p for p in corner_points(cutting_line(right)) if p[0] == 85]
    assert max(y for _, y in top) == pytest.approx(max(y for _, y in over), abs=20)
    for points, x in ((corner_points(cutting_line(left)), 115.0), (corner_points(cutting_line(right)), 85.0)):
        end = max(y for px, y in points if px == x)
        assert (100.0, end) in points  # cut off square to the seam, which stands upright


@pytest.mark.parametrize("slope", [-20.0, -5.0, 10.0, 25.0])
def test_a_mirrored_hem_lies_on_the_piece_when_turned_up(slope: float) -> None:
    """Folding the allowance of the hem up along the hem's line puts the ends on the side's cutting lines."""
    shape = polygon(
        [(0, 0), (300, 0), (300 - slope, 200), (slope, 200)],
        margin=(40, 15, 10, 12),
        corners=[M.MIRRORED] * 4,
        fates={"e0": FateKind.HEM},
    )
    line = sound(shape)
    below = [p for p in line.joints if p.y < -1e-6]
    assert min(p.y for p in below) == pytest.approx(-40)
    folded = [Point(p.x, -p.y) for p in below]
    assert all(nearest(line, p)[1] < 1e-6 for p in folded)
    assert corner_points(cutting_line(flipped(shape))) == {(-x + 0.0, y) for x, y in corner_points(line)}


def test_a_mirrored_hem_follows_a_curved_side() -> None:
    side = Path.curve(Point(300, 0), Point(260, 60), Point(250, 100), Point(260, 240))
    paths = [
        Path.line(Point(0, 0), Point(300, 0)),
        side,
        Path.line(Point(260, 240), Point(0, 240)),
        Path.line(Point(0, 240), Point(0, 0)),
    ]
    margins = (50, 15, 10, 10)
    edges = tuple(
        Edge(f"e{k}", Corner(f"c{k}", M.MIRRORED), path, margin, fate=Fate(FateKind.HEM) if k == 0 else None)
        for k, (path, margin) in enumerate(zip(paths, margins, strict=True))
    )
    line = sound(Shape(edges, (Point(0, 0), Point(0, 240))))
    wide = [line.at(line.length * k / 400) for k in range(400)]
    turned = [Point(p.x, -p.y) for p in wide if -49.9 < p.y < -0.1 and p.x > 200]
    assert len(turned) > 3
    assert all(nearest(line, p)[1] < 0.05 for p in turned)


def test_neither_edge_a_hem_mirrors_in_the_edge_that_begins_and_its_mirror_image_agrees() -> None:
    shape = polygon([(0, 0), (100, 0), (120, 80), (0, 80)], margin=20, corners=[M.MITRED, M.MIRRORED, M.MITRED, M.MITRED])
    assert corner_points(cutting_line(flipped(shape))) == {(-x + 0.0, y) for x, y in corner_points(sound(shape))}


def test_different_margins_meet_in_a_step_where_the_edge_runs_on() -> None:
    line = sound(polygon([(0, 0), (50, 0), (100, 0), (100, 60), (0, 60)], margin=(30, 10, 10, 10, 10)))
    assert {(50, -30), (50, -10)} <= corner_points(line)


def test_an_inward_corner_is_trimmed() -> None:
    line = sound(polygon([(0, 0), (100, 0), (100, 60), (40, 60), (40, 100), (0, 100)], margin=(10, 10, 20, 5, 10, 10)))
    assert (45, 80) in corner_points(line)


def test_curves_stay_curves_and_keep_their_distance() -> None:
    shape = sector(200, 500, math.radians(70))
    line = sound(shape)
    assert sum(isinstance(segment, Cubic) for segment in line) >= 8
    # Closed form: the parallel of the outer arc has radius 510, of the inner one 190.
    arcs = [p for s in line if isinstance(s, Cubic) for p in (s.point(0.25), s.point(0.5), s.point(0.75))]
    assert all(min(abs(p.norm - 510), abs(p.norm - 190)) < 0.02 for p in arcs)


def test_a_wide_margin_on_a_narrow_bay_leaves_no_crossing() -> None:
    bay = [(0, 0), (100, 0), (100, 80), (55, 80), (50, 30), (45, 80), (0, 80)]
    line = sound(polygon(bay, margin=15))
    mitred = poly(polygon(bay).outline).buffer(15, join_style="mitre", mitre_limit=3)
    assert poly(line).symmetric_difference(mitred).area < 1.0


@pytest.mark.parametrize("margin", [-1.0, math.nan, math.inf])
def test_margins_without_sense_are_refused(margin: float) -> None:
    with pytest.raises(GeometryError, match="allowance"):
        cutting_line(polygon([(0, 0), (100, 0), (0, 60)], margin=margin))


def test_open_and_clockwise_outlines_are_refused() -> None:
    with pytest.raises(GeometryError, match="clockwise"):
        cutting_line(polygon([(0, 0), (0, 60), (100, 0)]))
    shape = polygon([(0, 0), (100, 0), (0, 60)])
    with pytest.raises(GeometryError, match="not closed"):
        cutting_line(replace(shape, edges=shape.edges[:2]))


def test_opening_out_and_cutting_is_cutting_and_opening_out() -> None:
    half = polygon([(0, 0), (120, -10), (100, 200), (0, 220)], margin=(40, 15, 10, 0), fates={"e3": FateKind.FOLD})
    whole, one = poly(cutting_line(opened_shape(half, "e3"))), poly(cutting_line(half))
    twice = one.union(Polygon([(-x, y) for x, y in one.exterior.coords]).buffer(0))
    # The hem and the neck come to the fold at an angle: on the fold itself the opened corner is mitred, so nothing differs.
    assert whole.symmetric_difference(twice).area < 1.0


# plausible pieces at random --------------------------------------------------------------------------------------


@st.composite
def star(draw: st.DrawFn) -> list[tuple[float, float]]:
    """A star-shaped polygon with 4 to 9 corners, well apart, some of them inward."""
    count = draw(st.integers(4, 9))
    turns = [2 * math.pi * (k + draw(st.floats(-0.25, 0.25))) / count for k in range(count)]
    reach = [draw(st.floats(150, 450)) for _ in range(count)]
    return [(r * math.cos(t), r * math.sin(t)) for r, t in zip(reach, turns, strict=True)]


@settings(max_examples=60, deadline=None)
@given(star(), st.floats(5, 40))
def test_equal_margins_agree_with_shapely_with_mitred_joins(points: list[tuple[float, float]], margin: float) -> None:
    line = sound(polygon(points, margin=margin))
    reference = Polygon(points).buffer(margin, join_style="mitre", mitre_limit=3.0)
    assert poly(line).symmetric_difference(reference).area < 1e-3 * reference.area


@settings(max_examples=60, deadline=None)
@given(star(), st.data())
def test_margins_and_corners_of_every_sort_give_a_sound_line(points: list[tuple[float, float]], data: st.DataObject) -> None:
    count = len(points)
    margins = [data.draw(st.sampled_from([0.0, 6.0, 10.0, 15.0, 40.0])) for _ in range(count)]
    corners = [data.draw(st.sampled_from(list(CornerShape))) for _ in range(count)]
    fates = {f"e{k}": FateKind.HEM for k in range(count) if data.draw(st.booleans())}
    shape = polygon(points, margin=margins, corners=corners, fates=fates)
    line = sound(shape)
    outline = poly(shape.outline)
    for edge, margin in zip(shape.edges, margins, strict=True):
        middle = edge.path.at(edge.path.length / 2) + edge.path.tangent_at(edge.path.length / 2).left * -margin
        if outline.exterior.distance(SPoint(middle.x, middle.y)) < margin - 1e-6:
            continue  # nearer to another edge: the middle lies in an inward corner
        if any(nearest(other.path, middle)[1] < 60 for other in shape.edges if other is not edge):
            continue  # a wider neighbour may cover it
        if edge.path.length < 2 * 40 * 3:
            continue  # what its neighbours run on may reach its middle: up to three margins from a corner
        assert nearest(line, middle)[1] < 1e-6
    assert {(-x + 0.0, y) for x, y in corner_points(line)} == corner_points(cutting_line(flipped(shape)))


@st.composite
def bent(draw: st.DrawFn) -> Shape:
    """A piece with edges that bulge or are hollow, like sides and armholes."""
    points = [Point(*p) for p in draw(star())]
    edges = []
    for k, (a, b) in enumerate(zip(points, points[1:] + points[:1], strict=True)):
        swell = draw(st.floats(-0.12, 0.12)) * a.distance(b)
        normal = (b - a).unit().left * swell
        path = Path.curve(a, a.towards(b, 1 / 3) + normal, a.towards(b, 2 / 3) + normal, b)
        edges.append(Edge(f"e{k}", Corner(f"c{k}"), path, draw(st.sampled_from([0.0, 10.0, 15.0, 30.0]))))
    return Shape(tuple(edges), (Point(0, 0), Point(0, 100)))


@settings(max_examples=30, deadline=None)
@given(bent())
def test_bent_edges_give_a_sound_line(shape: Shape) -> None:
    assume(not self_crossings(shape.outline))
    sound(shape)
