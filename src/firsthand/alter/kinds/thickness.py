"""A pattern made for thin cloth, cut of thick cloth."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import sensible
from firsthand.alter._spots import level_at
from firsthand.alter._together import Next, together
from firsthand.alter.kinds.take_in import TakeIn
from firsthand.alter.model import ALTERATIONS, Alteration, Altered, Entry
from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import UNDER_ROLES, Garment, Level, Seam, stem
from firsthand.units import Length, said

__all__ = ["ForThickness", "more_round"]

THICKEST = 15.0
"""Cloth thicker than this, mm, is a slip of the keyboard."""
MOST_LAYERS = 12


def more_round(expected: float, thickness: float, layers: int = 1) -> float:
    """How much more girth thick cloth needs than the cloth that a pattern was made for, mm.

    Derived: the middle of the outermost of ``layers`` layers of a thickness lies that many less a half outside the body, and a
    girth is two pi times as much longer.

    Examples
    --------
    >>> round(more_round(0.4, 2.4), 3), round(more_round(0.4, 2.4, layers=2), 3)
    (6.283, 18.85)
    """
    return 2 * math.pi * (layers - 0.5) * (thickness - expected)


@ALTERATIONS.register("thickness")
@dataclass(frozen=True, slots=True)
class ForThickness(Entry):
    """Let out a pattern made for thin cloth that is cut of thick cloth, or take one in that is cut of thinner cloth.

    Round each level the garment grows by what its outermost layer needs: the middle of the cloth lies further out. Where more
    layers of the cloth lie on each other (a facing, a mounting, a fold) it needs more; say so by level. The seams that the
    pattern offers for taking in are let out, each by what its levels need, smoothly between.

    Parameters
    ----------
    expected
        How thick the cloth is that the pattern was made for.
    thickness
        How thick the cloth is.
    layers
        Levels at which more than one layer of the cloth goes round, each with how many.
    levels
        Ids of the only levels to look at; empty means all of the garment.
    """

    kind: ClassVar[str] = "thickness"

    expected: Length
    thickness: Length
    layers: tuple[tuple[str, int], ...] = ()
    levels: tuple[str, ...] = ()

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        self._sensible(garment)
        rounds = {level.id: self._more(level) for level in self._chosen(garment)}
        steps = list(self._steps(garment))
        if not steps:
            words = "no seam that the pattern offers for taking in crosses a level"
            raise CannotAlter(words, "Let it out at the seams that you name, with take-in.")
        verb = "Let out" if self.thickness >= self.expected else "Taken in"
        told = ", ".join(f"{said(abs(more))} round the {level}" for level, more in rounds.items())
        words = f"{verb} for cloth of {self.thickness:g} mm instead of {self.expected:g} mm: {told}"
        figures = {"expected": self.expected, "thickness": self.thickness} | {f"round {k}": v for k, v in rounds.items()}
        return together(garment, self, steps, words, figures)

    def _sensible(self, garment: Garment) -> None:
        for one in (self.expected, self.thickness):
            if sensible(one, THICKEST) < 0:
                raise CannotAlter("a cloth is not thinner than nothing", "Correct the thickness.")
        known = {level.id for level in garment.levels}
        for name in (*self.levels, *(name for name, _ in self.layers)):
            if name not in known:
                raise NotThere("level", name, known)
        if not all(1 <= number <= MOST_LAYERS for _, number in self.layers):
            raise CannotAlter(f"there are from 1 to {MOST_LAYERS} layers", "Correct the number of layers.")

    def _chosen(self, garment: Garment) -> list[Level]:
        return [level for level in garment.levels if not self.levels or level.id in self.levels]

    def _more(self, level: Level) -> float:
        return more_round(self.expected, self.thickness, dict(self.layers).get(level.id, 1))

    def _steps(self, garment: Garment) -> Iterator[Next]:
        """A take-in for each seam that crosses a level; the seams of a lining cut of the same pieces move with the shell's."""
        done: set[frozenset[tuple[str, str]]] = set()
        names = dict.fromkeys(stem(seam.id) for seam in garment.seams if seam.take_in)
        for name in names:
            seams = [seam for seam in garment.seams if seam.take_in and stem(seam.id) == name]
            edges = frozenset((ref.piece, ref.edge) for seam in seams for ref in (*seam.a, *seam.b))
            crossed = [level for level in self._chosen(garment) if _crosses(garment, seams[0], level)]
            if crossed and edges not in done:
                done.add(edges)
                stations = tuple((f"level {one.id}", -self._more(one) * _part(garment, seams[0], one)) for one in crossed)
                yield _once(TakeIn(stations=stations, seams=(name,)))


def _once(entry: Alteration) -> Next:
    return lambda garment: entry


def _crosses(garment: Garment, seam: Seam, level: Level) -> bool:
    return any(
        level_at(garment.piece(ref.piece).drawn_shape, ref.edge, level.id) is not None
        for ref in (*seam.a, *seam.b)
        if garment.piece(ref.piece).shape is not None
    )


def _layer(seam: Seam) -> str:
    return seam.a[0].role if seam.a[0].role in UNDER_ROLES else ""


def _part(garment: Garment, seam: Seam, level: Level) -> float:
    """Which part of what a level needs is let out at a seam and its like on the other hand: all seams across it take the same.

    A limb needs all of it on each hand, and an amount all round is shared by both.
    """
    crossing = [
        other for other in garment.seams if other.take_in and _layer(other) == _layer(seam) and _crosses(garment, other, level)
    ]
    own = sum(1 for other in crossing if stem(other.id) == stem(seam.id))
    return own / len(crossing) * (2.0 if level.limb else 1.0)
