"""The command ``cloth``, and what is said of a cloth on a garment."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated, Any

import typer

from firsthand.cli._app import app
from firsthand.cli._commands import AsJson, Units, Why, make_voice

if TYPE_CHECKING:
    from firsthand.cli._output import Voice
    from firsthand.fabric import Fabric, Trial
    from firsthand.fit import FitResult
    from firsthand.fit.model import ClothFit, ClothRow
    from firsthand.units import Unit

FabricName = Annotated[str, typer.Argument(help="Id or name of a fabric on the shelf.", show_default=False)]


@app.command()
def cloth(
    fabric: FabricName,
    costume: Annotated[str, typer.Argument(help="Folder of the workroom, or anything in it.", show_default=False)] = "",
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
) -> None:
    """Tell what is known of a fabric, what is missing, and how to test it at the table."""
    from firsthand.cli._find import find_workroom_of
    from firsthand.fabric import trials

    voice = make_voice(as_json, why, units)
    workroom = find_workroom_of(costume)
    if not units:
        voice.read_in(workroom.settings.units)
    found = _called(fabric, workroom.fabrics)
    told = trials(found)
    if as_json:
        missing = [one.id for one in told if one.matters and not one.known]
        voice.json({"fabric": found, "known": told, "missing": missing})
        return
    _say_trials(voice, found, told)


def _called(name: str, fabrics: Mapping[str, Fabric]) -> Fabric:
    """The fabric of an id or, where only one has it, of a name that is shown."""
    from firsthand.errors import NotThere

    if name in fabrics:
        return fabrics[name]
    shown = [one for one in fabrics.values() if one.name.casefold() == name.casefold()]
    if len(shown) != 1:
        raise NotThere("fabric", name, fabrics)
    return shown[0]


def _say_trials(voice: Voice, fabric: Fabric, told: Sequence[Trial]) -> None:
    rows = ((one.name, one.known or ("to be tested" if one.matters else "not needed"), one.remark) for one in told)
    voice.table(f"{fabric.name} ({fabric.id})", ("", "known", ""), rows)
    for one in told:
        if (one.known or not one.matters) and not voice.why:
            continue
        voice.say()
        voice.say(f"{one.name}:", style="bold")
        for number, line in enumerate(one.how, 1):
            voice.say(f"  {number}. {line}")
        if one.care:
            voice.say(f"  Take care. {one.care}", style="yellow")
        voice.say(f"  Write into shelf/fabrics.toml: {one.write}")
        if voice.why:
            voice.say(f"  · {one.source}", style="dim")
    if all(one.known or not one.matters for one in told):
        voice.say("Everything that matters is known; --why tells how it is tested.")


# on a garment -----------------------------------------------------------------------------------------------


def cloth_json(fit: FitResult) -> dict[str, Any] | None:
    """What a cloth does to a garment's fit, for machines."""
    found = fit.cloth
    if found is None:
        return None
    levels = [asdict(row) | {"used": row.used} for row in found.rows]
    return {
        "fabric": found.fabric, "words": found.words, "levels": levels, "alterations": found.alterations,
        "seams": found.seams, "ways": found.ways, "why": found.why,
    }  # fmt: skip


def say_cloth(voice: Voice, fit: FitResult, unit: Unit) -> None:
    """What a cloth does to a garment's fit: a table where it is stretched, the correction, the ways."""
    from firsthand.units import said

    found = fit.cloth
    if found is None or not _matters(found):
        return
    if any(_stretched(row) for row in found.rows):
        heads = ("cloth", "stretch", "strain", "of it used", "presses mmHg", "asks for", "strain then")
        voice.table("", heads, (_cells(row) for row in found.rows), right=(1, 2, 3, 4, 5, 6))
    if found.alterations:
        voice.say(f"  {found.words}")
    for way in found.ways:
        more = f" {way.minutes:.0f} min and {said(way.cloth)} of cloth more." if way.minutes else ""
        voice.say(f"  {'advised:' if way.advised else '    or:'} {way.words}{more}")
    for row in found.rows if voice.why else ():
        for line in row.why:
            voice.say(f"  · {row.name}, cloth: {line}", style="dim")
    for line in found.why if voice.why else ():
        voice.say(f"  · {line}", style="dim")


def _matters(found: ClothFit) -> bool:
    return bool(found.alterations or found.ways) or any(_stretched(row) for row in found.rows)


def _stretched(row: ClothRow) -> bool:
    return (row.strain or 0.0) > 0.005 or row.target is not None


def _cells(row: ClothRow) -> tuple[str, ...]:
    from firsthand.fit.cloth import mmhg, percent
    from firsthand.units import said

    presses = "–" if row.pressure is None else f"{mmhg(row.pressure[0]):.0f} to {mmhg(row.pressure[1]):.0f}"
    return (
        row.name, percent(row.available), "–" if row.strain is None else percent(row.strain),
        "–" if row.used is None else percent(row.used), presses, "–" if row.target is None else said(row.target),
        "–" if row.target_strain is None else percent(row.target_strain),
    )  # fmt: skip
