"""What to buy."""

from firsthand.buy.model import BuyLine, BuyList

__all__ = ["BuyLine", "BuyList"]
