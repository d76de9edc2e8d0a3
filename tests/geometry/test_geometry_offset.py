"""Parallels, containing polygons and fair curves against shapely, scipy and closed forms."""

import itertools
import math

import pytest
import shapely
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st
from scipy.special import fresnel
from shapely.geometry import LineString, Polygon

from firsthand.errors import GeometryError
from firsthand.geometry import Cubic, Path, Point, extended, flatten_outwards, nearest, offset, self_crossings, smooth

PHASES = (Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink)  # explaining a failure takes minutes here

RECTANGLE = Path.polygon([Point(0, 0), Point(200, 0), Point(200, 300), Point(0, 300)])


def bodice() -> Path:
    """A made-up bodice front with a hollow armhole and neck and a bent side."""
    return Path.joined(
        [
            Path.line(Point(0, 0), Point(250, 0)),
            smooth([Point(250, 0), Point(240, 100), Point(250, 250)]),
            smooth([Point(250, 250), Point(215, 270), Point(200, 320), Point(210, 380)], start=Point(-1, 0), end=Point(0.1, 1)),
            Path.line(Point(210, 380), Point(80, 420)),
            smooth([Point(80, 420), Point(70, 370), Point(0, 340)], end=Point(-1, 0)),
            Path.line(Point(0, 340), Point(0, 0)),
        ]
    )


def ring(path, tolerance=1e-3):
    return Polygon([(p.x, p.y) for p in path.flattened(tolerance)])


def distances(path, source, tolerance=0.05):
    line = LineString([(p.x, p.y) for p in source.flattened(1e-3)])
    shapely.prepare(line)
    return shapely.distance(line, shapely.points([(p.x, p.y) for p in path.flattened(tolerance)]))


def test_mitred_rectangle():
    # Mitred perimeter 2 (230 + 330) and area 230 x 330: elementary geometry.
    grown = offset(RECTANGLE, 15)
    assert (grown.length, grown.area, len(grown.segments)) == (1120, 75900, 4)
    assert offset(RECTANGLE, -15).area == pytest.approx(170 * 270)
    assert offset(RECTANGLE.reversed(), -15).area == pytest.approx(-230 * 330)


@pytest.mark.parametrize("distance", [15.0, -15.0, 60.0, -90.0, 0.5])
def test_circle_in_closed_form(distance):
    ours = offset(Path.arc(Point(0, 0), 100, 0.2, 2 * math.pi), distance)
    radius = 100 + distance
    assert max(abs(p.norm - radius) for p in ours.flattened(0.01)) <= 0.01
    # Length and area of a convex curve's parallel (Steiner's formula, planar case).
    assert ours.length == pytest.approx(2 * math.pi * radius, abs=0.05)
    assert ours.area == pytest.approx(math.pi * radius**2, rel=2e-4)
    assert all(isinstance(segment, Cubic) for segment in ours)


def test_zero_is_the_path_itself():
    path = bodice()
    assert offset(path, 0) is path


@pytest.mark.parametrize("distance", [15.0, -15.0, 40.0, -40.0, -60.0])
def test_bodice_against_shapely(distance):
    path = bodice()
    ours = offset(path, distance)
    assert ours.is_closed
    assert not self_crossings(ours)
    assert min(distances(ours, path)) >= abs(distance) - 0.02
    theirs = ring(path).buffer(distance, quad_segs=128)
    assert ring(ours).buffer(0.03).contains(theirs)
    mitred = ring(path).buffer(distance, join_style="mitre", mitre_limit=4.0)  # mitres along the flattening's last chords
    assert ring(ours).area == pytest.approx(mitred.area, rel=2e-4)


@pytest.mark.parametrize("distance", [15.0, -15.0, 25.0, -60.0])
def test_an_edge_keeps_its_distance(distance):
    edge = smooth([Point(250, 250), Point(215, 270), Point(200, 320), Point(210, 380)], start=Point(-1, 0), end=Point(0.1, 1))
    ours = offset(edge, distance)
    assert min(distances(ours, edge)) >= abs(distance) - 0.02
    assert max(distances(ours, edge)) <= abs(distance) + 0.02
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):  # to the right if positive
        at = ours.at(ours.length * share)
        foot, _ = nearest(edge, at)
        side = edge.tangent_at(foot).cross(at - edge.at(foot))
        assert (side < 0) == (distance > 0)


@given(st.integers(3, 12), st.floats(0, 0.35), st.integers(2, 6), st.sampled_from([4.0, 12.0, -4.0, -12.0, -25.0]))
@settings(max_examples=20, deadline=None, phases=PHASES)
def test_wavy_outlines_against_shapely(count, depth, waves, distance):
    corners = [
        Point.polar(100 * (1 + depth * math.cos(waves * angle)), angle)
        for angle in (2 * math.pi * k / (4 * count) for k in range(4 * count))
    ]
    path = smooth([*corners, corners[0]])
    assume(not self_crossings(path))
    theirs = ring(path).buffer(distance, quad_segs=64)
    try:
        ours = offset(path, distance)
    except GeometryError:
        assert theirs.is_empty or theirs.geom_type == "MultiPolygon" or theirs.buffer(-0.5).geom_type == "MultiPolygon"
        return
    assert not self_crossings(ours)
    assert min(distances(ours, path)) >= abs(distance) - 0.021
    if theirs.geom_type == "Polygon" and not theirs.interiors:
        assert ring(ours).buffer(0.05).contains(theirs)
        assert ring(ours).area - theirs.area <= 0.05 * theirs.length + 2 * distance**2  # a mitre or two at the spline's ends


def test_loops_are_taken_out_where_the_bend_is_too_tight():
    waves = smooth([Point(x, 15 * math.sin(x / 6)) for x in range(0, 200, 5)])
    for distance in (10.0, -10.0):
        ours = offset(waves, distance)
        assert not self_crossings(ours)
        assert min(distances(ours, waves)) >= 10 - 0.02
        assert max(distances(ours, waves)) <= 10 + 0.02


@pytest.mark.parametrize("distance", [1.0, 12.0, 30.0])
def test_a_bend_of_a_hair_between_two_curves(distance):
    # the parallels of both lap over each other by a hundredth of a millimetre, and cross at less than a thousandth of a radian
    one = Cubic(Point(-211.4259, 26.4812), Point(-211.9786, 17.7595), Point(-213.0669, 9.0726), Point(-214.3913, 0.4584))
    two = Cubic(Point(-214.3913, 0.4584), Point(-216.0367, -10.1869), Point(-217.4573, -20.8417), Point(-217.9095, -31.5375))
    path = Path((one, two))
    line = offset(path, distance)
    assert len(line.segments) == 2
    assert distances(line, path) == pytest.approx(distance, abs=0.021)


def test_inside_corners_of_many_short_lines():
    teeth = Path.line(*(Point(3 * k, 4 * (k % 2)) for k in range(40)))
    for distance in (2.0, 15.0, -15.0):
        ours = offset(teeth, distance)
        assert not self_crossings(ours)
        assert min(distances(ours, teeth)) >= abs(distance) - 0.02


def test_sharp_points_are_cut_off_across():
    sliver = Path.polygon([Point(0, 0), Point(400, 10), Point(0, 20)])
    grown = offset(sliver, 10)
    assert grown.bounds.right == pytest.approx(400 + 40)
    assert min(distances(grown, sliver)) >= 10 - 1e-6
    there_and_back = Path.line(Point(0, 0), Point(100, 0), Point(10, 0))
    assert min(distances(offset(there_and_back, 5), there_and_back)) >= 5 - 1e-6


def test_what_is_left_of_nothing():
    with pytest.raises(GeometryError, match=r"at most ⟨99\.\d+ mm⟩ would go"):
        offset(RECTANGLE, -101)
    with pytest.raises(GeometryError, match=r"at most ⟨(49\.9\d?|50) mm⟩"):
        offset(Path.arc(Point(0, 0), 50, 0, 2 * math.pi), -60)
    dumbbell = [(0, 0), (100, 0), (100, 40), (150, 40), (150, 0), (250, 0), (250, 100), (150, 100), (150, 60), (100, 60)]
    shape = Path.polygon([Point(*p) for p in [*dumbbell, (100, 100), (0, 100)]])
    assert offset(shape, -9.9).area > 0
    with pytest.raises(GeometryError, match="falls apart"):
        offset(shape, -15)


def test_a_bay_that_closes_over_is_filled():
    bay = [
        (0, 0),
        (100, 0),
        (100, 100),
        (55, 100),
        (55, 60),
        (80, 60),
        (80, 20),
        (20, 20),
        (20, 60),
        (45, 60),
        (45, 100),
        (0, 100),
    ]
    grown = offset(Path.polygon([Point(*p) for p in bay]), 8)
    assert grown.area == pytest.approx(116 * 116)


@pytest.mark.parametrize("distance", [math.nan, math.inf, 1e6])
def test_senseless_distances_are_refused(distance):
    with pytest.raises(GeometryError):
        offset(RECTANGLE, distance)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, math.nan, 1e-9])
def test_senseless_tolerances_are_refused(tolerance):
    with pytest.raises(GeometryError):
        offset(RECTANGLE, 5, tolerance=tolerance)
    with pytest.raises(GeometryError):
        flatten_outwards(RECTANGLE, tolerance)


# containing polygons ---------------------------------------------------------------------------------------------


def contains(corners, path, tolerance):
    polygon = Polygon([(p.x, p.y) for p in corners])
    assert polygon.is_valid
    dense = shapely.points([(p.x, p.y) for segment in path for p in (segment.point(k / 100) for k in range(100))])
    grown = polygon.buffer(1e-6)
    shapely.prepare(grown)
    assert shapely.covers(grown, dense).all()
    boundary = LineString([(p.x, p.y) for p in path.flattened(1e-3)])
    shapely.prepare(boundary)
    along = shapely.points(polygon.exterior.segmentize(1.0).coords)
    assert shapely.distance(boundary, along).max() <= tolerance + 1e-3


@pytest.mark.parametrize("tolerance", [0.05, 0.2, 2.0])
@pytest.mark.parametrize(
    "path", [bodice(), Path.arc(Point(0, 0), 80, 0.3, 2 * math.pi), RECTANGLE], ids=["bodice", "disc", "box"]
)
def test_polygon_contains_the_shape(path, tolerance):
    contains(flatten_outwards(path, tolerance), path, tolerance)


@given(st.integers(2, 6), st.floats(0, 0.3), st.sampled_from([0.1, 0.5]))
@settings(max_examples=15, deadline=None, phases=PHASES)
def test_polygon_contains_wavy_shapes(waves, depth, tolerance):
    corners = [Point.polar(100 * (1 + depth * math.cos(waves * k * math.pi / 16)), k * math.pi / 16) for k in range(32)]
    path = smooth([*corners, corners[0]])
    contains(flatten_outwards(path, tolerance), path, tolerance)


def test_straight_shapes_are_not_grown():
    assert flatten_outwards(RECTANGLE) == tuple(segment.start for segment in RECTANGLE)


@pytest.mark.parametrize("path", [RECTANGLE.reversed(), Path.line(Point(0, 0), Point(9, 0), Point(9, 9))])
def test_only_closed_counter_clockwise_shapes_are_contained(path):
    with pytest.raises(GeometryError):
        flatten_outwards(path)


# fair curves -----------------------------------------------------------------------------------------------------


def test_smooth_runs_through_its_points_without_a_break():
    knots = [Point(0, 0), Point(40, 30), Point(70, 20), Point(130, 90), Point(150, 88)]
    path = smooth(knots)
    assert path.joints == tuple(knots)
    for one, two in itertools.pairwise(path.segments):
        assert one.tangent(1).distance(two.tangent(0)) < 1e-9
        assert one.curvature(1) == pytest.approx(two.curvature(0), abs=1e-9)
    assert path.segments[0].curvature(0) == pytest.approx(0, abs=1e-9)
    assert path.segments[-1].curvature(1) == pytest.approx(0, abs=1e-9)


def test_smooth_against_scipy():
    from scipy.interpolate import CubicSpline

    knots = [Point(0, 0), Point(40, 30), Point(70, 20), Point(130, 90)]
    at = [0.0, *itertools.accumulate(a.distance(b) for a, b in itertools.pairwise(knots))]
    theirs = CubicSpline(at, [(p.x, p.y) for p in knots], bc_type="natural")
    path = smooth(knots)
    for k, segment in enumerate(path.segments):
        x, y = theirs((at[k] + at[k + 1]) / 2)
        assert segment.point(0.5).distance(Point(x, y)) < 1e-9


def test_smooth_follows_a_clothoid():
    """Clothoid A = 12, r = 9: length 16, turn 50.92 degrees. Source: GeoGebra worksheet pPu6Kb3z, tasks 1 and 2."""
    a, length = 12.0, 16.0
    scale = a * math.sqrt(math.pi)

    def place(s):
        sine, cosine = fresnel(s / scale)
        return Point(scale * cosine, scale * sine)

    turn = length**2 / (2 * a**2)
    path = smooth([place(length * k / 16) for k in range(17)], start=Point(1, 0), end=Point.polar(1, turn))
    assert math.degrees(turn) == pytest.approx(50.92, abs=0.02)
    assert path.length == pytest.approx(16, abs=1e-3)
    assert path.end.distance(Point(14.78121, 4.47982)) < 1e-4  # Fresnel integrals
    assert path.segments[-1].curvature(1) == pytest.approx(1 / 9, rel=0.01)
    assert math.degrees(path.tangent_at(8).angle) == pytest.approx(math.degrees(8**2 / (2 * a**2)), abs=0.05)


def test_two_free_points_make_a_line():
    assert smooth([Point(0, 0), Point(9, 0)]) == Path.line(Point(0, 0), Point(9, 0))


def test_extended_runs_on_straight():
    bow = Path.curve(Point(0, 0), Point(0, 30), Point(60, 30), Point(60, 0))
    longer = extended(bow, 10, 20)
    assert (longer.start, longer.end) == (Point(0, -10), Point(60, -20))
    assert longer.length == pytest.approx(bow.length + 30)
    assert extended(bow, 0, 0) == bow


@pytest.mark.parametrize(
    "make",
    [
        lambda: smooth([]),
        lambda: smooth([Point(0, 0)]),
        lambda: smooth([Point(0, 0), Point(0, 0), Point(1, 1)]),
        lambda: smooth([Point(0, 0), Point(5, 0)], start=Point(0, 0)),
        lambda: extended(RECTANGLE, -1, 0),
        lambda: extended(RECTANGLE, 0, math.nan),
    ],
)
def test_what_has_no_sense_is_refused(make):
    with pytest.raises(GeometryError):
        make()
