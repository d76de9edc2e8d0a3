"""Choosing a size by the finished garment, and a dress form beside its wearer."""

from firsthand.fit.sizing._choosing import choose_size
from firsthand.fit.sizing._form import compare_form
from firsthand.fit.sizing.form import FormFit, FormRow, FormVerdict
from firsthand.fit.sizing.model import AfterBlend, ChartPlace, InSize, LevelSizes, SizeChoice

__all__ = [
    "AfterBlend", "ChartPlace", "FormFit", "FormRow", "FormVerdict", "InSize", "LevelSizes", "SizeChoice", "choose_size",
    "compare_form",
]  # fmt: skip
