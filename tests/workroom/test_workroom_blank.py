"""The files of an empty workroom explain themselves by examples: these can be read when their hash signs are taken away."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files

import pytest
from pydantic import TypeAdapter

from firsthand.alter import ALTERATIONS
from firsthand.draft import DRAFTS
from firsthand.workroom.schema import CostumeFile, FabricsFile, HaberdasheryFile, WearerFile

BLANK = files("firsthand.workroom") / "blank"


def uncommented(name: str) -> dict[str, object]:
    text = BLANK.joinpath(name).read_text("utf-8")
    return tomllib.loads(re.sub(r"(?m)^# (?=\[\[|\w+ = )", "", text))


@pytest.mark.parametrize(
    ("name", "model"),
    [
        ("costumes/first/costume.toml", CostumeFile),
        ("shelf/fabrics.toml", FabricsFile),
        ("shelf/haberdashery.toml", HaberdasheryFile),
        ("wearers/me.toml", WearerFile),
    ],
)
def test_the_examples_can_be_read(name: str, model: type[CostumeFile]) -> None:
    value = model.model_validate(uncommented(name), context={"units": "cm"})
    assert not value.model_extra


def test_the_examples_of_kinds_can_be_read() -> None:
    costume = CostumeFile.model_validate(uncommented("costumes/first/costume.toml"), context={"units": "cm"})
    (garment,) = costume.garment
    assert garment.alteration
    assert garment.draft
    for tables, registry in ((garment.alteration, ALTERATIONS), (garment.draft, DRAFTS)):
        for table in tables:
            values = {key: value for key, value in table.items() if key != "kind"}
            adapter = TypeAdapter[object](registry[table["kind"]])
            assert adapter.validate_python({"id": "an id", **values}, context={"units": "cm"})
