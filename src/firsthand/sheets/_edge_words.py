"""Writing an edge's name and allowance beside it, where they cover no line."""

from __future__ import annotations

from collections.abc import Iterator

from firsthand.geometry import Point
from firsthand.geometry.drawing import Anchor, Sink, WordKind
from firsthand.pattern import Edge
from firsthand.sheets._lettering import ASCENT, width
from firsthand.sheets._placing import Walls
from firsthand.sheets._words import length
from firsthand.sheets.look import WORDS
from firsthand.sheets.sinks._mapped import word_corners
from firsthand.units import Unit

__all__ = ["edge_words"]

KIND = WordKind.TINY
AIR = 0.8
"""Kept from every line, mm."""
INSIDE = 4.0
"""How far inside the stitching line the words stand where the allowance is too narrow for them, mm."""
ALONG = (0.5, 0.35, 0.65, 0.2, 0.8)
ACROSS = (0.5, 0.3, 0.7)


def edge_words(sink: Sink, walls: Walls, edge: Edge, units: Unit) -> None:
    """Write along an edge what it is called and how wide its allowance is, if there is room."""
    amount = length(edge.allowance, units)
    if edge.inlay:
        amount += f" + inlay {length(edge.inlay, units)}"
    for text in (f"{edge.id} {amount}", amount):
        for at, angle in _places(edge, width(text, KIND)):
            if walls.free(word_corners(text, at, KIND, Anchor.MIDDLE, angle), AIR):
                sink.words(text, at, KIND, anchor=Anchor.MIDDLE, angle=angle)
                return


def _places(edge: Edge, long: float) -> Iterator[tuple[Point, float]]:
    """Middles of baselines with their angles, the best first: within the allowance, then just inside."""
    whole = edge.path.length
    if long + 2 > whole:
        return
    shifts = [edge.margin * share for share in ACROSS]
    for shift in [*shifts, -INSIDE]:
        for share in ALONG:
            at = whole * share
            if long / 2 <= at <= whole - long / 2:
                yield _baseline(edge, at, shift)


def _baseline(edge: Edge, at: float, shift: float) -> tuple[Point, float]:
    """Letters whose middle stands ``shift`` outside the edge, upright or read from the right."""
    way = edge.path.tangent_at(at)
    middle = edge.path.at(at) - way.left * shift
    leftwards = way.x < -1e-6 or (abs(way.x) <= 1e-6 and way.y < 0)
    up = -way.left if leftwards else way.left
    return middle - up * (WORDS[KIND].size * ASCENT / 2), (-up.left).angle
