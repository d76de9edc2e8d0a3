"""The amounts at each level of each seam: least squares with fairness, under what must not happen.

In this order, each kept while the next is answered:

1. levels outside their bands come as near to them as they can; what is tight weighs more than what is loose;
2. they come a little inside, because nobody measures and sews to the millimetre;
3. the seams move as little, as evenly and as fairly as they can.

What must not happen: a level that is right becomes wrong, one that is tight becomes tighter or one that is loose looser, an
edge moves further than it can, a seam bends more steeply than cloth is cut.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

import numpy as np

from firsthand.errors import GeometryError
from firsthand.fit.solving._least import Array, least_squares
from firsthand.fit.solving._seams import Movable

__all__ = ["Fair", "Problem", "Solution", "evened", "fair_rows", "hard_rows", "solved"]

TIGHT_WEIGHS = 4.0
"""What stays tight counts for so much more than what stays loose: loose can be taken in at a fitting (our own choice)."""
RIDGE = 1e-3
"""Beside what a level lacks, moving an edge by a millimetre counts for this share of a millimetre."""
GIVE = 0.02
"""What an earlier question settled is kept to this, mm, in the next."""
INSIDE, MOST_INSIDE = 0.25, 10.0
"""A level brought into its band ends this share of the band inside it, at most so many mm: a girth is measured and sewn to
about a centimetre (common practice)."""
STEEPEST = 0.25
"""An edge is moved by at most so much more or less for each mm along the seam: one in four (our own choice)."""
FAIR, EVEN = 0.1, 1.0
"""What bending a seam and what moving two seams of a level unevenly counts for, beside moving them."""
APART = 200.0
"""The distance of two levels at which a bend counts as much as an amount, mm: about that from the waist to the hip."""


@dataclass(frozen=True, slots=True)
class Fair:
    """Which amounts belong together.

    Parameters
    ----------
    costs
        What moving each unknown by a millimetre counts for.
    runs
        For each seam its unknowns in order, each with its place along the seam, mm.
    like
        Pairs of unknowns that should be alike: the same level on two seams.
    moved
        For each unknown how far its edges were moved before, mm; empty for not at all.
    """

    costs: Array
    runs: tuple[tuple[tuple[int, float], ...], ...]
    like: tuple[tuple[int, int], ...] = ()
    moved: tuple[float, ...] = ()

    def difference(self, one: int, two: int) -> float:
        """By how much the edges of an unknown were moved further before than those of another one, mm."""
        return self.moved[two] - self.moved[one] if self.moved else 0.0


@dataclass(frozen=True, slots=True)
class Problem:
    """What is known of each level, a row for each, and of each amount, a column for each.

    Parameters
    ----------
    rates
        How much girth a level loses for each mm by which the edges of an unknown move in.
    ease, start
        Ease as measured, and ease at no amounts on the plane that fits what was tried last, mm.
    low, high
        The bands wanted.
    bad
        Which levels are outside their bands.
    least, most
        The least and the most of each unknown.
    """

    rates: Array
    ease: Array
    start: Array
    low: Array
    high: Array
    bad: Array
    least: Array
    most: Array
    fair: Fair

    def eased(self, amounts: Array) -> Array:
        """The ease that the plane tells for amounts."""
        found: Array = self.start - self.rates @ amounts
        return found

    def outside(self, ease: Array) -> Array:
        """How far each ease is from its band: negative below it, positive above."""
        found: Array = np.minimum(ease - self.low, 0.0) + np.maximum(ease - self.high, 0.0)
        return found


@dataclass(frozen=True, slots=True)
class Solution:
    """The amounts, mm for each edge, and how far each level is from its band with them."""

    amounts: Array
    outside: Array


def solved(problem: Problem) -> Solution:
    """The amounts.

    Raises
    ------
    GeometryError
        If nothing keeps what must be kept.
    """
    g, h = hard_rows(problem)
    wanted = [int(k) for k in np.flatnonzero(problem.bad) if np.abs(problem.rates[k]).max(initial=0.0) > 0]
    low, high = problem.low, problem.high
    margin = np.minimum((high - low) * INSIDE, MOST_INSIDE)
    low, high, _ = _as_near(problem, g, h, wanted, (low, high))
    settled = _settled(problem, wanted, low, high)
    g, h = np.vstack([g, settled[0]]), np.concatenate([h, settled[1]])
    inner = (
        np.where(low < problem.low - GIVE, low, problem.low + margin),
        np.where(high > problem.high + GIVE, high, problem.high - margin),
    )
    low, high, found = _as_near(problem, g, h, wanted, inner)
    settled = _settled(problem, wanted, low, high)
    rows = fair_rows(problem.fair)
    with suppress(GeometryError):  # settled so closely that rounding leaves no room: what was found by then is as near
        found = least_squares(rows, np.zeros(len(rows)), np.vstack([g, settled[0]]), np.concatenate([h, settled[1]]))
    return Solution(found, problem.outside(problem.eased(found)))


def _settled(problem: Problem, wanted: Sequence[int], low: Array, high: Array) -> tuple[Array, Array]:
    """Inequalities that keep levels in their bands."""
    rates, start = problem.rates[wanted], problem.start[wanted]
    right = np.concatenate([low[wanted] - start - GIVE, start - high[wanted] - GIVE])
    return np.vstack([-rates, rates]), right


def _as_near(
    problem: Problem, g: Array, h: Array, wanted: Sequence[int], bands: tuple[Array, Array]
) -> tuple[Array, Array, Array]:
    """Bands widened by as little as they must be for amounts to exist that bring the wanted levels into them; such amounts."""
    n, m = problem.rates.shape[1], len(wanted)
    low, high = bands[0].copy(), bands[1].copy()
    rates, start = problem.rates[wanted], problem.start[wanted]
    lacks, nothing = np.eye(m), np.zeros((m, m))
    rows = [
        np.hstack([g, np.zeros((len(g), 2 * m))]),
        np.hstack([-rates, lacks, nothing]),
        np.hstack([rates, nothing, lacks]),
        np.hstack([np.zeros((2 * m, n)), np.eye(2 * m)]),
    ]
    right = np.concatenate([h, low[wanted] - start, start - high[wanted], np.zeros(2 * m)])
    weights = np.sqrt(np.concatenate([RIDGE**2 * problem.fair.costs, np.full(m, TIGHT_WEIGHS), np.ones(m)]))
    found = least_squares(np.diag(weights), np.zeros(n + 2 * m), np.vstack(rows), right)
    low[wanted] -= found[n : n + m]
    high[wanted] += found[n + m :]
    return low, high, found[:n]


def hard_rows(problem: Problem) -> tuple[Array, Array]:
    """What must be kept, as ``g x >= h``."""
    n = problem.rates.shape[1]
    least = np.minimum(problem.ease, problem.low)
    most = np.maximum(problem.ease, problem.high)
    g = [np.eye(n), -np.eye(n), -problem.rates, problem.rates]
    h = [problem.least, -problem.most, least - problem.start - GIVE, problem.start - most - GIVE]
    for run in problem.fair.runs:
        for (one, a), (two, b) in itertools.pairwise(run):
            step = np.zeros(n)
            step[two], step[one] = 1.0, -1.0
            already = problem.fair.difference(one, two)
            bend = max(STEEPEST * (b - a), abs(already))
            g.append(np.vstack([step, -step]))
            h.append(np.array([-bend - already, already - bend]))
    return np.vstack(g), np.concatenate(h)


def fair_rows(fair: Fair) -> Array:
    """Rows whose squares add up to what amounts count for: their size, their bends, and what is uneven between seams."""
    rows = [np.diag(np.sqrt(fair.costs)), *_bends(fair), *_uneven(fair)]
    return np.vstack(rows)


def _bends(fair: Fair) -> Iterator[Array]:
    """Second differences along each seam, by the distances between its levels."""
    for run in fair.runs:
        for (i, a), (j, b), (k, c) in zip(run, run[1:], run[2:], strict=False):
            row = np.zeros(len(fair.costs))
            row[i] += 1 / (b - a)
            row[j] -= 1 / (b - a) + 1 / (c - b)
            row[k] += 1 / (c - b)
            yield row[None] * np.sqrt(FAIR * fair.costs[j]) * APART**2 / ((c - a) / 2)


def _uneven(fair: Fair) -> Iterator[Array]:
    for i, j in fair.like:
        row = np.zeros(len(fair.costs))
        row[i], row[j] = 1.0, -1.0
        yield row[None] * np.sqrt(EVEN)


def evened(problem: Problem, movable: Sequence[Movable]) -> Problem:
    """The same question with one amount for all edges of all the seams, everywhere."""
    ones = np.ones((problem.rates.shape[1], 1))
    costs = np.array([sum(one.edges * one.cost for one in movable)])
    bounds = np.array([problem.least.max()]), np.array([problem.most.min()])
    fair = Fair(costs, (((0, 0.0),),))
    return replace(problem, rates=problem.rates @ ones, least=bounds[0], most=bounds[1], fair=fair)
