"""What crosses the edges of a page, and whether a neighbour goes on with it."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from firsthand.geometry import Box
from firsthand.importers.pdf._clip import clipped, hull_box
from firsthand.importers.pdf._frames import on_frame
from firsthand.importers.pdf._state import PageDrawing

__all__ = ["Borders"]

ON = 0.05  # mm from the edge
GOES_ON = 0.12  # mm between a line that ends at the edge and the neighbour's line
MOST = 400
"""Crossings of one edge that are compared."""


class Borders:
    """The lines of one page within its frame, and where they cross its edges."""

    def __init__(self, drawing: PageDrawing, frame: Box, reach: float) -> None:
        deep = Box(frame.left + reach, frame.bottom + reach, frame.right - reach, frame.top - reach)
        lines, self.cuts = [], {"left": [], "right": [], "bottom": [], "top": []}  # type: ignore[var-annotated]
        for stroke in drawing.strokes:
            box = hull_box(stroke.path)
            if on_frame(stroke, frame) or (
                box.left > deep.left and box.right < deep.right and box.bottom > deep.bottom and box.top < deep.top
            ):
                continue
            for part in clipped(stroke.path, frame):
                lines.append(shapely.LineString([(p.x, p.y) for p in part.flattened(0.01)]))
                for p in () if part.is_closed else (part.start, part.end):
                    for side, off in (
                        ("left", p.x - frame.left), ("right", frame.right - p.x),
                        ("bottom", p.y - frame.bottom), ("top", frame.top - p.y),
                    ):  # fmt: skip
                        if abs(off) < ON and len(self.cuts[side]) < MOST:
                            self.cuts[side].append((p.x, p.y))
        self.frame = frame
        self.tree = shapely.STRtree(lines)
        self.lines = lines

    def depths(self, other: Borders, sideways: bool, reach: float) -> Any:
        """Shifts of a neighbour to the right or below, beside edge to edge, that put its lines on those that end here."""
        side = "right" if sideways else "bottom"
        mine, theirs = self.frame, other.frame
        found = []
        for x, y in self.cuts[side][:60]:
            if sideways:
                v = y - mine.top + theirs.top
                ray = shapely.LineString([(theirs.left + 0.2, v), (theirs.left + reach, v)])
            else:
                v = x - mine.left + theirs.left
                ray = shapely.LineString([(v, theirs.top - 0.2), (v, theirs.top - reach)])
            for k in other.tree.query(ray, predicate="intersects").tolist():
                met = shapely.intersection(other.lines[k], ray)
                if met.geom_type == "Point":
                    found.append((theirs.left - met.x, 0.0) if sideways else (0.0, theirs.top - met.y))
        return np.array(found).reshape(-1, 2)

    def agreement(self, other: Borders, sideways: bool, offset: Any) -> tuple[int, int]:
        """How many lines that end at the edges between two pages go on in the other page, and how many do not."""
        mine, theirs = self.frame, other.frame
        base = (mine.right - theirs.left, mine.top - theirs.top) if sideways else (
            mine.left - theirs.left, mine.bottom - theirs.top
        )  # fmt: skip
        dx, dy = base[0] + float(offset[0]), base[1] + float(offset[1])
        sides = ("right", "left") if sideways else ("bottom", "top")
        good = bad = 0
        for points, tree, sign in ((self.cuts[sides[0]], other.tree, -1), (other.cuts[sides[1]], self.tree, 1)):
            if not points:
                continue
            spots = shapely.points(np.array(points) + np.array([sign * dx, sign * dy]))
            hit: Any = np.unique(tree.query(spots, predicate="dwithin", distance=GOES_ON)[0]) if len(tree) else []
            good += len(hit)
            bad += len(points) - len(hit)
        return good, bad
