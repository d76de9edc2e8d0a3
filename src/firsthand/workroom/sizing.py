"""Taking a size that was chosen into a ``costume.toml``: everything else in the file stays as people wrote it."""

from __future__ import annotations

import copy
import json
import re
import tomllib

from firsthand.errors import BadInput, Blocked, Problem
from firsthand.findings import Finding, Severity, kind
from firsthand.fit.sizing import SizeChoice
from firsthand.pattern import PartState
from firsthand.workroom._commit import commit
from firsthand.workroom.accepting import with_entries
from firsthand.workroom.model import Costume, GarmentBrief, Workroom
from firsthand.workroom.stacking import table_headers

__all__ = ["take_size"]

ALTERED = kind(
    "size-altered",
    Severity.DOUBT,
    "Another size was taken for a garment that has alterations already: their amounts were meant for the former size. Look at "
    "each of them again.",
)

SIZING = ("blend-sizes", "grade")
"""Kinds that make a size, of which a stack has one."""


def take_size(workroom: Workroom, costume: Costume, garment: str, choice: SizeChoice) -> tuple[int, tuple[Finding, ...]]:
    """Write a chosen size into a garment's brief, and the blend of sizes or the size made again first into its stack.

    Parameters
    ----------
    workroom, costume, garment
        Which brief: the garment by its id.
    choice
        The size chosen for it.

    Returns
    -------
    tuple
        The new revision (the former one if nothing changed), and what is to be looked at now.

    Raises
    ------
    Blocked
        If no size was chosen, parts are cut already, or the stack makes a size already.
    BadInput
        If the file is written in a way that cannot be changed without touching the rest.
    Conflict, NotSaved
        See :func:`firsthand.workroom.commit`.
    """
    brief = costume.garment(garment)
    _refuse(brief, choice)
    path = f"costumes/{costume.id}/costume.toml"
    text = (workroom.folder / path).read_bytes().decode("utf-8-sig")
    number = [one.id for one in costume.garments].index(garment)
    new = _changed(text, number, choice, path)
    if new == text:
        return workroom.revision, ()
    expected = {path: workroom.digests[path]} if path in workroom.digests else {}
    words = f"{garment}: size {', '.join(choice.blend) or choice.size}"
    revision = commit(workroom.folder, {path: new.encode()}, words=words, expected=expected)
    return revision, _altered(brief, choice)


def _refuse(brief: GarmentBrief, choice: SizeChoice) -> None:
    if not choice.size:
        raise Blocked(f"{brief.id}: no size can be chosen, so none was taken")
    done = [name or "all" for name, state in brief.states.items() if state in (PartState.CUT, PartState.SEWN)]
    if done and choice.size != brief.size:
        why = f"in size {brief.size}; another size would have to be cut anew"
        raise Blocked(f"{brief.id}: cut already ({', '.join(done)}) {why}. Alter it, or say state = planned first")
    for entry in brief.alterations:
        if entry.kind in SIZING and not entry.off:
            way = f"Take it out first: firsthand stack COSTUME {brief.id} --drop '{entry.id}'."
            raise Blocked(f"{brief.id}: {entry.id} makes a size already, so none was taken. {way}")


def _altered(brief: GarmentBrief, choice: SizeChoice) -> tuple[Finding, ...]:
    kept = [entry.id for entry in brief.alterations if not entry.off]
    if not kept or choice.size == brief.size:
        return ()
    message = f"{', '.join(kept)}: meant for size {brief.size}, and the size is {choice.size} now"
    return (ALTERED(message, where=(brief.id,), remedy="Look at each amount again."),)


def _changed(text: str, number: int, choice: SizeChoice, path: str) -> str:
    """The text with the size, and what makes it first in the stack."""
    new = _with_size(text, number, choice.size, path)
    if not choice.alterations:
        return new
    note = f"Chosen {choice.reason.partition(':')[0]}: {choice.blend_words or choice.size}"
    return with_entries(new, number, choice.alterations, note=note, first=True, file=path)


_SIZE = re.compile(r"""^(\s*size\s*=\s*)("[^"\\]*"|'[^']*')""")


def _with_size(text: str, number: int, size: str, path: str) -> str:
    wanted = copy.deepcopy(tomllib.loads(text))
    if wanted["garment"][number]["size"] == size:
        return text
    wanted["garment"][number]["size"] = size
    lines = text.splitlines(keepends=True)
    headers = list(table_headers([line.rstrip("\r\n") for line in lines]))
    starts = [at for at, name in headers if name == "garment"]
    if number < len(starts):
        start = starts[number]
        end = next((at for at, _ in headers if at > start), len(lines))
        words = json.dumps(size, ensure_ascii=False)
        lines[start:end] = [_SIZE.sub(lambda match: match[1] + words, line) for line in lines[start:end]]
    new = "".join(lines)
    if tomllib.loads(new) != wanted:
        found, expected = "a size written in an unusual way", f"a line size = {json.dumps(size)}"
        raise BadInput([Problem(path, f"garment[{number + 1}].size", found, expected, "Change it by hand.")])
    return new
