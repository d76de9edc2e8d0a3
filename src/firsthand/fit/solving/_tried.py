"""Amounts tried on the real garment: what levels answer, and how far seams can go."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from firsthand.alter import TakeIn
from firsthand.errors import CannotAlter, FirsthandError
from firsthand.fit.model import EaseRow, Verdict
from firsthand.fit.solving._least import Array
from firsthand.fit.solving._seams import CENTRE_COSTS, Movable
from firsthand.fit.solving._solve import Fair, Problem
from firsthand.pattern import Garment

__all__ = ["Column", "Refused", "Table", "applied", "entries", "known_rows", "posed"]

PROBE = 2.0
"""Each seam's answer is found by moving its edges by this much, mm; if that does not go, the other way."""
ANSWERS = 0.02
"""A level that answers less than this share of what a seam takes is not reached by it."""
ALIKE = 0.05
"""Amounts that differ by less, mm of girth, are one amount."""

Table = Callable[[Garment], tuple[EaseRow, ...]]


@dataclass(frozen=True, slots=True)
class Column:
    """One unknown: a station of a movable seam, both by number."""

    movable: int
    station: int


class Refused(CannotAlter):
    """A seam cannot go so far.

    Parameters
    ----------
    movable
        Its number.
    share
        How much of what was asked of it goes.
    """

    def __init__(self, movable: int, share: float, words: str) -> None:
        super().__init__(words)
        self.movable, self.share = movable, share


def known_rows(rows: Iterable[EaseRow]) -> list[EaseRow]:
    """The levels whose ease and band are known."""
    return [row for row in rows if row.ease is not None and row.band is not None]


def entries(movables: Sequence[Movable], columns: Sequence[Column], amounts: Array) -> tuple[tuple[int, TakeIn], ...]:
    """For each seam that moves what is taken in there."""
    made = []
    for k, movable in enumerate(movables):
        takes = [
            (f"level {movable.stations[column.station].levels[0]}", round(float(amount) * movable.edges, 6) + 0.0)
            for column, amount in zip(columns, amounts, strict=True)
            if column.movable == k
        ]
        if all(abs(amount) < ALIKE for _, amount in takes):
            continue
        if max(amount for _, amount in takes) - min(amount for _, amount in takes) < ALIKE:
            made.append((k, TakeIn(takes[0][1], seams=movable.seams, id=f"fit {movable.name}")))
        else:
            made.append((k, TakeIn(seams=movable.seams, stations=tuple(takes), id=f"fit {movable.name}")))
    return tuple(made)


def applied(garment: Garment, taken: Iterable[tuple[int, TakeIn]]) -> Garment:
    """The garment with seams taken in.

    Raises
    ------
    Refused
        If one cannot go so far.
    """
    for k, entry in taken:
        try:
            garment = entry.apply(garment).garment
        except FirsthandError as error:
            raise Refused(k, _share(garment, entry), str(error)) from error
    return garment


def _share(garment: Garment, entry: TakeIn) -> float:
    try:
        return abs(entry.most(garment) / entry.peak) if entry.peak else 0.0
    except FirsthandError:
        return 0.0


def posed(
    garment: Garment, table: Table, rows: Sequence[EaseRow], movables: Sequence[Movable]
) -> tuple[tuple[Movable, ...], tuple[Column, ...], Problem]:
    """The question for the solver: the seams that answer, and how each level answers each amount."""
    answering: list[Movable] = []
    columns: list[Column] = []
    answers: list[Array] = []
    for movable in movables:
        answer = _answer(garment, table, rows, movable)
        used = [k for k, station in enumerate(movable.stations) if answer is not None and answer[:, k].any()]
        if answer is None or not used:
            continue
        answering.append(replace(movable, stations=tuple(movable.stations[k] for k in used)))
        columns += [Column(len(answering) - 1, k) for k in range(len(used))]
        answers += [answer[:, k] for k in used]
    ease = np.array([row.ease for row in rows], dtype=float)
    rates = np.column_stack(answers) if answers else np.zeros((len(rows), 0))
    bands = [row.band for row in rows if row.band is not None]
    bad = np.array([row.verdict in (Verdict.TIGHT, Verdict.LOOSE) for row in rows], dtype=float)
    least, most = (np.array([getattr(answering[column.movable], end) for column in columns]) for end in ("least", "most"))
    low, high = (np.array([getattr(band, end) for band in bands], dtype=float) for end in ("low", "high"))
    problem = Problem(rates, ease, ease, low, high, bad, least, most, _fair(answering, columns))
    return tuple(answering), tuple(columns), problem


def _answer(garment: Garment, table: Table, rows: Sequence[EaseRow], movable: Movable) -> Array | None:
    """How much girth each level loses for each mm at each station; None if the seam cannot be moved at all.

    All stations are moved together: a level answers the amount where it crosses the seam, and hardly any other.
    """
    for probe in (PROBE, -PROBE):
        try:
            after = table(TakeIn(probe * movable.edges, seams=movable.seams).apply(garment).garment)
        except FirsthandError:
            continue
        girths = {row.level: row.finished for row in after}
        answer = np.zeros((len(rows), len(movable.stations)))
        for k, row in enumerate(rows):
            girth = girths.get(row.level)
            if row.finished is None or girth is None:
                continue
            rate = (row.finished - girth) / probe
            here = [n for n, station in enumerate(movable.stations) if row.level in station.levels]
            if abs(rate) > ANSWERS * movable.edges and here:
                answer[k, here[0]] = rate
        return answer
    return None


def _fair(movables: Sequence[Movable], columns: Sequence[Column]) -> Fair:
    costs = np.array([movables[column.movable].edges * movables[column.movable].cost for column in columns])
    runs = tuple(
        tuple((n, movables[k].stations[column.station].at) for n, column in enumerate(columns) if column.movable == k)
        for k in range(len(movables))
    )
    like = tuple(
        (i, j)
        for i, one in enumerate(columns)
        for j, two in enumerate(columns[:i])
        if one.movable != two.movable and _alike(movables, one, two)
    )
    moved = tuple(movables[column.movable].stations[column.station].moved for column in columns)
    return Fair(costs, runs, like, moved)


def _alike(movables: Sequence[Movable], one: Column, two: Column) -> bool:
    """Whether two amounts are at the same level, at two seams of which none is a centre seam."""
    a, b = movables[one.movable], movables[two.movable]
    shared = {*a.stations[one.station].levels} & {*b.stations[two.station].levels}
    return bool(shared) and CENTRE_COSTS not in (a.cost, b.cost)
