"""What is proposed so that the ease is as wanted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import cast

import numpy as np

from firsthand.alter import TakeIn
from firsthand.errors import GeometryError, NotThere
from firsthand.fit._ease import SLACK
from firsthand.fit._entries import Suggested, suggested
from firsthand.fit.model import EaseRow, Proposal, ProposalRow, Verdict
from firsthand.fit.solving._least import Array
from firsthand.fit.solving._said import findings_of, reaches, sentence, working
from firsthand.fit.solving._seams import Movable, movable_seams
from firsthand.fit.solving._solve import Problem, evened, solved
from firsthand.fit.solving._tried import Column, Refused, Table, applied, entries, known_rows, posed
from firsthand.pattern import Garment, stem

__all__ = ["narrowed", "propose"]

WORTH, WORTH_SHARE = 2.0, 0.05
"""Levels that come nearer to their bands by less than this, mm in all, or by less than this share of what they lack, are not
worth a needle (our own choice)."""
TRIES = 12
"""Amounts are tried on the garment and corrected at most so often."""
CLOSE = 0.2
"""A garment that answers as foretold, to this, mm, needs no further try."""
STALLS, ANSWERED = 10.0, 0.6
"""A level asked for more than this, mm of girth, that answers less than this share of it, has run out of the seam."""
RUNS_OUT = "further out its line runs into the armhole or beyond the seam's end"
STEPS = (0.5, 0.25, 0.05, 0.0)
"""Amounts are rounded to the first of these steps, mm at each edge, that leaves them as good."""
AS_GOOD = 0.25
"""Rounding may leave a level this much further from its band, mm."""


def propose(garment: Garment, table: Table, *, keep: Iterable[str] = ()) -> Proposal:
    """Find what to take in or let out so that each level's ease is as wanted.

    Each level whose ease and band are known asks for an amount; each seam that may be moved can give one at each level that
    crosses it. What levels answer is found by trying on the garment itself, and the answer is tried again there. One even
    amount for all seams is preferred where it does for all levels; else the amounts are those that move the least, evenly
    between seams and fairly along them, of all that bring the levels as near to their bands as they can come. No level that is
    right becomes wrong, none that is tight becomes tighter.

    Parameters
    ----------
    garment
        The garment as altered so far.
    table
        Makes its ease table; tried on the garment as it would be.
    keep
        Ids of seams that must not move, or names common to a right and a left one.

    Raises
    ------
    NotThere
        If a seam to be kept is not there.
    """
    kept = tuple(keep)
    _refuse_unknown(garment, kept)
    rows = known_rows(table(garment))
    before = [_row(row) for row in rows]
    if all(row.verdict is Verdict.GOOD for row in rows):
        return Proposal(rows=tuple(before))
    search = _Search(garment, table, rows)
    movables, columns, problem = posed(garment, table, rows, movable_seams(garment, rows, kept))
    found = search.best(movables, columns, problem) if columns else None
    as_far = found.amounts if found is not None else _as_far(problem, len(columns))
    if found is None:
        found = _Found(movables, columns, problem, np.zeros(len(columns)), tuple(rows), ())
    reach = reaches(found.movables, found.columns, found.problem, as_far, rows, found.rows)
    made = _rows(found, rows, reach)
    words = sentence(garment, found.taken, made)
    asked = tuple(suggested(entry, _why(rows)) for _, entry in found.taken)
    why = working(found.movables, made)
    return Proposal(asked, made, words, why, findings_of(garment, made))


def _as_far(problem: Problem, unknowns: int) -> Array:
    """How far seams would go, where that is not worth doing: for what is said of it."""
    try:
        return solved(problem).amounts if unknowns else np.zeros(0)
    except GeometryError:
        return np.zeros(unknowns)


def _refuse_unknown(garment: Garment, keep: Sequence[str]) -> None:
    known = {name for seam in garment.seams for name in (seam.id, stem(seam.id))}
    for name in keep:
        if name not in known:
            raise NotThere("seam", name, sorted(known))


@dataclass(frozen=True, slots=True)
class _Found:
    """An answer: the seams, the amounts at each edge, the ease table with them and what is to be applied."""

    movables: tuple[Movable, ...]
    columns: tuple[Column, ...]
    problem: Problem
    amounts: Array
    rows: tuple[EaseRow, ...]
    taken: tuple[tuple[int, TakeIn], ...]


@dataclass(frozen=True, slots=True)
class _Search:
    """Looks for the answer on the garment itself."""

    garment: Garment
    table: Table
    rows: Sequence[EaseRow]

    def best(self, movables: tuple[Movable, ...], columns: tuple[Column, ...], problem: Problem) -> _Found | None:
        """The even answer if it does as well as any; None if nothing is worth doing."""
        involved = self._involved(movables, columns, problem)
        if not involved:
            return None
        even = self._corrected(movables, columns, problem, only=involved)
        if even is not None and all(row.verdict is Verdict.GOOD for row in even.rows):
            return even
        each = self._corrected(movables, columns, problem)
        return each if each is not None and self._worth(each) else None

    def _involved(self, movables: Sequence[Movable], columns: Sequence[Column], problem: Problem) -> frozenset[int]:
        """The seams that reach a level outside its band; of those the least costly."""
        bad = problem.bad > 0
        reach = {c.movable for n, c in enumerate(columns) if problem.rates[bad, n].any()}
        cheapest = min((movables[k].cost for k in reach), default=0.0)
        return frozenset(k for k in reach if movables[k].cost == cheapest)

    def _worth(self, found: _Found) -> bool:
        lacking = _lacking(self.rows)
        return lacking - _lacking(found.rows) >= max(WORTH, WORTH_SHARE * lacking)

    def _corrected(
        self,
        movables: tuple[Movable, ...],
        columns: tuple[Column, ...],
        problem: Problem,
        *,
        only: frozenset[int] | None = None,
    ) -> _Found | None:
        """The amounts, tried on the garment and corrected by what it answers; None if there are none that are sound.

        Parameters
        ----------
        only
            The seams that take one even amount, by number; None for an amount at each level of each seam.
        """
        for _ in range(TRIES):
            amounts = self._amounts(movables, columns, problem, only)
            if amounts is None:
                return None
            try:
                tried = self._tried(movables, columns, amounts)
            except Refused as refused:
                movables, problem = _held_back(movables, columns, problem, amounts, refused)
                continue
            ease = np.array([row.ease if row.ease is not None else np.nan for row in tried])
            if np.isnan(ease).any():
                return None
            if (short := _stalled(movables, columns, problem, amounts, self._lost(ease))) is not None:
                movables, problem = short
                continue
            off = np.abs(ease - problem.eased(amounts)).max()
            problem = replace(problem, start=ease + problem.rates @ amounts)
            if off < CLOSE:
                break
        else:
            return None
        return self._rounded(movables, columns, problem, amounts)

    def _lost(self, ease: Array) -> Array:
        """By how much each level's girth became smaller, mm."""
        return np.array([row.ease or 0.0 for row in self.rows]) - ease

    def _amounts(
        self, movables: tuple[Movable, ...], columns: tuple[Column, ...], problem: Problem, only: frozenset[int] | None
    ) -> Array | None:
        try:
            if only is None:
                return solved(problem).amounts
            used = np.array([column.movable in only for column in columns])
            part = replace(problem, rates=problem.rates[:, used], least=problem.least[used], most=problem.most[used])
            amounts = np.zeros(len(columns))
            amounts[used] = solved(evened(part, [movables[k] for k in sorted(only)])).amounts[0]
            return amounts
        except GeometryError:
            return None

    def _tried(self, movables: Sequence[Movable], columns: Sequence[Column], amounts: Array) -> tuple[EaseRow, ...]:
        return self._rows_of(applied(self.garment, entries(movables, columns, amounts)))

    def _rows_of(self, garment: Garment) -> tuple[EaseRow, ...]:
        there = {row.level: row for row in self.table(garment)}
        return tuple(there[row.level] for row in self.rows)

    def _rounded(
        self, movables: tuple[Movable, ...], columns: tuple[Column, ...], problem: Problem, amounts: Array
    ) -> _Found | None:
        """The amounts in steps that can be marked, if they do as well; none that makes a level worse."""
        exact = np.abs(problem.outside(problem.eased(amounts)))
        for step in STEPS:
            near = np.clip(np.round(amounts / step) * step, problem.least, problem.most) if step else amounts
            taken = entries(movables, columns, near)
            try:
                rows = self._rows_of(applied(self.garment, taken))
            except Refused:
                continue
            ease = np.array([row.ease if row.ease is not None else np.nan for row in rows])
            if np.isnan(ease).any() or not self._sound(rows):
                continue
            if (np.abs(problem.outside(ease)) <= np.maximum(exact, SLACK - AS_GOOD) + AS_GOOD).all():
                return _Found(movables, columns, problem, near, rows, taken)
        return None

    def _sound(self, after: Sequence[EaseRow]) -> bool:
        """Whether no level is worse than before."""
        return all(_no_worse(one, two) for one, two in zip(self.rows, after, strict=True))


def _no_worse(before: EaseRow, after: EaseRow) -> bool:
    if before.verdict is Verdict.GOOD:
        return after.verdict is Verdict.GOOD
    other = Verdict.LOOSE if before.verdict is Verdict.TIGHT else Verdict.TIGHT
    return after.verdict is not other and abs(_outside(after)) <= abs(_outside(before)) + AS_GOOD


def _outside(row: EaseRow) -> float:
    """How far a level is from its band, mm: negative below it."""
    if row.ease is None or row.band is None:
        return 0.0
    return min(row.ease - row.band.low, 0.0) + max(row.ease - row.band.high, 0.0)


def _lacking(rows: Iterable[EaseRow]) -> float:
    return sum(abs(_outside(row)) for row in rows if row.verdict is not Verdict.GOOD)


def _held_back(
    movables: tuple[Movable, ...], columns: Sequence[Column], problem: Problem, amounts: Array, refused: Refused
) -> tuple[tuple[Movable, ...], Problem]:
    """The question with a seam asked for no more than it can give."""
    least, most = problem.least.copy(), problem.most.copy()
    for n, column in enumerate(columns):
        if column.movable != refused.movable:
            continue
        goes = amounts[n] * min(refused.share, 0.99)
        if amounts[n] > 0:
            most[n] = max(goes, 0.0)
        elif amounts[n] < 0:
            least[n] = min(goes, 0.0)
    at = refused.movable
    held = replace(movables[at], held=_cause(str(refused)))
    return (*movables[:at], held, *movables[at + 1 :]), replace(problem, least=least, most=most)


def _stalled(
    movables: tuple[Movable, ...], columns: Sequence[Column], problem: Problem, amounts: Array, lost: Array
) -> tuple[tuple[Movable, ...], Problem] | None:
    """The question with seams asked for no more at a level than it answers; None where all answer.

    Near the end of a seam the level soon runs out beside it, into the armhole: from there on moving the seam changes nothing.
    """
    told = problem.rates @ amounts
    least, most, held = problem.least.copy(), problem.most.copy(), set()
    for k in map(int, np.flatnonzero(np.abs(told) > STALLS)):
        share = float(lost[k] / told[k])
        if share >= ANSWERED:
            continue
        for n in map(int, np.flatnonzero(problem.rates[k])):
            goes = amounts[n] * max(share, 0.0)
            if amounts[n] > 0:
                most[n] = min(most[n], goes)
            elif amounts[n] < 0:
                least[n] = max(least[n], goes)
            held.add(columns[n].movable)
    if not held:
        return None
    further = tuple(replace(one, held=RUNS_OUT) if k in held else one for k, one in enumerate(movables))
    return further, replace(problem, least=least, most=most)


def _cause(words: str) -> str:
    """Why a seam goes no further, without the amounts that were tried."""
    why = words.partition("; ")[0]
    return why.partition(": ")[2] or why


# what is told ---------------------------------------------------------------------------------------------------


def _row(row: EaseRow) -> ProposalRow:
    ease, band = row.ease or 0.0, row.band
    low, high = (band.low, band.high) if band else (0.0, 0.0)
    return ProposalRow(row.level, row.name, ease, low, high, ease, _outside(row))


def _rows(found: _Found, rows: Sequence[EaseRow], reach: Mapping[str, str]) -> tuple[ProposalRow, ...]:
    made = []
    for k, (row, after) in enumerate(zip(rows, found.rows, strict=True)):
        seams = {
            found.movables[column.movable].name: round(float(found.amounts[n] * found.movables[column.movable].edges), 3)
            for n, column in enumerate(found.columns)
            if found.problem.rates[k, n] and abs(found.amounts[n]) > 1e-6
        }
        left = _outside(after) if after.verdict is not Verdict.GOOD else 0.0
        one = replace(_row(row), after=after.ease or 0.0, residual=left, seams=seams, reach=reach.get(row.level, ""))
        made.append(one)
    return tuple(made)


def _why(rows: Sequence[EaseRow]) -> str:
    outside = [row.name.lower() for row in rows if row.verdict is not Verdict.GOOD]
    return f"for the ease wanted at {', '.join(outside)}"


def narrowed(proposal: Proposal, only: Sequence[str]) -> Proposal:
    """A proposal for some levels or seams only.

    A seam that is named takes all that it was to take; a level that is named is altered as it was to be, and at the other
    levels of those seams nothing is, unless they are named as well. Alterations of other kinds are taken where they are named
    by their id.

    Parameters
    ----------
    only
        Ids or names of levels, names of seams, or ids of what is proposed; empty means all.

    Raises
    ------
    NotThere
        If one of them is none of these.
    """
    if not only:
        return proposal
    wanted = {one.strip().lower() for one in only}
    levels = {row.level: {row.level.lower(), row.name.lower()} for row in proposal.rows}
    named = {level for level, names in levels.items() if names & wanted}
    known = {name for names in levels.values() for name in names}
    kept = []
    for one in (*proposal.alterations, *proposal.others):
        names = {one.id.lower(), *(str(name).lower() for name in cast(tuple[str, ...], one.fields.get("seams", ())))}
        known |= names
        if names & wanted:
            kept.append(one)
        elif named and one in proposal.alterations:
            kept += _at_levels(one, proposal.rows, named)
    for one_name in only:
        if one_name.strip().lower() not in known:
            raise NotThere("level or seam with a proposal", one_name, sorted(known))
    return replace(proposal, alterations=tuple(kept))


def _at_levels(one: Suggested, rows: Sequence[ProposalRow], named: set[str]) -> list[Suggested]:
    seam = cast(tuple[str, ...], one.fields.get("seams", ("",)))[0]
    there = [row.level for row in rows if seam in row.seams]
    stations = cast(tuple[tuple[str, float], ...], one.fields.get("stations", ()))
    if not stations:
        stations = tuple((f"level {level}", cast(float, one.fields.get("amount", 0.0))) for level in there)
    told = tuple((place, amount if place.removeprefix("level ") in named else 0.0) for place, amount in stations)
    if not any(amount for _, amount in told):
        return []
    rest = {name: value for name, value in one.fields.items() if name not in ("amount", "stations")}
    return [replace(one, fields={**rest, "stations": told})]
