"""Measurements: there, sane, plausible."""

from __future__ import annotations

import csv
import math
import random
import statistics
from collections.abc import Iterator
from pathlib import Path

import pytest

from firsthand.body import MEASUREMENTS, Body, Measurement, Sort, check_body, needed_measurements
from firsthand.body._survey import tables
from firsthand.findings import Finding, Severity
from firsthand.pattern import Level

SAMPLE = Path(__file__).parents[1] / "data" / "body" / "ansur2-every-40th.csv"


def survey() -> Iterator[tuple[str, dict[str, float]]]:
    """The sample: table and measurements."""
    with SAMPLE.open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            yield row.pop("table"), {key: float(value) for key, value in row.items()}


PEOPLE = list(survey())
FEW = PEOPLE[::4]


def body(values: dict[str, float], table: str = "female", **more: object) -> Body:
    return Body("w", "Wearer", {k: Measurement(k, v) for k, v in values.items()}, table=table, **more)  # type: ignore[arg-type]


def codes(found: tuple[Finding, ...]) -> list[str]:
    return [finding.code for finding in found]


GOOD = {
    "stature": 1660.0, "chest_girth": 930.0, "waist_girth": 820.0, "hip_girth": 1010.0, "inside_leg_length": 770.0,
    "thigh_girth": 605.0, "calf_girth": 370.0, "neck_girth": 330.0, "arm_length": 560.0, "wrist_girth": 155.0,
}  # fmt: skip


def test_the_sample_is_what_its_origin_says() -> None:
    assert [table for table, _ in PEOPLE].count("female") == 50
    assert [table for table, _ in PEOPLE].count("male") == 103
    assert set(PEOPLE[0][1]) <= set(MEASUREMENTS)


@pytest.mark.parametrize("sex", ["female", "male"])
def test_tables_fit_the_survey(sex: str) -> None:
    """Residuals of the sample against the shipped lines: no bias beyond chance, and the stated spread."""
    table = tables()[sex]
    people = [values for name, values in PEOPLE if name == sex]
    seen = 0
    for key in table.fits:
        off = [table.deviations(values, as_in_survey=True)[key] for values in people]
        assert abs(statistics.fmean(off)) < 4 / math.sqrt(len(off)), key
        assert 0.65 < statistics.pstdev(off) < 1.4, key
        seen += 1
    assert seen > 25


@pytest.mark.parametrize(
    ("key", "women", "men"),
    [
        ("hip_girth", 42, 34),
        ("inside_leg_length", 23, 23),
        ("neck_girth", 13, 16),
        ("wrist_girth", 6, 6),
        ("head_girth", 18, 14),
    ],
)
def test_stated_deviations_from_height_chest_and_waist(key: str, women: float, men: float) -> None:
    """Residual standard errors as computed independently from the whole survey, mm."""
    for sex, wanted in (("female", women), ("male", men)):
        fit = tables()[sex].fits[key][-1]
        assert fit.of == ("stature", "chest_girth", "waist_girth")
        assert fit.deviation == pytest.approx(wanted, abs=0.6)


def test_true_bodies_are_rarely_asked() -> None:
    """On the sample of 153 with all 29 measurements: 12 are asked at all, 2 of them called implausible, 2 about more than
    one value. On the whole survey: 8 % asked, 1.7 % implausible, 0.7 % about more than one."""
    found = [check_body(body(values, sex), ()) for sex, values in PEOPLE]
    asked = [f for f in found if f]
    implausible = [f for f in found if "measurement-implausible" in codes(f)]
    assert len(asked) <= 12
    assert len(implausible) <= 2
    assert sum(len(f) > 1 for f in found) <= 2


SLIPS = {
    "inches": lambda value: value / 2.54,
    "decimal point": lambda value: value / 10,
    "half": lambda value: value / 2,
    "double": lambda value: value * 2,
}


@pytest.mark.parametrize("slip", SLIPS)
def test_slips_are_caught_and_named(slip: str) -> None:
    """One value of each person spoilt: at least 95 % asked about that value, at least 90 % with the right slip named."""
    rng = random.Random(7)
    caught = named = 0
    for sex, values in FEW:
        key = rng.choice([k for k in values if k != "body_mass"])
        found = check_body(body({**values, key: SLIPS[slip](values[key])}, sex), ())
        about = [f for f in found if f.where[-1] == key]
        caught += bool(about)
        named += any(slip in f.message for f in about)
    assert caught >= 0.95 * len(FEW)
    assert named >= 0.90 * len(FEW)


def test_exchanged_girths_are_named() -> None:
    rng = random.Random(3)
    girths = [k for k in PEOPLE[0][1] if MEASUREMENTS[k].sort is Sort.GIRTH]
    named = 0
    for sex, values in FEW:
        one, two = rng.sample(girths, 2)
        found = check_body(body({**values, one: values[two], two: values[one]}, sex), ())
        named += any("exchanged with" in f.message and f.where[-1] in (one, two) for f in found)
    assert named >= 0.8 * len(FEW)


def test_swapped_digits_as_typed() -> None:
    wrong = body(GOOD)
    typed = {**wrong.measurements, "waist_girth": Measurement("waist_girth", 280.0, typed="28 cm")}
    (found,) = check_body(Body("w", "Wearer", typed, table="female"), ())
    assert found.code == "measurement-implausible"
    assert "two digits swapped: ⟨820 mm⟩?" in found.message
    assert found.where == ("w", "waist_girth")
    assert found.blocks == ()


def test_a_plain_body_is_not_asked() -> None:
    assert check_body(body(GOOD), GOOD) == ()
    assert check_body(body({("bust_girth" if k == "chest_girth" else k): v for k, v in GOOD.items()}), ["bust_girth"]) == ()


def test_what_is_missing_says_how_to_take_it() -> None:
    (found,) = check_body(body(GOOD), ["waist_girth", "bust_girth", "back_width"])
    assert (found.code, found.where) == ("measurement-missing", ("w", "back_width"))
    assert "between the arm creases" in found.remedy
    (found,) = check_body(body(GOOD), ["elbow_width"])
    assert found.code == "measurement-unknown"


@pytest.mark.parametrize("value", [0.0, -740.0, math.nan, math.inf, 20000.0, 7.4])
def test_absurd_values_are_faults_and_do_not_spoil_the_rest(value: float) -> None:
    found = check_body(body({**GOOD, "calf_girth": value}), ())
    assert codes(found) == ["measurement-absurd"]
    assert found[0].severity is Severity.FAULT


def test_an_absurd_value_too_may_be_a_slip() -> None:
    (found,) = check_body(body({**GOOD, "calf_girth": 37.0}), ())
    assert "decimal point missing or misplaced: ⟨370 mm⟩?" in found.message


@pytest.mark.parametrize(("again", "asked"), [(830.0, False), (809.0, True), (831.0, True), (math.nan, True), (None, False)])
def test_two_readings_must_agree(again: float | None, asked: bool) -> None:
    taken = {**body(GOOD).measurements, "waist_girth": Measurement("waist_girth", 820.0, again)}
    found = check_body(Body("w", "Wearer", taken, table="female"), ())
    assert ("measurement-readings" in codes(found)) == asked


@pytest.mark.parametrize(
    ("values", "more"),
    [
        ({**GOOD, "stature": 1200.0, "chest_girth": 620.0, "waist_girth": 560.0, "hip_girth": 680.0}, {}),
        (GOOD, {"child": True}),
        (GOOD, {"table": ""}),
        ({"waist_girth": 700.0}, {}),
        ({**GOOD, "chest_girth": 1500.0, "waist_girth": 1500.0, "hip_girth": 1600.0}, {}),
    ],
)
def test_who_lies_outside_the_survey_is_not_judged(values: dict[str, float], more: dict[str, object]) -> None:
    (note,) = check_body(body(values, **more), ())  # type: ignore[arg-type]
    assert (note.code, note.severity) == ("body-not-judged", Severity.NOTE)


def test_measurements_have_trade_names_and_definitions() -> None:
    assert len(MEASUREMENTS) == 48
    for key, kind in MEASUREMENTS.items():
        assert kind.key == key
        assert kind.trade
        assert kind.definition.endswith(".")
    assert "navel" in MEASUREMENTS["waist_girth"].caveat
    assert {"forearm_girth", "crotch_length_front", "crotch_length_back", "shoulder_to_wrist_bent"} <= set(MEASUREMENTS)


def test_needed_measurements_are_those_of_the_levels_once() -> None:
    levels = [Level("a", "a", "hip_girth"), Level("b", "b", "bust_girth"), Level("c", "c", "hip_girth"), Level("d", "d", "odd")]
    assert needed_measurements(levels) == ("bust_girth", "hip_girth", "odd")


def test_one_measurement_out_of_line_is_doubted_and_a_worse_one_called_implausible() -> None:
    assert check_body(body(GOOD), ()) == ()
    (found,) = check_body(body({**GOOD, "calf_girth": 425.0}), ())
    assert (found.code, found.severity, found.where) == ("measurement-doubtful", Severity.DOUBT, ("w", "calf_girth"))
    assert "calf ⟨425 mm⟩ is unusual beside the rest" in found.message
    (worse,) = check_body(body({**GOOD, "calf_girth": 460.0}), ())
    assert worse.code == "measurement-implausible"
