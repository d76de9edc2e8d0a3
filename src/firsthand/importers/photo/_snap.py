"""Edges by their strength alone: along a line that is roughly known, or between corners that somebody tapped."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firsthand.importers.photo._detect import Floats, Image
from firsthand.importers.photo._table import Mask

__all__ = ["Along", "Snapped", "dark_line_along", "edge_strength", "snapped", "tapped_ring"]

SOFT = 0.8
"""The picture is smoothed by so much before edges are looked for, mm."""
STEP = 1.0
"""Between the places along the line, mm."""
ACROSS = 0.25
"""Between the places looked at across the line, mm."""
BEND = 0.35
"""What a step sideways costs, as a share of a usual edge."""
TAP = 6.0
"""A tapped corner is off by so much at most, mm."""
ROOM = (8.0, 0.3)
"""Between two tapped corners the edge strays from the straight by this many mm, and this share of their distance."""
LINED = 10.0
"""How much darker than both its sides a printed line is, of 255."""
CELL = 0.8
"""Side of a pixel where the way between two corners is looked for, mm."""


@dataclass(frozen=True, slots=True, eq=False)
class Snapped:
    """A closed line on the strongest edge: its points (pixels), and how strong it is there against the usual noise."""

    ring: Floats
    strength: Floats


def edge_strength(image: Image, pixel: float, free: Mask) -> NDArray[np.float32]:
    """How much the colour changes at each pixel, lightness and both colours together."""
    import cv2

    lab = cv2.cvtColor(np.multiply(image, 1 / 255, dtype=np.float32), cv2.COLOR_BGR2Lab)
    square = np.zeros(image.shape[:2], dtype=np.float32)
    for k in range(3):
        soft = cv2.GaussianBlur(lab[..., k], (0, 0), max(0.7, SOFT / pixel))
        square += cv2.Scharr(soft, cv2.CV_32F, 1, 0) ** 2
        square += cv2.Scharr(soft, cv2.CV_32F, 0, 1) ** 2
    strength = np.sqrt(square, out=square)
    strength /= 32
    blocked = cv2.dilate((~free).astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    strength[blocked] = 0.0
    return strength


def snapped(strength: NDArray[np.float32], ring: Floats, pixel: float, *, far: float = 5.0) -> Snapped:
    """The closed line of strongest edge within some mm of a ring of pixels."""
    import cv2

    even = _even(ring, STEP / pixel)
    wide = max(2, round(4.0 / STEP))
    smooth = np.mean([np.roll(even, k, axis=0) for k in range(-wide, wide + 1)], axis=0)
    along = np.roll(smooth, -2, axis=0) - np.roll(smooth, 2, axis=0)
    normal = np.column_stack([along[:, 1], -along[:, 0]]) / np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    steps = np.arange(-far, far + ACROSS / 2, ACROSS) / pixel
    places = (even[:, None, :] + normal[:, None, :] * steps[None, :, None]).astype(np.float32)
    shown = cv2.remap(strength, places[..., 0], places[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    read = np.asarray(shown, dtype=np.float32)
    usual = max(float(np.median(read.max(axis=1))), 1e-6)
    chosen = _best_way(np.minimum(read / usual, 1.5))
    peak = _parabola(read, chosen)
    rows = np.arange(len(even))
    moved = even + normal * ((chosen + peak) * ACROSS - far)[:, None] / pixel
    noise = float(np.median(read)) + 1e-6
    return Snapped(moved, (read[rows, chosen] / noise).astype(np.float64))


def _best_way(gain: NDArray[np.float32]) -> NDArray[np.intp]:
    """The closed way along the rows with the most gain and few steps sideways."""
    count, wide = gain.shape
    turned = np.vstack([gain, gain])
    best = np.empty_like(turned)
    came = np.zeros(turned.shape, dtype=np.int8)
    best[0] = turned[0]
    shifts = (-2, -1, 0, 1, 2)
    for k in range(1, len(turned)):
        options = np.full((len(shifts), wide), -np.inf, dtype=np.float32)
        for j, shift in enumerate(shifts):
            source = best[k - 1, max(0, shift) : wide + min(0, shift)]
            options[j, max(0, -shift) : wide + min(0, -shift)] = source - BEND * abs(shift) / 2
        take = options.argmax(axis=0)
        came[k] = take
        best[k] = turned[k] + options[take, np.arange(wide)]
    at = int(best[-1].argmax())
    way = np.empty(len(turned), dtype=np.intp)
    for k in range(len(turned) - 1, -1, -1):
        way[k] = at
        at += shifts[came[k, at]] if k else 0
    half = count // 2
    middle = way[half : half + count]  # the ends of the doubled row know only one side
    return np.roll(middle, half)


def _parabola(read: NDArray[np.float32], chosen: NDArray[np.intp]) -> Floats:
    rows = np.arange(len(read))
    inner = np.clip(chosen, 1, read.shape[1] - 2)
    a, b, c = (read[rows, inner + k].astype(np.float64) for k in (-1, 0, 1))
    below = a - 2 * b + c
    with np.errstate(divide="ignore", invalid="ignore"):
        off = np.where(below < -1e-9, 0.5 * (a - c) / below, 0.0)
    return np.where(inner == chosen, np.clip(off, -0.5, 0.5), 0.0)


def tapped_ring(strength: NDArray[np.float32], corners: Floats, pixel: float) -> Floats:
    """A closed line of pixels from tapped corner to tapped corner along the strongest edges between them."""
    import cv2
    from skimage.graph import route_through_array

    factor = max(1.0, CELL / pixel)
    size = (max(1, round(strength.shape[1] / factor)), max(1, round(strength.shape[0] / factor)))
    small = np.asarray(cv2.resize(strength, size, interpolation=cv2.INTER_AREA), dtype=np.float32)
    scale = np.array([size[0] / strength.shape[1], size[1] / strength.shape[0]])
    taps = np.array([_drawn_in(small, tap, TAP / pixel / factor) for tap in corners * scale])
    ways = []
    for one, two in zip(taps, np.roll(taps, -1, axis=0), strict=True):
        chord = math.dist(one, two)
        room = ROOM[0] / pixel / factor + ROOM[1] * chord
        left, top = np.maximum(np.floor(np.minimum(one, two) - room).astype(int), 0)
        right, bottom = np.minimum(np.ceil(np.maximum(one, two) + room).astype(int) + 1, size)
        part = small[top:bottom, left:right]
        usual = max(float(np.percentile(part, 97)), 1e-6)
        cost = 1.0 / (0.03 + np.minimum(part / usual, 1.0))
        ys, xs = np.mgrid[top:bottom, left:right]
        unit = (two - one) / max(chord, 1e-9)
        off = np.abs((xs - one[0]) * unit[1] - (ys - one[1]) * unit[0])
        cost = np.where(off > room, 1e4, cost)
        start, end = _within(one, left, top, part.shape), _within(two, left, top, part.shape)
        way, _ = route_through_array(cost, start, end, fully_connected=True, geometric=True)  # type: ignore[no-untyped-call]
        ways.append((np.array(way)[:-1, ::-1] + (left, top)) / scale)
    return np.vstack([way for way in ways if len(way)])


def _within(at: Floats, left: int, top: int, shape: tuple[int, ...]) -> tuple[int, int]:
    return int(np.clip(round(at[1]) - top, 0, shape[0] - 1)), int(np.clip(round(at[0]) - left, 0, shape[1] - 1))


def _drawn_in(small: NDArray[np.float32], tap: Floats, radius: float) -> Floats:
    """A tap moved to the strongest edge near it, the nearer the better."""
    reach = max(1, math.ceil(radius))
    x, y = int(np.clip(round(tap[0]), 0, small.shape[1] - 1)), int(np.clip(round(tap[1]), 0, small.shape[0] - 1))
    left, top = max(0, x - reach), max(0, y - reach)
    part = small[top : y + reach + 1, left : x + reach + 1]
    ys, xs = np.mgrid[top : top + part.shape[0], left : left + part.shape[1]]
    near = np.exp(-(((xs - tap[0]) ** 2 + (ys - tap[1]) ** 2) / (2 * (radius / 2) ** 2)))
    row, column = np.unravel_index(int((part * near).argmax()), part.shape)
    return np.array([left + column, top + row], dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class Along:
    """What a closed line of pixels has beside it.

    Parameters
    ----------
    share
        Of the line, along which a thin dark line runs within 1.6 mm of it.
    alike
        Of the line, along which both sides of that dark line are equally light.
    ring
        The middle of the dark line.
    """

    share: float
    alike: float
    ring: Floats


def dark_line_along(image: Image, ring: Floats, pixel: float) -> Along:
    """Whether a closed line of pixels runs along a thin dark line."""
    import cv2

    even = _even(ring, STEP / pixel)
    wide = max(1, round(2.0 / STEP))
    smooth = np.mean([np.roll(even, k, axis=0) for k in range(-wide, wide + 1)], axis=0)
    along = np.roll(smooth, -2, axis=0) - np.roll(smooth, 2, axis=0)
    normal = np.column_stack([along[:, 1], -along[:, 0]]) / np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    far = np.arange(-4.0, 4.01, 0.25)
    places = (even[:, None, :] + normal[:, None, :] * far[None, :, None] / pixel).astype(np.float32)
    grey = cv2.cvtColor(image, cv2.COLOR_BGR2GRAY)
    read = cv2.remap(grey, places[..., 0], places[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE).astype(np.float64)
    one, two = np.median(read[:, far < -2.4], axis=1), np.median(read[:, far > 2.4], axis=1)
    level = np.minimum(one, two)
    depth = level - read[:, np.abs(far) < 1.6].min(axis=1)
    lined = depth > LINED
    weight = np.maximum(level[:, None] - 0.3 * np.maximum(depth, 0)[:, None] - read, 0.0) * (np.abs(far) < 2.2)
    middle = (weight * far).sum(axis=1) / np.maximum(weight.sum(axis=1), 1e-9)
    middle = np.where(lined, middle, np.median(middle[lined]) if lined.any() else 0.0)
    around = np.median([np.roll(middle, k) for k in range(-2, 3)], axis=0)
    alike = lined & (np.abs(one - two) < 0.35 * depth)
    return Along(float(lined.mean()), float(alike.mean()), even + normal * around[:, None] / pixel)


def _even(ring: Floats, step: float) -> Floats:
    closed = np.vstack([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = np.linspace(0.0, along[-1], max(24, round(along[-1] / step)), endpoint=False)
    return np.column_stack([np.interp(at, along, closed[:, 0]), np.interp(at, along, closed[:, 1])])
