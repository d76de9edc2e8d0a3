"""Meetings, nearest points and roots against shapely, dense samples and closed forms."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString

from firsthand.geometry import Cubic, Path, Point, intersections, nearest, self_crossings
from firsthand.geometry._roots import bernstein_roots

PHASES = (Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink)  # explaining a failure takes minutes here

coordinate = st.integers(0, 3000).map(lambda n: n / 10)
points = st.builds(Point, coordinate, coordinate)
curves = st.builds(Path.curve, points, points, points, points).filter(lambda c: c.length > 20)


def flat(path, tolerance=1e-3):
    return LineString([(p.x, p.y) for p in path.flattened(tolerance)])


def steep(a, b, at_a, at_b):
    """Whether two paths cross at a clear angle and away from ends, so that flattening cannot lose or add a crossing."""
    ends_far = 0.2 < at_a < a.length - 0.2 and 0.2 < at_b < b.length - 0.2
    return ends_far and all(abs(a.tangent_at(at_a + by).cross(b.tangent_at(at_b + by))) > 0.1 for by in (-0.1, 0.0, 0.1))


@given(curves, curves)
@settings(max_examples=30, deadline=None, phases=PHASES)
def test_curves_meet_where_their_flattenings_do(a, b):
    ours = intersections(a, b)
    for crossing in ours:
        assert a.at(crossing.at_a).distance(crossing.point) <= 2e-6
        assert b.at(crossing.at_b).distance(crossing.point) <= 2e-6
    shared = flat(a).intersection(flat(b))
    theirs = [] if shared.is_empty else [g.centroid for g in getattr(shared, "geoms", [shared])]
    for centroid in theirs:
        place = Point(centroid.x, centroid.y)
        if steep(a, b, nearest(a, place)[0], nearest(b, place)[0]):
            assert any(c.point.distance(place) < 0.05 for c in ours)
    for crossing in ours:
        if steep(a, b, crossing.at_a, crossing.at_b):
            assert any(crossing.point.distance(Point(g.x, g.y)) < 0.05 for g in theirs)


@given(curves, curves)
@settings(max_examples=30, deadline=None, phases=PHASES)
def test_meeting_is_mutual(a, b):
    two = intersections(b, a)
    for crossing in intersections(a, b):
        if steep(a, b, crossing.at_a, crossing.at_b):
            assert any(abs(c.at_a - crossing.at_b) < 0.01 and abs(c.at_b - crossing.at_a) < 0.01 for c in two)


def test_meetings_side_by_side_on_one_curve_only_are_two():
    there_and_back = Path.curve(Point(0.6, 39.1), Point(162.2, 0), Point(23.1, 0), Point(31.5, 79.8))
    hook = Path.curve(Point(0, 0), Point(65.5, 18.3), Point(71.8, 41.1), Point(39.9, 0))
    assert len(intersections(there_and_back, hook)) == len(intersections(hook, there_and_back)) == 4


def test_circles_meet_in_closed_form():
    # Radii 100 and 80, centres 120 apart: x = (d2 + R2 - r2) / 2d = 75, y = +-sqrt(R2 - x2).
    found = intersections(Path.arc(Point(0, 0), 100, 0.1, 2 * math.pi), Path.arc(Point(120, 0), 80, 0.2, 2 * math.pi))
    assert sorted(round(c.point.y, 4) for c in found) == [
        round(-math.sqrt(100**2 - 75**2), 4),
        round(math.sqrt(100**2 - 75**2), 4),
    ]
    assert [c.point.x for c in found] == pytest.approx([75, 75], abs=2e-5)


def test_touching_counts_once():
    circle = Path.arc(Point(0, 0), 100, 0, 2 * math.pi)
    touching = intersections(circle, Path.line(Point(-200, 100), Point(200, 100)))
    assert len(touching) == 1
    assert touching[0].point.distance(Point(0, 100)) < 1e-3
    outside = intersections(circle, Path.arc(Point(150, 0), 50, 0, 2 * math.pi))
    assert len(outside) == 1
    assert outside[0].point.distance(Point(100, 0)) < 1e-3


def test_ends_and_joints_count_once():
    corner = Path.line(Point(0, 0), Point(50, 0), Point(50, 50))
    assert [c.point for c in intersections(corner, Path.line(Point(50, 0), Point(90, -30)))] == [Point(50, 0)]
    assert [c.at_a for c in intersections(corner, Path.line(Point(40, -10), Point(60, 10)))] == [50.0]
    square = Path.polygon([Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)])
    assert len(intersections(square, Path.line(Point(-5, -5), Point(5, 5)))) == 1


def test_shared_stretches_give_their_ends():
    base = Path.line(Point(0, 0), Point(100, 0))
    assert [c.at_a for c in intersections(base, Path.line(Point(120, 0), Point(40, 0)))] == [40.0, 100.0]
    curve = Path.curve(Point(0, 0), Point(30, 80), Point(90, 80), Point(120, 0))
    part = curve.between(30, 90)
    assert [c.at_a for c in intersections(curve, part)] == pytest.approx([30, 90], abs=1e-4)
    assert [c.at_a for c in intersections(curve, curve)] == pytest.approx([0, curve.length])
    parallel = Path.line(Point(0, 1), Point(100, 1))
    assert intersections(base, parallel) == ()


def test_nearly_coincident_curves_end_soon():
    bow = Path.arc(Point(0, 0), 100, 0, 6)
    assert intersections(bow, Path.arc(Point(0, 0), 100.001, 0, 6)) == ()
    along = intersections(bow, Path.arc(Point(0, 0), 100, 0.3, 1))
    assert along
    assert all(29.9 < c.at_a < 130.1 for c in along)


def test_a_loop_crosses_itself_where_symmetry_puts_it():
    loop = Path.curve(Point(0, 0), Point(100, 100), Point(-50, 100), Point(50, 0))
    (crossing,) = self_crossings(loop)
    assert crossing.point.x == pytest.approx(25)
    assert crossing.at_a + crossing.at_b == pytest.approx(loop.length)
    assert self_crossings(Path.arc(Point(0, 0), 10, 0, 2 * math.pi)) == ()
    assert self_crossings(Path.polygon([Point(0, 0), Point(10, 0), Point(10, 10)])) == ()


@given(st.lists(points, min_size=4, max_size=8, unique=True))
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_self_crossings_agree_with_shapely(corners):
    assume(all(a.distance(b) > 1 for a, b in itertools.pairwise([*corners, corners[0]])))
    path = Path.polygon(corners)
    ring = LineString([(p.x, p.y) for p in path.joints])
    assert (self_crossings(path) == ()) == ring.is_simple


@given(st.builds(Path.curve, points, points, points, points).filter(lambda c: c.length > 20), points)
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_nearest_beats_dense_samples(path, point):
    at, distance = nearest(path, point)
    assert path.at(at).distance(point) == pytest.approx(distance, abs=1e-6)
    curve = path.segments[0]
    assert isinstance(curve, Cubic)
    dense = min(curve.point(k / 500).distance(point) for k in range(501))
    assert distance <= dense + 1e-9
    step = max(curve.derivative(k / 50).norm for k in range(51)) / 500
    assert distance >= dense - step


def test_nearest_on_a_circle_and_at_ends():
    circle = Path.arc(Point(0, 0), 100, 0, 2 * math.pi)
    at, distance = nearest(circle, Point(0, 130))
    assert distance == pytest.approx(30, abs=1e-5)
    assert at == pytest.approx(50 * math.pi, abs=1e-4)
    assert nearest(Path.line(Point(0, 0), Point(10, 0)), Point(14, 3)) == (10.0, 5.0)


@given(
    st.lists(st.integers(1, 99), min_size=1, max_size=5, unique=True).filter(
        lambda r: all(b - a > 4 for a, b in itertools.pairwise(sorted(r)))
    )
)
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_roots_of_known_polynomials(percent):
    roots = sorted(p / 100 for p in percent)
    power = np.poly(roots)[::-1]  # ascending powers
    n = len(roots)
    bernstein = [sum(math.comb(k, j) / math.comb(n, j) * power[j] for j in range(k + 1)) for k in range(n + 1)]
    assert bernstein_roots(bernstein) == pytest.approx(roots, abs=1e-9)
