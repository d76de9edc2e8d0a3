"""The even take-in that brings a garment nearest to the ease it should have."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from firsthand.alter import TakeIn
from firsthand.errors import CannotAlter, FirsthandError
from firsthand.fit._ease import lower_first
from firsthand.fit.model import EaseRow, Verdict
from firsthand.pattern import Garment
from firsthand.units import said

__all__ = ["Proposal", "propose"]

PROBE = 8.0
"""Each level's answer to a take-in is found by trying one, first of this much, mm."""
WORTH = 1.0
"""A proposal of less than this, mm of girth, is none."""
TRIES = 6
"""Where edges are bent a level's answer changes with the amount: the amount is tried and corrected at most this often."""
ANSWERS = 0.02
"""A level that answers less than this share of a take-in is not reached by its seams."""
FAR = 60.0
"""More than this, mm, is more than the step between two sizes (EN 13402-3: 40 mm, larger sizes 60 mm at the bust)."""

Table = Callable[[Garment], tuple[EaseRow, ...]]


@dataclass(frozen=True, slots=True)
class Proposal:
    """An even take-in.

    Parameters
    ----------
    take_in
        The alteration; None if nothing should or can be done.
    shares
        What each seam takes, mm of girth.
    words
        One sentence for people; empty if there is nothing to say.
    why
        The working, line by line.
    """

    take_in: TakeIn | None = None
    shares: dict[str, float] | None = None
    words: str = ""
    why: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Answer:
    """How one level answers a take-in: the amounts that bring it to the ends and to the middle of its band."""

    name: str
    rate: float
    ease: float
    low: float
    high: float

    @property
    def least(self) -> float:
        """Less than this leaves it loose."""
        return (self.ease - self.high) / self.rate

    @property
    def most(self) -> float:
        """More than this makes it tight."""
        return (self.ease - self.low) / self.rate


def propose(garment: Garment, table: Table) -> Proposal:
    """Find the even take-in (or let-out) at the seams that the pattern offers for it.

    Each level whose ease and band are known gives a span of amounts that bring it into its band. If all spans have amounts in
    common, the one with the least squares of distances from the middles of the bands is taken, held within what is common. If
    they have none, no level is made tight: what is loose can still be taken in at a fitting, what is cut off is gone.

    Parameters
    ----------
    garment
        The garment as altered so far.
    table
        Makes its ease table; tried on the garment as it would be.
    """
    if not any(seam.take_in for seam in garment.seams):
        return Proposal()
    rows = table(garment)
    if all(row.verdict not in (Verdict.TIGHT, Verdict.LOOSE) for row in rows):
        return Proposal()
    amount, decides = PROBE, ""
    why: tuple[str, ...] = ()
    try:
        for _ in range(TRIES):
            before, (amount, decides, why) = amount, _decided(garment, table, rows, amount)
            if abs(amount - before) < 0.5 or abs(amount) < WORTH:
                break
    except FirsthandError as error:
        return Proposal(why=(str(error),))
    return _proposal(garment, amount, decides, why)


def _decided(garment: Garment, table: Table, rows: tuple[EaseRow, ...], probe: float) -> tuple[float, str, tuple[str, ...]]:
    """The amount that is best if levels go on answering as they answer to a probe; what decides; the working."""
    try:
        altered = TakeIn(probe).apply(garment)
    except CannotAlter:
        probe = TakeIn(probe).most(garment) or math.copysign(WORTH, probe)
        altered = TakeIn(probe).apply(garment)
    answers = list(_answers(rows, table(altered.garment), probe))
    if not answers:
        return 0.0, "", ()
    amount, decides = _best(answers)
    return amount, decides, (*(_line(answer) for answer in answers), f"{decides} decides: {said(amount)} in all")


def _answers(rows: Iterable[EaseRow], tried: Iterable[EaseRow], amount: float) -> Iterable[_Answer]:
    for row, after in zip(rows, tried, strict=True):
        if row.ease is None or row.band is None or row.finished is None or after.finished is None:
            continue
        rate = (row.finished - after.finished) / amount
        if rate > ANSWERS:
            yield _Answer(lower_first(row.name), rate, row.ease, row.band.low, row.band.high)


def _best(answers: list[_Answer]) -> tuple[float, str]:
    """The amount, and the level that decides it."""
    tightest = min(answers, key=lambda answer: answer.most)
    loosest = max(answers, key=lambda answer: answer.least)
    if loosest.least > tightest.most:
        return tightest.most, tightest.name
    middle = sum(a.rate * (a.ease - (a.low + a.high) / 2) for a in answers) / sum(a.rate**2 for a in answers)
    if middle > tightest.most:
        return tightest.most, tightest.name
    return (loosest.least, loosest.name) if middle < loosest.least else (middle, "the middle of all bands")


def _proposal(garment: Garment, amount: float, decides: str, why: tuple[str, ...]) -> Proposal:
    rounded = float(math.floor(amount))  # towards the looser side
    if abs(rounded) < WORTH:
        return Proposal(why=why)
    take_in = TakeIn(rounded, id="even take-in")
    most = take_in.most(garment)
    if abs(most) < abs(rounded):
        why = (*why, f"at most {said(most)} is possible")
        take_in = TakeIn(most, id="even take-in")
    if most == 0:
        return Proposal(why=why)
    try:
        shares = take_in.shares(garment)
    except CannotAlter as error:
        return Proposal(why=(*why, str(error)))
    return Proposal(take_in, shares, _words(take_in, shares, decides), tuple(why))


def _words(take_in: TakeIn, shares: dict[str, float], decides: str) -> str:
    verb = "Take in" if take_in.peak > 0 else "Let out"
    each = said(abs(next(iter(shares.values()))))
    far = " A nearer size would need less." if abs(take_in.peak) > FAR else ""
    return f"{verb} {said(abs(take_in.peak))} in all, {each} at each of {', '.join(shares)}: {decides} decides.{far}"


def _line(answer: _Answer) -> str:
    spans = f"{said(answer.least)} to {said(answer.most)}"
    return f"{answer.name}: ease {said(answer.ease)}, right when taken in by {spans}"
