"""Letter text in lines from an upper left corner downwards."""

from __future__ import annotations

from firsthand.geometry import Point
from firsthand.geometry.drawing import Sink, WordKind
from firsthand.sheets._lettering import LEADING, shortened, wrap
from firsthand.sheets.look import WORDS

__all__ = ["paragraph"]


def paragraph(sink: Sink, text: str, at: Point, room: float, kind: WordKind, *, most: int = 999) -> float:
    """Letter text, broken into lines no wider than the room.

    Parameters
    ----------
    at
        The upper left corner.
    most
        Lines at most; the last one is cut short.

    Returns
    -------
    float
        The height of the lower end.
    """
    lines = list(wrap(text, kind, room))
    if len(lines) > most:
        lines = [*lines[: most - 1], shortened(" ".join(lines[most - 1 :]), kind, room)]
    y, size = at.y, WORDS[kind].size
    for line in lines:
        sink.words(line, Point(at.x, y - size), kind)
        y -= size * LEADING
    return y
