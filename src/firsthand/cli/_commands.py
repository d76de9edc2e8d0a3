"""The commands that run the stages.

A command is one function here; a stage's answer in words is in ``_words.py``.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from firsthand.cli._app import app

if TYPE_CHECKING:
    from firsthand.cli._output import Voice
    from firsthand.workroom.pipeline import Pipeline

CostumeName = Annotated[
    str, typer.Argument(help="Folder of a costume, or its name in the workroom you stand in.", show_default=False)
]
AsJson = Annotated[bool, typer.Option("--json", help="Say it as JSON, for machines; numbers are millimetres.")]
Units = Annotated[str | None, typer.Option("--units", help="Show lengths in cm or inch.", metavar="cm|inch")]
Why = Annotated[bool, typer.Option("--why", help="Show the working behind each answer.")]
Only = Annotated[list[str] | None, typer.Option("--only", help="Only this garment; may be given again.")]
Seconds = Annotated[float, typer.Option("--seconds", help="How long to look for lays, for each fabric.")]
Seed = Annotated[int, typer.Option("--seed", help="Start of the search for lays.")]
Workers = Annotated[int, typer.Option("--workers", help="Processes that look for lays.")]


def make_voice(as_json: bool, why: bool = False, units: str | None = None) -> Voice:
    """The voice of a command with these options."""
    from firsthand.cli._find import read_units
    from firsthand.cli._output import Voice

    voice = Voice(as_json=as_json, why=why)
    if units:
        voice.read_in(read_units(units))
    return voice


def make_pipeline(
    costume: str,
    voice: Voice,
    *,
    units: str | None = None,
    only: list[str] | None = None,
    effort: tuple[float, int, int] = (3.0, 1, 2),
) -> Pipeline:
    """The pipeline over the costume that a command names; the voice speaks in the workroom's units unless told otherwise."""
    from dataclasses import replace

    from firsthand.cli._find import check_only, find_costume
    from firsthand.workroom.pipeline import Effort, Pipeline

    workroom, found = find_costume(costume)
    check_only(found, only or ())
    if units:
        workroom = replace(workroom, settings=replace(workroom.settings, units=voice.unit))
    voice.read_in(workroom.settings.units)

    def progress(stage: str, about: str, runs: bool) -> None:
        if runs:
            voice.aside(f"{stage} {about} …")

    return Pipeline(workroom, found, tuple(only or ()), Effort(*effort), progress)


@app.command()
def demo(
    folder: Annotated[Path, typer.Argument(help="Where to write the demo workroom.")] = Path("demo-workroom"),
    seconds: Seconds = 3.0,
    as_json: AsJson = False,
    units: Units = None,
) -> None:
    """Write the demo workroom, the Tide Warden, and make everything."""
    from firsthand.demo import write_demo

    voice = make_voice(as_json, units=units)
    costume = write_demo(folder)
    _make(make_pipeline(str(costume), voice, units=units, effort=(seconds, 1, 2)), voice)


@app.command()
def new(
    folder: Annotated[Path, typer.Argument(help="Where to make the workroom.")], as_json: AsJson = False, units: Units = None
) -> None:
    """Make an empty workroom, with a page of explanation in each file."""
    from firsthand.cli._find import read_units
    from firsthand.workroom.new import new_workroom

    files = new_workroom(folder, read_units(units or "cm"))
    voice = make_voice(as_json)
    if as_json:
        voice.json({"workroom": folder, "files": files})
    else:
        voice.say(f"A workroom is ready in {folder}. Begin with wearers/ and shelf/fabrics.toml.")


@app.command()
def check(costume: CostumeName = "", as_json: AsJson = False, units: Units = None, why: Why = False, only: Only = None) -> None:
    """Check measurements, patterns, seams and fabrics, and say what is wrong."""
    voice = make_voice(as_json, why, units)
    pipeline = make_pipeline(costume, voice, units=units, only=only)
    found = pipeline.findings(upto="check")
    if as_json:
        voice.json({"costume": pipeline.costume.id, "findings": found})
        return
    voice.findings(found)
    if not found:
        voice.say("Nothing wrong was found.")


@app.command()
def fit(costume: CostumeName = "", as_json: AsJson = False, units: Units = None, why: Why = False, only: Only = None) -> None:
    """Show the ease of each garment at each level, and what would be altered."""
    from firsthand.cli._words import say_fit

    voice = make_voice(as_json, why, units)
    pipeline = make_pipeline(costume, voice, units=units, only=only)
    fits = {name: kept.value for name, kept in pipeline.fits.items()}
    say_fit(voice, pipeline, fits)
    _end(pipeline, "check", "fit")


@app.command()
def lay(
    costume: CostumeName = "",
    pieces: Annotated[Path | None, typer.Option("--pieces", help="Lay the polygons of a JSON file instead.")] = None,
    width: Annotated[float, typer.Option("--width", help="Width of the strip for --pieces, in the file's unit.")] = 0.0,
    seconds: Seconds = 3.0,
    seed: Seed = 1,
    workers: Workers = 2,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
    only: Only = None,
) -> None:
    """Lay the parts on each fabric: is it enough, and which way is shorter?"""
    from firsthand.cli._words import say_lays, say_pieces_lay

    voice = make_voice(as_json, why, units)
    if pieces is not None:
        from firsthand.cli._find import read_json
        from firsthand.lay import lay_pieces

        given, file = read_json(pieces), str(pieces)
        say_pieces_lay(voice, lay_pieces(given, width, seconds=seconds, seed=seed, workers=workers, name=file))
        return
    pipeline = make_pipeline(costume, voice, units=units, only=only, effort=(seconds, seed, workers))
    say_lays(voice, pipeline, {name: kept.value for name, kept in pipeline.lays.items()})
    _end(pipeline, "lay", "lay")


@app.command()
def buy(
    costume: CostumeName = "",
    seconds: Seconds = 3.0,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
    only: Only = None,
) -> None:
    """List everything to buy, after what is on the shelf."""
    from firsthand.cli._words import say_buy

    voice = make_voice(as_json, why, units)
    pipeline = make_pipeline(costume, voice, units=units, only=only, effort=(seconds, 1, 2))
    say_buy(voice, pipeline, pipeline.buy.value)
    _end(pipeline, "buy", "buy")


@app.command()
def plan(costume: CostumeName = "", as_json: AsJson = False, units: Units = None, why: Why = False, only: Only = None) -> None:
    """Order the work into cards and days."""
    from firsthand.cli._words import say_plan

    voice = make_voice(as_json, why, units)
    pipeline = make_pipeline(costume, voice, units=units, only=only)
    say_plan(voice, pipeline, pipeline.plan.value)


@app.command()
def sheets(
    costume: CostumeName = "",
    seconds: Seconds = 3.0,
    as_json: AsJson = False,
    units: Units = None,
    only: Only = None,
) -> None:
    """Write the sheets to print into the costume's out/."""
    make(costume, seconds=seconds, as_json=as_json, units=units, only=only)


@app.command()
def make(
    costume: CostumeName = "",
    seconds: Seconds = 3.0,
    seed: Seed = 1,
    workers: Workers = 2,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
    only: Only = None,
) -> None:
    """Run all stages and write everything into the costume's out/; look at out/index.html."""
    voice = make_voice(as_json, why, units)
    pipeline = make_pipeline(costume, voice, units=units, only=only, effort=(seconds, seed, workers))
    _make(pipeline, voice)
    _end(pipeline, "sheets", "print", "lay", "buy")


def _make(pipeline: Pipeline, voice: Voice) -> None:
    from firsthand.cli._words import say_made
    from firsthand.workroom.out import write_out

    say_made(voice, pipeline, write_out(pipeline.out, pipeline.sheets))


def _end(pipeline: Pipeline, upto: str, *acts: str) -> None:
    from firsthand.findings import held

    if held(pipeline.findings(upto=upto), *acts):
        raise typer.Exit(1)


@app.command()
def undo(
    workroom: Annotated[Path, typer.Argument(help="The workroom.")] = Path(),
    over_edits: Annotated[
        bool, typer.Option("--over-edits", help="Also where a file was edited since; the edit is kept in the history.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Take back the last save of the workroom; the save that made it stays."""
    from firsthand.errors import Conflict
    from firsthand.workroom import find_workroom
    from firsthand.workroom import undo as take_back

    try:
        revision = take_back(find_workroom(workroom), over_edits=over_edits)
    except Conflict as conflict:
        way = "Undo with --over-edits takes it back all the same; your edit stays in the history."
        raise Conflict(f"{conflict}. {way}") from conflict
    voice = make_voice(as_json)
    if as_json:
        voice.json({"revision": revision})
    else:
        voice.say(f"Taken back. This is revision {revision}.")
