"""Dashes that a file draws as separate short lines, made whole lines again."""

from __future__ import annotations

import itertools
import math
import statistics
from collections import defaultdict
from collections.abc import Sequence

from firsthand.geometry import Line, Path, Segment

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
    made: dict[tuple[float, ...], list[Path]] = defaultdict(list)
    for k in sorted(short, key=lambda k: sum((k, end) in links for end in (False, True))):
        if k in used:
            continue
        chain, closed = _walk((k, True) if (k, False) not in links else (k, False), links, k)
        used.update(index for index, _ in chain)
        if len(chain) < FEWEST:
            used.difference_update(index for index, _ in chain if index != k)
            if len(chain) > 1:
                used.discard(k)
                continue
            used.discard(k)
            continue
        parts = [paths[index] if forwards else paths[index].reversed() for index, forwards in chain]
        gaps = [one.end.distance(two.start) for one, two in itertools.pairwise(parts)]
        on, off = statistics.median(part.length for part in parts), statistics.median(gaps)
        made[round(on, 1), round(off, 1)].append(_bridged(parts, closed))
    whole = [path for k, path in enumerate(paths) if k not in used]
    return whole, dict(made)


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
    x, y = math.floor(p.x / WIDEST), math.floor(p.y / WIDEST)
    for other in (o for i in (-1, 0, 1) for j in (-1, 0, 1) for o in grid.get((x + i, y + j), ())):
        if other[0] == k:
            continue
        path = paths[other[0]]
        q, into = (path.end, -path.end_tangent) if other[1] else (path.start, path.start_tangent)
        gap = p.distance(q)
        if not 0.01 < gap <= WIDEST or gap >= least or gap > 3 * max(path.length, paths[k].length):
            continue
        across = (q - p).unit()
        if abs(way.angle_to(across)) < BEND and abs(across.angle_to(into)) < BEND:
            found, least = other, gap
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
