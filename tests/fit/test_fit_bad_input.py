"""The doors of the fit refuse numbers that have no sense, and never reckon with them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from sized import body_of, pattern_of

from firsthand.body import Body, Measurement, believed, check_body, refuse_nonsense
from firsthand.errors import BadInput, GeometryError
from firsthand.fit import ease_table, fit_garment, length_table
from firsthand.fit.fitting import Fitting, FittingPoint, PointSort, fitted, parse_entry
from firsthand.fit.sizing import choose_size, compare_form
from firsthand.fit.wearing import wearing
from firsthand.pattern import Garment

NONSENSE = [math.nan, math.inf, -math.inf, 0.0, -960.0, 1e9, 1e308]


@pytest.mark.parametrize("value", NONSENSE)
def test_a_measurement_that_is_no_length_is_refused_at_every_door(make_tube: Callable[..., Garment], value: float) -> None:
    garment, body = make_tube(), body_of(waist_girth=760.0, hip_girth=value)
    doors: tuple[Callable[[], object], ...] = (
        lambda: ease_table(garment, body),
        lambda: length_table(garment, body),
        lambda: wearing(garment, body, rows=(), stretch=0.0),
        lambda: fit_garment(garment, body),
        lambda: compare_form(body, body_of(hip_girth=980.0)),
        lambda: compare_form(body_of(hip_girth=980.0), body),
    )
    for door in doors:
        with pytest.raises(GeometryError, match=r"hip_girth of .* must be a length above zero"):
            door()


@pytest.mark.parametrize("angle", [math.nan, math.pi / 2, -2.0, math.inf])
def test_a_slope_is_below_a_right_angle(angle: float) -> None:
    with pytest.raises(GeometryError, match="below a right one"):
        refuse_nonsense(Body("w", "W", {"shoulder_slope": Measurement("shoulder_slope", angle)}))


@pytest.mark.parametrize("more", [{"stretch": 40.0}, {"stretch": math.inf}, {"beneath": {"bust_girth": 1e9}}])
def test_what_no_cloth_does_is_refused(make_tube: Callable[..., Garment], more: dict[str, float]) -> None:
    with pytest.raises(GeometryError):
        ease_table(make_tube(), body_of(bust_girth=920.0), **more)  # type: ignore[arg-type]


def test_a_stretch_of_forty_is_refused_where_wearing_is_asked(make_tube: Callable[..., Garment]) -> None:
    with pytest.raises(GeometryError, match="40 times"):
        wearing(make_tube(), body_of(bust_girth=920.0), rows=(), stretch=0.0, along=40.0)


@pytest.mark.parametrize("wadding", [5e-324, 1e-9, 1e9])
def test_wadding_has_a_thickness(wadding: float) -> None:
    with pytest.raises(GeometryError, match="thick"):
        compare_form(body_of(waist_girth=700.0), body_of(waist_girth=760.0), wadding=wadding)


@pytest.mark.parametrize("band", [(9e4, 9.5e4), (-1e308, 40.0), (math.inf, math.inf), (-math.inf, 0.0)])
def test_ease_that_nobody_can_mean_is_told_and_not_reckoned_with(
    make_tube: Callable[..., Garment], band: tuple[float, float]
) -> None:
    plain = fit_garment(make_tube(), body_of(bust_girth=920.0, waist_girth=760.0, hip_girth=960.0))
    asked = fit_garment(
        replace(make_tube(), wanted={"bust": band}), body_of(bust_girth=920.0, waist_girth=760.0, hip_girth=960.0)
    )
    (found,) = [finding for finding in asked.findings if finding.code == "band-contradictory"]
    assert "more than can be meant" in found.message
    assert [row.band for row in asked.before] == [row.band for row in plain.before]


# bodies that nobody has ---------------------------------------------------------------------------------------


def test_a_body_is_believed_without_what_nobody_can_have() -> None:
    body = body_of(bust_girth=9400.0, waist_girth=90.0, hip_girth=980.0, calf_girth=360.0)
    kept, faults = believed(body)
    assert set(kept.measurements) == {"hip_girth", "calf_girth"}
    assert [fault.where[1] for fault in faults] == ["bust_girth", "waist_girth"]
    assert set(faults) <= set(check_body(body, ()))
    assert believed(kept) == (kept, ())


def test_a_body_in_another_unit_is_told_once_and_none_of_it_is_believed() -> None:
    inches = {"stature": 1680, "chest_girth": 920, "waist_girth": 740, "hip_girth": 980, "calf_girth": 360, "knee_girth": 380}
    kept, faults = believed(body_of(**{key: value * 2.54 for key, value in inches.items()}))
    assert not kept.measurements
    assert [fault.code for fault in faults] == ["measurement-absurd"]
    assert "all lengths together" in faults[0].message


def test_small_bodies_are_believed() -> None:
    # A newborn and a half-scale form: the smallest that anybody sews for (common practice).
    for values in ({"stature": 480.0, "chest_girth": 320.0}, {"bust_girth": 430.0, "waist_girth": 330.0, "hip_girth": 470.0}):
        body = Body("w", "W", {key: Measurement(key, value) for key, value in values.items()}, child=True)
        assert believed(body) == (body, ())


# sizes of which there is no outline ---------------------------------------------------------------------------


def test_where_the_outlines_end_before_the_sizes_do_the_chart_decides() -> None:
    chart = {"S": {"bust_girth": 880.0}, "M": {"bust_girth": 920.0}, "L": {"bust_girth": 960.0}}
    girths = {"S": (960.0, 800.0, 1000.0)}
    pattern = pattern_of(girths, chart=chart, sizes=("S", "M", "L"))
    choice = choose_size(pattern, body_of(bust_girth=955.0, waist_girth=760.0), sort="dress", cut="close")
    assert (choice.size, choice.by) == ("L", "chart")
    without = replace(pattern, chart={})
    (told,) = [
        finding
        for finding in choose_size(without, body_of(bust_girth=1100.0), sort="dress", cut="close").findings
        if finding.code == "size-outside"
    ]
    assert "above the largest size with an outline, S" in told.message
    assert choose_size(pattern, body_of(bust_girth=860.0), sort="dress", cut="close").by != "chart"


# fittings -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "wrong",
    [
        {"amount": math.nan}, {"amount": math.inf}, {"amount": 1e9}, {"amount": -1e308}, {"share": math.nan}, {"share": -1.0},
        {"share": 1e9}, {"hand": "middle"},
    ],
)  # fmt: skip
@pytest.mark.parametrize(("sort", "line"), [(PointSort.PIN, "side"), (PointSort.SEWN, "side"), (PointSort.EDGE, "front.top")])
def test_a_point_without_sense_is_told_and_changes_nothing(
    make_tube: Callable[..., Garment], sort: PointSort, line: str, wrong: dict[str, Any]
) -> None:
    garment = make_tube()
    point = replace(FittingPoint(sort, garment.id, line, "50 %", 8.0), **wrong)
    after, done = fitted(garment, Fitting("2027-02-06", "2027-02-06", points=(point,)))
    assert [finding.code for finding in done.findings] == ["fitting-not-taken"]
    assert not done.entries
    assert after == garment


def test_what_was_typed_is_not_repeated_without_end(make_tube: Callable[..., Garment]) -> None:
    with pytest.raises(BadInput) as caught:
        parse_entry("x" * 5000, PointSort.PIN, make_tube(), option="--pin")
    assert len(str(caught.value)) < 400
