"""Curves, paths, offsets and transforms. Knows no sewing."""

from firsthand.geometry._meet import Crossing, intersections, self_crossings
from firsthand.geometry._nearest import nearest
from firsthand.geometry._offset import offset
from firsthand.geometry._outwards import flatten_outwards
from firsthand.geometry._path import Path
from firsthand.geometry._point import Affine, Box, Point
from firsthand.geometry._polygon import encloses
from firsthand.geometry._segment import Cubic, Line, Segment
from firsthand.geometry._smooth import extended, smooth

__all__ = [
    "Affine", "Box", "Crossing", "Cubic", "Line", "Path", "Point", "Segment", "encloses", "extended", "flatten_outwards",
    "intersections", "nearest", "offset", "self_crossings", "smooth",
]  # fmt: skip
