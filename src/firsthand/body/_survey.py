"""What a survey of bodies says: small regression tables, and how far a body lies from them."""

from __future__ import annotations

import functools
import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

__all__ = ["PREDICTORS", "Fit", "Table", "tables"]

PREDICTORS = ("stature", "chest_girth", "waist_girth", "hip_girth")
"""What everything else is predicted from; without the hip where it is not known."""

TAKEN_OTHERWISE = {
    "waist_girth": 30.0, "upper_arm_girth": 25.0, "forearm_girth": 10.0, "back_waist_length": 35.0, "waist_height": 35.0,
    "crotch_length": 50.0, "crotch_length_back": 30.0, "arm_length": 12.0, "upper_arm_length": 15.0, "ankle_girth": 12.0,
}  # fmt: skip
"""How far the survey's way of taking a measurement may differ from a dressmaker's, mm: it widens the band. From memory."""


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


@dataclass(frozen=True, slots=True)
class Table:
    """The survey's women or men.

    Parameters
    ----------
    span
        Least and greatest value of each predictor met in the survey, mm.
    fits
        For each measurement its lines, the one with most predictors first.
    """

    n: int
    span: Mapping[str, tuple[float, float]]
    fits: Mapping[str, tuple[Fit, ...]]

    def covers(self, values: Mapping[str, float]) -> bool:
        """Whether there are height, chest and waist, and all predictors lie within what the survey met."""
        if any(name not in values for name in PREDICTORS[:3]):
            return False
        return all(low <= values[name] <= high for name, (low, high) in self.span.items() if name in values)

    def fit(self, key: str, values: Mapping[str, float]) -> Fit | None:
        """The best line for a measurement with the predictors there are."""
        return next((fit for fit in self.fits.get(key, ()) if all(name in values for name in fit.of)), None)

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
    return Table(
        n=entry["n"],
        span={name: (low, high) for name, (low, high) in entry["range"].items()},
        fits={
            key: tuple(Fit(tuple(f["from"]), tuple(f["coefficients"]), f["deviation"]) for f in found)
            for key, found in entry["fits"].items()
        },
    )
