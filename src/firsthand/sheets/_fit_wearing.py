"""The part of the fit sheet about wearing: lengths beside the body's, and what can be done in the garment."""

from __future__ import annotations

from firsthand.fit.model import Answer, FitResult
from firsthand.fit.wearing import told_once
from firsthand.geometry.drawing import Anchor, WordKind
from firsthand.sheets._flow import Column, Flow
from firsthand.sheets._words import length, sentence
from firsthand.units import Unit

__all__ = ["section"]

NOT_KNOWN = "–"
ORDER = (Answer.NO, Answer.TIGHT, Answer.UNKNOWN, Answer.YES)


def section(flow: Flow, fit: FitResult, units: Unit) -> None:
    """Add lengths and wearing to the fit sheet, where anything is known of them.

    Parameters
    ----------
    flow, fit, units
        The sheet, what it is about, and what lengths are shown in.
    """
    _lengths(flow, fit, units)
    _wearing(flow, fit)


def _lengths(flow: Flow, fit: FitResult, units: Unit) -> None:
    rows = [row for row in fit.lengths if row.finished is not None or row.note]
    if not rows:
        return
    flow.heading("Lengths and widths", follow=24)
    end = Anchor.END
    body = "Body" if all(row.body_key for row in rows) else "Body (armhole)"
    columns = (
        Column("What", 3.2), Column(body, 1.5, end), Column("Garment", 1.4, end), Column("Ease", 1.2, end),
        Column("Wanted", 2.1, end), Column("Verdict", 1.4),
    )  # fmt: skip
    flow.table(
        columns,
        [
            (
                row.name, _mm(row.body, units), _mm(row.finished, units), _mm(row.ease, units),
                f"{length(row.band.low, units, name=False)} to {length(row.band.high, units)}" if row.band else NOT_KNOWN,
                row.verdict.value,
            )
            for row in rows
        ],
    )  # fmt: skip
    flow.gap(1.0)
    for row in rows:
        if row.note:
            flow.paragraph(sentence(f"{row.name}: {row.note}"), WordKind.SMALL)
    sources: dict[str, list[str]] = {}
    for row in rows:
        if row.band:
            sources.setdefault(row.band.source, []).append(row.name)
    for source, names in sources.items():
        flow.paragraph(f"Wanted at {', '.join(names)}: {source}.", WordKind.SMALL)


def _wearing(flow: Flow, fit: FitResult) -> None:
    if not fit.wearing:
        return
    flow.heading("Wearing it", follow=24)
    rows = sorted(told_once(fit.wearing), key=lambda row: ORDER.index(row.verdict))
    columns = (Column("Asked", 2.6), Column("Answer", 1.1), Column("Why, and what would help", 5.4))
    told = [row for row in rows if row.verdict is not Answer.YES]
    flow.table(columns, [(row.ask, row.verdict.value, _words(row.words, row.remedy)) for row in told])
    good = [row for row in rows if row.verdict is Answer.YES]
    if good:
        flow.gap(1.2)
        flow.paragraph(sentence(f"Yes: {'; '.join(f'{row.ask} ({row.words})' for row in good)}"), WordKind.SMALL)


def _words(words: str, remedy: str) -> str:
    return f"{sentence(words)} {remedy}".strip()


def _mm(value: float | None, units: Unit) -> str:
    return NOT_KNOWN if value is None else length(value, units)
