"""Alterations: each a small pure function of its numbers and a garment, and the stack that applies them in order."""

from firsthand.alter import lengthen, scale, stretch, take_in  # noqa: F401  (alterations enter the registry)
from firsthand.alter._seams import Stage, seams_off
from firsthand.alter._stack import StackResult, apply_stack
from firsthand.alter.lengthen import Lengthen
from firsthand.alter.model import ALTERATIONS, Alteration, Altered, Entry, Record, Stretch
from firsthand.alter.scale import Scale
from firsthand.alter.stretch import CutForStretch
from firsthand.alter.take_in import TakeIn

__all__ = [
    "ALTERATIONS", "Alteration", "Altered", "CutForStretch", "Entry", "Lengthen", "Record", "Scale", "StackResult", "Stage",
    "Stretch", "TakeIn", "apply_stack", "seams_off",
]  # fmt: skip
