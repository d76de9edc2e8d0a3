"""The drawing protocol: whatever can be drawn calls these few methods, whatever can show a drawing has them.

A drawing function takes a :class:`Sink` and draws on it in millimetres, y up. How a line or a word looks is said only by
name (:class:`LineKind`, :class:`WordKind`); each sink decides what that means for its medium. Small sinks that answer a
question instead of showing something (bounds, a record for golden tests) stand beside the protocol.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Protocol

from firsthand.errors import GeometryError
from firsthand.geometry._path import Path
from firsthand.geometry._point import Affine, Box, Point
from firsthand.geometry._segment import Line

__all__ = ["Anchor", "BoundsSink", "LineKind", "Recorder", "Sink", "WordKind"]


class LineKind(StrEnum):
    """What a line means."""

    CUTTING = "cutting"
    STITCHING = "stitching"
    BOUGHT = "bought"
    """The outline as it was bought, beside an altered one."""
    FOLD = "fold"
    GRAIN = "grain"
    NOTCH = "notch"
    DART = "dart"
    PLEAT = "pleat"
    LEVEL = "level"
    PLACEMENT = "placement"
    SELVEDGE = "selvedge"
    CLOTH = "cloth"
    PART = "part"
    """Filled shape of a part on a lay."""
    FRAME = "frame"
    RULE = "rule"
    TRIM = "trim"
    CAUTION = "caution"
    BLOCK = "block"
    """Filled black to its very edge: marks that a camera reads."""


class WordKind(StrEnum):
    """What a piece of lettering is for."""

    TITLE = "title"
    HEADING = "heading"
    NAME = "name"
    """A piece's name, readable at arm's length."""
    BODY = "body"
    SMALL = "small"
    TINY = "tiny"


class Anchor(StrEnum):
    """Which part of a word sits at its point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Sink(Protocol):
    """Something that can be drawn on. Millimetres, y up."""

    def path(self, path: Path, kind: LineKind) -> None:
        """Draw a path; a ``PART`` is filled too."""

    def words(self, text: str, at: Point, kind: WordKind, *, anchor: Anchor = Anchor.START, angle: float = 0.0) -> None:
        """Letter one line of text with its baseline at a point, turned by ``angle`` radians."""

    def push(self, by: Affine, *, name: str = "", clip: Box | None = None) -> None:
        """Enter a group: what follows is first clipped to ``clip`` (in the group's own coordinates), then mapped."""

    def pop(self) -> None:
        """Leave the group entered last."""


class Recorder:
    """A sink that writes down what it is told, for golden tests and for looking at a drawing in words.

    Examples
    --------
    >>> recorder = Recorder()
    >>> recorder.path(Path.line(Point(0, 0), Point(10, 0)), LineKind.FOLD)
    >>> recorder.words("fold", Point(5, 1), WordKind.SMALL)
    >>> print(recorder.text)
    fold M 0 0 L 10 0
    small "fold" at 5 1
    """

    def __init__(self, digits: int = 2) -> None:
        self._digits = digits
        self._lines: list[str] = []
        self._depth = 0

    @property
    def text(self) -> str:
        """Everything recorded, a line each."""
        return "\n".join(self._lines)

    def path(self, path: Path, kind: LineKind) -> None:
        """Record a path."""
        words = [f"{kind.value} M {self._point(path.start)}"]
        for segment in path:
            points = (segment.b,) if isinstance(segment, Line) else (segment.b, segment.c, segment.d)
            words.append(("L " if len(points) == 1 else "C ") + " ".join(self._point(p) for p in points))
        self._say(" ".join(words))

    def words(self, text: str, at: Point, kind: WordKind, *, anchor: Anchor = Anchor.START, angle: float = 0.0) -> None:
        """Record a word."""
        turn = f" turned {self._number(angle)}" if angle else ""
        side = f" {anchor.value}" if anchor is not Anchor.START else ""
        self._say(f'{kind.value} "{text}" at {self._point(at)}{side}{turn}')

    def push(self, by: Affine, *, name: str = "", clip: Box | None = None) -> None:
        """Record a group."""
        numbers = " ".join(self._number(v) for v in (by.a, by.b, by.c, by.d, by.e, by.f))
        box = "" if clip is None else f" clip {self._point(clip.corners[0])} {self._point(clip.corners[2])}"
        self._say(f"group {name!r} {numbers}{box}")
        self._depth += 1

    def pop(self) -> None:
        """Record the end of a group."""
        if not self._depth:
            raise GeometryError("a drawing leaves a group that it never entered")
        self._depth -= 1

    def _say(self, line: str) -> None:
        self._lines.append("  " * self._depth + line)

    def _number(self, value: float) -> str:
        number = f"{round(value, self._digits) + 0.0:.{self._digits}f}"
        return number.rstrip("0").rstrip(".") if "." in number else number

    def _point(self, point: Point) -> str:
        return f"{self._number(point.x)} {self._number(point.y)}"


class BoundsSink:
    """A sink that only keeps the box around the paths drawn; what a clip hides is left out, words have no size here.

    Examples
    --------
    >>> sink = BoundsSink()
    >>> sink.push(Affine.translation(100, 0), clip=Box(0, 0, 5, 5))
    >>> sink.path(Path.line(Point(1, 1), Point(50, 1)), LineKind.FOLD)
    >>> sink.pop()
    >>> sink.box
    Box(left=101.0, bottom=1.0, right=105.0, top=1.0)
    """

    def __init__(self) -> None:
        self.box: Box | None = None
        self._groups: list[tuple[Affine, Box | None]] = []

    def path(self, path: Path, kind: LineKind) -> None:
        """Take a path into account."""
        seen: Path | Box = path
        for by, clip in reversed(self._groups):
            if clip is not None:
                shown = _common(seen if isinstance(seen, Box) else seen.bounds, clip)
                if shown is None:
                    return
                seen = shown
            seen = Box.around(by(corner) for corner in seen.corners) if isinstance(seen, Box) else seen.transformed(by)
        box = seen if isinstance(seen, Box) else seen.bounds
        self.box = box if self.box is None else self.box.union(box)

    def words(self, text: str, at: Point, kind: WordKind, *, anchor: Anchor = Anchor.START, angle: float = 0.0) -> None:
        """Words are left out of the bounds."""

    def push(self, by: Affine, *, name: str = "", clip: Box | None = None) -> None:
        """Enter a group."""
        self._groups.append((by, clip))

    def pop(self) -> None:
        """Leave a group."""
        if not self._groups:
            raise GeometryError("a drawing leaves a group that it never entered")
        self._groups.pop()


def _common(one: Box, two: Box) -> Box | None:
    """The box that two have in common."""
    if not one.touches(two):
        return None
    return Box(
        max(one.left, two.left), max(one.bottom, two.bottom), min(one.right, two.right), min(one.top, two.top),
    )  # fmt: skip
