"""The DXF sink: a drawing as a DXF file of release R2010 in millimetres, for plotters and other programs."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import groupby
from typing import Any

import ezdxf
from ezdxf.enums import TextEntityAlignment

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Cubic, Line, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, WordKind
from firsthand.sheets.look import WORDS
from firsthand.sheets.sinks._mapped import MappedSink

__all__ = ["LAYERS", "DxfSink"]

MILLIMETRES = 4
"""``$INSUNITS`` for millimetres. Source: Autodesk, *DXF Reference* (2010), HEADER section."""
ONE_CURVE = (0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0)
"""Knots with which a B-spline of degree 3 on four points is the Bézier curve of these points (L. Piegl and W. Tiller, *The
NURBS Book*, 2nd ed. 1997, section 2.2)."""
TEXT = "text"
MARKS = "marks"
LAYERS: dict[LineKind, str] = {
    LineKind.CUTTING: "cutting", LineKind.STITCHING: "stitching", LineKind.BOUGHT: "bought", LineKind.FOLD: "fold",
    LineKind.GRAIN: "grain", LineKind.NOTCH: "notches", LineKind.DART: "darts", LineKind.PLEAT: "pleats",
    LineKind.LEVEL: "levels",
}  # fmt: skip
"""The layer of each kind of line; all others are on ``marks``, words on ``text``."""
COLOURS = {
    "cutting": 7, "stitching": 1, "bought": 8, "fold": 6, "grain": 3, "notches": 2, "darts": 5, "pleats": 30, "levels": 4,
    MARKS: 9, TEXT: 7,
}  # fmt: skip
"""AutoCAD colour numbers, our own choice."""
_SIDES = {
    Anchor.START: TextEntityAlignment.LEFT,
    Anchor.MIDDLE: TextEntityAlignment.CENTER,
    Anchor.END: TextEntityAlignment.RIGHT,
}


class DxfSink(MappedSink):
    """Draws one DXF file.

    Straight stretches become polylines, each curve a spline that is exactly the same curve. What is drawn in a group with a
    name is a block of that name, inserted once. A path that a clip cuts through is drawn whole. The same drawing always gives
    the same bytes.

    Examples
    --------
    >>> sink = DxfSink()
    >>> sink.path(Path.line(Point(0, 0), Point(20, 10)), LineKind.CUTTING)
    >>> b"LWPOLYLINE" in sink.data, sink.data == sink.data
    (True, True)
    """

    def __init__(self) -> None:
        super().__init__(Affine())
        with _always_alike():
            self._file = _EZDXF.new("R2010", setup=False, units=MILLIMETRES)
        self._file.header["$MEASUREMENT"] = 1  # metric
        for name, colour in COLOURS.items():
            self._file.layers.add(name, color=colour)
        self._open: list[Any] = [self._file.modelspace()]

    @property
    def data(self) -> bytes:
        """The whole file.

        Raises
        ------
        GeometryError
            If a group is still open.
        """
        if len(self._open) > 1:
            raise GeometryError("a drawing has a group that it never left")
        stream = io.StringIO()
        with _always_alike():
            self._file.write(stream)
        return stream.getvalue().encode(self._file.output_encoding, errors="dxfreplace")

    def _stroke(self, path: Path, kind: LineKind) -> None:
        layer = {"layer": LAYERS.get(kind, MARKS)}
        for straight, run in groupby(path.segments, lambda segment: isinstance(segment, Line)):
            segments = list(run)
            if straight:
                self._polyline([segments[0].start, *(segment.end for segment in segments)], layer)
            for curve in segments:
                if isinstance(curve, Cubic):
                    self._spline(curve, layer)

    def _polyline(self, points: list[Point], layer: dict[str, str]) -> None:
        closed = len(points) > 3 and points[0] == points[-1]
        corners = [(point.x, point.y) for point in (points[:-1] if closed else points)]
        self._open[-1].add_lwpolyline(corners, close=closed, dxfattribs=layer)

    def _spline(self, curve: Cubic, layer: dict[str, str]) -> None:
        spline = self._open[-1].add_spline(dxfattribs=layer)
        spline.dxf.degree = 3
        spline.control_points = [(point.x, point.y, 0.0) for point in (curve.a, curve.b, curve.c, curve.d)]
        spline.knots = ONE_CURVE

    def _letter(self, text: str, at: Point, kind: WordKind, anchor: Anchor, angle: float) -> None:
        turn = math.degrees(angle)
        word = self._open[-1].add_text(text, height=WORDS[kind].size * CAP, rotation=turn, dxfattribs={"layer": TEXT})
        word.set_placement((at.x, at.y), align=_SIDES[anchor])

    def _enter(self, name: str, clip: Path | None) -> None:
        if not name or self._open[-1] is not self._open[0]:
            self._open.append(self._open[-1])
            return
        block = self._file.blocks.new(self._free(name))
        self._open[0].add_blockref(block.name, (0, 0))
        self._open.append(block)

    def _leave(self, clipped: bool) -> None:
        self._open.pop()

    def _free(self, name: str) -> str:
        """A name for a block: without signs that none may have, and not taken."""
        plain = "".join(" " if sign in '<>/\\":;?*|=`,' else sign for sign in name).strip() or "piece"
        number, free = 1, plain
        while free in self._file.blocks:
            number, free = number + 1, f"{plain} no. {number + 1}"
        return free


_EZDXF: Any = ezdxf  # whose package says nothing of what it exports

CAP = 0.7
"""Height of capitals, which is what a DXF file states, as a share of the size of the letters; from memory."""


@contextmanager
def _always_alike() -> Iterator[None]:
    """Without the date and the random numbers that would make every file another one."""
    before = _EZDXF.options.write_fixed_meta_data_for_testing
    _EZDXF.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        _EZDXF.options.write_fixed_meta_data_for_testing = before
