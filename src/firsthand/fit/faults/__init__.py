"""Drag lines and gaping: what is seen at a fitting, the likely causes, and the alterations that mend them."""

from __future__ import annotations

from firsthand.fit._bands import FAMILIES
from firsthand.fit.faults._catalogue import faults
from firsthand.fit.faults._ready import Ready, concerns, ready
from firsthand.fit.faults.model import Cause, Fault, Mark, MarkKind, Mend, View
from firsthand.pattern import Garment

__all__ = ["Cause", "Fault", "Mark", "MarkKind", "Mend", "Ready", "View", "faults", "faults_of", "ready"]


def faults_of(garment: Garment) -> tuple[Fault, ...]:
    """The faults that can be seen on a garment of its sort, with at least one mend that it has the pieces, edges and levels for.

    All sorts are meant where its sort says nothing.

    Examples
    --------
    >>> skirt = Garment("s", "Skirt", "p", "M", pieces={}, parts=(), sort="skirt")
    >>> [fault.id for fault in faults_of(skirt)]
    ['hem-uneven', 'leg-length']
    """
    family = next((name for name, sorts in FAMILIES.items() if garment.sort in sorts), "")
    kept = (fault for fault in faults().values() if not family or family in fault.families)
    return tuple(fault for fault in kept if any(concerns(garment, mend) for cause in fault.causes for mend in cause.mends))
