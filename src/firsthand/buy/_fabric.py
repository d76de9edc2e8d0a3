"""How much of each fabric."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

from firsthand.buy.model import BuyLine
from firsthand.fabric import Fabric, advice, before_shrinking
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.lay.model import FabricLays
from firsthand.pattern import INTERFACINGS, Garment
from firsthand.units import said

__all__ = ["fabric_lines", "up_to_step"]

fabric_length_unknown = kind(
    "fabric-length-unknown", Severity.FAULT, "No lay of a fabric was found, so nobody knows how much of it is needed."
)
fabric_short = kind(
    "buy-fabric-short", Severity.DOUBT,
    "The length on the shelf does not suffice. A second length may differ in colour: compare before cutting the first.",
)  # fmt: skip
shrink_assumed = kind(
    "shrink-assumed", Severity.NOTE, "Nobody measured how far a fabric shrinks, so the table's cautious share is added."
)


def fabric_lines(
    garments: Mapping[str, Garment], fabrics: Mapping[str, Fabric], lays: Mapping[str, FabricLays]
) -> tuple[tuple[BuyLine, ...], tuple[Finding, ...]]:
    """A line for each fabric that a part is cut from, in the order in which they are met."""
    lines: list[BuyLine] = []
    findings: list[Finding] = []
    for name, users in _users(garments).items():
        fabric = fabrics.get(name)
        if fabric is not None:
            line = _line(fabric, users, lays.get(name))
            lines.append(line)
            laid = lays.get(name)
            told = laid is not None and any(finding.code == "fabric-short" for finding in laid.findings)
            findings += _notice(fabric, line, short_told=told)
    return tuple(lines), tuple(findings)


def up_to_step(length: float, step: float) -> float:
    """A length rounded up to what the shop cuts, mm.

    Examples
    --------
    >>> up_to_step(1234, 100), up_to_step(1200, 100), up_to_step(0, 100), up_to_step(1234, 0)
    (1300, 1200, 0, 1234)
    """
    return length if step <= 0 else math.ceil(round(length / step, 6)) * step


def _users(garments: Mapping[str, Garment]) -> dict[str, dict[str, set[str]]]:
    """For each fabric the garments that are cut from it, with their roles."""
    found: dict[str, dict[str, set[str]]] = {}
    for garment in garments.values():
        for part in garment.parts:
            name = garment.roles.get(part.role, "")
            if name:
                found.setdefault(name, {}).setdefault(garment.id, set()).add(part.role)
    return found


def _line(fabric: Fabric, users: Mapping[str, set[str]], laid: FabricLays | None) -> BuyLine:
    roles = set().union(*users.values())
    sort = "interfacing" if fabric.fusible or roles <= INTERFACINGS else "fabric"
    lay = laid.best if laid else None
    if lay is None:
        return BuyLine(
            sort,
            fabric.name,
            "length",
            0.0,
            fabric.on_hand,
            0.0,
            garments=tuple(users),
            known=False,
            why=("no lay was found, so the length is not known",),
        )
    told = advice(fabric)
    share = told.shrink_along if fabric.preshrunk else 0.0
    needed = before_shrinking(lay.length, share)
    missing = max(0.0, needed - fabric.on_hand)
    to_buy = up_to_step(missing, fabric.step) if missing > 1e-6 else 0.0
    return BuyLine(
        sort=sort,
        what=fabric.name,
        unit="length",
        needed=needed,
        on_hand=fabric.on_hand,
        to_buy=to_buy,
        cost=to_buy / 1000.0 * fabric.price,
        garments=tuple(users),
        priced=fabric.price > 0 or not to_buy,
        why=tuple(_why(fabric, lay.length, share, needed, to_buy, known=told.shrink_known)),
    )


def _why(fabric: Fabric, laid: float, share: float, needed: float, to_buy: float, *, known: bool) -> Iterator[str]:
    yield f"laid: {said(laid)} of {said(fabric.usable_width)} usable width"
    if share:
        source = "" if known else " (taken from the table)"
        yield f"shrinks {share:.1%}{source}: {said(laid)} / {1 - share:.3f} = {said(needed)}"
    if fabric.on_hand:
        yield f"on the shelf: {said(fabric.on_hand)}"
    if to_buy:
        yield f"up to the shop's step of {said(fabric.step)}: {said(to_buy)}"


def _notice(fabric: Fabric, line: BuyLine, *, short_told: bool) -> Iterable[Finding]:
    if not line.known:
        yield fabric_length_unknown(
            f"{fabric.name}: amount unknown, it could not be laid",
            where=(fabric.id,),
            remedy="Mend what keeps it from being laid, then ask again.",
            blocks=[Block("buy", fabric.id)],
            why=line.why,
        )
        return
    if line.on_hand and line.to_buy and not short_told:
        yield fabric_short(
            f"{fabric.name}: {said(line.needed)} needed, {said(line.on_hand)} on the shelf, "
            f"{said(line.needed - line.on_hand)} short",
            where=(fabric.id,),
            remedy=f"Buy {said(line.to_buy)} more and compare the colour, or lay it closer.",
            why=line.why,
        )
    told = advice(fabric)
    if fabric.preshrunk and not told.shrink_known and told.shrink_along and line.to_buy:
        yield shrink_assumed(
            f"{fabric.name}: shrinkage not measured, {told.shrink_along:.0%} added",
            where=(fabric.id,),
            remedy="Wash a measured square and write what it loses.",
            why=[f"{rule.says} ({rule.source})" for rule in told.rules if rule.topic == "shrinkage"],
        )
