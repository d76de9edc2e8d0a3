"""Laying parts on fabric."""

from firsthand.lay._pieces import lay_pieces
from firsthand.lay._verify import verify
from firsthand.lay.model import FabricLays, Lay, LayItem, Placement, Way

__all__ = ["FabricLays", "Lay", "LayItem", "Placement", "Way", "lay_pieces", "verify"]
