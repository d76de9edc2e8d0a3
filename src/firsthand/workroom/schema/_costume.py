"""The model of ``costumes/ID/costume.toml``."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, Field, WithJsonSchema, model_validator
from pydantic_core import PydanticCustomError

from firsthand.fit.cloth import MOST_SHARE
from firsthand.workroom.schema._base import (
    Amount,
    Day,
    FileLength,
    Flag,
    Id,
    MeasuredDocument,
    Number,
    Share,
    Size,
    Table,
    Text,
)

__all__ = ["CostumeFile", "GarmentTable", "Kinded", "SessionTable"]

Kinded = Annotated[
    dict[str, Any],
    WithJsonSchema(
        {
            "type": "object",
            "properties": {"kind": {"type": "string"}, "id": {"type": "string"}},
            "required": ["kind", "id"],
            "description": "the fields of its kind, lengths in the file's units",
        }
    ),
]
"""A table whose fields depend on its ``kind``; it is read with the dataclass registered under that kind."""


class SessionTable(Table):
    """Time to work."""

    date: Day
    minutes: Annotated[Number, Field(gt=0, le=1440)] | None = None
    hours: Annotated[Number, Field(gt=0, le=24)] | None = None

    @model_validator(mode="after")
    def _one_of_the_two(self) -> Self:
        if (self.minutes is None) == (self.hours is None):
            found = "neither minutes nor hours" if self.minutes is None else "minutes and hours"
            context = {"found": found, "expected": "one of the two", "remedy": "Write minutes = 90 or hours = 1.5."}
            raise PydanticCustomError("problem", "one of the two", context)
        return self


SHARE_WORDS = "which part of the cloth's stretch is used up, up to two thirds; left out: a third at most, as the cut wants"


def _up_to_two_thirds(share: float) -> float:
    if not 0 <= share <= MOST_SHARE + 1e-9:
        raise ValueError(f"{share:g} is not from 0 to {MOST_SHARE:.0%}".replace("%", " %"))
    return share


StretchShare = Annotated[Share, AfterValidator(_up_to_two_thirds)]


State = Literal["planned", "held back", "cut", "sewn"]
STATE_WORDS = 'how far its parts are, by piece, piece with hand or role, or all: { all = "cut", "front left" = "sewn" }'


class GarmentTable(Table):
    """One garment as it is asked for."""

    id: Id
    name: Text = ""
    pattern: Id
    size: Size
    cut: Literal["skin-tight", "close", "semi-fitted", "loose", "over-garment"] = "semi-fitted"
    sort: Text = ""
    over: tuple[Id, ...] = ()
    due: Day = ""
    take_in: Flag = False
    stretch_share: Annotated[StretchShare, Field(description=SHARE_WORDS)] | None = None
    wanted: Annotated[
        dict[Annotated[Text, Field(min_length=1)], tuple[FileLength, FileLength]],
        Field(default_factory=dict, description="ease wanted, least and most, by level or measurement: bust = [4, 6]"),
    ]
    roles: Annotated[dict[Id, Id], Field(default_factory=dict)]
    state: Annotated[dict[Text, State], Field(default_factory=dict, description=STATE_WORDS)]
    alteration: tuple[Kinded, ...] = ()
    draft: tuple[Kinded, ...] = ()


class CostumeFile(MeasuredDocument):
    """``costumes/ID/costume.toml``."""

    name: Text = ""
    wearer: Id
    form: Annotated[Text, Field(description="the dress form it is fitted on: a file of wearers/ with form = true")] = ""
    due: Day = ""
    budget: Amount = 0.0
    session: tuple[SessionTable, ...] = ()
    garment: tuple[GarmentTable, ...] = ()
