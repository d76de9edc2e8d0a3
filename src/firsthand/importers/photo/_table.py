"""Which parts of the picture are not the table: the colour of the table is followed over its whole breadth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firsthand.importers.photo._detect import Floats, Image

__all__ = ["Mask", "Region", "Small", "cut_off", "not_table", "small_of"]

Mask = NDArray[np.bool_]

CELL = 1.5
"""Side of a pixel of the small picture, mm."""
SIGNIFICANT = 4.5
"""Standard deviations of the table's own scatter by which something else differs."""
LEAST_AREA = 2500.0
"""Smaller things are no pieces, mm²."""
SHARE = 0.04
"""Things smaller than this share of the largest are left out: pins, scissors, tapes."""
TOUCHING, SHEET = 0.3, 62_000.0
"""What borders on sheets with more of its outline than this and is smaller than a sheet, mm², belongs to it: its card."""
CUT = 12.0
"""An outline that runs along a sheet or the end of what is seen for more, mm, is cut off."""
CALM = (0.35, 0.35, 0.35)
"""The least scatter that is believed, of lightness and the two colours (CIE L*a*b*)."""


@dataclass(frozen=True, slots=True, eq=False)
class Small:
    """A small picture: colours as lightness and two colours, where a piece may be, and mm for each pixel."""

    lab: NDArray[np.float32]
    free: Mask
    cell: float
    factor: int


@dataclass(frozen=True, slots=True, eq=False)
class Region:
    """Something that is not the table: its pixels in the small picture."""

    mask: Mask


def small_of(image: Image, mm_per_pixel: float, free: Mask) -> Small:
    """The picture at about a pixel for each 1.5 mm."""
    import cv2

    factor = max(1, round(CELL / mm_per_pixel))
    high, wide = image.shape[0] // factor, image.shape[1] // factor
    small = cv2.resize(image[: high * factor, : wide * factor], (wide, high), interpolation=cv2.INTER_AREA)
    lab = cv2.cvtColor(small.astype(np.float32) / 255, cv2.COLOR_BGR2Lab)
    share = cv2.resize(
        free[: high * factor, : wide * factor].astype(np.uint8) * 255, (wide, high), interpolation=cv2.INTER_AREA
    )
    return Small(np.asarray(lab, dtype=np.float32), share > 250, factor * mm_per_pixel, factor)


def not_table(small: Small) -> list[Region]:
    """Everything that is not the table, the largest first."""
    import cv2

    soft = np.asarray(cv2.GaussianBlur(small.lab, (0, 0), 1.0), dtype=np.float32)
    away = _away(soft, small)
    mask = ((away > SIGNIFICANT) & small.free).astype(np.uint8)
    opened = cv2.morphologyEx(mask, cv2.MORPH_OPEN, _disc(1))
    closed = cv2.morphologyEx(opened, cv2.MORPH_CLOSE, _disc(2))
    return _regions(np.asarray(closed, dtype=np.uint8), small)


def _away(soft: NDArray[np.float32], small: Small) -> NDArray[np.float32]:
    """How far each pixel is from the table's colour there, in standard deviations of the table."""
    use = _rim(small)
    for order, limit in ((1, 3.0), (2, 2.8), (2, 2.8)):
        table, scatter = _surface(soft, use, order)
        away = np.sqrt((((soft - table) / scatter) ** 2).sum(axis=2))
        use = small.free & (away < limit * np.sqrt(3) / np.sqrt(2))
        if use.sum() < 200:
            break
    return np.asarray(away, dtype=np.float32)


def _rim(small: Small) -> Mask:
    """Where the table is most likely bare: along the edge of what is seen, and round the sheets."""
    import cv2

    wide = max(2, round(14.0 / small.cell))
    inner = cv2.erode(small.free.astype(np.uint8), _disc(wide), borderType=cv2.BORDER_CONSTANT, borderValue=0)
    return np.asarray(small.free & (inner == 0), dtype=np.bool_)


def _surface(soft: NDArray[np.float32], use: Mask, order: int) -> tuple[NDArray[np.float32], Floats]:
    """A smooth surface through each colour of the table, robust, and the scatter about it."""
    high, wide = use.shape
    rows, columns = np.nonzero(use)
    if len(rows) > 20_000:
        keep = np.random.default_rng(1).choice(len(rows), 20_000, replace=False)
        rows, columns = rows[keep], columns[keep]

    def terms(r: NDArray[np.float32], c: NDArray[np.float32]) -> NDArray[np.float32]:
        x, y = c / wide * 2 - 1, r / high * 2 - 1
        powers = [x**i * y**j for i in range(order + 1) for j in range(order + 1 - i)]
        return np.stack(powers, axis=-1).astype(np.float32)

    design = terms(rows.astype(np.float32), columns.astype(np.float32)).astype(np.float64)
    ys, xs = np.mgrid[:high, :wide].astype(np.float32)
    whole = terms(ys, xs)
    table, scatter = np.empty_like(soft), np.empty(3)
    for k in range(3):
        values = soft[rows, columns, k].astype(np.float64)
        good = np.abs(values - np.median(values)) < 6 * max(CALM[k], _scatter(values - np.median(values)))
        for _ in range(6):
            solved = np.linalg.lstsq(design[good], values[good], rcond=None)[0]
            off = values - design @ solved
            spread = max(CALM[k], _scatter(off[good]))
            good = np.abs(off) < 2.5 * spread
        table[..., k] = whole @ solved.astype(np.float32)
        scatter[k] = spread
    return table, scatter


def _scatter(off: Floats) -> float:
    return 1.4826 * float(np.median(np.abs(off)))


def cut_off(small: Small, ring: Floats) -> bool:
    """Whether a closed line of pixels of the whole picture runs along a sheet, or along the end of what is seen."""
    import cv2

    blocked = ~small.free
    blocked[[0, -1], :] = True
    blocked[:, [0, -1]] = True
    near = cv2.dilate(blocked.astype(np.uint8), _disc(2)) > 0
    at = np.clip(np.floor(ring / small.factor).astype(int), 0, np.array(near.shape[::-1]) - 1)
    steps = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T) * small.cell / small.factor
    return float(steps[near[at[:, 1], at[:, 0]]].sum()) > CUT


def _unseen(small: Small) -> Mask:
    """What no photo shows: all that is blocked and reaches the edge of the picture; sheets lie within it."""
    import cv2

    blocked = ~small.free
    rim = np.zeros_like(blocked)
    rim[[0, -1], :] = True
    rim[:, [0, -1]] = True
    _, labels = cv2.connectedComponents(blocked.astype(np.uint8))
    outside = np.unique(labels[rim & blocked])
    return np.asarray(np.isin(labels, outside[outside > 0]) | rim, dtype=np.bool_)


def _regions(mask: NDArray[np.uint8], small: Small) -> list[Region]:
    import cv2

    unseen = _unseen(small)
    near_sheet = cv2.dilate((~small.free & ~unseen).astype(np.uint8), _disc(2)) > 0
    near_end = cv2.dilate(unseen.astype(np.uint8), _disc(2)) > 0
    contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    found = []
    for contour in contours:
        if cv2.contourArea(contour) * small.cell**2 < LEAST_AREA:
            continue
        at = contour.reshape(-1, 2)
        sheets = float(near_sheet[at[:, 1], at[:, 0]].mean())
        end = float(near_end[at[:, 1], at[:, 0]].mean())
        rim_of_sheet = sheets > TOUCHING and cv2.contourArea(contour) * small.cell**2 < SHEET
        if rim_of_sheet or end > 0.35:
            continue
        filled = np.zeros_like(mask)
        cv2.drawContours(filled, [contour], -1, 1, cv2.FILLED)
        found.append(Region(filled.astype(bool)))
    found.sort(key=lambda region: -int(region.mask.sum()))
    return [one for one in found if one.mask.sum() >= SHARE * found[0].mask.sum()]


def _disc(radius: int) -> NDArray[np.uint8]:
    import cv2

    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * radius + 1, 2 * radius + 1)), dtype=np.uint8)
