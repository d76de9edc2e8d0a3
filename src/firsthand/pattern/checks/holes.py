"""Checks of the assembled garment against the openings that it should have."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from firsthand.findings import Block, Finding, Severity, kind
from firsthand.pattern._assembly import Assembly, assemble
from firsthand.pattern._closed import closure_seams
from firsthand.pattern._fate import sewn_refs
from firsthand.pattern.checks._registry import CHECKS
from firsthand.pattern.checks._words import edge_words, listed
from firsthand.pattern.model import EdgeRef, Garment, Pattern

__all__: list[str] = []

UNDECLARED = kind(
    "hole-undeclared",
    Severity.DOUBT,
    "When all seams are sewn a hole stays that is no declared opening: a seam was forgotten, or the opening was. Add the one "
    "or the other.",
)
NOT_THERE = kind(
    "opening-sewn-shut",
    Severity.FAULT,
    "A declared opening is not there when all seams are sewn: one of its edges is sewn to something.",
)
JOINED = kind(
    "openings-joined",
    Severity.FAULT,
    "Two declared openings are one hole when all seams are sewn, such as a neck and an armhole without a shoulder seam. Add "
    "the seam that parts them, or declare them as one.",
)
PARTED = kind(
    "opening-parted",
    Severity.DOUBT,
    "What is declared as one opening comes out as several holes.",
)
INSIDE_OUT = kind(
    "seam-inside-out",
    Severity.FAULT,
    "With this seam the cloth cannot have its face outside everywhere: it is sewn like a band with a half twist. Turn one side "
    "of the seam round, or look whether the piece is drawn for the other hand.",
)


@dataclass(frozen=True, slots=True)
class _Hole:
    """A declared opening."""

    name: str
    edges: frozenset[EdgeRef]


def _declared(garment: Garment) -> list[_Hole]:
    """Openings, and closures whose edges no opening names and no seam (a faced edge is sewn, and closed all the same)."""
    holes = [_Hole(opening.id, frozenset(opening.edges)) for opening in garment.openings if opening.edges]
    named = {ref for hole in holes for ref in hole.edges} | sewn_refs(garment)
    holes += [_Hole(c.id, frozenset(c.edges)) for c in garment.closures if c.edges and not set(c.edges) & named]
    return holes


@dataclass(frozen=True, slots=True)
class _Surface:
    """The garment sewn, with closures open and done up."""

    garment: Garment
    open: Assembly
    shut: Assembly
    unsure: frozenset[EdgeRef]
    """Edges of seams that could not be glued: nothing is said about holes that they lie on."""

    @property
    def loops(self) -> list[tuple[EdgeRef, ...]]:
        """The holes that are surely there with all closures done up."""
        return [loop for loop in self.shut.loops if not self.unsure & set(loop)]

    def comes_out(self, hole: _Hole) -> bool:
        """Whether an opening comes out just as it is declared, with closures open or done up."""
        closing = {ref for loop in self.open.loops for ref in loop} - {ref for loop in self.shut.loops for ref in loop}
        return any(hole.edges == set(loop) for loop in (*self.open.loops, *self.shut.loops)) or hole.edges <= closing


def _surface(garment: Garment) -> _Surface:
    sewn = assemble(garment)
    shut = assemble(garment, closed=closure_seams(garment, sewn.loops))
    out = set(sewn.left_out)
    unsure = frozenset(ref for seam in garment.seams if seam.id in out for ref in (*seam.a, *seam.b))
    return _Surface(garment, sewn, shut, unsure)


@CHECKS.register("openings")
def openings(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Holes that are no openings, openings that are no holes, and seams sewn inside out."""
    surface = _surface(garment)
    for seam in dict.fromkeys(name for component in surface.open.components for name in component.inside_out):
        yield INSIDE_OUT(f"{seam}: sewn like this the garment has no outside", where=(garment.id, seam),
                         remedy="Turn one side of the seam round.", blocks=[Block("sew", garment.id)])  # fmt: skip
    declared = _declared(garment)
    if not declared and surface.loops:
        count = len(surface.loops)
        yield UNDECLARED(
            f"{count} {'hole stays' if count == 1 else 'holes stay'} when all seams are sewn, and no opening is declared",
            where=(garment.id,),
            remedy="Declare the openings, so that a forgotten seam can be noticed.",
            why=[edge_words(garment, loop) for loop in surface.loops],
        )
        return
    found = [*_openings(surface, declared), *_holes(surface, declared)]
    hint = _hint(surface, declared) if found and surface.open.orientable else ""
    yield from (replace(finding, remedy=hint or finding.remedy) for finding in found)


def _openings(surface: _Surface, declared: Sequence[_Hole]) -> Iterator[Finding]:
    garment, said = surface.garment, set()
    free = {ref for loop in surface.open.loops for ref in loop}
    sewn = {ref: seam.id for seam in garment.seams for ref in (*seam.a, *seam.b)}
    for hole in declared:
        if surface.comes_out(hole) or hole.edges & surface.unsure:
            continue
        shut = sorted(ref for ref in hole.edges if ref in sewn)
        if shut:
            yield NOT_THERE(
                f"the opening {hole.name!r} is not there: {edge_words(garment, shut[:1])} is sewn in {sewn[shut[0]]}",
                where=(garment.id, hole.name),
                remedy="Take the edge out of the opening or out of the seam.",
            )
            continue
        if hole.edges - free:
            continue  # not a part of what is sewn, or not there: another check says so
        loops = [loop for loop in surface.loops if hole.edges & set(loop)]
        joined = sorted({other.name for other in declared for loop in loops if other.edges & set(loop)} | {hole.name})
        if len(joined) > 1 and tuple(joined) not in said:
            said.add(tuple(joined))
            yield JOINED(
                f"{listed(joined)} come out as one hole" if len(loops) == 1 else f"{listed(joined)} run into one another",
                where=(garment.id, *joined),
                remedy="Add the seam that parts them, or declare them as one opening.",
                why=[edge_words(garment, loop) for loop in loops],
            )
        elif len(loops) > 1 and len(joined) == 1:
            yield PARTED(
                f"the opening {hole.name!r} comes out as {len(loops)} holes",
                where=(garment.id, hole.name),
                remedy="Declare them one by one, or look for a seam too many.",
                why=[edge_words(garment, loop) for loop in loops],
            )


def _holes(surface: _Surface, declared: Sequence[_Hole]) -> Iterator[Finding]:
    garment = surface.garment
    for loop in surface.loops:
        owners = [hole for hole in declared if hole.edges & set(loop)]
        bare = [ref for ref in loop if not any(ref in hole.edges for hole in declared)]
        if not bare:
            continue
        words = edge_words(garment, bare)
        said = f"a hole stays that is no opening: {words}"
        if owners:
            said = f"{words} lies on the opening {listed(hole.name for hole in owners)}, which does not name it"
        yield UNDECLARED(said, where=(garment.id, *dict.fromkeys(ref.piece for ref in bare)),
                         remedy="Add the forgotten seam, or declare the opening.",
                         why=[f"round the hole: {edge_words(garment, loop)}"])  # fmt: skip


def _hint(surface: _Surface, declared: Sequence[_Hole]) -> str:
    """If drawing one piece for the other hand would make every opening come out, say so."""
    garment = surface.garment
    for piece in garment.pieces.values():
        if piece.shape is None:
            continue
        other = _surface(garment.with_piece(replace(piece, drawn=piece.drawn.other)))
        names = {ref for hole in declared for ref in hole.edges}
        if all(other.comes_out(hole) for hole in declared) and all(set(loop) <= names for loop in other.loops):
            side = piece.drawn.other.value
            return f"Everything fits if {piece.name.lower()} is drawn for the wearer's {side}: look at that first."
    return ""
