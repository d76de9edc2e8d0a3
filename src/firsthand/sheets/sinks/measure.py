"""A sink that keeps where lines run and which rectangles words cover."""

from __future__ import annotations

from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, WordKind
from firsthand.sheets._lettering import clean
from firsthand.sheets.sinks._mapped import word_corners

__all__ = ["MeasureSink"]


class MeasureSink:
    """Keeps polylines (within 0.1 mm) and the corners of words, in the coordinates of the whole drawing."""

    def __init__(self) -> None:
        self.lines: list[tuple[LineKind, tuple[Point, ...]]] = []
        self.lettering: list[tuple[str, tuple[Point, ...]]] = []
        self._maps = [Affine()]

    def path(self, path: Path, kind: LineKind) -> None:
        """Keep a path."""
        self.lines.append((kind, path.transformed(self._maps[-1]).flattened(0.1)))

    def words(self, text: str, at: Point, kind: WordKind, *, anchor: Anchor = Anchor.START, angle: float = 0.0) -> None:
        """Keep the corners of a word."""
        by = self._maps[-1]
        along = by(Point.polar(1.0, angle)) - by(Point(0, 0))
        self.lettering.append((clean(text), word_corners(text, by(at), kind, anchor, along.angle)))

    def push(self, by: Affine, *, name: str = "", clip: Box | None = None) -> None:
        """Enter a group."""
        self._maps.append(self._maps[-1] @ by)

    def pop(self) -> None:
        """Leave a group."""
        self._maps.pop()

    @property
    def bounds(self) -> Box:
        """The box around all lines and words.

        Raises
        ------
        GeometryError
            If nothing was drawn.
        """
        points = [p for _, line in self.lines for p in line] + [p for _, word in self.lettering for p in word]
        return Box.around(points)
