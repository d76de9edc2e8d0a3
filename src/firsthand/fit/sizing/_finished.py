"""The finished girths of every size, and the size that fits a girth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from firsthand.alter import apply_stack
from firsthand.alter.kinds.grade import Grade
from firsthand.body import Body
from firsthand.fit._ease import ease_table
from firsthand.fit.model import EaseBand, EaseRow
from firsthand.fit.sizing._rules import ALIKE, FREE
from firsthand.fit.sizing.model import InSize, LevelSizes
from firsthand.pattern import Garment, Pattern, make_garment

__all__ = ["Asked", "aim", "level_sizes", "nearest_size", "off_band", "size_between"]


@dataclass(frozen=True, slots=True)
class Asked:
    """What a size is chosen for: the wearer, what is worn beneath, and the cloth; see :func:`firsthand.fit.ease_table`."""

    pattern: Pattern
    body: Body
    sort: str
    cut: str
    beneath: Mapping[str, float]
    stretch: float = 0.0
    thickness: float = 0.0
    wanted: Mapping[str, tuple[float, float]] = field(default_factory=dict)

    def garment(self, size: str) -> Garment:
        """The garment in a size, as bought."""
        return make_garment(self.pattern, size, id=self.pattern.id, cut=self.cut, sort=self.sort, wanted=self.wanted)

    def table(self, garment: Garment) -> tuple[EaseRow, ...]:
        """Its ease."""
        return ease_table(
            garment, self.body, beneath=self.beneath, stretch=self.stretch, thickness=self.thickness
        )  # fmt: skip


def level_sizes(asked: Asked, frame: float | None) -> tuple[LevelSizes, ...]:
    """Every level of a pattern in every size whose outlines are there or can be made from their neighbours.

    Parameters
    ----------
    frame
        The full bust by the high bust rule, mm, if it applies.
    """
    tables = {size: _measured(asked, size) for size in asked.pattern.sizes}
    found = []
    for level in asked.pattern.levels:
        rows = {size: (_row(table, level.id), graded) for size, (table, graded) in tables.items()}
        first = next(iter(rows.values()))[0]
        sizes = tuple(
            InSize(size, row.finished, row.ease, row.verdict, graded)
            for size, (row, graded) in rows.items()
            if row.finished is not None
        )
        measured = asked.body.get(level.body)
        bust = level.body == "bust_girth" and frame is not None and measured is not None and first.body is not None
        framed = first.body + frame - measured if bust and first.body and frame and measured else first.body
        found.append(LevelSizes(level.id, level.name, level.body, first.body, framed, first.band, sizes))
    return tuple(found)


def _row(table: Sequence[EaseRow], level: str) -> EaseRow:
    return next(row for row in table if row.level == level)


def _measured(asked: Asked, size: str) -> tuple[tuple[EaseRow, ...], bool]:
    """The ease table in a size, and whether some of its pieces had to be made from other sizes."""
    garment = asked.garment(size)
    graded = any(piece.sizes and size not in piece.sizes for piece in garment.pieces.values())
    if graded:  # where it cannot be made, its pieces stay cards and its girths unknown
        garment = apply_stack(garment, [Grade(id="size", size=size)], compare=False).garment
    return asked.table(garment), graded


def aim(body: float, band: EaseBand) -> float:
    """The finished girth to aim at, mm: the middle of the band, or the least where only that matters.

    Examples
    --------
    >>> aim(900.0, EaseBand(50.0, 100.0, "")), aim(900.0, EaseBand(51.0, 3000.0, ""))
    (975.0, 951.0)
    """
    return body + (band.low if band.high - band.low > FREE else (band.low + band.high) / 2)


def nearest_size(sizes: Sequence[tuple[str, float]], body: float, band: EaseBand) -> str:
    """The size to take for a girth: within the band the one nearest to its aim, or else the smallest that is large enough.

    It never becomes smaller for a larger body, as long as the finished girths grow. The largest of all where none is large
    enough.

    Parameters
    ----------
    sizes
        Each size and its finished girth, mm.

    Examples
    --------
    >>> sizes = [("S", 1000.0), ("M", 1040.0), ("L", 1080.0)]
    >>> [nearest_size(sizes, body, EaseBand(76.0, 120.0, "")) for body in (910.0, 940.0, 966.0, 1200.0)]
    ['S', 'M', 'L', 'L']
    """
    enough = [(size, girth) for size, girth in sizes if girth - body >= band.low - ALIKE]
    if not enough:
        return max(sizes, key=lambda one: one[1])[0]
    within = [(size, girth) for size, girth in enough if girth - body <= band.high + ALIKE]
    if not within or band.high - band.low > FREE:
        return min(enough, key=lambda one: one[1])[0]
    wanted = aim(body, band)
    return min(within, key=lambda one: (abs(one[1] - wanted), -one[1]))[0]


def size_between(sizes: Sequence[tuple[str, float]], girth: float) -> tuple[str, str, float] | None:
    """Between which two sizes a finished girth lies, and its share of the way; None outside all of them.

    Examples
    --------
    >>> size_between([("S", 1000.0), ("M", 1040.0)], 1010.0)
    ('S', 'M', 0.25)
    >>> size_between([("S", 1000.0), ("M", 1040.0)], 1050.0) is None
    True
    """
    for (one, low), (two, high) in pairwise(sizes):
        if low <= girth <= high and low < high:
            return one, two, (girth - low) / (high - low)
    return None


def off_band(ease: float, band: EaseBand) -> float:
    """How far ease lies outside its band, mm: negative is too tight; 0 within it, or nearer than anybody sews.

    Examples
    --------
    >>> off_band(40.0, EaseBand(50.0, 100.0, "")), off_band(99.0, EaseBand(50.0, 100.0, ""))
    (-10.0, 0.0)
    """
    off = ease - min(max(ease, band.low), band.high)
    return off if abs(off) > ALIKE else 0.0
