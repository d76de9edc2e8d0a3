"""What to do with a fabric: one function for each thing to decide, each answering with its rule."""

from __future__ import annotations

from firsthand.errors import GeometryError
from firsthand.fabric import _table as table
from firsthand.fabric._traits import band, has, is_pile, must_stretch, one_way, refuse_nonsense
from firsthand.fabric.model import Advice, Fabric, Rule, Structure
from firsthand.units import said

__all__ = ["advice", "before_shrinking"]


def advice(fabric: Fabric, *, overlocker: bool = True) -> Advice:
    """Needle, stitch, finish, heat, pins and preshrinking for a fabric.

    Parameters
    ----------
    fabric
        The fabric.
    overlocker
        Whether there is an overlocker to neaten with.

    Raises
    ------
    GeometryError
        If the fabric's numbers have no sense.

    Examples
    --------
    >>> linen = Fabric("linen", "Shirt linen", 1400, sort="linen", fibre="linen", weight=190)
    >>> told = advice(linen)
    >>> told.needle, told.seam_stitch, told.stitch_length, told.heat
    ('universal 80/12', 'straight', 2.5, 'three dots, 200 °C at most')
    >>> velour = Fabric("velour", "Velour", 1500, structure=Structure.KNIT, fibre="polyester/elastane", stretch_across=0.5)
    >>> advice(velour).seam_stitch, advice(velour).heat_limit
    ('narrow zigzag', 110.0)
    """
    refuse_nonsense(fabric)
    stretches = must_stretch(fabric)
    needle, heat, finish, shrink = _needle(fabric), _heat(fabric), _finish(fabric), _shrink(fabric)
    pressing, pins, foot, washing = _pressing(fabric), _pins(fabric), _foot(fabric), _washing(fabric)
    known = bool(fabric.shrink_along or fabric.shrink_across)
    neaten = finish.stitch if overlocker else finish.without
    return Advice(
        needle=needle.says,
        seam_stitch="narrow zigzag" if stretches else "straight",
        stitch_length=needle.length,
        stretches=stretches,
        neaten=neaten,
        finish=finish.words,
        heat=heat.words,
        heat_limit=heat.limit,
        pressing=pressing.says,
        pins=pins.says,
        foot=foot.says,
        preshrink=washing.words,
        drying=washing.drying,
        shrink_along=fabric.shrink_along if known else shrink.along,
        shrink_across=fabric.shrink_across if known else shrink.across,
        shrink_known=known,
        nap=one_way(fabric),
        rules=(
            Rule("needle", f"{band(fabric).name} cloth: {needle.says}, {needle.length} mm", needle.source),
            _stretch_rule(fabric, stretches),
            Rule("heat", heat.words, heat.source),
            Rule("finish", finish.words, finish.source),
            Rule("pressing", pressing.says, pressing.source),
            Rule("pins", pins.says, pins.source),
            Rule("foot", foot.says, foot.source),
            Rule("preshrinking", washing.words, washing.source),
            _shrink_rule(shrink, known),
        ),
    )


def before_shrinking(length: float, share: float) -> float:
    """The length to buy so that a length is left after shrinking: ``length / (1 - share)``, mm.

    Raises
    ------
    GeometryError
        If the length is negative or the share is not from 0 to below 1, or either is not finite.

    Examples
    --------
    >>> round(before_shrinking(170, 0.15), 9)
    200.0
    """
    if not 0 <= share < 1 or not 0 <= length < float("inf"):
        raise GeometryError(f"no length shrinks by a share of {share} to {said(length)}")
    return length / (1.0 - share)


def _needle(fabric: Fabric) -> table.Words:
    if fabric.structure is Structure.LEATHER or has(fabric, ("leather", "suede")):
        return table.LEATHER_NEEDLE
    weight = band(fabric).name
    if fabric.structure is not Structure.KNIT:
        return table.WOVEN_NEEDLES[weight]
    thin = weight in ("light", "medium") and max(fabric.stretch_across, fabric.stretch_along) >= table.STRETCH_SEAM
    return table.KNIT_NEEDLES["stretch" if thin else weight]


def _heat(fabric: Fabric) -> table.Heat:
    return next((row for row in table.HEATS if has(fabric, row.fibres)), table.HEAT_UNKNOWN)


def _finish(fabric: Fabric) -> table.Finish:
    if fabric.structure in (Structure.NONWOVEN, Structure.LEATHER) or has(fabric, table.SAFE_SORTS):
        return table.FINISHES["safe"]
    if fabric.structure is Structure.KNIT:
        return table.FINISHES["knit"]
    if is_pile(fabric):
        return table.FINISHES["pile"]
    return table.FINISHES["sheer" if has(fabric, table.SHEER_SORTS) else "woven"]


def _pressing(fabric: Fabric) -> table.Words:
    heat = _heat(fabric)
    if not heat.limit:
        return table.PRESSING["none"]
    if is_pile(fabric):
        return table.PRESSING["pile"]
    if has(fabric, ("wool", "cashmere", "mohair", "alpaca")):
        return table.PRESSING["wool"]
    if has(fabric, ("silk",)):
        return table.PRESSING["silk"]
    return table.PRESSING["synthetic" if heat.limit <= 110 or has(fabric, ("polyester",)) else "plain"]


def _pins(fabric: Fabric) -> table.Words:
    if fabric.structure is Structure.LEATHER or has(fabric, table.STICKY_SORTS):
        return table.PINS["holes"]
    if is_pile(fabric):
        return table.PINS["pile"]
    return table.PINS["slippery" if has(fabric, table.SLIPPERY_SORTS) else "plain"]


def _foot(fabric: Fabric) -> table.Words:
    if has(fabric, table.STICKY_SORTS):
        return table.FOOT["sticky"]
    if is_pile(fabric):
        return table.FOOT["pile"]
    return table.FOOT["thick" if band(fabric).name == "very heavy" else "plain"]


def _washing(fabric: Fabric) -> table.Preparation:
    if not fabric.preshrunk or fabric.structure is Structure.LEATHER or not _heat(fabric).limit:
        return table.PREPARATIONS["none"]
    if fabric.fusible:
        return table.PREPARATIONS["fusible"]
    for name in ("wool", "silk"):
        if has(fabric, (name,)):
            return table.PREPARATIONS[name]
    return table.PREPARATIONS["knit" if fabric.structure is Structure.KNIT else "wash"]


def _shrink(fabric: Fabric) -> table.Shrink:
    rest = table.KNIT_SHRINK if fabric.structure is Structure.KNIT else table.WOVEN_SHRINK
    row = next((row for row in table.SHRINKS if has(fabric, row.words)), rest)
    if fabric.structure is Structure.KNIT and row.words and 0 < row.along < rest.along:
        return rest
    return row


def _stretch_rule(fabric: Fabric, stretches: bool) -> Rule:
    if not stretches:
        return Rule("stitch", "a straight stitch holds: the cloth hardly stretches", table.COMMON)
    why = "nobody measured this knit's stretch" if not fabric.stretch_across else f"it stretches {fabric.stretch_across:.0%}"
    return Rule("stitch", f"{why}: a straight seam would break, sew a narrow zigzag or overlock it", table.COMMON)


def _shrink_rule(row: table.Shrink, known: bool) -> Rule:
    if known:
        return Rule("shrinkage", "as measured for this fabric", "the fabric's own figures")
    return Rule("shrinkage", f"taken as {row.along:.0%} lengthwise, {row.across:.0%} crosswise, until measured", row.source)
