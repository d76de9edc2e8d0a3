"""What is done on the tissue there is instead of printing a piece again: what to cut and spread, and offsets to measure off."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

from firsthand.alter._composed import Composed, composed
from firsthand.alter.model import Record, Stretch
from firsthand.alter.tissue.lineage import Lineage, lineage
from firsthand.alter.tissue.newlines import new_lines
from firsthand.alter.tissue.offsets import CHANGED, EVERY, offsets, renamed
from firsthand.alter.tissue.rigid import STILL, Bit, Join, Motions, motions
from firsthand.alter.tissue.told import Added, Altering, End, Hinge, Moved, PointMoved, Tissue
from firsthand.geometry import Affine, Point, nearest
from firsthand.pattern import Dart, Notch, Piece, Pleat, Shape

__all__ = ["Tissue", "on_tissue"]

AT = 1.0
"""What is this near to a point is at it, mm."""
RIM = 6.0
"""A cut whose two sides stay together this near to the outline, mm, is hinged at it,"""
GAPES = 0.35
"""or one that gapes no more than this where it is nearest to the outline, mm: small turns have uncertain middles."""


def on_tissue(
    piece: Piece, records: Sequence[Record], altered: Sequence[Mapping[str, Shape]], *, every: float = EVERY
) -> Tissue | None:
    """What to do on the tissue of a piece.

    Parameters
    ----------
    piece
        As altered, with its bought outline.
    records, altered
        What was done to the garment, in order, and for each the outlines of the pieces it changed, as they were after it.
    every
        How often offsets are given, mm.

    Returns
    -------
    Tissue or None
        None if there is nothing to do: the piece is a card, is as bought by its own name and side, or was never bought.
    """
    after, before = piece.shape, piece.bought
    line = lineage(piece, records, altered)
    if after is None or not (line.records or line.broken) or (after == before and not _otherwise(line)):
        return None
    stages = [Altering(record.alteration, record.kind, record.words) for record in line.records]
    if before is None and (graded := _graded(piece, after, tuple(stages), every)):
        return graded
    if line.broken or before is None:
        return Tissue(piece.id, line.broken, tuple(stages))
    chain = _Chain(piece.id, before, line.records, line.shapes)
    if not chain.followed(after):
        return Tissue(piece.id, "nothing of its outline is on the tissue", tuple(stages))
    bits = chain.bits()
    found = offsets(before, after, line.records, piece=piece.id, every=every, bits=bits)
    told = [Altering(one.alteration, one.kind, one.words, chain.told(k)) for k, one in enumerate(stages)]
    gone, added = chain.marks(after)
    points = _points(before, after, line.records, piece.id, bits)
    lines = tuple(new_lines(after, line.foreign, chain.printed, chain.motion, every))
    added = tuple(one for one in added if _edge_of(after, one.name) not in {*line.foreign, *(new.edge for new in lines)})
    return Tissue(
        piece.id, "", tuple(told), bits, found, points, gone, added, line.turned, line.opened, line.source, lines, line.taped,
        line.foreign,
    )  # fmt: skip


def _graded(piece: Piece, after: Shape, stages: tuple[Altering, ...], every: float) -> Tissue | None:
    """A size that was not bought, from the printed line of the size that comes nearest to it; None if no size has its edges."""
    names = {edge.id for edge in after.edges}
    sizes = [size for size, shape in piece.sizes.items() if {edge.id for edge in shape.edges} == names]
    if not sizes:
        return None
    size = min(sizes, key=lambda one: abs(piece.sizes[one].outline.area - after.outline.area))
    before = piece.sizes[size]
    runs = {edge.id: (edge.path.length, after.edge(edge.id).path.length) for edge in before.edges}
    edges = {f"{piece.id}.{name}": (Stretch(piece.id, name, 0.0, old, 0.0, new),) for name, (old, new) in runs.items()}
    record = Record("", "", "", edges=edges, pieces=(piece.id,))
    bits = tuple(Bit(name, 0.0, old, STILL) for name, (old, _) in runs.items())
    found = offsets(before, after, [record], piece=piece.id, every=every, bits=bits)
    gone, added = _Chain(piece.id, before, [record], [after]).marks(after)
    points = _points(before, after, [record], piece.id, bits)
    return Tissue(piece.id, "", stages, bits, found, points, gone, added, size=size)


def _otherwise(line: Lineage) -> bool:
    """Whether the tissue is used otherwise than it was meant to be, even if the outline is as bought."""
    return bool(line.turned or line.opened or line.source or line.taped)


def _edge_of(shape: Shape, mark: str) -> str:
    return _marks(shape)[mark][0]


class _Chain:
    """One piece through its alterations."""

    def __init__(self, piece: str, before: Shape, records: Sequence[Record], shapes: Sequence[Shape]) -> None:
        self.piece, self.records = piece, list(records)
        self.shapes = [before, *shapes]
        self.steps: list[Motions] = [
            motions(one, two, record, piece)
            for record, (one, two) in zip(self.records, itertools.pairwise(self.shapes), strict=True)
        ]

    def followed(self, after: Shape) -> bool:
        """Whether anything of the new outline can be followed back to the printed one."""
        shares = (0.03, 0.2, 0.4, 0.6, 0.8, 0.97)
        return any(self.printed(edge.id, edge.path.length * share) for edge in after.edges for share in shares)

    def printed(self, edge: str, at: float) -> tuple[str, float] | None:
        """Where a place on the new outline was printed."""
        name, old = self._origin(len(self.records), edge, at)
        return (name, old) if name else None

    def motion(self, edge: str, at: float) -> Affine:
        """Where all alterations together moved a printed place."""
        return self._motion(edge, at) or STILL

    def upto(self, k: int) -> Composed:
        """The maps before a step."""
        return composed(self.records[:k])

    def bits(self) -> tuple[Bit, ...]:
        """The printed outline in stretches that all alterations moved alike."""
        found: list[Bit] = []
        for edge in self.shapes[0].edges:
            length = edge.path.length
            marks = {0.0, length}
            for k, step in enumerate(self.steps):
                places = [self._origin(k, join.edge, at) for join in step.joins for at in (join.at, join.to)]
                marks |= {at for name, at in places if name == edge.id}
            for start, end in itertools.pairwise(sorted(marks)):
                motion = self._motion(edge.id, (start + end) / 2) if end - start > 1e-6 else None
                if motion is None:
                    continue
                if found and found[-1].edge == edge.id and found[-1].motion == motion and found[-1].end >= start - 1e-6:
                    found[-1] = Bit(edge.id, found[-1].start, end, motion)
                else:
                    found.append(Bit(edge.id, start, end, motion))
        return tuple(found)

    def _motion(self, edge: str, at: float) -> Affine | None:
        """Where all steps together moved a printed place; None if it was taken out between two sections."""
        total, place = STILL, (self.piece, edge, at)
        for record, step in zip(self.records, self.steps, strict=True):
            if any(join.edge == place[1] and join.at + 1e-6 < place[2] < join.to - 1e-6 for join in step.joins):
                return None
            total = step.at(place[1], place[2]) @ total
            now = record.position(*place)
            if now is None or now[0] != self.piece:
                break
            place = now
        return total

    def _origin(self, k: int, edge: str, at: float) -> tuple[str, float]:
        place = self.upto(k).origin(self.piece, edge, at)
        known = place is not None and any(one.id == place[1] for one in self.shapes[0].edges)
        return (place[1], place[2]) if place is not None and known else ("", 0.0)

    def told(self, k: int) -> tuple[Moved, ...]:
        """The sections that one step moved, in words and numbers of the printed piece."""
        step, shape = self.steps[k], self.shapes[k]
        return tuple(self._moved(k, step, shape, motion) for motion in step.moved)

    def _moved(self, k: int, step: Motions, shape: Shape, motion: Affine) -> Moved:
        whole = [e.id for e in shape.edges if all(b.motion == motion for b in step.bits if b.edge == e.id)]
        partly = [bit.edge for bit in step.bits if bit.motion == motion]
        edges = tuple(self._origin(k, name, shape.edge(name).path.length / 2)[0] for name in whole or dict.fromkeys(partly))
        points = [shape.edge(b.edge).path.at((b.start + b.end) / 2) for b in step.bits if b.motion == motion]
        middle = sum(points, Point(0, 0)) / len(points)
        right, up = _along_grain(shape, motion(middle) - middle)
        turn = math.atan2(motion.b, motion.a)
        factor = math.sqrt(abs(motion.determinant))
        factor = 1.0 if abs(factor - 1) < 1e-6 else factor
        pivot = self._pivot(k, shape, motion) if abs(turn) > 1e-4 and factor == 1.0 else ""
        pairs = list(dict.fromkeys(frozenset((join.before, join.after)) for join in step.joins))
        joins = [(pairs.index(frozenset((join.before, join.after))), join) for join in step.joins]
        ends = tuple(self._end(k, join, cut) for cut, join in joins if motion in (join.before, join.after))
        turn = turn if abs(turn) > 1e-4 else 0.0
        return Moved(tuple(name for name in edges if name), right, up, turn, pivot, factor, ends, middle, not whole)

    def _end(self, k: int, join: Join, cut: int) -> End:
        edge, at = self._origin(k, join.edge, join.at)
        other, to = self._origin(k, join.edge, join.to)
        darts = [dart for dart in self.shapes[k].darts if dart.edge == join.edge and join.opened < 0]
        closed = next((d.id for d in darts if max(abs(join.at - d.at), abs(join.to - d.at)) <= d.width / 2 + AT), "")
        return End(edge, at, to if other == edge else at, join.opened, closed, cut, self._hinge(k, join))

    def _hinge(self, k: int, join: Join) -> Hinge | None:
        """The place on the outline that both sides of a cut bring to the same point."""
        between = join.before.inverse() @ join.after
        turn = abs(math.atan2(between.b, between.a))
        if turn < 1e-4:
            return None
        point, shape = _centre(between), self.shapes[k]
        found = [(edge, *nearest(edge.path, point)) for edge in shape.edges]
        edge, at, distance = min(found, key=lambda one: one[2])
        return Hinge(*self._origin(k, edge.id, at), point) if distance <= max(RIM, GAPES / turn) else None

    def _pivot(self, k: int, shape: Shape, motion: Affine) -> str:
        centre = _centre(motion)
        for dart in shape.darts:
            if dart.apex.distance(centre) <= AT:
                return f"the point of {dart.id.replace('-', ' ')}"
        return ""

    def marks(self, after: Shape) -> tuple[tuple[str, ...], tuple[Added, ...]]:
        """Notches, darts and pleats that are gone, and those that are new or on another edge."""
        old, there = _marks(self.shapes[0]), _marks(after)
        now = {name: renamed(self.records, self.piece, name) for name in old}
        gone = tuple(name for name, place in old.items() if now[name] not in there and self._here(*place))
        kept = {new for name, new in now.items() if new in there and self._stayed(old[name][0], there[new][0])}
        return gone, tuple(self._added(name, *place) for name, place in there.items() if name not in kept)

    def _here(self, edge: str, at: float) -> bool:
        """Whether a printed place is still on the piece, and not cut off with all that was there."""
        place = composed(self.records).position(self.piece, edge, at)
        return place is not None and place[0] == self.piece

    def _stayed(self, old: str, new: str) -> bool:
        """Whether an edge has become another one, or part of it."""
        path = self.shapes[0].edge(old).path
        places = [composed(self.records).position(self.piece, old, path.length * k / 20) for k in range(1, 20)]
        return any(place is not None and place[1] == new for place in places)

    def _added(self, name: str, edge: str, at: float) -> Added:
        place = composed(self.records).origin(self.piece, edge, at)
        known = place is not None and any(one.id == place[1] for one in self.shapes[0].edges)
        return Added(name, place[1], place[2]) if place is not None and known else Added(name)


def _marks(shape: Shape) -> dict[str, tuple[str, float]]:
    things: tuple[Notch | Dart | Pleat, ...] = (*shape.notches, *shape.darts, *shape.pleats)
    return {one.id: (one.edge, one.at) for one in things}


def _centre(motion: Affine) -> Point:
    """The point that a turn leaves where it is."""
    rest = Affine(1 - motion.a, -motion.b, -motion.c, 1 - motion.d)
    return rest.inverse()(Point(motion.e, motion.f))


def _along_grain(shape: Shape, by: Point) -> tuple[float, float]:
    up = shape.up
    return -by.dot(up.left), by.dot(up)


def _points(before: Shape, after: Shape, records: Sequence[Record], piece: str, bits: Sequence[Bit]) -> tuple[PointMoved, ...]:
    """Points of darts and lines inside that went with no section as a whole."""
    found = []
    darts = {dart.id: dart.apex for dart in after.darts}
    lines = {line.id: line.path.at(line.path.length / 2) for line in after.lines}
    olds = [(f"point of {dart.id}", dart.apex, darts.get(renamed(records, piece, dart.id) or "")) for dart in before.darts]
    olds += [(line.id, line.path.at(line.path.length / 2), lines.get(line.id)) for line in before.lines]
    for name, old, new in olds:
        tries = [bit.motion.inverse()(new) - old for bit in bits] if new is not None else []
        if tries and all(by.norm > CHANGED for by in tries):
            right, up = _along_grain(before, min(tries, key=lambda by: by.norm))
            found.append(PointMoved(name.replace("-", " "), right, up))
    return tuple(found)
