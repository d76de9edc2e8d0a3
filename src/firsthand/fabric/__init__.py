"""Fabrics, and the rules that follow from what they are made of."""

from firsthand.fabric._advice import advice, before_shrinking
from firsthand.fabric._checks import check_fabrics
from firsthand.fabric._traits import SHARES, THICKEST, believable_thickness
from firsthand.fabric.model import Advice, Fabric, Nap, Rule, ShelfItem, Structure

__all__ = [
    "SHARES", "THICKEST", "Advice", "Fabric", "Nap", "Rule", "ShelfItem", "Structure", "advice", "before_shrinking",
    "believable_thickness", "check_fabrics",
]  # fmt: skip
