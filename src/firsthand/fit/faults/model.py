"""What is seen at a fitting, why it may be so, and what mends it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

__all__ = ["Cause", "Fault", "Mark", "MarkKind", "Mend", "View"]


class View(StrEnum):
    """What a fault is drawn on."""

    BODICE_FRONT = "bodice front"
    BODICE_BACK = "bodice back"
    SLEEVE = "sleeve"
    SKIRT_FRONT = "skirt front"
    SKIRT_SIDE = "skirt side"
    SKIRT_BACK = "skirt back"
    LEGS_FRONT = "legs front"
    LEGS_BACK = "legs back"
    LEGS_SIDE = "legs side"
    HOOD = "hood"


class MarkKind(StrEnum):
    """What a mark on the drawing means."""

    PULL = "pull"
    """A taut line: the cloth is dragged along it."""
    SLACK = "slack"
    """A loose fold."""
    GAPE = "gape"
    """An edge that stands away."""
    SHIFT = "shift"
    """Something that sits elsewhere than it should; an arrow from where it should be."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark on the drawing of a fault.

    Parameters
    ----------
    kind
        What it means.
    points
        Where it runs, on a drawing 100 wide, y up; see the sheet's figures.
    mirrored
        Whether the other side of the body has it too.
    """

    kind: MarkKind
    points: tuple[tuple[float, float], ...]
    mirrored: bool = True


@dataclass(frozen=True, slots=True)
class Mend:
    """One way to mend it.

    Parameters
    ----------
    words
        What is done, for people.
    kind
        The kind of alteration that does it; empty if it is no matter of the pattern.
    sign
        1 where the amount that was pinned or is missing is given as it is, -1 where it is taken out.
    amount
        What to measure at the fitting.
    role
        Which piece or edge it is about, where the kind needs one: ``front``, ``back``, ``sleeve``.
    fields
        Further fields of the kind that do not depend on the pattern.
    """

    words: str
    kind: str = ""
    sign: int = 1
    amount: str = ""
    role: str = ""
    fields: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Cause:
    """One likely cause.

    Parameters
    ----------
    words
        What is the matter.
    sure
        How to make sure of it at the fitting.
    mends
        What mends it, the usual way first.
    """

    words: str
    sure: str
    mends: tuple[Mend, ...]


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault as it is seen.

    Parameters
    ----------
    id
        Its name in files and commands.
    sees
        What one sees.
    view, marks
        The drawing.
    families
        Sorts of garment it is seen on.
    causes
        The likeliest first.
    source
        Where this comes from.
    caution
        What could hurt.
    """

    id: str
    sees: str
    view: View
    marks: tuple[Mark, ...]
    families: tuple[str, ...]
    causes: tuple[Cause, ...]
    source: str
    caution: str = ""
