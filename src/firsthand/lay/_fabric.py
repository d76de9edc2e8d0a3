"""Everything that is cut from one fabric, laid both ways."""

from __future__ import annotations

import contextlib
import math
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from firsthand.errors import BadInput
from firsthand.errors import Problem as Wrong
from firsthand.fabric import Fabric
from firsthand.findings import Block, Finding
from firsthand.lay._items import collect, refused
from firsthand.lay._open import PLAIN, Found, share_of_time, shortest
from firsthand.lay._placer import ENOUGH, place
from firsthand.lay._problem import Problem, Refused, Solution, make_problem
from firsthand.lay._solver import Solver
from firsthand.lay._tell import enough, fold_not_laid, fold_too_narrow, too_wide, unsound
from firsthand.lay._verify import usable, verify
from firsthand.lay.model import FabricLays, Lay, LayItem, Placement, Way
from firsthand.pattern import Garment
from firsthand.units import said

__all__ = ["GAP", "Progress", "lay_fabric"]

GAP = 2.0
"""Room between parts, mm (common practice: a chalk line's breadth)."""

Progress = Callable[[Way, float], bool | None]
"""Told the way and the best length so far, mm; False stops the search and keeps the best."""


def lay_fabric(
    garments: Mapping[str, Garment],
    fabric: Fabric,
    *,
    seconds: float = 4.0,
    seed: int = 1,
    workers: int = 2,
    gap: float = GAP,
    progress: Progress | None = None,
) -> FabricLays:
    """Lay all parts that are cut from a fabric, open and folded, and say whether the fabric on hand is enough.

    Parameters
    ----------
    garments
        All garments of the costume, by id.
    fabric
        The fabric.
    seconds
        How long to look, for both ways together; less is taken where there is little to lay. A lay found in a set time
        may come out a little differently on another machine.
    seed
        Where the search begins.
    workers
        How many processes look at once.
    gap
        Room between parts, mm.
    progress
        Called now and then with the way and its best length so far; stops the search by answering False.

    Returns
    -------
    FabricLays
        Verified lays, the shortest cloth first. Parts too wide for the fabric are left out and told in a finding.

    Raises
    ------
    BadInput
        If an option or the fabric's width has no sense.
    """
    _refuse(fabric, seconds, seed, workers, gap)
    whole = collect(garments, fabric, Way.OPEN)
    findings = [*(_held_up(finding, fabric) for finding in whole.missing), *whole.findings]
    width = usable(fabric, Way.OPEN)
    odd: Refused = []
    problem = make_problem(whole.items, width, gap, refused=odd)
    findings += [_held_up(refused(item, fabric, error), fabric) for item, error in odd]
    wide = {name for kind in problem.kinds if min(p.height for p in kind.poses) > width + 1e-6 for name, _ in kind.names}
    findings += [too_wide(item, fabric) for item in whole.items if item.id in wide]
    items = tuple(item for item in whole.items if item.id not in wide.union(item.id for item, _ in odd))
    tries = [_Try(fabric, Way.OPEN, items, make_problem(items, width, gap), seed)]
    tries += _folded(garments, fabric, items, wide, gap, seed, findings)
    if not tries[0].items:
        return FabricLays(fabric.id, (), findings=tuple(findings))
    for one in tries:
        one.seconds = seconds
    found = _look(tries, _worth(tries[0].problem, seconds), seed, workers, progress)
    lays = [one.lay(result) for one, result in zip(tries, found, strict=True) if result.sound]
    findings += [unsound(fabric, one.way) for one, result in zip(tries, found, strict=True) if not result.sound]
    # At equal length double cloth is the better: half the cutting, and no mistakes of left and right.
    lays.sort(key=lambda lay: (round(lay.length), lay.way is not Way.FOLDED))
    findings += enough(fabric, lays)
    return FabricLays(fabric.id, tuple(lays), 0, tuple(dict.fromkeys(findings)))


def _held_up(finding: Finding, fabric: Fabric) -> Finding:
    """A piece that is missing from every lay: the lay itself waits for it, not only the cutting."""
    return replace(finding, blocks=tuple(dict.fromkeys((*finding.blocks, Block("lay", fabric.id)))))


@dataclass
class _Try:
    """One way of laying."""

    fabric: Fabric
    way: Way
    items: tuple[LayItem, ...]
    problem: Problem
    seed: int
    seconds: float = 0.0

    def lay(self, found: Found) -> Lay:
        return self._lay(found.placements, found.length, found.engine)

    def sound(self, placed: Sequence[Placement], length: float) -> bool:
        return not verify(self._lay(placed, length, ""), self.fabric)

    def _lay(self, placed: Sequence[Placement], length: float, engine: str) -> Lay:
        problem = self.problem
        return Lay(
            self.fabric.id, self.way, problem.width, length, self.items, tuple(placed),
            problem.bound, problem.gap, engine, self.seconds, self.seed,
        )  # fmt: skip


def _folded(
    garments: Mapping[str, Garment],
    fabric: Fabric,
    laid_open: Sequence[LayItem],
    wide: set[str],
    gap: float,
    seed: int,
    findings: list[Finding],
) -> list[_Try]:
    """The folded way, if every part that the open cloth takes can be laid on the double one, and fits."""
    double = collect(garments, fabric, Way.FOLDED)
    findings += [finding for finding in double.findings if finding not in findings]
    width, odd = usable(fabric, Way.FOLDED), Refused()
    make_problem(double.items, width, gap, refused=odd)
    items = tuple(item for item in double.items if item.id not in wide.union(item.id for item, _ in odd))
    there = {part for item in items for part in item.parts}
    lacking = [item for item in laid_open if not there.issuperset(item.parts)]
    if lacking:
        findings.append(fold_not_laid(lacking[0], fabric))
        return []
    problem = make_problem(items, width, gap)
    broad = [kind.names[0][0] for kind in problem.kinds if min(pose.height for pose in kind.poses) > width + 1e-6]
    if broad:
        findings.append(fold_too_narrow(next(item for item in items if item.id == broad[0]), fabric))
        return []
    return [_Try(fabric, Way.FOLDED, items, problem, seed)]


def _worth(problem: Problem, seconds: float) -> float:
    """Few parts are soon laid as well as they can be."""
    return min(seconds, 0.6 + 0.25 * problem.count)


def _look(tries: Sequence[_Try], seconds: float, seed: int, workers: int, progress: Progress | None) -> list[Found]:
    """All ways at once: solvers in their own processes, our own placer in this one."""
    began = time.monotonic()
    watch = _Watch(progress)
    free = [one for one in tries if not _bound_to_fold(one.problem)]
    with contextlib.ExitStack() as stack:
        solvers: dict[Way, Solver] = {}
        for one in free:
            share = max(1, workers // len(tries))
            time_for_it = share_of_time(one.problem, seconds)
            solvers[one.way] = stack.enter_context(Solver(one.problem, seconds=time_for_it, seed=seed, processes=share))
        own = {}
        for one in tries:
            at_most = PLAIN * seconds if one.way in solvers else seconds - (time.monotonic() - began)
            orders = 4 if one.way in solvers else 100_000
            told = partial(watch.told, one.way)
            own[one.way] = place(one.problem, seconds=max(0.1, at_most), seed=seed, orders=orders, told=told)
        while any(solver.running for solver in solvers.values()) and not watch.stopped:
            for one in free:
                solver = solvers[one.way]
                watch.heard(one.way, solver.length)
                if solver.length <= one.problem.bound * (1 + ENOUGH):
                    solver.end()
                solver.wait(0.1)
        return [_result(one, solvers.get(one.way), own[one.way]) for one in tries]


def _bound_to_fold(problem: Problem) -> bool:
    return any(pose.held is not None for kind in problem.kinds for pose in kind.poses)


def _result(one: _Try, solver: Solver | None, own: Solution) -> Found:
    return shortest(solver, own, one.problem, one.sound)


class _Watch:
    """Passes progress on, and remembers that it was stopped."""

    def __init__(self, progress: Progress | None) -> None:
        self._progress = progress
        self._best: dict[Way, float] = {}
        self.stopped = False

    def told(self, way: Way, solution: Solution) -> bool:
        self.heard(way, solution.length)
        return not self.stopped

    def heard(self, way: Way, length: float) -> None:
        """Pass a better length on."""
        if self._progress is None or not length < self._best.get(way, math.inf):
            return
        self._best[way] = length
        if self._progress(way, length) is False:
            self.stopped = True


def _refuse(fabric: Fabric, seconds: float, seed: int, workers: int, gap: float) -> None:
    wrong = []
    if not 0 < fabric.usable_width < math.inf:
        found = f"a usable width of {said(fabric.usable_width)}"
        wrong.append(Wrong("", f"{fabric.id}.width", found, "a width above zero", "Correct width, selvedges or shrinkage."))
    if not fabric.preshrunk and not (0 <= fabric.shrink_along < 1 and 0 <= fabric.shrink_across < 1):
        found = f"{fabric.shrink_along} and {fabric.shrink_across}"
        wrong.append(Wrong("", f"{fabric.id}.shrink", found, "shares from 0 to below 1", "Correct the shrinkage."))
    if not 0 < seconds <= 86_400:
        wrong.append(Wrong("", "seconds", repr(seconds), "a time above zero and within a day", "Give for example 4."))
    if seed < 0:
        wrong.append(Wrong("", "seed", repr(seed), "zero or more", "Give for example 1."))
    if not 1 <= workers <= 256:
        wrong.append(Wrong("", "workers", repr(workers), "a number from 1", "Give the number of processor cores to use."))
    if not 0 <= gap < 1000:
        wrong.append(Wrong("", "gap", repr(gap), "zero or more, mm", "Give for example 2."))
    if wrong:
        raise BadInput(wrong)
