"""Lay diagrams: one for each fabric, as a page and as a picture."""

from __future__ import annotations

from functools import partial

from firsthand.fabric import Nap
from firsthand.geometry import Affine, Point
from firsthand.geometry.drawing import WordKind
from firsthand.lay import as_bought
from firsthand.lay.model import FabricLays, Lay, Way
from firsthand.sheets._findings import list_findings
from firsthand.sheets._flow import Flow, list_paper
from firsthand.sheets._lay_diagram import KEY, draw_lay, fitted
from firsthand.sheets._words import cloth_length, length
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.sheets.sinks.svg import SvgSink
from firsthand.sheets.sinks.tape import Tape

__all__ = ["lay_picture", "lay_sheets", "lay_words", "way_words"]

PICTURE = (220.0, 130.0)
"""Largest width and height of a lay in a picture, mm."""
COLUMN = 75.0
"""Least width of what stands beside a lay, mm."""
SPACE = 10.0
SIDE = 3.0
"""Margin of a picture, mm."""


def way_words(way: Way) -> str:
    """How the cloth lies."""
    return {
        Way.OPEN: "open, one layer, right side up",
        Way.FOLDED: "folded lengthwise, right sides together",
    }[way]


def lay_words(results: Results, lays: FabricLays, lay: Lay) -> tuple[str, ...]:
    """What is said about a lay: how the cloth lies, how long, and what the other ways would take."""
    units = results.settings.units
    size = f"{cloth_length(lay.length, units)} long, {length(lay.width, units)} of usable width on the table"
    lines = [f"Lay the cloth {way_words(lay.way)}: {size}, {100 * lay.density:.0f} % of it covered."]
    fabric = results.fabrics.get(lays.fabric)
    new = as_bought(fabric, lay.length) if fabric else lay.length
    if fabric and new != lay.length:
        share = f"{100 * fabric.shrink_along:.1f}".removesuffix(".0")
        lines.append(f"That is {cloth_length(new, units)} of new cloth: washing takes {share} % before it is laid.")
    if fabric and fabric.nap is Nap.ONE_WAY:
        lines.append("The cloth has nap: all tops lie one way, the way the arrows point.")
    others = [f"{way_words(o.way)}, {cloth_length(o.length, units)}" for o in lays.lays if o is not lay]
    lines += [f"Other ways: {'; '.join(others)}."] if others else []
    if lay.seconds:
        lines.append(f"The best found in {lay.seconds:g} s; a longer search or another machine may find another one.")
    return tuple(lines)


def lay_picture(results: Results, lays: FabricLays, lay: Lay, *, inline: bool = False) -> str:
    """A lay as an SVG."""
    drawing = fitted(lay, results.fabrics.get(lays.fabric), results.settings.units, *PICTURE)
    tape = Tape()
    low = draw_lay(tape, drawing, Point(SIDE, 0.0))
    wide = max(drawing.size[0], KEY) + 2 * SIDE
    title = f"Lay of {_name(results, lays.fabric)}, {way_words(lay.way)}, {cloth_length(lay.length, results.settings.units)}"
    sink = SvgSink(wide, -low + 2 * SIDE, title, inline=inline)
    sink.push(Affine.translation(0, SIDE - low))
    tape.play(sink)
    sink.pop()
    return sink.text


@SHEETS[Scope.COSTUME].register("lays")
def lay_sheets(results: Results) -> tuple[SheetFile, ...]:
    """For each fabric a page and a picture of the lay that was chosen."""
    files: list[SheetFile] = []
    for lays in results.lays.values():
        if lays.best is not None:
            files += (_page(results, lays, lays.best), _svg(results, lays, lays.best))
    return tuple(files)


def _page(results: Results, lays: FabricLays, lay: Lay) -> SheetFile:
    flow = Flow(list_paper(results).turned, f"Lay: {_name(results, lays.fabric)}", _about(results))
    for line in lay_words(results, lays, lay):
        flow.paragraph(line)
    flow.gap(2)
    beside = _draw(results, lays, lay, flow)
    if lays.findings and beside is not None:
        with flow.column(beside):
            _noticed(lays, flow)
    elif lays.findings:
        _noticed(lays, flow)
    return flow.file(f"lays/{lays.fabric}.pdf", "lays", results)


def _draw(results: Results, lays: FabricLays, lay: Lay, flow: Flow) -> float | None:
    """Draw a lay; where findings go beside it: their left edge, with the page still at its upper end. Else below it."""
    fabric, units, top = results.fabrics.get(lays.fabric), results.settings.units, flow.y
    drawing = fitted(lay, fabric, units, flow.frame.width, flow.room - 16)
    left = flow.frame.left + max(drawing.size[0], KEY) + SPACE
    beside = flow.frame.right - left >= COLUMN
    if lays.findings and not beside:
        noticed = min(flow.measure(partial(_noticed, lays)), flow.room * 0.3)
        drawing = fitted(lay, fabric, units, flow.frame.width, flow.room - 16 - noticed)
    flow.y = draw_lay(flow.sink, drawing, Point(flow.frame.left, flow.y))
    flow.paragraph(f"Drawn 1 to {drawing.scale}.", WordKind.TINY)
    if lays.findings and beside:
        flow.y = top
        return left
    return None


def _noticed(lays: FabricLays, flow: Flow) -> None:
    flow.heading("What was noticed", follow=20)
    list_findings(flow, lays.findings)


def _svg(results: Results, lays: FabricLays, lay: Lay) -> SheetFile:
    data = lay_picture(results, lays, lay).encode()
    return SheetFile(f"lays/{lays.fabric}.svg", "lays", f"Lay: {_name(results, lays.fabric)}", data)


def _about(results: Results) -> str:
    return f"{results.costume}{f', for {results.wearer}' if results.wearer else ''}."


def _name(results: Results, fabric: str) -> str:
    return results.fabrics[fabric].name if fabric in results.fabrics else fabric
