"""Reference sheets found in a photo."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from firsthand.importers.photo._board import MARKS, MOST_SHEETS, ReferenceSheet, dictionary, reference_sheet

__all__ = ["Floats", "Image", "Seen", "sheets_seen"]

Image = NDArray[np.uint8]
Floats = NDArray[np.float64]

FEWEST = 8
"""A sheet of which fewer corners of squares are seen is not used."""


WINDOW = 0.11
"""Half the window in which a corner is looked for, as a share of a square: within the white rim round a mark (0.13 wide)."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One sheet as one photo shows it.

    Parameters
    ----------
    sheet
        Which it is.
    on_sheet
        Corners of squares on it, mm, shape (n, 2).
    in_photo
        The same in the photo, pixels, shape (n, 2).
    """

    sheet: ReferenceSheet
    on_sheet: Floats
    in_photo: Floats


def sheets_seen(image: Image, paper: str = "A4") -> tuple[Seen, ...]:
    """The reference sheets that a photo shows, by their numbers.

    Parameters
    ----------
    image
        Grey or colour, 8 bits.
    paper
        What the sheets were printed on.
    """
    import cv2

    grey = image if image.ndim == 2 else np.asarray(cv2.cvtColor(image, cv2.COLOR_BGR2GRAY), dtype=np.uint8)
    corners, ids, _ = cv2.aruco.ArucoDetector(dictionary(), _settings()).detectMarkers(grey)
    if ids is None or not len(ids):
        return ()
    found = []
    for number in range(1, MOST_SHEETS + 1):
        own = np.flatnonzero((ids.ravel() >= (number - 1) * MARKS) & (ids.ravel() < number * MARKS))
        if len(own) >= 3:
            seen = _seen(grey, reference_sheet(number, paper), [corners[int(k)] for k in own], ids[own])
            found += [seen] if seen is not None else []
    return tuple(found)


def _settings() -> Any:
    import cv2

    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE  # the corners of the squares are refined, not the marks'
    return settings


def _seen(grey: Image, sheet: ReferenceSheet, marks: list[Any], ids: NDArray[Any]) -> Seen | None:
    import cv2

    detector = cv2.aruco.CharucoDetector(sheet.board())
    corners, numbers, _, _ = detector.detectBoard(grey, markerCorners=marks, markerIds=ids)
    if numbers is None or len(numbers) < FEWEST:
        return None
    places = np.asarray(sheet.board().getChessboardCorners(), dtype=np.float64)[numbers.ravel(), :2]
    return Seen(sheet, places, _refined(grey, np.asarray(corners, dtype=np.float32).reshape(-1, 2), places, sheet.square))


def _refined(grey: Image, corners: NDArray[np.float32], places: Floats, square: float) -> Floats:
    """Corners to a fraction of a pixel: the detector leaves those of small squares at whole pixels."""
    import cv2

    far = np.hypot(*(places[1:] - places[0]).T)
    wide = float(np.median(np.hypot(*(corners[1:] - corners[0]).T) / far)) * square
    half = int(np.clip(wide * WINDOW, 2, 15))
    done = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 40, 0.005)
    found = cv2.cornerSubPix(grey, corners.reshape(-1, 1, 2).copy(), (half, half), (-1, -1), done)
    return np.asarray(found, dtype=np.float64).reshape(-1, 2)
