"""Thin dark lines in a picture, as rows of points: found by what a closing fills, thinned, followed, dashes joined."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from firsthand.importers.photo._detect import Floats
from firsthand.importers.photo._table import Mask

__all__ = ["Ink", "Stroke", "ink_in", "strokes_of"]

WIDEST = 2.4
"""Printed lines are thinner, mm."""
FAINTEST = 3.5
"""Printed lines are darker than the paper by more (lightness, of 100)."""
SHORT = 2.5
"""Shorter bits are dirt, mm."""
GAP = 9.0
"""Between two dashes of one line, mm (long dashes of printed patterns; from memory)."""
BENT = math.radians(28)
"""Dashes whose directions differ by more belong to different lines."""
ARM, CORNER = 4.5, math.radians(35)
"""A line is cut where it turns by more from so many mm before to as many after."""
CREASED = 0.4
"""A dark line with a light one beside it, that strong as a share of it, is a crease."""
MOST = 4000
"""More bits of line than this are not lines but a pattern on the cloth or the table."""


@dataclass(frozen=True, slots=True, eq=False)
class Ink:
    """How dark thin things are, how light everything is, where there is ink, and mm for each pixel."""

    dark: NDArray[np.float32]
    light: NDArray[np.float32]
    mask: Mask
    pixel: float
    depth: float


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A line: its points in order in pixels (column, row), and whether it closes."""

    points: Floats
    closed: bool = False

    def length(self) -> float:
        """In pixels."""
        return float(np.hypot(*np.diff(self.points, axis=0).T).sum())


def ink_in(light: NDArray[np.float32], inside: Mask, pixel: float) -> Ink | None:
    """The ink of thin printed lines within a piece; None if there is none."""
    import cv2

    soft = cv2.GaussianBlur(light, (0, 0), max(0.6, 0.25 / pixel))
    size = 2 * max(1, round(WIDEST / pixel)) + 1
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    dark = np.asarray(cv2.morphologyEx(soft, cv2.MORPH_BLACKHAT, kernel), dtype=np.float32)
    values = dark[inside]
    if len(values) < 100:
        return None
    usual = float(np.median(values))
    scatter = 1.4826 * float(np.median(np.abs(values - usual)))
    floor = max(FAINTEST, usual + 6 * scatter)
    strong = values[values > floor]
    if len(strong) < 12 / pixel:
        return None
    depth = float(np.percentile(strong, 80))
    high, low = max(floor, 0.5 * depth), max(floor, 0.3 * depth)
    _, labels = cv2.connectedComponents(((dark > low) & inside).astype(np.uint8))
    kept = np.unique(labels[(dark > high) & inside])
    return Ink(dark, np.asarray(soft, dtype=np.float32), np.isin(labels, kept[kept > 0]), pixel, depth)


def strokes_of(ink: Ink, shortest: float) -> list[Stroke]:
    """The lines of the ink that are longer than some mm; dashes are joined, creases left out."""
    bits = _bits(ink)
    if len(bits) > MOST:
        return []
    joined = [Stroke(stroke.points, _closes(stroke, ink.pixel)) for stroke in _joined(bits, ink.pixel)]
    parts = [part for stroke in joined for part in _cut_at_corners(stroke, ink.pixel)]
    long = [stroke for stroke in parts if stroke.length() * ink.pixel >= shortest]
    return [_centred(ink, stroke) for stroke in long if not _is_crease(ink, stroke)]


def _closes(stroke: Stroke, pixel: float) -> bool:
    return stroke.length() * pixel > 60 and float(math.dist(stroke.points[0], stroke.points[-1])) * pixel < GAP


def _cut_at_corners(stroke: Stroke, pixel: float) -> list[Stroke]:
    """The parts of a line between its corners."""
    points, arm = stroke.points, max(3, round(ARM / pixel))
    count = len(points)
    if count < 3 * arm:
        return [stroke]
    at = np.arange(count)
    if stroke.closed:
        ahead, behind = points[(at + arm) % count] - points, points - points[(at - arm) % count]
    else:
        ahead = points[np.minimum(at + arm, count - 1)] - points
        behind = points - points[np.maximum(at - arm, 0)]
    cross = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    turn = np.abs(np.arctan2(cross, (behind * ahead).sum(axis=1)))
    if not stroke.closed:
        turn[:arm], turn[-arm:] = 0.0, 0.0
    corners: list[int] = []
    for k in np.argsort(-turn):
        if turn[k] < CORNER:
            break
        if all(min(abs(k - c), count - abs(k - c) if stroke.closed else count) > arm for c in corners):
            corners.append(int(k))
    if not corners:
        return [stroke]
    corners.sort()
    if stroke.closed:
        points = np.roll(points, -corners[0], axis=0)
        corners = [c - corners[0] for c in corners]
        cuts = [*corners, count]
    else:
        cuts = [0, *corners, count]
    return [Stroke(points[a:b]) for a, b in itertools.pairwise(cuts) if b - a > 2]


def _bits(ink: Ink) -> list[Stroke]:
    """The thinned ink cut at its junctions, each part followed from end to end."""
    import cv2
    from skimage.morphology import skeletonize

    thin = np.asarray(skeletonize(ink.mask)).astype(np.uint8)  # type: ignore[no-untyped-call]
    around = cv2.filter2D(thin, cv2.CV_8U, np.ones((3, 3), np.uint8), borderType=cv2.BORDER_CONSTANT) - thin
    junction = (thin > 0) & (around > 2)
    clear = cv2.dilate(junction.astype(np.uint8), np.ones((3, 3), np.uint8))
    parts = np.where(clear > 0, 0, thin).astype(np.uint8)
    _, labels = cv2.connectedComponents(parts, connectivity=8)
    rows, columns = np.nonzero(labels)
    order = np.argsort(labels[rows, columns], kind="stable")
    rows, columns = rows[order], columns[order]
    starts = np.flatnonzero(np.diff(labels[rows, columns], prepend=-1))
    found = []
    for a, b in itertools.pairwise([*starts, len(rows)]):
        if (b - a) * ink.pixel >= SHORT * 0.7:
            found.append(Stroke(_followed(np.column_stack([columns[a:b], rows[a:b]]))))
    return [bit for bit in found if bit.length() * ink.pixel >= SHORT]


def _followed(pixels: NDArray[np.intp]) -> Floats:
    """The pixels of one thin part in order."""
    left = {(int(x), int(y)) for x, y in pixels}
    ways = list(itertools.product((-1, 0, 1), repeat=2))

    def beside(at: tuple[int, int]) -> list[tuple[int, int]]:
        near = [(at[0] + dx, at[1] + dy) for dx, dy in ways if (dx or dy) and (at[0] + dx, at[1] + dy) in left]
        return sorted(near, key=lambda p: abs(p[0] - at[0]) + abs(p[1] - at[1]))

    ends = [at for at in left if len(beside(at)) == 1]
    at = min(ends) if ends else min(left)
    made = [at]
    left.discard(at)
    while near := beside(at):
        at = near[0]
        made.append(at)
        left.discard(at)
    return np.array(made, dtype=np.float64)


def _heading(points: Floats, pixel: float) -> Floats:
    """Direction in which a line leaves its last point."""
    back = points[max(0, len(points) - 1 - max(2, round(7.0 / pixel)))]
    way = points[-1] - back
    return np.asarray(way / max(float(np.hypot(*way)), 1e-9), dtype=np.float64)


def _joined(bits: list[Stroke], pixel: float) -> list[Stroke]:
    """Bits whose ends run on into each other, as one line: the straightest and nearest pairs first."""
    if len(bits) < 2:
        return bits
    ends = np.array([end for bit in bits for end in (bit.points[0], bit.points[-1])])
    heads = [way for bit in bits for way in (_heading(bit.points[::-1], pixel), _heading(bit.points, pixel))]
    pairs = []
    for a, b in cKDTree(ends).query_pairs(GAP / pixel):
        if a // 2 == b // 2:
            continue
        gap = ends[b] - ends[a]
        far = float(np.hypot(*gap))
        way = gap / max(far, 1e-9)
        if far * pixel > 1.5 and min(float(heads[a] @ way), float(-heads[b] @ way)) < math.cos(BENT):
            continue
        turn = math.acos(float(np.clip(-heads[a] @ heads[b], -1, 1)))
        if turn < BENT:
            pairs.append((far * pixel + turn * 12, a, b))
    mate: dict[int, int] = {}
    for _, a, b in sorted(pairs):
        if a not in mate and b not in mate:
            mate[a], mate[b] = b, a
    return [Stroke(_chain(bits, mate, used)) for used in _chains(len(bits), mate)]


def _chains(count: int, mate: dict[int, int]) -> list[list[tuple[int, bool]]]:
    """Rows of bits, each with whether it is walked from its last point to its first."""
    seen: set[int] = set()
    found = []
    first = [k for k in range(count) if 2 * k not in mate or 2 * k + 1 not in mate]
    for k in [*first, *range(count)]:
        if k in seen:
            continue
        entry = 2 * k if 2 * k not in mate else 2 * k + 1 if 2 * k + 1 not in mate else 2 * k
        row = []
        while entry // 2 not in seen:
            seen.add(entry // 2)
            row.append((entry // 2, entry % 2 == 1))
            leave = entry ^ 1
            if leave not in mate:
                break
            entry = mate[leave]
        found.append(row)
    return found


def _chain(bits: list[Stroke], mate: dict[int, int], row: list[tuple[int, bool]]) -> Floats:
    return np.vstack([bits[k].points[::-1] if back else bits[k].points for k, back in row])


def _is_crease(ink: Ink, stroke: Stroke) -> bool:
    """Whether what lies beside the line is lighter than the paper, as on one side of a fold."""
    far = np.arange(-4.5, 4.51, 0.3)
    profile = np.median(_across(ink.light, stroke.points, far / ink.pixel), axis=0)
    level = float(np.median(profile[np.abs(far) > 2.5]))
    depth = level - float(profile[np.abs(far) < 1.0].min())
    return float(profile[np.abs(far) < 3.5].max()) - level > CREASED * depth or depth < 0.45 * ink.depth


def _across(values: NDArray[np.float32], points: Floats, far: Floats) -> Floats:
    """Values across a line at each of its points."""
    import cv2

    ahead = np.vstack([points[3:], np.repeat(points[-1:], 3, axis=0)]) - np.vstack(
        [np.repeat(points[:1], 3, axis=0), points[:-3]]
    )
    normal = np.column_stack([ahead[:, 1], -ahead[:, 0]]) / np.maximum(np.hypot(*ahead.T), 1e-9)[:, None]
    places = (points[:, None, :] + normal[:, None, :] * far[None, :, None]).astype(np.float32)
    chunks = [
        cv2.remap(values, part[..., 0], part[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        for part in np.array_split(places, max(1, len(places) // 20_000))
    ]
    return np.vstack(chunks).astype(np.float64)


def _centred(ink: Ink, stroke: Stroke) -> Stroke:
    """Points moved to the middle of the dark line, where there is ink."""
    far = np.arange(-1.0, 1.01, 0.1) / ink.pixel
    read = np.maximum(_across(ink.dark, stroke.points, far), 0.0) ** 2
    ahead = np.vstack([stroke.points[3:], np.repeat(stroke.points[-1:], 3, axis=0)])
    ahead = ahead - np.vstack([np.repeat(stroke.points[:1], 3, axis=0), stroke.points[:-3]])
    normal = np.column_stack([ahead[:, 1], -ahead[:, 0]]) / np.maximum(np.hypot(*ahead.T), 1e-9)[:, None]
    off = (read * far).sum(axis=1) / np.maximum(read.sum(axis=1), 1e-9)
    return Stroke(stroke.points + normal * off[:, None], stroke.closed)
