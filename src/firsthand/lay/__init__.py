"""Laying parts on fabric."""

from firsthand.lay.model import FabricLays, Lay, LayItem, Placement, Way

__all__ = ["FabricLays", "Lay", "LayItem", "Placement", "Way"]
