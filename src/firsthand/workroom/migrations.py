"""Files written by older versions, brought up to the form of this one.

:data:`MIGRATIONS` holds, for each version that there was, the function that lifts a file of that version to the next; they
are applied one after the other. The first version is 1, so there is nothing to lift yet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from firsthand.errors import Problem
from firsthand.workroom._words import shown

__all__ = ["CURRENT", "MIGRATIONS", "lifted", "schema_problem"]

CURRENT = 1
"""The version that this firsthand reads and writes."""

Lift = Callable[[str, dict[str, Any]], dict[str, Any]]
"""Takes the kind of file (a key of ``schema.FILES``) and its contents, gives the contents in the next version."""

MIGRATIONS: Mapping[int, Lift] = {}
"""From a version to the function that lifts its files to the next."""


def schema_problem(file: str, data: Mapping[str, Any]) -> tuple[Problem | None, bool]:
    """What is wrong with the version a file states, and whether it is a newer one.

    Examples
    --------
    >>> schema_problem("a.toml", {"schema": 1})
    (None, False)
    >>> problem, newer = schema_problem("a.toml", {"schema": 7})
    >>> print(problem, newer)
    a.toml, schema: found 7, expected 1. It was written by a newer firsthand: update firsthand, nothing was changed. True
    """
    version = data.get("schema")
    if version == CURRENT and version is not True:
        return None, False
    found = "nothing" if "schema" not in data else shown(version)
    if isinstance(version, int) and not isinstance(version, bool):
        if version > CURRENT:
            remedy = "It was written by a newer firsthand: update firsthand, nothing was changed."
            return Problem(file, "schema", found, str(CURRENT), remedy), True
        if version in MIGRATIONS:
            return None, False
    return Problem(file, "schema", found, str(CURRENT), f"Begin the file with schema = {CURRENT}."), False


def lifted(kind: str, data: dict[str, Any], migrations: Mapping[int, Lift] = MIGRATIONS) -> dict[str, Any]:
    """The contents of a file in the current form.

    Parameters
    ----------
    kind
        The kind of file.
    data
        Its contents; the version it states must be known.
    migrations
        The functions to apply.
    """
    while (version := data["schema"]) in migrations:
        data = migrations[version](kind, data)
        if data["schema"] <= version:
            raise AssertionError(f"the migration from version {version} does not lead on")
    return data
