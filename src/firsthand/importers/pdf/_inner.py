"""What the lines within an outline probably mean."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from firsthand.geometry import Line, Path, Point, nearest
from firsthand.importers._layers import layer_meaning
from firsthand.importers.model import FoundLine, Meaning
from firsthand.importers.pdf._outlines import samples
from firsthand.importers.pdf._state import Word
from firsthand.importers.pdf._weld import Drawn

__all__ = ["meanings"]

TICK = 16.0  # mm; longer lines on the outline are no notches (common practice: 5 to 12)
TOUCHES = 1.2  # mm from the outline
ARROW = 12.0  # mm; an arrow head is smaller
TIP = 2.5  # mm from the end of its line
GRAIN = 30.0  # mm; shorter arrows point at something else
FOLD_WORDS = 45.0  # mm between the fold and the words that say so
STEADY = 0.15


def meanings(outline: Path, lines: Sequence[Drawn], words: Sequence[Word]) -> tuple[FoundLine, ...]:
    """The lines of one piece with what they mean, arrow heads left out; the fold edge if words beside it say so."""
    heads = [k for k, (_, line) in enumerate(lines) if _is_head(line.path)]
    used: set[int] = set()
    found: list[FoundLine] = []
    for k, (look, line) in enumerate(lines):
        path = line.path
        named = layer_meaning(look.layer) if look.layer else Meaning.UNKNOWN
        if named not in {Meaning.UNKNOWN, Meaning.BOUNDARY}:
            found.append(FoundLine(named, path, look.layer))
            continue
        if k in heads and not _on_outline(path, outline):
            continue
        kind, mine = _kind(path, look.dash, outline, [(j, lines[j][1].path) for j in heads if j != k])
        used |= mine
        if k not in used:
            found.append(FoundLine(kind, _spine(path) if kind is Meaning.GRAIN else path, look.layer))
    loose = [
        FoundLine(Meaning.INNER, lines[k][1].path, lines[k][0].layer) for k in heads if k not in used and _big(lines[k][1].path)
    ]
    return (*found, *loose, *_folds(outline, words))


def _big(path: Path) -> bool:
    return path.length > 2 * ARROW


def _kind(path: Path, dash: tuple[float, ...], outline: Path, heads: Sequence[tuple[int, Path]]) -> tuple[Meaning, set[int]]:
    tips = {j for j, head in heads for end in (path.start, path.end) if nearest(head, end)[1] < TIP}
    if (_straight(path) or _arrowed(path)) and path.length >= GRAIN and (tips or _arrowed(path)):
        return Meaning.GRAIN, tips
    if _is_notch(path, outline):
        return Meaning.NOTCH, set()
    if _is_dart(path, outline):
        return Meaning.DART, set()
    if path.length > 60 and _parallel(path, outline):
        return Meaning.STITCHING, set()
    return Meaning.INNER if not path.is_closed or path.length > 20 else Meaning.HOLE, set()


def _straight(path: Path) -> bool:
    return path.start.distance(path.end) > 0.9999 * path.length


def _corners(path: Path) -> list[Point]:
    return [path.start, *(s.end for s in path)]


def _is_head(path: Path) -> bool:
    """A small triangle, or a small open V."""
    box = path.bounds
    lines = all(isinstance(s, Line) for s in path)
    return lines and max(box.width, box.height) <= ARROW and 2 <= len(path.segments) <= 4 and path.length > 1.0


def _arrowed(path: Path) -> bool:
    """One stroke that draws a long line and an arrow head at an end of it."""
    if not 3 <= len(path.segments) <= 10 or path.is_closed or not all(isinstance(s, Line) for s in path):
        return False
    long = max(s.length for s in path)
    return long >= GRAIN and all(s.length <= ARROW for s in path if s.length != long)


def _spine(path: Path) -> Path:
    """The long line of an arrow drawn in one stroke."""
    return path if _straight(path) else Path((max(path.segments, key=lambda s: s.length),))


def _on_outline(path: Path, outline: Path) -> bool:
    return any(nearest(outline, p)[1] <= TOUCHES for p in _corners(path))


def _is_notch(path: Path, outline: Path) -> bool:
    """A short tick, V or triangle that touches the outline."""
    box = path.bounds
    if math.hypot(box.width, box.height) > TICK or not all(isinstance(s, Line) for s in path) or len(path.segments) > 4:
        return False
    near = [p for p in _corners(path) if nearest(outline, p)[1] <= TOUCHES]
    if len(path.segments) == 1:
        if path.length < 1.5:
            return False
        middle = nearest(outline, path.at(path.length / 2))
        at = near[0] if near else path.at(path.length / 2)
        if not near and middle[1] > TOUCHES:
            return False
        along = outline.tangent_at(nearest(outline, at)[0])
        return abs(along.cross((path.end - path.start).unit())) > 0.5
    return len({(round(p.x, 2), round(p.y, 2)) for p in near}) >= 2


def _is_dart(path: Path, outline: Path) -> bool:
    """Two legs from the outline to a point."""
    if len(path.segments) != 2 or path.is_closed or not all(isinstance(s, Line) for s in path):
        return False
    legs = [s.length for s in path]
    ends = all(nearest(outline, p)[1] <= TOUCHES for p in (path.start, path.end))
    narrow = path.start.distance(path.end) < 0.9 * sum(legs) / 2 * 2
    return ends and min(legs) > 15 and min(legs) > 0.6 * max(legs) and narrow and nearest(outline, path.segments[0].end)[1] > 5


def _parallel(path: Path, outline: Path) -> bool:
    """Whether a line runs beside the outline at a steady distance."""
    apart = [nearest(outline, p)[1] for p in samples(path, 40)]
    if not (2.0 < sorted(apart)[20] < 60.0) or min(apart) < 0:
        return False
    return sum(abs(a - b) < STEADY for a, b in itertools.pairwise(apart)) >= 0.75 * 39


def _folds(outline: Path, words: Sequence[Word]) -> list[FoundLine]:
    """The straight edge beside words that place it on the fold."""
    told = [w for w in words if "fold" in w.text.lower() or "bruch" in w.text.lower() or "pliure" in w.text.lower()]
    edges = [s for s in outline if isinstance(s, Line) and s.length > 40.0]
    for word in told:
        tall = word.box.height > word.box.width
        able = []
        for edge in edges:
            way = edge.end - edge.start
            if (abs(way.y) > abs(way.x)) != tall and not (word.text.lower().startswith("fold") and len(word.text) < 14):
                continue
            distance = nearest(Path((edge,)), word.at)[1]
            if distance < FOLD_WORDS:
                able.append((distance, -edge.length, edge))
        if able:
            edge = min(able, key=lambda one: one[:2])[2]
            return [FoundLine(Meaning.MIRROR, Path((edge,)))]
    return []
