"""The stretches of a new outline that do not lie on the printed line: what strips are printed of."""

from __future__ import annotations

import math
from collections.abc import Container, Sequence
from dataclasses import dataclass

from firsthand.alter.tissue.offsets import CHANGED
from firsthand.alter.tissue.rigid import Bit
from firsthand.geometry import Box, Path, Point, nearest
from firsthand.pattern import Shape

__all__ = ["Stretched", "changed_stretches", "printed_line"]

STATION = 4.0
"""The new outline is compared with the printed one this often, mm."""
BRIDGE = 60.0
"""Changed stretches nearer to each other than this, mm, go on one strip."""


@dataclass(frozen=True, slots=True)
class Stretched:
    """A stretch of the new outline that is not as printed: arc lengths along the whole new outline, and the edges on it.

    ``end`` is beyond the outline's length where the stretch runs over the place where the outline begins.
    """

    start: float
    end: float
    edges: tuple[str, ...]


def printed_line(before: Shape, bits: Sequence[Bit]) -> tuple[Path, ...]:
    """The printed stitching line, in the stretches into which it is cut, each where it was moved to."""
    return tuple(before.edge(bit.edge).path.between(bit.start, bit.end).transformed(bit.motion) for bit in bits)


def changed_stretches(
    before: Shape, after: Shape, bits: Sequence[Bit], *, foreign: Container[str] = ()
) -> tuple[Stretched, ...]:
    """The stretches of a new outline that do not lie on the printed line, each long enough to take in what is near it.

    Parameters
    ----------
    before, after
        The piece as printed and as altered.
    bits
        How sections of the printed piece were moved.
    foreign
        Edges that are on the tissue of another piece.
    """
    printed = printed_line(before, bits)
    total = math.fsum(edge.path.length for edge in after.edges)
    spots: list[tuple[float, str]] = []
    start = 0.0
    for edge in after.edges:
        length = edge.path.length
        if edge.path not in printed and edge.id not in foreign:
            count = max(1, math.ceil(length / STATION))
            ats = [length * k / count for k in range(count + 1)]
            spots += [(start + at, edge.id) for at in ats if _off(edge.path.at(at), printed)]
        start += length
    return _merged(spots, total)


def _off(point: Point, printed: Sequence[Path]) -> bool:
    spot = Box.around([point])
    near = (path for path in printed if path.bounds.grown(CHANGED).touches(spot))
    return all(nearest(path, point)[1] > CHANGED for path in near)


def _merged(spots: Sequence[tuple[float, str]], total: float) -> tuple[Stretched, ...]:
    """Spots in rows without great holes; the last row may run on into the first."""
    rows: list[list[tuple[float, str]]] = []
    for spot in spots:
        if rows and spot[0] - rows[-1][-1][0] <= BRIDGE:
            rows[-1].append(spot)
        else:
            rows.append([spot])
    if len(rows) > 1 and rows[0][0][0] + total - rows[-1][-1][0] <= BRIDGE:
        rows[0] = rows.pop() + [(at + total, edge) for at, edge in rows[0]]
    return tuple(Stretched(row[0][0], row[-1][0], tuple(dict.fromkeys(edge for _, edge in row))) for row in rows)
