"""Whether steps and sessions can be planned at all."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from datetime import date

from firsthand.errors import BadInput, Problem
from firsthand.findings import Finding, Severity, kind
from firsthand.plan.model import Session
from firsthand.steps.model import Machines, Step

__all__ = ["day", "predecessors", "refuse_nonsense"]

plan_cycle = kind(
    "plan-cycle", Severity.FAULT, "Steps wait for one another in a circle. One tie of it is left out until it is mended."
)


def refuse_nonsense(steps: Sequence[Step], sessions: Sequence[Session], machines: Machines, due: str) -> None:
    """Refuse double ids, numbers without sense and dates that are none, all at once.

    Raises
    ------
    BadInput
        With every problem.
    """
    problems = [*_steps(steps), *_sessions(sessions), *_machines(machines)]
    if due and day(due) is None:
        problems.append(Problem("", "due", repr(due), "a date", "Write it as 2026-05-14."))
    if problems:
        raise BadInput(problems)


def day(text: str) -> date | None:
    """The day of an ISO date; None if it is none."""
    try:
        return date.fromisoformat(text)
    except (TypeError, ValueError):
        return None


def predecessors(steps: Sequence[Step]) -> tuple[list[tuple[int, ...]], tuple[Finding, ...]]:
    """For each step the numbers of those it comes after; ids that are not there are taken as done; circles are broken."""
    number = {step.id: index for index, step in enumerate(steps)}
    before = [tuple(sorted({number[name] for name in step.after if name in number})) for step in steps]
    findings: list[Finding] = []
    while circle := _circle(before):
        one, two = circle[-1], circle[0]
        before[two] = tuple(index for index in before[two] if index != one)
        names = [steps[index].title for index in circle]
        findings.append(
            plan_cycle(
                f"{names[0]} waits for {names[-1]}, which waits for it",
                where=(steps[two].garment, steps[two].id),
                remedy=f"Drop one of these ties; here {names[0]!r} no longer waits for {names[-1]!r}.",
                why=[" before ".join([*names, names[0]])],
            )
        )
    return before, tuple(findings)


def _circle(before: Sequence[tuple[int, ...]]) -> tuple[int, ...]:
    """A circle of steps each before the next, the last before the first; empty if there is none."""
    left = set(range(len(before)))
    waiting = [len(ahead) for ahead in before]
    after: Mapping[int, list[int]] = {index: [] for index in left}
    for index, ahead in enumerate(before):
        for one in ahead:
            after[one].append(index)
    ready = [index for index in left if not waiting[index]]
    while ready:
        index = ready.pop()
        left.discard(index)
        for other in after[index]:
            waiting[other] -= 1
            if not waiting[other]:
                ready.append(other)
    if not left:
        return ()
    path = [min(left)]
    while (one := min(index for index in before[path[-1]] if index in left)) not in path:
        path.append(one)
    return tuple(reversed(path[path.index(one) :]))


def _steps(steps: Iterable[Step]) -> Iterator[Problem]:
    seen: set[str] = set()
    for step in steps:
        if step.id in seen:
            yield Problem("", f"step {step.id}", "the same id twice", "ids that differ", "Give each step its own id.")
        seen.add(step.id)
        for name, value in (("minutes", step.minutes), ("wait", step.wait)):
            if not (math.isfinite(value) and value >= 0):
                yield Problem("", f"step {step.id}", f"{name} {value}", "minutes, zero or more", "Write how long it takes.")


def _sessions(sessions: Iterable[Session]) -> Iterator[Problem]:
    for index, session in enumerate(sessions, start=1):
        if day(session.date) is None:
            yield Problem("", f"session {index}", repr(session.date), "a date", "Write it as 2026-05-14.")
        if not (math.isfinite(session.minutes) and session.minutes >= 0):
            yield Problem(
                "", f"session {index}", f"minutes {session.minutes}", "minutes, zero or more", "Write how long it is."
            )


def _machines(machines: Machines) -> Iterator[Problem]:
    for entry in fields(Machines):
        value = getattr(machines, entry.name)
        if isinstance(value, float) and not (math.isfinite(value) and value >= 0):
            yield Problem("machines.toml", entry.name, str(value), "zero or more", "Write how long it takes.")
