"""The registry of checks, and running them all."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from firsthand.errors import FirsthandError
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern.model import Garment, Pattern
from firsthand.registry import Registry

__all__ = ["CHECKS", "Check", "check_garment"]

Check = Callable[[Garment, Pattern], Iterable[Finding]]

CHECKS: Registry[Check] = Registry("check")
"""Every check of a garment against itself and the pattern it was made from, by name."""

STOPPED = kind(
    "check-stopped",
    Severity.DOUBT,
    "A check could not be finished because something else is wrong with the pattern; what it would have found is not known. "
    "Mend what the other findings name, and check again.",
)


def check_garment(garment: Garment, pattern: Pattern) -> tuple[Finding, ...]:
    """Everything that can be noticed about a garment before it is cut.

    Parameters
    ----------
    garment
        The garment, altered or not.
    pattern
        The pattern it was made from.

    Returns
    -------
    tuple of Finding
        In the order of the checks; never an exception for what is wrong with the pattern.
    """
    found: list[Finding] = []
    for name, check in CHECKS.items():
        try:
            found += check(garment, pattern)
        except FirsthandError as error:
            remedy = "Mend what the other findings name first."
            found.append(STOPPED(f"check {name!r} could not be finished: {error}", where=(garment.id,), remedy=remedy))
    return tuple(found)
