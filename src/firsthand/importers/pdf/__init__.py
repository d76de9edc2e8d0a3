"""PDF patterns: pages joined, sizes told apart, pieces proposed."""

from firsthand.importers.pdf._import import import_pdf
from firsthand.importers.pdf._pictures import PagePicture, pages_as_pictures

__all__ = ["PagePicture", "import_pdf", "pages_as_pictures"]
