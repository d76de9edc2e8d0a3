"""From ties to an order: circles found and named, what follows from other ties left out."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from firsthand.steps._book import Tie

__all__ = ["Graph"]


@dataclass
class Graph:
    """Works by number, and which of them must follow which. Built up tie by tie; a tie that closes a circle is refused.

    Examples
    --------
    >>> graph = Graph(["a", "b", "c"])
    >>> graph.add(Tie("a", "b")), graph.add(Tie("b", "c")), graph.add(Tie("c", "a"))
    (True, True, False)
    >>> graph.way("a", "c")
    ('a', 'b', 'c')
    """

    names: Sequence[str]
    _number: Mapping[str, int] = field(init=False)
    _next: list[set[int]] = field(init=False)
    _later: list[int] = field(init=False)
    """For each work, the bits of all works that follow it."""

    def __post_init__(self) -> None:
        self._number = {name: index for index, name in enumerate(self.names)}
        self._next = [set() for _ in self.names]
        self._later = [0] * len(self.names)

    def add(self, tie: Tie) -> bool:
        """Enter a tie; False if it would close a circle."""
        one, two = self._number[tie.before], self._number[tie.then]
        if one == two or self._later[two] >> one & 1:
            return False
        if self._later[one] >> two & 1:
            return True
        self._next[one].add(two)
        gained = self._later[two] | 1 << two
        bit = 1 << one
        self._later = [
            later | gained if later & bit or index == one else later for index, later in enumerate(self._later)
        ]  # fmt: skip
        return True

    def way(self, start: str, end: str) -> tuple[str, ...]:
        """The works from one to another along ties, both included; empty if there is no way."""
        ahead: list[tuple[int, ...]] = [(self._number[start],)]
        seen = {self._number[start]}
        for path in ahead:
            if path[-1] == self._number[end]:
                return tuple(self.names[index] for index in path)
            for following in sorted(self._next[path[-1]] - seen):
                seen.add(following)
                ahead.append((*path, following))
        return ()

    def order(self, rank: Mapping[str, tuple[int, ...]]) -> tuple[str, ...]:
        """All works so that every tie is kept, the lowest rank first where there is a choice."""
        waiting = [0] * len(self.names)
        for following in self._next:
            for index in following:
                waiting[index] += 1
        ready = [(rank[name], index) for index, name in enumerate(self.names) if not waiting[index]]
        heapq.heapify(ready)
        done: list[str] = []
        while ready:
            _, index = heapq.heappop(ready)
            done.append(self.names[index])
            for other in self._next[index]:
                waiting[other] -= 1
                if not waiting[other]:
                    heapq.heappush(ready, (rank[self.names[other]], other))
        return tuple(done)

    def before(self, order: Iterable[str]) -> dict[str, tuple[str, ...]]:
        """For each work those just before it, without those that follow from the others."""
        position = {name: place for place, name in enumerate(order)}
        direct: dict[int, list[int]] = {}
        for index, following in enumerate(self._next):
            for other in following:
                direct.setdefault(other, []).append(index)
        found: dict[str, tuple[str, ...]] = {}
        for index, name in enumerate(self.names):
            ahead = direct.get(index, [])
            kept = [one for one in ahead if not any(self._later[one] >> other & 1 for other in ahead if other != one)]
            found[name] = tuple(sorted((self.names[one] for one in kept), key=position.__getitem__))
        return found
