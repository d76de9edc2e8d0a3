"""Pieces whose size changes from place to place, put together. Loaded late: it needs numpy."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from firsthand.alter.moving.maps import Runs
from firsthand.alter.moving.reshape import Reshaped, closed
from firsthand.alter.sizing.curves import Floats, Run, Strand, track
from firsthand.alter.sizing.laying import Sheets
from firsthand.alter.sizing.matching import (
    inner_pleat,
    marks,
    mixed,
    mixed_edge,
    mixed_line,
    mixed_place,
    mixed_point,
    mouths,
    sound,
)
from firsthand.alter.sizing.shares import PLACES, Heights, Ladder, on_points, smoothstep
from firsthand.geometry import Affine, Line, Path, Point
from firsthand.pattern import Dart, Edge, InnerLine, InnerLineKind, LevelLine, Pleat, Shape, sewn_at, sewn_length

__all__ = ["Blend", "edge_shares", "rows", "tidy"]

SAME = 1e-9
"""Shares this close are the same."""
FLAT = 0.002
"""An edge straight in every size whose mixture bends less than this, mm, is straight (numbers in files are rounded)."""
LEAST = 1e-6
"""A line shorter than this, mm, is a point."""
LIKE_LINES = frozenset({InnerLineKind.BUTTONHOLE, InnerLineKind.EYELET})
"""Lines that keep their form, however the shares change across them."""


def edge_shares(reference: Shape, ladder: Ladder, count: int) -> dict[str, Floats]:
    """Shares of the named places along every edge of a piece that has levels, by the height of each place."""
    heights = Heights.of(reference)
    found = {}
    for edge in reference.edges:
        common = _heights_at(reference, edge, _unsewn(reference, edge.id), heights, ladder)
        found[edge.id] = ladder.shares(_closed_up(reference, edge, common, heights, ladder), count)
    return found


def _heights_at(shape: Shape, edge: Edge, arcs: Sequence[float], heights: Heights, ladder: Ladder) -> Floats:
    return heights.common(track(edge.path).at(np.array(arcs))[0], ladder.heights)


def _closed_up(shape: Shape, edge: Edge, common: Floats, heights: Heights, ladder: Ladder) -> Floats:
    """Heights along a sewn edge without the steps that closed folds leave in them.

    Each step is spread out evenly as far as the named levels on both sides of it, or the ends of the edge, so that the edge
    without a fold on the other side of the seam is not told a step.
    """
    q, sewn, result = np.linspace(0.0, 1.0, PLACES), sewn_length(shape, edge.id), common.copy()
    levels = [height for _, height in ladder.stops]
    passed = [k for k in range(PLACES - 1) for h in levels if (common[k] - h) * (common[k + 1] - h) <= 0]
    anchors = [0.0, *sorted(q[k] for k in passed), 1.0]
    for start, end in mouths(shape, edge.id):
        below, above = _heights_at(shape, edge, [start, end], heights, ladder)
        at = sewn_at(shape, edge.id, start) / sewn
        low = max(a for a in anchors if a <= at + 1e-9)
        high = min((a for a in anchors if a > max(at, low) + 1e-9), default=1.0)
        ramp = smoothstep((q - low) / (high - low)) if high > low else np.zeros(PLACES)
        result -= (above - below) * ((q * sewn > at * sewn + 1e-9) - ramp)
    return result


def rows(numbers: Sequence[Sequence[float]]) -> Floats:
    """Rows of numbers."""
    return np.array(numbers, dtype=float)


def _unsewn(shape: Shape, edge: str) -> list[float]:
    """Arc lengths of places even in sewn length; a place in a closed fold lies in its middle."""
    sewn = sewn_length(shape, edge)
    folds = sorted(mouths(shape, edge))
    found = []
    for at in np.linspace(0.0, sewn, PLACES):
        place, hidden = float(at), 0.0
        for start, end in folds:
            if place + hidden > start + 1e-9:
                hidden += end - start
        found.append(place + hidden)
    return found


@dataclass(frozen=True)
class Blend:
    """One piece to be mixed.

    Parameters
    ----------
    shapes
        Its sizes, made alike; the first is the one chosen.
    mixes
        For each named place the shares of those sizes: a row for each place.
    reference
        The piece on which shares were told: its edges and marks answer to those of the sizes.
    fields
        Shares of the named places along each edge, even in sewn length.
    sewn
        The edges that are sewn to something else than their own image.
    fold
        The edge on the fold; empty if none.
    ladder
        The levels of the piece, if it has any.
    """

    shapes: Sequence[Shape]
    mixes: Floats
    reference: Shape
    fields: Mapping[str, Floats]
    sewn: frozenset[str] = frozenset()
    fold: str = ""
    ladder: Ladder | None = None

    def made(self) -> Reshaped:
        """The mixture.

        Raises
        ------
        Crosses
            If it is no piece any more.
        """
        weights = np.vstack(list(self.fields.values())) @ self.mixes
        if all(shape == self.shapes[0] for shape in self.shapes):
            return mixed(self.shapes, [1.0, *[0.0] * (len(self.shapes) - 1)])
        if np.abs(weights - weights[0]).max() < SAME:
            return mixed(self.shapes, tidy(weights[0]))
        return _Making(self).made()


def tidy(weights: Floats) -> list[float]:
    """Shares without what rounding has left.

    Examples
    --------
    >>> tidy(np.array([1e-13, 1 - 1e-13]))
    [0.0, 1.0]
    """
    return [float(round(w)) if abs(w - round(w)) < SAME else float(w) for w in weights]


class _Making:
    """One piece while it is made."""

    def __init__(self, blend: Blend) -> None:
        self.blend = blend
        self.shapes, self.mixes = blend.shapes, blend.mixes
        self.heights = Heights.of(blend.reference)
        self.shares = {edge: self._at_arcs(edge) for edge in blend.fields}
        self.strands = {edge.id: Strand.of(self.shapes, k) for k, edge in enumerate(self.shapes[0].edges)}
        sheets = Sheets(
            self.shapes, blend.reference, self.mixes, self.shares, self.strands,
            sewn=blend.sewn, fold=blend.fold, ladder=blend.ladder,
        )  # fmt: skip
        self.shifts = sheets.solved()

    def _at_arcs(self, edge: str) -> tuple[Floats, Floats]:
        """Shares of the named places by the share of the edge in arc length."""
        shape = self.blend.reference
        length, sewn = shape.edge(edge).path.length, sewn_length(shape, edge)
        ends = [end / length for mouth in mouths(shape, edge) for end in mouth]
        v = np.unique(np.clip(np.concatenate([np.linspace(0.0, 1.0, PLACES), ends]), 0.0, 1.0))
        v = v[np.concatenate([[True], np.diff(v) > 1e-7])]
        v[-1] = 1.0
        q = np.array([sewn_at(shape, edge, float(share) * length) / sewn for share in v])
        return v, on_points(self.blend.fields[edge], np.clip(q, 0.0, 1.0))

    def made(self) -> Reshaped:
        first = self.shapes[0]
        drawn = {edge.id: self._edge(k, edge.id) for k, edge in enumerate(first.edges)}
        edges = closed([replace(edge, path=drawn[edge.id][0]) for edge in first.edges])
        places = {edge: dict(zip(marks(first, edge), news, strict=True)) for edge, (_, news, _) in drawn.items()}
        new = replace(
            first,
            edges=edges,
            grain=self._grain(),
            notches=tuple(replace(n, at=places[n.edge][n.at]) for n in first.notches),
            darts=tuple(self._dart(k, places) for k in range(len(first.darts))),
            pleats=tuple(self._pleat(k, places) for k in range(len(first.pleats))),
            lines=tuple(self._line([s.lines[k] for s in self.shapes], k) for k in range(len(first.lines))),
            levels=tuple(self._level([s.levels[k] for s in self.shapes], k) for k in range(len(first.levels))),
        )
        sound(new)
        return Reshaped(new, {edge: runs for edge, (_, _, runs) in drawn.items()})

    # edges ------------------------------------------------------------------------------------------------

    def _edge(self, index: int, name: str) -> tuple[Path, list[float], Runs]:
        """The new path, where the marks are on it, and the map from the old one."""
        v, shares = self.shares[name]
        if all(np.abs(run - run[0]).max() < SAME for run in (shares @ self.mixes, shares @ self.shifts)):
            return self._even(index, name, shares[0])
        strand = self.strands[name]
        old = self.shapes[0].edges[index].path.length
        stations = [old * k / n for n in [max(2, math.ceil(old / 25.0))] for k in range(n + 1)]
        at = [*marks(self.shapes[0], name), *stations]
        answering = strand.share(0, at)
        drawn = strand.drawn(Run(v, shares @ self.mixes, shares @ self.shifts))
        new = drawn.arcs(answering)
        count = len(at) - len(stations)
        return self._straight(index, drawn.path), new[:count], _runs(sorted(zip(at, new, strict=True)))

    def _even(self, index: int, name: str, shares: Floats) -> tuple[Path, list[float], Runs]:
        weights, shift = tidy(shares @ self.mixes), shares @ self.shifts
        path = mixed_edge(self.shapes, weights, index)
        lengths = [shape.edges[index].path.length for shape in self.shapes]
        places = zip(*(marks(shape, name) for shape in self.shapes), strict=True)
        new = [mixed_place(row, lengths, weights, path.length) for row in places]
        pairs = [(0.0, 0.0), *zip(marks(self.shapes[0], name), new, strict=True), (lengths[0], path.length)]
        moved = path.transformed(Affine.translation(float(shift[0]), float(shift[1]))) if np.abs(shift).max() > 0 else path
        return moved, new, _runs(sorted(pairs))

    def _straight(self, index: int, path: Path) -> Path:
        """The path as one line, if it is straight in every size and bends no more than numbers in files are rounded."""
        if any(not isinstance(s, Line) for shape in self.shapes for s in shape.edges[index].path) or len(path.segments) == 1:
            return path
        chord = path.end - path.start
        if chord.norm < 1e-6 or any(abs(chord.unit().cross(p - path.start)) > FLAT for p in path.flattened(FLAT / 2)):
            return path
        return Path.line(path.start, path.end)

    # what lies within -------------------------------------------------------------------------------------

    def _inside(self, table: Floats) -> Floats:
        """Shares of the named places at points of the reference, a row for each."""
        ladder = self.blend.ladder
        if ladder is not None:
            return ladder.shares(self.heights.common(table, ladder.heights), len(self.mixes))
        outline, values = [], []
        for edge in self.blend.reference.edges:
            v, shares = self.shares[edge.id]
            picked = np.arange(0, len(v) - 1, 4)
            outline.append(track(edge.path).at(v[picked] * edge.path.length)[0])
            values.append(shares[picked])
        return _mean_values(np.vstack(outline), np.vstack(values), table)

    def _mixed(self, points: Sequence[Point], shares: Floats) -> Point:
        shift = shares @ self.shifts
        return mixed_point(points, tidy(shares @ self.mixes)) + Point(float(shift[0]), float(shift[1]))

    def _grain(self) -> tuple[Point, Point]:
        ends = self.blend.reference.grain
        shares = self._inside(_table([ends[0].towards(ends[1], 0.5)]))[0]
        lower, upper = (self._mixed([shape.grain[k] for shape in self.shapes], shares) for k in (0, 1))
        return lower, upper

    def _dart(self, k: int, places: Mapping[str, Mapping[float, float]]) -> Dart:
        dart = self.shapes[0].darts[k]
        start, end = (places[dart.edge][at] for at in dart.mouth)
        shares = self._inside(_table([self.blend.reference.darts[k].apex]))[0]
        apex = self._mixed([shape.darts[k].apex for shape in self.shapes], shares)
        return replace(dart, at=(start + end) / 2, width=end - start, apex=apex)

    def _pleat(self, k: int, places: Mapping[str, Mapping[float, float]]) -> Pleat:
        pleats = [shape.pleats[k] for shape in self.shapes]
        reference = self.blend.reference.pleats[k]
        v, shares = self.shares[reference.edge]
        length = self.blend.reference.edge(reference.edge).path.length
        here = np.array([np.interp(reference.at / length, v, column) for column in shares.T])
        start, end = (places[reference.edge][at] for at in pleats[0].mouth)
        pleat = inner_pleat(pleats, tidy(here @ self.mixes))
        shift = here @ self.shifts
        towards = pleat.towards and pleat.towards + Point(float(shift[0]), float(shift[1]))
        return replace(pleat, at=(start + end) / 2, depth=(end - start) / pleat.folds, towards=towards)

    def _line(self, lines: Sequence[InnerLine], k: int) -> InnerLine:
        path = self.blend.reference.lines[k].path
        share = np.linspace(0.0, 1.0, 33)
        drawn = min(line.path.length for line in (*lines, self.blend.reference.lines[k])) > LEAST
        shares = self._inside(track(path).at(share * path.length)[0] if drawn else _table([path.start]))
        if lines[0].kind in LIKE_LINES or np.abs(shares - shares[0]).max() < SAME:
            weights, shift = tidy(shares.mean(axis=0) @ self.mixes), shares.mean(axis=0) @ self.shifts
            by = Affine.translation(float(shift[0]), float(shift[1]))
            return replace(lines[0], path=mixed_line(lines, weights).transformed(by))
        strand = Strand.plain([line.path for line in lines])
        return replace(lines[0], path=strand.drawn(Run(share, shares @ self.mixes, shares @ self.shifts)).path)

    def _level(self, levels: Sequence[LevelLine], k: int) -> LevelLine:
        mark = self.blend.reference.levels[k]
        shares = self._inside(_table([mark.a, mark.b]))
        return replace(
            levels[0],
            a=self._mixed([level.a for level in levels], shares[0]),
            b=self._mixed([level.b for level in levels], shares[1]),
        )


def _table(points: Sequence[Point]) -> Floats:
    return np.array([(p.x, p.y) for p in points])


def _runs(pairs: Sequence[tuple[float, float]]) -> Runs:
    kept = list(pairs[:1])
    for old, new in pairs[1:]:
        if old > kept[-1][0] + SAME:
            kept.append((old, max(new, kept[-1][1])))
    return tuple((o1, o2, n1, n2) for (o1, n1), (o2, n2) in itertools.pairwise(kept))


def _mean_values(outline: Floats, values: Floats, points: Floats) -> Floats:
    """What values on an outline give within it. Source: M. S. Floater, *Mean value coordinates*, CAGD 20 (2003)."""
    away = outline[None, :, :] - points[:, None, :]
    far = np.maximum(np.hypot(away[..., 0], away[..., 1]), 1e-9)
    after, far_after = np.roll(away, -1, axis=1), np.roll(far, -1, axis=1)
    cross = away[..., 0] * after[..., 1] - away[..., 1] * after[..., 0]
    dot = (away * after).sum(axis=2)
    tangent = (far * far_after - dot) / np.where(np.abs(cross) < 1e-12, 1e-12, cross)  # of half the angle
    weights = (np.roll(tangent, 1, axis=1) + tangent) / far
    total = weights.sum(axis=1, keepdims=True)
    return np.asarray(weights @ values / np.where(np.abs(total) < 1e-12, 1e-12, total))
