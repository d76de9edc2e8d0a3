"""Bringing in pieces from photos: ``firsthand import photo``."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from firsthand.cli._import import AsJson, Into, Size, Units, _take, importing

if TYPE_CHECKING:
    from firsthand.importers.photo import PhotoImport

__all__ = ["photo"]

Photos = Annotated[list[Path], typer.Argument(help="Photos of one table, by one lens, with reference sheets in each.")]
Distance = Annotated[
    str, typer.Option("--distance", help='From cross to cross of two sheets, by tape: "1-4 912 mm" or "1-4 36 in".')
]
Sheets = Annotated[str, typer.Option("--paper", help="What the reference sheets are printed on: A4 or Letter.")]
Corners = Annotated[
    str, typer.Option("--corners", help='Corners of one piece, in order, in pixels of the first photo: "812,400 1510,420 …".')
]
OnOverlay = Annotated[bool, typer.Option("--on-overlay", help="The corners are in pixels of the overlay instead.")]
Overlay = Annotated[Path | None, typer.Option("--overlay", help="PNG file to draw everything found into, over the photo.")]


@importing.command()
def photo(
    files: Photos,
    distance: Distance = "",
    paper: Sheets = "A4",
    corners: Corners = "",
    on_overlay: OnOverlay = False,
    overlay: Overlay = None,
    into: Into = "",
    size: Size = "",
    as_json: AsJson = False,
    units: Units = None,
) -> None:
    """Bring in pieces from photos with reference sheets (see firsthand board)."""
    from firsthand.importers.photo import import_photos

    measured, tapped = _distance(distance), _corners(corners)
    found = import_photos(files, distance=measured, paper=paper, corners=tapped, on_overlay=on_overlay)
    if overlay is not None:
        _write(found, overlay)
    _take(found.proposals, into, size, as_json, units)


def _distance(text: str) -> tuple[int, int, float] | None:
    """Two numbers of sheets and a length."""
    from firsthand.errors import BadInput, Problem
    from firsthand.units import parse_length

    if not text.strip():
        return None
    match = re.fullmatch(r"\s*(\d)\s*[-–:/ ]\s*(\d)\s*[:=,]?\s+(\S.*)", text)
    if match is None:
        raise BadInput([Problem("", "--distance", repr(text), 'as "1-4 912 mm"', "Write both sheets and what the tape says.")])
    try:
        return int(match[1]), int(match[2]), parse_length(match[3])
    except ValueError as error:
        raise BadInput([Problem("", "--distance", repr(match[3]), "a length", f"{error}.")]) from None


def _corners(text: str) -> tuple[tuple[float, float], ...]:
    """Pairs of pixels."""
    from firsthand.errors import BadInput, Problem

    found = []
    for word in text.split():
        match = re.fullmatch(r"\(?(\d{1,6}(?:\.\d+)?)[,;](\d{1,6}(?:\.\d+)?)\)?[,;]?", word)
        if match is None:
            raise BadInput(
                [Problem("", "--corners", repr(word), 'as "812,400"', "Write x,y of each corner, with spaces between.")]
            )
        found.append((float(match[1]), float(match[2])))
    if found and len(found) < 3:
        raise BadInput([Problem("", "--corners", f"{len(found)} corners", "three or more", "Give all corners of the piece.")])
    return tuple(found)


def _write(found: PhotoImport, file: Path) -> None:
    import cv2

    file.write_bytes(cv2.imencode(".png", found.overlay(), [cv2.IMWRITE_PNG_COMPRESSION, 3])[1].tobytes())
