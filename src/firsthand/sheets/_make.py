"""Running every sheet of a scope."""

from __future__ import annotations

from firsthand.sheets._shown import in_readers_units
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile

__all__ = ["make_sheets"]


def make_sheets(results: Results, scope: Scope) -> tuple[SheetFile, ...]:
    """Make every sheet registered for a scope, in the order in which they registered.

    Parameters
    ----------
    results
        What the stages before found out.
    scope
        One garment, or the whole costume.

    Raises
    ------
    NotThere
        If the settings name a paper that nobody knows.

    Examples
    --------
    >>> from firsthand.sheets.model import Settings
    >>> make_sheets(Results("Tide Warden", "", Settings()), Scope.GARMENT)
    ()
    """
    readable = in_readers_units(results)
    return tuple(file for _, sheet in SHEETS[scope].items() for file in sheet(readable))
