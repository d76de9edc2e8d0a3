"""Dashes that a file draws as separate short lines, made whole lines again."""

from __future__ import annotations

import itertools
import math
import statistics
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from firsthand.geometry import Line, Path, Point, Segment

__all__ = ["undashed"]

LONGEST = 16.0  # mm; longer lines are not dashes (common practice: up to about 12)
WIDEST = 8.0  # mm; wider gaps are not between dashes
BEND = math.radians(25)
FEWEST = 5
"""So many short lines in a row are a dashed line; four sides of a small mark are not."""
_End = tuple[int, bool]


def undashed(paths: Sequence[Path]) -> tuple[list[Path], dict[tuple[float, ...], list[Path]]]:
    """Lines that stand as they are, and dashed lines made whole, by dash and gap in mm."""
    short = [k for k, path in enumerate(paths) if path.length <= LONGEST and not path.is_closed]
    if len(short) < FEWEST:
        return list(paths), {}
    links = _links(paths, short)
    used: set[int] = set()
    rows: list[_Row] = []
    for k in sorted(short, key=lambda k: sum((k, end) in links for end in (False, True))):
        if k in used:
            continue
        chain, closed = _walk((k, True) if (k, False) not in links else (k, False), links, k)
        if len(chain) < FEWEST:
            continue
        used.update(index for index, _ in chain)
        parts = [paths[index] if forwards else paths[index].reversed() for index, forwards in chain]
        gaps = [one.end.distance(two.start) for one, two in itertools.pairwise(parts)]
        on, off = statistics.median(part.length for part in parts), statistics.median(gaps)
        rows.append(_Row(_bridged(parts, closed), on, off))
    made: dict[tuple[float, ...], list[Path]] = defaultdict(list)
    for row in _round_corners(rows):
        made[round(row.on, 1), round(row.off, 1)].append(row.path)
    return [path for k, path in enumerate(paths) if k not in used], dict(made)


@dataclass(frozen=True, slots=True)
class _Row:
    """Dashes in a row: the line they make, and their usual length and gap."""

    path: Path
    on: float
    off: float

    def like(self, other: _Row) -> bool:
        """Whether both have the same dashes."""
        return abs(self.on - other.on) < 0.15 * self.on + 0.05 and abs(self.off - other.off) < 0.25 * self.off + 0.05


def _round_corners(rows: Sequence[_Row]) -> list[_Row]:
    """Rows that end beside each other joined at the corner to which both point."""
    rows = list(rows)
    while True:
        best: tuple[float, int, int, bool, bool] | None = None
        for i, one in enumerate(rows):
            for j in range(i, len(rows)):
                two = rows[j]
                if one.path.is_closed or two.path.is_closed or not one.like(two):
                    continue
                reach = 2.0 * (one.on + one.off)
                for a, b in ((True, False),) if i == j else itertools.product((True, False), repeat=2):
                    p, q = (one.path.end if a else one.path.start), (two.path.end if b else two.path.start)
                    gap = p.distance(q)
                    if gap <= reach and (best is None or gap < best[0]) and one.path.length > 2 * reach:
                        best = (gap, i, j, a, b)
        if best is None:
            return rows
        _, i, j, a, b = best
        first = rows[i].path if a else rows[i].path.reversed()
        second = first if i == j else (rows[j].path.reversed() if b else rows[j].path)
        corner = _corner(first, second)
        between = [Line(p, q) for p, q in itertools.pairwise((first.end, *corner, second.start)) if p.distance(q) > 1e-6]
        segments = (*first.segments, *between, *(() if i == j else second.segments))
        joined = _Row(Path(segments), rows[i].on, rows[i].off)
        rows = [row for k, row in enumerate(rows) if k not in {i, j}] + [joined]


def _corner(first: Path, second: Path) -> list[Point]:
    """Where the end of one line and the beginning of another point to, if that is near."""
    p, u, q, v = first.end, first.end_tangent, second.start, second.start_tangent
    turn = u.cross(v)
    if abs(turn) < 0.2:
        return []
    along, back = (q - p).cross(v) / turn, (q - p).cross(u) / turn
    most = 2.0 * p.distance(q) + 0.1
    return [p + u * along] if 0 < along < most and -most < back < 0 else []


def _links(paths: Sequence[Path], short: Sequence[int]) -> dict[_End, _End]:
    """The dash that goes on from each end of a dash, where both are each other's best choice."""
    grid: dict[tuple[int, int], list[_End]] = defaultdict(list)
    for k in short:
        for end in (False, True):
            p = paths[k].end if end else paths[k].start
            grid[math.floor(p.x / WIDEST), math.floor(p.y / WIDEST)].append((k, end))
    best: dict[_End, _End] = {}
    for k in short:
        for end in (False, True):
            found = _best(paths, grid, (k, end))
            if found is not None:
                best[k, end] = found
    return {a: b for a, b in best.items() if best.get(b) == a}


def _best(paths: Sequence[Path], grid: dict[tuple[int, int], list[_End]], here: _End) -> _End | None:
    k, end = here
    p = paths[k].end if end else paths[k].start
    way = paths[k].end_tangent if end else -paths[k].start_tangent
    found: _End | None = None
    least = math.inf
    mine = paths[k].length
    x, y = math.floor(p.x / WIDEST), math.floor(p.y / WIDEST)
    for other in (o for i in (-1, 0, 1) for j in (-1, 0, 1) for o in grid.get((x + i, y + j), ())):
        if other[0] == k:
            continue
        path = paths[other[0]]
        q, into = (path.end, -path.end_tangent) if other[1] else (path.start, path.start_tangent)
        gap = p.distance(q)
        if not 0.01 < gap <= WIDEST or gap > 3 * max(path.length, mine):
            continue
        worth = gap + 0.7 * abs(path.length - mine)  # dashes of another line may lie between
        if worth >= least:
            continue
        across = (q - p).unit()
        if abs(way.angle_to(across)) < BEND and abs(across.angle_to(into)) < BEND:
            found, least = other, worth
    return found


def _walk(start: _End, links: dict[_End, _End], first: int) -> tuple[list[tuple[int, bool]], bool]:
    """The dashes in a row from a dash, each with its direction; and whether they come back to it."""
    chain: list[tuple[int, bool]] = []
    here, leaving = first, start[1]
    while True:
        chain.append((here, leaving))
        nxt = links.get((here, leaving))
        if nxt is None:
            return chain, False
        here, leaving = nxt[0], not nxt[1]
        if here == first or len(chain) > 100_000:
            return chain, True


def _bridged(parts: Sequence[Path], closed: bool) -> Path:
    segments: list[Segment] = []
    for part in parts:
        if segments:
            segments.append(Line(segments[-1].end, part.start))
        segments += part.segments
    if closed:
        segments.append(Line(segments[-1].end, segments[0].start))
    return Path(tuple(segments))
