"""The frame of a page: the rectangle that its neighbours join to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from firsthand.geometry import Box, Line
from firsthand.importers.pdf._state import PageDrawing, Stroke

__all__ = ["framed", "on_frame"]

LEAST = 0.35
"""A frame covers at least this share of the page."""
STRAIGHT = 0.02  # mm by which a line along the paper may lean
MEETS = 1.0  # mm within which the four lines of a frame meet


def framed(drawings: Sequence[PageDrawing]) -> dict[int, Box]:
    """The frame of each page that has one: printed, or the window that all drawing is clipped to, or the page itself.

    One sort is chosen for all pages: the one that most pages have in one size. Pages without it are left out: they are
    covers and instructions.
    """
    if len(drawings) == 1:
        return {one.number: Box(0.0, 0.0, one.width, one.height) for one in drawings}
    best: dict[int, Box] = {}
    sorts = ([_printed(one) for one in drawings], [_window(one) for one in drawings])
    for frames in sorts:
        sizes = Counter((round(f.width), round(f.height)) for f in frames if f is not None)
        if not sizes:
            continue
        (wide, high), _ = sizes.most_common(1)[0]
        alike = {
            one.number: frame
            for one, frame in zip(drawings, frames, strict=True)
            if frame is not None and abs(frame.width - wide) <= 1.6 and abs(frame.height - high) <= 1.6
        }
        if len(alike) > max(len(best), 0.5 * len(drawings) - 1):
            best = alike
        if best:
            break
    if best:
        return best
    return {one.number: Box(0.0, 0.0, one.width, one.height) for one in drawings if one.strokes}


def _window(drawing: PageDrawing) -> Box | None:
    page = drawing.width * drawing.height
    able = [box for box in drawing.windows if LEAST * page <= box.width * box.height < 0.995 * page]
    return max(able, key=lambda box: box.width * box.height, default=None)


def _printed(drawing: PageDrawing) -> Box | None:
    level, upright = [], []
    for stroke in drawing.strokes:
        if len(stroke.path.segments) > 12:
            continue
        for s in stroke.path:
            if not isinstance(s, Line):
                continue
            if abs(s.a.y - s.b.y) < STRAIGHT and abs(s.a.x - s.b.x) > 0.5 * drawing.width:
                level.append((s.a.y, min(s.a.x, s.b.x), max(s.a.x, s.b.x)))
            elif abs(s.a.x - s.b.x) < STRAIGHT and abs(s.a.y - s.b.y) > 0.5 * drawing.height:
                upright.append((s.a.x, min(s.a.y, s.b.y), max(s.a.y, s.b.y)))
    found = []
    for y, left, right in set(level):
        for high, l2, r2 in set(level):
            if high - y < 0.5 * drawing.height or abs(left - l2) > MEETS or abs(right - r2) > MEETS:
                continue
            sides = [x for x, b, t in upright if abs(b - y) < MEETS and abs(t - high) < MEETS]
            if any(abs(x - left) < MEETS for x in sides) and any(abs(x - right) < MEETS for x in sides):
                found.append(Box(left, y, right, high))
    page = drawing.width * drawing.height
    able = [box for box in found[:1000] if box.width * box.height >= LEAST * page]
    return max(able, key=lambda box: box.width * box.height, default=None)


def on_frame(stroke: Stroke, frame: Box) -> bool:
    """Whether a stroke is the frame or one of its sides."""
    if len(stroke.path.segments) > 5 or not all(isinstance(s, Line) for s in stroke.path):
        return False
    for s in stroke.path:
        along_x = abs(s.start.y - s.end.y) < STRAIGHT and any(abs(s.start.y - y) < 0.1 for y in (frame.bottom, frame.top))
        along_y = abs(s.start.x - s.end.x) < STRAIGHT and any(abs(s.start.x - x) < 0.1 for x in (frame.left, frame.right))
        if not (along_x and s.length > 0.9 * frame.width) and not (along_y and s.length > 0.9 * frame.height):
            return False
    return True
