"""The table as if from straight above, true to size, from all its photos."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from firsthand.errors import BadInput, Problem
from firsthand.findings import Finding, Severity, kind
from firsthand.geometry import Point
from firsthand.importers.photo._board import SHEETS, reference_sheet
from firsthand.importers.photo._camera import Fit, View, fit_table, on_table
from firsthand.importers.photo._detect import Floats, Image, sheets_seen
from firsthand.importers.photo._light import even_light
from firsthand.importers.photo._plane import Plane, spread_of
from firsthand.importers.photo._read import Photo
from firsthand.units import said

__all__ = ["GOOD", "Rectified", "rectify"]

NOT_FLAT = kind(
    "photo-not-flat",
    Severity.DOUBT,
    "The corners on the reference sheets are not where one flat table would show them: a sheet bows or has moved between two "
    "photos. Tape the sheets down all round, and take another photo from another side.",
)
UNSURE = kind(
    "photo-unsure",
    Severity.DOUBT,
    "The photos do not fix the shape of the table well enough: places may be off by more than 1.5 mm. More sheets round the "
    "piece or another photo, tilted by a third of a right angle, mend that.",
)
UNMEASURED = kind(
    "photo-unmeasured",
    Severity.DOUBT,
    "Nobody measured from one reference sheet to another, so the scale is as the printer printed, which may be some percent "
    "off. Measure with a tape from cross to cross of two sheets far from each other.",
)
PRINTED = kind(
    "photo-printed-scale",
    Severity.NOTE,
    "The reference sheets were not printed at their true size; the measured distance sets it right.",
)
SHORT = kind(
    "photo-short-distance",
    Severity.DOUBT,
    "The distance measured with the tape is short beside the piece, so that a slip of a millimetre grows with the piece.",
)
BLIND = kind(
    "photo-without-sheets",
    Severity.DOUBT,
    "A photo shows no reference sheet that can be read, so nothing is known of where it was taken from; it was left out.",
)
LAY = "Lay sheets printed by firsthand board round the piece, wholly in the picture, sharp and in even light."

GOOD = 1.5
"""What may be off by more, mm, wants another photo."""
FLAT, FLAT_WIDTH, STEADY = 0.6, 4000, 0.2
"""Pixels of a photo so many wide: sheets that lie flat leave less (0.04 is usual, 0.75 was met at 1 mm of bow); less than the
last is not spoken of in any photo."""
TAPE = 0.5
"""Standard deviation of a length by tape, mm: it is read to about a millimetre (common practice)."""
PRINTER = 0.004
"""A printer's scale is off by so much of every length (from memory)."""
ODD = 0.2
"""A measured distance that differs by more, as a share, is a slip."""
AROUND = 130.0
"""The piece may reach so far beyond the sheets, mm."""
LARGEST = 14_000_000
"""Pixels of the table from above."""
FINEST, COARSEST = 0.15, 1.5
WIDEST = 6000.0
"""No table is longer, mm."""
STEP = 16
"""Where a pixel is seen is worked out at every sixteenth and taken between them."""
LIKELY = 2.0
"""From a standard deviation to what 19 of 20 places keep to."""
GROUPS = 0.35
"""Corners of one sheet bow together: so much of what their scatter would make of them counts as chance of its own."""


@dataclass(frozen=True, slots=True, eq=False)
class Rectified:
    """The table from above.

    Parameters
    ----------
    image
        Colour, 8 bits, blue first.
    mm_per_pixel
        True millimetres.
    origin
        The place of its first pixel's middle: x to the right, y up, mm.
    accuracy_mm
        How far a place may be off for the lens, the photos and the tape (19 of 20 are nearer).
    findings
        What was noticed.
    free
        Where a piece may be: seen, and no reference sheet.
    residual
        Of each photo, pixels.
    fit, planes
        What was found, and the table as each photo sees it.
    """

    image: Image
    mm_per_pixel: float
    origin: Point
    accuracy_mm: float
    findings: tuple[Finding, ...]
    free: NDArray[np.bool_]
    residual: tuple[float, ...]
    fit: Fit
    planes: tuple[Plane, ...]

    def from_photo(self, number: int, pixels: Floats) -> tuple[Point, ...]:
        """Places of a photo as places on the table, mm, y up."""
        return tuple(Point(float(x), -float(y)) for x, y in self.planes[number].to_table(pixels))


def rectify(photos: Sequence[Photo], *, distance: tuple[int, int, float] | None = None, paper: str = "A4") -> Rectified:
    """The table from above, from photos with reference sheets in them.

    Parameters
    ----------
    photos
        Of one table, by one lens; nothing on the table moved between them.
    distance
        Numbers of two sheets, and what a tape says from the cross of the one to that of the other, mm.
    paper
        What the sheets are printed on.

    Raises
    ------
    BadInput
        If no sheet is seen, the photos do not hang together or differ in size, one sheet is all there is for one or two
        photos, or the distance has no sense.
    """
    photos = _one_size(photos)
    photos, views, blind = _views(photos, paper)
    _enough(photos, views)
    try:
        fit = fit_table(views)
    except ValueError as error:
        remedy = "Take photos that show a sheet of the one and of the other together."
        raise _bad(", ".join(p.name for p in photos), str(error), "photos that share reference sheets", remedy) from None
    scale, findings = _scale(fit, distance, paper)
    findings += blind
    planes = tuple(Plane(fit.lens, camera, photo.size, scale) for camera, photo in zip(fit.cameras, photos, strict=True))
    pages = [on_table(np.array(reference_sheet(n, paper).page), place) * scale for n, place in fit.sheets.items()]
    return _seen_from_above(photos, fit, planes, pages, scale, distance, findings)


def _bad(file: str, found: str, expected: str, remedy: str) -> BadInput:
    return BadInput([Problem(file, "", found, expected, remedy)])


def _one_size(photos: Sequence[Photo]) -> list[Photo]:
    """Photos that were turned upright are turned back to the others."""
    if not photos:
        raise _bad("", "no photo", "one photo or more", "Name the files.")
    wide, high = photos[0].size
    out = []
    for photo in photos:
        if photo.size == (high, wide) and wide != high:
            turned = 6 if photo.turned == 1 else photo.turned
            photo = Photo(
                np.ascontiguousarray(np.rot90(photo.image)), photo.focal, photo.name, turned, photo.reduced,
            )  # fmt: skip
        if photo.size != (wide, high):
            found = f"{photo.size[0]} x {photo.size[1]} pixels, {wide} x {high} in {photos[0].name or 'the first'}"
            remedy = "Take all photos with one lens, without zoom, and do not cut them."
            raise _bad(photo.name, found, "photos of one size", remedy)
        out.append(photo)
    return out


def _views(photos: Sequence[Photo], paper: str) -> tuple[list[Photo], list[View], list[Finding]]:
    """What the photos show; those without a sheet are left out, if others have some."""
    read = [(photo, sheets_seen(photo.image, paper)) for photo in photos]
    use = [(photo, seen) for photo, seen in read if seen]
    if not use:
        names = ", ".join(photo.name for photo in photos)
        raise _bad(names, "no reference sheet", "at least one that can be read", LAY)
    blind = [
        BLIND(f"{photo.name or 'A photo'} shows no reference sheet and was left out.", remedy=LAY)
        for photo, seen in read
        if not seen
    ]
    return [photo for photo, _ in use], [View(*photo.size, seen, photo.focal) for photo, seen in use], blind


def _enough(photos: Sequence[Photo], views: Sequence[View]) -> None:
    sheets = {one.sheet.number for view in views for one in view.seen}
    if len(sheets) == 1 and len(views) < 3:
        remedy = "Lay two sheets at opposite ends of the piece, or four round it."
        found = f"sheet {sheets.pop()} alone"
        raise _bad(", ".join(p.name for p in photos), found, "two sheets or more: one cannot tell the lens", remedy)


def _cross(fit: Fit, number: int, paper: str) -> Floats:
    at = np.array([reference_sheet(number, paper).cross])
    return np.asarray(on_table(at, fit.sheets[number])[0], dtype=np.float64)


def _scale(fit: Fit, distance: tuple[int, int, float] | None, paper: str) -> tuple[float, list[Finding]]:
    """True millimetres for each of the fit, by the tape."""
    if distance is None:
        return 1.0, [
            UNMEASURED(
                "The scale is the printer's: no distance was measured.",
                remedy="Measure from cross to cross of two sheets far apart.",
            )
        ]
    one, two, true = distance
    known = ", ".join(map(str, sorted(fit.sheets)))
    if one == two or one not in fit.sheets or two not in fit.sheets:
        raise _bad("", f"a distance from sheet {one} to {two}", f"two of the sheets seen: {known}", "Measure between these.")
    if not (math.isfinite(true) and 50 <= true <= WIDEST):
        raise _bad("", f"a distance of {true} mm", f"50 to {WIDEST:.0f} mm", "Measure from cross to cross.")
    found = float(np.hypot(*(_cross(fit, one, paper) - _cross(fit, two, paper))))
    scale = true / found
    if abs(scale - 1) > ODD:
        wanted = f"about {found:.0f} mm by the photo"
        remedy = "Measure again from cross to cross, and check the unit, the paper and the numbers of the sheets."
        raise _bad("", f"{true:.0f} mm from cross {one} to cross {two}", wanted, remedy)
    if abs(scale - 1) * found <= 4 * TAPE:
        return scale, []
    message = f"The sheets were printed at {100 * scale:.1f} %; the tape sets it right."
    why = [f"cross {one} to cross {two}: {true:.1f} mm by the tape, {found:.1f} mm by the sheets"]
    doubt = Severity.DOUBT if abs(scale - 1) > 0.08 else None
    other = next(
        (name for name in SHEETS if abs(_square(name) / _square(paper) - scale) < 0.01 and _square(name) != _square(paper)), ""
    )
    remedy = f"If they are for {other} paper, say so." if other else "Measure once more if you did not shrink them."
    return scale, [PRINTED(message, why=why, severity=doubt, remedy=remedy)]


def _square(paper: str) -> float:
    return reference_sheet(1, paper).square


def _seen_from_above(
    photos: Sequence[Photo],
    fit: Fit,
    planes: Sequence[Plane],
    pages: Sequence[Floats],
    scale: float,
    distance: tuple[int, int, float] | None,
    findings: list[Finding],
) -> Rectified:
    hull = shapely.MultiPoint(np.vstack(pages)).convex_hull
    left, top, right, bottom = hull.buffer(AROUND).bounds
    if max(right - left, bottom - top) > WIDEST:
        raise _bad(
            "", f"a table {right - left:.0f} x {bottom - top:.0f} mm", "one table", "Check that all sheets lie flat on it."
        )
    grid = _grid(left, top, right, bottom, 40)
    chosen = _chosen(planes, grid, shapely.contains_xy(hull, grid))
    seen = np.stack([planes[k].to_photo(grid)[1] for k in chosen])
    prints = np.stack([planes[k].footprint(grid) for k in chosen])
    prints[~seen] = np.inf
    nearest = prints.argmin(axis=0)
    there = seen.any(axis=0)
    if not there.any():
        raise _bad("", "nothing between the sheets", "a table with sheets on it", "Take the photo again.")
    left, top = np.maximum((left, top), grid[there].min(axis=0) - 40)
    right, bottom = np.minimum((right, bottom), grid[there].max(axis=0) + 40)
    pixel = float(np.clip(np.median(prints.min(axis=0)[there]), FINEST, COARSEST))
    pixel = max(pixel, math.sqrt((right - left) * (bottom - top) / LARGEST))
    size = (math.ceil((right - left) / pixel), math.ceil((bottom - top) / pixel))
    image, covered = _composed(
        even_light([photos[k].image for k in chosen], [planes[k] for k in chosen], grid),
        [planes[k] for k in chosen],
        (left, top),
        pixel,
        size,
    )
    free = covered & ~_filled(pages, (left, top), pixel, size)
    inside = there & shapely.contains_xy(hull.buffer(10.0), grid)
    accuracy = _accuracy(fit, grid[inside], np.array(chosen)[nearest[inside]], scale, distance, pixel)
    findings = [*findings, *_noticed(photos, fit, accuracy, distance, hull.length / 2)]
    return Rectified(
        image, pixel, Point(float(left), -float(top)), accuracy, tuple(findings), free, fit.each, fit, tuple(planes),
    )  # fmt: skip


def _grid(left: float, top: float, right: float, bottom: float, count: int) -> Floats:
    xs, ys = np.meshgrid(np.linspace(left, right, count), np.linspace(top, bottom, count))
    return np.column_stack([xs.ravel(), ys.ravel()])


def _chosen(planes: Sequence[Plane], grid: Floats, within: NDArray[np.bool_]) -> list[int]:
    """The one photo that shows all between the sheets, the finest first; all photos if none does."""
    inner = grid[within]
    shares = [float(plane.to_photo(inner)[1].mean()) for plane in planes]
    most = max(shares)
    whole = [k for k, share in enumerate(shares) if share > 0.97 and share > most - 0.01]
    if not whole:
        return list(range(len(planes)))
    return [min(whole, key=lambda k: float(np.percentile(planes[k].footprint(inner), 90)))]


def _composed(
    images: Iterable[Image], planes: Sequence[Plane], corner: tuple[float, float], pixel: float, size: tuple[int, int]
) -> tuple[Image, NDArray[np.bool_]]:
    """The table from above; where several photos show it, that which shows it finest."""
    made = np.zeros((size[1], size[0], 3), dtype=np.uint8)
    best = np.full((size[1], size[0]), np.inf, dtype=np.float32)
    for image, plane in zip(images, planes, strict=True):
        shown, finest = _one(image, plane, corner, pixel, size)
        better = finest < best
        if len(planes) == 1:
            made = shown
        else:
            made[better] = shown[better]
        best = np.minimum(best, finest)
    return made, np.isfinite(best)


def _one(
    image: Image, plane: Plane, corner: tuple[float, float], pixel: float, size: tuple[int, int]
) -> tuple[Image, NDArray[np.float32]]:
    """The table from one photo, and how fine; infinite where it does not show it."""
    import cv2

    wide, high = size
    pad = 2
    xs = np.arange(-pad, -(-wide // STEP) + pad) * STEP + (STEP - 1) / 2
    ys = np.arange(-pad, -(-high // STEP) + pad) * STEP + (STEP - 1) / 2
    gx, gy = np.meshgrid(xs * pixel + corner[0], ys * pixel + corner[1])
    grid = np.column_stack([gx.ravel(), gy.ravel()])
    at, there = plane.to_photo(grid)
    at = np.where(there[:, None], at, np.clip(at, -1e4, 1e5))
    fine = np.where(there, plane.footprint(grid), np.inf).astype(np.float32).reshape(len(ys), len(xs))

    def spread(values: NDArray[np.float32], way: int) -> NDArray[np.float32]:
        large = cv2.resize(values, (len(xs) * STEP, len(ys) * STEP), interpolation=way)
        return np.ascontiguousarray(large[pad * STEP : pad * STEP + high, pad * STEP : pad * STEP + wide])

    both = at.astype(np.float32).reshape(len(ys), len(xs), 2)
    map_x, map_y = spread(both[..., 0], cv2.INTER_LINEAR), spread(both[..., 1], cv2.INTER_LINEAR)
    shown = cv2.remap(image, map_x, map_y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    finest = spread(fine, cv2.INTER_NEAREST)
    finest[(map_x < 0) | (map_y < 0) | (map_x > image.shape[1] - 1) | (map_y > image.shape[0] - 1)] = np.inf
    return np.asarray(shown, dtype=np.uint8), finest


def _filled(pages: Sequence[Floats], corner: tuple[float, float], pixel: float, size: tuple[int, int]) -> NDArray[np.bool_]:
    import cv2

    mask = np.zeros((size[1], size[0]), dtype=np.uint8)
    for page in pages:
        wider = np.asarray(shapely.Polygon(page).buffer(2.0, join_style="mitre").exterior.coords)
        cv2.fillPoly(mask, [np.round((wider - corner) / pixel).astype(np.int32)], 1)
    return mask.astype(bool)


def _accuracy(
    fit: Fit, points: Floats, photos: NDArray[np.intp], scale: float, distance: tuple[int, int, float] | None, pixel: float
) -> float:
    if not len(points):
        return math.inf
    spread = spread_of(fit, points / scale, photos) * scale
    bowed = max(1.0, GROUPS * fit.residual / 0.15 * math.sqrt(40.0)) if fit.residual > 0.15 else 1.0
    reach = float(np.sqrt(np.mean(np.sum((points - points.mean(axis=0)) ** 2, axis=1))))
    of_scale = PRINTER * reach if distance is None else TAPE / distance[2] * reach
    root = float(np.sqrt(np.mean(spread**2)))
    return LIKELY * math.sqrt((bowed * root) ** 2 + of_scale**2 + (0.3 * pixel) ** 2)


def _noticed(
    photos: Sequence[Photo], fit: Fit, accuracy: float, distance: tuple[int, int, float] | None, around: float
) -> list[Finding]:
    found = []
    why = [
        f"{photo.name or f'photo {k}'}: residual {each:.2f} px"
        for k, (photo, each) in enumerate(zip(photos, fit.each, strict=True), 1)
    ]
    if max(fit.each) > max(STEADY, FLAT * max(photos[0].size) / FLAT_WIDTH):
        message = f"The sheets do not lie flat: corners are {max(fit.each):.1f} pixels from where a flat table shows them."
        found.append(NOT_FLAT(message, remedy="Tape or weigh the sheets down all round and take another photo.", why=why))
    if accuracy > GOOD:
        message = f"Places on the table may be {said(accuracy)} off."
        remedy = "Take another photo, tilted by a third of a right angle from another side"
        remedy += "." if len(fit.sheets) >= 4 else ", or lay more sheets round the piece."
        found.append(UNSURE(message, remedy=remedy, why=why))
    if distance is not None and distance[2] < around / 4:
        message = f"{said(distance[2])} is a short distance to set the scale by."
        found.append(SHORT(message, remedy="Measure between the two sheets that lie furthest apart."))
    return found
