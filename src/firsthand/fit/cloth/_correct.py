"""The alteration that brings a pattern to the girths that a cloth asks for: worked out, run, and measured again."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from firsthand.alter import CutForStretch, Neckline
from firsthand.body import Body
from firsthand.errors import FirsthandError
from firsthand.fabric import Fabric
from firsthand.fit._bands import NECK_KEYS
from firsthand.fit._entries import Suggested, suggested
from firsthand.fit.cloth._table import LENGTHWISE, MOST_LENGTHWISE, STRETCH_SEAM, TOLD
from firsthand.fit.model import ClothRow
from firsthand.pattern import UNDER_ROLES, Garment, Piece, girth, sewn_length
from firsthand.units import said

__all__ = ["NEAR", "Correction", "correction", "lengthwise", "neck_edges", "neck_length"]

NEAR = 0.5
"""A girth this near to what was promised, mm, is kept."""
ENOUGH = 0.02
ROUNDS = 8
DEEPEST = 40.0
"""A neckline is not lowered by more than this, mm, to keep it large enough."""


@dataclass(frozen=True, slots=True)
class Correction:
    """An alteration for a cloth, as it was tried.

    Parameters
    ----------
    alterations
        In order; empty if none could be found.
    reached
        The girths that came out, mm, by level.
    trouble
        Why there is none; empty if all is well.
    neck
        By how much the neckline is lowered, mm; 0 where it stays large enough by itself.
    after
        The garment as it came out.
    """

    alterations: tuple[Suggested, ...] = ()
    reached: Mapping[str, float] | None = None
    trouble: str = ""
    neck: float = 0.0
    after: Garment | None = None


def lengthwise(rows: Sequence[ClothRow], fabric: Fabric, cut: str) -> float:
    """The share by which the garment becomes shorter, negative for longer: little, and only where it clings.

    A quarter of what is taken out round the body, at most 3 %; nothing where the cloth hardly stretches lengthwise, unless it
    becomes longer.
    """
    shares = [row.reduction / (row.target + row.reduction) for row in rows if row.target and row.reduction]
    if cut != "skin-tight" or not shares:
        return 0.0
    mean = math.fsum(shares) / len(shares)
    if mean > 0 and fabric.stretch_along < STRETCH_SEAM:
        return 0.0
    return round(max(-MOST_LENGTHWISE, min(MOST_LENGTHWISE, LENGTHWISE * mean)), 4)


def correction(garment: Garment, body: Body, rows: Sequence[ClothRow], along: float) -> Correction:
    """The alteration of the kind ``stretch`` that brings each level to its target, checked by running it.

    Parameters
    ----------
    garment
        As far as the brief's alterations go.
    rows
        Its levels with their targets; those without one are held as they are.
    along
        The share by which it becomes shorter.
    """
    keys = {level.id: level.body for level in garment.levels}
    targets = {
        row.level: row.target for row in rows if row.target is not None and (row.reduction or keys[row.level] in NECK_KEYS)
    }
    wanted = [row for row in rows if row.target and abs(row.reduction) > TOLD * row.target]
    if not wanted:
        return Correction()
    try:
        shares, reached, after = _solved(garment, targets, along)
    except FirsthandError as error:
        return Correction(trouble=str(error))
    off = {name: reached[name] - target for name, target in targets.items() if abs(reached[name] - target) > NEAR}
    if off:
        return Correction(trouble="; ".join(f"{name} comes out {said(by)} off" for name, by in off.items()))
    alteration = CutForStretch(tuple(shares.items()), along, id="for the cloth")
    made = (suggested(alteration, "cut to what this cloth stretches"),)
    return _with_neck(garment, body, after, Correction(made, reached, after=after))


def _solved(garment: Garment, targets: Mapping[str, float], along: float) -> tuple[dict[str, float], dict[str, float], Garment]:
    """Shares by level, the girths they lead to, and the garment then: a level's girth answers nearly in proportion."""
    levels = {level.id: level for level in garment.levels if level.id in targets}
    factors = dict.fromkeys(levels, 1.0)
    after, reached = garment, {name: girth(garment, level).total or 0.0 for name, level in levels.items()}
    for _ in range(ROUNDS):
        for name, level in levels.items():
            cloth = reached[name] - level.extra
            if cloth > 0:
                factors[name] *= (targets[name] - level.extra) / cloth
        factors = {name: round(factor, 5) for name, factor in factors.items()}
        shares = {name: round(1 - factor, 5) for name, factor in factors.items()}
        after = CutForStretch(tuple(shares.items()), along).apply(garment).garment
        reached = {name: girth(after, level).total or 0.0 for name, level in levels.items()}
        if all(abs(reached[name] - target) <= ENOUGH for name, target in targets.items()):
            break
    return shares, reached, after


# the neck ---------------------------------------------------------------------------------------------------


def neck_edges(garment: Garment) -> list[tuple[str, str]]:
    """The edges that lie round the neck: pieces and edges that are called so, and those of a closure at the neck."""
    closed = {(ref.piece, ref.edge) for closure in garment.closures if closure.at_neck for ref in closure.edges}
    named = [
        (piece.id, edge.id)
        for piece in garment.pieces.values()
        if piece.shape is not None and _outer(garment, piece)
        for edge in piece.shape.edges
        if "neck" in edge.id.lower()
    ]
    return [name for name in named if name not in closed]


def _outer(garment: Garment, piece: Piece) -> int:
    """How many parts of a piece lie outermost."""
    return sum(part.role not in UNDER_ROLES for part in garment.parts_of(piece.id))


def neck_length(garment: Garment) -> float:
    """Length of all edges round the neck, mm, of all outer parts."""
    total = 0.0
    for name, edge in neck_edges(garment):
        piece = garment.piece(name)
        halves = 2 if piece.fold else 1
        total += halves * _outer(garment, piece) * sewn_length(piece.drawn_shape, edge)
    return total


def _with_neck(garment: Garment, body: Body, after: Garment, found: Correction) -> Correction:
    """The neckline as large as it was, or at least as the neck: lowered where it would become smaller."""
    edges = neck_edges(garment)
    before = neck_length(garment)
    known = body.get("neck_base_girth") or body.get("neck_girth")
    least = min(before, known + LOOSE) if known else before
    if not edges or neck_length(after) >= least - 0.05:
        return found
    names = [f"{piece}.{edge}" for piece, edge in edges if _is_body(garment, piece)]

    def lowered(depth: float) -> Neckline:
        return Neckline(tuple((name, depth) for name in names), id="neck as large as it was")

    try:
        low, high = 0.0, DEEPEST
        if neck_length(lowered(high).apply(after).garment) < least:
            return Correction(trouble="the neckline would become smaller than it is")
        while high - low > 0.1:
            middle = (low + high) / 2
            low, high = (middle, high) if neck_length(lowered(middle).apply(after).garment) < least else (low, middle)
        depth = math.ceil(high * 10) / 10
        once = lowered(depth).apply(after).garment
    except FirsthandError as error:
        return Correction(trouble=f"the neckline would become smaller than it is, and cannot be lowered: {error}")
    if neck_length(once) < least - 0.05:
        return Correction(trouble="the neckline would become smaller than it is")
    more = suggested(lowered(depth), "nothing becomes smaller round the neck")
    reached = {level.id: girth(once, level).total or 0.0 for level in garment.levels if level.id in (found.reached or {})}
    return Correction((*found.alterations, more), reached, found.trouble, depth, once)


LOOSE = 13.0
"""Least ease round the neck, mm (common practice)."""


def _is_body(garment: Garment, piece: str) -> bool:
    """Whether it is a piece that others are sewn to at the neck, not a collar: its neckline is what is lowered."""
    return "collar" not in piece.lower()
