"""Opening files that may be anything, and saying what is wrong with them."""

from __future__ import annotations

import os
from pathlib import Path as FilePath

from firsthand.errors import BadInput, Problem
from firsthand.findings import Severity, kind

__all__ = [
    "EXTERNAL", "MOST_BYTES", "MOST_ELEMENTS", "SKIPPED", "STRAY", "UNITS_DXF", "UNITS_SVG", "checked_file", "plain",
    "problem",
]  # fmt: skip

MOST_BYTES = 50_000_000
MOST_ELEMENTS = 200_000

UNITS_DXF = kind(
    "dxf-units",
    Severity.DOUBT,
    "A DXF file does not say reliably what its numbers measure, so the unit was chosen by the size of the pieces. Measure one "
    "long line on the screen or on paper and give the unit when importing.",
)
UNITS_SVG = kind(
    "svg-units",
    Severity.DOUBT,
    "The SVG file gives its size without a unit of length, so 96 of its units were taken as one inch, as browsers do. Measure "
    "one long line and give the unit when importing if it comes out differently.",
)
EXTERNAL = kind(
    "import-external",
    Severity.NOTE,
    "The file points to something outside itself (a picture, another drawing). Such references are not followed.",
)
SKIPPED = kind(
    "import-skipped",
    Severity.NOTE,
    "The file has things that are neither lines, curves, points nor words; they were left out.",
)
STRAY = kind(
    "import-stray",
    Severity.DOUBT,
    "A line of the file lies outside every closed outline. It may be an outline with a gap: close it and import again.",
)


def problem(file: FilePath, place: str, found: str, expected: str, remedy: str) -> Problem:
    """A problem in a file, by the file's name alone."""
    return Problem(file.name or str(file), place, found, expected, remedy)


def plain(text: str) -> str:
    """The first line of what another program says, shortened; empty if it is not words but the bytes of the file."""
    first = text.strip().partition("\n")[0]
    if not (first.isascii() and first.isprintable()):
        return ""
    return first if len(first) <= 100 else f"{first[:100]}…"


def checked_file(path: str | os.PathLike[str], ending: str) -> FilePath:
    """The file, if it is there, is a file and is of a sensible size.

    Raises
    ------
    BadInput
        If not.
    """
    file = FilePath(path)
    try:
        size = file.stat().st_size if file.is_file() else None
    except (OSError, ValueError) as error:
        raise BadInput([problem(file, "", str(error), f"a readable {ending} file", "Check the name and try again.")]) from None
    if size is None:
        found = "a folder" if file.is_dir() else "nothing"
        raise BadInput(
            [
                problem(
                    file,
                    "",
                    found,
                    f"a {ending} file",
                    "Name the file itself." if file.is_dir() else "Check the name and the folder.",
                )
            ]
        )
    if size == 0:
        raise BadInput([problem(file, "", "an empty file", f"a {ending} file with outlines", "Export the drawing again.")])
    if size > MOST_BYTES:
        remedy = "Export only the outlines, without pictures."
        raise BadInput([problem(file, "", f"{size / 1e6:.0f} MB", f"at most {MOST_BYTES / 1e6:.0f} MB", remedy)])
    return file
