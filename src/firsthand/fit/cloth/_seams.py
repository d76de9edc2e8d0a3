"""Which seams and edges must stretch with the cloth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from firsthand.fit.cloth._table import STITCH, STRAINED
from firsthand.fit.model import ClothRow, StretchingSeam
from firsthand.geometry import Path, Point
from firsthand.pattern import EdgeRef, Garment, Shape, stem

__all__ = ["stretching_seams"]

ROUND = 0.7
"""An edge that leans less than this (the sine of its angle) from the way the levels run goes round the body."""
SAMPLES = 9
OPEN = ("hem", "casing", "band", "facing")
"""Fates of edges that are pulled over the body."""


def stretching_seams(garment: Garment, rows: Sequence[ClothRow]) -> tuple[StretchingSeam, ...]:
    """The seams and the edges at openings beside which the cloth is stretched when it is worn.

    A seam round the body is stretched as far as the cloth beside it. One along the body lies across strained levels: bending
    stretches it, the more the less the strained cloth has left to give. What is laid flat into others is left out.

    Parameters
    ----------
    garment, rows
        The garment as it will be cut, and what the cloth does at its levels.
    """
    strains = {row.level: max(row.strain or 0.0, row.target_strain or 0.0) for row in rows}
    found: dict[str, StretchingSeam] = {}
    for seam in garment.seams:
        _keep(found, seam.id, (*seam.a, *seam.b), garment, strains)
    sewn = {(ref.piece, ref.edge) for seam in garment.seams for ref in (*seam.a, *seam.b)}
    for piece in garment.pieces.values():
        for edge in piece.shape.edges if piece.shape else ():
            if (piece.id, edge.id) not in sewn and edge.fate is not None and edge.fate.kind in OPEN:
                kind = edge.fate.kind
                name = f"{kind} of {piece.id}" if edge.id == kind else f"{kind} of {piece.id}.{edge.id}"
                _keep(found, name, (EdgeRef(piece.id, edge.id),), garment, strains, only_round=True)
    return tuple(found.values())


def _keep(
    found: dict[str, StretchingSeam],
    name: str,
    refs: Sequence[EdgeRef],
    garment: Garment,
    strains: Mapping[str, float],
    *,
    only_round: bool = False,
) -> None:
    told = [one for ref in refs for one in _beside(garment, ref, strains)]
    runs = max(told, key=lambda one: one[1], default=None)
    common = stem(name)
    if runs is not None and runs[1] > STRAINED and not (only_round and runs[0] != "round"):
        before = found.get(common)
        if before is None or before.strain < runs[1]:
            found[common] = StretchingSeam(common, runs[0], runs[1], STITCH)


def _beside(garment: Garment, ref: EdgeRef, strains: Mapping[str, float]) -> Iterator[tuple[str, float]]:
    """How an edge runs, and the strain of the cloth beside it."""
    shape = garment.pieces[ref.piece].shape if ref.piece in garment.pieces else None
    if shape is None or all(edge.id != ref.edge for edge in shape.edges):
        return
    path = shape.edge(ref.edge).path
    heights = _heights(shape, strains)
    if not heights or path.start.distance(path.end) < 1e-9:
        return
    across = _across(shape, strains)
    up = across.left
    if abs((path.end - path.start).unit().dot(up)) < ROUND:
        middle = path.at(path.length / 2).dot(up)
        yield "round", strains[min(heights, key=lambda level: abs(heights[level].dot(up) - middle))]
        return
    crossed = [strains[level] for level, point in heights.items() if _spans(path, up, point.dot(up))]
    if crossed:
        yield "along", max(crossed)


def _heights(shape: Shape, strains: Mapping[str, float]) -> dict[str, Point]:
    return {line.level: line.a.towards(line.b, 0.5) for line in shape.levels if line.level in strains}


def _across(shape: Shape, strains: Mapping[str, float]) -> Point:
    line = next(line for line in shape.levels if line.level in strains)
    return (line.b - line.a).unit()


def _spans(path: Path, up: Point, height: float) -> bool:
    heights = [path.at(path.length * k / (SAMPLES - 1)).dot(up) for k in range(SAMPLES)]
    return min(heights) <= height <= max(heights)
