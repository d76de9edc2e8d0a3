"""Lettering along the lines of a piece: grain, fold, levels, and each edge with its allowance. It covers no line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from firsthand.geometry import Path, Point, intersections
from firsthand.geometry.drawing import Anchor, Sink, WordKind
from firsthand.pattern import Edge, Garment, LevelLine, Piece, Shape, drawn_fold
from firsthand.sheets._lettering import ASCENT, DESCENT, width
from firsthand.sheets._placing import Walls
from firsthand.sheets._words import length, plain
from firsthand.sheets.look import WORDS
from firsthand.sheets.sinks._mapped import word_corners
from firsthand.units import Unit

__all__ = ["BRACKET", "level_ends", "write_on_piece"]

BRACKET = 12.0
"""How far the fold bracket stands inside the fold, mm."""
AIR = 0.8
"""Kept from every line, mm."""
INSIDE = 4.0
"""How far inside the stitching line the words stand where the allowance is too narrow for them, mm."""
ALONG = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
"""Shares of a line at which words are tried."""
ACROSS = (0.5, 0.3, 0.7)
"""Shares of an allowance at which words are tried."""
FAR = 5000.0

Spot = tuple[Point, float]
"""Middle of a baseline, and its angle."""


def write_on_piece(sink: Sink, garment: Garment, piece: Piece, walls: Walls, units: Unit) -> None:
    """Write along a piece's lines.

    Parameters
    ----------
    walls
        Its lines; each word that is placed is added.
    """
    shape = piece.drawn_shape
    _write(sink, walls, ("grain, this way up",), WordKind.TINY, *shape.grain, shares=(0.85, 0.7, 0.55, 0.4, 0.25))
    names = {level.id: level.name for level in garment.levels}
    for level in shape.levels:
        ends = level_ends(shape, level)
        _write(sink, walls, (names.get(level.level, level.level),), WordKind.SMALL, *ends, shares=(0.2, 0.8, 0.35, 0.65, 0.5))
    on_fold = drawn_fold(piece)
    if on_fold:
        fold = shape.edge(on_fold).path
        inwards = (fold.end - fold.start).unit().left * BRACKET
        said = ("on the fold of the cloth, do not cut", "on the fold, do not cut", "fold")
        _write(sink, walls, said, WordKind.SMALL, fold.start + inwards, fold.end + inwards, shares=ALONG)
    for edge in shape.edges:
        if edge.id != on_fold:
            _write_edge(sink, walls, edge, units)


def level_ends(shape: Shape, level: LevelLine) -> tuple[Point, Point]:
    """Where a level, run on both ways, first meets the stitching line; its own ends if it does not."""
    way = level.b - level.a
    if way.norm < 1e-6:
        return level.a, level.b
    way = way.unit()
    found = intersections(Path.line(level.a - way * FAR, level.b + way * FAR), shape.outline)
    along = sorted((crossing.point - level.a).dot(way) for crossing in found)
    end = (level.b - level.a).norm
    before, after = [at for at in along if at < 1.0], [at for at in along if at > end - 1.0]
    return level.a + way * (before[-1] if before else 0.0), level.a + way * (after[0] if after else end)


def _write(
    sink: Sink, walls: Walls, texts: Iterable[str], kind: WordKind, a: Point, b: Point, *, shares: tuple[float, ...]
) -> None:
    """Write the first text that finds room beside a straight line, on the side it is read from or on the other."""
    for text in texts:
        long = width(text, kind) / 2 / max(a.distance(b), 1e-9)
        ats = [a.towards(b, share) for share in shares if long <= share <= 1 - long]
        if _first(sink, walls, text, kind, (spot for side in (1, -1) for at in ats for spot in _beside(at, b - a, kind, side))):
            return


def _beside(at: Point, way: Point, kind: WordKind, side: int) -> Iterator[Spot]:
    up, size = _up(way.unit()), WORDS[kind].size
    yield at + up * (AIR + 0.3 + DESCENT * size if side > 0 else -AIR - 0.3 - ASCENT * size), (-up.left).angle


def _write_edge(sink: Sink, walls: Walls, edge: Edge, units: Unit) -> None:
    """What an edge is called and how wide its allowance is: within the allowance, or just inside."""
    amount = length(edge.allowance, units) if edge.margin else "no allowance"
    if edge.inlay:
        amount += f" + inlay {length(edge.inlay, units)}"
    for text in (f"{plain(edge.id)} {amount}", amount):
        if _first(sink, walls, text, WordKind.TINY, _at_edge(edge, width(text, WordKind.TINY))):
            return


def _at_edge(edge: Edge, long: float) -> Iterator[Spot]:
    whole = edge.path.length
    for shift in [*(edge.margin * share for share in ACROSS), -INSIDE]:
        for share in ALONG:
            at = whole * share
            if long / 2 <= at <= whole - long / 2:
                way = edge.path.tangent_at(at)
                up = _up(way)
                middle = edge.path.at(at) - way.left * shift
                yield middle - up * (WORDS[WordKind.TINY].size * ASCENT / 2), (-up.left).angle


def _up(way: Point) -> Point:
    """Which way letters along a direction stand up: readable from below, or from the right."""
    leftwards = way.x < -1e-6 or (abs(way.x) <= 1e-6 and way.y < 0)
    return -way.left if leftwards else way.left


def _first(sink: Sink, walls: Walls, text: str, kind: WordKind, spots: Iterable[Spot]) -> bool:
    """Write at the first spot where nothing is covered."""
    for at, angle in spots:
        corners = word_corners(text, at, kind, Anchor.MIDDLE, angle)
        if walls.free(corners, AIR):
            sink.words(text, at, kind, anchor=Anchor.MIDDLE, angle=angle)
            walls.add(corners)
            return True
    return False
