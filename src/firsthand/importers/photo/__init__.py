"""Photos of pieces beside reference sheets: where the lens was, where the sheets lie, the table as if from straight above."""

from firsthand.importers.photo._board import MOST_SHEETS, ReferenceSheet, reference_sheet
from firsthand.importers.photo._camera import Camera, Fit, Lens, View, fit_table, project
from firsthand.importers.photo._detect import Seen, sheets_seen

__all__ = [
    "MOST_SHEETS", "Camera", "Fit", "Lens", "ReferenceSheet", "Seen", "View", "fit_table", "project", "reference_sheet",
    "sheets_seen",
]  # fmt: skip
