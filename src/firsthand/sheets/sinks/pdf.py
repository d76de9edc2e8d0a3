"""The PDF sink: pages at true size, text as text, the same bytes for the same drawing."""

from __future__ import annotations

import io
import math
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from firsthand.geometry import Affine, Line, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, WordKind
from firsthand.sheets._lettering import font_of, width
from firsthand.sheets.look import LINES, WORDS
from firsthand.sheets.sinks._mapped import MappedSink

__all__ = ["PdfDocument", "PdfSink"]

POINTS = 72 / 25.4
"""PDF points in one millimetre (ISO 32000-1, 8.3.2.3)."""


class PdfDocument:
    """A PDF file in the making.

    Parameters
    ----------
    title, subject
        For the file's metadata.
    language
        Of the text, as ``en-GB``.
    """

    def __init__(self, title: str, *, subject: str = "", language: str = "en-GB") -> None:
        self._buffer = io.BytesIO()
        self._canvas = Canvas(self._buffer, invariant=1, pageCompression=1, lang=language, initialFontName=font_of(False))
        self._canvas.setAuthor("")
        self._canvas.setTitle(title)
        self._canvas.setSubject(subject)
        self._canvas.setCreator("firsthand")
        self.pages = 0

    def page(self, width: float, height: float, *, enlarge: float = 1.0, bookmark: str = "") -> PdfSink:
        """Begin a page.

        Parameters
        ----------
        width, height
            Of the paper, mm.
        enlarge
            Everything on it, widths and lettering too, is drawn this many times larger.
        bookmark
            Its name in the outline shown beside the pages.
        """
        if self.pages:
            self._canvas.showPage()
        self.pages += 1
        self._canvas.setPageSize((width * POINTS, height * POINTS))
        if bookmark:
            self._canvas.bookmarkPage(f"page{self.pages}")
            self._canvas.addOutlineEntry(bookmark, f"page{self.pages}")
        return PdfSink(self._canvas, POINTS * enlarge)

    def bytes(self) -> bytes:
        """The finished file."""
        self._canvas.save()
        return self._buffer.getvalue()


class PdfSink(MappedSink):
    """Draws on one page. Made by :meth:`PdfDocument.page`."""

    def __init__(self, canvas: Any, scale: float) -> None:
        super().__init__(Affine.scaling(scale))
        self._canvas, self._scale = canvas, scale

    def _stroke(self, path: Path, kind: LineKind) -> None:
        look, canvas = LINES[kind], self._canvas
        canvas.setStrokeColor(HexColor(look.colour))
        canvas.setLineWidth(look.width * self._scale)
        canvas.setDash([bit * self._scale for bit in look.dash])
        canvas.setLineCap(1 if look.round else 0)
        canvas.setLineJoin(1)
        if look.fill:
            canvas.setFillColor(HexColor(look.fill))
        canvas.drawPath(self._outline(path), stroke=1, fill=1 if look.fill else 0)

    def _outline(self, path: Path) -> Any:
        drawn = self._canvas.beginPath()
        drawn.moveTo(path.start.x, path.start.y)
        for s in path:
            if isinstance(s, Line):
                drawn.lineTo(s.b.x, s.b.y)
            else:
                drawn.curveTo(s.b.x, s.b.y, s.c.x, s.c.y, s.d.x, s.d.y)
        if path.is_closed:
            drawn.close()
        return drawn

    def _letter(self, text: str, at: Point, kind: WordKind, anchor: Anchor, angle: float) -> None:
        look = WORDS[kind]
        back = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[anchor] * width(text, kind) * self._scale
        start = at - Point.polar(back, angle)
        cos, sin = math.cos(angle), math.sin(angle)
        lettering = self._canvas.beginText()
        lettering.setTextTransform(cos, sin, -sin, cos, start.x, start.y)
        lettering.setFont(font_of(look.bold), look.size * self._scale)
        lettering.setFillColor(HexColor(look.colour))
        lettering.textOut(text)
        self._canvas.drawText(lettering)

    def _enter(self, name: str, clip: Path | None) -> None:
        if clip is not None:
            self._canvas.saveState()
            self._canvas.clipPath(self._outline(clip), stroke=0, fill=0)

    def _leave(self, clipped: bool) -> None:
        if clipped:
            self._canvas.restoreState()
