"""Profiles: what they run through between stations, how they add, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.alter.moving.moved import moved_line
from firsthand.alter.moving.profile import amounts_of, constant, merged, profile, scaled, shifted
from firsthand.errors import GeometryError
from firsthand.geometry import Line, Path, Point
from firsthand.pattern import Profile

gaps = st.floats(5, 300)
amounts = st.one_of(st.just(0.0), st.floats(-60, 60))


@st.composite
def profiles(draw: st.DrawFn) -> Profile:
    at, stations = 0.0, []
    for _ in range(draw(st.integers(1, 6))):
        stations.append((at, draw(amounts)))
        at += draw(gaps)
    return profile(stations)


@given(one=profiles(), share=st.floats(-0.2, 1.2))
def test_between_stations_it_runs_as_scipy_runs(one: Profile, share: float) -> None:
    """Outside check: scipy's PCHIP (Fritsch and Butland) with the amount held on for a station beyond either end."""
    from scipy.interpolate import PchipInterpolator

    xs, ys = zip(*one.stations, strict=True)
    held = PchipInterpolator([xs[0] - 500, *xs, xs[-1] + 500], [ys[0], *ys, ys[-1]])
    s = xs[0] + share * (xs[-1] - xs[0])
    amount, slope = amounts_of([one]).at(s)
    assert amount == pytest.approx(float(held(s)), abs=1e-9)
    assert slope == pytest.approx(float(held.derivative()(s)), abs=1e-7)


@given(one=profiles(), share=st.floats(0, 1))
def test_it_never_leaves_the_two_amounts_it_runs_between(one: Profile, share: float) -> None:
    amounts = amounts_of([one])
    for (s1, a), (s2, b) in zip(one.stations, one.stations[1:], strict=False):
        amount, _ = amounts.at(s1 + share * (s2 - s1))
        assert min(a, b) - 1e-9 <= amount <= max(a, b) + 1e-9
        if a == b == 0:
            assert amount == 0


@given(one=profiles(), two=profiles(), s=st.floats(-50, 1500))
def test_profiles_add_and_the_negative_cancels(one: Profile, two: Profile, s: float) -> None:
    each = amounts_of([one]).at(s)[0] + amounts_of([two]).at(s)[0]
    assert amounts_of(merged([one, two])).at(s)[0] == pytest.approx(each, abs=1e-7)
    assert merged([one, two, scaled(one, -1.0)]) == merged([two])
    assert merged([one, scaled(two, -1.0), two, scaled(one, -1.0)]) == ()
    assert amounts_of(merged([one, scaled(one, 2.0)])).at(s)[0] == pytest.approx(3 * amounts_of([one]).at(s)[0], abs=1e-7)


def test_profiles_of_the_same_stations_but_other_proportions_stay_two() -> None:
    one, two = profile([(0, 1), (50, 2), (100, 1)]), profile([(0, 2), (50, 1), (100, 4)])
    assert merged([one, two]) == (one, two)
    assert merged([constant(2), one, constant(-2)]) == (one,)


def test_the_same_amount_everywhere_is_one_station() -> None:
    assert profile([(10, 4), (400, 4)]) == constant(4)
    assert shifted(profile([(0, 1), (9, 2)]), 3) == profile([(3, 1), (12, 2)])


def test_level_stretches_are_known() -> None:
    told = amounts_of([profile([(0, 0), (100, 20), (200, 20)])])
    assert told.level(100, 200)
    assert told.level(250, 900)
    assert not told.level(50, 150)
    assert told.most == 20
    assert told.between(0, 200) == [100]


@pytest.mark.parametrize("stations", [[], [(0, math.nan)], [(math.inf, 1)], [(5, 1), (5, 2)]])
def test_bad_profiles_are_refused(stations: list[tuple[float, float]]) -> None:
    with pytest.raises(GeometryError):
        profile(stations)


def test_twice_the_same_station_is_one() -> None:
    assert profile([(5, 1), (5, 1), (9, 2)]).stations == ((5.0, 1.0), (9.0, 2.0))


def test_a_straight_run_keeps_a_straight_line_straight() -> None:
    line = Path.line(Point(0, 0), Point(100, 0))
    moved = moved_line(line, (profile([(0, 0), (100, 10)], straight=True),))
    assert moved.path.segments == (Line(Point(0, 0), Point(100, 10)),)
    assert moved.foot(50.0) == pytest.approx(moved.path.length / 2)
    back = moved_line(line, merged([profile([(0, 0), (100, 10)], straight=True), profile([(0, 0), (100, -10)], straight=True)]))
    assert back.path == line
    both = merged([profile([(0, 0), (100, 10)], straight=True), profile([(0, 0), (100, 10)])])
    assert len(both) == 2
    with pytest.raises(GeometryError, match="straight through two"):
        profile([(0, 0), (50, 9), (100, 10)], straight=True)
