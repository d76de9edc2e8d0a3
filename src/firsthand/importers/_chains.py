"""Loose lines joined end to end into loops."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firsthand.geometry import Cubic, Line, Path, Point, Segment

__all__ = ["GAP", "RawLine", "chained", "closed_up"]

GAP = 0.05
"""Ends closer than this are one point, mm: far below a pencil line, far above rounding."""


@dataclass(frozen=True, slots=True)
class RawLine:
    """A line as it stands in a file.

    Parameters
    ----------
    path
        In millimetres, y up.
    layer
        Its layer, group or label.
    ids
        The file's ids of its elements.
    group
        What it belongs to: a block of a DXF file; empty for loose lines.
    """

    path: Path
    layer: str = ""
    ids: tuple[str, ...] = ()
    group: str = ""


def chained(lines: Iterable[RawLine]) -> list[RawLine]:
    """Lines of one layer and group joined wherever just two ends meet; closed ones are left as they are."""
    pots: dict[tuple[str, str], list[RawLine]] = defaultdict(list)
    done: list[RawLine] = []
    for line in lines:
        if _gap(line.path) <= GAP:
            done.append(RawLine(closed_up(line.path), line.layer, line.ids, line.group))
        else:
            pots[line.group, line.layer].append(line)
    for pot in pots.values():
        done += _joined(pot)
    return done


def closed_up(path: Path) -> Path:
    """The path with its end moved on to its start, where the gap is a rounding matter."""
    last = path.segments[-1]
    if last.end == path.start:
        return path
    return Path((*path.segments[:-1], _ending(last, path.start)))


def _ending(segment: Segment, at: Point) -> Segment:
    if isinstance(segment, Line):
        return Line(segment.a, at)
    return Cubic(segment.a, segment.b, segment.c + (at - segment.d), at)


def _gap(path: Path) -> float:
    return path.start.distance(path.end) if path.length > 4 * GAP else math.inf


def _joined(lines: Sequence[RawLine]) -> list[RawLine]:
    nodes = _nodes([end for line in lines for end in (line.path.start, line.path.end)])
    at: dict[int, list[int]] = defaultdict(list)
    for k in range(len(lines)):
        at[nodes[2 * k]].append(k)
        at[nodes[2 * k + 1]].append(k)
    used: set[int] = set()
    out = []
    # Begin at ends and branchings, so that open chains are walked whole; what is left are loops.
    starts = [k for k in range(len(lines)) if any(len(at[nodes[2 * k + e]]) != 2 for e in (0, 1))]
    for k in [*starts, *range(len(lines))]:
        if k not in used:
            out.append(_walk(k, lines, nodes, at, used))
    return out


def _walk(first: int, lines: Sequence[RawLine], nodes: list[int], at: dict[int, list[int]], used: set[int]) -> RawLine:
    forwards = len(at[nodes[2 * first]]) != 2 or len(at[nodes[2 * first + 1]]) == 2
    parts: list[Path] = []
    ids: list[str] = []
    here = first
    while True:
        used.add(here)
        path = lines[here].path
        parts.append(path if forwards else path.reversed())
        ids += lines[here].ids
        node = nodes[2 * here + (1 if forwards else 0)]
        following = [k for k in at[node] if k not in used]
        if len(at[node]) != 2 or not following:
            break
        here = following[0]
        forwards = nodes[2 * here] == node
    return RawLine(_one_path(parts), lines[first].layer, tuple(ids), lines[first].group)


def _one_path(parts: Sequence[Path]) -> Path:
    segments: list[Segment] = list(parts[0].segments)
    for part in parts[1:]:
        segments[-1] = _ending(segments[-1], part.start)
        segments += part.segments
    path = Path(tuple(segments))
    return closed_up(path) if _gap(path) <= GAP else path


def _nodes(points: Sequence[Point]) -> list[int]:
    """A number for each point, the same for points within the gap (by a grid of its size)."""
    grid: dict[tuple[int, int], list[int]] = defaultdict(list)
    numbers: list[int] = []
    kept: list[Point] = []
    for point in points:
        x, y = math.floor(point.x / GAP), math.floor(point.y / GAP)
        near = (n for i in (-1, 0, 1) for j in (-1, 0, 1) for n in grid.get((x + i, y + j), ()))
        found = next((n for n in near if kept[n].distance(point) <= GAP), None)
        if found is None:
            found = len(kept)
            kept.append(point)
            grid[x, y].append(found)
        numbers.append(found)
    return numbers
