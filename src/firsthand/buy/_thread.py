"""How much thread seams take.

Published ratios are centimetres of thread for each centimetre of seam, measured at 7 stitches to the centimetre; home
stitches are longer, so they err on the side of too much.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from firsthand.errors import GeometryError

__all__ = ["CONE", "RATIOS", "SPOOL", "STITCHES", "WASTE", "Ratio", "formula_ratio", "metric_ticket", "thread_for"]

COATS = "Coats, Standard Stitch Type Classification; apparelscience.com"
MAKER = "a thread maker's guide quoted on a secondary page, at 7 stitches/cm"
COMMON = "common practice"


@dataclass(frozen=True, slots=True)
class Ratio:
    """Thread for seam: ``total``, of which ``needle`` is the share of the needle threads; ``cones`` on an overlocker."""

    total: float
    needle: float
    source: str
    cones: int = 0


RATIOS: Mapping[str, Ratio] = {
    "301": Ratio(2.5, 0.50, COATS),
    "304": Ratio(5.5, 0.50, COATS),
    "504": Ratio(14.0, 0.20, f"{MAKER}; split from memory", cones=3),
    "514": Ratio(20.0, 0.25, f"{COMMON}: no maker's figure read, about 18 to 20", cones=4),
    "buttonhole": Ratio(10.2, 0.50, "straight-line zigzag 2 sqrt(1 + (w/p)^2) at 2 mm wide, 0.4 mm long"),
    "hand": Ratio(3.0, 1.0, COMMON),
}

STITCHES: Mapping[str, str] = {
    "straight": "301",
    "narrow zigzag": "304",
    "zigzag": "304",
    "3-thread overlock": "504",
    "4-thread overlock": "514",
    "buttonhole": "buttonhole",
    "hand": "hand",
    "hand fell": "hand",
}
"""The stitch type of each stitch that a step may ask for; hand basting is done with what is left over."""

WASTE = 0.15
"""Share added for ends, bobbins and trials. Sources: apparelscience.com (10-15 %), Amefird bulletin (15-20 %)."""

SPOOL, CONE = 100_000.0, 1_000_000.0
"""Thread on a small spool and on a small overlocker cone, mm (common practice)."""

FORMULAS: Mapping[str, tuple[float, float]] = {"101": (3.0, 2.0), "301": (2.0, 2.0), "401": (4.0, 2.0)}
"""``C = fixed + each x thickness x stitches``. Sources: textilecalculations.com; textileblog.com (101)."""


def formula_ratio(stitch: str, *, thickness: float, density: float) -> float:
    """Thread for each unit of seam from the cloth under the needle.

    Parameters
    ----------
    stitch
        ``101``, ``301`` or ``401``.
    thickness
        Of all layers together, mm.
    density
        Stitches for each millimetre of seam.

    Raises
    ------
    GeometryError
        If the stitch has no formula here, or a number has no sense.

    Examples
    --------
    Ten stitches to the inch in cloth of 0.025 inch. Source: textilecalculations.com.

    >>> formula_ratio("301", thickness=0.025 * 25.4, density=10 / 25.4)
    2.5
    """
    if stitch not in FORMULAS:
        raise GeometryError(f"there is no thread formula for stitch {stitch}; there is one for {', '.join(FORMULAS)}")
    if not (math.isfinite(thickness) and math.isfinite(density) and thickness >= 0 and density > 0):
        raise GeometryError(f"no seam is {thickness} mm thick with {density} stitches to the millimetre")
    fixed, each = FORMULAS[stitch]
    return fixed + each * thickness * density


def thread_for(length: float, ratio: float, *, waste: float = WASTE) -> float:
    """Thread for a seam with waste, mm.

    Raises
    ------
    GeometryError
        If a number is negative or not finite.

    Examples
    --------
    >>> round(thread_for(1000, 2.5), 6)
    2875.0
    """
    if not all(math.isfinite(value) and value >= 0 for value in (length, ratio, waste)):
        raise GeometryError(f"no thread for a seam of {length} mm at a ratio of {ratio} and {waste} waste")
    return length * ratio * (1.0 + waste)


def metric_ticket(tex: float) -> float:
    """Ticket number of a sewing thread: ``3000 / tex``. Source: onlineclothingstudy 2013-01.

    Raises
    ------
    GeometryError
        If the thread has no fineness.

    Examples
    --------
    >>> metric_ticket(40), metric_ticket(25)
    (75.0, 120.0)
    """
    if not (math.isfinite(tex) and tex > 0):
        raise GeometryError(f"no thread has a fineness of {tex} tex")
    return 3000.0 / tex
