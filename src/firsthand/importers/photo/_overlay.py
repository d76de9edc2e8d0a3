"""What was found, drawn over the table from above."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from firsthand.geometry import Path, Point
from firsthand.importers.model import Meaning, Proposal
from firsthand.importers.photo._detect import Floats, Image
from firsthand.importers.photo._rectify import Rectified

__all__ = ["drawn_over"]

OUTLINE = (40, 30, 220)
CORNER = (20, 150, 250)
KINDS = {Meaning.GRAIN: (60, 160, 20), Meaning.STITCHING: (210, 90, 20), Meaning.DART: (190, 40, 190)}
OTHER = (150, 130, 0)
"""Blue, green, red."""


def drawn_over(table: Rectified, proposals: Sequence[Proposal], corners: Sequence[Sequence[Point]]) -> Image:
    """The table with outlines (red, corners ringed), grain (green), stitching lines (blue), darts (violet), other lines."""
    import cv2

    made = table.image.copy()
    pixel, thick = table.mm_per_pixel, max(1, round(0.5 / table.mm_per_pixel))

    def places(points: Sequence[Point]) -> Floats:
        return np.array([((p.x - table.origin.x) / pixel, (table.origin.y - p.y) / pixel) for p in points])

    def line(path: Path, colour: tuple[int, int, int]) -> None:
        shown = np.round(places(path.flattened(0.1)) * 16).astype(np.int32)
        cv2.polylines(made, [shown], False, colour, thick, cv2.LINE_AA, 4)

    for proposal, own in zip(proposals, corners, strict=True):
        line(proposal.outline, OUTLINE)
        for found in proposal.lines:
            line(found.path, KINDS.get(found.kind, OTHER))
        for x, y in np.round(places(own)).astype(int) if own else ():
            cv2.circle(made, (int(x), int(y)), max(4, round(4 / pixel)), CORNER, thick, cv2.LINE_AA)
        box = proposal.outline.bounds
        x, y = places([Point((box.left + box.right) / 2, (box.bottom + box.top) / 2)])[0]
        size = max(0.5, 0.5 / pixel)
        cv2.putText(
            made, proposal.name, (math.floor(x), math.floor(y)), cv2.FONT_HERSHEY_SIMPLEX, size, OUTLINE, thick, cv2.LINE_AA
        )
    return made
