"""The outlines of the pieces in the picture from above, and how far they can be trusted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from firsthand.errors import BadInput, GeometryError, Problem
from firsthand.findings import Finding, Severity, kind
from firsthand.geometry import Path, Point
from firsthand.importers.fitting import fit_outline
from firsthand.importers.photo._detect import Floats, Image
from firsthand.importers.photo._edge import Edge, edge_of, window_of
from firsthand.importers.photo._snap import dark_line_along, edge_strength, snapped, tapped_ring
from firsthand.importers.photo._table import Mask, cut_off, not_table, small_of
from firsthand.units import said

__all__ = ["FoundOutline", "outline_of", "outlines_of"]

UNSEEN = kind(
    "photo-edge-unseen",
    Severity.DOUBT,
    "Along a part of the outline the piece cannot be told from the table by its colour, or two ways of finding the edge do not "
    "agree. Tap the corners of the piece, lay it on something darker, or draw round it.",
)
CUT_OFF = kind(
    "photo-cut-off",
    Severity.DOUBT,
    "The piece reaches under a reference sheet or beyond what the photos show, so a part of its outline is missing.",
)
ON_A_LINE = kind(
    "photo-on-a-line",
    Severity.DOUBT,
    "The outline that was found is a printed line with the same colour on both sides of it. The paper may go beyond it, where "
    "it cannot be told from the table: tap the corners of the paper, or take the line for what it is.",
)
NO_PIECE = "Say where its corners are with --corners, or lay it on something of another colour."

TOLERANCE = 0.22
"""How far points of an outline lie from a fair curve in the mean, mm, in a good photo."""
SURE = 5.0
"""Standard deviations by which two sides of an edge must differ."""
AGREE = 1.5
"""Two ways of finding the edge may differ by so much, mm."""
LITTLE = 0.03
"""A share of the outline that may be unsure: notches, tape, a pin."""
ALL_ROUND = 0.85
"""A printed line runs along so much of the edge, or it is a shadow."""
NEAR_TAP = 9.0
"""A corner further from every tap is none, mm, where the edge is faint."""
LIKELY = 2.0
"""From a standard deviation to what 19 of 20 places keep to."""


@dataclass(frozen=True, slots=True)
class FoundOutline:
    """An outline found in the picture.

    Parameters
    ----------
    path
        Closed, counter-clockwise, mm, x to the right and y up from the middle of the picture's first pixel.
    corners
        Its corners.
    accuracy_mm
        How far its edge may be off (19 of 20 places are nearer), the lens and the tape not counted.
    trust
        From 0 to 1: the share of it along which piece and table can be told apart and two ways of finding it agree.
    findings
        What was noticed.
    """

    path: Path
    corners: tuple[Point, ...]
    accuracy_mm: float
    trust: float
    findings: tuple[Finding, ...] = ()


def outline_of(image: Image, mm_per_pixel: float, *, corners: Sequence[Point] = (), free: Mask | None = None) -> FoundOutline:
    """The outline of the largest piece in a picture from above, or of the one whose corners were tapped.

    Parameters
    ----------
    image
        Colour, 8 bits, blue first.
    mm_per_pixel
        True millimetres.
    corners
        Corners of the piece as somebody tapped them, in order, within about 5 mm; more points along a curve help. Coordinates
        as of the outline.
    free
        Where a piece may be: not on a reference sheet, and seen by a photo.

    Raises
    ------
    BadInput
        If nothing but the table is seen, or the corners have no sense.
    """
    free = _checked(image, mm_per_pixel, free)
    if corners:
        return _tapped(image, mm_per_pixel, corners, free)
    return outlines_of(image, mm_per_pixel, free=free)[0]


def outlines_of(image: Image, mm_per_pixel: float, *, free: Mask | None = None) -> tuple[FoundOutline, ...]:
    """The outlines of all pieces in a picture from above, the largest first; see :func:`outline_of`.

    Raises
    ------
    BadInput
        If nothing but the table is seen.
    """
    free = _checked(image, mm_per_pixel, free)
    small = small_of(image, mm_per_pixel, free)
    found = []
    for region in not_table(small):
        window = window_of(image, region.mask, free, small.factor, mm_per_pixel)
        edge = edge_of(window)
        if edge is not None:
            outline = _fitted(image, mm_per_pixel, free, edge)
            if outline is None:
                continue
            if cut_off(small, edge.ring):
                message = "A part of the outline lies under a sheet or beyond what the photos show."
                note = CUT_OFF(message, remedy="Lay the sheets beside the piece, and take a photo with all of it, or two.")
                outline = replace(outline, findings=(*outline.findings, note), trust=min(outline.trust, 0.5))
            found.append(outline)
    if not found:
        raise BadInput([Problem("", "", "nothing but the table", "a piece that differs from the table", NO_PIECE)])
    return tuple(found)


def _checked(image: Image, mm_per_pixel: float, free: Mask | None) -> Mask:
    if not (math.isfinite(mm_per_pixel) and 0.02 <= mm_per_pixel <= 10):
        raise GeometryError(f"a pixel of {mm_per_pixel} mm")
    if image.ndim != 3 or image.shape[2] != 3 or min(image.shape[:2]) < 32:
        raise GeometryError("a colour picture of at least 32 pixels each way is needed")
    return np.ones(image.shape[:2], dtype=bool) if free is None else free


def _fitted(image: Image, pixel: float, free: Mask, edge: Edge, *, tapped: bool = False) -> FoundOutline | None:
    doubtful, why = _doubtful(image, pixel, free, edge)
    noise = max(TOLERANCE, 0.3 * pixel, min(1.0, edge.noise))
    line = dark_line_along(image, edge.ring, pixel)
    ring = line.ring if line.share > ALL_ROUND else edge.ring  # cut along a printed line: the line's middle is meant
    points = [Point(float(x) * pixel, -float(y) * pixel) for x, y in ring]
    try:
        fitted = fit_outline(points, tolerance=noise)
    except GeometryError:
        return None
    trust = 1.0 - float(doubtful.mean())
    findings = (_unseen(edge.ring, doubtful, pixel, why, tapped),) if trust < 1 - LITTLE else ()
    if line.alike > 0.5:
        message = "The outline found is a printed line; the paper may go on beyond it."
        findings = (*findings, ON_A_LINE(message, remedy="Tap the corners of the paper, or lay it on a darker table."))
        trust = min(trust, 0.5)
    accuracy = LIKELY * math.hypot(0.25 * pixel, min(noise, fitted.residual) / 2)
    if findings:
        accuracy = max(accuracy, AGREE)
    return FoundOutline(fitted.path, fitted.corners, accuracy, trust, findings)


def _doubtful(image: Image, pixel: float, free: Mask, edge: Edge) -> tuple[NDArray[np.bool_], list[str]]:
    """Where along the ring the edge is not to be trusted."""
    rows, columns = edge.ring[:, 1], edge.ring[:, 0]
    more = round(12.0 / pixel)
    top, bottom = max(0, int(rows.min()) - more), int(rows.max()) + more
    left, right = max(0, int(columns.min()) - more), int(columns.max()) + more
    part = image[top:bottom, left:right]
    strength = edge_strength(part, pixel, free[top:bottom, left:right])
    other = snapped(strength, edge.ring - (left, top), pixel)
    away = cKDTree(other.ring + np.array([left, top])).query(edge.ring)[0] * pixel
    faint = edge.strength < SURE
    apart = _smoothed(away, round(4.0 / pixel)) > AGREE
    blocked = ~free[
        np.clip(np.round(rows).astype(int), 0, free.shape[0] - 1), np.clip(np.round(columns).astype(int), 0, free.shape[1] - 1)
    ]
    why = [
        f"the two sides differ by {float(np.median(edge.strength)):.1f} standard deviations, by less than {SURE:.0f} along "
        f"{100 * float(faint.mean()):.0f} %",
        f"colour and edge strength put the edge {float(np.sqrt(np.mean(away**2))):.2f} mm apart, by more than {AGREE} mm along "
        f"{100 * float(apart.mean()):.0f} %",
    ]
    return faint | apart | blocked, why


def _smoothed(values: Floats, wide: int) -> Floats:
    wide = max(1, wide)
    ends = np.concatenate([values[-wide:], values, values[:wide]])
    return np.convolve(ends, np.ones(2 * wide + 1) / (2 * wide + 1), "valid")


def _unseen(ring: Floats, doubtful: NDArray[np.bool_], pixel: float, why: Sequence[str], tapped: bool) -> Finding:
    steps = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T) * pixel
    length = float(steps[doubtful].sum())
    message = f"The edge cannot be seen surely along {said(length)} of {said(float(steps.sum()))}."
    remedy = (
        "Look there before cutting; tap more points along it." if tapped else "Tap the corners, or lay it on a darker table."
    )
    return UNSEEN(message, remedy=remedy, why=why)


def _tapped(image: Image, pixel: float, corners: Sequence[Point], free: Mask) -> FoundOutline:
    taps = np.array([(p.x / pixel, -p.y / pixel) for p in corners], dtype=np.float64)
    wide, high = image.shape[1], image.shape[0]
    outside = (taps < 0).any() or (taps[:, 0] > wide - 1).any() or (taps[:, 1] > high - 1).any()
    if len(taps) < 3 or not np.isfinite(taps).all() or outside:
        found = f"{len(taps)} corners" if len(taps) < 3 else "a corner outside the picture"
        raise BadInput([Problem("", "corners", found, "three or more within the picture", "Tap them again, in order.")])
    strength = edge_strength(image, pixel, free)
    rough = snapped(strength, tapped_ring(strength, taps, pixel), pixel, far=3.0).ring
    edge = _by_colour(image, pixel, rough, free)
    if edge is not None:
        outline = _fitted(image, pixel, free, edge, tapped=True)
        if outline is not None and outline.trust > 1 - 4 * LITTLE:
            return outline
    last = snapped(strength, rough, pixel, far=4.0)
    faint = last.strength < 2.0
    points = [Point(float(x) * pixel, -float(y) * pixel) for x, y in last.ring]
    fitted = fit_outline(points, tolerance=max(0.4, 0.5 * pixel))
    near = [c for c in fitted.corners if any(c.distance(tap) < NEAR_TAP for tap in corners)]
    if len(near) < len(fitted.corners):  # corners that nobody tapped are places where another edge was followed
        fitted = fit_outline(points, tolerance=max(0.6, pixel), corners=near)
    trust = 1.0 - float(faint.mean())
    why = [f"edges are {float(np.median(last.strength)):.1f} times as strong as what lies beside them"]
    findings = (_unseen(last.ring, faint, pixel, why, True),) if trust < 1 - LITTLE else ()
    accuracy = LIKELY * math.hypot(0.5 * pixel, 0.4) if not findings else 2 * AGREE
    return FoundOutline(fitted.path, fitted.corners, accuracy, trust, findings)


def _by_colour(image: Image, pixel: float, ring: Floats, free: Mask) -> Edge | None:
    """The edge by the colours on the two sides of a rough outline; None where they lead away from it."""
    import cv2

    mask = np.zeros(image.shape[:2], dtype=np.uint8)
    cv2.fillPoly(mask, [np.round(ring).astype(np.int32)], 1)
    if not mask.any():
        return None
    edge = edge_of(window_of(image, mask.astype(bool), free, 1, pixel))
    if edge is None:
        return None
    away = cKDTree(ring).query(edge.ring)[0] * pixel
    return edge if float(np.percentile(away, 98)) < 3.0 else None
