"""The block of lettering that says what a piece is, set where it covers no line."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from firsthand.fabric import Fabric
from firsthand.geometry import Affine, Box, Point
from firsthand.geometry.drawing import Anchor, Sink, WordKind
from firsthand.pattern import Garment, PartState, Piece, drawn_fold
from firsthand.sheets._lettering import ASCENT, LEADING, width, wrap
from firsthand.sheets._placing import Room
from firsthand.sheets._words import cut_words, length, of_what, piece_title
from firsthand.sheets.look import WORDS
from firsthand.sheets.sinks.measure import MeasureSink
from firsthand.units import Unit

__all__ = ["Label", "draw_label", "label_box", "label_words", "place_label"]

SIZES = (
    (WordKind.NAME, WordKind.BODY, (120.0, 90.0, 70.0, 50.0)),
    (WordKind.HEADING, WordKind.SMALL, (90.0, 70.0, 50.0, 36.0)),
    (WordKind.BODY, WordKind.TINY, (60.0, 44.0, 32.0, 24.0)),
)
"""From readable at arm's length to just readable: kind of the name, of the rest, and widths to wrap at, mm."""
ASIDE = 62.0
"""Width of a label that stands beside a piece too small for it, mm."""
AIR = 2.0
"""Kept between lettering and lines, mm."""


@dataclass(frozen=True, slots=True)
class Label:
    """Lines of lettering round a middle, turned by an angle; ``aside`` if it stands beside its piece."""

    lines: tuple[tuple[str, WordKind], ...]
    middle: Point
    angle: float = 0.0
    aside: bool = False

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, mm."""
        return _size(self.lines)


def label_words(garment: Garment, piece: Piece, wearer: str, fabrics: Mapping[str, Fabric], units: Unit) -> tuple[str, ...]:
    """What is written on a piece: its name first."""
    lines = [piece_title(piece), f"{garment.name or garment.id}, size {garment.size}"]
    lines += [f"for {wearer}"] if wearer else []
    lines += [f"cut {cut_words(cut)}: {of_what(cut.role, garment, fabrics)}" for cut in piece.cuts]
    if any(part.state is PartState.HELD_BACK for part in garment.parts_of(piece.id)):
        lines.append("hold back: cut after the fitting")
    return (*lines, *_allowance(piece, units))


def _allowance(piece: Piece, units: Unit) -> tuple[str, ...]:
    counted = Counter(edge.allowance for edge in piece.drawn_shape.edges if edge.id != drawn_fold(piece))
    if not counted:
        return ()
    usual, many = counted.most_common(1)[0]
    if many * 2 <= counted.total():
        return ("seam allowances as marked are included",)
    words = f"seam allowance {length(usual, units)} is included" if usual else "no seam allowance"
    return (words if len(counted) == 1 else f"{words}, elsewhere as marked",)


def place_label(words: Sequence[str], outline: Sequence[Point], drawn: MeasureSink) -> Label:
    """Find a place for a label.

    Parameters
    ----------
    words
        What it says, its name first.
    outline
        The stitching line as a polygon.
    drawn
        Everything that must not be covered.
    """
    walls = [line for _, line in drawn.lines] + [(*corners, corners[0]) for _, corners in drawn.lettering]
    room = Room(outline, walls, clearance=AIR)
    for name, rest, widths in SIZES:
        for wide in widths:
            lines = _lines(words, name, rest, wide)
            for angle in (0.0, math.pi / 2):
                middle = room.place(*_size(lines), angle=angle)
                if middle is not None:
                    return Label(lines, middle, angle)
    lines = _lines(words, WordKind.HEADING, WordKind.SMALL, ASIDE)
    box, (wide, high) = drawn.bounds, _size(lines)
    return Label(lines, Point(box.right + 2 * AIR + wide / 2, box.top - high / 2), aside=True)


def draw_label(sink: Sink, label: Label) -> None:
    """Draw a label, in the piece's coordinates."""
    wide, high = label.size
    turn = Affine.translation(label.middle.x, label.middle.y) @ Affine.rotation(label.angle)
    anchor, x = (Anchor.START, -wide / 2) if label.aside else (Anchor.MIDDLE, 0.0)
    y = high / 2
    for text, kind in label.lines:
        size = WORDS[kind].size
        sink.words(text, turn(Point(x, y - size * ASCENT)), kind, anchor=anchor, angle=label.angle)
        y -= size * LEADING


def label_box(label: Label) -> Box:
    """The box a label covers."""
    wide, high = label.size if label.angle == 0 else label.size[::-1]
    return Box(
        label.middle.x - wide / 2, label.middle.y - high / 2, label.middle.x + wide / 2, label.middle.y + high / 2
    )  # fmt: skip


def _lines(words: Sequence[str], name: WordKind, rest: WordKind, wide: float) -> tuple[tuple[str, WordKind], ...]:
    first = [(line, name) for line in wrap(words[0], name, wide)]
    return (*first, *((line, rest) for text in words[1:] for line in wrap(text, rest, wide)))


def _size(lines: Sequence[tuple[str, WordKind]]) -> tuple[float, float]:
    return max(width(text, kind) for text, kind in lines), sum(WORDS[kind].size * LEADING for _, kind in lines)
