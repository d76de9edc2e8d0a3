"""What the fit stage answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from firsthand.alter.model import Record
from firsthand.findings import Finding
from firsthand.fit._entries import Suggested
from firsthand.fit._fitted import Fitted
from firsthand.pattern import Garment, Shape

__all__ = [
    "Answer", "ClothFit", "ClothRow", "EaseBand", "EaseRow", "FitResult", "Layer", "Proposal", "ProposalRow", "StretchingSeam",
    "Suggested", "Verdict", "Way", "WearingRow",
]  # fmt: skip


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
class ProposalRow:
    """What a proposal does at one level.

    Parameters
    ----------
    before, after
        Ease before and after it, mm.
    low, high
        The ends of the band wanted, mm.
    residual
        How far the ease is from the band afterwards, mm: negative where it is still tight, positive where still loose.
    seams
        What each seam takes there, mm of girth (negative: lets out), by the name common to right and left.
    reach
        How far no seam can bring it nearer, and why; empty where the band is reached.
    """

    level: str
    name: str
    before: float
    low: float
    high: float
    after: float
    residual: float
    seams: Mapping[str, float] = field(default_factory=dict)
    reach: str = ""


@dataclass(frozen=True, slots=True)
class Proposal:
    """What would be altered so that the ease is as wanted.

    Parameters
    ----------
    alterations
        In the order in which they are to be applied, behind those of the brief.
    rows
        What they do, for each level whose ease and band are known.
    words
        One sentence for people; empty if there is nothing to alter.
    why
        The working, line by line.
    findings
        Bands that contradict each other, seams that cannot give enough.
    others
        Alterations of other kinds that were tried and bring a level nearer, to choose from; each is written into the costume's
        file only where it is asked for by name.
    missing
        What the pattern or the measurements lack for others to be tried, in words.
    """

    alterations: tuple[Suggested, ...] = ()
    rows: tuple[ProposalRow, ...] = ()
    words: str = ""
    why: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    others: tuple[Suggested, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ClothRow:
    """What the cloth does at one level.

    Parameters
    ----------
    available
        Its stretch round the body there, as a share.
    share
        How much of that stretch may be used up, as a share of it.
    reduction
        How much smaller it should be cut than it is, mm of girth; negative: larger.
    strain
        Strain of the cloth when it is worn, as a share of its rest length, negative where there is ease; None if not known.
    pressure
        Lowest and highest pressure on the body, kPa; None where the tension of the cloth is not known.
    why
        The working, line by line.
    body, finished
        Body girth with what is worn beneath, and finished girth as it is, mm; None if not known.
    target, target_strain, target_pressure
        The finished girth that this cloth asks for, and what it does then; None where nothing is to be worked out.
    limit
        Pressure above which there is a caution, kPa.
    """

    level: str
    name: str
    available: float
    share: float
    reduction: float
    strain: float | None = None
    pressure: tuple[float, float] | None = None
    why: tuple[str, ...] = ()
    body: float | None = None
    finished: float | None = None
    target: float | None = None
    target_strain: float | None = None
    target_pressure: tuple[float, float] | None = None
    limit: float = 0.0

    @property
    def used(self) -> float | None:
        """Which share of the stretch there is is used up as it is; None if not known, or there is none to use."""
        if self.strain is None or self.available <= 0:
            return None
        return max(0.0, self.strain) / self.available


@dataclass(frozen=True, slots=True)
class StretchingSeam:
    """A seam or edge that must stretch with the cloth.

    Parameters
    ----------
    runs
        ``round`` the body, or ``along`` it.
    strain
        How far the cloth beside it is stretched when it is worn, as a share.
    stitch
        What it is sewn with.
    """

    seam: str
    runs: str
    strain: float
    stitch: str


@dataclass(frozen=True, slots=True)
class Way:
    """One way to go on where a figure is uncertain.

    Parameters
    ----------
    id, words
        Stable id; what is done, in one sentence.
    minutes
        More work than cutting at once, roughly.
    cloth
        More cloth, mm of length, roughly.
    advised
        Whether it is the one advised.
    why
        Why it is or is not.
    """

    id: str
    words: str
    minutes: float
    cloth: float
    advised: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True)
class ClothFit:
    """What a cloth other than the pattern expects does to the fit.

    Parameters
    ----------
    rows
        For each level.
    alterations
        What would put the pattern right.
    ways
        The ways there are where the figure is uncertain; empty where it is not.
    seams
        Seams and edges that must stretch with the cloth.
    why
        The working that belongs to no level, line by line.
    fabric
        The cloth's id.
    """

    rows: tuple[ClothRow, ...] = ()
    alterations: tuple[Suggested, ...] = ()
    ways: tuple[Way, ...] = ()
    words: str = ""
    findings: tuple[Finding, ...] = ()
    seams: tuple[StretchingSeam, ...] = ()
    why: tuple[str, ...] = ()
    fabric: str = ""


@dataclass(frozen=True, slots=True)
class Layer:
    """A garment worn beneath another one.

    Parameters
    ----------
    thickness
        Of all its cloth that goes round the body, mm.
    girths
        Its own finished girths, mm, by body measurement, where they are known.
    """

    garment: str
    name: str
    thickness: float = 0.0
    girths: Mapping[str, float] = field(default_factory=dict)


class Answer(StrEnum):
    """Whether something can be done in a garment, the worst last but one."""

    YES = "yes"
    TIGHT = "tight"
    NO = "no"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class WearingRow:
    """One question about wearing a garment, and its answer.

    Parameters
    ----------
    ask
        What is asked: ``sit``, ``reach forward``, ``on over the head``, ``neck``...
    verdict, words
        The answer, and one sentence for people.
    remedy
        What would make it possible; empty where it is.
    about
        Id of the opening, closure or level it is about; empty for the whole garment.
    why
        The working, line by line.
    findings
        What is to be noticed because of it.
    """

    garment: str
    ask: str
    verdict: Answer
    words: str
    remedy: str = ""
    about: str = ""
    why: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


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
    lengths
        Lengths and widths that are not girths, as altered: crotch length, body rise, across the back, sleeve heads.
    wearing
        Whether the wearer can sit, kneel, reach, get it on and close it.
    proposal
        An even take-in (positive) or let-out (negative) by seam, mm of girth in all, whether or not it was applied.
    figures
        Key figures of drafted pieces, by piece.
    proposed
        What would be altered so that the ease is as wanted, on the garment as its brief's alterations leave it, whether or not
        its taking in was applied.
    cloth
        What the cloth does to the fit; None if not known.
    fittings
        What each fitting means, in order.
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
    proposed: Proposal = field(default_factory=Proposal)
    cloth: ClothFit | None = None
    wearing: tuple[WearingRow, ...] = ()
    lengths: tuple[EaseRow, ...] = ()
    fittings: tuple[Fitted, ...] = ()
