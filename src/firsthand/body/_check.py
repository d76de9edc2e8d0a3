"""Whether measurements are there, and can be right."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from firsthand.body._estimates import estimate
from firsthand.body._judging import has_sense, judged, survey_names, written
from firsthand.body._measurements import MEASUREMENTS, taken
from firsthand.body._slips import likely_slip, whole_slip
from firsthand.body._survey import tables
from firsthand.body.model import Body, Measurement, Sort
from firsthand.body.taking import TAKING, Over
from firsthand.findings import Finding, Severity, kind
from firsthand.units import said

__all__ = ["believed", "check_body"]

MISSING = kind(
    "measurement-missing",
    Severity.DOUBT,
    "A measurement that a garment is compared with was not taken. The levels that need it cannot be judged. Take it; the "
    "definition says how.",
)
UNKNOWN = kind(
    "measurement-unknown",
    Severity.DOUBT,
    "A pattern's level, or the wearer's file, names a measurement that the program does not know. Use one of its keys.",
)
ABSURD = kind(
    "measurement-absurd",
    Severity.FAULT,
    "A measurement is not above zero or far outside what a human body can have. It was left out of every comparison with "
    "others. Look at its unit, or take it again.",
)
READINGS = kind(
    "measurement-readings",
    Severity.DOUBT,
    "The two readings of a girth differ by more than 10 mm. The tape lay differently: take it a third time and keep the two "
    "that agree.",
)
ONCE = kind(
    "measurement-once",
    Severity.NOTE,
    "Girths that a garment is compared with were taken only once. A tape that slipped by 3 to 5 cm cannot be told from any "
    "other number: take each girth twice, letting go of the tape in between, and write both readings.",
)
OVER = kind(
    "measurement-over",
    Severity.NOTE,
    "It is not said what the measurements were taken over, and some that a garment is compared with come out otherwise over "
    "other foundation garments or in other shoes. Take them over what is worn beneath the costume, and write it under `over`.",
)
READINGS_APART = 10.0
"""Two readings of a girth further apart than this, mm, are asked about (common practice)."""


def check_body(body: Body, needed: Iterable[str]) -> tuple[Finding, ...]:
    """What is missing, absurd, contradictory or unlikely among a wearer's measurements.

    Parameters
    ----------
    body
        The wearer or dress form.
    needed
        Keys of the measurements that are asked for; see :func:`needed_measurements`.

    Notes
    -----
    Plausibility comes from ANSUR II, the US Army's public survey of 2012: lines from height, chest, waist and hip say who is
    asked, all covariances together say which slip would explain it. Of the survey's own 6,068 people with 29 measurements each
    92.6 % are asked nothing, 6.7 % about one value, 0.6 % about more, and 1.7 % are told that one is implausible. With one slip
    put into a true body, this is noticed and named rightly: inches for centimetres or the other way, a misplaced decimal
    point and half for the whole in 99 to 100 %; doubled 97 %; the first two digits swapped 95 and 94 %; any two neighbouring
    digits, of which nearly half move the value too little to be seen, 63 and 56 %; two girths exchanged 93 and 91 %, two
    lengths 93 and 92 %. Where a slip moved the value by more than 3.5 deviations it is named in 92 to 100 %.
    ``benchmarks/body.py`` measures it anew. A tape that slipped by 3 to 5 cm cannot be found so, which is why girths are taken
    twice.
    """
    wanted = tuple(dict.fromkeys(needed))
    whole = _whole(body)
    sane = {key: m for key, m in body.measurements.items() if key in MEASUREMENTS and not m.estimated and has_sense(m)}
    return (
        *_missing(body, wanted),
        *(_absurd(body, sane) if whole is None else [whole]),
        *_once(body, wanted),
        *_over(body, wanted),
        *(finding for m in sane.values() for finding in _readings(body, m)),
        *(asked.finding for asked in (judged(body, sane) if whole is None else ())),
    )


def believed(body: Body) -> tuple[Body, tuple[Finding, ...]]:
    """A body without the measurements that nobody can have, and a fault for each of them, as :func:`check_body` tells it.

    What is reckoned from a body is reckoned from this one: a number that cannot be is not known, and never silently a girth.
    Where all lengths together are written in another unit none of them is believed.

    Examples
    --------
    >>> wearer = Body("w", "W", {"bust_girth": Measurement("bust_girth", 9400.0), "hip_girth": Measurement("hip_girth", 980.0)})
    >>> kept, (fault,) = believed(wearer)
    >>> list(kept.measurements), fault.code
    (['hip_girth'], 'measurement-absurd')
    """
    whole = _whole(body)
    if whole is not None:
        kept = {
            key: m for key, m in body.measurements.items() if key in MEASUREMENTS and MEASUREMENTS[key].sort not in _LENGTHS
        }
        return replace(body, measurements=kept), (whole,)
    known = {key: m for key, m in body.measurements.items() if key in MEASUREMENTS}
    sane = {key: m for key, m in known.items() if not m.estimated and has_sense(m)}
    absurd = {key for key in known if key not in sane and not known[key].estimated}
    if not absurd:
        return body, ()
    left = {key: m for key, m in body.measurements.items() if key not in absurd}
    return replace(body, measurements=left), tuple(f for f in _absurd(body, sane) if f.code == ABSURD.code)


_LENGTHS = (Sort.GIRTH, Sort.LENGTH)


def _whole(body: Body) -> Finding | None:
    """One fault for a whole body that is written in another unit."""
    table = tables().get(body.table)
    if table is None or body.child or body.form:
        return None
    there = {
        key: m.value
        for key, m in body.measurements.items()
        if key in MEASUREMENTS
        and not m.estimated
        and math.isfinite(m.value)
        and m.value > 0
        and (key == "bust_girth" or key in table.means)
    }
    names = survey_names(there)
    slip = whole_slip({name: there[key] for name, key in names.items()}, table)
    if slip is None:
        return None
    meant = written("stature", slip.meant["stature"])
    return ABSURD(
        f"{body.name}: all lengths together look like {slip.words}: height {meant}?",
        where=(body.id,),
        remedy="Correct the units of the file.",
        why=("in that unit they agree with each other and with the survey, as they stand they are nobody's",),
    )


def _missing(body: Body, needed: Iterable[str]) -> Iterator[Finding]:
    for key in needed:
        found = taken(body, key)
        if found is not None and not found.estimated:
            continue
        if key not in MEASUREMENTS:
            yield UNKNOWN(f"no measurement is called {key}", where=(body.id, key), remedy="Use one of the known keys.")
            continue
        named = MEASUREMENTS[key]
        guess = estimate(body, key)
        yield MISSING(
            f"{body.name}: {named.trade} was not taken",
            where=(body.id, key),
            remedy=f"Take it: {named.definition}",
            why=[] if guess is None else [guess.words],
        )


def _once(body: Body, needed: Iterable[str]) -> Iterator[Finding]:
    """One note for all girths that were taken only once."""
    found = (taken(body, key) for key in needed if key in MEASUREMENTS and MEASUREMENTS[key].sort is Sort.GIRTH)
    names = [MEASUREMENTS[m.key].trade.split(",")[0] for m in found if m is not None and m.again is None and not m.estimated]
    if names:
        words = ", ".join(dict.fromkeys(names))
        yield ONCE(f"{body.name}: taken only once: {words}", where=(body.id,), remedy="Take each girth a second time.")


def _over(body: Body, needed: Iterable[str]) -> Iterator[Finding]:
    """One note if nobody said what the tape lay over, where that matters."""
    if body.over or body.form:
        return
    there = [key for key in needed if key in TAKING and taken(body, key) is not None]
    worn = [over.value for over in (Over.FOUNDATION, Over.SHOES) if any(TAKING[key].over is over for key in there)]
    if worn:
        words = f"{body.name}: it is not said what the measurements were taken over; it matters for {' and '.join(worn)}"
        yield OVER(words, where=(body.id,), remedy="Write it under over in the wearer's file.")


def _absurd(body: Body, sane: Mapping[str, Measurement]) -> Iterator[Finding]:
    for key, measurement in body.measurements.items():
        if measurement.estimated:
            continue
        if key not in MEASUREMENTS:
            yield UNKNOWN(
                f"{body.name}: nobody knows the measurement {key}", where=(body.id, key), remedy="Use one of the known keys."
            )
        elif key not in sane:
            yield ABSURD(
                f"{body.name}: {MEASUREMENTS[key].trade} cannot be {written(key, measurement.value)}{_guess(body, sane, key)}",
                where=(body.id, key),
                remedy="Look at the unit, or take it again.",
            )


def _guess(body: Body, sane: Mapping[str, Measurement], key: str) -> str:
    """The slip that would explain an absurd value, in words; empty if there is none."""
    table, value = tables().get(body.table), body.measurements[key].value
    if table is None or body.child or body.form or not (math.isfinite(value) and value > 0):
        return ""
    names = survey_names({*sane, key})
    values = {survey: body.measurements[name].value for survey, name in names.items()}
    slip = likely_slip(values, {survey: body.measurements[name].typed for survey, name in names.items()}, table)
    if slip is None or names[slip.key] != key:
        return ""
    return f"; it looks like {slip.words}: {written(slip.key, slip.meant[slip.key])}?"


def _readings(body: Body, measurement: Measurement) -> Iterator[Finding]:
    if measurement.again is None or MEASUREMENTS[measurement.key].sort is not Sort.GIRTH:
        return
    apart = abs(measurement.value - measurement.again)
    if not apart <= READINGS_APART:
        yield READINGS(
            f"{body.name}: two readings of {MEASUREMENTS[measurement.key].trade} differ by {said(apart)}",
            where=(body.id, measurement.key),
            remedy="Take it a third time and keep the two that agree.",
        )
