"""Pieces and stacks outside any costume: ``PIECES.json`` and ``STACK.toml``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from firsthand.alter import ALTERATIONS, Alteration
from firsthand.errors import NotThere
from firsthand.findings import Finding
from firsthand.pattern import Cut, Garment, How, Pattern, Piece, Shape, make_garment
from firsthand.units import Unit
from firsthand.workroom._kinded import Kinds
from firsthand.workroom._patterns import Loader
from firsthand.workroom._reading import Gathered, Raw, parsed
from firsthand.workroom._writing import pieces_rows
from firsthand.workroom.schema import OutlinedPiece, PatternFile, PiecesFile, PieceTable, StackFile

__all__ = ["pattern_now", "pieces_now", "read_pieces_and_stack"]


def read_pieces_and_stack(
    pieces: tuple[str, bytes], stack: tuple[str, bytes], size: str = ""
) -> tuple[Garment, tuple[Alteration, ...], tuple[Finding, ...]]:
    """Pieces in one size, as a garment, and the stack to be applied to them.

    Parameters
    ----------
    pieces, stack
        Name and contents of each file: the tables of a pattern with the outlines in its pieces (or one file of a pattern's
        ``pieces/``) as JSON, and a list of alterations as TOML.
    size
        The size to take; the only one there is if empty.

    Returns
    -------
    tuple
        The garment, the alterations, and what was noticed in the files.

    Raises
    ------
    BadInput
        With everything that is wrong with both files.
    """
    gathered = Gathered()
    pattern = _pattern(*pieces, gathered)
    alterations = _stack(*stack, gathered)
    if pattern is not None and not pattern.sizes:
        gathered.problem(pieces[0], "piece", "no outline", "a piece with an outline", "Give at least one piece its sizes.")
    elif pattern is not None and not size and len(pattern.sizes) > 1:
        found, expected = f"sizes {', '.join(pattern.sizes)}", "one size to alter"
        gathered.problem(pieces[0], "sizes", found, expected, f"Say which, for example --size {pattern.sizes[0]}.")
    elif pattern is not None and size and size not in pattern.sizes:
        gathered.problem("", "--size", repr(size), f"one of {', '.join(pattern.sizes)}", "Write one of these sizes.")
    gathered.finish()
    if pattern is None:
        raise NotThere("piece", pieces[0])  # never: without problems there is a pattern
    return make_garment(pattern, size or pattern.sizes[0], id=pattern.id), alterations, tuple(gathered.findings)


def pattern_now(garment: Garment) -> Pattern:
    """The pattern that a garment's pieces make as they are by now, in its one size."""
    pieces = {name: _in_one_size(garment.size, piece) for name, piece in garment.pieces.items()}
    return Pattern(
        id=garment.pattern,
        name=garment.name,
        sizes=(garment.size,),
        pieces=pieces,
        seams=garment.seams,
        levels=garment.levels,
        closures=garment.closures,
        openings=garment.openings,
        haberdashery=garment.haberdashery,
        applied=garment.applied,
    )


def _in_one_size(size: str, piece: Piece) -> Piece:
    rough = {name: rough for name, rough in piece.rough.items() if name == size}
    return replace(piece, sizes={size: piece.shape} if piece.shape else {}, rough=rough)


def pieces_now(garment: Garment) -> dict[str, Any]:
    """Pieces as they are by now, in the form of ``PIECES.json``, in millimetres; read again they are the same."""
    return pieces_rows(pattern_now(garment))


def _stack(file: str, contents: bytes, gathered: Gathered) -> tuple[Alteration, ...]:
    data = parsed(file, contents, gathered.problems, form="TOML")
    raw = None if data is None else gathered.taken(file, data, StackFile)
    if raw is None or raw.value is None:
        return ()
    kinds = Kinds(file, "", raw.data.get("units", Unit.MM), gathered)
    return kinds.read("alteration", raw.value.alteration, ALTERATIONS)


def _pattern(file: str, contents: bytes, gathered: Gathered) -> Pattern | None:
    data = parsed(file, contents, gathered.problems, form="JSON")
    if data is None:
        return None
    single = isinstance(data.get("piece"), str) and isinstance(data.get("sizes"), dict)
    before = len(gathered.problems)
    pattern = _Pieces(file, gathered).pattern(_completed(_wrapped(data) if single else data))
    if single:  # places are counted in the file as it was written
        told = gathered.problems[before:]
        gathered.problems[before:] = [replace(p, place=p.place.removeprefix("piece[1]").lstrip(".")) for p in told]
    return pattern


def _wrapped(data: Mapping[str, Any]) -> dict[str, Any]:
    """One file of a pattern's ``pieces/`` as a file of one piece."""
    inner = {"id": data["piece"], "sizes": data["sizes"]}
    kept = {key: value for key, value in data.items() if key not in ("piece", "sizes")}
    return {**kept, "piece": [inner]}


def _completed(data: dict[str, Any]) -> dict[str, Any]:
    """The file with the sizes and levels of its pieces, where it does not name them itself."""
    outlines = [(size, shape) for piece in _tables(data.get("piece")) for size, shape in _items(piece.get("sizes"))]
    sizes = list(dict.fromkeys(size for size, _ in outlines))
    lines = [line for _, shape in outlines if isinstance(shape, dict) for line in _tables(shape.get("levels"))]
    levels = dict.fromkeys(line["level"] for line in lines if isinstance(line.get("level"), str))
    if sizes:
        data = {"sizes": sizes, **data}
    return {"level": [{"id": level, "body": ""} for level in levels], **data}


def _tables(value: Any) -> list[dict[str, Any]]:
    return [item for item in value if isinstance(item, dict)] if isinstance(value, list) else []


def _items(value: Any) -> list[tuple[str, Any]]:
    return list(value.items()) if isinstance(value, dict) else []


class _Pieces(Loader):
    """Makes a pattern from one file that holds its pieces too."""

    def __init__(self, file: str, gathered: Gathered) -> None:
        super().__init__("pieces", "", {}, gathered)
        self._file = file

    def pattern(self, data: dict[str, Any]) -> Pattern | None:
        """The pattern of the file's tables."""
        raw = self._gathered.taken(self._file, data, PiecesFile)
        return self._made(raw.value, raw) if raw.value else None

    def _piece(self, item: PieceTable, table: PatternFile, raw: Raw[Any]) -> Piece:
        piece = super()._piece(item, table, raw)
        return piece if piece.cuts else replace(piece, cuts=(Cut("shell", How.FOLD if piece.fold else How.SINGLE),))

    def _shapes(self, item: PieceTable, table: PatternFile, raw: Raw[Any]) -> Mapping[str, Shape]:
        assert isinstance(item, OutlinedPiece)  # of a PiecesFile
        number = next(number for number, one in raw.numbered("piece", table.piece) if one is item)
        self._known_edges(item.id, _tables(raw.data.get("piece"))[number - 1])
        shapes = self._outlines(item, item.sizes, (self._file, f"piece[{number}]."), table, raw)
        self._fold(item, shapes, raw)
        return shapes
