"""All pieces of a garment as one DXF file."""

from __future__ import annotations

from dataclasses import replace

from firsthand.geometry import Affine
from firsthand.geometry.drawing import Anchor, WordKind
from firsthand.pattern import Garment, drawn_fold, opened
from firsthand.sheets._piece import draw_piece
from firsthand.sheets.sinks.measure import MeasureSink
from firsthand.sheets.sinks.tape import Tape
from firsthand.units import Unit

__all__ = ["pieces_dxf"]

APART = 50.0
"""Between pieces, mm."""


def pieces_dxf(garment: Garment, units: Unit = Unit.CM) -> bytes:
    """The pieces of a garment as they are by now, side by side at true size, a block for each; those on the fold opened out.

    Parameters
    ----------
    garment
        The garment; pieces that are only cards are left out, and so is the outline as bought.
    units
        For the allowances written along the edges; the drawing itself is in millimetres.

    Returns
    -------
    bytes
        A DXF file of release R2010 with the layers of :data:`firsthand.sheets.sinks.dxf.LAYERS`.
    """
    from firsthand.sheets.sinks.dxf import DxfSink

    sink, right = DxfSink(), 0.0
    for piece in garment.pieces.values():
        if piece.shape is None:
            continue
        plain = replace(opened(piece) if drawn_fold(piece) else piece, sizes={})  # so that nothing is drawn as bought
        middle = plain.drawn_shape.outline.bounds.centre
        drawing, measure = Tape(), MeasureSink()
        draw_piece(drawing, garment, plain, units)
        drawing.play(measure)
        box = measure.bounds
        sink.push(Affine.translation(right - box.left, -box.bottom), name=piece.id)
        drawing.play(sink)
        sink.words(piece.name or piece.id, middle, WordKind.NAME, anchor=Anchor.MIDDLE)
        sink.pop()
        right += box.width + APART
    return sink.data
