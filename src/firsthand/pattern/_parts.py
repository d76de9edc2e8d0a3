"""From a piece as drawn to a part as cut: opened out, or turned over for the other hand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from firsthand.errors import GeometryError
from firsthand.geometry import Affine
from firsthand.pattern._fold import STRAIGHT
from firsthand.pattern._sewn import edge_length
from firsthand.pattern.model import (
    Corner,
    CornerShape,
    Edge,
    EdgeRef,
    Garment,
    Hand,
    How,
    InnerLine,
    LevelLine,
    Part,
    Piece,
    Shape,
)

__all__ = [
    "MIRRORED",
    "PartEdge",
    "find_part",
    "flipped",
    "is_on_fold",
    "opened",
    "opened_shape",
    "part_shape",
    "ref_to",
    "resolve",
]

MIRRORED = " mirrored"
"""What is added to an id for its mirror image on a piece opened out."""


def _turned_over(shape: Shape, by: Affine, suffix: str) -> Shape:
    """The mirror image, counter-clockwise again, so that each edge begins at the corner where it ended."""
    count = len(shape.edges)
    lengths = {edge.id: edge_length(edge.path) for edge in shape.edges}
    edges = []
    for index in reversed(range(count)):
        edge, following = shape.edges[index], shape.edges[(index + 1) % count].corner
        corner = Corner(following.id + suffix, following.shape.flipped)
        edges.append(replace(edge, id=edge.id + suffix, corner=corner, path=edge.path.transformed(by).reversed()))

    def at(edge: str, position: float) -> float:
        return lengths[edge] - position if edge in lengths else position

    return Shape(
        edges=tuple(edges),
        grain=(by(shape.grain[0]), by(shape.grain[1])),
        notches=tuple(replace(n, id=n.id + suffix, edge=n.edge + suffix, at=at(n.edge, n.at)) for n in reversed(shape.notches)),
        darts=tuple(
            replace(d, id=d.id + suffix, edge=d.edge + suffix, at=at(d.edge, d.at), apex=by(d.apex), pressed=d.pressed.flipped)
            for d in reversed(shape.darts)
        ),
        pleats=tuple(
            replace(
                p,
                id=p.id + suffix,
                edge=p.edge + suffix,
                at=at(p.edge, p.at),
                towards_end=not p.towards_end,
                towards=None if p.towards is None else by(p.towards),
            )
            for p in reversed(shape.pleats)
        ),
        lines=tuple(replace(line, id=line.id + suffix, path=line.path.transformed(by)) for line in shape.lines),
        levels=tuple(LevelLine(line.level, by(line.a), by(line.b)) for line in shape.levels),
    )


@lru_cache(maxsize=1024)
def flipped(shape: Shape) -> Shape:
    """The shape turned over from left to right, counter-clockwise again; all ids stay.

    Corners keep their meaning: where an edge ended square, the same edge now begins square.
    """
    return _turned_over(shape, Affine.mirror(), "")


def _fold_first(shape: Shape, fold: str) -> tuple[Edge, ...]:
    shape.edge(fold)
    at = next(index for index, edge in enumerate(shape.edges) if edge.id == fold)
    return (*shape.edges[at:], *shape.edges[:at])


def _merged_levels(lines: Iterable[LevelLine], images: Iterable[LevelLine]) -> tuple[LevelLine, ...]:
    """A level line and its image as one line where they lie in one, as two where they meet at an angle."""
    merged: list[LevelLine] = []
    for line, image in zip(lines, images, strict=True):
        if line.a.distance(line.b) < 1e-6:  # refused where it is measured
            merged.append(line)
            continue
        along, ends = (line.b - line.a).unit(), (image.a, image.b)
        if all(abs(along.cross(end - line.a)) < 1e-6 for end in ends):
            points = sorted((line.a, line.b, *ends), key=lambda p: along.dot(p - line.a))
            merged.append(LevelLine(line.level, points[0], points[-1]))
        else:
            merged += [line, image]
    return tuple(merged)


def _both(lines: tuple[InnerLine, ...], images: tuple[InnerLine, ...]) -> tuple[InnerLine, ...]:
    """Lines with their images, leaving out the image of a line that lies on the fold."""
    kept = [
        image
        for line, image in zip(lines, images, strict=True)
        if any(a.distance(b) > STRAIGHT for a, b in zip(line.path.joints, image.path.joints, strict=True))
    ]
    return (*lines, *kept)


@lru_cache(maxsize=1024)
def opened_shape(shape: Shape, fold: str) -> Shape:
    """The shape opened out along a fold edge; see :func:`opened`."""
    first, *rest = _fold_first(shape, fold)
    ends = first.path.start, first.path.end
    if ends[0].distance(ends[1]) <= STRAIGHT:
        raise GeometryError(f"fold edge {fold!r} has no length")
    if not rest:
        raise GeometryError(f"a piece with the fold edge {fold!r} alone has nothing to open out")
    image = _turned_over(shape, Affine.mirror(*ends), MIRRORED)
    mirrored = {edge.id: edge for edge in image.edges}
    second = [mirrored[edge.id + MIRRORED] for edge in reversed(rest)]
    rest[0] = replace(rest[0], corner=Corner(rest[0].corner.id, CornerShape.MITRED))
    second[0] = replace(second[0], corner=Corner(first.corner.id, CornerShape.MITRED))
    gone = {fold, fold + MIRRORED}
    return Shape(
        edges=(*rest, *second),
        grain=shape.grain,
        notches=tuple(n for n in (*shape.notches, *image.notches) if n.edge not in gone),
        darts=tuple(d for d in (*shape.darts, *image.darts) if d.edge not in gone),
        pleats=tuple(p for p in (*shape.pleats, *image.pleats) if p.edge not in gone),
        lines=_both(shape.lines, image.lines),
        levels=_merged_levels(shape.levels, image.levels),
    )


def opened(piece: Piece) -> Piece:
    """A piece cut on the fold, opened out.

    The fold edge disappears. The mirror image of the edge ``side`` is called ``side mirrored``, and so are the images of
    corners, notches, darts, pleats and inner lines; a line that lies on the fold is not doubled. A level is one line where
    the two halves lie in one, else two that end where they meet. All sizes are opened out. The mirror is the straight line
    between the ends of the fold edge, even where the edge strays from it so far that nothing can be cut by it.

    Parameters
    ----------
    piece
        A piece; without a fold edge it is given back as it is.

    Raises
    ------
    NotThere
        If an outline has no edge of the fold's name.
    GeometryError
        If the fold edge has no length.

    Examples
    --------
    >>> from firsthand.geometry import Path, Point
    >>> from firsthand.pattern.model import Cut
    >>> corners = [Point(0, 0), Point(100, 0), Point(100, 300), Point(0, 300)]
    >>> names = ["hem", "side", "waist", "centre"]
    >>> edges = tuple(
    ...     Edge(name, Corner(name), Path.line(a, b))
    ...     for name, a, b in zip(names, corners, corners[1:] + corners[:1], strict=True)
    ... )
    >>> shape = Shape(edges, grain=(corners[0], corners[3]))
    >>> half = Piece("back", "2", "Back", (Cut("shell", How.FOLD),), shape=shape, fold="centre")
    >>> whole = opened(half).drawn_shape
    >>> [edge.id for edge in whole.edges], whole.outline.area
    (['hem', 'side', 'waist', 'waist mirrored', 'side mirrored', 'hem mirrored'], 60000.0)
    """
    if not piece.fold:
        return piece
    return replace(
        piece,
        fold="",
        shape=None if piece.shape is None else opened_shape(piece.shape, piece.fold),
        sizes={size: opened_shape(shape, piece.fold) for size, shape in piece.sizes.items()},
        cuts=tuple(replace(cut, how=How.SINGLE) if cut.how is How.FOLD else cut for cut in piece.cuts),
    )


def is_on_fold(piece: Piece, part: Part) -> bool:
    """Whether a part is cut on the fold, and so opened out; a card need not say which of its edges lies there."""
    on_fold = any(cut.role == part.role and cut.how is How.FOLD for cut in piece.cuts)
    return (bool(piece.fold) or piece.is_card) and part.hand is Hand.CENTRE and on_fold


def part_shape(garment: Garment, part: Part) -> Shape:
    """The shape of a part as it is cut, face up: opened out if on the fold, turned over if for the other hand.

    Parameters
    ----------
    garment, part
        A part and the garment it belongs to.

    Returns
    -------
    Shape
        Counter-clockwise. Ids are those of the piece; the second half of an opened-out part has them with ``mirrored``.

    Raises
    ------
    NotThere
        If the piece is not there or is only a card.
    GeometryError
        If its fold edge has no length.
    """
    piece = garment.piece(part.piece)
    shape = piece.drawn_shape
    if is_on_fold(piece, part):
        return opened_shape(shape, piece.fold)
    return flipped(shape) if part.hand is not Hand.CENTRE and part.hand is piece.drawn.other else shape


@dataclass(frozen=True, slots=True)
class PartEdge:
    """An edge of a part as cut; on an opened-out part the id may be one of a mirror image."""

    part: Part
    edge: str


def find_part(garment: Garment, ref: EdgeRef) -> Part | None:
    """The part that an edge reference means, or None.

    An on-fold part is meant by a hand, which says the half; any other part by its own hand.
    """
    piece = garment.pieces.get(ref.piece)
    if piece is None:
        return None
    for part in garment.parts:
        if (part.piece, part.role, part.copy) != (ref.piece, ref.role, ref.copy):
            continue
        if is_on_fold(piece, part):
            if ref.hand is not Hand.CENTRE:
                return part
        elif part.hand is ref.hand:
            return part
    return None


def resolve(garment: Garment, ref: EdgeRef) -> PartEdge | None:
    """The edge of a part as cut that a reference means, or None if nothing answers to it (or it is only a card)."""
    part = find_part(garment, ref)
    if part is None:
        return None
    piece = garment.pieces[ref.piece]
    if piece.shape is None or all(edge.id != ref.edge for edge in piece.shape.edges):
        return None
    if not is_on_fold(piece, part):
        return PartEdge(part, ref.edge)
    if ref.edge == piece.fold:
        return None
    return PartEdge(part, ref.edge if ref.hand is piece.drawn else ref.edge + MIRRORED)


def ref_to(garment: Garment, found: PartEdge) -> EdgeRef:
    """The reference that means an edge of a part; the inverse of :func:`resolve`."""
    part, piece = found.part, garment.pieces[found.part.piece]
    if not is_on_fold(piece, part):
        return EdgeRef(part.piece, found.edge, part.hand, part.role, part.copy)
    image = found.edge.endswith(MIRRORED)
    hand = piece.drawn.other if image else piece.drawn
    return EdgeRef(part.piece, found.edge.removesuffix(MIRRORED) if image else found.edge, hand, part.role, part.copy)
