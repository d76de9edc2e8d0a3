"""The sheet of a fitting: what was found, the new lines, what to do in order, and the ease before and after."""

from __future__ import annotations

from collections.abc import Iterator

from firsthand.fit.fitting import Fitted, grouped, said_point
from firsthand.fit.model import FitResult
from firsthand.geometry.drawing import Anchor, WordKind
from firsthand.sheets._findings import list_findings
from firsthand.sheets._flow import TICK, Column, Flow, list_paper
from firsthand.sheets._words import day, length, sentence
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.units import Unit, shown

__all__ = ["fitting_sheet"]

NOT_KNOWN = "–"
PINS = "Pin with the points away from the body, take every pin out and count them before anybody sits down."


@SHEETS[Scope.GARMENT].register("fitting")
def fitting_sheet(results: Results) -> tuple[SheetFile, ...]:
    """One sheet for each fitting of each garment."""
    return tuple(_sheet(results, fit, done) for fit in results.fits.values() for done in fit.fittings)


def _sheet(results: Results, fit: FitResult, done: Fitted) -> SheetFile:
    garment, fitting, units = fit.garment, done.fitting, results.settings.units
    flow = Flow(list_paper(results), f"{garment.name or garment.id}: fitting {day(fitting.date)}", _about(results, done))
    for words in (fitting.words, *fitting.notes):
        if words:
            flow.paragraph(sentence(words))
    if not done.applied:
        flow.paragraph("The alterations of the garment have this fitting already: it is history.")
    flow.heading("What was found")
    for point in fitting.of(garment.id):
        flow.paragraph(sentence(shown(said_point(point), units)), indent=4)
    _lines(flow, done)
    _parts(flow, done)
    _to_do(flow, done)
    _lengths(flow, done, units)
    _ease(flow, done, units)
    if done.findings:
        flow.heading("What was noticed", follow=20)
        list_findings(flow, done.findings)
    return flow.file(f"{garment.id}/fitting-{fitting.id}.pdf", "fitting", results)


def _about(results: Results, done: Fitted) -> str:
    fitting = done.fitting
    on = f"on {fitting.on}" if fitting.on else ""
    parts = [results.costume, on, f"over {', '.join(fitting.beneath)}" if fitting.beneath else ""]
    return ", ".join(part for part in parts if part) + "."


def _lines(flow: Flow, done: Fitted) -> None:
    if not done.lines:
        return
    flow.heading("The new stitching lines")
    rows = [(line.name, "; ".join(line.words)) for line in done.lines]
    flow.table((Column("Line", 1.2), Column("From the old line to the new one", 4.0)), rows)
    flow.paragraph("Between these places the line runs smoothly and never beyond the two amounts.", WordKind.SMALL)


def _parts(flow: Flow, done: Fitted) -> None:
    if not done.consequences:
        return
    flow.heading("What that means for each part")
    rows = [(names, one.state.value, one.outcome.value, one.words) for names, one in grouped(done.consequences)]
    flow.table((Column("Part", 1.6), Column("Is", 0.8), Column("So", 0.8), Column("What to do", 4.0)), rows)


def _to_do(flow: Flow, done: Fitted) -> None:
    if not done.steps:
        return
    flow.heading("What to do, in order")
    flow.table((Column("", 0.25), Column("", 6.0)), [(TICK, step) for step in done.steps])
    flow.gap(2)
    flow.care(PINS)


def _lengths(flow: Flow, done: Fitted, units: Unit) -> None:
    if not done.lengths:
        return
    flow.heading("Seams that have other lengths now")
    end = Anchor.END
    rows = [
        (
            one.seam, f"{length(one.a_before, units, name=False)} to {length(one.a_after, units)}",
            f"{length(one.b_before, units, name=False)} to {length(one.b_after, units)}", one.words,
        )
        for one in done.lengths
    ]  # fmt: skip
    flow.table((Column("Seam", 1.4), Column("First side", 1.5, end), Column("Second side", 1.5, end), Column("", 3.0)), rows)


def _ease(flow: Flow, done: Fitted, units: Unit) -> None:
    if not done.ease:
        return
    flow.heading("Ease before and after")
    end = Anchor.END
    columns = (
        Column("Level", 2.0), Column("Ease before", 1.3, end), Column("Ease after", 1.3, end), Column("Ease wanted", 2.0, end),
        Column("Now", 1.3),
    )  # fmt: skip
    flow.table(columns, list(_ease_rows(done, units)))


def _ease_rows(done: Fitted, units: Unit) -> Iterator[tuple[str, ...]]:
    for row in done.ease:
        band = NOT_KNOWN
        if row.low is not None and row.high is not None:
            band = f"{length(row.low, units, name=False)} to {length(row.high, units)}"
        before, after = (NOT_KNOWN if one is None else length(one, units) for one in (row.before, row.after))
        yield row.name, before, after, band, row.verdict
