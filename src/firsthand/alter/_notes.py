"""Findings of the alterations."""

from __future__ import annotations

from collections.abc import Mapping

from firsthand.alter.moving.reshape import Reshaped
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import Garment

__all__ = ["lost_notches"]

NOTCH_CUT_AWAY = kind(
    "notch-cut-away",
    Severity.DOUBT,
    "An alteration cut away the stretch of an edge on which a notch was. The notch is gone from the piece; its partner on "
    "the other edge of the seam may still be there. Mark a new one where the two edges meet, if the seam needs it.",
)


def lost_notches(garment: Garment, alteration: str, changed: Mapping[str, Reshaped]) -> tuple[Finding, ...]:
    """A finding for each notch that an alteration cut away."""
    return tuple(
        NOTCH_CUT_AWAY(
            f"{alteration} cuts away the notch {notch} of {piece}",
            where=(garment.id, piece, notch),
            remedy="Mark a new notch on both edges of the seam if it needs one.",
        )
        for piece, result in changed.items()
        for notch in result.lost
    )
