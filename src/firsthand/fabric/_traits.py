"""What a fabric's words and numbers say about it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import fields

from firsthand.errors import GeometryError
from firsthand.fabric import _table as table
from firsthand.fabric.model import Fabric, Nap, Structure
from firsthand.units import said

__all__ = [
    "SHARES",
    "STIFFEST",
    "THICKEST",
    "band",
    "believable_thickness",
    "has",
    "is_pile",
    "must_stretch",
    "refuse_nonsense",
    "words_of",
]

SHARES = {"stretch_across": 5.0, "stretch_along": 5.0, "growth": 0.5, "shrink_along": 0.5, "shrink_across": 0.5}
"""Highest shares that can be meant; more is a slip of the keyboard (40 typed for 40 %)."""

THICKEST = 25.0
"""No cloth is thicker, mm; more is a number in the wrong unit or the wrong place. Source: common practice (deep fur fabric)."""

STIFFEST = 5000.0
"""No cloth for clothes is pulled harder by hand, N per metre of width: 25 kg on a strip of 5 cm (common practice)."""


def believable_thickness(fabric: Fabric) -> float:
    """Its thickness, mm, if it can be meant; else nothing, as where it is not known."""
    return fabric.thickness if fabric.thickness <= THICKEST else 0.0


def refuse_nonsense(fabric: Fabric) -> None:
    """Refuse numbers without sense.

    Raises
    ------
    GeometryError
        If a number is not finite or negative, the width is nothing, the selvedges eat it, a share is too large, or a tension
        stands without the strain it was measured at.
    """
    for entry in fields(Fabric):
        value = getattr(fabric, entry.name)
        if isinstance(value, float | int) and not isinstance(value, bool) and not (math.isfinite(value) and value >= 0):
            raise GeometryError(f"fabric {fabric.id}: {entry.name} must be zero or more, not {value}")
    if fabric.usable_width <= 0:
        raise GeometryError(
            f"fabric {fabric.id}: no width is left between selvedges of {said(fabric.selvedge)} on {said(fabric.width)}"
        )
    for name, most in SHARES.items():
        if (getattr(fabric, name) or 0.0) > most:
            raise GeometryError(f"fabric {fabric.id}: {name} is a share, {getattr(fabric, name)} is above {most}")
    if (fabric.tension > 0) != (fabric.tension_at > 0):
        raise GeometryError(f"fabric {fabric.id}: a tension and the strain it was measured at are known together or not at all")
    if fabric.tension_at > SHARES["stretch_across"]:
        raise GeometryError(f"fabric {fabric.id}: nothing is pulled to {fabric.tension_at:.0%} more than its length")
    if fabric.tension > STIFFEST:
        raise GeometryError(f"fabric {fabric.id}: a tension of {fabric.tension:.0f} N/m is above {STIFFEST:.0f}")


def words_of(fabric: Fabric) -> frozenset[str]:
    """Words of fibre and sort, lower case; the fibre is trusted before the sort."""
    return frozenset(re.findall(r"[a-zäöüéè-]+", f"{fabric.fibre} {fabric.sort}".lower()))


def has(fabric: Fabric, words: Iterable[str]) -> bool:
    """Whether the fabric's fibre or sort is one of some words."""
    return not words_of(fabric).isdisjoint(words)


def is_pile(fabric: Fabric) -> bool:
    """Whether it has a pile."""
    return has(fabric, table.PILE_SORTS)


def band(fabric: Fabric) -> table.Band:
    """Its band of weight: the heavier of what weight and thickness say; medium if neither is known."""
    if not fabric.weight and not fabric.thickness:
        return table.BANDS[1]
    return next(row for row in table.BANDS if fabric.weight <= row.weight and fabric.thickness <= row.thickness)


def must_stretch(fabric: Fabric) -> bool:
    """Whether its seams must stretch: from the table's share on, and any knit whose stretch nobody measured."""
    stretch = max(fabric.stretch_across, fabric.stretch_along)
    return stretch >= table.STRETCH_SEAM or (fabric.structure is Structure.KNIT and stretch == 0)


def one_way(fabric: Fabric) -> bool:
    """Whether all tops lie one way."""
    return fabric.nap is Nap.ONE_WAY
