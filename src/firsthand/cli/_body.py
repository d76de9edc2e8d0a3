"""Measurements: ``firsthand body`` says which are needed, ``measure`` how one is taken, ``take`` enters it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from firsthand.cli._app import app
from firsthand.cli._commands import AsJson, Units, Why, make_voice

if TYPE_CHECKING:
    from collections.abc import Mapping

    from firsthand.body import Body, Need
    from firsthand.cli._output import Voice
    from firsthand.findings import Finding
    from firsthand.workroom import Costume, Workroom

_WHOSE = "A costume or a wearer: its folder or file, or its name in the workroom you stand in."
_WEARER = "The wearer: the file, or its name in the workroom you stand in."
_KEY = "The measurement: its key, its number on the form, or its trade name."
Whose = Annotated[str, typer.Argument(help=_WHOSE, show_default=False)]
Wearer = Annotated[str, typer.Argument(help=_WEARER, show_default=False)]
Key = Annotated[str, typer.Argument(help=_KEY, show_default=False)]


@app.command()
def body(
    whose: Whose = "",
    every: Annotated[bool, typer.Option("--all", help="Every measurement, not only those that are needed.")] = False,
    sheet: Annotated[Path | None, typer.Option("--sheet", help="Write the measurement form to this PDF.")] = None,
    blank: Annotated[bool, typer.Option("--blank", help="The form without what is known.")] = False,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
) -> None:
    """Say which measurements are needed, which are missing or in doubt, and what the missing ones may be."""
    from firsthand.body import TAKING, check_body, in_order

    voice = make_voice(as_json, why, units)
    workroom, wearer, costumes = _found(whose)
    if not units:
        voice.read_in(workroom.settings.units)
    needs = _needs(workroom, costumes)
    wanted = {need.key for some in needs.values() for need in some}
    compared = in_order(need.key for some in needs.values() for need in some if need.compared)
    shown = tuple(TAKING) if every or not wanted else in_order(wanted)
    found = check_body(wearer, compared)
    rows = [_row(wearer, key, needs) for key in shown]
    if sheet is not None:
        _write_form(sheet, workroom, wearer, costumes, needs, shown, blank=blank, voice=voice)
    if as_json:
        voice.json({
            "wearer": wearer.id, "name": wearer.name, "table": wearer.table, "child": wearer.child, "form": wearer.form,
            "date": wearer.date, "over": wearer.over, "costumes": [costume.id for costume in costumes], "measurements": rows,
            "findings": found, "sheet": sheet,
        })  # fmt: skip
        return
    _say(voice, wearer, rows, found)
    if sheet is not None:
        voice.say(f"Written: {sheet}")


def _found(whose: str) -> tuple[Workroom, Body, tuple[Costume, ...]]:
    """The workroom, the wearer and the costumes that a name means: of a wearer all costumes, of a costume its wearer."""
    from firsthand.cli._find import find_costume
    from firsthand.errors import BadInput

    wearer = _wearer(whose) if whose else None
    if wearer is not None:
        workroom, body = wearer
        return workroom, body, tuple(costume for costume in workroom.costumes.values() if costume.wearer == body.id)
    try:
        workroom, costume = find_costume(whose)
    except BadInput:
        alone = None if whose else _only_wearer()
        if alone is None:
            raise
        return (*alone, ())
    return workroom, workroom.wearers[costume.wearer], (costume,)


def _wearer(name: str) -> tuple[Workroom, Body] | None:
    """The wearer of a file's path, or of a name in the workroom of the current folder."""
    from firsthand.errors import BadInput
    from firsthand.workroom import find_workroom, load_workroom
    from firsthand.workroom.measuring import wearer_called

    path = Path(name)
    is_file = path.suffix == ".toml" or (os.sep in name and path.parent.name == "wearers")
    try:
        root = find_workroom(path if is_file else Path())
    except BadInput:
        return None
    workroom = load_workroom(root)
    body = wearer_called(workroom, path.stem if is_file else name)
    return None if body is None else (workroom, body)


def _only_wearer() -> tuple[Workroom, Body] | None:
    from firsthand.workroom import find_workroom, load_workroom

    workroom = load_workroom(find_workroom(Path()))
    people = [body for body in workroom.wearers.values() if not body.form]
    return (workroom, people[0]) if len(people) == 1 else None


def _needs(workroom: Workroom, costumes: tuple[Costume, ...]) -> dict[str, tuple[Need, ...]]:
    from firsthand.workroom.measuring import costume_needs

    several = len(costumes) > 1
    return {
        f"{costume.id}/{garment}" if several else garment: needs
        for costume in costumes
        for garment, needs in costume_needs(workroom, costume).items()
    }


def _row(wearer: Body, key: str, needs: Mapping[str, tuple[Need, ...]]) -> dict[str, Any]:
    """One measurement, for JSON and for the table."""
    from firsthand.body import MEASUREMENTS, TAKING, estimate, no_estimate, taken

    found = taken(wearer, key)
    guess = estimate(wearer, key) if found is None else None
    asked = {garment: need for garment, some in needs.items() for need in some if need.key == key}
    return {
        "number": list(TAKING).index(key) + 1 if key in TAKING else 0,
        "key": key,
        "trade": MEASUREMENTS[key].trade if key in MEASUREMENTS else key,
        "value": None if found is None else found.value,
        "again": None if found is None else found.again,
        "taken_as": None if found is None else found.key,
        "missing": found is None,
        "compared": any(need.compared for need in asked.values()),
        "alone": bool(key in TAKING and TAKING[key].alone),
        "for": {garment: need.why for garment, need in asked.items()},
        "estimate": guess,
        "no_estimate": no_estimate(wearer, key) if found is None else "",
    }


def _say(voice: Voice, wearer: Body, rows: list[dict[str, Any]], found: tuple[Finding, ...]) -> None:
    details = [f"taken {wearer.date}" if wearer.date else "", f"over {wearer.over}" if wearer.over else ""]
    voice.say(", ".join([wearer.name, *(word for word in details if word)]))
    cells = []
    for row in rows:
        first, second = _reading(voice, row["key"], row["value"]), _reading(voice, row["key"], row["again"])
        name = f"{row['trade'].split(',')[0]}" + (" *" if row["compared"] and row["missing"] else "")
        guess = row["estimate"]
        if guess is not None:
            first = f"({_reading(voice, row['key'], guess.low)} to {_reading(voice, row['key'], guess.high)})"
        cells.append((str(row["number"]), name, first, second, "alone" if row["alone"] else "a friend", ", ".join(row["for"])))
    heads = ("no.", "measurement", f"first, {voice.unit}", "second", "taken", "for")
    voice.table("", heads, cells, right=(0, 2, 3))
    missing = [row for row in rows if row["missing"]]
    if missing:
        voice.say(f"{len(missing)} missing; in brackets the band of an estimate: nine bodies of ten lie within it.")
    for row in rows if voice.why else ():
        for garment, reasons in row["for"].items():
            voice.say(f"  · {row['key']}: {garment}: {'; '.join(reasons)}", style="dim")
        if row["no_estimate"]:
            voice.say(f"  · {row['key']}: no estimate: {row['no_estimate']}", style="dim")
    voice.findings(found)
    voice.say("How one is taken: firsthand measure KEY. To enter it: firsthand take WEARER KEY FIRST SECOND.", style="dim")


def _reading(voice: Voice, key: str, value: float | None) -> str:
    """A value in the reader's units, without the unit for a length."""
    import math

    from firsthand.body import MEASUREMENTS, Sort
    from firsthand.units import format_length

    if value is None:
        return "–"
    sort = MEASUREMENTS[key].sort if key in MEASUREMENTS else Sort.LENGTH
    if sort is Sort.MASS:
        return f"{value:.1f} kg"
    return f"{math.degrees(value):.0f}°" if sort is Sort.ANGLE else format_length(value, voice.unit, name=False)


def _write_form(
    file: Path,
    workroom: Workroom,
    wearer: Body,
    costumes: tuple[Costume, ...],
    needs: Mapping[str, tuple[Need, ...]],
    keys: tuple[str, ...],
    *,
    blank: bool,
    voice: Voice,
) -> None:
    from dataclasses import replace

    from firsthand.sheets import Form, Results, form_sheet

    garments: dict[str, tuple[str, ...]] = {}
    for garment, some in needs.items():
        for need in some:
            garments[need.key] = (*garments.get(need.key, ()), garment)
    settings = replace(workroom.settings, units=voice.unit)
    name = costumes[0].name if len(costumes) == 1 else ""
    results = Results(name, "" if blank else wearer.name, settings)
    made = form_sheet(results, Form(keys, None if blank else wearer, garments), file.name)
    file.write_bytes(made.data)


@app.command()
def measure(key: Key = "", as_json: AsJson = False) -> None:
    """Say how a measurement is taken, alone or with a friend, and over what; without a KEY list them all."""
    from firsthand.body import MEASUREMENTS, PREPARE, TAKING, Sort
    from firsthand.workroom.measuring import find_measurement

    voice = make_voice(as_json)
    if not key:
        rows = [{"number": number, **_how(name)} for number, name in enumerate(TAKING, 1)]
        if as_json:
            voice.json({"prepare": PREPARE, "measurements": rows})
            return
        cells = [(str(row["number"]), row["key"], row["trade"], "alone" if row["alone"] else "a friend") for row in rows]
        voice.table("", ("no.", "key", "trade name", "taken"), cells, right=(0,))
        for words in PREPARE:
            voice.say(words, style="dim")
        return
    name = find_measurement(key)
    told = {"number": list(TAKING).index(name) + 1, **_how(name)}
    if as_json:
        voice.json(told)
        return
    voice.say(f"{told['number']}. {told['trade']} ({name}): {MEASUREMENTS[name].definition}")
    voice.say(f"How: {told['how']}")
    voice.say(f"Alone: {told['alone']}" if told["alone"] else f"With a friend: {told['friend']}")
    voice.say(f"Best over {told['over']}.")
    if MEASUREMENTS[name].sort is Sort.GIRTH:
        voice.say("Twice: let go of the tape in between, and write both.")
    if told["caveat"]:
        voice.say(told["caveat"], style="dim")


def _how(key: str) -> dict[str, Any]:
    from firsthand.body import MEASUREMENTS, TAKING

    kind, taking = MEASUREMENTS[key], TAKING[key]
    return {
        "key": key, "trade": kind.trade, "sort": kind.sort, "definition": kind.definition, "how": taking.how,
        "alone": taking.alone, "friend": taking.friend, "over": taking.over, "caveat": kind.caveat,
    }  # fmt: skip


@app.command()
def take(
    wearer: Wearer,
    key: Key,
    readings: Annotated[list[str] | None, typer.Argument(help="One reading, or two of a girth: 76, 34 1/2 in.")] = None,
    drop: Annotated[bool, typer.Option("--drop", help="Take the measurement out of the file.")] = False,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
) -> None:
    """Enter or replace a measurement in a wearer's file, comments kept; `firsthand undo` takes it back."""
    from firsthand.errors import BadInput, Problem
    from firsthand.workroom import load_workroom
    from firsthand.workroom.measuring import find_measurement, joined_readings, take_measurement

    voice = make_voice(as_json, why, units)
    if bool(readings) == drop:
        found = "both" if drop else "no reading"
        raise BadInput(
            [Problem("", "READINGS", found, "readings, or --drop", "Write for example 76 75.5, with units if wished.")]
        )
    name = find_measurement(key)
    there = _wearer(wearer)
    if there is None:
        remedy = "Write its name, standing in the workroom, or the path of its file, wearers/NAME.toml."
        raise BadInput([Problem("", "WEARER", repr(wearer), "a wearer of this workroom", remedy)])
    workroom, person = there
    if not units:
        voice.read_in(workroom.settings.units)
    revision = take_measurement(workroom, person.id, name, joined_readings(readings or ()))
    after = load_workroom(workroom.folder).wearers[person.id]
    found_now = _about(after, name)
    if as_json:
        voice.json({"wearer": person.id, **_row(after, name, {}), "revision": revision, "findings": found_now})
        return
    row = _row(after, name, {})
    both = " and ".join(_reading(voice, name, value) for value in (row["value"], row["again"]) if value is not None)
    voice.say(f"{person.name}: {row['trade'].split(',')[0]} {both or 'taken out'}. This is revision {revision}.")
    voice.findings(found_now)


def _about(body: Body, key: str) -> tuple[Finding, ...]:
    """What is asked about one measurement, once it stands beside the others."""
    from firsthand.body import check_body

    found = check_body(body, [key])
    return tuple(finding for finding in found if finding.where[-1] == key or finding.code == "measurement-once")
