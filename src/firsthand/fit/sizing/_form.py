"""Comparing a dress form with its wearer."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from firsthand.body import MEASUREMENTS, Body, Sort, refuse_nonsense, taken
from firsthand.errors import GeometryError, NotThere
from firsthand.findings import Finding, Severity, kind
from firsthand.fit.sizing._altering import called
from firsthand.fit.sizing.form import FormFit, FormRow, FormVerdict
from firsthand.units import said

__all__ = ["FORM_KEYS", "compare_form"]

LARGER = kind(
    "form-larger",
    Severity.DOUBT,
    "A dress form is larger than its wearer somewhere. A form can be padded, never made smaller: what is fitted on it there "
    "will be too large. Dial it in if it can be, take a smaller form and pad that, or fit on the body there.",
)
LENGTH = kind(
    "form-length",
    Severity.DOUBT,
    "A length of a dress form differs from its wearer's, and padding does not change it. Mark the wearer's waist on the form "
    "with a tape, and trust lengths only on the body.",
)
THICK = kind(
    "form-far-smaller",
    Severity.DOUBT,
    "A dress form would need a pad so thick that it no longer holds its shape. Take a larger form, still smaller than the "
    "wearer everywhere.",
)
NOT_COMPARED = kind(
    "form-not-compared",
    Severity.NOTE,
    "Measurements that padding a dress form goes by were taken of one of the two only. Take them of the other too.",
)
NOTHING = kind(
    "form-nothing-in-common",
    Severity.DOUBT,
    "A dress form and its wearer have no measurement in common, so nothing can be said. Measure both at neck, chest, waist and "
    "hip.",
)
NO_FORM = kind(
    "form-not-marked",
    Severity.DOUBT,
    "What is compared as a dress form is not marked as one in its file, or the wearer is marked as one. Write form = true in "
    "the form's file under wearers/, and only there.",
)

ALIKE = 5.0
"""Differences up to this, mm, are the tape's (common practice)."""
THICKEST = 60.0
"""A pad thicker than this, mm, does not hold its shape (common practice)."""
COVER = "Close-fitting cover"

THINNEST, MOST_LAYER = 0.1, 100.0
"""A layer of wadding or a cover, mm; what is outside is in the wrong unit (common practice)."""
FRONT, SIDES, ROUND = math.pi, 4 * math.pi / 3, 2 * math.pi
"""How far the body's surface turns where a pad lies, radians: over the front half, over front or back with both sides, all
round. Geometry: a thin layer of thickness t that follows a convex curve makes it longer by the integral of t over its turning
(2 pi t all round, Steiner's formula)."""

_GIRTHS = {
    "neck_girth": ("all round", ROUND),
    "neck_base_girth": ("all round", ROUND),
    "upper_chest_girth": ("over the front below the collarbones, and the back beneath the arms", ROUND),
    "bust_girth": ("over the front: bust cups or pads, the points where the wearer's are", FRONT),
    "chest_girth": ("over chest and shoulder blades", ROUND),
    "under_bust_girth": ("all round", ROUND),
    "waist_girth": ("front and sides, the back left flat", SIDES),
    "top_hip_girth": ("over the belly and the sides, as the wearer has it", SIDES),
    "hip_girth": ("over seat and sides, as the wearer has it", SIDES),
    "thigh_girth": ("all round", ROUND),
    "upper_arm_girth": ("all round", ROUND),
}
"""Where a wearer is usually fuller than a form of her waist (common practice)."""

_ALL_ROUND = ("all round", ROUND)

_LENGTHS = (
    "shoulder_length", "shoulder_width", "back_width", "front_width", "bust_point_width", "side_neck_to_bust",
    "back_waist_length", "front_waist_length", "scye_depth", "waist_to_hip", "body_rise",
)  # fmt: skip

FORM_KEYS = (*_GIRTHS, *_LENGTHS)
"""The measurements a form and a wearer are compared by."""

_PADDED_WIDTHS = {
    "shoulder_length": "a shoulder pad makes it longer",
    "shoulder_width": "shoulder pads make it wider",
    "back_width": "a layer over the shoulder blades makes it a little wider",
    "front_width": "a layer below the collarbones makes it a little wider",
}
"""Lengths across the body that padding changes a little (common practice)."""

NOT_TOLD = (
    "Arms: most forms have none. Sleeves, reach and the armhole in movement are tried on the body.",
    "Sitting, kneeling and walking: the form stands. Waist, seat and crotch are tried sitting.",
    "Legs: a skirt form ends above them. Trousers and hose are fitted on the body.",
    "Softness: a body gives way under a tight waist or a band and moves elsewhere; padding hardly does.",
    "Posture: the form stands straighter and even on both sides. Uneven shoulders and hips are looked at on the body.",
    "Comfort and breath: only the wearer can say.",
)
"""Common practice."""


def compare_form(form: Body, wearer: Body, *, levels: Iterable[str] = (), wadding: float = 0.0, cover: float = 0.0) -> FormFit:
    """A dress form beside its wearer, level by level, and how to pad it.

    Parameters
    ----------
    form, wearer
        The two bodies.
    levels
        Keys of the measurements to compare; empty means all that matter to a form.
    wadding
        Thickness of one layer of the wadding under a light hand, mm; 0 if not measured.
    cover
        Thickness of the cover that goes over the padding, mm.

    Returns
    -------
    FormFit
        A row for each girth taken of one of the two at the least, and each length taken of both.

    Raises
    ------
    GeometryError
        If a number has no sense.
    NotThere
        If a measurement is asked for that nobody knows.

    Examples
    --------
    >>> from firsthand.body import Measurement
    >>> form = Body("form", "Form", {"waist_girth": Measurement("waist_girth", 700.0)}, form=True)
    >>> wearer = Body("w", "Wearer", {"waist_girth": Measurement("waist_girth", 762.832)})
    >>> (row,) = compare_form(form, wearer).rows
    >>> round(row.even, 2), row.verdict.value
    (10.0, 'pad')
    """
    for value in (wadding, cover):
        if not math.isfinite(value) or value < 0:
            raise GeometryError(f"thicknesses must be zero or more, not {value}")
        if value > MOST_LAYER:
            raise GeometryError(f"no layer is {value:g} mm thick; {MOST_LAYER:.0f} mm at most")
    if 0 < wadding < THINNEST:
        raise GeometryError(f"wadding is at least {THINNEST} mm thick, not {wadding:g}")
    for body in (form, wearer):
        refuse_nonsense(body)
    keys = tuple(levels) or FORM_KEYS
    for key in keys:
        if key not in MEASUREMENTS:
            raise NotThere("measurement", key, MEASUREMENTS)
    rows = tuple(_rows(form, wearer, keys, wadding, cover))
    findings = (*_wrong_way_round(form, wearer), *_noticed(form, wearer, rows))
    return FormFit(form.id, wearer.id, rows, _steps(rows, wearer, wadding), NOT_TOLD, findings)


def _rows(form: Body, wearer: Body, keys: Sequence[str], wadding: float, cover: float) -> Iterator[FormRow]:
    busts = any("bust_girth" in body.measurements for body in (form, wearer))
    doubled = ("chest_girth" if busts else "bust_girth") if {"bust_girth", "chest_girth"} <= set(keys) else ""
    for key in sorted(set(keys) - {doubled}, key=list(MEASUREMENTS).index):
        theirs, hers = _value(form, key), _value(wearer, key)
        girth = MEASUREMENTS[key].sort is Sort.GIRTH
        if theirs is not None and hers is not None:
            shaped = wearer.table == "female" and not wearer.child
            yield _girth(key, theirs, hers, wadding, cover, shaped) if girth else _length(key, theirs, hers)
        elif girth and not (theirs is None and hers is None):
            yield FormRow(key, called(key), theirs, hers, None, FormVerdict.UNKNOWN)


def _value(body: Body, key: str) -> float | None:
    measured = taken(body, key)
    return None if measured is None else measured.value


def _girth(key: str, form: float, wearer: float, wadding: float, cover: float, shaped: bool) -> FormRow:
    difference = wearer - form
    left = difference - 2 * math.pi * cover
    if difference < -ALIKE:
        words = f"{said(-difference)} too large: dial it in, or fit on the body here"
        return FormRow(key, called(key), form, wearer, difference, FormVerdict.LARGER, words=words)
    if left <= ALIKE:
        words = "the cover fills it" if difference > ALIKE else ""
        return FormRow(key, called(key), form, wearer, difference, FormVerdict.ALIKE, words=words)
    where, turning = _GIRTHS["chest_girth" if key == "bust_girth" and not shaped else key] if key in _GIRTHS else _ALL_ROUND
    even, local = left / ROUND, left / turning
    layers = math.floor(local / wadding + 1e-9) if wadding else 0
    words = f"pad {local:.0f} mm thick {where}" if turning < ROUND else f"pad {even:.0f} mm thick {where}"
    words += f", {layers} {'layer' if layers == 1 else 'layers'}" if layers else ""
    words += f"; {even:.0f} mm if it were even all round" if turning < ROUND else ""
    return FormRow(key, called(key), form, wearer, difference, FormVerdict.PAD, even, local, where, layers, words)


def _length(key: str, form: float, wearer: float) -> FormRow:
    difference = wearer - form
    if abs(difference) <= ALIKE:
        return FormRow(key, called(key), form, wearer, difference, FormVerdict.ALIKE)
    longer = "longer" if difference > 0 else "shorter"
    words = f"{said(abs(difference))} {longer} on the wearer"
    if key == "back_waist_length":
        words += f": mark the wearer's waist {said(abs(difference))} {'below' if difference > 0 else 'above'} the form's"
    elif difference > 0 and key in _PADDED_WIDTHS:
        words += f"; {_PADDED_WIDTHS[key]}"
    return FormRow(key, called(key), form, wearer, difference, FormVerdict.FIXED, words=words)


def _steps(rows: Sequence[FormRow], wearer: Body, wadding: float) -> tuple[str, ...]:
    """How to pad, in order (common practice)."""
    padded = [row for row in rows if row.verdict is FormVerdict.PAD]
    if not padded:
        return ()
    steps = []
    if any(row.verdict is FormVerdict.FIXED and row.key == "back_waist_length" for row in rows):
        steps.append("Tape the wearer's waist line round the form first: all heights are counted from it.")
    if any(row.key in ("bust_girth", "chest_girth") for row in padded):
        what = (
            "a brassiere of the wearer's size on the form, filled" if wearer.table == "female" and not wearer.child else "pads"
        )
        points = "" if what == "pads" else "; its points as high and as far apart as the wearer's"
        first = next(row for row in padded if row.key in ("bust_girth", "chest_girth"))
        steps.append(f"Begin at the bust: {what}{points}." if points else f"Begin at the chest: {first.words}.")
    for row in padded:
        if row.key not in ("bust_girth", "chest_girth"):
            steps.append(f"{row.name[:1].upper()}{row.name[1:]}: {row.words}.")
    told = "" if wadding else " Measure how thick a layer is under a light hand, to know how many."
    steps.append(f"Build up in layers of wadding, each a little smaller than the one below, edges torn thin.{told}")
    steps.append("Measure after each layer, and stop before the girth is reached: the form is never larger than the wearer.")
    steps.append(f"{COVER} over all, firm cloth or a knit, so that nothing slides; mark waist, centre and bust lines on it.")
    steps.append("Count the pins out again: one left in the padding finds a hand.")
    return tuple(steps)


def _wrong_way_round(form: Body, wearer: Body) -> Iterator[Finding]:
    if not form.form:
        yield NO_FORM(f"{form.name} is not marked as a dress form", where=(form.id,), remedy="Write form = true in its file.")
    if wearer.form:
        yield NO_FORM(f"{wearer.name} is marked as a dress form", where=(wearer.id,), remedy="Name the person who wears it.")


def _noticed(form: Body, wearer: Body, rows: Sequence[FormRow]) -> Iterator[Finding]:
    if not any(row.difference is not None for row in rows):
        yield NOTHING(
            f"{form.name} and {wearer.name} have no measurement in common",
            where=(form.id,),
            remedy="Measure both at neck, chest, waist and hip.",
        )
        return
    larger = [row for row in rows if row.verdict is FormVerdict.LARGER]
    if larger:
        told = [f"{said(-(row.difference or 0.0))} at the {row.name}" for row in larger]
        where = (form.id, larger[0].key) if len(larger) == 1 else (form.id,)
        remedy = "Dial it in, take a smaller form, or fit on the body there."
        message = f"{form.name} is larger than {wearer.name}: {', '.join(told)}"
        yield LARGER(message, where=where, remedy=remedy)
    for row in rows:
        where, difference = (form.id, row.key), row.difference or 0.0
        if row.verdict is FormVerdict.FIXED and row.key in ("back_waist_length", "front_waist_length"):
            message = f"{row.name}: {said(abs(difference))} {'longer' if difference > 0 else 'shorter'} on {wearer.name}"
            yield LENGTH(message, where=where, remedy="Mark the wearer's waist on the form, and check lengths on the body.")
        elif row.verdict is FormVerdict.PAD and row.local > THICKEST:
            message = f"{form.name} would need {row.local:.0f} mm of padding at the {row.name}"
            yield THICK(message, where=where, remedy="Take a larger form, still smaller than the wearer everywhere.")
    missing = [row.name for row in rows if row.verdict is FormVerdict.UNKNOWN and row.key in _GIRTHS]
    if missing:
        words = f"taken of one of the two only: {', '.join(missing)}"
        yield NOT_COMPARED(words, where=(form.id,), remedy="Take them of the other too.")
