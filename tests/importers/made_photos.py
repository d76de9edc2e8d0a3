"""Made photos of a table with reference sheets on it, by a lens that is known: what is found in them can be held to the truth.

The table is drawn from straight above at a fixed number of pixels for each millimetre, its sheets as they are printed; then it
is seen through a pinhole with radial distortion (the model of OpenCV), blurred a little, and given noise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from firsthand.geometry import Path, Point
from firsthand.importers.photo import Camera, Lens, reference_sheet

Image = NDArray[np.uint8]


@dataclass(frozen=True)
class Laid:
    """A sheet on the table: its number, where its field's upper left corner lies, and how far it is turned, mm and radians."""

    number: int
    x: float
    y: float
    angle: float = 0.0


@dataclass(frozen=True)
class Table:
    """What lies on the table, mm, y down."""

    width: float
    height: float
    sheets: tuple[Laid, ...]
    piece: Path | None = None
    paper: tuple[int, int, int] = (236, 240, 243)
    wood: tuple[int, int, int] = (70, 95, 125)
    texture: float = 6.0
    scale: float = 2.5
    """Pixels for each millimetre of the drawing from above."""
    lines: tuple[Path, ...] = field(default=())
    ink: tuple[int, int, int] = (60, 60, 60)
    line_width: float = 0.7
    """Of printed lines, mm."""
    creases: int = 0
    crease: float = 10.0
    """How much lighter and darker the two sides of a crease are."""
    shadow: float = 0.0
    """How much darker the table is right beside the piece, on its lower right."""
    through: float = 0.0
    """How much of the table shows through the paper."""

    def drawn(self, seed: int = 1) -> Image:
        """From straight above, colour."""
        rng = np.random.default_rng(seed)
        size = (round(self.height * self.scale), round(self.width * self.scale))
        image = np.empty((*size, 3), dtype=np.float32)
        image[:] = self.wood
        grain = cv2.GaussianBlur(rng.normal(0, 1, size).astype(np.float32), (0, 0), 3) * 3
        image += (grain * self.texture)[..., None]
        if self.piece is not None:
            mask = self._filled(self.piece)
            if self.shadow:
                off = round(4 * self.scale)
                cast = np.roll(cv2.GaussianBlur(mask, (0, 0), 5 * self.scale), (off, off), axis=(0, 1))
                image -= (self.shadow * cast)[..., None]
            cover = mask[..., None] * (1 - self.through)
            image = image * (1 - cover) + np.array(self.paper, dtype=np.float32) * cover
            image += (self._creased(rng, size) * mask)[..., None]
        made = np.clip(image, 0, 255).astype(np.uint8)
        for line in self.lines:
            points = np.array([(p.x, p.y) for p in line.flattened(0.1)]) * self.scale - 0.5
            thick = max(1, round(self.line_width * self.scale))
            cv2.polylines(made, [np.round(points * 16).astype(np.int32)], False, self.ink, thick, cv2.LINE_AA, 4)
        for laid in self.sheets:
            self._lay(made, laid)
        return made

    def _creased(self, rng: np.random.Generator, size: tuple[int, int]) -> NDArray[np.float32]:
        """Folds across the paper: one side lighter, the other darker, over some mm."""
        made = np.zeros(size, dtype=np.float32)
        ys, xs = np.mgrid[: size[0], : size[1]].astype(np.float32) / self.scale
        for _ in range(self.creases):
            angle = rng.uniform(0, np.pi)
            x, y = rng.uniform(0.2, 0.8) * self.width, rng.uniform(0.2, 0.8) * self.height
            away = (xs - x) * np.float32(np.cos(angle)) + (ys - y) * np.float32(np.sin(angle))
            made += self.crease * (away / 2.5) * np.exp(-((away / 2.5) ** 2) / 2)
        return made

    def _filled(self, path: Path) -> NDArray[np.float32]:
        """1 within, 0 outside; the edge is smooth (a filled polygon of OpenCV is half a pixel too large)."""
        fine = 4
        low = np.zeros((round(self.height * self.scale), round(self.width * self.scale)), dtype=np.float32)
        points = np.array([(p.x, p.y) for p in path.flattened(0.05)]) * self.scale
        left, top = np.floor(points.min(axis=0)).astype(int) - 2
        right, bottom = np.ceil(points.max(axis=0)).astype(int) + 2
        large = np.zeros(((bottom - top) * fine, (right - left) * fine), dtype=np.uint8)
        cv2.fillPoly(large, [np.round(((points - (left, top)) * fine - 0.5) * 16).astype(np.int32)], 255, cv2.LINE_8, 4)
        small = cv2.resize(large, (right - left, bottom - top), interpolation=cv2.INTER_AREA).astype(np.float32) / 255
        low[top:bottom, left:right] = small
        return low

    def _lay(self, image: Image, laid: Laid) -> None:
        sheet = reference_sheet(laid.number)
        fine, rim = 8.0, 12.0
        drawing = np.full((round((sheet.height + 2 * rim) * fine), round((sheet.width + 2 * rim) * fine)), 255, dtype=np.uint8)
        for square in sheet.squares():
            a, b = (round((v + rim) * fine) for v in (square.x, square.y))
            c, d = (round((v + square.side + rim) * fine) for v in (square.x, square.y))
            drawing[b:d, a:c] = 12
        cos, sin = math.cos(laid.angle), math.sin(laid.angle)
        # from the drawing's pixels to the table's
        onto = np.array([[cos, -sin, laid.x], [sin, cos, laid.y], [0, 0, 1]]) @ np.array(
            [[1 / fine, 0, 0.5 / fine - rim], [0, 1 / fine, 0.5 / fine - rim], [0, 0, 1]]
        )
        onto = np.array([[self.scale, 0, -0.5], [0, self.scale, -0.5], [0, 0, 1]]) @ onto
        size = (image.shape[1], image.shape[0])
        small = cv2.GaussianBlur(drawing, (0, 0), fine / self.scale / 2.5)
        shown = cv2.warpPerspective(small, onto, size, flags=cv2.INTER_LINEAR, borderValue=0)
        there = cv2.warpPerspective(np.full_like(small, 255), onto, size, flags=cv2.INTER_LINEAR, borderValue=0) > 127
        image[there] = shown[there][:, None]


def camera_over(x: float, y: float, high: float, *, tilt: float = 0.0, about: float = 0.0) -> Camera:
    """A camera that looks at a place of the table from so high, tilted by so much out of the vertical."""
    turn = cv2.Rodrigues(np.array([0.0, 0.0, about]))[0]
    lean = cv2.Rodrigues(np.array([tilt, 0.0, 0.0]))[0]
    whole = lean @ turn
    moved = np.array([0.0, 0.0, high]) - whole @ np.array([x, y, 0.0])
    turned = cv2.Rodrigues(whole)[0].ravel()
    return Camera(tuple(map(float, turned)), tuple(map(float, moved)))  # type: ignore[arg-type]


def photo(
    table: Image,
    scale: float,
    lens: Lens,
    camera: Camera,
    size: tuple[int, int],
    *,
    noise: float = 2.0,
    blur: float = 0.6,
    seed: int = 1,
    bows: Sequence[tuple[Laid, float]] = (),
    dim: float = 0.0,
) -> Image:
    """The table as a lens sees it: ``size`` is width and height in pixels.

    ``bows`` says by how much the middle of a sheet stands off the table, mm; ``dim`` how much darker the corners are, as a
    share.
    """
    wide, high = size
    step, pad = 8, 2  # the map is worked out at every eighth pixel; cv2.resize puts these in the middle of eight, exactly
    xs = np.arange(-pad, -(-wide // step) + pad) * step + (step - 1) / 2
    ys = np.arange(-pad, -(-high // step) + pad) * step + (step - 1) / 2
    sparse = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 1, 2).astype(np.float64)
    rays = cv2.undistortPoints(sparse, lens.matrix, np.array(lens.distortion)).reshape(-1, 2)
    turned = cv2.Rodrigues(np.array(camera.turned))[0]
    moved = np.array(camera.moved)
    directions = np.column_stack([rays, np.ones(len(rays))]) @ turned
    origin = -turned.T @ moved
    far = -origin[2] / directions[:, 2]
    onto = origin[:2] + directions[:, :2] * far[:, None]
    for laid, high_up in bows:
        onto = _bowed(onto, origin, laid, high_up)
    coarse = (onto * scale - 0.5).astype(np.float32).reshape(len(ys), len(xs), 2)
    fine = cv2.resize(coarse, (len(xs) * step, len(ys) * step), interpolation=cv2.INTER_LINEAR)
    fine = fine[pad * step : pad * step + high, pad * step : pad * step + wide]
    map_x, map_y = np.ascontiguousarray(fine[..., 0]), np.ascontiguousarray(fine[..., 1])
    # a pixel of the photo sees as much of the table as it covers, and the lens blurs a little: both before it is sampled
    covered = scale * float(moved[2]) / lens.focal
    soft = cv2.GaussianBlur(table, (0, 0), max(0.3, covered * math.hypot(0.45, blur)))
    seen = cv2.remap(soft, map_x, map_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    rng = np.random.default_rng(seed)
    grain = rng.normal(0, noise, seen.shape[:2]).astype(np.float32)[..., None]
    lit = seen.astype(np.float32)
    if dim:
        across = (
            np.linspace(-1, 1, wide, dtype=np.float32)[None, :] ** 2 + np.linspace(-1, 1, high, dtype=np.float32)[:, None] ** 2
        )
        lit *= (1 - dim * across / 2)[..., None]
    return np.clip(lit + grain, 0, 255).astype(np.uint8)


def _bowed(onto: NDArray[np.float64], eye: NDArray[np.float64], laid: Laid, high_up: float) -> NDArray[np.float64]:
    """Where a ray meets a sheet whose middle stands off the table, as places of the flat drawing."""
    sheet = reference_sheet(laid.number)
    cos, sin = math.cos(laid.angle), math.sin(laid.angle)
    local = (onto - (laid.x, laid.y)) @ np.array([[cos, -sin], [sin, cos]])
    half = sheet.width / 2 + 12
    across = (local[:, 0] - sheet.width / 2) / half
    on = (np.abs(across) < 1) & (local[:, 1] > -15) & (local[:, 1] < sheet.height + 12)
    lift = np.where(on, high_up * (1 - across**2), 0.0)
    return onto - (onto - eye[:2]) * (lift / eye[2])[:, None]


def sheets_round(width: float, height: float, numbers: Sequence[int] = (1, 2, 3, 4)) -> tuple[Laid, ...]:
    """Sheets near the corners of a table, each turned a little."""
    places = [(30, 30), (width - 210, 40), (30, height - 310), (width - 215, height - 300)]
    return tuple(Laid(n, x, y, 0.04 * (k - 1.5)) for k, (n, (x, y)) in enumerate(zip(numbers, places, strict=False)))


def point_on(laid: Laid, x: float, y: float) -> Point:
    """A place on a sheet as a place on the table."""
    cos, sin = math.cos(laid.angle), math.sin(laid.angle)
    return Point(laid.x + cos * x - sin * y, laid.y + sin * x + cos * y)
