"""Putting pieces into a pattern that is there, without disturbing what people wrote around them."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from firsthand.errors import BadInput, Problem
from firsthand.pattern import Pattern, Piece
from firsthand.workroom._commit import commit
from firsthand.workroom._journal import digest
from firsthand.workroom._patterns import pattern_of
from firsthand.workroom._reading import Gathered, known_keys
from firsthand.workroom._snapshot import files_below
from firsthand.workroom._words import NAME, listed
from firsthand.workroom._writing import laid_out, pattern_files, piece_rows, piece_table
from firsthand.workroom.schema import EdgeTable, PieceFile, ShapeTable, is_id
from firsthand.workroom.schema._piece import (
    CornerTable,
    DartTable,
    FateTable,
    LevelLineTable,
    LineTable,
    NotchTable,
    PleatTable,
)

__all__ = ["add_piece", "add_pieces"]


def add_piece(folder: str | os.PathLike[str], pattern_id: str, piece: Piece, *, expected_revision: int | None = None) -> int:
    """Put one piece into a pattern, as one save.

    See :func:`add_pieces`.
    """
    words = f"{piece.name or piece.id} put into {pattern_id}"
    return add_pieces(folder, pattern_id, [piece], words=words, expected_revision=expected_revision)


def add_pieces(
    folder: str | os.PathLike[str],
    pattern_id: str,
    pieces: Iterable[Piece],
    *,
    words: str,
    expected_revision: int | None = None,
) -> int:
    """Put pieces into a pattern, as one save.

    A piece that the pattern names already gets the outlines given; its other sizes, and everything that ``pattern.toml`` says
    of it, stay. Comments, order and unknown keys stay in either file. A pattern that is not there is made, with the sizes
    of the first piece.

    Parameters
    ----------
    folder
        The workroom.
    pattern_id
        The pattern's id: the name of its folder.
    pieces
        The pieces, with outlines by size.
    words
        What was done, for the history.
    expected_revision
        See :func:`firsthand.workroom.commit`.

    Returns
    -------
    int
        The new revision.

    Raises
    ------
    BadInput
        If nothing can be called what the pattern is called, or the pattern has problems, or would have them with the pieces
        in it; then nothing is written.
    Conflict, NotSaved
        See :func:`firsthand.workroom.commit`.
    """
    if not is_id(pattern_id):
        raise BadInput([Problem("", "pattern", repr(pattern_id), *NAME)])
    root, wanted = Path(folder), list(pieces)
    place = f"patterns/{pattern_id}/"
    there = dict(files_below(root / "patterns" / pattern_id))
    before = {path: contents for path, contents in there.items() if contents is not None}
    pattern = _read(pattern_id, place, before) if before else None
    new = _added(pattern, before, wanted) if pattern else _made(pattern_id, wanted)
    _read(pattern_id, place, {**before, **new})
    return commit(
        root,
        {f"{place}{path}": contents for path, contents in new.items()},
        words=words,
        expected_revision=expected_revision,
        expected={f"{place}{path}": digest(before.get(path)) for path in new},
    )


def _read(name: str, place: str, files: Mapping[str, bytes]) -> Pattern:
    gathered = Gathered()
    pattern, _ = pattern_of(name, place, files, gathered)
    gathered.finish()
    assert pattern is not None  # without problems there is one
    return pattern


def _made(pattern_id: str, pieces: Sequence[Piece]) -> dict[str, bytes]:
    sizes = tuple(pieces[0].sizes) if pieces else ()
    if not sizes:
        raise BadInput([Problem("", pattern_id, "no outline", "a piece with an outline", "Bring in at least one outline.")])
    return pattern_files(Pattern(pattern_id, pattern_id, sizes, {piece.id: piece for piece in pieces}))


def _added(pattern: Pattern, before: Mapping[str, bytes], pieces: Sequence[Piece]) -> dict[str, bytes]:
    new: dict[str, bytes] = {}
    strange = [(piece.id, size) for piece in pieces for size in piece.sizes if size not in pattern.sizes]
    if strange:
        expected = f"one of {listed(pattern.sizes)}"
        raise BadInput(
            Problem(
                f"patterns/{pattern.id}/pattern.toml", f"piece {piece}", f"size {size!r}", expected, "Say which size it is."
            )
            for piece, size in strange
        )
    rows = [piece for piece in pieces if piece.id not in pattern.pieces]
    if rows:
        new["pattern.toml"] = _with_rows(before["pattern.toml"], rows, pattern)
    for piece in pieces:
        if piece.sizes:
            path = f"pieces/{piece.id}.json"
            new[path] = _with_outlines(piece, pattern.pieces.get(piece.id), before.get(path))
    return new


def _with_rows(contents: bytes, pieces: Sequence[Piece], pattern: Pattern) -> bytes:
    import tomlkit
    from tomlkit.items import AoT

    document = tomlkit.parse(contents.decode("utf-8-sig"))
    unit = str(document["units"])
    there = document.get("piece")
    if not isinstance(there, AoT):
        document.pop("piece", None)  # an empty list written in brackets
        there = tomlkit.aot()
        document.append("piece", there)
        there = document["piece"]
    for piece in pieces:
        there.append(piece_table(piece, unit))
    return tomlkit.dumps(document).encode()


def _with_outlines(piece: Piece, former: Piece | None, contents: bytes | None) -> bytes:
    rows = piece_rows(replace(piece, sizes={**(former.sizes if former else {}), **piece.sizes}))
    if contents is not None:
        rows = _grafted(json.loads(contents.decode("utf-8-sig")), rows, PieceFile)
    return laid_out(rows).encode()


# unknown keys -----------------------------------------------------------------------------------------------

_BELOW: dict[type[BaseModel], dict[str, type[BaseModel]]] = {
    PieceFile: {"sizes": ShapeTable},
    ShapeTable: {
        "edges": EdgeTable, "notches": NotchTable, "darts": DartTable, "pleats": PleatTable, "lines": LineTable,
        "levels": LevelLineTable,
    },
    EdgeTable: {"corner": CornerTable, "fate": FateTable},
}  # fmt: skip


def _grafted(old: Mapping[str, Any], new: Mapping[str, Any], model: type[BaseModel]) -> dict[str, Any]:
    """The new table with the keys of the old one that nobody knows, at every depth; list items are matched by id."""
    known, below = known_keys(model), _BELOW.get(model, {})
    kept = {**new, **{key: value for key, value in old.items() if key not in known}}
    for key, item_model in below.items():
        before, now = old.get(key), kept.get(key)
        if key == "sizes" and isinstance(before, dict):
            kept[key] = {name: _grafted(before.get(name, {}), row, item_model) for name, row in new[key].items()}
        elif isinstance(now, dict) and isinstance(before, dict):
            kept[key] = _grafted(before, now, item_model)
        elif isinstance(now, list) and isinstance(before, list):
            by_id = {_id(row): row for row in before}
            kept[key] = [_grafted(by_id.get(_id(row), {}), row, item_model) for row in now]
    return kept


def _id(row: Mapping[str, Any]) -> object:
    return row.get("id", row.get("level"))
