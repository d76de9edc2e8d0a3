"""The fitting, ``firsthand fitting``, and how far parts are, ``firsthand state``."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated, Any

import typer

from firsthand.cli._app import app
from firsthand.cli._commands import AsJson, Units, Why, make_pipeline, make_voice

if TYPE_CHECKING:
    from firsthand.cli._output import Voice
    from firsthand.fit.fitting import Fitted, FittingPoint
    from firsthand.workroom.pipeline import Pipeline

Costume = Annotated[
    str, typer.Argument(help="Folder of a costume, or its name in the workroom you stand in.", show_default=False)
]
Words = list[str] | None


@app.command()
def fitting(
    costume: Costume,
    what: Annotated[
        str, typer.Argument(help="The garment, by its id, or a fitting, by its date; without one all are listed.")
    ] = "",
    pin: Annotated[Words, typer.Option("--pin", help="Pinned: “side left, 8 cm below waist, 12 mm, doubled”.")] = None,
    sewn: Annotated[
        Words, typer.Option("--sewn", help="Sewn again: from the old line to the new one, in the same words.")
    ] = None,
    hem: Annotated[Words, typer.Option("--hem", help="Marked: “front.hem, 40 %, up 2 cm, to the end”.")] = None,
    edge: Annotated[Words, typer.Option("--edge", help="Cut away: “front.neck, 3 cm from centre, 1 cm”.")] = None,
    dart: Annotated[Words, typer.Option("--dart", help="A dart: “front.bust dart left, 6 mm wider”, or narrower.")] = None,
    on: Annotated[str, typer.Option("--on", help="The wearer or form it was on; the costume's wearer if left out.")] = "",
    date: Annotated[str, typer.Option("--date", help="Its day, as 2027-02-06; today if left out.")] = "",
    beneath: Annotated[Words, typer.Option("--beneath", help="What was worn beneath; may be given again.")] = None,
    note: Annotated[str, typer.Option("--note", help="What was seen, in words.")] = "",
    carry: Annotated[bool, typer.Option("--carry", help="Carry what is told of one hand to the other.")] = False,
    into_pattern: Annotated[
        bool, typer.Option("--into-pattern", help="Write this fitting into the stacks of its garments, for next time.")
    ] = False,
    as_json: AsJson = False,
    units: Units = None,
    why: Why = False,
) -> None:
    """Take a fitting in: from a few pins to new lines and what to do. List fittings. `firsthand undo` takes an entry back."""
    voice = make_voice(as_json, why, units)
    told = {"pin": pin or [], "sewn": sewn or [], "hem": hem or [], "edge": edge or [], "dart": dart or []}
    if any(told.values()):
        _enter(
            voice, costume, what, told, units, {"on": on, "date": date, "words": note, "beneath": tuple(beneath or ())}, carry
        )
        return
    pipeline = make_pipeline(costume, voice, units=units)
    if into_pattern:
        _into_pattern(voice, pipeline, what)
        return
    _list(voice, pipeline, what)


# entering -----------------------------------------------------------------------------------------------------


def _enter(
    voice: Voice, costume: str, garment: str, told: dict[str, list[str]], units: str | None, about: dict[str, Any], carry: bool
) -> None:
    import datetime
    from dataclasses import replace

    from firsthand.errors import BadInput, Problem
    from firsthand.fit.fitting import Fitting
    from firsthand.workroom.fittings import add_fitting, write_fitting_sheets

    if not garment or _is_date(garment):
        raise BadInput([Problem("", "GARMENT", repr(garment), "the garment that was fitted", "Name it by its id.")])
    pipeline = make_pipeline(costume, voice, units=units, only=[garment])
    problems: list[Problem] = []
    day = about["date"] or datetime.date.today().isoformat()
    wearer = about["on"] or pipeline.costume.wearer
    try:
        day = datetime.date.fromisoformat(day).isoformat()
    except ValueError:
        problems.append(Problem("", "--date", repr(day), "a date as 2027-02-06", "Write it in that order."))
    if wearer not in pipeline.workroom.wearers:
        known = ", ".join(pipeline.workroom.wearers)
        problems.append(Problem("", "--on", repr(wearer), f"one of {known}", "Name who it was on."))
    points = _points(pipeline, garment, told, problems)
    if problems:
        raise BadInput(problems)
    if carry:
        points = [replace(point, carry=bool(point.hand)) for point in points]
    new = Fitting("", day, wearer, about["beneath"], about["words"], points=tuple(points))
    named, revision = add_fitting(pipeline.workroom, pipeline.costume, new)
    pipeline = make_pipeline(costume, voice, units=units, only=[garment])
    done = next(one for one in pipeline.fits[garment].value.fittings if one.fitting.id == named.id)
    try:
        files = write_fitting_sheets(pipeline.workroom, pipeline.costume, pipeline.fits[garment].value, named.id)
    except BadInput as bad:
        remedy = f"The fitting {named.id} itself is saved, as revision {revision}: do not enter it again."
        raise BadInput([*bad.problems, Problem("", "sheets", "none written", "its sheet and chalk strips", remedy)]) from bad
    if voice.as_json:
        voice.json({"fitting": named.id, "revision": revision, "files": [str(file) for file in files], **_told(done)})
        return
    _say(voice, done)
    for file in files:
        voice.say(f"Written: {file}")
    voice.say(f"This is revision {revision}; `firsthand undo` takes it back.", style="dim")


def _points(pipeline: Pipeline, garment: str, told: dict[str, list[str]], problems: list[Any]) -> list[FittingPoint]:
    from firsthand.errors import BadInput
    from firsthand.fit.fitting import PointSort, parse_entry

    found = pipeline.fits[garment].value.garment
    points = []
    for sort, entries in told.items():
        for words in entries:
            try:
                points.append(parse_entry(words, PointSort(sort), found, option=f"--{sort}"))
            except BadInput as bad:
                problems += bad.problems
    return points


# saying -------------------------------------------------------------------------------------------------------


def _say(voice: Voice, done: Fitted) -> None:
    from firsthand.fit.fitting import grouped, said_point
    from firsthand.units import format_length

    for point in done.fitting.of(done.garment):
        voice.say(said_point(point))
    if not done.applied:
        voice.say("The garment's stack has it already.", style="dim")
    for line in done.lines if voice.why else ():
        voice.say(f"{line.name}: {'; '.join(line.words)}", style="dim")
    rows = [(names, one.state.value, one.outcome.value, one.words) for names, one in grouped(done.consequences)]
    if rows:
        voice.table("", ("part", "is", "so", "what to do"), rows)
    for one in done.lengths if voice.why else ():
        lengths = (one.a_before, one.a_after, one.b_before, one.b_after)
        a, b, c, d = (format_length(value, voice.unit) for value in lengths)
        voice.say(f"{one.seam}: {a} to {b} on one side, {c} to {d} on the other; {one.words}")
    _say_ease(voice, done)
    for number, step in enumerate(done.steps, 1):
        voice.say(f"{number:>2}. {step}")
    voice.findings(done.findings)


def _say_ease(voice: Voice, done: Fitted) -> None:
    from firsthand.units import format_length

    def words(value: float | None) -> str:
        return "–" if value is None else format_length(value, voice.unit, name=False)

    rows = [
        (row.name, words(row.before), words(row.after), f"{words(row.low)} to {words(row.high)}", row.verdict)
        for row in done.ease
    ]
    if rows:
        voice.table("", ("level", f"ease before, {voice.unit}", "after", "wanted", ""), rows, right=range(1, 4))


def _told(done: Fitted) -> dict[str, Any]:
    return {
        "garment": done.garment, "applied": done.applied, "entries": done.entries, "lines": done.lines,
        "consequences": done.consequences, "lengths": done.lengths, "ease": done.ease, "steps": done.steps,
        "findings": done.findings,
    }  # fmt: skip


def _all(pipeline: Pipeline, what: str) -> list[Fitted]:
    from firsthand.errors import NotThere

    ids, garments = [one.id for one in pipeline.costume.fittings], [brief.id for brief in pipeline.costume.garments]
    if what and what not in ids and what not in garments:
        raise NotThere("fitting", what, ids) if _is_date(what) else NotThere("garment", what, garments)
    names = [brief.id for brief in pipeline.briefs if any(brief.id in one.garments for one in pipeline.costume.fittings)]
    found = [done for name in names for done in pipeline.fits[name].value.fittings]
    return [done for done in found if not what or what in (done.garment, done.fitting.id)]


def _list(voice: Voice, pipeline: Pipeline, what: str) -> None:
    found = _all(pipeline, what)
    if voice.as_json:
        voice.json({"costume": pipeline.costume.id, "fittings": [{"fitting": one.fitting, **_told(one)} for one in found]})
        return
    if not found:
        voice.say("No fitting has been entered.")
    for done in found:
        on = f", on {done.fitting.on}" if done.fitting.on else ""
        words = f": {done.fitting.words}" if done.fitting.words else ""
        voice.say(f"{done.fitting.id}, {done.garment}{on}{words}", style="bold")
        if _is_date(what) or len(found) == 1 or voice.why:
            _say(voice, done)
        else:
            _say_short(voice, done)
    if len(found) > 1 and not _is_date(what) and not voice.why:
        voice.say("Name one by its date for what to do.", style="dim")


def _say_short(voice: Voice, done: Fitted) -> None:
    """What was noted, and how the ease changed with it."""
    from firsthand.fit.fitting import said_point
    from firsthand.units import said

    for point in done.fitting.of(done.garment):
        voice.say(f"  {said_point(point)}")
    changed = [
        f"{row.name.lower()} {said(row.before)} to {said(row.after)}"
        for row in done.ease
        if row.before is not None and row.after is not None and abs(row.after - row.before) >= 1.0
    ]
    voice.say(f"  Ease: {', '.join(changed) or 'as it was'}.")


def _into_pattern(voice: Voice, pipeline: Pipeline, what: str) -> None:
    from firsthand.errors import BadInput, Problem
    from firsthand.workroom.fittings import into_pattern

    found = [done for done in _all(pipeline, what) if done.applied] if _is_date(what) else []
    if not found:
        expected = "the date of a fitting that is not in the pattern yet"
        raise BadInput([Problem("", "--into-pattern", repr(what), expected, "Name it: firsthand fitting COSTUME lists them.")])
    revisions = []
    for done in found:
        revisions.append(into_pattern(pipeline.workroom, pipeline.costume, done))
        pipeline = make_pipeline(str(pipeline.costume.folder), voice)
    names = [done.garment for done in found]
    if voice.as_json:
        voice.json({"fitting": what, "garments": names, "revision": revisions[-1]})
        return
    voice.say(f"The fitting {what} is in the stack of {', '.join(names)} now, and the next costume starts from it.")
    voice.say(f"This is revision {revisions[-1]}; `firsthand undo` takes it back.", style="dim")


def _is_date(words: str) -> bool:
    return bool(re.fullmatch(r"\d{4}-\d\d-\d\d(-\d+)?", words))


# how far parts are --------------------------------------------------------------------------------------------


@app.command()
def state(
    costume: Costume,
    garment: Annotated[str, typer.Argument(help="The garment, by its id.", show_default=False)],
    pieces: Annotated[
        list[str] | None,
        typer.Argument(help="Pieces or parts, as “front” or “front left shell”; none means all.", metavar="[PIECE]..."),
    ] = None,
    planned: Annotated[bool, typer.Option("--planned", help="They are still to be cut.")] = False,
    held_back: Annotated[bool, typer.Option("--held-back", help="They are cut after a fitting.")] = False,
    cut: Annotated[bool, typer.Option("--cut", help="They are cut.")] = False,
    sewn: Annotated[bool, typer.Option("--sewn", help="They are sewn.")] = False,
    as_json: AsJson = False,
) -> None:
    """Say how far the parts of a garment are, or show it. `firsthand undo` takes it back."""
    from firsthand.errors import BadInput, Problem
    from firsthand.pattern import PartState
    from firsthand.workroom.fittings import set_states

    voice = make_voice(as_json)
    pipeline = make_pipeline(costume, voice, only=[garment])
    given = {PartState.PLANNED: planned, PartState.HELD_BACK: held_back, PartState.CUT: cut, PartState.SEWN: sewn}
    wanted = [one for one, told in given.items() if told]
    if len(wanted) > 1:
        raise BadInput([Problem("", "state", "more than one state", "one of them", "Say it in two commands.")])
    if wanted:
        _refuse_unknown(pipeline, garment, pieces or [])
        set_states(
            pipeline.workroom,
            pipeline.costume,
            garment,
            dict.fromkeys(["" if name == "all" else name for name in pieces or ["all"]], wanted[0]),
        )
        pipeline = make_pipeline(costume, voice, only=[garment])
    parts = pipeline.fits[garment].value.garment.parts
    if voice.as_json:
        voice.json({"garment": garment, "parts": [{"part": part.id, "state": part.state} for part in parts]})
        return
    for part in parts:
        voice.say(f"{part.id}: {part.state.value}")


def _refuse_unknown(pipeline: Pipeline, garment: str, names: list[str]) -> None:
    from firsthand.errors import BadInput, Problem, nearest_names
    from firsthand.fit.fitting import known_parts

    known = {"all", *known_parts(pipeline.fits[garment].value.garment), *known_parts(pipeline.bought(garment))}
    problems = []
    for name in names:
        if name not in known:
            near = nearest_names(name, sorted(known))
            remedy = f"Did you mean {' or '.join(near)}?" if near else "Name a piece, or a piece with its hand or role."
            problems.append(Problem("", "PIECE", repr(name), f"a part of {garment}", remedy))
    if problems:
        raise BadInput(problems)
