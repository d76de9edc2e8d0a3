"""Whether measurements are plausible beside each other, by a survey of bodies."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from statistics import NormalDist

from firsthand.body._measurements import MEASUREMENTS
from firsthand.body._slips import Slip, likely_slip
from firsthand.body._survey import PREDICTORS, Table, tables
from firsthand.body.model import Body, Measurement, Sort
from firsthand.findings import Finding, Severity, kind
from firsthand.units import said

__all__ = ["IMPLAUSIBLE", "Asked", "doubtful_above", "has_sense", "judged", "survey_names", "written"]

IMPLAUSIBLE_KIND = kind(
    "measurement-implausible",
    Severity.DOUBT,
    "A measurement lies more than 3.5 residual deviations from what a survey of bodies says beside the others. About one true "
    "body in fifty is asked this. If one slip would explain it, the slip is named. It is a question: if the measurement is "
    "right, keep it.",
)
DOUBTFUL = kind(
    "measurement-doubtful",
    Severity.DOUBT,
    "The one measurement that lies furthest from what a survey of bodies says beside the others, and further than chance in so "
    "many measurements would have it. Take it again; if it is right, keep it.",
)
NOT_JUDGED = kind(
    "body-not-judged",
    Severity.NOTE,
    "The measurements were not compared with a survey: a dress form, a child, no table was named, height, chest and waist are "
    "not all there, or the body lies outside the survey (fit adults). Take each girth twice.",
)

LEAST_DOUBTFUL, IMPLAUSIBLE = 2.5, 3.5
"""Residual deviations from which one measurement alone is asked about, and from which it is called implausible."""
CHANCE = 0.10
"""With many measurements judged, the share of true bodies that chance alone may have asked about their worst value."""

SENSE = {Sort.GIRTH: (50.0, 3000.0), Sort.LENGTH: (20.0, 2600.0), Sort.MASS: (2.0, 400.0), Sort.ANGLE: (0.0, math.pi / 2)}
"""What a human measurement can be at all: mm, kilograms, radians."""

WHOLE_BODY = (
    "bust_girth",
    "chest_girth",
    "upper_chest_girth",
    "under_bust_girth",
    "waist_girth",
    "top_hip_girth",
    "hip_girth",
    "stature",
)
LEAST_WHOLE = 200.0
"""Round the trunk, and from top to toe, even the smallest newborn and a half-scale form are larger, mm (common practice)."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question about a body, and the keys of the measurements that are in doubt by it."""

    finding: Finding
    keys: tuple[str, ...] = ()


def doubtful_above(count: int) -> float:
    """From how many deviations the worst of several measurements is asked about.

    The correction of Sidak: with ``count`` independent normal values the worst of them passes this by chance in a tenth of
    all true bodies; never below 2.5.

    Examples
    --------
    >>> doubtful_above(1), round(doubtful_above(30), 2)
    (2.5, 2.92)
    """
    each = 1 - (1 - CHANCE) ** (1 / max(count, 1))
    return max(LEAST_DOUBTFUL, NormalDist().inv_cdf(1 - each / 2))


def has_sense(measurement: Measurement) -> bool:
    """Whether anybody could have it."""
    low, high = SENSE[MEASUREMENTS[measurement.key].sort]
    low = LEAST_WHOLE if measurement.key in WHOLE_BODY else low
    return math.isfinite(measurement.value) and low <= measurement.value <= high


def survey_names(keys: Iterable[str]) -> dict[str, str]:
    """The measurement that stands for each of the survey's: the bust, where it was taken, is the survey's chest."""
    last = sorted(keys, key=lambda key: (key == "bust_girth", key))
    return {"chest_girth" if key == "bust_girth" else key: key for key in last}


def judged(body: Body, sane: Mapping[str, Measurement]) -> tuple[Asked, ...]:
    """Judge by the survey; a slip that is found is mended before the rest is judged."""
    table = tables().get(body.table)
    if table is None or body.child or body.form:
        reason = "a dress form" if body.form else "a child" if body.child else "no survey table is named"
        return (Asked(NOT_JUDGED(f"{body.name}: not judged, {reason}", where=(body.id,))),)
    names = survey_names(sane)
    values = {key: sane[name].value for key, name in names.items()}
    typed = {key: sane[name].typed for key, name in names.items()}
    if any(key not in values for key in PREDICTORS[:3]):
        return (Asked(NOT_JUDGED(f"{body.name}: not judged, height, chest and waist are needed for it", where=(body.id,))),)
    return tuple(_values_judged(body, names, values, typed, table))


def _values_judged(
    body: Body, names: Mapping[str, str], values: dict[str, float], typed: Mapping[str, str], table: Table
) -> Iterator[Asked]:
    for _ in range(len(values)):
        covered = table.covers(values)
        off = table.deviations(values) if covered else {}
        # Nobody is asked about being tall or short; a slip in the height shows in all that is measured along the body.
        worst = max((key for key in off if key != "stature"), key=lambda key: abs(off[key]), default="")
        if covered and (not worst or abs(off[worst]) <= doubtful_above(len(off))):
            return
        slip = likely_slip(values, typed, table)
        if slip is not None:
            finding = _slipped(body, names, values, slip, abs(off.get(worst, math.inf)))
            yield Asked(finding, tuple(names[key] for key in slip.meant))
            values = {**values, **slip.meant}
            continue
        if not covered:
            yield Asked(NOT_JUDGED(f"{body.name}: not judged, outside the survey of fit adults", where=(body.id,)))
            return
        yield Asked(_asked(body, names[worst], values, worst, off[worst], table), (names[worst],))
        if abs(off[worst]) <= IMPLAUSIBLE or worst in PREDICTORS:
            return
        values = {key: value for key, value in values.items() if key != worst}


def _slipped(body: Body, names: Mapping[str, str], values: Mapping[str, float], slip: Slip, off: float) -> Finding:
    made = IMPLAUSIBLE_KIND if off > IMPLAUSIBLE else DOUBTFUL
    key = names[slip.key]
    meant = written(slip.key, slip.meant[slip.key])
    return made(
        f"{body.name}: {MEASUREMENTS[key].trade} {written(slip.key, values[slip.key])} looks like {slip.words}: {meant}?",
        where=(body.id, key),
        remedy="Take it again; if it is right, keep it.",
        why=("with that one change all measurements agree with each other",),
    )


def _asked(body: Body, key: str, values: Mapping[str, float], name: str, off: float, table: Table) -> Finding:
    fit = table.fit(name, values)
    assert fit is not None  # it has a deviation
    expected = written(name, fit.expected(values))
    made = IMPLAUSIBLE_KIND if abs(off) > IMPLAUSIBLE else DOUBTFUL
    beside = ", ".join(MEASUREMENTS[other].trade.split(",")[0] for other in fit.of)
    why = [f"expected {expected} from {beside}; {off:+.1f} deviations of {written(name, fit.deviation)}"]
    why += [caveat] if (caveat := MEASUREMENTS[name].caveat) else []
    return made(
        f"{body.name}: {MEASUREMENTS[key].trade} {written(name, values[name])} is unusual beside the rest, about {expected}",
        where=(body.id, key),
        remedy="Take it again; if it is right, keep it.",
        why=why,
    )


def written(key: str, value: float) -> str:
    sort = MEASUREMENTS[key].sort
    if sort is Sort.MASS:
        return f"{value:.1f} kg"
    return f"{math.degrees(value):.0f}°" if sort is Sort.ANGLE else said(value)
