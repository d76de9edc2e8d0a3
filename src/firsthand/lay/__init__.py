"""Laying parts on fabric.

The functions are loaded when first asked for: the solvers' libraries take longer to load than everything else together, and
most commands lay nothing anew.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from firsthand.lay.model import FabricLays, Lay, LayItem, Placement, Way

if TYPE_CHECKING:
    from firsthand.lay._fabric import Progress, lay_fabric
    from firsthand.lay._items import lay_items
    from firsthand.lay._pieces import lay_pieces
    from firsthand.lay._tell import as_bought
    from firsthand.lay._verify import verify

__all__ = [
    "FabricLays", "Lay", "LayItem", "Placement", "Progress", "Way", "as_bought", "lay_fabric", "lay_items", "lay_pieces",
    "verify",
]  # fmt: skip

_WHERE = {
    "Progress": "_fabric", "as_bought": "_tell", "lay_fabric": "_fabric", "lay_items": "_items", "lay_pieces": "_pieces",
    "verify": "_verify",
}  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _WHERE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"firsthand.lay.{_WHERE[name]}"), name)
