"""Sizes of paper, upright, in millimetres."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from firsthand.errors import NotThere
from firsthand.geometry import Box
from firsthand.units import MM_PER_INCH

__all__ = ["MARGIN", "PAPERS", "UNPRINTABLE", "Paper", "paper"]

MARGIN = 10.0
"""What is drawn keeps this far from the edge of the paper, mm; only page names stand further out."""

UNPRINTABLE = 6.0
"""Common printers leave about this much blank at each edge, mm (common practice)."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper."""

    name: str
    width: float
    height: float

    @property
    def frame(self) -> Box:
        """Where drawings may go."""
        return Box(MARGIN, MARGIN, self.width - MARGIN, self.height - MARGIN)

    @property
    def turned(self) -> Paper:
        """The same sheet lying on its side."""
        return Paper(self.name, self.height, self.width)


def _us(name: str, width: float, height: float) -> Paper:
    return Paper(name, width * MM_PER_INCH, height * MM_PER_INCH)


_SHEETS = (
    # ISO 216:2007, A series
    Paper("A4", 210, 297), Paper("A3", 297, 420), Paper("A2", 420, 594), Paper("A1", 594, 841), Paper("A0", 841, 1189),
    # ANSI/ASME Y14.1 sizes A and B are Letter and Tabloid; Legal is common practice
    _us("Letter", 8.5, 11), _us("Legal", 8.5, 14), _us("Tabloid", 11, 17),
)  # fmt: skip

PAPERS: Mapping[str, Paper] = {sheet.name: sheet for sheet in _SHEETS}


def paper(name: str) -> Paper:
    """The paper with a name, however it is capitalised.

    Raises
    ------
    NotThere
        If no paper is called that.

    Examples
    --------
    >>> paper("a4").width, round(paper("Letter").height, 1)
    (210, 279.4)
    """
    for known, sheet in PAPERS.items():
        if known.lower() == name.strip().lower():
            return sheet
    raise NotThere("paper", name, PAPERS)
