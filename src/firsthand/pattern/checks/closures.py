"""Checks of closures."""

from __future__ import annotations

import math
from collections.abc import Iterator

from firsthand.findings import Block, Finding, Severity, kind
from firsthand.pattern.checks._registry import CHECKS
from firsthand.pattern.model import ClosureKind, Garment, Pattern

__all__: list[str] = []

COUNTED = {
    ClosureKind.BUTTONS: "buttons", ClosureKind.HOOKS: "hooks", ClosureKind.SNAPS: "snaps",
    ClosureKind.LACING: "pairs of eyelets", ClosureKind.CLASP: "clasps",
}  # fmt: skip
"""Closures that are made of so and so many."""

CORDS = frozenset({ClosureKind.DRAWSTRING, ClosureKind.LACING, ClosureKind.ELASTIC})

COUNT = kind(
    "closure-count",
    Severity.DOUBT,
    "A closure made of buttons, hooks, snaps, eyelets or clasps does not say how many, so that none are bought and no step "
    "sews them on.",
)
NECK = kind(
    "neck-closure",
    Severity.DOUBT,
    "A closure round the neck does not come apart when it is pulled: if the garment catches on something it can strangle. Use "
    "snaps, hook-and-loop or a clasp that gives way; children's garments should have no cord at the neck at all. Sources: CPSC "
    "guidance on drawstrings (ASTM F1816); common practice.",
)
OPENING = kind(
    "opening-closure",
    Severity.DOUBT,
    "An opening names a closure that is not there, or a closure's overlap is no length.",
)


@CHECKS.register("closures")
def closures(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Closures without a count, round the neck, or that are named and not there."""
    known = {closure.id for closure in garment.closures}
    for opening in garment.openings:
        if opening.closure and opening.closure not in known:
            yield OPENING(f"the opening {opening.id!r} names the closure {opening.closure!r}, which is not there",
                          where=(garment.id, opening.id), remedy="Name a closure, or none.",
                          blocks=[Block("sew", garment.id)])  # fmt: skip
    for closure in garment.closures:
        where = (garment.id, closure.id)
        if not math.isfinite(closure.overlap):
            yield OPENING(f"{closure.id}: its overlap is no length", where=where, remedy="Write a length, or 0.")
        if closure.kind in COUNTED and closure.count < 1:
            yield COUNT(f"{closure.id}: how many {COUNTED[closure.kind]}?", where=where, remedy="Write the count.",
                        blocks=[Block("buy", garment.id)])  # fmt: skip
        if closure.at_neck and not closure.parts_under_pull:
            cord = " No cord at the neck of a child's garment." if closure.kind in CORDS else ""
            yield NECK(
                f"{closure.id} closes round the neck and does not come apart when pulled: it can strangle",
                where=where,
                remedy=f"Use snaps, hook-and-loop or a clasp that gives way, and try it with a pull.{cord}",
            )
