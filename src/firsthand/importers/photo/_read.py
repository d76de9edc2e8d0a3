"""Photos as files: their size is known before they are decoded, and what they say about their lens is read."""

from __future__ import annotations

import io
import math
import os
import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np

from firsthand.errors import BadInput
from firsthand.importers._file import checked_file, problem
from firsthand.importers.photo._detect import Floats, Image

__all__ = ["FORMATS", "MOST_PIXELS", "Photo", "read_photo"]

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "BMP")
MOST_PIXELS = 120_000_000
"""A photo with more is not decoded."""
LARGE = 26_000_000
"""A photo with more pixels is read at half its size."""
FEWEST = 480
"""Pixels along the shorter side of a photo that can be of use."""
FULL_FRAME = math.hypot(36.0, 24.0)
"""Diagonal of 35 mm film, mm: focal lengths are noted as of a camera for it (Exif 2.3, FocalLengthIn35mmFilm)."""
EXIF_PART, EXIF_FOCAL, EXIF_TURNED = 0x8769, 0xA405, 0x0112


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """One photo.

    Parameters
    ----------
    image
        Colour, 8 bits, blue first, as the sensor saw it (not turned).
    focal
        Focal length in pixels by the photo's own note; 0 if it has none.
    name
        Of its file, for messages.
    turned
        How it is turned to be looked at, 1 to 8 as Exif has it.
    reduced
        Pixels of the file for each pixel of the image.
    """

    image: Image
    focal: float = 0.0
    name: str = ""
    turned: int = 1
    reduced: float = 1.0

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, pixels."""
        return self.image.shape[1], self.image.shape[0]

    def as_seen(self, points: Floats) -> Floats:
        """Places in the picture as one looks at it, as places in the image; pixels, shape (n, 2)."""
        wide, high = self.size
        x, y = (np.asarray(points, dtype=np.float64) / self.reduced).T
        right, low = wide - 1.0, high - 1.0
        ways = {
            1: (x, y), 2: (right - x, y), 3: (right - x, low - y), 4: (x, low - y),
            5: (y, x), 6: (y, low - x), 7: (right - y, low - x), 8: (right - y, x),
        }  # fmt: skip
        return np.column_stack(ways[self.turned])


def read_photo(path: str | os.PathLike[str]) -> Photo:
    """A photo from its file.

    Raises
    ------
    BadInput
        If it is none, is broken or absurdly large.
    """
    from PIL import Image as Pictures
    from PIL import UnidentifiedImageError

    file = checked_file(path, "photo")
    expected = "a photo as JPEG, PNG, WebP or TIFF"

    def bad(found: str, wanted: str = expected, remedy: str = "Save it as JPEG and try again.") -> BadInput:
        return BadInput([problem(file, "", found, wanted, remedy)])

    data = file.read_bytes()
    Pictures.init()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            with Pictures.open(io.BytesIO(data), formats=FORMATS) as picture:
                wide, high = picture.size
                if wide * high > MOST_PIXELS:
                    most = f"at most {MOST_PIXELS // 1_000_000} megapixels"
                    raise bad(f"{wide} x {high} pixels", most, "Take the photo at the usual size.")
                if min(wide, high) < FEWEST:
                    remedy = "Take the photo as the camera gives it, not one made small for sending."
                    raise bad(f"{wide} x {high} pixels", f"at least {FEWEST} each way", remedy)
                exif = picture.getexif()
                noted, turned = _noted(exif), _turned(exif)
                return _decoded(picture, noted, turned, file.name)
        except Pictures.DecompressionBombError:
            most = f"at most {MOST_PIXELS // 1_000_000} megapixels"
            raise bad("an absurd number of pixels", most, "Take the photo at the usual size.") from None
        except UnidentifiedImageError:
            raise bad("something else") from None
        except BadInput:
            raise
        except MemoryError:
            raise bad("more than fits into memory") from None
        except Exception as error:  # the decoders of many formats raise whatever they like
            raise bad(f"a broken file ({type(error).__name__})") from None


def _decoded(picture: Any, noted: float, turned: int, name: str) -> Photo:
    wide, high = picture.size
    if wide * high > LARGE and picture.format == "JPEG":
        picture.draft("RGB", (wide // 2, high // 2))
    picture = picture.convert("RGB")
    image = np.ascontiguousarray(np.asarray(picture, dtype=np.uint8)[:, :, ::-1])
    while image.shape[0] * image.shape[1] > LARGE:
        import cv2

        image = np.asarray(cv2.resize(image, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    focal = noted / FULL_FRAME * math.hypot(image.shape[0], image.shape[1])
    return Photo(image, focal, name, turned, wide / image.shape[1])


def _noted(exif: Any) -> float:
    """The focal length for 35 mm film, mm; 0 if it is not noted or has no sense."""
    try:
        value = float(exif.get_ifd(EXIF_PART).get(EXIF_FOCAL, 0))
    except (TypeError, ValueError, ZeroDivisionError, KeyError, OSError):
        return 0.0
    return value if math.isfinite(value) and 10 <= value <= 400 else 0.0


def _turned(exif: Any) -> int:
    value = exif.get(EXIF_TURNED, 1)
    return value if isinstance(value, int) and 1 <= value <= 8 else 1
