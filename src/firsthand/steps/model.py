"""Steps: pieces of work at one place with one set-up."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Machines", "Place", "SetUp", "Step"]


class Place(StrEnum):
    """Where a step is done."""

    TABLE = "table"
    MACHINE = "machine"
    OVERLOCKER = "overlocker"
    IRON = "iron"
    HAND = "hand"


@dataclass(frozen=True, slots=True)
class SetUp:
    """What must be right at its place before a step; empty means "whatever is there".

    Parameters
    ----------
    stitch
        ``straight``, ``narrow zigzag``, ``3-thread overlock``...
    length
        Stitch length, mm; 0 where it does not matter.
    heat
        Iron heat in words, as ``two dots, 150 °C at most``.
    """

    stitch: str = ""
    length: float = 0.0
    needle: str = ""
    foot: str = ""
    thread: str = ""
    heat: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One piece of work.

    Parameters
    ----------
    id
        Stable id, unique in the costume: ``jerkin/seam/side right``.
    garment
        Id of the garment; empty for work that serves several (preshrinking).
    stage
        Short name of the phase it belongs to, for grouping into cards: ``prepare``, ``cut``, ``mark``, ``fuse``, ``seams``...
    parts, seams
        Ids of the parts and seams concerned.
    minutes
        Prior estimate of hands-on time.
    after
        Ids of steps that must be done before.
    wait
        Minutes that must pass afterwards before what follows (drying, hanging).
    length
        Length sewn, mm, for thread.
    caution
        A safety note, where it matters.
    """

    id: str
    garment: str
    stage: str
    title: str
    place: Place
    minutes: float
    instruction: str = ""
    setup: SetUp = SetUp()
    parts: tuple[str, ...] = ()
    seams: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    wait: float = 0.0
    length: float = 0.0
    fabric: str = ""
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Machines:
    """What there is to work with, and how long changing it takes, minutes (assumptions until the user sets them).

    Parameters
    ----------
    table
        Length of the cutting table, mm.
    """

    overlocker: bool = True
    table: float = 1500.0
    change_cones: float = 10.0
    change_needle: float = 2.0
    change_thread: float = 2.0
    change_foot: float = 1.0
    change_stitch: float = 0.5
    move: float = 1.0
    machine: str = "machine"
