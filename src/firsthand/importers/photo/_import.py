"""Photos to proposals."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from firsthand.errors import BadInput, Problem
from firsthand.findings import Finding
from firsthand.geometry import Affine, Point
from firsthand.importers.model import FoundLine, Proposal, Proposals
from firsthand.importers.photo._detect import Image
from firsthand.importers.photo._lines import lines_in
from firsthand.importers.photo._outline import FoundOutline, outline_of, outlines_of
from firsthand.importers.photo._read import Photo, read_photo
from firsthand.importers.photo._rectify import Rectified, rectify

__all__ = ["PhotoImport", "import_photos"]

MOST_PHOTOS = 12


@dataclass(frozen=True, slots=True, eq=False)
class PhotoImport:
    """What photos propose, and the table that it was found on.

    Parameters
    ----------
    proposals
        Pieces, the largest first: millimetres, x to the right and y up as the first sheet lies.
    table
        The table from above.
    corners
        For each proposal the corners of its outline.
    """

    proposals: Proposals
    table: Rectified
    corners: tuple[tuple[Point, ...], ...]

    def overlay(self) -> Image:
        """The table from above with everything that was found drawn over it."""
        from firsthand.importers.photo._overlay import drawn_over

        return drawn_over(self.table, self.proposals.proposals, self.corners)


def import_photos(
    files: Sequence[str | os.PathLike[str]],
    *,
    distance: tuple[int, int, float] | None = None,
    paper: str = "A4",
    corners: Sequence[tuple[float, float]] = (),
    on_overlay: bool = False,
) -> PhotoImport:
    """Outlines and printed lines of pieces from photos with reference sheets in them.

    Parameters
    ----------
    files
        Photos of one table by one lens.
    distance
        Numbers of two sheets, and what a tape says from the cross of the one to that of the other, mm.
    paper
        What the sheets are printed on.
    corners
        Corners of one piece, in order, in pixels of the first photo as one looks at it: then this piece is proposed.
    on_overlay
        The corners are in pixels of the overlay instead.

    Raises
    ------
    BadInput
        If a photo cannot be read, there are too many, no sheet is seen, or no piece is.
    """
    if not 1 <= len(files) <= MOST_PHOTOS:
        raise BadInput([Problem("", "", f"{len(files)} photos", f"1 to {MOST_PHOTOS}", "Name the photos of one table.")])
    photos = [read_photo(file) for file in files]
    table = rectify(photos, distance=distance, paper=paper)
    places = _places(table, photos[0], corners, on_overlay)
    try:
        if places:
            found: tuple[FoundOutline, ...] = (
                outline_of(table.image, table.mm_per_pixel, corners=places, free=table.free),
            )  # fmt: skip
        else:
            found = outlines_of(table.image, table.mm_per_pixel, free=table.free)
    except BadInput as error:
        named = ", ".join(photo.name for photo in photos)
        raise BadInput([Problem(named, p.place, p.found, p.expected, p.remedy) for p in error.problems]) from None
    to_table = Affine.translation(table.origin.x, table.origin.y)
    proposals = [_proposal(k, one, table, to_table) for k, one in enumerate(found, 1)]
    findings = [*table.findings, *(_told(f, p.name) for p, one in zip(proposals, found, strict=True) for f in one.findings)]
    marks = tuple(tuple(to_table(c) for c in one.corners) for one in found)
    return PhotoImport(Proposals(tuple(proposals), tuple(findings)), table, marks)


def _places(table: Rectified, first: Photo, corners: Sequence[tuple[float, float]], on_overlay: bool) -> tuple[Point, ...]:
    """Tapped corners as places from the middle of the picture's first pixel, mm, y up."""
    if not corners:
        return ()
    pixels = np.array(corners, dtype=np.float64)
    if not np.isfinite(pixels).all() or np.abs(pixels).max() > 1e5:
        raise BadInput([Problem("", "corners", "no pixels", "places in the first photo", "Give x,y of each corner.")])
    if on_overlay:
        return tuple(Point(float(x) * table.mm_per_pixel, -float(y) * table.mm_per_pixel) for x, y in pixels)
    if table.planes[0].size != first.size:
        raise BadInput(
            [Problem(first.name, "corners", "a first photo that is turned", "corners on the overlay", "Tap them there.")]
        )
    return tuple(point - table.origin for point in table.from_photo(0, first.as_seen(pixels)))


def _proposal(number: int, found: FoundOutline, table: Rectified, to_table: Affine) -> Proposal:
    lines = lines_in(table.image, table.mm_per_pixel, found.path)
    accuracy = float(np.hypot(table.accuracy_mm, found.accuracy_mm))
    return Proposal(
        f"piece {number}",
        found.path.transformed(to_table),
        lines=tuple(FoundLine(line.kind, line.path.transformed(to_table)) for line in lines),
        accuracy=round(accuracy, 2),
    )


def _told(finding: Finding, name: str) -> Finding:
    return Finding(finding.code, finding.severity, finding.message, (name,), finding.remedy, finding.blocks, finding.why)
