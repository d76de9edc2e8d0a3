"""What a survey of bodies says: means and covariances, the lines that follow from them, and how far a body lies from those.

The shipped table holds for women and men the mean, the least and greatest value of each measurement and all covariances: from
these the least-squares line of any measurement from any others follows exactly, with its residual deviation.
"""

from __future__ import annotations

import functools
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from firsthand.body._solving import inverse, solved

__all__ = ["PREDICTORS", "TAKEN_OTHERWISE", "Fit", "Table", "tables"]

PREDICTORS = ("stature", "chest_girth", "waist_girth", "hip_girth")
"""What everything else is predicted from; without the hip where it is not known."""

TAKEN_OTHERWISE = {
    "waist_girth": 30.0, "upper_arm_girth": 25.0, "forearm_girth": 10.0, "back_waist_length": 35.0, "waist_height": 35.0,
    "crotch_length": 50.0, "crotch_length_back": 30.0, "arm_length": 12.0, "upper_arm_length": 15.0, "ankle_girth": 12.0,
}  # fmt: skip
"""How far the survey's way of taking a measurement may differ from a dressmaker's, mm: it widens the band. From memory."""
AT_HOME = 8.0
"""How far a careful measurement at home may be off, mm (the mass: a tenth of it in kg). From memory: the survey's own
measurers, trained for weeks, were allowed 4 to 15 mm."""


@dataclass(frozen=True, slots=True)
class Fit:
    """One least-squares line.

    Parameters
    ----------
    of
        The predictors.
    coefficients
        The constant, then one for each predictor.
    deviation
        Residual standard error, mm (kilograms for the mass).
    """

    of: tuple[str, ...]
    coefficients: tuple[float, ...]
    deviation: float

    def expected(self, values: Mapping[str, float]) -> float:
        """What the predictors say."""
        terms = (c * values[name] for c, name in zip(self.coefficients[1:], self.of, strict=True))
        return self.coefficients[0] + math.fsum(terms)


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """The survey's women or men.

    Parameters
    ----------
    n
        How many people.
    span
        Least and greatest value of each measurement met in the survey, mm.
    means
        Of each measurement.
    covariances
        Of each two, in the order of ``means``.
    """

    n: int
    span: Mapping[str, tuple[float, float]]
    means: Mapping[str, float]
    covariances: Sequence[Sequence[float]]

    def covers(self, values: Mapping[str, float]) -> bool:
        """Whether there are height, chest and waist, and all predictors lie within what the survey met."""
        if any(name not in values for name in PREDICTORS[:3]):
            return False
        return all(self.met(name, values[name]) for name in PREDICTORS if name in values)

    def met(self, key: str, value: float) -> bool:
        """Whether a value lies within what the survey met."""
        low, high = self.span[key]
        return low <= value <= high

    def line(self, key: str, of: Iterable[str]) -> Fit:
        """The least-squares line of a measurement from others, and its residual standard error.

        Examples
        --------
        >>> line = tables()["female"].line("hip_girth", ["stature", "chest_girth", "waist_girth"])
        >>> round(line.deviation)
        42
        """
        return _line(self, key, tuple(of))

    def fit(self, key: str, values: Mapping[str, float]) -> Fit | None:
        """The line for a measurement from height, chest, waist and, where it is there, hip; None if it is not in the survey."""
        if key not in self.means:
            return None
        of = tuple(name for name in PREDICTORS if name in values and name != key)
        whole = len(of) >= 3 or (key in PREDICTORS[:3] and len(of) == 2)
        return self.line(key, of) if whole else None

    def deviations(self, values: Mapping[str, float], *, as_in_survey: bool = False) -> dict[str, float]:
        """How far each measurement lies from what the predictors say, in residual deviations.

        Parameters
        ----------
        values
            Measurements by key, mm; the greatest girth of the chest or bust as ``chest_girth``.
        as_in_survey
            Whether they were taken as the survey took them, so that no band is widened.
        """
        found = {}
        for key, value in values.items():
            fit = self.fit(key, values)
            if fit is not None:
                other = 0.0 if as_in_survey else TAKEN_OTHERWISE.get(key, 0.0)
                found[key] = (value - fit.expected(values)) / math.hypot(fit.deviation, other)
        return found

    def precision(self, keys: Iterable[str]) -> tuple[tuple[float, ...], ...]:
        """The inverse of the covariances of some measurements as dressmakers take them at home."""
        return _precision(self, tuple(keys))


@functools.cache
def _line(table: Table, key: str, of: tuple[str, ...]) -> Fit:
    place = {name: k for k, name in enumerate(table.means)}
    rows, own, covariances = [place[name] for name in of], place[key], table.covariances
    slopes = solved([[covariances[i][j] for j in rows] for i in rows], [covariances[i][own] for i in rows])
    constant = table.means[key] - math.fsum(b * table.means[name] for b, name in zip(slopes, of, strict=True))
    left = covariances[own][own] - math.fsum(b * covariances[i][own] for b, i in zip(slopes, rows, strict=True))
    freedom = (table.n - 1) / (table.n - 1 - len(of))
    return Fit(of, (constant, *slopes), math.sqrt(max(left, 0.0) * freedom))


@functools.lru_cache(maxsize=64)
def _precision(table: Table, keys: tuple[str, ...]) -> tuple[tuple[float, ...], ...]:
    place = {name: k for k, name in enumerate(table.means)}
    matrix = [[table.covariances[place[one]][place[two]] for two in keys] for one in keys]
    for k, key in enumerate(keys):
        home = AT_HOME / 10 if key == "body_mass" else AT_HOME
        matrix[k][k] += home**2 + TAKEN_OTHERWISE.get(key, 0.0) ** 2
    return inverse(matrix)


@functools.cache
def tables() -> Mapping[str, Table]:
    """The tables by name, ``female`` and ``male``.

    Examples
    --------
    >>> {name: table.n for name, table in tables().items()}
    {'female': 1986, 'male': 4082}
    """
    raw = json.loads(files("firsthand.body").joinpath("survey.json").read_text(encoding="utf-8"))
    return {name: _table(entry) for name, entry in raw["tables"].items()}


def _table(entry: dict[str, Any]) -> Table:
    rows = entry["covariances"]
    size = range(len(rows))
    return Table(
        n=entry["n"],
        span={name: (low, high) for name, (low, high) in entry["range"].items()},
        means=entry["means"],
        covariances=tuple(tuple(rows[max(i, j)][min(i, j)] for j in size) for i in size),
    )
