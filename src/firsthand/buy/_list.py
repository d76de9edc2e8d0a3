"""The buy list, and whether it fits the budget."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from firsthand.buy._fabric import fabric_lines
from firsthand.buy._haberdashery import check_counts, haberdashery_lines
from firsthand.buy._shelf import Shelf
from firsthand.buy._threads import needle_lines, thread_lines
from firsthand.buy.model import BuyList
from firsthand.errors import GeometryError
from firsthand.fabric.model import Fabric, ShelfItem
from firsthand.findings import Finding, Severity, kind
from firsthand.lay.model import FabricLays
from firsthand.pattern import Garment
from firsthand.steps.model import Step

__all__ = ["buy_list", "check_budget"]

over_budget = kind("over-budget", Severity.DOUBT, "What is to be bought costs more than the budget.")
prices_unknown = kind(
    "prices-unknown", Severity.NOTE, "Some of what is to be bought has no price, so it will cost more than the sum shown."
)


def buy_list(
    garments: Mapping[str, Garment],
    fabrics: Mapping[str, Fabric],
    lays: Mapping[str, FabricLays],
    steps: Iterable[Step],
    shelf: Iterable[ShelfItem],
    *,
    currency: str = "",
) -> BuyList:
    """Everything a costume needs, what of it is on the shelf and what is to be bought.

    Parameters
    ----------
    garments, fabrics
        By id.
    lays
        The lays of each fabric, by its id; a fabric without one gets a line with its amount unknown.
    steps
        The steps, whose seams take thread and whose set-ups take needles.
    shelf
        Haberdashery on hand. Fabrics carry their own length on hand.
    currency
        For findings.

    Raises
    ------
    GeometryError
        If a fabric's or the shelf's numbers have no sense.

    Examples
    --------
    >>> from firsthand.steps import Place, SetUp
    >>> seam = Step("s", "cape", "seams", "Sew", Place.MACHINE, 60, setup=SetUp("straight", 2.5, thread="red"), length=40_000)
    >>> [(line.what, line.to_buy) for line in buy_list({}, {}, {}, [seam], []).lines]
    [('thread, red, spool of 100 m', 2)]
    """
    todo, on_hand = tuple(steps), Shelf(shelf)
    fabric, findings = fabric_lines(garments, fabrics, lays)
    lines = (
        *fabric,
        *thread_lines(todo, on_hand),
        *haberdashery_lines(garments, on_hand),
        *needle_lines(todo, on_hand),
    )
    unpriced = [line.what for line in lines if line.to_buy and not line.priced]
    noticed = [*findings, *check_counts(garments.values())]
    if unpriced:
        known = sum(line.cost for line in lines)
        noticed.append(
            prices_unknown(
                f"{len(unpriced)} things to buy have no price; the others cost {_money(known, currency)}",
                remedy="Write prices on the shelf's files.",
                why=unpriced,
            )
        )
    return BuyList(lines, tuple(noticed))


def check_budget(bought: BuyList, budget: float, *, currency: str = "") -> tuple[Finding, ...]:
    """Whether what is to be bought fits the budget; a budget of 0 means none is set.

    Raises
    ------
    GeometryError
        If the budget is negative or not finite.
    """
    if not (math.isfinite(budget) and budget >= 0):
        raise GeometryError(f"a budget must be zero or more, not {budget}")
    if not budget or bought.cost <= budget:
        return ()
    dear = sorted((line for line in bought.lines if line.cost), key=lambda line: -line.cost)
    return (
        over_budget(
            f"{_money(bought.cost, currency)} to buy, {_money(bought.cost - budget, currency)} over the budget",
            remedy=f"Look at {dear[0].what} first: it is the dearest." if dear else "",
            why=[f"{line.what}: {_money(line.cost, currency)}" for line in dear],
        ),
    )


def _money(amount: float, currency: str) -> str:
    return f"{currency} {amount:.2f}".strip()
