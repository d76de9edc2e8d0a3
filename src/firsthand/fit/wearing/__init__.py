"""What it is like to wear a garment: on and off, closing it, sitting, kneeling, reaching, walking."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from firsthand.body import Body, refuse_nonsense
from firsthand.errors import GeometryError
from firsthand.fabric import SHARES
from firsthand.fit import _places as places
from firsthand.fit._lengths import length_table
from firsthand.fit.model import EaseRow, WearingRow
from firsthand.fit.wearing._case import Case
from firsthand.fit.wearing._closing import closing_rows
from firsthand.fit.wearing._moving import moving_rows
from firsthand.fit.wearing._on import getting_on, opening_rows
from firsthand.fit.wearing._openings import Place, place_of
from firsthand.fit.wearing._table import WEARING_KEYS
from firsthand.pattern import UNDER_ROLES, Garment

__all__ = ["WEARING_KEYS", "told_once", "wearing", "wearing_needs"]

_STEP = ("stature", "waist_height", "waist_to_hip", "inside_leg_length", "knee_girth", "calf_girth")
NEEDS = {
    Place.ARMHOLE: ("armscye_girth", "upper_arm_girth"), Place.WRIST: ("hand_girth",), Place.LEG: ("heel_ankle_girth",),
    Place.NECK: ("head_girth", "hip_girth"), Place.WAIST: ("waist_girth", "hip_girth", "bust_girth", "chest_girth"),
    Place.HEM: ("bust_girth", "chest_girth", "hip_girth", *_STEP),
}  # fmt: skip


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
        if value > SHARES["stretch_across"]:
            raise GeometryError(f"no cloth stretches by {value:.3g} times its length")
    refuse_nonsense(body)
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


def wearing_needs(garment: Garment) -> tuple[str, ...]:
    """Keys of the measurements that the questions of wearing are answered with for a garment, where they were taken.

    Told from its openings and edges, so that what it does not raise is not asked for.
    """
    case = Case(garment, Body("", ""), {})
    needs: list[str] = []
    for place in {place_of(garment, opening) for opening in garment.openings}:
        needs += NEEDS.get(place, ())
    if any(closure.at_neck for closure in garment.closures):
        needs.append("neck_girth")
    shell = places.shell_pieces(garment)
    if case.upper and places.has_edge(shell, places.ARMHOLE):
        needs += ["back_width", "front_width", "head_girth", "bust_girth", "chest_girth", "hip_girth"]
    if case.legs:
        needs += ["hip_girth", "body_rise", "crotch_length"] + (["trunk_circumference"] if case.upper else [])
    return tuple(key for key in WEARING_KEYS if key in needs)


def told_once(rows: Iterable[WearingRow]) -> tuple[WearingRow, ...]:
    """Rows as they are told to people: openings of which the same is to be said stand together, and what the way of getting
    it on says already is not said again.
    """
    kept: dict[tuple[str, ...], list[WearingRow]] = {}
    on = ""
    for row in rows:
        if row.ask == "get it on":
            on = row.words
        elif on and row.about and ": " in row.ask and row.words in on:
            continue
        question = row.ask.removeprefix(row.about)
        key = (question, row.verdict, row.words, row.remedy) if row.about else (row.ask, str(len(kept)))
        kept.setdefault(key, []).append(row)
    return tuple(
        replace(same[0], ask=same[0].ask.replace(same[0].about, _together([row.about for row in same]), 1))
        if same[1:]
        else same[0]
        for same in kept.values()
    )


_SORTS = frozenset({"right", "left", "centre", *UNDER_ROLES, "shell"})


def _together(names: Sequence[str]) -> str:
    """Openings or closures named once where they differ by hand and layer only.

    Examples
    --------
    >>> _together(["armhole shell right", "armhole shell left", "armhole lining right", "hem"])
    'each armhole, hem'
    """
    plain: dict[str, list[str]] = {}
    for name in names:
        plain.setdefault(" ".join(word for word in name.split() if word not in _SORTS) or name, []).append(name)
    return ", ".join(f"each {short}" if len(same) > 1 else same[0] for short, same in plain.items())
