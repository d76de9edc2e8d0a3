"""The edges that a drafted piece is sewn to, as one line with positions along it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from firsthand.errors import GeometryError, NotThere
from firsthand.pattern import (
    EdgeRef,
    Garment,
    Hand,
    Notch,
    NotchKind,
    find_part,
    parse_edge_ref,
    sewn_at,
    sewn_length,
)  # fmt: skip

__all__ = ["Chain", "Mark", "chain_of", "once", "read_refs"]

EVEN = 1.0
"""Positions this near to each other, mm, are one."""
NEAR_CORNER = 5.0
"""A notch nearer than this to the end of an edge, mm, says no more than the corner does."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A position along a chain, with the notch that is already there, if any."""

    at: float
    kind: NotchKind = NotchKind.SINGLE
    there: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """One edge of a chain.

    Parameters
    ----------
    start
        Where it begins along the chain, mm sewn.
    length
        Its sewn length, mm.
    image
        Whether its part is the mirror image of the piece as drawn.
    """

    ref: EdgeRef
    start: float
    length: float
    image: bool


@dataclass(frozen=True, slots=True)
class Chain:
    """Edges of parts in the order in which they are sewn; positions are sewn lengths from its start, mm."""

    garment: Garment
    links: tuple[Link, ...]

    @property
    def refs(self) -> tuple[EdgeRef, ...]:
        """The edges."""
        return tuple(link.ref for link in self.links)

    @property
    def length(self) -> float:
        """Sewn length, mm."""
        return math.fsum(link.length for link in self.links)

    @property
    def joins(self) -> tuple[float, ...]:
        """Where one edge ends and the next begins."""
        return tuple(link.start for link in self.links[1:])

    def marks(self, sense: int) -> tuple[Mark, ...]:
        """The notches that are on it.

        Parameters
        ----------
        sense
            1 if its edges are walked with the outlines of their parts, -1 if against them.
        """
        found = []
        for link in self.links:
            shape = self.garment.piece(link.ref.piece).drawn_shape
            for notch in shape.notches:
                if notch.edge == link.ref.edge:
                    at = _turn(link, sewn_at(shape, link.ref.edge, notch.at), sense)
                    found.append(Mark(link.start + at, notch.kind, True))
        return tuple(sorted(found, key=lambda mark: mark.at))

    def notch(self, at: float, name: str, sense: int) -> tuple[str, Notch] | None:
        """A new notch at a position: the piece and the notch. None at the very end of an edge, where a corner shows it."""
        link = max((link for link in self.links if link.start <= at), key=lambda link: link.start, default=self.links[0])
        within = at - link.start
        if not NEAR_CORNER < within < link.length - NEAR_CORNER:
            return None
        shape = self.garment.piece(link.ref.piece).drawn_shape
        edge = shape.edge(link.ref.edge)
        place = _arc(lambda arc: sewn_at(shape, edge.id, arc), _turn(link, within, sense), edge.path.length)
        return link.ref.piece, Notch(name, edge.id, place)

    def places(self, piece: str, notch: Notch, sense: int) -> tuple[float, ...]:
        """Every position at which a notch of a piece comes to lie: on both halves or hands that the chain runs over."""
        shape = self.garment.piece(piece).drawn_shape
        links = (link for link in self.links if (link.ref.piece, link.ref.edge) == (piece, notch.edge))
        return tuple(link.start + _turn(link, sewn_at(shape, notch.edge, notch.at), sense) for link in links)

    def partners(self, wanted: Iterable[float], name: str, sense: int) -> dict[float, tuple[str, Notch]]:
        """New notches for those of the positions wanted where they fall on no corner and show nowhere that is not wanted."""
        asked = sorted(wanted)
        found = {}
        for number, at in enumerate(asked, 1):
            new = self.notch(at, f"{name} {number}", sense)
            if new is not None and all(any(abs(p - q) <= EVEN for q in asked) for p in self.places(*new, sense)):
                found[at] = new
        return found


def _turn(link: Link, at: float, sense: int) -> float:
    """From a position on the edge as drawn to one along the chain within the edge, or back."""
    return at if (sense > 0) != link.image else link.length - at


def _arc(sewn: Callable[[float], float], wanted: float, whole: float) -> float:
    """The arc length at which a sewn position lies (bisection: sewn positions never fall)."""
    low, high = 0.0, whole
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if sewn(middle) < wanted else (low, middle)
    return (low + high) / 2


def read_refs(words: Iterable[str]) -> tuple[EdgeRef, ...]:
    """Edges as people write them.

    Raises
    ------
    NotThere
        If one cannot be read.
    """
    found = []
    for word in words:
        try:
            found.append(parse_edge_ref(word))
        except ValueError:
            missing = NotThere("edge", word)
            missing.remedy = "Write PIECE.EDGE and what tells the part from others, for example front.side left lining."
            raise missing from None
    return tuple(found)


def chain_of(garment: Garment, refs: Iterable[EdgeRef]) -> Chain:
    """A chain of edges.

    Raises
    ------
    NotThere
        If a piece, part or edge is not there, or a piece is only a card.
    GeometryError
        If nothing of it is left to sew to.
    """
    links: list[Link] = []
    reached = 0.0
    for ref in refs:
        piece = garment.piece(ref.piece)
        length = sewn_length(piece.drawn_shape, ref.edge)
        if find_part(garment, ref) is None:
            missing = NotThere("part", str(ref), (part.id for part in garment.parts_of(ref.piece)))
            if find_part(garment, replace(ref, hand=Hand.LEFT)) is not None:
                missing.remedy = "Add left or right behind the edge."
            raise missing
        image = ref.hand is not Hand.CENTRE and ref.hand is piece.drawn.other
        links.append(Link(ref, reached, length, image))
        reached += length
    if reached <= 0:
        raise GeometryError("there is no edge to draft a piece for")
    return Chain(garment, tuple(links))


def once(notches: Iterable[tuple[str, Notch]]) -> tuple[tuple[str, Notch], ...]:
    """Notches without those that fall on one already there, as on the two halves of a piece cut on the fold."""
    kept: list[tuple[str, Notch]] = []
    for piece, notch in notches:
        if all(piece != other or notch.edge != n.edge or abs(notch.at - n.at) > EVEN for other, n in kept):
            kept.append((piece, notch))
    return tuple(kept)
