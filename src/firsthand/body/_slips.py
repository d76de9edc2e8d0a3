"""Slips of hand and tape: which single one would explain a body that cannot be."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from firsthand.body._measurements import MEASUREMENTS
from firsthand.body._survey import Table
from firsthand.units import MM_PER_INCH

__all__ = ["Slip", "likely_slip"]

BACK = 3.0
"""A slip explains a body if without it nothing is further off than this many deviations."""
WORTH = 6.0
"""It must take away at least so much of the sum of squared deviations, beyond its handicap."""


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip and what was meant.

    Parameters
    ----------
    key
        The measurement that would be wrong.
    words
        What happened.
    meant
        The values as they would have been, by key, mm.
    handicap
        Squared deviations by which rarer slips must be better than commoner ones. From memory.
    """

    key: str
    words: str
    meant: Mapping[str, float]
    handicap: float = 0.0


def likely_slip(values: Mapping[str, float], typed: Mapping[str, str], table: Table) -> Slip | None:
    """The one slip that brings everything back, or None.

    Parameters
    ----------
    values
        Measurements by key, mm.
    typed
        What was typed for them, where it is known.
    table
        What they are judged by.
    """
    best, least = None, math.inf
    for slip in _slips(values, typed):
        mended = {**values, **slip.meant}
        if not table.covers(mended):
            continue
        off = table.deviations(mended)
        if max(map(abs, off.values()), default=math.inf) > BACK:
            continue
        cost = sum(z * z for z in off.values()) + slip.handicap
        if cost < least:
            best, least = slip, cost
    now = sum(z * z for z in table.deviations(values).values()) if table.covers(values) else math.inf
    return best if least + WORTH < now else None


def _slips(values: Mapping[str, float], typed: Mapping[str, str]) -> Iterator[Slip]:
    for key, value in values.items():
        yield Slip(key, "inches written for centimetres", {key: value * MM_PER_INCH / 10})
        yield Slip(key, "centimetres written for inches", {key: value * 10 / MM_PER_INCH})
        yield Slip(key, "a decimal point missing or misplaced", {key: value / 10})
        yield Slip(key, "a decimal point missing or misplaced", {key: value * 10})
        yield Slip(key, "half written for the whole", {key: value * 2}, 1.0)
        yield Slip(key, "taken or written double", {key: value / 2}, 1.0)
        yield from _swapped(key, value, typed.get(key, ""))
    yield from _exchanged(values)


def _swapped(key: str, value: float, typed: str) -> Iterator[Slip]:
    """Two digits next to each other in the wrong order."""
    match = re.search(r"\d+(?:[.,]\d+)?", typed) or re.search(r"[\d.]+", f"{value / 10:g}")
    if match is None:
        return
    number = match[0].replace(",", ".")
    for k in range(len(number) - 1):
        pair = number[k : k + 2]
        other = number[:k] + pair[::-1] + number[k + 2 :]
        if pair.isdigit() and pair[0] != pair[1] and float(number) > 0 and not other.startswith("0"):
            yield Slip(key, "two digits swapped", {key: value * float(other) / float(number)}, 2.0)


def _exchanged(values: Mapping[str, float]) -> Iterator[Slip]:
    """Two measurements of one sort, each written where the other belongs."""
    keys = list(values)
    for k, one in enumerate(keys):
        for two in keys[k + 1 :]:
            if MEASUREMENTS[one].sort is MEASUREMENTS[two].sort and values[one] != values[two]:
                words = f"exchanged with {MEASUREMENTS[two].trade}"
                yield Slip(one, words, {one: values[two], two: values[one]}, 3.0)
