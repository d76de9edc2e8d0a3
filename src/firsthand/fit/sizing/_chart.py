"""Where a body falls in the printed chart."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from firsthand.body import Body, stand_in, taken
from firsthand.errors import GeometryError
from firsthand.fit.sizing._rules import ALIKE
from firsthand.fit.sizing.model import ChartPlace

__all__ = ["chart_keys", "chart_places", "place_in"]


def chart_keys(chart: Mapping[str, Mapping[str, float]]) -> tuple[str, ...]:
    """The measurements that a chart names, each once."""
    return tuple(dict.fromkeys(key for row in chart.values() for key in row))


def chart_places(
    sizes: Sequence[str], chart: Mapping[str, Mapping[str, float]], body: Body, frame: float | None
) -> tuple[ChartPlace, ...]:
    """Where each measurement falls that the chart gives for at least one size and the body has.

    Parameters
    ----------
    frame
        The full bust to look up instead of the body's, mm; see :func:`firsthand.fit.sizing._rules.bust_frame`.
    """
    found = []
    for key in chart_keys(chart):
        measured = taken(body, key)
        told = [(size, chart[size][key]) for size in sizes if key in chart.get(size, {})]
        if measured is None or not told:
            continue
        bust = "bust_girth" in (key, stand_in(key)) and frame is not None
        place = place_in(key, frame if bust and frame is not None else measured.value, told)
        found += [place] if place is not None else []
    return tuple(found)


def place_in(key: str, body: float, told: Sequence[tuple[str, float]]) -> ChartPlace | None:
    """Where a measurement falls among sizes and what each is meant for, smallest first.

    A size is meant for what lies nearest to its own value (EN 13402-3: the nearest value of the table designates), half way
    between two the larger one. None if the values do not grow from size to size: then they tell no sizes apart.

    Raises
    ------
    GeometryError
        If the measurement is no length above zero.

    Examples
    --------
    >>> place = place_in("hip_girth", 1010.0, [("M", 1000.0), ("L", 1040.0)])
    >>> place.lower, place.upper, place.share, place.size
    ('M', 'L', 0.25, 'M')
    """
    if not (math.isfinite(body) and body > 0):
        raise GeometryError(f"{key} must be a length above zero, not {body}")
    values = [value for _, value in told]
    if any(two <= one for one, two in pairwise(values)) or not all(math.isfinite(value) for value in values):
        return None
    size, asked = min(reversed(told), key=lambda one: abs(one[1] - body))
    if abs(asked - body) < ALIKE:
        return ChartPlace(key, body, size, size, 0.0, 0.0, size, asked)
    for (lower, low), (upper, high) in pairwise(told):
        if low <= body <= high:
            return ChartPlace(key, body, lower, upper, (body - low) / (high - low), 0.0, size, asked)
    return ChartPlace(key, body, size, size, 0.0, body - asked, size, asked)
