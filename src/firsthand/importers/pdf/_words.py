"""The lettering of pages, line by line with its place."""

from __future__ import annotations

from pathlib import Path as FilePath

from firsthand.geometry import Box, Point
from firsthand.importers.pdf._open import Sheet
from firsthand.importers.pdf._state import Word

__all__ = ["words_of"]

MOST_WORDS = 3000
"""Lines of text read from one page."""


def words_of(file: FilePath, sheets: tuple[Sheet, ...]) -> dict[int, list[Word]]:
    """Lines of text of each page by its number; none where the text cannot be read."""
    import pypdfium2 as pdfium

    found: dict[int, list[Word]] = {}
    try:
        document = pdfium.PdfDocument(file)
    except (pdfium.PdfiumError, OSError, ValueError):
        return found
    try:
        for sheet in sheets:
            found[sheet.number] = _page(document, sheet) if sheet.number <= len(document) else []
    except (pdfium.PdfiumError, ValueError, UnicodeError):
        pass
    finally:
        document.close()
    return found


def _page(document: object, sheet: Sheet) -> list[Word]:
    page = document[sheet.number - 1]  # type: ignore[index]
    text = page.get_textpage()
    out = []
    try:
        for k in range(min(text.count_rects(), MOST_WORDS)):
            left, bottom, right, top = text.get_rect(k)
            said = " ".join(text.get_text_bounded(left, bottom, right, top).split())[:200]
            if said:
                out.append(Word(said, Box.around(sheet.to_mm(Point(x, y)) for x in (left, right) for y in (bottom, top))))
    finally:
        text.close()
        page.close()
    return out
