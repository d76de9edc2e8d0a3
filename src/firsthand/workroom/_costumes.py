"""From the files of wearers, the shelf and costumes to what they say."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from firsthand.alter import ALTERATIONS
from firsthand.body import MEASUREMENTS, Body, Measurement, Sort
from firsthand.draft import DRAFTS
from firsthand.fabric import Fabric, ShelfItem, advice, pull_tension
from firsthand.pattern import PartState, Pattern
from firsthand.plan import Session
from firsthand.units import Unit, parse_angle, parse_length, said
from firsthand.workroom._kinded import Kinds
from firsthand.workroom._reading import Gathered, Raw, unknown_key
from firsthand.workroom._words import expected_of, listed, nearest_name, shown
from firsthand.workroom.model import Costume, GarmentBrief
from firsthand.workroom.schema import (
    CostumeFile,
    FabricsFile,
    GarmentTable,
    HaberdasheryFile,
    SessionTable,
    Table,
    WearerFile,
)

__all__ = ["body_of", "costume_of", "fabrics_of", "shelf_of"]


def _fields(table: Table) -> dict[str, Any]:
    return {name: getattr(table, name) for name in type(table).model_fields}


# the shelf --------------------------------------------------------------------------------------------------


def fabrics_of(raw: Raw[FabricsFile], gathered: Gathered) -> dict[str, Fabric]:
    """The fabrics of ``shelf/fabrics.toml``."""
    gathered.unique(raw.file, "fabric", raw.ids("fabric"), "fabric")
    made: dict[str, Fabric] = {}
    for number, table in raw.numbered("fabric", raw.value.fabric if raw.value else ()):
        if table.width <= 2 * table.selvedge:
            found = f"{said(table.selvedge)} on each side of {said(table.width)}"
            gathered.problem(raw.file, f"fabric[{number}].selvedge", found, "less than half the width", "Correct one of them.")
            continue
        if 0 < table.stretch_across < (table.growth or 0.0):
            found = f"a growth of {table.growth:.0%} of cloth that stretches {table.stretch_across:.0%}".replace("%", " %")
            remedy = "Growth is what is left of the stretch after a minute's rest: measure both again."
            gathered.problem(raw.file, f"fabric[{number}].growth", found, "no more than the stretch", remedy)
            continue
        values = {**_fields(table), "name": table.name or table.id}
        pull = values.pop("pull")
        if pull is not None:
            if table.tension or table.tension_at:
                remedy = "Keep one of them: what was measured."
                gathered.problem(raw.file, f"fabric[{number}].pull", "a pull and a tension", "one of the two", remedy)
                continue
            place = f"fabric[{number}].pull"
            pulled = gathered.built(raw.file, place, partial(pull_tension, pull.width, pull.weight, pull.rest, pull.pulled))
            if pulled is None:
                continue
            values["tension"], values["tension_at"] = pulled
        fabric = gathered.built(raw.file, f"fabric[{number}]", partial(Fabric, **values))
        if fabric is not None and gathered.built(raw.file, f"fabric[{number}]", partial(advice, fabric)) is not None:
            made[table.id] = fabric
    return made


def shelf_of(raw: Raw[HaberdasheryFile], gathered: Gathered) -> tuple[ShelfItem, ...]:
    """What is in ``shelf/haberdashery.toml``."""
    gathered.unique(raw.file, "item", raw.ids("item"), "item")
    return tuple(ShelfItem(**_fields(table)) for table in raw.value.item) if raw.value else ()


# wearers ----------------------------------------------------------------------------------------------------

HEAVIEST = 700.0  # kg; above any body mass ever recorded (from memory)


def _kilograms(value: Any, unit: Unit) -> float:
    del unit
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value <= HEAVIEST:
        raise ValueError(f"{shown(value)} is not a body mass: write kilograms, for example 61")
    return float(value)


def _slope(value: Any, unit: Unit) -> float:
    del unit
    angle = parse_angle(value)
    if not abs(angle) < math.pi / 2:
        raise ValueError(f"{shown(value)} is not a slope: write degrees, for example 22")
    return angle


def _girth(value: Any, unit: Unit) -> float:
    length = parse_length(value, unit)
    if length <= 0:
        raise ValueError(f"{shown(value)} is not a measurement: write a length above zero")
    return length


_READERS = {Sort.MASS: _kilograms, Sort.ANGLE: _slope, Sort.GIRTH: _girth, Sort.LENGTH: _girth}


def body_of(name: str, raw: Raw[WearerFile], gathered: Gathered) -> Body | None:
    """The wearer of a file."""
    table = raw.value
    if table is None:
        return None
    measurements = {
        key: measurement
        for key, value in table.measurements.items()
        if (measurement := _measurement(raw.file, key, value, Unit(table.units), gathered)) is not None
    }
    return Body(
        id=name,
        name=table.name or name,
        measurements=measurements,
        table=table.table,
        child=table.child,
        date=table.date,
        over=table.over,
        form=table.form,
    )


def _measurement(file: str, key: str, typed: Any, unit: Unit, gathered: Gathered) -> Measurement | None:
    readings = typed if isinstance(typed, list) else [typed]
    place = f"measurements.{key}"
    sort = MEASUREMENTS[key].sort if key in MEASUREMENTS else Sort.LENGTH
    if key not in MEASUREMENTS:
        gathered.findings.append(unknown_key(file, place, nearest_name(key, MEASUREMENTS)))
    if not 1 <= len(readings) <= 2:
        gathered.problem(file, place, shown(typed), "one reading or two", "Write one number, or a list of two.")
        return None
    values = []
    for reading in readings:
        try:
            values.append(_READERS[sort](reading, unit))
        except ValueError as error:
            gathered.problem(file, place, shown(reading), *expected_of(str(error)))
    if len(values) < len(readings):
        return None
    words = ", ".join(str(reading) for reading in readings)
    return Measurement(key, values[0], values[1] if len(values) > 1 else None, words)


# costumes ---------------------------------------------------------------------------------------------------


def costume_of(
    name: str,
    raw: Raw[CostumeFile],
    folder: Path,
    wearers: list[str],
    patterns: Mapping[str, Pattern | None],
    gathered: Gathered,
) -> Costume | None:
    """The costume of a file.

    Parameters
    ----------
    name, folder
        Its id and its folder.
    raw
        The file.
    wearers
        Ids of the wearers there are.
    patterns
        The patterns there are; None for one that could not be read.
    gathered
        Where problems and findings are entered.
    """
    table = raw.value
    if table is None:
        return None
    gathered.unique(raw.file, "garment", raw.ids("garment"), "garment")
    if table.wearer not in wearers:
        there = f"one of {listed(sorted(wearers))}" if wearers else "a file of that name in wearers/"
        gathered.problem(raw.file, "wearer", repr(table.wearer), there, f"Name one, or write wearers/{table.wearer}.toml.")
    if table.form and table.form not in wearers:
        there = f"one of {listed(sorted(wearers))}" if wearers else "a file of that name in wearers/"
        remedy = f"Name one, or write wearers/{table.form}.toml with form = true."
        gathered.problem(raw.file, "form", repr(table.form), there, remedy)
    garments = [
        _Brief(raw, number, garment, patterns, gathered).made() for number, garment in raw.numbered("garment", table.garment)
    ]
    _refuse_circle(raw, table.garment, gathered)
    return Costume(
        id=name,
        name=table.name or name,
        wearer=table.wearer,
        folder=folder,
        garments=tuple(garments),
        due=table.due,
        budget=table.budget,
        sessions=tuple(_session(item) for item in table.session),
        form=table.form,
    )


def _refuse_circle(raw: Raw[CostumeFile], garments: Sequence[GarmentTable], gathered: Gathered) -> None:
    """Refuse garments that are worn over one another in a circle."""
    over = {garment.id: [name for name in garment.over if name != garment.id] for garment in garments}
    left, going = dict(over), True
    while going:  # those with nothing left beneath them are in no circle
        free = [name for name, beneath in left.items() if not any(other in left for other in beneath)]
        going = bool(free)
        left = {name: beneath for name, beneath in left.items() if name not in free}
    if not left:
        return
    way = [next(iter(left))]
    while (beneath := next(name for name in left[way[-1]] if name in left)) not in way:
        way.append(beneath)
    circle = way[way.index(beneath) :]
    number = next(number for number, garment in raw.numbered("garment", garments) if garment.id == circle[0])
    found = f"a circle: {' over '.join([*circle, circle[0]])}"
    gathered.problem(raw.file, f"garment[{number}].over", found, "an order of wearing", "Take one of them out.")


def _session(table: SessionTable) -> Session:
    return Session(table.date, table.minutes if table.minutes is not None else 60.0 * (table.hours or 0.0))


class _Brief:
    """Reads one garment of a costume."""

    def __init__(
        self,
        raw: Raw[CostumeFile],
        number: int,
        table: GarmentTable,
        patterns: Mapping[str, Pattern | None],
        gathered: Gathered,
    ) -> None:
        self._raw, self._table, self._patterns, self._gathered = raw, table, patterns, gathered
        self._place = f"garment[{number}]"

    def _problem(self, place: str, found: str, expected: str, remedy: str) -> None:
        self._gathered.problem(self._raw.file, f"{self._place}.{place}", found, expected, remedy)

    def made(self) -> GarmentBrief:
        table = self._table
        self._pattern()
        ids = self._raw.ids("garment")
        others = [other for other in ids if other != table.id]
        for number, name in enumerate(table.over, 1):
            if name in table.over[: number - 1]:
                self._problem(f"over[{number}]", repr(name), "each garment once", "Take it out.")
            elif name not in others and ids.count(name) < 2:
                expected = f"another garment of this costume: {listed(others)}"
                self._problem(f"over[{number}]", repr(name), expected, "Name what is worn beneath it.")
        units = self._raw.data.get("units", Unit.MM)
        kinds = Kinds(self._raw.file, f"{self._place}.", units, self._gathered)
        return GarmentBrief(
            id=table.id,
            name=table.name or table.id,
            pattern=table.pattern,
            size=table.size,
            roles=table.roles,
            cut=table.cut,
            sort=table.sort,
            over=table.over,
            due=table.due,
            take_in=table.take_in,
            wanted=table.wanted,
            states={"" if name == "all" else name: PartState(state) for name, state in table.state.items()},
            stretch_share=table.stretch_share,
            alterations=kinds.read("alteration", table.alteration, ALTERATIONS),
            drafts=kinds.read("draft", table.draft, DRAFTS),
        )

    def _pattern(self) -> None:
        table = self._table
        if table.pattern not in self._patterns:
            known = f"one of {listed(sorted(self._patterns))}"
            self._problem("pattern", repr(table.pattern), known, "Name one of these, or add the pattern's folder.")
            return
        pattern = self._patterns[table.pattern]
        if pattern is not None and table.size not in pattern.sizes:
            self._problem("size", repr(table.size), f"one of {listed(pattern.sizes)}", "Write one of these sizes.")
