"""Drag lines and gaping: what is seen at a fitting, the likely causes, and the alterations that mend them."""

from __future__ import annotations

from firsthand.fit._band_table import FAMILY
from firsthand.fit.faults._catalogue import faults
from firsthand.fit.faults._ready import Ready, concerns, ready
from firsthand.fit.faults.model import Cause, Fault, Mark, MarkKind, Mend, View
from firsthand.pattern import Garment

__all__ = ["Cause", "Fault", "Mark", "MarkKind", "Mend", "Ready", "View", "faults", "faults_of", "ready"]

MADE_OF = {"suit": ("bodice", "trousers"), "swim": ("bodice",)}
"""Families that show the faults of others."""


def faults_of(garment: Garment) -> tuple[Fault, ...]:
    """The faults that can be seen on a garment of its sort; where its sort says nothing, of any.

    Those are left out whose mends are all about pieces, edges, seams or levels that it does not have.

    Examples
    --------
    >>> skirt = Garment("s", "Skirt", "p", "M", pieces={}, parts=(), sort="skirt")
    >>> [fault.id for fault in faults_of(skirt)]
    ['hem-uneven', 'leg-length']
    """
    family = FAMILY.get(garment.sort, "")
    alike = MADE_OF.get(family, (family,))
    kept = (fault for fault in faults().values() if not family or set(alike) & set(fault.families))
    return tuple(fault for fault in kept if _seen_on(garment, fault))


def _seen_on(garment: Garment, fault: Fault) -> bool:
    mends = [mend for cause in fault.causes for mend in cause.mends]
    of_pattern = [mend for mend in mends if mend.kind]
    return not of_pattern or any(concerns(garment, mend) for mend in of_pattern)
