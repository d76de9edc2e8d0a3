"""The buy list."""

from __future__ import annotations

from dataclasses import dataclass

from firsthand.findings import Finding

__all__ = ["BuyLine", "BuyList"]


@dataclass(frozen=True, slots=True)
class BuyLine:
    """One thing the costume needs.

    Parameters
    ----------
    sort
        ``fabric``, ``thread``, ``haberdashery``, ``interfacing``, ``needles``.
    needed, on_hand, to_buy
        Amounts; mm where ``unit`` is ``length``, else a count.
    cost
        Of what is to buy, in the workroom's currency; 0 if no price is known.
    why
        The working, line by line.
    known
        Whether the amount is known; if not, the amounts are 0 and mean nothing.
    priced
        Whether the cost is known.
    """

    sort: str
    what: str
    unit: str
    needed: float
    on_hand: float
    to_buy: float
    cost: float = 0.0
    garments: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    known: bool = True
    priced: bool = True


@dataclass(frozen=True, slots=True)
class BuyList:
    """Everything the costume needs, and what was noticed."""

    lines: tuple[BuyLine, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def cost(self) -> float:
        """Of everything with a known price."""
        return sum(line.cost for line in self.lines)
