"""What a fitting means for each part, by how far it is, and what to do in which order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from firsthand.errors import FirsthandError
from firsthand.findings import Finding
from firsthand.fit._fitted import ChalkLine, ChalkSide, Consequence, Fitting, LengthChange, Outcome, PointSort
from firsthand.fit.fitting._findings import INLAY_SHORT, TOO_LATE
from firsthand.pattern import EdgeRef, Garment, Hand, Part, PartState, Piece, find_part, sewn_length, single_seams, walk_seam
from firsthand.units import said

__all__ = ["consequences", "grouped", "lengths_changed", "short_findings", "steps_of"]

LEAST_ALLOWANCE = 6.0
"""Least allowance that a seam can be sewn and pressed with, mm (common practice: a quarter of an inch)."""
MOVED, LONGER = 0.05, 1.0
"""Less than this an edge did not move, and a seam is no longer, mm."""
BEYOND = 20.0
"""A seam is unpicked this far beyond what changes, mm."""
UNCUT = (PartState.PLANNED, PartState.HELD_BACK)


def consequences(
    before: Garment,
    after: Garment,
    lines: Sequence[ChalkLine],
    trimmed: Iterable[str],
    darts: Mapping[str, Sequence[str]] | None = None,
) -> tuple[Consequence, ...]:
    """What the lines mean for each part of the garment.

    Parameters
    ----------
    before, after
        The garment with its drafted pieces, before and after the fitting.
    trimmed
        Names of lines whose allowances are trimmed already.
    darts
        What becomes of darts, in words, by piece.
    """
    sides: dict[str, list[tuple[ChalkLine, ChalkSide]]] = {}
    for line in lines:
        for side in line.sides:
            for name in (side.piece, *(_other_hand(after, side.piece) if not line.hand else ())):
                sides.setdefault(name, []).append((line, side))
    late = set(trimmed)
    found = []
    for part in after.parts:
        own = [(line, side) for line, side in sides.get(part.piece, []) if _is_on(after, part, line, side)]
        found += [_dart(part, words) for words in (darts or {}).get(part.piece, ())]
        if own:
            found.append(_moved(after, part, own, late))
        elif part.piece not in {*sides, *(darts or {})} and (words := _changed(before, after, part.piece)):
            found.append(_other(after, part, words))
    return tuple(found)


def _other_hand(garment: Garment, piece: str) -> tuple[str, ...]:
    """The piece of the other hand, where each hand has one of its own: a line on both hands is told of one of them only."""
    stem, _, hand = piece.rpartition(" ")
    twin = f"{stem} {Hand(hand).other.value}" if hand in ("left", "right") else ""
    return (twin,) if twin in garment.pieces else ()


def grouped(parts: Sequence[Consequence]) -> tuple[tuple[str, Consequence], ...]:
    """Parts for which the same is to be done told together: each piece by its name alone where all its parts are among them.

    Returns
    -------
    tuple
        What they are called together, and the first of them.
    """
    groups: dict[tuple[PartState, Outcome, str], list[Consequence]] = {}
    for one in parts:
        groups.setdefault((one.state, one.outcome, one.words), []).append(one)
    counts = Counter(one.piece for one in parts)
    return tuple((_named(same, counts), same[0]) for same in groups.values())


def _named(same: Sequence[Consequence], counts: Mapping[str, int]) -> str:
    here = Counter(one.piece for one in same)
    names = [
        (one.piece if counts[one.piece] > 1 else one.part) if here[one.piece] == counts[one.piece] else one.part for one in same
    ]
    return ", ".join(dict.fromkeys(names))


def _dart(part: Part, words: str) -> Consequence:
    outcome, told = {
        PartState.CUT: (Outcome.RETRIM, "mark the new legs; the cloth stays as it is cut"),
        PartState.SEWN: (Outcome.UNPICK, "mark the new legs, open what crosses its mouth, unpick it, sew it again, press"),
    }.get(part.state, (Outcome.FOLLOWS, "not cut yet, it follows"))
    return Consequence(_called(part), part.piece, part.hand, part.state, outcome, f"{words}: {told}")


def _is_on(garment: Garment, part: Part, line: ChalkLine, side: ChalkSide) -> bool:
    """Whether a part has this line: those of one hand only where the line is on one hand."""
    del garment
    return not line.hand or part.hand.value in (line.hand, "centre") or part.piece == side.piece


def _moved(garment: Garment, part: Part, own: Sequence[tuple[ChalkLine, ChalkSide]], late: set[str]) -> Consequence:
    outcome, words = Outcome.FOLLOWS, []
    for line, side in own:
        one, told = _one_line(part.state, line, side, line.name in late)
        outcome = max(outcome, one, key=_ORDER.index)
        words.append(told)
    return Consequence(_called(part), part.piece, part.hand, part.state, outcome, "; ".join(dict.fromkeys(words)))


def _called(part: Part) -> str:
    """Its id, the hand not twice where it has a piece of its own."""
    return part.id.replace(f" {part.hand.value} {part.hand.value} ", f" {part.hand.value} ")


_ORDER = [Outcome.FOLLOWS, Outcome.RETRIM, Outcome.LET_OUT, Outcome.UNPICK, Outcome.RECUT, Outcome.TOO_LATE]


def _one_line(state: PartState, line: ChalkLine, side: ChalkSide, late: bool) -> tuple[Outcome, str]:
    if state in UNCUT:
        return Outcome.FOLLOWS, f"{line.name}: not cut yet, it follows: cut it to the new line"
    short = side.most_out - (0.0 if late else side.inlay)
    if side.most_out > MOVED and short > MOVED:
        if state is PartState.SEWN or late:
            return Outcome.TOO_LATE, f"{line.name}: {said(short)} short of cloth: piece on, or cut it again"
        return Outcome.RECUT, f"{line.name}: {said(short)} short of cloth: piece on, or cut it again"
    trim = _trim_words(side)
    if state is PartState.SEWN:
        start, end = max(0.0, line.starts - BEYOND), min(line.length, line.ends + BEYOND)
        return Outcome.UNPICK, f"{line.name}: unpick {said(end - start)} of it, sew the new line, {trim}"
    if side.most_out > MOVED:
        return Outcome.LET_OUT, f"{line.name}: the inlay holds it, chalk the new line; {trim}"
    return Outcome.RETRIM, f"{line.name}: chalk the new line along the strip; {trim}"


def _trim_words(side: ChalkSide) -> str:
    if side.most_in <= MOVED:
        return "trim nothing"
    keep = f"trim to {said(side.allowance)} beyond the new line"
    inlay = f" (or keep the inlay of {said(side.inlay)} until the last fitting)" if side.inlay else ""
    return f"{keep}, up to {said(side.most_in)} comes off{inlay}"


def _changed(before: Garment, after: Garment, name: str) -> str:
    """By which lengths a piece without a line of its own is another one now; empty if it is not."""
    was, now = before.pieces.get(name), after.pieces.get(name)
    if was is None or now is None or was.shape is None or now.shape is None:
        return ""
    lengths = [(edge.id, *_both(was, now, edge.id)) for edge in now.shape.edges]
    changed = [(edge, one, two) for edge, one, two in lengths if abs(one - two) > LONGER]
    return ", ".join(f"{edge} {said(one)} before, {said(two)} now" for edge, one, two in changed[:2])


def _both(was: Piece, now: Piece, edge: str) -> tuple[float, float]:
    new = sewn_length(now.drawn_shape, edge)
    return (sewn_length(was.drawn_shape, edge) if any(one.id == edge for one in was.drawn_shape.edges) else new), new


def _other(garment: Garment, part: Part, words: str) -> Consequence:
    outcome, told = {
        PartState.CUT: (Outcome.RECUT, "cut already: trim it to the new piece if it became smaller, or cut it again"),
        PartState.SEWN: (Outcome.UNPICK, "sewn already: unpick it, fit it to the new length, or cut it again"),
    }.get(part.state, (Outcome.FOLLOWS, "not cut yet, it follows"))
    return Consequence(_called(part), part.piece, part.hand, part.state, outcome, f"{words}: {told}")


def short_findings(garment: Garment, lines: Sequence[ChalkLine], trimmed: Iterable[str]) -> Iterator[Finding]:
    """Where cloth that is cut does not reach, and what would make it possible."""
    late = set(trimmed)
    for line in lines:
        for side in line.sides:
            if side.most_out <= MOVED or not _any_cut(garment, line, side):
                continue
            worst, inlay = side.worst, 0.0 if line.name in late else side.inlay
            short = side.most_out - inlay
            if short <= MOVED:
                continue
            where = (garment.id, side.piece, line.name)
            if line.name in late:
                yield TOO_LATE(
                    f"{line.name} is let out by {said(side.most_out)} at {worst.words}, and its allowances are trimmed",
                    where=where, remedy="Set a strip or gusset in, let another seam out, or cut the part again.",
                )  # fmt: skip
                continue
            yield INLAY_SHORT(
                f"{line.name}: lets out {said(side.most_out)} at {worst.words} of {side.piece}, the inlay is {said(inlay)}: "
                f"{said(short)} short",
                where=where,
                remedy=_ways(garment, line, side, short),
                why=(
                    f"new line {said(side.most_out)} outside the old one",
                    f"inlay {said(inlay)}, allowance {said(side.allowance)}",
                    f"with {said(LEAST_ALLOWANCE)} of allowance left there would be {said(_spare(side))} more",
                ),
            )


def _spare(side: ChalkSide) -> float:
    return max(0.0, side.allowance - LEAST_ALLOWANCE)


def _ways(garment: Garment, line: ChalkLine, side: ChalkSide, short: float) -> str:
    ways = []
    if short <= _spare(side):
        ways.append(f"sew it with an allowance of {said(side.allowance - short)}")
    own = {(one.piece, one.edge) for one in line.sides}
    free = [(name, seam) for name, seam in single_seams(garment) if seam.take_in]
    others = [name for name, seam in free if not own & {(ref.piece, ref.edge) for ref in (*seam.a, *seam.b)}]
    ways.append(f"let out {others[0] if others else 'another seam'} by {said(short)}")
    ways.append("piece on a strip or gusset")
    ways.append("cut it again")
    text = ", ".join(ways[:-1]) + f", or {ways[-1]}."
    return text[0].upper() + text[1:]


def _any_cut(garment: Garment, line: ChalkLine, side: ChalkSide) -> bool:
    return any(part.state not in UNCUT for part in garment.parts_of(side.piece) if _is_on(garment, part, line, side))


# lengths ------------------------------------------------------------------------------------------------------


def lengths_changed(before: Garment, after: Garment) -> tuple[LengthChange, ...]:
    """Seams of which a side has another length after the fitting."""
    was = {seam.id: lengths for seam in before.seams if (lengths := _lengths(before, seam.id))}
    found = []
    for seam in after.seams:
        now, old = _lengths(after, seam.id), was.get(seam.id)
        if now is None or old is None or max(abs(now[0] - old[0]), abs(now[1] - old[1])) <= LONGER:
            continue
        words = _length_words(after, (seam.a, now[0] - old[0]), (seam.b, now[1] - old[1]))
        found.append(LengthChange(seam.id, old[0], now[0], old[1], now[1], words))
    return tuple(found)


def _lengths(garment: Garment, name: str) -> tuple[float, float] | None:
    try:
        walk = walk_seam(garment, next(seam for seam in garment.seams if seam.id == name))
    except FirsthandError:  # the check of the garment says what is wrong with it
        return None
    return walk.a_length, walk.b_length


Side = tuple[tuple[EdgeRef, ...], float]


def _length_words(garment: Garment, *sides: Side) -> str:
    words = []
    for refs, by in sides:
        states = {part.state for ref in refs if (part := find_part(garment, ref)) is not None}
        pieces = ", ".join(dict.fromkeys(ref.piece for ref in refs))
        if abs(by) <= LONGER:
            words.append(f"{pieces} stays")
        elif states <= set(UNCUT):
            words.append(f"{pieces} is not cut yet and gets the new length")
        else:
            words.append(f"{pieces} changes with its new line")
    return "; ".join(dict.fromkeys(words))


# what to do ---------------------------------------------------------------------------------------------------


def steps_of(
    fitting: Fitting, lines: Sequence[ChalkLine], parts: Sequence[Consequence], lengths: Sequence[LengthChange]
) -> tuple[str, ...]:
    """What to do, in order."""
    sewn = {one.piece for one in parts if one.state is PartState.SEWN}
    cloth = sewn | {one.piece for one in parts if one.state is PartState.CUT}
    there = [line for line in lines if any(side.piece in cloth for side in line.sides)]
    on_cloth = _on_cloth(fitting, there, sewn) if there else ()
    return (*on_cloth, *_uncut(parts), *_printed(lengths))


def _on_cloth(fitting: Fitting, lines: Sequence[ChalkLine], sewn: set[str]) -> Iterator[str]:
    if any(point.sort is PointSort.PIN for point in fitting.points):
        yield "Thread-mark or chalk along the pins, then take every pin out and count them."
    names = ", ".join(line.name for line in lines)
    yield f"Cut the chalk strips out ({names}); lay the straight edge on the old stitching line and chalk the new one."
    for line in lines:
        if any(side.piece in sewn for side in line.sides):
            yield from _unpicked(line)
    yield "Baste the new lines and try it on once more, sitting and reaching too: pins open and scratch, basting does not."
    yield (
        "Stitch the new lines, running into the old stitching without a step; press as sewn, then open. Try the iron on a "
        "remnant, and mind your fingers and the steam."
    )
    yield f"Trim last: {'; '.join(f'{line.name}, {_trim_words(line.sides[0])}' for line in lines)}."


def _unpicked(line: ChalkLine) -> Iterator[str]:
    if line.crossing:
        crossing = ", ".join(line.crossing)
        yield f"{line.name}: first open {crossing} for about {said(2 * BEYOND)} on both sides of the seam."
    start, end = max(0.0, line.starts - BEYOND), min(line.length, line.ends + BEYOND)
    yield (
        f"{line.name}: baste the new line; when it is right unpick the old one from {said(start)} to {said(end)} of the seam’s "
        f"{said(line.length)}, counted from {line.start_name}, and fasten the ends."
    )


def _uncut(parts: Sequence[Consequence]) -> Iterator[str]:
    for names, one in grouped([one for one in parts if one.outcome is Outcome.FOLLOWS]):
        yield f"{names[0].upper()}{names[1:]}: {one.words}."


def _printed(lengths: Sequence[LengthChange]) -> Iterator[str]:
    moved = [one.seam for one in lengths if "new length" in one.words]
    if moved:
        yield f"Print again the pieces that get a new length ({', '.join(moved)}), and throw the old prints away."
