"""Older files are lifted one version after the other; what no version knows is refused."""

from __future__ import annotations

from typing import Any

import pytest

from firsthand.workroom.migrations import CURRENT, MIGRATIONS, lifted, schema_problem


def test_files_are_lifted_step_by_step() -> None:
    def first(kind: str, data: dict[str, Any]) -> dict[str, Any]:
        return {**data, "schema": 2, "steps": [kind]}

    def second(kind: str, data: dict[str, Any]) -> dict[str, Any]:
        return {**data, "schema": 3, "steps": [*data["steps"], kind]}

    old = {"schema": 1, "name": "x"}
    assert lifted("costume", old, {1: first, 2: second}) == {"schema": 3, "name": "x", "steps": ["costume", "costume"]}
    assert old == {"schema": 1, "name": "x"}


def test_a_migration_must_lead_on() -> None:
    with pytest.raises(AssertionError, match="does not lead on"):
        lifted("costume", {"schema": 1}, {1: lambda kind, data: data})


def test_there_is_a_migration_for_every_version_before_this_one() -> None:
    assert set(MIGRATIONS) == set(range(1, CURRENT))


@pytest.mark.parametrize("version", [0, -1, "1", 1.5, True, None, [1]])
def test_a_version_that_never_was(version: Any) -> None:
    problem, newer = schema_problem("a.toml", {"schema": version})
    assert problem is not None
    assert not newer
