"""Lengths in the texts of results, put into the reader's units before anything is laid out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from typing import Any, TypeVar

from firsthand.fabric import Fabric
from firsthand.pattern import Garment
from firsthand.sheets.model import Results
from firsthand.units import Unit, shown

__all__ = ["in_readers_units"]

T = TypeVar("T")

NO_TEXT = (Garment, Fabric, Enum)
"""What holds shapes, numbers and names, and no text that a room has made: left as it is, which saves most of the work."""


def in_readers_units(results: Results) -> Results:
    """The same results, with every marked length in every text as the settings have it."""
    return _in_units(results, results.settings.units)


def _in_units(value: T, unit: Unit) -> T:
    made: Any = value
    if isinstance(value, NO_TEXT):
        return value
    if isinstance(value, str):
        made = shown(value, unit) if "⟨" in value else value
    elif isinstance(value, tuple):
        items = tuple(_in_units(item, unit) for item in value)
        made = items if any(new is not old for new, old in zip(items, value, strict=True)) else value
    elif isinstance(value, Mapping):
        entries = {key: _in_units(item, unit) for key, item in value.items()}
        made = entries if any(entries[key] is not item for key, item in value.items()) else value
    elif is_dataclass(value) and not isinstance(value, type):
        changed = {entry.name: _in_units(getattr(value, entry.name), unit) for entry in fields(value) if entry.init}
        changed = {name: item for name, item in changed.items() if item is not getattr(value, name)}
        made = replace(value, **changed) if changed else value
    return made  # type: ignore[no-any-return]
