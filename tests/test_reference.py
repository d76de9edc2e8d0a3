"""The pages made from the program are those of this program."""

from __future__ import annotations

import dataclasses
import importlib.util
import tomllib
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from firsthand.alter import ALTERATIONS
from firsthand.draft import DRAFTS

ROOT = Path(__file__).resolve().parents[1]


def reference() -> dict[str, object]:
    spec = importlib.util.spec_from_file_location("reference", ROOT / "tools" / "reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return dict(module.PAGES)


@pytest.mark.parametrize("page", ["findings.md", "commands.md", "kinds.md"])
def test_a_made_page_is_up_to_date(page: str) -> None:
    write = reference()[page]
    assert callable(write)
    known = "\n".join(line for line in write().splitlines() if "doctest-" not in line)
    assert (ROOT / "docs" / page).read_text("utf-8").rstrip("\n") == known.rstrip("\n"), "run: python tools/reference.py"


def test_each_kind_is_shown_with_an_example_that_can_be_read_and_all_of_its_fields() -> None:
    page = (ROOT / "docs" / "kinds.md").read_text("utf-8")
    for table, registry in (("alteration", ALTERATIONS), ("draft", DRAFTS)):
        for kind, cls in registry.items():
            told = page.partition(f"\n### `{kind}`\n")[2].partition("\n### ")[0]
            (example,) = tomllib.loads(told.partition("```toml\n")[2].partition("```")[0])["garment"][table]
            assert example.pop("kind") == kind
            TypeAdapter(cls).validate_python({"id": "an id", **example}, context={"units": "cm"})
            for field in dataclasses.fields(cls):  # type: ignore[arg-type]  # each kind is a dataclass of its numbers
                row = next(line for line in told.splitlines() if line.startswith(f"| `{field.name}` |"))
                assert len([cell for cell in row.strip("|").split("|") if cell.strip()]) == 4, row
