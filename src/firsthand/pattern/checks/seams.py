"""Checks of seams: what they name, their lengths, their notches."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from firsthand.errors import GeometryError, NotThere
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.pattern._parts import is_on_fold, resolve
from firsthand.pattern._sense import Layout, chain_breaks
from firsthand.pattern._walk import NotchGap, SeamWalk, walk_seam
from firsthand.pattern.checks._registry import CHECKS
from firsthand.pattern.checks._words import edge_words, listed, piece_block, piece_names, single_seams
from firsthand.pattern.model import EdgeRef, Garment, Hand, Pattern, Seam
from firsthand.units import said

__all__: list[str] = []

FAR_OUT = 10.0
"""A seam that is out by more than this cannot be eased away, mm. Source: common practice."""

NOTCH_TOLERANCE = 3.0
"""How far two notches may miss each other, mm. Source: common practice."""

NAMELESS = kind(
    "reference-dangling",
    Severity.FAULT,
    "A seam, an opening or a closure names a piece or an edge that is not there (any more). Give it the name that the piece "
    "or edge has.",
)
PART_MISSING = kind(
    "part-missing",
    Severity.FAULT,
    "A seam needs a part that is not cut: another hand, another copy, or another role than the piece's cuts give. Cut more of "
    "the piece, or mend the seam.",
)
LENGTH = kind(
    "seam-length",
    Severity.DOUBT,
    "The two sides of a seam differ in sewn length by more than its tolerance, with easing and gathers allowed for. True the "
    "pieces to each other before cutting. Above 1 cm it is a fault, and the pieces are held back from cutting.",
)
SENSELESS = kind(
    "seam-numbers",
    Severity.FAULT,
    "A seam has a ratio, easing or tolerance without sense, or only one side, or its darts and pleats take up more than "
    "there is.",
)
NOTCH = kind(
    "notches-miss",
    Severity.DOUBT,
    "Two notches that are sewn together do not meet, by more than easing can explain. Move one of them.",
)
NOTCH_COUNT = kind(
    "notch-alone",
    Severity.NOTE,
    "One side of a seam has more notches than the other, so that one has no partner. Add the partner, or leave the notch out.",
)
TWICE = kind(
    "edge-sewn-twice",
    Severity.DOUBT,
    "An edge is named by two seams, or twice by one. Where a collar is caught between two layers, sew it to one of them and "
    "let the second seam name that layer only.",
)
ITSELF = kind(
    "seam-itself",
    Severity.FAULT,
    "A seam joins an edge to itself. Name the edge of the other piece, or of the other hand, on one of its sides.",
)
ORDER = kind(
    "seam-order",
    Severity.DOUBT,
    "The edges of one side of a seam do not follow one another in the order given: one does not begin where the one before "
    "ends. Put them in the order in which they are sewn; if that is right, a seam between them is missing, or a piece is drawn "
    "for the other hand than it says.",
)


@CHECKS.register("references")
def references(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Seams, openings and closures that name what is not there."""
    named = [("seam", seam.id, (*seam.a, *seam.b)) for seam in garment.seams]
    named += [("opening", opening.id, opening.edges) for opening in garment.openings]
    named += [("closure", closure.id, closure.edges) for closure in garment.closures]
    for what, name, refs in named:
        for ref in dict.fromkeys(refs):
            yield from _reference(garment, f"{what} {name!r}", (garment.id, name, str(ref)), ref)


def _reference(garment: Garment, title: str, where: tuple[str, ...], ref: EdgeRef) -> Iterator[Finding]:
    piece = garment.pieces.get(ref.piece)
    blocks = [Block("sew", garment.id)]
    if piece is None:
        known = listed(garment.pieces) if garment.pieces else "none"
        yield NAMELESS(f"{title} names the piece {ref.piece!r}, which is not there", where=where, blocks=blocks,
                       remedy=f"Name one of the pieces: {known}.")  # fmt: skip
        return
    if piece.shape is not None and all(edge.id != ref.edge for edge in piece.shape.edges):
        remedy = f"Name one of its edges: {listed(edge.id for edge in piece.shape.edges)}."
        words = f"{title} names the edge {ref.edge!r}, which {piece.name.lower()} does not have"
        yield NAMELESS(words, where=where, blocks=blocks, remedy=remedy)
        return
    part = _why_no_part(garment, ref)
    if part:
        yield PART_MISSING(f"{title} needs {part[0]}", where=where, blocks=blocks, remedy=part[1])


def _why_no_part(garment: Garment, ref: EdgeRef) -> tuple[str, str] | None:
    """What is wrong with the part that a reference needs, and what to do; None if nothing is."""
    piece = garment.pieces[ref.piece]
    if piece.shape is not None and resolve(garment, ref) is not None:
        return None
    name, parts = piece.name.lower(), [part for part in garment.parts_of(piece.id) if part.role == ref.role]
    if not parts:
        return f"{name} cut of {ref.role}, and none is", f"Add a cut of {ref.role} to {name}, or mend the seam."
    copies = [part for part in parts if part.copy == ref.copy]
    if not copies:
        most = max(part.copy for part in parts)
        return f"{name} number {ref.copy}, and only {most} {'is' if most == 1 else 'are'} cut", f"Cut {name} {ref.copy} times."
    if any(is_on_fold(piece, part) for part in copies):
        if ref.hand is Hand.CENTRE:
            return f"one half of {name}, and does not say which", f"Write right or left behind {ref.piece}.{ref.edge}."
        if ref.edge == piece.fold:
            return f"the fold of {name}, which is no edge once it is opened out", "Sew another edge, or cut it as a pair."
        return None
    hands = {part.hand for part in copies}
    if ref.hand in hands:
        return None
    wanted = "one that is neither right nor left" if ref.hand is Hand.CENTRE else f"a {ref.hand.value} one"
    there = "as a pair" if Hand.CENTRE not in hands else "single"
    return (
        f"{wanted} of {name}, and it is cut {there}",
        f"Cut {name} {'as a pair' if there == 'single' else 'single'}, or mend the seam.",
    )


@CHECKS.register("seam lengths")
def seam_lengths(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Seams whose sides differ, and notches that do not meet."""
    for name, seam in single_seams(garment):
        same = set(seam.a) & set(seam.b)
        if same:
            yield ITSELF(f"{name} sews {edge_words(garment, sorted(same))} to itself", where=(garment.id, seam.id),
                         remedy="Name the other edge, or the other hand.", blocks=[Block("sew", garment.id)])  # fmt: skip
            continue
        try:
            walk = walk_seam(garment, seam)
        except NotThere:  # said by another check, or only a card
            continue
        except GeometryError as error:
            yield SENSELESS(f"{name}: {error}", where=(garment.id, seam.id), remedy="Mend the numbers.",
                            blocks=[Block("sew", garment.id)])  # fmt: skip
            continue
        if walk.fits:
            yield from _notches(garment, name, walk)
        else:
            yield _length(garment, name, walk)


def _length(garment: Garment, name: str, walk: SeamWalk) -> Finding:
    seam, out = walk.seam, abs(walk.difference)
    longer, shorter = (seam.a, seam.b) if walk.difference > 0 else (seam.b, seam.a)
    first, second = _sides(garment, longer, shorter)
    plain = seam.ratio == 1 and seam.easing == 0
    # What b is too long for is out by the difference on a's side of a gathered seam.
    amount = out if plain or walk.difference > 0 else out / seam.ratio
    words = f"{first} is {said(amount)} {'longer than' if plain else 'too long for'} {second}"
    fault = out > max(FAR_OUT, seam.tolerance)
    pieces = sorted({ref.piece for ref in (*seam.a, *seam.b)})
    return LENGTH(
        f"{name}: {words}",
        where=(garment.id, seam.id),
        remedy=f"Measure both sides on the pattern, and true {first} or {second}.",
        severity=Severity.FAULT if fault else Severity.DOUBT,
        blocks=[piece_block("cut", garment, piece) for piece in pieces] if fault else [],
        why=_working(garment, walk),
    )


def _sides(garment: Garment, one: tuple[EdgeRef, ...], two: tuple[EdgeRef, ...]) -> tuple[str, str]:
    names = piece_names(garment, one), piece_names(garment, two)
    return names if names[0] != names[1] else (edge_words(garment, one), edge_words(garment, two))


def _working(garment: Garment, walk: SeamWalk) -> tuple[str, ...]:
    seam = walk.seam
    lines = [
        f"{edge_words(garment, seam.a)}: {said(walk.a_length)} sewn",
        f"{edge_words(garment, seam.b)}: {said(walk.b_length)} sewn",
    ]
    if seam.ratio != 1 or seam.easing:
        lines.append(f"expected: {seam.ratio:g} × {said(walk.b_length)} + {said(seam.easing)} eased in")
    lines += [f"{gap.a} and {gap.b} miss by {said(abs(gap.gap))}" for gap in walk.notch_gaps if abs(gap.gap) > 0.5]
    return (*lines, f"allowed: {said(seam.tolerance)}")


def _notches(garment: Garment, name: str, walk: SeamWalk) -> Iterator[Finding]:
    where = (garment.id, walk.seam.id)
    allowed = max(NOTCH_TOLERANCE, walk.seam.tolerance) * max(1.0, walk.seam.ratio)
    for gap in walk.notch_gaps:
        if not (gap.a and gap.b):
            alone = gap.a or gap.b
            yield NOTCH_COUNT(f"{name}: notch {alone} has no partner on the other side", where=where,
                              remedy="Mark its partner, or leave it out.")  # fmt: skip
        elif abs(gap.gap) > allowed:
            yield NOTCH(
                f"{name}: notches {gap.a} and {gap.b} miss each other by {said(abs(gap.gap))}",
                where=where,
                remedy="Move one of the two.",
                why=_positions(walk.seam, gap),
            )


def _positions(seam: Seam, gap: NotchGap) -> tuple[str, ...]:
    gathered = f", {seam.ratio:g} times its place on the shorter side" if seam.ratio != 1 else ""
    lines = [
        f"{gap.a} lies {said(gap.at_a)} along the seam",
        f"{gap.b} lies {said(gap.at_b)} along{gathered}",
    ]
    return (*lines, f"up to {said(seam.easing)} may be eased in before it") if seam.easing else tuple(lines)


@CHECKS.register("edges sewn twice")
def sewn_twice(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Edges that more than one seam names."""
    counts = Counter(ref for seam in garment.seams for ref in (*seam.a, *(ref for ref in seam.b if ref not in seam.a)))
    told = set()
    for ref, count in counts.items():
        if count == 1 or (ref.piece, ref.edge, ref.role) in told:
            continue
        told.add((ref.piece, ref.edge, ref.role))
        seams = [seam.id for seam in garment.seams if ref in (*seam.a, *seam.b)]
        yield TWICE(
            f"{edge_words(garment, [ref])} is sewn {count} times: in {listed(seams)}",
            where=(garment.id, ref.piece, ref.edge),
            remedy="Let one of the seams name another edge or layer.",
        )


@CHECKS.register("order of edges")
def order(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Chains whose edges do not follow one another."""
    breaks = chain_breaks(Layout(garment), garment.seams)
    for name, seam in single_seams(garment):
        for one, two in breaks.get(seam.id, [])[:1]:
            yield ORDER(
                f"{name}: {edge_words(garment, [two])} does not follow on from {edge_words(garment, [one])}",
                where=(garment.id, seam.id),
                remedy="Put the edges in the order in which they are sewn, or add the seam between the two.",
            )
