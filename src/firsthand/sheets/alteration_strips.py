"""True-size strips of the outline that moved: glued on the tissue instead of printing the piece again."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from firsthand.alter import Stretched, Tissue, changed_stretches, printed_line
from firsthand.fit.model import FitResult
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, WordKind
from firsthand.pattern import Corner, Dart, Edge, Garment, Piece, Shape, drawn_outline
from firsthand.sheets._label import Label, draw_label
from firsthand.sheets._lettering import ASCENT
from firsthand.sheets._paper import paper
from firsthand.sheets._piece import draw_piece
from firsthand.sheets._placing import Walls
from firsthand.sheets._strip_label import strip_label, tab
from firsthand.sheets._strip_pages import by_page, finds_room, is_on, joins, least_turn, turned
from firsthand.sheets._tiling import column_name
from firsthand.sheets._tissue_words import edge_words, figure, interval, listed, piece_tissues
from firsthand.sheets._words import piece_title
from firsthand.sheets.look import WORDS
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.sheets.pieces import Drawn, covering, true_size
from firsthand.sheets.sinks._mapped import word_corners
from firsthand.sheets.sinks.measure import MeasureSink
from firsthand.sheets.sinks.tape import Tape
from firsthand.units import Unit

__all__ = ["alteration_strips"]

BEYOND = 30.0
"""How far a strip runs on beyond what moved, to lay it against what did not, mm."""
INSIDE = 23.0
"""How wide it is on the inner side of the new line at least, mm: enough to glue."""
OUTSIDE = 5.0
"""How wide it is outside the cutting line, mm."""
ROUND = 8.0
"""Kept round the printed line, mm."""
SPARE = 22.0
"""By how much a strip is shorter than the page, for what it is turned and bent, mm."""
SHORTER = (0.7, 0.5, 0.35, 0.25)
"""Shares of the height of a page that are tried where a bent strip is too wide."""
CLEAR = 1.5
"""Kept between lettering and the lines along which pages are joined, mm."""
TICK = 2.0
"""Half the length of the ticks on the printed line, mm."""
FINE = 0.02
"""Lines cut off at the border of a strip stay within this of their curve, mm."""
NOTE = (
    "Cut the strips out along their thin borders. Where the card says to cut the tissue, cut and spread it first. Lay the line "
    "of fine dashes on the printed stitching line, by corners, notches and the ticks, which count from the corner that the "
    "card names, and glue the strip down."
)

Tick = tuple[Point, Point, str]


@SHEETS[Scope.GARMENT].register("alteration-strips")
def alteration_strips(results: Results) -> tuple[SheetFile, ...]:
    """One file for each garment and paper, if part of an outline moved."""
    return tuple(file for fit in results.fits.values() for file in _garment(results, fit))


def _garment(results: Results, fit: FitResult) -> tuple[SheetFile, ...]:
    garment = fit.garment
    found = list(piece_tissues(fit, results.settings.units))
    others = [line for piece, tissue in found for line in _not_by_strip(piece, tissue)]
    title = f"{garment.name or garment.id}: strips for the tissue"
    files = []
    for sheet in map(paper, results.settings.papers):
        strips = [strip for piece, tissue in found for strip in _strips(results, garment, piece, tissue, sheet.frame)]
        if strips:
            places = by_page(strips, sheet)
            files.append(true_size(results, garment, strips, others, sheet, title, "alteration-strips", NOTE, places))
    return tuple(files)


def _not_by_strip(piece: Piece, tissue: Tissue) -> Iterator[str]:
    """What is said of a piece that no strip helps."""
    whole = _factors(tissue)
    if tissue.new:
        yield f"{piece_title(piece)}: print the piece"
    elif whole:
        yield f"{piece_title(piece)}: copied at {math.prod(whole) * 100:.1f} %, or print the piece"


def _factors(tissue: Tissue) -> list[float]:
    return [moved.factor for stage in tissue.stages for moved in stage.moved if moved.factor != 1.0]


def _strips(results: Results, garment: Garment, piece: Piece, tissue: Tissue, page: Box) -> Iterator[Drawn]:
    """Strips of what moved, each of a length that finds room on a page."""
    bought, now = tissue.printed(piece), piece.drawn_shape
    if bought is None or tissue.new or _factors(tissue):
        return
    printed = printed_line(bought, tissue.bits)
    tape = Tape()
    draw_piece(tape, garment, _as_spread(piece, printed), results.settings.units)
    ticks = list(_ticks(bought, tissue, results.settings.units))
    found: list[tuple[tuple[str, ...], str, Any]] = []
    for stretch in changed_stretches(bought, now, tissue.bits, foreign=tissue.foreign):
        reach = _reach(tissue, stretch)
        found += _regions(piece, printed, stretch, reach, page)
    for number, (names, which, region) in enumerate(found, 1):
        letter = column_name(number - 1).lower() if len(found) > 1 else ""
        edges = listed(edge_words(now, edge) for edge in names)
        name = f"{piece.name or piece.id}, {edges}{which}"
        strip = replace(piece, id=f"{piece.id} strip {number}", number=f"{piece.number}{letter}", name=name)
        yield _drawn(garment, strip, tape, ticks, region, page)


def _regions(
    piece: Piece, printed: Sequence[Path], stretch: Stretched, reach: float, page: Box
) -> list[tuple[tuple[str, ...], str, Any]]:
    """What the strips of a stretch cover, in as few parts as find room on a page; the fewest if no number does."""
    total = piece.drawn_shape.outline.length
    tries = []
    for longest in (page.height - SPARE, *(page.height * share for share in SHORTER)):
        parts = list(_parts(stretch, total, longest))
        tries.append(
            [
                (_names(piece.drawn_shape, stretch, start, end), which, _region(piece, printed, (start, end), reach))
                for start, end, which in parts
            ]
        )
        if all(finds_room(region, page) for *_, region in tries[-1]):
            return tries[-1]
    return tries[0]


def _parts(stretch: Stretched, total: float, longest: float) -> list[tuple[float, float, str]]:
    """A stretch in parts that each find room on one page: arc lengths along the new outline, and which part it is."""
    start, end = stretch.start - BEYOND, stretch.end + BEYOND
    if end - start >= total:
        start, end = stretch.start, stretch.start + total
    count = max(1, math.ceil((end - start) / longest))
    step = (end - start) / count
    words = [f", {k + 1} of {count}" if count > 1 else "" for k in range(count)]
    return [(start + k * step, start + (k + 1) * step, words[k]) for k in range(count)]


def _names(now: Shape, stretch: Stretched, start: float, end: float) -> tuple[str, ...]:
    """The edges that moved of which a good part is on a strip."""
    total, reached = now.outline.length, 0.0
    found = {}
    for edge in now.edges:
        spans = [(max(start, reached + k * total), min(end, reached + k * total + edge.path.length)) for k in (-1, 0, 1)]
        found[edge.id] = max(high - low for low, high in spans)
        reached += edge.path.length
    return tuple(name for name in stretch.edges if found[name] > 1.2 * BEYOND) or stretch.edges


def _ticks(bought: Shape, tissue: Tissue, units: Unit) -> Iterator[Tick]:
    """As often as on the card along each printed edge: the place as it lies now, the way into the piece, and the figure."""
    for bit in tissue.bits:
        path = bought.edge(bit.edge).path
        every = interval(units)
        for k in range(math.ceil(bit.start / every), math.floor(bit.end / every) + 1):
            at = k * every
            if 1.0 < at < path.length - 1.0:
                foot = bit.motion(path.at(at))
                inwards = (bit.motion(path.at(at) + path.tangent_at(at)) - foot).unit().left
                yield foot, inwards, figure(at, units)


def _as_spread(piece: Piece, printed: Sequence[Path]) -> Piece:
    """The piece with its printed line where it lies once the tissue is cut and spread."""
    lines = tuple(Edge(f"printed {k}", Corner(f"printed {k}"), path) for k, path in enumerate(printed))
    return replace(piece, sizes={piece.size or "": Shape(lines, piece.drawn_shape.grain)}, size=piece.size or "")


def _reach(tissue: Tissue, stretch: Stretched) -> float:
    """The furthest that the line moved on a stretch, mm."""
    return max((abs(offset.square) for offset in tissue.offsets if offset.edge in stretch.edges), default=0.0)


def _region(piece: Piece, printed: Sequence[Path], between: tuple[float, float], reach: float) -> Any:
    """What a strip covers, as a polygon of shapely: the new line with its allowance, and the printed line beside it."""
    import shapely

    now = piece.drawn_shape
    parts = list(_portions(now, *between))
    lines = [shapely.LineString([(p.x, p.y) for p in path.flattened(0.1)]) for path, _ in parts]
    inner = [_beside(line, INSIDE) for line in lines]
    outer = [_beside(line, -margin - OUTSIDE) for line, (_, margin) in zip(lines, parts, strict=True)]
    for (one, first), (_, second) in itertools.pairwise(parts):  # the allowance round a corner
        outer.append(shapely.Point(one.end.x, one.end.y).buffer(1.5 * (max(first, second) + OUTSIDE)))
    outer += [_mouth(now, dart) for dart in _darts_on(now, *between)]
    inside, cut = (_polygon(path.flattened(0.1)) for path in (now.outline, drawn_outline(piece).outline))
    bands = [*inner, shapely.union_all(outer).intersection(cut.buffer(OUTSIDE)).difference(inside)]
    near = shapely.union_all([line.buffer(reach + 2.0, cap_style="flat") for line in lines])
    old = shapely.union_all([shapely.LineString([(p.x, p.y) for p in path.flattened(0.1)]) for path in printed])
    darts = [_triangle(now, dart).buffer(ROUND) for dart in _darts_on(now, *between)]
    whole = shapely.union_all([*bands, *darts, old.intersection(near).buffer(ROUND, cap_style="flat")])
    closed = whole.buffer(reach / 2 + 1.0).buffer(-reach / 2 - 1.0)
    shell = max(getattr(closed, "geoms", [closed]), key=lambda part: part.area)
    return shapely.Polygon(shell.exterior)


def _darts_on(now: Shape, start: float, end: float) -> Iterator[Dart]:
    """Darts whose mouths are on a stretch, at least in part."""
    total, starts = now.outline.length, {}
    reached = 0.0
    for edge in now.edges:
        starts[edge.id] = reached
        reached += edge.path.length
    for dart in now.darts:
        low, high = (starts[dart.edge] + dart.at + side * dart.width for side in (-0.5, 0.5))
        if any(low + turn < end and high + turn > start for turn in (-total, 0.0, total)):
            yield dart


def _mouth(now: Shape, dart: Dart) -> Any:
    """What is outside the mouth of a dart, as far as its cap may reach."""
    import shapely

    edge = now.edge(dart.edge)
    one, two = (edge.path.at(dart.at + side * dart.width) for side in (-0.5, 0.5))
    out = (one.towards(two, 0.5) - dart.apex).unit() * (0.5 * dart.width + 1.5 * edge.margin + OUTSIDE)
    return shapely.Polygon([(point.x, point.y) for point in (one, one + out, two + out, two)]).buffer(edge.margin / 2)


def _triangle(now: Shape, dart: Dart) -> Any:
    import shapely

    path = now.edge(dart.edge).path
    legs = (path.at(dart.at + side * dart.width) for side in (-0.5, 0.5))
    return shapely.Polygon([(point.x, point.y) for point in (*legs, dart.apex)])


def _polygon(points: Sequence[Point]) -> Any:
    import shapely

    return shapely.make_valid(shapely.Polygon([(p.x, p.y) for p in points]))


def _beside(line: Any, by: float) -> Any:
    """A band on the left of a line, or on its right."""
    return line.buffer(by, single_sided=True, join_style="mitre", mitre_limit=2.0).buffer(0.01)


def _portions(now: Shape, start: float, end: float) -> Iterator[tuple[Path, float]]:
    """The edges of a stretch of the outline, or what of them is on it, with their margins."""
    total = now.outline.length
    reached = math.floor(start / total) * total
    while reached < end:
        for edge in now.edges:
            low, high = max(start - reached, 0.0), min(end - reached, edge.path.length)
            if high - low > 0.01:
                yield edge.path.between(low, high), edge.margin
            reached += edge.path.length


def _drawn(garment: Garment, strip: Piece, tape: Tape, ticks: Sequence[Tick], region: Any, page: Box) -> Drawn:
    upright, turn = Affine.rotation(least_turn(region)), Affine.rotation(least_turn(region, page))
    across = joins(region, turn, page)
    within = _Within(region, across)
    tape.play(within)
    _draw_ticks(within, ticks)
    measure = MeasureSink()
    measure.push(upright)
    within.tape.play(measure)
    measure.pop()
    walls = _coarse(measure)
    walls.lines += [(LineKind.TRIM, tuple(upright(point) for point in line)) for line in across]
    words = (piece_title(strip), f"{garment.name or garment.id}, size {garment.size}")
    label, border = _labelled(words, strip, turned(region, upright), upright, walls, across, (turn, page))
    slant = turn @ upright.inverse()
    corners = tuple(slant(point) for point in _ring(border))
    bare = Tape()
    bare.push(turn)
    within.tape.play(bare)
    bare.pop()
    bare.path(Path.polygon(corners), LineKind.RULE)
    draw_label(bare, replace(label, middle=slant(label.middle), angle=label.angle + math.atan2(slant.b, slant.a)))
    return Drawn(strip, bare, Box.around(corners), corners, covering(corners, []))


def _labelled(
    words: Sequence[str],
    strip: Piece,
    border: Any,
    upright: Affine,
    walls: MeasureSink,
    across: Sequence[tuple[Point, Point]],
    onto: tuple[Affine, Box],
) -> tuple[Label, Any]:
    """The label of a strip, and its border with it: a tab is added where there is no room within.

    ``onto`` is how the strip lies on a page, and the page, on which it must still find room; ``across`` are the joins of one
    that finds none, of which the tab keeps clear.
    """
    import shapely

    label = strip_label(words, _ring(border), walls)
    if label is not None:
        return label, border
    inside = turned(_polygon(strip.drawn_shape.outline.flattened(0.1)), upright)

    lines = turned(shapely.MultiLineString([[(one.x, one.y), (two.x, two.y)] for one, two in across]), upright)

    def fits(block: Any, whole: Any) -> bool:
        if across:
            return bool(block.distance(lines) > CLEAR)
        return is_on(turned(whole, onto[0] @ upright.inverse()), onto[1])

    return tab(words, border, inside, fits)


def _ring(polygon: Any) -> tuple[Point, ...]:
    return tuple(Point(x, y) for x, y in polygon.exterior.coords[:-1])


def _coarse(drawn: MeasureSink) -> MeasureSink:
    """The same drawing with far fewer points, exact enough to keep lettering off its lines."""
    import shapely

    coarse = MeasureSink()
    coarse.lettering = drawn.lettering
    for kind, line in drawn.lines:
        simple = shapely.LineString([(p.x, p.y) for p in line]).simplify(0.2)
        coarse.lines.append((kind, tuple(Point(x, y) for x, y in simple.coords)))
    return coarse


def _draw_ticks(within: _Within, ticks: Sequence[Tick]) -> None:
    """Ticks across the printed line; their figures where they cover nothing."""
    measure = MeasureSink()
    within.tape.play(measure)
    walls = Walls([*(line for _, line in measure.lines), *((*word, word[0]) for _, word in measure.lettering)])
    for foot, inwards, words in ticks:
        if within.covers(foot):
            within.path(Path.line(foot - inwards * TICK, foot + inwards * TICK), LineKind.FRAME)
            half = WORDS[WordKind.TINY].size * ASCENT / 2
            for far, aside in itertools.product((-5.0, 5.0, -8.0, 8.0, 10.0, 13.0), (0.0, 2.5, -2.5)):
                at = foot + inwards * far + inwards.left * aside - Point(0, half)
                corners = word_corners(words, at, WordKind.TINY, Anchor.MIDDLE, 0.0)
                if walls.free(corners, 0.5):
                    within.words(words, at, WordKind.TINY, anchor=Anchor.MIDDLE)
                    walls.add(corners)
                    break


class _Within:
    """A sink that keeps what lies within a polygon."""

    def __init__(self, region: Any, joins: Sequence[tuple[Point, Point]] = ()) -> None:
        import shapely

        self.tape = Tape()
        self._region = region
        self._joins = shapely.MultiLineString([[(one.x, one.y), (two.x, two.y)] for one, two in joins])
        shapely.prepare(region)

    def covers(self, point: Point) -> bool:
        """Whether a point lies within."""
        import shapely

        return bool(self._region.covers(shapely.Point(point.x, point.y)))

    def path(self, path: Path, kind: LineKind) -> None:
        """Keep what of a path lies within."""
        import shapely

        line = shapely.LineString([(p.x, p.y) for p in path.flattened(FINE)])
        if self._region.covers(line):
            self.tape.path(path, kind)
        elif self._region.intersects(line):
            found = shapely.line_merge(self._region.intersection(line))
            for part in getattr(found, "geoms", [found]):
                if part.geom_type == "LineString" and part.length > 0.05:
                    self.tape.path(Path.line(*(Point(x, y) for x, y in part.coords)), kind)

    def words(self, text: str, at: Point, kind: WordKind, *, anchor: Anchor = Anchor.START, angle: float = 0.0) -> None:
        """Keep words that lie wholly within, and on no line along which pages are joined."""
        import shapely

        block = shapely.Polygon([(p.x, p.y) for p in word_corners(text, at, kind, anchor, angle)])
        if self._region.covers(block) and not self._joins.buffer(CLEAR).intersects(block):
            self.tape.words(text, at, kind, anchor=anchor, angle=angle)

    def push(self, by: Affine, *, name: str = "", clip: Box | None = None) -> None:
        """A piece is drawn in its own coordinates, without groups."""
        raise NotImplementedError

    def pop(self) -> None:
        """See :meth:`push`."""
        raise NotImplementedError
