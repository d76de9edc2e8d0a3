"""The DXF sink: a drawing as a DXF file of release R2010 in millimetres, for plotters and other programs."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import ezdxf
from ezdxf.enums import TextEntityAlignment

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Cubic, Line, Path, Point, Segment
from firsthand.geometry.drawing import Anchor, LineKind, WordKind
from firsthand.sheets.look import WORDS
from firsthand.sheets.sinks._mapped import MappedSink

__all__ = ["LAYERS", "DxfSink"]

MILLIMETRES = 4
"""``$INSUNITS`` for millimetres. Source: *DXF Reference* for the releases of 2010, section HEADER."""
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
"""Colour numbers of DXF; the choice is our own."""
_SIDES = {
    Anchor.START: TextEntityAlignment.LEFT,
    Anchor.MIDDLE: TextEntityAlignment.CENTER,
    Anchor.END: TextEntityAlignment.RIGHT,
}


class DxfSink(MappedSink):
    """Draws one DXF file.

    A path of straight lines becomes a polyline, one with curves a spline that is exactly the same: a B-spline of degree 3
    whose inner knots are threefold is a chain of Bézier curves (L. Piegl and W. Tiller, *The NURBS Book*, 2nd ed. 1997,
    section 5.3). What is drawn in a group with a name is a block of that name, inserted once. A path that a clip cuts through
    is drawn whole. The same drawing always gives the same bytes.

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
        if any(isinstance(segment, Cubic) for segment in path):
            self._spline(path, layer)
        else:
            self._polyline([path.start, *(segment.end for segment in path)], layer)

    def _polyline(self, points: list[Point], layer: dict[str, str]) -> None:
        closed = len(points) > 3 and points[0] == points[-1]
        corners = [(point.x, point.y) for point in (points[:-1] if closed else points)]
        self._open[-1].add_lwpolyline(corners, close=closed, dxfattribs=layer)

    def _spline(self, path: Path, layer: dict[str, str]) -> None:
        points = [path.start]
        for segment in path:
            points += _handles(segment)
        spline = self._open[-1].add_spline(dxfattribs=layer)
        spline.dxf.degree = 3
        spline.control_points = [(point.x, point.y, 0.0) for point in points]
        inner = [float(knot) for knot in range(1, len(path.segments)) for _ in range(3)]
        spline.knots = [0.0] * 4 + inner + [float(len(path.segments))] * 4

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


def _handles(segment: Segment) -> tuple[Point, Point, Point]:
    """The points behind the start of a segment, of a straight one too as if it were a curve."""
    if isinstance(segment, Line):
        return segment.a.towards(segment.b, 1 / 3), segment.a.towards(segment.b, 2 / 3), segment.b
    return segment.b, segment.c, segment.d


@contextmanager
def _always_alike() -> Iterator[None]:
    """Without the date and the random numbers that would make every file another one."""
    before = _EZDXF.options.write_fixed_meta_data_for_testing
    _EZDXF.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        _EZDXF.options.write_fixed_meta_data_for_testing = before
