"""What the fit stage answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from firsthand.alter.model import Record
from firsthand.findings import Finding
from firsthand.pattern import Garment, Shape

__all__ = ["EaseBand", "EaseRow", "FitResult", "Verdict"]


class Verdict(StrEnum):
    """What an ease table says of one level."""

    TIGHT = "tight"
    GOOD = "good"
    LOOSE = "loose"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class EaseBand:
    """Ease wanted at a level, mm, with where it comes from."""

    low: float
    high: float
    source: str


@dataclass(frozen=True, slots=True)
class EaseRow:
    """One level of one garment.

    Parameters
    ----------
    body
        Body girth with what is worn beneath, mm; None if the measurement is missing.
    finished
        Finished girth, mm; None if a piece that the level crosses is only a card, or the garment no longer reaches the level.
    band
        What is wanted; None where no source says anything.
    why
        The working, line by line.
    note
        Why there is no girth, in a few words, where the garment ends before the level.
    """

    garment: str
    level: str
    name: str
    body_key: str
    body: float | None
    finished: float | None
    band: EaseBand | None
    verdict: Verdict
    why: tuple[str, ...] = ()
    note: str = ""

    @property
    def ease(self) -> float | None:
        """Finished girth minus body girth, mm."""
        return None if self.body is None or self.finished is None else self.finished - self.body


@dataclass(frozen=True, slots=True)
class FitResult:
    """A garment, drafted and altered, with its ease.

    Parameters
    ----------
    garment
        After the brief's alterations, the proposed take-in if it was accepted, and drafted pieces.
    before, after
        The ease table of the garment as bought and as altered.
    records
        What each alteration did, in order.
    altered
        For each record the outlines of the pieces it changed, as they were after it.
    proposal
        An even take-in (positive) or let-out (negative) by seam, mm of girth in all, whether or not it was applied.
    figures
        Key figures of drafted pieces, by piece.
    """

    garment: Garment
    before: tuple[EaseRow, ...]
    after: tuple[EaseRow, ...]
    records: tuple[Record, ...] = ()
    proposal: Mapping[str, float] = field(default_factory=dict)
    proposal_words: str = ""
    figures: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    altered: tuple[Mapping[str, Shape], ...] = ()
