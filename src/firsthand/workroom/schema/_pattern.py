"""The model of ``patterns/ID/pattern.toml``."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from firsthand.pattern import ClosureKind, Condition, Hand, How, SeamKind
from firsthand.workroom.schema._base import (
    Count,
    FileLength,
    Flag,
    Id,
    MeasuredDocument,
    NoLess,
    Number,
    Positive,
    ShareUp,
    Size,
    Table,
    Text,
)

__all__ = [
    "AppliedTable", "ClosureTable", "CutTable", "HaberdasheryTable", "LevelTable", "OpeningTable", "PatternFile", "PieceTable",
    "ScaleTable", "SeamTable",
]  # fmt: skip

EdgeWords = Annotated[str, Field(strict=True, max_length=200, description='"PIECE.EDGE [left|right] [ROLE] [no. N]"')]
Chain = tuple[EdgeWords, ...]
Sides = Literal["as written", "each", "both"]


class ScaleTable(Table):
    """A test line: what it says it measures and what a ruler says."""

    printed: Positive
    measured: Positive


class CutTable(Table):
    """How many of a piece are cut of what."""

    role: Id
    how: How = How.PAIR
    count: Annotated[Count, Field(ge=1, le=200)] = 1


class PieceTable(Table):
    """One piece; its outlines are in ``pieces/ID.json``, and without that file it is only a card."""

    id: Id
    number: Text = ""
    name: Text | None = None
    fold: Annotated[Text, Field(description="id of the edge that lies on the fold")] = ""
    drawn: Hand = Hand.RIGHT
    condition: Condition = Condition.WHOLE
    turning: Flag = True
    grain_tolerance: Annotated[Number, Field(ge=0, le=180, description="degrees")] = 0.0
    cut: tuple[CutTable, ...] = ()
    rough: Annotated[
        dict[Size, tuple[Positive, Positive]],
        Field(default_factory=dict, description="length along the grain and width, by size, with allowances"),
    ]


class SeamTable(Table):
    """One seam, or a right and a left one."""

    id: Id
    a: Annotated[Chain, Field(min_length=1)]
    b: Annotated[Chain, Field(min_length=1)]
    hands: Literal["each", "across", "as written"] = "each"
    kind: SeamKind = SeamKind.PLAIN
    easing: FileLength = 0.0
    ratio: Annotated[Number, Field(gt=0, le=20)] = 1.0
    tolerance: NoLess = 1.5
    reverse_b: Flag = True
    take_in: Flag = False
    after: tuple[Id, ...] = ()


class LevelTable(Table):
    """A line across parts at a body landmark."""

    id: Id
    name: Text | None = None
    body: Annotated[Text, Field(description="key of the body measurement")]
    limb: Flag = False
    extra: FileLength = 0.0


class OpeningTable(Table):
    """A hole that stays when all seams are sewn."""

    id: Id
    edges: Annotated[Chain, Field(min_length=1)]
    closure: Text = ""
    hands: Sides = "as written"


class ClosureTable(Table):
    """How an opening is closed."""

    id: Id
    kind: ClosureKind
    edges: Chain = ()
    hands: Sides = "as written"
    count: Count = 0
    overlap: FileLength = 0.0
    alone: Flag = True
    parts_under_pull: Flag = False
    at_neck: Flag = False


class AppliedTable(Table):
    """A piece that is laid flat on another one and sewn down."""

    piece: Id
    onto: Id
    line: Annotated[Text, Field(description="id of the inner line of that piece that shows where")] = ""
    role: Annotated[Id, Field(description="role of the parts that carry it")] = "shell"
    hand: Annotated[Hand, Field(description="the hand that carries it, if only one does")] = Hand.CENTRE


class HaberdasheryTable(Table):
    """Something small that the pattern needs."""

    kind: Annotated[Text, Field(min_length=1)]
    count: Count = 0
    length: NoLess = 0.0
    size: Text = ""
    colour: Text = ""


class PatternFile(MeasuredDocument):
    """``patterns/ID/pattern.toml``."""

    name: Text | None = None
    sizes: Annotated[tuple[Size, ...], Field(min_length=1)]
    trimmed: Annotated[tuple[Size, ...], Field(description="sizes no longer on the paper")] = ()
    expects_stretch: ShareUp = 0.0
    expects_thickness: NoLess = 0.0
    scale: ScaleTable | None = None
    chart: Annotated[dict[Size, dict[str, Positive]], Field(default_factory=dict)]
    piece: tuple[PieceTable, ...] = ()
    seam: tuple[SeamTable, ...] = ()
    level: tuple[LevelTable, ...] = ()
    opening: tuple[OpeningTable, ...] = ()
    closure: tuple[ClosureTable, ...] = ()
    haberdashery: tuple[HaberdasheryTable, ...] = ()
    applied: tuple[AppliedTable, ...] = ()
