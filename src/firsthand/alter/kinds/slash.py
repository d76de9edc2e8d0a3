"""Slash and spread, or overlap."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, finished, reshaped, sensible
from firsthand.alter.cutting.eased import trued_together
from firsthand.alter.cutting.slashed import Slash, read_slash, refuse_bent_folds, slashed, staying
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import put_in
from firsthand.alter.moving.reshape import Reshaped
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment
from firsthand.units import Length, said

__all__ = ["SlashAndSpread"]

MOST = 600.0
"""More than this at one line, mm, is a slip of the keyboard."""


@ALTERATIONS.register("slash")
@dataclass(frozen=True, slots=True, kw_only=True)
class SlashAndSpread(Entry):
    """Slash a piece along lines and spread the sections, hinged or parallel; negative amounts overlap them.

    Each line runs from a place on the outline to another one. It opens by ``spread`` at the first and by ``spread_far`` at the
    last: hinged if one of them is 0, parallel if both are alike. Sections move as they are, with all that is marked on them;
    the two edges at the ends of a line grow by what is put in there, all others keep their lengths. Other pieces are not
    touched: what they are sewn to at the edges that grew has to be altered as well, or gathered.

    Parameters
    ----------
    piece
        Id of the piece.
    lines
        For each line its places, as ``["hem at 30 %", "waist at 30 %"]``, with points inside between them if it is not
        straight, as ``["hem at 50 %", "point of d1", "armhole at notch n2"]``.
    spread
        How far each line opens at its first place, mm; negative where the sections overlap.
    spread_far
        How far each line opens at its last place, mm.
    stays
        A place on the section that stays, or the id of an edge of it; without one the section of the fold edge, or of the
        middle of the grain line.
    trued
        Whether edges are made fair where they were parted, over at most 6 cm on either side.
    """

    kind: ClassVar[str] = "slash"

    piece: str
    lines: tuple[tuple[str, ...], ...]
    spread: Length = 0.0
    spread_far: Length = 0.0
    stays: str = ""
    trued: bool = True

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        amounts = {name: sensible(amount, MOST) for name, amount in (("spread", self.spread), ("spread_far", self.spread_far))}
        if not self.lines:
            raise CannotAlter("no line is named", 'Write for example lines = [["hem at 30 %", "waist at 30 %"]].')
        piece = garment.piece(self.piece)
        slashes = [self._opened(read_slash(piece.drawn_shape, words)) for words in self.lines]
        stays = staying(piece, self.stays, slashes)
        most = max(amounts.values(), key=abs)

        def opened(amount: float) -> dict[str, Reshaped]:
            lines = [slash.scaled(amount / most) for slash in slashes]
            return reshaped(garment, {self.piece: lambda shape: slashed(shape, lines, stays)})

        verb = "spreading by" if most > 0 else "overlapping by"
        changed = as_much_as_goes(opened, most, verb) if most else {}
        refuse_bent_folds(garment, changed, put_in(garment, changed))
        changed = trued_together(garment, changed) if self.trued else changed
        return finished(garment, self, self._words(most), amounts, changed)

    def _opened(self, slash: Slash) -> Slash:
        return Slash(slash.one, slash.two, slash.through, self.spread, self.spread_far)

    def _words(self, most: float) -> str:
        count = (
            f"{len(self.lines)} lines" if len(self.lines) > 1 else f"the line from {self.lines[0][0]} to {self.lines[0][-1]}"
        )
        what = "slashed and spread" if most >= 0 else "slashed and overlapped"
        ends = [said(abs(amount)) for amount in dict.fromkeys((self.spread, self.spread_far)) if amount]
        how = "parallel" if len(ends) == 1 and self.spread == self.spread_far else "hinged" if len(ends) == 1 else "at its ends"
        return f"{self.piece} {what} along {count}, by {' and '.join(ends) or 'nothing'} {how}"
