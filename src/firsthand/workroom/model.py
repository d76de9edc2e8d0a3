"""What a workroom holds, once it is read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from firsthand.alter import Alteration
from firsthand.body import Body
from firsthand.draft import Draft
from firsthand.errors import NotThere
from firsthand.fabric import Fabric, ShelfItem
from firsthand.findings import Finding
from firsthand.fit.fitting import Fitting
from firsthand.pattern import PartState, Pattern
from firsthand.plan import Session
from firsthand.sheets import Settings
from firsthand.steps import Machines

__all__ = ["Costume", "GarmentBrief", "Workroom"]


@dataclass(frozen=True, slots=True)
class GarmentBrief:
    """One garment as it is asked for in a costume's brief.

    Parameters
    ----------
    alterations
        The stack, in order.
    drafts
        Pieces to draft, in order, after the alterations.
    take_in
        Whether the even take-in that the fit stage proposes is applied.
    wanted
        Ease asked for, least and most, mm, by level or measurement; it stands above the tables'.
    stretch_share
        Which part of the cloth's stretch may be used up; None for the cautious one.
    states
        How far its parts are, by name; ``""`` for all that are not named.
    """

    id: str
    name: str
    pattern: str
    size: str
    roles: Mapping[str, str] = field(default_factory=dict)
    cut: str = "semi-fitted"
    sort: str = ""
    over: tuple[str, ...] = ()
    due: str = ""
    take_in: bool = False
    stretch_share: float | None = None
    alterations: tuple[Alteration, ...] = ()
    drafts: tuple[Draft, ...] = ()
    wanted: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    states: Mapping[str, PartState] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Costume:
    """A costume's brief.

    Parameters
    ----------
    form
        Id of the dress form it is fitted on; empty for none.
    """

    id: str
    name: str
    wearer: str
    folder: Path
    garments: tuple[GarmentBrief, ...]
    due: str = ""
    budget: float = 0.0
    sessions: tuple[Session, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    form: str = ""

    def garment(self, name: str) -> GarmentBrief:
        """The brief of a garment.

        Raises
        ------
        NotThere
            If there is none of that id.
        """
        for brief in self.garments:
            if brief.id == name:
                return brief
        raise NotThere("garment", name, (brief.id for brief in self.garments))


@dataclass(frozen=True, slots=True)
class Workroom:
    """A workroom, read from its folder.

    Parameters
    ----------
    findings
        What was noticed while reading, such as keys nobody knows.
    revision
        Number of the last save.
    digests
        SHA-256 of each file as it was read, to notice later that somebody else changed it.
    """

    folder: Path
    settings: Settings
    wearers: Mapping[str, Body]
    fabrics: Mapping[str, Fabric]
    shelf: tuple[ShelfItem, ...]
    machines: Machines
    patterns: Mapping[str, Pattern]
    costumes: Mapping[str, Costume]
    findings: tuple[Finding, ...] = ()
    revision: int = 0
    name: str = ""
    digests: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)
