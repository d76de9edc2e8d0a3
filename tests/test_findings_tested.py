"""Every sort of finding that the program can make is looked for by some test."""

from __future__ import annotations

import importlib
import pkgutil
import re
from pathlib import Path

import firsthand
from firsthand.findings import FindingKind, catalogue

TESTS = Path(__file__).parent


def declared() -> dict[str, set[str]]:
    """The codes, each with the names of the constants that hold it, of all modules there are."""
    names: dict[str, set[str]] = {}
    for found in pkgutil.walk_packages(firsthand.__path__, "firsthand."):
        if not found.name.endswith("__main__"):
            for name, value in vars(importlib.import_module(found.name)).items():
                if isinstance(value, FindingKind):
                    names.setdefault(value.code, set()).add(name)
    return names


def looked_for(code: str, constants: set[str], text: str) -> bool:
    """Whether a test file has the code as a word, or asks a constant for it."""
    return f'"{code}"' in text or any(re.search(rf"\b{name}\.code\b", text) for name in constants)


def test_every_sort_of_finding_is_looked_for_by_some_test() -> None:
    names = declared()
    assert len(names) > 90
    assert {code for code in catalogue() if not code.startswith("doctest-")} == names.keys()
    texts = [path.read_text("utf-8") for path in TESTS.rglob("test_*.py") if path != Path(__file__)]
    untested = {code for code, constants in names.items() if not any(looked_for(code, constants, text) for text in texts)}
    assert untested == set()
