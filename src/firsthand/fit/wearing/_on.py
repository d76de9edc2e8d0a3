"""Getting a garment on: every opening against what has to go through it, and the way it goes on as a whole."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from firsthand.findings import Block, Severity, kind
from firsthand.fit._ease import lower_first
from firsthand.fit.model import Answer, EaseRow, WearingRow
from firsthand.fit.wearing._case import Case, Part, passes, room_words, worst
from firsthand.fit.wearing._openings import (
    Hole,
    Place,
    closure_of,
    hole,
    neckline,
    opened_levels,
    opens_all_the_way,
    place_of,
)
from firsthand.fit.wearing._table import ARM, FOOT, HAND, HEAD, SHOULDERS, SOFT, THUMB
from firsthand.pattern import Opening
from firsthand.units import said

__all__ = ["getting_on", "opening_rows"]

CANNOT = kind(
    "cannot-get-on",
    Severity.FAULT,
    "A garment cannot be got on: an opening, at full stretch and with its closure open, is smaller than what has to go through "
    "it (head, shoulders or hips, hand, heel and instep), or it is closed in a ring that is. Make a longer opening, a larger "
    "one, or take a cloth that stretches more.",
)

LOWER = ("waist_girth", "top_hip_girth")
TORSO = ("upper_chest_girth", "bust_girth", "chest_girth", "under_bust_girth", "waist_girth", "top_hip_girth", "hip_girth")


@dataclass(frozen=True, slots=True)
class _Thing:
    """What has to go through an opening: its girth, and what slips through easily; both None where not measured."""

    name: str
    need: float | None
    easy: float | None
    why: str = ""
    soft: bool = False


def _plus(case: Case, name: str, keys: tuple[str, ...], more: tuple[float, str], least: float = 0.0) -> _Thing:
    found = case.need(*keys)
    if found is None:
        return _Thing(name, None, None, f"no measurement {keys[0]} of {case.body.name}")
    why = f"{name} {said(found + least)}, easily {said(found + least + more[0])} ({more[1]})"
    return _Thing(name, found + least, found + least + more[0], why)


def _head(case: Case) -> _Thing:
    return _plus(case, "the head", ("head_girth",), HEAD)


def _hips(case: Case) -> _Thing:
    return replace(_plus(case, "the hips", ("hip_girth",), (0.0, "the hip girth with what is worn beneath")), soft=True)


def _shoulders(case: Case) -> _Thing:
    bust = case.need("bust_girth", "chest_girth")
    if bust is None:
        return _Thing("the shoulders", None, None, f"no measurement bust_girth of {case.body.name}")
    easy = bust * SHOULDERS[0]
    why = f"shoulders about {said(easy)} ({SHOULDERS[1]}); with the arms raised at the least the bust, {said(bust)}"
    return _Thing("the shoulders", bust, easy, why, soft=True)


def _through(case: Case, thing: _Thing, room: Hole, where: str) -> Part:
    """Whether something goes through a hole."""
    if room.rest is None or room.full is None:
        return Part(Answer.UNKNOWN, f"how large {where} is is not known", "Give the piece an outline.", room.why)
    why = (*room.why, f"{where}: {room_words(room.rest, room.full)}", thing.why)
    if thing.need is None or thing.easy is None:
        return Part(Answer.UNKNOWN, f"{where} is {said(room.rest)}; {thing.name} was not measured", "Measure it.", why)
    verdict = passes(room.rest, room.full, thing.need, thing.easy)
    sizes = f"{where} opens to {room_words(room.rest, room.full)}, {thing.name}: {_wanted(thing)}"
    near = thing.soft and room.full >= SOFT[0] * thing.need
    return Part(verdict, sizes, "" if verdict is Answer.YES else _larger(case, room, thing), why, near)


def _wanted(thing: _Thing) -> str:
    need, easy = thing.need or 0.0, thing.easy or 0.0
    return said(need) if easy - need < 1.0 else f"{said(need)}, easily {said(easy)}"


def _larger(case: Case, room: Hole, thing: _Thing) -> str:
    """What would let it through: a slit counts on both its edges."""
    rest, full, easy, need = room.rest or 0.0, room.full or 0.0, thing.easy or 0.0, thing.need or 0.0
    short = max(easy - rest - (full - rest) / 2, 1.0)
    ways = [f"a placket or slit {said(short / 2)} longer", f"{said(short)} more round"]
    if rest > 0 and need > full:
        ways.append(f"a cloth that stretches {need / rest - 1:.0%}")
    return f"It would take {', '.join(ways[:-1])} or {ways[-1]}."


# each opening -----------------------------------------------------------------------------------------------


def opening_rows(case: Case) -> Iterator[WearingRow]:
    """A row for every opening of the pattern."""
    for opening in case.garment.openings:
        yield _opening(case, opening)


def _opening(case: Case, opening: Opening) -> WearingRow:
    place, wide = place_of(case.garment, opening), opens_all_the_way(case.garment)
    ask = f"{opening.id}: {_ASKS[place]}"
    if place is Place.UNKNOWN:
        words = "where it lies is not told by its name"
        remedy = "Call it neck, waist, wrist, ankle, armhole or hem."
        return case.answer(ask, Answer.UNKNOWN, words, remedy=remedy, about=opening.id)
    if place in (Place.WRAP, Place.FACE) or (wide and place in (Place.NECK, Place.WAIST, Place.HEM)):
        words = "it opens all the way" if place is not Place.FACE else "nothing has to go through it"
        return case.answer(ask, Answer.YES, words, about=opening.id)
    part = _through(case, _thing(case, place), hole(case, opening), f"the {_NAMES[place]}")
    if place in (Place.WAIST, Place.HEM) and part.verdict is not Answer.YES and not case.legs:
        part = _better(part, _through(case, _other(case, place), hole(case, opening), f"the {_NAMES[place]}"))
    drawn = closure_of(case.garment, opening)
    why = (*part.why, f"with {drawn.id} open") if drawn else part.why
    noticed = []
    if part.verdict is Answer.NO and place in (Place.WRIST, Place.LEG, Place.ARMHOLE):
        noticed = [CANNOT(f"{opening.id}: {part.words}: it does not go through", where=(case.garment.id, opening.id),
                          remedy=part.remedy, blocks=[Block("cut", case.garment.id)], why=why)]  # fmt: skip
    return case.answer(ask, part.verdict, part.words, remedy=part.remedy, about=opening.id, why=why, findings=noticed)


_ASKS = {
    Place.WRAP: "put on like a coat", Place.ARMHOLE: "arm through", Place.WRIST: "hand through", Place.LEG: "foot through",
    Place.NECK: "head through", Place.WAIST: "over the hips", Place.FACE: "face", Place.HEM: "body through",
    Place.UNKNOWN: "what goes through",
}  # fmt: skip
_NAMES = {
    Place.ARMHOLE: "armhole", Place.WRIST: "sleeve end", Place.LEG: "leg end", Place.NECK: "neck", Place.WAIST: "waist",
    Place.HEM: "hem",
}  # fmt: skip


def _thing(case: Case, place: Place) -> _Thing:
    """What goes through an opening first of all."""
    if place is Place.ARMHOLE:
        root = case.need("armscye_girth")
        keys = ("armscye_girth",) if root is not None else ("upper_arm_girth",)
        return _plus(case, "the arm", keys, (0.0, ARM[1]) if root is not None else ARM)
    if place is Place.WRIST:
        return _plus(case, "the hand with its thumb", ("hand_girth",), HAND, THUMB[0])
    if place is Place.LEG:
        return _plus(case, "heel and instep", ("heel_ankle_girth",), FOOT)
    if place is Place.NECK:
        return _hips(case) if case.legs else _head(case)
    return _shoulders(case) if case.upper and not case.legs else _hips(case)


def _other(case: Case, place: Place) -> _Thing:
    del place
    return _hips(case) if case.upper else _shoulders(case)


_GOOD = (Answer.YES, Answer.TIGHT, Answer.UNKNOWN, Answer.NO)


def _better(one: Part, two: Part) -> Part:
    return min((one, two), key=lambda part: _GOOD.index(part.verdict))


# the whole garment ------------------------------------------------------------------------------------------


def getting_on(case: Case) -> WearingRow | None:
    """Which way the garment goes on, and whether it does; None for what has neither openings nor levels."""
    if opens_all_the_way(case.garment):
        return case.answer("get it on", Answer.YES, "it opens all the way and goes on like a coat")
    ways = [(name, parts) for name, parts in _ways(case) if parts]
    if not ways:
        return None
    if not case.garment.openings and not case.garment.closures:
        words = "the pattern names no openings: how it opens is not known"
        return case.answer("get it on", Answer.UNKNOWN, words, remedy="Name its openings and closures.")
    name, part = min(((name, worst(parts)) for name, parts in ways), key=lambda way: _GOOD.index(way[1].verdict))
    why = tuple(f"{way}: {one.words}" for way, parts in ways for one in parts)
    details = tuple(line for _, parts in ways for one in parts for line in one.why)
    words = f"{name}; {part.words}" if part.verdict is not Answer.NO else f"not {name}: {part.words}"
    noticed = []
    if part.verdict is Answer.NO:
        message = f"{case.name} cannot be got on {name}: {part.words}"
        blocks = [] if part.near else [Block("cut", case.garment.id)]
        grave = Severity.DOUBT if part.near else Severity.FAULT
        noticed = [CANNOT(message, where=(case.garment.id,), remedy=part.remedy, blocks=blocks, why=(*why, *details),
                          severity=grave)]  # fmt: skip
    every = tuple(dict.fromkeys((*why, *details)))
    return case.answer("get it on", part.verdict, words, remedy=part.remedy, why=every, findings=noticed)


def _ways(case: Case) -> Iterator[tuple[str, list[Part]]]:
    top = _holes(case, Place.NECK if case.upper else Place.WAIST)
    hem = _holes(case, Place.HEM)
    opened = opened_levels(case.garment)
    rings = [
        row for row in case.rows.values() if row.body_key in TORSO and row.finished is not None and row.level not in opened
    ]
    if case.upper and not case.legs:
        head = [_through(case, _head(case), one, "the neck") for one in top]
        yield (
            "over the head",
            head
            + _rings(case, _below(rings), _shoulders(case))
            + [_through(case, _shoulders(case), one, "the hem") for one in hem],
        )
    if not case.upper and not case.legs:
        yield (
            "over the head",
            [_through(case, _shoulders(case), one, "the waist") for one in top]
            + _rings(case, [row for row in rings if not top or row.body_key != "waist_girth"], _shoulders(case)),
        )
    if top or rings:
        name = "the neck" if case.upper else "the waist"
        above = [
            row for row in rings if row.body_key != "hip_girth" and not (top and not case.upper and row.body_key in LOWER[:1])
        ]
        yield "over the hips", [_through(case, _hips(case), one, name) for one in top] + _rings(case, above, _hips(case))


def _below(rings: Iterable[EaseRow]) -> list[EaseRow]:
    """Rings that shoulders must go through: below the bust, as what goes round the bust goes round it anyway."""
    return [row for row in rings if row.body_key not in ("bust_girth", "chest_girth", "upper_chest_girth")]


def _rings(case: Case, rows: Iterable[EaseRow], thing: _Thing) -> list[Part]:
    parts = []
    for row in rows:
        rest = row.finished or 0.0
        room = Hole(rest, rest * (1 + case.stretch))
        where = f"the {lower_first(row.name or row.level)}"
        part = _through(case, thing, room, where)
        if part.verdict in (Answer.NO, Answer.TIGHT):
            longer = f"An opening that reaches past {where} would do, or {part.remedy[:1].lower()}{part.remedy[1:]}"
            part = replace(part, remedy=longer)
        parts.append(part)
    return parts


def _holes(case: Case, place: Place) -> list[Hole]:
    found = [hole(case, opening) for opening in case.garment.openings if place_of(case.garment, opening) is place]
    if not found and place is Place.NECK and (edge := neckline(case)) is not None:
        found = [edge]
    return found
