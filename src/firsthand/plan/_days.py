"""Cards into sessions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from firsthand.plan._cards import title
from firsthand.plan._check import day
from firsthand.plan._setups import AT, Bench, change
from firsthand.plan.model import PlanCard, Session
from firsthand.steps.model import Machines, Step

__all__ = ["Group", "into_sessions"]

SAME_DAY = 240.0
"""A wait up to this long is over by the next session, minutes; a longer one takes whole days (common practice)."""

DAY = 1440.0


@dataclass(frozen=True, slots=True)
class Group:
    """The steps of a card before it has a day: ``before`` holds the numbers of the groups it follows."""

    steps: tuple[Step, ...]
    before: frozenset[int]


@dataclass(frozen=True, slots=True)
class _Done:
    """When a group was done: number of the session, its day, minutes into it."""

    session: int
    on: date
    minute: float


def into_sessions(
    groups: Sequence[Group], sessions: Sequence[Session], machines: Machines
) -> tuple[tuple[PlanCard, ...], Sequence[float]]:
    """Put groups into sessions, in order where they fit, a later one first where the earlier must wait.

    Returns
    -------
    cards, overrun
        All cards as they will be done, those without a session last and without a date; and how far each session is
        overrun by a card longer than any session, minutes.
    """
    bench = Bench()
    done: dict[int, _Done] = {}
    cards: list[PlanCard] = []
    left = list(range(len(groups)))
    longest = max((session.minutes for session in sessions), default=0.0)
    overrun = [0.0] * len(sessions)
    for number, session in enumerate(sessions):
        on = day(session.date)
        assert on is not None, "dates are checked at the door"
        used = 0.0
        while left:
            room = session.minutes - used
            whole = not used and session.minutes == longest > 0
            found = _next(groups, left, done, _Done(number, on, used), room, bench, machines, whole=whole)
            if found is None:
                break
            card, after = _card(groups[found], bench, machines, date=session.date)
            used += card.minutes
            bench, done[found] = after, _Done(number, on, used)
            cards.append(card)
            left.remove(found)
        overrun[number] = max(0.0, used - session.minutes)
    for index in left:
        card, bench = _card(groups[index], bench, machines)
        cards.append(card)
    return tuple(replace(card, number=number) for number, card in enumerate(cards, start=1)), overrun


def _next(
    groups: Sequence[Group],
    left: Sequence[int],
    done: dict[int, _Done],
    now: _Done,
    room: float,
    bench: Bench,
    machines: Machines,
    *,
    whole: bool,
) -> int | None:
    """The first group that may be done now and fits; in the longest session, still empty, one that fits nowhere."""
    ready = [index for index in left if _ready(groups, index, done, now)]
    for index in ready:
        if _card(groups[index], bench, machines)[0].minutes <= room + 1e-9:
            return index
    return ready[0] if whole and ready else None


def _ready(groups: Sequence[Group], index: int, done: dict[int, _Done], now: _Done) -> bool:
    group = groups[index]
    if not all(one in done for one in group.before):
        return False
    asked = {name for step in group.steps for name in step.after}
    for one in group.before:
        wait = max((step.wait for step in groups[one].steps if step.id in asked), default=0.0)
        if wait and not _over(wait, done[one], now):
            return False
    return True


def _over(wait: float, done: _Done, now: _Done) -> bool:
    if wait > SAME_DAY:
        return (now.on - done.on).days >= math.ceil(wait / DAY)
    return now.session > done.session or now.minute - done.minute >= wait


def _card(group: Group, bench: Bench, machines: Machines, *, date: str = "") -> tuple[PlanCard, Bench]:
    words: list[str] = []
    total, moves = 0.0, 0
    for step in group.steps:
        cost, said, bench = change(bench, step, machines)
        total += cost
        moves += sum(word in AT.values() for word in said)
        words += [word for word in said if word not in AT.values()]
    if moves > 1:
        words.append(f"{moves} moves between places")
    garments = list(dict.fromkeys(step.garment for step in group.steps if step.garment))
    card = PlanCard(
        number=0,
        id=f"card/{group.steps[0].id}",
        garment=garments[0] if len(garments) == 1 else "",
        title=title(group.steps),
        steps=group.steps,
        changes=tuple(words),
        change_minutes=total,
        date=date,
    )
    return card, bench
