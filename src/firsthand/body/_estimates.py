"""Estimates of measurements that were not taken, from those that were; always marked, never for a child."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from firsthand.body._judging import has_sense, judged, survey_names, written
from firsthand.body._measurements import MEASUREMENTS, taken
from firsthand.body._survey import TAKEN_OTHERWISE, Fit, Table, tables
from firsthand.body.model import Body, Estimate, Measurement
from firsthand.findings import Finding, Severity, kind

__all__ = ["estimate", "no_estimate", "with_estimates"]

ESTIMATED = kind(
    "measurement-estimated",
    Severity.DOUBT,
    "A measurement that nobody took was estimated from the others by a survey of bodies, and what is said here rests on it. "
    "Nine bodies in ten lie within its band: do not cut by it, take the measurement.",
)

BAND = 1.645
"""Nine normal values in ten lie within so many deviations of the middle."""
MOST, LEAST = 4, 2
"""An estimate is made from at most and at least so many other measurements."""
TELLS = 0.98
"""One more is taken into account where it narrows the band at least to this."""

NOT_IN_SURVEY = {
    "shoulder_width": "the survey has only the straight breadth by caliper, which is shorter",
    "body_rise": "the survey has no sitting waist height; crotch and navel height standing say too little about it",
    "knee_girth": "the survey took it above the kneecap",
    "front_waist_length": "the survey took it seated, from the breastbone",
    "waist_to_hip": "the survey's landmark at the hip is not at the level of the full hip",
    "crotch_length_front": "the survey has it only as the whole crotch length less the back one: take those two",
}
"""Why there is no estimate, where more can be said than that the survey did not take it."""


def estimate(body: Body, key: str) -> Estimate | None:
    """What a measurement may be, from those of the body that were taken and are not in doubt.

    The line is the survey's, from the two to four measurements that tell most. The band holds nine bodies in ten; it is wider
    where the survey took one of them otherwise than dressmakers do.

    Parameters
    ----------
    body
        The wearer.
    key
        The measurement; whether it was taken is not asked.

    Returns
    -------
    Estimate or None
        None for a child, a body outside the survey or without a table, and a measurement that the survey did not take; see
        :func:`no_estimate`.

    Examples
    --------
    >>> taken = {"stature": 1660.0, "chest_girth": 930.0, "waist_girth": 760.0, "hip_girth": 1010.0}
    >>> wearer = Body("w", "W", {key: Measurement(key, value) for key, value in taken.items()}, table="female")
    >>> found = estimate(wearer, "thigh_girth")
    >>> round(found.low), round(found.value), round(found.high), found.of
    (576, 607, 638, ('hip_girth', 'stature'))
    """
    return None if no_estimate(body, key) else _made(body, key)


def no_estimate(body: Body, key: str) -> str:
    """Why a measurement cannot be estimated, in words; empty if it can.

    Examples
    --------
    >>> no_estimate(Body("w", "W", {}, table="female"), "shoulder_slope")
    'the survey did not take it'
    >>> no_estimate(Body("w", "W", {}, child=True), "calf_girth")
    'the survey has no children'
    """
    table, name = tables().get(body.table), _survey_key(key)
    if key not in MEASUREMENTS:
        return "nobody knows this measurement"
    if body.child or body.form:
        return "the survey has no children" if body.child else "a dress form is no body"
    if name not in next(iter(tables().values())).means:
        return NOT_IN_SURVEY.get(key, "the survey did not take it")
    if table is None:
        return "no survey table is named for this body"
    known = _trusted(body)
    if any(not table.met(other, value) for other, value in known.items() if other in table.span and _is_basis(other)):
        return "the body lies outside the survey of fit adults"
    if len(_givers(known, name, table)) < LEAST:
        return "too few other measurements were taken"
    return ""


def with_estimates(body: Body, keys: Iterable[str]) -> tuple[Body, tuple[Finding, ...]]:
    """The body with estimates for those of some measurements that were not taken, each told in a finding.

    Parameters
    ----------
    body
        The wearer.
    keys
        Measurements that are wanted.
    """
    made: dict[str, Measurement] = {}
    findings = []
    for key in dict.fromkeys(keys):
        if taken(body, key) is not None:
            continue
        guess = estimate(body, key)
        if guess is None:
            continue
        made[key] = Measurement(key, guess.value, estimated=True, low=guess.low, high=guess.high)
        findings.append(_told(body, guess))
    return (replace(body, measurements={**body.measurements, **made}) if made else body), tuple(findings)


def _told(body: Body, guess: Estimate) -> Finding:
    named = MEASUREMENTS[guess.key]
    why = [guess.words, f"line of {guess.n} people of ANSUR II, 2012; the band holds nine in ten"]
    band = f"between {written(guess.key, guess.low)} and {written(guess.key, guess.high)}"
    return ESTIMATED(
        f"{body.name}: {named.trade} was not taken; reckoned with {written(guess.key, guess.value)}, {band}",
        where=(body.id, guess.key),
        remedy=f"Take it: {named.definition}",
        why=why,
    )


def _survey_key(key: str) -> str:
    return "chest_girth" if key == "bust_girth" else key


def _is_basis(key: str) -> bool:
    return key in ("stature", "chest_girth", "waist_girth", "hip_girth")


def _trusted(body: Body) -> dict[str, float]:
    """The measurements that were taken, have sense and are not in doubt, by the survey's keys."""
    sane = {key: m for key, m in body.measurements.items() if key in MEASUREMENTS and not m.estimated and has_sense(m)}
    doubted = {key for asked in judged(body, sane) for key in asked.keys}
    return {name: sane[key].value for name, key in survey_names(sane).items() if key not in doubted}


def _givers(known: Mapping[str, float], name: str, table: Table) -> dict[str, float]:
    return {key: value for key, value in known.items() if key in table.means and key != name and table.met(key, value)}


def _made(body: Body, key: str) -> Estimate:
    table, name = tables()[body.table], _survey_key(key)
    known = _givers(_trusted(body), name, table)
    of: tuple[str, ...] = ()
    spread = math.inf
    while len(of) < MOST:
        spreads = {other: _spread(name, table.line(name, (*of, other))) for other in known if other not in of}
        best = min(spreads, key=lambda other: spreads[other], default="")
        if not best or (len(of) >= LEAST and spreads[best] > TELLS * spread):
            break
        of, spread = (*of, best), spreads[best]
    line = table.line(name, of)
    value, reach = line.expected(known), BAND * spread
    low, high = value - reach, value + reach
    from_ = ", ".join(MEASUREMENTS[other].trade.split(",")[0] for other in of)
    band = f"{written(key, low)} to {written(key, high)}"
    words = f"estimate: {written(key, value)}, in nine bodies of ten {band}; from {from_}"
    return Estimate(key, value, low, high, of, table.n, words)


def _spread(name: str, line: Fit) -> float:
    """The deviation about a line, for measurements as dressmakers take them."""
    others = (slope * TAKEN_OTHERWISE.get(other, 0.0) for slope, other in zip(line.coefficients[1:], line.of, strict=True))
    return math.hypot(line.deviation, TAKEN_OTHERWISE.get(name, 0.0), *others)
