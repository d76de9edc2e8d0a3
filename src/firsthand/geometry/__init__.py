"""Curves, paths, offsets and transforms. Knows no sewing."""

from firsthand.geometry._path import Path
from firsthand.geometry._point import Affine, Box, Point
from firsthand.geometry._segment import Cubic, Line, Segment

__all__ = ["Affine", "Box", "Cubic", "Line", "Path", "Point", "Segment"]
