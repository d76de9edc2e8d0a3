"""Moving in a garment: sitting, kneeling, reaching, bending the elbow, taking a step."""

from __future__ import annotations

import math
from collections.abc import Iterator

from firsthand.findings import Severity, kind
from firsthand.fit import _places as places
from firsthand.fit._ease import lower_first
from firsthand.fit.model import Answer, EaseRow, WearingRow
from firsthand.fit.wearing._case import Case, Part, passes, room_words, worst
from firsthand.fit.wearing._openings import Place, hole, opens_all_the_way, place_of
from firsthand.fit.wearing._table import (
    ACROSS_BACK,
    CAP_FREE,
    ELBOW,
    KNEE,
    LEG,
    POOR,
    SEAT,
    SHORT_STEP,
    STEP,
    THIGH,
    TRIP,
)
from firsthand.pattern import Opening, sewn_length
from firsthand.units import said

__all__ = ["moving_rows"]

HINDERS = kind(
    "hinders-moving",
    Severity.DOUBT,
    "The wearer could not sit, kneel, reach, bend an elbow or take a step in the garment: at full stretch it is smaller than "
    "what the movement needs. Let it out there, put in a gusset, a pleat or a slit, or take a cloth that stretches more.",
)

Grows = tuple[float, float, str]


def moving_rows(case: Case) -> Iterator[WearingRow]:
    """What can be done in the garment; a question that it does not raise is left out."""
    for ask, parts in (
        ("sit", [*_grown(case, ("hip_girth",), SEAT), *_grown(case, ("thigh_girth",), THIGH), *_long(case)]),
        ("kneel", _grown(case, ("knee_girth",), KNEE) if case.legs else []),
        ("reach", _reach(case)),
        ("bend the elbow", _grown(case, ("elbow_girth", "forearm_girth"), ELBOW)),
        ("take a step", _stride(case)),
    ):
        if parts:
            yield _row(case, ask, parts)


def _row(case: Case, ask: str, parts: list[Part]) -> WearingRow:
    part = worst(parts)
    words = "there is room" if part.verdict is Answer.YES and ask != "take a step" else part.words
    why = [line for one in parts for line in one.why]
    if case.growth is not None and case.growth > POOR and case.stretch > 0:
        why.append(f"the cloth keeps {case.growth:.0%} of what it was stretched: it will bag there (over {POOR:.0%} is poor)")
    noticed = []
    if part.verdict is Answer.NO:
        noticed = [HINDERS(f"one could not {ask} in {case.name}: {part.words}", where=(case.garment.id,), remedy=part.remedy,
                           why=why)]  # fmt: skip
    return case.answer(ask, part.verdict, words, remedy=part.remedy, why=why, findings=noticed)


def _grown(case: Case, keys: tuple[str, ...], grows: Grows) -> list[Part]:
    """Levels that a movement widens."""
    low, high, source = grows
    parts = []
    for row in (case.row(key) for key in keys):
        if row is None:
            continue
        if row.body is None or row.finished is None:
            parts.append(_unknown(row))
            continue
        need, easy, full = row.body * (1 + low), row.body * (1 + high), row.finished * (1 + case.stretch)
        verdict = passes(row.finished, full, need, easy)
        if verdict is Answer.NO and case.upper and not case.legs and full >= row.body:
            verdict = Answer.TIGHT  # it rides up from the seat
        where = lower_first(row.name or row.level)
        grown = f"{said(easy)} then" if low <= 0 else f"{said(need)} to {said(easy)} then"
        words = f"the {where} is {room_words(row.finished, full)}, the body {grown}"
        why = (f"{where}: body {said(row.body)}, {low:.0%} to {high:.0%} more when moved: {source}",)
        short = max(1.0, easy - (row.finished + full) / 2)
        remedy = "" if verdict is Answer.YES else f"Let out {said(short)} at the {where}, or take a cloth that stretches more."
        parts.append(Part(verdict, words, remedy, why))
    return parts


def _unknown(row: EaseRow) -> Part:
    what = f"{row.body_key} was not measured" if row.body is None else row.note or "its girth is not known"
    return Part(Answer.UNKNOWN, f"{lower_first(row.name or row.level)}: {what}", "Measure it." if row.body is None else "")


def _long(case: Case) -> list[Part]:
    """Lengths that sitting asks for."""
    parts = []
    for key in ("crotch_length", "body_rise", "trunk_circumference"):
        row = case.lengths.get(key) or case.row(key)
        if row is None:
            continue
        if row.body is None or row.finished is None or row.band is None:
            parts.append(_unknown(row))
            continue
        full, easy = row.finished * (1 + case.along), row.body + max(0.0, row.band.low)
        verdict = passes(row.finished, full, row.body, easy)
        words = f"{lower_first(row.name)} {room_words(row.finished, full)} for {said(easy)}"
        short = max(1.0, easy - (row.finished + full) / 2)
        remedy = "" if verdict is Answer.YES else f"Lengthen the rise by {said(short)} in all, or the crotch seam at the fork."
        parts.append(Part(verdict, words, remedy, row.why))
    return parts


# reaching ---------------------------------------------------------------------------------------------------


def _reach(case: Case) -> list[Part]:
    if not case.upper or _is_cape(case):
        return []
    if not case.sleeved:
        return [
            Part(Answer.YES, "the armholes are free", "", ("no sleeves: the back may stay as it is when the arms go forward",))
        ]
    if any(places.is_one(places.GUSSET, piece.id, piece.name) for piece in case.garment.pieces.values()):
        return [Part(Answer.YES, "a gusset lets the arm rise", "", ("a gusset under the arm",))]
    return [*_forward(case), *_rise(case)]


def _is_cape(case: Case) -> bool:
    return not places.has_edge(places.shell_pieces(case.garment), places.ARMHOLE)


def _cap_share(case: Case) -> float | None:
    """Height of the sleeve head as a share of the armhole's length."""
    shell = places.shell_pieces(case.garment)
    sleeve = next((piece for piece in shell if places.is_one(places.SLEEVE, piece.id, piece.name)), None)
    armholes = [
        sewn_length(piece.drawn_shape, edge.id)
        for piece in shell
        for edge in piece.drawn_shape.edges
        if piece is not sleeve and places.is_one(places.ARMHOLE, edge.id)
    ]
    if sleeve is None or not armholes:
        return None
    shape = sleeve.drawn_shape
    up = shape.up
    heads = [edge.path for edge in shape.edges if places.is_one(places.CAP, edge.id)]
    heights = [up.dot(point) for path in heads for point in path.flattened(0.5)]
    return (max(heights) - min(heights)) / math.fsum(armholes) if heights else None


def _forward(case: Case) -> list[Part]:
    row = case.lengths.get("back_width") or case.row("back_width")
    if row is None:
        return []
    if row.body is None or row.finished is None:
        return [_unknown(row)]
    low, high, source = ACROSS_BACK
    share = _cap_share(case)
    easy = row.body * (1 + (high / 2 if share is not None and share <= CAP_FREE[0] else high))
    full = row.finished * (1 + case.stretch)
    verdict = passes(row.finished, full, row.body * (1 + low), easy)
    words = f"across the back {room_words(row.finished, full)}, arms forward {said(easy)}"
    why = (
        f"across the back {said(row.body)}, arms forward up to {high:.0%} more: {source}; half of it under a low sleeve head",
    )
    short = max(1.0, easy - (row.finished + full) / 2)
    remedy = (
        "" if verdict is Answer.YES else f"A pleat of {said(short)} in the back, a gusset, or cloth that stretches would do."
    )
    return [Part(verdict, words, remedy, why)]


def _rise(case: Case) -> list[Part]:
    share = _cap_share(case)
    if share is None:
        return []
    free = share <= CAP_FREE[0] or case.stretch >= ACROSS_BACK[1]
    words = (
        f"the sleeve head is {share:.0%} of the armhole high: the arm {'rises freely' if free else 'lifts the body with it'}"
    )
    remedy = "" if free else "A lower and wider sleeve head, a higher armhole, or a gusset would free the arm."
    return [Part(Answer.YES if free else Answer.TIGHT, words, remedy, (f"{words}; {CAP_FREE[1]}",))]


# a step -----------------------------------------------------------------------------------------------------


def _stride(case: Case) -> list[Part]:
    if case.legs or opens_all_the_way(case.garment):
        return []
    hems = [opening for opening in case.garment.openings if place_of(case.garment, opening) is Place.HEM]
    height = _hem_height(case, hems)
    stature = case.need("stature")
    if not hems or (case.upper and (height is None or stature is None or height > LEG[0] * stature)):
        return []
    room = hole(case, hems[0])
    if room.rest is None or room.full is None or stature is None:
        missing = "the hem is not known" if stature is not None else "stature was not measured"
        return [Part(Answer.UNKNOWN, missing, "Measure it." if stature is None else "")]
    step, leg = STEP[0] * stature, case.need("inside_leg_length") or LEG[0] * stature
    apart = step * max(0.0, min(1.0, 1 - (height or 0.0) / leg))
    legs = case.need("knee_girth", "calf_girth") or 0.0
    easy, need = 2 * apart + legs, 2 * SHORT_STEP * apart + legs
    verdict = passes(room.rest, room.full, need, easy)
    if height is None and verdict is not Answer.YES:
        return [
            Part(Answer.UNKNOWN, "how high the hem hangs is not known", "Give the pattern a level of the waist or the hip.")
        ]
    words = f"the hem is {room_words(room.rest, room.full)} round, a step wants {said(easy)}"
    why = [f"a step of {said(step)} ({STEP[1]}); at the hem the legs are then {said(apart)} apart: twice that, and "
           f"{said(legs)} round both; {SHORT_STEP:.0%} of a step is tight"]  # fmt: skip
    why += [f"the hem hangs {said(height)} above the floor"] if height is not None else []
    short = max(1.0, easy - (room.rest + room.full) / 2)
    remedy = (
        "" if verdict is Answer.YES else f"A slit or pleat at the hem, {said(short / 2)} deep, or {said(short)} more round it."
    )
    if height is not None and height < TRIP:
        words += "; it reaches the floor: lift it on stairs, one trips over it"
        remedy = remedy or f"Shorten it to {said(TRIP)} above the floor unless it is meant to lie on it."
    return [Part(verdict, words, remedy, tuple(why))]


def _hem_height(case: Case, hems: list[Opening]) -> float | None:
    """How high the hem hangs above the floor, from a level of the waist or the hip; None if it cannot be told."""
    waist = case.need("waist_height")
    depth = case.need("waist_to_hip")
    if waist is None or not hems:
        return None
    heights = {"waist_girth": waist} | ({"hip_girth": waist - depth} if depth is not None else {})
    keys = {level.id: level.body for level in case.garment.levels}
    for ref in hems[0].edges:
        piece = case.garment.pieces.get(ref.piece)
        if piece is None or piece.shape is None or not places.is_one(places.HEM, ref.edge):
            continue
        shape = piece.shape
        up = shape.up
        path = shape.edge(ref.edge).path
        for line in shape.levels:
            high = heights.get(keys.get(line.level, ""))
            if high is not None:
                return high - (up.dot(line.a) - up.dot(path.at(path.length / 2)))
    return None
