"""Steps in order, cut into cards that belong together."""

from __future__ import annotations

from collections.abc import Sequence

from firsthand.plan._setups import Bench, change
from firsthand.steps.model import Machines, Step

__all__ = ["LONGEST", "SHORTEST", "cut_into_cards", "title"]

SHORTEST, LONGEST = 20.0, 60.0
"""Minutes of a card: long enough to be worth a tick, short enough for a gap in an evening (common practice)."""

EACH = 6.0
"""What one more card weighs, in minutes below :data:`SHORTEST`: nobody wants a card for every step."""

OTHER_STAGE, OTHER_GARMENT, OTHER_PAPER = 4.0, 40.0, 2.0
"""What mixing stages, and garments, on one card weighs, likewise; while it is only paper and cloth they mix easily."""

EARLY = frozenset({"prepare", "cut", "mark", "test"})


def cut_into_cards(
    steps: Sequence[Step], before: Sequence[tuple[int, ...]], machines: Machines, *, longest: float = LONGEST
) -> list[list[int]]:
    """Cut an order into runs that make good cards.

    Parameters
    ----------
    steps, before
        Steps in their order, and for each the places of those it comes after.
    longest
        Most minutes of a card with its changes; only a step that is longer by itself goes beyond.

    Returns
    -------
    list of list of int
        Places of the steps of each card: together all of them, in order. No step waits for drying or hanging within a card.
    """
    minutes = _minutes(steps, machines)
    fits = [_most(steps, start, machines, longest) for start in range(len(steps))]
    best: list[tuple[float, int]] = [(0.0, 0)]
    for end in range(1, len(steps) + 1):
        choices: list[tuple[float, int]] = []
        for start in range(end - 1, -1, -1):
            total = sum(minutes[start:end])
            if end - start > 1 and (total > longest or _waits_within(steps, before, start, end)):
                break
            if end > fits[start]:
                continue
            choices.append((best[start][0] + _weight(steps[start:end], total), start))
        best.append(min(choices))
    cards: list[list[int]] = []
    end = len(steps)
    while end:
        start = best[end][1]
        cards.append(list(range(start, end)))
        end = start
    return cards[::-1]


def title(steps: Sequence[Step]) -> str:
    """A card in a few words."""
    if len(steps) == 1:
        return steps[0].title
    stages = list(dict.fromkeys(step.stage for step in steps))
    garments = list(dict.fromkeys(step.garment for step in steps if step.garment))
    if garments and len({step.garment for step in steps}) > 1:
        return f"{steps[0].title} and {len(steps) - 1} more"
    who = garments[0] if garments else ", ".join(dict.fromkeys(step.fabric for step in steps if step.fabric))
    return f"{who[:1].upper()}{who[1:]}: {', '.join(stages)}" if who else ", ".join(stages).capitalize()


def _minutes(steps: Sequence[Step], machines: Machines) -> list[float]:
    bench, found = Bench(), []
    for step in steps:
        cost, _, bench = change(bench, step, machines)
        found.append(step.minutes + cost)
    return found


def _most(steps: Sequence[Step], start: int, machines: Machines, longest: float) -> int:
    """How far a card from a step may go and fit even if everything must first be set up for it."""
    bench, total = Bench(), 0.0
    for end in range(start, len(steps)):
        cost, _, bench = change(bench, steps[end], machines)
        total += cost + steps[end].minutes
        if total > longest + 1e-9:
            return max(end, start + 1)
    return len(steps)


def _waits_within(steps: Sequence[Step], before: Sequence[tuple[int, ...]], start: int, end: int) -> bool:
    return any(start <= one < end and steps[one].wait for index in range(start, end) for one in before[index])


def _weight(steps: Sequence[Step], total: float) -> float:
    stages = len({step.stage for step in steps}) - 1
    garments = max(0, len({step.garment for step in steps if step.garment}) - 1)
    other = OTHER_PAPER if all(step.stage in EARLY for step in steps) else OTHER_GARMENT
    return EACH + max(0.0, SHORTEST - total) + OTHER_STAGE * stages + other * garments
