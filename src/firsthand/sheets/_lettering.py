"""How wide lettering is, and how it is broken into lines."""

from __future__ import annotations

from functools import cache
from importlib.resources import as_file, files

from firsthand.geometry.drawing import WordKind
from firsthand.sheets.look import WORDS

__all__ = ["ASCENT", "DESCENT", "LEADING", "clean", "font_of", "shortened", "width", "wrap"]

ASCENT = 0.74
"""Height of capitals and ascenders over the baseline, share of the size."""
DESCENT = 0.22
"""Depth of descenders, share of the size."""
LEADING = 1.32
"""From baseline to baseline, share of the size."""

_FACES = {False: ("firsthand-regular", "FiraSans-Regular.ttf"), True: ("firsthand-bold", "FiraSans-SemiBold.ttf")}


@cache
def font_of(bold: bool) -> str:
    """The name under which a face of our font is known to the PDF library, registered on first use."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    name, file = _FACES[bold]
    with as_file(files("firsthand.sheets") / "fonts" / file) as path:
        registerFont(TTFont(name, str(path)))
    return name


def clean(text: str) -> str:
    """One line of text without control signs.

    Examples
    --------
    >>> clean("front\\tleft\\n no. 2\\x00")
    'front left no. 2'
    """
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())


@cache
def width(text: str, kind: WordKind) -> float:
    """Width of one line of text, mm."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    look = WORDS[kind]
    return float(stringWidth(text, font_of(look.bold), look.size))


def shortened(text: str, kind: WordKind, room: float) -> str:
    """The text, cut short with an ellipsis where it would be wider than the room, mm."""
    text = clean(text)
    if width(text, kind) <= room:
        return text
    keep = len(text)
    while keep > 1 and width(text[:keep].rstrip() + "…", kind) > room:
        keep -= 1
    return text[:keep].rstrip() + "…"


def wrap(text: str, kind: WordKind, room: float) -> tuple[str, ...]:
    """The text in lines no wider than the room, mm; a single word that is wider is broken.

    Examples
    --------
    >>> wrap("cut one pair of shell", WordKind.BODY, 25)
    ('cut one pair of', 'shell')
    """
    lines: list[str] = []
    line = ""
    for word in clean(text).split(" "):
        for bit in _broken(word, kind, room):
            longer = f"{line} {bit}" if line else bit
            if not line or width(longer, kind) <= room:
                line = longer
            else:
                lines.append(line)
                line = bit
    return (*lines, line)


def _broken(word: str, kind: WordKind, room: float) -> list[str]:
    bits = []
    while len(word) > 1 and width(word, kind) > room:
        keep = len(word) - 1
        while keep > 1 and width(word[:keep], kind) > room:
            keep -= 1
        bits.append(word[:keep])
        word = word[keep:]
    return [*bits, word]
