"""What is said of a proposal: its sentence, its working, and why a level cannot be reached."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

import numpy as np

from firsthand.alter import TakeIn
from firsthand.findings import Finding, Severity, kind
from firsthand.fit._ease import lower_first
from firsthand.fit.model import EaseRow, ProposalRow, Verdict
from firsthand.fit.solving._least import Array
from firsthand.fit.solving._seams import Movable
from firsthand.fit.solving._solve import GIVE, STEEPEST, Problem
from firsthand.fit.solving._tried import Column
from firsthand.pattern import Garment
from firsthand.units import said

__all__ = ["findings_of", "reaches", "sentence", "working"]

CONTRADICT = kind(
    "fit-bands-contradict",
    Severity.DOUBT,
    "Two levels cannot both have the ease that is wanted: the seams that reach one reach the other too, or lie so near to it "
    "that the seam would have to bend more steeply than cloth is cut. Offer another seam that crosses only one of them, give "
    "the difference to a dart, or accept another ease at one.",
)
NOT_ENOUGH = kind(
    "fit-seams-not-enough",
    Severity.DOUBT,
    "The seams that may be moved cannot give what a level wants: a piece is cut already and has too little inlay, the seam "
    "would run into something, or no seam crosses the level. Cut the piece again, set in a strip, offer another seam, or take "
    "another size.",
)
FAR = 60.0
"""More than this, mm, is more than the step between two sizes (EN 13402-3: 40 mm, larger sizes 60 mm at the bust)."""
ALSO = 20.0
"""Another size is spoken of where every level asks for at least this, mm: half the step between two sizes."""
SMALL = 0.5
"""Amounts below this, mm of girth, are nothing to speak of."""
SAME = 3.0
"""Amounts that differ by less, mm of girth, are told as one."""
AT = 0.05
"""An edge moved to within this of the most that it can be, mm, is moved as far as it goes."""

NEAR = 0.6
"""A bend within this of the steepest, mm from level to level, is as steep as it may be; amounts are rounded."""


# why a level is not reached -----------------------------------------------------------------------------------------


def reaches(
    movables: Sequence[Movable],
    columns: Sequence[Column],
    problem: Problem,
    amounts: Array,
    rows: Sequence[EaseRow],
    after: Sequence[EaseRow],
) -> dict[str, str]:
    """For each level that stays outside its band why it does."""
    view = _View(movables, columns, problem, amounts, rows)
    return {
        row.level: view.reason(k)
        for k, (row, end) in enumerate(zip(rows, after, strict=True))
        if row.verdict is not Verdict.GOOD and end.verdict is not Verdict.GOOD
    }


class _View:
    """The answer, looked at for what holds a level back."""

    def __init__(
        self,
        movables: Sequence[Movable],
        columns: Sequence[Column],
        problem: Problem,
        amounts: Array,
        rows: Sequence[EaseRow],
    ) -> None:
        self.movables, self.columns, self.problem, self.amounts, self.rows = movables, columns, problem, amounts, rows

    def reason(self, level: int) -> str:
        """Why a level is not brought into its band."""
        reached = [int(n) for n in np.flatnonzero(self.problem.rates[level])]
        if not reached:
            return "no seam that may be moved crosses it"
        wanted = float(self.problem.outside(self.problem.eased(self.amounts))[level])
        wanted = wanted or float(self.problem.outside(self.problem.ease)[level])
        inward = wanted > 0
        for way in (self._beside(level, reached, inward), self._too_far(reached, inward), self._too_steep(reached, inward)):
            if way:
                return way
        held = next((movable.held for n in reached if (movable := self.movables[self.columns[n].movable]).held), "")
        if held:
            return f"{self.movables[self.columns[reached[0]].movable].name} goes no further: {held}"
        return "its seams would have to be moved by less than can be sewn"

    def _too_far(self, reached: Sequence[int], inward: bool) -> str:
        ends = self.problem.most if inward else self.problem.least
        full = [n for n in reached if abs(self.amounts[n] - ends[n]) < AT]
        if not full:
            return ""
        movable = self.movables[self.columns[full[0]].movable]
        verb = "taken in" if inward else "let out"
        why = f": {movable.held}" if movable.held else ""
        return f"{movable.name} can be {verb} by at most {said(abs(round(float(ends[full[0]]), 1)))} on each edge{why}"

    def _beside(self, level: int, reached: Sequence[int], inward: bool) -> str:
        """The level that would be made wrong with it."""
        ease = self.problem.eased(self.amounts)
        for k, row in enumerate(self.rows):
            if k == level or not self.problem.rates[k, reached].any():
                continue
            room = ease[k] - min(self.problem.ease[k], self.problem.low[k])
            if not inward:
                room = max(self.problem.ease[k], self.problem.high[k]) - ease[k]
            bad = self.problem.bad[k] and self._pulls(k, ease) != inward
            if bad or room < 1.0 + GIVE:
                becomes = "tight" if inward else "loose"
                return f"{lower_first(row.name)} lies at the same place of the seam and would become {becomes}"
        return ""

    def _pulls(self, level: int, ease: Array) -> bool:
        return float(self.problem.outside(ease)[level] or self.problem.outside(self.problem.ease)[level]) > 0

    def _too_steep(self, reached: Sequence[int], inward: bool) -> str:
        for run in self.problem.fair.runs:
            for (i, a), (j, b) in itertools.pairwise(run):
                already = self.problem.fair.difference(i, j)
                if abs(self.amounts[j] - self.amounts[i] + already) < STEEPEST * (b - a) - NEAR:
                    continue
                for here, there in ((i, j), (j, i)):
                    more = (self.amounts[j] - self.amounts[i] + already) * (1 if here == j else -1)
                    if here in reached and (more > 0) == inward:
                        return self._steep_words(there, b - a)
        return ""

    def _steep_words(self, there: int, apart: float) -> str:
        column = self.columns[there]
        movable = self.movables[column.movable]
        level = movable.stations[column.station].levels[0]
        name = next((lower_first(row.name) for row in self.rows if row.level == level), level)
        return f"{name} lies only {said(round(apart, 1))} away along {movable.name}, too near for so large a difference"


def findings_of(garment: Garment, rows: Sequence[ProposalRow]) -> tuple[Finding, ...]:
    """What is said of levels that cannot be brought into their bands."""
    found = []
    for row in rows:
        if not row.residual or not row.reach:
            continue
        contradicts = "lies" in row.reach
        made = CONTRADICT if contradicts else NOT_ENOUGH
        state = "tight" if row.residual < 0 else "loose"
        message = f"{lower_first(row.name)} would stay {said(abs(round(row.residual, 1)))} too {state}: {row.reach}"
        why = (
            f"ease {said(round(row.before, 1))}, wanted {said(row.low)} to {said(row.high)}",
            f"nearest that the seams bring it: {said(round(row.after, 1))}",
        )
        found.append(made(message, where=(garment.id, row.level), remedy=_remedy(row, contradicts), why=why))
    return tuple(found)


def _remedy(row: ProposalRow, contradicts: bool) -> str:
    lack = said(abs(round(row.residual, 1)))
    if contradicts:
        accept = f"accept {lack} {'less' if row.residual < 0 else 'more'} ease there"
        return f"Give {lack} to a dart or a seam that crosses only this level, or {accept}."
    if "inlay" in row.reach:
        return f"Set in a strip {lack} wide, or cut the pieces again with that much more."
    if "no seam" in row.reach:
        return "Offer a seam that crosses it (take_in = true in the pattern), or take another size."
    return "Offer another seam that crosses it, or take another size."


# the sentence and the working ------------------------------------------------------------------------------------


def sentence(garment: Garment, taken: Iterable[tuple[int, TakeIn]], rows: Sequence[ProposalRow]) -> str:
    """One sentence: how much at which level, and what that is at each edge."""
    entries = [entry for _, entry in taken]
    if not entries:
        return ""
    moved = [row for row in rows if row.seams]
    amounts = {row.level: round(row.after - row.before, 1) for row in moved}
    ins = [(row, -amounts[row.level]) for row in moved if amounts[row.level] < -SMALL]
    outs = [(row, amounts[row.level]) for row in moved if amounts[row.level] > SMALL]
    doing = [_doing("take in", ins), _doing("let out", outs)]
    still = [lower_first(row.name) for row in moved if abs(amounts[row.level]) <= SMALL]
    parts = [part for part in doing if part] + ([f"nothing at {_listed(still)}"] if still else [])
    head = ", ".join(parts) or "even out the seams"
    seams = "; ".join(_at_edges(garment, entry) for entry in entries)
    return f"{head[:1].upper()}{head[1:]}: {seams}.{_other_size(garment, list(amounts.values()))}"


def _other_size(garment: Garment, amounts: Sequence[float]) -> str:
    """What is said of sizes where all levels go far the same way, and there is a size that way."""
    if not amounts or max(map(abs, amounts)) <= FAR or min(map(abs, amounts)) < ALSO or min(amounts) * max(amounts) < 0:
        return ""
    end = garment.sizes[-1 if amounts[0] > 0 else 0] if garment.sizes else ""
    if end and garment.size == end:
        return ""
    return f" A {'larger' if amounts[0] > 0 else 'smaller'} size would need less."


def _doing(verb: str, rows: Sequence[tuple[ProposalRow, float]]) -> str:
    if not rows:
        return ""
    groups: list[list[tuple[ProposalRow, float]]] = []
    for row, amount in sorted(rows, key=lambda one: -one[1]):
        if groups and groups[-1][0][1] - amount < SAME:
            groups[-1].append((row, amount))
        else:
            groups.append([(row, amount)])
    order = {row.level: k for k, (row, _) in enumerate(rows)}
    told = []
    for group in groups:
        names = [f"the {lower_first(row.name)}" for row, _ in sorted(group, key=lambda one: order[one[0].level])]
        told.append(f"{said(round(sum(amount for _, amount in group) / len(group), 1))} at {_listed(names)}")
    return f"{verb} {_listed(told)}"


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _at_edges(garment: Garment, entry: TakeIn) -> str:
    """What a seam takes on each of its edges."""
    shares = entry.shares(garment)
    single = next(iter(shares.values())) / entry.peak / 2 if entry.peak else 0.0
    name = entry.seams[0]
    if not entry.stations:
        return f"{name} {_moved((entry.amount or 0.0) * single)} on each edge"
    places = ", ".join(f"{_moved(amount * single)} at {place.removeprefix('level ')}" for place, amount in entry.stations)
    return f"{name}, on each edge, {places}"


def _moved(by: float) -> str:
    if abs(by) < 0.01:
        return "nothing"
    return f"{said(round(abs(by), 2))}{'' if by > 0 else ' out'}"


def working(movables: Sequence[Movable], rows: Sequence[ProposalRow]) -> tuple[str, ...]:
    """The working, line by line."""
    lines = []
    for row in rows:
        takes = ", ".join(f"{seam} {_round(amount)}" for seam, amount in row.seams.items()) or "nothing"
        wanted = f"wanted {said(round(row.low, 1))} to {said(round(row.high, 1))}"
        line = (
            f"{lower_first(row.name)}: ease {said(round(row.before, 1))}, {wanted}; {takes}; then {said(round(row.after, 1))}"
        )
        lines.append(line + (f"; {row.reach}" if row.reach else ""))
    moved = {seam for row in rows for seam in row.seams}
    for movable in movables:
        if movable.name in moved and movable.cost > 1:
            lines.append(f"{movable.name} is a centre seam: side seams are moved first (common practice)")
    return tuple(lines) if moved or any(row.reach for row in rows) else ()


def _round(amount: float) -> str:
    """What a seam takes all round."""
    return f"takes {said(round(amount, 1))}" if amount >= 0 else f"gives {said(round(-amount, 1))}"
