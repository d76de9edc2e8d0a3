"""Fabrics, and everything else on the shelf."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Advice", "Fabric", "Nap", "Rule", "ShelfItem", "Structure"]


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
        How far it stretches each way, as a share: 0.3 where 10 cm of a fold reach 13 cm under a moderate pull.
    growth
        What is left of a stretch after a minute held and a minute's rest, as a share of the length before; None if not known.
    tension, tension_at
        Newtons per metre of width that pull it crosswise to a strain, and that strain as a share; 0 if not known.
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
    growth: float | None = None
    tension: float = 0.0
    tension_at: float = 0.0
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


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule that advice rests on: what it is about, what it says, and where it comes from."""

    topic: str
    says: str
    source: str


@dataclass(frozen=True, slots=True)
class Advice:
    """How to handle a fabric.

    Parameters
    ----------
    needle
        Machine needle with its metric and US number.
    seam_stitch, stitch_length
        Stitch of a seam, and its length in mm.
    stretches
        Whether a seam must stretch with the cloth.
    neaten
        Stitch that keeps the edge from fraying; empty where none is needed.
    finish
        The same in words.
    heat, heat_limit
        Highest iron heat in words, and the sole plate's temperature, degrees Celsius; 0 where it is not ironed.
    pressing
        What to take care of under the iron.
    pins
        Pins, clips or weights.
    foot
        Presser foot: ``standard``, ``walking``...
    preshrink
        How it is washed or steamed before cutting.
    drying
        Minutes until it is dry.
    shrink_along, shrink_across
        What preshrinking takes, as shares: the fabric's own figures, or the table's cautious ones.
    shrink_known
        Whether they are the fabric's own.
    nap
        Whether all tops lie one way.
    rules
        The rules used, with their sources.
    """

    needle: str
    seam_stitch: str
    stitch_length: float
    stretches: bool
    neaten: str
    finish: str
    heat: str
    heat_limit: float
    pressing: str
    pins: str
    foot: str
    preshrink: str
    drying: float
    shrink_along: float
    shrink_across: float
    shrink_known: bool
    nap: bool
    rules: tuple[Rule, ...]

    @property
    def sources(self) -> tuple[str, ...]:
        """Where the rules come from, each named once."""
        return tuple(dict.fromkeys(rule.source for rule in self.rules))
