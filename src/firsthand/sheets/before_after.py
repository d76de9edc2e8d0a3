"""Before and after drawn together: one page for each altered piece, to scale, with the numbers that moved."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from firsthand.alter import Mark, Offset, Tissue
from firsthand.fit.model import FitResult
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, Sink, WordKind
from firsthand.pattern import Garment, Piece, Shape
from firsthand.sheets._flow import Flow, list_paper
from firsthand.sheets._lettering import ASCENT, LEADING, width, wrap
from firsthand.sheets._placing import Walls
from firsthand.sheets._tissue_rows import said_words
from firsthand.sheets._tissue_words import Cut, cuts, edge_words, motion_words, piece_tissues, square_words
from firsthand.sheets._words import length, piece_title, sentence
from firsthand.sheets.look import WORDS
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.units import Unit

__all__ = ["before_after"]

SCALES = (1, 2, 2.5, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 100)
"""One to so much."""
APART = 22.0
"""Figures on one edge stand at least this far apart, mm on paper."""
ARROW, HEAD = 7.0, 1.6
"""Length of arrows and of their heads, mm on paper."""
FARS = (-4.5, 4.5, -7.0, 7.0, -10.0, 10.0, -14.0)
"""How far from its edge a name is tried, positive into the piece, mm on paper."""
NOW, BOUGHT, CUT = LineKind.NOTCH, LineKind.BOUGHT, LineKind.LEVEL


@SHEETS[Scope.GARMENT].register("before-after")
def before_after(results: Results) -> tuple[SheetFile, ...]:
    """One file for each garment of which a piece was altered."""
    return tuple(file for fit in results.fits.values() for file in _sheet(results, fit))


def _sheet(results: Results, fit: FitResult) -> tuple[SheetFile, ...]:
    found = [(piece, tissue) for piece, tissue in piece_tissues(fit, results.settings.units) if _differs(piece, tissue)]
    if not found:
        return ()
    garment = fit.garment
    flow = Flow(list_paper(results), f"{garment.name or garment.id}: before and after")
    for number, (piece, tissue) in enumerate(found):
        if number:
            flow.turn()
        _page(flow, results, garment, piece, tissue)
    return (flow.file(f"{garment.id}/before-after.pdf", "before-after", results),)


def _differs(piece: Piece, tissue: Tissue) -> bool:
    """Whether there is anything to see: a piece that is only turned over or opened out is as printed."""
    return not tissue.new and tissue.printed(piece) != piece.drawn_shape


def _page(flow: Flow, results: Results, garment: Garment, piece: Piece, tissue: Tissue) -> None:
    units = results.settings.units
    flow.paragraph(piece_title(piece), WordKind.NAME)
    for number, stage in enumerate(tissue.stages, 1):
        flow.paragraph(f"{number}. {sentence(said_words(stage.words, garment, units))}", WordKind.SMALL)
    frame = Box(flow.frame.left, flow.frame.bottom + 12, flow.frame.right, flow.y - 8)
    drawing = _fitted(piece, tissue, units, frame)
    _key(flow, drawing, Point(flow.frame.left, flow.frame.bottom + 2))
    drawing.draw(flow.sink)
    flow.y = flow.frame.bottom


@dataclass(frozen=True, slots=True)
class _Drawing:
    """A piece before and after, one to ``scale``."""

    bought: Shape | None
    now: Shape
    tissue: Tissue
    units: Unit
    scale: float
    onto: Affine

    def draw(self, sink: Sink) -> None:
        """Draw it on a page."""
        lines: list[tuple[Path, LineKind]] = [(edge.path, NOW) for edge in self.now.edges]
        lines += [(edge.path, BOUGHT) for edge in self.bought.edges] if self.bought else []
        lines += [(Path.line(*legs), BOUGHT) for legs in _legs(self.bought)] if self.bought else []
        lines += [(Path.line(*legs), LineKind.FRAME) for legs in _legs(self.now)]
        lines += [(path, CUT) for path in self.cuts()]
        sink.push(self.onto, name="before and after")
        for path, kind in lines:
            sink.path(path, kind)
        _grain(sink, self.now, self.scale)
        sink.pop()
        lines.append((Path.line(*self.now.grain), LineKind.GRAIN))
        walls = Walls([path.transformed(self.onto).flattened(0.2) for path, _ in lines])
        for text, at, way in self._figures():
            _arrow(sink, walls, text, self.onto(at), way)
        for text, at in self._parts():
            _write_block(sink, walls, text, self.onto(at))
        for edge in self.now.edges:
            middle = edge.path.length / 2
            inwards = edge.path.tangent_at(middle).left
            words = edge_words(self.now, edge.id)
            clear = abs(inwards.x) * width(words, WordKind.SMALL) / 2
            spots = [inwards * math.copysign(abs(far) + more, far) for far in FARS for more in (0.0, clear)]
            _write(sink, walls, words, self.onto(edge.path.at(middle)), spots, WordKind.SMALL)

    def _figures(self) -> Iterator[tuple[str, Point, Point]]:
        """Offsets to letter: the words, the place on the printed line as it lies, and which way the line went."""
        if self.bought is None:
            return
        by_edge = itertools.groupby(self.tissue.offsets, key=lambda offset: offset.edge)
        for edge, here in by_edge:
            path = self.bought.edge(edge).path
            for offset in _chosen([o for o in here if o.mark is Mark.STATION and round(abs(o.square))], APART * self.scale):
                bit = next(bit for bit in self.tissue.bits if bit.edge == edge and offset.at <= bit.end + 1e-6)
                foot = bit.motion(path.at(offset.at))
                inwards = (bit.motion(path.at(offset.at) + path.tangent_at(offset.at)) - foot).unit().left
                yield (
                    square_words(offset.square, self.units),
                    foot + inwards * offset.square,
                    inwards * math.copysign(1, offset.square),
                )

    def _parts(self) -> Iterator[tuple[str, Point]]:
        """What is moved as a whole, lettered in its middle."""
        if self.bought is None:
            return
        for stage in self.tissue.stages:
            for moved in stage.moved:
                words = f"this part {motion_words(moved, self.units, short=True)}"
                yield f"copied at {moved.factor * 100:.1f} %" if moved.factor != 1.0 else words, moved.middle

    def cuts(self) -> Iterator[Path]:
        """Where the tissue is cut through, as printed: to the other end, to the hinge, or to the point of a dart."""
        if self.bought is None:
            return
        yield from (line.path for line in self.tissue.lines)
        for stage in self.tissue.stages:
            for cut in cuts(stage):
                yield from self._cut(self.bought, cut)

    def _cut(self, bought: Shape, cut: Cut) -> Iterator[Path]:
        places = [bought.edge(end.edge).path.at(end.at) for end in cut.ends if end.edge]
        darts = {dart.id: dart.apex for dart in bought.darts}
        if cut.hinge is not None:
            hinge = cut.hinge
            far = [bought.edge(hinge.edge).path.at(hinge.at) if hinge.edge else hinge.point]
        elif cut.dart in darts:
            far = [darts[cut.dart]]
        else:
            far = list(darts.values()) if cut.inside and len(darts) == 1 else []
        ends = list(itertools.product(places, far)) if far else list(itertools.pairwise(places)) * (not cut.inside)
        yield from (Path.line(one, two) for one, two in ends if one.distance(two) > 1.0)


def _fitted(piece: Piece, tissue: Tissue, units: Unit, frame: Box) -> _Drawing:
    now = piece.drawn_shape
    bought = None if tissue.new else tissue.printed(piece)
    box = now.outline.bounds if bought is None else now.outline.bounds.union(bought.outline.bounds)
    wide, high = frame.width - 30.0, frame.height - 12.0
    need = max(box.width / wide, box.height / high)
    scale = next((one for one in SCALES if one >= need), math.ceil(need))
    to = frame.centre - box.centre / scale
    return _Drawing(bought, now, tissue, units, scale, Affine.translation(to.x, to.y) @ Affine.scaling(1 / scale))


def _legs(shape: Shape) -> Iterator[tuple[Point, Point]]:
    for dart in shape.darts:
        path = shape.edge(dart.edge).path
        for side in (-0.5, 0.5):
            yield path.at(dart.at + side * dart.width), dart.apex


def _chosen(offsets: Sequence[Offset], apart: float) -> list[Offset]:
    """Offsets far enough from each other: of equal ones in a row the middle one, else as many as find room."""
    middles = []
    for _, same in itertools.groupby(offsets, key=lambda offset: round(offset.square)):
        run = list(same)
        middles.append(run[len(run) // 2])
    chosen: list[Offset] = []
    for offset in sorted(middles, key=lambda offset: -abs(offset.square)):
        if all(abs(offset.at - other.at) >= apart for other in chosen):
            chosen.append(offset)
    return chosen


def _grain(sink: Sink, shape: Shape, scale: float) -> None:
    low, high = shape.grain
    way = (high - low).unit()
    size = 4.0 * scale
    sink.path(Path.line(low, high - way * size), LineKind.GRAIN)
    back = high - way * size
    sink.path(Path.polygon([high, back + way.left * (size * 0.35), back - way.left * (size * 0.35)]), LineKind.GRAIN)


def _arrow(sink: Sink, walls: Walls, text: str, tip: Point, way: Point) -> None:
    """An arrow that ends on the new line, and its figure behind it."""
    tail = tip - way * ARROW
    sink.path(Path.line(tail, tip - way * HEAD), LineKind.FRAME)
    back = tip - way * HEAD
    sink.path(Path.polygon([tip, back + way.left * 0.7, back - way.left * 0.7]), LineKind.FRAME)
    half = width(text, WordKind.SMALL) / 2 + 1.0
    behind = Point(-way.x * half, -way.y * 2.2)
    _write(
        sink,
        walls,
        text,
        tail,
        (behind, behind + way.left * 4, behind - way.left * 4, way * (ARROW + 3) - behind),
        WordKind.SMALL,
    )


def _write(sink: Sink, walls: Walls, text: str, at: Point, shifts: Sequence[Point], kind: WordKind) -> None:
    """Letter words with their middle at the first of some places where they cover nothing, else at the first."""
    half, high = width(text, kind) / 2, WORDS[kind].size * ASCENT

    def corners(shift: Point) -> tuple[Point, ...]:
        spot = at + shift
        return Box(spot.x - half, spot.y - high / 2, spot.x + half, spot.y + high / 2).corners

    shift = next((one for one in shifts if walls.free(corners(one), 1.0)), shifts[0])
    sink.words(text, at + shift - Point(0, high / 2), kind, anchor=Anchor.MIDDLE)
    walls.add(corners(shift))


def _write_block(sink: Sink, walls: Walls, text: str, at: Point) -> None:
    """Letter words in short lines, one below the other, as near a place as they cover nothing."""
    lines = wrap(text, WordKind.SMALL, 28.0)
    wide, step = max(width(line, WordKind.SMALL) for line in lines), WORDS[WordKind.SMALL].size * LEADING
    half = Point(wide / 2, len(lines) * step / 2)
    tries = [at + Point(x, y) for y in (0, -8, 8, -16, 16, -26, 26, -36) for x in (0, -6, 6, -12, 12, -20, 20)]
    boxes = [Box(spot.x - half.x, spot.y - half.y, spot.x + half.x, spot.y + half.y) for spot in tries]
    box = next((one for one in boxes if walls.free(one.corners, 0.8)), boxes[0])
    y = box.top
    for line in lines:
        sink.words(line, Point(box.centre.x, y - WORDS[WordKind.SMALL].size * ASCENT), WordKind.SMALL, anchor=Anchor.MIDDLE)
        y -= step
    walls.add(box.corners)


def _key(flow: Flow, drawing: _Drawing, at: Point) -> None:
    sink = flow.sink
    x = at.x
    rows = [(NOW, "stitching line now")]
    rows += [(BOUGHT, "as printed")] if drawing.bought else []
    rows += [(CUT, "cut the tissue here")] if any(drawing.cuts()) else []
    for kind, words in rows:
        sink.path(Path.line(Point(x, at.y + 1), Point(x + 14, at.y + 1)), kind)
        sink.words(words, Point(x + 17, at.y), WordKind.SMALL)
        x += 17 + width(words, WordKind.SMALL) + 8
    scale = f"{drawing.scale:g}"
    bar = 100.0 / drawing.scale
    sink.path(Path.line(Point(flow.frame.right - bar, at.y + 5), Point(flow.frame.right, at.y + 5)), LineKind.FRAME)
    for end in (flow.frame.right - bar, flow.frame.right):
        sink.path(Path.line(Point(end, at.y + 4), Point(end, at.y + 6)), LineKind.FRAME)
    words = f"1 to {scale}; the bar is {length(100.0, drawing.units)}"
    sink.words(words, Point(flow.frame.right, at.y), WordKind.SMALL, anchor=Anchor.END)
