"""A straight band: waistband, cuff, collar stand, neck band."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import pi
from typing import ClassVar

from firsthand.draft._chain import Chain, Mark, chain_of, once, read_refs
from firsthand.draft._strip import Side, card_of, refuse_negative, strip_shape
from firsthand.draft.model import DRAFTS, Drafting, add_drafting
from firsthand.errors import GeometryError
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Cut,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    Notch,
    Piece,
    Seam,
    SeamKind,
    chain_senses,
)  # fmt: skip
from firsthand.units import Length

__all__ = ["Band"]

SINGLE_HEM = 10.0
"""Depth of the narrow hem on the free edge of a band of one layer, mm (common practice)."""
GATHERED_ABOVE = 1.1
"""An edge this many times as long as its band is gathered into it; below, it is eased in (common practice)."""
SAME = 10.0
"""Marks nearer to each other than this, mm, are one."""


@DRAFTS.register("band")
@dataclass(frozen=True, slots=True)
class Band:
    """A straight band, on the lengthwise grain unless it says otherwise.

    It is sewn to edges by its lower edge and follows their sewn length; or it has a length of its own, into which a longer
    edge is eased or gathered. It is marked where the edges it joins meet, where they have notches, and at its quarters.

    Parameters
    ----------
    id, name
        Of the piece it makes. A card of that id in the garment gives its number and, unless ``role`` is said, its cuts.
    depth
        Finished depth, mm.
    onto
        Edges it is sewn to, in the order in which they are sewn, as ``"skirt front.waist right"``.
    length
        Finished length of the part that is sewn on, mm, if it does not simply follow the edges.
    overlap
        How far it runs on beyond its last edge to close over itself, mm.
    doubled
        Whether it is folded in two along its length; otherwise it is one layer with a narrow hem.
    closed
        Whether its ends are sewn together into a ring.
    pair
        Whether there is one on each hand; the edges named are then those of one hand.
    role
        What it is cut from.
    interfaced
        Whether it is cut of interfacing as well.
    allowance, end_allowance
        Seam allowances of the long edges and of the ends (the same if not said), mm.
    across
        Whether it runs across the grain.
    """

    kind: ClassVar[str] = "band"

    id: str
    depth: Length
    onto: tuple[str, ...] = ()
    length: Length | None = None
    name: str = ""
    overlap: Length = 0.0
    doubled: bool = True
    closed: bool = False
    pair: bool = False
    role: str = ""
    interfaced: bool = False
    allowance: Length = 10.0
    end_allowance: Length | None = None
    across: bool = False

    def draft(self, garment: Garment | None) -> Drafting:
        """See :meth:`firsthand.draft.Draft.draft`.

        Raises
        ------
        GeometryError
            If a number has no sense, or neither edges nor a length are given.
        NotThere
            If an edge is not there.
        """
        self._refuse_nonsense()
        chain = chain_of(garment, read_refs(self.onto)) if garment is not None and self.onto else None
        sewn = self.length if self.length is not None else chain.length if chain else 0.0
        if sewn <= 0:
            raise GeometryError(f"the band {self.id} needs edges to follow or a length")
        plain = Drafting(self._piece(garment, sewn, ()), figures=self._figures(sewn, chain))
        if chain is None or garment is None:
            return plain
        seams = self._seams(plain.piece, chain, sewn)
        a, b = chain_senses(add_drafting(garment, replace(plain, seams=seams)), seams[0])
        own, theirs = (a, b) if seams[0].a[0].piece == self.id else (b, a)
        marks, added = self._marks(chain, theirs)
        scale = sewn / chain.length
        places = [(mark.at * scale if own > 0 else sewn - mark.at * scale, mark.kind) for mark in marks]
        notches = [Notch(f"m{k}", "lower", at, kind) for k, (at, kind) in enumerate(sorted(places), 1)]
        return replace(plain, piece=self._piece(garment, sewn, notches), seams=seams, notches=added)

    def _refuse_nonsense(self) -> None:
        refuse_negative({"depth": self.depth} | ({} if self.length is None else {"length": self.length}), zero=False)
        ends = {} if self.end_allowance is None else {"end allowance": self.end_allowance}
        refuse_negative({"overlap": self.overlap, "allowance": self.allowance} | ends)
        if self.closed and self.overlap:
            raise GeometryError(f"the band {self.id} is closed into a ring: it has no ends to overlap")

    def _figures(self, sewn: float, chain: Chain | None) -> dict[str, float]:
        ends = self.allowance if self.end_allowance is None else self.end_allowance
        free = self.allowance if self.doubled else 2 * SINGLE_HEM
        figures = {
            "sewn length": sewn,
            "finished length": sewn + self.overlap,
            "finished depth": self.depth,
            "cut length": sewn + self.overlap + 2 * ends,
            "cut depth": self.depth * (2 if self.doubled else 1) + self.allowance + free,
        }
        return figures | ({"edge": chain.length} if chain else {})

    def _piece(self, garment: Garment | None, sewn: float, notches: Iterable[Notch]) -> Piece:
        turned_in = Fate(FateKind.FACING)
        ends = self.allowance if self.end_allowance is None else self.end_allowance
        lower = Side("lower", self.allowance, None if self.onto else Fate(FateKind.SEAM))
        runs = [(lower, sewn)] + ([(Side("lap", self.allowance, turned_in), self.overlap)] if self.overlap else [])
        free = turned_in if self.doubled else Fate(FateKind.HEM, SINGLE_HEM)
        end = None if self.closed else turned_in
        upper = Side("upper", self.allowance if self.doubled else 2 * SINGLE_HEM, free)
        sides = (Side("right", ends, end), upper, Side("left", ends, end))
        depth, whole = self.depth * (2 if self.doubled else 1), sewn + self.overlap
        fold = Path.line(Point(0, self.depth), Point(whole, self.depth))
        lines = [InnerLine("fold", InnerLineKind.FOLD, fold)] if self.doubled else []
        shape = strip_shape(runs, depth, sides, notches=notches, lines=lines, turned=0.0 if self.across else pi / 2)
        card = card_of(garment, self.id)
        size = garment.size if garment else None
        name = self.name or (card.name if card else self.id)
        return Piece(self.id, card.number if card else "", name, self._cuts(card), size=size, shape=shape)

    def _cuts(self, card: Piece | None) -> tuple[Cut, ...]:
        if card is not None and not self.role and card.cuts:
            cuts = card.cuts
        else:
            cuts = (Cut(self.role or "shell", How.PAIR if self.pair else How.SINGLE),)
        if self.interfaced and all(cut.role != "interfacing" for cut in cuts):
            cuts = (*cuts, Cut("interfacing", cuts[0].how))
        return cuts

    def _marks(self, chain: Chain, sense: int) -> tuple[list[Mark], tuple[tuple[str, Notch], ...]]:
        """Marks along the chain: its notches, its joins, its quarters; and the notches that the quarters need on it."""
        marks = list(chain.marks(sense))
        marks += [Mark(at) for at in chain.joins if all(abs(at - mark.at) > SAME for mark in marks)]
        quarters = chain.partners([chain.length * quarter / 4 for quarter in (1, 2, 3)], self.id, sense)
        new = {at: notch for at, notch in quarters.items() if all(abs(at - mark.at) > SAME for mark in marks)}
        marks += [Mark(at) for at in new]
        return sorted(marks, key=lambda mark: mark.at), once(new.values())

    def _seams(self, piece: Piece, chain: Chain, sewn: float) -> tuple[Seam, ...]:
        role = piece.cuts[0].role
        hand = next((ref.hand for ref in chain.refs), Hand.CENTRE) if self.pair else Hand.CENTRE
        seams = []
        for side in (hand, hand.other) if self.pair else (hand,):
            tail = f" {side.value}" if self.pair else ""
            mine = (EdgeRef(self.id, "lower", side, role),)
            onto = chain.refs if side is hand else tuple(replace(ref, hand=ref.hand.other) for ref in chain.refs)
            seams.append(self._joined(f"{self.id}{tail}", mine, onto, chain.length, sewn))
            if self.closed:
                ends = [(EdgeRef(self.id, end, side, role),) for end in ("right", "left")]
                seams.append(Seam(f"{self.id} ends{tail}", ends[0], ends[1]))
        return tuple(seams)

    def _joined(self, name: str, mine: tuple[EdgeRef, ...], onto: tuple[EdgeRef, ...], edge: float, sewn: float) -> Seam:
        """The band on its edge; an edge that is longer than the band is eased or gathered into it."""
        if edge <= sewn:
            return Seam(name, mine, onto, easing=sewn - edge)
        if edge / sewn <= GATHERED_ABOVE:
            return Seam(name, onto, mine, easing=edge - sewn)
        return Seam(name, onto, mine, SeamKind.GATHERED, ratio=edge / sewn)
