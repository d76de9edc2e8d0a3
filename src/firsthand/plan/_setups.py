"""What must be changed before a step, and how long that takes.

The machine keeps its foot, needle, thread and stitch, and the overlocker its cones, while one is at the iron or the table:
a step costs the move to its place and what differs from the last set-up of *that* place.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from firsthand.steps.model import Machines, Place, SetUp, Step

__all__ = ["Bench", "change", "change_minutes"]

NOTHING = SetUp()

AT = {
    Place.TABLE: "to the table", Place.MACHINE: "to the machine", Place.OVERLOCKER: "to the overlocker",
    Place.IRON: "to the iron", Place.HAND: "to hand work",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Bench:
    """Where one is, and what is threaded and set at the machine and the overlocker."""

    place: Place | None = None
    machine: SetUp = NOTHING
    overlocker: SetUp = NOTHING


def change(bench: Bench, step: Step, machines: Machines) -> tuple[float, tuple[str, ...], Bench]:
    """Minutes, words and the bench afterwards for going over to a step.

    Examples
    --------
    >>> sew = Step("a", "", "seams", "Sew", Place.MACHINE, 5, setup=SetUp("straight", 2.5, "universal 80/12", "", "red"))
    >>> minutes, words, bench = change(Bench(), sew, Machines())
    >>> minutes, words
    (5.5, ('to the machine', 'needle universal 80/12', 'thread red', 'straight 2.5 mm'))
    >>> change(bench, sew, Machines())[:2]
    (0.0, ())
    """
    cost, words = 0.0, []
    if bench.place is not step.place:
        cost += machines.move
        words.append(AT[step.place])
    after = replace(bench, place=step.place)
    if step.place is Place.MACHINE:
        more, said, setup = _machine(bench.machine, step.setup, machines)
        return cost + more, (*words, *said), replace(after, machine=setup)
    if step.place is Place.OVERLOCKER:
        more, said, setup = _overlocker(bench.overlocker, step.setup, machines)
        return cost + more, (*words, *said), replace(after, overlocker=setup)
    return cost, tuple(words), after


def change_minutes(steps: tuple[Step, ...], machines: Machines) -> float:
    """Minutes of changes when steps are done in this order."""
    bench, total = Bench(), 0.0
    for step in steps:
        cost, _, bench = change(bench, step, machines)
        total += cost
    return total


def _machine(now: SetUp, want: SetUp, machines: Machines) -> tuple[float, list[str], SetUp]:
    cost, words = 0.0, []
    if want.foot and want.foot != now.foot:
        cost += machines.change_foot
        words.append(f"{want.foot} foot")
    if want.needle and want.needle != now.needle:
        cost += machines.change_needle
        words.append(f"needle {want.needle}")
    if want.thread and want.thread != now.thread:
        cost += machines.change_thread
        words.append(f"thread {want.thread}")
    if (want.stitch and want.stitch != now.stitch) or (want.length and want.length != now.length):
        cost += machines.change_stitch
        words.append(f"{want.stitch or now.stitch} {want.length or now.length:g} mm")
    return cost, words, _kept(now, want)


def _overlocker(now: SetUp, want: SetUp, machines: Machines) -> tuple[float, list[str], SetUp]:
    cost, words = 0.0, []
    if want.thread and want.thread != now.thread:
        cost += machines.change_cones
        words.append(f"cones {want.thread}")
    if want.needle and want.needle != now.needle:
        cost += machines.change_needle
        words.append(f"overlocker needle {want.needle}")
    if want.stitch and want.stitch != now.stitch:
        cost += machines.change_stitch
        words.append(want.stitch)
    return cost, words, _kept(now, want)


def _kept(now: SetUp, want: SetUp) -> SetUp:
    return SetUp(
        stitch=want.stitch or now.stitch,
        length=want.length or now.length,
        needle=want.needle or now.needle,
        foot=want.foot or now.foot,
        thread=want.thread or now.thread,
        heat=want.heat or now.heat,
    )
