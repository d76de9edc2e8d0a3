"""What is known of a cloth, what is not, and how each thing is found out at the table."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from firsthand.fabric import _table as table
from firsthand.fabric._traits import must_stretch, refuse_nonsense
from firsthand.fabric.model import Fabric, Structure

__all__ = ["GROWS", "Trial", "trials"]

CLASSES = ((0.25, "stable"), (0.30, "moderate"), (0.75, "stretchy"), (math.inf, "as cloth for swimming and dancing"))
"""Up to a stretch, its name in the home trade, where edges are soft (quiltnparty.com; sewingforaliving.com)."""
GROWS = 0.05
"""More growth than this is poor for anything tight (common practice: mark 10 cm, hold a minute, rest a minute)."""

DIRECTORY = "thesewingdirectory.co.uk, What is stretch; treadleyardgoods 2023-09 (on a fold)"
POOR = "poor for tight wear: above 5 %"
SAFE = (
    "Clamp the strip, not your fingers; hang the weight low over a folded towel, so that it falls nowhere and on no foot; keep "
    "your face away from a stretched strip; no children or animals beneath."
)


@dataclass(frozen=True, slots=True)
class Trial:
    """One thing to know of a cloth.

    Parameters
    ----------
    id
        Stable id, as ``growth``.
    name
        What it is called.
    known
        What is known, in words; empty if nothing is.
    matters
        Whether anything of the cloth's use hangs on it.
    how
        How it is found out, line by line.
    write
        How it is typed into ``shelf/fabrics.toml``.
    care
        A caution; empty where none is needed.
    source
        Where the trial comes from.
    remark
        What the number means, in a few words.
    """

    id: str
    name: str
    known: str
    matters: bool
    how: tuple[str, ...]
    write: str
    source: str
    care: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class _Kind:
    id: str
    name: str
    known: Callable[[Fabric], str]
    remark: Callable[[Fabric], str]
    how: tuple[str, ...]
    write: str
    source: str
    care: str = ""
    stretchy: bool = True


def trials(fabric: Fabric) -> tuple[Trial, ...]:
    """What is known of a fabric, what is missing, and how to find it out.

    Parameters
    ----------
    fabric
        The fabric.

    Returns
    -------
    tuple of Trial
        In the order in which they are best done at the table. A stable cloth needs no growth and no pull.

    Raises
    ------
    GeometryError
        If the fabric's numbers have no sense.

    Examples
    --------
    >>> velour = Fabric("v", "Velour", 1500, structure=Structure.KNIT, stretch_across=0.6, growth=0.03)
    >>> [(one.id, one.known) for one in trials(velour) if one.matters][:4]
    [('stretch_across', '60 %'), ('stretch_along', ''), ('growth', '3 %'), ('pull', '')]
    """
    refuse_nonsense(fabric)
    stretches = must_stretch(fabric)
    return tuple(
        Trial(
            one.id, one.name, one.known(fabric), stretches or not one.stretchy, one.how, one.write, one.source, one.care,
            one.remark(fabric),
        )
        for one in _KINDS
    )  # fmt: skip


def _percent(share: float) -> str:
    return f"{share * 100:.3g} %"


def _stretch(share: float, fabric: Fabric) -> str:
    # Nobody enters a stretch of nothing for a woven cloth: it is taken as what it is.
    if share:
        return _percent(share)
    return "" if fabric.structure is Structure.KNIT else "taken as none: not entered"


def _class(fabric: Fabric) -> str:
    stretch = max(fabric.stretch_across, fabric.stretch_along)
    if not stretch:
        return ""
    return next(name for most, name in CLASSES if stretch < most)


def _other_way(fabric: Fabric) -> str:
    return "stretches most this way: turn the layout for tight wear" if fabric.stretch_along > fabric.stretch_across else ""


def _growth(fabric: Fabric) -> str:
    if fabric.growth is None:
        return ""
    return POOR if fabric.growth > GROWS else "recovers well: at most 5 %"


def _pull(fabric: Fabric) -> str:
    return f"{fabric.tension:.0f} N for each metre of width at {_percent(fabric.tension_at)}" if fabric.tension else ""


def _shrinks(fabric: Fabric) -> str:
    if not (fabric.shrink_along or fabric.shrink_across):
        return ""
    return f"{_percent(fabric.shrink_along)} lengthwise, {_percent(fabric.shrink_across)} crosswise"


def _nothing(fabric: Fabric) -> str:
    return ""


FOLD = (
    "Fold the cloth {way} a hand's breadth or more from any cut edge; a cut edge stretches too far.",
    "Hold the fold against a ruler and pin or mark 10 cm at rest.",
    "Pull with moderate force until it resists, not as far as it will go, and read where the mark comes.",
)

_KINDS = (
    _Kind(
        "stretch_across", "Stretch crosswise", lambda fabric: _stretch(fabric.stretch_across, fabric), _class,
        tuple(line.format(way="across, from selvedge to selvedge,") for line in FOLD),
        'stretch_across = "10 cm to 13 cm"', DIRECTORY, stretchy=False,
    ),
    _Kind(
        "stretch_along", "Stretch lengthwise", lambda fabric: _stretch(fabric.stretch_along, fabric), _other_way,
        tuple(line.format(way="lengthwise, along the selvedge,") for line in FOLD),
        'stretch_along = "10 cm to 11 cm"', DIRECTORY,
    ),
    _Kind(
        "growth", "Growth",
        lambda fabric: "" if fabric.growth is None else _percent(fabric.growth), _growth,
        (
            "Mark 10 cm on the same fold, crosswise.", "Stretch it as far as before and hold it so for one minute.",
            "Let go, let it lie for one minute, and measure between the marks again.",
        ),
        'growth = "10 cm after 10.3 cm"', table.COMMON,
    ),
    _Kind(
        "pull", "Pull", _pull, _nothing,
        (
            "Cut a strip 5 cm wide and 20 cm long, its length crosswise; mark 10 cm on it at rest.",
            "Clamp one end, hang a known weight from the whole width of the other: a bag with half a litre of water is 500 g.",
            "Wait ten seconds, measure between the marks; take so much weight that it goes as far as the garment will.",
        ),
        'pull = { width = "5 cm", weight = 500, rest = "10 cm", pulled = "12 cm" }', table.COMMON, SAFE,
    ),
    _Kind(
        "thickness", "Thickness", lambda fabric: f"{fabric.thickness:g} mm" if fabric.thickness else "", _nothing,
        ("Lay four layers between two rulers, press as a hand would, measure the stack, write a quarter of it.",),
        'thickness = "1.1 mm"', table.COMMON, stretchy=False,
    ),
    _Kind(
        "shrinkage", "Shrinkage", _shrinks, _nothing,
        (
            "Mark a square of 20 cm, wash and dry the piece as the garment will be, measure both ways again.",
            "The share is what is lost divided by what was there.",
        ),
        'shrink_along = "3 %"', "kembrel (20 to 17 is 15 %)", stretchy=False,
    ),
    _Kind(
        "weight", "Weight", lambda fabric: f"{fabric.weight:g} g/m2" if fabric.weight else "", _nothing,
        ("Weigh a square of 20 cm on a kitchen scale and multiply by 25.",),
        "weight = 260", table.COMMON, stretchy=False,
    ),
)  # fmt: skip
