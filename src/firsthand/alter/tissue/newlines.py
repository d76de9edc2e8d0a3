"""Lines of a new outline that no printed line became, as where a piece was cut in two: a chord on the tissue and its bends."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Container, Iterator
from dataclasses import dataclass

from firsthand.geometry import Affine, Path
from firsthand.pattern import Edge, Shape

__all__ = ["Bend", "NewLine", "Spot", "new_lines"]

BENT = 0.5
"""A line that strays less from its chord, mm, is drawn with a ruler."""
SHORTEST = 2.0
"""A line shorter than this, mm, needs no words: the corners say where it is."""

Origin = Callable[[str, float], tuple[str, float] | None]
"""From a place on a new edge to the printed edge and arc length it came from."""
Motion = Callable[[str, float], Affine]
"""Where the section with a printed place was moved."""


@dataclass(frozen=True, slots=True)
class Spot:
    """An end of a new line: the printed edge and arc length; no edge where no printed one is beside it."""

    edge: str = ""
    at: float = 0.0


@dataclass(frozen=True, slots=True)
class Bend:
    """A place on a new line: so far along its chord from the start, and so far to the left of it, mm."""

    along: float
    left: float


@dataclass(frozen=True, slots=True)
class NewLine:
    """A line to draw on the tissue.

    Parameters
    ----------
    edge
        Id of the new edge.
    start, end
        Its ends, in the direction in which they are told: the first is that of the outline's run.
    length
        Of the line, mm.
    margin
        From it to the cutting line, mm.
    bends
        Where it lies beside its chord; none for a straight line.
    notches
        How far from its start each of its notches is, along it, mm.
    path
        The line as it lies on the printed tissue.
    """

    edge: str
    start: Spot
    end: Spot
    length: float
    margin: float
    bends: tuple[Bend, ...]
    notches: tuple[float, ...]
    path: Path


def new_lines(after: Shape, foreign: Container[str], origin: Origin, motion: Motion, every: float) -> Iterator[NewLine]:
    """Edges of a new outline of which nothing is on the tissue.

    Parameters
    ----------
    after
        The new outline.
    foreign
        Its edges that are on the tissue of another piece.
    origin, motion
        From new places to printed ones, and where the sections of the printed piece lie.
    every
        How often bends are told, mm.
    """
    edges = after.edges
    for last, edge, follow in zip((edges[-1], *edges[:-1]), edges, (*edges[1:], edges[0]), strict=True):
        long = edge.path.length
        shares = (0.03, 0.2, 0.4, 0.6, 0.8, 0.97)
        if edge.id in foreign or long < SHORTEST or any(origin(edge.id, long * share) for share in shares):
            continue
        start, end = _spot(last, origin, at_end=True), _spot(follow, origin, at_end=False)
        back = motion(start.edge, start.at) if start.edge else motion(end.edge, end.at) if end.edge else Affine()
        path = edge.path.transformed(back.inverse())
        notches = tuple(sorted(notch.at for notch in after.notches if notch.edge == edge.id))
        yield NewLine(edge.id, start, end, long, edge.margin, tuple(_bends(path, every)), notches, path)


def _spot(edge: Edge, origin: Origin, *, at_end: bool) -> Spot:
    long = edge.path.length
    for aside in (0.0, 0.01, 0.5):
        place = origin(edge.id, max(long - aside, 0.0) if at_end else min(aside, long))
        if place is not None:
            return Spot(*place)
    return Spot()


def _bends(path: Path, every: float) -> Iterator[Bend]:
    points = path.flattened(0.05)
    start, end = points[0], points[-1]
    chord = end - start
    if chord.norm < 1e-6:
        return
    way = chord.unit()
    seen = [Bend((point - start).dot(way), (point - start).dot(way.left)) for point in points]
    if max(abs(bend.left) for bend in seen) <= BENT:
        return
    count = int(chord.norm // every)
    for along in [every * k for k in range(1, count + 1) if every * k < chord.norm - 1.0] or [chord.norm / 2]:
        yield Bend(along, _left(seen, along))


def _left(seen: list[Bend], along: float) -> float:
    """Of a line that runs back on itself the furthest there, by straight runs between its points."""
    found = []
    for one, two in itertools.pairwise(seen):
        low, high = sorted((one.along, two.along))
        if low <= along <= high:
            share = (along - one.along) / (two.along - one.along) if two.along != one.along else 0.0
            found.append(one.left + share * (two.left - one.left))
    return max(found, key=abs, default=0.0)
