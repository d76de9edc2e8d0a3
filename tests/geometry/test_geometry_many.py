"""Paths of very many segments: the same answers as comparing every two segments gives."""

from __future__ import annotations

import math
import random

import pytest
from shapely.geometry import LineString, Polygon

from firsthand.errors import GeometryError
from firsthand.geometry import Path, Point, intersections, offset, self_crossings
from firsthand.geometry._boxes import Boxes, near_pairs


def wander(count: int, seed: int) -> Path:
    rng = random.Random(seed)
    points = [Point(0, 0)]
    for _ in range(count):
        points.append(points[-1] + Point(rng.uniform(-4, 5), rng.uniform(-4, 5)))
    return Path.line(*points)


def test_near_pairs_are_those_that_comparing_every_two_finds() -> None:
    rng = random.Random(3)
    corners = [(rng.uniform(0, 90), rng.uniform(0, 90)) for _ in range(180)]
    boxes = Boxes([(x, y, x + rng.uniform(0, 9), y + rng.uniform(0, 9)) for x, y in corners])
    others = Boxes(boxes.bounds[::2])

    def near(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
        return not (a[0] > b[2] + 1 or b[0] > a[2] + 1 or a[1] > b[3] + 1 or b[1] > a[3] + 1)

    every = [(i, j) for i, a in enumerate(boxes.bounds) for j, b in enumerate(boxes.bounds) if i < j and near(a, b)]
    assert near_pairs(boxes, boxes, 1.0) == every
    every = [(i, j) for i, a in enumerate(boxes.bounds) for j, b in enumerate(others.bounds) if near(a, b)]
    assert near_pairs(boxes, others, 1.0) == every


def test_a_scribble_is_refused() -> None:
    pile = Boxes([(0.0, 0.0, 1.0, 1.0)] * 4000)
    with pytest.raises(GeometryError, match="on top of each other"):
        near_pairs(pile, pile, 0.0)


def test_meetings_of_long_chains_are_those_of_shapely() -> None:
    """Reference: GEOS by way of shapely."""
    one, two = wander(900, 1), wander(900, 2)
    lines = [LineString([(p.x, p.y) for p in path.joints]) for path in (one, two)]
    theirs = lines[0].intersection(lines[1])
    assert len(intersections(one, two)) == len(theirs.geoms)
    for crossing in intersections(one, two):
        assert theirs.distance(LineString([(crossing.point.x, crossing.point.y)] * 2).centroid) < 1e-6


@pytest.mark.parametrize("jag", [0.0, 0.5])
def test_a_circle_of_thousands_of_lines_has_its_parallel(jag: float) -> None:
    count = 3000
    turns = [2 * math.pi * k / count for k in range(count)]
    rim = Path.polygon([Point.polar(500 + jag * (k % 2), turn) for k, turn in enumerate(turns)])
    assert self_crossings(rim) == ()
    wide = offset(rim, 10.0)
    assert self_crossings(wide) == ()
    theirs = Polygon([(p.x, p.y) for p in rim.joints]).buffer(10.0, join_style="mitre", mitre_limit=4.0)  # GEOS
    assert wide.area == pytest.approx(theirs.area, rel=1e-4)
    assert Polygon([(p.x, p.y) for p in wide.joints]).hausdorff_distance(theirs) < 0.05
