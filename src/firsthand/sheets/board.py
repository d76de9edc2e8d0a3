"""Reference sheets to lay round a piece before it is photographed."""

from __future__ import annotations

from firsthand.geometry import Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, Sink, WordKind
from firsthand.importers.photo import FIELD_TOP, MOST_SHEETS, ReferenceSheet, reference_sheet
from firsthand.sheets._flow import Flow
from firsthand.sheets._paper import Paper, paper
from firsthand.sheets.sinks.pdf import PdfDocument

__all__ = ["board_pdf"]

TOP = FIELD_TOP
ARM = 3.0
"""Of the cross, mm."""
RULER = 200.0
"""Length of the ruler on each sheet, mm."""

HOW = (
    "Print all pages at 100 % (“actual size”), never “fit to page”. The ruler at the left of a sheet is 20 cm long.",
    "Tape the sheets flat, or on card, round the piece: four of them, one near each corner. Two do, at opposite ends and "
    "sides, with three or four photos. A long piece takes six, along both sides. They may lie any way up, on the table, not "
    "on the piece.",
    "Smooth the piece and weigh it down at its edges; glass over it is best. What curls up 5 mm is 3 mm off in the picture.",
    "One photo straight from above with the whole piece and all sheets in it; then two or three from other sides, tilted by "
    "about a third of a right angle. Daylight, no flash, no zoom, the same lens for all.",
    "Measure with a tape from the cross of one sheet to the cross of another far from it, and write it down: a printer’s "
    "scale cannot be seen in a photo.",
)


def board_pdf(name: str = "A4", *, sheets: int = MOST_SHEETS) -> bytes:
    """Reference sheets on paper, with how to use them on the first page.

    Parameters
    ----------
    name
        The paper: ``A4`` or ``Letter``.
    sheets
        How many.

    Raises
    ------
    NotThere
        If there are none for that paper.
    """
    page = paper(reference_sheet(1, name).paper)
    document = PdfDocument("Reference sheets for photos", subject=page.name)
    _how(document, page)
    for number in range(1, sheets + 1):
        _sheet(document.page(page.width, page.height, bookmark=f"Sheet {number}"), reference_sheet(number, name), page)
    return document.bytes()


def _how(document: PdfDocument, page: Paper) -> None:
    flow = Flow(page, "Reference sheets for photos", "They tell where the camera was, and how large things are.")
    for number, words in enumerate(HOW, 1):
        flow.paragraph(f"{number}. {words}")
        flow.gap(2)
    flow.care(
        "A photo wants good light and a steady stand: no climbing on chairs with wheels, and no lamp near paper or cloth."
    )
    flow.draw(document.page(page.width, page.height, bookmark="How"), 1, page.name)


def _sheet(sink: Sink, sheet: ReferenceSheet, page: Paper) -> None:
    corner = Point((page.width - sheet.width) / 2, page.height - TOP)
    for square in sheet.squares():
        x, y = corner.x + square.x, corner.y - square.y
        ring = (Point(x, y), Point(x, y - square.side), Point(x + square.side, y - square.side), Point(x + square.side, y))
        sink.path(Path.polygon(ring), LineKind.BLOCK)
    _cross(sink, Point(corner.x + sheet.cross[0], corner.y - sheet.cross[1]), sheet.number)
    _ruler(sink, Point(corner.x - 6.5, corner.y - sheet.height))
    words = f"Reference sheet {sheet.number}, {sheet.paper}. Print at 100 %: the ruler is 20 cm. Tape it flat."
    sink.words(words, Point(page.width / 2, corner.y - sheet.height - 4.6), WordKind.TINY, anchor=Anchor.MIDDLE)


def _cross(sink: Sink, at: Point, number: int) -> None:
    sink.path(Path.line(at - Point(ARM, 0), at + Point(ARM, 0)), LineKind.FRAME)
    sink.path(Path.line(at - Point(0, ARM), at + Point(0, ARM)), LineKind.FRAME)
    sink.words(f"cross {number}", at + Point(ARM + 2, -0.9), WordKind.SMALL)


def _ruler(sink: Sink, foot: Point) -> None:
    sink.path(Path.line(foot, foot + Point(0, RULER)), LineKind.FRAME)
    for k in range(round(RULER / 10) + 1):
        long = 2.6 if k % 5 == 0 else 1.4
        at = foot + Point(0, 10.0 * k)
        sink.path(Path.line(at, at - Point(long, 0)), LineKind.FRAME)
