"""What the checks of measurements do on a whole survey: true bodies, slips, regressions, estimates.

Run it as ``python -m benchmarks.body --women FEMALE.csv --men MALE.csv`` on the two files of ANSUR II, the anthropometric
survey of US Army personnel of 2012 (C. C. Gordon and others, 2014), public release, with the survey's own column names in
lower case. The report says how often true bodies are asked about none, one and several of their values, how often each kind
of slip, put into one value of a true body, is noticed and named rightly, whether the shipped lines are those of the survey,
and how often a body's own value lies within the band of its estimate.
"""

from __future__ import annotations

import argparse
import csv
import json
import multiprocessing
import random
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np

from firsthand.body import MEASUREMENTS, Body, Measurement, Sort, check_body, estimate
from firsthand.body._survey import PREDICTORS, tables
from firsthand.findings import Finding, Severity

COLUMNS = {
    "stature": "stature", "body_mass": "weightkg", "head_girth": "headcircumference", "neck_girth": "neckcircumference",
    "neck_base_girth": "neckcircumferencebase", "shoulder_length": "shoulderlength", "back_width": "interscyei",
    "chest_girth": "chestcircumference", "waist_girth": "waistcircumference", "hip_girth": "buttockcircumference",
    "back_waist_length": "waistbacklength", "upper_arm_girth": "bicepscircumferenceflexed",
    "wrist_girth": "wristcircumference", "hand_girth": "handcircumference", "arm_length": "sleeveoutseam",
    "upper_arm_length": "shoulderelbowlength", "back_neck_to_wrist": "sleevelengthspinewrist",
    "crotch_length": "crotchlengthomphalion", "trunk_circumference": "verticaltrunkcircumferenceusa",
    "waist_height": "waistheightomphalion", "inside_leg_length": "crotchheight", "thigh_girth": "thighcircumference",
    "knee_height": "kneeheightmidpatella", "calf_girth": "calfcircumference", "ankle_girth": "anklecircumference",
    "heel_ankle_girth": "heelanklecircumference", "foot_length": "footlength", "forearm_girth": "forearmcircumferenceflexed",
    "crotch_length_back": "crotchlengthposterioromphalion",
}  # fmt: skip
"""The survey's column for each of our keys."""
ASKED = {"measurement-doubtful", "measurement-implausible", "measurement-absurd"}
FEW = (
    "stature", "chest_girth", "waist_girth", "hip_girth", "back_waist_length", "arm_length", "upper_arm_girth", "wrist_girth",
    "inside_leg_length", "thigh_girth", "calf_girth", "neck_girth",
)  # fmt: skip
"""What a wearer commonly has taken: twelve measurements."""

Person = tuple[str, dict[str, float]]


def people(table: str, file: Path) -> list[Person]:
    """The survey's people, in our keys; mm and kilograms."""
    with file.open(encoding="utf-8-sig", newline="") as lines:
        rows = csv.DictReader(lines)
        lack = set(COLUMNS.values()) - set(rows.fieldnames or ())
        if lack:
            sys.exit(f"{file.name}: no column {', '.join(sorted(lack))}")
        scale = {key: 0.1 if key == "body_mass" else 1.0 for key in COLUMNS}
        return [(table, {key: float(row[name]) * scale[key] for key, name in COLUMNS.items()}) for row in rows]


# slips --------------------------------------------------------------------------------------------------------

Slipped = tuple[dict[str, float], dict[str, str], tuple[str, ...], str]
"""The values, what was typed, the keys spoilt, and a word that names the slip."""


def scaled(factor: float, word: str, values: Mapping[str, float], rng: random.Random) -> Slipped:
    """One length, of any kind, times a factor; written in cm to the millimetre."""
    key = rng.choice([key for key in values if key != "body_mass"])
    text = f"{values[key] / 10 * factor:.1f}"
    return {**values, key: float(text) * 10}, {key: text}, (key,), word


def halved(values: Mapping[str, float], rng: random.Random) -> Slipped:
    """One girth or width, of which half was written."""
    key = rng.choice([key for key in values if MEASUREMENTS[key].sort is Sort.GIRTH or key.endswith("_width")])
    text = f"{values[key] / 20:.1f}"
    return {**values, key: float(text) * 10}, {key: text}, (key,), "half written"


def inches_for_cm(values: Mapping[str, float], rng: random.Random) -> Slipped:
    """One length read off the tape's inches, to the quarter, and written where centimetres are expected."""
    key = rng.choice([key for key in values if key != "body_mass"])
    inches = round(values[key] / 25.4 * 4) / 4
    return {**values, key: inches * 10}, {key: f"{inches:g}"}, (key,), "inches written"


def cm_for_inches(values: Mapping[str, float], rng: random.Random) -> Slipped:
    """One length in centimetres, written where inches are expected."""
    key = rng.choice([key for key in values if key != "body_mass"])
    text = f"{values[key] / 10:.1f}"
    return {**values, key: float(text) * 25.4}, {key: text}, (key,), "centimetres written"


def swapped(values: Mapping[str, float], rng: random.Random, *, first: bool = False) -> Slipped:
    """Two neighbouring digits of one value, written in cm to the millimetre; with ``first`` the first two."""
    while True:
        key = rng.choice([key for key in values if key != "body_mass"])
        text = f"{values[key] / 10:.1f}"
        at = 0 if first else rng.randrange(len(text) - 2)
        digits, point = list(text.replace(".", "")), text.find(".")
        digits[at : at + 2] = reversed(digits[at : at + 2])
        other = f"{''.join(digits[:point])}.{''.join(digits[point:])}"
        if other != text and other[0] != "0":
            return {**values, key: float(other) * 10}, {key: f"{other} cm"}, (key,), "digits swapped"


def exchanged(values: Mapping[str, float], rng: random.Random, *, sort: Sort) -> Slipped:
    """Two measurements of a sort, each where the other belongs."""
    one, two = rng.sample([key for key in values if MEASUREMENTS[key].sort is sort], 2)
    return {**values, one: values[two], two: values[one]}, {}, (one, two), "exchanged with"


SLIPS: dict[str, Callable[[Mapping[str, float], random.Random], Slipped]] = {
    "inches for centimetres": inches_for_cm,
    "centimetres for inches": cm_for_inches,
    "decimal point, a tenth": partial(scaled, 0.1, "decimal point"),
    "decimal point, tenfold": partial(scaled, 10.0, "decimal point"),
    "half for the whole, a girth or width": halved,
    "double": partial(scaled, 2.0, "double"),
    "two digits swapped": swapped,
    "first two digits swapped": partial(swapped, first=True),
    "two girths exchanged": partial(exchanged, sort=Sort.GIRTH),
    "two lengths exchanged": partial(exchanged, sort=Sort.LENGTH),
}


# trying -------------------------------------------------------------------------------------------------------


def checked(table: str, values: Mapping[str, float], typed: Mapping[str, str] | None = None) -> list[Finding]:
    """What is asked about a body."""
    taken = {key: Measurement(key, value, None, (typed or {}).get(key, "")) for key, value in values.items()}
    return [f for f in check_body(Body("w", "W", taken, table=table), ()) if f.severity is not Severity.NOTE]


def true_body(person: Person, keys: Iterable[str]) -> tuple[int, bool]:
    """How many values are asked about, and whether one is called implausible."""
    table, values = person
    found = checked(table, {key: values[key] for key in keys})
    return len({f.where for f in found}), any(f.code == "measurement-implausible" for f in found)


def slip(task: tuple[Person, str, int, tuple[str, ...]]) -> tuple[str, float, bool, bool]:
    """Of one slip: its name, how far it moved the value in residual deviations, whether it is caught, and named rightly."""
    (table, values), name, seed, keys = task
    values = {key: values[key] for key in keys}
    spoilt, typed, wrong, word = SLIPS[name](values, random.Random(seed))
    found = [f for f in checked(table, spoilt, typed) if f.code in ASKED]
    about = [f for f in found if f.where[-1] in wrong]
    named = any(word in f.message for f in about) and (len(wrong) < 2 or any(_both(f, wrong) for f in about))
    return name, _moved(table, values, spoilt, wrong), bool(found), named


def _both(finding: Finding, wrong: Iterable[str]) -> bool:
    other = next(key for key in wrong if key != finding.where[-1])
    return f"exchanged with {MEASUREMENTS[other].trade}" in finding.message


def _moved(table: str, values: Mapping[str, float], spoilt: Mapping[str, float], wrong: Iterable[str]) -> float:
    shifts = []
    for key in wrong:
        fit = tables()[table].fit(key, values)
        shifts.append(abs(spoilt[key] - values[key]) / fit.deviation if fit else abs(spoilt[key] / values[key] - 1) * 20)
    return max(shifts)


# the shipped table --------------------------------------------------------------------------------------------


def shipped(surveys: Mapping[str, list[Person]]) -> str:
    """The text of ``survey.json``: for each table n, ranges, means and covariances, seven digits."""
    lines = [
        '{ "origin": "Computed from ANSUR II, the anthropometric survey of US Army personnel of 2012 (C. C. Gordon and others, '
        '2014), public release: 1,986 women, 4,082 men",',
        '  "licence": "The survey is a work of the US government, released to the public without restriction; the numbers '
        'below are our own computation from it",',
        '  "units": "mm; body_mass kg; covariances as a lower triangle, in the order of means",',
        '  "tables": {',
    ]  # fmt: skip
    for number, (table, survey) in enumerate(surveys.items()):
        columns = np.array([[values[key] for key in COLUMNS] for _, values in survey])
        matrix = np.cov(columns, rowvar=False)
        rows = ",\n".join("      " + json.dumps([_rounded(v) for v in row[: k + 1]]) for k, row in enumerate(matrix))
        spans = {key: [float(column.min()), float(column.max())] for key, column in zip(COLUMNS, columns.T, strict=True)}
        means = {key: _rounded(mean) for key, mean in zip(COLUMNS, columns.mean(axis=0), strict=True)}
        lines += [f'  "{table}": {{', f'    "n": {len(survey)},', f'    "range": {json.dumps(spans)},']
        lines += [f'    "means": {json.dumps(means)},', f'    "covariances": [\n{rows}\n    ]']
        lines += ["  }" + ("," if number + 1 < len(surveys) else "")]
    return "\n".join([*lines, "  }", "}"]) + "\n"


def _rounded(value: float) -> float:
    return float(f"{value:.7g}")


# two slips, and estimates -------------------------------------------------------------------------------------


def two_slips(task: tuple[Person, int, tuple[str, ...]]) -> tuple[bool, bool]:
    """Of two slips in one body: whether at least one is named rightly, and whether both are."""
    (table, values), seed, keys = task
    rng = random.Random(seed)
    spoilt = {key: values[key] for key in keys}
    typed: dict[str, str] = {}
    wrong: list[tuple[str, str]] = []
    while len(wrong) < 2:
        after, more, where, word = SLIPS[rng.choice(SINGLE)](spoilt, rng)
        if where[0] not in [key for key, _ in wrong]:
            spoilt, typed = after, {**typed, **more}
            wrong.append((where[0], word))
    found = checked(table, spoilt, typed)
    named = [any(f.where[-1] == key and word in f.message for f in found) for key, word in wrong]
    return any(named), all(named)


SINGLE = (
    "inches for centimetres", "centimetres for inches", "decimal point, a tenth", "half for the whole, a girth or width",
    "double",
)  # fmt: skip


def estimated(person: Person) -> list[tuple[str, bool, float]]:
    """For each measurement beyond the common twelve: whether the body's own lies in the band, and half the band's width."""
    table, values = person
    body = Body("w", "W", {key: Measurement(key, values[key]) for key in FEW}, table=table)
    rows = []
    for key in COLUMNS:
        known = body if key not in FEW else replace(body, measurements={k: m for k, m in body.measurements.items() if k != key})
        guess = estimate(known, key)
        if guess is not None:
            rows.append((key, guess.low <= values[key] <= guess.high, (guess.high - guess.low) / 2))
    return rows


# the report ---------------------------------------------------------------------------------------------------


def regressions(table: str, survey: list[Person]) -> Iterator[tuple[str, str, float, float]]:
    """For each shipped line its key, its predictors, its deviation and that of the survey computed here."""
    columns = {key: np.array([values[key] for _, values in survey]) for key in COLUMNS}
    few, all_ = PREDICTORS[:3], PREDICTORS
    for key in tables()[table].means:
        for of in (few, all_):
            if key in of:
                continue
            fit = tables()[table].line(key, of)
            given = np.column_stack([np.ones(len(survey)), *(columns[name] for name in fit.of)])
            solved, *_ = np.linalg.lstsq(given, columns[key], rcond=None)
            left = columns[key] - given @ solved
            yield key, ", ".join(fit.of), fit.deviation, float(np.sqrt(left @ left / (len(survey) - given.shape[1])))


def main() -> int:
    """Print the report; 1 if a shipped line is not the survey's."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--women", type=Path, required=True)
    parser.add_argument("--men", type=Path, required=True)
    parser.add_argument("--slips", type=int, default=1000, help="how many of each kind")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--write", type=Path, help="only write the table that is shipped to this file")
    parser.add_argument("--thin", type=int, default=6, help="estimates are tried on every so manieth person")
    parser.add_argument("--every", type=int, default=1, help="only every so many people")
    given = parser.parse_args()
    surveys = {"female": people("female", given.women), "male": people("male", given.men)}
    if given.write:
        given.write.write_text(shipped(surveys), encoding="utf-8")
        return 0
    off = _say_regressions(surveys)
    everybody = [person for survey in surveys.values() for person in survey][:: given.every]
    with multiprocessing.Pool(given.workers) as pool:
        for keys in (tuple(COLUMNS), FEW):
            asked = pool.map(partial(true_body, keys=keys), everybody, chunksize=64)
            _say_true(asked, len(keys))
            rng = random.Random(given.seed)
            tasks = [(rng.choice(everybody), name, rng.randrange(1 << 30), keys) for name in SLIPS for _ in range(given.slips)]
            _say_slips(pool.map(slip, tasks, chunksize=32))
            pairs = [(rng.choice(everybody), rng.randrange(1 << 30), keys) for _ in range(given.slips)]
            both = pool.map(two_slips, pairs, chunksize=32)
            one, all_ = (100 * sum(row[k] for row in both) / len(both) for k in (0, 1))
            print(f"  two gross slips in one body, n {len(both)}: {one:.1f} % at least one named, {all_:.1f} % both")
        _say_estimates([row for rows in pool.map(estimated, everybody[:: given.thin], chunksize=16) for row in rows])
    return int(off)


def _say_regressions(surveys: Mapping[str, list[Person]]) -> bool:
    worst = 0.0
    for table, survey in surveys.items():
        rows = list(regressions(table, survey))
        for key, of, shipped, found in rows:
            worst = max(worst, abs(shipped - found))
            if of == "stature, chest_girth, waist_girth":
                print(f"  {key:<20} from {of}: {found:6.1f}")
        print(f"{table}: n {len(survey)}, {len(rows)} lines, worst difference of a residual standard error {worst:.3f}")
    return worst > 0.01


def _say_true(asked: list[tuple[int, bool]], count: int) -> None:
    n, counted = len(asked), Counter(min(number, 2) for number, _ in asked)
    shares = ", ".join(f"{word} {100 * counted[k] / n:.1f} %" for k, word in enumerate(("none", "one", "more than one")))
    implausible = 100 * sum(flag for _, flag in asked) / n
    print(f"\n{n} true bodies, {count} measurements each, asked about: {shares}; implausible {implausible:.1f} %")


def _say_slips(outcomes: Iterable[tuple[str, float, bool, bool]]) -> None:
    by_name: dict[str, list[tuple[float, bool, bool]]] = {}
    for name, moved, caught, named in outcomes:
        by_name.setdefault(name, []).append((moved, caught, named))
    for name, rows in by_name.items():
        far = [row for row in rows if row[0] > 3.5]
        parts = [f"{100 * sum(row[k] for row in rows) / len(rows):5.1f} % {word}" for k, word in ((1, "caught"), (2, "named"))]
        if far:
            parts += [f"of the {len(far)} beyond 3.5 deviations {100 * sum(r[1] for r in far) / len(far):5.1f} % caught, "
                      f"{100 * sum(r[2] for r in far) / len(far):5.1f} % named"]  # fmt: skip
        print(f"  {name:<36} n {len(rows)}: {'; '.join(parts)}")


def _say_estimates(rows: Iterable[tuple[str, bool, float]]) -> None:
    by_key: dict[str, list[tuple[bool, float]]] = {}
    for key, inside, half in rows:
        by_key.setdefault(key, []).append((inside, half))
    print("\nestimates from the other common measurements: own value within the band, half the band")
    for key, found in by_key.items():
        share, width = 100 * sum(i for i, _ in found) / len(found), sum(h for _, h in found) / len(found)
        unit = "kg" if key == "body_mass" else "mm"
        print(f"  {key:<20} n {len(found)}: {share:5.1f} %, ±{width:.1f} {unit}")


if __name__ == "__main__":
    sys.exit(main())
