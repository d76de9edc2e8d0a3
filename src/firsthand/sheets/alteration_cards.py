"""Cards for altering the tissue there is: cuts, corners, and offsets from the printed line, a card for each piece."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from firsthand.alter import Tissue
from firsthand.fit.model import FitResult
from firsthand.geometry.drawing import LineKind, WordKind
from firsthand.pattern import Edge, Garment, Piece, Shape
from firsthand.sheets._flow import Column, Flow, list_paper
from firsthand.sheets._tissue_rows import corner_rows, edge_rows, said_words
from firsthand.sheets._tissue_words import (
    added_words,
    edge_words,
    inner_words,
    line_words,
    mark_words,
    moves,
    neighbours,
    piece_tissues,
    stage_words,
    taped_words,
)
from firsthand.sheets._words import length, piece_title, plain, sentence
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile

__all__ = ["alteration_cards"]

MANY = 60
"""From so many rows on it is said that printing may be quicker."""
HOW = (
    "Lengths are measured from the stitching line as printed: along it from the corner named, then square to it. In is "
    "towards the middle of the piece, out away from it. Mark, then join the marks with one smooth line. Allowances stay as "
    "wide as they are, so the cutting line goes the same way."
)
"""Measuring off and marking at intervals is common practice."""
CORNERS = (
    "From the printed corner back along each of its two printed lines, or beyond it with the line run on straight; then "
    "square to that line, in or out. Both ways lead to the same point."
)
TURNED = (
    "Trace the tissue, and turn the tracing over: this piece is for the other hand, and what follows is seen on the tracing."
)
OPENED = "The tissue shows half of it: trace it twice, once turned over, and join the halves at the fold."
CUT = "Where the tissue is cut, spread it first, over paper, and measure from the printed line as it lies then."


@SHEETS[Scope.GARMENT].register("alteration-cards")
def alteration_cards(results: Results) -> tuple[SheetFile, ...]:
    """One file for each garment of which a piece was altered."""
    return tuple(file for fit in results.fits.values() for file in _cards(results, fit))


def _cards(results: Results, fit: FitResult) -> tuple[SheetFile, ...]:
    found = sorted(piece_tissues(fit, results.settings.units), key=lambda one: bool(one[1].new))
    if not found:
        return ()
    garment = fit.garment
    flow = Flow(list_paper(results), f"{garment.name or garment.id}: altering the tissue")
    flow.paragraph(f"Size {garment.size}. {HOW}")
    if any(tissue.is_cut for _, tissue in found):
        flow.paragraph(CUT)
    for number, (piece, tissue) in enumerate(found):
        if number:
            flow.keep(flow.measure(partial(_card, results=results, garment=garment, piece=piece, tissue=tissue)))
        _card(flow, results, garment, piece, tissue)
    return (flow.file(f"{garment.id}/alteration-cards.pdf", "alteration-cards", results),)


def _card(flow: Flow, results: Results, garment: Garment, piece: Piece, tissue: Tissue) -> None:
    flow.gap(3)
    flow.paragraph(piece_title(piece), WordKind.NAME)
    flow.rule(LineKind.FRAME)
    flow.gap(2)
    shape = tissue.printed(piece)
    if tissue.new or shape is None:
        flow.paragraph(sentence(f"Draw anew: print it. {tissue.new[:1].upper()}{tissue.new[1:]}"))
        for stage in tissue.stages:
            flow.paragraph(sentence(said_words(stage.words, garment, results.settings.units)), indent=4)
        return
    for words in _first(garment, piece, tissue):
        flow.paragraph(words)
    _stages(flow, results, garment, shape, tissue)
    _lines(flow, results, shape, tissue)
    _corners(flow, results, shape, tissue)
    rows = sum(_edge(flow, results, piece, tissue, edge) for edge in shape.edges)
    _inside(flow, results, shape, tissue)
    if rows > MANY:
        flow.gap(2)
        flow.paragraph("Most of its line moved: printing the piece may be quicker.")


def _first(garment: Garment, piece: Piece, tissue: Tissue) -> Iterator[str]:
    """On which tissue a piece is drawn, and how that lies."""
    if tissue.source and not tissue.turned:
        still = tissue.source in garment.pieces
        doing = "Trace it from" if still or not tissue.lines else "It is a part of"
        yield f"{doing} the tissue of {plain(tissue.source)}."
    if tissue.size:
        yield f"Size {piece.size} was not bought: all is measured from the printed line of size {tissue.size}."
    if tissue.turned:
        yield TURNED
    if tissue.opened:
        yield OPENED


def _stages(flow: Flow, results: Results, garment: Garment, shape: Shape, tissue: Tissue) -> None:
    units = results.settings.units
    for number, stage in enumerate(tissue.stages, 1):
        flow.paragraph(f"{number}. {sentence(said_words(stage.words, garment, units))}")
        for words in stage_words(shape, stage, units):
            flow.paragraph(sentence(words), indent=6)
        if any(end.opened >= 0.5 for moved in stage.moved for end in moved.ends):
            flow.paragraph("Join the lines across the gap.", indent=6)
        flow.gap(1)
    names = {other.id: piece_title(other) for piece in garment.pieces.values() for other in piece.joined}
    for taped in tissue.taped:
        flow.paragraph(sentence(taped_words(shape, taped, names, units)))
    if not (tissue.offsets or tissue.points or tissue.lines or any(m.factor != 1 for s in tissue.stages for m in s.moved)):
        rest = "the rest" if tissue.is_cut or tissue.gone or tissue.added or tissue.taped else "its line"
        flow.paragraph(f"Nothing else moves: {rest} is as printed.")


def _lines(flow: Flow, results: Results, shape: Shape, tissue: Tissue) -> None:
    for line in tissue.lines:
        flow.heading("A new line", follow=20)
        for words in line_words(shape, line, results.settings.units):
            flow.paragraph(sentence(words))


def _corners(flow: Flow, results: Results, shape: Shape, tissue: Tissue) -> None:
    rows = list(corner_rows(shape, tissue, results.settings.units))
    if rows:
        flow.heading("Corners", follow=20)
        flow.paragraph(CORNERS, WordKind.SMALL)
        flow.gap(1)
        flow.table((Column("Corner of", 2.2), Column("Along the one", 3), Column("Along the other", 3)), rows)


def _edge(flow: Flow, results: Results, piece: Piece, tissue: Tissue, edge: Edge) -> int:
    shape, units = tissue.printed(piece), results.settings.units
    assert shape is not None  # its edge is given
    others = {size: other for size, other in piece.sizes.items() if size not in (piece.size, tissue.size)}
    rows = edge_rows(shape, tissue, edge.id, units, others)
    if rows:
        last, follow = (edge_words(shape, name) for name in neighbours(shape, edge.id))
        long = length(edge.path.length, units)
        name = sentence(edge_words(shape, edge.id))[:-1]
        flow.heading(f"{name}, from {last} to {follow}: {long} as printed", follow=24)
        flow.table((Column(f"From the corner with {last}", 2.2), Column("There", 3), Column("New line", 3)), rows)
    return len(rows)


def _inside(flow: Flow, results: Results, shape: Shape, tissue: Tissue) -> None:
    units = results.settings.units
    lines = [inner_words(point, units) for point in tissue.points if moves(point)]
    lines += [f"{mark_words(name)}: gone, leave it out" for name in tissue.gone]
    lines += [added_words(shape, mark, units) for mark in tissue.added]
    if lines:
        flow.heading("Marks", follow=10)
        for line in lines:
            flow.paragraph(sentence(line))
