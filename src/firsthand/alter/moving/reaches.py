"""Pleats and tucks where their piece became longer or shorter: where they run to, and how far they stay closed."""

from __future__ import annotations

from dataclasses import replace

from firsthand.geometry import Path, Point, intersections, nearest
from firsthand.pattern.model import Pleat, Shape

__all__ = ["reaching", "run_out"]

ALL_THE_WAY = 1.0
"""A pleat that stays closed to within so much of where it runs does so all the way, mm."""
NEAR = 0.5
"""A pleat that ends so near an edge runs to that edge, mm."""


def reaching(before: Shape, after: Shape) -> Shape:
    """The shape with pleats that were closed all the way to where they run closed all the way still, and none farther."""
    old = {pleat.id: (pleat, _run(before, pleat)) for pleat in before.pleats}
    pleats = []
    for pleat in after.pleats:
        was, long = old.get(pleat.id, (pleat, 0.0))
        if was.towards is None or pleat.towards is None:
            pleats.append(pleat)
            continue
        run = _run(after, pleat)
        reach = max(0.0, was.reach + run - long) if was.reach >= long - ALL_THE_WAY else min(pleat.reach, run)
        pleats.append(pleat if reach == pleat.reach else replace(pleat, reach=reach))
    return replace(after, pleats=tuple(pleats)) if tuple(pleats) != after.pleats else after


def run_out(before: Shape, after: Shape) -> Shape:
    """The shape with pleats that ran to an edge running to it still, in the direction they had, as far as :func:`reaching`."""
    if not any(pleat.towards for pleat in after.pleats):
        return after
    ran = {pleat.id for pleat in before.pleats if pleat.towards and _ends_at(before, pleat.towards)}
    pleats = tuple(_to_edge(after, pleat) if pleat.id in ran else pleat for pleat in after.pleats)
    return reaching(before, after if pleats == after.pleats else replace(after, pleats=pleats))


def _ends_at(shape: Shape, point: Point) -> bool:
    return min(nearest(edge.path, point)[1] for edge in shape.edges) <= NEAR


def _to_edge(shape: Shape, pleat: Pleat) -> Pleat:
    """The pleat run on, or cut off, to where its line meets the outline next to where it ended."""
    start, old = shape.edge(pleat.edge).path.at(pleat.at), pleat.towards
    if old is None or start.distance(old) <= ALL_THE_WAY:
        return pleat
    box = shape.outline.bounds
    far = start.distance(old) + Point(box.left, box.bottom).distance(Point(box.right, box.top))
    line = Path.line(start, start + (old - start).unit() * far)
    ends = [crossing.point for crossing in intersections(line, shape.outline) if crossing.at_a > ALL_THE_WAY]
    new = min(ends, key=old.distance, default=old)
    return pleat if new.distance(old) <= 1e-6 else replace(pleat, towards=new)


def _run(shape: Shape, pleat: Pleat) -> float:
    """How far it is from a pleat's middle at its edge to where it runs, mm."""
    return 0.0 if pleat.towards is None else shape.edge(pleat.edge).path.at(pleat.at).distance(pleat.towards)
