"""Points, segments and paths against numpy, scipy and shapely."""

import math

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely.geometry import Polygon

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Box, Cubic, Line, Path, Point
from firsthand.geometry._segment import _GAUSS

PHASES = (Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink)  # explaining a failure takes minutes here

coordinate = st.integers(-5000, 5000).map(lambda n: n / 10)
points = st.builds(Point, coordinate, coordinate)
cubics = st.builds(Cubic, points, points, points, points).filter(lambda c: c.a.distance(c.d) > 1 and c.length > 5)
shares = st.floats(0.02, 0.98)


@st.composite
def chains(draw):
    """An open path of lines and cubics."""
    here, segments = draw(points), []
    for straight in draw(st.lists(st.booleans(), min_size=1, max_size=5)):
        end = draw(points.filter(lambda p, here=here: p.distance(here) > 1))
        segments.append(Line(here, end) if straight else Cubic(here, draw(points), draw(points), end))
        here = end
    return Path(tuple(segments))


def near(one: Point, two: Point, by: float = 1e-5) -> bool:
    return one.distance(two) <= by


def test_gauss_constants_are_those_of_numpy():
    nodes, weights = np.polynomial.legendre.leggauss(16)
    ours = [(sign * x, w) for x, w in _GAUSS for sign in (-1, 1)]
    assert sorted(x for x, _ in ours) == pytest.approx(sorted(nodes), abs=1e-15)
    assert sorted(w for _, w in ours) == pytest.approx(sorted(weights), abs=1e-15)


@given(cubics)
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_arc_length_is_that_of_scipy(curve):
    expected = math.fsum(
        quad(lambda t: curve.derivative(t).norm, k / 8, (k + 1) / 8, epsabs=1e-10, epsrel=1e-12, limit=200)[0] for k in range(8)
    )
    assert curve.length == pytest.approx(expected, rel=1e-8, abs=1e-6)


@given(cubics, shares)
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_parameter_at_undoes_length_to(curve, t):
    assert curve.length_to(curve.parameter_at(curve.length * t)) == pytest.approx(curve.length * t, abs=1e-6)


@given(cubics)
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_bounds_hold_samples_and_are_touched(curve):
    box = curve.bounds
    samples = [curve.point(k / 300) for k in range(301)]
    assert all(box.grown(1e-9).touches(Box(p.x, p.y, p.x, p.y)) for p in samples)
    slack = max(curve.derivative(k / 50).norm for k in range(51)) / 300 + 1e-9
    seen = Box.around(samples)
    assert max(seen.left - box.left, box.right - seen.right, seen.bottom - box.bottom, box.top - seen.top) <= slack


@given(chains(), shares)
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_split_and_join_keep_length_and_points(path, share):
    one, two = path.split(path.length * share)
    whole = Path.joined([one, two])
    assert whole.length == pytest.approx(path.length, rel=1e-8)
    assert one.length == pytest.approx(path.length * share, abs=1e-5)
    for k in range(11):
        assert near(whole.at(path.length * k / 10), path.at(path.length * k / 10), 1e-3)


@given(chains(), st.tuples(shares, shares).filter(lambda p: abs(p[0] - p[1]) > 0.02))
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_between_runs_from_place_to_place(path, pair):
    lo, hi = sorted(share * path.length for share in pair)
    part = path.between(lo, hi)
    assert part.length == pytest.approx(hi - lo, abs=1e-4)
    assert near(part.start, path.at(lo), 1e-4)
    assert near(part.end, path.at(hi), 1e-4)


@given(chains())
@settings(max_examples=30, deadline=None, phases=PHASES)
def test_reversed_twice_is_the_same(path):
    assert path.reversed().reversed() == path
    assert path.reversed().length == pytest.approx(path.length)
    assert path.reversed().area == pytest.approx(-path.area, abs=1e-6)


@given(chains(), st.tuples(*[st.integers(-30, 30).map(lambda n: n / 10)] * 4), points)
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_area_grows_by_the_determinant(path, matrix, shift):
    by = Affine(*matrix, shift.x, shift.y)
    assert path.transformed(by).area == pytest.approx(path.area * by.determinant, rel=1e-8, abs=1e-2)


@given(st.lists(points, min_size=3, max_size=9, unique=True))
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_polygon_area_and_length_are_those_of_shapely(corners):
    ring = Polygon([(p.x, p.y) for p in corners])
    try:
        ours = Path.polygon(corners)
    except GeometryError:
        assert ring.area < 1e-6
        return
    assert ours.length == pytest.approx(ring.length)
    signed = sum(a.cross(b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)) / 2
    assert ours.area == pytest.approx(signed, abs=1e-6)
    if ring.is_valid:
        assert abs(ours.area) == pytest.approx(ring.area, abs=1e-6)


@given(cubics)
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_area_under_a_curve_is_that_of_its_flattening(curve):
    path = Path((curve,))
    flat = Path.line(*path.flattened(1e-3))
    assert path.area == pytest.approx(flat.area, abs=1e-3 * path.length)


@given(cubics, st.sampled_from([0.01, 0.1, 1.0]))
@settings(max_examples=40, deadline=None, phases=PHASES)
def test_flattening_stays_within_its_tolerance(curve, tolerance):
    corners = Path((curve,)).flattened(tolerance)
    count = len(corners) - 1
    for k in range(count):
        a, b = corners[k], corners[k + 1]
        if a.distance(b) < 1e-9:
            continue
        middle = curve.point((k + 0.5) / count)
        assert abs((b - a).unit().cross(middle - a)) <= tolerance * (1 + 1e-6)


def test_circle_in_closed_form():
    circle = Path.arc(Point(3, 4), 100, 0.3, 2 * math.pi)
    assert circle.is_closed
    assert circle.length == pytest.approx(200 * math.pi, abs=1e-4)
    assert circle.area == pytest.approx(math.pi * 1e4, abs=1e-2)
    assert max(abs(p.distance(Point(3, 4)) - 100) for p in circle.flattened(0.01)) < 1e-5
    assert circle.segments[0].curvature(0.5) == pytest.approx(0.01, rel=1e-4)


def test_rotation_mirror_and_inverse():
    a, b = Point(1, 2), Point(7, -3)
    flip = Affine.mirror(a, b)
    assert flip.determinant == pytest.approx(-1)
    assert near((flip @ flip)(Point(5, 5)), Point(5, 5), 1e-12)
    assert near(flip(a), a, 1e-12)
    turn = Affine.rotation(0.7, Point(2, 2))
    assert near((turn @ turn.inverse())(Point(9, -4)), Point(9, -4), 1e-12)
    assert near(turn(Point(2, 2)), Point(2, 2), 1e-12)


def test_tangents_where_a_curve_stands_still():
    folded = Cubic(Point(0, 0), Point(0, 0), Point(10, 10), Point(10, 10))
    assert near(folded.tangent(0), Point(1, 1).unit(), 1e-9)
    assert near(folded.tangent(1), Point(1, 1).unit(), 1e-9)
    bent = Cubic(Point(0, 0), Point(0, 0), Point(0, 10), Point(10, 0))
    assert near(bent.tangent(0), Point(0, 1), 1e-9)
    with pytest.raises(GeometryError):
        Cubic(*[Point(1, 1)] * 4).tangent(0.5)


def test_tangent_at_the_ends_skips_segments_without_length():
    path = Path((Line(Point(0, 0), Point(0, 0)), Line(Point(0, 0), Point(5, 0)), Line(Point(5, 0), Point(5, 0))))
    assert path.start_tangent == Point(1, 0)
    assert path.end_tangent == Point(1, 0)


def test_points_that_creep_are_not_lost():
    creeping = Path.line(*(Point(k * 4e-7, 0) for k in range(1001)))
    assert creeping.length == pytest.approx(4e-4, abs=1e-6)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Point(math.nan, 0),
        lambda: Point(0, math.inf),
        lambda: Point(10**400, 0),
        lambda: Point(1, 1) / 0,
        lambda: Point(0, 0).unit(),
        lambda: Box.around([]),
        lambda: Box(1, 0, 0, 1),
        lambda: Box(math.nan, 0, 1, 1),
        lambda: Box(0, 0, 1, 1).grown(-2),
        lambda: Affine(a=math.nan),
        lambda: Affine.scaling(0).inverse(),
        lambda: Affine.rotation(math.inf),
        lambda: Affine.mirror(Point(1, 1), Point(1, 1)),
        lambda: Path(()),
        lambda: Path((Line(Point(0, 0), Point(1, 0)), Line(Point(2, 0), Point(3, 0)))),
        lambda: Path.line(),
        lambda: Path.line(Point(0, 0), Point(1e9, 0)),
        lambda: Path.line(Point(1, 1), Point(1, 1)),
        lambda: Path.polygon([]),
        lambda: Path.polygon([Point(0, 0), Point(1, 0)]),
        lambda: Path.arc(Point(0, 0), 0, 0, 1),
        lambda: Path.arc(Point(0, 0), math.nan, 0, 1),
        lambda: Path.arc(Point(0, 0), 10, 0, math.inf),
        lambda: Path.arc(Point(0, 0), 10, math.nan, 1),
        lambda: Path.joined([]),
        lambda: Path.line(Point(0, 0), Point(9, 0)).at(math.nan),
        lambda: Path.curve(Point(0, 0), Point(9, 9), Point(9, 0), Point(9, 9)).at(math.nan),
        lambda: Cubic(Point(0, 0), Point(9, 9), Point(9, 0), Point(9, 9)).parameter_at(math.nan),
        lambda: Path.line(Point(0, 0), Point(9, 0)).split(9),
        lambda: Path.line(Point(0, 0), Point(9, 0)).split(math.nan),
        lambda: Path.line(Point(0, 0), Point(9, 0)).between(5, 4),
        lambda: Path.line(Point(0, 0), Point(9, 0)).between(0, 10),
        lambda: Path.line(Point(0, 0), Point(9, 0)).flattened(0),
        lambda: Path.line(Point(0, 0), Point(9, 0)).flattened(math.nan),
    ],
)
def test_what_has_no_sense_is_refused(make):
    with pytest.raises(GeometryError):
        make()


@pytest.mark.parametrize("beside", [1.0001e-6, 1.1e-6, 2e-6])
def test_a_path_is_split_ever_so_near_its_ends(beside):
    path = Path.joined(
        [Path.line(Point(0, 0), Point(100, 0)), Path.curve(Point(100, 0), Point(150, 0), Point(200, 50), Point(200, 90))]
    )
    for at in (beside, path.length - beside):
        one, two = path.split(at)
        assert one.length + two.length == pytest.approx(path.length, abs=1e-6)
        assert one.length == pytest.approx(at, abs=1e-9)
