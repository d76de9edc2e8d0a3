"""The fit sheet: how much ease a garment has, as it was bought and as it is now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from firsthand.fit.model import EaseBand, EaseRow, FitResult
from firsthand.geometry.drawing import Anchor, WordKind
from firsthand.sheets import _fit_cloth, _fit_proposal, _fit_wearing
from firsthand.sheets._findings import list_findings
from firsthand.sheets._fit_picture import draw_ease
from firsthand.sheets._flow import Column, Flow, list_paper
from firsthand.sheets._words import length, sentence
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.units import Unit

__all__ = ["EaseWords", "ease_words", "fit_sheet"]

NOT_KNOWN = "–"
SECTIONS = (_fit_cloth.section, _fit_wearing.section, _fit_proposal.section)
"""Further parts of the sheet, in order: each takes the page, the fit and the reader's unit, and may add nothing."""
EaseWords = tuple[str, str, str, str, str, str, str, str]
"""Level, body, finished and ease as bought, finished and ease now, wanted, verdict."""


def ease_words(fit: FitResult, units: Unit) -> Iterator[EaseWords]:
    """The ease table in words, a row for each level."""
    bought = {row.level: row for row in fit.before}
    for row in fit.after or fit.before:
        first = bought.get(row.level, row)
        yield (
            row.name or row.level, _mm(row.body, units), _mm(first.finished, units), _mm(first.ease, units),
            _mm(row.finished, units), _mm(row.ease, units), _band(row.band, units), row.verdict.value,
        )  # fmt: skip


@SHEETS[Scope.GARMENT].register("fit")
def fit_sheet(results: Results) -> tuple[SheetFile, ...]:
    """One sheet for each garment that has levels."""
    return tuple(_sheet(results, fit) for fit in results.fits.values() if fit.before or fit.after or fit.wearing)


def _sheet(results: Results, fit: FitResult) -> SheetFile:
    garment, units = fit.garment, results.settings.units
    wearer = f", for {results.wearer}" if results.wearer else ""
    about = f"{results.costume}{wearer}. Size {garment.size}, meant to sit {garment.cut}."
    flow = Flow(list_paper(results), f"{garment.name or garment.id}: how it fits", about)
    end = Anchor.END
    columns = (
        Column("Level", 2.2), Column("Body", 1.4, end), Column("Finished, as bought", 1.5, end), Column("Ease", 1.3, end),
        Column("Finished, now", 1.5, end), Column("Ease now", 1.3, end), Column("Ease wanted", 2.1, end),
        Column("Verdict", 1.5),
    )  # fmt: skip
    draw_ease(flow, fit.after or fit.before, units)
    flow.table(columns, ease_words(fit, units))
    flow.gap(2)
    flow.paragraph("Ease is the finished girth less the body’s, with what is worn beneath.", WordKind.SMALL)
    for row in fit.after:
        if row.note:
            flow.paragraph(f"{row.name or row.level}: {row.note}.", WordKind.SMALL)
    for line in _sources(fit.after or fit.before):
        flow.paragraph(line, WordKind.SMALL)
    for section in SECTIONS:
        section(flow, fit, units)
    _changes(flow, fit)
    if fit.findings:
        flow.heading("What was noticed", follow=20)
        list_findings(flow, fit.findings)
    return flow.file(f"{garment.id}/fit.pdf", "fit", results)


def _changes(flow: Flow, fit: FitResult) -> None:
    if fit.records:
        flow.heading("What was altered")
        for record in fit.records:
            flow.paragraph(sentence(record.words))


def _sources(rows: Sequence[EaseRow]) -> list[str]:
    named: dict[str, list[str]] = {}
    for row in rows:
        if row.band and row.band.source:
            named.setdefault(row.band.source, []).append(row.name or row.level)
    return [f"Ease wanted at {', '.join(levels)}: {source}." for source, levels in named.items()]


def _mm(value: float | None, units: Unit) -> str:
    return NOT_KNOWN if value is None else length(value, units)


def _band(band: EaseBand | None, units: Unit) -> str:
    return NOT_KNOWN if band is None else f"{length(band.low, units, name=False)} to {length(band.high, units)}"
