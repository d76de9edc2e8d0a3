"""What was measured at the table, as it is typed: before and after, or the share itself."""

from __future__ import annotations

import math
import re

from firsthand.errors import GeometryError
from firsthand.fabric._traits import SHARES, STIFFEST
from firsthand.units import Unit, parse_length, parse_share, said

__all__ = ["GRAVITY", "parse_growth", "parse_stretch", "pull_tension"]

GRAVITY = 9.80665
"""m/s2; standard acceleration of gravity (3rd General Conference on Weights and Measures, 1901)."""

_TWO = re.compile(r"(?P<rest>.*\S)\s+(?P<word>to|after|->|→)\s+(?P<then>\S.*)", re.IGNORECASE)


def parse_stretch(typed: str | float, unit: Unit = Unit.MM) -> float:
    """How far a cloth stretches, from what was typed: ``10 cm to 13 cm``, ``30 %`` or 0.3.

    Parameters
    ----------
    typed
        A share, or the length at rest and the length it reached.
    unit
        The unit of numbers without one; where only one of the two has a unit, the other has the same.

    Returns
    -------
    float
        ``(stretched - rest) / rest``.

    Raises
    ------
    ValueError
        If it cannot be read, is negative, or more than five times the length.

    Examples
    --------
    >>> parse_stretch("10 cm to 13 cm"), parse_stretch("4 to 5 in"), parse_stretch(0.3), parse_stretch("75 %")
    (0.3, 0.25, 0.3, 0.75)
    >>> parse_stretch("13 cm to 10 cm")
    Traceback (most recent call last):
    ...
    ValueError: '13 cm to 10 cm' becomes shorter: write the length at rest first, as 10 cm to 13 cm
    """
    return _share(typed, unit, "10 cm to 13 cm", SHARES["stretch_across"])


def parse_growth(typed: str | float, unit: Unit = Unit.MM) -> float:
    """What is left of a stretch after holding and resting: ``10 cm after 10.3 cm`` (10 cm became 10.3 cm), ``3 %`` or 0.03.

    Raises
    ------
    ValueError
        If it cannot be read, is negative, or more than half the length.

    Examples
    --------
    >>> parse_growth("10 cm after 10.3 cm"), parse_growth("5 in to 5 1/4 in"), parse_growth(0)
    (0.03, 0.05, 0.0)
    """
    return _share(typed, unit, "10 cm after 10.3 cm", SHARES["growth"])


def pull_tension(width: float, weight: float, rest: float, pulled: float) -> tuple[float, float]:
    """Tension of a strip that a weight hangs from, and its strain.

    Parameters
    ----------
    width
        Width of the strip, mm.
    weight
        Of the weight that hangs from it, grams.
    rest, pulled
        Between two marks before and with the weight, mm.

    Returns
    -------
    tuple of float
        Newtons per metre of width: ``weight x g / width``; the strain ``(pulled - rest) / rest``.

    Raises
    ------
    GeometryError
        If a number is not above zero, the strip did not become longer, or the pull is one that no cloth for clothes takes.

    Examples
    --------
    >>> tension, strain = pull_tension(50.0, 500.0, 100.0, 120.0)
    >>> round(tension, 4), strain
    (98.0665, 0.2)
    """
    if not all(math.isfinite(one) and one > 0 for one in (width, weight, rest, pulled)):
        raise GeometryError("width, weight and both lengths of a pull test must be above zero")
    if pulled <= rest:
        raise GeometryError(f"a strip pulled from {said(rest)} to {said(pulled)} did not stretch: hang more weight from it")
    tension, strain = weight / 1000.0 * GRAVITY / (width / 1000.0), round((pulled - rest) / rest, 12)
    if tension > STIFFEST or strain > SHARES["stretch_across"]:
        raise GeometryError(
            f"{weight:g} g on a strip of {said(width)} to {strain:.0%} is no pull on a cloth: look at the units"
        )
    return tension, strain


def _share(typed: str | float, unit: Unit, example: str, most: float) -> float:
    found = _TWO.fullmatch(typed.strip()) if isinstance(typed, str) else None
    if found:
        rest, then = (parse_length(text, _unit(found, unit)) for text in (found["rest"], found["then"]))
        if not rest > 0:
            raise ValueError(f"{typed!r} begins with nothing: write a length at rest above zero, as {example}")
        if then < rest:
            raise ValueError(f"{typed!r} becomes shorter: write the length at rest first, as {example}")
        share = round((then - rest) / rest, 12)
    else:
        try:
            share = parse_share(typed)
        except ValueError:
            raise ValueError(f"{typed!r} is not a stretch: write for example {example}, 30 % or 0.3") from None
    if share < 0:
        raise ValueError(f"{share:g} is not at least 0 %")
    if share > most:
        raise ValueError(f"{share:g} is not at most {most * 100:g} %")
    return share


def _unit(found: re.Match[str], unit: Unit) -> Unit:
    """Where only one of the two lengths has a unit, that is meant for both."""
    for text in (found["then"], found["rest"]):
        word = re.search(r"[a-zA-Z\"″]+$", text.strip())
        if word:
            return {"cm": Unit.CM, "mm": Unit.MM, "m": Unit.M, "yd": Unit.YARD}.get(word[0].lower(), Unit.INCH)
    return unit
