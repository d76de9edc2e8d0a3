"""The printed test square: found by the words that say how large it should be."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from firsthand.findings import Finding, Severity, kind
from firsthand.geometry import Line, Path
from firsthand.importers.pdf._state import Stroke, Word
from firsthand.units import MM_PER_INCH, said

__all__ = ["Square", "square_findings", "squares_in"]

SQUARE = kind(
    "pdf-test-square",
    Severity.NOTE,
    "A PDF pattern has a square whose true side is printed beside it. Its side in the file was measured.",
)
SQUARE_OFF = kind(
    "pdf-test-square-off",
    Severity.DOUBT,
    "The test square in the file does not measure what is printed beside it: the file was made at another scale, and every "
    "piece in it comes out as much too large or small.",
)
NO_SQUARE = kind(
    "pdf-no-test-square",
    Severity.DOUBT,
    "No square with its true side beside it was found, so the scale of the file rests on its page size alone.",
)
ENOUGH = 0.005
"""A square within half a hundredth of its side is true: about what a home printer keeps (common practice)."""
_SIZE = re.compile(
    r"(?<![\d.,])(\d{1,3}(?:[.,]\d{1,3})?|\d?\s?[½¼¾]|\d+/\d+)\s*(?:[x×]\s*\d{1,3}(?:[.,]\d+)?\s*)?-?(cm|mm|centimet\w+|millimet\w+|inch(?:es)?|in\b|\"|”|″)",
    re.IGNORECASE,
)
_FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75}


@dataclass(frozen=True, slots=True)
class Square:
    """A test square: its page, its sides as they are in the file and as they should be, mm."""

    page: int
    width: float
    height: float
    nominal: float
    path: Path

    @property
    def factor(self) -> float:
        """What lengths must be multiplied with to be true."""
        return 2 * self.nominal / (self.width + self.height)


def squares_in(number: int, strokes: Sequence[Stroke], words: Sequence[Word]) -> list[Square]:
    """Test squares of one page."""
    told = [(word, sizes) for word in words if (sizes := list(_sizes(word.text)))]
    found: list[Square] = []
    if not told:
        return found
    for stroke in strokes:
        if len(stroke.path.segments) > 8:
            continue
        box = stroke.path.bounds
        if not (8.0 <= box.width <= 320.0 and abs(box.width - box.height) <= 0.1 * box.width and _rectangular(stroke.path)):
            continue
        reach = max(12.0, 0.35 * box.width)
        near = [
            size
            for word, sizes in told
            if box.left - reach <= word.box.right and word.box.left <= box.right + reach
            and box.bottom - reach <= word.box.top and word.box.bottom <= box.top + reach
            for size in sizes
        ]  # fmt: skip
        side = (box.width + box.height) / 2
        nominal = min(near, key=lambda size: abs(size / side - 1), default=0.0)
        if nominal and abs(nominal / side - 1) < 0.35 and not any(s.path == stroke.path for s in found):
            found.append(Square(number, box.width, box.height, nominal, stroke.path))
    return found


def _rectangular(path: Path) -> bool:
    """Four sides along the paper, joined."""
    box = path.bounds
    if not path.is_closed or not all(isinstance(s, Line) for s in path) or len(path.segments) > 8:
        return False
    along = all(min(abs(s.start.x - s.end.x), abs(s.start.y - s.end.y)) < 0.05 for s in path)
    return along and abs(abs(path.area) - box.width * box.height) < 0.01 * box.width * box.height


def _sizes(text: str) -> list[float]:
    """Lengths named in a text, mm.

    Examples
    --------
    >>> _sizes('test square: 5 cm / 2 in'), _sizes('10cm x 10cm'), _sizes('front')
    ([50.0, 50.8], [100.0, 100.0], [])
    """
    out = []
    for number, unit in _SIZE.findall(text):
        size = _number(number)
        low = unit.lower()
        by = 1.0 if low.startswith(("mm", "milli")) else 10.0 if low.startswith(("cm", "centi")) else MM_PER_INCH
        if 8.0 <= size * by <= 320.0:
            out.append(size * by)
    return out


def _number(text: str) -> float:
    text = text.strip()
    if text[-1:] in _FRACTIONS:
        return float(text[:-1].strip() or 0) + _FRACTIONS[text[-1]]
    if "/" in text:
        over, under = text.split("/")
        return float(over) / float(under) if float(under) else 0.0
    return float(text.replace(",", "."))


def square_findings(squares: Sequence[Square]) -> list[Finding]:
    """What the squares say of the scale."""
    if not squares:
        return [NO_SQUARE("No test square was found.", remedy="Measure one long line of a piece on paper and compare.")]
    out = []
    for one in sorted(squares, key=lambda square: -square.nominal)[:4]:
        off = max(abs(one.width / one.nominal - 1), abs(one.height / one.nominal - 1))
        why = (
            f"page {one.page}: {one.width:.3f} mm wide, {one.height:.3f} mm high, told {one.nominal:.1f} mm",
            f"factor {one.factor:.5f}",
        )
        if off <= ENOUGH:
            out.append(SQUARE(f"The test square of {said(one.nominal)} measures {said(one.width)} in the file.", why=why))
            continue
        words = f"The test square of {said(one.nominal)} measures {said(one.width)} by {said(one.height)} in the file."
        out.append(
            SQUARE_OFF(words, remedy=f"Import again with --scale {one.factor:.4f} if the paper shows the same.", why=why)
        )
    return out
