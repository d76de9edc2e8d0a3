"""The models of ``workroom.toml``, ``machines.toml``, ``wearers/*.toml`` and ``shelf/*.toml``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, StringConstraints, ValidationInfo, WithJsonSchema

from firsthand.fabric import Nap, Structure, parse_growth, parse_stretch
from firsthand.units import Unit
from firsthand.workroom.schema._base import (
    Amount,
    Count,
    Day,
    Document,
    Flag,
    Id,
    MeasuredDocument,
    NoLess,
    Positive,
    ShareTaken,
    ShareUp,
    Table,
    Text,
)

__all__ = [
    "FabricTable", "FabricsFile", "HaberdasheryFile", "MachinesFile", "MachinesTable", "ShelfTable", "WearerFile",
    "WorkroomFile",
]  # fmt: skip

Paper = Annotated[str, StringConstraints(strict=True, min_length=1, max_length=20)]


class WorkroomFile(Document):
    """``workroom.toml``: how the workroom shows things. Its ``units`` are those of display."""

    name: Text = ""
    units: Literal["cm", "in"] = "cm"
    papers: Annotated[tuple[Paper, ...], Field(min_length=1)] = ("A4",)
    currency: Text = ""
    words: Literal["en-GB", "en-US"] = "en-GB"


class MachinesTable(Table):
    """What there is to work with; times in minutes."""

    machine: Text = "machine"
    overlocker: Flag = True
    table: Annotated[Positive, Field(description="length of the cutting table")] = 1500.0
    change_cones: Amount = 10.0
    change_needle: Amount = 2.0
    change_thread: Amount = 2.0
    change_foot: Amount = 1.0
    change_stitch: Amount = 0.5
    move: Amount = 1.0


class MachinesFile(MeasuredDocument):
    """``machines.toml``."""

    machines: MachinesTable = MachinesTable()


Reading = Annotated[
    Any,
    WithJsonSchema(
        {
            "type": ["number", "string", "array"],
            "description": "as taken, in the file's units (body_mass in kg, shoulder_slope in degrees); a list if taken twice",
        }
    ),
]


class WearerFile(MeasuredDocument):
    """``wearers/ID.toml``."""

    name: Text = ""
    table: Annotated[Literal["female", "male", ""], Field(description="survey table that fits best; empty: do not judge")] = ""
    child: Flag = False
    form: Annotated[Flag, Field(description="a dress form, not a person")] = False
    date: Day = ""
    over: Annotated[Text, Field(description="what the measurements were taken over")] = ""
    measurements: Annotated[dict[str, Reading], Field(default_factory=dict)]


def _in_units(read: Callable[[Any, Unit], float]) -> Callable[[Any, ValidationInfo], float]:
    def reading(value: Any, info: ValidationInfo) -> float:
        return read(value, Unit((info.context or {}).get("units", Unit.MM)))

    return reading


Stretch = Annotated[
    float,
    BeforeValidator(_in_units(parse_stretch)),
    WithJsonSchema({"type": ["number", "string"], "description": "a share, as 0.3 or 30 %, or as measured: 10 cm to 13 cm"}),
]
Growth = Annotated[
    float,
    BeforeValidator(_in_units(parse_growth)),
    WithJsonSchema({"type": ["number", "string"], "description": "a share, or as measured: 10 cm after 10.3 cm"}),
]


class PullTable(Table):
    """A strip of the cloth, its length crosswise, with a weight hanging from it."""

    width: Positive
    weight: Annotated[Amount, Field(gt=0, description="grams")]
    rest: Annotated[Positive, Field(description="between two marks without the weight")]
    pulled: Annotated[Positive, Field(description="between them with it")]


class FabricTable(Table):
    """One fabric."""

    id: Id
    name: Text = ""
    width: Positive
    selvedge: NoLess = 0.0
    on_hand: NoLess = 0.0
    structure: Structure = Structure.WOVEN
    sort: Text = ""
    fibre: Text = ""
    colour: Text = ""
    nap: Nap = Nap.NONE
    weight: Annotated[Amount, Field(description="g/m2")] = 0.0
    thickness: NoLess = 0.0
    stretch_across: Stretch = 0.0
    stretch_along: Stretch = 0.0
    growth: Growth | None = None
    pull: PullTable | None = None
    tension: Annotated[Amount, Field(description="N per metre of width at tension_at; better typed as pull")] = 0.0
    tension_at: ShareUp = 0.0
    shrink_along: ShareTaken = 0.0
    shrink_across: ShareTaken = 0.0
    preshrunk: Flag = True
    fusible: Flag = False
    price: Annotated[Amount, Field(description="of one metre")] = 0.0
    step: Annotated[Positive, Field(description="the shop sells multiples of this")] = 100.0


class FabricsFile(MeasuredDocument):
    """``shelf/fabrics.toml``."""

    fabric: tuple[FabricTable, ...] = ()


class ShelfTable(Table):
    """Haberdashery on the shelf."""

    id: Id
    kind: Annotated[Text, Field(min_length=1)]
    size: Text = ""
    colour: Text = ""
    count: Count = 0
    length: NoLess = 0.0


class HaberdasheryFile(MeasuredDocument):
    """``shelf/haberdashery.toml``."""

    item: tuple[ShelfTable, ...] = ()
