"""A body: measurements, as taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from firsthand.errors import NotThere

__all__ = ["Body", "Estimate", "Measurement", "MeasurementKind", "Sort"]


class Sort(StrEnum):
    """What a measurement is."""

    GIRTH = "girth"
    LENGTH = "length"
    ANGLE = "angle"
    MASS = "mass"


@dataclass(frozen=True, slots=True)
class MeasurementKind:
    """A kind of measurement.

    Parameters
    ----------
    key
        Its canonical key, as ``waist_girth``.
    trade
        What dressmakers call it.
    sort
        Girths are taken twice; lengths are mm, angles radians, masses kilograms.
    definition
        How it is taken.
    caveat
        Where the survey took it otherwise.
    """

    key: str
    trade: str
    sort: Sort
    definition: str
    caveat: str = ""


@dataclass(frozen=True, slots=True)
class Measurement:
    """One measurement.

    Parameters
    ----------
    key
        Its canonical key, as ``waist_girth``.
    value
        Millimetres (``body_mass``: kilograms; ``shoulder_slope``: radians).
    again
        The second reading, where it was taken twice.
    typed
        What was typed.
    estimated
        Whether nobody took it: it was estimated from the others. Whatever is made from it says so.
    low, high
        The band of an estimate: nine bodies in ten lie within it.
    """

    key: str
    value: float
    again: float | None = None
    typed: str = ""
    estimated: bool = False
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Estimate:
    """What a measurement that was not taken may be.

    Parameters
    ----------
    key
        Of the measurement.
    value
        The most likely value, mm (kilograms for the mass).
    low, high
        Nine bodies in ten with the same other measurements lie within.
    of
        Keys of the measurements it was estimated from, the one that tells most first.
    n
        How many people the survey's table is of.
    words
        The same in a sentence.
    """

    key: str
    value: float
    low: float
    high: float
    of: tuple[str, ...]
    n: int
    words: str


@dataclass(frozen=True, slots=True)
class Body:
    """A wearer or a dress form.

    Parameters
    ----------
    table
        Which survey table fits best for plausibility: ``female``, ``male`` or empty for "do not judge".
    child
        Whether cautions and tables for children apply.
    form
        Whether it is a dress form: its measurements are compared with no survey.
    """

    id: str
    name: str
    measurements: Mapping[str, Measurement] = field(default_factory=dict)
    table: str = ""
    child: bool = False
    date: str = ""
    over: str = ""
    """What the measurements were taken over."""
    form: bool = False

    def value(self, key: str) -> float:
        """A measurement, mm.

        Raises
        ------
        NotThere
            If it was not taken.
        """
        if key not in self.measurements:
            raise NotThere("measurement", key, self.measurements)
        return self.measurements[key].value

    def get(self, key: str) -> float | None:
        """A measurement, mm, or None."""
        found = self.measurements.get(key)
        return None if found is None else found.value
