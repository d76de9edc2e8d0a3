"""The model of ``patterns/ID/pieces/PIECE.json``."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from firsthand.errors import GeometryError
from firsthand.geometry import Point
from firsthand.pattern import CornerShape, FateKind, InnerLineKind, NotchKind, PleatKind, Pressed
from firsthand.units import Unit, parse_length
from firsthand.workroom.schema._base import Flag, Id, Margin, MeasuredDocument, NoLess, Positive, Size, Table

__all__ = [
    "CornerTable", "DartTable", "EdgeTable", "FateTable", "LevelLineTable", "LineTable", "NotchTable", "PieceFile",
    "PleatTable", "ShapeTable", "Steps",
]  # fmt: skip

FURTHEST = 100_000.0
"""A coordinate beyond a hundred metres is a slip, mm."""

_NUMBERS = (int, float)
_POINT = {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
Steps = tuple[tuple[Point, ...], ...]
"""The segments of a path without their starts: one point for a line, three for a curve."""


def _factor(info: ValidationInfo) -> float:
    return parse_length(1, Unit((info.context or {}).get("units", Unit.MM)))


def _point_of(value: Any, factor: float) -> Point:
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError("[x, y] with two numbers")
    x, y = value
    if type(x) not in _NUMBERS or type(y) not in _NUMBERS:  # true is a number to Python, not to us
        raise ValueError("[x, y] with two numbers")
    most = FURTHEST / factor
    if not (-most <= x <= most and -most <= y <= most):  # NaN fails this, and whole numbers too long for a float
        raise ValueError("two finite numbers within a hundred metres")
    return Point(x * factor, y * factor)


def _point(value: Any, info: ValidationInfo) -> Point:
    try:
        return _point_of(value, _factor(info))
    except ValueError as error:
        raise PydanticCustomError("several", "a point", {"found": [("", value, str(error))]}) from None


def _point_or_none(value: Any, info: ValidationInfo) -> Point | None:
    return None if value is None else _point(value, info)


_COUNTS = {"line": 1, "curve": 3}


def _steps(value: Any, info: ValidationInfo) -> Steps:
    factor = _factor(info)
    if not isinstance(value, list) or not value:
        found = [("", value, 'a list of ["line", [x, y]] and ["curve", [x, y], [x, y], [x, y]]')]
        raise PydanticCustomError("several", "a path", {"found": found})
    steps: list[tuple[Point, ...]] = []
    wrong: list[tuple[str, Any, str]] = []
    for number, item in enumerate(value, 1):
        count = _COUNTS.get(item[0]) if isinstance(item, list) and item and isinstance(item[0], str) else None
        if count is None or len(item) != count + 1:
            wrong.append((f"[{number}]", item, '["line", [x, y]] or ["curve", [x, y], [x, y], [x, y]]'))
            continue
        points: list[Point] = []
        for place, at in enumerate(item[1:], 2):
            try:
                points.append(_point_of(at, factor))
            except (ValueError, GeometryError) as error:
                wrong.append((f"[{number}][{place}]", at, str(error)))
        steps.append(tuple(points))
    if wrong:
        raise PydanticCustomError("several", "a path", {"found": wrong})
    return tuple(steps)


XY = Annotated[Point, BeforeValidator(_point), WithJsonSchema(_POINT)]
XYOrNone = Annotated[Point | None, BeforeValidator(_point_or_none), WithJsonSchema({"anyOf": [_POINT, {"type": "null"}]})]
StepList = Annotated[
    Steps,
    BeforeValidator(_steps),
    WithJsonSchema(
        {
            "type": "array",
            "minItems": 1,
            "items": {
                "oneOf": [
                    {"type": "array", "prefixItems": [{"const": "line"}, _POINT], "minItems": 2, "maxItems": 2},
                    {"type": "array", "prefixItems": [{"const": "curve"}, *[_POINT] * 3], "minItems": 4, "maxItems": 4},
                ]
            },
        }
    ),
]


class CornerTable(Table):
    """The corner where an edge begins."""

    id: Id
    shape: CornerShape = CornerShape.MITRED


class FateTable(Table):
    """What becomes of an edge."""

    kind: FateKind
    depth: Margin = 0.0


class EdgeTable(Table):
    """One edge, counter-clockwise round the piece."""

    id: Id
    corner: CornerTable
    start: XY
    path: StepList
    allowance: Margin = 15.0
    inlay: Margin = 0.0
    fate: FateTable | None = None


class NotchTable(Table):
    """A mark on an edge."""

    id: Id
    edge: Id
    at: NoLess
    kind: NotchKind = NotchKind.SINGLE


class DartTable(Table):
    """A wedge folded out of an edge."""

    id: Id
    edge: Id
    at: NoLess
    width: Positive
    apex: XY
    pressed: Pressed = Pressed.START


class PleatTable(Table):
    """Cloth folded away at an edge."""

    id: Id
    edge: Id
    at: NoLess
    depth: Positive
    kind: PleatKind = PleatKind.KNIFE
    towards_end: Flag = True
    reach: NoLess = 0.0
    depths: tuple[tuple[Positive, NoLess], ...] = ()
    towards: XYOrNone = None


class LineTable(Table):
    """A line inside the piece."""

    id: Id
    kind: InnerLineKind
    start: XY
    path: StepList


class LevelLineTable(Table):
    """The line of a level on the piece."""

    level: Id
    a: XY
    b: XY


class ShapeTable(Table):
    """The outline in one size, with its markings."""

    grain: tuple[XY, XY]
    edges: Annotated[tuple[EdgeTable, ...], Field(min_length=1)]
    notches: tuple[NotchTable, ...] = ()
    darts: tuple[DartTable, ...] = ()
    pleats: tuple[PleatTable, ...] = ()
    lines: tuple[LineTable, ...] = ()
    levels: tuple[LevelLineTable, ...] = ()


class PieceFile(MeasuredDocument):
    """``patterns/ID/pieces/PIECE.json``."""

    piece: Id
    sizes: dict[Size, ShapeTable]
