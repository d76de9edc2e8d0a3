"""Small tools of the drafting table: edges with their fates, seams for both hands, and solving for a length."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Cubic, Line, Path, Point, Segment
from firsthand.pattern import (
    Corner,
    CornerShape,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Hand,
    LevelLine,
    Notch,
    NotchKind,
    Pattern,
    Seam,
    Shape,
)

__all__ = [
    "across", "both", "by_size", "each", "edge", "facing", "fold", "hem", "level", "loop", "notch", "raw", "refs",
    "rounded", "scaled", "solve", "tidied", "turned_over", "turned_over_path",
]  # fmt: skip

JOINED = Fate(FateKind.SEAM)


def edge(id: str, path: Path, *, allowance: float = 15.0, inlay: float = 0.0, fate: Fate | None = JOINED) -> Edge:
    """An edge that ends in a seam unless told otherwise; :func:`loop` gives it its corner."""
    return Edge(id, Corner(id), path, allowance, inlay, fate)


def fold(id: str, path: Path) -> Edge:
    """The edge that lies on the fold."""
    return Edge(id, Corner(id), path, 0.0, 0.0, Fate(FateKind.FOLD))


def hem(id: str, path: Path, depth: float, *, turning: float = 0.0, kind: FateKind = FateKind.HEM) -> Edge:
    """A hemmed edge, or a casing: its allowance is the depth and what is turned under."""
    return Edge(id, Corner(id), path, depth + turning, 0.0, Fate(kind, depth))


def facing(id: str, path: Path, *, allowance: float = 15.0, depth: float = 0.0) -> Edge:
    """An edge that is faced: turned back over ``depth``, or felled down inside."""
    return Edge(id, Corner(id), path, allowance, 0.0, Fate(FateKind.FACING, depth))


def raw(id: str, path: Path) -> Edge:
    """An edge that is left as it is cut, with nothing beyond the line."""
    return Edge(id, Corner(id), path, 0.0, 0.0, Fate(FateKind.RAW))


def loop(*edges: Edge) -> tuple[Edge, ...]:
    """Edges counter-clockwise round a piece, with their corners named after the two edges that meet.

    Both corners of a hem, casing or cut-on facing are mirrored back, so that it lies flat when it is turned.

    Raises
    ------
    GeometryError
        If the edges do not close, or run clockwise.
    """
    outline = Path.joined(one.path for one in edges)
    if not outline.is_closed or outline.area <= 0:
        raise GeometryError(f"the edges {', '.join(one.id for one in edges)} do not close counter-clockwise")
    pairs = zip((edges[-1], *edges[:-1]), edges, strict=True)
    return tuple(replace(one, corner=Corner(f"{last.id} to {one.id}", _corner_shape(last, one))) for last, one in pairs)


def turned_over(edges: Iterable[Edge]) -> tuple[Edge, ...]:
    """The edges of a piece turned over left to right, still counter-clockwise."""
    return loop(*(replace(one, path=turned_over_path(one.path)) for one in reversed(tuple(edges))))


def turned_over_path(path: Path) -> Path:
    """A path mirrored left to right and walked the other way, so that a counter-clockwise loop stays one."""
    return path.transformed(Affine.mirror()).reversed()


def _corner_shape(last: Edge, one: Edge) -> CornerShape:
    if FateKind.FOLD in {last.fate and last.fate.kind, one.fate and one.fate.kind}:
        return CornerShape.MITRED
    turned = any(each.fate is not None and each.fate.depth > 0 for each in (last, one))
    return CornerShape.MIRRORED if turned else CornerShape.MITRED


def notch(id: str, on: Edge, at: float, *, double: bool = False) -> Notch:
    """A notch at a distance from the start of an edge, or from its end if ``at`` is negative."""
    return Notch(id, on.id, at if at >= 0 else on.path.length + at, NotchKind.DOUBLE if double else NotchKind.SINGLE)


def level(id: str, a: Point, b: Point) -> LevelLine:
    """The line of a level between two points of the outline, drawn a little short of both."""
    return LevelLine(id, a.towards(b, 0.05), b.towards(a, 0.05))


def refs(words: Iterable[str], hand: Hand, role: str = "shell") -> tuple[EdgeRef, ...]:
    """Edges of one hand, each written ``piece.edge``."""
    pairs = (word.partition(".")[::2] for word in words)
    return tuple(EdgeRef(piece, name, hand, role) for piece, name in pairs)


def both(words: Iterable[str], role: str = "shell") -> tuple[EdgeRef, ...]:
    """Edges of the right hand, then of the left."""
    names = tuple(words)
    return refs(names, Hand.RIGHT, role) + refs(names, Hand.LEFT, role)


def each(seam: Seam, a: Iterable[str], b: Iterable[str], *, role: str = "shell", b_role: str = "") -> tuple[Seam, ...]:
    """A seam sewn once on the right and once on the left."""
    one, two = tuple(a), tuple(b)
    return tuple(
        replace(seam, id=f"{seam.id} {hand.value}", a=refs(one, hand, role), b=refs(two, hand, b_role or role))
        for hand in (Hand.RIGHT, Hand.LEFT)
    )


def across(seam: Seam, edges: Iterable[str], *, role: str = "shell") -> Seam:
    """A seam that joins the right half to the left along the same edges."""
    names = tuple(edges)
    return replace(seam, a=refs(names, Hand.RIGHT, role), b=refs(names, Hand.LEFT, role))


def solve(gap: Callable[[float], float], low: float, high: float) -> float:
    """Where a continuous function crosses zero between two values, by bisection, to a ten-millionth.

    Raises
    ------
    GeometryError
        If it does not change its sign.

    Examples
    --------
    >>> round(solve(lambda side: side * side - 2, 0, 2), 6)
    1.414214
    """
    at_low = gap(low)
    if at_low * gap(high) > 0:
        raise GeometryError(f"nothing between {low} and {high} makes the lengths meet")
    while high - low > 1e-7:
        middle = (low + high) / 2
        if gap(middle) * at_low > 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def scaled(shape: Shape, factor: float) -> Shape:
    """A shape as a copier printed it: every line smaller or larger, allowances as they are said in words."""
    by = Affine.scaling(factor)
    return Shape(
        edges=tuple(replace(one, path=one.path.transformed(by)) for one in shape.edges),
        grain=(by(shape.grain[0]), by(shape.grain[1])),
        notches=tuple(replace(one, at=one.at * factor) for one in shape.notches),
        darts=tuple(replace(one, at=one.at * factor, width=one.width * factor, apex=by(one.apex)) for one in shape.darts),
        pleats=tuple(replace(one, at=one.at * factor, depth=one.depth * factor) for one in shape.pleats),
        lines=tuple(replace(one, path=one.path.transformed(by)) for one in shape.lines),
        levels=tuple(replace(one, a=by(one.a), b=by(one.b)) for one in shape.levels),
    )


def rounded(shape: Shape) -> Shape:
    """The shape with every number to a thousandth of a millimetre, so that its file can be read."""

    def point(p: Point) -> Point:
        return Point(round(p.x, 3), round(p.y, 3))

    def path(one: Path) -> Path:
        segments: list[Segment] = []
        for s in one.segments:
            if isinstance(s, Line):
                segments.append(Line(point(s.a), point(s.b)))
            else:
                segments.append(Cubic(point(s.a), point(s.b), point(s.c), point(s.d)))
        return Path(tuple(segments))

    return Shape(
        edges=tuple(replace(one, path=path(one.path)) for one in shape.edges),
        grain=(point(shape.grain[0]), point(shape.grain[1])),
        notches=tuple(replace(one, at=round(one.at, 3)) for one in shape.notches),
        darts=tuple(replace(one, at=round(one.at, 3), width=round(one.width, 3), apex=point(one.apex)) for one in shape.darts),
        pleats=tuple(replace(one, at=round(one.at, 3), depth=round(one.depth, 3)) for one in shape.pleats),
        lines=tuple(replace(one, path=path(one.path)) for one in shape.lines),
        levels=tuple(replace(one, a=point(one.a), b=point(one.b)) for one in shape.levels),
    )


def tidied(pattern: Pattern) -> Pattern:
    """The pattern with the numbers of all its outlines rounded."""
    pieces = {
        name: replace(piece, sizes={size: rounded(shape) for size, shape in piece.sizes.items()})
        for name, piece in pattern.pieces.items()
    }
    return replace(pattern, pieces=pieces)


def by_size(draft: Callable[[Mapping[str, float]], Shape], chart: Mapping[str, Mapping[str, float]]) -> dict[str, Shape]:
    """The shape in every size of a chart."""
    return {size: draft(row) for size, row in chart.items()}
