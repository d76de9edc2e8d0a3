"""Places along a seam, and what they are on each of the edges that it joins."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firsthand.alter._spots import along, measured
from firsthand.alter.moving.grounds import ground_shape
from firsthand.alter.moving.profile import profile
from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import (
    Dart,
    EdgeRef,
    Garment,
    Hand,
    Notch,
    Pleat,
    Profile,
    Seam,
    Shape,
    chain_senses,
    sewn_at,
    sewn_length,
)
from firsthand.units import said

__all__ = ["Link", "Places", "chains", "place_along", "profile_on"]

HALVINGS = 60
"""Enough to find a place on an edge to the last bit."""
WORDS = ("level", "notch", "dart", "pleat")


@dataclass(frozen=True, slots=True)
class Link:
    """One edge of a side of a seam, as drawn, on the line it had before it was moved along its normals.

    Parameters
    ----------
    shape
        The piece as it was before its edges were moved.
    forwards
        Whether the seam is walked along it as it is drawn.
    start, length
        Sewn length from the start of the seam to where it begins, and its own, mm.
    """

    piece: str
    edge: str
    shape: Shape
    forwards: bool
    start: float
    length: float

    def sewn(self, at: float) -> float:
        """How far along the seam a place on the edge is, mm."""
        own = sewn_at(self.shape, self.edge, at)
        return self.start + (own if self.forwards else self.length - own)

    def place(self, sewn: float) -> float:
        """The place on the edge that is so far along the seam, mm of arc; it runs on beyond both ends."""
        own = sewn - self.start if self.forwards else self.start + self.length - sewn
        whole = self.shape.edge(self.edge).path.length
        if own <= 0 or own >= self.length:
            return own if own <= 0 else whole + own - self.length
        low, high = 0.0, whole
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if sewn_at(self.shape, self.edge, middle) < own else (low, middle)
        return (low + high) / 2


Chain = tuple[Link, ...]
Places = tuple[float, float]
"""How far along each side of a seam a place is, mm of sewn length."""
Marks = dict[str, Sequence[Notch | Dart | Pleat]]


def chains(garment: Garment, seam: Seam) -> tuple[Chain, Chain]:
    """The edges of both sides of a seam in the order in which they are sewn.

    A seam of one edge on each side starts where the edge of side ``a`` starts as drawn, so that it is the same for a right and
    a left one; of two hands that have pieces of their own, drawn as each is worn, where it starts on the right one. Any other
    starts with the first edge named.

    Raises
    ------
    NotThere
        If it names an edge that is not there.
    """
    one, two = chain_senses(garment, seam)
    ways = [[sense * _seen(garment, ref) for ref in refs] for sense, refs in ((one, seam.a), (two, seam.b))]
    if len(seam.a) == len(seam.b) == 1 and ways[0][0] < 0:
        ways = [[-way for way in side] for side in ways]
    if len(seam.a) == len(seam.b) == 1 and _turned_over(garment, seam):
        ways = [[-way for way in side] for side in ways]
    return _chain(garment, seam.a, ways[0]), _chain(garment, seam.b, ways[1])


def _turned_over(garment: Garment, seam: Seam) -> bool:
    """Whether it is the left one of two seams whose pieces are each other's image, each drawn as it is worn."""
    ref = seam.a[0]
    twin = next((one for one in garment.seams if one.id == f"{seam.id.removesuffix(' left')} right"), None)
    if ref.hand is not Hand.LEFT or twin is None or len(twin.a) != 1 or twin.a[0].piece == ref.piece:
        return False
    return garment.piece(ref.piece).drawn is not garment.piece(twin.a[0].piece).drawn


def _seen(garment: Garment, ref: EdgeRef) -> int:
    """Whether an edge is meant as drawn, or its mirror image."""
    piece = garment.piece(ref.piece)
    return -1 if ref.hand is not Hand.CENTRE and ref.hand is piece.drawn.other else 1


def _chain(garment: Garment, refs: Sequence[EdgeRef], ways: Sequence[int]) -> Chain:
    links: list[Link] = []
    reached = 0.0
    for ref, way in zip(refs, ways, strict=True):
        shape = ground_shape(garment.piece(ref.piece).drawn_shape)
        length = sewn_length(shape, ref.edge)
        links.append(Link(ref.piece, ref.edge, shape, way > 0, reached, length))
        reached += length
    return tuple(links)


def _length(chain: Chain) -> float:
    return chain[-1].start + chain[-1].length


def place_along(seam: str, sides: tuple[Chain, Chain], words: str) -> Places:
    """The place along a seam that words name.

    Parameters
    ----------
    seam
        Its id, for messages.
    words
        ``start``, ``end``, ``12 cm`` or ``40 %`` of the way from its start, on side ``a``; ``level ID``, ``notch ID``,
        ``dart ID`` or ``pleat ID``, wherever on each side that is. On a side that has none of it, it is as far along in
        proportion.

    Raises
    ------
    NotThere
        If neither side has it.
    CannotAlter
        If the words cannot be read or the place lies beyond the seam.
    """
    text = " ".join(words.split())
    lengths = tuple(_length(side) for side in sides)
    if text in ("start", "end"):
        return (0.0, 0.0) if text == "start" else (lengths[0], lengths[1])
    if text.partition(" ")[0] not in WORDS:
        at = measured(text, lengths[0])
        if not -1e-6 <= at <= lengths[0] + 1e-6:
            raise CannotAlter(f"{seam} is {said(lengths[0])} long, and {text} lies beyond it", "Name a place on the seam.")
        share = at / lengths[0]
        return at, share * lengths[1]
    found = [_marked(side, text) for side in sides]
    if all(at is None for at in found):
        sort, _, name = text.partition(" ")
        raise NotThere(f"{sort} on {seam}", name, _known(sides, sort))
    one, two = found
    return (
        one if one is not None else (two or 0.0) / lengths[1] * lengths[0],
        two if two is not None else (one or 0.0) / lengths[0] * lengths[1],
    )


def _marked(side: Chain, text: str) -> float | None:
    for link in side:
        try:
            return link.sewn(along(link.shape, link.edge, text))
        except NotThere:
            continue
    return None


def _known(sides: Iterable[Chain], sort: str) -> list[str]:
    found: list[str] = []
    for link in (link for side in sides for link in side):
        if sort == "level":
            found += [line.level for line in link.shape.levels]
        else:
            shape = link.shape
            marks: Marks = {"notch": shape.notches, "dart": shape.darts, "pleat": shape.pleats}
            found += [mark.id for mark in marks[sort] if mark.edge == link.edge]
    return list(dict.fromkeys(found))


def profile_on(link: Link, stations: Iterable[tuple[float, float]]) -> Profile:
    """Amounts at places along a side of a seam as a profile of one of its edges."""
    return profile([(link.place(sewn), amount) for sewn, amount in stations])
