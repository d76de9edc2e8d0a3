"""Photos of pieces beside reference sheets: where the lens was, where the sheets lie, the table as if from straight above."""

from firsthand.importers.photo._board import FIELD_TOP, MOST_SHEETS, ReferenceSheet, reference_sheet
from firsthand.importers.photo._camera import Camera, Fit, Lens, View, fit_table, project
from firsthand.importers.photo._detect import Seen, sheets_seen
from firsthand.importers.photo._import import PhotoImport, import_photos
from firsthand.importers.photo._lines import lines_in
from firsthand.importers.photo._outline import FoundOutline, outline_of, outlines_of
from firsthand.importers.photo._read import Photo, read_photo
from firsthand.importers.photo._rectify import Rectified, rectify

__all__ = [
    "FIELD_TOP", "MOST_SHEETS", "Camera", "Fit", "FoundOutline", "Lens", "Photo", "PhotoImport", "Rectified", "ReferenceSheet",
    "Seen", "View", "fit_table", "import_photos", "lines_in", "outline_of", "outlines_of", "project", "read_photo", "rectify",
    "reference_sheet", "sheets_seen",
]  # fmt: skip
