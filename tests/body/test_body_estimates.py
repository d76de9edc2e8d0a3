"""Estimates of what was not taken: within their band, marked, refused where nothing can be known."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from firsthand.body import MEASUREMENTS, Body, Measurement, check_body, estimate, no_estimate, with_estimates
from firsthand.body._survey import tables
from firsthand.findings import Severity

SAMPLE = Path(__file__).parents[1] / "data" / "body" / "ansur2-every-40th.csv"
"""Every 40th row of ANSUR II, the anthropometric survey of US Army personnel of 2012, public release."""
COMMON = {"stature", "chest_girth", "waist_girth", "hip_girth", "back_waist_length", "arm_length", "inside_leg_length"}

with SAMPLE.open(encoding="utf-8") as lines:
    PEOPLE = [(row.pop("table"), {key: float(value) for key, value in row.items()}) for row in csv.DictReader(lines)]


def body(values: dict[str, float], table: str = "female", **more: object) -> Body:
    return Body("w", "Wearer", {k: Measurement(k, v) for k, v in values.items()}, table=table, **more)  # type: ignore[arg-type]


GOOD = {"stature": 1660.0, "bust_girth": 930.0, "waist_girth": 760.0, "hip_girth": 1010.0}


@pytest.mark.parametrize("key", ["thigh_girth", "calf_girth", "neck_girth", "head_girth", "wrist_girth", "knee_height"])
def test_nine_bodies_in_ten_lie_within_the_band(key: str) -> None:
    """People of the survey, estimated from seven common measurements; these were taken as dressmakers take them."""
    inside = told = 0
    for table, values in PEOPLE:
        guess = estimate(body({k: values[k] for k in COMMON}, table), key)
        if guess is None:
            continue
        told += 1
        inside += guess.low <= values[key] <= guess.high
    assert told > 0.95 * len(PEOPLE)
    assert 0.84 <= inside / told <= 0.985


def test_an_estimate_is_the_survey_line_from_what_tells_most() -> None:
    guess = estimate(body(GOOD), "thigh_girth")
    assert guess is not None
    line = tables()["female"].line("thigh_girth", guess.of)
    known = {"chest_girth" if k == "bust_girth" else k: v for k, v in GOOD.items()}
    assert guess.of[0] == "hip_girth"
    assert guess.value == pytest.approx(line.expected(known))
    assert guess.high - guess.low >= 2 * 1.645 * line.deviation - 1e-6
    assert guess.n == 1986
    assert "estimate: ⟨" in guess.words


def test_more_measurements_make_the_band_narrower() -> None:
    more = {**GOOD, "thigh_girth": 606.0, "ankle_girth": 215.0, "body_mass": 66.0}
    few, many = estimate(body(GOOD), "calf_girth"), estimate(body(more), "calf_girth")
    assert few is not None
    assert many is not None
    assert many.high - many.low < 0.9 * (few.high - few.low)


@pytest.mark.parametrize("key", ["waist_girth", "back_waist_length", "crotch_length"])
def test_the_band_is_wider_where_the_survey_took_it_otherwise(key: str) -> None:
    guess = estimate(body({k: v for k, v in GOOD.items() if k != key}), key)
    assert guess is not None
    assert guess.high - guess.low > 2 * 1.645 * tables()["female"].line(key, guess.of).deviation * 1.1


@pytest.mark.parametrize(
    ("made", "key", "why"),
    [
        (body(GOOD, child=True), "calf_girth", "no children"),
        (body(GOOD, table=""), "calf_girth", "no survey table"),
        (body({"stature": 1660.0}), "calf_girth", "too few"),
        (body({**GOOD, "stature": 2050.0}), "calf_girth", "outside the survey"),
        (body(GOOD), "under_bust_girth", "did not take it"),
        (body(GOOD), "body_rise", "no sitting waist height"),
        (body(GOOD), "shoulder_slope", "did not take it"),
        (body(GOOD), "bust_point_width", "did not take it"),
        (body(GOOD), "wingspan", "nobody knows"),
    ],
)
def test_what_cannot_be_estimated_says_why(made: Body, key: str, why: str) -> None:
    assert estimate(made, key) is None
    assert why in no_estimate(made, key)


def test_nothing_is_estimated_from_what_is_in_doubt() -> None:
    right = estimate(body({**GOOD, "thigh_girth": 606.0}), "calf_girth")
    slipped = estimate(body({**GOOD, "thigh_girth": 239.0}), "calf_girth")
    without = estimate(body(GOOD), "calf_girth")
    assert slipped is not None
    assert slipped == without != right
    assert "thigh_girth" not in slipped.of


def test_estimates_are_put_in_marked_and_told() -> None:
    wearer = body(GOOD)
    made, findings = with_estimates(wearer, ["calf_girth", "waist_girth", "under_bust_girth", "chest_girth", "calf_girth"])
    calf = made.measurements["calf_girth"]
    assert set(made.measurements) == {*GOOD, "calf_girth"}
    assert calf.estimated
    assert calf.low is not None
    assert calf.high is not None
    assert calf.low < calf.value < calf.high
    (told,) = findings
    assert (told.code, told.severity, told.where) == ("measurement-estimated", Severity.DOUBT, ("w", "calf_girth"))
    assert "nine in ten" in told.why[1]
    assert with_estimates(wearer, ["waist_girth"]) == (wearer, ())


def test_an_estimate_is_still_missing_and_is_not_judged() -> None:
    made, _ = with_estimates(body(GOOD), MEASUREMENTS)
    found = check_body(made, ["calf_girth"])
    assert [f.code for f in found] == ["measurement-missing"]
