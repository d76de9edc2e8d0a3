"""What is noticed while a size is chosen."""

from __future__ import annotations

from firsthand.findings import Severity, kind

__all__ = [
    "APART", "BLEND_OFF", "BLEND_REFUSED", "CHART_DIFFERS", "CHART_ONLY", "MEASURE", "NO_BASIS", "OFF_PAPER", "OUTSIDE",
    "UNEVEN",
]  # fmt: skip

NO_BASIS = kind(
    "size-no-basis",
    Severity.DOUBT,
    "A size cannot be chosen: the pattern has neither a size chart nor outlines with levels. Copy the chart from the envelope, "
    "or take in the outline of a piece and say where its levels lie.",
)
MEASURE = kind(
    "size-measurement",
    Severity.DOUBT,
    "A measurement that would decide the size, or decide it better, was not taken. The answer names it. Take it, and ask "
    "again.",
)
CHART_ONLY = kind(
    "size-by-chart-only",
    Severity.NOTE,
    "The size was chosen from the printed chart alone, because the pieces are only cards, or no level is known where it is "
    "decided. A chart says for which body a size is meant, not how much ease it has: measure the finished girth across the "
    "pieces before cutting.",
)
OFF_PAPER = kind(
    "size-off-paper",
    Severity.DOUBT,
    "The size that would fit is not on the paper any more. It can be made again from the sizes that are left (the kind grade), "
    "or be reached from the nearest one by taking in or letting out.",
)
OUTSIDE = kind(
    "size-outside",
    Severity.DOUBT,
    "The body lies above or below all sizes of the pattern where the size is decided. The nearest size is named, and how far "
    "it is from fitting. One or two sizes beyond can be graded, with a toile; for more take another pattern.",
)
CHART_DIFFERS = kind(
    "size-chart-differs",
    Severity.DOUBT,
    "The printed chart names one size, and the finished girths another: the size of the chart has more or less ease than is "
    "wanted. Makers differ in the ease they put in. Go by the finished girths, or mean the garment to sit otherwise.",
)
UNEVEN = kind(
    "size-uneven",
    Severity.DOUBT,
    "A chart or the finished girths of a level do not grow from size to size, so that they cannot tell the sizes apart. They "
    "were left out. Look at the chart, or at the outline of the size that is named.",
)
APART = kind(
    "size-far-apart",
    Severity.DOUBT,
    "Three or more sizes lie between two levels of a blend: lines change their character over so short a way. Sew a toile, or "
    "choose a pattern in two parts.",
)
BLEND_REFUSED = kind(
    "size-blend-refused",
    Severity.DOUBT,
    "Sizes should be blended, and the pieces do not let them. The reason is named. Take the size recommended and alter it at "
    "the levels instead.",
)
BLEND_OFF = kind(
    "size-blend-off",
    Severity.DOUBT,
    "The garment that the blend makes was measured again, and a level still has more or less ease than is wanted. What is left "
    "is altered by hand.",
)
