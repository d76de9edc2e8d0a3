"""Faults seen at a fitting: what they are, and how to choose what mends one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from firsthand.cli._app import app
from firsthand.cli._commands import AsJson, Units, make_pipeline, make_voice

if TYPE_CHECKING:
    from firsthand.cli._output import Voice
    from firsthand.fit.faults import Fault, Mend, Ready
    from firsthand.pattern import Garment
    from firsthand.workroom.pipeline import Pipeline

__all__ = ["faults"]


@app.command()
def faults(
    costume: Annotated[str, typer.Argument(help="Folder of a costume, or its name in the workroom you stand in.")] = "",
    garment: Annotated[str, typer.Argument(help="The garment, by its id.")] = "",
    fault: Annotated[str, typer.Argument(help="The fault, by its id.")] = "",
    mend: Annotated[int, typer.Option("--mend", help="Try the mend of this number.")] = 0,
    amount: Annotated[str, typer.Option("--amount", help="What was measured for it, as '12 mm'.")] = "",
    level: Annotated[str, typer.Option("--level", help="The level where it was seen.")] = "",
    add: Annotated[bool, typer.Option("--add", help="Put what mends it into the garment's stack.")] = False,
    as_json: AsJson = False,
    units: Units = None,
) -> None:
    """List faults seen at a fitting, their causes and what mends them; choose one. The sheet faults.pdf draws them."""
    voice = make_voice(as_json, False, units)
    if not garment:
        _say_all(voice)
        return
    pipeline = make_pipeline(costume, voice, units=units, only=[garment])
    worn = pipeline.fits[garment].value.garment
    if not fault:
        _say_list(voice, worn)
    elif not mend:
        _say_fault(voice, _found(fault))
    else:
        _try(voice, pipeline, worn, _found(fault), mend, amount, level, add)


def _found(name: str) -> Fault:
    from firsthand.errors import NotThere
    from firsthand.fit.faults import faults as catalogue

    if name not in catalogue():
        raise NotThere("fault", name, catalogue())
    return catalogue()[name]


def _mends(fault: Fault) -> list[Mend]:
    return [mend for cause in fault.causes for mend in cause.mends]


def _row(fault: Fault) -> dict[str, Any]:
    return {"id": fault.id, "sees": fault.sees, "causes": fault.causes, "caution": fault.caution, "source": fault.source}


def _say_all(voice: Voice) -> None:
    from firsthand.fit.faults import faults as catalogue

    _list(voice, list(catalogue().values()))


def _say_list(voice: Voice, garment: Garment) -> None:
    from firsthand.fit.faults import faults_of

    _list(voice, list(faults_of(garment)))


def _list(voice: Voice, found: list[Fault]) -> None:
    if voice.as_json:
        voice.json({"faults": [_row(fault) for fault in found]})
        return
    for fault in found:
        voice.say(f"{fault.id:<22} {fault.sees}")
    if not found:
        voice.say("None of the faults known can be mended on its pieces: they are only cards.")


def _say_fault(voice: Voice, fault: Fault) -> None:
    if voice.as_json:
        voice.json(_row(fault))
        return
    voice.say(fault.sees, style="bold")
    number = 0
    for cause in fault.causes:
        voice.say(f"Likely {cause.words}. Make sure: {cause.sure}")
        for mend in cause.mends:
            number += 1
            measure = f" Measure: {mend.amount}." if mend.amount else ""
            voice.say(f"  {number}. {mend.words}.{measure}")
    if fault.caution:
        voice.say(f"Caution: {fault.caution}")
    voice.say("Try one with --mend NUMBER --amount LENGTH; --add puts it into the stack.", style="dim")


def _try(
    voice: Voice, pipeline: Pipeline, garment: Garment, fault: Fault, number: int, amount: str, level: str, add: bool
) -> None:
    from firsthand.errors import BadInput, Blocked, Problem
    from firsthand.fit.faults import ready

    mends = _mends(fault)
    if not 1 <= number <= len(mends):
        raise BadInput([Problem("", "--mend", str(number), f"a number from 1 to {len(mends)}", "Say which mend it is.")])
    mend = mends[number - 1]
    made = ready(garment, mend, _length(amount, mend, pipeline), level=level)
    if made.trouble:
        raise Blocked(f"{mend.words} cannot be done here: {made.trouble}.")
    if add and made.alterations:
        _add(pipeline, garment, fault, made)
    _say_made(voice, pipeline, garment, made, add)


def _length(amount: str, mend: Mend, pipeline: Pipeline) -> float:
    from firsthand.errors import BadInput, Problem
    from firsthand.units import parse_length

    if not mend.kind:
        return 1.0
    if not amount:
        raise BadInput([Problem("", "--amount", "nothing", "a length", f"Measure {mend.amount[0].lower()}{mend.amount[1:]}.")])
    try:
        return parse_length(amount, pipeline.workroom.settings.units)
    except ValueError as error:
        raise BadInput([Problem("", "--amount", repr(amount), "a length, as 12 mm", str(error))]) from None


def _add(pipeline: Pipeline, garment: Garment, fault: Fault, made: Ready) -> None:
    from firsthand.workroom.accepting import accept

    note = f"{fault.id}: {made.mend.words[0].lower()}{made.mend.words[1:]}"
    accept(pipeline.workroom, pipeline.costume, garment.id, made.alterations, note=note)


def _say_made(voice: Voice, pipeline: Pipeline, garment: Garment, made: Ready, added: bool) -> None:
    from firsthand.workroom.accepting import entry_text

    units = pipeline.workroom.settings.units
    changed, words = garment, []
    for alteration in made.alterations:
        altered = alteration.apply(changed)
        changed = altered.garment
        words.append(altered.record.words)
    toml = "\n".join(entry_text(one, units) for one in made.alterations)
    if voice.as_json:
        voice.json({"mend": made.mend.words, "does": words, "toml": toml, "added": added and bool(toml)})
        return
    if not made.alterations:
        voice.say(f"{made.mend.words}. Nothing of the pattern changes.")
        return
    for line in words:
        voice.say(line)
    voice.say(
        f"It stands in the stack of {garment.name or garment.id} now; `firsthand undo` takes it back."
        if added
        else toml.rstrip()
    )
