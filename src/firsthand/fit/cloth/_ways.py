"""Three ways to go on where it is not certain how a cloth will behave, each with what it costs."""

from __future__ import annotations

import math

from firsthand.fabric import Fabric
from firsthand.fit.model import Way
from firsthand.pattern import Garment, Seam, cutting_line, part_shape, sewn_length
from firsthand.units import said

__all__ = ["FAR", "INLAY", "ways"]

INLAY = 20.0
"""Kept at each edge for letting out, mm (common practice: 20 to 25 mm)."""
MUCH, FAR = 0.03, 0.10
"""Differences from the pattern, as shares of its girth, from which it is basted first, or tried in another cloth."""
BASTE, UNPICK = 4.0, 3.0
"""Minutes for a metre: basting with a long stitch by machine, taking it out (common practice)."""
FITTING, MARKING, CUTTING, CARRYING = 30.0, 10.0, 25.0, 15.0
"""Minutes: trying on and pinning, marking, cutting, carrying what was pinned over to the pattern (common practice)."""
YIELD = 0.75
"""Share of a cloth that pieces cover (common practice: 70 to 85 %)."""


def ways(garment: Garment, fabric: Fabric, doubts: tuple[str, ...], difference: float, *, unsure: bool) -> tuple[Way, ...]:
    """The three ways, one of them advised.

    Parameters
    ----------
    garment, fabric
        The garment as far as its brief's alterations go, and its cloth.
    doubts
        Why the figure is uncertain, in words; without any there is nothing to choose.
    difference
        The greatest difference from the pattern, as a share of its girth.
    unsure
        Whether the cloth itself is not to be relied on: its stretch not known, or it grows.
    """
    if not doubts:
        return ()
    choice = "toile" if unsure or difference > FAR else "inlays" if difference > MUCH or len(doubts) > 1 else "cut"
    offered = [seam for seam in garment.seams if seam.take_in and _plain(garment, seam)]
    metres = math.fsum(_length(garment, seam) for seam in offered) / 1000
    every = math.fsum(_length(garment, seam) for seam in garment.seams if _plain(garment, seam)) / 1000
    inlays = 2 * metres * 1000 * INLAY / fabric.usable_width / YIELD
    toile = _area(garment) / fabric.usable_width / YIELD
    because = "; ".join(doubts)
    made = (
        Way(
            "cut", "Cut to the computed size at once: quickest, and what is cut off is gone if the cloth gives less.",
            0.0, 0.0, why="only where the cloth is known and the difference is small",
        ),
        Way(
            "inlays",
            f"Cut with inlays of {said(INLAY)} at the seams that may be taken in, baste on the computed line, try on, then sew "
            "and trim.",
            MARKING + (BASTE + UNPICK) * metres + FITTING, inlays,
            why=f"{metres:.1f} m of seams are basted and taken out again",
        ),
        Way(
            "toile", "Make a toile first of a cheap cloth of the same stretch and weight, sewn with a long stitch.",
            CUTTING + MARKING + BASTE * every + FITTING + CARRYING, toile,
            why=f"{every:.1f} m of seams; a toile of another stretch would tell nothing",
        ),
    )  # fmt: skip
    return tuple(
        Way(way.id, way.words, round(way.minutes), way.cloth, way.id == choice, because if way.id == choice else way.why)
        for way in made
    )


def _plain(garment: Garment, seam: Seam) -> bool:
    return all(garment.pieces[ref.piece].shape is not None for ref in (*seam.a, *seam.b) if ref.piece in garment.pieces)


def _length(garment: Garment, seam: Seam) -> float:
    there = [ref for ref in seam.a if ref.piece in garment.pieces]
    return math.fsum(sewn_length(garment.piece(ref.piece).drawn_shape, ref.edge) for ref in there)


def _area(garment: Garment) -> float:
    """Area of all shell parts as cut, mm2; cards by their rough size."""
    total = 0.0
    for part in garment.parts:
        piece = garment.piece(part.piece)
        if part.role == "shell" and piece.shape is not None:
            total += abs(cutting_line(part_shape(garment, part)).area)
        elif part.role == "shell" and piece.size in piece.rough:
            rough = piece.rough[piece.size or ""]
            total += rough.length * rough.width
    return total
