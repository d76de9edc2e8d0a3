"""Pressure of a stretched cloth on the body, by Laplace's law."""

from __future__ import annotations

import math

from firsthand.errors import GeometryError
from firsthand.fit.cloth._table import HIGH, KPA_PER_MMHG, LOW

__all__ = ["band_of", "laplace", "mmhg", "strain_at"]


def laplace(tension: float, girth: float) -> float:
    """Pressure of a cloth on a cylinder: ``p = T / r`` with ``r = girth / 2 pi``.

    Parameters
    ----------
    tension
        Newtons per metre of width; of several layers their sum.
    girth
        Girth of the cylinder, mm.

    Returns
    -------
    float
        Kilopascals.

    Raises
    ------
    GeometryError
        If the tension is negative, the girth is not above zero, or either is not finite.

    Examples
    --------
    A tension of 1 N/cm on a girth of 20 cm is 471.3 / 20 mmHg (S. Thomas, World Wide Wounds 2003, in other units).

    >>> round(laplace(100.0, 200.0), 4), round(mmhg(laplace(100.0, 200.0)), 2)
    (3.1416, 23.56)
    """
    if not (math.isfinite(tension) and tension >= 0 and math.isfinite(girth) and girth > 0):
        raise GeometryError(f"no pressure follows from a tension of {tension} N/m on a girth of {girth} mm")
    return 2 * math.pi * tension / girth  # N/m over mm is kPa


def band_of(pressure: float) -> tuple[float, float]:
    """The band that a pressure by the law lies in, in the same unit.

    Examples
    --------
    >>> low, high = band_of(2.0)
    >>> round(low, 2), high
    (1.16, 2.5)
    """
    return LOW * pressure, HIGH * pressure


def mmhg(pressure: float) -> float:
    """Kilopascals in millimetres of mercury.

    Examples
    --------
    >>> round(mmhg(0.133322), 6)
    1.0
    """
    return pressure / KPA_PER_MMHG


def strain_at(pressure: float, girth: float, stiffness: float) -> float:
    """The strain at which the upper end of the band reaches a pressure; tension grows in proportion to the strain.

    Parameters
    ----------
    pressure
        kPa.
    girth
        Of the body, mm.
    stiffness
        Newtons per metre of width for a strain of one; above zero.
    """
    return pressure * girth / (2 * math.pi * HIGH * stiffness)
