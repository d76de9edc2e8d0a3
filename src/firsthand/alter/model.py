"""What an alteration is, and what it gives back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from typing import Any, ClassVar, Protocol

from firsthand.findings import Finding
from firsthand.pattern import Garment
from firsthand.registry import Registry

__all__ = ["ALTERATIONS", "Alteration", "Altered", "Entry", "Record", "Stretch", "told_fields"]


@dataclass(frozen=True, slots=True)
class Stretch:
    """Where a stretch of an old edge went; positions are arc lengths in mm and run linearly between the ends."""

    piece: str
    edge: str
    old_start: float
    old_end: float
    new_start: float
    new_end: float


@dataclass(frozen=True, slots=True)
class Record:
    """What one alteration did.

    Parameters
    ----------
    alteration, kind
        Id and kind of the alteration.
    words
        One short sentence for people with the numbers that matter, lengths marked by :func:`firsthand.units.said`.
    figures
        Named amounts, mm, for the working behind "why".
    edges
        Old edge, as ``"piece.edge"``, to where its stretches are now. An edge that is not named stayed as it was.
    ids
        Old id of a corner, notch, dart, pleat or piece, as ``"piece.id"``, to its new ids; unnamed ids stayed.
    pieces
        Ids of the pieces that changed.
    """

    alteration: str
    kind: str
    words: str
    figures: Mapping[str, float] = field(default_factory=dict)
    edges: Mapping[str, tuple[Stretch, ...]] = field(default_factory=dict)
    ids: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    pieces: tuple[str, ...] = ()

    def position(self, piece: str, edge: str, at: float) -> tuple[str, str, float] | None:
        """Where a position on an old edge is now: piece, edge and arc length; None if it was cut away.

        Examples
        --------
        >>> record = Record("a", "lengthen", "", edges={"leg.side": (Stretch("leg", "side", 0, 100, 0, 150),)})
        >>> record.position("leg", "side", 50.0), record.position("leg", "waist", 7.0)
        (('leg', 'side', 75.0), ('leg', 'waist', 7.0))
        """
        name = f"{piece}.{edge}"
        if name not in self.edges:
            return piece, edge, at
        for s in self.edges[name]:
            if s.old_start - 1e-9 <= at <= s.old_end + 1e-9:
                run = s.old_end - s.old_start
                share = (at - s.old_start) / run if run else 0.0
                return s.piece, s.edge, s.new_start + share * (s.new_end - s.new_start)
        return None


@dataclass(frozen=True, slots=True)
class Altered:
    """The garment after an alteration, the record of it, and what was noticed on the way."""

    garment: Garment
    record: Record
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What every alteration of a stack has beside its own numbers.

    Parameters
    ----------
    id
        Stable id in the stack.
    off
        Whether it is switched off: it stays in the stack and is passed over.
    """

    id: str = ""
    off: bool = False


class Alteration(Protocol):
    """One change applied to a garment: a frozen dataclass of its numbers, whose fields are its TOML form.

    Kinds derive from :class:`Entry`, which brings ``id`` and ``off``.

    Lengths among its fields are typed :data:`firsthand.units.Length`, so that people can write them with units.
    """

    kind: ClassVar[str]

    @property
    def id(self) -> str:
        """Stable id within the garment's stack."""

    @property
    def off(self) -> bool:
        """Whether it is switched off: kept in the stack, and passed over."""

    def apply(self, garment: Garment) -> Altered:
        """The altered garment; the one given is left alone.

        Raises
        ------
        CannotAlter
            If it cannot be done, saying how much could be.
        NotThere
            If it names a piece, edge or seam that is not there.
        """


ALTERATIONS: Registry[type[Alteration]] = Registry("alteration")
"""Every kind of alteration, by the kind written in TOML."""


def told_fields(entry: Alteration) -> dict[str, Any]:
    """What an alteration says beside its kind and id: its fields by name, without those that are as if they were left out."""
    made: Any = entry
    values = ((one, getattr(made, one.name)) for one in fields(made) if one.name != "id")
    return {one.name: value for one, value in values if value is not None and not _is_default(one, value)}


def _is_default(one: Any, value: Any) -> bool:
    default = one.default_factory() if one.default_factory is not MISSING else one.default
    return default is not MISSING and bool(value == default)
