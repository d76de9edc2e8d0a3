"""A lay drawn to scale."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from firsthand.fabric import Fabric
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, Sink, WordKind
from firsthand.lay.model import Lay, LayItem, Placement, Way
from firsthand.sheets._lettering import LEADING, shortened, width, wrap
from firsthand.sheets._placing import Room
from firsthand.sheets._words import length
from firsthand.sheets.look import WORDS
from firsthand.sheets.sinks._mapped import hull
from firsthand.units import MM_PER_INCH, Unit

__all__ = ["KEY", "LayDrawing", "Strip", "draw_lay", "fitted"]

LABELS = ((WordKind.HEADING, 60.0), (WordKind.BODY, 44.0), (WordKind.SMALL, 34.0), (WordKind.TINY, 26.0), (WordKind.TINY, 16.0))
"""Kinds and wrapping widths tried for the name of a part, mm on paper."""
SCALES = (4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 400, 1000)
ARROW = 12.0
"""Length of a grain arrow at most, mm on paper."""
MARKS = 10.0
"""Room below the cloth for its length marks, mm on paper."""
ABOVE = 5.0
"""Room above it for the name of its edge, mm on paper."""
KEY = 136.0
"""Least width of the key, mm on paper."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A stretch of the cloth's length, mm."""

    start: float
    end: float


@dataclass(frozen=True, slots=True)
class LayDrawing:
    """How a lay is fitted into a space: one to ``scale``, in strips one below the other."""

    lay: Lay
    fabric: Fabric | None
    units: Unit
    scale: int
    strips: tuple[Strip, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height on paper, without the key, mm."""
        wide = max(strip.end - strip.start for strip in self.strips) / self.scale
        return wide, len(self.strips) * (self.lay.width / self.scale + MARKS + ABOVE)


def fitted(lay: Lay, fabric: Fabric | None, units: Unit, wide: float, high: float) -> LayDrawing:
    """Choose the scale and the number of strips that show a lay largest in a space.

    Parameters
    ----------
    wide, high
        The space, mm on paper.
    """
    long = max(lay.length, 1.0)
    tries = []
    for count in range(1, 7):
        need = max(long / count / wide, lay.width / max(high / count - MARKS - ABOVE, 1.0))
        scale = next((one for one in SCALES if one >= need), math.ceil(need))
        tries.append((scale, count))
    scale, count = min(tries)
    cuts = [long * k / count for k in range(count + 1)]
    return LayDrawing(lay, fabric, units, scale, tuple(Strip(a, b) for a, b in itertools.pairwise(cuts)))


def draw_lay(sink: Sink, drawing: LayDrawing, top_left: Point) -> float:
    """Draw a lay downwards from an upper left corner.

    Returns
    -------
    float
        The height of the lower end, with the key of parts too small for their names.
    """
    lay, scale = drawing.lay, drawing.scale
    high = lay.width / scale
    small: dict[str, int] = {}
    y = top_left.y
    for number, strip in enumerate(drawing.strips):
        y -= ABOVE
        _draw_strip(sink, drawing, strip, number, Point(top_left.x, y - high), small)
        y -= high + MARKS
    return _draw_key(sink, small, Point(top_left.x, y), max(drawing.size[0], KEY))


def _draw_strip(sink: Sink, drawing: LayDrawing, strip: Strip, number: int, corner: Point, small: dict[str, int]) -> None:
    lay, scale = drawing.lay, drawing.scale
    box = Box(strip.start, 0.0, strip.end, lay.width)
    onto = Affine.translation(corner.x, corner.y) @ Affine.scaling(1 / scale) @ Affine.translation(-strip.start, 0)
    sink.push(onto)
    sink.path(Path.polygon(box.corners), LineKind.CLOTH)
    sink.pop()
    sink.push(onto, name=f"strip {number + 1}", clip=box.grown(0.3 * scale))
    shown = [(p, lay.item(p.item)) for p in lay.placements]
    shown = [(p, item) for p, item in shown if hull(item.outline.transformed(p.transform)).touches(box)]
    for placement, item in shown:
        sink.path(item.outline.transformed(placement.transform), LineKind.PART)
    for placement, item in shown:
        _draw_name(sink, drawing, box, placement, item, small)
    sink.pop()
    sink.push(onto)
    _draw_edges(sink, drawing, strip, last=number == len(drawing.strips) - 1)
    sink.pop()


def _draw_name(sink: Sink, drawing: LayDrawing, strip: Box, placement: Placement, item: LayItem, small: dict[str, int]) -> None:
    """The grain arrow and the name of one part, where they fit; else its number in the key."""
    scale = drawing.scale
    outline = _visible(item.outline.transformed(placement.transform).flattened(0.5), strip)
    if outline is None:
        return
    arrow = _arrow(placement, item, scale, strip)
    room = Room(outline, [arrow] if arrow else [], clearance=0.9 * scale)
    for lines, kind in _tries(item, placement):
        wide, high = max(width(line, kind) for line in lines), len(lines) * WORDS[kind].size * LEADING
        for angle in (0.0, math.pi / 2):
            middle = room.place(wide * scale, high * scale, angle=angle)
            if middle is not None:
                _draw_arrow(sink, arrow, scale)
                _letter(sink, lines, kind, middle, angle, scale)
                return
    number = str(small.setdefault(item.label or item.id, len(small) + 1))
    middle = room.place(width(number, WordKind.TINY) * scale, WORDS[WordKind.TINY].size * scale)
    if middle is not None:
        _draw_arrow(sink, arrow, scale)
    # a part too small for both has its number only; it lies like the others of its fabric
    _letter(sink, [number], WordKind.TINY, middle or Box.around(outline).centre, 0.0, scale)


def _visible(points: Sequence[Point], strip: Box) -> list[Point] | None:
    """What of a polygon lies in a strip: the largest bit."""
    import shapely

    shape = shapely.make_valid(shapely.Polygon([(p.x, p.y) for p in points]))
    shape = shape.intersection(shapely.box(strip.left, strip.bottom, strip.right, strip.top))
    bits = [bit for bit in getattr(shape, "geoms", [shape]) if bit.geom_type == "Polygon" and bit.area > 0]
    if not bits:
        return None
    return [Point(x, y) for x, y in max(bits, key=lambda bit: bit.area).exterior.coords]


def _tries(item: LayItem, placement: Placement) -> Iterator[tuple[list[str], WordKind]]:
    name = item.label or item.id
    name += f" ({placement.layers} layers)" if placement.layers > 2 else ""
    for kind, wide in LABELS:
        lines = list(wrap(name, kind, wide))
        # a name broken within a word is harder to read than a number in the key
        if " ".join(lines) == name:
            yield lines, kind


def _letter(sink: Sink, lines: Sequence[str], kind: WordKind, middle: Point, angle: float, scale: int) -> None:
    step = WORDS[kind].size * LEADING * scale
    down = Point.polar(1.0, angle - math.pi / 2)
    first = middle - down * (step * (len(lines) - 1) / 2) + down * (WORDS[kind].size * 0.36 * scale)
    for k, line in enumerate(lines):
        sink.words(line, first + down * (step * k), kind, anchor=Anchor.MIDDLE, angle=angle)


def _arrow(placement: Placement, item: LayItem, scale: int, strip: Box) -> tuple[Point, Point] | None:
    """The grain line on the cloth, shortened about its middle."""
    if item.grain is None:
        return None
    low, high = (placement.transform(p) for p in item.grain)
    long = low.distance(high)
    if long == 0:
        return None
    half = min(long * 0.4, ARROW / 2 * scale)
    middle, way = low.towards(high, 0.5), (high - low).unit()
    ends = middle - way * half, middle + way * half
    return ends if all(strip.grown(-1).touches(Box.around([p])) for p in ends) else None


def _draw_arrow(sink: Sink, arrow: tuple[Point, Point] | None, scale: int) -> None:
    if arrow is None:
        return
    low, high = arrow
    way, head = (high - low).unit(), min(2.2 * scale, low.distance(high) / 2)
    sink.path(Path.line(low, high - way * head), LineKind.GRAIN)
    back = high - way * head
    sink.path(Path.polygon([high, back + way.left * head * 0.35, back - way.left * head * 0.35]), LineKind.GRAIN)


def _draw_edges(sink: Sink, drawing: LayDrawing, strip: Strip, *, last: bool) -> None:
    """Selvedges, or selvedges and fold, with their names; length marks; where the cloth goes on."""
    lay, scale = drawing.lay, drawing.scale
    folded = lay.way is Way.FOLDED
    low, high = (Path.line(Point(strip.start, y), Point(strip.end, y)) for y in (0.0, lay.width))
    sink.path(high, LineKind.SELVEDGE)
    sink.path(low, LineKind.FOLD if folded else LineKind.SELVEDGE)
    above = "both selvedges" if folded else "selvedge"
    sink.words(above, Point(strip.start, lay.width + 1.6 * scale), WordKind.TINY)
    if not last:
        sink.words("goes on below", Point(strip.end, lay.width + 1.6 * scale), WordKind.TINY, anchor=Anchor.END)
    _draw_marks(sink, drawing, strip)
    below = "fold" if folded else "selvedge"
    sink.words(below, Point(strip.start, -8.6 * scale), WordKind.TINY)


def _draw_marks(sink: Sink, drawing: LayDrawing, strip: Strip) -> None:
    """A mark every 10 cm, or every 6 inches, with numbers as often as there is room."""
    scale, inches = drawing.scale, drawing.units in (Unit.INCH, Unit.YARD)
    step, unit = (6 * MM_PER_INCH, MM_PER_INCH) if inches else (100.0, 10.0)
    widest = width(f"{drawing.lay.length / unit:.0f}", WordKind.TINY) + 3.0
    every = next((n for n in (1, 2, 5, 10, 20, 50, 100, 1000) if n * step / scale >= widest), 10_000)
    for k in range(math.ceil(strip.start / step - 1e-9), math.floor(strip.end / step + 1e-9) + 1):
        at = Point(k * step, -1.0 * scale)
        long = 2.0 if k % every == 0 else 1.2
        sink.path(Path.line(at, at - Point(0, long * scale)), LineKind.FRAME)
        if k % every == 0:
            sink.words(f"{k * step / unit:.0f}", at - Point(0, 4.6 * scale), WordKind.TINY, anchor=Anchor.MIDDLE)
    _draw_total(sink, drawing, strip, "inches" if inches else "cm")


def _draw_total(sink: Sink, drawing: LayDrawing, strip: Strip, unit: str) -> None:
    """What the numbers are and how long the cloth is, as fully as there is room beside the name of its lower edge."""
    total, scale = length(drawing.lay.length, drawing.units), drawing.scale
    room = (strip.end - strip.start) / scale - width("selvedge", WordKind.TINY) - 4
    for text in (f"{unit} along the cloth; in all {total}", f"{unit}; in all {total}", total, unit):
        if width(text, WordKind.TINY) <= room:
            sink.words(text, Point(strip.end, -8.6 * scale), WordKind.TINY, anchor=Anchor.END)
            return


def _draw_key(sink: Sink, small: dict[str, int], at: Point, wide: float) -> float:
    """The names of numbered parts, in columns; gives the height of the lower end."""
    if not small:
        return at.y
    texts = [shortened(f"{number} {label}", WordKind.TINY, wide) for label, number in small.items()]
    share = max(width(text, WordKind.TINY) for text in texts) + 5.0
    columns = max(1, int((wide + 5.0) // share))
    step = WORDS[WordKind.TINY].size * LEADING
    for k, text in enumerate(texts):
        row, column = divmod(k, columns)
        sink.words(text, Point(at.x + column * share, at.y - step * (row + 1)), WordKind.TINY)
    return at.y - step * (math.ceil(len(texts) / columns) + 0.5)
