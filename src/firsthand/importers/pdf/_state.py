"""What a page's drawing is made of, and the state of the pen while it is drawn."""

from __future__ import annotations

from dataclasses import dataclass, field

from firsthand.geometry import Affine, Box, Path, Point

__all__ = ["Look", "PageDrawing", "Pen", "Stroke", "Word"]


@dataclass(frozen=True, slots=True)
class Look:
    """What tells lines apart: layer, colour, dashes (mm), and whether it is only filled."""

    layer: str = ""
    colour: str = "#000000"
    dash: tuple[float, ...] = ()
    filled: bool = False
    width: float = 0.0


@dataclass(frozen=True, slots=True)
class Stroke:
    """A painted path, in millimetres on the upright page."""

    path: Path
    look: Look


@dataclass(frozen=True, slots=True)
class Word:
    """A line of text and the box round it, mm."""

    text: str
    box: Box

    @property
    def at(self) -> Point:
        """Its middle."""
        return self.box.centre


@dataclass(slots=True)
class PageDrawing:
    """Everything drawn on one page."""

    number: int
    width: float
    height: float
    strokes: list[Stroke] = field(default_factory=list)
    words: list[Word] = field(default_factory=list)
    pictures: float = 0.0
    """Area covered by pictures, mm²."""
    windows: list[Box] = field(default_factory=list)
    """Rectangles to which what is drawn is clipped."""
    anchors: list[Point] = field(default_factory=list)
    """Corners of lines that are cut off by a clip: the same lines on other pages have them too."""


@dataclass(slots=True)
class Pen:
    """The graphics state."""

    ctm: Affine
    clip: Box
    stroke: str = "#000000"
    fill: str = "#000000"
    width: float = 1.0
    dash: tuple[float, ...] = ()
    stroke_space: str = ""
    fill_space: str = ""

    def copy(self) -> Pen:
        """The same, to be changed by itself."""
        return Pen(self.ctm, self.clip, self.stroke, self.fill, self.width, self.dash, self.stroke_space, self.fill_space)
