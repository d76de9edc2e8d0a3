"""One size here and another there, and sizes between those on the paper."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from threading import Lock
from typing import TYPE_CHECKING, ClassVar

from firsthand.alter._making import finished
from firsthand.alter.kinds.grade import GRADED, graded_words
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.alter.sizing.matching import level_widths, matched, mixed
from firsthand.alter.sizing.places import Mix, Scale, made_from, scale_of, sizes_of
from firsthand.errors import CannotAlter, NotThere
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import Garment, Piece, Shape
from firsthand.units import parse_share, said

if TYPE_CHECKING:
    from firsthand.alter.sizing.shares import Fields, Ladder

__all__ = ["BlendSizes", "Place"]

NOT_REACHED = kind(
    "blend-not-reached",
    Severity.NOTE,
    "Sizes were blended by level, and a piece has none of the levels and is sewn to none that has: nothing says which size it "
    'should take, and it stays as it was. Say its size with others = "SIZE", or leave it.',
)

REMEMBERED = 16
"""So many blends are remembered."""
NEAREST = 5.0
"""Two levels nearer to each other than this, mm, cannot hold two sizes."""
HOW = 'Write for example "12 at bust", "12 to 14, 40 % at hip".'


@dataclass(frozen=True, slots=True)
class Place:
    """A size at a level: a share of the way from one to another.

    Examples
    --------
    >>> Place.read("12 at bust"), Place.read("12 to 14, 40 % at upper arm")
    (Place(one='12', two='12', share=0.0, level='bust'), Place(one='12', two='14', share=0.4, level='upper arm'))
    >>> Place.read("S to M")
    Place(one='S', two='M', share=0.5, level='')
    """

    one: str
    two: str
    share: float
    level: str = ""

    @staticmethod
    def read(words: str) -> Place:
        """What words say.

        Raises
        ------
        CannotAlter
            If they cannot be read.
        """
        size, _, level = (part.strip() for part in f" {' '.join(words.split())} ".partition(" at "))
        one, to, rest = (part.strip() for part in f"{size} ".partition(" to "))
        two, comma, share = (part.strip() for part in rest.partition(","))
        if not one or (to and not two) or (comma and not share) or (not to and "," in one):
            raise CannotAlter(f"{words!r} is no size at a level", HOW)
        try:
            part = parse_share(share) if share else 0.5
        except ValueError as error:
            raise CannotAlter(f"{words!r}: {error}", HOW) from None
        if not 0 <= part <= 1:
            raise CannotAlter(f"{words!r}: a share lies between 0 and 100 %", HOW)
        return Place(one, two or one, part if to else 0.0, level)

    def mix(self, piece: Piece, scale: Scale, sizes: Sequence[str]) -> tuple[Mix, ...]:
        """What it is mixed from on a piece: one or two sizes, their shares as told."""
        between = _between(self.one, sizes) if self.one not in sizes and self.one == self.two else None
        one, two, share = between or (self.one, self.two, self.share)
        parts = [(one, 1 - share), (two, share)] if one != two else [(one, 1.0)]
        mixes = []
        for size, part in parts:
            if part:
                mix = made_from(piece, size, scale)
                mixes.append(replace(mix, weights={name: weight * part for name, weight in mix.weights.items()}))
        return tuple(mixes)


def _between(size: str, sizes: Sequence[str]) -> tuple[str, str, float] | None:
    """The two sizes with numbers for names between which a number lies, and its share of the way."""
    if not _number(size):
        return None
    for one, two in itertools.pairwise(sizes):
        if _number(one) and _number(two) and float(one) < float(size) < float(two):
            return one, two, (float(size) - float(one)) / (float(two) - float(one))
    return None


def _number(size: str) -> bool:
    return re.fullmatch(r"\d+(\.\d+)?", size) is not None


@ALTERATIONS.register("blend-sizes")
@dataclass(frozen=True, slots=True)
class BlendSizes(Entry):
    """Take one size at one level and another at another, or a size between two.

    At a named level the line runs along that size's own line; from one level to the next it passes over smoothly; beyond the
    outermost the size stays. Both sides of a seam take the same share of each size at the same place along it; a piece without
    the levels, as a sleeve or a collar, takes what the edges have that it is sewn to. The length between two levels comes out
    at about the mean of both sizes, and seams as long as the shares of the sizes on them. A size that is not on the paper is
    made from the two nearest, see ``grade``. It starts from the outlines as bought, so it stands before what alters their
    lines.

    Parameters
    ----------
    at
        Sizes at levels: ``"12 at bust"``, ``"16 at hip"``; between two sizes ``"12 to 14, 40 % at hip"`` (without a share half
        way, where sizes are numbers also ``"13 at hip"``). A single one without a level holds everywhere: ``"12 to 14"``.
    pieces
        Ids of the only pieces to blend; empty means all. Their seams to other pieces may not fit then.
    others
        Size of the pieces that have none of the levels, instead of what they are sewn to. Their seams may not fit then.
    """

    kind: ClassVar[str] = "blend-sizes"

    at: tuple[str, ...]
    pieces: tuple[str, ...] = ()
    others: str = ""

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        done = _blended(garment, self._places(garment), self._chosen(garment), self.others)
        words = f"Sizes blended: {', '.join(self.at)}"
        altered = finished(garment, self, words, done.widths, done.changed)
        findings = (*self._graded(garment, done), *self._not_reached(garment, done.kept))
        return replace(altered, findings=altered.findings + findings)

    def _places(self, garment: Garment) -> tuple[Place, ...]:
        places = tuple(Place.read(words) for words in self.at)
        known = [level.id for level in garment.levels]
        if not places:
            raise CannotAlter("no size is named", HOW)
        for place in places:
            if not place.level and len(places) > 1:
                raise CannotAlter("several sizes are named, and one without a level", HOW)
            if place.level and place.level not in known:
                raise NotThere("level", place.level, known)
        twice = [place.level for k, place in enumerate(places) if place.level in [p.level for p in places[:k]]]
        if twice:
            raise CannotAlter(f"the level {twice[0]} is given two sizes", "Name one size for each level.")
        return places

    def _chosen(self, garment: Garment) -> tuple[str, ...]:
        for name in self.pieces:
            piece = garment.piece(name)
            if piece.shape is None and len(piece.sizes) == 0:
                raise NotThere("outline", name)
        chosen = self.pieces or tuple(name for name, piece in garment.pieces.items() if piece.sizes)
        for name in chosen:
            piece = garment.piece(name)
            if piece.shape is not None and piece.shape != piece.bought:
                words = f"{name} was altered before, and sizes are blended from the outlines as bought"
                raise CannotAlter(words, "Put the blend before the other alterations.")
        return chosen

    def _graded(self, garment: Garment, done: _Done) -> tuple[Finding, ...]:
        return tuple(
            GRADED(
                graded_words(size, mix, pieces),
                where=(garment.id, self.id or self.kind, size),
                remedy="Sew a toile before cutting the cloth." if mix.beyond else "",
                severity=Severity.DOUBT if mix.beyond else Severity.NOTE,
            )
            for size, (mix, pieces) in done.graded.items()
        )

    def _not_reached(self, garment: Garment, kept: Sequence[str]) -> tuple[Finding, ...]:
        if not kept:
            return ()
        return (
            NOT_REACHED(
                f"{', '.join(kept)} stay in size {garment.size}",
                where=(garment.id, self.id or self.kind),
                remedy='Say their size with others = "SIZE" if it should be another.',
            ),
        )


@dataclass(frozen=True, slots=True)
class _Done:
    """What came of a blend.

    Parameters
    ----------
    changed, kept
        The pieces that change, and the ids of those nothing is told of.
    widths
        Of the changed pieces at their levels.
    graded
        Sizes that are on the paper of some piece no more: what they are made from, and for which pieces.
    """

    changed: Mapping[str, Reshaped]
    kept: tuple[str, ...]
    widths: Mapping[str, float]
    graded: Mapping[str, tuple[Mix, tuple[str, ...]]]


_remembered: dict[tuple[object, ...], tuple[Garment, _Done]] = {}
"""The last blends. A blend stands first in a stack and starts from outlines as bought, so that it is asked for again with every
change of what comes after it. The garment is kept so that its outlines, which are known by their identity, stay alive."""
_lock = Lock()


def _blended(garment: Garment, places: tuple[Place, ...], chosen: tuple[str, ...], others: str) -> _Done:
    outlines = tuple(
        (name, piece.size, piece.fold, piece.drawn, tuple((size, id(shape)) for size, shape in piece.sizes.items()))
        for name, piece in ((name, garment.piece(name)) for name in chosen)
    )
    told = (garment.seams, garment.parts, garment.levels, garment.sizes, id(garment.chart))
    key = (places, chosen, others, told, outlines)
    found = _remembered.get(key)
    if found is None:
        done = _Blending(garment, places, chosen, others).done()
        with _lock:
            _remembered[key] = garment, done
            while len(_remembered) > REMEMBERED:
                del _remembered[next(iter(_remembered))]
        return done
    return found[1]


class _Blending:
    """One garment while it is blended."""

    def __init__(self, garment: Garment, places: Sequence[Place], chosen: Sequence[str], others: str) -> None:
        self.garment, self.places, self.chosen, self.others = garment, places, chosen, others
        self.apart: list[str] = []
        self.sizes = sizes_of(garment)
        self.scale = scale_of(garment)
        named = {size for place in places for size in (place.one, place.two)} | ({others} if others else set())
        for size in sorted(named):
            if size not in self.sizes and _between(size, self.sizes) is None:
                raise NotThere("size", size, self.sizes)
        self.mixes = {name: [place.mix(garment.piece(name), self.scale, self.sizes) for place in places] for name in chosen}
        self.shapes = {name: self._shapes(garment.piece(name)) for name in chosen}

    def _shapes(self, piece: Piece) -> dict[str, Shape]:
        """The sizes of a piece that take part, the one chosen first."""
        used = {size for mixes in self.mixes[piece.id] for mix in mixes for size in mix.weights}
        used |= {size for mix in self._other(piece) for size in mix.weights}
        chosen = [piece.size] if piece.size is not None and piece.size in piece.sizes else []
        used |= set(chosen)
        order = [*chosen, *(size for size in piece.sizes if size not in chosen)]
        return matched(piece.id, {size: piece.sizes[size] for size in order if size in used})

    def _other(self, piece: Piece) -> tuple[Mix, ...]:
        return Place(self.others, self.others, 0.0).mix(piece, self.scale, self.sizes) if self.others else ()

    def done(self) -> _Done:
        """The blend.

        Raises
        ------
        CannotAlter
            If an outline would cross itself.
        """
        try:
            changed, kept = self.made()
        except Crosses as crossing:
            raise CannotAlter(f"these sizes cannot be blended: {crossing}", "Choose sizes nearer to each other.") from crossing
        return _Done(changed, kept, level_widths(changed), self.graded())

    def made(self) -> tuple[dict[str, Reshaped], tuple[str, ...]]:
        """The pieces that change, and the ids of those nothing is told of."""
        if not self.places[0].level:
            return self._changed({name: self._even(name, self.mixes[name][0]) for name in self.chosen}), ()
        return self._by_level()

    def _changed(self, made: Mapping[str, Reshaped]) -> dict[str, Reshaped]:
        changed = {}
        for name, result in made.items():
            piece = self.garment.piece(name)
            if result.shape != piece.shape:
                changed[name] = result if piece.bought is not None else Reshaped(result.shape, {})
        return changed

    def _even(self, name: str, mixes: Sequence[Mix]) -> Reshaped:
        shapes = self.shapes[name]
        weights = [sum(mix.weights.get(size, 0.0) for mix in mixes) for size in shapes]
        try:
            return mixed(list(shapes.values()), weights)
        except Crosses as crossing:
            raise Crosses(f"on {name} {crossing}") from crossing

    def _by_level(self) -> tuple[dict[str, Reshaped], tuple[str, ...]]:
        from firsthand.alter.sizing.shares import agreed, ladders, sewn_elsewhere  # late: numpy is needed only here

        references = {
            name: mixed(list(shapes.values()), [1 / len(shapes)] * len(shapes)).shape for name, shapes in self.shapes.items()
        }
        steps = ladders(references.values(), [place.level for place in self.places])
        for step in steps:
            self._refuse_level_with(step)
        of = {name: _ladder(shape, steps) for name, shape in references.items()}
        if not any(of.values()):
            raise NotThere("piece across which the level runs", self.places[0].level)
        apart = self.apart = [name for name in self.chosen if self.others and of[name] is None]
        pieces = {name: replace(self.garment.piece(name), shape=references[name]) for name in self.chosen if name not in apart}
        whole = replace(self.garment, pieces=pieces)
        fields, sewn = agreed(whole, self._known(references, of), len(self.places)), sewn_elsewhere(whole)
        made = {name: self._even(name, self._other(self.garment.piece(name))) for name in apart}
        reached = [name for name in pieces if all((name, edge.id) in fields for edge in references[name].edges)]
        made |= {name: self._blend(name, references[name], fields, of[name], sewn.get(name, frozenset())) for name in reached}
        return self._changed(made), tuple(name for name in pieces if name not in reached)

    def _refuse_level_with(self, ladder: Ladder) -> None:
        for (one, low), (two, high) in itertools.pairwise(ladder.stops):
            if high - low < NEAREST:
                names = f"{self.places[one].level} and {self.places[two].level}"
                raise CannotAlter(
                    f"{names} lie {said(high - low)} apart: too near to change the size", "Leave one of them out."
                )

    def _known(self, references: Mapping[str, Shape], of: Mapping[str, Ladder | None]) -> Fields:
        from firsthand.alter.sizing.blending import edge_shares

        return {
            (name, edge): shares
            for name, ladder in of.items()
            if ladder is not None
            for edge, shares in edge_shares(references[name], ladder, len(self.places)).items()
        }

    def _blend(self, name: str, reference: Shape, fields: Fields, ladder: Ladder | None, sewn: frozenset[str]) -> Reshaped:
        from firsthand.alter.sizing.blending import Blend, rows

        shapes = self.shapes[name]
        mixes = rows([[sum(m.weights.get(size, 0.0) for m in mixes) for size in shapes] for mixes in self.mixes[name]])
        own = {edge.id: fields[name, edge.id] for edge in reference.edges}
        try:
            return Blend(list(shapes.values()), mixes, reference, own, sewn, self.garment.piece(name).fold, ladder).made()
        except Crosses as crossing:
            raise Crosses(f"on {name} {crossing}") from crossing

    def graded(self) -> dict[str, tuple[Mix, tuple[str, ...]]]:
        """Sizes that are on the paper of some piece no more: what they are made from, and for which pieces."""
        found: dict[str, tuple[Mix, tuple[str, ...]]] = {}
        for name in self.chosen:
            piece = self.garment.piece(name)
            for place in (Place(self.others, self.others, 0.0),) if name in self.apart else self.places:
                for size in {place.one, place.two} & set(self.scale.places) - set(piece.sizes):
                    pieces = found[size][1] if size in found else ()
                    if name not in pieces:
                        found[size] = made_from(piece, size, self.scale), (*pieces, name)
        return found


def _ladder(shape: Shape, steps: Sequence[Ladder]) -> Ladder | None:
    """The levels of the garment that a piece is measured by."""
    from firsthand.alter.sizing.shares import Heights

    levels = set(Heights.of(shape).levels)
    return next((ladder for ladder in steps if levels & set(ladder.heights)), None)
