"""What the showing sinks have in common: groups, and leaving out what a clip hides anyway."""

from __future__ import annotations

import math

from firsthand.geometry import Affine, Box, Line, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, WordKind
from firsthand.sheets._lettering import ASCENT, DESCENT, clean, width
from firsthand.sheets.look import LINES, WORDS

__all__ = ["MappedSink", "hull", "word_corners"]


def hull(path: Path) -> Box:
    """A box that surely contains a path: the one around its points and handles."""
    points = [path.start]
    for s in path:
        points += [s.b] if isinstance(s, Line) else [s.b, s.c, s.d]
    return Box.around(points)


def word_corners(text: str, at: Point, kind: WordKind, anchor: Anchor, angle: float) -> tuple[Point, Point, Point, Point]:
    """Corners of the rectangle that a word covers, counter-clockwise from the left of its baseline."""
    size, long = WORDS[kind].size, width(clean(text), kind)
    left = {Anchor.START: 0.0, Anchor.MIDDLE: -long / 2, Anchor.END: -long}[anchor]
    box = Box(left, -DESCENT * size, left + long, ASCENT * size)
    turn = Affine.translation(at.x, at.y) @ Affine.rotation(angle)
    a, b, c, d = (turn(corner) for corner in box.corners)
    return a, b, c, d


class MappedSink:
    """A sink that maps everything to the page itself, so that widths and sizes stay what they are on paper."""

    def __init__(self, base: Affine) -> None:
        self._maps = [base]
        self._clips: list[Box | None] = [None]
        self._clipped: list[bool] = []

    # what a medium has to say -------------------------------------------------------------------------------

    def _stroke(self, path: Path, kind: LineKind) -> None:
        raise NotImplementedError

    def _letter(self, text: str, at: Point, kind: WordKind, anchor: Anchor, angle: float) -> None:
        raise NotImplementedError

    def _enter(self, name: str, clip: Path | None) -> None:
        raise NotImplementedError

    def _leave(self, clipped: bool) -> None:
        raise NotImplementedError

    # the protocol -------------------------------------------------------------------------------------------

    def path(self, path: Path, kind: LineKind) -> None:
        """Draw a path; a kind that has a filling is filled too."""
        mapped = path.transformed(self._maps[-1])
        clip = self._clips[-1]
        if clip is None or clip.grown(LINES[kind].width * 4).touches(hull(mapped)):
            self._stroke(mapped, kind)

    def words(self, text: str, at: Point, kind: WordKind, *, anchor: Anchor = Anchor.START, angle: float = 0.0) -> None:
        """Letter one line; its size and hand do not follow the group's scale or mirroring, only its turning."""
        by = self._maps[-1]
        text = clean(text)
        along = by(Point.polar(1.0, angle)) - by(Point(0, 0))
        place, turn = by(at), along.angle
        clip = self._clips[-1]
        if text and (clip is None or clip.touches(self._reach(text, place, kind))):
            self._letter(text, place, kind, anchor, turn)

    def push(self, by: Affine, *, name: str = "", clip: Box | None = None) -> None:
        """Enter a group."""
        # the protocol clips in the group's own coordinates
        here = self._maps[-1] @ by
        outline = None if clip is None else Path.polygon(clip.corners).transformed(here)
        self._maps.append(here)
        self._clips.append(_shared(self._clips[-1], outline.bounds if outline else None))
        self._clipped.append(outline is not None)
        self._enter(name, outline)

    def pop(self) -> None:
        """Leave the group."""
        self._maps.pop()
        self._clips.pop()
        self._leave(self._clipped.pop())

    def _reach(self, text: str, place: Point, kind: WordKind) -> Box:
        far = (width(text, kind) + WORDS[kind].size) * self._unit
        return Box.around([place]).grown(far)

    @property
    def _unit(self) -> float:
        """Page units of one millimetre on paper."""
        base = self._maps[0]
        return math.sqrt(abs(base.determinant))


def _shared(outer: Box | None, inner: Box | None) -> Box | None:
    if outer is None or inner is None:
        return inner or outer
    left, bottom = max(outer.left, inner.left), max(outer.bottom, inner.bottom)
    return Box(left, bottom, max(left, min(outer.right, inner.right)), max(bottom, min(outer.top, inner.top)))
