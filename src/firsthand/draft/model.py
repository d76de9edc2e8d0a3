"""What a drafted piece is, and what drafting gives back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import ClassVar, Protocol

from firsthand.draft._openings import openings_with
from firsthand.findings import Finding
from firsthand.pattern import Applied, Garment, InnerLine, Notch, Piece, Seam, parts_of_piece
from firsthand.registry import Registry

__all__ = ["DRAFTS", "Draft", "Drafting", "add_drafting"]


@dataclass(frozen=True, slots=True)
class Drafting:
    """A drafted piece with the seams that join it, and its key figures for people.

    Parameters
    ----------
    figures
        By what they are called: lengths in mm, but a name that ends in ``count`` counts, and one that ends in ``ratio`` is a
        plain number.
    notches
        Notches to add to other pieces, so that those of the drafted piece have partners: piece and notch.
    lines
        Inner lines to add to other pieces: piece and line.
    applied
        What the drafted piece is laid on, if it is sewn to the face of others.
    """

    piece: Piece
    seams: tuple[Seam, ...] = ()
    figures: Mapping[str, float] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    notches: tuple[tuple[str, Notch], ...] = ()
    lines: tuple[tuple[str, InnerLine], ...] = ()
    applied: tuple[Applied, ...] = ()


class Draft(Protocol):
    """A piece made from numbers or from other pieces: a frozen dataclass of its numbers, whose fields are its TOML form."""

    kind: ClassVar[str]

    @property
    def id(self) -> str:
        """Id of the piece it makes."""

    def draft(self, garment: Garment | None) -> Drafting:
        """Make the piece.

        Parameters
        ----------
        garment
            What it follows; None when it is drafted from numbers alone.
        """


DRAFTS: Registry[type[Draft]] = Registry("drafted piece")
"""Every kind of drafted piece, by the kind written in TOML."""


def add_drafting(garment: Garment, drafting: Drafting) -> Garment:
    """The garment with a drafted piece, its parts and its seams, the notches that meet it, and where it is laid on.

    A piece, seam, notch or inner line of the same id is exchanged, and so is what was said of where the piece lies. An opening
    whose edges are now sewn to the piece runs on round it.
    """
    kept = tuple(part for part in garment.parts if part.piece != drafting.piece.id)
    ids = {seam.id for seam in drafting.seams}
    for name, notch in drafting.notches:
        garment = garment.with_piece(_notched(garment.piece(name), notch))
    for name, line in drafting.lines:
        garment = garment.with_piece(_marked(garment.piece(name), line))
    elsewhere = tuple(item for item in garment.applied if item.piece != drafting.piece.id)
    made = replace(
        garment.with_piece(drafting.piece),
        parts=kept + parts_of_piece(drafting.piece),
        seams=tuple(seam for seam in garment.seams if seam.id not in ids) + drafting.seams,
        applied=elsewhere + drafting.applied if drafting.applied else garment.applied,
    )
    return replace(made, openings=openings_with(made, drafting.piece, drafting.seams))


def _notched(piece: Piece, notch: Notch) -> Piece:
    shape = piece.drawn_shape
    shape.edge(notch.edge)
    kept = tuple(old for old in shape.notches if old.id != notch.id)
    return replace(piece, shape=replace(shape, notches=(*kept, notch)))


def _marked(piece: Piece, line: InnerLine) -> Piece:
    shape = piece.drawn_shape
    kept = tuple(old for old in shape.lines if old.id != line.id)
    return replace(piece, shape=replace(shape, lines=(*kept, line)))
