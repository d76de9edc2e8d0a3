"""Join two pieces along the seam between them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import rebuilt
from firsthand.alter.cutting.joined import Fit, Joined, Place, fit, joined, moved, run_of, stem
from firsthand.alter.cutting.parted import WORDS
from firsthand.alter.model import ALTERATIONS, Altered, Entry, Stretch
from firsthand.alter.moving.reshape import Crosses, refuse_crossings
from firsthand.alter.naming.hands import is_name
from firsthand.alter.naming.records import mark_ids, moved_ids, with_rough
from firsthand.alter.naming.refs import Names, Target, Way, rerouted, settled
from firsthand.errors import CannotAlter, NotThere
from firsthand.findings import Finding, Severity, kind
from firsthand.geometry import Path
from firsthand.pattern import EdgeRef, Garment, Hand, How, Part, Piece, Seam, Shape, find_part, flipped, is_on_fold
from firsthand.units import Length, said

__all__ = ["Join"]

GRAIN_TURNED = kind(
    "grain-turned",
    Severity.DOUBT,
    "Of two pieces that were joined the grain of one does not lie as the grain of the other: that part of the new piece is cut "
    "off its grain, and may hang or stretch otherwise. Cut the new piece on the grain that matters, or keep the seam.",
)
MOST_TOLERANCE = 10.0
"""Edges farther apart, mm, are not one line; what lies between belongs to a dart or to easing."""
ON_GRAIN = math.radians(2)
"""Grains that lie this near to each other are one. Source: common practice."""


@ALTERATIONS.register("join")
@dataclass(frozen=True, slots=True, kw_only=True)
class Join(Entry):
    """Join two pieces along the seam between them, so that they are cut as one.

    One piece stays, the other is moved, turned and if need be turned over, without being changed, until the edges of the seam
    lie on each other. Edges that are not the same line within the tolerance are refused with the gap between them; a smaller
    gap is shared at the ends. The seam goes, on every hand and in every role. Ids stay; what would be there twice gets a
    number, as ``hem-2``. Edges that were cut in two by ``split-piece`` become one again where nothing has come between them.

    Parameters
    ----------
    seam
        Id of the seam, or the name common to a right and a left one.
    keep
        Id of the piece that stays; without one the piece on the fold, or the one named first by the seam. It keeps its bought
        outline and its grain; the other one is kept beside it as it was.
    name
        Id of the new piece; without one that of the piece that stays, or the name that both have in common since they were
        split.
    tolerance
        How far the edges may be apart where they are farthest, mm.
    """

    kind: ClassVar[str] = "join"

    seam: str
    keep: str = ""
    name: str = ""
    tolerance: Length = 1.0

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        if not 0 <= self.tolerance <= MOST_TOLERANCE:
            words = "the tolerance of a join cannot be meant"
            raise CannotAlter(words, f"Write at most {said(MOST_TOLERANCE)}; what is wider apart is a dart or eased in.")
        match = _match(garment, self.seam, self.keep)
        one, two = garment.piece(match.one), garment.piece(match.two)
        _refuse_cuts(garment, match, one, two)
        shape, over = one.drawn_shape, flipped(two.drawn_shape) if match.turned else two.drawn_shape
        laid = self._laid(shape, over, match)
        folds = (_fold(one), _fold(two))
        result = joined(shape, moved(over, laid.motion), (match.along[0], match.along[1]), _together(garment, match), folds)
        try:
            refuse_crossings(result.shape)
        except Crosses as crossing:
            raise CannotAlter(f"joined, {crossing}", "Keep the seam.") from crossing
        name = self._name(garment, one, two)
        made = with_rough(_piece(one, two, name, result.shape), garment)
        after = _after(garment, match, made, result)
        edges, ids = _maps(one, two, name, result, turned=match.turned)
        words = f"{one.id} and {two.id} joined along {self.seam}: {name}"
        findings = _grain(garment, self, one, moved(over, laid.motion), made)
        return rebuilt(garment, settled(garment, after), self, words, {"gap": laid.gap}, edges, ids, (name,), findings)

    def _laid(self, one: Shape, two: Shape, match: _Match) -> Fit:
        paths = []
        for shape, names in zip((one, two), match.along, strict=True):
            folded = [dart.id for dart in shape.darts if dart.edge in names]
            folded += [pleat.id for pleat in shape.pleats if pleat.edge in names]
            if folded:
                raise CannotAlter(f"{folded[0]} lies on the seam", "Close or move it first.")
            paths.append(Path.joined(edge.path for edge in run_of(shape, names)[0]))
        laid = fit(paths[0], paths[1].reversed())
        gap = max(laid.gap, abs(paths[0].length - paths[1].length))
        if gap > self.tolerance:
            words = f"the two edges of {self.seam} are not one line: laid on each other they miss by {said(gap)}"
            raise CannotAlter(words, f"Join along edges that are alike, within {said(self.tolerance)}, or keep the seam.")
        return replace(laid, gap=gap)

    def _name(self, garment: Garment, one: Piece, two: Piece) -> str:
        others = set(garment.pieces) - {one.id, two.id}
        if self.name:
            if self.name in others or not is_name(self.name):
                words = f"the joined piece cannot be called {self.name!r}"
                raise CannotAlter(words, "Choose a name that no piece has, without a point.")
            return self.name
        common = stem(one.id, two.id, WORDS)
        return common if common and common not in others and one.part_of == two.part_of else one.id


# what belongs to the seam ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Match:
    """Two pieces, the edges along which they are joined, and which parts of them come together.

    Parameters
    ----------
    along
        Edges of the first piece and of the second one.
    hands
        For each hand that references to the second piece name the hand of the first.
    turned
        Whether the second piece is drawn the other way over.
    seams
        Ids of the seams that go.
    """

    one: str
    two: str
    along: tuple[frozenset[str], frozenset[str]]
    hands: Mapping[Hand, Hand]
    turned: bool
    seams: frozenset[str]


def _fold(piece: Piece) -> str:
    return piece.fold if any(cut.how is How.FOLD for cut in piece.cuts) else ""


def _match(garment: Garment, name: str, keep: str) -> _Match:
    named = [seam for seam in garment.seams if seam.id in (name, f"{name} right", f"{name} left")]
    if not named:
        raise NotThere("seam", name, (seam.id for seam in garment.seams))
    sides = [{ref.piece for seam in named for ref in refs} for refs in _pairs(named)]
    if any(len(pieces) != 1 for pieces in sides) or sides[0] == sides[1]:
        words = f"{name} does not join one piece to one other piece"
        raise CannotAlter(words, "Name a seam between two pieces.")
    one, two = (pieces.pop() for pieces in sides)
    swap = keep == two or (not keep and bool(_fold(garment.piece(two))) and not _fold(garment.piece(one)))
    if keep and keep not in (one, two):
        raise NotThere("piece of the seam", keep, (one, two))
    one, two = (two, one) if swap else (one, two)
    if _fold(garment.piece(two)) and not _fold(garment.piece(one)):
        raise CannotAlter(f"{two} is cut on the fold, so that it has to stay", f"Keep {two}.")
    along = tuple(frozenset(ref.edge for s in named for ref in (*s.a, *s.b) if ref.piece == piece) for piece in (one, two))
    pairs: list[tuple[EdgeRef, EdgeRef]] = []
    seams = set()
    for seam in garment.seams:
        both = {(ref.piece, ref.edge) for ref in (*seam.a, *seam.b)}
        if both <= {(one, edge) for edge in along[0]} | {(two, edge) for edge in along[1]} and seam.a and seam.b:
            if not seam.reverse_b:
                raise CannotAlter(f"in {seam.id} one piece lies on top of the other", "Keep the seam.")
            seams.add(seam.id)
            pairs += _meeting(seam, one)
    hands, turned = _hands(garment, name, pairs)
    return _Match(one, two, (along[0], along[1]), hands, turned, frozenset(seams))


def _pairs(seams: Sequence[Seam]) -> tuple[list[EdgeRef], list[EdgeRef]]:
    return [ref for seam in seams for ref in seam.a], [ref for seam in seams for ref in seam.b]


def _meeting(seam: Seam, one: str) -> list[tuple[EdgeRef, EdgeRef]]:
    """References of the two sides that come together, the first piece's first."""
    a, b = (seam.a, seam.b) if seam.a[0].piece == one else (seam.b, seam.a)
    if {ref.piece for ref in a} & {ref.piece for ref in b}:
        raise CannotAlter(f"{seam.id} joins a piece to itself", "Name a seam between two pieces.")
    return [(x, y) for x in a for y in b]


def _hands(garment: Garment, name: str, pairs: Iterable[tuple[EdgeRef, EdgeRef]]) -> tuple[dict[Hand, Hand], bool]:
    hands: dict[Hand, Hand] = {}
    turned: set[bool] = set()
    for a, b in pairs:
        if (a.role, a.copy) != (b.role, b.copy):
            raise CannotAlter(f"{name} joins {a} to {b}, which are not cut of the same", "Keep the seam.")
        if hands.setdefault(b.hand, a.hand) is not a.hand:
            raise CannotAlter(f"{name} joins one part to two others", "Keep the seam.")
        turned.add(_is_image(garment, a) is not _is_image(garment, b))
    if len(turned) != 1 or len(set(hands.values())) != len(hands):
        raise CannotAlter(f"{name} joins the parts of both hands in different ways", "Make a piece for each hand first.")
    return hands, turned.pop()


def _is_image(garment: Garment, ref: EdgeRef) -> bool:
    piece, part = garment.piece(ref.piece), find_part(garment, ref)
    if part is None:
        raise NotThere("part", str(ref), (part.id for part in garment.parts_of(ref.piece)))
    hand = ref.hand if is_on_fold(piece, part) else part.hand
    return hand is not Hand.CENTRE and hand is piece.drawn.other


def _refuse_cuts(garment: Garment, match: _Match, one: Piece, two: Piece) -> None:
    """Both must be cut of the same, as often, and on the same hands."""

    def counted(piece: Piece) -> dict[tuple[str, int, Hand], int]:
        found: dict[tuple[str, int, Hand], int] = {}
        for part in garment.parts_of(piece.id):
            for hand in (Hand.RIGHT, Hand.LEFT) if is_on_fold(piece, part) else (part.hand,):
                key = (part.role, part.copy, match.hands.get(hand, hand) if piece is two else hand)
                found[key] = found.get(key, 0) + 1
        return found

    mine, others = counted(one), counted(two)
    differ = sorted({key[0] for key, _ in mine.items() ^ others.items()})
    if differ:
        words = f"{one.id} and {two.id} are not cut alike of {', '.join(differ)}"
        raise CannotAlter(words, "Cut both of the same, as often and on the same hands, or keep the seam.")
    missing = {part.hand for part in garment.parts_of(two.id) if not is_on_fold(two, part)} - match.hands.keys()
    if missing:
        words = f"{two.id} is not sewn to {one.id} on the {' and '.join(sorted(hand.value for hand in missing))}"
        raise CannotAlter(words, "Make a piece for each hand first.")


def _together(garment: Garment, match: _Match) -> Callable[[str, str], bool]:
    """Whether everything that names an edge of the first piece names one of the second with it."""

    def test(a: str, b: str) -> bool:
        holders: list[tuple[EdgeRef, ...]] = [refs for seam in garment.seams for refs in (seam.a, seam.b)]
        for chain in holders:
            for k, ref in enumerate(chain):
                beside = {chain[j] for j in (k - 1, k + 1) if 0 <= j < len(chain)}
                if _partner(ref, a, b) and not beside & _partner(ref, a, b):
                    return False
        loose = [set(opening.edges) for opening in garment.openings] + [set(closure.edges) for closure in garment.closures]
        return all(not _partner(ref, a, b) or refs & _partner(ref, a, b) for refs in loose for ref in refs)

    def _partner(ref: EdgeRef, a: str, b: str) -> set[EdgeRef]:
        """What should be named beside a reference; empty if it is neither of the edges."""
        if (ref.piece, ref.edge) == (match.one, a):
            return {replace(ref, piece=match.two, edge=b, hand=two) for two, one in match.hands.items() if one is ref.hand}
        if (ref.piece, ref.edge) == (match.two, b):
            return {replace(ref, piece=match.one, edge=a, hand=match.hands.get(ref.hand, ref.hand))}
        return set()

    return test


# the garment after it ----------------------------------------------------------------------------------------


def _piece(one: Piece, two: Piece, name: str, shape: Shape) -> Piece:
    beside = () if two.sizes == one.sizes and two.part_of == one.part_of else (replace(two, joined=()),)
    tail = re.compile(rf" \(({'|'.join(WORDS)})\)$")
    titles = [tail.sub("", piece.name) for piece in (one, two)]
    return replace(
        one,
        id=name,
        name=titles[0] if titles[0] == titles[1] else one.name,
        number=one.number if two.number in ("", one.number) else f"{one.number}+{two.number}".strip("+"),
        shape=shape,
        part_of="" if one.part_of == name else one.part_of,
        joined=(*one.joined, *beside, *two.joined),
    )


def _after(garment: Garment, match: _Match, made: Piece, result: Joined) -> Garment:
    one, two, name = match.one, match.two, made.id
    ways: dict[Way, tuple[Target, ...]] = {(one, edge, None): (Target(name, place.edge),) for edge, place in result.one.items()}
    for edge, place in result.two.items():
        ways |= {(two, edge, hand): (Target(name, place.edge, to),) for hand, to in match.hands.items()}
    lines = {(two, old): (name, new) for old, new in result.renamed.items()}
    lines |= {(one, line.id): (name, line.id) for line in garment.piece(one).drawn_shape.lines}
    names = Names(dict.fromkeys((one, two), ((name, Hand.CENTRE),)), lines)
    kept = tuple(
        replace(seam, after=tuple(other for other in seam.after if other not in match.seams))
        for seam in garment.seams
        if seam.id not in match.seams
    )
    followed = rerouted(garment, ways, names)
    by_id = {seam.id: seam for seam in followed.seams}
    pieces = {name if key == one else key: made if key == one else piece for key, piece in garment.pieces.items() if key != two}
    return replace(
        followed,
        seams=tuple(replace(by_id[seam.id], after=seam.after) for seam in kept),
        pieces=pieces,
        parts=tuple(_part(part, one, name) for part in garment.parts if part.piece != two),
    )


def _part(part: Part, old: str, new: str) -> Part:
    return replace(part, piece=new) if part.piece == old else part


def _maps(
    one: Piece, two: Piece, name: str, result: Joined, *, turned: bool
) -> tuple[dict[str, tuple[Stretch, ...]], dict[str, tuple[str, ...]]]:
    edges: dict[str, tuple[Stretch, ...]] = {}
    ids: dict[str, tuple[str, ...]] = {one.id: (name,), two.id: (name,)}
    here = {mark: mark for mark in mark_ids(result.shape)}
    for piece, places, news, back in ((one, result.one, here, False), (two, result.two, result.renamed, turned)):
        shape = piece.drawn_shape
        for edge in shape.edges:
            place = places.get(edge.id)
            edges[f"{piece.id}.{edge.id}"] = () if place is None else (_stretch(name, place, edge.path.length, back=back),)
        kept = {old: new for old, new in news.items() if new in here}
        ids |= moved_ids(piece.id, shape, [(name, kept)])
    return edges, ids


def _stretch(name: str, place: Place, length: float, *, back: bool) -> Stretch:
    start, end = (place.end, place.start) if back else (place.start, place.end)
    return Stretch(name, place.edge, 0.0, length, start, end)


def _grain(garment: Garment, alteration: Join, one: Piece, two: Shape, made: Piece) -> tuple[Finding, ...]:
    """A finding if the grain of what was moved does not lie as that of what stayed."""
    mine, other = (b - a for a, b in (one.drawn_shape.grain, two.grain))
    angle = abs(mine.angle_to(other))
    if angle <= max(ON_GRAIN, made.grain_tolerance):
        return ()
    called = alteration.id or alteration.kind
    return (
        GRAIN_TURNED(
            f"{called}: the grain of what was joined to {one.id} is turned by {math.degrees(angle):.0f}°",
            where=(garment.id, made.id),
            remedy="Cut the new piece on the grain that matters, or keep the seam.",
        ),
    )
