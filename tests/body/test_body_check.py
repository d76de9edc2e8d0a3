"""Measurements: there, sane, plausible."""

from __future__ import annotations

import csv
import math
import random
import statistics
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from firsthand.body import MEASUREMENTS, Body, Measurement, Sort, check_body, needed_measurements
from firsthand.body._survey import Table, tables
from firsthand.findings import Finding, Severity
from firsthand.pattern import Level
from firsthand.units import parse_length

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
    for key in table.means:
        off = [table.deviations(values, as_in_survey=True)[key] for values in people]
        assert abs(statistics.fmean(off)) < 4 / math.sqrt(len(off)), key
        assert 0.65 < statistics.pstdev(off) < 1.4, key
    assert len(table.means) == 29


STATED = {
    "hip_girth": (42, 34), "inside_leg_length": (23, 23), "arm_length": (18, 18), "neck_girth": (13, 16),
    "upper_arm_girth": (19, 21), "wrist_girth": (6, 6), "shoulder_length": (9, 9), "back_width": (23, 26),
    "thigh_girth": (35, 32), "calf_girth": (22, 20), "ankle_girth": (13, 11), "waist_height": (19, 20),
    "back_waist_length": (18, 19), "crotch_length": (36, 35), "knee_height": (14, 16), "head_girth": (18, 14),
    "hand_girth": (7, 8), "foot_length": (9, 9),
}  # fmt: skip
"""Residual standard errors from height, chest and waist, women and men, mm: computed independently from all of ANSUR II."""
WITH_HIP = {
    "upper_arm_girth": (17, 20), "thigh_girth": (19, 19), "calf_girth": (19, 18), "ankle_girth": (12, 10),
    "waist_height": (18, 19), "crotch_length": (28, 32),
}  # fmt: skip
WITH_MASS = {"hip_girth": (29, 25), "thigh_girth": (21, 21), "upper_arm_girth": (14, 17), "calf_girth": (15, 15)}


@pytest.mark.parametrize(
    ("stated", "more"),
    [(STATED, ()), (WITH_HIP, ("hip_girth",)), (WITH_MASS, ("body_mass",))],
    ids=["height, chest and waist", "and hip", "and mass"],
)
def test_stated_deviations(stated: dict[str, tuple[int, int]], more: tuple[str, ...]) -> None:
    """The lines that follow from the shipped covariances have the residuals computed independently from the whole survey."""
    for key, both in stated.items():
        for sex, wanted in zip(("female", "male"), both, strict=True):
            line = tables()[sex].line(key, ("stature", "chest_girth", "waist_girth", *more))
            assert line.deviation == pytest.approx(wanted, abs=0.65), (key, sex)
    assert {sex: table.n for sex, table in tables().items()} == {"female": 1986, "male": 4082}


def test_lines_are_those_of_least_squares() -> None:
    """Against numpy on random numbers of known size: the same coefficients and residual standard error."""
    numbers = np.random.default_rng(4)
    columns = numbers.normal(size=(60, 4)) @ numbers.normal(size=(4, 4)) * 10 + [1700, 900, 800, 1000]
    cov = np.cov(columns, rowvar=False)
    keys = ("stature", "chest_girth", "waist_girth", "hip_girth")
    table = Table(60, {}, dict(zip(keys, columns.mean(axis=0), strict=True)), cov.tolist())
    line = table.line("hip_girth", keys[:3])
    given = np.column_stack([np.ones(60), columns[:, :3]])
    solved, *_ = np.linalg.lstsq(given, columns[:, 3], rcond=None)
    left = columns[:, 3] - given @ solved
    assert line.coefficients == pytest.approx(solved, rel=1e-6)
    assert line.deviation == pytest.approx(np.sqrt(left @ left / 56), rel=1e-9)


def test_true_bodies_are_rarely_asked() -> None:
    """On the sample of 153 with all 29 measurements. On the whole survey: 7.4 % asked, 0.6 % about more than one value, 1.7 %
    told that one is implausible."""
    found = [check_body(body(values, sex), ()) for sex, values in PEOPLE]
    asked = [f for f in found if f]
    implausible = [f for f in found if "measurement-implausible" in codes(f)]
    assert len(asked) <= 14
    assert len(implausible) <= 3
    assert sum(len(f) > 1 for f in found) <= 2


SLIPS = {"inches written": 1 / 2.54, "centimetres written": 2.54, "decimal point": 0.1, "half written": 0.5, "double": 2.0}


@pytest.mark.parametrize("slip", SLIPS)
def test_slips_are_caught_and_named(slip: str) -> None:
    """One value of each person spoilt: at least 98 % asked about that value, at least 94 % with the right slip named."""
    rng = random.Random(7)
    caught = named = 0
    for sex, values in PEOPLE:
        key = rng.choice([k for k in values if MEASUREMENTS[k].sort is Sort.GIRTH])
        found = check_body(body({**values, key: values[key] * SLIPS[slip]}, sex), ())
        about = [f for f in found if f.where[-1] == key]
        caught += bool(about)
        named += any(slip in f.message for f in about)
    assert caught >= 0.98 * len(PEOPLE)
    assert named >= 0.94 * len(PEOPLE)


@pytest.mark.parametrize("sort", [Sort.GIRTH, Sort.LENGTH])
def test_exchanged_fields_are_named(sort: Sort) -> None:
    rng = random.Random(3)
    keys = [k for k in PEOPLE[0][1] if MEASUREMENTS[k].sort is sort]
    named = 0
    for sex, values in PEOPLE:
        one, two = rng.sample(keys, 2)
        found = check_body(body({**values, one: values[two], two: values[one]}, sex), ())
        named += any("exchanged with" in f.message and f.where[-1] in (one, two) for f in found)
    assert named >= 0.86 * len(PEOPLE)


def test_the_first_two_digits_swapped_are_named() -> None:
    rng = random.Random(11)
    named = tried = 0
    for sex, values in PEOPLE * 3:
        key = rng.choice([k for k in values if k != "body_mass"])
        text = f"{values[key] / 10:.1f}"
        if text[0] == text[1] or text[1] in "0.":
            continue
        other = text[1] + text[0] + text[2:]
        spoilt = body({**values, key: float(other) * 10}, sex)
        typed = {**spoilt.measurements, key: Measurement(key, float(other) * 10, typed=other)}
        found = check_body(Body("w", "W", typed, table=sex), ())
        tried += 1
        named += any("digits swapped" in f.message and f.where[-1] == key for f in found)
    assert tried > 300
    assert named >= 0.88 * tried


def test_a_slip_is_named_by_the_unit_that_was_typed() -> None:
    """36 for the calf: what was typed says whether inches or half a girth come into question."""
    for typed, word in (("14.5", "inches written"), ("37 in", "centimetres written")):
        value = 145.0 if word.startswith("inches") else 37 * 25.4
        there = {**body(GOOD).measurements, "calf_girth": Measurement("calf_girth", value, typed=typed)}
        (found,) = check_body(Body("w", "Wearer", there, table="female"), ())
        assert word in found.message


def test_swapped_digits_as_typed() -> None:
    wrong = body(GOOD)
    typed = {**wrong.measurements, "waist_girth": Measurement("waist_girth", 280.0, typed="28 cm")}
    (found,) = check_body(Body("w", "Wearer", typed, table="female"), ())
    assert found.code == "measurement-implausible"
    assert "two digits swapped: ⟨820 mm⟩?" in found.message
    assert found.where == ("w", "waist_girth")
    assert found.blocks == ()


def test_a_plain_body_is_not_asked() -> None:
    twice = {k: Measurement(k, v, v if MEASUREMENTS[k].sort is Sort.GIRTH else None) for k, v in GOOD.items()}
    assert check_body(Body("w", "W", twice, table="female", over="vest"), GOOD) == ()
    bust = {("bust_girth" if k == "chest_girth" else k): m for k, m in twice.items()}
    assert check_body(Body("w", "W", bust, table="female", over="vest"), ["bust_girth"]) == ()


def test_girths_taken_once_and_over_what_are_told_in_one_note_each() -> None:
    once, over = check_body(body(GOOD), ["waist_girth", "calf_girth", "inside_leg_length", "arm_length"])
    assert (once.code, once.severity) == ("measurement-once", Severity.NOTE)
    assert once.message == "Wearer: taken only once: waist, calf"
    assert (over.code, over.severity) == ("measurement-over", Severity.NOTE)
    assert over.message.endswith(
        "it matters for the foundation garments worn with the costume and the shoes worn with the costume"
    )
    assert check_body(body(GOOD), ["arm_length"]) == ()


def test_what_is_missing_says_how_to_take_it() -> None:
    (found,) = [f for f in check_body(body(GOOD), ["waist_girth", "bust_girth", "back_width"]) if f.severity is Severity.DOUBT]
    assert (found.code, found.where) == ("measurement-missing", ("w", "back_width"))
    assert "between the arm creases" in found.remedy
    assert found.why[0].startswith("estimate: ⟨")
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


@pytest.mark.parametrize(
    ("factor", "words"),
    [
        (1 / 2.54, "inches written for centimetres"), (2.54, "centimetres written for inches"),
        (10.0, "millimetres written for centimetres"), (0.1, "centimetres written for millimetres"),
    ],
)  # fmt: skip
def test_a_whole_body_in_another_unit_is_one_fault(factor: float, words: str) -> None:
    for sex, values in PEOPLE:
        wrong = {k: v if k == "body_mass" else v * factor for k, v in values.items()}
        found = check_body(body(wrong, sex), ())
        assert [f.code for f in found] == ["measurement-absurd"]
        assert words in found[0].message
        assert found[0].where == ("w",)


def test_nobody_is_asked_about_being_tall() -> None:
    tall = {"stature": 1990.0, "chest_girth": 1050.0, "waist_girth": 920.0, "hip_girth": 1060.0, "calf_girth": 400.0}
    assert check_body(body(tall, "male"), ()) == ()


@pytest.mark.parametrize("typed", ["34 1/2 in", "34½ in", "34.5 in", '34 1/2"', "87.63 cm", "87,63 cm", "876.3 mm"])
def test_what_is_typed_in_fractions_is_read(typed: str) -> None:
    """An inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""
    assert parse_length(typed) == pytest.approx(876.3)


def test_two_slips_at_once_are_both_named() -> None:
    wrong = {**GOOD, "thigh_girth": 605 / 2.54, "neck_girth": 165.0}
    messages = [f.message for f in check_body(body(wrong), ())]
    assert any("thigh" in m and "inches written" in m for m in messages)
    assert any("neck" in m and "half written" in m for m in messages)
