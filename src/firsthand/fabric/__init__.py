"""Fabrics, and the rules that follow from what they are made of."""

from firsthand.fabric.model import Fabric, Nap, ShelfItem, Structure

__all__ = ["Fabric", "Nap", "ShelfItem", "Structure"]
