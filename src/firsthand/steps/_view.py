"""One garment as the stitcher sees it: which parts an edge belongs to, what lies beside it, what it is made of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from firsthand.errors import GeometryError
from firsthand.fabric import Advice, Fabric, advice
from firsthand.pattern import BACKINGS, Edge, EdgeRef, FateKind, Garment, Hand, Part, Piece, Seam, sewn_length
from firsthand.steps.model import Machines

__all__ = ["INNER", "View", "look"]

INNER = BACKINGS
"""Roles that lie behind another part and are sewn as one with it."""

PLAIN = Fabric("", "cloth not chosen yet", 1000.0)
"""Stands in where no fabric is bound: middling advice, the coolest iron."""


@dataclass(frozen=True, slots=True)
class View:
    """A garment with its fabrics at hand.

    Parameters
    ----------
    fabrics
        The fabric of each role of its parts; a plain stand-in where none is bound.
    told
        Advice for each role.
    seams
        Its seams, with those of the lining that follow from the seams of the shell.
    seamed
        All edges that a seam names.
    """

    garment: Garment
    machines: Machines
    fabrics: Mapping[str, Fabric]
    told: Mapping[str, Advice]
    seams: tuple[Seam, ...]
    seamed: frozenset[EdgeRef]
    parts: Mapping[tuple[str, str, int, Hand], Part]

    # parts and edges ----------------------------------------------------------------------------------------

    def part(self, ref: EdgeRef) -> Part | None:
        """The part an edge belongs to; on a piece cut on the fold both halves belong to the one part."""
        key = (ref.piece, ref.role, ref.copy)
        return self.parts.get((*key, ref.hand)) or self.parts.get((*key, Hand.CENTRE))

    def edge(self, ref: EdgeRef) -> Edge | None:
        """The edge as drawn; None for a card or an edge that is not there."""
        piece = self.garment.pieces.get(ref.piece)
        if piece is None or piece.shape is None:
            return None
        return next((edge for edge in piece.shape.edges if edge.id == ref.edge), None)

    def refs(self, part: Part) -> tuple[EdgeRef, ...]:
        """All edges of a part, both halves of an opened-out one; none for a card."""
        piece = self.garment.pieces[part.piece]
        if piece.shape is None:
            return ()
        opened = bool(piece.fold) and part.hand is Hand.CENTRE
        hands = (Hand.RIGHT, Hand.LEFT) if opened else (part.hand,)
        ids = [edge.id for edge in piece.shape.edges if not (opened and edge.id == piece.fold)]
        return tuple(EdgeRef(part.piece, name, hand, part.role, part.copy) for hand in hands for name in ids)

    def beside(self, ref: EdgeRef) -> tuple[EdgeRef, ...]:
        """The edges that share a corner with an edge, across the fold too."""
        piece = self.garment.pieces.get(ref.piece)
        if piece is None or piece.shape is None or self.edge(ref) is None:
            return ()
        ids = [edge.id for edge in piece.shape.edges]
        at = ids.index(ref.edge)
        return tuple(self._across(piece, ref, ids[(at + step) % len(ids)]) for step in (-1, 1))

    def _across(self, piece: Piece, ref: EdgeRef, name: str) -> EdgeRef:
        part = self.part(ref)
        if name == piece.fold and part is not None and part.hand is Hand.CENTRE:
            return replace(ref, hand=ref.hand.other)
        return replace(ref, edge=name)

    def parts_of(self, refs: Iterable[EdgeRef]) -> tuple[Part, ...]:
        """The parts of edges, each once."""
        found = (self.part(ref) for ref in refs)
        return tuple(dict.fromkeys(part for part in found if part is not None))

    def length(self, refs: Iterable[EdgeRef]) -> float:
        """Sewn length of edges together, mm; edges of cards count nothing."""
        return sum(self._sewn(ref) for ref in refs)

    def _sewn(self, ref: EdgeRef) -> float:
        if self.edge(ref) is None:
            return 0.0
        try:
            return sewn_length(self.garment.pieces[ref.piece].drawn_shape, ref.edge)
        except GeometryError:  # more is folded away than there is: the pattern's own check says so
            return 0.0

    def seam_length(self, seam: Seam) -> float:
        """How far the machine runs along a seam: its shorter side, or the one that has an outline, mm."""
        sides = [length for length in (self.length(seam.a), self.length(seam.b)) if length > 0]
        return min(sides, default=0.0)

    # cloth --------------------------------------------------------------------------------------------------

    def advice(self, parts: Iterable[Part]) -> Advice:
        """Advice for sewing parts together: the heavier needle, the stitch that stretches, the cooler iron."""
        told = [self.told[role] for role in dict.fromkeys(part.role for part in parts)] or [advice(PLAIN)]
        main = max(told, key=lambda one: (one.stretches, _size(one.needle)))
        cool = min(told, key=lambda one: one.heat_limit)
        return replace(main, heat=cool.heat, heat_limit=cool.heat_limit, pressing=cool.pressing)

    def colour(self, parts: Iterable[Part]) -> str:
        """Thread colour: that of the outermost fabric; ``neutral`` where no colour is known."""
        roles = sorted({part.role for part in parts}, key=lambda role: (role != "shell", role in INNER, role))
        return next((self.fabrics[role].colour for role in roles if self.fabrics[role].colour), "neutral")

    def fabric_ids(self, parts: Iterable[Part]) -> tuple[str, ...]:
        """Ids of the fabrics of parts, each once; nothing for roles without one."""
        return tuple(dict.fromkeys(self.fabrics[part.role].id for part in parts if self.fabrics[part.role].id))

    @property
    def laid_on(self) -> frozenset[str]:
        """Ids of the pieces that are laid flat on others and sewn down."""
        return frozenset(applied.piece for applied in self.garment.applied)

    @property
    def lined(self) -> frozenset[tuple[str, Hand, int]]:
        """Piece, hand and copy of the parts that have a twin in lining."""
        return frozenset((part.piece, part.hand, part.copy) for part in self.garment.parts if part.role == "lining")

    def has_lining(self, parts: Iterable[Part]) -> bool:
        """Whether all of some parts will be covered by the lining."""
        found = list(parts)
        return bool(found) and all((part.piece, part.hand, part.copy) in self.lined for part in found)

    def is_turned(self, seam: Seam) -> bool:
        """Whether a seam is turned to the inside: it joins copies or roles of one piece, or the ends of a folded band."""
        a, b = ({(ref.piece, ref.role, ref.copy) for ref in side} for side in (seam.a, seam.b))
        if a.isdisjoint(b):
            return {piece for piece, _, _ in a} == {piece for piece, _, _ in b}
        return any(one in self.beside(two) for one in seam.a for two in seam.b)

    def joins_lining(self, seam: Seam) -> bool:
        """Whether a turned seam joins a made-up lining to its shell, rather than the two sides of a collar."""
        roles = {ref.role for ref in (*seam.a, *seam.b)}
        if len(roles) < 2 or not self.is_turned(seam):
            return False
        parts = set(self.parts_of((*seam.a, *seam.b)))
        return any(
            len({ref.role for ref in (*other.a, *other.b)}) == 1
            and other.a[0].role == "lining"
            and not parts.isdisjoint(self.parts_of((*other.a, *other.b)))
            for other in self.seams
        )

    def fate(self, ref: EdgeRef) -> FateKind | None:
        """What becomes of an edge that no seam names."""
        edge = self.edge(ref)
        return None if edge is None or edge.fate is None or ref in self.seamed else edge.fate.kind


def look(garment: Garment, fabrics: Mapping[str, Fabric], machines: Machines) -> View:
    """Look at a garment with the fabrics that its roles are bound to."""
    roles = dict.fromkeys(part.role for part in garment.parts)
    bound = {role: fabrics.get(garment.roles.get(role, ""), PLAIN) for role in roles}
    seams = (*garment.seams, *_lining_seams(garment))
    return View(
        garment=garment,
        machines=machines,
        fabrics=bound,
        told={role: advice(fabric, overlocker=machines.overlocker) for role, fabric in bound.items()},
        seams=seams,
        seamed=frozenset(ref for seam in seams for ref in (*seam.a, *seam.b)),
        parts={(part.piece, part.role, part.copy, part.hand): part for part in garment.parts},
    )


def _lining_seams(garment: Garment) -> Iterable[Seam]:
    """Seams of the lining that follow from those of the shell where the pattern names none."""
    lining = {(part.piece, part.copy, part.hand) for part in garment.parts if part.role == "lining"}
    named = {ref for seam in garment.seams for ref in (*seam.a, *seam.b)}
    for seam in garment.seams if lining else ():
        a, b = (tuple(replace(ref, role="lining") for ref in side) for side in (seam.a, seam.b))
        twins = all(
            (ref.piece, ref.copy, ref.hand) in lining or (ref.piece, ref.copy, Hand.CENTRE) in lining for ref in (*a, *b)
        )
        if twins and all(ref.role == "shell" for ref in (*seam.a, *seam.b)) and named.isdisjoint((*a, *b)):
            yield replace(seam, id=f"{seam.id} lining", a=a, b=b, after=())


def _size(needle: str) -> int:
    digits = needle.rpartition(" ")[2].partition("/")[0]
    return int(digits) if digits.isdigit() else 0
