"""Altering pieces outside any costume, ``firsthand alter``, and the stack of a garment, ``firsthand stack``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from firsthand.cli._app import app
from firsthand.cli._commands import AsJson, Units, Why, make_pipeline, make_voice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from firsthand.cli._output import Voice
    from firsthand.findings import Finding
    from firsthand.pattern import Garment
    from firsthand.workroom.altering import AlteredPieces
    from firsthand.workroom.pipeline import Pipeline

Pieces = Annotated[Path, typer.Argument(help="Pieces as JSON; - for standard input.", show_default=False)]
Stack = Annotated[Path, typer.Option("--stack", help="Alterations as TOML; - for standard input.", show_default=False)]
Size = Annotated[str, typer.Option("--size", help="Size of the pieces; needed if there are several.")]
Out = Annotated[
    list[Path] | None, typer.Option("--out", help="Write the altered pieces to this .json or .dxf; may be given again.")
]


@app.command()
def alter(
    pieces: Pieces,
    stack: Stack,
    size: Size = "",
    out: Out = None,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
) -> None:
    """Apply a stack of alterations to pieces outside any costume, and say what became of them."""
    from firsthand.cli._find import read_units, units_here
    from firsthand.cli._output import Voice
    from firsthand.findings import held
    from firsthand.workroom import altering

    voice = Voice(as_json=as_json, why=why)
    voice.read_in(read_units(units) if units else units_here())
    files = tuple(out or ())
    altering.check_outs(files)
    _refuse_two_from_one(pieces, stack)
    garment, alterations, noticed = altering.read_pieces_and_stack(_given(pieces), _given(stack), size)
    done = altering.alter_pieces(garment, alterations)
    found = (*noticed, *done.findings)
    for file in files:
        altering.write_pieces(file, done.after, voice.unit)
    if as_json:
        voice.json(altering.answer(done, found, files))
    else:
        _say(voice, done, found)
        for file in files:
            voice.say(f"Written: {file}")
    if held(found):
        raise typer.Exit(1)


STANDARD = Path("-")


def _refuse_two_from_one(pieces: Path, stack: Path) -> None:
    from firsthand.errors import BadInput, Problem

    if pieces == stack == STANDARD:
        remedy = "Give one of the two as a file."
        raise BadInput([Problem("", "--stack", "-, as for the pieces", "standard input for one of them", remedy)])


def _given(file: Path) -> tuple[str, bytes]:
    """The name to be told and the contents of a file, or of standard input."""
    from firsthand.cli._find import read_bytes

    return ("standard input", sys.stdin.buffer.read()) if file == STANDARD else (str(file), read_bytes(file))


def _say(voice: Voice, done: AlteredPieces, found: Sequence[Finding]) -> None:
    from firsthand.cli._words import figure_words
    from firsthand.units import format_length

    for record in done.records:
        voice.say(f"{record.alteration}: {record.words}")
        for name, value in record.figures.items() if voice.why else ():
            voice.say(f"  · {figure_words(name, value)}", style="dim")
    for name in done.off:
        voice.say(f"{name}: switched off", style="dim")

    def words(length: float | None) -> str:
        return "–" if length is None else format_length(length, voice.unit, name=False, digits=2)

    rows = [
        (f"{row.piece}.{row.edge}", words(row.before), words(row.after), words(row.sewn_before), words(row.sewn_after))
        for row in done.edges
        if row.changed
    ]
    if rows:
        heads = (f"edge, {voice.unit}", "before", "after", "sewn before", "sewn after")
        voice.table("", heads, rows, right=range(1, 5))
    else:
        voice.say("No edge changed its length.")
    voice.findings(found)


@app.command()
def stack(
    costume: Annotated[
        str, typer.Argument(help="Folder of a costume, or its name in the workroom you stand in.", show_default=False)
    ],
    garment: Annotated[str, typer.Argument(help="The garment, by its id.", show_default=False)],
    off: Annotated[list[str] | None, typer.Option("--off", help="Switch this one off; may be given again.")] = None,
    on: Annotated[list[str] | None, typer.Option("--on", help="Switch this one on; may be given again.")] = None,
    drop: Annotated[list[str] | None, typer.Option("--drop", help="Take this one out; may be given again.")] = None,
    move: Annotated[str, typer.Option("--move", help="Move this one to the number --to.")] = "",
    to: Annotated[int, typer.Option("--to", help="The new number of the one moved, from 1.")] = 0,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
) -> None:
    """Show the alterations of a garment in order; switch, move or take out some. `firsthand undo` takes it back.

    An alteration is named by its id, or by its kind where the garment has only one of it.
    """
    from firsthand.workroom.stacking import Change, change_stack

    voice = make_voice(as_json, why, units)
    pipeline = make_pipeline(costume, voice, units=units, only=[garment])
    change = Change(tuple(off or ()), tuple(on or ()), tuple(drop or ()), move, to)
    if change.words:
        change_stack(pipeline.workroom, pipeline.costume, garment, change)
        pipeline = make_pipeline(costume, voice, units=units, only=[garment])
    _say_stack(voice, pipeline, garment)


def _say_stack(voice: Voice, pipeline: Pipeline, garment: str) -> None:
    from firsthand.workroom.stacking import stack_rows

    brief = next(brief for brief in pipeline.costume.garments if brief.id == garment)
    fit = pipeline.fits[garment].value
    rows = stack_rows(brief, fit.records, fit.findings)
    if voice.as_json:
        voice.json({"costume": pipeline.costume.id, "garment": garment, "stack": rows})
        return
    if not rows:
        voice.say(f"{brief.name} has no alterations.")
    for row in rows:
        told = row.refused or row.words
        voice.say(f"{row.number or '':>3}  {row.state:<7}  {row.id}{': ' if told else ''}{told}")
        if row.remedy:
            voice.say(f"{'':>14}{row.remedy}", style="dim")
    voice.blocked([finding for finding in fit.findings if any(row.id in finding.where[1:] for row in rows if row.refused)])


@app.command()
def names(
    costume: Annotated[
        str, typer.Argument(help="Folder of a costume, or its name in the workroom you stand in.", show_default=False)
    ],
    garment: Annotated[str, typer.Argument(help="The garment, by its id.", show_default=False)],
    as_json: AsJson = False,
    units: Units = None,
) -> None:
    """List the ids of a garment's pieces, edges, darts, notches, levels and seams, as they are after its alterations."""
    voice = make_voice(as_json, False, units)
    found = make_pipeline(costume, voice, units=units, only=[garment]).fits[garment].value.garment
    if as_json:
        voice.json({"garment": garment, "pieces": _names(found), "seams": _seam_rows(found)})
        return
    _say_names(voice, found)


def _names(garment: Garment) -> list[dict[str, object]]:
    rows: list[dict[str, object]] = []
    for piece in garment.pieces.values():
        shape = piece.shape
        marks = (shape.edges, shape.darts, shape.pleats, shape.notches) if shape else ((), (), (), ())
        edges, darts, pleats, notches = ([mark.id for mark in sort] for sort in marks)
        levels = list(dict.fromkeys(line.level for line in shape.levels)) if shape else []
        row = {"edges": edges, "darts": darts, "pleats": pleats, "notches": notches, "levels": levels}
        rows.append({"piece": piece.id, "name": piece.name, "fold": piece.fold, "card": piece.is_card, **row})
    return rows


def _seam_rows(garment: Garment) -> list[dict[str, object]]:
    from firsthand.pattern import single_seams

    return [
        {"seam": name, "a": [str(ref) for ref in seam.a], "b": [str(ref) for ref in seam.b], "take_in": seam.take_in}
        for name, seam in single_seams(garment)
    ]


def _say_names(voice: Voice, garment: Garment) -> None:
    from firsthand.units import format_length

    for piece in garment.pieces.values():
        fold = f", on the fold at {piece.fold}" if piece.fold else ""
        voice.say(f"{piece.id}: {piece.name}{fold}{'; only a card' if piece.shape is None else ''}", style="bold")
        if piece.shape is None:
            continue
        around = [edge.id for edge in piece.shape.edges]
        edges = [
            f"{e.id} {format_length(e.path.length, voice.unit)} (from {around[k - 1]} to {around[(k + 1) % len(around)]})"
            for k, e in enumerate(piece.shape.edges)
        ]
        levels = dict.fromkeys(line.level for line in piece.shape.levels)
        marks = {
            "edges": edges,
            "darts": [f"{dart.id} (on {dart.edge})" for dart in piece.shape.darts],
            "pleats": [f"{pleat.id} (on {pleat.edge})" for pleat in piece.shape.pleats],
            "notches": [f"{notch.id} (on {notch.edge})" for notch in piece.shape.notches],
            "levels": list(levels),
        }
        for sort, words in marks.items():
            if words:
                voice.say(f"  {sort}: {', '.join(words)}")
    voice.say("seams", style="bold")
    for row in _seam_rows(garment):
        a, b = (" + ".join(row[side]) for side in ("a", "b"))  # type: ignore[arg-type]
        voice.say(f"  {row['seam']}: {a} to {b}{'; offered for taking in' if row['take_in'] else ''}")
