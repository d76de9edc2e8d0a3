"""Drawing one piece at true size, in its own coordinates."""

from __future__ import annotations

from firsthand.geometry import Line, Path, Point
from firsthand.geometry.drawing import LineKind, Sink
from firsthand.pattern import (
    Dart,
    Edge,
    Garment,
    InnerLineKind,
    Notch,
    NotchKind,
    Piece,
    Pleat,
    PleatKind,
    Shape,
    capped_edge,
    drawn_fold,
    drawn_outline,
    pleat_lines,
)
from firsthand.sheets._piece_words import BRACKET, level_ends, write_on_piece
from firsthand.sheets._placing import Walls
from firsthand.sheets.sinks.measure import MeasureSink
from firsthand.sheets.sinks.tape import Tape
from firsthand.units import Unit

__all__ = ["draw_piece"]

INNER = {
    InnerLineKind.PLACEMENT: LineKind.PLACEMENT,
    InnerLineKind.BUTTONHOLE: LineKind.PLACEMENT,
    InnerLineKind.EYELET: LineKind.FRAME,
    InnerLineKind.FOLD: LineKind.PLEAT,
    InnerLineKind.STITCHING: LineKind.STITCHING,
    InnerLineKind.CUT_OUT: LineKind.CUTTING,
}
ARROW = 4.0
"""Length of arrow heads, mm."""
TICK = 6.0
"""Length of a notch on an edge without allowance, mm."""
PLEAT_RUN = 60.0
"""How far the fold lines of a pleat are drawn into the piece, mm."""


def draw_piece(sink: Sink, garment: Garment, piece: Piece, units: Unit) -> None:
    """Draw a piece with all its marks, but without its name.

    Parameters
    ----------
    sink
        Where to; in the piece's own coordinates.
    garment
        For the names of levels.
    piece
        A piece with an outline.
    units
        For the allowances written along its edges.
    """
    bare, measure = Tape(), MeasureSink()
    _draw_lines(bare, piece)
    bare.play(sink)
    bare.play(measure)
    write_on_piece(sink, garment, piece, Walls(line for _, line in measure.lines), units)


def _draw_lines(sink: Sink, piece: Piece) -> None:
    shape, found, fold = piece.drawn_shape, drawn_outline(piece), drawn_fold(piece)
    for path in _bought(piece, shape):
        sink.path(path, LineKind.BOUGHT)
    sink.path(found.cut, LineKind.CUTTING)
    for edge in shape.edges:
        if edge.id != fold and edge.margin > 0:
            sink.path(capped_edge(shape, edge.id), LineKind.STITCHING)
    if found.fold is not None:
        _draw_fold(sink, found.fold, shape.edge(fold).path)
    for line in shape.lines:
        _draw_inner(sink, line.path, line.kind)
    for dart in shape.darts:
        _draw_dart(sink, shape.edge(dart.edge), dart)
    for pleat in shape.pleats:
        _draw_pleat(sink, shape, pleat)
    for notch in shape.notches:
        _draw_notch(sink, shape.edge(notch.edge), notch)
    for level in shape.levels:
        sink.path(Path((Line(*level_ends(shape, level)),)), LineKind.LEVEL)
    _draw_grain(sink, *shape.grain)


def _bought(piece: Piece, shape: Shape) -> list[Path]:
    """The edges as they were bought, where they are no longer so."""
    if piece.bought is None:
        return []
    now = {edge.path for edge in shape.edges}
    return [edge.path for edge in piece.bought.edges if edge.path not in now]


def _draw_fold(sink: Sink, fold: tuple[Point, Point], edge: Path) -> None:
    sink.path(Path.line(*fold), LineKind.FOLD)
    inwards = (fold[1] - fold[0]).unit().left
    a, b = edge.start.towards(edge.end, 0.12), edge.start.towards(edge.end, 0.88)
    sink.path(Path.line(a + inwards * ARROW, a + inwards * BRACKET, b + inwards * BRACKET, b + inwards * ARROW), LineKind.GRAIN)
    for tip in (a, b):
        _arrow_head(sink, tip + inwards * 0.6, -inwards, LineKind.GRAIN)


def _arrow_head(sink: Sink, tip: Point, way: Point, kind: LineKind, size: float = ARROW) -> None:
    back = tip - way * size
    sink.path(Path.polygon([tip, back + way.left * (size * 0.35), back - way.left * (size * 0.35)]), kind)


def _draw_grain(sink: Sink, low: Point, high: Point) -> None:
    way = (high - low).unit()
    sink.path(Path.line(low, high - way * ARROW * 1.4), LineKind.GRAIN)
    _arrow_head(sink, high, way, LineKind.GRAIN, ARROW * 1.4)
    sink.path(Path.line(low + way.left * 2, low - way.left * 2), LineKind.GRAIN)


def _draw_notch(sink: Sink, edge: Edge, notch: Notch) -> None:
    way = edge.path.tangent_at(notch.at)
    out = -way.left * edge.margin if edge.margin > 1.0 else way.left * TICK
    for shift in (-1.5, 1.5) if notch.kind is NotchKind.DOUBLE else (0.0,):
        foot = edge.path.at(notch.at) + way * shift
        sink.path(Path.line(foot, foot + out), LineKind.NOTCH)


def _draw_dart(sink: Sink, edge: Edge, dart: Dart) -> None:
    for at in (dart.at - dart.width / 2, dart.at + dart.width / 2):
        sink.path(Path.line(edge.path.at(at), dart.apex), LineKind.DART)
    sink.path(Path.line(edge.path.at(dart.at), dart.apex), LineKind.RULE)
    sink.path(Path.arc(dart.apex, 1.2, 0, 6.283185307179586), LineKind.NOTCH)


def _draw_pleat(sink: Sink, shape: Shape, pleat: Pleat) -> None:
    lines = pleat_lines(shape, pleat, least=PLEAT_RUN)
    if not lines:
        return
    for line in lines if pleat.kind is PleatKind.KNIFE else (lines[0], lines[2], lines[4]):
        sink.path(line, LineKind.PLEAT)
    middle, fold, land = (line.at(12) for line in (lines[len(lines) // 2], lines[0], lines[-1]))
    arrows = {
        PleatKind.KNIFE: ((fold, land) if pleat.towards_end else (land, fold),),
        PleatKind.BOX: ((middle, fold), (middle, land)),
        PleatKind.INVERTED: ((fold, middle), (land, middle)),
    }[pleat.kind]
    for a, b in arrows:
        way = (b - a).unit()
        sink.path(Path.line(a, b - way * ARROW), LineKind.GRAIN)
        _arrow_head(sink, b, way, LineKind.GRAIN, min(ARROW, a.distance(b) / 2))


def _draw_inner(sink: Sink, path: Path, kind: InnerLineKind) -> None:
    sink.path(path, INNER[kind])
    if kind is InnerLineKind.BUTTONHOLE and not path.is_closed:
        for end, way in ((path.start, path.start_tangent), (path.end, path.end_tangent)):
            sink.path(Path.line(end + way.left * 2, end - way.left * 2), LineKind.NOTCH)
    if kind is InnerLineKind.EYELET and path.is_closed:
        middle = path.bounds.centre
        for arm in (Point(1.5, 0), Point(0, 1.5)):
            sink.path(Path.line(middle - arm, middle + arm), LineKind.FRAME)
