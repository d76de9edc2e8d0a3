"""What it is like to wear a garment: on and off, closing it, sitting, kneeling, reaching, walking."""

from __future__ import annotations

import math
from collections.abc import Sequence

from firsthand.body import Body
from firsthand.errors import GeometryError
from firsthand.fit._lengths import length_table
from firsthand.fit.model import EaseRow, WearingRow
from firsthand.fit.wearing._case import Case
from firsthand.fit.wearing._closing import closing_rows
from firsthand.fit.wearing._moving import moving_rows
from firsthand.fit.wearing._on import getting_on, opening_rows
from firsthand.fit.wearing._table import WEARING_KEYS
from firsthand.pattern import Garment

__all__ = ["WEARING_KEYS", "wearing"]


def wearing(
    garment: Garment,
    body: Body,
    *,
    rows: Sequence[EaseRow],
    stretch: float,
    growth: float | None = None,
    along: float = 0.0,
    lengths: Sequence[EaseRow] | None = None,
) -> tuple[WearingRow, ...]:
    """Whether the wearer gets a garment on, closes it alone, and can sit, kneel, reach and walk in it.

    Parameters
    ----------
    garment, body
        The garment as it is now, and who wears it.
    rows
        Its ease table: body girths with what is worn beneath, and finished girths.
    stretch, along
        How far the cloth stretches round the body and along it, as shares.
    growth
        What is left of a stretch held, as a share of the length; None if not known.
    lengths
        See :func:`firsthand.fit.length_table`; worked out if it is not given.

    Returns
    -------
    tuple of WearingRow
        First how it goes on, then each opening, each closure, and each movement that the garment can hinder. A question that
        cannot be answered says what is missing.

    Raises
    ------
    GeometryError
        If a stretch is negative or no number.

    Notes
    -----
    An opening is as large as all its edges together: a slit counts on both sides, as they move apart. Half of the cloth's
    stretch is called easy, all of it tight. What is round the neck is never reckoned with stretch to be worn, only to be
    passed over the head.
    """
    for value in (stretch, along, growth or 0.0):
        if not math.isfinite(value) or value < 0:
            raise GeometryError(f"a stretch must be zero or more, not {value}")
    if lengths is None:
        lengths = length_table(garment, body, stretch=stretch, along=along)
    case = Case(
        garment,
        body,
        {row.body_key: row for row in rows},
        {row.body_key: row for row in lengths if row.body_key},
        stretch,
        along,
        growth,
    )
    on = getting_on(case)
    return (*([on] if on else []), *opening_rows(case), *closing_rows(case), *moving_rows(case))
