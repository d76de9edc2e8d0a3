"""How long one proposal takes on the demo's garments, and what becomes of random garments on random bodies.

Run it as ``python -m benchmarks.fit --count 200 --seed 1``. For each random garment it is counted how many levels were outside
their bands, how many the proposal brings into them, and whether anything was made worse, anything is proposed again after it
was accepted, or anything was left unsaid. The exit code is 1 if so. Times are those of the processor.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "alter"))

from plausible import plausible_garment

from firsthand.alter import apply_stack
from firsthand.body import Body, Measurement
from firsthand.demo import demo_patterns
from firsthand.fit import EaseRow, Proposal, Verdict, ease_table
from firsthand.fit.solving import alteration_of, propose
from firsthand.pattern import Garment, make_garment
from firsthand.units import Unit, shown

Table = Callable[[Garment], tuple[EaseRow, ...]]
WRONG = (Verdict.TIGHT, Verdict.LOOSE)
WORN = {"shirt": "loose", "hose": "skin-tight", "skirt": "loose", "jerkin": "semi-fitted", "cape": "over-garment"}
WIDER, NARROWER = 0.75, 1.1
"""A random body's girths, as shares of the garment's own."""


def main() -> int:
    """Print the report; the exit code."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=100, help="how many random garments")
    parser.add_argument("--seed", type=int, default=1, help="seed of the first; the others follow")
    given = parser.parse_args()
    for name, seconds, words in demo_times():
        print(f"{name:<8} {seconds * 1000:6.0f} ms  {shown(words, Unit.CM)}")
    counts, times = Counter[str](), []
    for seed in range(given.seed, given.seed + given.count):
        garment, table = random_case(seed)
        began = time.process_time()
        proposal = propose(garment, table)
        times.append(time.process_time() - began)
        faults = list(looked_at(garment, table, proposal, counts))
        for fault in faults:
            print(f"seed {seed}: {fault}")
            counts["faults"] += 1
    counted = ", ".join(f"{name} {number}" for name, number in sorted(counts.items()))
    middle, most = statistics.median(times) * 1000, max(times) * 1000
    print(f"{given.count} random garments: median {middle:.0f} ms, most {most:.0f} ms; {counted}")
    return 1 if counts["faults"] else 0


def demo_times() -> Iterator[tuple[str, float, str]]:
    """Each garment of the demo on a body that is 6 % slimmer than it is made for: the median of five proposals."""
    for name, pattern in demo_patterns().items():
        garment = make_garment(pattern, pattern.sizes[0], id=name, sort=name, cut=WORN.get(name, "semi-fitted"))
        table = partial(ease_table, body=body_in(garment, lambda: 0.94))
        taken, words = [], ""
        for _ in range(5):
            began = time.process_time()
            words = propose(garment, table).words
            taken.append(time.process_time() - began)
        yield name, statistics.median(taken), words


def body_in(garment: Garment, share: Callable[[], float]) -> Body:
    """A body whose girths are shares of a garment's own."""
    rows = ease_table(garment, Body("b", "Body", {}))
    girths = {row.body_key: row.finished * share() for row in rows if row.finished}
    kept = {key: Measurement(key, max(60.0, value)) for key, value in girths.items()}
    return Body("b", "Body", kept, table="female")


def random_case(seed: int) -> tuple[Garment, Table]:
    """A garment and its ease table on a body of its own."""
    draw = random.Random(seed)
    garment = replace(plausible_garment(seed), cut=draw.choice(["close", "semi-fitted", "loose"]))
    return garment, partial(ease_table, body=body_in(garment, lambda: draw.uniform(WIDER, NARROWER)))


def looked_at(garment: Garment, table: Table, proposal: Proposal, counts: Counter[str]) -> Iterator[str]:
    """What is wrong with a proposal."""
    result = apply_stack(garment, [alteration_of(one) for one in proposal.alterations], compare=False)
    if any(finding.code == "alteration-refused" for finding in result.findings):
        yield "refused when it is applied"
    before, after = table(garment), table(result.garment)
    for one, two in zip(before, after, strict=True):
        counts["outside their bands"] += one.verdict in WRONG
        counts["brought into them"] += one.verdict in WRONG and two.verdict is Verdict.GOOD
        if one.verdict is Verdict.GOOD and two.verdict is not Verdict.GOOD:
            yield f"{one.level} was right and is {two.verdict.value}"
    left = {row.level for row in after if row.verdict in WRONG}
    if {finding.where[1] for finding in proposal.findings} != left:
        yield f"left unsaid: {left}"
    if propose(result.garment, table).alterations:
        yield "something is proposed again"


if __name__ == "__main__":
    sys.exit(main())
