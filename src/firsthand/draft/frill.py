"""A gathered frill: a straight strip longer than the edge it is sewn to."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, isfinite, pi
from typing import ClassVar

from firsthand.draft._chain import Chain, chain_of, once, read_refs
from firsthand.draft._strip import Side, card_of, refuse_negative, strip_shape
from firsthand.draft.model import DRAFTS, Drafting, add_drafting
from firsthand.errors import GeometryError
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import (
    Cut,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    Notch,
    Piece,
    Seam,
    SeamKind,
    chain_senses,
)  # fmt: skip
from firsthand.units import Length, Share, said

__all__ = ["GatheredFrill"]

FULLNESS_FROM, FULLNESS_TO = 1.25, 3.0
"""Fullness met in print: dust ruffles 1 1/4 to 1 1/3, ruffles 1 1/3 to 1 1/2 (L. I. Baldt, *Clothing for Women*); soft sheer
ruches 3 (*The New Dressmaker*, 1921, p. 137)."""
NEAR = 10.0
"""A mark nearer than this to another one, mm of the edge, is left out."""
END_HEM = 5.0
"""Depth of the narrow hem at an open end, mm (common practice)."""

FULLNESS = kind(
    "frill-fullness",
    Severity.DOUBT,
    "A frill is fuller or less full than frills in print, which run from 1 1/4 to 3 times their edge. With less it hardly "
    "ruffles, with more the gathers do not fit under the foot. Change its fullness or its strip, or keep it if it is meant.",
)


@DRAFTS.register("gathered-frill")
@dataclass(frozen=True, slots=True)
class GatheredFrill:
    """A frill of straight strips, gathered along the upper edge, across the grain unless it says otherwise.

    It is solved either way: from the fullness to the strip, or from a strip that is there to the fullness. Where the strip is
    longer than the cloth is wide, it is cut as the least number of equal strips, joined end to end; parts of a strip are not
    cut, for there are none to be had.

    Parameters
    ----------
    id, name
        Of the piece it makes. A card of that id in the garment gives its number, its role and, without ``width``, how many
        strips there are.
    depth
        Finished depth, mm.
    onto
        Edges it is sewn to, in order.
    length
        Length of the edge, mm, if no edges are named.
    fullness
        How many times its edge the strip is long.
    strip
        Instead of a fullness: finished length of the whole strip that is there, mm.
    slack
        Added to the strip in all, mm, to have some left when gathering.
    width
        Usable width of the cloth, mm; 0 if the strip need not be pieced.
    join
        Allowance at either end of each strip, mm.
    hem, top
        What is turned up in all at the lower edge, and the allowance of the gathered one, mm.
    closed
        Whether its ends are sewn together into a ring.
    role
        What it is cut from.
    along
        Whether it runs along the grain.
    """

    kind: ClassVar[str] = "gathered-frill"

    id: str
    depth: Length
    onto: tuple[str, ...] = ()
    length: Length | None = None
    fullness: Share = 0.0
    strip: Length = 0.0
    slack: Length = 0.0
    width: Length = 0.0
    join: Length = 10.0
    hem: Length = 10.0
    top: Length = 10.0
    name: str = ""
    closed: bool = False
    role: str = ""
    along: bool = False

    def draft(self, garment: Garment | None) -> Drafting:
        """See :meth:`firsthand.draft.Draft.draft`.

        Raises
        ------
        GeometryError
            If a number has no sense, the strip is no longer than the edge, or the cloth too narrow for any strip.
        NotThere
            If an edge is not there.
        """
        self._refuse_nonsense()
        chain = chain_of(garment, read_refs(self.onto)) if garment is not None and self.onto else None
        edge = chain.length if chain else self.length or 0.0
        if edge <= 0:
            raise GeometryError(f"the frill {self.id} needs edges to follow or a length")
        total = (self.strip or self.fullness * edge) + self.slack
        if total <= edge:
            raise GeometryError(f"the frill {self.id} must be longer than its edge: {said(total)} for {said(edge)}")
        count = self._strips(total, card_of(garment, self.id))
        figures = self._figures(edge, total, count)
        piece = self._piece(garment, total / count, count)
        plain = Drafting(piece, figures=figures, findings=self._findings(total / edge))
        return plain if chain is None or garment is None else self._sewn_on(garment, chain, plain, total / edge, count)

    def _refuse_nonsense(self) -> None:
        refuse_negative({"depth": self.depth} | ({} if self.length is None else {"length": self.length}), zero=False)
        rest = {"strip": self.strip, "slack": self.slack, "width": self.width, "join": self.join, "hem": self.hem}
        refuse_negative(rest | {"top": self.top})
        if not (isfinite(self.fullness) and self.fullness >= 0):
            raise GeometryError(f"fullness must be a number of zero or more, not {self.fullness:g}")
        if bool(self.fullness) == bool(self.strip):
            raise GeometryError(f"the frill {self.id} needs either a fullness or a strip")

    def _strips(self, total: float, card: Piece | None) -> int:
        """The least number of equal strips. Source: L. I. Baldt, *Clothing for Women*, drawers and petticoats."""
        if not self.width:
            return max(1, next((cut.count for cut in card.cuts), 1)) if card else 1
        room = self.width - 2 * self.join
        if room <= 0:
            raise GeometryError(f"cloth {said(self.width)} wide leaves nothing of a strip between its allowances")
        return ceil(total / room - 1e-9)

    def _figures(self, edge: float, total: float, count: int) -> dict[str, float]:
        cut = self.depth + self.hem + self.top
        return {
            "edge": edge,
            "fullness ratio": total / edge,
            "strip": total,
            "strip count": float(count),
            "cut length": total / count + 2 * self.join,
            "cut depth": cut,
            "cloth": cut * count,
        }

    def _piece(self, garment: Garment | None, long: float, count: int, notches: tuple[Notch, ...] = ()) -> Piece:
        sewn = bool(self.onto)
        end = None if self.closed else Fate(FateKind.HEM, END_HEM)
        hem = Fate(FateKind.HEM, self.hem / 2) if self.hem else Fate(FateKind.RAW)
        sides = (Side("right", self.join, end), Side("hem", self.hem, hem), Side("left", self.join, end))
        upper = Side("gathers", self.top, None if sewn else Fate(FateKind.SEAM))
        # The gathered edge is the upper one, so that a nap runs as it does in what the frill hangs from.
        shape = strip_shape([(upper, long)], self.depth, sides, notches=notches, turned=pi / 2 if self.along else pi)
        card = card_of(garment, self.id)
        role = self.role or (card.cuts[0].role if card and card.cuts else "shell")
        name = self.name or (card.name if card else self.id)
        cuts = (Cut(role, How.SINGLE, count),)
        size = garment.size if garment else None
        return Piece(self.id, card.number if card else "", name, cuts, size=size, shape=shape)

    def _findings(self, fullness: float) -> tuple[Finding, ...]:
        if FULLNESS_FROM - 1e-9 <= fullness <= FULLNESS_TO + 1e-9:
            return ()
        message = f"{self.id} is {fullness:.2f} times as long as its edge"
        return (FULLNESS(message, where=(self.id,), remedy="Change its fullness, or keep it if it is meant."),)

    def _sewn_on(self, garment: Garment, chain: Chain, plain: Drafting, ratio: float, count: int) -> Drafting:
        seams = self._seams(plain.piece, chain, ratio, count)
        own, theirs = chain_senses(add_drafting(garment, replace(plain, seams=seams)), seams[0])
        long = chain.length * ratio / count
        places, added = _marks(chain, count, theirs, self.id)
        notches = tuple(
            Notch(f"m{k}", "gathers", at * ratio if own > 0 else long - at * ratio) for k, at in enumerate(places, 1)
        )
        piece = self._piece(garment, long, count, notches)
        return replace(plain, piece=piece, seams=seams, notches=added)

    def _seams(self, piece: Piece, chain: Chain, ratio: float, count: int) -> tuple[Seam, ...]:
        role = piece.cuts[0].role

        def ref(edge: str, copy: int) -> EdgeRef:
            return EdgeRef(self.id, edge, Hand.CENTRE, role, copy)

        gathered = tuple(ref("gathers", copy) for copy in range(1, count + 1))
        joins = [(copy, copy + 1) for copy in range(1, count)] + ([(count, 1)] if self.closed else [])
        return (
            Seam(self.id, gathered, chain.refs, SeamKind.GATHERED, ratio=ratio),
            *(Seam(f"{self.id} join {one}", (ref("right", one),), (ref("left", two),)) for one, two in joins),
        )


def _marks(chain: Chain, count: int, sense: int, name: str) -> tuple[list[float], tuple[tuple[str, Notch], ...]]:
    """Marks of one strip, as positions along the chain from where it begins, and their partners on the chain.

    Each strip is the same: of one strip the quarters and the seams of the chain are marked, of several the middle of each,
    unless that is not the same on all.
    """
    shares = (0.25, 0.5, 0.75) if count == 1 else (0.5,)
    wanted = [(number + share) / count * chain.length for number in range(count) for share in shares]
    partners = chain.partners(wanted, name, sense)
    if count > 1:
        whole = len(partners) == count
        return ([chain.length / count / 2], once(partners.values())) if whole else ([], ())
    joins = [join for join in chain.joins if all(abs(join - at) > NEAR for at in partners)]
    return sorted([*partners, *joins]), once(partners.values())
