"""The kernel of lengthening: a shape cut along a line and spread along the grain, or closed up over a strip."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

from firsthand.alter.moving.maps import Run, Runs
from firsthand.alter.moving.reaches import reaching
from firsthand.alter.moving.reshape import Crosses, Reshaped, carried, refuse_crossings, tidied
from firsthand.geometry import Affine, Path, Point, intersections
from firsthand.pattern import InnerLine, LevelLine, Shape

__all__ = ["CutLine", "spread"]

ON = 1e-6
"""Points this close to the line lie on it, mm."""
BLEND = 6.0
"""Where edges step after a strip is taken out, the step is blended over this many times its width on either side."""


@dataclass(frozen=True, slots=True)
class CutLine:
    """A line across a piece. Heights above it are counted along the grain.

    Parameters
    ----------
    through
        A point of it.
    along
        Its direction.
    up
        Unit vector along the grain, with the nap.
    """

    through: Point
    along: Point
    up: Point

    @property
    def steepness(self) -> float:
        """The sine of its angle to the crosswise grain: 0 square across the grain, 1 along it."""
        return abs(self.along.unit().dot(self.up))

    def height(self, point: Point) -> float:
        """How far a point lies above the line along the grain, mm."""
        return self.along.cross(point - self.through) / self.along.cross(self.up)

    def raised(self, by: float) -> CutLine:
        """The line moved up along the grain."""
        return replace(self, through=self.through + self.up * by)

    def across(self, path: Path) -> list[float]:
        """Arc lengths at which a path meets the line, rising."""
        box = path.bounds
        reach = (box.centre - self.through).norm + box.width + box.height + 10.0
        unit = self.along.unit()
        cut = Path.line(self.through - unit * reach, self.through + unit * reach)
        return sorted(crossing.at_a for crossing in intersections(path, cut))


def spread(shape: Shape, line: CutLine, amount: float) -> Reshaped:
    """Cut a shape along a line; raise what lies above by an amount, or take out the strip of that height above the line.

    What lies on the line stays. Edges that are parted get a straight piece along the grain, so that each becomes longer by
    exactly the amount. Where a strip is taken out of a slanting edge the step is blended by a straight line.

    Raises
    ------
    Crosses
        If something that cannot be cut into lies on the line or in the strip.
    """
    _refuse_parted(shape, line, max(-amount, 0.0))
    if amount < 0:
        _refuse_in_strip(shape, line, -amount)
    moves = _Moves(line, amount)
    edges, maps = [], {}
    for edge in shape.edges:
        path, runs = moves.path(edge.path)
        edges.append(edge if path == edge.path else replace(edge, path=path))
        if runs is not None:
            maps[edge.id] = runs
    placed = replace(
        shape,
        grain=(moves.point(shape.grain[0]), moves.point(shape.grain[1])),
        darts=tuple(replace(dart, apex=moves.point(dart.apex)) for dart in shape.darts),
        pleats=tuple(p if p.towards is None else replace(p, towards=moves.point(p.towards)) for p in shape.pleats),
        lines=tuple(moves.inner(inner) for inner in shape.lines),
        levels=tuple(moves.level(level) for level in shape.levels),
    )
    result = carried(placed, tuple(edges), maps)
    refuse_crossings(result.shape)
    return replace(result, shape=reaching(shape, result.shape))


@dataclass(frozen=True, slots=True)
class _Moves:
    line: CutLine
    amount: float

    @property
    def shift(self) -> Point:
        return self.line.up * self.amount

    def point(self, point: Point) -> Point:
        """Where a point goes; one in a strip that is taken out goes to the line."""
        height = self.line.height(point)
        if height <= ON:
            return point
        if self.amount < 0 and height < -self.amount:
            return point - self.line.up * height
        return point + self.shift

    def level(self, level: LevelLine) -> LevelLine:
        """A level goes as a whole, with its middle."""
        middle = level.a.towards(level.b, 0.5)
        by = self.point(middle) - middle
        return replace(level, a=level.a + by, b=level.b + by)

    def inner(self, inner: InnerLine) -> InnerLine:
        """An inner line is cut and spread like an edge."""
        return replace(inner, path=self.path(inner.path)[0])

    def path(self, path: Path) -> tuple[Path, Runs | None]:
        """A path cut and spread, with its runs; no runs if it stayed as long as it was."""
        pieces = self._pieces(path)
        start, end = self.point(path.start), self.point(path.end)
        if len(pieces) == 1 and pieces[0].whole and pieces[0].joins(start, end):
            return pieces[0].path, None
        whole, runs = (_opened if self.amount > 0 else _blended)(pieces, start, end)
        # A position on the line itself stays with what is below it, whichever way the edge runs.
        return tidied(whole), tuple(sorted(runs, key=lambda run: self.line.height(path.at((run[0] + run[1]) / 2)) > ON))

    def _pieces(self, path: Path) -> list[_Kept]:
        """What is kept of a path, each where it goes."""
        cuts = self.line.across(path)
        if self.amount < 0:
            cuts = sorted(cuts + self.line.raised(-self.amount).across(path))
        length = path.length
        marks = [0.0, *(cut for cut in cuts if ON < cut < length - ON), length]
        kept: list[_Kept] = []
        for start, end in itertools.pairwise(marks):
            if end - start <= ON:
                continue
            part = path if end - start > length - ON else path.between(start, end)
            height = self.line.height(part.at(part.length / 2))
            if self.amount < 0 and 0 < height < -self.amount:
                continue
            by = self.shift if height > ON else Point(0, 0)
            kept.append(_Kept(start, end, part.transformed(Affine.translation(by.x, by.y)), end - start > length - ON))
        return kept


@dataclass(frozen=True, slots=True)
class _Kept:
    """What is kept of a path between two old arc lengths, where it goes."""

    start: float
    end: float
    path: Path
    whole: bool

    def joins(self, start: Point, end: Point) -> bool:
        """Whether it runs from one point to the other."""
        return self.path.start.distance(start) <= ON and self.path.end.distance(end) <= ON


def _opened(pieces: list[_Kept], start: Point, end: Point) -> tuple[Path, list[Run]]:
    """Pieces joined by straight lines."""
    paths: list[Path] = []
    runs: list[Run] = []
    here, reached = start, 0.0
    for piece in pieces:
        if here.distance(piece.path.start) > ON:
            paths.append(Path.line(here, piece.path.start))
            reached += paths[-1].length
        paths.append(piece.path)
        long = piece.path.length
        runs.append((piece.start, piece.end, reached, reached + long))
        here, reached = piece.path.end, reached + long
    if here.distance(end) > ON:
        paths.append(Path.line(here, end))
    return Path.joined(paths), runs


def _blended(pieces: list[_Kept], start: Point, end: Point) -> tuple[Path, list[Run]]:
    """Pieces joined over their steps by straight lines that begin and end a little away from them."""
    if not pieces:
        raise Crosses("an edge lies wholly in what would be taken out")
    steps = [start.distance(pieces[0].path.start)]
    steps += [one.path.end.distance(two.path.start) for one, two in itertools.pairwise(pieces)]
    steps += [pieces[-1].path.end.distance(end)]
    runs: list[Run] = []
    paths: list[Path] = []
    here, held, reached = start, (0.0, 0.0), 0.0  # held: the old stretch before `here` that the next straight line replaces
    for piece, step_in, step_out in zip(pieces, steps[:-1], steps[1:], strict=True):
        long = piece.path.length
        cut_in, cut_out = (min(BLEND * step, 0.45 * long) if step > ON else 0.0 for step in (step_in, step_out))
        kept = piece.path.between(cut_in, long - cut_out)
        reached = _bridge(paths, runs, (here, reached, held), kept.start, (piece.start, piece.start + cut_in))
        paths.append(kept)
        runs.append((piece.start + cut_in, piece.end - cut_out, reached, reached + kept.length))
        here, held, reached = kept.end, (piece.end - cut_out, piece.end), reached + kept.length
    _bridge(paths, runs, (here, reached, held), end, (pieces[-1].end, pieces[-1].end))
    return _snapped(paths), runs


def _bridge(
    paths: list[Path],
    runs: list[Run],
    origin: tuple[Point, float, tuple[float, float]],
    to: Point,
    after: tuple[float, float],
) -> float:
    """Add a straight line from where one piece was cut back to where the next is; the new arc length at its end."""
    here, reached, before = origin
    long = here.distance(to)
    if long <= ON:
        return reached
    paths.append(Path.line(here, to))
    one, two = before[1] - before[0], after[1] - after[0]
    middle = reached + long * (one / (one + two) if one + two else 0.5)
    runs += [(*before, reached, middle)] if one > ON else []
    runs += [(*after, middle, reached + long)] if two > ON else []
    return reached + long


def _snapped(paths: list[Path]) -> Path:
    """Paths joined whose ends may differ by rounding."""
    segments = list(paths[0].segments)
    for path in paths[1:]:
        segments += [replace(path.segments[0], a=segments[-1].end), *path.segments[1:]]
    return Path(tuple(segments))


def _refuse_in_strip(shape: Shape, line: CutLine, height: float) -> None:
    """Refuse to take out a strip in which a corner, a dart's point or the mouth of a dart or pleat lies."""
    points = {f"the corner {edge.corner.id}": [edge.path.start] for edge in shape.edges}
    points |= {f"the point of {dart.id}": [dart.apex] for dart in shape.darts}
    for name, found in points.items():
        if any(ON < line.height(point) < height - ON for point in found):
            raise Crosses(f"{name} lies in what would be taken out")


def _refuse_parted(shape: Shape, line: CutLine, height: float = 0.0) -> None:
    """Refuse a line, or a strip above it, that goes through the mouth of a dart or a pleat."""
    mouths = [(d.id, d.edge, d.at, d.width) for d in shape.darts] + [(p.id, p.edge, p.at, p.take_up) for p in shape.pleats]
    for name, edge, at, width in mouths:
        path = shape.edge(edge).path
        heights = [line.height(path.at(at + side * width / 2)) for side in (-1, 0, 1)]
        if (min(heights) < -ON and max(heights) > ON) or any(ON < h < height - ON for h in heights):
            raise Crosses(f"the mouth of {name} would be cut into")
