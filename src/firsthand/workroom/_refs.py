"""References to edges in words, and seams written once for both hands."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from firsthand.pattern import Applied, Closure, EdgeRef, Hand, How, Opening, Piece, Seam
from firsthand.workroom._words import listed
from firsthand.workroom.schema import AppliedTable, ClosureTable, OpeningTable, SeamTable

__all__ = [
    "BOTH",
    "Hands",
    "Names",
    "applied_of",
    "expanded_closure",
    "expanded_opening",
    "expanded_seam",
    "handed",
    "read_ref",
]

BOTH = (Hand.RIGHT, Hand.LEFT)
Hands = Literal["each", "across", "both", "as written"]


@dataclass(frozen=True, slots=True)
class Names:
    """What a reference may name.

    Parameters
    ----------
    pieces
        The pieces that could be read, by id.
    edges
        Ids of the edges of each piece with an outline; a piece that is only a card or could not be read is not in it.
    others
        Ids of pieces that are there but could not be read.
    """

    pieces: Mapping[str, Piece]
    edges: Mapping[str, Sequence[str]] = field(default_factory=dict)
    others: Sequence[str] = ()


class BadRef(ValueError):
    """A reference that names nothing: what would have been understood, and what to do."""

    def __init__(self, expected: str, remedy: str) -> None:
        self.expected, self.remedy = expected, remedy
        super().__init__(expected)


_COPY = re.compile(r"(?: |^)no\. ?(\d{1,4})$")


def read_ref(words: str, names: Names, *, written: bool = True) -> EdgeRef:
    """Read ``PIECE.EDGE [left|right] [ROLE] [no. N]``.

    Parameters
    ----------
    words
        What is written.
    names
        What it may name.
    written
        Whether the hand is taken as it is written; otherwise none may be.

    Raises
    ------
    BadRef
        If it names nothing, saying what there is.
    """
    piece_id, dot, rest = words.strip().partition(".")
    known = [*names.pieces, *names.others]
    if not dot or not rest:
        raise BadRef("PIECE.EDGE, then a hand, a role and a number if need be", "Write for example front.side right lining.")
    if piece_id not in known:
        raise BadRef(f"a piece of this pattern: {listed(known)}", "Name one of these pieces, or add the piece.")
    rest, copy = _copy(rest.strip())
    edge, rest = _edge(piece_id, rest, names)
    hand, rest = _hand(rest)
    ref = EdgeRef(piece_id, edge, hand, rest or "shell", copy)
    if not written and hand is not Hand.CENTRE:
        raise BadRef("no hand, since hands are given for the whole", 'Leave the hand out, or write hands = "as written".')
    return ref


def _copy(rest: str) -> tuple[str, int]:
    match = _COPY.search(rest)
    return (rest[: match.start()].strip(), int(match[1])) if match else (rest, 1)


def _edge(piece: str, rest: str, names: Names) -> tuple[str, str]:
    known = names.edges.get(piece)
    if known is None:
        edge, _, after = rest.partition(" ")
        return edge, after.strip()
    for edge in sorted(known, key=len, reverse=True):
        if rest == edge or rest.startswith(f"{edge} "):
            return edge, rest[len(edge) :].strip()
    raise BadRef(f"an edge of {piece}: {listed(known)}", "Name one of these edges.")


def _hand(rest: str) -> tuple[Hand, str]:
    first, _, after = rest.partition(" ")
    return (Hand(first), after.strip()) if first in set(Hand) else (Hand.CENTRE, rest)


def check_part(ref: EdgeRef, names: Names) -> None:
    """Refuse a reference to a part that the piece is not cut into.

    Raises
    ------
    BadRef
        Saying which parts there are.
    """
    piece = names.pieces.get(ref.piece)
    if piece is None or not piece.cuts:
        return
    cuts = [cut for cut in piece.cuts if cut.role == ref.role]
    if not cuts:
        raise BadRef(f"a role that {piece.id} is cut from: {listed(cut.role for cut in piece.cuts)}", "Write the role last.")
    if all(cut.how is How.PAIR for cut in cuts) and ref.hand is Hand.CENTRE:
        raise BadRef(f"a hand, since {piece.id} is cut as a pair", "Write left or right behind the edge.")
    if all(cut.how is How.SINGLE for cut in cuts) and ref.hand is not Hand.CENTRE:
        raise BadRef(f"no hand, since {piece.id} is cut single", 'Leave the hand out, with hands = "as written" for the whole.')
    most = max(cut.count for cut in cuts)
    if not 1 <= ref.copy <= most:
        raise BadRef(f"a number from 1 to {most}, since {piece.id} is cut so often", "Correct the number.")


Report = Callable[[str, str, str, str], None]
"""Told of a bad reference: place below the table, what was found, expected, remedy."""


def _chain(words: Sequence[str], place: str, names: Names, hands: str, report: Report) -> tuple[EdgeRef, ...] | None:
    refs: list[EdgeRef] = []
    for number, item in enumerate(words, 1):
        try:
            ref = read_ref(item, names, written=hands == "as written")
            for hand in (ref.hand,) if hands == "as written" else BOTH:
                check_part(replace(ref, hand=hand), names)
            refs.append(ref)
        except BadRef as bad:
            report(f"{place}[{number}]", repr(item), bad.expected, bad.remedy)
    return tuple(refs) if len(refs) == len(words) else None


def handed(refs: Sequence[EdgeRef], hand: Hand) -> tuple[EdgeRef, ...]:
    """References with a hand put in."""
    return tuple(replace(ref, hand=hand) for ref in refs)


def expanded_seam(table: SeamTable, tables: Mapping[str, SeamTable], names: Names, report: Report) -> tuple[Seam, ...]:
    """The seams that one table of the file means: one as written, or a right and a left one."""
    a = _chain(table.a, "a", names, table.hands, report)
    b = _chain(table.b, "b", names, table.hands, report)
    if a is None or b is None:
        return ()
    fields: dict[str, Any] = {
        name: getattr(table, name) for name in ("kind", "easing", "ratio", "tolerance", "reverse_b", "take_in")
    }
    if table.hands == "as written":
        return (Seam(table.id, a, b, **fields, after=_after(table, tables, None)),)
    across = table.hands == "across"
    return tuple(
        Seam(
            f"{table.id} {hand.value}",
            handed(a, hand),
            handed(b, hand.other if across else hand),
            **fields,
            after=_after(table, tables, hand),
        )
        for hand in BOTH
    )


def _after(table: SeamTable, tables: Mapping[str, SeamTable], hand: Hand | None) -> tuple[str, ...]:
    found: list[str] = []
    for name in table.after:
        named = tables.get(name)
        if named is None or named.hands == "as written":
            found.append(name)
        else:
            found += [f"{name} {each.value}" for each in BOTH if hand in (None, each)]
    return tuple(found)


def _sided(words: Sequence[str], hands: str, names: Names, report: Report) -> tuple[tuple[str, tuple[EdgeRef, ...]], ...]:
    """Suffixes of ids with the references that belong to each."""
    refs = _chain(words, "edges", names, hands, report)
    if refs is None:
        return ()
    if hands == "each":
        return tuple((f" {hand.value}", handed(refs, hand)) for hand in BOTH)
    if hands == "both":
        return (("", tuple(replace(ref, hand=hand) for hand in BOTH for ref in refs)),)
    return (("", refs),)


def expanded_opening(table: OpeningTable, closures: Sequence[str], names: Names, report: Report) -> tuple[Opening, ...]:
    """The openings that one table means; a closure that is there for each hand is taken for its own hand."""
    made = []
    for suffix, refs in _sided(table.edges, table.hands, names, report):
        own = f"{table.closure}{suffix}"
        made.append(Opening(f"{table.id}{suffix}", refs, own if own in closures else table.closure))
    return tuple(made)


def expanded_closure(table: ClosureTable, names: Names, report: Report) -> tuple[Closure, ...]:
    """The closures that one table means."""
    fields: dict[str, Any] = {
        name: getattr(table, name) for name in ("kind", "count", "overlap", "alone", "parts_under_pull", "at_neck")
    }
    return tuple(
        Closure(id=f"{table.id}{suffix}", edges=refs, **fields)
        for suffix, refs in _sided(table.edges, table.hands, names, report)
    )


def applied_of(table: AppliedTable, names: Names, report: Report) -> Applied:
    """What lies on what; whatever it names that is not there is reported."""
    known = [*names.pieces, *names.others]
    for place in ("piece", "onto"):
        name = getattr(table, place)
        if name not in known:
            report(
                place, repr(name), f"a piece of this pattern: {listed(known)}", "Name one of these pieces, or add the piece."
            )
    onto = names.pieces.get(table.onto)
    lines = sorted({line.id for shape in onto.sizes.values() for line in shape.lines}) if onto else []
    if table.line and onto and onto.sizes and table.line not in lines:
        expected = f"an inner line of {table.onto}: {listed(lines)}"
        report("line", repr(table.line), expected, "Name one of them, or leave it out.")
    roles = [cut.role for cut in onto.cuts] if onto else []
    if roles and table.role not in roles:
        report("role", repr(table.role), f"a role that {table.onto} is cut from: {listed(roles)}", "Write one of these roles.")
    return Applied(table.piece, table.onto, table.line, table.role, table.hand)
