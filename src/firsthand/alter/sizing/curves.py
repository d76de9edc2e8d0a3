"""Mixtures of sizes whose shares change along an edge, drawn as cubics. Loaded late: it needs numpy."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from firsthand.alter.moving.reshape import Crosses, tidied
from firsthand.alter.sizing.matching import elevated, marks
from firsthand.errors import GeometryError
from firsthand.geometry import Cubic, Line, Path, Point, Segment
from firsthand.pattern import Shape

__all__ = ["Drawn", "Floats", "Run", "Strand", "Track", "pchip", "track"]

Floats = NDArray[np.float64]

TOLERANCE = 0.01
"""How far a drawn curve may leave the true mixture, mm, measured at eighths of it; half of what is promised."""
ALONG = 0.05
"""How far a place may come to lie along the curve from where it answers, mm."""
STRETCH = 120.0
"""A curve is drawn in cubics of at most about this length, mm of arc."""
DEEPEST = 9
"""A stretch is halved at most this often."""
STRAIGHT = 1e-7
"""What bends less than this, mm, is a line."""
KINK = 1e-3
"""Segments that meet at more than this, radians, meet in a kink and not in a curve."""
BESIDE = 1e-7
"""Tangents at a kink are taken this far to either side of it, as a share of the edge."""
FINE = 24
"""Arc along one cubic is tabled at so many places."""


def pchip(x: Floats, y: Floats, at: Floats) -> tuple[Floats, Floats]:
    """Values and slopes of the monotone cubic run through points (Fritsch and Carlson, *SIAM J. Numer. Anal.* 17, 1980).

    Parameters
    ----------
    x
        Rising, at least two.
    y
        One value or one row of values for each.
    at
        Where; clamped to the run.

    Examples
    --------
    >>> values, slopes = pchip(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.0, 1.0]), np.array([0.5, 1.5, 2.0]))
    >>> values.round(4).tolist(), slopes.round(4).tolist()
    ([0.6875, 1.0, 1.0], [1.125, 0.0, 0.0])
    """
    value, slope = _Table.of(x, y).at(at)
    return (value, slope) if y.ndim == 2 else (value[:, 0], slope[:, 0])


def _hermite(x: Floats, rows: Floats, slopes: Floats, at: Floats) -> tuple[Floats, Floats]:
    """Values and slopes of the cubic run with given slopes at its points."""
    k = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(x) - 2)
    step = (x[k + 1] - x[k])[:, None]
    t = np.clip((at[:, None] - x[k][:, None]) / step, 0.0, 1.0)
    a, b = slopes[k], slopes[k + 1]
    rise = (rows[k + 1] - rows[k]) / step
    c2, c3 = 3 * rise - 2 * a - b, a + b - 2 * rise
    return rows[k] + step * t * (a + t * (c2 + t * c3)), a + t * (2 * c2 + 3 * t * c3)


def _spline_slopes(x: Floats, rows: Floats) -> Floats:
    """Slopes of the cubic spline through points, held back where it would not be monotone (Hyman, *SIAM J. Sci. Stat.
    Comput.* 4, 1983): as true as the spline where the run is smooth, and without overshoot where it stops."""
    h = np.diff(x)
    chord = np.diff(rows, axis=0) / h[:, None]
    if len(h) == 1:
        return np.vstack([chord, chord])
    system, right = np.zeros((len(x), len(x))), np.zeros_like(rows)
    inner = np.arange(1, len(h))
    system[inner, inner - 1], system[inner, inner], system[inner, inner + 1] = h[1:], 2 * (h[1:] + h[:-1]), h[:-1]
    right[1:-1] = 3 * (h[1:, None] * chord[:-1] + h[:-1, None] * chord[1:])
    system[0, :2], system[-1, -2:] = (2.0, 1.0), (1.0, 2.0)
    right[0], right[-1] = 3 * chord[0], 3 * chord[-1]
    slopes = np.linalg.solve(system, right)
    before, after = np.vstack([chord[:1], chord]), np.vstack([chord, chord[-1:]])
    most = np.where(before * after > 0, 3 * np.minimum(np.abs(before), np.abs(after)), 0.0)
    return np.asarray(np.sign(before) * np.clip(slopes * np.sign(before), 0.0, most))


def _slopes(h: Floats, chord: Floats) -> Floats:
    if len(chord) == 1:
        return np.vstack([chord, chord])
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        inner = (w1 + w2) / (w1 / chord[:-1] + w2 / chord[1:])
    inner = np.where(chord[:-1] * chord[1:] > 0, inner, 0.0)
    return np.vstack([_end(h[0], h[1], chord[0], chord[1]), inner, _end(h[-1], h[-2], chord[-1], chord[-2])])


def _end(h0: Floats, h1: Floats, c0: Floats, c1: Floats) -> Floats:
    """The slope at an end: that of the parabola, held back so that the run stays monotone."""
    slope = ((2 * h0 + h1) * c0 - h0 * c1) / (h0 + h1)
    slope = np.where(slope * c0 <= 0, 0.0, slope)
    return np.where((c0 * c1 < 0) & (np.abs(slope) > 3 * np.abs(c0)), 3 * c0, slope)


@dataclass(frozen=True)
class _Table:
    """A monotone run whose slopes are worked out once."""

    x: Floats
    rows: Floats
    slopes: Floats

    @staticmethod
    def of(x: Floats, y: Floats) -> _Table:
        rows = y if y.ndim == 2 else y[:, None]
        h = np.diff(x)[:, None]
        return _Table(x, rows, _slopes(h, np.diff(rows, axis=0) / h))

    def at(self, places: Floats) -> tuple[Floats, Floats]:
        """Values and slopes, a row for each place."""
        return _hermite(self.x, self.rows, self.slopes, places)


@lru_cache(maxsize=1024)
def track(path: Path) -> Track:
    """The track of a path, remembered: bought outlines are asked for again and again."""
    return Track(path)


class Track:
    """A path by its arc length, for many places at once."""

    def __init__(self, path: Path) -> None:
        segments = [segment for segment in path.segments if segment.length > 0]
        if not segments:
            raise GeometryError("an edge without length cannot be mixed with others")
        self.ends = np.concatenate([[0.0], np.cumsum([segment.length for segment in segments])])
        self.length = float(self.ends[-1])
        self._control = np.array([[(p.x, p.y) for p in _control(segment)] for segment in segments])
        t = np.linspace(0.0, 1.0, FINE + 1)
        self._tables = [None if isinstance(s, Line) else _Table.of(_arcs(s, t), t) for s in segments]

    def at(self, arcs: Floats) -> tuple[Floats, Floats]:
        """Points and unit tangents."""
        arcs = np.clip(arcs, 0.0, self.length)
        index = np.clip(np.searchsorted(self.ends, arcs, side="right") - 1, 0, len(self._tables) - 1)
        t = np.empty_like(arcs)
        for k in np.unique(index):
            on, table = index == k, self._tables[k]
            local = arcs[on] - self.ends[k]
            t[on] = local / (self.ends[k + 1] - self.ends[k]) if table is None else table.at(local)[0][:, 0]
        return _bezier(self._control[index], t)

    def kinks(self) -> list[float]:
        """Arc lengths at which it turns sharply."""
        inner = self.ends[1:-1]
        before, after = self.at(inner - 1e-7)[1], self.at(inner + 1e-7)[1]
        turn = np.abs(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0])
        back = (before * after).sum(axis=1) < 0
        return [float(arc) for arc in inner[(turn > KINK) | back]]


def _arcs(segment: Cubic, t: Floats) -> Floats:
    """Arc lengths at rising parameters from 0 to 1."""
    steps = [segment.length_between(float(one), float(two)) for one, two in itertools.pairwise(t)]
    return np.concatenate([[0.0], np.cumsum(steps)]) * (segment.length / max(sum(steps), 1e-300))


def _control(segment: Segment) -> tuple[Point, Point, Point, Point]:
    cubic = elevated(segment)
    return cubic.a, cubic.b, cubic.c, cubic.d


def _bezier(control: Floats, t: Floats) -> tuple[Floats, Floats]:
    u, s = t[:, None], 1 - t[:, None]
    a, b, c, d = (control[:, k] for k in range(4))
    points = s**3 * a + 3 * s * s * u * b + 3 * s * u * u * c + u**3 * d
    slopes = s * s * (b - a) + 2 * s * u * (c - b) + u * u * (d - c)
    norms = np.hypot(slopes[:, 0], slopes[:, 1])
    still = norms < 1e-9  # a folded handle: the chord to the next control point that differs says where it goes
    if still.any():
        slopes[still] = np.where((t[still] < 0.5)[:, None], c[still] - a[still], d[still] - b[still])
        norms[still] = np.maximum(np.hypot(slopes[still, 0], slopes[still, 1]), 1e-12)
    return points, slopes / norms[:, None]


class Run:
    """How shares run along an edge.

    Parameters
    ----------
    x
        Places along the edge, from 0 to 1, rising.
    weights
        Shares of the sizes, a row for each place.
    shifts
        How far the mixture is moved besides, in x and y, mm; a row for each place.
    """

    def __init__(self, x: Floats, weights: Floats, shifts: Floats) -> None:
        self._x, self._rows, self._count = x, np.hstack([weights, shifts]), weights.shape[1]
        self._slopes = _spline_slopes(x, self._rows)

    @staticmethod
    def even(weights: Floats) -> Run:
        """The same shares everywhere."""
        return Run(np.array([0.0, 1.0]), np.array([weights, weights], dtype=float), np.zeros((2, 2)))

    def at(self, v: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Shares and shifts, and their slopes."""
        both, slopes = _hermite(self._x, self._rows, self._slopes, v)
        count = self._count
        return both[:, :count], both[:, count:], slopes[:, :count], slopes[:, count:]


@dataclass(frozen=True)
class Drawn:
    """A mixture drawn: its segments, and the share of the edge at which each starts."""

    starts: Floats
    segments: tuple[Segment, ...]

    @property
    def path(self) -> Path:
        """The whole, straight segments that run on in one line made one."""
        return tidied(Path(self.segments))

    def arcs(self, v: Floats) -> list[float]:
        """Arc lengths at shares of the edge: exact at marks, elsewhere to a twentieth of a millimetre."""
        reached = [0.0, *itertools.accumulate(segment.length for segment in self.segments)]
        ends = [*(float(x) for x in self.starts[1:]), 1.0]
        found = []
        for share in v:
            k = int(np.clip(np.searchsorted(self.starts, share + 1e-12, side="right") - 1, 0, len(ends) - 1))
            low = float(self.starts[k])
            t = min(max((float(share) - low) / (ends[k] - low), 0.0), 1.0)
            found.append(reached[k] + self.segments[k].length_to(t))
        return found


class Strand:
    """One edge in several sizes, place matched to place by the marks on it.

    Parameters
    ----------
    paths
        The edge in each size.
    knots
        Places that answer to each other: a share of the edge, then the arc length in each size; rising, from 0 to 1.
    """

    def __init__(self, paths: Sequence[Path], knots: Sequence[Sequence[float]]) -> None:
        self.tracks = [track(path) for path in paths]
        table = np.array(knots, dtype=float)
        self._v, self._arcs = table[:, 0], table[:, 1:]
        self._table = _Table.of(self._v, self._arcs)
        kinks = [np.interp(track.kinks(), self._arcs[:, k], self._v) for k, track in enumerate(self.tracks)]
        self.kinks = sorted({round(float(v), 9) for row in kinks for v in row})

    @staticmethod
    def of(shapes: Sequence[Shape], index: int) -> Strand:
        """The strand of an edge of shapes made alike.

        Raises
        ------
        Crosses
            If two marks change places from one size to another.
        """
        name = shapes[0].edges[index].id
        paths = [shape.edges[index].path for shape in shapes]
        lengths = [path.length for path in paths]
        rows = [(0.0, *(0.0 for _ in paths)), (1.0, *lengths)]
        for arcs in zip(*(marks(shape, name) for shape in shapes), strict=True):
            rows.append((sum(arcs) / sum(lengths), *arcs))
        rows.sort()
        kept = rows[:1]
        for row in rows[1:]:
            gaps = [new - old for new, old in zip(row, kept[-1], strict=True)]
            if max(gaps) <= 1e-6:
                continue
            if min(gaps) <= 1e-9:
                if row is rows[-1] and max(gaps[1:]) <= 1e-3:
                    kept[-1] = row
                    continue
                raise Crosses(f"two marks on {name} change places from one size to another")
            kept.append(row)
        kept[-1] = rows[-1]
        return Strand(paths, kept)

    @staticmethod
    def plain(paths: Sequence[Path]) -> Strand:
        """The strand of paths without marks."""
        return Strand(paths, [(0.0, *(0.0 for _ in paths)), (1.0, *(path.length for path in paths))])

    def share(self, size: int, arcs: Sequence[float]) -> Floats:
        """The shares of the edge that answer to arc lengths in one size."""
        fine = np.linspace(0.0, 1.0, 2049)
        fine = np.unique(np.concatenate([fine, self._v]))
        return np.asarray(np.interp(np.asarray(arcs), self._table.at(fine)[0][:, size], fine))

    def points(self, v: Floats, run: Run) -> tuple[Floats, Floats]:
        """Points of the mixture, and their derivatives."""
        weights, shifts, weight_slopes, slopes = run.at(v)
        arcs, speeds = self._table.at(v)
        points = shifts.copy()
        slopes = slopes.copy()
        for k, track in enumerate(self.tracks):
            place, tangent = track.at(arcs[:, k])
            points += weights[:, k : k + 1] * place
            slopes += weight_slopes[:, k : k + 1] * place + weights[:, k : k + 1] * speeds[:, k : k + 1] * tangent
        return points, slopes

    def constant(self, weights: Sequence[float]) -> Path:
        """The mixture in constant shares."""
        return self.drawn(Run.even(np.array(weights))).path

    def drawn(self, run: Run) -> Drawn:
        """The mixture as a path."""
        length = max(track.length for track in self.tracks)
        even = np.linspace(0.0, 1.0, max(1, int(np.ceil(length / STRETCH))) + 1)
        wanted = np.unique(np.concatenate([even, self._v, self.kinks]))
        wanted = wanted[np.concatenate([[True], np.diff(wanted) > 1e-6])]
        wanted[-1] = 1.0
        spans = self._settled(wanted[:-1], wanted[1:], run)
        return Drawn(spans[:, 0], tuple(_linked([_segment(row) for row in spans[:, 2:]])))

    def _settled(self, low: Floats, high: Floats, run: Run) -> Floats:
        """Stretches short enough to be drawn: start, end, and eight numbers of the cubic."""
        done: list[Floats] = []
        for depth in range(DEEPEST + 1):
            rows, bad = self._tried(low, high, run)
            bad = bad if depth < DEEPEST else np.zeros_like(bad)
            done.append(rows[~bad])
            if not bad.any():
                break
            low, high = low[bad], high[bad]
            middle = (low + high) / 2
            low, high = np.concatenate([low, middle]), np.concatenate([middle, high])
        spans = np.vstack(done)
        return spans[np.argsort(spans[:, 0], kind="stable")]

    def _tried(self, low: Floats, high: Floats, run: Run) -> tuple[Floats, NDArray[np.bool_]]:
        share = np.linspace(0.0, 1.0, 9)
        v = low[:, None] + (high - low)[:, None] * share
        points = self.points(v.ravel(), run)[0].reshape(len(low), 9, 2)
        kinked = [np.isin(np.round(ends, 9), self.kinks) for ends in (low, high)]
        starts = self.points(low + BESIDE * kinked[0], run)[1]
        ends = self.points(high - BESIDE * kinked[1], run)[1]
        third = (high - low)[:, None] / 3
        a, d = points[:, 0], points[:, -1]
        b, c = a + starts * third, d - ends * third
        t = share[None, :, None]
        s = 1 - t
        drawn = s**3 * a[:, None] + 3 * s * s * t * b[:, None] + 3 * s * t * t * c[:, None] + t**3 * d[:, None]
        off, chord = drawn - points, np.roll(points, -1, axis=1) - np.roll(points, 1, axis=1)
        aside = np.abs(off[..., 0] * chord[..., 1] - off[..., 1] * chord[..., 0])[:, 1:-1]
        aside /= np.maximum(np.hypot(chord[..., 0], chord[..., 1]), 1e-12)[:, 1:-1]
        bad = (aside.max(axis=1) > TOLERANCE) | (np.hypot(off[..., 0], off[..., 1]).max(axis=1) > ALONG)
        return np.column_stack([low, high, a, b, c, d]), bad


def _segment(row: Floats) -> Segment:
    a, b, c, d = (Point(float(row[k]), float(row[k + 1])) for k in range(0, 8, 2))
    chord = d - a
    if chord.norm > STRAIGHT and all(abs(chord.cross(p - a)) <= STRAIGHT * chord.norm for p in (b, c)):
        return Line(a, d)
    return Cubic(a, b, c, d)


def _linked(segments: Sequence[Segment]) -> list[Segment]:
    """Segments whose ends are exactly the same points."""
    linked = list(segments[:1])
    for _, segment in itertools.pairwise(segments):
        end = linked[-1].end
        linked.append(segment if segment.start == end else _started(segment, end))
    return linked


def _started(segment: Segment, start: Point) -> Segment:
    return Line(start, segment.b) if isinstance(segment, Line) else Cubic(start, segment.b, segment.c, segment.d)
