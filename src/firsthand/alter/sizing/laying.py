"""How the sheets of several sizes are laid on each other before they are blended. Loaded late: it needs numpy."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

import numpy as np

from firsthand.alter.sizing.curves import Floats, Run, Strand
from firsthand.alter.sizing.matching import mouths
from firsthand.alter.sizing.shares import Heights, Ladder
from firsthand.geometry import Line, Point
from firsthand.pattern import Shape, sewn_length

__all__ = ["Sheets"]

ALONG_GRAIN = 1e-3
"""An edge within this of the grain, radians, lies along it."""
ON_EACH_OTHER = 0.5
"""Sizes drawn nearer to each other than this at an edge, mm, are meant to be drawn on each other there."""
STEPS = 3
"""Rounds in which lengths of seams are brought to what they should be."""
GAUSS = 3**-0.5
"""Where lengths are measured in each stretch, from its middle, as a share of its half (Gauss' rule of two points)."""
LOOSE, FIRM = 0.01, 0.1
"""How firmly a sheet is held where it was laid first against seams that pull at it: along a guide, and freely."""


class Sheets:
    """How the sizes are laid on each other.

    Where sheets of two sizes are laid decides how long the edges between them come out. They are laid so that what is on the
    fold, or straight along the grain, stays so; else so that the edges that change move apart evenly. Along the grain the
    middles between two named levels are laid on each other, and then moved so that sewn edges come out as long as the shares
    of the sizes on them: two edges sewn together, which lean differently, then agree.
    """

    def __init__(
        self,
        shapes: Sequence[Shape],
        reference: Shape,
        mixes: Floats,
        shares: Mapping[str, tuple[Floats, Floats]],
        strands: Mapping[str, Strand],
        *,
        sewn: frozenset[str] = frozenset(),
        fold: str = "",
        ladder: Ladder | None = None,
    ) -> None:
        self.shapes, self.reference, self.mixes, self.shares, self.strands = shapes, reference, mixes, shares, strands
        self.sewn, self.fold, self.ladder = sewn, fold, ladder
        self.heights = [Heights.of(shape) for shape in shapes]
        self.up, self.count = self.heights[0].up, len(mixes)

    def solved(self) -> Floats:
        """A shift for each named place, mm."""
        rows, wanted, strengths = [], [], []
        for i, j in itertools.combinations(range(self.count), 2):
            strength, away = self._between(i, j)
            if strength > 1e-6:
                row = np.zeros(self.count)
                row[i], row[j] = -1.0, 1.0
                rows.append(row)
                wanted.append(-away)
                strengths.append(math.sqrt(strength))
        if not rows:
            return np.zeros((self.count, 2))
        by = np.array(strengths)[:, None]
        shifts = np.linalg.lstsq(np.array(rows) * by, np.array(wanted) * by, rcond=None)[0]
        shifts = self._trued(shifts)
        used = min(k for k in range(self.count) if any(row[k] for row in rows))
        return np.asarray(shifts - shifts[used])

    def _between(self, i: int, j: int) -> tuple[float, Floats]:
        """How much passes from one named place to another on this piece, and how far the second lies from the first."""
        total, away = 0.0, np.zeros(2)
        for edge, (v, shares) in self.shares.items():
            one, two = shares[:, i], shares[:, j]
            passing = np.abs((one[:-1] + one[1:]) / 2 * np.diff(two) - (two[:-1] + two[1:]) / 2 * np.diff(one))
            if passing.max() > 1e-12:
                apart = self._apart(edge, (v[:-1] + v[1:]) / 2, self.mixes[j] - self.mixes[i])
                total += float(passing.sum())
                away += (passing[:, None] * apart).sum(axis=0)
        return total, self._guided(away / total, i, j) if total else away

    def _trued(self, shifts: Floats) -> Floats:
        """Shifts changed so that sewn edges come out as long as the shares of the sizes on them (Gauss and Newton's steps)."""
        edges = [edge for edge in self.shares if edge in self.sewn and np.ptp(self.shares[edge][1], axis=0).max() > 1e-9]
        guide, along = self._guide()
        ways = np.array([[along.x, along.y]]) if guide else np.eye(2)
        held = (LOOSE if guide else FIRM) ** 2 * np.eye(self.count * len(ways))
        for _ in range(STEPS if edges else 0):
            pairs = [self._length(edge, shifts) for edge in edges]
            missing = np.array([self._wanted(edge) - length for edge, (length, _) in zip(edges, pairs, strict=True)])
            matrix = np.array([(slopes @ ways.T).ravel() for _, slopes in pairs])
            step = np.linalg.solve(matrix.T @ matrix + held, matrix.T @ missing)
            shifts = shifts + step.reshape(self.count, len(ways)) @ ways
        return shifts

    def _wanted(self, edge: str) -> float:
        """How long an edge should be when it is sewn: the sizes' lengths by their shares on it."""
        v, shares = self.shares[edge]
        steps = np.diff(v) * self._open(edge)
        mean = ((shares[:-1] + shares[1:]) / 2 * steps[:, None]).sum(axis=0) / steps.sum()
        return float(mean @ self.mixes @ np.array([sewn_length(shape, edge) for shape in self.shapes]))

    def _open(self, edge: str) -> Floats:
        """One for each stretch of an edge that is seen when it is sewn, none for those in a closed fold."""
        v, length = self.shares[edge][0], self.reference.edge(edge).path.length
        middle, seen = (v[:-1] + v[1:]) / 2 * length, np.ones(len(v) - 1)
        for start, end in mouths(self.reference, edge):
            seen[(middle > start) & (middle < end)] = 0.0
        return seen

    def _length(self, edge: str, shifts: Floats) -> tuple[float, Floats]:
        """How long an edge comes out when it is sewn, and how that grows with each shift in x and y."""
        v, shares = self.shares[edge]
        half, middle = np.diff(v) / 2, (v[:-1] + v[1:]) / 2
        at = np.concatenate([middle - half * GAUSS, middle + half * GAUSS])
        by = np.tile(half * self._open(edge), 2)
        slopes = self.strands[edge].points(at, Run(v, shares @ self.mixes, shares @ shifts))[1]
        speeds = np.maximum(np.hypot(slopes[:, 0], slopes[:, 1]), 1e-12)
        passing = Run(v, shares, np.zeros((len(v), 2))).at(at)[2]
        return float((speeds * by).sum()), passing.T @ (slopes / speeds[:, None] * by[:, None])

    def _apart(self, edge: str, v: Floats, weights: Floats) -> Floats:
        return self.strands[edge].points(v, Run.even(weights))[0]

    def _guided(self, away: Floats, i: int, j: int) -> Floats:
        """The distance with what the fold, the grain and the levels say put in."""
        up = np.array([self.up.x, self.up.y])
        guide, along = self._guide()
        if guide:
            across = np.array([along.y, -along.x])
            ends = self._apart(guide, np.array([0.0, 1.0]), self.mixes[j] - self.mixes[i])
            away = away + across * float(across @ (ends.mean(axis=0) - away))
        risen = self._risen(i, j)
        if risen is not None and (not guide or abs(float(np.array([along.x, along.y]) @ up)) > 1 - ALONG_GRAIN):
            away = away + up * (risen - float(up @ away))
        return away

    def _guide(self) -> tuple[str, Point]:
        """The edge on the fold, or else one straight along the grain, and its way; empty if there is none.

        Of several straight ones rather one that is sewn to nothing else, then one on which the sizes are drawn on each other,
        then the longest.
        """
        shapes, up = self.shapes, self.up
        found = []
        for k, edge in enumerate(shapes[0].edges):
            chords = [shape.edges[k].path.end - shape.edges[k].path.start for shape in shapes]
            if edge.id == self.fold and chords[0].norm > 0:
                return edge.id, chords[0].unit()
            straight = all(isinstance(s, Line) for shape in shapes for s in shape.edges[k].path)
            if straight and all(chord.norm > 0 and abs(chord.unit().cross(up)) < ALONG_GRAIN for chord in chords):
                first = edge.path.start
                off = max(abs((shape.edges[k].path.start - first).cross(up)) for shape in shapes)
                found.append((edge.id not in self.sewn, off < ON_EACH_OTHER, chords[0].norm, edge.id))
        return (max(found)[3], up) if found else ("", up)

    def _risen(self, i: int, j: int) -> float | None:
        """How much higher the second size lies than the first in the middle between the two levels; None without levels."""
        ladder = self.ladder
        heights = dict(ladder.stops) if ladder else {}
        if ladder is None or i not in heights or j not in heights:
            return None
        names = [name for name in self.heights[0].levels if name in ladder.heights]
        common = np.array([ladder.heights[name] for name in names])
        own = np.array([[heights.height(name) for name in names] for heights in self.heights])
        own = (self.mixes[j] - self.mixes[i]) @ own
        return float(np.mean([np.interp(heights[k], common, own) for k in (i, j)]))
