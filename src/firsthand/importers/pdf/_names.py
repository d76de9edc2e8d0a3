"""Which words near a piece are its name."""

from __future__ import annotations

import re
from collections.abc import Sequence

from firsthand.importers.pdf._state import Word

__all__ = ["named"]

_ORDERS = re.compile(
    r"\b(cut|fold|grain|grainline|stitch|sew|seam|allowance|lay|page|notch|place|size|sizes|cm|mm|inch|inches|zuschneiden|"
    r"fadenlauf|bruch|couper|droit fil|pliure)\b|\d\s*(cm|mm|in\b|\"|”)|^[\d.,/ ]+%?$|^[A-Z]?\d{1,2}[A-Z]?$|www|@|©|http",
    re.IGNORECASE,
)


def named(words: Sequence[Word]) -> str:
    """The name of a piece: the largest lettering that is no instruction, otherwise its number; empty if there is none.

    Examples
    --------
    >>> from firsthand.geometry import Box
    >>> named([Word("cut 2 on fold", Box(0, 0, 40, 5)), Word("FRONT", Box(0, 9, 30, 16)), Word("3", Box(0, 20, 5, 28))])
    'FRONT'
    """
    able = [w for w in words if not _ORDERS.search(w.text) and any(c.isalpha() for c in w.text) and len(w.text) <= 60]
    if able:
        return max(able, key=lambda w: (round(_height(w), 1), -len(w.text))).text.strip(" :-–·")
    numbers = [w for w in words if re.fullmatch(r"(?:no\.?|nr\.?|#)?\s*[A-Z]?\d{1,2}[A-Z]?", w.text.strip(), re.IGNORECASE)]
    return max(numbers, key=_height).text.strip() if numbers else ""


def _height(word: Word) -> float:
    return min(word.box.width, word.box.height)
