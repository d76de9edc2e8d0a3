"""Output: drawings on paper and screen. Decides how things look and computes nothing."""

from firsthand.sheets import pieces as _pieces  # noqa: F401  (importing a sheet's module enters it in the registry)
from firsthand.sheets._make import make_sheets
from firsthand.sheets.model import SHEETS, Results, Scope, Settings, SheetFile, SheetMaker

__all__ = ["SHEETS", "Results", "Scope", "Settings", "SheetFile", "SheetMaker", "make_sheets"]
