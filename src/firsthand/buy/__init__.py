"""What to buy."""

from firsthand.buy._haberdashery import buttonhole_length
from firsthand.buy._list import buy_list, check_budget
from firsthand.buy._thread import formula_ratio, metric_ticket, thread_for
from firsthand.buy.model import BuyLine, BuyList

__all__ = [
    "BuyLine",
    "BuyList",
    "buttonhole_length",
    "buy_list",
    "check_budget",
    "formula_ratio",
    "metric_ticket",
    "thread_for",
]
