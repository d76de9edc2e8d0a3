"""Thread by colour, cones, and needles, from the steps."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from firsthand.buy._shelf import Shelf
from firsthand.buy._thread import CONE, RATIOS, SPOOL, STITCHES, WASTE, thread_for
from firsthand.buy.model import BuyLine
from firsthand.steps.model import Place, Step
from firsthand.units import said

__all__ = ["needle_lines", "thread_lines"]

NEEDLE_HOURS = 8.0
"""A needle is changed after so many hours of sewing, or for a new project. Source: extradisciplinary.com (6-8 h)."""

NEUTRAL = "neutral"


def thread_lines(steps: Iterable[Step], shelf: Shelf) -> Iterator[BuyLine]:
    """Spools for machine and hand, and cones for the overlocker, each by colour."""
    by_machine: dict[str, dict[str, float]] = {}
    by_cones: dict[str, dict[str, float]] = {}
    users: dict[tuple[str, bool], dict[str, None]] = {}
    for step in steps:
        stitch = STITCHES.get(step.setup.stitch)
        if stitch and step.length:
            colour = step.setup.thread or NEUTRAL
            cones = step.place is Place.OVERLOCKER
            lengths = (by_cones if cones else by_machine).setdefault(colour, {})
            lengths[stitch] = lengths.get(stitch, 0.0) + step.length
            users.setdefault((colour, cones), {}).update({step.garment: None} if step.garment else {})
    for colour, lengths in by_machine.items():
        yield _spools(colour, lengths, tuple(users[colour, False]), shelf)
    for colour, lengths in by_cones.items():
        yield _cones(colour, lengths, tuple(users[colour, True]), shelf)


def _spools(colour: str, lengths: dict[str, float], garments: tuple[str, ...], shelf: Shelf) -> BuyLine:
    total = sum(thread_for(length, RATIOS[stitch].total) for stitch, length in lengths.items())
    there = shelf.take_length("thread", "", colour, total, each=SPOOL)
    needed, to_buy = math.ceil(total / SPOOL), math.ceil(max(0.0, total - there) / SPOOL - 1e-9)
    return BuyLine(
        sort="thread",
        what=f"thread, {colour}, spool of {SPOOL / 1000:g} m",  # as it is sold, in whatever units
        unit="count",
        needed=needed,
        on_hand=needed - to_buy,
        to_buy=to_buy,
        garments=garments,
        priced=False,
        why=(*_why(lengths), f"in all {said(total)}", f"on the shelf {said(there)}"),
    )


def _cones(colour: str, lengths: dict[str, float], garments: tuple[str, ...], shelf: Shelf) -> BuyLine:
    count = max(RATIOS[stitch].cones for stitch in lengths)
    most = sum(
        thread_for(length, RATIOS[stitch].total) * max(RATIOS[stitch].needle, (1 - RATIOS[stitch].needle) / 2)
        for stitch, length in lengths.items()
    )
    needed = count * max(1, math.ceil(most / CONE))
    there = shelf.take_count("cone", "", colour, needed)
    return BuyLine(
        sort="thread",
        what=f"overlocker cone, {colour}",
        unit="count",
        needed=needed,
        on_hand=there,
        to_buy=needed - there,
        garments=garments,
        priced=False,
        why=(
            *_why(lengths),
            f"{count} cones at once; the one that gives most gives {said(most)}",
            "neutral ones do where no one looks",
        ),
    )


def _why(lengths: dict[str, float]) -> Iterator[str]:
    for stitch, length in lengths.items():
        ratio = RATIOS[stitch]
        thread = said(thread_for(length, ratio.total))
        yield f"{stitch}: {said(length)} x {ratio.total:g} + {WASTE:.0%} = {thread} ({ratio.source})"


def needle_lines(steps: Iterable[Step], shelf: Shelf) -> Iterator[BuyLine]:
    """Needles that the steps need, one for every few hours each."""
    minutes: dict[str, float] = {}
    users: dict[str, dict[str, None]] = {}
    for step in steps:
        if step.setup.needle:
            minutes[step.setup.needle] = minutes.get(step.setup.needle, 0.0) + step.minutes
            users.setdefault(step.setup.needle, {}).update({step.garment: None} if step.garment else {})
    for needle, time in minutes.items():
        needed = max(1, math.ceil(time / 60.0 / NEEDLE_HOURS))
        there = shelf.take_count("needle", needle, "", needed)
        yield BuyLine(
            sort="needles",
            what=f"needle {needle}",
            unit="count",
            needed=needed,
            on_hand=there,
            to_buy=needed - there,
            garments=tuple(users[needle]),
            priced=False,
            why=(f"{time / 60.0:.1f} h of sewing, changed every {NEEDLE_HOURS:g} h (extradisciplinary.com)",),
        )
