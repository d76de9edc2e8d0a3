"""The ease table."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from firsthand.body import Body, stand_in, taken
from firsthand.errors import GeometryError
from firsthand.fabric import THICKEST
from firsthand.fit._bands import ease_band
from firsthand.fit.model import EaseBand, EaseRow, Verdict
from firsthand.pattern import Garment, Level, girth
from firsthand.units import said

__all__ = ["beneath", "ease_table", "girth_beneath", "lower_first"]

SLACK = 1.0
"""Ease this little outside its band, mm, is within it: nobody sews closer."""


def girth_beneath(thicknesses: Iterable[float]) -> float:
    """What layers worn beneath add to a girth, mm.

    Geometry: round a body of any convex section a layer of thickness t runs longer by 2 pi t.

    Examples
    --------
    >>> round(girth_beneath([0.5, 2.0]), 2)
    15.71
    """
    given = list(thicknesses)
    if any(not math.isfinite(t) or t < 0 for t in given):
        raise GeometryError(f"a thickness must be zero or more, not {given}")
    return 2 * math.pi * math.fsum(given)


def beneath(layers: Iterable[tuple[float, Iterable[str]]]) -> dict[str, float]:
    """Girth added by garments worn beneath, mm, by body measurement.

    Parameters
    ----------
    layers
        For each garment its thickness, mm, and the keys of the body measurements where it lies.

    Examples
    --------
    >>> added = beneath([(0.5, ["bust_girth", "wrist_girth"]), (2.0, ["bust_girth"])])
    >>> {key: round(value, 2) for key, value in added.items()}
    {'bust_girth': 15.71, 'wrist_girth': 3.14}
    """
    thick: dict[str, list[float]] = {}
    for thickness, keys in layers:
        for key in sorted(set(keys)):
            thick.setdefault(key, []).append(thickness)
    return {key: girth_beneath(found) for key, found in thick.items()}


def ease_table(
    garment: Garment,
    body: Body,
    *,
    beneath: Mapping[str, float] | None = None,
    stretch: float = 0.0,
    thickness: float = 0.0,
) -> tuple[EaseRow, ...]:
    """Ease at every level of a garment.

    Parameters
    ----------
    garment, body
        The garment as it is now, and who wears it.
    beneath
        Girth added by what is worn beneath, mm, by body measurement; under ``""`` for all others. See :func:`beneath`.
    stretch
        How far the cloth stretches round the body, as a share.
    thickness
        Thickness of the garment's own cloth, mm. The finished girth is that of its middle, so half of it lies inside.
        More than any cloth has counts as not known.

    Returns
    -------
    tuple of EaseRow
        One for each level, in the pattern's order. What cannot be known is None, with the verdict ``UNKNOWN``.
    """
    for value in (stretch, thickness, *(beneath or {}).values()):
        if not math.isfinite(value) or value < 0:
            raise GeometryError(f"stretch, thickness and girth beneath must be zero or more, not {value}")
    own = math.pi * thickness if thickness <= THICKEST else 0.0
    return tuple(_row(garment, body, level, dict(beneath or {}), stretch, own) for level in garment.levels)


def _row(garment: Garment, body: Body, level: Level, beneath: dict[str, float], stretch: float, own: float) -> EaseRow:
    measured = taken(body, level.body)
    layers = _layers(level.body, beneath)
    clear = None if measured is None else measured.value + layers + own
    finished = girth(garment, level)
    band = None
    if measured is not None:
        band = ease_band(garment.sort, garment.cut, level.body, body=measured.value, stretch=stretch)
    why = [f"no measurement {level.body} of {body.name}" if measured is None else f"body {said(measured.value)}"]
    if measured is not None and measured.key != level.body:
        why.append(f"{measured.key} stands in for {level.body}")
    why += [f"worn beneath adds {said(layers)}"] if layers else []
    why += [f"half the thickness of its own cloth adds {said(own)}"] if own else []
    why += [f"{term.part}: {said(term.width)}" for term in finished.terms]
    why += [f"closure: {said(level.extra)}"] if level.extra else []
    why += [f"{piece} is only a card: the girth is not known" for piece in finished.missing]
    why += [finished.ended] if finished.ended else []
    if band is not None:
        why.append(f"wanted {said(band.low)} to {said(band.high)}: {band.source}")
    verdict = _verdict(clear, finished.total, band)
    note = finished.ended
    return EaseRow(garment.id, level.id, level.name, level.body, clear, finished.total, band, verdict, tuple(why), note)


def _layers(key: str, beneath: Mapping[str, float]) -> float:
    same = next((name for name in (key, stand_in(key)) if name in beneath), "")
    return beneath.get(same, 0.0)


def _verdict(body: float | None, finished: float | None, band: EaseBand | None) -> Verdict:
    if body is None or finished is None or band is None:
        return Verdict.UNKNOWN
    ease = finished - body
    if ease < band.low - SLACK:
        return Verdict.TIGHT
    return Verdict.LOOSE if ease > band.high + SLACK else Verdict.GOOD


def lower_first(name: str) -> str:
    """A level's name as it is written within a sentence.

    Examples
    --------
    >>> lower_first("Upper arm")
    'upper arm'
    """
    return name[:1].lower() + name[1:]
