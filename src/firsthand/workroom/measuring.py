"""Entering a measurement into a wearer's file: everything else in it stays as people wrote it."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from firsthand.body import MEASUREMENTS, TAKING, Body, Need, Sort, needed_for
from firsthand.errors import BadInput, NotThere, Problem
from firsthand.pattern import make_garment
from firsthand.units import Unit, parse_angle, parse_length
from firsthand.workroom._commit import commit
from firsthand.workroom._words import expected_of, nearest_name
from firsthand.workroom.model import Costume, Workroom

__all__ = ["costume_needs", "find_measurement", "joined_readings", "take_measurement", "wearer_called"]


def costume_needs(workroom: Workroom, costume: Costume) -> dict[str, tuple[Need, ...]]:
    """The measurements that each garment of a costume asks for, by its id."""
    found = {}
    for brief in costume.garments:
        garment = make_garment(
            workroom.patterns[brief.pattern], brief.size, id=brief.id, name=brief.name, cut=brief.cut, sort=brief.sort
        )
        found[brief.id] = needed_for(garment, brief.alterations)
    return found


def find_measurement(name: str) -> str:
    """The key of a measurement that is named by its key, its number on the form, or what dressmakers call it.

    Raises
    ------
    BadInput
        If nothing is called so, or several things are.

    Examples
    --------
    >>> find_measurement("Hip girth"), find_measurement("bicep"), find_measurement("10"), find_measurement("hips")
    ('hip_girth', 'upper_arm_girth', 'waist_girth', 'hip_girth')
    """
    words = re.sub(r"[\s_-]+", " ", name).strip().casefold()
    if words.isdecimal() and 1 <= int(words) <= len(TAKING):
        return list(TAKING)[int(words) - 1]
    words = _PLAIN.get(words.removesuffix("s"), words)
    calls = {key: {key.replace("_", " "), *_calls(key)} for key in MEASUREMENTS}
    for found in ([k for k, c in calls.items() if words in c], [k for k, c in calls.items() if any(words in one for one in c)]):
        if len(found) == 1 and words:
            return found[0]
        if found and words:
            raise BadInput([Problem("", "KEY", repr(name), f"one of {', '.join(found)}", "Name one of them.")])
    near = nearest_name(words.replace(" ", "_"), MEASUREMENTS)
    expected = f"{near}, or another measurement" if near else "a measurement"
    raise BadInput([Problem("", "KEY", repr(name), expected, "firsthand measure lists them all.")])


_PLAIN = {"bust": "full bust", "hip": "full hip", "bicep": "bicep", "hand": "hand", "shoulder": "shoulder seam"}
"""What is meant by a word alone (common practice)."""
_REST = re.compile(r"\d+/\d+|in|inch|inches|cm|mm|m|ft|kg|lb|\"|''", re.IGNORECASE)


def joined_readings(words: Sequence[str]) -> tuple[str, ...]:
    """Readings whose fraction or unit was typed after a space.

    Examples
    --------
    >>> joined_readings(["34", "1/2", "in", "34"])
    ('34 1/2 in', '34')
    """
    made: list[str] = []
    for word in words:
        if made and _REST.fullmatch(word):
            made[-1] += f" {word}"
        else:
            made.append(word)
    return tuple(made)


def _calls(key: str) -> Iterator[str]:
    trade = MEASUREMENTS[key].trade.casefold()
    yield trade
    yield from (part.strip() for part in re.split(r"[,/]", trade))


def take_measurement(workroom: Workroom, wearer: str, key: str, readings: Sequence[str]) -> int:
    """Enter or replace a measurement in a wearer's file, or take it out, as one save.

    Parameters
    ----------
    workroom, wearer
        Whose file.
    key
        The measurement.
    readings
        As they were typed: ``76``, in the file's units, or ``34 1/2 in``; two for a girth that was taken twice; none takes the
        measurement out.

    Returns
    -------
    int
        The new revision; the former one if nothing changed.

    Raises
    ------
    NotThere
        If there is no such wearer or measurement.
    BadInput
        If a reading cannot be understood, or the file cannot be changed without touching the rest.
    Conflict, NotSaved
        See :func:`firsthand.workroom.commit`.
    """
    if wearer not in workroom.wearers:
        raise NotThere("wearer", wearer, workroom.wearers)
    if key not in MEASUREMENTS:
        raise NotThere("measurement", key, MEASUREMENTS)
    path = f"wearers/{wearer}.toml"
    text = (workroom.folder / path).read_bytes().decode("utf-8-sig")
    data = tomllib.loads(text)
    value = _value(key, readings, Unit(data.get("units", "mm")))
    new = _changed(text, data, key, value, path)
    done = "taken out" if value is None else "taken"
    words = f"{workroom.wearers[wearer].name}: {MEASUREMENTS[key].trade} {done}"
    expected = {path: workroom.digests[path]} if path in workroom.digests else {}
    return commit(workroom.folder, {path: new.encode()}, words=words, expected=expected)


def _value(key: str, readings: Sequence[str], unit: Unit) -> Any:
    """What stands in the file: a number where one was typed without a unit, otherwise what was typed."""
    sort = MEASUREMENTS[key].sort
    most = 2 if sort is Sort.GIRTH else 1
    if len(readings) > most:
        remedy = "Keep those that agree; quote one with spaces in it."
        expected = "two readings at most" if most == 2 else "one reading; girths are taken twice"
        raise BadInput([Problem("", key, f"{len(readings)} readings", expected, remedy)])
    problems, made = [], []
    for reading in readings:
        try:
            made.append(_reading(reading, sort, unit))
        except ValueError as error:
            problems.append(Problem("", key, repr(reading), *expected_of(str(error))))
    if problems:
        raise BadInput(problems)
    return None if not made else made[0] if len(made) == 1 else made


def _reading(typed: str, sort: Sort, unit: Unit) -> int | float | str:
    words = typed.strip()
    plain = re.fullmatch(r"\d+(\.\d+)?", words)
    number: int | float | str = (float(words) if "." in words else int(words)) if plain else words
    if sort is Sort.MASS:
        kilograms = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*(?:kg)?", words)
        if kilograms is None or not 0 < float(kilograms[1].replace(",", ".")) <= 700:
            raise ValueError(f"{typed!r} is not a body mass: write kilograms, for example 61")
        return number if plain else float(kilograms[1].replace(",", "."))
    size = parse_angle(words) if sort is Sort.ANGLE else parse_length(words, unit)
    if sort is not Sort.ANGLE and size <= 0:
        raise ValueError(f"{typed!r} is not a measurement: write a length above zero")
    if sort is Sort.ANGLE and not 0 <= size < 1.5:
        raise ValueError(f"{typed!r} is not a slope: write degrees below the level, for example 21")
    return number


# the file -------------------------------------------------------------------------------------------------------


def _changed(text: str, data: Mapping[str, Any], key: str, value: Any, path: str) -> str:
    wanted = copy.deepcopy(dict(data))
    table = wanted.setdefault("measurements", {})
    if value is None:
        table.pop(key, None)
    else:
        table[key] = value
    if wanted == {**data, "measurements": data.get("measurements", {})}:
        return text
    for new in (_by_lines(text, key, value), _by_tables(text, key, value)):
        if _read(new) == wanted:
            return new
    found, expected = "measurements written in an unusual way", "a table headed [measurements]"
    raise BadInput([Problem(path, "measurements", found, expected, "Change it by hand.")])


def _read(text: str) -> Any:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


def _by_lines(text: str, key: str, value: Any) -> str:
    """A line replaced, taken out, or put in behind the one before it in the order of all measurements."""
    lines = text.splitlines(keepends=True)
    head = next((k for k, line in enumerate(lines) if re.match(r"\s*\[\s*measurements\s*\]", line)), None)
    if head is None:
        return text
    places = {match[1]: k for k, line in enumerate(lines) if k > head and (match := re.match(r"\s*([\w-]+)\s*=", line))}
    if key in places:
        line = lines[places[key]]
        lines[places[key]] = "" if value is None else _put(line, value)
        return "".join(lines)
    if value is None:
        return text
    order = list(MEASUREMENTS)
    before = [k for name, k in places.items() if name in order and order.index(name) < order.index(key)]
    at = max(before, default=head)
    if not lines[at].endswith("\n"):
        lines[at] += "\n"
    return "".join([*lines[: at + 1], f"{key} = {_written(value)}\n", *lines[at + 1 :]])


def _put(line: str, value: Any) -> str:
    """The line with another value; what stands behind it, a comment, stays at its column where there is room."""
    match = re.match(r"(\s*[\w-]+\s*=\s*)((?:\"[^\"]*\"|'[^']*'|\[[^\]]*\]|[^#\n])*?)(\s*)(#.*)?(\r?\n?)$", line)
    if match is None:
        return line
    start, old, gap, comment, end = match[1], match[2], match[3], match[4] or "", match[5]
    written = _written(value)
    air = " " * max(1, len(old) + len(gap) - len(written)) if comment else ""
    return f"{start}{written}{air}{comment}{end}"


def _written(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(_written(item) for item in value)}]"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return str(value)


def _by_tables(text: str, key: str, value: Any) -> str:
    import tomlkit

    document: Any = tomlkit.parse(text)
    if "measurements" not in document:
        document["measurements"] = tomlkit.table()
    if value is None:
        document["measurements"].pop(key, None)
    else:
        document["measurements"][key] = value
    return tomlkit.dumps(document)


def wearer_called(workroom: Workroom, name: str) -> Body | None:
    """The wearer of an id or, where only one has it, of a name that is shown."""
    if name in workroom.wearers:
        return workroom.wearers[name]
    found = [body for body in workroom.wearers.values() if body.name.casefold() == name.casefold()]
    return found[0] if len(found) == 1 else None
