"""Pages that are pictures, not lines."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from firsthand.errors import BadInput, Problem
from firsthand.findings import Severity, kind
from firsthand.importers._file import checked_file, plain, problem
from firsthand.importers.pdf._interpret import Budget, drawing_of
from firsthand.importers.pdf._open import opened, sheets
from firsthand.importers.pdf._state import PageDrawing
from firsthand.units import MM_PER_INCH

__all__ = ["PICTURES", "PagePicture", "mostly_pictures", "pages_as_pictures"]

PICTURES = kind(
    "pdf-pictures",
    Severity.DOUBT,
    "Pages of the PDF are pictures: scans or photos without lines that could be read. They go the way of scans.",
)
COVERED = 0.4
"""A page of which a picture covers more, with next to no lines, is a picture."""
FEW = 12
"""So few lines are a frame and a label."""
MOST_PIXELS = 120_000_000


@dataclass(frozen=True, slots=True)
class PagePicture:
    """One page as a picture: rows of red, green and blue from the top, and the size of a dot, mm."""

    page: int
    image: Any
    mm_per_pixel: float


def mostly_pictures(drawing: PageDrawing) -> bool:
    """Whether a page is a picture."""
    return drawing.pictures > COVERED * drawing.width * drawing.height and len(drawing.strokes) <= FEW


def pages_as_pictures(
    path: str | os.PathLike[str], dpi: float = 300.0, *, pages: Sequence[int] = ()
) -> tuple[PagePicture, ...]:
    """Pages of a PDF file as pictures at a known size.

    Parameters
    ----------
    path
        The file.
    dpi
        Dots in an inch.
    pages
        Numbers of the pages from 1; all if none are named.

    Raises
    ------
    BadInput
        If the file cannot be read, there is no such page, or a picture would have more than 120 million dots.
    """
    import numpy as np
    import pypdfium2 as pdfium

    if not (math.isfinite(dpi) and 20 <= dpi <= 1200):
        raise BadInput([Problem("", "--dpi", f"{dpi}", "20 to 1200 dots in an inch", "Use 300.")])
    file = checked_file(path, "PDF")
    with opened(file) as document:
        leaves = {leaf.number: leaf for leaf in sheets(document, file)}
        budget = Budget()
        for leaf in leaves.values():  # the engine that draws them has no bounds of its own
            drawing_of(leaf, document, budget, file)
    wanted = list(pages) or list(leaves)
    out = []
    try:
        drawn = pdfium.PdfDocument(file)
        for number in wanted:
            if number not in leaves:
                raise BadInput([problem(file, f"page {number}", "no such page", f"1 to {len(leaves)}", "Name another page.")])
            leaf = leaves[number]
            if leaf.width * leaf.height * (dpi / MM_PER_INCH) ** 2 > MOST_PIXELS:
                raise BadInput([problem(file, f"page {number}", "a very large page", "fewer dots", "Give a smaller --dpi.")])
            page = drawn[number - 1]
            # the engine takes a page's own unit for 1/72 inch whatever the page says of it
            by = dpi * leaf.width / MM_PER_INCH / page.get_width()
            picture = page.render(scale=by).to_numpy()
            image = np.ascontiguousarray(picture[:, :, 2::-1] if picture.ndim == 3 else np.stack([picture] * 3, axis=-1))
            out.append(PagePicture(number, image, leaf.width / image.shape[1]))
            page.close()
        drawn.close()
    except (pdfium.PdfiumError, OSError, ValueError, MemoryError) as error:
        if isinstance(error, BadInput):
            raise
        found = plain(str(error)) or "a page that cannot be drawn"
        raise BadInput([problem(file, "", found, "pages that can be drawn", "Print it again as PDF.")]) from None
    return tuple(out)
