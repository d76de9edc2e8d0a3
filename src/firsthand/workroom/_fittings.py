"""The fittings of a costume: reading ``fittings/DATE.toml``, and writing it."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from typing import Any

from firsthand.fit.fitting import Fitting, FittingPoint, PointSort
from firsthand.units import Unit, parse_length
from firsthand.workroom._reading import Gathered, Raw
from firsthand.workroom._toml import toml_text
from firsthand.workroom._words import listed
from firsthand.workroom.migrations import CURRENT
from firsthand.workroom.schema import FittingFile

__all__ = ["fitting_bytes", "fittings_of"]

_NAME = re.compile(r"(\d{4}-\d\d-\d\d)(-\d+)?")


def fittings_of(
    costume: str,
    files: Mapping[str, bytes | None],
    garments: Collection[str],
    wearers: Collection[str],
    gathered: Gathered,
) -> tuple[Fitting, ...]:
    """The fittings of a costume, in the order of their dates.

    Parameters
    ----------
    files
        Contents by path below the costume's folder; only those below ``fittings/`` are looked at.
    garments, wearers
        Ids that may be named.
    gathered
        Where problems and findings are entered.
    """
    made = []
    for path in sorted(path for path in files if path.startswith("fittings/")):
        raw = gathered.read(f"costumes/{costume}/{path}", files[path], FittingFile)
        name = path.removeprefix("fittings/").removesuffix(".toml")
        fitting = _fitting(name, raw, garments, wearers, gathered)
        if fitting is not None:
            made.append(fitting)
    return tuple(sorted(made, key=_order))


def _order(fitting: Fitting) -> tuple[str, int]:
    match = _NAME.fullmatch(fitting.id)
    return fitting.date, int(((match and match[2]) or "-1")[1:])


def _fitting(
    name: str, raw: Raw[FittingFile], garments: Collection[str], wearers: Collection[str], gathered: Gathered
) -> Fitting | None:
    table = raw.value
    if table is None:
        return None
    match = _NAME.fullmatch(name)
    if match is None or match[1] != table.date:
        gathered.problem(
            raw.file,
            "date",
            repr(table.date),
            "the date in the file's name",
            f"Call it {table.date}.toml, or {table.date}-2.toml.",
        )
    if table.on and table.on not in wearers:
        gathered.problem(raw.file, "on", repr(table.on), f"one of {listed(sorted(wearers))}", "Name who it was on.")
    for place, garment in _garments(raw, table):
        if garment not in garments:
            known = f"a garment of this costume: {listed(garments)}"
            gathered.problem(raw.file, place, repr(garment), known, "Name what was fitted.")
    return Fitting(
        id=name, date=table.date, on=table.on, beneath=table.beneath, words=table.words, notes=table.notes,
        points=tuple(_points(table)), in_pattern=table.in_pattern,
    )  # fmt: skip


_LISTS = ("pin", "sewn", "hem", "edge", "dart")


def _garments(raw: Raw[FittingFile], table: FittingFile) -> Iterator[tuple[str, str]]:
    for name in _LISTS:
        for number, item in raw.numbered(name, getattr(table, name)):
            yield f"{name}[{number}].garment", item.garment
    for number, garment in enumerate(table.in_pattern, 1):
        yield f"in_pattern[{number}]", garment


_BOTH = ("garment", "at", "hand", "nothing", "to_end", "carry", "trimmed")


def _points(table: FittingFile) -> Iterator[FittingPoint]:
    for pin in table.pin:
        yield FittingPoint(
            PointSort.PIN, line=pin.seam, amount=pin.amount, doubled=pin.doubled, share=pin.share, **_common(pin)
        )
    for sewn in table.sewn:
        yield FittingPoint(PointSort.SEWN, line=sewn.seam, amount=sewn.amount, share=sewn.share, **_common(sewn))
    for hem in table.hem:
        amount = hem.up if hem.up is not None else -(hem.down or 0.0)
        yield FittingPoint(PointSort.HEM, line=hem.edge, amount=amount, **_common(hem))
    for edge in table.edge:
        yield FittingPoint(PointSort.EDGE, line=edge.edge, amount=edge.amount, **_common(edge))
    for dart in table.dart:
        amount = dart.wider if dart.wider is not None else -(dart.narrower or 0.0)
        yield FittingPoint(PointSort.DART, dart.garment, dart.dart, "its mouth", amount, dart.hand, carry=dart.carry)


def _common(item: Any) -> dict[str, Any]:
    return {name: getattr(item, name) for name in _BOTH}


# writing ------------------------------------------------------------------------------------------------------


def fitting_bytes(fitting: Fitting, units: Unit = Unit.CM) -> bytes:
    """The file of a fitting; read again it gives an equal one.

    Examples
    --------
    >>> point = FittingPoint(PointSort.PIN, "jerkin", "side", "level hip", 12.0, "left", doubled=True)
    >>> print(fitting_bytes(Fitting("2027-02-06", "2027-02-06", "isaura", points=(point,))).decode(), end="")
    schema = 1
    units = "cm"
    date = 2027-02-06
    on = "isaura"
    <BLANKLINE>
    [[pin]]
    garment = "jerkin"
    seam = "side"
    hand = "left"
    at = "level hip"
    amount = 1.2
    doubled = true
    """
    import datetime

    written = Unit.MM if any(not _exact(point.amount, units) for point in fitting.points) else units
    rows: dict[str, Any] = {
        "schema": CURRENT, "units": written.value, "date": datetime.date.fromisoformat(fitting.date), "on": fitting.on,
        "beneath": list(fitting.beneath), "words": fitting.words, "notes": list(fitting.notes),
        "in_pattern": list(fitting.in_pattern),
    }  # fmt: skip
    rows |= {sort.value: [_row(point, written) for point in fitting.points if point.sort is sort] for sort in PointSort}
    return toml_text({key: value for key, value in rows.items() if value not in ("", [])}).encode()


def _exact(length: float, units: Unit) -> bool:
    return parse_length(_number(length, units), units) == length


def _number(length: float, units: Unit) -> float | int:
    number = length if units is Unit.MM else round(length / parse_length(1, units), 10)
    return int(number) if float(number).is_integer() else number


def _row(point: FittingPoint, units: Unit) -> dict[str, Any]:
    if point.sort is PointSort.DART:
        wider = {"wider" if point.amount >= 0 else "narrower": _number(abs(point.amount), units)}
        hand = {"hand": point.hand} if point.hand else {}
        return {"garment": point.garment, "dart": point.line, **hand, **wider, **({"carry": True} if point.carry else {})}
    on_seam = point.sort in (PointSort.PIN, PointSort.SEWN)
    row: dict[str, Any] = {
        "garment": point.garment,
        "seam" if on_seam else "edge": point.line,
        "hand": point.hand,
        "at": point.at,
    }
    if point.sort is PointSort.HEM:
        row["up" if point.amount >= 0 else "down"] = _number(abs(point.amount), units)
    else:
        row["amount"] = _number(point.amount, units)
    for name in ("doubled", "to_end", "carry", "trimmed"):
        row |= {name: True} if getattr(point, name) else {}
    row |= {"nothing": list(point.nothing)} if point.nothing else {}
    row |= {"share": point.share} if point.share != 0.5 else {}
    return {key: value for key, value in row.items() if value != ""}
