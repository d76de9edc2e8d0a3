"""An open lay: the solver's, or our own placer's if the solver fails."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from firsthand.lay._placer import place
from firsthand.lay._problem import MANY, Problem, Solution, placements
from firsthand.lay._solver import Solver, SolverFailed
from firsthand.lay.model import Placement

__all__ = ["Check", "Found", "lay_open", "share_of_time", "shortest"]

PLAIN = 0.15
"""Share of the time in which our own placer may try plain orders beside the solver."""


_EACH = 0.004
"""What settling and checking take for each shape, s; in less time than that the solver is not worth starting."""

Check = Callable[[Sequence[Placement], float], bool]
"""Whether placements and the length they take make a sound lay."""


@dataclass(frozen=True, slots=True)
class Found:
    """What an engine came to."""

    length: float
    placements: tuple[Placement, ...]
    engine: str
    sound: bool


def share_of_time(problem: Problem, seconds: float) -> float:
    """What is left for the solver when settling and checking have had theirs, s."""
    return max(0.3 * seconds, seconds - 0.25 - _EACH * problem.count)


def lay_open(problem: Problem, *, seconds: float, seed: int, workers: int, check: Check) -> Found:
    """The shortest sound lay found in the time.

    While the solver runs our own placer tries its plain orders: on panels that fill the width exactly it is the better.
    """
    if not problem.kinds:
        return Found(0.0, (), "", True)
    if problem.count > MANY and seconds < _EACH * problem.count:
        return shortest(None, place(problem, seconds=seconds, seed=seed, orders=3), problem, check)
    with Solver(problem, seconds=share_of_time(problem, seconds), seed=seed, processes=workers) as solver:
        plain = place(problem, seconds=PLAIN * seconds, seed=seed, orders=3)
        while solver.running:
            solver.wait(0.2)
        return shortest(solver, plain, problem, check)


def shortest(solver: Solver | None, plain: Solution, problem: Problem, check: Check) -> Found:
    """The better of the solver's lay, if it came to one, and the one at hand."""

    def found(solution: Solution, engine: str) -> Found:
        placed = placements(problem, solution)
        return Found(solution.length, placed, engine, check(placed, solution.length))

    candidates = [found(plain, "placer")]
    with contextlib.suppress(SolverFailed):
        if solver is not None:
            best = solver.gather(lambda one: check(placements(problem, one), one.length))
            candidates.append(found(best, "solver"))
    return min(candidates, key=lambda one: (not one.sound, one.length))
