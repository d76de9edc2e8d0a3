"""The ease of a garment as a picture: a bar for each level beside the band that is wanted.

Black and white on purpose: the band is a pale box, the ease a black bar that ends in a cross stroke, no ease the upright line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from firsthand.fit.model import EaseRow, Verdict
from firsthand.geometry import Box, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, WordKind
from firsthand.sheets._flow import Flow
from firsthand.sheets._words import length
from firsthand.units import Unit

__all__ = ["draw_ease"]

_X = Callable[[float], float]
"""Where an ease lies across the page, mm."""

HIGH, BAND, BAR = 10.0, 7.0, 2.2
"""Height of a row, of the band's box and of the bar, mm on paper."""
NAMES, WORDS = 42.0, 44.0
"""Width at the left for the names, at the right for the verdicts, mm."""
FARTHEST, LEAST = 200.0, 60.0
"""Ease beyond this runs out of the picture, and the picture shows at least so much, mm."""
STROKE = 0.9
SAID = {
    Verdict.TIGHT: "tight",
    Verdict.GOOD: "good",
    Verdict.LOOSE: "loose",
    Verdict.UNKNOWN: "not known",
}


def draw_ease(flow: Flow, rows: Sequence[EaseRow], units: Unit) -> None:
    """Draw a bar for every row of which the ease and the band are known.

    Parameters
    ----------
    flow
        The page it is drawn on, where it stands.
    rows
        The ease table.
    units
        What lengths are shown in.
    """
    known = [row for row in rows if row.ease is not None and row.band is not None]
    if not known:
        return
    low, high = _span(known)
    left, right = flow.frame.left + NAMES, flow.frame.right - WORDS
    scale = (right - left) / (high - low)

    def x(ease: float) -> float:
        return left + (min(max(ease, low), high) - low) * scale

    flow.keep(min(len(known), 6) * HIGH + 12)
    for row in known:
        flow.keep(HIGH)
        _row(flow, row, x, (low, high), units)
        flow.y -= HIGH
    flow.gap(1.0)
    _legend(flow, x)


def _span(rows: Sequence[EaseRow]) -> tuple[float, float]:
    """From where to where the picture reaches, mm of ease."""
    eases = [row.ease or 0.0 for row in rows]
    lows, highs = [row.band.low for row in rows if row.band], [row.band.high for row in rows if row.band]
    high = min(FARTHEST, max(LEAST, *eases, *highs) * 1.05)
    low = max(-FARTHEST, min(-LEAST / 4, *eases, *lows) * 1.05)
    return low, high


def _row(flow: Flow, row: EaseRow, x: _X, span: tuple[float, float], units: Unit) -> None:
    sink, middle = flow.sink, flow.y - HIGH / 2
    ease, band = row.ease or 0.0, row.band
    if band is not None and x(band.high) - x(band.low) > 0.2:
        box = Box(x(band.low), middle - BAND / 2, x(band.high), middle + BAND / 2)
        sink.path(Path.polygon(box.corners), LineKind.PART)
        if band.high > span[1]:
            _arrow(flow, x(band.high), middle + BAND / 2 - 1.0, 1.0)
    elif band is not None:
        at = x(band.low)
        sink.path(Path.line(Point(at, middle - BAND / 2), Point(at, middle + BAND / 2)), LineKind.FRAME)
    zero, end = x(0.0), x(ease)
    sink.path(Path.line(Point(zero, middle - HIGH / 2), Point(zero, middle + HIGH / 2)), LineKind.FRAME)
    steps = round(BAR / STROKE)
    for n in range(steps):
        y = middle + (n - (steps - 1) / 2) * STROKE
        sink.path(Path.line(Point(zero, y), Point(end, y)), LineKind.CAUTION)
    sink.path(Path.line(Point(end, middle - 2.6), Point(end, middle + 2.6)), LineKind.CAUTION)
    if ease > span[1]:
        _arrow(flow, end, middle, 2.4)
    base = middle - 1.6
    sink.words(row.name or row.level, Point(flow.frame.left, base), WordKind.HEADING)
    words = f"{length(ease, units)} {SAID[row.verdict]}"
    sink.words(words, Point(flow.frame.right, base), WordKind.HEADING, anchor=Anchor.END)


def _arrow(flow: Flow, x: float, y: float, size: float) -> None:
    """It runs on beyond the picture."""
    tip = Path.line(Point(x + 0.8, y + size), Point(x + 0.8 + size, y), Point(x + 0.8, y - size))
    flow.sink.path(tip, LineKind.NOTCH)


def _legend(flow: Flow, x: _X) -> None:
    """Under the bars: where the body is."""
    flow.keep(9)
    flow.sink.words("the body", Point(x(0.0), flow.y - 3.2), WordKind.SMALL, anchor=Anchor.MIDDLE)
    flow.y -= 5.0
    text = (
        "Black bar: the ease there is, up to the cross stroke; to the left of the body it is smaller than the body. "
        "Pale box: the ease that is wanted."
    )
    flow.paragraph(text, WordKind.SMALL)
    flow.gap(1.0)
