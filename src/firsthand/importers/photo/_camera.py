"""One least-squares fit over all photos of a table: the lens, where each photo was taken from, where each sheet lies.

All sheets lie flat on one table. Sheet by sheet two coordinates and an angle are sought, the first sheet's own coordinates
being the table's; for each photo its position and direction; for the lens focal length, centre and five coefficients of
distortion (the model of OpenCV: radial k1, k2, k3 and tangential p1, p2). Weak prior knowledge of the lens keeps apart what
one photo straight from above cannot tell apart.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from firsthand.importers.photo._detect import Floats, Seen

__all__ = ["Camera", "Fit", "Lens", "View", "fit_table", "project"]

LENS = 8
"""Numbers of a lens: f, cx, cy, k1, k2, p1, p2, k3."""
FOCAL_LIKELY = 0.75
"""Focal length of a phone's main camera in widths of its picture, if it does not say: 26 mm of 36 mm (common practice)."""
FOCAL_KNOWN, FOCAL_UNKNOWN = 0.06, 0.35
"""How sure that is, as a share: from the photo's own note, or not."""
CENTRE = 0.02
"""The lens's centre lies within so many widths of the picture's (standard deviation)."""
DISTORTION = (0.15, 0.3, 0.003, 0.003, 0.3)
"""k1, k2, p1, p2, k3 of phones' lenses (standard deviations; from memory)."""
NOISE = 0.15
"""Of a corner's place in a sharp photo, pixels."""
FLAT = 2.5
"""Corners further off than this many standard deviations count for less: a sheet that bows lifts some of them."""


@dataclass(frozen=True, slots=True)
class Lens:
    """A lens, in pixels of its photo.

    Parameters
    ----------
    focal, cx, cy
        Focal length and centre.
    distortion
        k1, k2, p1, p2, k3.
    """

    focal: float
    cx: float
    cy: float
    distortion: tuple[float, float, float, float, float] = (0.0, 0.0, 0.0, 0.0, 0.0)

    @property
    def matrix(self) -> Floats:
        """As OpenCV has it, shape (3, 3)."""
        return np.array([[self.focal, 0, self.cx], [0, self.focal, self.cy], [0, 0, 1]], dtype=np.float64)


@dataclass(frozen=True, slots=True)
class View:
    """What one photo shows: its size in pixels, the sheets, and the focal length that its note says, in pixels, or 0."""

    width: int
    height: int
    seen: tuple[Seen, ...]
    focal: float = 0.0


@dataclass(frozen=True, slots=True)
class Camera:
    """Where a photo was taken from: the table's coordinates turned (a rotation vector) and moved, mm."""

    turned: tuple[float, float, float]
    moved: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Fit:
    """The fit.

    Parameters
    ----------
    lens
        Of all photos.
    cameras
        One for each photo.
    sheets
        For each sheet's number its place on the table: x, y (mm) and angle.
    residual
        Root of the mean square distance of the corners from where they should be, pixels.
    each
        The same for each photo.
    spread
        Covariance of the numbers sought, in the order lens (f, cx, cy, k1, k2, p1, p2, k3), cameras (turned, moved), sheets.
    """

    lens: Lens
    cameras: tuple[Camera, ...]
    sheets: Mapping[int, tuple[float, float, float]]
    residual: float
    each: tuple[float, ...]
    spread: Floats


def project(points: Floats, lens: Lens, camera: Camera) -> tuple[Floats, Floats]:
    """Places on the table as a photo shows them, pixels, and the derivatives: by turned, moved, f, f, cx, cy, distortion.

    Parameters
    ----------
    points
        On the table, mm, shape (n, 2).
    """
    import cv2

    flat = np.column_stack([points, np.zeros(len(points))])
    shown, jacobian = cv2.projectPoints(
        flat, np.array(camera.turned), np.array(camera.moved), lens.matrix, np.array(lens.distortion)
    )
    return np.asarray(shown, dtype=np.float64).reshape(-1, 2), np.asarray(jacobian, dtype=np.float64)


def fit_table(views: Sequence[View]) -> Fit:
    """The one fit over all photos of a table.

    Parameters
    ----------
    views
        Photos by one lens at one zoom, all of one size; each shows at least one sheet, and they hang together by the sheets
        that they share.

    Raises
    ------
    ValueError
        If they do not hang together; told by what asks for the photos.
    """
    start = _Start.of(views)
    system = _System(views, start)
    numbers = _least(system, start.numbers, math.inf, 80)  # far from the truth every corner has to count in full
    return system.fit(_least(system, numbers, FLAT, 40))


def _least(system: _System, numbers: Floats, limit: float, most: int) -> Floats:
    """Least squares by the way of Levenberg and Marquardt on the normal equations.

    The numbers sought are few and the corners many, so these are small, and quicker than a decomposition of all rows by far.
    Residuals beyond the limit count about linearly.
    """
    damping = 1e-3
    residuals = system.residuals(numbers)
    cost = _cost(residuals, limit)
    for _ in range(most):
        jacobian = system.jacobian(numbers)
        weights = 1 / np.sqrt(1 + (residuals / limit) ** 2)
        whole = jacobian.T @ (jacobian * weights[:, None])
        scale = 1 / np.sqrt(np.maximum(np.diag(whole), 1e-12))
        whole = whole * scale[:, None] * scale
        slope = (jacobian.T @ (residuals * weights)) * scale
        while damping < 1e9:
            step = scale * np.linalg.solve(whole + damping * np.eye(len(whole)), -slope)
            there = system.residuals(numbers + step)
            better = _cost(there, limit)
            if better < cost:
                break
            damping *= 5
        else:
            return numbers
        settled = cost - better < 1e-10 * cost
        numbers, residuals, cost, damping = numbers + step, there, better, max(damping / 6, 1e-9)
        if settled:
            break
    return numbers


def _cost(residuals: Floats, limit: float) -> float:
    if not np.isfinite(residuals).all():
        return math.inf
    if math.isinf(limit):
        return float(residuals @ residuals)
    return float(np.sum(2 * limit**2 * (np.sqrt(1 + (residuals / limit) ** 2) - 1)))


@dataclass(frozen=True, slots=True)
class _Start:
    """Where the search starts: all numbers in one row, and which sheets are sought, the first being the table's own."""

    numbers: Floats
    sheets: tuple[int, ...]

    @staticmethod
    def of(views: Sequence[View]) -> _Start:
        lens = _likely(views)
        poses = [{one.sheet.number: _pose(one, lens) for one in view.seen} for view in views]
        placed = _placed(poses)
        cameras = [_camera(pose, placed) for pose in poses]
        order = tuple(placed)
        numbers = [lens.focal, lens.cx, lens.cy, *lens.distortion]
        for camera in cameras:
            numbers += [*camera.turned, *camera.moved]
        for number in order[1:]:
            numbers += [*_flat(placed[number])]
        return _Start(np.array(numbers, dtype=np.float64), order)


def _likely(views: Sequence[View]) -> Lens:
    view = views[0]
    focal = next((one.focal for one in views if one.focal), 0.0) or FOCAL_LIKELY * max(view.width, view.height)
    return Lens(focal, view.width / 2 - 0.5, view.height / 2 - 0.5)


def _pose(seen: Seen, lens: Lens) -> Floats:
    """From the sheet's coordinates to the camera's, shape (4, 4)."""
    import cv2

    flat = np.column_stack([seen.on_sheet, np.zeros(len(seen.on_sheet))])
    _, turned, moved = cv2.solvePnP(flat, seen.in_photo, lens.matrix, None, flags=cv2.SOLVEPNP_IPPE)
    made = np.eye(4)
    made[:3, :3], made[:3, 3] = cv2.Rodrigues(turned)[0], moved.ravel()
    return made


def _placed(poses: Sequence[Mapping[int, Floats]]) -> dict[int, Floats]:
    """Each sheet's pose on the table, led on from photo to photo."""
    first = min(number for pose in poses for number in pose)
    placed: dict[int, Floats] = {first: np.eye(4)}
    while True:
        linked = next(
            (
                (pose, number)
                for pose in poses
                for number in pose
                if number not in placed and any(one in placed for one in pose)
            ),
            None,
        )
        if linked is None:
            break
        pose, number = linked
        known = next(one for one in pose if one in placed)
        placed[number] = placed[known] @ np.linalg.inv(pose[known]) @ pose[number]
    if any(number not in placed for pose in poses for number in pose):
        raise ValueError("the photos do not hang together: no sheet is on both")
    return placed


def _camera(pose: Mapping[int, Floats], placed: Mapping[int, Floats]) -> Camera:
    import cv2

    number = next(iter(pose))
    whole = pose[number] @ np.linalg.inv(placed[number])
    turned = cv2.Rodrigues(whole[:3, :3])[0].ravel()
    return Camera(tuple(map(float, turned)), tuple(map(float, whole[:3, 3])))  # type: ignore[arg-type]


def _flat(pose: Floats) -> tuple[float, float, float]:
    return float(pose[0, 3]), float(pose[1, 3]), math.atan2(pose[1, 0], pose[0, 0])


class _System:
    """Residuals and their derivatives, both divided by what they may be."""

    def __init__(self, views: Sequence[View], start: _Start) -> None:
        self._views, self._sheets = views, start.sheets
        self._lens = LENS
        self._count = len(start.numbers)
        wide = max(views[0].width, views[0].height)
        known = any(view.focal for view in views)
        focal = float(start.numbers[0])
        self._prior = start.numbers[:LENS].copy()
        self._sure = np.array([focal * (FOCAL_KNOWN if known else FOCAL_UNKNOWN), wide * CENTRE, wide * CENTRE, *DISTORTION])

    def _unpacked(self, numbers: Floats) -> tuple[Lens, list[Camera], dict[int, tuple[float, float, float]]]:
        lens = Lens(float(numbers[0]), float(numbers[1]), float(numbers[2]), tuple(map(float, numbers[3:LENS])))  # type: ignore[arg-type]
        at, cameras = self._lens, []
        for _ in self._views:
            six = tuple(map(float, numbers[at : at + 6]))
            cameras.append(Camera(six[:3], six[3:]))  # type: ignore[arg-type]
            at += 6
        sheets = {self._sheets[0]: (0.0, 0.0, 0.0)}
        for number in self._sheets[1:]:
            sheets[number] = tuple(map(float, numbers[at : at + 3]))  # type: ignore[assignment]
            at += 3
        return lens, cameras, sheets

    def residuals(self, numbers: Floats) -> Floats:
        """All of them, the prior knowledge of the lens last."""
        lens, cameras, sheets = self._unpacked(numbers)
        parts = [
            (project(on_table(one.on_sheet, sheets[one.sheet.number]), lens, camera)[0] - one.in_photo).ravel() / NOISE
            for view, camera in zip(self._views, cameras, strict=True)
            for one in view.seen
        ]
        return np.concatenate([*parts, (numbers[:LENS] - self._prior) / self._sure])

    def jacobian(self, numbers: Floats) -> Floats:
        """Of the residuals."""
        lens, cameras, sheets = self._unpacked(numbers)
        blocks = [
            self._block(k, one, lens, camera, sheets[one.sheet.number]) / NOISE
            for k, (view, camera) in enumerate(zip(self._views, cameras, strict=True))
            for one in view.seen
        ]
        prior = np.zeros((LENS, self._count))
        prior[:, :LENS] = np.diag(1 / self._sure)
        return np.vstack([*blocks, prior])

    def _block(self, photo: int, seen: Seen, lens: Lens, camera: Camera, place: tuple[float, float, float]) -> Floats:
        import cv2

        _, by = project(on_table(seen.on_sheet, place), lens, camera)
        made = np.zeros((len(by), self._count))
        made[:, 0] = by[:, 6] + by[:, 7]
        made[:, 1:3], made[:, 3:8] = by[:, 8:10], by[:, 10:15]
        at = self._lens + 6 * photo
        made[:, at : at + 6] = by[:, :6]
        k = self._sheets.index(seen.sheet.number)
        if k:
            turned = np.asarray(cv2.Rodrigues(np.array(camera.turned))[0], dtype=np.float64)
            on = self._lens + 6 * len(self._views) + 3 * (k - 1)
            by_place = by[:, 3:6] @ turned  # moving a point of the table moves what the camera sees by the rotation
            made[:, on], made[:, on + 1] = by_place[:, 0], by_place[:, 1]
            x, y = seen.on_sheet.T
            cos, sin = math.cos(place[2]), math.sin(place[2])
            dx, dy = np.repeat(-sin * x - cos * y, 2), np.repeat(cos * x - sin * y, 2)
            made[:, on + 2] = by_place[:, 0] * dx + by_place[:, 1] * dy
        return made

    def fit(self, numbers: Floats) -> Fit:
        """What was found, with its covariance for the noise that was met."""
        lens, cameras, sheets = self._unpacked(numbers)
        residuals = self.residuals(numbers)[:-LENS] * NOISE
        jacobian = self.jacobian(numbers)
        each, at = [], 0
        for view in self._views:
            count = 2 * sum(len(one.in_photo) for one in view.seen)
            each.append(_rms(residuals[at : at + count]))
            at += count
        rms = _rms(residuals)
        spread = np.asarray(np.linalg.pinv(jacobian.T @ jacobian), dtype=np.float64) * max(1.0, (rms / NOISE) ** 2)
        return Fit(lens, tuple(cameras), sheets, rms, tuple(each), spread)


def on_table(points: Floats, place: tuple[float, float, float]) -> Floats:
    """Places on a sheet as places on the table, mm."""
    x, y, angle = place
    cos, sin = math.cos(angle), math.sin(angle)
    return np.asarray(points @ np.array([[cos, sin], [-sin, cos]]) + (x, y), dtype=np.float64)


def _rms(values: Floats) -> float:
    """Of distances, from both coordinates' residuals."""
    return float(np.sqrt(2 * np.mean(values**2))) if len(values) else 0.0
