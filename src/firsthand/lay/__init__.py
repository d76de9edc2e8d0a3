"""Laying parts on fabric."""

from firsthand.lay._fabric import Progress, lay_fabric
from firsthand.lay._items import lay_items
from firsthand.lay._pieces import lay_pieces
from firsthand.lay._verify import verify
from firsthand.lay.model import FabricLays, Lay, LayItem, Placement, Way

__all__ = ["FabricLays", "Lay", "LayItem", "Placement", "Progress", "Way", "lay_fabric", "lay_items", "lay_pieces", "verify"]
