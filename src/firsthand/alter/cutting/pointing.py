"""The point of a dart moved: what it takes up kept, or its angle."""

from __future__ import annotations

from dataclasses import replace

from firsthand.alter.cutting.cuts import dart_of
from firsthand.alter.cutting.darts import at_angle, legs_trued
from firsthand.alter.cutting.sections import dart_angle
from firsthand.alter.moving.chaining import in_turn
from firsthand.alter.moving.corners import lengthened, sewn_lengths
from firsthand.alter.moving.reshape import Crosses, Reshaped, refuse_crossings
from firsthand.geometry import Point
from firsthand.pattern import Shape

__all__ = ["pointed", "pointed_at_angle"]

KEPT = 0.002
"""Sewn lengths are kept to this, mm."""
TRIES = 12
"""Few are needed: corners move almost in proportion."""


def pointed(shape: Shape, name: str, apex: Point) -> Reshaped:
    """A dart with its point elsewhere, what it takes up unchanged, and both legs made equally long.

    Raises
    ------
    NotThere
        If the dart is not there.
    Crosses
        If the point would lie outside the piece, or the dart would be cut into.
    """
    return legs_trued(_placed(shape, name, apex), name)


def pointed_at_angle(shape: Shape, name: str, apex: Point, fold: str = "") -> Reshaped:
    """A dart with its point elsewhere and its angle as it was; no sewn length changes.

    Its legs grow or shrink with the way to the edge, so that it takes up more or less there. By that much its edge is made
    longer or shorter: the corners of the piece move, as little as may be, so that all edges stay as long as they are sewn.

    Parameters
    ----------
    fold
        Id of the edge on the fold, whose ends stay on it; empty if none.

    Raises
    ------
    NotThere
        If the dart is not there.
    Crosses
        If the point would lie outside the piece, the dart would be cut into, or lengths cannot be kept.
    """
    angle, wanted = dart_angle(shape, dart_of(shape, name)), sewn_lengths(shape)
    by = dict.fromkeys(wanted, 0.0)
    for _ in range(TRIES):
        longer = lengthened(shape, fold, by) if any(by.values()) else Reshaped(shape, {})
        result = in_turn(longer, at_angle(_placed(longer.shape, name, apex), name, angle))
        now = sewn_lengths(result.shape)
        if all(abs(wanted[edge] - now[edge]) <= KEPT for edge in wanted):
            return result
        by = {edge: by[edge] + wanted[edge] - now[edge] for edge in wanted}
    raise Crosses(f"edges beside {name} would not fit any more")


def _placed(shape: Shape, name: str, apex: Point) -> Shape:
    """The shape with the point of a dart elsewhere, and nothing else changed."""
    moved = replace(dart_of(shape, name), apex=apex)
    placed = replace(shape, darts=tuple(moved if d.id == name else d for d in shape.darts))
    refuse_crossings(placed)
    return placed
