"""What decides the size of a garment: one table, and the high bust rule."""

from __future__ import annotations

from collections.abc import Iterable

from firsthand.body import Body
from firsthand.fit._bands import family_of

__all__ = ["ALIKE", "A_SIZE", "CUP", "FAR_APART", "FREE", "FURTHEST", "SNUG", "bust_frame", "deciding", "reason_of"]

INCH = 25.4

CUP = 2 * INCH
"""Patterns are cut for a full bust so much larger than the high bust: a B cup (Sage and Lilac, 'Choosing your pattern size':
high bust 34 in is the size whose full bust is 36 in)."""
FREE = 500.0
"""A band of ease wider than this, mm, has only a lower end that matters: it hangs free."""
ALIKE = 1.0
"""Girths nearer than this, mm, are alike: nobody sews closer."""
FURTHEST = 2.0
"""Common practice: a pattern is graded one or two sizes beyond its own, no more."""
A_SIZE = 40.0
"""From one size to the next, mm of girth, in the middle of a range (EN 13402-3)."""
FAR_APART = 3.0
"""From so many sizes between two neighbouring levels on, a blend changes the style of the pattern (common practice)."""

BUST = ("upper_chest_girth", "bust_girth", "chest_girth")
UPPER = (*BUST, "back_width", "shoulder_length", "neck_girth", "neck_base_girth", "waist_girth", "hip_girth")
LOWER = ("hip_girth", "top_hip_girth", "thigh_girth", "waist_girth", "calf_girth")
FROM_WAIST = ("waist_girth", "top_hip_girth", "hip_girth")
ANY = (*BUST, "hip_girth", "waist_girth", "head_girth", "neck_girth", "neck_base_girth", "hand_girth", "foot_length")

SNUG = ("skin-tight", "close", "semi-fitted")

_UPPER_WHY = "shoulders, neck and armholes are the hardest to alter, and go with the chest"
_REASONS = {
    "bodice": _UPPER_WHY,
    "shirt": _UPPER_WHY,
    "jacket": _UPPER_WHY,
    "coat": _UPPER_WHY,
    "suit": _UPPER_WHY,
    "trousers": "seat and crotch are harder to alter than a waist",
    "hose": "seat and crotch are harder to alter than a waist",
    "head": "nothing else holds it",
}
"""Common practice."""


def deciding(sort: str, cut: str, others: Iterable[str]) -> tuple[str, ...]:
    """The measurements that decide the size of a garment, the first one that can be looked up before all others.

    Parameters
    ----------
    sort, cut
        As in :class:`firsthand.pattern.Garment`.
    others
        Further measurements that the pattern knows, which come last.

    Examples
    --------
    >>> deciding("trousers", "close", ())[0], deciding("skirt", "loose", ())[0], deciding("skirt", "close", ())[0]
    ('hip_girth', 'waist_girth', 'hip_girth')
    >>> deciding("mitten", "close", ["hand_girth", "wrist_girth"])[-1]
    'wrist_girth'
    """
    family = family_of(sort)
    order: tuple[str, ...]
    if family == "skirt":
        order = LOWER if cut in SNUG else FROM_WAIST
    elif family in ("trousers", "hose"):
        order = LOWER
    elif family == "head":
        order = ("head_girth",)
    else:
        order = UPPER if family else ANY
    return tuple(dict.fromkeys((*order, *others)))


def reason_of(sort: str, cut: str) -> str:
    """Why that measurement decides, in a few words; empty for a sort of garment nobody knows."""
    family = family_of(sort)
    if family == "skirt":
        return "hips are harder to alter than a waist" if cut in SNUG else "it hangs from the waist, and the hips have room"
    return _REASONS.get(family, "")


def bust_frame(body: Body, sort: str) -> float | None:
    """The full bust that a body's frame asks for, mm: its high bust and a B cup; None where the rule does not apply.

    The rule is for bodices, shirts, jackets and coats of women: whose bust is fuller than that takes the size of her frame, and
    the bust is altered, so that shoulders and neck fit. Not for children, nor where only a chest was taken.

    Examples
    --------
    >>> from firsthand.body import Measurement
    >>> inches = {"upper_chest_girth": 34, "bust_girth": 38}
    >>> wearer = Body("w", "W", {key: Measurement(key, value * 25.4) for key, value in inches.items()})
    >>> bust_frame(wearer, "dress") / 25.4
    36.0
    """
    high = body.get("upper_chest_girth")
    upper = family_of(sort) in ("bodice", "shirt", "jacket", "coat", "suit")
    if high is None or not upper or body.child or body.table == "male" or "bust_girth" not in body.measurements:
        return None
    return high + CUP
