"""Plain shapes and garments for the tests of the pattern room."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Corner,
    CornerShape,
    Cut,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    LevelLine,
    Opening,
    Pattern,
    Piece,
    Seam,
    Shape,
    make_garment,
)

R, L, C = Hand.RIGHT, Hand.LEFT, Hand.CENTRE
BOX = ("bottom", "right", "top", "left")


def polygon(
    points: Sequence[tuple[float, float]],
    names: Sequence[str] | None = None,
    *,
    margin: float | Sequence[float] = 10.0,
    corners: Sequence[CornerShape] | None = None,
    fates: Mapping[str, FateKind] | None = None,
) -> Shape:
    """A shape with straight edges."""
    names = names or [f"e{k}" for k in range(len(points))]
    margins = [margin] * len(points) if isinstance(margin, int | float) else list(margin)
    looks = corners or [CornerShape.MITRED] * len(points)
    ends = [Point(*p) for p in points]
    edges = tuple(
        Edge(
            name,
            Corner(f"before {name}", look),
            Path.line(a, b),
            allowance,
            fate=Fate(fates[name]) if fates and name in fates else None,
        )
        for name, look, allowance, a, b in zip(names, looks, margins, ends, ends[1:] + ends[:1], strict=True)
    )
    return Shape(edges, (ends[0], Point(ends[0].x, ends[0].y + 100)))


def box(width: float, height: float, *, margin: float | Sequence[float] = 10.0, level: float | None = None) -> Shape:
    """A rectangle from the origin with the edges bottom, right, top, left."""
    shape = polygon([(0, 0), (width, 0), (width, height), (0, height)], BOX, margin=margin)
    lines = () if level is None else (LevelLine("round", Point(width * 0.4, level), Point(width * 0.6, level)),)
    return replace(shape, levels=lines)


def sector(inner: float, outer: float, angle: float, *, level: float | None = None) -> Shape:
    """The development of a cone frustum: bottom is the outer arc, top the inner one."""
    centre = Point(0, 0)
    low = Path.arc(centre, outer, -math.pi / 2 - angle / 2, angle)
    high = Path.arc(centre, inner, -math.pi / 2 + angle / 2, -angle)
    paths = (low, Path.line(low.end, high.start), high, Path.line(high.end, low.start))
    edges = tuple(Edge(name, Corner(name), path, 10.0) for name, path in zip(BOX, paths, strict=True))
    lines = () if level is None else (LevelLine("round", Point(-10, -level), Point(10, -level)),)
    return Shape(edges, (Point(0, -outer), Point(0, -inner)), levels=lines)


def piece(name: str, shape: Shape | None, *cuts: Cut, fold: str = "", **rest: object) -> Piece:
    """A piece in the single size M."""
    sizes = {} if shape is None else {"M": shape}
    return Piece(name, "", name, cuts or (Cut("shell", How.SINGLE),), sizes=sizes, fold=fold, **rest)  # type: ignore[arg-type]


def ref(words: str) -> EdgeRef:
    """``piece.edge``, ``piece.edge right``, ``piece.edge left 2``."""
    name, *rest = words.split()
    where, edge = name.split(".")
    hand = next((h for h in (R, L) if h.value in rest), C)
    copy = next((int(word) for word in rest if word.isdigit()), 1)
    return EdgeRef(where, edge, hand, copy=copy)


def refs(*words: str) -> tuple[EdgeRef, ...]:
    return tuple(ref(w) for w in words)


def seam(name: str, a: Iterable[str], b: Iterable[str], **rest: object) -> Seam:
    return Seam(name, refs(*a), refs(*b), **rest)  # type: ignore[arg-type]


def pattern_of(
    pieces: Iterable[Piece], seams: Iterable[Seam] = (), openings: Mapping[str, Iterable[str]] | None = None, **rest: object
) -> Pattern:
    holes = tuple(Opening(name, refs(*edges)) for name, edges in (openings or {}).items())
    by_id = {p.id: p for p in pieces}
    return Pattern("p", "A pattern", ("M",), by_id, tuple(seams), openings=holes, **rest)  # type: ignore[arg-type]


def garment_of(*args: object, **rest: object) -> Garment:
    return make_garment(pattern_of(*args, **rest), "M", id="g")  # type: ignore[arg-type]
