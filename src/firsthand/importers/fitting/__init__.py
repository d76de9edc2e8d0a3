"""From many points along an outline to a fair curve with true corners: for photos, scans and pages without lines."""

from firsthand.importers.fitting._corners import Corner, corners_of
from firsthand.importers.fitting._outline import FittedOutline, fit_line, fit_outline

__all__ = ["Corner", "FittedOutline", "corners_of", "fit_line", "fit_outline"]
