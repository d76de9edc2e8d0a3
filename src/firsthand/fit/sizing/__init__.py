"""Choosing a size by the finished garment, and a dress form beside its wearer."""

from firsthand.fit.sizing._choosing import choose_size
from firsthand.fit.sizing.model import AfterBlend, ChartPlace, InSize, LevelSizes, SizeChoice

__all__ = ["AfterBlend", "ChartPlace", "InSize", "LevelSizes", "SizeChoice", "choose_size"]
