"""From a pattern to its files: the exact inverse of reading them."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import MISSING, fields, replace
from enum import Enum
from functools import partial
from typing import Any

from firsthand.errors import GeometryError
from firsthand.geometry import Line, Path, Point
from firsthand.pattern import Closure, Edge, EdgeRef, Opening, Pattern, Piece, Seam, Shape, stem
from firsthand.units import Unit, parse_angle, parse_length
from firsthand.workroom._hands import handless, is_pair, seam_pairs
from firsthand.workroom._refs import BOTH
from firsthand.workroom._toml import toml_table, toml_text
from firsthand.workroom.migrations import CURRENT

__all__ = ["laid_out", "pattern_files", "piece_json", "piece_rows", "piece_table", "pieces_rows"]

Row = dict[str, Any]


def pattern_files(pattern: Pattern) -> dict[str, bytes]:
    """The files of a pattern.

    Reading them gives an equal pattern back: sizes chosen and alterations made are not part of a pattern, so a piece is
    written as it was bought.

    Parameters
    ----------
    pattern
        The pattern.

    Returns
    -------
    dict
        Contents by path below ``patterns/ID/``: ``pattern.toml``, and ``pieces/PIECE.json`` for each piece with an outline.
    """
    files = {"pattern.toml": _pattern_toml(pattern)}
    for piece in pattern.pieces.values():
        if piece.sizes:
            files[f"pieces/{piece.id}.json"] = piece_json(piece)
    return files


# pieces -----------------------------------------------------------------------------------------------------


def piece_json(piece: Piece) -> bytes:
    """The file of a piece: its outlines as bought, in millimetres.

    Raises
    ------
    GeometryError
        If the piece has no outline.
    """
    return laid_out(piece_rows(piece)).encode()


def piece_rows(piece: Piece) -> Row:
    """What :func:`piece_json` writes, as plain lists and dictionaries."""
    if not piece.sizes:
        raise GeometryError(f"the piece {piece.id} has no outline to write")
    return {
        "schema": CURRENT,
        "units": "mm",
        "piece": piece.id,
        "sizes": {size: _shape(shape) for size, shape in piece.sizes.items()},
    }


def pieces_rows(pattern: Pattern) -> Row:
    """A whole pattern in one: the tables of ``pattern.toml`` in millimetres, with the outlines in its pieces."""
    rows = _pattern_rows(pattern, Unit.MM)
    for row, piece in zip(rows["piece"], pattern.pieces.values(), strict=True):
        row["sizes"] = {size: _shape(shape) for size, shape in piece.sizes.items()}
    return rows


def _shape(shape: Shape) -> Row:
    row: Row = {"grain": [_xy(point) for point in shape.grain], "edges": [_edge(edge) for edge in shape.edges]}
    row["notches"] = [_row(notch) for notch in shape.notches]
    row["darts"] = [_row(dart) for dart in shape.darts]
    row["pleats"] = [_row(pleat) for pleat in shape.pleats]
    row["lines"] = [{"id": line.id, "kind": line.kind.value, **_path(line.path)} for line in shape.lines]
    row["levels"] = [_row(level) for level in shape.levels]
    return {key: value for key, value in row.items() if value}


def _edge(edge: Edge) -> Row:
    row: Row = {"id": edge.id, "corner": _row(edge.corner), **_path(edge.path), "allowance": _plain(edge.allowance)}
    if edge.inlay:
        row["inlay"] = _plain(edge.inlay)
    if edge.fate is not None:
        row["fate"] = _row(edge.fate)
    return row


def _path(path: Path) -> Row:
    steps = [
        ["line", _xy(segment.b)] if isinstance(segment, Line) else ["curve", _xy(segment.b), _xy(segment.c), _xy(segment.d)]
        for segment in path.segments
    ]
    return {"start": _xy(path.start), "path": steps}


def _row(value: Any) -> Row:
    """The fields of a flat dataclass, those that are as usual left out."""
    row: Row = {}
    for field in fields(value):
        here = getattr(value, field.name)
        if field.default is MISSING or here != field.default:
            row[field.name] = _plain(here)
    return row


def _plain(value: Any) -> Any:
    if isinstance(value, Point):
        return _xy(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return int(value)
    return value


def _xy(point: Point) -> list[float]:
    return [_plain(point.x), _plain(point.y)]


def laid_out(value: Any) -> str:
    """JSON that a person can read: what fits on a line stays on it.

    Examples
    --------
    >>> print(laid_out({"edges": [{"start": [0, 1.5]}]}), end="")
    {"edges": [{"start": [0, 1.5]}]}
    """
    return _laid_out(value, 0) + "\n"


def _laid_out(value: Any, depth: int) -> str:
    flat = json.dumps(value, ensure_ascii=False, allow_nan=False)
    if len(flat) + 2 * depth <= 110 or not isinstance(value, dict | list) or not value:
        return flat
    inner, outer = "  " * (depth + 1), "  " * depth
    if isinstance(value, dict):
        items = [f"{json.dumps(key, ensure_ascii=False)}: {_laid_out(item, depth + 1)}" for key, item in value.items()]
        return "{\n" + ",\n".join(inner + item for item in items) + f"\n{outer}}}"
    return "[\n" + ",\n".join(inner + _laid_out(item, depth + 1) for item in value) + f"\n{outer}]"


# pattern.toml -----------------------------------------------------------------------------------------------


class _Inexact(Exception):
    """A length that cannot be written in centimetres without changing it."""


def _pattern_toml(pattern: Pattern) -> bytes:
    try:
        rows = _pattern_rows(pattern, Unit.CM)
    except _Inexact:
        rows = _pattern_rows(pattern, Unit.MM)
    return toml_text(rows).encode()


def _written(unit: Unit, millimetres: float) -> Any:
    """A length as a number in a unit that reads back as the same length."""
    number = millimetres if unit is Unit.MM else round(millimetres / parse_length(1, unit), 10)
    if unit is not Unit.MM and parse_length(number, unit) != millimetres:
        raise _Inexact
    return _plain(number)


def _pattern_rows(pattern: Pattern, unit: Unit) -> Row:
    length = partial(_written, unit)
    rows: Row = {"schema": CURRENT, "units": unit.value, "name": pattern.name, "sizes": list(pattern.sizes)}
    if pattern.trimmed:
        rows["trimmed"] = list(pattern.trimmed)
    if pattern.expects_stretch:
        rows["expects_stretch"] = _plain(pattern.expects_stretch)
    if pattern.expects_thickness:
        rows["expects_thickness"] = length(pattern.expects_thickness)
    if pattern.scale is not None:
        rows["scale"] = {"printed": length(pattern.scale.printed), "measured": length(pattern.scale.measured)}
    if pattern.chart:
        rows["chart"] = {size: {key: length(v) for key, v in row.items()} for size, row in pattern.chart.items()}
    rows["piece"] = [_piece_row(piece, length) for piece in pattern.pieces.values()]
    rows["seam"] = _seam_rows(pattern.seams, length)
    rows["level"] = [_lengths(_row(level), length, "extra") for level in pattern.levels]
    closures = _sided_rows(pattern.closures, _closure_row, lambda right, left: True)
    rows["closure"] = [_lengths(row, length, "overlap") for row in closures]
    known = {closure.id for closure in pattern.closures}
    rows["opening"] = _sided_rows(pattern.openings, _opening_row, partial(_same_closure, known))
    rows["haberdashery"] = [_lengths(_row(item), length, "length") for item in pattern.haberdashery]
    rows["applied"] = [_row(item) for item in pattern.applied]
    return {key: value for key, value in rows.items() if value != []}


def _lengths(row: Row, length: partial[Any], *names: str) -> Row:
    return {key: length(value) if key in names else value for key, value in row.items()}


def _piece_row(piece: Piece, length: partial[Any]) -> Row:
    usual = Piece(piece.id, "", piece.id, ())
    row: Row = {"id": piece.id}
    for name in ("number", "name", "fold", "drawn", "condition", "turning"):
        if getattr(piece, name) != getattr(usual, name):
            row[name] = _plain(getattr(piece, name))
    if piece.grain_tolerance:
        row["grain_tolerance"] = _degrees(piece.grain_tolerance)
    if piece.cuts:
        row["cut"] = [{"role": cut.role, "how": cut.how.value, "count": cut.count} for cut in piece.cuts]
    if piece.rough:
        row["rough"] = {size: [length(rough.length), length(rough.width)] for size, rough in piece.rough.items()}
    return row


def piece_table(piece: Piece, unit: str) -> Any:
    """One ``[[piece]]`` of a ``pattern.toml`` that is there already, in its units, as a tomlkit table."""
    try:
        row = _piece_row(piece, partial(_written, Unit(unit)))
    except _Inexact:
        row = _piece_row(piece, partial(_named_millimetres))
    return toml_table(row)


def _named_millimetres(millimetres: float) -> str:
    return f"{_plain(round(millimetres, 9))} mm"


def _degrees(angle: float) -> Any:
    """Degrees that read back as the same angle, as few digits as that takes."""
    degrees = math.degrees(angle)
    for digits in range(18):
        if parse_angle(round(degrees, digits)) == angle:
            return _plain(round(degrees, digits))
    return degrees


# seams, openings, closures ----------------------------------------------------------------------------------


def _refs(refs: Iterable[EdgeRef]) -> list[str]:
    return [str(ref) for ref in refs]


def _seam_rows(seams: Sequence[Seam], length: partial[Any]) -> list[Row]:
    pairs = seam_pairs(seams)
    rows = []
    for seam in seams:
        base = stem(seam.id)
        if seam.id == f"{base} left" and base in pairs:
            continue
        hands = pairs[base] if seam.id == f"{base} right" and base in pairs else "as written"
        row = _seam_row(seam, hands, length)
        if seam.after:
            row["after"] = list(seam.after) if hands == "as written" else [_named(name, pairs) for name in seam.after]
        rows.append(row)
    return rows


def _named(name: str, pairs: Mapping[str, str]) -> str:
    base = name.removesuffix(" right")
    return base if base != name and base in pairs else name


def _seam_row(seam: Seam, hands: str, length: partial[Any]) -> Row:
    row = _row(replace(seam, after=()))
    for name in ("easing", "tolerance"):
        if name in row:
            row[name] = length(row[name])
    if hands == "as written":
        return {"id": seam.id, "a": _refs(seam.a), "b": _refs(seam.b), "hands": hands, **_rest(row)}
    row = {"id": seam.id.removesuffix(" right"), "a": _refs(handless(seam.a)), "b": _refs(handless(seam.b)), **_rest(row)}
    if hands != "each":
        row["hands"] = hands
    return row


def _rest(row: Row) -> Row:
    return {key: value for key, value in row.items() if key not in ("id", "a", "b", "edges")}


def _closure_row(closure: Closure, edges: Sequence[EdgeRef]) -> Row:
    return {"id": closure.id, **({"edges": _refs(edges)} if edges else {}), **_rest(_row(replace(closure, edges=())))}


def _opening_row(opening: Opening, edges: Sequence[EdgeRef]) -> Row:
    return {"id": opening.id, "edges": _refs(edges), **_rest(_row(opening))}


def _same_closure(known: set[str], right: Opening, left: Opening) -> bool:
    return right.closure == left.closure and f"{right.closure} right" not in known and f"{left.closure} left" not in known


def _sided_rows(items: Sequence[Any], row_of: Any, alike: Any) -> list[Row]:
    rows: list[Row] = []
    ids = {item.id for item in items}
    at = 0
    while at < len(items):
        item = items[at]
        following = items[at + 1] if at + 1 < len(items) else None
        base = item.id.removesuffix(" right")
        if following is not None and base not in ids and is_pair(item, following) and alike(item, following):
            rows.append({**row_of(replace(item, id=base), handless(item.edges)), "hands": "each"})
            at += 2
            continue
        half = item.edges[: len(item.edges) // 2]
        if half and item.edges == tuple(replace(ref, hand=hand) for hand in BOTH for ref in half):
            rows.append({**row_of(item, handless(half)), "hands": "both"})
        else:
            rows.append(row_of(item, item.edges))
        at += 1
    return rows
