"""What a fitting told, and what became of it: the values of :mod:`firsthand.fit.fitting`.

They stand beside that package so that :class:`firsthand.fit.FitResult` can hold them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from firsthand.findings import Finding
from firsthand.fit._entries import FittedEntry
from firsthand.geometry import Path, Point
from firsthand.pattern import Hand, PartState

__all__ = [
    "ChalkLine", "ChalkSide", "Consequence", "EaseChange", "Fitted", "Fitting", "FittingPoint", "LengthChange", "Outcome",
    "PointSort", "Spot",
]  # fmt: skip


class PointSort(StrEnum):
    """How a place was noted at a fitting."""

    PIN = "pin"
    """Pinned along a seam on the body or the form."""
    SEWN = "sewn"
    """Sewn again along a seam, and measured from the old stitching to the new."""
    HEM = "hem"
    """A hem marked up or down."""
    EDGE = "edge"
    """An edge without a partner: a neckline, an armhole."""
    DART = "dart"
    """A dart made wider or narrower at its mouth."""


@dataclass(frozen=True, slots=True)
class FittingPoint:
    """One place noted at a fitting.

    Parameters
    ----------
    garment
        Id of the garment.
    line
        The seam, by its id or the name common to right and left; for hems and edges ``PIECE.EDGE``; for darts ``PIECE.DART``.
    hand
        ``left`` or ``right``; empty for both, or where there is only one.
    at
        Where, in words: ``8 cm below waist``, ``level hip``, ``12 cm from the top``, ``notch waist``, ``40 %``.
    amount
        How much, mm: taken in, marked up or cut away; negative let out, let down or added.
    doubled
        For pins: whether they take a fold, and the amount is what lies between pin and fold, so that each side of the seam
        loses all of it; otherwise it is all that the girth loses, and each side loses half.
    nothing
        Places where the change has run to nothing.
    to_end
        Whether it stays the same from the outermost place on to the end of the line, instead of running to nothing there.
    carry
        Whether what was noted on one hand is carried to the other.
    share
        How much of what the seam takes its first side takes.
    trimmed
        Whether the allowances there are trimmed or graded already, so that nothing is left to let out.
    """

    sort: PointSort
    garment: str
    line: str
    at: str = ""
    amount: float = 0.0
    hand: str = ""
    doubled: bool = False
    nothing: tuple[str, ...] = ()
    to_end: bool = False
    carry: bool = False
    share: float = 0.5
    trimmed: bool = False

    @property
    def each(self) -> float:
        """How far the stitching line moves on each of two sides that share alike, or the edge itself, mm.

        Examples
        --------
        >>> pins = FittingPoint(PointSort.PIN, "jerkin", "side", "level hip", 12.0)
        >>> pins.each, FittingPoint(PointSort.PIN, "jerkin", "side", "level hip", 12.0, doubled=True).each
        (6.0, 12.0)
        """
        return self.amount / 2 if self.sort is PointSort.PIN and not self.doubled else self.amount


@dataclass(frozen=True, slots=True)
class Fitting:
    """One fitting: what was pinned or sewn on one day, on somebody or on a form.

    Parameters
    ----------
    id
        Its date, with ``-2`` and so on behind it for a second one on that day.
    on
        Id of the wearer or form that it was on.
    beneath
        What was worn beneath, in words.
    words, notes
        What was seen.
    in_pattern
        Ids of garments whose stack has it already, so that it is not applied again.
    """

    id: str
    date: str
    on: str = ""
    beneath: tuple[str, ...] = ()
    words: str = ""
    notes: tuple[str, ...] = ()
    points: tuple[FittingPoint, ...] = ()
    in_pattern: tuple[str, ...] = ()

    @property
    def garments(self) -> tuple[str, ...]:
        """Ids of the garments it tells of."""
        return tuple(dict.fromkeys(point.garment for point in self.points))

    def of(self, garment: str) -> tuple[FittingPoint, ...]:
        """What it tells of one garment."""
        return tuple(point for point in self.points if point.garment == garment)


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on an old stitching line: what was said of it, where on the old edge, and how far inwards the new line is, mm."""

    words: str
    at: float
    amount: float
    old: Point
    new: Point


@dataclass(frozen=True, slots=True)
class ChalkSide:
    """One edge of a line that was fitted.

    Parameters
    ----------
    piece, edge
        Names as they are after the fitting.
    old, new
        The stitching line before and after, in the coordinates of the piece.
    allowance, inlay
        What is beyond the old stitching line, mm.
    """

    piece: str
    edge: str
    old: Path
    new: Path
    spots: tuple[Spot, ...]
    allowance: float
    inlay: float

    @property
    def most_in(self) -> float:
        """The most by which it moves inwards, mm."""
        return max([0.0, *(spot.amount for spot in self.spots)])

    @property
    def most_out(self) -> float:
        """The most by which it moves outwards, mm."""
        return max([0.0, *(-spot.amount for spot in self.spots)])

    @property
    def worst(self) -> Spot:
        """Where it moves outwards most."""
        return min(self.spots, key=lambda spot: spot.amount)


@dataclass(frozen=True, slots=True)
class ChalkLine:
    """A new stitching line on both sides of a seam, or on one edge.

    Parameters
    ----------
    name
        As people say it: ``side, left``.
    line, hand
        The seam or edge, and its hand; empty for both.
    seams
        Ids of the seams on which it lies; empty for an edge.
    starts, ends
        Stretch of the seam that changes, mm of sewn length from its start.
    length
        Sewn length of the seam before, mm.
    crossing
        What meets it where it changes at its ends, and must be opened there first.
    words
        What was entered, in words.
    start_name
        What the seam starts at: an edge that meets it there.
    """

    name: str
    line: str
    hand: str
    seams: tuple[str, ...]
    sides: tuple[ChalkSide, ...]
    starts: float
    ends: float
    length: float
    crossing: tuple[str, ...]
    words: tuple[str, ...]
    start_name: str = "its start"


class Outcome(StrEnum):
    """What a fitting means for a part."""

    FOLLOWS = "follows"
    """Not cut yet: it is cut to the new line."""
    RETRIM = "retrim"
    """Cut: chalk the new line, trim along the strip."""
    LET_OUT = "let out"
    """Cut: the new line lies in the inlay."""
    UNPICK = "unpick"
    """Sewn: unpick, sew the new line."""
    RECUT = "recut"
    """Cut, and the cloth does not reach: cut another one, or piece on."""
    TOO_LATE = "too late"
    """Sewn, and the cloth does not reach: piece on, or recut."""


@dataclass(frozen=True, slots=True)
class Consequence:
    """What a fitting means for one part."""

    part: str
    piece: str
    hand: Hand
    state: PartState
    outcome: Outcome
    words: str


@dataclass(frozen=True, slots=True)
class LengthChange:
    """Lengths of both sides of a seam before and after, mm, where one of them changed.

    Parameters
    ----------
    words
        What that means, by how far the parts are.
    """

    seam: str
    a_before: float
    a_after: float
    b_before: float
    b_after: float
    words: str = ""


@dataclass(frozen=True, slots=True)
class EaseChange:
    """Ease at a level before and after a fitting, mm; None where it is not known."""

    level: str
    name: str
    before: float | None
    after: float | None
    low: float | None
    high: float | None
    verdict: str


@dataclass(frozen=True, slots=True)
class Fitted:
    """What a fitting means for one garment.

    Parameters
    ----------
    entries
        The alterations that carry it, in order; :func:`firsthand.fit.fitting.alterations_of` makes them.
    lines
        The new stitching lines.
    consequences
        For each part that changes.
    lengths
        Seams that have other lengths now.
    ease
        The ease before and after.
    steps
        What to do, in order.
    findings
        What was noticed.
    applied
        Whether it was applied here; False where the stack has it already, and only its history is told.
    """

    garment: str
    fitting: Fitting
    entries: tuple[FittedEntry, ...] = ()
    lines: tuple[ChalkLine, ...] = ()
    consequences: tuple[Consequence, ...] = ()
    lengths: tuple[LengthChange, ...] = ()
    ease: tuple[EaseChange, ...] = ()
    steps: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    applied: bool = True
