"""What an importer proposes: outlines and lines found in a file, before anybody said what they are."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from firsthand.findings import Finding
from firsthand.geometry import Path, Point

__all__ = ["FoundLine", "FoundMark", "Meaning", "Proposal", "Proposals"]


class Meaning(StrEnum):
    """What a line, point or layer of a file probably means."""

    BOUNDARY = "boundary"
    TURN = "turn point"
    CURVE = "curve point"
    NOTCH = "notch"
    MIRROR = "mirror line"
    GRAIN = "grain"
    INNER = "internal line"
    CUT_OUT = "internal cut-out"
    HOLE = "drill hole"
    STITCHING = "stitching line"
    DART = "dart"
    FOLD = "fold line"
    PLEAT = "pleat"
    WORDS = "words"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class FoundLine:
    """A line inside or across an outline."""

    kind: Meaning
    path: Path
    layer: str = ""


@dataclass(frozen=True, slots=True)
class FoundMark:
    """A single point: a notch, a drill hole, a turn point."""

    kind: Meaning
    point: Point
    layer: str = ""


@dataclass(frozen=True, slots=True)
class Proposal:
    """One piece as a file seems to have it.

    Parameters
    ----------
    name
        The file's own name for it, or one made up from its place.
    outline
        Closed, counter-clockwise, millimetres, y up; curves are cubics where the file has curves.
    lines, marks, words
        What lies within.
    layer
        The layer or group of its outline.
    ids
        The file's ids of the elements that make the outline.
    size
        The size it belongs to, in the file's own word where it has one; empty if nothing tells sizes apart.
    accuracy
        How far the outline may be from the truth, mm; None where the file is exact or nothing is known.
    """

    name: str
    outline: Path
    lines: tuple[FoundLine, ...] = ()
    marks: tuple[FoundMark, ...] = ()
    words: tuple[str, ...] = ()
    layer: str = ""
    ids: tuple[str, ...] = ()
    size: str = ""
    accuracy: float | None = None


@dataclass(frozen=True, slots=True)
class Proposals:
    """Everything one file proposes, and what was noticed while reading it."""

    proposals: tuple[Proposal, ...]
    findings: tuple[Finding, ...] = ()
