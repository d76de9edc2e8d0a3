"""Polygons and no-fit polygons, against shapely by brute force."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.errors import GeometryError
from firsthand.geometry import Path, Point
from firsthand.lay._nofit import NoFit
from firsthand.lay._settle import Body, settle
from firsthand.lay._shapes import Polygon, area, bounded, inflated, outward, simplified, turned


@st.composite
def stars(draw: st.DrawFn) -> Polygon:
    """Polygons with hollows: a radius for each of some directions."""
    radii = draw(st.lists(st.floats(8, 60), min_size=3, max_size=9))
    angles = [2 * math.pi * k / len(radii) for k in range(len(radii))]
    return np.array([(r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, angles, strict=True)])


def contains(loops: tuple[Polygon, ...], point: tuple[float, float]) -> bool:
    outer = shapely.union_all([shapely.Polygon(loop) for loop in loops if area(loop) > 0])
    holes = [shapely.Polygon(loop) for loop in loops if area(loop) < 0]
    return bool(shapely.difference(outer, shapely.union_all(holes)).contains(shapely.Point(point)))


@settings(max_examples=60, deadline=None)
@given(stars(), stars(), st.floats(-120, 120), st.floats(-120, 120))
def test_no_fit_polygons_say_what_shapely_says(a: Polygon, b: Polygon, x: float, y: float) -> None:
    store = NoFit(200)
    store.add("a", a)
    store.add("b", b)
    shared = shapely.Polygon(a).intersection(shapely.Polygon(b + np.array((x, y)))).area
    loops = store.loops("a", "b")
    near = min(shapely.LinearRing(loop).distance(shapely.Point(x, y)) for loop in loops)
    if near > 1e-6:
        assert contains(loops, (x, y)) == (shared > 0)
    mirrored = store.loops("b", "a")
    assert sum(area(loop) for loop in mirrored) == pytest.approx(sum(area(loop) for loop in loops))


def test_a_small_shape_inside_a_large_one_overlaps_it() -> None:
    square = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)])
    store = NoFit(100)
    store.add("large", square)
    store.add("small", square / 50)
    assert sum(area(loop) for loop in store.loops("large", "small")) == pytest.approx(102 * 102, rel=1e-6)


def test_a_shape_may_lie_in_a_hollow_closed_all_round_by_narrow_ways() -> None:
    # A frame 100 wide with a slit 1 wide: a square of 20 fits its hollow of 60, though it cannot come in by the slit.
    frame = shapely.Polygon([(0, 0), (100, 0), (100, 100), (0, 100)]).difference(shapely.box(20, 20, 80, 80))
    frame = frame.difference(shapely.box(80, 49, 101, 50))
    store = NoFit(100)
    store.add("frame", np.array(shapely.geometry.polygon.orient(frame).exterior.coords)[:-1])
    store.add("square", np.array([(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)]))
    hollow = [loop for loop in store.loops("frame", "square") if area(loop) < 0]
    assert sum(area(loop) for loop in hollow) == pytest.approx(-40 * 40, rel=1e-6)


@settings(deadline=None)
@given(stars(), st.floats(0.1, 6))
def test_an_inflated_polygon_holds_everything_nearer_than_the_distance(polygon: Polygon, by: float) -> None:
    grown = inflated(polygon, by)
    assert shapely.Polygon(grown).buffer(1e-6).covers(shapely.Polygon(polygon).buffer(by, quad_segs=32))
    assert np.allclose(grown.min(axis=0), polygon.min(axis=0) - by)
    assert np.allclose(grown.max(axis=0), polygon.max(axis=0) + by)


@settings(deadline=None)
@given(stars(), st.floats(0.1, 6))
def test_a_simplified_polygon_contains_the_whole_and_strays_little(polygon: Polygon, tolerance: float) -> None:
    slim = simplified(polygon, tolerance)
    assert len(slim) <= len(polygon)
    assert shapely.Polygon(slim).buffer(1e-6).covers(shapely.Polygon(polygon))
    assert np.allclose(slim.min(axis=0), polygon.min(axis=0))
    assert np.allclose(slim.max(axis=0), polygon.max(axis=0))


def test_a_circle_loses_most_of_its_points() -> None:
    disc = outward(Path.arc(Point(0, 0), 100, 0, 2 * math.pi))
    slim = simplified(disc, 2.0)
    assert shapely.Polygon(slim).buffer(1e-9).covers(shapely.Polygon(disc))
    assert len(slim) < len(disc)
    assert np.hypot(slim[:, 0], slim[:, 1]).max() < 105


def test_outward_contains_the_curve() -> None:
    half = Path.joined([Path.arc(Point(0, 0), 80, 0, math.pi), Path.line(Point(-80, 0), Point(80, 0))])
    polygon = shapely.Polygon(outward(half))
    assert all(polygon.buffer(1e-9).covers(shapely.Point(80 * math.cos(t), 80 * math.sin(t))) for t in np.linspace(0, 3.14, 99))
    assert polygon.area == pytest.approx(math.pi * 80**2 / 2, rel=5e-3)
    assert np.array_equal(outward(half.reversed()).min(axis=0), outward(half).min(axis=0))


def test_an_outline_that_crosses_itself_is_taken_by_its_outside() -> None:
    ears = Path.polygon([Point(0, 0), Point(100, 0), Point(100, 50), Point(40, 50), Point(60, 60), Point(60, 40), Point(0, 50)])
    polygon = shapely.Polygon(outward(ears))
    assert polygon.is_valid
    assert polygon.buffer(1e-6).covers(shapely.box(10, 5, 90, 35))


@pytest.mark.parametrize("path", [Path.line(Point(0, 0), Point(10, 0)), Path.line(Point(0, 0), Point(9, 9), Point(0, 0))])
def test_outlines_without_area_are_refused(path: Path) -> None:
    with pytest.raises(GeometryError):
        outward(path)


@settings(deadline=None)
@given(stars(), st.floats(-math.pi, math.pi), st.booleans())
def test_turning_keeps_area_and_direction(polygon: Polygon, turn: float, mirrored: bool) -> None:
    assert area(turned(polygon, turn, mirrored=mirrored)) == pytest.approx(area(polygon))


@settings(max_examples=15, deadline=None)
@given(st.lists(stars(), min_size=2, max_size=6), st.randoms(use_true_random=False))
def test_settling_moves_touching_shapes_apart_exactly(shapes: list[Polygon], chance: object) -> None:
    # Boxes side by side, a hair too near: settled they are clear of each other, inside the strip and no longer than before.
    store, bodies, at, left = NoFit(130), [], [], 0.0
    for k, shape in enumerate(shapes):
        store.add(k, shape)
        low, high = shape.min(axis=0), shape.max(axis=0)
        bodies.append(Body(k, tuple(low), tuple(high)))
        at.append((left - low[0], -low[1]))
        left += high[0] - low[0] - 1e-3
    found = settle(bodies, np.array(at), 130.0, store)
    assert found is not None
    places, length = found
    assert length <= left + 1e-3 * len(shapes) + 1e-6
    laid = [shapely.Polygon(shape + place) for shape, place in zip(shapes, places, strict=True)]
    assert sum(a.intersection(b).area for n, a in enumerate(laid) for b in laid[:n]) < 1e-4
    assert shapely.box(-1e-6, -1e-6, length + 1e-6, 130 + 1e-6).covers(shapely.union_all(laid))


def ring(points: int, fringe: float) -> Polygon:
    angles = 2 * np.pi * np.arange(points) / points
    radii = 20 + fringe * (np.arange(points) % 2)
    return np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])


@pytest.mark.parametrize(
    ("points", "fringe", "more"), [(2000, 0.0, 0.01), (2000, 0.05, 0.02), (2000, 5.0, 0.4), (50, 5.0, 0.0)]
)
def test_an_outline_of_thousands_of_points_is_held_by_one_of_sixty(points: int, fringe: float, more: float) -> None:
    true = ring(points, fringe)
    slim = bounded(true, 60)
    assert len(slim) <= 60
    assert shapely.Polygon(slim).buffer(1e-9).covers(shapely.Polygon(true))
    assert np.allclose([slim.min(axis=0), slim.max(axis=0)], [true.min(axis=0), true.max(axis=0)])
    assert area(slim) <= area(true) * (1 + more)
