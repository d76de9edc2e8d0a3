"""The command that takes what the fit proposes into a garment's stack, and how a proposal is said."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Any

import typer

from firsthand.cli._app import app
from firsthand.cli._commands import AsJson, Units, Why, make_pipeline, make_voice

if TYPE_CHECKING:
    from firsthand.alter import Alteration
    from firsthand.cli._output import Voice
    from firsthand.findings import Finding
    from firsthand.fit import FitResult, Proposal
    from firsthand.units import Unit
    from firsthand.workroom.pipeline import Pipeline

__all__ = ["proposal_json", "say_proposal"]


@app.command()
def accept(
    costume: Annotated[
        str, typer.Argument(help="Folder of a costume, or its name in the workroom you stand in.", show_default=False)
    ],
    garment: Annotated[str, typer.Argument(help="The garment, by its id.", show_default=False)],
    only: Annotated[
        list[str] | None, typer.Option("--only", help="Only this level, seam or id of what is proposed; may be given again.")
    ] = None,
    cloth: Annotated[
        bool, typer.Option("--cloth", help="What the cloth asks for (stretch, thickness) instead of what the fit proposes.")
    ] = False,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Show what would be written, to copy by hand; write nothing.")
    ] = False,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
) -> None:
    """Write what `firsthand fit` proposes for a garment into costume.toml. `firsthand undo` takes it back."""
    from firsthand.fit.solving import narrowed

    voice = make_voice(as_json, why, units)
    pipeline = make_pipeline(costume, voice, units=units, only=[garment])
    fit = pipeline.fits[garment].value
    proposal = narrowed(_asked_by_cloth(fit) if cloth else fit.proposed, tuple(only or ()))
    entries = _entries(proposal, next(brief.alterations for brief in pipeline.costume.garments if brief.id == garment))
    text = _text(pipeline, entries, proposal)
    if not entries or dry_run:
        _say_accepted(voice, garment, fit, text, -1, pipeline.absurd)
        return
    from firsthand.workroom.accepting import accept as written

    note = f"from the proposal of the fit, {proposal.alterations[0].comment}"
    revision = written(pipeline.workroom, pipeline.costume, garment, entries, note=note)
    _say_accepted(voice, garment, fit, text, revision, pipeline.absurd)


def _asked_by_cloth(fit: FitResult) -> Proposal:
    from firsthand.fit import Proposal

    found = fit.cloth
    return Proposal(found.alterations, words=found.words, why=found.why) if found else Proposal()


def _entries(proposal: Proposal, stack: Sequence[Alteration]) -> list[Alteration]:
    """What is proposed, each with an id that the stack does not have yet."""
    from dataclasses import replace

    from firsthand.fit.solving import alteration_of

    taken = {entry.id for entry in stack}
    made = []
    for one in proposal.alterations:
        name, number = one.id, 1
        while name in taken:
            number += 1
            name = f"{one.id} {number}"
        taken.add(name)
        made.append(alteration_of(replace(one, id=name)))
    return made


def _text(pipeline: Pipeline, entries: Sequence[Alteration], proposal: Proposal) -> str:
    """The entries as they would stand in the costume's file."""
    import tomllib

    from firsthand.units import Unit
    from firsthand.workroom.accepting import entry_text

    path = pipeline.workroom.folder / "costumes" / pipeline.costume.id / "costume.toml"
    units = Unit(tomllib.loads(path.read_bytes().decode("utf-8-sig")).get("units", Unit.MM))
    return "\n".join(entry_text(entry, units) for entry in entries)


def _say_accepted(voice: Voice, garment: str, fit: FitResult, text: str, revision: int, absurd: Sequence[Finding]) -> None:
    if voice.as_json:
        told = {"garment": garment, "toml": text, "revision": revision if revision >= 0 else None}
        voice.json({**told, "proposal": proposal_json(fit)})
        return
    if not text:
        voice.say(f"Nothing is proposed for {fit.garment.name}.")
    elif revision < 0:
        voice.say(text)
        voice.say("Nothing was written.", style="dim")
    else:
        voice.say(text)
        voice.say(f"Written into costume.toml. This is revision {revision}; `firsthand undo` takes it back.")
    voice.findings(tuple(dict.fromkeys([*absurd, *fit.proposed.findings])))


def proposal_json(fit: FitResult) -> dict[str, Any]:
    """A proposal as JSON: its sentence, what each level gets, and what would be written."""
    proposed = fit.proposed
    return {
        "words": proposed.words, "amounts": fit.proposal, "rows": proposed.rows, "alterations": proposed.alterations,
        "others": proposed.others, "missing": proposed.missing, "why": proposed.why, "findings": proposed.findings,
    }  # fmt: skip


def say_proposal(voice: Voice, fit: FitResult, unit: Unit) -> None:
    """Say a proposal: its sentence; with the working the table of levels and seams, and what else was tried."""
    from firsthand.units import format_length

    proposed = fit.proposed
    done = {record.alteration for record in fit.records}
    applied = bool(proposed.alterations) and all(one.id in done for one in proposed.alterations)
    if proposed.words:
        voice.say(f"  {'Done, as take_in = true: ' if applied else ''}{proposed.words}")
    if voice.why and (proposed.words or proposed.findings):
        rows = [
            (
                row.name, *(format_length(value, unit, name=False) for value in (row.before, row.low, row.high, row.after)),
                format_length(row.residual, unit, name=False) if row.residual else "",
                ", ".join(f"{seam} {format_length(by, unit, name=False)}" for seam, by in row.seams.items()),
            )
            for row in proposed.rows
        ]  # fmt: skip
        heads = ("proposed at", f"ease {unit}", "from", "to", "then", "left", "taken in at")
        voice.table("", heads, rows, right=range(1, 6))
    for one in proposed.others:
        voice.say(f"  Or {one.comment} (`--only {one.id!r}` accepts it).".replace("'", '"'))
    for line in proposed.missing if voice.why else ():
        voice.say(f"  · {line}", style="dim")
