"""A blend of sizes by level, made and measured again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from firsthand.alter import StackResult, apply_stack
from firsthand.alter.kinds.blend_sizes import BlendSizes, Place
from firsthand.findings import Finding
from firsthand.fit._ease import lower_first
from firsthand.fit.sizing._findings import APART, BLEND_OFF, BLEND_REFUSED
from firsthand.fit.sizing._finished import Asked, aim, off_band, size_between
from firsthand.fit.sizing._rules import ALIKE, FAR_APART
from firsthand.fit.sizing.model import AfterBlend, LevelSizes
from firsthand.pattern import Garment
from firsthand.units import said

__all__ = ["Blended", "blended", "fitting_place", "grows"]

FINE = 5
"""Shares of a blend are rounded to so many per cent, where that keeps the level within its band."""


@dataclass(frozen=True, slots=True)
class Blended:
    """A blend and what the garment then measures; no places where one size does everywhere, or it cannot be made."""

    at: tuple[str, ...] = ()
    after: tuple[AfterBlend, ...] = ()
    findings: tuple[Finding, ...] = ()


def grows(level: LevelSizes) -> bool:
    """Whether the finished girths of a level grow from size to size."""
    girths = [one.finished for one in level.sizes if one.finished is not None]
    return all(low < high for low, high in pairwise(girths))


def fitting_place(level: LevelSizes, chosen: str) -> str:
    """The size that a level should have: the one chosen if that is within the band, the nearest one that is, or one between.

    Empty where the level says nothing: no band, no measurement, one size only. The largest or smallest where the body lies
    outside all sizes.
    """
    body, band = level.frame, level.band
    sizes = [(one.size, one.finished) for one in level.sizes if one.finished is not None]
    if body is None or band is None or len(sizes) < 2 or not grows(level):
        return ""
    names = [size for size, _ in sizes]
    within = [size for size, girth in sizes if off_band(girth - body, band) == 0]
    if within:
        at = names.index(chosen) if chosen in names else 0
        return min(within, key=lambda size: (abs(names.index(size) - at), -names.index(size)))
    between = size_between(sizes, aim(body, band))
    if between is None:
        return names[-1] if sizes[-1][1] - body < band.low else names[0]
    one, two, share = between
    low, high = (next(girth for size, girth in sizes if size == name) for name in (one, two))
    for step in (FINE, 1):
        rounded = round(share * 100 / step) * step
        if off_band(low + rounded / 100 * (high - low) - body, band) == 0 and 0 < rounded < 100:
            return f"{one} to {two}, {rounded} %"
    return f"{one} to {two}, {share * 100:.3f} %"


def blended(asked: Asked, levels: Sequence[LevelSizes], chosen: str) -> Blended:
    """The sizes blended by level, made on the pieces and measured again.

    Parameters
    ----------
    chosen
        The size that stays wherever it fits.
    """
    places = {level.level: fitting_place(level, chosen) for level in levels}
    places = {level: place for level, place in places.items() if place}
    if set(places.values()) <= {chosen}:
        return Blended()
    garment = asked.garment(chosen)
    places = _needed(places, garment, chosen)
    refused = ""
    for at in _ways(places, chosen):
        done = apply_stack(garment, [BlendSizes(id="sizes", at=at)], compare=False)
        if done.records:
            return _measured(asked, levels, places, at, done)
        refused = refused or done.findings[0].message
    remedy = f"Take size {chosen} and alter it at the levels."
    return Blended(findings=(BLEND_REFUSED(f"sizes cannot be blended: {refused}", where=(garment.id,), remedy=remedy),))


def _needed(places: dict[str, str], garment: Garment, chosen: str) -> dict[str, str]:
    """Without levels of sleeves and the like that keep the size: they follow what they are sewn to."""
    limbs = {level.id for level in garment.levels if level.limb}
    crossed = [{line.level for line in piece.shape.levels} for piece in garment.pieces.values() if piece.shape]
    apart = {level for level in limbs if not any(level in levels and levels - limbs for levels in crossed)}
    changed = {level for level in apart if places.get(level, chosen) != chosen}
    kept = {level: place for level, place in places.items() if level not in apart or place != chosen or changed}
    return kept or places


def _ways(places: dict[str, str], chosen: str) -> list[tuple[str, ...]]:
    """The blend, and with fewer levels where that is refused: those alone that differ, and the levels next to them."""
    if len(set(places.values())) == 1:
        return [(next(iter(places.values())),)]
    every = list(places)
    near = [level for k, level in enumerate(every) if any(places[other] != chosen for other in every[max(k - 1, 0) : k + 2])]
    differing = [level for level in every if places[level] != chosen]
    ways = [tuple(f"{places[level]} at {level}" for level in some) for some in (every, near, differing)]
    return list(dict.fromkeys(ways))


def _measured(
    asked: Asked, levels: Sequence[LevelSizes], places: dict[str, str], at: tuple[str, ...], done: StackResult
) -> Blended:
    frames = {level.level: level for level in levels}
    after, findings = [], []
    for row in asked.table(done.garment):
        level = frames[row.level]
        shift = (level.frame or 0.0) - (level.body or 0.0)
        ease = None if row.ease is None else row.ease - shift
        residual = None if ease is None or row.band is None else off_band(ease, row.band)
        after.append(AfterBlend(row.level, row.name, places.get(row.level, ""), ease, residual))
        if residual:
            words = f"{said(abs(residual))} too {'tight' if residual < 0 else 'loose'}"
            findings.append(
                BLEND_OFF(
                    f"blended, the {lower_first(row.name)} is still {words}",
                    where=(row.garment, row.level),
                    remedy=f"{'Let it out' if residual < 0 else 'Take it in'} there.",
                )
            )
    return Blended(at, tuple(after), (*findings, *_apart(asked, levels, places)))


def _apart(asked: Asked, levels: Sequence[LevelSizes], places: dict[str, str]) -> tuple[Finding, ...]:
    """Neighbouring levels whose sizes lie far apart."""
    names = list(asked.pattern.sizes)
    limbs = {level.id for level in asked.pattern.levels if level.limb}
    stops = [level for level in levels if level.level in places and level.level not in limbs]
    found = []
    for one, two in pairwise(stops):
        gap = abs(_number(places[one.level], names) - _number(places[two.level], names))
        if gap >= FAR_APART - ALIKE / 1000:
            between = f"the {lower_first(one.name)} and the {lower_first(two.name)}"
            remedy = "Sew a toile, or alter at one of the two instead."
            found.append(APART(f"{gap:.1f} sizes lie between {between}", where=(asked.pattern.id,), remedy=remedy))
    return tuple(found)


def _number(words: str, sizes: Sequence[str]) -> float:
    place = Place.read(words)
    return sizes.index(place.one) * (1 - place.share) + sizes.index(place.two) * place.share
