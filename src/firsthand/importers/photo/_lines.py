"""Printed lines within a piece, and what they probably mean."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from firsthand.errors import GeometryError
from firsthand.geometry import Path, Point
from firsthand.importers.fitting import fit_line
from firsthand.importers.model import FoundLine, Meaning
from firsthand.importers.photo._detect import Floats, Image
from firsthand.importers.photo._strokes import Ink, Stroke, ink_in, strokes_of

__all__ = ["lines_in"]

INSIDE = 2.5
"""What lies nearer to the outline is the edge itself or the line it was cut along, mm."""
SHORTEST = 25.0
"""Shorter lines are left to the eye, mm: lettering, notches, dots."""
TOLERANCE = 0.3
"""How far points of a printed line lie from a fair curve in the mean, mm."""
ROUGH = 0.9
"""Rows of letters and stains stray more, mm."""
STRAIGHT = 0.7
"""A straight line strays by no more, mm."""
ALLOWANCE = (4.0, 45.0)
"""Between stitching line and outline, mm (usual allowances and hems; common practice)."""
EVEN = 1.2
"""A line that keeps its distance from the outline to so many mm runs along it."""
TIP = 9.0
"""The two lines of a dart meet so near, mm."""
OPEN = math.radians(70)
"""And open by less."""


@dataclass(frozen=True, slots=True, eq=False)
class _Line:
    stroke: Stroke
    path: Path
    points: Floats
    straight: bool


def lines_in(image: Image, mm_per_pixel: float, outline: Path) -> tuple[FoundLine, ...]:
    """Printed lines within an outline in a picture from above.

    Parameters
    ----------
    image
        Colour, 8 bits, blue first.
    mm_per_pixel
        True millimetres.
    outline
        As :func:`outline_of` gives it.
    """
    import cv2

    box, pixel = outline.bounds, mm_per_pixel
    left, top = max(0, math.floor(box.left / pixel) - 4), max(0, math.floor(-box.top / pixel) - 4)
    right, bottom = math.ceil(box.right / pixel) + 4, math.ceil(-box.bottom / pixel) + 4
    part = image[top:bottom, left:right]
    if min(part.shape[:2]) < 16:
        return ()
    light = np.multiply(cv2.cvtColor(part, cv2.COLOR_BGR2Lab)[..., 0], 100 / 255, dtype=np.float32)
    ring = np.array([(p.x, p.y) for p in outline.flattened(0.1)])
    inside = np.zeros(part.shape[:2], dtype=np.uint8)
    cv2.fillPoly(inside, [np.round(_in_pixels(ring, pixel) - (left, top)).astype(np.int32)], 1)
    off = cv2.distanceTransform(inside, cv2.DIST_L2, 5) * pixel
    ink = ink_in(light, off > INSIDE, pixel)
    if ink is None:
        return ()
    lines = [line for stroke in strokes_of(ink, SHORTEST) if (line := _line(stroke, pixel, left, top)) is not None]
    return _meant(lines, ink, _dense(ring))


def _in_pixels(points: Floats, pixel: float) -> Floats:
    return np.column_stack([points[:, 0] / pixel, -points[:, 1] / pixel])


def _line(stroke: Stroke, pixel: float, left: int, top: int) -> _Line | None:
    places = np.column_stack([(stroke.points[:, 0] + left) * pixel, -(stroke.points[:, 1] + top) * pixel])
    if stroke.closed:
        places = np.vstack([places, places[:1]])
    try:
        path = fit_line([Point(float(x), float(y)) for x, y in places[:: max(1, round(0.4 / pixel))]], tolerance=TOLERANCE)
    except (GeometryError, ValueError):
        return None
    dense = _dense(np.array([(p.x, p.y) for p in path.flattened(0.05)]))
    if float(np.sqrt(np.mean(cKDTree(dense).query(places)[0] ** 2))) > ROUGH:
        return None
    chord = places[-1] - places[0]
    far = float(np.hypot(*chord))
    offsets = np.abs((places[:, 0] - places[0, 0]) * chord[1] - (places[:, 1] - places[0, 1]) * chord[0]) / max(far, 1e-9)
    straight = far > SHORTEST and float(np.percentile(offsets, 97)) < STRAIGHT + 0.001 * far
    return _Line(stroke, path, places, straight)


def _dense(ring: Floats) -> Floats:
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))])
    at = np.linspace(0.0, along[-1], max(8, round(along[-1] / 0.4)))
    return np.column_stack([np.interp(at, along, ring[:, 0]), np.interp(at, along, ring[:, 1])])


def _meant(lines: Sequence[_Line], ink: Ink, ring: Floats) -> tuple[FoundLine, ...]:
    tree = cKDTree(ring)
    darts = _darts(lines, tree)
    found = []
    for k, line in enumerate(lines):
        if k in darts:
            kind = Meaning.DART
        elif line.straight and _arrowed(line, ink):
            kind = Meaning.GRAIN
        elif _runs_along(line, tree):
            kind = Meaning.STITCHING
        else:
            kind = Meaning.INNER
        path = Path.line(line.path.start, line.path.end) if line.straight else line.path
        found.append(FoundLine(kind, path))
    return tuple(sorted(found, key=lambda one: -one.path.length))


def _runs_along(line: _Line, tree: cKDTree) -> bool:
    """Whether a line keeps its distance from the outline, as a stitching line does, edge by edge."""
    away = tree.query(line.points)[0]
    if line.stroke.closed:
        return bool(np.percentile(away, 90) < ALLOWANCE[1] and np.percentile(away, 10) > ALLOWANCE[0])
    middle = away[len(away) // 10 : -max(1, len(away) // 10)]
    low, high = np.percentile(middle, [5, 95])
    return bool(
        ALLOWANCE[0] < low and high < ALLOWANCE[1] and high - low < EVEN and line.path.length > 2 * float(np.median(away))
    )


def _darts(lines: Sequence[_Line], tree: cKDTree) -> set[int]:
    """Pairs of lines that meet in a tip and open towards the outline."""
    found: set[int] = set()
    for a, one in enumerate(lines):
        for b in range(a + 1, len(lines)):
            two = lines[b]
            long, short = max(one.path.length, two.path.length), min(one.path.length, two.path.length)
            if one.stroke.closed or two.stroke.closed or short < 0.8 * long or long > 450:
                continue
            ends = [(p, q) for p in (one.path.start, one.path.end) for q in (two.path.start, two.path.end)]
            tip, other = min(ends, key=lambda pair: pair[0].distance(pair[1]))
            if tip.distance(other) > TIP:
                continue
            far_one = one.path.end if tip == one.path.start else one.path.start
            far_two = two.path.end if other == two.path.start else two.path.start
            u, v = far_one - tip, far_two - other
            turn = abs(math.atan2(u.x * v.y - u.y * v.x, u.x * v.x + u.y * v.y))
            reach = max(float(tree.query((p.x, p.y))[0]) for p in (far_one, far_two))
            if math.radians(3) < turn < OPEN and reach < ALLOWANCE[1]:
                found |= {a, b}
    return found


def _arrowed(line: _Line, ink: Ink) -> bool:
    """Whether one end of a straight line has barbs: ink on both sides that lies further off the further back it is."""
    return any(_barbs(points, ink) for points in (line.stroke.points, line.stroke.points[::-1]))


def _barbs(points: Floats, ink: Ink) -> bool:
    import cv2

    pixel = ink.pixel
    tip, back = points[-1], points[max(0, len(points) - 1 - round(30.0 / pixel))]
    unit = (tip - back) / max(float(np.hypot(*(tip - back))), 1e-9)
    side = np.array([-unit[1], unit[0]])
    along, off = np.arange(-16.0, 0.1, 0.4), np.arange(1.4, 7.1, 0.4)
    areas = []
    for sign in (1, -1):
        places = (tip + (along[:, None, None] * unit + sign * off[None, :, None] * side) / pixel).astype(np.float32)
        read = cv2.remap(ink.light, places[..., 0], places[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        rows, columns = np.nonzero(read < float(np.percentile(read, 75)) - 0.45 * ink.depth)
        back_by, off_by = -along[rows], off[columns]
        if len(rows) < 8 or float(np.var(off_by)) < 0.1:
            return False
        if float(np.mean((back_by - back_by.mean()) * (off_by - off_by.mean()))) < 0.4 * float(np.var(off_by)):
            return False
        areas.append(len(rows))
    return min(areas) > 0.35 * max(areas)
