"""Checks of outlines and of the marks on them."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterator

from firsthand.errors import GeometryError, NotThere
from firsthand.findings import Finding, FindingKind, Severity, kind
from firsthand.geometry import Path, self_crossings
from firsthand.pattern._cutting import MOST, cutting_line
from firsthand.pattern._fold import fold_line, straightened
from firsthand.pattern._outline import drawn_outline
from firsthand.pattern._parts import opened_shape
from firsthand.pattern._sewn import edge_length, take_up
from firsthand.pattern.checks._registry import CHECKS
from firsthand.pattern.checks._words import listed, piece_block
from firsthand.pattern.model import Edge, FateKind, Garment, How, Pattern, Piece, Shape
from firsthand.units import said

__all__: list[str] = []

REACH = 0.5
"""How far a mark may lie beyond the end of its edge before it is called wrong, mm: what rounding does in files."""
LARGEST = 5000.0
"""A piece longer or wider than this with its allowances is not printed, mm: a file read in the wrong unit looks so, and
longer strips are chalked by their measures. Source: common practice."""

OPEN = kind(
    "outline-open", Severity.FAULT, "The edges of a piece do not form one closed line: one does not begin where the last ends."
)
CLOCKWISE = kind("outline-clockwise", Severity.FAULT, "The edges of a piece run clockwise; they must run counter-clockwise.")
CROSSING = kind("outline-crosses", Severity.FAULT, "The stitching line of a piece crosses itself.")
NO_CUTTING = kind(
    "cutting-line-none",
    Severity.FAULT,
    "No cutting line can be drawn round a piece: an allowance is negative, without end, too wide for a hollow of the outline, "
    "or the outline has more than 20 000 lines and curves.",
)
OFF_EDGE = kind(
    "mark-off-edge",
    Severity.FAULT,
    "A notch, dart or pleat lies beyond the end of its edge, or on an edge that is not there, or takes up more than there is.",
)
ID_TWICE = kind("id-twice", Severity.FAULT, "Two edges, corners, notches, darts or pleats of one piece have the same id.")
FOLD = kind(
    "fold-edge",
    Severity.FAULT,
    "A piece is cut on the fold, and its fold edge is not there, not straight, reached over by the rest of the piece, or "
    "carries an allowance.",
)
TOO_LARGE = kind(
    "piece-too-large",
    Severity.DOUBT,
    "A piece is longer or wider than 5 m with its allowances, and is not printed at true size. Either its file was read in the "
    "wrong unit, or it is a long strip that is better chalked on the cloth by its measures.",
)
GRAIN = kind("grain-none", Severity.FAULT, "The grain line of a piece has no length, so that it cannot be laid.")


def _made(sort: FindingKind, garment: Garment, piece: Piece, words: str, remedy: str, *acts: str) -> Finding:
    blocks = [piece_block(act, garment, piece.id) for act in acts or ("print", "lay", "cut")]
    return sort(f"{piece.name}: {words}", where=(garment.id, piece.id), remedy=remedy, blocks=blocks)


@CHECKS.register("outlines")
def outlines(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Outlines that are open, clockwise or crossed, and pieces without a cutting line."""
    for piece in garment.pieces.values():
        if piece.shape is not None:
            yield from _outline(garment, piece, piece.shape)


def _outline(garment: Garment, piece: Piece, shape: Shape) -> Iterator[Finding]:
    gap = _gap(shape)
    if gap:
        yield _made(OPEN, garment, piece, gap, "Join the edges.")
        return
    outline = shape.outline
    if len(outline.segments) > MOST:
        yield from _margins(garment, piece, shape)
        return
    crossings = self_crossings(outline)
    if crossings:
        at = crossings[0].point
        words = f"its stitching line crosses itself at {said(at.x)}, {said(at.y)}"
        yield _made(CROSSING, garment, piece, words, "Draw the outline without the loop.")
    elif outline.area <= 0:
        yield _made(CLOCKWISE, garment, piece, "its edges run clockwise", "Turn the order of the edges round.")
    else:
        yield from _margins(garment, piece, shape)
    if shape.grain[0].distance(shape.grain[1]) < 1.0:
        yield _made(GRAIN, garment, piece, "its grain line has no length", "Draw the grain line.", "lay", "cut")


def _gap(shape: Shape) -> str:
    if not shape.edges:
        return "it has no edges"
    for one, two in zip(shape.edges, (*shape.edges[1:], shape.edges[0]), strict=True):
        gap = one.path.end.distance(two.path.start)
        if gap > 1e-6:
            return f"{two.id} begins {said(gap)} away from the end of {one.id}"
    return ""


def _margins(garment: Garment, piece: Piece, shape: Shape) -> Iterator[Finding]:
    try:
        cutting = _cutting(piece, shape)
    except GeometryError as error:
        yield _made(NO_CUTTING, garment, piece, f"no cutting line: {error}", "Look at its allowances.")
        return
    box = cutting.bounds
    if max(box.width, box.height) > LARGEST:
        words = f"it is {said(max(box.width, box.height))} long with its allowances, too large to print"
        remedy = "If its file is in another unit, mend that; else chalk it on the cloth by its measures."
        yield _made(TOO_LARGE, garment, piece, words, remedy, "print")


def _cutting(piece: Piece, shape: Shape) -> Path:
    """The cutting line, whatever may be wrong with the fold edge: that is told by itself."""
    if _fold_wrong(piece, shape):
        return cutting_line(shape, fold=piece.fold if any(edge.id == piece.fold for edge in shape.edges) else "")
    return cutting_line(straightened(shape, piece.fold), fold=piece.fold) if piece.fold else cutting_line(shape)


def _fold_wrong(piece: Piece, shape: Shape) -> str:
    """What is wrong with the line of the fold edge; empty if nothing is, or there is none."""
    try:
        if piece.fold:
            fold_line(shape, piece.fold)
    except (GeometryError, NotThere) as error:
        return str(error)
    return ""


@CHECKS.register("folds")
def folds(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Fold edges that are not there, not straight, or have an allowance."""
    for piece in garment.pieces.values():
        shape = piece.shape
        if not piece.fold or shape is None or all(cut.how is not How.FOLD for cut in piece.cuts) or _gap(shape):
            continue
        edges = {edge.id: edge for edge in shape.edges}
        if piece.fold not in edges:
            yield _made(FOLD, garment, piece, f"its fold edge {piece.fold!r} is not there", f"Name one of {listed(edges)}.")
            continue
        wrong = _fold_wrong(piece, shape) or _fold_unusable(piece, shape)
        if wrong:
            yield _made(FOLD, garment, piece, wrong, "Straighten the fold edge.")
        if _has_margin(edges[piece.fold]):
            words = f"its fold edge {piece.fold!r} carries {said(edges[piece.fold].margin)} of allowance"
            yield _made(FOLD, garment, piece, words, "Give the fold edge the fate fold.", "print")


def _fold_unusable(piece: Piece, shape: Shape) -> str:
    """Why a piece with a straight fold edge still cannot be opened out, or laid on the fold."""
    try:
        opened_shape(shape, piece.fold)
        _cutting(piece, shape)
    except GeometryError:
        return "" if len(shape.edges) > 1 else "it has no edge but the fold edge"
    try:
        drawn_outline(piece)
    except GeometryError as error:
        return str(error)
    return ""


def _has_margin(edge: Edge) -> bool:
    return edge.margin > 0 and (edge.fate is None or edge.fate.kind is not FateKind.FOLD)


@CHECKS.register("marks")
def marks(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Notches, darts and pleats that are not on their edges, and ids that are there twice."""
    for piece in garment.pieces.values():
        if piece.shape is None:
            continue
        for words in (*_off_edge(piece.shape), *_taken(piece.shape)):
            yield _made(OFF_EDGE, garment, piece, words, "Put the mark back on its edge.", "cut")
        for words in _twice(piece.shape):
            yield _made(ID_TWICE, garment, piece, words, "Give each its own id.", "cut")


def _off_edge(shape: Shape) -> Iterator[str]:
    lengths = {edge.id: edge_length(edge.path) for edge in shape.edges}
    spans = [("notch", n.id, n.edge, n.at, 0.0) for n in shape.notches]
    spans += [("dart", d.id, d.edge, d.at, d.width / 2) for d in shape.darts]
    spans += [("pleat", p.id, p.edge, p.at, p.take_up / 2) for p in shape.pleats]
    for what, name, edge, at, half in spans:
        if edge not in lengths:
            yield f"{what} {name!r} lies on the edge {edge!r}, which is not there"
        elif not (math.isfinite(at) and math.isfinite(half) and half >= 0):
            yield f"{what} {name!r} has no sensible place or width"
        elif at - half < -REACH or at + half > lengths[edge] + REACH:
            yield f"{what} {name!r} lies beyond the end of {edge}, which is {said(lengths[edge])} long"
    for pleat in shape.pleats:
        places = [0.0, *(place for place, _ in pleat.depths)]
        rising = all(one < two < math.inf for one, two in itertools.pairwise(places))
        if not rising or not all(0 <= depth < math.inf for _, depth in pleat.depths):
            yield f"pleat {pleat.id!r} has depths in no sensible order or of no sensible size"


def _taken(shape: Shape) -> Iterator[str]:
    for edge in shape.edges:
        try:
            taken = take_up(shape, edge.id)
        except GeometryError:
            continue
        if taken > edge_length(edge.path) + REACH:
            yield f"darts and pleats take more out of {edge.id} than there is"


def _twice(shape: Shape) -> Iterator[str]:
    for what, ids in (
        ("edges", [edge.id for edge in shape.edges]),
        ("corners", [edge.corner.id for edge in shape.edges]),
        ("notches", [notch.id for notch in shape.notches]),
        ("darts", [dart.id for dart in shape.darts]),
        ("pleats", [pleat.id for pleat in shape.pleats]),
    ):
        again = [name for name, count in Counter(ids).items() if count > 1]
        if again:
            yield f"two {what} are called {listed(again)}"
