"""Output: drawings on paper and screen. Decides how things look and computes nothing."""

from firsthand.sheets import (  # noqa: F401  (sheets enter the registry, in this order)
    alteration_cards,
    alteration_strips,
    before_after,
    buying,
    chalk_strips,
    faults,
    fit_sheet,
    fitting_sheet,
    lays,
    lists,
    measurement_form,
    noticed,
    pieces,
    plan_cards,
    sizes,
)  # fmt: skip
from firsthand.sheets._dxf_file import pieces_dxf
from firsthand.sheets._make import make_sheets
from firsthand.sheets.index import index_page
from firsthand.sheets.measurement_form import Form, form_sheet
from firsthand.sheets.model import SHEETS, Results, Scope, Settings, SheetFile, SheetMaker

__all__ = [
    "SHEETS", "Form", "Results", "Scope", "Settings", "SheetFile", "SheetMaker", "form_sheet", "index_page", "make_sheets",
    "pieces_dxf",
]  # fmt: skip
