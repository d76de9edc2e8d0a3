"""Faults to be seen at a fitting, each drawn, with its likely causes and what mends it: to take to the mirror."""

from __future__ import annotations

import itertools

from firsthand.fit.faults import Cause, Fault, Mark, MarkKind, Mend, faults, faults_of
from firsthand.geometry import Affine, Point
from firsthand.geometry.drawing import WordKind
from firsthand.sheets._fault_figure import draw_fault, draw_mark, figure_size
from firsthand.sheets._flow import Flow, list_paper
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.units import Unit, shown

__all__ = ["cause_words", "faults_sheet", "mend_words"]

SCALE = 0.46
"""Of the marks in the key."""
AIR = 5.0
"""Between the figure and the words, and below each fault, mm."""
KEY = (
    (Mark(MarkKind.PULL, ((0, 6), (22, 10)), mirrored=False), "the cloth is dragged"),
    (Mark(MarkKind.SLACK, ((0, 9), (11, 5.6), (22, 9)), mirrored=False), "a loose fold"),
    (Mark(MarkKind.GAPE, ((0, 6), (11, 9), (22, 6)), mirrored=False), "an edge that stands away"),
    (Mark(MarkKind.SHIFT, ((0, 8), (20, 8)), mirrored=False), "lies where it should not"),
)


@SHEETS[Scope.COSTUME].register("faults")
def faults_sheet(results: Results) -> tuple[SheetFile, ...]:
    """One document with the faults that the costume's garments can show."""
    garments = {fit.garment.name or fit.garment.id: faults_of(fit.garment) for fit in results.fits.values()}
    seen = {fault.id for shown_on in garments.values() for fault in shown_on}
    if not seen:
        return ()
    about = f"{results.costume}. Look for the picture, make sure of the cause, then choose."
    flow = Flow(list_paper(results), "What may be seen at a fitting", about)
    _key(flow)
    for fault in (one for one in faults().values() if one.id in seen):
        _entry(flow, fault, results, [name for name, shown_on in garments.items() if fault in shown_on])
    return (flow.file("faults.pdf", "faults", results),)


def _key(flow: Flow) -> None:
    x = flow.frame.left
    for mark, words in KEY:
        draw_mark(flow.sink, mark, Affine.translation(x, flow.y - 12) @ Affine.scaling(SCALE))
        flow.sink.words(words, Point(x + 13, flow.y - 9), WordKind.TINY)
        x += flow.frame.width / len(KEY)
    flow.gap(13)
    flow.rule()
    flow.gap(3)


def _entry(flow: Flow, fault: Fault, results: Results, garments: list[str]) -> None:
    wide, high = figure_size(fault.view)

    def words(onto: Flow) -> None:
        with onto.column(onto.frame.left + wide + AIR):
            _words(onto, fault, garments, results.settings.units)

    needed = max(flow.measure(words), high)
    flow.keep(needed + AIR)
    top = flow.y
    draw_fault(flow.sink, fault, Point(flow.frame.left, top))
    words(flow)
    flow.y = min(flow.y, top - high) - AIR
    flow.rule()
    flow.gap(AIR / 2)


def _words(flow: Flow, fault: Fault, garments: list[str], units: Unit) -> None:
    flow.paragraph(fault.sees, WordKind.HEADING)
    flow.paragraph(f"On {', '.join(garments)}. {fault.id}", WordKind.TINY)
    numbers = itertools.count(1)
    for cause in fault.causes:
        flow.gap(1)
        flow.paragraph(cause_words(cause))
        for mend in cause.mends:
            flow.paragraph(f"{next(numbers)}. {mend_words(mend, units)}", indent=4)
    if fault.caution:
        flow.gap(1)
        flow.care(shown(fault.caution, units))
    flow.paragraph(f"Source: {fault.source}.", WordKind.TINY)


def cause_words(cause: Cause) -> str:
    """What is the matter, and how to make sure.

    Examples
    --------
    >>> cause_words(Cause("too narrow", "Clip it: does the strain go?", ()))
    'Likely too narrow. Make sure: clip it: does the strain go?'
    """
    sure = cause.sure if cause.sure.endswith("?") else f"{cause.sure}."
    return f"Likely {cause.words}. Make sure: {sure[0].lower()}{sure[1:]}"


def mend_words(mend: Mend, units: Unit) -> str:
    """What is done, by which kind of alteration, and what to measure for it."""
    kind = f" ({mend.kind})" if mend.kind else ""
    measure = f" Measure: {shown(mend.amount[0].lower() + mend.amount[1:], units)}." if mend.amount else ""
    return f"{mend.words}{kind}.{measure}"
