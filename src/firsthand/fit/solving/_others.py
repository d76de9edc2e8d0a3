"""What seams do not answer: alterations of other kinds, driven by a measurement and tried on the garment first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from firsthand.alter import level_at
from firsthand.body import Body, taken
from firsthand.errors import FirsthandError
from firsthand.fit import _places as places
from firsthand.fit._ease import SLACK, lower_first
from firsthand.fit._entries import suggested
from firsthand.fit.faults import Mend, ready
from firsthand.fit.model import EaseRow, Suggested, Verdict
from firsthand.fit.solving._solve import INSIDE, MOST_INSIDE
from firsthand.pattern import Garment, Piece, Shape
from firsthand.units import said

__all__ = ["Others", "others", "others_need"]

GIRTHS: Mapping[str, tuple[Mend, ...]] = {
    "bust_girth": (Mend("in the front alone, over the bust", kind="bust"),),
    "upper_arm_girth": (Mend("in the sleeve alone, its cap made to fit", kind="upper-arm"),),
    "calf_girth": (Mend("at the calf alone, running out above and below", kind="calf"),),
}
"""Kinds that a girth drives."""
LENGTHS: Mapping[str, tuple[Mend, ...]] = {
    "body_rise": (Mend("at the level of the hip", kind="lengthen", fields={"level": "hip"}),),
    "crotch_length": (
        Mend("over the seat", kind="seat"),
        Mend("over the belly", kind="belly"),
        Mend("at the point of the crotch, at the back", kind="crotch-curve", role="back"),
    ),
    "trunk_circumference": (Mend("at the level of the waist", kind="lengthen", fields={"level": "waist"}),),
    "back_waist_length": (
        Mend("at the level of the waist", kind="lengthen", fields={"level": "waist"}),
        Mend("between the shoulder blades", kind="round-back"),
    ),
    "shoulder_slope": (Mend("at the shoulders, the armhole as long as before", kind="shoulder-slope"),),
}
"""Kinds that a length or an angle drives."""
BACK_EASE = (0.0, 20.0)
"""Ease wanted in the length of the back from neck to waist, mm (common practice: up to 2 cm, so that one can bend)."""
SLOPE_OFF = math.radians(3.0)
"""A shoulder that is off by less is padded or worn as it is (common practice: 3 degrees are about 7 mm at the tip)."""
REACH, STEEP = (50.0, 250.0), math.radians(45.0)
"""An edge called shoulder that reaches out less or further than this, mm, or falls more steeply, is no shoulder of a body."""
HELPS = 0.5
"""A kind is proposed if it takes away at least this share of what is lacking."""
MOST: Mapping[str, float] = {
    "bust": 100.0, "seat": 60.0, "belly": 60.0, "round-back": 40.0, "shoulder-slope": 40.0, "crotch-curve": 60.0,
    "upper-arm": 80.0, "calf": 80.0, "lengthen": 150.0,
}  # fmt: skip
"""What can be put in at one place at the most, mm; beyond it another size is the better start (from memory)."""
FURTHER = 1.5
"""An amount is corrected to no more than this many times what is lacking."""
TRIES = 3
NEAR = 0.5
"""An amount is corrected until what is wanted is met to this, mm."""

Lengths = Callable[[Garment], tuple[EaseRow, ...]]
Table = Callable[[Garment], tuple[EaseRow, ...]]


@dataclass(frozen=True, slots=True)
class Others:
    """Alterations that were tried and help, and what others lack to be tried."""

    found: tuple[Suggested, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Lack:
    """What a garment lacks at one place.

    Parameters
    ----------
    name
        In words.
    key
        The measurement.
    by
        How much longer or wider it must become, mm; negative smaller.
    measure
        What is then longer or wider, mm, on a garment.
    """

    name: str
    key: str
    by: float
    measure: Callable[[Garment], float | None]


def others_need(garment: Garment) -> tuple[str, ...]:
    """The measurements that other kinds ask for, beside those of the garment's levels.

    Examples
    --------
    >>> others_need(Garment("s", "Skirt", "p", "M", pieces={}, parts=()))
    ()
    """
    need = ("back_waist_length",) if _back_length(garment) is not None else ()
    return (*need, "shoulder_slope") if _slope(garment) is not None else need


def others(garment: Garment, body: Body, table: Table, lengths: Lengths) -> Others:
    """Try the kinds that a measurement drives where the garment differs from what that wants.

    Each is made with the garment's own names, with the amount that the difference asks for, applied, and measured again; what
    does not bring it nearer, or makes a level wrong, is left out. What the pattern lacks for one is said.

    Parameters
    ----------
    garment
        The garment as altered so far.
    body
        Who wears it.
    table, lengths
        Make its ease table and its table of lengths.
    """
    rows = table(garment)
    found: list[Suggested] = []
    missing: dict[str, None] = {}
    for lack, mends in _lacks(garment, body, rows, table, lengths):
        for mend in mends:
            made = _tried(garment, rows, table, lack, mend)
            if isinstance(made, str):
                missing[f"{lower_first(lack.name)}, {mend.kind}: {made}"] = None
            elif made is not None:
                found.append(made)
    return Others(tuple(found), tuple(missing))


# what is lacking ----------------------------------------------------------------------------------------------------


def _lacks(
    garment: Garment, body: Body, rows: Iterable[EaseRow], table: Table, lengths: Lengths
) -> Iterator[tuple[_Lack, tuple[Mend, ...]]]:
    for row in rows:
        if row.body_key in GIRTHS and row.verdict in (Verdict.TIGHT, Verdict.LOOSE):
            yield _of_row(row, table), GIRTHS[row.body_key]
    wrong = [row for row in lengths(garment) if row.verdict in (Verdict.TIGHT, Verdict.LOOSE)]
    for row in wrong:
        rise_too = row.body_key == "crotch_length" and any(other.body_key == "body_rise" for other in wrong)
        if row.body_key in LENGTHS and not rise_too:  # a longer rise lengthens the crotch as well: that comes first
            yield _of_row(row, lengths), LENGTHS[row.body_key]
    yield from _of_back(garment, body)
    yield from _of_shoulders(garment, body)


def _of_row(row: EaseRow, table: Table) -> _Lack:
    def measure(garment: Garment) -> float | None:
        return next((one.finished for one in table(garment) if one.level == row.level), None)

    ease, band = row.ease or 0.0, row.band
    if band is None:
        return _Lack(row.name, row.body_key, 0.0, measure)
    margin = min((band.high - band.low) * INSIDE, MOST_INSIDE)
    by = band.low + margin - ease if row.verdict is Verdict.TIGHT else band.high - margin - ease
    return _Lack(row.name, row.body_key, by, measure)


def _of_back(garment: Garment, body: Body) -> Iterator[tuple[_Lack, tuple[Mend, ...]]]:
    had, length = taken(body, "back_waist_length"), _back_length(garment)
    if had is None or length is None:
        return
    low, high = BACK_EASE
    off = min(length - had.value - low, 0.0) + max(length - had.value - high, 0.0)
    if abs(off) > MOST_INSIDE:
        by = had.value + (low + high) / 2 - length
        yield _Lack("Back from neck to waist", "back_waist_length", by, _back_length), LENGTHS["back_waist_length"]


def _of_shoulders(garment: Garment, body: Body) -> Iterator[tuple[_Lack, tuple[Mend, ...]]]:
    had, slope = taken(body, "shoulder_slope"), _slope(garment)
    if had is None or slope is None or abs(had.value - slope[0]) < SLOPE_OFF:
        return
    by = slope[1] * (math.tan(had.value) - math.tan(slope[0]))
    yield _Lack("Slope of the shoulders", "shoulder_slope", by, _drop), LENGTHS["shoulder_slope"]


def _back_length(garment: Garment) -> float | None:
    """From the neck down the centre of the back to the level of the waist, mm; None where the pattern does not tell."""
    level = next((one.id for one in garment.levels if one.body == "waist_girth"), "")
    for piece in places.shell_pieces(garment):
        shape = piece.drawn_shape
        if not (places.is_one(places.BACK, piece.id, piece.name) and places.has_edge([piece], places.NECK)):
            continue
        found = _down_centre(piece, shape, level)
        if found is not None:
            return found
    return None


def _down_centre(piece: Piece, shape: Shape, level: str) -> float | None:
    centre = piece.fold or next((edge.id for edge in shape.edges if "centre" in edge.id.lower()), "")
    at = level_at(shape, centre, level) if centre and level else None
    if at is None:
        return None
    path = shape.edge(centre).path
    down = path.start.dot(shape.up) > path.end.dot(shape.up)
    return at if down else path.length - at


def _shoulders(garment: Garment) -> list[tuple[float, float]]:
    """For each shoulder edge of front and back how far its tip lies below its other end, and how far out, mm."""
    found = []
    for piece in places.shell_pieces(garment):
        shape = piece.drawn_shape
        if places.is_one(places.SLEEVE, piece.id) or not places.is_one(places.FRONT | places.BACK, piece.id, piece.name):
            continue
        for edge in shape.edges:
            if places.is_one(places.SHOULDER, edge.id):
                run = edge.path.end - edge.path.start
                drop = abs(run.dot(shape.up))
                found.append((drop, math.sqrt(max(run.norm**2 - drop**2, 0.0))))
    return found


def _drop(garment: Garment) -> float | None:
    """How far the tips of the shoulders lie below their ends at the neck, mm, front and back together halved."""
    found = _shoulders(garment)
    return sum(drop for drop, _ in found) / len(found) if found else None


def _slope(garment: Garment) -> tuple[float, float] | None:
    """The mean slope of the shoulder edges, radians, and how far out they reach, mm."""
    found = _shoulders(garment)
    if len(found) < 2:
        return None
    out = sum(across for _, across in found) / len(found)
    drop = sum(drop for drop, _ in found) / len(found)
    slope = math.atan2(drop, out)
    return (slope, out) if REACH[0] <= out <= REACH[1] and slope <= STEEP else None


# trying it ----------------------------------------------------------------------------------------------------------


def _tried(garment: Garment, rows: tuple[EaseRow, ...], table: Table, lack: _Lack, mend: Mend) -> Suggested | str | None:
    """The alteration with the amount that helps; words for what the pattern lacks; None if it does not help."""
    before = lack.measure(garment)
    if before is None or abs(lack.by) <= SLACK:
        return None
    amount, made, gained = _whole(lack.by), None, 0.0
    for _ in range(TRIES):
        if abs(amount) > MOST[mend.kind]:
            return f"it would take {said(abs(amount))}, more than {said(MOST[mend.kind])} at one place: begin with another size"
        try:
            one = ready(garment, mend, amount)
            if one.trouble or len(one.alterations) != 1:
                return one.trouble or None
            after = one.alterations[0].apply(garment).garment
            length = lack.measure(after)
        except FirsthandError as error:
            return str(error)
        if length is None:
            return None
        made, gained = one.alterations[0], length - before
        further = amount * lack.by / gained if abs(gained) > 1e-3 else 0.0
        if abs(gained - lack.by) < NEAR or not 0 < further / lack.by <= FURTHER or _whole(further) == amount:
            break
        amount = _whole(further)
    if made is None or abs(lack.by - gained) > (1 - HELPS) * abs(lack.by) or _harms(rows, table(after), lack):
        return None
    return replace(suggested(made, _words(lack, mend, gained)), id=f"fit {made.kind}")


def _whole(amount: float) -> float:
    return float(round(amount)) or math.copysign(1.0, amount)


def _harms(before: Iterable[EaseRow], after: Iterable[EaseRow], lack: _Lack) -> bool:
    there = {row.level: row for row in after}
    return any(
        one.verdict is Verdict.GOOD and there[one.level].verdict is not Verdict.GOOD
        for one in before
        if one.body_key != lack.key
    )


def _words(lack: _Lack, mend: Mend, gained: float) -> str:
    more = "more" if gained > 0 else "less"
    place = f"{'at the' if lack.key in GIRTHS else 'of'} {lower_first(lack.name)}"
    return f"{said(abs(round(gained, 1)))} {more} {place}, {mend.words}"
