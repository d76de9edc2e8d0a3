"""Taking one fitting into a garment."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from firsthand.alter import Alteration, apply_stack
from firsthand.draft import Draft, add_drafting
from firsthand.errors import FirsthandError, GeometryError
from firsthand.findings import Finding
from firsthand.fit._entries import FittedEntry, alteration_of
from firsthand.fit._fitted import ChalkLine, EaseChange, Fitted, Fitting, FittingPoint, PointSort
from firsthand.fit.fitting._consequences import consequences, lengths_changed, short_findings, steps_of
from firsthand.fit.fitting._findings import ABRUPT, CONTRADICTORY, NOT_TAKEN, UNCUT
from firsthand.fit.fitting._lines import Line, chalked, dart_entries, edge_line, resolved_seam, seam_line
from firsthand.fit.fitting._stations import Contradiction, Group, by_hand, steepest
from firsthand.pattern import Garment, PartState
from firsthand.units import said

if TYPE_CHECKING:
    from firsthand.fit.model import EaseRow

__all__ = ["alterations_of", "ease_changes", "fitted"]

Table = Callable[[Garment], Sequence["EaseRow"]]
ABRUPT_AT = 0.25
"""A line that changes by more than this for each mm along it shows (common practice)."""


def alterations_of(done: Fitted) -> tuple[Alteration, ...]:
    """The alterations that carry what a fitting found, in order, as they stand in a stack."""
    return tuple(map(alteration_of, done.entries))


def fitted(
    garment: Garment, fitting: Fitting, *, table: Table | None = None, drafts: Iterable[Draft] = ()
) -> tuple[Garment, Fitted]:
    """Take a fitting into a garment.

    The few places that were noted become a smooth new stitching line: between two of them the amount runs monotone and without
    overshoot (as a piecewise cubic after F. N. Fritsch and J. Butland, 1984), and where it runs to nothing it runs into the old
    line in its direction. It is carried by alterations as any other, so that all that follows an edge follows it.

    Parameters
    ----------
    garment
        As it was for the fitting: altered and taken in, without drafted pieces, its parts in the states that they are in.
    fitting
        What was noted. What it tells of other garments is left alone.
    table
        Gives the ease table of a garment; without it the ease is not told.
    drafts
        Pieces that are drafted afterwards and follow.

    Returns
    -------
    Garment
        After the fitting.
    Fitted
        Its alterations, new stitching lines, what it means for each part, and what was noticed.
    """
    work = list(drafts)
    found: list[Finding] = []
    entries: list[FittedEntry] = []
    lines: list[ChalkLine] = []
    late: list[str] = []
    darts: dict[str, list[str]] = {}
    after = garment
    for group, error in _groups(garment, fitting.of(garment.id)):
        if error is not None:
            found.append(_refused(garment, fitting, group, error))
            continue
        try:
            if group.sort is PointSort.DART:
                after = _dart(after, group, fitting, entries, darts)
                continue
            line = _line(after, group, fitting)
            stack = apply_stack(after, map(alteration_of, line.entries), compare=False)
            if stack.findings and len(stack.records) < len(line.entries):
                found += [_refusal(garment, fitting, group, one) for one in stack.findings]
                continue
        except FirsthandError as wrong:
            found.append(_refused(garment, fitting, group, wrong))
            continue
        after = stack.garment
        found += [*stack.findings, *_abrupt(garment, line)]
        entries += line.entries
        lines.append(chalked(line, after))
        late += [group.name] if any(point.trimmed for point in group.points) else []
    was, now = _completed(garment, work), _completed(after, work)
    parts = consequences(was, now, lines, late, darts)
    lengths = lengths_changed(was, now)
    found += [*short_findings(now, lines, late), *_uncut(garment, fitting, lines)]
    done = Fitted(
        garment=garment.id,
        fitting=fitting,
        entries=tuple(entries),
        lines=tuple(lines),
        consequences=parts,
        lengths=lengths,
        ease=ease_changes(table(was), table(now)) if table else (),
        steps=steps_of(fitting, lines, parts, lengths),
        findings=tuple(found),
    )
    return after, done


Grouped = tuple[Group, FirsthandError | None]


def _groups(garment: Garment, points: Sequence[FittingPoint]) -> Iterator[Grouped]:
    """What was noted, line by line and by hand; with the error where it cannot be."""
    lines: dict[tuple[bool, str], list[FittingPoint]] = {}
    for point in points:
        on_seam = point.sort in (PointSort.PIN, PointSort.SEWN)
        try:
            _refuse_nonsense(point)
            line, hand = resolved_seam(garment, point.line, point.hand) if on_seam else (point.line, point.hand)
        except FirsthandError as error:
            yield Group(point.line, point.hand, (point,)), error
            continue
        lines.setdefault((on_seam, line), []).append(replace(point, line=line, hand=hand))
    for (_, line), found in lines.items():
        try:
            groups = by_hand(line, found)
        except Contradiction as error:
            yield Group(line, "", tuple(found)), error
            continue
        yield from ((group, None) for group in groups)


MOST = 300.0
"""A fitting changes a line by less, mm (common practice)."""


def _refuse_nonsense(point: FittingPoint) -> None:
    if not abs(point.amount) <= MOST:
        raise GeometryError(f"{point.amount:g} mm is more than {said(MOST)}: a fitting changes a line by less")
    if not 0 <= point.share <= 1:
        raise GeometryError(f"the first side takes a share from 0 to 1, not {point.share:g}")
    if point.hand not in ("", "left", "right"):
        raise GeometryError(f"a hand is left, right, or not told, not {point.hand!r}")


def _dart(garment: Garment, group: Group, fitting: Fitting, entries: list[FittedEntry], darts: dict[str, list[str]]) -> Garment:
    """The garment with a dart taken deeper or let out; what was done is added to the lists."""
    piece, made = dart_entries(garment, group, fitting)
    for entry in made:
        garment = alteration_of(entry).apply(garment).garment
    entries += made
    amount = group.points[0].amount
    way = "further out" if amount >= 0 else "further in"
    darts.setdefault(piece, []).append(
        f"{group.name}: each leg {said(abs(amount) / 2)} {way} at the mouth, to nothing at its point"
    )
    return garment


def _line(garment: Garment, group: Group, fitting: Fitting) -> Line:
    if group.sort in (PointSort.PIN, PointSort.SEWN):
        return seam_line(garment, group, fitting)
    return edge_line(garment, group, fitting)


def _refused(garment: Garment, fitting: Fitting, group: Group, error: FirsthandError) -> Finding:
    what = CONTRADICTORY if isinstance(error, Contradiction) else NOT_TAKEN
    return what(
        f"fitting {fitting.id}, {group.name}: {error}",
        where=(garment.id, fitting.id, group.name),
        remedy=error.remedy or "Correct it in the fitting's file.",
    )


def _refusal(garment: Garment, fitting: Fitting, group: Group, finding: Finding) -> Finding:
    return NOT_TAKEN(
        f"fitting {fitting.id}, {group.name}: {finding.message.removeprefix(f'fitting {fitting.id} {group.name}: ')}",
        where=(garment.id, fitting.id, group.name),
        remedy=finding.remedy,
        why=finding.why,
    )


def _abrupt(garment: Garment, line: Line) -> Iterator[Finding]:
    by, within = steepest(line.placed)
    if by > ABRUPT_AT * within:
        yield ABRUPT(
            f"{line.group.name} changes by {said(by)} within {said(within)}: that shows as a bump",
            where=(garment.id, line.group.name),
            remedy="Run it out over at least four times the amount, or let it stay the same to the end (to_end = true).",
            why=tuple(f"{one.words}: {said(one.each)} at {said(one.at)} from the start" for one in line.placed),
        )


def _uncut(garment: Garment, fitting: Fitting, lines: Sequence[ChalkLine]) -> Iterator[Finding]:
    if not lines or any(part.state in (PartState.CUT, PartState.SEWN) for part in garment.parts):
        return
    yield UNCUT(
        f"nothing of {garment.name or garment.id} is cut by what its file says: the fitting {fitting.id} is one of a toile, "
        "and every part follows it",
        where=(garment.id, fitting.id),
        remedy=f"If it is cut, say so: firsthand state COSTUME {garment.id} --cut.",
    )


def _completed(garment: Garment, drafts: Iterable[Draft]) -> Garment:
    """With its drafted pieces, as far as they can be drafted: the fit says which cannot."""
    for draft in drafts:
        try:
            garment = add_drafting(garment, draft.draft(garment))
        except FirsthandError:
            continue
    return garment


def ease_changes(before: Iterable[EaseRow], after: Iterable[EaseRow]) -> tuple[EaseChange, ...]:
    """Ease at each level before and after, from two ease tables."""
    return tuple(_ease(before, after))


def _ease(before: Iterable[EaseRow], after: Iterable[EaseRow]) -> Iterator[EaseChange]:
    was: Mapping[str, EaseRow] = {row.level: row for row in before}
    for row in after:
        old, band = was.get(row.level, row), row.band
        low, high = (band.low, band.high) if band else (None, None)
        yield EaseChange(row.level, row.name or row.level, old.ease, row.ease, low, high, row.verdict.value)
