"""The pages made from the program are those of this program."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


def reference() -> dict[str, object]:
    spec = importlib.util.spec_from_file_location("reference", ROOT / "tools" / "reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return dict(module.PAGES)


@pytest.mark.parametrize("page", ["findings.md", "commands.md"])
def test_a_made_page_is_up_to_date(page: str) -> None:
    write = reference()[page]
    assert callable(write)
    known = "\n".join(line for line in write().splitlines() if "doctest-" not in line)
    assert (ROOT / "docs" / page).read_text("utf-8").rstrip("\n") == known.rstrip("\n"), "run: python tools/reference.py"
