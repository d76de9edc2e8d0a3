"""What is proven instead of searched for: against the search itself, dense sampling and numpy."""

from __future__ import annotations

import itertools
import math
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.errors import GeometryError
from firsthand.geometry import (
    Cubic,
    Line,
    Path,
    Point,
    Segment,
    _meet,
    _offset,
    intersections,
    nearest,
    offset,
    self_crossings,
    smooth,
)
from firsthand.geometry._clear import flat, surely_apart
from firsthand.geometry._length import GAUSS
from firsthand.workroom._canonical import digest

coordinate = st.integers(-400, 400).map(lambda n: n / 4)
point = st.builds(Point, coordinate, coordinate)
cubic = st.builds(Cubic, point, point, point, point)
segment = st.one_of(cubic, st.builds(Line, point, point))


def fine_length(curve: Cubic, pieces: int = 4000) -> float:
    """The length by so fine a composite rule that even a cusp spoils little."""
    nodes, weights = np.polynomial.legendre.leggauss(8)
    t = ((np.arange(pieces)[:, None] + (nodes + 1) / 2) / pieces).ravel()
    k = np.array([[p.x, p.y] for p in (curve.a, curve.b, curve.c, curve.d)])
    h = 3 * np.diff(k, axis=0)
    v = np.outer((1 - t) ** 2, h[0]) + np.outer(2 * t * (1 - t), h[1]) + np.outer(t * t, h[2])
    return float((np.hypot(v[:, 0], v[:, 1]) * np.tile(weights, pieces)).sum() / 2 / pieces)


def test_the_nodes_are_those_of_numpy() -> None:
    for count, ours in GAUSS.items():
        nodes, weights = np.polynomial.legendre.leggauss(count)
        both = sorted((sign * x, w) for x, w in ours for sign in (-1, 1))
        assert np.allclose(both, list(zip(nodes, weights, strict=True)), rtol=0, atol=1e-15)


@given(cubic)
def test_lengths_are_those_of_a_very_fine_rule(curve: Cubic) -> None:
    assert curve.length == pytest.approx(fine_length(curve), rel=1e-8, abs=1e-7)


@given(cubic, st.floats(0, 1), st.floats(0, 1))
def test_lengths_of_stretches_add_up(curve: Cubic, one: float, two: float) -> None:
    lo, hi = sorted((one, two))
    parts = curve.length_between(0, lo) + curve.length_between(lo, hi) + curve.length_between(hi, 1)
    assert parts == pytest.approx(curve.length, rel=1e-9, abs=1e-9)
    assert curve.length_between(hi, lo) == -curve.length_between(lo, hi)


@given(cubic)
def test_the_other_way_round_and_mirrored_a_curve_is_as_long_to_the_last_bit(curve: Cubic) -> None:
    images = (
        Cubic(curve.d, curve.c, curve.b, curve.a),
        Cubic(*(Point(-p.x, p.y) for p in (curve.a, curve.b, curve.c, curve.d))),
    )
    assert {curve.length, *(image.length for image in images)} == {curve.length}


def test_a_folded_curve_is_as_long_as_its_ways_to_and_fro() -> None:
    # x = 600 t (1-t)^2 - 300 t^2 (1-t) + 100 t^3 = 600 t - 1500 t^2 + 1000 t^3, which turns back at t = (5 -+ sqrt 5) / 10.
    curve = Cubic(Point(0, 0), Point(200, 0), Point(-100, 0), Point(100, 0))
    turns = [(5 - math.sqrt(5)) / 10, (5 + math.sqrt(5)) / 10]
    x = [600 * t - 1500 * t**2 + 1000 * t**3 for t in (0.0, *turns, 1.0)]
    assert curve.length == pytest.approx(sum(abs(b - a) for a, b in itertools.pairwise(x)), abs=1e-8)


def test_what_is_remembered_is_no_part_of_a_value() -> None:
    def made() -> Path:
        return smooth([Point(0, 0), Point(50, 12), Point(90, 70), Point(95, 130)])

    asked, fresh = made(), made()
    assert asked.length > 0
    assert asked.reached[-1] > 0
    assert asked.hulls
    assert hash(asked) == hash(fresh)
    assert asked == fresh
    assert repr(asked) == repr(fresh)
    assert pickle.dumps(asked) == pickle.dumps(fresh)
    assert pickle.loads(pickle.dumps(asked)) == asked
    assert digest(asked) == digest(fresh)


@given(cubic, point)
def test_nothing_sampled_is_nearer_than_the_nearest(curve: Cubic, spot: Point) -> None:
    path = Path((curve,))
    at, distance = nearest(path, spot)
    assert distance <= min(curve.point(k / 500).distance(spot) for k in range(501)) + 1e-9
    assert path.at(at).distance(spot) == pytest.approx(distance, abs=1e-6)


@given(st.lists(segment, min_size=2, max_size=6), point)
def test_the_nearest_of_many_segments_is_that_of_one(segments: list[Segment], spot: Point) -> None:
    chained = _chained(segments)
    best = min(nearest(Path((one,)), spot)[1] for one in chained.segments)
    assert nearest(chained, spot)[1] == pytest.approx(best, abs=1e-9)


def _chained(segments: list[Segment], *, closed: bool = False) -> Path:
    """Segments moved so that each begins where the one before ends."""
    kept: list[Segment] = []
    for one in segments:
        by = kept[-1].end - one.start if kept else Point(0, 0)
        points = [p + by for p in ((one.a, one.b) if isinstance(one, Line) else (one.a, one.b, one.c, one.d))]
        points[0] = kept[-1].end if kept else points[0]
        kept.append(Line(*points) if isinstance(one, Line) else Cubic(*points))
    if closed and kept[-1].end != kept[0].start:
        kept.append(Line(kept[-1].end, kept[0].start))
    return Path(tuple(kept))


@given(st.lists(segment, min_size=1, max_size=5), st.booleans())
def test_no_crossing_is_overlooked_by_the_proof(segments: list[Segment], closed: bool) -> None:
    path = _chained(segments, closed=closed)
    everything = {(i, j) for i in range(len(path.segments)) for j in range(i, len(path.segments))}
    with pytest.MonkeyPatch.context() as patch:
        found = self_crossings(path)
        patch.setattr(_meet, "_doubtful", lambda path, closed: everything)
        assert self_crossings(path) == found


@given(st.lists(st.integers(-30, 30), min_size=8, max_size=8), st.integers(0, 7))
def test_no_crossing_of_a_rounded_outline_is_overlooked(dents: list[int], corner: int) -> None:
    """Outlines as pieces have them, some pushed in so far that they cross: the fair case, where most is proven."""
    knots = [Point.polar(80 + 2.5 * dent, k * math.pi / 4) for k, dent in enumerate(dents)]
    knots = [*knots[corner:], *knots[:corner]]
    path = Path((*smooth(knots).segments, Line(knots[-1], knots[0])))
    everything = {(i, j) for i in range(len(path.segments)) for j in range(i, len(path.segments))}
    with pytest.MonkeyPatch.context() as patch:
        found = self_crossings(path)
        patch.setattr(_meet, "_doubtful", lambda path, closed: everything)
        assert self_crossings(path) == found


def test_a_plain_outline_is_proven_and_not_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    neck, side = Cubic(Point(100, 400), Point(60, 390), Point(0, 380), Point(0, 330)), Line(Point(0, 330), Point(0, 0))
    seam = Cubic(Point(200, 0), Point(210, 90), Point(190, 200), Point(230, 300))
    armhole = Cubic(Point(230, 300), Point(180, 305), Point(160, 330), Point(170, 390))
    outline = Path((Line(Point(0, 0), Point(200, 0)), seam, armhole, Line(Point(170, 390), Point(100, 400)), neck, side))
    monkeypatch.setattr(_meet, "meetings", None)
    assert self_crossings(outline) == ()


@given(segment, segment)
def test_what_is_proven_apart_does_not_meet(one: Segment, two: Segment) -> None:
    if surely_apart(flat(one), flat(two)):
        assert intersections(Path((one,)), Path((two,))) == ()
        gaps = [one.point(j / 40).distance(two.point(k / 40)) for j in range(41) for k in range(41)]
        assert min(gaps) > 1e-6


@given(
    st.lists(st.integers(-24, 24), min_size=3, max_size=6), st.integers(-40, 40).filter(bool), st.sampled_from([60.0, 100.0])
)
def test_parallels_that_are_not_searched_are_sound(slopes: list[int], distance: int, step: float) -> None:
    knots = [Point(0, 0)]
    for slope in slopes:
        knots.append(knots[-1] + Point(step, slope))
    path = smooth(knots)
    raw, plain = _offset._raw(path, distance, 0.02)
    if not plain or raw is None:
        return
    moved = offset(path, distance)
    assert moved.is_closed is False
    assert self_crossings(moved) == ()
    length = moved.length
    for k in range(120):
        assert nearest(path, moved.at(length * k / 119))[1] == pytest.approx(abs(distance), abs=0.02)
    end = moved.start if distance else path.start
    assert end.distance(path.start) == pytest.approx(abs(distance), abs=1e-6)


def test_a_gentle_side_is_not_searched_and_a_tight_one_is() -> None:
    gentle, tight = smooth([Point(0, 0), Point(12, 200), Point(0, 400)]), smooth([Point(0, 0), Point(60, 20), Point(120, 0)])
    assert _offset._raw(gentle, 20.0, 0.02)[1]
    assert not _offset._raw(tight, 90.0, 0.02)[1]
    with pytest.raises(GeometryError):
        offset(gentle, math.inf)
