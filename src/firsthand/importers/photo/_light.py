"""Photos of one table made equally light: where two show the same place, they shall show it alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from firsthand.importers.photo._detect import Floats, Image
from firsthand.importers.photo._plane import Plane

__all__ = ["even_light"]

CELL = 16
"""Photos are compared at one pixel for so many."""
DARKEST = 12.0
"""What is darker is too dark to compare, of 255."""
SPREAD = 0.25
"""Logarithms of lightness that differ by more belong to places that only one of the photos sees rightly: gloss, a hand."""


def even_light(images: Sequence[Image], planes: Sequence[Plane], grid: Floats) -> Iterator[Image]:
    """The photos one by one, each brightened as a whole and towards its corners, so that they agree where they overlap.

    Parameters
    ----------
    images, planes
        The photos.
    grid
        Places on the table at which they are compared, mm, shape (n, 2).
    """
    import cv2

    count = len(images)
    if count < 2:
        yield from images
        return
    small = [
        cv2.resize(image, None, fx=1 / CELL, fy=1 / CELL, interpolation=cv2.INTER_AREA).astype(np.float64) for image in images
    ]
    seen, values, radius = [], [], []
    for plane, reduced in zip(planes, small, strict=True):
        at, there = plane.to_photo(grid)
        cell = np.clip(np.floor(np.where(there[:, None], at, 0) / CELL).astype(int), 0, np.array(reduced.shape[1::-1]) - 1)
        read = reduced[cell[:, 1], cell[:, 0]]
        seen.append(there & (read.min(axis=1) > DARKEST) & (read.max(axis=1) < 250))
        values.append(np.log(np.maximum(read, 1.0)))
        radius.append(_radius(at, plane.size))
    rows: list[Floats] = []
    gaps: list[Floats] = []
    for a in range(count):
        for b in range(a + 1, count):
            both = seen[a] & seen[b]
            gap = (values[a] - values[b])[both]
            row = np.zeros((int(both.sum()), count + 2))
            row[:, a], row[:, b] = 1.0, -1.0
            row[:, count] = radius[a][both] - radius[b][both]
            row[:, count + 1] = radius[a][both] ** 2 - radius[b][both] ** 2
            rows.append(row)
            gaps.append(gap)
    design, wanted = np.vstack(rows), np.vstack(gaps)
    if len(design) < 3 * (count + 2):
        yield from images
        return
    solved = _solved(design, wanted, count)
    for k, image in enumerate(images):
        yield _lit(image, solved, k, count)


def _solved(design: Floats, wanted: Floats, count: int) -> Floats:
    """Brightness of each photo by colour, and how it falls off; what disagrees much counts no more."""
    keep = np.ones(len(design), dtype=bool)
    hold = np.zeros((count + 2, count + 2))
    hold[:count, :count] = np.eye(count) * 0.5
    hold[count:, count:] = np.eye(2) * 2.0
    solved = np.zeros((count + 2, 3))
    for limit in (SPREAD, SPREAD / 2, SPREAD / 3):
        off = np.abs(wanted - design @ solved).max(axis=1)
        keep = off < limit + float(np.median(off))
        whole = np.vstack([design[keep], hold])
        solved = np.linalg.lstsq(whole, np.vstack([wanted[keep], np.zeros((count + 2, 3))]), rcond=None)[0]
    return np.asarray(solved, dtype=np.float64)


def _radius(at: Floats, size: tuple[int, int]) -> Floats:
    """Square of the distance from the picture's middle, 1 in its corners."""
    wide, high = size
    return np.asarray(((at[:, 0] - wide / 2) ** 2 + (at[:, 1] - high / 2) ** 2) / ((wide**2 + high**2) / 4), dtype=np.float64)


def _lit(image: Image, solved: Floats, number: int, count: int) -> Image:
    import cv2

    high, wide = image.shape[:2]
    xs, ys = np.arange(CELL // 2, wide + CELL, CELL), np.arange(CELL // 2, high + CELL, CELL)
    gx, gy = np.meshgrid(xs, ys)
    radius = _radius(np.column_stack([gx.ravel(), gy.ravel()]).astype(np.float64), (wide, high)).reshape(gx.shape)
    made = np.empty_like(image)
    for k in range(3):
        gain = np.exp(-(solved[number, k] + solved[count, k] * radius + solved[count + 1, k] * radius**2)).astype(np.float32)
        whole: NDArray[np.float32] = np.asarray(
            cv2.resize(gain, (len(xs) * CELL, len(ys) * CELL), interpolation=cv2.INTER_LINEAR), dtype=np.float32
        )
        made[..., k] = cv2.multiply(image[..., k], np.ascontiguousarray(whole[:high, :wide]), dtype=cv2.CV_8U)
    return made
