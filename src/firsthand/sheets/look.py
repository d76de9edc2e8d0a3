"""How every line and word looks: the one table behind all sheets.

The line language is our own and is written down in ``docs/look.md``. Lines that mean different things differ in width *and*
dash, so that they can be told apart on a photocopy; colour carries no meaning. Widths, dashes and sizes are millimetres on
the paper and do not change with the scale of a drawing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from firsthand.geometry.drawing import LineKind, WordKind

__all__ = ["CLOTH", "INK", "LINES", "MEANINGS", "PART", "WORDS", "LineLook", "WordLook"]

INK = "#000000"
SOFT = "#555555"
CLOTH = "#f7f2e7"
"""Unbleached cloth."""
PART = "#d3e0dc"
"""Chalked grey-green, 15 % dark on a photocopy: black lettering stays readable on it."""
SELVEDGE = "#6a5a3c"


@dataclass(frozen=True, slots=True)
class LineLook:
    """How a line is drawn: width and dashes in mm (on, off, ...), round ends or square ones, and a filling."""

    width: float
    dash: tuple[float, ...] = ()
    colour: str = INK
    fill: str = ""
    round: bool = False


@dataclass(frozen=True, slots=True)
class WordLook:
    """How lettering is set: size of the em in mm, and whether it is the heavier cut of the font."""

    size: float
    bold: bool = False
    colour: str = INK


LINES: Mapping[LineKind, LineLook] = {
    LineKind.CUTTING: LineLook(0.6),
    LineKind.STITCHING: LineLook(0.35, (4.0, 1.6)),
    LineKind.BOUGHT: LineLook(0.25, (1.2, 0.9)),
    LineKind.FOLD: LineLook(0.5, (12.0, 1.8, 2.0, 1.8)),
    LineKind.GRAIN: LineLook(0.4),
    LineKind.NOTCH: LineLook(0.7),
    LineKind.DART: LineLook(0.35, (4.0, 1.6)),
    LineKind.PLEAT: LineLook(0.35, (7.0, 1.4)),
    LineKind.LEVEL: LineLook(0.5, (0.0, 1.6), round=True),
    LineKind.PLACEMENT: LineLook(0.3, (1.8, 1.2)),
    LineKind.SELVEDGE: LineLook(0.9, (), SELVEDGE),
    LineKind.CLOTH: LineLook(0.25, (), SOFT, CLOTH),
    LineKind.PART: LineLook(0.35, (), INK, PART),
    LineKind.FRAME: LineLook(0.35),
    LineKind.RULE: LineLook(0.18, (), SOFT),
    LineKind.TRIM: LineLook(0.3, (0.8, 2.4)),
    LineKind.CAUTION: LineLook(1.2),
    LineKind.BLOCK: LineLook(0.001, (), INK, INK),
}

WORDS: Mapping[WordKind, WordLook] = {
    WordKind.TITLE: WordLook(7.5, bold=True),
    WordKind.HEADING: WordLook(4.6, bold=True),
    WordKind.NAME: WordLook(6.5, bold=True),
    WordKind.BODY: WordLook(3.5),
    WordKind.SMALL: WordLook(2.9),
    WordKind.TINY: WordLook(2.4),
}

MEANINGS: tuple[tuple[LineKind, str], ...] = (
    (LineKind.CUTTING, "cut here"),
    (LineKind.STITCHING, "stitch here; darts too"),
    (LineKind.FOLD, "fold of the cloth: do not cut"),
    (LineKind.PLEAT, "fold here; an arrow says which way"),
    (LineKind.LEVEL, "level: a line round the body"),
    (LineKind.PLACEMENT, "something goes here"),
    (LineKind.BOUGHT, "the outline as it was bought"),
    (LineKind.TRIM, "trim or lay the next page to here"),
)
"""What the lines on a printed piece mean, for the key on the first page."""
