"""The order of steps: the nearest next set-up, looking ahead to what can be done with it."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence

from firsthand.plan._setups import Bench, change, change_minutes
from firsthand.steps.model import Machines, Step

__all__ = ["nearest", "ranks", "sheet_order"]

GREED: tuple[Callable[[float, int], float], ...] = (
    lambda cost, reach: cost / reach,
    lambda cost, reach: cost,
    lambda cost, reach: cost / reach**0.5,
    lambda cost, reach: cost - 0.5 * reach,
)
"""Ways to weigh the minutes of a change against the steps that can then be done without another; the best result is kept."""


def ranks(steps: Sequence[Step], before: Sequence[tuple[int, ...]], garment_order: Sequence[str]) -> list[int]:
    """The place of each step's garment; what another garment waits for counts with that one, what dries comes first."""
    garments = dict.fromkeys([*garment_order, *(step.garment for step in steps if step.garment)])
    place = {garment: index for index, garment in enumerate(garments)}
    rank = [place.get(step.garment, len(place)) for step in steps]
    for index in reversed(_topological(before)):
        for one in before[index]:
            rank[one] = min(rank[one], rank[index])
    return [
        -1 if not step.garment and step.wait and not before[index] else rank[index] for index, step in enumerate(steps)
    ]  # fmt: skip


def sheet_order(before: Sequence[tuple[int, ...]], rank: Sequence[int]) -> list[int]:
    """Garment by garment in the order in which the steps stand, nothing else considered."""
    return _topological(before, rank)


def nearest(steps: Sequence[Step], before: Sequence[tuple[int, ...]], rank: Sequence[int], machines: Machines) -> list[int]:
    """An order with few changes that finishes each garment before the next.

    The cheapest next set-up is taken, weighed by how many steps it makes possible; several ways of weighing are tried, and
    the order as it stands, and the one with the fewest minutes of changes is kept.
    """
    orders = [_Walk(steps, before, rank, machines).run(greed) for greed in GREED]
    orders.append(sheet_order(before, rank))
    return min(orders, key=lambda order: change_minutes(tuple(steps[index] for index in order), machines))


class _Walk:
    """One walk through the steps."""

    def __init__(
        self, steps: Sequence[Step], before: Sequence[tuple[int, ...]], rank: Sequence[int], machines: Machines
    ) -> None:
        self.steps, self.rank, self.machines = steps, rank, machines
        self.waiting = [len(ahead) for ahead in before]
        self.after: list[list[int]] = [[] for _ in steps]
        for index, ahead in enumerate(before):
            for one in ahead:
                self.after[one].append(index)
        self.ready = {index for index, count in enumerate(self.waiting) if not count}

    def run(self, greed: Callable[[float, int], float]) -> list[int]:
        """The whole order."""
        bench, order = Bench(), []
        while self.ready:
            index = self._choose(bench, greed)
            bench = change(bench, self.steps[index], self.machines)[2]
            order.append(index)
            self.ready.discard(index)
            self.ready.update(self._freed(index, self.waiting))
        return order

    def _choose(self, bench: Bench, greed: Callable[[float, int], float]) -> int:
        lowest = min(self.rank[index] for index in self.ready)
        choice = sorted(index for index in self.ready if self.rank[index] == lowest)
        best: tuple[float, int] | None = None
        seen: set[Bench] = set()
        for index in choice:
            cost, _, then = change(bench, self.steps[index], self.machines)
            if not cost:
                return index
            if then not in seen:
                seen.add(then)
                score = (greed(cost, self._reach(then, lowest)), index)
                best = min(best, score) if best else score
        assert best is not None
        return best[1]

    def _reach(self, bench: Bench, lowest: int) -> int:
        """How many steps can be done one after another with a bench as it is."""
        waiting: dict[int, int] = {}
        ahead = [index for index in self.ready if self.rank[index] == lowest]
        done = 0
        while ahead:
            index = ahead.pop()
            if change(bench, self.steps[index], self.machines)[0]:
                continue
            done += 1
            for other in self.after[index]:
                waiting[other] = waiting.get(other, self.waiting[other]) - 1
                if not waiting[other] and self.rank[other] == lowest:
                    ahead.append(other)
        return done

    def _freed(self, index: int, waiting: list[int]) -> list[int]:
        freed = []
        for other in self.after[index]:
            waiting[other] -= 1
            if not waiting[other]:
                freed.append(other)
        return freed


def _topological(before: Sequence[tuple[int, ...]], rank: Sequence[int] | None = None) -> list[int]:
    waiting = [len(ahead) for ahead in before]
    after: list[list[int]] = [[] for _ in before]
    for index, ahead in enumerate(before):
        for one in ahead:
            after[one].append(index)
    place = rank or [0] * len(before)
    ready = [(place[index], index) for index, count in enumerate(waiting) if not count]
    heapq.heapify(ready)
    order = []
    while ready:
        _, index = heapq.heappop(ready)
        order.append(index)
        for other in after[index]:
            waiting[other] -= 1
            if not waiting[other]:
                heapq.heappush(ready, (place[other], other))
    return order
