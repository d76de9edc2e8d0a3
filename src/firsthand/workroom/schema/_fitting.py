"""The model of ``costumes/ID/fittings/DATE.toml``."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from firsthand.units import Share
from firsthand.workroom.schema._base import Day, FileLength, Flag, Id, MeasuredDocument, NoLess, Table, Text

__all__ = ["DartPoint", "FittingFile", "HemPoint", "LinePoint", "PinPoint", "SewnPoint"]

MOST = 300.0
"""More than this at one place, mm, is a slip of the keyboard."""


def _small(length: float) -> float:
    if abs(length) > MOST:
        raise ValueError(f"{length:g} mm is not at most {MOST:g} mm: a fitting changes a line by less")
    return length


Change = Annotated[FileLength, AfterValidator(_small)]
"""By how much something changes at one place."""
Marked = Annotated[NoLess, AfterValidator(_small)]
Place = Annotated[Text, Field(min_length=1, description="8 cm below waist, level hip, 12 cm from the top, notch waist, 40 %")]
NOTHING = "places where the change has run to nothing; without one it runs to nothing at the end of the line"


class _Point(Table):
    """One place noted."""

    garment: Id
    at: Place
    hand: Literal["", "left", "right"] = ""
    nothing: Annotated[tuple[Place, ...], Field(description=NOTHING)] = ()
    to_end: Annotated[Flag, Field(description="the outermost amount stays the same to the end of the line")] = False
    carry: Annotated[Flag, Field(description="what is noted on one hand is carried to the other")] = False
    trimmed: Annotated[Flag, Field(description="the allowances there are trimmed or graded already")] = False


class _SeamPoint(_Point):
    seam: Annotated[Text, Field(min_length=1, description="a seam, or the name common to right and left")]
    share: Annotated[Share, Field(ge=0, le=1, description="how much of it the seam's first side takes")] = 0.5


class PinPoint(_SeamPoint):
    """Pinned along a seam, on the body or the form."""

    amount: Annotated[Change, Field(description="taken in; negative lets out")]
    doubled: Annotated[
        Flag, Field(description="the pins take a fold, and amount is what lies between pin and fold; else all the girth loses")
    ] = False


class SewnPoint(_SeamPoint):
    """Sewn again along a seam."""

    amount: Annotated[Change, Field(description="from the old stitching line to the new one; negative lets out")]


class HemPoint(_Point):
    """A hem marked up or down."""

    edge: Annotated[Text, Field(min_length=1, description="PIECE.EDGE")]
    up: Marked | None = None
    down: Marked | None = None

    @model_validator(mode="after")
    def _one_of_the_two(self) -> Self:
        if (self.up is None) == (self.down is None):
            found = "neither up nor down" if self.up is None else "up and down"
            context = {"found": found, "expected": "one of the two", "remedy": "Write up = 2 or down = 2."}
            raise PydanticCustomError("problem", "one of the two", context)
        return self


class LinePoint(_Point):
    """An edge without a partner: a neckline, an armhole."""

    edge: Annotated[Text, Field(min_length=1, description="PIECE.EDGE")]
    amount: Annotated[Change, Field(description="cut away; negative adds")]


class DartPoint(Table):
    """A dart pinned deeper or let out along its legs."""

    garment: Id
    dart: Annotated[Text, Field(min_length=1, description="PIECE.DART")]
    hand: Literal["", "left", "right"] = ""
    carry: Flag = False
    wider: Annotated[Marked, Field(description="at its mouth, on the cloth laid flat")] | None = None
    narrower: Marked | None = None

    @model_validator(mode="after")
    def _one_of_the_two(self) -> Self:
        if (self.wider is None) == (self.narrower is None):
            found = "neither wider nor narrower" if self.wider is None else "wider and narrower"
            context = {"found": found, "expected": "one of the two", "remedy": "Write wider = 0.6 or narrower = 0.6."}
            raise PydanticCustomError("problem", "one of the two", context)
        return self


class FittingFile(MeasuredDocument):
    """``costumes/ID/fittings/DATE.toml``."""

    date: Day
    on: Annotated[Text, Field(description="the wearer or form that it was on")] = ""
    beneath: Annotated[tuple[Text, ...], Field(description="what was worn beneath")] = ()
    words: Text = ""
    notes: tuple[Text, ...] = ()
    in_pattern: Annotated[tuple[Id, ...], Field(description="garments whose alterations have it already")] = ()
    pin: tuple[PinPoint, ...] = ()
    sewn: tuple[SewnPoint, ...] = ()
    hem: tuple[HemPoint, ...] = ()
    edge: tuple[LinePoint, ...] = ()
    dart: tuple[DartPoint, ...] = ()
