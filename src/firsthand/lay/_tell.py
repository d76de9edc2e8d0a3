"""What is told of lays: whether the fabric is enough, and which part does not fit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from firsthand.fabric import Fabric, Nap
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.lay._shapes import Polygon, outward, turned
from firsthand.lay._verify import usable
from firsthand.lay.model import Lay, LayItem, Way
from firsthand.units import said

__all__ = ["as_bought", "enough", "fold_too_narrow", "too_wide", "unsound"]

PIECE_WIDER = kind(
    "piece-wider-than-fabric",
    Severity.FAULT,
    "A part is wider than the fabric between its selvedges, as it must lie. It is left out of the lay until that is mended.",
)
FOLD_TOO_NARROW = kind(
    "fold-too-narrow",
    Severity.NOTE,
    "A part is wider than half the fabric, so the fabric cannot be laid double for it; only the open lay is offered.",
)
FOLD_NOT_LAID = kind(
    "fold-not-laid",
    Severity.NOTE,
    "A piece that lies on open fabric cannot lie on double fabric, as a rule because something is wrong with its fold edge: "
    "only the open lay is offered, since one without that piece would look shorter than it is.",
)
LAY_UNSOUND = kind(
    "lay-unsound",
    Severity.FAULT,
    "A lay that was found did not stand up to an independent check of overlaps, edges, turns and counts, and was dropped.",
)
FABRIC_SHORT = kind(
    "fabric-short",
    Severity.DOUBT,
    "The best lay found is longer than the fabric on hand. That no shorter one was found does not prove that there is none, "
    "unless the lower bound is longer too.",
)
FABRIC_ENOUGH = kind("fabric-enough", Severity.NOTE, "The parts fit on the fabric on hand, with so much to spare.")
LAY_LENGTH = kind("lay-length", Severity.NOTE, "How much fabric the best lay found takes, and how well it is used.")

SLIGHT = math.radians(3.0)
"""Turning a part off the grain by up to this is worth a thought (from memory; woven cloth shows more)."""
_WAYS = {Way.OPEN: "open", Way.FOLDED: "folded lengthwise"}


def too_wide(item: LayItem, fabric: Fabric) -> Finding:
    """A part that does not fit the width, and the smallest change that helps."""
    width = usable(fabric, Way.OPEN)
    polygon = outward(item.outline)
    need = min(_height(polygon, turn, item.mirrored) for turn in item.turns)
    return PIECE_WIDER(
        f"{item.label} is {said(need)} wide and {fabric.name} only {said(width)} between the selvedges.",
        where=(fabric.id, item.id),
        remedy=_smallest_change(item, fabric, polygon, need, width),
        blocks=[Block("cut", fabric.id), Block("lay", fabric.id)],
        why=[f"{said(fabric.width)} as bought, usable {said(width)}; {said(need - width)} is missing."],
    )


def _height(polygon: Polygon, turn: float, mirrored: bool) -> float:
    y = turned(polygon, turn, mirrored=mirrored)[:, 1]
    return float(y.max() - y.min())


def _smallest_change(item: LayItem, fabric: Fabric, polygon: Polygon, need: float, width: float) -> str:
    first = item.turns[0]
    half_degrees = [sign * math.radians(k / 2) for k in range(1, 181) for sign in (1, -1)]
    fits = [step for step in half_degrees if _height(polygon, first + step, item.mirrored) <= width]
    wider = f"take a fabric of {said(math.ceil(need))} usable width"
    if fits and abs(fits[0]) <= SLIGHT:
        return f"Lay it {math.degrees(abs(fits[0])):.1f}° off the grain, or {wider}."
    seam = f"put a seam in it, or {wider}"
    if any(abs(abs(step) - math.pi / 2) < 1e-9 for step in fits):
        nap = " (the nap then runs across)" if fabric.nap is Nap.ONE_WAY else ""
        return f"Cut it crosswise{nap}, {seam}."
    return f"{seam[0].upper()}{seam[1:]}."


def fold_too_narrow(item: LayItem, fabric: Fabric) -> Finding:
    """A part that does not fit on double cloth."""
    half = said(usable(fabric, Way.FOLDED))
    return FOLD_TOO_NARROW(
        f"{item.label} is wider than the {half} of {fabric.name} folded lengthwise: lay it open.", where=(fabric.id, item.id)
    )


def fold_not_laid(item: LayItem, fabric: Fabric) -> Finding:
    """A part that lies on open cloth and cannot be laid on double cloth."""
    message = f"{item.label} cannot be laid on {fabric.name} folded lengthwise: only the open lay is offered."
    return FOLD_NOT_LAID(message, where=(fabric.id, item.id), remedy="Look at its fold edge.")


def unsound(fabric: Fabric, way: Way) -> Finding:
    """A lay that failed its check."""
    return LAY_UNSOUND(
        f"No sound lay of {fabric.name}, {_WAYS[way]}, was found.",
        where=(fabric.id, way.value),
        remedy="Give it more time or another seed.",
    )


def enough(fabric: Fabric, lays: Sequence[Lay]) -> Iterator[Finding]:
    """How much is needed, and whether the fabric on hand is enough; ``lays`` with the best first."""
    if not lays:
        return
    best = lays[0]
    need, bound = as_bought(fabric, best.length), as_bought(fabric, best.bound)
    yield LAY_LENGTH(
        f"{fabric.name}: {said(need)} needed, laid {_WAYS[best.way]}; {best.density:.0%} of it is parts.",
        where=(fabric.id,),
        why=[*_working(fabric, lays)],
    )
    if not fabric.on_hand:
        return
    spare = fabric.on_hand - need
    have = f"{said(fabric.on_hand)} of {fabric.name} on hand, {said(need)} needed"
    if spare >= 0:
        yield FABRIC_ENOUGH(f"{have}: enough, {said(spare)} to spare.", where=(fabric.id,))
        return
    proof = "No lay can be short enough." if bound > fabric.on_hand else "A shorter lay may exist, but was not found."
    yield FABRIC_SHORT(
        f"{have}: {said(-spare)} short.",
        where=(fabric.id,),
        remedy="Buy more, let the program look longer, or cut something from another fabric.",
        blocks=[Block("cut", fabric.id)],
        why=[proof, *_working(fabric, lays)],
    )


def as_bought(fabric: Fabric, length: float) -> float:
    """How much new cloth gives a length on the table, mm: what washing takes comes on top.

    Examples
    --------
    >>> linen = Fabric("linen", "Linen", 1400, shrink_along=0.05)
    >>> as_bought(linen, 1900.0)
    2000.0
    """
    return length / (1 - fabric.shrink_along) if fabric.preshrunk else length


def _working(fabric: Fabric, lays: Sequence[Lay]) -> Iterator[str]:
    for lay in lays:
        yield (
            f"{_WAYS[lay.way]}: {said(lay.length)} long, {lay.density:.0%} parts; no lay this way can be shorter "
            f"than {said(lay.bound)}; looked for {lay.seconds:g} s from seed {lay.seed}"
        )
    if fabric.preshrunk and fabric.shrink_along:
        yield f"{fabric.shrink_along:.1%} more is needed because it is washed before it is cut"
