"""A stack of alterations applied to pieces outside any costume, and everything that is to be said of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from firsthand.alter import Alteration, Record, apply_stack
from firsthand.errors import BadInput, FirsthandError, Problem
from firsthand.findings import Finding, held
from firsthand.pattern import Garment, Seam, check_garment, sewn_length, walk_seam
from firsthand.sheets import pieces_dxf
from firsthand.units import Unit
from firsthand.workroom._cache import write_whole
from firsthand.workroom._stack_file import pattern_now, pieces_now, read_pieces_and_stack
from firsthand.workroom._writing import laid_out

__all__ = [
    "AlteredPieces",
    "EdgeRow",
    "SeamRow",
    "alter_pieces",
    "answer",
    "check_outs",
    "read_pieces_and_stack",
    "write_pieces",
]


@dataclass(frozen=True, slots=True)
class EdgeRow:
    """Lengths of an edge before and after, mm; None where it was not there."""

    piece: str
    edge: str
    before: float | None
    after: float | None
    sewn_before: float | None
    sewn_after: float | None

    @property
    def changed(self) -> bool:
        """Whether it is another length now."""
        return not (_alike(self.before, self.after) and _alike(self.sewn_before, self.sewn_after))


@dataclass(frozen=True, slots=True)
class SeamRow:
    """By how much the two sides of a seam differ from what it says, mm; None where it was not there or cannot be walked."""

    seam: str
    off_before: float | None
    off_after: float | None
    fits: bool | None


@dataclass(frozen=True, slots=True)
class AlteredPieces:
    """Pieces before and after a stack."""

    before: Garment
    after: Garment
    edges: tuple[EdgeRow, ...]
    seams: tuple[SeamRow, ...]
    records: tuple[Record, ...]
    off: tuple[str, ...]
    findings: tuple[Finding, ...]


def alter_pieces(garment: Garment, alterations: Iterable[Alteration]) -> AlteredPieces:
    """Apply a stack to pieces.

    Parameters
    ----------
    garment
        The pieces, as :func:`read_pieces_and_stack` gives them.
    alterations
        The stack.

    Returns
    -------
    AlteredPieces
        The findings are those of the stack, and those that a check of the altered pieces has and one of the given had not.
    """
    stack = tuple(alterations)
    result = apply_stack(garment, stack)
    known = {(finding.code, finding.where) for finding in check_garment(garment, pattern_now(garment))}
    new = [
        finding
        for finding in check_garment(result.garment, pattern_now(result.garment))
        if (finding.code, finding.where) not in known
    ]
    return AlteredPieces(
        before=garment,
        after=result.garment,
        edges=_edges(garment, result.garment),
        seams=_seams(garment, result.garment),
        records=result.records,
        off=tuple(entry.id for entry in stack if entry.off),
        findings=tuple(dict.fromkeys((*result.findings, *new))),
    )


def _edges(before: Garment, after: Garment) -> tuple[EdgeRow, ...]:
    was, now = _lengths(before), _lengths(after)
    nothing = (None, None)
    return tuple(
        EdgeRow(
            *name, was.get(name, nothing)[0], now.get(name, nothing)[0], was.get(name, nothing)[1], now.get(name, nothing)[1]
        )
        for name in dict.fromkeys((*was, *now))
    )


def _lengths(garment: Garment) -> dict[tuple[str, str], tuple[float, float]]:
    return {
        (piece.id, edge.id): (edge.path.length, sewn_length(piece.shape, edge.id))
        for piece in garment.pieces.values()
        if piece.shape is not None
        for edge in piece.shape.edges
    }


def _seams(before: Garment, after: Garment) -> tuple[SeamRow, ...]:
    was = {seam.id: _walked(before, seam)[0] for seam in before.seams}
    now = {seam.id: _walked(after, seam) for seam in after.seams}
    return tuple(SeamRow(name, was.get(name), *now.get(name, (None, None))) for name in dict.fromkeys((*was, *now)))


def _walked(garment: Garment, seam: Seam) -> tuple[float | None, bool | None]:
    try:
        walk = walk_seam(garment, seam)
    except FirsthandError:  # the check of the pieces says what is wrong with it
        return None, None
    return walk.difference, walk.fits


def _alike(one: float | None, two: float | None) -> bool:
    return one is not None and two is not None and abs(one - two) <= 0.005


# what is said and written -------------------------------------------------------------------------------------


def answer(done: AlteredPieces, findings: Iterable[Finding], files: Iterable[Path] = ()) -> dict[str, Any]:
    """What is said to machines, in the form of :class:`firsthand.workroom.schema.AlterAnswer`.

    Parameters
    ----------
    done
        The pieces.
    findings
        All findings, those of the files too.
    files
        Files that were written.
    """
    found = tuple(findings)
    return {
        "schema": 1,
        "size": done.after.size,
        "pieces": pieces_now(done.after),
        "edges": done.edges,
        "seams": done.seams,
        "alterations": [
            {
                "id": record.alteration, "kind": record.kind, "words": record.words, "figures": record.figures,
                "edges": record.edges, "ids": record.ids, "pieces": record.pieces,
            }
            for record in done.records
        ],
        "off": done.off,
        "findings": found,
        "blocked": held(found),
        "files": [str(file) for file in files],
    }  # fmt: skip


_FORMS = (".json", ".dxf")


def check_outs(files: Iterable[Path]) -> None:
    """Refuse files that are neither JSON nor DXF by their names.

    Raises
    ------
    BadInput
        With every such file.
    """
    wrong = [file for file in files if file.suffix.lower() not in _FORMS]
    if wrong:
        expected = f"a name that ends in {' or '.join(_FORMS)}"
        raise BadInput([Problem("", "--out", repr(str(file)), expected, "Name the file by its form.") for file in wrong])


def write_pieces(file: Path, garment: Garment, units: Unit = Unit.CM) -> None:
    """Write pieces as they are by now, as JSON or DXF as the file's name ends.

    Raises
    ------
    BadInput
        If the file cannot be written, or its name says no form.
    """
    check_outs([file])
    data = pieces_dxf(garment, units) if file.suffix.lower() == ".dxf" else laid_out(pieces_now(garment)).encode()
    try:
        write_whole(file, data)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BadInput([Problem(str(file), "", reason, "a file that can be written", "Name another one.")]) from error
