"""Changing the stack of a garment in its ``costume.toml``: everything else in the file stays as people wrote it."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from firsthand.alter import Record
from firsthand.errors import BadInput, NotThere, Problem
from firsthand.findings import Finding
from firsthand.workroom._commit import commit
from firsthand.workroom._kinded import with_id
from firsthand.workroom.model import Costume, GarmentBrief, Workroom

__all__ = ["Change", "alteration_places", "change_stack", "table_headers"]


@dataclass(frozen=True, slots=True)
class Change:
    """What is to become of a stack; each entry is named by its id as it is before the change.

    Instead of an id the kind may be written where there is only one entry of it.

    Parameters
    ----------
    off, on, drop
        Ids of entries to be switched off, switched on and taken out.
    move, to
        Id of an entry to be moved, and its new number, from 1.
    """

    off: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    drop: tuple[str, ...] = ()
    move: str = ""
    to: int = 0

    @property
    def words(self) -> str:
        """For the history.

        Examples
        --------
        >>> Change(off=("lengthen 1",), move="scale 1", to=1).words
        'lengthen 1 switched off, scale 1 moved to 1'
        """
        parts = [(self.off, "switched off"), (self.on, "switched on"), (self.drop, "taken out")]
        words = [f"{', '.join(names)} {done}" for names, done in parts if names]
        return ", ".join([*words, *([f"{self.move} moved to {self.to}"] if self.move else [])])


@dataclass(frozen=True, slots=True)
class StackRow:
    """An entry of a stack, and what became of it.

    Parameters
    ----------
    number
        Its place in the stack, from 1; None for the even take-in, which is no entry and always comes last.
    words
        What it did; empty if it did nothing.
    refused, remedy
        Why it could not be done, and what to do; empty if it was.
    """

    number: int | None
    id: str
    kind: str
    off: bool = False
    words: str = ""
    refused: str = ""
    remedy: str = ""

    @property
    def state(self) -> str:
        """On, off or refused."""
        return "off" if self.off else "refused" if self.refused else "on"


TAKE_IN = "take_in"
"""What the line of the even take-in is called: the key that turns it on."""


def stack_rows(brief: GarmentBrief, records: Sequence[Record], findings: Sequence[Finding]) -> tuple[StackRow, ...]:
    """The stack of a garment as it was applied; last the even take-in, if the garment asks for it.

    Parameters
    ----------
    brief
        The garment as it is written.
    records, findings
        Of its fit.
    """
    words = {record.alteration: record.words for record in records}
    refused = {finding.where[1]: finding for finding in findings if finding.code == "alteration-refused"}
    rows = []
    for number, entry in enumerate(brief.alterations, 1):
        why = refused.get(entry.id)
        row = StackRow(number, entry.id, entry.kind, entry.off, words.get(entry.id, ""))
        if why is not None:
            row = replace(row, refused=why.message, remedy=why.remedy)
        elif not entry.off and entry.id not in words:
            row = replace(row, refused="it was not applied")
        rows.append(row)
    return (*rows, _take_in_row(brief, records, refused)) if brief.take_in else tuple(rows)


def _take_in_row(brief: GarmentBrief, records: Sequence[Record], refused: Mapping[str, Finding]) -> StackRow:
    own = {entry.id for entry in brief.alterations}
    done = [record.words for record in records if record.alteration not in own]
    row = StackRow(None, TAKE_IN, "take-in", words="; ".join(done))
    why = [finding for name, finding in refused.items() if name not in own]
    if why:
        return replace(row, refused=why[0].message, remedy=why[0].remedy)
    return row if done else replace(row, words="nothing to take in or let out")


def change_stack(workroom: Workroom, costume: Costume, garment: str, change: Change) -> int:
    """Change a garment's stack, as one save.

    Parameters
    ----------
    workroom, costume, garment
        Which stack: the garment by its id.
    change
        What is to become of it.

    Returns
    -------
    int
        The new revision; the former one if nothing changed.

    Raises
    ------
    NotThere
        If there is no such garment or entry.
    BadInput
        If the number to move to is none, or the file is written in a way that cannot be changed without touching the rest.
    Conflict, NotSaved
        See :func:`firsthand.workroom.commit`.
    """
    path = f"costumes/{costume.id}/costume.toml"
    text = (workroom.folder / path).read_bytes().decode("utf-8-sig")
    data = tomllib.loads(text)
    known = [brief.id for brief in costume.garments]
    if garment not in known:
        raise NotThere("garment", garment, known)
    new = _Stack(text, data, known.index(garment)).changed(change, path)
    expected = {path: workroom.digests[path]} if path in workroom.digests else {}
    return commit(workroom.folder, {path: new.encode()}, words=f"{garment}: {change.words}", expected=expected)


@dataclass(frozen=True, slots=True)
class _Entry:
    """An entry of the stack: its id, whether the file says it, its table, and its lines."""

    id: str
    table: dict[str, Any]
    lines: tuple[str, ...] = ()

    def put(self, key: str, value: Any) -> _Entry:
        """With another value; None takes the key out."""
        table = {name: old for name, old in self.table.items() if name != key}
        table = table if value is None else {**table, key: value}
        return replace(self, table=table, lines=_put(self.lines, key, value))


@dataclass(frozen=True, slots=True)
class _Stack:
    """The stack of one garment, by its number from 0, in the text of a file."""

    text: str
    data: dict[str, Any]
    number: int

    def changed(self, change: Change, path: str) -> str:
        """The text with the stack changed."""
        tables = self.data["garment"][self.number].get("alteration", [])
        places = alteration_places(self.text, self.number)
        lines = self.text.splitlines(keepends=True)
        by_lines = len(places) == len(tables)
        before = [
            _Entry(str(with_id(table, tables[: k + 1])["id"]), table, tuple(lines[slice(*places[k])]) if by_lines else ())
            for k, table in enumerate(tables)
        ]
        after = _with_ids(_reordered(before, change))
        wanted = copy.deepcopy(self.data)
        wanted["garment"][self.number]["alteration"] = [entry.table for entry in after]
        if [entry.table for entry in before] == [entry.table for entry in after]:
            return self.text
        if not after:
            del wanted["garment"][self.number]["alteration"]
        ways: list[Callable[[], str]] = [partial(_by_lines, lines, places, after)] if by_lines else []
        ways.append(partial(_by_tables, self.text, self.number, after))
        for way in ways:
            new = way()
            if _read(new) == wanted:
                return new
        found, expected = "tables written in an unusual way", "tables headed [[garment.alteration]]"
        raise BadInput([Problem(path, f"garment[{self.number + 1}].alteration", found, expected, "Change it by hand.")])


def _reordered(entries: Sequence[_Entry], change: Change) -> list[_Entry]:
    off, on, drop = ([_meant(entries, name) for name in names] for names in (change.off, change.on, change.drop))
    move = _meant(entries, change.move) if change.move else ""
    made = [entry.put("off", True) if entry.id in off and not entry.table.get("off") else entry for entry in entries]
    made = [entry.put("off", None) if entry.id in on and "off" in entry.table else entry for entry in made]
    if move:
        if not 1 <= change.to <= len(made):
            expected = f"a number from 1 to {len(made)}"
            raise BadInput([Problem("", "--to", str(change.to), expected, "Say which number it is to have.")])
        (moved,) = [entry for entry in made if entry.id == move]
        made.remove(moved)
        made.insert(change.to - 1, moved)
    return [entry for entry in made if entry.id not in drop]


def _meant(entries: Sequence[_Entry], name: str) -> str:
    """The id of the entry that is called so, or is the only one of the kind called so."""
    known = [entry.id for entry in entries]
    if name in known:
        return name
    alike = [entry.id for entry in entries if entry.table.get("kind") == name]
    if len(alike) > 1:
        expected = f"one of the {len(alike)} of this kind: {', '.join(alike)}"
        raise BadInput([Problem("", "alteration", repr(name), expected, "Name it by its id.")])
    if not alike:
        raise NotThere("alteration", name, known)
    return alike[0]


def _with_ids(entries: Sequence[_Entry]) -> list[_Entry]:
    """Entries that are still called what they were, those too that are named after their place among their like."""
    made: list[_Entry] = []
    for entry in entries:
        named = with_id(entry.table, [*(one.table for one in made), entry.table])["id"]
        made.append(entry if named == entry.id else entry.put("id", entry.id))
    return made


def _read(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


# by lines -----------------------------------------------------------------------------------------------------

_HEADER = re.compile(r"\s*\[\[?\s*([\w\-. \"']+?)\s*\]\]?\s*(#.*)?$")


def alteration_places(text: str, garment: int) -> list[tuple[int, int]]:
    """From which line to which each entry reaches, the comment above it with it; what follows it stays where it is."""
    lines = text.splitlines()
    headers = list(table_headers(lines))
    number, places = -1, []
    for at, (first, name) in enumerate(headers):
        number += name == "garment"
        if name != "garment.alteration" or number != garment:
            continue
        following = (k for k, other in headers[at + 1 :] if not other.startswith("garment.alteration."))
        end = next(following, len(lines))
        while end > first + 1 and re.match(r"\s*(#|$)", lines[end - 1]):
            end -= 1
        start = first
        while start > 0 and lines[start - 1].lstrip().startswith("#"):
            start -= 1
        places.append((start, end))
    return places


def table_headers(lines: Sequence[str]) -> Iterator[tuple[int, str]]:
    """The lines that head tables, and what they are called; not what looks like one within a text of several lines."""
    within = ""
    for k, line in enumerate(lines):
        match = _HEADER.match(line)
        if match and not within:
            yield k, re.sub(r"\s", "", match[1])
        for quotes in re.findall(r'"""|\'\'\'', line):
            within = "" if within == quotes else within or quotes


def _put(lines: Sequence[str], key: str, value: Any) -> tuple[str, ...]:
    """Lines of an entry with a key changed, put in behind its kind, or taken out."""
    if not lines:
        return ()
    head = next(k for k, line in enumerate(lines) if _HEADER.match(line))
    inner = next((k for k, line in enumerate(lines) if k > head and _HEADER.match(line)), len(lines))
    there = next((k for k in range(head + 1, inner) if re.match(rf"\s*{key}\s*=", lines[k])), None)
    words = str(value).lower() if isinstance(value, bool) else '"' + str(value).replace("\\", "\\\\").replace('"', '\\"') + '"'
    if there is not None:
        line = re.sub(r"(=\s*)(\"[^\"]*\"|[^#\s]+)", lambda match: match[1] + words, lines[there], count=1)
        return (*lines[:there], *([] if value is None else [line]), *lines[there + 1 :])
    kind = next((k for k in range(head + 1, inner) if re.match(r"\s*kind\s*=", lines[k])), head)
    indent = re.match(r"\s*", lines[kind])
    return (*lines[: kind + 1], f"{indent[0] if indent else ''}{key} = {words}\n", *lines[kind + 1 :])


def _by_lines(lines: Sequence[str], places: Sequence[tuple[int, int]], after: Sequence[_Entry]) -> str:
    """The text with the new entries where the old ones stood, and what stood between two of them still between them."""
    blocks = [list(entry.lines) for entry in after]
    for block in blocks:
        if not block[-1].endswith("\n"):
            block[-1] += "\n"
    made = list(lines[: places[0][0]])
    for k, (_, end) in enumerate(places):
        made += blocks[k] if k < len(blocks) else []
        until = places[k + 1][0] if k + 1 < len(places) else len(lines)
        between = list(lines[end:until])
        if k + 1 >= len(blocks) and k + 1 < len(places) and not "".join(between).strip():
            continue  # the gap before an entry that is not there any more
        made += between
    return "".join(made)


# by tables ----------------------------------------------------------------------------------------------------


def _by_tables(text: str, garment: int, after: Sequence[_Entry]) -> str:
    """The text with the list of entries written anew."""
    import tomlkit

    document: Any = tomlkit.parse(text)
    table = document["garment"][garment]
    old = table["alteration"]
    if not after:
        del table["alteration"]
        return tomlkit.dumps(document)
    left = list(old)
    kept = []
    for entry in after:
        like = {**entry.table}
        found = next((item for item in left if _same(item.unwrap(), like)), None)
        if found is None:
            found = tomlkit.inline_table()
        else:
            left.remove(found)
        for key in [key for key in found if key not in like]:
            del found[key]
        found.update({key: value for key, value in like.items() if key not in found})
        kept.append(found)
    array = tomlkit.array()
    array.extend(kept)
    array.multiline(len(kept) > 1)
    table["alteration"] = array
    return tomlkit.dumps(document)


def _same(one: dict[str, Any], two: dict[str, Any]) -> bool:
    """Whether two tables are the same but for what a change may change."""
    return all(one.get(key) == two.get(key) for key in {*one, *two} - {"id", "off"})
