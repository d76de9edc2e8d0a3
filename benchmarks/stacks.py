"""Random stacks of one to eight alterations on random garments: how many are applied, and whether anything is wrong.

Run it as ``python -m benchmarks.stacks --count 10000 --workers 2 --seed 1``. A stack is made from its seed, so that
``--only SEED`` makes one again and shows the fewest of its entries with which the fault is still there. The exit code is 1 if
anything was wrong, or less than 80 % of the alterations were applied.
"""

from __future__ import annotations

import argparse
import multiprocessing
import resource
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "alter"))

from plausible_stacks import FAULTS, Outcome, kinds_without_maker, run, shortest

LEAST_APPLIED = 0.8
"""The share of alterations that must be applied and not refused."""


def main() -> int:
    """Print the report; the exit code."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=1000, help="how many stacks")
    parser.add_argument("--seed", type=int, default=1, help="seed of the first; the others follow")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--kinds", nargs="*", default=(), help="only these kinds")
    parser.add_argument("--only", type=int, nargs="*", default=(), help="only these seeds, each with the fewest entries")
    parser.add_argument("--shown", type=int, default=8, help="how many seeds of each fault are shown")
    given = parser.parse_args()
    if given.only:
        return max(explain(seed, given.kinds) for seed in given.only)
    began = time.monotonic()
    report = Report()
    for number, (outcome, took) in enumerate(outcomes(given.count, given.seed, given.workers, given.kinds), 1):
        report.take(outcome, took)
        if number % 500 == 0:
            print(f"{number} stacks, {time.monotonic() - began:.0f} s", file=sys.stderr, flush=True)
    report.show(time.monotonic() - began, given.workers, given.shown)
    return report.code


def outcomes(count: int, seed: int, workers: int, kinds: Sequence[str]) -> Iterator[tuple[Outcome, float]]:
    """What becomes of each stack, and the seconds it took; in no certain order with several workers."""
    seeds = range(seed, seed + count)
    if workers <= 1:
        yield from map(partial(timed, kinds=tuple(kinds)), seeds)
        return
    with multiprocessing.Pool(workers) as pool:
        yield from pool.imap_unordered(partial(timed, kinds=tuple(kinds)), seeds, chunksize=8)


def timed(seed: int, kinds: Sequence[str]) -> tuple[Outcome, float]:
    """One stack."""
    began = time.perf_counter()
    outcome = run(seed, kinds)
    return outcome, time.perf_counter() - began


class Report:
    """Counts what becomes of stacks."""

    def __init__(self) -> None:
        self.applied: Counter[str] = Counter()
        self.refused: Counter[str] = Counter()
        self.reasons: dict[str, Counter[str]] = defaultdict(Counter)
        self.wrong: dict[str, dict[tuple[str, ...], list[int]]] = {sort: defaultdict(list) for sort in FAULTS}
        self.seconds: list[tuple[float, int]] = []

    def take(self, outcome: Outcome, took: float) -> None:
        """Enter one."""
        self.seconds.append((took, outcome.seed))
        for kind, _, refusal in outcome.entries:
            (self.refused if refusal else self.applied)[kind] += 1
            if refusal:
                self.reasons[kind][without_numbers(refusal)] += 1
        for sort, words in dict(outcome.wrong).items():
            self.wrong[sort][without_numbers(words.strip().splitlines()[-1]),].append(outcome.seed)

    @property
    def share(self) -> float:
        """Of all alterations those that were applied."""
        applied, refused = self.applied.total(), self.refused.total()
        return applied / (applied + refused) if applied + refused else 0.0

    @property
    def code(self) -> int:
        """0 if all is well."""
        return 1 if any(self.wrong.values()) or self.share < LEAST_APPLIED else 0

    def show(self, seconds: float, workers: int, shown: int) -> None:
        """Print it."""
        print(f"{len(self.seconds)} stacks, {self.applied.total() + self.refused.total()} alterations, "
              f"{self.share:.1%} of them applied; {seconds:.0f} s with {workers} workers")  # fmt: skip
        slowest = sorted(self.seconds, reverse=True)[:3]
        middle = sorted(took for took, _ in self.seconds)[len(self.seconds) // 2]
        print(f"a stack takes {1000 * middle:.0f} ms (median); slowest "
              + ", ".join(f"{took:.1f} s (seed {seed})" for took, seed in slowest)
              + f"; most memory {most_memory():.0f} MB in a process")  # fmt: skip
        print(f"\n{'kind':<16}{'applied':>9}{'refused':>9}{'share':>8}  most frequent refusals")
        for kind in sorted({*self.applied, *self.refused}):
            total = self.applied[kind] + self.refused[kind]
            words = "; ".join(f"{count} x {why}" for why, count in self.reasons[kind].most_common(2))
            print(f"{kind:<16}{self.applied[kind]:>9}{self.refused[kind]:>9}{self.applied[kind] / total:>8.0%}  {words:.150}")
        if missing := kinds_without_maker():
            print(f"in no stack: {', '.join(sorted(missing))}")
        for sort in FAULTS:
            print(f"\n{sort}: {sum(map(len, self.wrong[sort].values()))}")
            for (words,), seeds in sorted(self.wrong[sort].items(), key=lambda item: -len(item[1])):
                print(f"  {len(seeds):>5} x {words:.160}\n          seeds {' '.join(map(str, sorted(seeds)[:shown]))}")


def without_numbers(words: str) -> str:
    """Words with their lengths left out, so that like reasons are counted together."""
    import re

    return re.sub(r"⟨[^⟩]*⟩|\d+(\.\d+)?", "#", words)


def most_memory() -> float:
    """The most memory that any of the processes held, MB."""
    used: Iterable[Any] = (resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return float(max(used)) / (1024.0 if sys.platform != "darwin" else 1024.0**2)


def explain(seed: int, kinds: Sequence[str]) -> int:
    """Show one stack with the fewest entries that still go wrong."""
    outcome = run(seed, kinds)
    if outcome.wrong:
        outcome = shortest(outcome)
    print(f"seed {seed}: {outcome.garment}")
    for kind, fields, refusal in outcome.entries:
        print(f"  {kind} {fields}{f'  REFUSED {refusal}' if refusal else ''}")
    for sort, words in outcome.wrong:
        print(f"  WRONG {sort}: {words}")
    return 1 if outcome.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
