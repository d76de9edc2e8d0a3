"""Which seams, openings and closures of both hands a file may say once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

from firsthand.pattern import EdgeRef, Hand, Seam, stem
from firsthand.workroom._refs import handed

__all__ = ["handless", "is_pair", "seam_pairs"]


def handless(refs: Iterable[EdgeRef]) -> tuple[EdgeRef, ...]:
    """References without their hands."""
    return handed(tuple(refs), Hand.CENTRE)


def seam_pairs(seams: Sequence[Seam]) -> dict[str, str]:
    """The seams that the file may say once for both hands: how, by their common id."""
    ids = {seam.id for seam in seams}
    named = {name for seam in seams for name in seam.after}
    found: dict[str, tuple[str, Seam, Seam]] = {}
    for right, left in pairwise(seams):
        base, hands = stem(right.id), _pair_hands(right, left)
        if hands is not None and base not in ids | named:
            found[base] = hands, right, left
    # What a seam comes after must be sayable for both hands, too; taking one pair out may leave another unsayable.
    while unsayable := [b for b, (_, right, left) in found.items() if not _sayable(right.after, left.after, found)]:
        for base in unsayable:
            del found[base]
    return {base: hands for base, (hands, _, _) in found.items()}


def _sayable(right: Sequence[str], left: Sequence[str], pairs: Mapping[str, Any]) -> bool:
    if len(right) != len(left):
        return False
    for one, other in zip(right, left, strict=True):
        base = stem(one)
        handed_alike = base in pairs and one == f"{base} right" and other == f"{base} left"
        if not handed_alike and (one != other or base in pairs):
            return False
    return True


def _pair_hands(right: Seam, left: Seam) -> str | None:
    """How the file may say two seams that follow each other as one; None if it may not."""
    base = right.id.removesuffix(" right")
    if base == right.id or left.id != f"{base} left":
        return None
    if _common(right) != _common(left):
        return None
    for hands, flip in (("each", False), ("across", True)):
        for seam, hand in ((right, Hand.RIGHT), (left, Hand.LEFT)):
            if seam.a != handed(seam.a, hand) or seam.b != handed(seam.b, hand.other if flip else hand):
                break
        else:
            return hands
    return None


def _common(seam: Seam) -> Seam:
    return replace(seam, id="", a=handless(seam.a), b=handless(seam.b), after=())


def is_pair(right: Any, left: Any) -> bool:
    """Whether two openings or closures are the same for the right and the left hand."""
    base = right.id.removesuffix(" right")
    return (
        base != right.id
        and bool(right.edges)
        and left.id == f"{base} left"
        and right.edges == handed(right.edges, Hand.RIGHT)
        and left == replace(right, id=left.id, edges=handed(right.edges, Hand.LEFT))
    )
