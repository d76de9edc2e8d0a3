"""Take in or let out along seams."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import ClassVar, Literal

from firsthand.alter._making import as_much_as_goes, finished, reshaped, sensible
from firsthand.alter._most import most_possible
from firsthand.alter._spots import place_told
from firsthand.alter.model import ALTERATIONS, Altered, Entry, Record
from firsthand.alter.moving.chains import Link, chains, place_along, profile_on
from firsthand.alter.moving.profile import constant, scaled
from firsthand.alter.moving.reshape import Reshaped, moved_by
from firsthand.alter.naming.one_hand import parted_for, with_parting
from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import UNDER_ROLES, EdgeRef, Garment, Hand, How, Profile, Seam, single_seams
from firsthand.units import Length, Share, said

__all__ = ["TakeIn"]

MOST = 500.0
"""More than this, mm of girth in all, is a slip of the keyboard."""
SAME = 1e-4
"""Amounts and places that differ by less, mm, are the same."""


@ALTERATIONS.register("take-in")
@dataclass(frozen=True, slots=True)
class TakeIn(Entry):
    """Take in along seams, evenly or by different amounts from place to place; a negative amount lets out.

    Each seam takes the same share of the amount, each of its two edges half of that unless ``share`` says otherwise, and each
    edge moves along its normals, from the line it had before it was ever moved: several of these along one seam add up, and
    one with the opposite amounts takes another back. Neighbouring edges stay on their lines and are trimmed or run on to the
    new corners; into a neighbour that the edge runs into smoothly, without a corner, the movement runs out over 8 cm. A dart
    on a moved edge keeps its point and what it takes up. At a slanting edge the girth changes by a little more than the
    amount, as it does when a seam is pinned; two edges that are curved differently differ a little in length afterwards, which
    the walk along the seam reports if it is more than the seam allows.

    Parameters
    ----------
    amount
        What the garment loses all the way round the body, mm: a seam on both hands takes half of it on each. Needed unless
        ``stations`` are told.
    seams
        Ids of seams, or names common to a right and a left one; empty means all that the pattern offers for taking in.
    limb
        Whether the amount is meant for the girth of one limb, as for a sleeve: each limb then loses all of it.
    stations
        Instead of one amount: places along the seam, each with its amount all the way round, mm, as
        ``[["level waist", "2 cm"], ["level hip", 0]]``. A place is ``start``, ``end``, ``12 cm`` or ``40 %`` from the start
        of the seam in sewn length, or where a ``level ID``, ``notch ID`` or ``dart ID`` is; it is told on the seam as it was
        before it was ever moved. A seam of two edges starts where its first edge starts as drawn. The amount runs smoothly
        between the places, never beyond the two amounts it runs between, and stays the same beyond the outermost.
    share
        How much of what a seam takes its first side takes; the other side takes the rest.
    hand
        Only this hand: ``left`` or ``right``. Its seams then take all of the amount. A pair becomes a piece for each hand, a
        piece on the fold is opened out.
    """

    kind: ClassVar[str] = "take-in"

    amount: Length | None = None
    seams: tuple[str, ...] = ()
    limb: bool = False
    stations: tuple[tuple[str, Length], ...] = ()
    share: Share = 0.5
    hand: Literal["", "left", "right"] = ""

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        before, parting = garment, None
        if self.hand:
            garment, parting = self._parted(garment)
        shares, moves = self.shares(garment), self._moves(garment)
        peak = self.peak
        changed = as_much_as_goes(partial(_moved, garment, moves, peak), peak, "taking in" if peak >= 0 else "letting out")
        seams = ", ".join(name for name, seam in single_seams(garment) if seam.id in shares)
        altered = finished(garment, self, self._words(seams), self._figures(shares, moves, changed), changed)
        return with_parting(before, parting, altered) if parting else altered

    def shares(self, garment: Garment) -> dict[str, float]:
        """What each seam takes, mm of girth, by id; where amounts differ, at the place where most is taken in.

        Raises
        ------
        NotThere
            If a named seam is not there.
        CannotAlter
            If the amount has no sense, or no seam is named and the pattern offers none.
        """
        self._sensible()
        chosen = self._chosen(garment)
        counts = Counter(self._round(seam) for seam in chosen)
        return {seam.id: self.peak / counts[self._round(seam)] for seam in chosen}

    def most(self, garment: Garment) -> float:
        """The most of the amount that is possible, mm of girth, in whole mm; where amounts differ, of the largest of them."""
        if self.hand:
            garment, _ = self._parted(garment)
        return most_possible(partial(_moved, garment, self._moves(garment), self.peak), self.peak)

    @property
    def peak(self) -> float:
        """The amount, or the largest of those told for places, either way, mm of girth."""
        return max((amount for _, amount in self.stations), key=abs, default=self.amount or 0.0)

    def _sensible(self) -> None:
        for amount in (self.amount or 0.0, *(amount for _, amount in self.stations)):
            sensible(amount, MOST)
        if bool(self.stations) == (self.amount is not None):
            both = "both an amount and stations" if self.stations else "neither an amount nor stations"
            raise CannotAlter(f"take-in has {both}", "Write one of the two.")
        if not 0 <= self.share <= 1:
            raise CannotAlter(f"one side of a seam cannot take {self.share:.0%} of it", "Write a share from 0 to 100 %.")

    def _words(self, seams: str) -> str:
        verb = "Taken in" if self.peak >= 0 else "Let out"
        only = f", on the {self.hand} only" if self.hand else ""
        if not self.stations:
            return f"{verb} {said(abs(self.peak))} in all, evenly at {seams}{only}"
        sign = -1.0 if self.peak < 0 else 1.0
        places = ", ".join(f"{said(sign * amount)} at {place_told(place)}" for place, amount in self.stations)
        return f"{verb} in all at {seams}{only}: {places}"

    def _figures(
        self, shares: Mapping[str, float], moves: Mapping[str, Mapping[str, Profile]], changed: Mapping[str, Reshaped]
    ) -> dict[str, float]:
        figures = {f"at {place}": amount for place, amount in self.stations} or {"amount": self.peak}
        figures |= {f"seam {name}": share for name, share in shares.items()}
        for piece, edges in moves.items():
            for edge, profile in edges.items() if piece in changed else ():
                figures[f"edge {piece}.{edge}"] = max((amount for _, amount in profile.stations), key=abs)
        return figures

    def _parted(self, garment: Garment) -> tuple[Garment, Record]:
        """The garment with the pieces of the seams taken apart by hand."""
        self._sensible()
        pieces = [ref.piece for seam in self._chosen(garment) for ref in (*seam.a, *seam.b)]
        return parted_for(garment, pieces, self.id or self.kind)

    # which seams ---------------------------------------------------------------------------------------------

    def _chosen(self, garment: Garment) -> tuple[Seam, ...]:
        chosen = self._named(garment)
        if not self.hand:
            return chosen
        hand = Hand(self.hand)
        ours = tuple(seam for seam in chosen if _lies_on(seam, hand))
        across = [seam.id for seam in chosen if not _lies_on(seam, hand) and not _lies_on(seam, hand.other)]
        if self.seams and across:
            words = f"the seam {across[0]} does not lie on one hand"
            raise CannotAlter(words, "Name seams that have one on each hand, or leave the hand out.")
        if not ours:
            raise CannotAlter(f"no seam named lies on the {self.hand}", f"Name a seam of the {self.hand} hand.")
        return ours

    def _named(self, garment: Garment) -> tuple[Seam, ...]:
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

    # how far each edge moves ---------------------------------------------------------------------------------

    def _moves(self, garment: Garment) -> dict[str, dict[str, Profile]]:
        """How far each edge moves, by piece and edge."""
        moves: dict[str, dict[str, Profile]] = {}
        named: dict[tuple[str, str], set[Hand]] = {}
        shares = self.shares(garment)
        for seam in garment.seams:
            if seam.id not in shares:
                continue
            for ref, profile in self._profiles(garment, seam, shares[seam.id]):
                before = moves.setdefault(ref.piece, {}).setdefault(ref.edge, profile)
                if not _alike(before, profile):
                    words = f"{ref.piece}.{ref.edge} would be taken in by two different amounts"
                    raise CannotAlter(words, "Name fewer seams.")
                named.setdefault((ref.piece, ref.edge), set()).add(ref.hand)
        for (piece, edge), hands in named.items():
            _refuse_one_hand(garment, piece, edge, hands)
        return moves

    def _profiles(self, garment: Garment, seam: Seam, takes: float) -> Iterator[tuple[EdgeRef, Profile]]:
        """How far each edge of a seam moves."""
        for ref in (*seam.a, *seam.b):
            _refuse_unmovable(garment, ref)
        if not self.stations:
            for refs, share in ((seam.a, self.share), (seam.b, 1 - self.share)):
                yield from ((ref, constant(takes * share)) for ref in refs)
            return
        sides = chains(garment, seam)
        places = [(place_along(seam.id, sides, words), amount) for words, amount in self.stations]
        each = takes / self.peak if self.peak else 0.0
        for side, refs, share in ((0, seam.a, self.share), (1, seam.b, 1 - self.share)):
            stations = [(place[side], amount * each * share) for place, amount in places]
            yield from ((ref, _on(link, stations, seam)) for ref, link in zip(refs, sides[side], strict=True))


def _on(link: Link, stations: list[tuple[float, float]], seam: Seam) -> Profile:
    places = sorted(stations)
    for (one, a), (two, b) in itertools.pairwise(places):
        if two - one < 1e-3 and abs(a - b) > SAME:
            raise CannotAlter(f"two different amounts are told for one place of {seam.id}", "Take one of the stations out.")
    return profile_on(link, places)


def _moved(garment: Garment, moves: Mapping[str, Mapping[str, Profile]], whole: float, amount: float) -> dict[str, Reshaped]:
    """The pieces moved by as much of the profiles as an amount is of the whole."""
    factor = amount / whole if whole else 0.0
    pieces = {piece: {edge: scaled(one, factor) for edge, one in edges.items()} for piece, edges in moves.items()}
    return reshaped(garment, {piece: partial(moved_by, profiles=profiles) for piece, profiles in pieces.items()})


def _alike(one: Profile, two: Profile) -> bool:
    return len(one.stations) == len(two.stations) and all(
        abs(a - b) <= SAME for p, q in zip(one.stations, two.stations, strict=True) for a, b in zip(p, q, strict=True)
    )


def _lies_on(seam: Seam, hand: Hand) -> bool:
    """Whether a seam lies on one hand; where its edges do not say, because a piece was opened out, by its name."""
    hands = {ref.hand for ref in (*seam.a, *seam.b)}
    if hands == {Hand.CENTRE}:
        return seam.id.endswith(f" {hand.value}")
    return hands - {Hand.CENTRE} == {hand}


def _refuse_unmovable(garment: Garment, ref: EdgeRef) -> None:
    piece = garment.piece(ref.piece)
    if piece.shape is None:
        raise CannotAlter(f"{ref.piece} is only a card: it has no outline to take in", "Draw it first, or name other seams.")
    piece.shape.edge(ref.edge)
    if piece.fold == ref.edge:
        raise CannotAlter(f"{ref.piece}.{ref.edge} lies on the fold and cannot be taken in", "Name other seams.")


def _refuse_one_hand(garment: Garment, piece: str, edge: str, hands: set[Hand]) -> None:
    both = {How.PAIR, How.FOLD} & {cut.how for cut in garment.piece(piece).cuts}
    if both and len(hands & {Hand.LEFT, Hand.RIGHT}) == 1:
        (one,) = hands & {Hand.LEFT, Hand.RIGHT}
        words = f"{piece} is cut for both hands, and only the {one.value} seam at {piece}.{edge} is named"
        raise CannotAlter(words, f'Name the {one.other.value} seam as well, or write hand = "{one.value}".')
