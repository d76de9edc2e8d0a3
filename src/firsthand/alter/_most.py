"""How much of an alteration is possible."""

from __future__ import annotations

import math
from collections.abc import Callable

from firsthand.alter.moving.reshape import Crosses

__all__ = ["most_possible"]

FINE = 0.25
"""The most is found to this, mm, before it is rounded to a whole millimetre."""


def most_possible(attempt: Callable[[float], object], amount: float) -> float:
    """The most of an amount with which an attempt does not cross anything, rounded towards nothing to whole mm.

    Parameters
    ----------
    attempt
        Tries an amount; raises :class:`Crosses` where it is too much. Nothing at all is taken to be possible.
    amount
        The amount wanted, mm; with the sign that says which way.

    Examples
    --------
    >>> def room(amount: float) -> None:
    ...     if amount > 41.3:
    ...         raise Crosses("the other side")
    >>> most_possible(room, 60.0), most_possible(room, 30.0)
    (41.0, 30.0)
    """
    if _goes(attempt, amount):
        return amount
    low, high = 0.0, 1.0
    while (high - low) * abs(amount) > FINE:
        middle = (low + high) / 2
        low, high = (middle, high) if _goes(attempt, middle * amount) else (low, middle)
    whole = math.copysign(math.floor(high * abs(amount)), amount)
    return whole if _goes(attempt, whole) else math.copysign(math.floor(low * abs(amount)), amount)


def _goes(attempt: Callable[[float], object], amount: float) -> bool:
    try:
        attempt(amount)
    except Crosses:
        return False
    return True
