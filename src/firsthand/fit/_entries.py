"""Alterations that are asked for, as they would stand in a costume's file, and the way from an alteration to one and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast

from firsthand.alter import ALTERATIONS, Alteration
from firsthand.alter.model import told_fields

__all__ = ["FittedEntry", "Suggested", "Told", "alteration_of", "suggested"]

Told = bool | float | str | tuple[str, ...] | tuple[tuple[str, float], ...]
"""What a field of an alteration may hold."""


@dataclass(frozen=True, slots=True)
class FittedEntry:
    """An alteration that a fitting asks for: its kind, its id in the stack, its fields by name, lengths in mm."""

    kind: str
    id: str
    fields: Mapping[str, Told]


@dataclass(frozen=True, slots=True)
class Suggested(FittedEntry):
    """An alteration that is suggested, as it would stand in a costume's file.

    Parameters
    ----------
    kind, id
        Its kind and the id it would get.
    fields
        Its fields by name, lengths in mm.
    comment
        Why, in a few words: the comment above it in the file.
    """

    comment: str = ""


def suggested(alteration: Alteration, comment: str) -> Suggested:
    """An alteration as it would stand in a costume's file: what it says, without what it leaves at its default.

    Examples
    --------
    >>> from firsthand.alter import TakeIn
    >>> suggested(TakeIn(8.0, id="a"), "too wide")
    Suggested(kind='take-in', id='a', fields={'amount': 8.0}, comment='too wide')
    """
    return Suggested(alteration.kind, alteration.id, told_fields(alteration), comment)


def alteration_of(entry: FittedEntry) -> Alteration:
    """The alteration that is asked for.

    Raises
    ------
    NotThere
        If there is no such kind.

    Examples
    --------
    >>> alteration_of(Suggested("take-in", "fit side", {"amount": 24.0, "seams": ("side",)})).id
    'fit side'
    """
    made: Any = ALTERATIONS[entry.kind]
    return cast(Alteration, made(id=entry.id, **entry.fields))
