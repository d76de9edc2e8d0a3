"""Checks, a file for each sort of thing that is looked at; importing a file registers its checks."""

from firsthand.pattern.checks import applied, closures, edges, holes, markings, outlines, pieces, seams
from firsthand.pattern.checks._registry import CHECKS, Check, check_garment

__all__ = [
    "CHECKS",
    "Check",
    "applied",
    "check_garment",
    "closures",
    "edges",
    "holes",
    "markings",
    "outlines",
    "pieces",
    "seams",
]
