"""The edge of one piece to a fraction of a pixel: how much of each pixel is piece and how much is table, by colour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from firsthand.importers.photo._detect import Floats, Image
from firsthand.importers.photo._table import Mask

__all__ = ["Edge", "Window", "edge_of", "window_of"]

BAND = 7.0
"""The edge is looked for so far from where the mask has it, mm."""
OFF = 3.0
"""So far from the edge colours are those of the piece or the table alone, mm."""
REACH = 9.0
"""Colours are taken from so far round, mm."""
SMOOTH = 0.12
"""The share of piece in a pixel may scatter by so much before it is smoothed more."""
ROUGHEST = 2.0
"""It is smoothed by no more, mm."""


@dataclass(frozen=True, slots=True, eq=False)
class Window:
    """A part of the picture with one piece in it: its colours, mask, where a piece may be, and its upper left pixel."""

    lab: NDArray[np.float32]
    mask: Mask
    free: Mask
    left: int
    top: int
    pixel: float


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """An edge.

    Parameters
    ----------
    ring
        Points of it in pixels of the whole picture, column and row, shape (n, 2).
    strength
        For each point by how many standard deviations the two sides differ.
    mask
        The piece in the window.
    noise
        Standard deviation of the edge's place, mm.
    """

    ring: Floats
    strength: Floats
    mask: Mask
    noise: float


def window_of(image: Image, mask: Mask, free: Mask, factor: int, pixel: float) -> Window:
    """The part of the picture round a mask of the small picture."""
    import cv2

    rows, columns = np.nonzero(mask)
    more = round(16.0 / pixel)
    top, bottom = max(0, rows.min() * factor - more), min(image.shape[0], (rows.max() + 1) * factor + more)
    left, right = max(0, columns.min() * factor - more), min(image.shape[1], (columns.max() + 1) * factor + more)
    part = image[top:bottom, left:right]
    lab = np.asarray(cv2.cvtColor(np.multiply(part, 1 / 255, dtype=np.float32), cv2.COLOR_BGR2Lab), dtype=np.float32)
    large = cv2.resize(
        mask.astype(np.uint8) * 255, (mask.shape[1] * factor, mask.shape[0] * factor), interpolation=cv2.INTER_LINEAR
    )
    whole = np.zeros(image.shape[:2], dtype=bool)
    whole[: large.shape[0], : large.shape[1]] = large[: image.shape[0], : image.shape[1]] > 127
    return Window(lab, whole[top:bottom, left:right], free[top:bottom, left:right], int(left), int(top), pixel)


def edge_of(window: Window) -> Edge | None:
    """The edge of the piece that the window's mask shows roughly; None if there is none."""
    mask = window.mask
    band, reach = BAND, REACH
    for turn in range(3):
        share = _share(window, mask, reach, band)
        if share is None:
            return None
        values, raw, noise = share
        largest = _largest(values > 0.5)
        if largest is None:
            return None
        found = largest
        if turn < 2:
            mask, band, reach = found, BAND * (0.7 if turn == 0 else 0.5), REACH * (0.8 if turn == 0 else 0.6)
    ring = _ring(values, found)
    if ring is None:
        return None
    strength, slope = _strength(raw, ring, noise, window.pixel)
    place = noise / max(slope, 1e-3) * window.pixel
    return Edge(ring + np.array([window.left, window.top]), strength, found, place)


def _share(
    window: Window, mask: Mask, reach: float, band: float
) -> tuple[NDArray[np.float32], NDArray[np.float32], float] | None:
    """How much of each pixel is piece: 1 well within the mask, 0 well outside; the same by colour alone; and its scatter."""
    import cv2

    pixel = window.pixel
    inward = cv2.distanceTransform(mask.astype(np.uint8), cv2.DIST_L2, 3) * pixel
    outward = cv2.distanceTransform((~mask).astype(np.uint8), cv2.DIST_L2, 3) * pixel
    piece = (inward > OFF) & (inward < OFF + 4 * reach)
    table = (outward > OFF) & (outward < OFF + 4 * reach) & window.free
    if piece.sum() < 50 or table.sum() < 50:
        return None
    across = np.zeros(mask.shape, dtype=np.float32)
    size = np.full(mask.shape, 1e-4, dtype=np.float32)
    ours, theirs = _Around(piece, reach / pixel), _Around(table, reach / pixel)
    for k in range(3):  # colour by colour, for a whole photo has no room for all at once
        colour = np.ascontiguousarray(window.lab[..., k])
        own, other = ours.mean(colour), theirs.mean(colour)
        weight = 1 / (_variance(colour, own, piece) + _variance(colour, other, table))
        own -= other
        colour -= other
        colour *= own
        across += weight * colour
        own *= own
        size += weight * own
    values = across / size
    near = (inward <= band) & (outward <= band)
    sides = [values[piece & (inward < 3 * OFF)], values[table & (outward < 3 * OFF)]]
    scatter = max(_scatter(side) for side in sides if len(side))
    sigma = float(np.clip(0.6 * scatter / SMOOTH / 2, 0.6, ROUGHEST / pixel))
    values = np.where(window.free, values, 0.0)
    raw = np.asarray(cv2.GaussianBlur(np.clip(values, -1.0, 2.0).astype(np.float32), (0, 0), sigma), dtype=np.float32)
    sides = [raw[piece & (inward < 3 * OFF)], raw[table & (outward < 3 * OFF)]]
    noise = max(_scatter(side) for side in sides if len(side))
    values = np.where(near, raw, mask.astype(np.float32))
    return np.asarray(values, dtype=np.float32), raw, noise


class _Around:
    """The mean of the marked pixels round every pixel; far neighbours count where there are no near ones."""

    def __init__(self, where: Mask, sigma: float) -> None:
        import cv2

        self._down = max(1, int(sigma / 3))
        self._size = max(1, where.shape[1] // self._down), max(1, where.shape[0] // self._down)
        self._weight, self._sigma = where.astype(np.float32), sigma
        self._total = self._spread(np.asarray(cv2.resize(self._weight, self._size, interpolation=cv2.INTER_AREA)))

    def mean(self, colour: NDArray[np.float32]) -> NDArray[np.float32]:
        """Of one colour."""
        import cv2

        small = self._spread(np.asarray(cv2.resize(colour * self._weight, self._size, interpolation=cv2.INTER_AREA)))
        mean = small / np.maximum(self._total, 1e-12)
        large = cv2.resize(mean, (colour.shape[1], colour.shape[0]), interpolation=cv2.INTER_LINEAR)
        return np.asarray(large, dtype=np.float32)

    def _spread(self, small: NDArray[Any]) -> NDArray[np.float32]:
        import cv2

        made = np.zeros(small.shape, dtype=np.float32)
        for wider, trust in ((1.0, 1.0), (4.0, 1e-2), (20.0, 1e-5)):
            made = made + trust * cv2.GaussianBlur(small, (0, 0), max(0.8, self._sigma / self._down * wider))
        return np.asarray(made, dtype=np.float32)


def _variance(colour: NDArray[np.float32], mean: NDArray[np.float32], where: Mask) -> float:
    off = colour[where] - mean[where]
    return max(float(1.4826 * np.median(np.abs(off))) ** 2, 0.15)


def _scatter(values: NDArray[np.float32]) -> float:
    return 1.4826 * float(np.median(np.abs(values - np.median(values))))


def _largest(mask: Mask) -> Mask | None:
    """The largest connected part, without holes."""
    import cv2

    contours, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    if not contours:
        return None
    filled = np.zeros(mask.shape, dtype=np.uint8)
    cv2.drawContours(filled, [max(contours, key=cv2.contourArea)], -1, 1, cv2.FILLED)
    return filled.astype(bool)


def _ring(values: NDArray[np.float32], mask: Mask) -> Floats | None:
    """Where half a pixel is piece, round the largest part."""
    import cv2
    from skimage.measure import find_contours

    near = cv2.dilate(mask.astype(np.uint8), np.ones((3, 3), np.uint8))
    only = np.where(near > 0, values, np.minimum(values, 0.4))
    hole = cv2.erode(mask.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    padded = np.pad(np.where(hole, np.maximum(only, 0.6), only), 1)
    rings: list[Floats] = find_contours(padded, 0.5)  # type: ignore[no-untyped-call]
    found = [ring for ring in rings if len(ring) > 20 and np.allclose(ring[0], ring[-1])]
    if not found:
        return None
    longest = max(found, key=len)
    return np.asarray(longest[:-1, ::-1] - 1.0, dtype=np.float64)


def _strength(values: NDArray[np.float32], ring: Floats, noise: float, pixel: float) -> tuple[Floats, float]:
    """For each point of the ring how surely its two sides differ; and the usual slope of the share across it, per pixel."""
    import cv2

    ahead, behind = np.roll(ring, -4, axis=0), np.roll(ring, 4, axis=0)
    along = ahead - behind
    normal = np.column_stack([along[:, 1], -along[:, 0]]) / np.maximum(np.hypot(*along.T), 1e-9)[:, None]

    def at(far: float) -> Floats:
        places = (ring + normal * far).astype(np.float32)
        read = cv2.remap(values, places[:, :1], places[:, 1:], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        return np.asarray(read, dtype=np.float64).ravel()

    far = [1.2 / pixel, 2.0 / pixel, 2.8 / pixel]
    gap = np.mean([at(f) - at(-f) for f in far], axis=0)
    sign = np.sign(np.median(gap)) or 1.0
    steep = float(np.median(np.abs(at(0.5) - at(-0.5))))
    wide = max(1, round(6.0 / pixel))
    smooth = np.convolve(np.concatenate([gap[-wide:], gap, gap[:wide]]), np.ones(2 * wide + 1) / (2 * wide + 1), "valid")
    return np.asarray(sign * smooth / max(noise, 0.02), dtype=np.float64), steep
