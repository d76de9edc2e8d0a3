"""Which way round the edges of a seam's chains are walked, seen from their order."""

from __future__ import annotations

import itertools
from collections.abc import Hashable, Iterable, Sequence
from functools import lru_cache
from typing import Generic, TypeVar

from firsthand.errors import FirsthandError
from firsthand.pattern._fold import STRAIGHT
from firsthand.pattern._parts import PartEdge, is_on_fold, part_shape, resolve
from firsthand.pattern.model import EdgeRef, Garment, Hand, Part, Piece, Seam, Shape

__all__ = ["Classes", "Itself", "Layout", "Topology", "chain_breaks", "chain_senses"]

T = TypeVar("T")

Corner = tuple[str, int]
"""A corner of a part as cut: the part's id, and the index of the edge that begins there."""


class Classes:
    """Sets of things found to be one and the same (union-find)."""

    def __init__(self) -> None:
        self._above: dict[Hashable, Hashable] = {}

    def find(self, node: Hashable) -> Hashable:
        """The one that stands for all that are the same."""
        above = self._above.setdefault(node, node)
        while above != node:
            self._above[node] = self._above[above]
            node, above = above, self._above[above]
        return node

    def unite(self, one: Hashable, two: Hashable) -> bool:
        """Say that two are the same; False if that was known."""
        a, b = self.find(one), self.find(two)
        self._above[a] = b
        return a != b


class Layout:
    """Parts as cut, with references looked up once."""

    def __init__(self, garment: Garment) -> None:
        self.garment = garment
        self._found: dict[EdgeRef, PartEdge | None] = {}
        self._shapes: dict[str, Shape | None] = {}
        self._index: dict[str, dict[str, int]] = {}
        self._ends: dict[tuple[EdgeRef, int], tuple[Corner, Corner] | None] = {}

    def shape(self, part: Part) -> Shape | None:
        """The part's shape as cut, or None if it has none that can be used."""
        name = part.id
        if name not in self._shapes:
            try:
                self._shapes[name] = part_shape(self.garment, part)
            except FirsthandError:
                self._shapes[name] = None
        return self._shapes[name]

    def find(self, ref: EdgeRef) -> PartEdge | None:
        """The edge that a reference means, or None."""
        if ref not in self._found:
            found = resolve(self.garment, ref)
            self._found[ref] = found if found is not None and self.shape(found.part) is not None else None
        return self._found[ref]

    def corners(self, edge: PartEdge) -> tuple[Corner, Corner]:
        """Where an edge begins and ends."""
        shape = self.shape(edge.part)
        if shape is None:
            return (edge.part.id, -1), (edge.part.id, -1)
        name = edge.part.id
        if name not in self._index:
            self._index[name] = {e.id: k for k, e in enumerate(shape.edges)}
        index = self._index[name][edge.edge]
        return (name, index), (name, (index + 1) % len(shape.edges))

    def ends(self, ref: EdgeRef, sense: int) -> tuple[Corner, Corner] | None:
        """Where an edge begins and ends when it is walked with the outline (1) or against it (-1)."""
        key = (ref, sense)
        if key not in self._ends:
            found = self.find(ref)
            corners = None if found is None else self.corners(found)
            self._ends[key] = corners if corners is None or sense > 0 else (corners[1], corners[0])
        return self._ends[key]

    def is_image(self, ref: EdgeRef) -> bool:
        """Whether a reference means a mirror image of what is drawn."""
        piece, found = self.garment.pieces.get(ref.piece), self.find(ref)
        if piece is None or found is None:
            return False
        hand = ref.hand if is_on_fold(piece, found.part) else found.part.hand
        return hand is not Hand.CENTRE and hand is piece.drawn.other


def _follow(layout: Layout, same: Classes, refs: Sequence[EdgeRef], sense: int) -> list[bool]:
    """For each edge but the first, whether it begins where the one before ends."""
    ends = [layout.ends(ref, sense) for ref in refs]
    return [
        one is not None and two is not None and same.find(one[1]) == same.find(two[0]) for one, two in itertools.pairwise(ends)
    ]


def _b_sense(seam: Seam, sense: int) -> int:
    return -sense if seam.reverse_b else sense


def _score(layout: Layout, same: Classes, seam: Seam, sense: int) -> int:
    return sum(_follow(layout, same, seam.a, sense)) + sum(_follow(layout, same, seam.b, _b_sense(seam, sense)))


def _join_ends(layout: Layout, same: Classes, seam: Seam, sense: int) -> bool:
    """Both chains begin in one place and end in one place."""
    outer = [
        (layout.ends(refs[0], way), layout.ends(refs[-1], way))
        for refs, way in ((seam.a, sense), (seam.b, _b_sense(seam, sense)))
    ]
    (a_first, a_last), (b_first, b_last) = outer
    changed = False
    if a_first is not None and b_first is not None:
        changed |= same.unite(a_first[0], b_first[0])
    if a_last is not None and b_last is not None:
        changed |= same.unite(a_last[1], b_last[1])
    return changed


def _same_corners(layout: Layout, seams: Iterable[Seam]) -> Classes:
    """Which corners come together, from seams whose direction is sure; repeated as more become sure."""
    same = Classes()
    usable = [seam for seam in seams if seam.a and seam.b]
    for seam in usable:
        if len(seam.a) == len(seam.b) == 1:
            _join_ends(layout, same, seam, 1)
    chains = [seam for seam in usable if len(seam.a) > 1 or len(seam.b) > 1]
    changed = True
    while changed:
        changed = False
        for seam in chains:
            forwards, backwards = (_score(layout, same, seam, sense) for sense in (1, -1))
            if forwards != backwards:
                changed |= _join_ends(layout, same, seam, 1 if forwards > backwards else -1)
    return same


def senses(layout: Layout, same: Classes, seam: Seam) -> tuple[int, int]:
    """Which way ``a`` and ``b`` are walked round their parts: 1 with the outline, -1 against it."""
    sense = 1
    if len(seam.a) > 1 or len(seam.b) > 1:
        forwards, backwards = (_score(layout, same, seam, way) for way in (1, -1))
        unsure = forwards == backwards and layout.is_image(seam.a[0])
        sense = -1 if unsure or backwards > forwards else 1
    return sense, _b_sense(seam, sense)


def all_senses(layout: Layout, seams: Sequence[Seam]) -> list[tuple[int, int]]:
    """The senses of many seams at once."""
    same = _same_corners(layout, seams)
    return [senses(layout, same, seam) if seam.a and seam.b else (1, -1) for seam in seams]


def chain_senses(garment: Garment, seam: Seam) -> tuple[int, int]:
    """Which way the chains of a seam are walked round their parts: 1 counter-clockwise, -1 clockwise.

    An edge of a chain begins where the one before ends, on the same part or across another seam: that tells the way. A chain
    of one edge is walked counter-clockwise and its partner accordingly.
    """
    if len(seam.a) == len(seam.b) == 1:
        return 1, _b_sense(seam, 1)
    return _sewn_up(Itself(garment)).senses(seam)


class Itself(Generic[T]):
    """A value that is looked up as itself, not by what is in it: never changed, it is asked for again and again."""

    __slots__ = ("value",)

    def __init__(self, value: T) -> None:
        self.value = value

    def __hash__(self) -> int:
        return id(self.value)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Itself) and self.value is other.value


class Topology:
    """A garment looked up by what its seams join: garments that differ only in lines and lengths are one."""

    __slots__ = ("garment", "key")

    def __init__(self, garment: Garment) -> None:
        pieces = tuple((name, *_named(piece)) for name, piece in garment.pieces.items())
        self.garment, self.key = garment, (Itself(garment.seams), Itself(garment.parts), pieces)

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Topology) and self.key == other.key


def _named(piece: Piece) -> tuple[object, ...]:
    """All of a piece that says which edge of which part a reference means."""
    if piece.shape is None:
        return (piece.fold, piece.drawn, piece.cuts)
    edges = piece.shape.edges
    fold = next((edge.path for edge in edges if edge.id == piece.fold), None)
    opens = fold is not None and fold.start.distance(fold.end) > STRAIGHT
    return (piece.fold, piece.drawn, piece.cuts, opens, tuple(edge.id for edge in edges))


class _SewnUp:
    """The corners of a garment that come together, and the ways of its chains once they have been asked for."""

    def __init__(self, garment: Garment) -> None:
        self._layout = Layout(garment)
        self._same = _same_corners(self._layout, garment.seams)
        self._known: dict[Seam, tuple[int, int]] = {}

    def senses(self, seam: Seam) -> tuple[int, int]:
        """Which way both chains of a seam are walked."""
        if seam not in self._known:
            self._known[seam] = senses(self._layout, self._same, seam)
        return self._known[seam]


@lru_cache(maxsize=32)
def _sewn_up(garment: Itself[Garment]) -> _SewnUp:
    return _sewn_up_alike(Topology(garment.value))


@lru_cache(maxsize=32)
def _sewn_up_alike(topology: Topology) -> _SewnUp:
    return _SewnUp(topology.garment)


def chain_breaks(layout: Layout, seams: Sequence[Seam]) -> dict[str, list[tuple[EdgeRef, EdgeRef]]]:
    """For each seam the neighbours in a chain that do not follow one another once everything is sewn."""
    same = _same_corners(layout, seams)
    found: dict[str, list[tuple[EdgeRef, EdgeRef]]] = {}
    for seam in seams:
        if not (seam.a and seam.b):
            continue
        for refs, sense in zip((seam.a, seam.b), senses(layout, same, seam), strict=True):
            if any(layout.find(ref) is None for ref in refs):
                continue
            joined = _follow(layout, same, refs, sense)
            breaks = [pair for pair, follows in zip(itertools.pairwise(refs), joined, strict=True) if not follows]
            if breaks:
                found.setdefault(seam.id, []).extend(breaks)
    return found
