"""References that follow: every place where a garment names a piece, an edge or a line, when these get other names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import Applied, EdgeRef, Garment, Hand, Seam, chain_senses, find_part, is_on_fold

__all__ = ["Names", "Target", "Way", "Ways", "lost_references", "rerouted", "settled"]

REFERENCE_LOST = kind(
    "reference-lost",
    Severity.FAULT,
    "An alteration took away the piece, the edge or the line that a seam, an opening, a closure or an applied piece names, and "
    "nothing took its place. The name is left as it was. Take it out, or name what should be there instead.",
)


@dataclass(frozen=True, slots=True)
class Target:
    """Where an edge is now: piece and edge, and the hand if it is another than before."""

    piece: str
    edge: str
    hand: Hand | None = None

    def ref(self, old: EdgeRef) -> EdgeRef:
        """The reference that takes the place of an old one; role and copy stay."""
        return replace(old, piece=self.piece, edge=self.edge, hand=old.hand if self.hand is None else self.hand)


Way = tuple[str, str, Hand | None]
"""An old piece and edge, and the hand; None for any hand for which nothing is said."""
Ways = Mapping[Way, tuple[Target, ...]]
"""Old edges to what they are now, in the order in which the old edge runs as it is drawn; to nothing where the edge is gone."""


@dataclass(frozen=True, slots=True)
class Names:
    """Where pieces and their inner lines are now, for what is laid on them.

    Parameters
    ----------
    pieces
        Old piece to the pieces that it became, each with the hand it is of (centre if it is all of it).
    lines
        Old piece and inner line to the piece and line that it became.
    """

    pieces: Mapping[str, tuple[tuple[str, Hand], ...]] = field(default_factory=dict)
    lines: Mapping[tuple[str, str], tuple[str, str]] = field(default_factory=dict)


def rerouted(garment: Garment, ways: Ways, names: Names = Names()) -> Garment:
    """The garment with every reference led to where its edge is now; its pieces and parts are left alone.

    Parameters
    ----------
    garment
        As it was before pieces and edges got other names: the way round in which chains are walked is seen from it.
    ways
        Where edges are now. Of one that became several, seams name them in the order in which the chain is walked.
    names
        Where pieces and lines are now.

    Returns
    -------
    Garment
        Seams, openings, closures and applied pieces that name what is there now. A reference to an edge that is gone stays as
        it was: :func:`lost_references` finds it.
    """
    touched = {(piece, edge) for piece, edge, _ in ways}

    def is_touched(refs: Iterable[EdgeRef]) -> bool:
        return any((ref.piece, ref.edge) in touched for ref in refs)

    return replace(
        garment,
        seams=tuple(_seam(garment, seam, ways) if is_touched((*seam.a, *seam.b)) else seam for seam in garment.seams),
        openings=tuple(replace(opening, edges=_once(_chain(garment, opening.edges, ways, 1))) for opening in garment.openings),
        closures=tuple(replace(closure, edges=_once(_chain(garment, closure.edges, ways, 1))) for closure in garment.closures),
        applied=tuple(dict.fromkeys(new for item in garment.applied for new in _applied(item, names))),
    )


def _seam(garment: Garment, seam: Seam, ways: Ways) -> Seam:
    many = any(len(_targets(ref, ways)) > 1 for ref in (*seam.a, *seam.b))
    senses = chain_senses(garment, seam) if many and seam.a and seam.b else (1, 1)
    a, b = (_chain(garment, refs, ways, sense) for refs, sense in zip((seam.a, seam.b), senses, strict=True))
    return replace(seam, a=a, b=b)


def settled(before: Garment, after: Garment) -> Garment:
    """The garment with each chain of several edges walked the same way round as before.

    A seam all round a tube is walked alike both ways by its order; which way is meant then hangs on how its first piece is
    drawn. Where that changed, both chains are turned round, which is the same seam sewn from its other end.

    Parameters
    ----------
    before, after
        The garment before and after pieces were exchanged; seams are the same that have the same id.
    """
    old = {seam.id: seam for seam in before.seams}
    seams = []
    for seam in after.seams:
        was = old.get(seam.id)
        if was is not None and was.a and was.b and seam.a and seam.b and (len(seam.a) > 1 or len(seam.b) > 1):
            back = replace(seam, a=seam.a[::-1], b=seam.b[::-1])
            wanted = chain_senses(before, was)
            if chain_senses(after, seam) != wanted and chain_senses(after, back) == (-wanted[0], -wanted[1]):
                seam = back
        seams.append(seam)
    return after if tuple(seams) == after.seams else replace(after, seams=tuple(seams))


def _targets(ref: EdgeRef, ways: Ways) -> tuple[Target, ...]:
    found = ways.get((ref.piece, ref.edge, ref.hand))
    return found if found is not None else ways.get((ref.piece, ref.edge, None), ())


def _chain(garment: Garment, refs: Iterable[EdgeRef], ways: Ways, sense: int) -> tuple[EdgeRef, ...]:
    """Each edge followed; neighbours that became one edge are named once."""
    chain: list[EdgeRef] = []
    for ref in refs:
        targets = _targets(ref, ways)
        forwards = (sense > 0) != _is_image(garment, ref)
        found = [target.ref(ref) for target in (targets if forwards else reversed(targets))] or [ref]
        chain += found[1:] if chain and found[0] == chain[-1] and found[0] != ref else found
    return tuple(chain)


def _once(refs: Iterable[EdgeRef]) -> tuple[EdgeRef, ...]:
    return tuple(dict.fromkeys(refs))


def _is_image(garment: Garment, ref: EdgeRef) -> bool:
    """Whether a reference means a mirror image of what is drawn, which runs round the other way."""
    piece, part = garment.pieces.get(ref.piece), find_part(garment, ref)
    if piece is None or part is None:
        return False
    hand = ref.hand if is_on_fold(piece, part) else part.hand
    return hand is not Hand.CENTRE and hand is piece.drawn.other


def _applied(item: Applied, names: Names) -> Iterator[Applied]:
    laid = names.pieces.get(item.piece, ((item.piece, Hand.CENTRE),))
    beneath: tuple[tuple[str, Hand, str], ...]
    if item.line and (item.onto, item.line) in names.lines:
        onto, line = names.lines[item.onto, item.line]
        beneath = tuple((name, hand, line) for name, hand in names.pieces.get(item.onto, ()) if name == onto) or (
            (onto, Hand.CENTRE, line),
        )
    else:
        new = names.pieces.get(item.onto, ((item.onto, Hand.CENTRE),))
        whole = len(new) == 1 or all(hand is not Hand.CENTRE for _, hand in new)
        beneath = tuple((name, hand, item.line) for name, hand in new) if whole else ((item.onto, Hand.CENTRE, item.line),)
    for piece, laid_hand in laid:
        for onto, hand, line in beneath:
            if _same_side(item.hand, hand) and _same_side(laid_hand, hand):
                named = item.hand if item.hand is not Hand.CENTRE else hand
                yield replace(item, piece=piece, onto=onto, line=line, hand=named)


def _same_side(one: Hand, two: Hand) -> bool:
    return one is two or Hand.CENTRE in (one, two)


def lost_references(before: Garment, after: Garment, alteration: str) -> tuple[Finding, ...]:
    """A finding for each reference that led somewhere before an alteration and leads nowhere after it.

    Parameters
    ----------
    before, after
        The garment before and after.
    alteration
        What the alteration is called.
    """
    known = {(what, words) for what, _, words in _dangling(before)}
    return tuple(
        REFERENCE_LOST(
            f"{alteration} leaves nothing for {what} to name at {words}",
            where=(after.id, name, words),
            remedy="Take the name out there, or name what should be in its place.",
        )
        for what, name, words in dict.fromkeys(_dangling(after))
        if (what, words) not in known
    )


def _dangling(garment: Garment) -> Iterator[tuple[str, str, str]]:
    """What names something that is not there: in words, its id, and the name."""
    holders = [("the seam", seam.id, (*seam.a, *seam.b)) for seam in garment.seams]
    holders += [("the opening", opening.id, opening.edges) for opening in garment.openings]
    holders += [("the closure", closure.id, closure.edges) for closure in garment.closures]
    for what, name, refs in holders:
        yield from ((f"{what} {name}", name, str(ref)) for ref in refs if not _leads(garment, ref))
    for item in garment.applied:
        missing = next((name for name in (item.piece, item.onto) if name not in garment.pieces), "")
        shape = None if missing else garment.pieces[item.onto].shape
        if not missing and item.line and shape is not None and all(line.id != item.line for line in shape.lines):
            missing = f"{item.onto}.{item.line}"
        if missing:
            yield f"the applied piece {item.piece}", item.piece, missing


def _leads(garment: Garment, ref: EdgeRef) -> bool:
    """Whether a reference leads to an edge, or to a card that may have it."""
    piece, part = garment.pieces.get(ref.piece), find_part(garment, ref)
    if piece is None or part is None:
        return False
    if piece.shape is None:
        return True
    return any(edge.id == ref.edge for edge in piece.shape.edges) and not (is_on_fold(piece, part) and ref.edge == piece.fold)
