"""Fair curves with true corners through noisy points: held against outlines whose corners and curves are known."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.demo import demo_patterns
from firsthand.errors import GeometryError
from firsthand.geometry import Path, Point, nearest
from firsthand.importers.fitting import fit_line, fit_outline
from firsthand.pattern import Shape

SHAPES = {
    f"{name} {piece.id}": piece.sizes["M"]
    for name, pattern in demo_patterns().items()
    for piece in pattern.pieces.values()
    if "M" in piece.sizes
}


def sampled(path: Path, *, noise: float, seed: int = 1, every: float = 0.5) -> list[Point]:
    """Points along a line, each off by normal noise each way."""
    count = round(path.length / every)
    points = np.array([(p.x, p.y) for p in (path.at(path.length * k / count) for k in range(count))])
    points += np.random.default_rng(seed).normal(0, noise, points.shape)
    return [Point(float(x), float(y)) for x, y in points]


def sharp_corners(shape: Shape, least: float = math.radians(30)) -> list[Point]:
    pairs = zip([shape.edges[-1], *shape.edges[:-1]], shape.edges, strict=True)
    return [b.path.start for a, b in pairs if abs(a.path.end_tangent.angle_to(b.path.start_tangent)) > least]


@pytest.mark.parametrize("name", SHAPES)
def test_the_outline_of_a_real_piece_is_found_again(name: str) -> None:
    shape = SHAPES[name]
    found = fit_outline(sampled(shape.outline, noise=0.1), tolerance=0.15)
    off = [nearest(found.path, shape.outline.at(shape.outline.length * k / 300))[1] for k in range(300)]
    assert math.sqrt(sum(d * d for d in off) / len(off)) < 0.2
    assert max(off) < 1.0
    assert found.residual < 0.2
    for corner in sharp_corners(shape):
        assert min(corner.distance(other) for other in found.corners) < 1.0
    assert len(list(found.path)) < 45


def test_a_straight_sided_shape_is_given_back_as_straight_lines() -> None:
    square = Path.polygon([Point(0, 0), Point(300, 0), Point(300, 200), Point(0, 200)])
    found = fit_outline(sampled(square, noise=0.08))
    assert len(list(found.path)) == 4
    assert found.path.area == pytest.approx(300 * 200, rel=1e-3)


def test_a_circle_has_no_corner() -> None:
    found = fit_outline([Point(150 * math.cos(t / 300), 150 * math.sin(t / 300)) for t in range(round(600 * math.pi))])
    assert found.corners == ()
    assert found.path.is_closed
    assert found.path.length == pytest.approx(2 * math.pi * 150, rel=1e-3)


def test_corners_that_are_given_are_kept_and_no_others_are_made() -> None:
    square = Path.polygon([Point(0, 0), Point(100, 0), Point(100, 100), Point(0, 100)])
    given_corners = [Point(0, 0), Point(100, 0), Point(50, 100)]
    found = fit_outline(sampled(square, noise=0.05), corners=given_corners)
    assert sorted((p.x, p.y) for p in found.corners) == sorted((p.x, p.y) for p in given_corners)


def test_a_line_given_clockwise_comes_back_counter_clockwise() -> None:
    square = Path.polygon([Point(0, 0), Point(0, 100), Point(100, 100), Point(100, 0)])
    assert fit_outline(sampled(square, noise=0.05)).path.area > 0


@settings(max_examples=25, deadline=None)
@given(st.floats(0, 2 * math.pi), st.floats(60, 400), st.floats(40, 300), st.floats(math.radians(50), math.radians(130)))
def test_any_parallelogram_is_found_however_it_lies(turned: float, wide: float, high: float, corner: float) -> None:
    unit, other = Point.polar(wide, turned), Point.polar(high, turned + corner)
    shape = Path.polygon([Point(0, 0), unit, unit + other, other])
    found = fit_outline(sampled(shape, noise=0.05))
    assert len(found.corners) == 4
    for point in (Point(0, 0), unit, unit + other, other):
        assert min(point.distance(one) for one in found.corners) < 0.4


def test_an_open_line_runs_from_its_first_to_its_last_point() -> None:
    arc = Path.arc(Point(0, 0), 200, 0, 1.2)
    points = sampled(arc, noise=0.1)
    line = fit_line(points)
    assert (line.start, line.end) == (points[0], points[-1])
    assert line.length == pytest.approx(240, abs=1.0)


@pytest.mark.parametrize(
    "points",
    [
        [],
        [Point(0, 0)],
        [Point(0, 0), Point(1, 0)],
        [Point(1, 1)] * 50,
    ],
    ids=["none", "one", "two", "all the same"],
)
def test_what_is_no_outline_is_refused(points: list[Point]) -> None:
    with pytest.raises(GeometryError):
        fit_outline(points)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, math.nan, math.inf])
def test_a_tolerance_that_is_none_is_refused(tolerance: float) -> None:
    with pytest.raises(GeometryError):
        fit_outline(sampled(Path.polygon([Point(0, 0), Point(9, 0), Point(9, 9)]), noise=0), tolerance=tolerance)
