"""Fabrics, and everything else on the shelf."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Fabric", "Nap", "ShelfItem", "Structure"]


class Nap(StrEnum):
    """Whether all tops must lie one way."""

    NONE = "none"
    ONE_WAY = "one-way"


class Structure(StrEnum):
    """How the cloth is made."""

    WOVEN = "woven"
    KNIT = "knit"
    NONWOVEN = "nonwoven"
    LEATHER = "leather"


@dataclass(frozen=True, slots=True)
class Fabric:
    """A fabric on the shelf or still to buy.

    Parameters
    ----------
    width
        Between the selvedges, mm, as bought.
    selvedge
        Width of each selvedge that cannot be used, mm.
    on_hand
        Length on the shelf, mm; 0 if all of it is to be bought.
    weight
        g/m2; 0 if not known.
    thickness
        mm; 0 if not known.
    stretch_across, stretch_along
        How far it stretches each way, as a share.
    shrink_along, shrink_across
        What washing takes, as a share.
    preshrunk
        Whether it is washed before cutting (the default).
    price
        For one metre.
    step
        The shop sells multiples of this, mm.
    sort
        Plain word: ``velour``, ``melton``, ``linen``, ``fusible interfacing``.
    fibre
        Main fibre, lower case, for heat and needle tables.
    fusible
        Whether it has glue on it.
    """

    id: str
    name: str
    width: float
    selvedge: float = 0.0
    on_hand: float = 0.0
    structure: Structure = Structure.WOVEN
    sort: str = ""
    fibre: str = ""
    colour: str = ""
    nap: Nap = Nap.NONE
    weight: float = 0.0
    thickness: float = 0.0
    stretch_across: float = 0.0
    stretch_along: float = 0.0
    shrink_along: float = 0.0
    shrink_across: float = 0.0
    preshrunk: bool = True
    fusible: bool = False
    price: float = 0.0
    step: float = 100.0

    @property
    def usable_width(self) -> float:
        """Between the selvedges after preshrinking, mm."""
        shrink = self.shrink_across if self.preshrunk else 0.0
        return (self.width - 2 * self.selvedge) * (1.0 - shrink)


@dataclass(frozen=True, slots=True)
class ShelfItem:
    """Haberdashery on the shelf: so many, or so long."""

    id: str
    kind: str
    size: str = ""
    colour: str = ""
    count: int = 0
    length: float = 0.0
