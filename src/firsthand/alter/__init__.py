"""Alterations: each a small pure function of its numbers and a garment, and the stack that applies them in order."""

from firsthand.alter.model import ALTERATIONS, Alteration, Altered, Record, Stretch

__all__ = ["ALTERATIONS", "Alteration", "Altered", "Record", "Stretch"]
