"""Taking a real fitting back into the pattern: from a few pins to a new stitching line, and what that means for each part."""

from firsthand.fit._entries import FittedEntry
from firsthand.fit._fitted import (
    ChalkLine,
    ChalkSide,
    Consequence,
    EaseChange,
    Fitted,
    Fitting,
    FittingPoint,
    LengthChange,
    Outcome,
    PointSort,
    Spot,
)
from firsthand.fit.fitting._consequences import grouped
from firsthand.fit.fitting._entry import parse_entry
from firsthand.fit.fitting._fitting import alterations_of, ease_changes, fitted
from firsthand.fit.fitting._said import said_point
from firsthand.fit.fitting._states import known_parts, unknown_states, with_states

__all__ = [
    "ChalkLine", "ChalkSide", "Consequence", "EaseChange", "Fitted", "FittedEntry", "Fitting", "FittingPoint", "LengthChange",
    "Outcome", "PointSort", "Spot", "alterations_of", "ease_changes", "fitted", "grouped", "known_parts", "parse_entry",
    "said_point", "unknown_states", "with_states",
]  # fmt: skip
