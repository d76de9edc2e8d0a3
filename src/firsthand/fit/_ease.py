"""The ease table."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from firsthand.body import Body, refuse_nonsense, stand_in, taken
from firsthand.errors import GeometryError
from firsthand.fabric import SHARES, THICKEST
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.fit._bands import NECK_KEYS, ease_band, is_raglan
from firsthand.fit.model import EaseBand, EaseRow, Layer, Verdict
from firsthand.pattern import Garment, Level, girth
from firsthand.units import said

__all__ = ["band_findings", "beneath", "ease_table", "girth_beneath", "judged", "lower_first", "squeezed", "wanted_band"]

CONTRADICTORY = kind(
    "band-contradictory",
    Severity.FAULT,
    "The ease that a garment's brief asks for cannot be had: its least is more than its most, it names no level or measurement "
    "of the garment, it is less than the cloth can stretch to, or less than none at the neck. The tables' band is used, "
    "or what can be had of it. Write the least first, then the most.",
)
SQUEEZED = kind(
    "layer-squeezed",
    Severity.NOTE,
    "A garment worn beneath is larger round than the one on top of it, so that its cloth is squeezed into folds; a doubt where "
    "that is more than about a seventh. Folds take up room and show on top. Take the inner one in there, or let the outer out.",
)

LOFT = 3.0
"""Cloth squeezed into folds takes up so many times its thickness (common practice)."""
MUCH = 0.15
"""A share of squeezed cloth from which it is a doubt (common practice)."""
SQUEEZE = 5.0
"""Less than this, mm, is nothing."""

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
    layers: Sequence[Layer] = (),
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
    layers
        What is worn beneath, with its own girths: where it is larger than this garment its cloth is squeezed into folds, and
        those take up room beyond its thickness.

    Returns
    -------
    tuple of EaseRow
        One for each level, in the pattern's order. What cannot be known is None, with the verdict ``UNKNOWN``.
    """
    for value in (stretch, thickness, *(beneath or {}).values()):
        if not math.isfinite(value) or value < 0:
            raise GeometryError(f"stretch, thickness and girth beneath must be zero or more, not {value}")
    if stretch > SHARES["stretch_across"]:
        raise GeometryError(f"no cloth stretches by {stretch:.3g} times its length")
    if max((beneath or {}).values(), default=0.0) > MOST_BENEATH:
        raise GeometryError(f"no more than {said(MOST_BENEATH)} of girth can be worn beneath")
    refuse_nonsense(body)
    own = math.pi * thickness if thickness <= THICKEST else 0.0
    return tuple(_row(garment, body, level, dict(beneath or {}), (stretch, own), layers) for level in garment.levels)


def _row(
    garment: Garment,
    body: Body,
    level: Level,
    beneath: dict[str, float],
    cloth: tuple[float, float],
    worn: Sequence[Layer],
) -> EaseRow:
    stretch, own = cloth
    measured = taken(body, level.body)
    layers = _layers(level.body, beneath)
    finished = girth(garment, level)
    bulk = _bulk(level.body, worn, finished.total, own)
    clear = None if measured is None else measured.value + layers + own + bulk
    band = wanted_band(garment, level.id, level.body)
    if band is None and measured is not None:
        band = ease_band(
            garment.sort, garment.cut, level.body, body=measured.value, stretch=stretch, table=body.table,
            raglan=is_raglan(garment), child=body.child,
        )  # fmt: skip
    why = [f"no measurement {level.body} of {body.name}" if measured is None else f"body {said(measured.value)}"]
    if measured is not None and measured.key != level.body:
        why.append(f"{measured.key} stands in for {level.body}")
    why += [f"worn beneath adds {said(layers)}"] if layers else []
    why += [f"what is beneath is squeezed into folds: {said(bulk)} more"] if bulk >= 0.1 else []
    why += [f"half the thickness of its own cloth adds {said(own)}"] if own else []
    why += [f"{term.part}: {said(term.width)}" for term in finished.terms]
    why += [f"closure: {said(level.extra)}"] if level.extra else []
    why += [f"{piece} is only a card: the girth is not known" for piece in finished.missing]
    why += [finished.ended] if finished.ended else []
    if band is not None:
        why.append(f"wanted {said(band.low)} to {said(band.high)}: {band.source}")
    verdict = judged(clear, finished.total, band)
    note = finished.ended
    if not note and band is None and measured is not None:
        note = "no source says how much ease this wants"
    return EaseRow(garment.id, level.id, level.name, level.body, clear, finished.total, band, verdict, tuple(why), note)


def _girth_of(layer: Layer, key: str) -> float | None:
    return layer.girths.get(key, layer.girths.get(stand_in(key)))


def _surplus(layer: Layer, key: str, room: float) -> float:
    """By how much a garment beneath is larger than the room there is, mm."""
    inner = _girth_of(layer, key)
    over = 0.0 if inner is None else inner - room
    return over if over > SQUEEZE else 0.0


def _bulk(key: str, worn: Iterable[Layer], finished: float | None, own: float) -> float:
    """What squeezed cloth adds: so many layers more as it is longer than the room, each lofty.

    Cloth of thickness t, longer by s than a girth g, lies s / g times more often over itself on average.
    """
    room = 0.0 if finished is None else finished - own
    if room <= 0:
        return 0.0
    return girth_beneath([LOFT * layer.thickness * min(1.0, _surplus(layer, key, room) / room) for layer in worn])


def squeezed(garment: Garment, rows: Iterable[EaseRow], layers: Sequence[Layer]) -> Iterator[Finding]:
    """Where a garment beneath is larger than this one."""
    for row in rows:
        for layer in layers if row.finished else ():
            room, inner = row.finished or 0.0, _girth_of(layer, row.body_key)
            over = _surplus(layer, row.body_key, room)
            if inner is None or not over:
                continue
            yield SQUEEZED(
                f"{layer.name} is {said(inner)} round at the {lower_first(row.name)} and goes under"
                f" {garment.name or garment.id} of {said(room)}: it will be squeezed",
                where=(garment.id, row.level),
                remedy=f"Take {layer.name} in there by {said(over)}, let this one out, or mind the folds.",
                why=(f"{said(over)} of {said(room)} too much, {over / room:.0%}; folds take {LOFT:g} times their thickness",),
                severity=Severity.DOUBT if over > MUCH * room else Severity.NOTE,
            )


MOST_WANTED = 5000.0
"""Ease that nobody can mean, mm: a gathered skirt of the widest cloth has less (common practice)."""

MOST_BENEATH = 5000.0
"""Girth that nobody wears beneath, mm (common practice)."""


def wanted_band(garment: Garment, level: str, key: str) -> EaseBand | None:
    """The ease that the garment's brief asks for at a level; None if it asks for none, or for what cannot be."""
    name = next((n for n in (level, key, key.removesuffix("_girth")) if n in garment.wanted), None)
    if name is None:
        return None
    low, high = garment.wanted[name]
    if not (low <= high) or max(abs(low), abs(high)) > MOST_WANTED or (key in NECK_KEYS and high < 0):
        return None
    return EaseBand(max(low, 0.0) if key in NECK_KEYS else low, high, "the garment's brief")


def band_findings(garment: Garment, rows: Sequence[EaseRow], *, stretch: float = 0.0) -> Iterator[Finding]:
    """What cannot be had of the ease that the garment's brief asks for."""
    names = {name: row for row in rows for name in (row.body_key.removesuffix("_girth"), row.body_key, row.level)}
    for name, (low, high) in garment.wanted.items():
        row, where = names.get(name), (garment.id, name)
        if max(abs(low), abs(high)) > MOST_WANTED:
            words = f"{name}: ease of {said(low)} to {said(high)} is more than can be meant"
            remedy = "Look whether a digit or the unit is wrong."
            yield CONTRADICTORY(words, where=where, remedy=remedy, blocks=[Block("fit", garment.id)])
        elif not low <= high:
            yield CONTRADICTORY(f"{name}: the least ease wanted, {said(low)}, is more than the most, {said(high)}", where=where,
                                remedy="Write the least first, then the most.", blocks=[Block("fit", garment.id)])  # fmt: skip
        elif row is None and name != "sleeve head":
            yield CONTRADICTORY(f"{name or repr(name)} is neither a level nor a measurement of this garment", where=where,
                                remedy=f"Name one of {', '.join(r.level for r in rows)}.", severity=Severity.DOUBT)  # fmt: skip
        elif row is not None and row.body_key in NECK_KEYS and low < 0:
            yield CONTRADICTORY(f"{name}: nothing may be tighter than the neck; {said(low)} was asked for", where=where,
                                remedy="Ask for at least 0.")  # fmt: skip
        elif row is not None and row.body and (row.body + high) * (1 + stretch) < row.body:
            most = row.body * stretch / (1 + stretch)
            yield CONTRADICTORY(
                f"{name}: {said(-high)} smaller than the body was asked for, and the cloth reaches round it only if it is at"
                f" most {said(most)} smaller",
                where=where,
                remedy="Ask for less, or take a cloth that stretches more.",
                why=(f"(body + ease) x (1 + stretch {stretch:.0%}) is less than the body of {said(row.body)}",),
            )


def _layers(key: str, beneath: Mapping[str, float]) -> float:
    same = next((name for name in (key, stand_in(key)) if name in beneath), "")
    return beneath.get(same, 0.0)


def judged(body: float | None, finished: float | None, band: EaseBand | None) -> Verdict:
    """The verdict on ease in its band."""
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
