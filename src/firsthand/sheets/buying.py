"""The list to take to the shop."""

from __future__ import annotations

from firsthand.buy.model import BuyLine, BuyList
from firsthand.geometry.drawing import Anchor
from firsthand.sheets._findings import list_findings
from firsthand.sheets._flow import TICK, Column, Flow, list_paper
from firsthand.sheets._words import cloth_length, day, length
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile

__all__ = ["amount", "buy_sheet", "by_sort", "money", "total"]

LONG = 1000.0
"""From here on something sold by length is measured like cloth, mm."""


def by_sort(buy: BuyList) -> dict[str, tuple[BuyLine, ...]]:
    """Lines by sort, in the order in which they come."""
    return {sort: tuple(line for line in buy.lines if line.sort == sort) for sort in dict.fromkeys(x.sort for x in buy.lines)}


def amount(value: float, line: BuyLine, results: Results) -> str:
    """An amount in the line's unit; nothing is a dash."""
    if value <= 0:
        return "–"
    if line.unit != "length":
        return f"{value:g}"
    long = line.sort in ("fabric", "interfacing") or value >= LONG
    return (cloth_length if long else length)(value, results.settings.units)


def money(value: float, results: Results) -> str:
    """A cost; a dash if it is not known."""
    currency = results.settings.currency
    return f"{currency}{' ' * currency.isalpha()}{value:.2f}" if value > 0 else "–"


def total(buy: BuyList, results: Results) -> str:
    """The sum of what has a price, and how much has none."""
    open_lines = sum(1 for line in buy.lines if line.to_buy > 0 and line.cost <= 0)
    rest = f", and {open_lines} without a price" if open_lines else ""
    return f"In all {money(buy.cost, results)}{rest}." if buy.cost > 0 else "No prices are known."


@SHEETS[Scope.COSTUME].register("buy-list")
def buy_sheet(results: Results) -> tuple[SheetFile, ...]:
    """Everything the costume needs, what is there, what to buy."""
    buy = results.buy
    if buy is None or not (buy.lines or buy.findings):
        return ()
    when = f". Needed by {day(results.due)}" if results.due else ""
    flow = Flow(list_paper(results), "What to buy", f"{results.costume}{when}.")
    end = Anchor.END
    columns = (Column("", 0.35), Column("What", 4.6), Column("Needed", 1.5, end), Column("On hand", 1.5, end),
               Column("To buy", 1.5, end), Column("Cost", 1.6, end), Column("For", 2.6))  # fmt: skip
    for sort, lines in by_sort(buy).items():
        flow.heading(sort[:1].upper() + sort[1:], follow=22)
        flow.table(columns, [_row(results, line) for line in lines])
    flow.gap(3)
    flow.paragraph(total(buy, results))
    if buy.findings:
        flow.heading("What was noticed", follow=20)
        list_findings(flow, buy.findings)
    return (flow.file("buy-list.pdf", "buy-list", results),)


def _row(results: Results, line: BuyLine) -> tuple[str, ...]:
    amounts = (amount(value, line, results) for value in (line.needed, line.on_hand, line.to_buy))
    names = (results.fits[key].garment.name or key if key in results.fits else key for key in line.garments)
    return (TICK if line.to_buy > 0 else "", line.what, *amounts, money(line.cost, results), ", ".join(names))
