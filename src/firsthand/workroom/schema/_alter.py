"""The models of what ``firsthand alter`` reads and answers: pieces outside any costume, a stack, and what became of them."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from firsthand.workroom.schema._base import Document, MeasuredDocument, Size, Table
from firsthand.workroom.schema._costume import Kinded
from firsthand.workroom.schema._pattern import PatternFile, PieceTable
from firsthand.workroom.schema._piece import ShapeTable

__all__ = ["AlterAnswer", "OutlinedPiece", "PiecesFile", "StackFile"]


class OutlinedPiece(PieceTable):
    """One piece with its outlines, by size. Without ``cut`` it is cut once, as drawn or on its fold."""

    sizes: Annotated[dict[Size, ShapeTable], Field(default_factory=dict)]


class PiecesFile(PatternFile):
    """``PIECES.json``: the tables of a ``pattern.toml``, with the outlines in its pieces.

    Without ``sizes`` these are the sizes of the pieces, without ``level`` the levels drawn on them.
    """

    sizes: tuple[Size, ...] = ()
    piece: Annotated[tuple[OutlinedPiece, ...], Field(min_length=1)]


class StackFile(MeasuredDocument):
    """``STACK.toml``: alterations in the order in which they are made."""

    alteration: tuple[Kinded, ...] = ()


class EdgeLengths(Table):
    """Lengths of an edge before and after; null where it was not there."""

    piece: str
    edge: str
    before: float | None
    after: float | None
    sewn_before: Annotated[float | None, Field(description="less what darts and pleats take out")]
    sewn_after: float | None


class SeamLengths(Table):
    """A seam before and after; null where it was not there or could not be walked."""

    seam: str
    off_before: Annotated[float | None, Field(description="by how much its two sides differ from what it says")]
    off_after: float | None
    fits: bool | None


class StretchTable(Table):
    """Where a stretch of an old edge went, arc lengths."""

    piece: str
    edge: str
    old_start: float
    old_end: float
    new_start: float
    new_end: float


class RecordTable(Table):
    """What one alteration did."""

    id: str
    kind: str
    words: str
    figures: dict[str, float]
    edges: Annotated[dict[str, tuple[StretchTable, ...]], Field(description="by old piece.edge; those not named stayed")]
    ids: Annotated[dict[str, tuple[str, ...]], Field(description="new ids by old piece.id; those not named stayed")]
    pieces: tuple[str, ...]


class BlockTable(Table):
    """What must wait."""

    act: str
    what: str


class FindingTable(Table):
    """One thing that was noticed."""

    code: str
    severity: str
    message: str
    where: tuple[str, ...]
    remedy: str
    blocks: tuple[BlockTable, ...]
    why: tuple[str, ...]


class AlterAnswer(Document):
    """What ``firsthand alter --json`` says; lengths in millimetres."""

    size: str
    pieces: Annotated[PiecesFile, Field(description="the altered pieces, to be read again as PIECES.json")]
    edges: tuple[EdgeLengths, ...]
    seams: tuple[SeamLengths, ...]
    alterations: Annotated[tuple[RecordTable, ...], Field(description="those that were made, in order")]
    off: Annotated[tuple[str, ...], Field(description="ids of those that are switched off")]
    findings: tuple[FindingTable, ...]
    blocked: tuple[str, ...]
    files: Annotated[tuple[str, ...], Field(description="files that were written")]
