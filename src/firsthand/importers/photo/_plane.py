"""Between a photo and the table: where a place of the table is seen, and what of the table is seen at a pixel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from firsthand.importers.photo._camera import Camera, Fit, Lens, project
from firsthand.importers.photo._detect import Floats

__all__ = ["Plane", "spread_of"]


@dataclass(frozen=True, slots=True)
class Plane:
    """The table seen by one photo.

    Parameters
    ----------
    lens, camera
        Of the photo.
    size
        Its width and height, pixels.
    scale
        True millimetres for each millimetre of the fit.
    """

    lens: Lens
    camera: Camera
    size: tuple[int, int]
    scale: float = 1.0

    def to_photo(self, points: Floats) -> tuple[Floats, NDArray[np.bool_]]:
        """Where places of the table are seen, and whether they are in the picture."""
        import cv2

        flat = points / self.scale
        shown, _ = project(flat, self.lens, self.camera)
        turned = np.asarray(cv2.Rodrigues(np.array(self.camera.turned))[0], dtype=np.float64)
        rays = np.column_stack([flat, np.zeros(len(flat))]) @ turned.T + np.array(self.camera.moved)
        ahead = rays[:, 2] > 1.0
        depth = np.where(ahead, rays[:, 2], 1.0)
        radius = np.hypot(rays[:, 0], rays[:, 1]) / depth
        wide, high = self.size
        inside = (shown[:, 0] >= 0) & (shown[:, 0] <= wide - 1) & (shown[:, 1] >= 0) & (shown[:, 1] <= high - 1)
        return shown, ahead & inside & (radius <= self._reach())

    def to_table(self, pixels: Floats) -> Floats:
        """What of the table is seen at places of the photo, mm."""
        import cv2

        rays = cv2.undistortPoints(
            np.asarray(pixels, dtype=np.float64).reshape(-1, 1, 2), self.lens.matrix, np.array(self.lens.distortion)
        ).reshape(-1, 2)
        turned = np.asarray(cv2.Rodrigues(np.array(self.camera.turned))[0], dtype=np.float64)
        directions = np.column_stack([rays, np.ones(len(rays))]) @ turned
        origin = -turned.T @ np.array(self.camera.moved)
        far = -origin[2] / np.where(np.abs(directions[:, 2]) < 1e-9, 1e-9, directions[:, 2])
        return np.asarray((origin[:2] + directions[:, :2] * far[:, None]) * self.scale, dtype=np.float64)

    def footprint(self, points: Floats) -> Floats:
        """The longer side of what a pixel covers at places of the table, mm."""
        step = 1.0
        right, low = points + np.array([step, 0.0]), points + np.array([0.0, step])
        at = project(points / self.scale, self.lens, self.camera)[0]
        a = project(right / self.scale, self.lens, self.camera)[0] - at
        b = project(low / self.scale, self.lens, self.camera)[0] - at
        made = np.stack([a, b], axis=-1) / step
        least = np.linalg.svd(made, compute_uv=False)[:, -1]
        return np.asarray(1.0 / np.maximum(least, 1e-6), dtype=np.float64)

    def _reach(self) -> float:
        """How far from the axis the lens sees: beyond it the formula of its distortion means nothing."""
        import cv2

        wide, high = self.size
        rim = np.array([[0, 0], [wide, 0], [0, high], [wide, high], [wide / 2, 0], [0, high / 2]], dtype=np.float64)
        rays = cv2.undistortPoints(rim.reshape(-1, 1, 2), self.lens.matrix, np.array(self.lens.distortion)).reshape(-1, 2)
        return 1.03 * float(np.hypot(*rays.T).max())


def spread_of(fit: Fit, points: Floats, photos: NDArray[np.intp]) -> Floats:
    """How unsure the places on the table are, each as seen by its photo, whatever moves or turns them all alike: mm.

    Standard deviations of the distance of each point from where it is, from the covariance of the fit.

    Parameters
    ----------
    fit
        The fit.
    points
        Places on the table in the fit's own millimetres, shape (n, 2).
    photos
        For each the number of the photo that it is taken from.
    """
    import cv2

    lens_count = 8
    moved = np.zeros((2 * len(points), fit.spread.shape[0]))
    for number in np.unique(photos):
        chosen = np.flatnonzero(photos == number)
        camera = fit.cameras[int(number)]
        _, by = project(points[chosen], fit.lens, camera)
        turned = np.asarray(cv2.Rodrigues(np.array(camera.turned))[0], dtype=np.float64)
        by_place = (by[:, 3:6] @ turned)[:, :2].reshape(-1, 2, 2)
        ours = np.zeros((len(by), fit.spread.shape[0]))
        ours[:, 0] = by[:, 6] + by[:, 7]
        ours[:, 1:3], ours[:, 3:lens_count] = by[:, 8:10], by[:, 10:15]
        at = lens_count + 6 * int(number)
        ours[:, at : at + 6] = by[:, :6]
        solved = -np.linalg.solve(by_place, ours.reshape(len(chosen), 2, -1))
        rows = np.column_stack([2 * chosen, 2 * chosen + 1]).ravel()
        moved[rows] = solved.reshape(2 * len(chosen), -1)
    alike = np.zeros((2 * len(points), 3))
    alike[0::2, 0], alike[1::2, 1] = 1.0, 1.0
    alike[0::2, 2], alike[1::2, 2] = -points[:, 1], points[:, 0]
    basis = np.linalg.qr(alike)[0]
    free = moved - basis @ (basis.T @ moved)
    variance = np.einsum("ij,jk,ik->i", free, fit.spread, free)
    return np.asarray(np.sqrt(np.maximum(variance, 0.0).reshape(-1, 2).sum(axis=1)), dtype=np.float64)
