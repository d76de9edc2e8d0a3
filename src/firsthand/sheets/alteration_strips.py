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
from firsthand.pattern import Corner, Edge, Garment, Piece, Shape, drawn_outline
from firsthand.sheets._label import draw_label, label_box, place_label
from firsthand.sheets._lettering import ASCENT
from firsthand.sheets._paper import Paper, paper
from firsthand.sheets._piece import draw_piece
from firsthand.sheets._placing import Walls
from firsthand.sheets._tiling import OVERLAP, column_name
from firsthand.sheets._tissue_words import figure, interval, piece_tissues
from firsthand.sheets._words import piece_title, plain
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
TICK = 2.0
"""Half the length of the ticks on the printed line, mm."""
APART, EDGE = 3.0, 1.2
"""Between strips, and between a strip and the edge of the page, mm."""
COLUMNS = 3
"""Pages in a row of the map."""
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
        longest = sheet.frame.height - SPARE
        strips = [strip for piece, tissue in found for strip in _strips(results, garment, piece, tissue, longest)]
        if strips:
            places = _by_page(strips, sheet)
            files.append(true_size(results, garment, strips, others, sheet, title, "alteration-strips", NOTE, places))
    return tuple(files)


def _by_page(strips: Sequence[Drawn], sheet: Paper) -> dict[str, Affine] | None:
    """Strips set in order, none of them across two pages; None if one is too large for a page.

    Pages lie like the dark squares of a chessboard, so that none has a neighbour to be joined to.
    """
    wide, high = sheet.frame.width - OVERLAP, sheet.frame.height - OVERLAP
    if any(strip.box.width + 2 * EDGE > wide or strip.box.height + 2 * EDGE > high for strip in strips):
        return None
    places: dict[str, Affine] = {}
    page, x, y, deep = 0, EDGE, EDGE, 0.0
    for strip in strips:
        box = strip.box
        if x + box.width + EDGE > wide:
            x, y, deep = EDGE, y + deep + APART, 0.0
        if y + box.height + EDGE > high:
            page, x, y, deep = page + 1, EDGE, EDGE, 0.0
        row, column = divmod(page, COLUMNS)
        left, top = (2 * column + row % 2) * wide + OVERLAP, -row * high - OVERLAP
        places[strip.piece.id] = Affine.translation(left + x - box.left, top - y - box.top)
        x, deep = x + box.width + APART, max(deep, box.height)
    return places


def _not_by_strip(piece: Piece, tissue: Tissue) -> Iterator[str]:
    """What is said of a piece that no strip helps."""
    whole = _factors(tissue)
    if tissue.new:
        yield f"{piece_title(piece)}: print the piece"
    elif whole:
        yield f"{piece_title(piece)}: copied at {math.prod(whole) * 100:.1f} %, or print the piece"


def _factors(tissue: Tissue) -> list[float]:
    return [moved.factor for stage in tissue.stages for moved in stage.moved if moved.factor != 1.0]


def _strips(results: Results, garment: Garment, piece: Piece, tissue: Tissue, longest: float) -> Iterator[Drawn]:
    bought, now = piece.bought, piece.drawn_shape
    if bought is None or tissue.new or _factors(tissue):
        return
    printed = printed_line(bought, tissue.bits)
    tape = Tape()
    draw_piece(tape, garment, _as_spread(piece, printed), results.settings.units)
    ticks = list(_ticks(bought, tissue, results.settings.units))
    parts = [
        (stretch, part)
        for stretch in changed_stretches(bought, now, tissue.bits)
        for part in _parts(stretch, now.outline.length, longest)
    ]
    for number, (stretch, (start, end, which)) in enumerate(parts, 1):
        letter = column_name(number - 1).lower() if len(parts) > 1 else ""
        name = f"{piece.name or piece.id}, {' and '.join(plain(edge) for edge in stretch.edges)}{which}"
        strip = replace(piece, id=f"{piece.id} strip {number}", number=f"{piece.number}{letter}", name=name)
        region = _region(piece, printed, (start, end), _reach(tissue, stretch))
        yield _drawn(garment, strip, tape, ticks, region)


def _parts(stretch: Stretched, total: float, longest: float) -> list[tuple[float, float, str]]:
    """A stretch in parts that each find room on one page: arc lengths along the new outline, and which part it is."""
    start, end = stretch.start - BEYOND, stretch.end + BEYOND
    if end - start >= total:
        start, end = stretch.start, stretch.start + total
    count = max(1, math.ceil((end - start) / longest))
    step = (end - start) / count
    words = [f", {k + 1} of {count}" if count > 1 else "" for k in range(count)]
    return [(start + k * step, start + (k + 1) * step, words[k]) for k in range(count)]


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
    inside, cut = (_polygon(path.flattened(0.1)) for path in (now.outline, drawn_outline(piece).outline))
    bands = [*inner, shapely.union_all(outer).intersection(cut.buffer(OUTSIDE)).difference(inside)]
    near = shapely.union_all([line.buffer(reach + 2.0, cap_style="flat") for line in lines])
    old = shapely.union_all([shapely.LineString([(p.x, p.y) for p in path.flattened(0.1)]) for path in printed])
    whole = shapely.union_all([*bands, old.intersection(near).buffer(ROUND, cap_style="flat")])
    closed = whole.buffer(reach / 2 + 1.0).buffer(-reach / 2 - 1.0)
    shell = max(getattr(closed, "geoms", [closed]), key=lambda part: part.area)
    return shapely.Polygon(shell.exterior)


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


def _drawn(garment: Garment, strip: Piece, tape: Tape, ticks: Sequence[Tick], region: Any) -> Drawn:
    turn = Affine.rotation(_upright(region))
    within = _Within(region)
    tape.play(within)
    _draw_ticks(within, ticks)
    bare, measure = Tape(), MeasureSink()
    border = [Point(x, y) for x, y in region.exterior.coords]
    bare.push(turn)
    bare.path(Path.line(*border), LineKind.RULE)
    within.tape.play(bare)
    bare.pop()
    bare.play(measure)
    corners = tuple(turn(point) for point in border[:-1])
    words = (piece_title(strip), f"{garment.name or garment.id}, size {garment.size}", "fine dashes on the printed line")
    label = place_label(words, corners, _coarse(measure))
    draw_label(bare, label)
    box = label_box(label)
    lines = [*(line for _, line in measure.lines), *(word for _, word in measure.lettering), box.corners]
    return Drawn(strip, bare, measure.bounds.union(box), corners, covering(corners, lines))


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


def _upright(region: Any) -> float:
    """The least turn that sets a strip upright or level, radians."""
    corners = list(region.minimum_rotated_rectangle.exterior.coords)
    (ax, ay), (bx, by) = max(itertools.pairwise(corners), key=lambda side: math.dist(*side))
    angle = math.atan2(by - ay, bx - ax)
    return -math.remainder(angle, math.pi / 2)


class _Within:
    """A sink that keeps what lies within a polygon."""

    def __init__(self, region: Any) -> None:
        import shapely

        self.tape = Tape()
        self._region = region
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
        """Keep words that lie wholly within."""
        import shapely

        if self._region.covers(shapely.Polygon([(p.x, p.y) for p in word_corners(text, at, kind, anchor, angle)])):
            self.tape.words(text, at, kind, anchor=anchor, angle=angle)

    def push(self, by: Affine, *, name: str = "", clip: Box | None = None) -> None:
        """A piece is drawn in its own coordinates, without groups."""
        raise NotImplementedError

    def pop(self) -> None:
        """See :meth:`push`."""
        raise NotImplementedError
