"""A proposal made into a piece."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Path, Point, nearest
from firsthand.importers.model import FoundLine, Meaning, Proposal
from firsthand.pattern import Corner, Cut, Edge, How, InnerLine, InnerLineKind, Notch, Piece, Shape

__all__ = ["CORNER", "proposal_to_piece"]

CORNER = math.radians(20)
"""A break of the tangent above this is a corner (common practice; a fair curve drawn as short lines stays below)."""

NEAR = 5.0  # mm from the outline within which a notch belongs to it
ON_FOLD = 0.5  # mm within which an edge lies on the mirror line

_INNER = {
    Meaning.CUT_OUT: InnerLineKind.CUT_OUT,
    Meaning.STITCHING: InnerLineKind.STITCHING,
    Meaning.MIRROR: InnerLineKind.FOLD,
}


def proposal_to_piece(
    proposal: Proposal,
    id: str,
    number: str,
    name: str,
    size: str,
    *,
    corner_angle: float = CORNER,
    allowance: float = 15.0,
    cuts: Iterable[Cut] | None = None,
) -> Piece:
    """A piece in one size from an outline that was found in a file.

    Parameters
    ----------
    proposal
        What was found. Its outline is taken as the stitching line.
    id, number, name
        Id, printed number and name of the piece.
    size
        The size that the outline is.
    corner_angle
        Breaks of the tangent above this, in radians, are corners; between corners lie the edges ``edge-1``, ``edge-2``...
    allowance
        Allowance of every edge, mm; 0 for an outline that already has it.
    cuts
        What is cut of it; by default a pair of the shell, or one on the fold where the file has a mirror line along an edge.

    Returns
    -------
    Piece
        Turned so that its grain points up, which a line along x takes to be its end. Without a grain line the grain runs
        upwards through the middle as drawn. Notches within 5 mm of the outline are put on its edges.

    Raises
    ------
    GeometryError
        If a number has no sense.

    Examples
    --------
    >>> from firsthand.geometry import Path, Point
    >>> square = Path.polygon([Point(0, 0), Point(90, 0), Point(90, 90), Point(0, 90)])
    >>> piece = proposal_to_piece(Proposal("cuff", square), "cuff", "7", "Cuff", "M")
    >>> [edge.id for edge in piece.drawn_shape.edges], piece.drawn_shape.grain
    (['edge-1', 'edge-2', 'edge-3', 'edge-4'], (Point(x=45.0, y=22.5), Point(x=45.0, y=67.5)))
    """
    if not (math.isfinite(corner_angle) and 0 < corner_angle < math.pi):
        raise GeometryError(f"a corner angle must lie between nothing and half a turn, not {corner_angle}")
    if not (math.isfinite(allowance) and 0 <= allowance <= 500):
        raise GeometryError(f"an allowance must be a length up to half a metre, not {allowance}")
    upright, grain = _upright(proposal)
    outline = proposal.outline.transformed(upright)
    edges = tuple(
        Edge(f"edge-{k}", Corner(f"corner-{k}"), path, allowance)
        for k, path in enumerate(_split(outline, corner_angle), start=1)
    )
    lines = [FoundLine(line.kind, line.path.transformed(upright), line.layer) for line in proposal.lines]
    fold = _fold_edge(edges, [line.path for line in lines if line.kind is Meaning.MIRROR])
    shape = Shape(edges, grain, _notches(edges, _notch_points(proposal, upright)), lines=_inner(lines, fold))
    cut = tuple(cuts) if cuts is not None else (Cut("shell", How.FOLD if fold else How.PAIR),)
    return Piece(id, number, name, cut, sizes={size: shape}, size=size, shape=shape, fold=fold)


def _split(outline: Path, corner_angle: float) -> list[Path]:
    """The outline cut at its corners, beginning with the corner nearest to its start; whole if it has none or one."""
    segments = outline.segments
    corners = [k for k in range(len(segments)) if _turn(segments[k - 1].tangent(1.0), segments[k].tangent(0.0)) > corner_angle]
    if not corners:
        return [outline]
    ends = [*corners[1:], corners[0] + len(segments)]
    return [Path(tuple(segments[k % len(segments)] for k in range(a, b))) for a, b in zip(corners, ends, strict=True)]


def _turn(into: Point, out: Point) -> float:
    return abs(into.angle_to(out))


def _upright(proposal: Proposal) -> tuple[Affine, tuple[Point, Point]]:
    """The turn that makes the grain point up, and the grain line thus turned."""
    found = [line.path for line in proposal.lines if line.kind is Meaning.GRAIN]
    if not found:
        box = proposal.outline.bounds
        x, quarter = box.centre.x, box.height / 4
        return Affine(), (Point(x, box.bottom + quarter), Point(x, box.top - quarter))
    line = max(found, key=lambda path: path.start.distance(path.end))
    a, b = line.start, line.end
    if abs((b - a).angle) > math.pi / 4 and b.y < a.y and abs(b.x - a.x) < abs(b.y - a.y):
        a, b = b, a
    turn = Affine.rotation(math.pi / 2 - (b - a).angle) if a.distance(b) > 1e-6 else Affine()
    return turn, (turn(a), turn(b))


def _notch_points(proposal: Proposal, upright: Affine) -> list[Point]:
    """Where notches are: their points, and of short lines the end nearer to the outline."""
    points = [mark.point for mark in proposal.marks if mark.kind is Meaning.NOTCH]
    for line in proposal.lines:
        if line.kind is Meaning.NOTCH:
            ends = (line.path.start, line.path.end)
            points.append(min(ends, key=lambda end: nearest(proposal.outline, end)[1]))
    return [upright(point) for point in points]


def _notches(edges: Sequence[Edge], points: Iterable[Point]) -> tuple[Notch, ...]:
    placed = []
    for point in points:
        edge, at, distance = min(((edge, *nearest(edge.path, point)) for edge in edges), key=lambda found: found[2])
        if distance <= NEAR:
            placed.append((edge.id, at))
    order = {edge.id: k for k, edge in enumerate(edges)}
    placed.sort(key=lambda one: (order[one[0]], one[1]))
    kept = [one for k, one in enumerate(placed) if k == 0 or placed[k - 1][0] != one[0] or one[1] - placed[k - 1][1] > 1.0]
    return tuple(Notch(f"notch-{k}", edge, at) for k, (edge, at) in enumerate(kept, start=1))


def _fold_edge(edges: Sequence[Edge], mirrors: Sequence[Path]) -> str:
    """The straight edge that lies on a mirror line; empty if none does."""
    for mirror, edge in itertools.product(mirrors, edges):
        if all(nearest(mirror, point)[1] <= ON_FOLD for point in edge.path.joints):
            return edge.id
    return ""


def _inner(lines: Iterable[FoundLine], fold: str) -> tuple[InnerLine, ...]:
    kept = [line for line in lines if line.kind not in {Meaning.GRAIN, Meaning.NOTCH}]
    kept = [line for line in kept if not (line.kind is Meaning.MIRROR and fold)]
    return tuple(
        InnerLine(f"line-{k}", _INNER.get(line.kind, InnerLineKind.PLACEMENT), line.path)
        for k, line in enumerate(kept, start=1)
    )
