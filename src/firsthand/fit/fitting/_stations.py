"""From the few places of a fitting to amounts all along a line: whose hand, in which order, and where it runs to nothing."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firsthand.errors import FirsthandError
from firsthand.fit._fitted import FittingPoint, PointSort
from firsthand.fit.fitting._places import Run, plain_place
from firsthand.units import said

__all__ = ["Contradiction", "Group", "Station", "by_hand", "is_mark", "stations", "steepest"]

ONE_PLACE = 1.0
"""Places closer than this, mm, are one: nobody pins closer."""
SAME = 0.05
"""Amounts that differ by less, mm, are the same."""


class Contradiction(FirsthandError, ValueError):
    """Two things noted that cannot both be."""

    remedy = "Take one of the two out, or tell each hand by itself."


@dataclass(frozen=True, slots=True)
class Group:
    """Everything noted about one line, for one hand or for both."""

    line: str
    hand: str
    points: tuple[FittingPoint, ...]

    @property
    def name(self) -> str:
        """As people say it."""
        return f"{self.line}, {self.hand}" if self.hand else self.line

    @property
    def sort(self) -> PointSort:
        """How it was noted."""
        return self.points[0].sort


@dataclass(frozen=True, slots=True)
class Station:
    """A place, mm of sewn length, how far each side moves inwards there, mm, and what was said."""

    at: float
    each: float
    words: str = ""


def by_hand(line: str, points: Sequence[FittingPoint]) -> tuple[Group, ...]:
    """What was noted about one line, by hand: carried over, or kept uneven; what is alike on both hands as one.

    Raises
    ------
    Contradiction
        If something is told for both hands and for one, or carried to a hand that has something of its own.
    """
    told = {hand: tuple(point for point in points if point.hand == hand) for hand in ("", "right", "left")}
    carried = [hand for hand in ("right", "left") if any(point.carry for point in told[hand])]
    if told[""] and (told["right"] or told["left"]):
        one = "right" if told["right"] else "left"
        raise Contradiction(f"{line} is told for both hands, and for the {one} one by itself")
    if carried and told["right"] and told["left"]:
        raise Contradiction(f"the {carried[0]} {line} is carried to the other hand, which has its own places")
    if carried or told[""]:
        return (Group(line, "", tuple(points)),)
    if told["right"] and told["left"] and _alike(told["right"], told["left"]):
        return (Group(line, "", told["right"]),)
    return tuple(Group(line, hand, told[hand]) for hand in ("right", "left") if told[hand])


def _alike(one: Iterable[FittingPoint], two: Iterable[FittingPoint]) -> bool:
    def said_of(points: Iterable[FittingPoint]) -> list[tuple[object, ...]]:
        return sorted((plain_place(p.at), p.each, p.nothing, p.to_end, p.share, p.trimmed) for p in points)

    return said_of(one) == said_of(two)


def stations(run: Run, points: Sequence[FittingPoint]) -> tuple[Station, ...]:
    """Amounts at places along a line, in order; between them the amount runs monotone.

    Beyond the outermost place it runs to nothing where that is told, else at the end of the line, unless it stays the same.

    Raises
    ------
    Contradiction
        If one place has two amounts.
    NotThere, CannotAlter
        If a place is not there.
    """
    found = [Station(run.place(point.at), point.each, plain_place(point.at)) for point in points]
    found += [Station(run.place(words), 0.0, plain_place(words)) for point in points for words in point.nothing]
    kept: list[Station] = []
    for one in sorted(found, key=lambda station: station.at):
        if kept and one.at - kept[-1].at < ONE_PLACE:
            if abs(one.each - kept[-1].each) > SAME:
                both = f"{said(kept[-1].each)} and {said(one.each)}"
                raise Contradiction(f"{both} on each side are told for one place of {run.name}: {one.words}")
            continue
        kept.append(one)
    to_end = any(point.to_end for point in points)
    if not to_end and kept[0].at > ONE_PLACE and abs(kept[0].each) > SAME:
        kept.insert(0, Station(0.0, 0.0, "start"))
    if not to_end and run.length - kept[-1].at > ONE_PLACE and abs(kept[-1].each) > SAME:
        kept.append(Station(run.length, 0.0, "end"))
    return tuple(kept)


def steepest(placed: Sequence[Station]) -> tuple[float, float]:
    """Between which two places the amount changes fastest: by how much, and within which length, mm."""
    pairs = [(abs(two.each - one.each), two.at - one.at) for one, two in itertools.pairwise(placed)]
    return max(pairs, key=lambda pair: pair[0] / pair[1], default=(0.0, 1.0))


def is_mark(words: str, levels: Iterable[str]) -> bool:
    """Whether words name a mark of the pattern, so that a place may be written by it."""
    return bool(re.match(r"(level|notch) ", words)) or words.lower() in levels
