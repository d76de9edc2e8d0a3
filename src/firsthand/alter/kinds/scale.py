"""Put a copy at the wrong scale right."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import finished, reshaped
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.reshape import Reshaped
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Affine
from firsthand.pattern import Garment, Pleat, Shape
from firsthand.units import Length, said

__all__ = ["Scale", "scaled"]

GREATEST = 4.0
"""A copy further off than this, either way, is a slip of the keyboard or of the unit."""


@ALTERATIONS.register("scale")
@dataclass(frozen=True, slots=True)
class Scale(Entry):
    """Scale pieces from one length whose true measure is known.

    Stitching lines, notches, darts, pleats, levels and inner lines grow by ``printed / measured``. Allowances and hem depths
    do not: they are numbers that say how far from the stitching line to cut, and cutting lines are made again from the
    scaled stitching lines. The outline as bought stays beside the scaled one, untouched.

    Parameters
    ----------
    printed
        What the test line says it measures.
    measured
        What a ruler says.
    pieces
        Ids of the pieces on that copy; empty means all.
    """

    kind: ClassVar[str] = "scale"

    printed: Length
    measured: Length
    pieces: tuple[str, ...] = ()

    @property
    def factor(self) -> float:
        """By how much pieces grow.

        Raises
        ------
        GeometryError
            If a length is not above zero.
        CannotAlter
            If the two are so different that one must be mistyped.

        Examples
        --------
        >>> round(Scale(printed=100, measured=97).factor, 6)
        1.030928
        """
        for length in (self.printed, self.measured):
            if not (math.isfinite(length) and length > 0):
                raise GeometryError(f"a test line must have a length above zero, not {said(length)}")
        factor = self.printed / self.measured
        if not 1 / GREATEST <= factor <= GREATEST:
            raise CannotAlter(f"a copy to be scaled by {factor:.3g} is no copy", "Check both lengths and their units.")
        return factor

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        factor = self.factor
        chosen = self.pieces or tuple(garment.pieces)
        for name in chosen:
            garment.piece(name)
        changed = [name for name in chosen if garment.pieces[name].shape is not None and abs(factor - 1) > 1e-12]
        if self.pieces and not any(garment.pieces[name].shape for name in chosen):
            raise NotThere("outline", ", ".join(chosen))
        # In millimetres for every reader: eighths of an inch would hide the difference.
        line = f"a test line of {self.printed:g} mm that measures {self.measured:g} mm"
        words = f"Scaled by {factor:.4f} from {line}; allowances kept as they are"
        figures = {"printed": self.printed, "measured": self.measured}
        return finished(garment, self, words, figures, reshaped(garment, dict.fromkeys(changed, self._reshaped)))

    def _reshaped(self, shape: Shape) -> Reshaped:
        lengths = {edge.id: edge.path.length for edge in shape.edges}
        runs = {edge: ((0.0, long, 0.0, long * self.factor),) for edge, long in lengths.items()}
        return Reshaped(scaled(shape, self.factor), runs)


def scaled(shape: Shape, factor: float) -> Shape:
    """A shape scaled about the origin, its allowances and hems kept."""
    by = Affine.scaling(factor)
    return replace(
        shape,
        edges=tuple(replace(edge, path=edge.path.transformed(by)) for edge in shape.edges),
        grain=(by(shape.grain[0]), by(shape.grain[1])),
        notches=tuple(replace(notch, at=notch.at * factor) for notch in shape.notches),
        darts=tuple(replace(d, at=d.at * factor, width=d.width * factor, apex=by(d.apex)) for d in shape.darts),
        pleats=tuple(_scaled_pleat(pleat, by, factor) for pleat in shape.pleats),
        lines=tuple(replace(line, path=line.path.transformed(by)) for line in shape.lines),
        levels=tuple(replace(level, a=by(level.a), b=by(level.b)) for level in shape.levels),
    )


def _scaled_pleat(pleat: Pleat, by: Affine, factor: float) -> Pleat:
    return replace(
        pleat,
        at=pleat.at * factor,
        depth=pleat.depth * factor,
        reach=pleat.reach * factor,
        depths=tuple((place * factor, depth * factor) for place, depth in pleat.depths),
        towards=None if pleat.towards is None else by(pleat.towards),
    )
