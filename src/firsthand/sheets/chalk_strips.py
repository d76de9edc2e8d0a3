"""Chalk strips at true size: paper with the old stitching line as its edge and the line of a fitting drawn on it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from firsthand.fit.fitting import ChalkLine, ChalkSide, Fitted
from firsthand.fit.model import FitResult
from firsthand.geometry import Affine, Box, Path, Point, nearest
from firsthand.geometry.drawing import Anchor, LineKind, Sink, WordKind
from firsthand.pattern import Garment, How, Piece
from firsthand.sheets._lettering import shortened, width
from firsthand.sheets._paper import Paper, paper
from firsthand.sheets._strip_pages import by_page
from firsthand.sheets._tissue_words import figure, fine, interval
from firsthand.sheets._words import day
from firsthand.sheets.look import WORDS
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.sheets.pieces import Drawn, covering, true_size
from firsthand.sheets.sinks.tape import Tape
from firsthand.units import Unit

__all__ = ["chalk_strips"]

MOVED = 0.05
"""What moves by less, mm, gets no strip."""
BEYOND = 30.0
"""How far a strip runs on beyond what changes, mm."""
ROOM = 40.0
"""Paper beyond the new line, for what is written, mm."""
LAP = 15.0
"""By how much two parts of one line cover each other, mm."""
SPARE = 30.0
"""By how much a strip is shorter than the page, mm."""
TICK, LONG = 2.5, 5.0
"""Ticks across the old line, at intervals and at places, mm."""
FINE = 0.02
"""Lines on a strip stay within this of their curve, mm."""
NOTE = (
    "Cut out along the heavy line, which is the old stitching line. Lay it on the old stitching by ends and ticks, printed "
    "side up on the face of the cloth, printed side down on its back, and chalk along the dashes, or prick them through."
)
INSIDE, OUTSIDE = 1.0, -1.0


@dataclass(frozen=True, slots=True)
class _Strip:
    """One part of one edge, on one side of its old stitching line."""

    fitted: Fitted
    line: ChalkLine
    side: ChalkSide
    piece: Piece
    way: float
    start: float
    end: float
    part: str


@SHEETS[Scope.GARMENT].register("chalk-strips")
def chalk_strips(results: Results) -> tuple[SheetFile, ...]:
    """One file for each fitting that changed a line, and paper."""
    return tuple(file for fit in results.fits.values() for done in fit.fittings for file in _files(results, fit, done))


def _files(results: Results, fit: FitResult, done: Fitted) -> Iterator[SheetFile]:
    garment = fit.garment
    title = f"{garment.name or garment.id}: chalk strips, fitting {day(done.fitting.date)}"
    for name in results.settings.papers:
        sheet = paper(name)
        strips = [_drawn(garment, one, k, results.settings.units) for k, one in enumerate(_strips(garment, done, sheet))]
        if strips:
            kind = f"chalk-strips-{done.fitting.id}"
            file = true_size(results, garment, strips, [], sheet, title, kind, NOTE, by_page(strips, sheet))
            yield replace(file, kind="chalk-strips")


def _strips(garment: Garment, done: Fitted, sheet: Paper) -> Iterator[_Strip]:
    longest = sheet.frame.height - SPARE
    for line in done.lines:
        for side in line.sides:
            piece = garment.pieces.get(side.piece)
            if piece is None:
                continue
            for way, most in ((INSIDE, side.most_in), (OUTSIDE, side.most_out)):
                if most > MOVED:
                    spans = _spans(*_changing(side, way), longest)
                    for k, (start, end) in enumerate(spans, 1):
                        part = f", part {k} of {len(spans)}" if len(spans) > 1 else ""
                        yield _Strip(done, line, side, piece, way, start, end, part)


def _changing(side: ChalkSide, way: float) -> tuple[float, float]:
    """From where to where an edge moves this way, and a little beyond."""
    spots = sorted(side.spots, key=lambda spot: spot.at)
    moving = [k for k, spot in enumerate(spots) if spot.amount * way > MOVED]
    length = side.old.length
    start = spots[moving[0] - 1].at if moving[0] else 0.0
    end = spots[moving[-1] + 1].at if moving[-1] + 1 < len(spots) else length
    return max(0.0, start - BEYOND), min(length, end + BEYOND)


def _spans(start: float, end: float, longest: float) -> list[tuple[float, float]]:
    count = max(1, math.ceil((end - start) / (longest - LAP)))
    step = (end - start) / count
    return [(start + k * step - LAP * (k > 0), start + (k + 1) * step) for k in range(count)]


# drawing ------------------------------------------------------------------------------------------------------


def _drawn(garment: Garment, strip: _Strip, number: int, units: Unit) -> Drawn:
    import shapely

    old = strip.side.old.between(strip.start, strip.end)
    deep = (strip.side.most_in if strip.way > 0 else strip.side.most_out) + ROOM
    base = shapely.LineString([(p.x, p.y) for p in old.flattened(FINE)])
    region = base.buffer(strip.way * deep, single_sided=True, join_style="mitre", mitre_limit=2.0)
    region = max(getattr(region, "geoms", [region]), key=lambda one: one.area)
    chord = old.end - old.start
    turn = Affine.rotation(math.pi / 2 - math.atan2(chord.y, chord.x))
    tape = Tape()
    tape.push(turn)
    _draw(tape, garment, strip, region, old, deep, units)
    tape.pop()
    corners = tuple(turn(Point(x, y)) for x, y in region.exterior.coords[:-1])
    piece = replace(strip.piece, id=f"chalk {number}", number=str(number + 1), name=_title(strip))
    return Drawn(piece, tape, Box.around(corners), corners, covering(corners, []))


def _title(strip: _Strip) -> str:
    way = "take in" if strip.way > 0 else "let out"
    return f"{strip.line.name}: {strip.side.piece}, {way}{strip.part}"


def _draw(sink: Sink, garment: Garment, strip: _Strip, region: Any, old: Path, deep: float, units: Unit) -> None:
    import shapely

    sink.path(Path.polygon([Point(x, y) for x, y in region.exterior.coords[:-1]]), LineKind.RULE)
    sink.path(old, LineKind.CUTTING)
    new = shapely.LineString([(p.x, p.y) for p in strip.side.new.flattened(FINE)])
    _draw_within(sink, new, region, LineKind.STITCHING)
    if strip.way < 0:
        trim = new.parallel_offset(strip.side.allowance, "right", join_style="mitre")
        _draw_within(sink, trim, region, LineKind.TRIM)
    spots = [spot for spot in strip.side.spots if strip.start - 1e-6 <= spot.at <= strip.end + 1e-6]
    for at in _intervals(strip, units):
        _tick(sink, strip, at, TICK)
        if all(abs(spot.at - at) > 4.0 for spot in spots):
            _beside(sink, strip, at, _beyond(strip, at), figure(at, units), 0.0)
    for spot in spots:
        _tick(sink, strip, spot.at, LONG)
        size = f", {fine(spot.amount, units)}" if spot.amount * strip.way > MOVED else ""
        _beside(sink, strip, spot.at, max(LONG, spot.amount * strip.way) + 2.0, f"{spot.words}{size}", deep)
    _draw_words(sink, garment, strip, deep, units)


def _draw_within(sink: Sink, line: Any, region: Any, kind: LineKind) -> None:
    inside = line.intersection(region.buffer(0.01))
    for part in getattr(inside, "geoms", [inside]):
        if part.geom_type == "LineString" and part.length > 1.0:
            sink.path(Path.line(*(Point(x, y) for x, y in part.coords)), kind)


def _intervals(strip: _Strip, units: Unit) -> Iterator[float]:
    every = interval(units)
    for k in range(math.ceil(strip.start / every), math.floor(strip.end / every) + 1):
        yield k * every


def _beyond(strip: _Strip, at: float) -> float:
    """How far from the old line a figure is clear of its tick and of the new line."""
    new, (foot, way) = strip.side.new, _frame(strip, at)
    near, away = nearest(new, foot)
    return max(TICK, away if (new.at(near) - foot).dot(way) > 0 else 0.0) + 1.5


def _frame(strip: _Strip, at: float) -> tuple[Point, Point]:
    """A point of the old line, and the way into the strip."""
    path = strip.side.old
    return path.at(at), path.tangent_at(at).left * strip.way


def _tick(sink: Sink, strip: _Strip, at: float, size: float) -> None:
    foot, way = _frame(strip, at)
    sink.path(Path.line(foot, foot + way * size), LineKind.NOTCH)


def _beside(sink: Sink, strip: _Strip, at: float, away: float, words: str, deep: float) -> None:
    """Words that run into the strip from a place on the old line, never beyond its ends."""
    size = WORDS[WordKind.TINY].size
    at = min(max(at, strip.start + size), strip.end - size)
    foot, way = _frame(strip, at)
    if deep:
        words = shortened(words, WordKind.TINY, deep - away - 8.0)
    angle = math.atan2(way.y, way.x)
    begin = foot + way * away
    if math.cos(angle + _upright(strip)) < 0:  # would stand on its head once the strip is upright
        begin, angle = begin + way * width(words, WordKind.TINY), angle + math.pi
    down = Point.polar(size * 0.35, angle - math.pi / 2)
    sink.words(words, begin + down, WordKind.TINY, angle=angle)


def _upright(strip: _Strip) -> float:
    chord = strip.side.old.at(strip.end) - strip.side.old.at(strip.start)
    return math.pi / 2 - math.atan2(chord.y, chord.x)


def _draw_words(sink: Sink, garment: Garment, strip: _Strip, deep: float, units: Unit) -> None:
    """What the strip is, along its back; and what its edge is, beside it."""
    middle = (strip.start + strip.end) / 2
    foot, way = _frame(strip, middle)
    run = strip.side.old.tangent_at(middle)
    angle = math.atan2(run.y, run.x)
    back = foot + way * (deep - 9.0)
    lines = [f"{garment.name or garment.id}: {_title(strip)}", f"{_turning(strip)}; {_trim(strip, units)}"]
    room = strip.end - strip.start - 8.0
    for k, text in enumerate(lines if strip.way > 0 else reversed(lines)):
        at = back + way * (3.0 * (0.5 - k))
        sink.words(shortened(text, WordKind.TINY, room), at, WordKind.TINY, anchor=Anchor.MIDDLE, angle=angle)


def _turning(strip: _Strip) -> str:
    both = {How.PAIR, How.FOLD} & {cut.how for cut in strip.piece.cuts}
    if strip.line.hand or not both:
        return "this hand only" if strip.line.hand else "as printed"
    other = "left" if strip.piece.drawn.value == "right" else "right"
    return f"turn over for the {other}"


def _trim(strip: _Strip, units: Unit) -> str:
    if strip.way < 0:
        return f"inlay {fine(strip.side.inlay, units)}; dots: how much cloth that wants"
    return f"trim to {fine(strip.side.allowance, units)} beyond the dashes"
