"""What the models of all files have in common: a table that keeps the keys it does not know, and the types of its fields."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    TypeAdapter,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
)

from firsthand.fabric import SHARES
from firsthand.units import Share, Unit, parse_length

__all__ = [
    "Amount", "Count", "Day", "Document", "FileLength", "FileUnit", "Flag", "Id", "Margin", "MeasuredDocument", "NoLess",
    "Number", "Positive", "Share", "ShareTaken", "ShareUp", "Size", "Table", "Text", "is_id", "is_size",
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

THINNEST = 0.01
"""An allowance above zero and below this cannot be drawn, mm."""


def _drawable(length: float) -> float:
    if 0 < length < THINNEST:
        raise ValueError(f"{length:g} is not nothing, or at least {THINNEST} mm")
    return length


Margin = Annotated[NoLess, AfterValidator(_drawable)]
"""An allowance: nothing, or so much that it can be drawn."""


def _up_to(most: float) -> Callable[[float], float]:
    def within(share: float) -> float:
        if share < 0:
            raise ValueError(f"{share:g} is not at least 0 %")
        if share > most:
            raise ValueError(f"{share:g} is not at most {most:.0%}".replace("%", " %"))
        return share

    return within


ShareUp = Annotated[Share, AfterValidator(_up_to(SHARES["stretch_across"]))]
"""How far something stretches, as a share."""

ShareTaken = Annotated[Share, AfterValidator(_up_to(SHARES["shrink_along"]))]
"""What washing takes, as a share."""


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{value!r} is not a number: write a number without quotes")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ValueError(f"{number} is not a finite number")
    return number


Number = Annotated[float, BeforeValidator(_number)]
"""A finite number."""

Amount = Annotated[Number, Field(ge=0, le=1e9)]
"""A number that is not negative: money, minutes, grams."""

Count = Annotated[int, Field(strict=True, ge=0, le=10_000)]
Flag = Annotated[bool, Field(strict=True)]
Text = Annotated[str, Field(strict=True, max_length=2000, pattern=r"^\P{Cc}*$")]
"""Words in one line; control characters would play tricks on a terminal."""
Id = Annotated[str, StringConstraints(strict=True, max_length=80, pattern=r"^[\p{L}\p{N}_]([\p{L}\p{N}_ -]*[\p{L}\p{N}_])?$")]
"""A name that other files refer to, and that may be the name of a file: letters, digits, spaces, ``-`` and ``_``."""
Size = Annotated[
    str, StringConstraints(strict=True, min_length=1, max_length=40, pattern=r"^[^\s\p{Cc}](\P{Cc}*[^\s\p{Cc}])?$")
]


_ID, _SIZE = TypeAdapter[str](Id), TypeAdapter[str](Size)


def is_id(name: str) -> bool:
    """Whether a name may be that of something in a file.

    Examples
    --------
    >>> is_id("upper sleeve"), is_id("a/b"), is_id("")
    (True, False, False)
    """
    return _takes(_ID, name)


def is_size(name: str) -> bool:
    """Whether a name may be that of a size."""
    return _takes(_SIZE, name)


def _takes(adapter: TypeAdapter[str], name: str) -> bool:
    try:
        adapter.validate_python(name)
    except ValidationError:
        return False
    return True


def _day(value: Any) -> str:
    if isinstance(value, datetime.datetime):
        value = value.date()
    if isinstance(value, datetime.date):
        return value.isoformat()
    try:
        return datetime.date.fromisoformat(value).isoformat() if value != "" else ""
    except (TypeError, ValueError):
        raise ValueError(f"{value!r} is not a date written as 2027-05-15") from None


Day = Annotated[str, BeforeValidator(_day), WithJsonSchema({"type": "string", "format": "date"})]
"""A date, kept as ISO text."""
