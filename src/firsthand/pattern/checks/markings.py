"""Checks of marks, hems and allowances that can be drawn and cannot be meant."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from firsthand.errors import FirsthandError
from firsthand.findings import Finding, Severity, kind
from firsthand.geometry import Box, Point
from firsthand.pattern._cutting import cutting_line
from firsthand.pattern._folds import edge_folds
from firsthand.pattern.checks._registry import CHECKS
from firsthand.pattern.checks._words import listed, piece_block
from firsthand.pattern.model import FateKind, Garment, Pattern, Shape
from firsthand.units import said

__all__: list[str] = []

BESIDE = 50.0
"""A mark further than this outside the box around the cutting line is not of this piece, mm. Source: common practice."""
WIDE = 100.0
"""No allowance is wider, mm; what is kept for letting out is an inlay. Source: common practice (the deepest hems of skirts)."""
LEGS = 2.0
"""The legs of a dart may differ by so much: it is eased in as they are sewn, mm. Source: common practice."""
STEP = 2.0
"""A step that a folded pleat leaves in its edge up to here is trimmed away, mm. Source: common practice."""
ROUNDING = 0.5
"""How far numbers may be off because they were rounded, mm."""

OFF_PIECE = kind(
    "mark-off-piece",
    Severity.DOUBT,
    "A grain line, a dart's point or a line inside lies more than 5 cm outside its piece. Its numbers belong to another piece, "
    "another origin or another unit.",
)
DARTS = kind(
    "darts-overlap",
    Severity.FAULT,
    "Two darts of one edge overlap at their mouths, so that the same cloth would be folded away twice. Move or narrow one.",
)
PLEAT = kind(
    "pleat-too-deep",
    Severity.FAULT,
    "A pleat is to stay closed further in than the piece reaches. Look whether the number is in another unit.",
)
LEGS_DIFFER = kind(
    "dart-legs-differ",
    Severity.DOUBT,
    "The two legs of a dart differ by more than 2 mm, so that the edge has a step when the dart is sewn. Move its point on to "
    "the line square to the middle of its mouth, or true the edge.",
)
STEPS = kind(
    "pleat-leaves-step",
    Severity.DOUBT,
    "The ends of a pleat's cloth do not meet when it is folded, so that the edge has a step of more than 2 mm: the pleat runs "
    "askew to its edge, and the edge was drawn straight across it.",
)
HEM = kind(
    "hem-too-shallow",
    Severity.DOUBT,
    "A hem is to be deeper when finished than the allowance that is turned up for it. Widen the allowance or make the hem "
    "shallower.",
)
ALLOWANCE = kind(
    "allowance-wide",
    Severity.DOUBT,
    "An allowance is wider than 10 cm, which is mostly a number in another unit. What is kept for letting out is an inlay.",
)


@CHECKS.register("marks that cannot be meant")
def markings(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Marks far outside their piece, darts on top of each other, pleats, hems and allowances too deep."""
    for piece in garment.pieces.values():
        if piece.shape is None or not piece.shape.edges:
            continue
        where, cut = (garment.id, piece.id), [piece_block("cut", garment, piece.id)]
        for words in _off_piece(piece.shape):
            yield OFF_PIECE(f"{piece.name}: {words} outside the piece", where=where, remedy="Draw it on the piece.")
        for words in _overlapping(piece.shape):
            yield DARTS(f"{piece.name}: {words}", where=where, remedy="Move or narrow one of them.", blocks=cut)
        for words in _deep_pleats(piece.shape):
            yield PLEAT(f"{piece.name}: {words}", where=where, remedy="Shorten its reach.", blocks=cut)
        for words in _uneven_legs(piece.shape):
            yield LEGS_DIFFER(f"{piece.name}: {words}", where=where, remedy="Move the point, or true the edge there.")
        for words in _steps(piece.shape):
            yield STEPS(
                f"{piece.name}: {words}", where=where, remedy="Fold the paper, and draw the edge across the folded pleat."
            )
        for words in _shallow(piece.shape):
            yield HEM(f"{piece.name}: {words}", where=where, remedy="Widen the allowance, or make the hem shallower.")
        wide = [edge for edge in piece.shape.edges if WIDE < edge.allowance < math.inf]
        if wide:
            most = max(edge.allowance for edge in wide)
            yield ALLOWANCE(f"{piece.name}: {listed(edge.id for edge in wide)} has {said(most)} of allowance", where=where,
                            remedy="Look at the unit; what is kept for letting out is an inlay.")  # fmt: skip


def _box(shape: Shape) -> Box:
    try:
        return cutting_line(shape).bounds
    except FirsthandError:  # told by another check
        boxes = [edge.path.bounds for edge in shape.edges]
        return Box.around([point for box in boxes for point in (Point(box.left, box.bottom), Point(box.right, box.top))])


def _outside(box: Box, point: Point) -> float:
    """How far a point lies outside a box, mm."""
    dx = max(box.left - point.x, point.x - box.right, 0.0)
    return math.hypot(dx, max(box.bottom - point.y, point.y - box.top, 0.0))


def _off_piece(shape: Shape) -> Iterator[str]:
    box = _box(shape)
    marks = [("its grain line", shape.grain)]
    marks += [(f"the point of dart {dart.id!r}", (dart.apex, dart.apex)) for dart in shape.darts]
    for line in shape.lines:
        around = line.path.bounds
        corners = (Point(around.left, around.bottom), Point(around.right, around.top))
        marks.append((f"the {line.kind.value} line {line.id!r}", corners))
    for name, points in marks:
        far = max(_outside(box, point) for point in points)
        if far > BESIDE:
            yield f"{name} lies {said(far)}"


def _overlapping(shape: Shape) -> Iterator[str]:
    for edge in shape.edges:
        darts = sorted((dart for dart in shape.darts if dart.edge == edge.id), key=lambda dart: dart.at - dart.width / 2)
        for one, two in itertools.pairwise(darts):
            over = one.at + one.width / 2 - (two.at - two.width / 2)
            if over > ROUNDING:
                yield f"darts {one.id!r} and {two.id!r} overlap by {said(over)} on {edge.id}"


def _uneven_legs(shape: Shape) -> Iterator[str]:
    known = {edge.id for edge in shape.edges}
    for dart in shape.darts:
        if dart.edge not in known or not all(math.isfinite(at) for at in dart.mouth):
            continue
        one, two = (shape.edge(dart.edge).path.at(at).distance(dart.apex) for at in dart.mouth)
        if abs(one - two) > LEGS:
            yield f"the legs of dart {dart.id!r} are {said(one)} and {said(two)} long"


def _steps(shape: Shape) -> Iterator[str]:
    pleats = {pleat.id for pleat in shape.pleats}
    for edge in shape.edges:
        for fold in edge_folds(shape, edge.id):
            if fold.id not in pleats:
                continue
            one, two = (edge.path.at(at) for at in fold.mouth)
            step = one.distance(fold.closing(two))
            if step > STEP:
                yield f"pleat {fold.id!r} leaves a step of {said(step)} in {edge.id}"


def _deep_pleats(shape: Shape) -> Iterator[str]:
    edges = {edge.id: edge for edge in shape.edges}
    outline = [edge.path.bounds for edge in shape.edges]
    box = Box.around([point for one in outline for point in (Point(one.left, one.bottom), Point(one.right, one.top))])
    for pleat in shape.pleats:
        edge = edges.get(pleat.edge)
        if edge is None or not (math.isfinite(pleat.reach) and math.isfinite(pleat.at)):
            continue
        way = edge.path.tangent_at(pleat.at).left
        if pleat.towards is not None and pleat.towards.distance(edge.path.at(pleat.at)) > ROUNDING:
            way = (pleat.towards - edge.path.at(pleat.at)).unit()
        foot = edge.path.at(pleat.at) + way * pleat.reach
        if _outside(box, foot) > ROUNDING:
            yield f"pleat {pleat.id!r} stays closed for {said(pleat.reach)}, and the piece ends before"


def _shallow(shape: Shape) -> Iterator[str]:
    for edge in shape.edges:
        fate = edge.fate
        if fate is not None and fate.kind in {FateKind.HEM, FateKind.CASING} and fate.depth > edge.margin + ROUNDING:
            what = fate.kind.value
            yield f"the {what} of {edge.id}, {said(fate.depth)} deep, needs more than the {said(edge.margin)} allowance"
