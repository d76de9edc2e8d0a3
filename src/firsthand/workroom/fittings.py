"""Writing fittings, how far parts are, and a fitting into the stack of its garment."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from firsthand.errors import BadInput, NotThere, Problem
from firsthand.fit import FitResult
from firsthand.fit.fitting import Fitted, Fitting, alterations_of
from firsthand.pattern import PartState
from firsthand.sheets import Results, Scope, make_sheets
from firsthand.units import Unit
from firsthand.workroom._cache import write_whole
from firsthand.workroom._commit import commit
from firsthand.workroom._fittings import fitting_bytes, fittings_of
from firsthand.workroom._reading import Gathered
from firsthand.workroom.accepting import with_entries
from firsthand.workroom.model import Costume, Workroom
from firsthand.workroom.stacking import table_headers

__all__ = ["add_fitting", "into_pattern", "set_states", "write_fitting_sheets"]


def add_fitting(workroom: Workroom, costume: Costume, fitting: Fitting) -> tuple[Fitting, int]:
    """Write a fitting as one save; a second one of a day gets ``-2`` behind its date, and so on.

    Returns
    -------
    Fitting
        With its id.
    int
        The new revision.

    Raises
    ------
    BadInput
        If what was noted could not be read again: a line break in the words, a name that is not there. Nothing is written.
    Conflict, NotSaved
        See :func:`firsthand.workroom.commit`.
    """
    taken, number = {one.id for one in costume.fittings}, 1
    while (name := fitting.date + (f"-{number}" if number > 1 else "")) in taken:
        number += 1
    named = replace(fitting, id=name)
    path = f"costumes/{costume.id}/fittings/{name}.toml"
    units = workroom.settings.units if workroom.settings.units is not Unit.YARD else Unit.INCH
    files = {path: fitting_bytes(named, units)}
    _refuse_unreadable(workroom, costume, path, files[path])
    return named, commit(workroom.folder, files, words=f"fitting {name}: {', '.join(named.garments)}", expected={path: ""})


def _refuse_unreadable(workroom: Workroom, costume: Costume, path: str, data: bytes) -> None:
    """What cannot be read again is not written: one such file would close the whole workroom."""
    gathered, below = Gathered(), path.removeprefix(f"costumes/{costume.id}/")
    fittings_of(costume.id, {below: data}, [brief.id for brief in costume.garments], workroom.wearers, gathered)
    gathered.finish()


def into_pattern(workroom: Workroom, costume: Costume, done: Fitted) -> int:
    """Write a fitting's alterations behind a garment's stack, and mark the fitting so that it is not applied twice.

    Raises
    ------
    BadInput
        If the stack has it already, nothing of it could be taken in, an earlier one is not in the stack yet, or the garment
        takes in by itself what the fit proposes.
    Conflict, NotSaved
        See :func:`firsthand.workroom.commit`.
    """
    garment, fitting = done.garment, done.fitting
    brief = costume.garment(garment)
    _refuse(costume, done, brief.take_in)
    stack, file = f"costumes/{costume.id}/costume.toml", f"costumes/{costume.id}/fittings/{fitting.id}.toml"
    number = [one.id for one in costume.garments].index(garment)
    note = f"from the fitting of {fitting.date}{f', on {fitting.on}' if fitting.on else ''}"
    new = with_entries(_text(workroom, stack), number, alterations_of(done), note=note, file=stack)
    files = {stack: new.encode(), file: _marked(_text(workroom, file), garment, file).encode()}
    expected = {path: workroom.digests[path] for path in files if path in workroom.digests}
    return commit(workroom.folder, files, words=f"{garment}: fitting {fitting.id} into the pattern", expected=expected)


def write_fitting_sheets(workroom: Workroom, costume: Costume, fit: FitResult, fitting: str) -> tuple[Path, ...]:
    """Write the sheet and the chalk strips of one fitting of a garment into the costume's ``out/``, where all others lie too.

    Raises
    ------
    BadInput
        If something cannot be written there.
    """
    wearer, garment = workroom.wearers[costume.wearer].name, fit.garment.id
    due = costume.garment(garment).due or costume.due
    one = replace(fit, fittings=tuple(done for done in fit.fittings if done.fitting.id == fitting))
    results = Results(costume.name, wearer, workroom.settings, due, {garment: one}, workroom.fabrics)
    written = []
    for sheet in make_sheets(results, Scope.GARMENT, only=("fitting", "chalk-strips")):
        file = costume.folder / "out" / sheet.name
        try:
            write_whole(file, sheet.data)
        except OSError as error:
            reason, remedy = (error.strerror or str(error)).lower(), "Move away what lies there, or make room."
            raise BadInput([Problem(str(file), "", reason, "a file that can be written", remedy)]) from error
        written.append(file)
    return tuple(written)


def _refuse(costume: Costume, done: Fitted, take_in: bool) -> None:
    file, garment = f"costumes/{costume.id}/fittings/{done.fitting.id}.toml", done.garment
    if not done.applied:
        found, remedy = f"{garment} has this fitting already", "Look at its alterations: firsthand stack."
    elif not done.entries:
        found, remedy = f"nothing of it could be taken into {garment}", "Mend what the findings say."
    elif take_in:
        found = f"{garment} takes in what the fit proposes (take_in = true), which would undo it"
        remedy = "Write the proposal into the stack first, with firsthand accept, and take take_in out."
    elif earlier := [one.id for one in costume.fittings if garment in one.garments and garment not in one.in_pattern][0:1]:
        if earlier[0] == done.fitting.id:
            return
        found, remedy = f"the earlier fitting {earlier[0]} is not in the pattern yet", f"Take {earlier[0]} in first."
    else:
        return
    raise BadInput([Problem(file, "in_pattern", found, "a fitting that can go into the stack", remedy)])


def _text(workroom: Workroom, path: str) -> str:
    return (workroom.folder / path).read_bytes().decode("utf-8-sig")


def _marked(text: str, garment: str, file: str) -> str:
    """The text of a fitting with a garment among those whose stack has it."""
    data = tomllib.loads(text)
    wanted = {**data, "in_pattern": [*data.get("in_pattern", []), garment]}
    line = f"in_pattern = {json.dumps(wanted['in_pattern'], ensure_ascii=False)}\n"
    lines = text.splitlines(keepends=True)
    headers = list(table_headers([one.rstrip("\n") for one in lines]))
    head = headers[0][0] if headers else len(lines)
    there = next((k for k in range(head) if re.match(r"\s*in_pattern\s*=", lines[k])), None)
    if there is not None:
        lines[there] = line
    else:
        at = max((k + 1 for k in range(head) if re.match(r"\s*\w+\s*=", lines[k])), default=0)
        lines.insert(at, line)
    return _checked("".join(lines), wanted, file, "in_pattern")


def _checked(new: str, wanted: Mapping[str, Any], file: str, place: str) -> str:
    try:
        if tomllib.loads(new) == wanted:
            return new
    except tomllib.TOMLDecodeError:
        pass
    raise BadInput([Problem(file, place, "written in an unusual way", "one line of its own", "Change it by hand.")])


# how far parts are --------------------------------------------------------------------------------------------


def set_states(workroom: Workroom, costume: Costume, garment: str, states: Mapping[str, PartState]) -> int:
    """Write how far parts of a garment are, as one save; ``""`` stands for all that are not named.

    Raises
    ------
    NotThere
        If there is no such garment.
    BadInput
        If the file is written in a way that cannot be changed without touching the rest.
    """
    path = f"costumes/{costume.id}/costume.toml"
    known = [brief.id for brief in costume.garments]
    if garment not in known:
        raise NotThere("garment", garment, known)
    new = _with_states(_text(workroom, path), known.index(garment), states, path)
    words = f"{garment}: " + ", ".join(f"{name or 'all'} {state.value}" for name, state in states.items())
    expected = {path: workroom.digests[path]} if path in workroom.digests else {}
    return commit(workroom.folder, {path: new.encode()}, words=words, expected=expected)


def _with_states(text: str, number: int, states: Mapping[str, PartState], file: str) -> str:
    data = tomllib.loads(text)
    old = data["garment"][number].get("state", {})
    told = {name or "all": state.value for name, state in states.items()}
    made = told if "all" in told else {**old, **told}  # what is said of all counts from now on
    garments = [{**table, "state": made} if k == number else table for k, table in enumerate(data["garment"])]
    pairs = ", ".join(f"{_key(name)} = {json.dumps(state)}" for name, state in made.items())
    line = f"state = {{ {pairs} }}\n"
    lines = text.splitlines(keepends=True)
    if lines and not lines[-1].endswith("\n"):
        lines[-1] += "\n"
    headers = list(table_headers([one.rstrip("\n") for one in lines]))
    own = [k for k, (_, name) in enumerate(headers) if name == "garment"][number]
    start, end = headers[own][0] + 1, headers[own + 1][0] if own + 1 < len(headers) else len(lines)
    there = next((k for k in range(start, end) if re.match(r"\s*state\s*=", lines[k])), None)
    if there is not None:
        lines[there] = line
    else:
        at = max((k + 1 for k in range(start, end) if re.match(r"\s*[\w\"-]+\s*=", lines[k])), default=start)
        lines.insert(at, line)
    return _checked("".join(lines), {**data, "garment": garments}, file, f"garment[{number + 1}].state")


def _key(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else json.dumps(name, ensure_ascii=False)
