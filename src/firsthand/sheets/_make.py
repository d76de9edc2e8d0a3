"""Running every sheet of a scope."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from firsthand.errors import FirsthandError
from firsthand.findings import Block, Severity, kind
from firsthand.sheets._findings import list_findings
from firsthand.sheets._flow import Flow, list_paper
from firsthand.sheets._paper import paper
from firsthand.sheets._shown import in_readers_units
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile, SheetMaker

__all__ = ["make_sheets"]

NOT_MADE = kind(
    "sheet-not-made",
    Severity.FAULT,
    "A sheet could not be made of what is known; a page that says so lies in its place, and all other sheets were made. As a "
    "rule another finding says what is wrong: mend that.",
)


def make_sheets(results: Results, scope: Scope, *, only: Collection[str] = ()) -> tuple[SheetFile, ...]:
    """Make every sheet registered for a scope, in the order in which they registered.

    Parameters
    ----------
    results
        What the stages before found out.
    scope
        One garment, or the whole costume.
    only
        Names of the only sheets to make; empty means all.

    Returns
    -------
    tuple of SheetFile
        Each of the kind under which its sheet is registered. In place of a sheet that could not be made there is a page that
        says why, with the finding ``sheet-not-made``.

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
    for name in results.settings.papers:
        paper(name)
    readable = in_readers_units(results)
    return tuple(
        replace(file, kind=name)
        for name, sheet in SHEETS[scope].items()
        if not only or name in only
        for one in _calls(readable, scope)
        for file in _made(name, sheet, one, scope)
    )


def _calls(results: Results, scope: Scope) -> Iterator[Results]:
    """What a sheet is called with: each garment by itself, or everything."""
    if scope is Scope.COSTUME:
        yield results
    else:
        yield from (replace(results, fits={key: fit}) for key, fit in results.fits.items())


def _made(name: str, sheet: SheetMaker, results: Results, scope: Scope) -> tuple[SheetFile, ...]:
    try:
        return sheet(results)
    except FirsthandError as error:
        return (_notice(name, results, scope, error),)


def _notice(name: str, results: Results, scope: Scope, error: FirsthandError) -> SheetFile:
    """The page that lies in the place of a sheet that could not be made."""
    garment = next(iter(results.fits.values())).garment if scope is Scope.GARMENT else None
    about = f"{garment.name or garment.id}: the sheet “{name}”" if garment else f"The sheet “{name}”"
    finding = NOT_MADE(
        f"{about} could not be made: {error}",
        where=(garment.id, name) if garment else (name,),
        remedy="Mend what the other findings name, and make it again.",
        blocks=[Block("print", garment.id)] if garment else (),
    )
    flow = Flow(list_paper(results), f"{about} could not be made", results.costume)
    list_findings(flow, in_readers_units(replace(results, findings=(finding,))).findings)
    folder = f"{garment.id}/" if garment else ""
    return replace(flow.file(f"{folder}{name}-not-made.pdf", name, results), findings=(finding,))
