"""The section of the fit sheet that tells what would be taken in or let out, and where."""

from __future__ import annotations

from collections.abc import Iterator

from firsthand.fit.model import FitResult, ProposalRow
from firsthand.geometry.drawing import Anchor, WordKind
from firsthand.sheets._flow import Column, Flow
from firsthand.sheets._words import length, sentence
from firsthand.units import Unit

__all__ = ["section"]


def section(flow: Flow, fit: FitResult, units: Unit) -> None:
    """Write the section; nothing where nothing is proposed and nothing is out of reach.

    Parameters
    ----------
    flow
        The sheet.
    fit
        The fit of one garment.
    units
        The reader's units.
    """
    proposed = fit.proposed
    words = proposed.words or fit.proposal_words
    if not (words or proposed.findings or proposed.others):
        return
    flow.heading("Taking in or letting out", follow=20)
    if words:
        flow.paragraph(words)
    end = Anchor.END
    columns = (
        Column("Level", 1.8), Column("Ease", 1.2, end), Column("Wanted", 2.0, end), Column("Then", 1.2, end),
        Column("Left over", 1.3, end), Column("Taken in all round, by seam", 3.6),
    )  # fmt: skip
    if proposed.rows:
        flow.table(columns, (_cells(row, units) for row in proposed.rows))
        flow.gap(2)
    for line in _notes(fit):
        flow.paragraph(line, WordKind.SMALL)


def _cells(row: ProposalRow, units: Unit) -> tuple[str, str, str, str, str, str]:
    seams = ", ".join(f"{seam} {length(by, units)}" for seam, by in row.seams.items() if by)
    left = length(row.residual, units) if row.residual else ""
    wanted = f"{length(row.low, units, name=False)} to {length(row.high, units)}"
    return row.name or row.level, length(row.before, units), wanted, length(row.after, units), left, seams or "nothing"


def _notes(fit: FitResult) -> Iterator[str]:
    proposed = fit.proposed
    if any(by < 0 for row in proposed.rows for by in row.seams.values()):
        yield "A length with a minus is let out."
    if proposed.words:
        yield "Half of what a seam takes lies on each of its edges. Baste first and try it on before trimming anything."
    yield from (sentence(f"{row.name or row.level}: {row.reach}") for row in proposed.rows if row.residual and row.reach)
    yield from (sentence(f"or {one.comment}") for one in proposed.others)
