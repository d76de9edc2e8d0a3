"""Slips of hand and tape: which single one would explain a body that cannot be."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from firsthand.body._measurements import MEASUREMENTS
from firsthand.body._survey import PREDICTORS, Table
from firsthand.body.model import Sort
from firsthand.units import MM_PER_INCH, Unit

__all__ = ["Slip", "likely_slip", "whole_slip"]

BACK = 3.0
"""A slip explains a body if without it what it changed is no further off than this many deviations."""
FAR = 3.5
"""Without it nothing else may be further off than this, unless it was before."""
WILD, MOST_WILD = 6.0, 3
"""What is further off than this is left out where another measurement is judged, if it is no more than so many."""
LEFT_OUT = 12.0
"""Squared deviations by which a slip must be better for each measurement that is left out to explain it."""
WORTH = 8.0
"""It must take away at least so much of the squared distance from the survey, beyond its handicap."""


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

    All measurements are judged together, by their squared distance from the survey's mean in the measure of all its
    covariances, so that a sleeve is also compared with the other arm lengths and a calf with the thigh.

    Parameters
    ----------
    values
        Measurements by key, mm.
    typed
        What was typed for them, where it is known.
    table
        What they are judged by.
    """
    known = {key: value for key, value in values.items() if key in table.means}
    covered, wild = table.covers(values), _wild(values, table)
    distances: dict[frozenset[str], _Distance] = {}
    best, most = None, WORTH
    for slip in _slips(values, typed):
        mended = {**values, **slip.meant}
        if not set(slip.meant) <= set(known) or not table.covers(mended):
            continue
        left_out = (wild if covered else _wild(mended, table)) - set(slip.meant)
        if left_out not in distances:
            distances[left_out] = _Distance.of({k: v for k, v in known.items() if k not in left_out}, table)
        far = distances[left_out]
        gain = far.saved(slip.meant) - slip.handicap - len(left_out) * LEFT_OUT
        if gain > most and far.brings_back(slip.meant):
            best, most = slip, gain
    return best


_WHOLE = (
    ("inches written for centimetres", MM_PER_INCH / 10), ("centimetres written for inches", 10 / MM_PER_INCH),
    ("millimetres written for centimetres", 0.1), ("centimetres written for millimetres", 10.0),
)  # fmt: skip


def whole_slip(values: Mapping[str, float], table: Table) -> Slip | None:
    """The unit that a whole body seems to be written in, where the values as they stand are nobody's; None if they are fine.

    Parameters
    ----------
    values
        Measurements by key, mm.
    table
        What they are judged by.
    """
    if table.covers(values) or any(key not in values for key in PREDICTORS[:3]):
        return None
    for words, factor in _WHOLE:
        meant = {key: value if key == "body_mass" else value * factor for key, value in values.items()}
        off = table.deviations(meant) if table.covers(meant) else {}
        if off and sum(abs(z) > FAR for z in off.values()) <= len(off) // 10:
            return Slip("stature", words, meant)
    return None


def _wild(values: Mapping[str, float], table: Table) -> frozenset[str]:
    """What is so far off that it would spoil the comparison of the others; nothing where the predictors cannot be trusted."""
    off = table.deviations(values) if table.covers(values) else {}
    far = {key for key, z in off.items() if abs(z) > WILD}
    return frozenset(far) if len(far) <= MOST_WILD and not far & set(PREDICTORS) else frozenset()


@dataclass(frozen=True, slots=True)
class _Distance:
    """How far measurements lie from the survey, all together.

    Parameters
    ----------
    values
        The measurements, by key.
    place
        The number of each.
    precision
        Inverse of their covariances.
    pull
        The precision times what each is off its mean: over the root of its own precision, how far each is off what all others
        say.
    """

    values: Mapping[str, float]
    place: Mapping[str, int]
    precision: tuple[tuple[float, ...], ...]
    pull: tuple[float, ...]

    @classmethod
    def of(cls, values: Mapping[str, float], table: Table) -> _Distance:
        """The distance of a body."""
        keys = sorted(values)
        precision = table.precision(keys)
        off = [values[key] - table.means[key] for key in keys]
        pull = tuple(sum(a * b for a, b in zip(row, off, strict=True)) for row in precision)
        return cls(values, {key: k for k, key in enumerate(keys)}, precision, pull)

    def _moves(self, meant: Mapping[str, float]) -> list[tuple[int, float]]:
        return [(self.place[key], value - self.values[key]) for key, value in meant.items()]

    def saved(self, meant: Mapping[str, float]) -> float:
        """How much squared distance other values would take away."""
        moves = self._moves(meant)
        return -sum(by * (2 * self.pull[i] + sum(self.precision[i][j] * other for j, other in moves)) for i, by in moves)

    def brings_back(self, meant: Mapping[str, float]) -> bool:
        """Whether with other values these are plausible, and nothing else is worse than it was."""
        moves, changed = self._moves(meant), {self.place[key] for key in meant}
        for k, row in enumerate(self.precision):
            unit = math.sqrt(row[k])
            before = abs(self.pull[k]) / unit
            after = abs(self.pull[k] + sum(row[i] * by for i, by in moves)) / unit
            if after > (BACK if k in changed else max(FAR, before)):
                return False
        return True


def _slips(values: Mapping[str, float], typed: Mapping[str, str]) -> Iterator[Slip]:
    for key, value in values.items():
        unit = _unit(value, typed.get(key, ""))
        if unit is not Unit.INCH:
            yield Slip(key, "inches written for centimetres", {key: value * MM_PER_INCH / 10})
        if unit is not Unit.CM:
            yield Slip(key, "centimetres written for inches", {key: value * 10 / MM_PER_INCH})
        yield Slip(key, "a decimal point missing or misplaced", {key: value / 10})
        yield Slip(key, "a decimal point missing or misplaced", {key: value * 10})
        halved = MEASUREMENTS[key].sort is Sort.GIRTH or key.endswith("_width")
        yield Slip(key, "half written for the whole", {key: value * 2}, 1.0 if halved else 4.0)
        yield Slip(key, "taken or written double", {key: value / 2}, 2.0)
        yield from _swapped(key, value, typed.get(key, ""))
    yield from _exchanged(values)


_TYPED = re.compile(r"\d+(?:[.,]\d+)?")


def _unit(value: float, typed: str) -> Unit | None:
    """The unit that a plain number was typed in, whether it was written or the file's; None where that cannot be told."""
    match = _TYPED.match(typed.strip())
    number = float(match[0].replace(",", ".")) if match else 0.0
    for unit, millimetres in ((Unit.CM, 10.0), (Unit.INCH, MM_PER_INCH)):
        if number and int(value / millimetres + 1e-6) == int(number + 1e-6):
            return unit
    return None


def _swapped(key: str, value: float, typed: str) -> Iterator[Slip]:
    """Two digits next to each other in the wrong order."""
    match = _TYPED.search(typed) or _TYPED.search(f"{value / 10:g}")
    if match is None:
        return
    number = match[0].replace(",", ".")
    digits, point = number.replace(".", ""), number.find(".")
    for k in range(len(digits) - 1):
        other = digits[:k] + digits[k + 1] + digits[k] + digits[k + 2 :]
        if digits[k] != digits[k + 1] and float(number) > 0 and not other.startswith("0"):
            meant = float(other if point < 0 else f"{other[:point]}.{other[point:]}")
            yield Slip(key, "two digits swapped", {key: value * meant / float(number)}, 0.5)


def _exchanged(values: Mapping[str, float]) -> Iterator[Slip]:
    """Two measurements of one sort, each written where the other belongs."""
    keys = list(values)
    for k, one in enumerate(keys):
        for two in keys[k + 1 :]:
            if MEASUREMENTS[one].sort is MEASUREMENTS[two].sort and values[one] != values[two]:
                words = f"exchanged with {MEASUREMENTS[two].trade}"
                yield Slip(one, words, {one: values[two], two: values[one]}, 3.0)
