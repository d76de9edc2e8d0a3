"""What is noticed about a fitting."""

from __future__ import annotations

from firsthand.findings import Severity, kind

__all__ = ["ABRUPT", "CONTRADICTORY", "INLAY_SHORT", "NOT_TAKEN", "TOO_LATE", "UNCUT"]

NOT_TAKEN = kind(
    "fitting-not-taken",
    Severity.FAULT,
    "What was noted at a fitting could not be taken in: it names a seam, edge, dart or place that is not there, lies beyond "
    "its end, is on a piece that is only a card, or is more than goes. It was left out; the rest of the fitting was taken in. "
    "Correct it in the fitting's file.",
)
CONTRADICTORY = kind(
    "fitting-contradictory",
    Severity.FAULT,
    "A fitting tells two different amounts for one place, or the same seam for both hands and for one of them. The line was "
    "left out. Take one of the two out, or say that uneven sides are kept by telling each hand by itself.",
)
INLAY_SHORT = kind(
    "fitting-inlay-short",
    Severity.FAULT,
    "A fitting lets a part that is cut out further than its inlay reaches. Let out as much as it holds and the rest elsewhere, "
    "use up part of the allowance, set a strip or gusset in, or cut the part again.",
)
TOO_LATE = kind(
    "fitting-too-late",
    Severity.FAULT,
    "A fitting lets out a seam whose allowances are trimmed or graded already: there is no cloth left to let out. Set a strip "
    "or gusset in, let another seam out, or cut the part again.",
)
UNCUT = kind(
    "fitting-before-cutting",
    Severity.NOTE,
    "Nothing of a garment is cut by what its file says, or was not yet on the day of the fitting: the fitting counts as one of "
    "a toile, and every part follows it. If it is cut, say so with `firsthand state`.",
)
ABRUPT = kind(
    "fitting-abrupt",
    Severity.DOUBT,
    "Between two places of a fitting the line changes by more than a quarter of the way between them, which shows as a bump "
    "when it is sewn (common practice: run in and out over at least four times the amount). Measure again, or run it out "
    "further.",
)
