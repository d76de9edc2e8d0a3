"""A garment and its wearer, as the questions of wearing look at them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from firsthand.body import Body, stand_in, taken
from firsthand.findings import Finding
from firsthand.fit import _places as places
from firsthand.fit.model import Answer, EaseRow, WearingRow
from firsthand.fit.wearing._table import EASY
from firsthand.pattern import Garment
from firsthand.units import said

__all__ = ["Case", "Part", "passes", "room_words", "worst"]


@dataclass(frozen=True, slots=True)
class Case:
    """A garment, its wearer, and what is known of both.

    Parameters
    ----------
    rows, lengths
        Rows of the ease table and of lengths, by body measurement.
    stretch, along
        How far the shell stretches round the body and along it, as shares.
    growth
        What is left of a stretch held, as a share of the length; None if not known.
    """

    garment: Garment
    body: Body
    rows: Mapping[str, EaseRow]
    lengths: Mapping[str, EaseRow] = field(default_factory=dict)
    stretch: float = 0.0
    along: float = 0.0
    growth: float | None = None

    def need(self, *keys: str) -> float | None:
        """The first of these measurements that is known, with what is worn beneath, mm."""
        for key in keys:
            row = self.row(key)
            if row is not None and row.body is not None:
                return row.body
            found = taken(self.body, key)
            if found is not None:
                return found.value
        return None

    def row(self, key: str) -> EaseRow | None:
        """The row of a measurement, or of the one that can stand in for it."""
        return self.rows.get(key) or self.rows.get(stand_in(key))

    @property
    def upper(self) -> bool:
        """Whether it hangs from the shoulders."""
        return places.has_edge(places.shell_pieces(self.garment), places.NECK | places.SHOULDER | places.ARMHOLE)

    @property
    def legs(self) -> bool:
        """Whether it has a fork."""
        return places.has_edge(places.shell_pieces(self.garment), places.CROTCH | frozenset({"inseam"}))

    @property
    def sleeved(self) -> bool:
        """Whether sleeves are sewn in or cut in one."""
        return any(places.is_one(places.SLEEVE, piece.id, piece.name) for piece in places.shell_pieces(self.garment))

    @property
    def name(self) -> str:
        """The garment's name within a sentence."""
        return self.garment.name or self.garment.id

    def answer(
        self,
        ask: str,
        verdict: Answer,
        words: str,
        *,
        remedy: str = "",
        about: str = "",
        why: Iterable[str] = (),
        findings: Iterable[Finding] = (),
    ) -> WearingRow:
        """A row of this garment."""
        return WearingRow(self.garment.id, ask, verdict, words, remedy, about, tuple(why), tuple(findings))


@dataclass(frozen=True, slots=True)
class Part:
    """One comparison within an answer."""

    verdict: Answer
    words: str
    remedy: str = ""
    why: tuple[str, ...] = ()
    near: bool = False
    """Whether it fails by so little that soft flesh may give."""


def passes(rest: float, full: float, need: float, easy: float) -> Answer:
    """Whether something of a girth at rest and at full stretch goes over what needs so much.

    Easily where with half of its stretch it is larger than what slips over easily; tight where at full stretch it still goes.

    Examples
    --------
    >>> passes(600, 600, 570, 580).value, passes(575, 575, 570, 580).value, passes(500, 600, 570, 580).value
    ('yes', 'tight', 'tight')
    >>> passes(500, 560, 570, 580).value
    'no'
    """
    if rest + EASY[0] * (full - rest) >= easy:
        return Answer.YES
    return Answer.TIGHT if full >= need else Answer.NO


def room_words(rest: float, full: float) -> str:
    """A girth in words, with its full stretch if it has any."""
    return said(rest) if full - rest < 1.0 else f"{said(rest)}, {said(full)} at full stretch"


_ORDER = (Answer.NO, Answer.TIGHT, Answer.UNKNOWN, Answer.YES)


def worst(parts: Sequence[Part]) -> Part:
    """The part that decides: what cannot be, then what is tight, then what is not known."""
    return min(parts, key=lambda part: _ORDER.index(part.verdict))
