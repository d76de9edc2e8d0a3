"""Fabrics, and the rules that follow from what they are made of."""

from firsthand.fabric._advice import advice, before_shrinking
from firsthand.fabric._checks import check_fabrics
from firsthand.fabric._table import STRETCH_SEAM
from firsthand.fabric._traits import SHARES, THICKEST, believable_thickness, must_stretch
from firsthand.fabric._trials import GROWS, Trial, trials
from firsthand.fabric._typed import GRAVITY, parse_growth, parse_stretch, pull_tension
from firsthand.fabric.model import Advice, Fabric, Nap, Rule, ShelfItem, Structure

__all__ = [
    "GRAVITY", "GROWS", "SHARES", "STRETCH_SEAM", "THICKEST", "Advice", "Fabric", "Nap", "Rule", "ShelfItem", "Structure",
    "Trial", "advice", "before_shrinking", "believable_thickness", "check_fabrics", "must_stretch", "parse_growth",
    "parse_stretch", "pull_tension", "trials",
]  # fmt: skip
