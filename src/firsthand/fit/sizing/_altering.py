"""What would be altered at each level in the size chosen, and what would fit there exactly."""

from __future__ import annotations

from dataclasses import replace

from firsthand.body import MEASUREMENTS, Body, Sort, taken
from firsthand.fit._ease import lower_first
from firsthand.fit.sizing._blending import grows
from firsthand.fit.sizing._finished import aim, off_band, size_between
from firsthand.fit.sizing._rules import FREE
from firsthand.fit.sizing.model import ChartPlace, LevelSizes
from firsthand.units import said

__all__ = ["by_chart", "by_finished", "called", "exactly"]

HALF_INCH = 12.7
"""A bust less than this fuller than the frame's goes into the ease (common practice)."""
OF_A_LENGTH = 10.0
"""Lengths of the chart nearer than this, mm, are let be (common practice: a hem or a tuck takes it)."""


def called(key: str) -> str:
    """A measurement in a sentence.

    Examples
    --------
    >>> called("hip_girth"), called("upper_chest_girth"), called("back_waist_length")
    ('hip', 'high bust', 'back waist length')
    """
    names = {"upper_chest_girth": "high bust", "bust_girth": "full bust"}
    return names.get(key, key.removesuffix("_girth").replace("_", " "))


def exactly(level: LevelSizes) -> str:
    """The size that has the ease aimed at, or comes nearest to it within the band, in words; empty where it is not known."""
    sizes = [(one.size, one.finished) for one in level.sizes if one.finished is not None]
    if level.frame is None or level.band is None or not sizes or not grows(level):
        return ""
    girth, body, band = aim(level.frame, level.band), level.frame, level.band
    if band.high - band.low > FREE and off_band(sizes[0][1] - body, band) == 0:
        return "any"
    near = next((size for size, there in sizes if abs(there - girth) < 0.5), "")
    if near:
        return near
    between = size_between(sizes, girth)
    if between is None:
        outer = sizes[-1] if girth > sizes[-1][1] else sizes[0]
        if off_band(outer[1] - body, band) == 0:
            return outer[0]
        return f"above {sizes[-1][0]}" if girth > sizes[-1][1] else f"below {sizes[0][0]}"
    one, two, share = between
    return f"{one} to {two}, {share * 100:.0f} %"


def by_finished(level: LevelSizes, chosen: str) -> LevelSizes:
    """A level with the girth to alter in the size chosen, to the nearer end of its band."""
    known = level.in_size(chosen)
    level = replace(level, fits=exactly(level))
    if known is None or known.ease is None or level.band is None or level.frame is None or level.body is None:
        return level
    amount, fuller = -off_band(known.ease, level.band), level.body - level.frame
    framed = off_band(known.ease + fuller, level.band)
    if fuller > HALF_INCH and amount > 0 and framed >= 0:
        words = f"give {said(fuller)} more room over the bust, in the front alone"
        return replace(level, amount=fuller, words=words)
    if not amount:
        return replace(level, amount=0.0)
    verb = "let out" if amount > 0 else "take in"
    return replace(level, amount=amount, words=f"{verb} {said(abs(amount))} at the {lower_first(level.name)}")


def by_chart(place: ChartPlace, body: Body, chosen: str, asked: float) -> LevelSizes | None:
    """What the chart alone says of a measurement in the size chosen.

    Parameters
    ----------
    asked
        The chart's value of the size chosen, mm.
    """
    measured = taken(body, place.key)
    if measured is None:
        return None
    length = place.key in MEASUREMENTS and MEASUREMENTS[place.key].sort is Sort.LENGTH
    name, off, fits = called(place.key), measured.value - asked, place.words
    fuller = measured.value - place.body
    if fuller > HALF_INCH and place.size == chosen and abs(place.beyond) <= OF_A_LENGTH:
        words = f"give {said(off)} more room over the bust, in the front alone"
    elif abs(off) <= OF_A_LENGTH if length else place.size == chosen and abs(place.beyond) <= OF_A_LENGTH:
        off, words = 0.0, ""
    elif length:
        words = f"{'lengthen' if off > 0 else 'shorten'} by {said(abs(off))}: {name}"
    else:
        words = f"{'let out' if off > 0 else 'take in'} about {said(abs(off))} at the {name}"
    return LevelSizes(
        "", f"{name[:1].upper()}{name[1:]}, by the chart", place.key, measured.value, place.body, None, (), fits, off, words
    )
