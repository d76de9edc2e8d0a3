"""The measurement form: a figure with every measurement on it, then a row for each with boxes to write in."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firsthand.body import MEASUREMENTS, PREPARE, TAKING, Body, Group, Measurement, Over, Sort, estimate, in_order, taken
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, Sink, WordKind
from firsthand.sheets._figure import View
from firsthand.sheets._figure_marks import FAR, LOOP, MARKS, NUMBERS, REACH, badge, draw_figure
from firsthand.sheets._flow import Flow, list_paper
from firsthand.sheets._lettering import LEADING, width, wrap
from firsthand.sheets._words import length
from firsthand.sheets.look import WORDS
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.units import Unit, shown

__all__ = ["Form", "form_sheet", "measurement_form"]

BASIS = ("stature", "body_mass", "bust_girth", "waist_girth", "hip_girth")
"""Asked of everybody: the others are compared with these."""
WIDE, HIGH, NUMBER = 23.0, 8.0, 8.0
"""A box to write in, and the column of the numbers, mm."""
SMALL = WORDS[WordKind.SMALL].size * LEADING
BODY = WORDS[WordKind.BODY].size * LEADING


@dataclass(frozen=True, slots=True)
class Form:
    """What is on one form.

    Parameters
    ----------
    keys
        The measurements.
    body
        Whose values stand in the boxes; None for an empty form.
    garments
        By key the names of the garments that ask for it.
    """

    keys: tuple[str, ...]
    body: Body | None = None
    garments: dict[str, tuple[str, ...]] | None = None


@SHEETS[Scope.COSTUME].register("measurement-form")
def measurement_form(results: Results) -> tuple[SheetFile, ...]:
    """Two forms: what this costume asks for with what is known, and everything, empty."""
    if results.body is None:
        return ()
    garments: dict[str, tuple[str, ...]] = {}
    for name, needs in results.needs.items():
        shown_name = results.fits[name].garment.name if name in results.fits else name
        for need in needs:
            garments[need.key] = (*garments.get(need.key, ()), shown_name or name)
    sort = "chest_girth" if taken(results.body, "bust_girth") is None and results.body.table == "male" else "bust_girth"
    basis = [sort if key == "bust_girth" else key for key in BASIS]
    asked = Form(
        in_order([*garments, *(key for key in basis if key in garments or key != "body_mass")]), results.body, garments
    )
    return (
        form_sheet(results, asked, "measurement-form.pdf"),
        form_sheet(results, Form(tuple(TAKING)), "measurement-form-blank.pdf"),
    )


def form_sheet(results: Results, form: Form, name: str) -> SheetFile:
    """One form as a file."""
    body = form.body
    title = f"Measurements of {body.name}" if body else "Measurements"
    about = ""
    if body:
        about = ". ".join(
            words for words in (f"Taken {body.date}" if body.date else "", f"Over: {body.over}" if body.over else "") if words
        )
    flow = Flow(list_paper(results), title, f"{about}." if about else "")
    if not body:
        _blanks(flow)
    _prepare(flow)
    _figures(flow, form.keys)
    flow.turn()
    _rows(flow, form, results.settings.units)
    return flow.file(name, "measurement-form", results)


def _blanks(flow: Flow) -> None:
    """Name, date and what the tape lay over, to be written in."""
    x = flow.frame.left
    for words, share in (("Name", 0.34), ("Date", 0.16), ("Taken over (foundation, shoes)", 0.5)):
        room = flow.frame.width * share
        flow.sink.words(words, Point(x, flow.y - 5.4), WordKind.SMALL)
        start = x + width(words, WordKind.SMALL) + 2
        flow.sink.path(Path.line(Point(start, flow.y - 5.8), Point(x + room - 3, flow.y - 5.8)), LineKind.RULE)
        x += room
    flow.gap(10)


def _prepare(flow: Flow) -> None:
    for number, words in enumerate(PREPARE, 1):
        flow.paragraph(f"{number}. {words}", WordKind.SMALL)
    flow.gap(3)


# the figure -----------------------------------------------------------------------------------------------------

GAP = 3.0
"""Between two drawings, mm."""
HEAD, FOOT = 170.0, -6.0
"""The figure's height and what lies below its feet, in its own units."""
DETAIL_HIGH, DETAIL_LOW = 42.0, -6.0


def _figures(flow: Flow, keys: Sequence[str]) -> None:
    """The three standing views, and beneath them the arm, the seat and the key, those that have something on them."""
    views = [view for view in (View.FRONT, View.BACK, View.SIDE) if any(_on(key, view) for key in keys)]
    details = [view for view in (View.ARM, View.SEAT) if any(_on(key, view) for key in keys)]
    if not views:
        _key(flow.sink, Point(flow.frame.left, flow.y - 8))
        return
    broad = sum(REACH[view][1] - REACH[view][0] for view in views)
    room = flow.room - 2 - (44.0 if details else 30.0)
    spare = flow.frame.width - 4.4 * (len(views) + 1) - GAP * (len(views) - 1)
    scale = min(spare / broad, room / (HEAD - FOOT), 1.0)
    free = (flow.frame.width - broad * scale) / (len(views) + 1)
    x, ground = flow.frame.left + free, flow.y - HEAD * scale
    for view in views:
        low, high = REACH[view]
        draw_figure(flow.sink, view, keys, Point(x - low * scale, ground), scale)
        x += (high - low) * scale + free
    base = ground + FOOT * scale - 6
    _details(flow, keys, details, base, scale)


def _details(flow: Flow, keys: Sequence[str], details: Sequence[View], top: float, scale: float) -> None:
    high = DETAIL_HIGH - DETAIL_LOW
    small = min(1.15 * scale, (top - flow.frame.bottom) / high, 0.85)
    x = flow.frame.left + 4
    for view in details:
        low, high = REACH[view]
        draw_figure(flow.sink, view, keys, Point(x - low * small, top - DETAIL_HIGH * small), small)
        x += (high - low) * small + 6
    _key(flow.sink, Point(max(x + 4, flow.frame.right - 62), top - 8))


def _on(key: str, view: View) -> bool:
    return key in MARKS and MARKS[key].view is view


def _key(sink: Sink, at: Point) -> None:
    """What the lines and signs mean."""
    x, y = at.x, at.y
    rows: tuple[tuple[LineKind, str], ...] = (
        (LOOP, "round the body: a girth"),
        (FAR, "the same, on the far side"),
        (LineKind.STITCHING, "along the body: a length"),
    )
    for kind, words in rows:
        sink.path(Path.line(Point(x, y + 1), Point(x + 12, y + 1)), kind)
        sink.words(words, Point(x + 15, y), WordKind.SMALL)
        y -= 5.2
    for many, words in ((1, "can be taken alone"), (2, "needs a friend")):
        _people(sink, Point(x + 6, y + 1), many)
        sink.words(words, Point(x + 15, y), WordKind.SMALL)
        y -= 5.2


def _people(sink: Sink, at: Point, many: int) -> None:
    """One person, or two, each a head and shoulders."""
    for k in range(many):
        x = at.x + (k - (many - 1) / 2) * 3.0
        sink.path(Path.arc(Point(x, at.y + 1.1), 0.8, 0.0, math.tau), LineKind.FRAME)
        sink.path(Path.arc(Point(x, at.y - 1.5), 1.45, 0.0, math.pi), LineKind.FRAME)


# the rows -------------------------------------------------------------------------------------------------------


def _rows(flow: Flow, form: Form, units: Unit) -> None:
    for group in Group:
        keys = [key for key in form.keys if TAKING[key].group is group]
        if not keys:
            continue
        flow.heading(group.value, follow=24)
        _heads(flow, keys, units)
        for key in keys:
            _row(flow, form, key, units)


def _heads(flow: Flow, keys: Iterable[str], units: Unit) -> None:
    left, right = _boxes(flow)
    unit = "in" if units in (Unit.INCH, Unit.YARD) else units.value if units is Unit.MM else "cm"
    twice = any(MEASUREMENTS[key].sort is Sort.GIRTH for key in keys)
    y = flow.y + 1.6
    heads = ((left, f"first, {unit}"), (right, f"second, {unit}")) if twice else ((left, unit),)
    for x, words in heads:
        flow.sink.words(words, Point(x + WIDE / 2, y), WordKind.TINY, anchor=Anchor.MIDDLE)
    flow.rule(LineKind.FRAME)
    flow.gap(1.6)


def _boxes(flow: Flow) -> tuple[float, float]:
    """Where the two boxes begin."""
    return flow.frame.right - 2 * WIDE - 2, flow.frame.right - WIDE


def _row(flow: Flow, form: Form, key: str, units: Unit) -> None:
    left, _ = _boxes(flow)
    text = flow.frame.left + NUMBER
    lines = [(line, WordKind.SMALL) for words in _words(key) for line in wrap(words, WordKind.SMALL, left - text - 5)]
    below = [line for words in _below(form, key, units) for line in wrap(words, WordKind.TINY, 2 * WIDE + 2)]
    tiny = WORDS[WordKind.TINY].size * LEADING
    high = max(BODY + len(lines) * SMALL, HIGH + 1.2 + len(below) * tiny) + 2.6
    flow.keep(high)
    top = flow.y
    badge(flow.sink, NUMBERS[key], Point(flow.frame.left + 2.4, top - 2.6))
    _people(flow.sink, Point(flow.frame.left + 2.6, top - 8.4), 1 if TAKING[key].alone else 2)
    flow.sink.words(_name(key), Point(text, top - WORDS[WordKind.BODY].size), WordKind.BODY)
    y = top - BODY
    for line, kind in lines:
        flow.sink.words(line, Point(text, y - WORDS[kind].size), kind)
        y -= SMALL
    _fill(flow, form, key, units, top)
    y = top - HIGH - 1.2
    for line in below:
        flow.sink.words(line, Point(left, y - WORDS[WordKind.TINY].size), WordKind.TINY)
        y -= tiny
    flow.gap(high - 1.2)
    flow.rule()
    flow.gap(1.2)


def _name(key: str) -> str:
    trade = MEASUREMENTS[key].trade
    return trade[:1].upper() + trade[1:]


def _words(key: str) -> Iterable[str]:
    taking = TAKING[key]
    yield taking.how
    yield f"Alone: {taking.alone}" if taking.alone else f"With a friend: {taking.friend}"
    if taking.over is not Over.LIGHT:
        yield f"Best over {taking.over.value}."


def _below(form: Form, key: str, units: Unit) -> Iterable[str]:
    """What stands beneath the boxes: who asks for it, and what it may be while it was not taken."""
    names = (form.garments or {}).get(key, ())
    if names:
        yield f"For: {', '.join(names)}"
    found = taken(form.body, key) if form.body else None
    if form.body and (found is None or found.estimated) and (guess := estimate(form.body, key)):
        low, high = _value(key, guess.low, units), _value(key, guess.high, units)
        yield f"Not taken. In nine bodies of ten between {low} and {high}"


def _fill(flow: Flow, form: Form, key: str, units: Unit, top: float) -> None:
    """The boxes, and what was read."""
    both = _boxes(flow)
    found = taken(form.body, key) if form.body else None
    readings = _readings(found)
    for place, x in enumerate(both if MEASUREMENTS[key].sort is Sort.GIRTH else both[:1]):
        flow.sink.push(Affine.translation(x, top - HIGH))
        flow.sink.path(Path.polygon(Box(0, 0, WIDE, HIGH).corners), LineKind.FRAME)
        flow.sink.pop()
        if place < len(readings):
            words = _value(key, readings[place], units, name=False)
            flow.sink.words(words, Point(x + WIDE / 2, top - HIGH / 2 - 1.3), WordKind.BODY, anchor=Anchor.MIDDLE)
        elif MEASUREMENTS[key].sort in _UNITS:
            flow.sink.words(
                _UNITS[MEASUREMENTS[key].sort], Point(x + WIDE - 2, top - HIGH + 2), WordKind.TINY, anchor=Anchor.END
            )


_UNITS = {Sort.MASS: "kg", Sort.ANGLE: "degrees"}


def _readings(found: Measurement | None) -> tuple[float, ...]:
    if found is None or found.estimated:
        return ()
    return (found.value,) if found.again is None else (found.value, found.again)


def _value(key: str, value: float, units: Unit, *, name: bool = True) -> str:
    sort = MEASUREMENTS[key].sort
    if sort is Sort.MASS:
        return f"{value:.1f} kg"
    if sort is Sort.ANGLE:
        return f"{math.degrees(value):.0f}°"
    return shown(length(value, units, name=name), units)
