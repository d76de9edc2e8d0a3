"""Straight strips: the shape that bands and frills are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isfinite

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.pattern import Corner, Edge, Fate, Garment, InnerLine, Notch, Piece, Shape
from firsthand.units import said

__all__ = ["Side", "card_of", "refuse_negative", "strip_shape"]


@dataclass(frozen=True, slots=True)
class Side:
    """One edge of a strip: its id, allowance and fate."""

    id: str
    allowance: float
    fate: Fate | None = None


def refuse_negative(lengths: Mapping[str, float], *, zero: bool = True) -> None:
    """Refuse lengths that are not finite or below zero.

    Parameters
    ----------
    lengths
        Lengths by what they are called, mm.
    zero
        Whether they may be zero.

    Raises
    ------
    GeometryError
        Naming the first of them.
    """
    for name, length in lengths.items():
        if not isfinite(length) or length < 0 or (length == 0 and not zero):
            raise GeometryError(f"{name} must be a length {'of zero or more' if zero else 'above zero'}, not {said(length)}")


def strip_shape(
    runs: Iterable[tuple[Side, float]],
    depth: float,
    sides: tuple[Side, Side, Side],
    *,
    notches: Iterable[Notch] = (),
    lines: Iterable[InnerLine] = (),
    turned: float = 0.0,
) -> Shape:
    """A rectangle.

    Parameters
    ----------
    runs
        Its lower edges with their lengths, from the start to the end.
    depth
        How deep it is, mm.
    sides
        End, upper edge and start.
    notches, lines
        As on the strip lying with its lower edge along the x axis.
    turned
        By how much it is turned from that, radians: the grain is always upright.
    """
    corners, lower = [Point(0, 0)], list(runs)
    for _, length in lower:
        corners.append(Point(corners[-1].x + length, 0))
    total = corners[-1].x
    corners += [Point(total, depth), Point(0, depth), Point(0, 0)]
    named = [*(side for side, _ in lower), *sides]
    turn = Affine.rotation(turned)
    edges = tuple(
        Edge(side.id, Corner(f"{side.id} start"), Path.line(a, b).transformed(turn), side.allowance, fate=side.fate)
        for side, a, b in zip(named, corners[:-1], corners[1:], strict=True)
    )
    box = Box.around(turn(corner) for corner in corners)
    reach = Point(0, box.height * 0.4)
    return Shape(
        edges=edges,
        grain=(box.centre - reach, box.centre + reach),
        notches=tuple(notches),
        lines=tuple(InnerLine(line.id, line.kind, line.path.transformed(turn)) for line in lines),
    )


def card_of(garment: Garment | None, id: str) -> Piece | None:
    """The piece of that id that the garment has already, mostly a card."""
    return None if garment is None else garment.pieces.get(id)
