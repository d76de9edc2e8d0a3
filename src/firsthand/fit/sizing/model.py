"""What the choice of a size answers."""

from __future__ import annotations

from dataclasses import dataclass

from firsthand.alter.kinds.blend_sizes import BlendSizes
from firsthand.alter.kinds.grade import Grade
from firsthand.alter.model import Alteration
from firsthand.findings import Finding
from firsthand.fit.model import EaseBand, Verdict

__all__ = ["AfterBlend", "ChartPlace", "InSize", "LevelSizes", "SizeChoice"]


@dataclass(frozen=True, slots=True)
class ChartPlace:
    """Where one body measurement falls in the printed chart.

    Parameters
    ----------
    key
        The measurement.
    body
        What is looked up, mm; for the bust by the high bust rule what the frame of the body asks for.
    lower, upper, share
        The two sizes between which it lies and the share of the way from one to the other; the same size twice where it is
        that size's, or where it lies outside all of them.
    beyond
        How far it lies above the largest size, mm; negative below the smallest.
    size
        The size it is nearest to, the larger one half way between two.
    asked
        The chart's value of that size, mm.
    """

    key: str
    body: float
    lower: str
    upper: str
    share: float
    beyond: float
    size: str
    asked: float

    @property
    def words(self) -> str:
        """The place in words.

        Examples
        --------
        >>> ChartPlace("hip_girth", 1010.0, "12", "14", 0.25, 0.0, "12", 1000.0).words
        '12 to 14, 25 %'
        >>> ChartPlace("hip_girth", 1000.0, "12", "12", 0.0, 0.0, "12", 1000.0).words
        '12'
        """
        if self.beyond:
            return f"{'above' if self.beyond > 0 else 'below'} {self.size}"
        return self.lower if self.lower == self.upper else f"{self.lower} to {self.upper}, {self.share:.0%}".replace("%", " %")


@dataclass(frozen=True, slots=True)
class InSize:
    """A level in one size: finished girth and ease, mm.

    Parameters
    ----------
    graded
        Whether the size is not on the paper and was made from its neighbours to be measured.
    """

    size: str
    finished: float | None
    ease: float | None
    verdict: Verdict
    graded: bool = False


@dataclass(frozen=True, slots=True)
class LevelSizes:
    """One level in every size, and what becomes of it in the size that was chosen.

    Parameters
    ----------
    body
        Girth to go round, with what is worn beneath and half of the garment's own cloth, mm.
    frame
        At the bust: the same by the high bust rule, mm; elsewhere as ``body``.
    sizes
        In the pattern's order; only those of which an outline is there or could be made.
    fits
        The size that fits, in words: ``"12"``, ``"12 to 14, 40 %"``; empty where none does.
    amount
        Girth to be altered in the size chosen, mm: positive is let out, negative taken in, 0 nothing; None if not known.
    words
        The same in words, empty if nothing is altered.
    """

    level: str
    name: str
    key: str
    body: float | None
    frame: float | None
    band: EaseBand | None
    sizes: tuple[InSize, ...]
    fits: str = ""
    amount: float | None = None
    words: str = ""

    def in_size(self, size: str) -> InSize | None:
        """The level in a size, if it is known there."""
        return next((one for one in self.sizes if one.size == size), None)


@dataclass(frozen=True, slots=True)
class AfterBlend:
    """A level of the garment that the blend really makes, measured again.

    Parameters
    ----------
    place
        The size it was given there, as the blend's entry says it; empty where it follows its neighbours.
    residual
        Ease outside the band, mm: negative is too tight; 0 within it.
    """

    level: str
    name: str
    place: str
    ease: float | None
    residual: float | None


@dataclass(frozen=True, slots=True)
class SizeChoice:
    """The size of a pattern for a body.

    Parameters
    ----------
    pattern
        Its id.
    size
        The size recommended; empty where nothing decides.
    key, level
        The measurement that decides, and the level it is compared at; no level where the chart alone decides.
    by
        ``"finished girth"``, ``"chart"`` or empty.
    reason
        One sentence: which measurement decides and why.
    fits
        What would fit there exactly, in words, as ``"12 to 14, 40 %"``.
    beyond
        How far the body lies above all sizes there, mm; negative below.
    bust_to_add
        What the front lacks over the bust, mm of girth; negative: has too much; 0 where the high bust rule does not apply.
    blend
        The entry's sizes by level, ready for ``blend-sizes``; empty where one size does everywhere.
    after
        The blended garment measured again, a row for each level.
    grade
        A size to be made again from its neighbours, because it is not on the paper.
    why
        The working.
    """

    pattern: str
    size: str
    key: str = ""
    level: str = ""
    by: str = ""
    reason: str = ""
    fits: str = ""
    beyond: float = 0.0
    bust_to_add: float = 0.0
    chart: tuple[ChartPlace, ...] = ()
    levels: tuple[LevelSizes, ...] = ()
    blend: tuple[str, ...] = ()
    after: tuple[AfterBlend, ...] = ()
    grade: str = ""
    findings: tuple[Finding, ...] = ()
    why: tuple[str, ...] = ()

    @property
    def alterations(self) -> tuple[Alteration, ...]:
        """What stands first in the stack of a garment in this size: the blend, or the size made again."""
        if self.blend:
            return (BlendSizes(id="sizes", at=self.blend),)
        return (Grade(id="size", size=self.grade),) if self.grade else ()

    @property
    def altered(self) -> tuple[LevelSizes, ...]:
        """The levels at which the garment in this size is altered."""
        return tuple(level for level in self.levels if level.words)

    @property
    def blend_words(self) -> str:
        """The blend as a cutter says it.

        Examples
        --------
        >>> SizeChoice("p", "12", blend=("12 at bust", "16 at hip")).blend_words
        '12 at the bust to 16 at the hip'
        """
        return " to ".join(place.replace(" at ", " at the ") for place in self.blend)
