"""Which size fits, ``firsthand size``, and a dress form beside its wearer, ``firsthand form``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from firsthand.cli._app import app
from firsthand.cli._commands import AsJson, CostumeName, Units, Why, make_pipeline, make_voice

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from firsthand.cli._output import Voice
    from firsthand.findings import Finding
    from firsthand.fit.sizing import FormFit, SizeChoice
    from firsthand.workroom.pipeline import Pipeline

Garment = Annotated[str, typer.Argument(help="Only this garment, by its id.", show_default=False)]


@app.command()
def size(
    costume: CostumeName = "",
    garment: Garment = "",
    take: Annotated[bool, typer.Option("--take", help="Write the size into the garment's brief.")] = False,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
) -> None:
    """Say which size of each pattern fits, and what is then altered; --take takes it, `firsthand undo` takes it back."""
    from firsthand.errors import BadInput, Problem

    voice = make_voice(as_json, why, units)
    if take and not garment:
        raise BadInput([Problem("", "--take", "no garment", "one garment", "Name it: firsthand size COSTUME GARMENT --take.")])
    pipeline = make_pipeline(costume, voice, units=units, only=[garment] if garment else None)
    choices = {name: kept.value for name, kept in pipeline.sizes.items()}
    taken: tuple[Finding, ...] = ()
    revision = pipeline.workroom.revision
    if take:
        from firsthand.workroom.sizing import take_size

        revision, taken = take_size(pipeline.workroom, pipeline.costume, garment, choices[garment])
    _say_sizes(voice, pipeline, choices, taken, revision if take else None)
    if not all(choice.size for choice in choices.values()):
        raise typer.Exit(1)


def _say_sizes(
    voice: Voice, pipeline: Pipeline, choices: Mapping[str, SizeChoice], taken: tuple[Finding, ...], revision: int | None
) -> None:
    found = tuple(dict.fromkeys([*pipeline.absurd, *(f for choice in choices.values() for f in choice.findings), *taken]))
    if voice.as_json:
        told: dict[str, Any] = {name: _size_json(choice) for name, choice in choices.items()}
        answer = {"costume": pipeline.costume.id, "garments": told, "findings": found}
        voice.json(answer if revision is None else {**answer, "revision": revision})
        return
    for name, choice in choices.items():
        brief = pipeline.costume.garment(name)
        _say_size(voice, brief.name, brief.size, choice)
    voice.findings(found)
    if revision is not None:
        changed = revision != pipeline.workroom.revision
        voice.say(f"Taken, as revision {revision}." if changed else "The brief says so already; nothing was written.")


def _say_size(voice: Voice, name: str, now: str, choice: SizeChoice) -> None:
    if not choice.size:
        voice.say(f"{name}: no size can be told.", style="bold")
        return
    same = "" if choice.size == now else f" (the brief says {now})"
    voice.say(f"{name}: size {choice.size}{same}, {choice.reason}")
    for level in choice.altered:
        voice.say(f"  {level.words}")
    if choice.blend:
        left = [row for row in choice.after if row.residual]
        fits = "every level within its band" if not left else f"{len(left)} level{'s' if len(left) > 1 else ''} still off"
        voice.say(f"  or blend: {choice.blend_words}; made and measured again, {fits}")
    if voice.why:
        _table(voice, choice)
        for line in choice.why:
            voice.say(f"  · {line}", style="dim")
        voice.say()


def _table(voice: Voice, choice: SizeChoice) -> None:
    from firsthand.units import format_length

    def words(value: float | None) -> str:
        return "–" if value is None else format_length(value, voice.unit, name=False)

    sizes = list(dict.fromkeys(one.size for level in choice.levels for one in level.sizes))
    after = {row.level: row for row in choice.after}
    rows = []
    for level in choice.levels:
        there = [one.ease if (one := level.in_size(size)) else None for size in sizes]
        band = "–" if level.band is None else f"{words(level.band.low)} to {words(level.band.high)}"
        blended = [words(after[level.level].ease) if level.level in after else "–"] if choice.blend else []
        rows.append((level.name, words(level.body), *map(words, there), band, level.fits or "–", *blended))
    heads = (
        "level",
        f"body {voice.unit}",
        *(f"ease in {s}" for s in sizes),
        "wanted",
        "fits",
        *(["blended"] * bool(choice.blend)),
    )
    voice.table("", heads, rows, right=range(1, 3 + len(sizes)))


def _size_json(choice: SizeChoice) -> dict[str, Any]:
    from dataclasses import fields

    told = {entry.name: getattr(choice, entry.name) for entry in fields(choice)}
    return {**told, "blend_words": choice.blend_words}


@app.command()
def form(
    costume: CostumeName = "",
    form: Annotated[str, typer.Argument(help="The dress form: a file of wearers/; empty: the costume's.")] = "",
    wadding: Annotated[str, typer.Option("--wadding", help="Thickness of a layer of wadding, as 8 mm.")] = "",
    cover: Annotated[str, typer.Option("--cover", help="Thickness of the cover, as 1 mm.")] = "",
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
) -> None:
    """Compare a dress form with the wearer: how to pad it, and what a fitting on it does not tell."""
    from dataclasses import replace

    from firsthand.body import believed
    from firsthand.cli._find import find_costume, read_units
    from firsthand.fit.sizing import compare_form

    voice = make_voice(as_json, why, units)
    workroom, found = find_costume(costume)
    voice.read_in(read_units(units) if units else workroom.settings.units)
    name = _form_name(form or found.form, workroom.wearers)
    layer, over = _thickness("--wadding", wadding), _thickness("--cover", cover)
    (form_body, of_form), (wearer, of_wearer) = believed(workroom.wearers[name]), believed(workroom.wearers[found.wearer])
    answer = compare_form(form_body, wearer, wadding=layer, cover=over)
    _say_form(voice, replace(answer, findings=tuple(dict.fromkeys([*of_form, *of_wearer, *answer.findings]))))


def _form_name(name: str, wearers: Iterable[str]) -> str:
    from firsthand.errors import BadInput, Problem

    known = sorted(wearers)
    if name in known:
        return name
    found = repr(name) if name else "no form"
    remedy = "Write wearers/NAME.toml with form = true, and its girths."
    raise BadInput([Problem("", "FORM", found, f"a file of wearers/: {', '.join(known)}", remedy)])


def _thickness(option: str, typed: str) -> float:
    from firsthand.errors import BadInput, Problem
    from firsthand.units import Unit, parse_length

    if not typed:
        return 0.0
    try:
        return parse_length(typed, Unit.MM)
    except ValueError:
        raise BadInput([Problem("", option, repr(typed), "a thickness", f"Write for example {option} 8.")]) from None


def _say_form(voice: Voice, answer: FormFit) -> None:
    from firsthand.units import format_length

    if voice.as_json:
        voice.json(answer)
        return

    def words(value: float | None) -> str:
        return "–" if value is None else format_length(value, voice.unit, name=False)

    rows = [
        (row.name, words(row.form), words(row.wearer), words(row.difference), row.words or row.verdict.value)
        for row in answer.rows
    ]
    heads = (f"measurement, {voice.unit}", "form", "wearer", "differs", "what to do")
    voice.table(f"{answer.form} beside {answer.wearer}", heads, rows, right=(1, 2, 3))
    for number, line in enumerate(answer.steps, 1):
        voice.say(f"{number:>3}. {line}")
    voice.say("It does not tell:" if answer.not_told else "")
    for line in answer.not_told:
        voice.say(f"   – {line}")
    voice.findings(answer.findings)
