"""Whatever is written into a field of any kind of alteration: a refusal that people understand, or a sound garment."""

from __future__ import annotations

import dataclasses
import enum
import math
import random
import re
import typing
from collections.abc import Iterator
from typing import Any

import pytest
from plausible import Draw, plausible_garment
from plausible_stacks import MAKERS, entry, outlined

from firsthand.alter import ALTERATIONS, Altered
from firsthand.errors import CannotAlter, FirsthandError
from firsthand.geometry import self_crossings
from firsthand.pattern import Garment
from firsthand.units import said

NUMBERS = (
    math.nan, math.inf, -math.inf, 0.0, 1e-12, -1e-12, 1e-320, 1e-3, -1.0, 2.0, 40.0, -40.0, 300.0, -300.0, 1e6, -1e6, 1e300,
)  # fmt: skip
WHOLES = (-(10**9), -1, 0, 1, 2, 3, 50, 10**9, 10**30)
WORDS = (
    "", " ", "\n", "nowhere", "start", "end", "level", "level ", "notch", "dart no", "-1 %", "0 %", "100 %", "300 %", "nan %",
    "9999 cm", "-9999 cm", "inf cm", "1e400 cm", " at ", "at 3 cm", "side at", ".", "a.b", "point of", "point of no",
    "level no at 40 %", "1e308 cm, 1e308 cm", "1 cm,2 cm", "żó✂", "x" * 300, "9" * 400 + " cm", "M at no", "M nan",
)  # fmt: skip
RAW = re.compile(r"\d\.\d{7,}|\d{19,} mm|<\w+ object|\w+\(x=|Traceback")
"""Digits that nobody measures, and what only a programmer reads."""


def names(garment: Garment) -> list[str]:
    """Everything that has a name, and places at it."""
    found = [*garment.pieces, *(seam.id for seam in garment.seams), *(level.id for level in garment.levels)]
    for piece, shape in outlined(garment):
        for edge in shape.edges:
            found += [edge.id, f"{piece.id}.{edge.id}", f"{edge.id} at start", f"{edge.id} at end", f"{edge.id} at 37 %"]
        found += [words for dart in shape.darts for words in (dart.id, f"point of {dart.id}", f"{dart.edge} at dart {dart.id}")]
        found += [words for line in shape.levels for words in (f"level {line.level}", f"level {line.level} at 40 %")]
    return list(dict.fromkeys(found))


def hostile(hint: Any, known: list[str], rnd: random.Random) -> list[Any]:
    """Values of a field's type that nobody should write, and some that name another thing than is wanted."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin is typing.Annotated:
        return hostile(inner[0], known, rnd)
    if hint in (float, int, bool, str):
        return list({float: NUMBERS, int: WHOLES, bool: (True, False), str: (*WORDS, *rnd.sample(known, 12))}[hint])
    if hint is type(None):
        return [None]
    if origin is typing.Literal or (isinstance(hint, type) and issubclass(hint, enum.Enum)):
        return list(inner or hint)
    if origin is tuple and inner[-1] is Ellipsis:
        one = hostile(inner[0], known, rnd)
        return [(), *((value,) for value in one), *((value, value) for value in rnd.sample(one, min(6, len(one))))]
    if origin is tuple:
        parts = [hostile(part, known, rnd) for part in inner]
        return [tuple(rnd.choice(part) for part in parts) for _ in range(20)]
    return [value for part in inner for value in hostile(part, known, rnd)]


def bases(kind: str, count: int = 2) -> list[tuple[Garment, dict[str, Any]]]:
    """Garments, each with the fields of a sensible entry of that kind."""
    found: list[tuple[Garment, dict[str, Any]]] = []
    for seed in range(300):
        garment = plausible_garment(seed)
        fields = MAKERS[kind](Draw(seed), garment)
        if fields is not None and len(found) < count:
            made = entry(kind, kind, fields)
            found.append((garment, {field.name: getattr(made, field.name) for field in dataclasses.fields(made)}))
        if len(found) == count:
            break
    return found


def tried(kind: str, garment: Garment, fields: dict[str, Any]) -> Iterator[str]:
    """What is wrong with what comes of it; any other exception than a refusal fails the test."""
    try:
        altered: Altered = ALTERATIONS[kind](**fields).apply(garment)  # type: ignore[call-arg]  # each kind has its own fields
    except FirsthandError as refusal:
        if RAW.search(str(refusal)) or not str(refusal).strip():
            yield f"words for a programmer: {refusal}"
        return
    yield from unsound(garment, altered)


def unsound(before: Garment, altered: Altered) -> Iterator[str]:
    if not all(map(math.isfinite, altered.record.figures.values())):
        yield f"figures {altered.record.figures}"
    for piece, shape in outlined(altered.garment):
        if not piece.id.strip():
            yield "a piece without a name"
        if piece.id in before.pieces and before.pieces[piece.id].shape is shape:
            continue
        if not 0 < shape.outline.area < math.inf:
            yield f"{piece.id} has an area of {shape.outline.area}"
        if self_crossings(shape.outline):
            yield f"{piece.id} crosses itself"
        for dart in shape.darts:
            if not (dart.id.strip() and dart.width > 1e-3 and math.isfinite(dart.apex.x + dart.apex.y)):
                yield f"{piece.id}: dart {dart.id!r} {dart.width} wide"
        for mark in (*shape.notches, *shape.darts, *shape.pleats):
            half = getattr(mark, "width", getattr(mark, "take_up", 0.0)) / 2
            if not half - 1e-4 <= mark.at <= shape.edge(mark.edge).path.length - half + 1e-4:
                yield f"{piece.id}: {mark.id} lies off {mark.edge}"


def test_some_kind_has_something_to_try() -> None:
    """Kinds that need a size trimmed off have no base here; all others do."""
    assert [kind for kind in ALTERATIONS if not bases(kind, 1)] == ["grade"]


@pytest.mark.parametrize("kind", sorted(ALTERATIONS))
def test_hostile_values_in_every_field(kind: str) -> None:
    hints = typing.get_type_hints(ALTERATIONS[kind], include_extras=True)
    rnd = random.Random(kind)
    wrong = []
    for garment, fields in bases(kind) or [(plausible_garment(1), {})]:
        for name in (name for name in hints if dataclasses_field(kind, name)):
            for value in hostile(hints[name], names(garment), rnd):
                wrong += [f"{name} = {value!r:.80}: {words}" for words in tried(kind, garment, {**fields, name: value})]
    assert wrong == []


def dataclasses_field(kind: str, name: str) -> bool:
    fields: Any = ALTERATIONS[kind]
    return name in {field.name for field in dataclasses.fields(fields)} - {"id", "off"}


@pytest.mark.parametrize("kind", sorted(ALTERATIONS))
def test_a_garment_without_what_is_named(kind: str) -> None:
    for garment, fields in bases(kind):
        for left in ({"seams": ()}, {"levels": ()}, {"seams": (), "levels": (), "pieces": {}}):
            assert list(tried(kind, dataclasses.replace(garment, **left), fields)) == []  # type: ignore[arg-type]


@pytest.mark.parametrize(("kind", "asked"), [("bust", 300.0), ("shoulder-slope", -60.0), ("shoulder-slope", 100.0)])
def test_the_most_that_is_told_goes(kind: str, asked: float) -> None:
    """The refusal tells it of what was asked for, not of a step or of one side; and 2 mm more are refused."""
    made: Any = ALTERATIONS[kind]
    told = 0
    for garment, fields in bases(kind, 3):
        fields |= {"lower_dart": ""} if kind == "bust" else {}
        refusal = refused(made(**{**fields, "amount": asked}), garment)
        found = re.search(r"at most ⟨(\d+) mm⟩", refusal)
        if not found:
            continue
        most = math.copysign(int(found[1]), asked)
        assert abs(most) < abs(asked)
        assert said(abs(asked)) in refusal
        if most:
            told += 1
            made(**{**fields, "amount": most}).apply(garment)
            assert refused(made(**{**fields, "amount": most + math.copysign(2.0, asked)}), garment)
    assert told


def refused(alteration: Any, garment: Garment) -> str:
    """The words of the refusal; empty if it was applied."""
    try:
        alteration.apply(garment)
    except CannotAlter as refusal:
        return str(refusal)
    return ""


@pytest.mark.parametrize("lower", ["bottom at start", "bottom at end", "armhole at 20 %"])
def test_a_bust_is_slashed_between_the_ends_of_another_edge_than_its_hinge(lower: str) -> None:
    ((garment, fields),) = bases("bust", 1)
    made: Any = ALTERATIONS["bust"]
    with pytest.raises(CannotAlter, match=r"corner of the piece|both slashed"):
        made(**{**fields, "lower": lower}).apply(garment)


@pytest.mark.parametrize("reach", [1e-3, 0.01, 0.3])
def test_truing_over_next_to_nothing_is_refused_or_sound(reach: float) -> None:
    for garment, fields in bases("take-in", 4):
        uneven = entry("take-in", "uneven", {**fields, "amount": 20.0, "stations": (), "share": 0.0}).apply(garment).garment
        assert list(tried("true", uneven, {"reach": reach, "most": 50.0})) == []


def test_lengths_beyond_all_sense_are_told_shortly() -> None:
    assert said(1e300) == "1e+300 mm"
    assert said(1_000_000.0) == "⟨1000000 mm⟩"
