"""What is folded out of an edge: where its creases run, and how the cloth beyond comes to lie when it is closed."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Line, Path, Point
from firsthand.pattern._sewn import edge_length
from firsthand.pattern.model import Dart, Pleat, PleatKind, Pressed, Shape
from firsthand.units import said

__all__ = ["Crease", "Fold", "chained", "dart_legs", "edge_folds", "folded_edge", "pleat_lines", "stretches"]

CLOSE = 1e-6
"""Points closer than this are one, mm."""
FAR = 1000.0
"""Creases are taken to run on this far beyond what is folded, mm."""


@dataclass(frozen=True, slots=True)
class Crease:
    """A straight crease, from its end inside the piece (a dart's point) out over the edge."""

    inner: Point
    outer: Point

    @property
    def mirror(self) -> Affine:
        """Folding along it."""
        return Affine.mirror(self.inner, self.outer)

    @property
    def path(self) -> Path:
        """The line of it."""
        return Path((Line(self.inner, self.outer),))

    def distance(self, point: Point) -> float:
        """How far a point lies to the left of it, seen outwards, mm."""
        return (self.outer - self.inner).unit().cross(point - self.inner)


@dataclass(frozen=True, slots=True)
class Fold:
    """A dart or a pleat of one edge.

    Parameters
    ----------
    id
        The mark's id.
    mouth
        Where its cloth begins and ends along the edge, mm.
    creases
        In order along the edge; the first and the last come to lie on each other.
    split
        So many of the strips between the creases lie flat on the cloth before the mouth; the others on the cloth after it.
    """

    id: str
    mouth: tuple[float, float]
    creases: tuple[Crease, ...]
    split: int

    @property
    def width(self) -> float:
        """What it takes out of the edge, mm."""
        return self.mouth[1] - self.mouth[0]

    @property
    def closing(self) -> Affine:
        """How the cloth after the mouth moves when it is folded and the cloth before it stays."""
        return self.creases[0].mirror @ self.creases[len(self.creases) // 2].mirror


@lru_cache(maxsize=1024)
def edge_folds(shape: Shape, edge: str) -> tuple[Fold, ...]:
    """The darts and pleats of an edge, in order; those that cannot be folded (off the edge, one in another) left out.

    Raises
    ------
    NotThere
        If there is no such edge.
    """
    path = shape.edge(edge).path
    marks: tuple[Dart | Pleat, ...] = (*shape.darts, *shape.pleats)
    marks = tuple(mark for mark in marks if mark.edge == edge and _is_sound(mark))
    if not marks:
        return ()
    whole, kept, reached = edge_length(path), [], -CLOSE
    for mark in sorted(marks, key=lambda mark: mark.at):
        lo, hi = mark.mouth
        if lo < reached - CLOSE or hi > whole + CLOSE:
            continue
        fold = _dart_fold(path, mark) if isinstance(mark, Dart) else _pleat_fold(path, mark)
        if fold is not None:
            kept.append(fold)
            reached = hi
    return tuple(kept)


def _is_sound(mark: Dart | Pleat) -> bool:
    lo, hi = mark.mouth
    return math.isfinite(lo) and math.isfinite(hi) and hi - lo > CLOSE


def _ends(path: Path, mark: Dart | Pleat) -> tuple[Point, Point]:
    lo, hi = mark.mouth
    return path.at(lo), path.at(hi)


# darts -----------------------------------------------------------------------------------------------------------


def _dart_fold(path: Path, dart: Dart) -> Fold | None:
    one, two = (end - dart.apex for end in _ends(path, dart))
    angle = one.angle_to(two)
    if not CLOSE < angle < math.pi - CLOSE:  # its point lies on the edge or outside
        return None
    shares, split = {
        Pressed.START: ((0.0, 0.5, 1.0), 2),
        Pressed.END: ((0.0, 0.5, 1.0), 0),
        Pressed.OPEN: ((0.0, 0.5, 1.0), 1),
        Pressed.BOX: ((0.0, 0.25, 0.5, 0.75, 1.0), 2),
    }[dart.pressed]
    reach = max(one.norm, two.norm) + FAR
    creases = tuple(Crease(dart.apex, dart.apex + Point.polar(reach, one.angle + share * angle)) for share in shares)
    return Fold(dart.id, dart.mouth, creases, split)


def dart_legs(shape: Shape, dart: Dart) -> tuple[Path, Path]:
    """The two lines along which a dart is sewn, from its edge to its point: that at the start of its mouth first.

    Raises
    ------
    NotThere
        If the shape has no such edge.
    GeometryError
        If the point lies on an end of the mouth.

    Examples
    --------
    >>> from firsthand.pattern.model import Corner, Edge
    >>> waist = Edge("waist", Corner("a"), Path.line(Point(200, 0), Point(0, 0)))
    >>> shape = Shape((waist,), (Point(0, 0), Point(0, 1)), darts=(Dart("d", "waist", 100, 60, Point(100, -40)),))
    >>> [leg.length for leg in dart_legs(shape, shape.darts[0])]
    [50.0, 50.0]
    """
    one, two = _ends(shape.edge(dart.edge).path, dart)
    return Path.line(one, dart.apex), Path.line(two, dart.apex)


# pleats ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Middle:
    """The middle of a pleat: where it leaves the edge, which way it runs in, and half the width of the mouth square to it."""

    origin: Point
    inwards: Point
    half: float
    lower: float

    def point(self, distance: float, aside: float) -> Point:
        """A point so far in, and so far to the right of the way in (towards the end of the edge is to the right)."""
        return self.origin + self.inwards * (self.lower + distance) - self.inwards.left * aside


def _middle(path: Path, pleat: Pleat) -> _Middle | None:
    """None if it runs out of the piece or along its edge."""
    at, (one, two) = path.at(pleat.at), _ends(path, pleat)
    tangent = path.tangent_at(pleat.at)
    way = tangent.left if pleat.towards is None else pleat.towards - at
    if way.norm < CLOSE or tangent.left.dot(way.unit()) < 0.1:
        return None
    way = way.unit()
    across = -way.left
    half = (two - one).dot(across) / 2
    if half < CLOSE:
        return None
    centre = one.towards(two, 0.5) - at
    return _Middle(at + across * across.dot(centre), way, half, way.dot(centre))


def _pleat_fold(path: Path, pleat: Pleat) -> Fold | None:
    middle = _middle(path, pleat)
    if middle is None or not all(math.isfinite(number) for pair in pleat.depths for number in pair):
        return None
    place, depth = pleat.depths[0] if pleat.depths else (FAR, pleat.depth)
    lean = math.atan2((depth / pleat.depth - 1) * middle.half, place) if place > CLOSE else 0.0
    shares = (-1.0, 0.0, 1.0) if pleat.kind is PleatKind.KNIFE else (-1.0, -0.5, 0.0, 0.5, 1.0)
    creases = tuple(_crease(middle, share, lean) for share in shares)
    split = 2 if pleat.kind is not PleatKind.KNIFE or pleat.towards_end else 0
    return Fold(pleat.id, pleat.mouth, creases, split)


def _crease(middle: _Middle, share: float, lean: float) -> Crease:
    """A crease through the mouth; those between the middle and the outer ones halve the angle, so that all fold flat."""
    turned = Affine.rotation(-share * lean)(middle.inwards)
    part = share if abs(share) != 0.5 or abs(lean) < 1e-9 else math.copysign(math.tan(lean / 2) / math.tan(lean), share)
    through = middle.point(0.0, middle.half * part)
    return Crease(through + turned * FAR, through - turned * FAR)


def pleat_lines(shape: Shape, pleat: Pleat, *, least: float = 0.0) -> tuple[Path, ...]:
    """The lines along which a pleat is folded, from its edge inwards, in order along the edge.

    Parameters
    ----------
    shape, pleat
        A pleat of the shape.
    least
        How far they are drawn at least, mm; else as far as the pleat stays closed.

    Returns
    -------
    tuple of Path
        Of a knife pleat the outer fold, the inner fold and the line it is laid to; of a box or inverted pleat four folds with
        the middle between them. Empty if it cannot be folded, or stays closed over no length at all.

    Raises
    ------
    NotThere
        If the shape has no such edge.
    """
    path = shape.edge(pleat.edge).path
    middle = _middle(path, pleat) if _is_sound(pleat) else None
    run = max(pleat.reach, least)
    if middle is None or not CLOSE < run < math.inf:
        return ()
    places = [0.0, *(place for place, _ in pleat.depths if CLOSE < place < run - CLOSE), run]
    scale = middle.half * 2 / pleat.take_up
    shares = range(-1, 2) if pleat.kind is PleatKind.KNIFE else range(-2, 3)
    lines = ([middle.point(place, share * pleat.depth_at(place) * scale) for place in places[1:]] for share in shares)
    starts = (path.at(pleat.at + share * pleat.depth) for share in shares)
    return tuple(Path.line(start, *points) for start, points in zip(starts, lines, strict=True))


# folding ---------------------------------------------------------------------------------------------------------


def stretches(path: Path, folds: Sequence[Fold]) -> tuple[Path | None, ...]:
    """What lies before, between and after the mouths; None where nothing does."""
    whole = edge_length(path)
    marks = [0.0, *itertools.chain.from_iterable(fold.mouth for fold in folds), whole]
    return tuple(
        path.between(max(lo, 0.0), min(hi, whole)) if hi - lo > 2 * CLOSE else None
        for lo, hi in zip(marks[::2], marks[1::2], strict=True)
    )


def chained(paths: Iterator[Path]) -> Path:
    """Paths one after the other, steps between them closed by straight lines.

    Raises
    ------
    GeometryError
        If there are none.
    """
    parts: list[Path] = []
    for path in paths:
        if parts and parts[-1].end.distance(path.start) > CLOSE:
            parts.append(Path((Line(parts[-1].end, path.start),)))
        parts.append(path)
    if not parts:
        raise GeometryError("nothing is left to be joined")
    return Path.joined(parts)


def folded_edge(shape: Shape, edge: str) -> Path:
    """An edge as it runs when all its darts and pleats are folded; what lies before the first of them stays.

    Where the legs of a dart differ, or a pleat does not run square to its edge, the folded edge has a step: a straight line
    that is no part of its sewn length.

    Raises
    ------
    NotThere
        If there is no such edge.
    GeometryError
        If darts and pleats take up all of it.

    Examples
    --------
    >>> from firsthand.pattern.model import Corner, Edge
    >>> waist = Edge("waist", Corner("a"), Path.line(Point(300, 0), Point(0, 0)))
    >>> shape = Shape((waist,), (Point(0, 0), Point(0, 1)), pleats=(Pleat("p", "waist", 150, 30),))
    >>> folded = folded_edge(shape, "waist")
    >>> folded.start, folded.end, folded.length
    (Point(x=300.0, y=0.0), Point(x=60.0, y=0.0), 240.0)
    """
    folds = edge_folds(shape, edge)
    path = shape.edge(edge).path
    if not folds:
        return path
    motions = itertools.accumulate((fold.closing for fold in folds), Affine.__matmul__, initial=Affine())
    parts = [part.transformed(motion) for part, motion in zip(stretches(path, folds), motions, strict=True) if part is not None]
    if not parts:
        raise GeometryError(f"darts and pleats take up all {said(edge_length(path))} of edge {edge!r}")
    return chained(iter(parts))
