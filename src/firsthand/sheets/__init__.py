"""Output: drawings on paper and screen. Decides how things look and computes nothing."""

from firsthand.sheets.model import SHEETS, Results, Scope, Settings, SheetFile, SheetMaker

__all__ = ["SHEETS", "Results", "Scope", "Settings", "SheetFile", "SheetMaker"]
