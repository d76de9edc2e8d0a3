"""The published JSON Schemas are those of the models, and the models hold everything that the values hold."""

import dataclasses
import json
from typing import Any

import pytest

from firsthand import pattern
from firsthand.fabric import Fabric, ShelfItem
from firsthand.steps import Machines
from firsthand.workroom import schemas
from firsthand.workroom.schema import _pattern, _piece, _room


def test_the_published_schemas_are_up_to_date() -> None:
    there = {path.name: path.read_bytes() for path in schemas.FOLDER.glob("*.json")}
    assert there == schemas.json_schemas(), "run: python -m firsthand.workroom.schemas"


def test_every_schema_says_its_version() -> None:
    for name, contents in schemas.json_schemas().items():
        schema = json.loads(contents)
        assert schema["properties"]["schema"]["const"] == 1, name
        assert "schema" in schema["required"], name


@pytest.mark.parametrize(
    ("value", "table", "otherwise"),
    [
        (Fabric, _room.FabricTable, {}),
        (ShelfItem, _room.ShelfTable, {}),
        (Machines, _room.MachinesTable, {}),
        (pattern.Seam, _pattern.SeamTable, {}),
        (pattern.Level, _pattern.LevelTable, {}),
        (pattern.Opening, _pattern.OpeningTable, {}),
        (pattern.Closure, _pattern.ClosureTable, {}),
        (pattern.Haberdashery, _pattern.HaberdasheryTable, {}),
        (pattern.Applied, _pattern.AppliedTable, {}),
        (pattern.PrintedScale, _pattern.ScaleTable, {}),
        (pattern.Cut, _pattern.CutTable, {}),
        (
            pattern.Piece,
            _pattern.PieceTable,
            {"cuts": "cut", "sizes": "", "size": "", "shape": "", "part_of": "", "joined": ""},
        ),
        (
            pattern.Pattern,
            _pattern.PatternFile,
            {"id": "", "pieces": "piece", "seams": "seam", "levels": "level", "closures": "closure", "openings": "opening"},
        ),
        (pattern.Edge, _piece.EdgeTable, {"ground": ""}),  # outlines are written as bought: of a movement only its result
        (pattern.Corner, _piece.CornerTable, {}),
        (pattern.Fate, _piece.FateTable, {}),
        (pattern.Notch, _piece.NotchTable, {}),
        (pattern.Dart, _piece.DartTable, {}),
        (pattern.Pleat, _piece.PleatTable, {}),
        (pattern.InnerLine, _piece.LineTable, {}),
        (pattern.LevelLine, _piece.LevelLineTable, {}),
        (pattern.Shape, _piece.ShapeTable, {}),
    ],
)
def test_no_field_of_a_value_is_lost_in_its_file(value: Any, table: Any, otherwise: dict[str, str]) -> None:
    """A field added to a value must be added to its table, and to where the one is made from the other."""
    wanted = {otherwise.get(field.name, field.name) for field in dataclasses.fields(value)} - {""}
    assert wanted <= set(table.model_fields)


@pytest.mark.parametrize(
    ("value", "table"),
    [
        (Fabric, _room.FabricTable), (Machines, _room.MachinesTable), (pattern.Seam, _pattern.SeamTable),
        (pattern.Edge, _piece.EdgeTable), (pattern.Pleat, _piece.PleatTable), (pattern.Closure, _pattern.ClosureTable),
        (pattern.Piece, _pattern.PieceTable), (pattern.Level, _pattern.LevelTable),
        (pattern.Applied, _pattern.AppliedTable),
    ],
)  # fmt: skip
def test_what_is_left_out_means_the_same_in_the_file(value: Any, table: Any) -> None:
    for field in dataclasses.fields(value):
        if field.default is not dataclasses.MISSING and field.name in table.model_fields:
            assert table.model_fields[field.name].default == field.default, field.name
