"""What the models of all files have in common: a table that keeps the keys it does not know, and the types of its fields."""

from __future__ import annotations

import datetime
import math
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints, ValidationInfo, WithJsonSchema

from firsthand.units import Share, Unit, parse_length

__all__ = [
    "Amount", "Count", "Day", "Document", "FileLength", "FileUnit", "Flag", "Id", "MeasuredDocument", "NoLess", "Number",
    "Positive", "Share", "ShareTaken", "ShareUp", "Size", "Table", "Text",
]  # fmt: skip

FileUnit = Literal["mm", "cm", "in"]


class Table(BaseModel):
    """A table of a file. Keys that nobody knows stay in ``model_extra`` and are reported, never dropped."""

    model_config = ConfigDict(extra="allow", frozen=True, arbitrary_types_allowed=True)


class Document(Table):
    """A whole file."""

    schema_: Annotated[Literal[1], Field(alias="schema", description="version of this form of file")]


class MeasuredDocument(Document):
    """A whole file that says in which units its bare numbers are."""

    units: Annotated[FileUnit, Field(description="the units of bare numbers in this file")]


def _length(value: Any, info: ValidationInfo) -> float:
    unit = Unit((info.context or {}).get("units", Unit.MM))
    millimetres = parse_length(value, unit)
    # What is written in millimetres is taken digit for digit, so that reading is the exact inverse of writing.
    return float(value) if unit is Unit.MM and isinstance(value, int | float) else millimetres


FileLength = Annotated[
    float,
    BeforeValidator(_length),
    WithJsonSchema({"type": ["number", "string"], "description": "a length: a number in the file's units, or with its unit"}),
]
"""A length in millimetres; as :data:`firsthand.units.Length`, but exact where the file is in millimetres."""

NoLess = Annotated[FileLength, Field(ge=0)]
"""A length that is not negative."""

Positive = Annotated[FileLength, Field(gt=0)]
"""A length above zero."""

ShareUp = Annotated[Share, Field(ge=0, le=5)]
"""How far something stretches, as a share."""

ShareTaken = Annotated[Share, Field(gt=-0.5, lt=0.9)]
"""What washing takes, as a share; below zero for cloth that grows."""


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{value!r} is not a number: write a number without quotes")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ValueError(f"{number} is not a finite number: write a number")
    return number


Number = Annotated[float, BeforeValidator(_number)]
"""A finite number."""

Amount = Annotated[Number, Field(ge=0, le=1e9)]
"""A number that is not negative: money, minutes, grams."""

Count = Annotated[int, Field(strict=True, ge=0, le=10_000)]
Flag = Annotated[bool, Field(strict=True)]
Text = Annotated[str, Field(strict=True, max_length=2000)]
Id = Annotated[str, StringConstraints(strict=True, max_length=80, pattern=r"^[\p{L}\p{N}_]([\p{L}\p{N}_ -]*[\p{L}\p{N}_])?$")]
"""A name that other files refer to, and that may be the name of a file: letters, digits, spaces, ``-`` and ``_``."""
Size = Annotated[str, StringConstraints(strict=True, min_length=1, max_length=40, pattern=r"^\S(.*\S)?$")]


def _day(value: Any) -> str:
    if isinstance(value, datetime.datetime):
        value = value.date()
    if isinstance(value, datetime.date):
        return value.isoformat()
    try:
        return datetime.date.fromisoformat(value).isoformat() if value != "" else ""
    except (TypeError, ValueError):
        raise ValueError(f"{value!r} is not a date: write year-month-day, for example 2027-05-15") from None


Day = Annotated[str, BeforeValidator(_day), WithJsonSchema({"type": "string", "format": "date"})]
"""A date, kept as ISO text."""
