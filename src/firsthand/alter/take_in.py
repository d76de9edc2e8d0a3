"""Take in or let out along seams."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, finished, reshaped, sensible
from firsthand.alter._most import most_possible
from firsthand.alter._reshape import Reshaped, moved_inwards
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import UNDER_ROLES, EdgeRef, Garment, Hand, How, Seam, single_seams
from firsthand.units import Length, said

__all__ = ["TakeIn"]

MOST = 500.0
"""More than this, mm of girth in all, is a slip of the keyboard."""


@ALTERATIONS.register("take-in")
@dataclass(frozen=True, slots=True)
class TakeIn(Entry):
    """Take in evenly along seams; a negative amount lets out.

    Each seam takes the same share of the amount, each of its two edges half of that, and each edge moves along its normals.
    Neighbouring edges stay on their lines and are trimmed or run on to the new corners. At a slanting edge the girth
    therefore changes by a little more than the amount, as it does when a seam is pinned.

    Parameters
    ----------
    amount
        What the garment loses all the way round the body, mm: a seam on both hands takes half of it on each.
    seams
        Ids of seams, or names common to a right and a left one; empty means all that the pattern offers for taking in.
    limb
        Whether the amount is meant for the girth of one limb, as for a sleeve: each limb then loses all of it.
    """

    kind: ClassVar[str] = "take-in"

    amount: Length
    seams: tuple[str, ...] = ()
    limb: bool = False

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        shares = self.shares(garment)
        inwards = self.amount >= 0
        verb = "taking in" if inwards else "letting out"
        changed = as_much_as_goes(partial(self._moved, garment), self.amount, verb)
        figures = {"amount": self.amount} | {f"seam {name}": share for name, share in shares.items()}
        for piece, moves in self._moves(garment).items():
            figures |= {f"edge {piece}.{edge}": amount for edge, amount in moves.items() if piece in changed}
        seams = ", ".join(name for name, seam in single_seams(garment) if seam.id in shares)
        words = f"{'Taken in' if inwards else 'Let out'} {said(abs(self.amount))} in all, evenly at {seams}"
        return finished(garment, self, words, figures, changed)

    def shares(self, garment: Garment) -> dict[str, float]:
        """What each seam takes, mm of girth, by id.

        Raises
        ------
        NotThere
            If a named seam is not there.
        CannotAlter
            If the amount has no sense, or no seam is named and the pattern offers none.
        """
        sensible(self.amount, MOST)
        chosen = self._chosen(garment)
        counts = Counter(self._round(seam) for seam in chosen)
        return {seam.id: self.amount / counts[self._round(seam)] for seam in chosen}

    def most(self, garment: Garment) -> float:
        """The most of the amount that is possible, mm of girth, in whole mm."""
        return most_possible(partial(self._moved, garment), self.amount)

    def _moved(self, garment: Garment, amount: float) -> dict[str, Reshaped]:
        moves = replace(self, amount=amount)._moves(garment)
        return reshaped(garment, {piece: partial(moved_inwards, amounts=by) for piece, by in moves.items()})

    def _chosen(self, garment: Garment) -> tuple[Seam, ...]:
        if not self.seams:
            offered = tuple(seam for seam in garment.seams if seam.take_in)
            if not offered:
                raise CannotAlter("the pattern offers no seam for taking in", "Name them with seams = [...].")
            return offered
        chosen: dict[str, Seam] = {}
        for name in self.seams:
            found = [s for s in garment.seams if s.id in (name, f"{name} right", f"{name} left")]
            if not found:
                raise NotThere("seam", name, (seam.id for seam in garment.seams))
            chosen |= {seam.id: seam for seam in found}
        return tuple(chosen.values())

    def _round(self, seam: Seam) -> tuple[str, int, Hand]:
        """Seams with the same answer share the amount: those of one layer, for limbs those of one hand."""
        ref = seam.a[0]
        return (ref.role if ref.role in UNDER_ROLES else "", ref.copy, ref.hand if self.limb else Hand.CENTRE)

    def _moves(self, garment: Garment) -> dict[str, dict[str, float]]:
        """How far each edge moves, by piece and edge."""
        moves: dict[str, dict[str, float]] = {}
        named: dict[tuple[str, str], set[Hand]] = {}
        for name, share in self.shares(garment).items():
            seam = next(seam for seam in garment.seams if seam.id == name)
            for ref in (*seam.a, *seam.b):
                self._enter(garment, moves, ref, share / 2)
                named.setdefault((ref.piece, ref.edge), set()).add(ref.hand)
        for (piece, edge), hands in named.items():
            _refuse_one_hand(garment, piece, edge, hands)
        return moves

    def _enter(self, garment: Garment, moves: dict[str, dict[str, float]], ref: EdgeRef, amount: float) -> None:
        piece = garment.piece(ref.piece)
        if piece.shape is None:
            raise CannotAlter(
                f"{ref.piece} is only a card: it has no outline to take in", "Draw it first, or name other seams."
            )
        piece.shape.edge(ref.edge)
        if piece.fold == ref.edge:
            raise CannotAlter(f"{ref.piece}.{ref.edge} lies on the fold and cannot be taken in", "Name other seams.")
        before = moves.setdefault(ref.piece, {}).setdefault(ref.edge, amount)
        if abs(before - amount) > 1e-9:
            raise CannotAlter(f"{ref.piece}.{ref.edge} would be taken in by two different amounts", "Name fewer seams.")


def _refuse_one_hand(garment: Garment, piece: str, edge: str, hands: set[Hand]) -> None:
    both = {How.PAIR, How.FOLD} & {cut.how for cut in garment.piece(piece).cuts}
    if both and len(hands & {Hand.LEFT, Hand.RIGHT}) == 1:
        (one,) = hands & {Hand.LEFT, Hand.RIGHT}
        words = f"{piece} is cut for both hands, and only the {one.value} seam at {piece}.{edge} is named"
        raise CannotAlter(words, f"Name the {one.other.value} seam as well.")
