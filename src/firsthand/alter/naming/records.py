"""What changes of ids have in common: records of whole pieces, rough sizes, names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from firsthand.alter.model import Stretch
from firsthand.alter.moving.maps import Run
from firsthand.errors import FirsthandError
from firsthand.pattern import Garment, How, Piece, Rough, Shape, cutting_line, opened

__all__ = ["mark_ids", "moved_ids", "runs_of", "with_rough"]


def runs_of(piece: str, shape: Shape, images: Mapping[str, tuple[str, str, bool]]) -> dict[str, tuple[Stretch, ...]]:
    """Stretches of whole edges.

    Parameters
    ----------
    images
        For each old edge its piece and edge now, and whether it runs the other way round.
    """
    found: dict[str, tuple[Stretch, ...]] = {}
    for edge in shape.edges:
        if edge.id in images:
            to, name, back = images[edge.id]
            length = edge.path.length
            new: Run = (0.0, length, length, 0.0) if back else (0.0, length, 0.0, length)
            found[f"{piece}.{edge.id}"] = (Stretch(to, name, *new),)
    return found


def moved_ids(piece: str, shape: Shape, news: Iterable[tuple[str, Mapping[str, str]]]) -> dict[str, tuple[str, ...]]:
    """Ids of corners, notches, darts, pleats and lines of an old piece, by where they are now.

    Parameters
    ----------
    news
        For each new piece its id, and its ids by the old ids.
    """
    placed = [(name, dict(ids)) for name, ids in news]
    return {
        f"{piece}.{old}": tuple(dict.fromkeys(f"{name}.{ids[old]}" for name, ids in placed if old in ids))
        for old in mark_ids(shape)
    }


def mark_ids(shape: Shape) -> list[str]:
    """Ids of all corners, notches, darts, pleats and inner lines of a shape."""
    found = [edge.corner.id for edge in shape.edges]
    return found + [mark.id for marks in (shape.notches, shape.darts, shape.pleats, shape.lines) for mark in marks]


def with_rough(piece: Piece, garment: Garment) -> Piece:
    """The piece with its rough size made again from its outline, if it had one."""
    if not piece.rough or piece.shape is None:
        return piece
    whole = opened(replace(piece, sizes={})) if any(cut.how is How.FOLD for cut in piece.cuts) else piece
    shape = whole.drawn_shape
    try:
        points = cutting_line(shape).flattened()
    except FirsthandError:  # found by its own check
        points = shape.outline.flattened()
    up = shape.up
    along, across = [up.dot(point) for point in points], [up.cross(point) for point in points]
    rough = Rough(max(along) - min(along), max(across) - min(across))
    return replace(piece, rough={piece.size or garment.size: rough})
