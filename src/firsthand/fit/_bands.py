"""How much ease is wanted: bands from one table, shares of the body where the cloth stretches.

What the brief asks for stands above the table.
"""

from __future__ import annotations

from firsthand.fit._band_table import (
    ANTHRO,
    C209_OLD,
    CAPS,
    COMMON,
    CUTS,
    FAMILY,
    NECK_KEYS,
    TABLE,
    Row,
)
from firsthand.fit._places import ARMHOLE, NECK, SLEEVE, has_edge, is_one, shell_pieces
from firsthand.fit.model import EaseBand
from firsthand.pattern import Garment

__all__ = ["CUTS", "MODERATE", "NECK_KEYS", "STABLE", "cap_band", "ease_band", "family_of", "is_raglan", "rise_band"]

STABLE, MODERATE = 0.20, 0.50
"""Below the first a cloth counts as stable, above the second as very stretchy. Home sewing's classes; their edges are soft."""
SHARE = 1 / 3
"""The most of the measured stretch that may be used up; sources differ, this is the cautious one (common practice)."""
SKIN_TIGHT = {"moderate": (-0.05, 0.0), "high": (-0.15, -0.08), "swim": (-0.20, -0.10)}
"""Ease as a share of the body (common practice: fitted knits of moderate stretch; four-way stretch for leggings and leotards;
swimwear of much elastane). Examples given at mislope.com: 2 % for a cotton knit, 12 % for one with elastane."""
LENGTHWISE = (-0.08, 0.0)
"""The same for lengths of the body in very stretchy cloth: kept small, so that it can still stretch (direction:
patternschool.online, 'Principle stretch direction'; numbers common practice)."""
LENGTH_KEYS = frozenset({"trunk_circumference", "crotch_length", "crotch_length_front", "crotch_length_back", "body_rise"})
WOVEN_SKIN = (0.0, 13.0)
"""Skin-tight in a cloth that does not stretch, mm (common practice)."""
RAGLAN = (1.2, 1.3)
"""A raglan or a sleeve cut in one wants this many times the ease of a set-in one at the bust."""
CHILD_LIES = 0.04
"""So much larger than a child's body, as a share, stretch cloth still lies on it (common practice)."""
BUSTS = frozenset({"bust_girth", "chest_girth"})

RISES = ((914.4, 13.0), (965.2, 19.0), (float("inf"), 25.0))
"""Crotch depth over the body's: up to a hip girth, so much, mm. The middle row is printed as 3/5 inch, taken as 3/4."""
SEATED = {"female": 0.0, "male": 10.0}
"""At the least beyond the distance from waist to seat, sitting, mm."""


def family_of(sort: str) -> str:
    """The sort of garments that this one is fitted like; empty where nothing is known of it.

    Examples
    --------
    >>> family_of("jerkin"), family_of("Leggings"), family_of("pennant")
    ('jacket', 'hose', '')
    """
    return FAMILY.get(sort.strip().lower(), "")


def is_raglan(garment: Garment) -> bool:
    """Whether sleeves reach to the neck, or are cut in one with the body: pieces of a sleeve with an edge at the neck."""
    named = frozenset({"raglan", "dolman", "kimono", "batwing"})
    shell = shell_pieces(garment)
    if any(is_one(named, piece.id, piece.name) for piece in shell):
        return True
    sleeves = [piece for piece in shell if is_one(SLEEVE, piece.id, piece.name)]
    return has_edge(sleeves, NECK) and not has_edge(sleeves, ARMHOLE)


def ease_band(
    sort: str,
    cut: str,
    key: str,
    *,
    body: float,
    stretch: float = 0.0,
    table: str = "",
    raglan: bool = False,
    child: bool = False,
) -> EaseBand | None:
    """The ease wanted at a body measurement.

    Parameters
    ----------
    sort, cut
        Sort of garment and how closely it is meant to sit, as in :class:`firsthand.pattern.Garment`.
    key
        The body measurement.
    body
        Its value, mm: ease in stretch cloth is a share of it.
    stretch
        How far the cloth stretches round the body, as a share.
    table
        The wearer's survey table, where a source speaks of men or of women.
    raglan
        Whether its sleeves reach to the neck or are cut in one with it: that wants more at the bust.
    child
        Whether a child wears it: nothing then presses, so no girth is cut smaller than the body.

    Returns
    -------
    EaseBand
        None where no source says anything.

    Examples
    --------
    >>> ease_band("dress", "close", "bust_girth", body=900.0)  # doctest: +ELLIPSIS
    EaseBand(low=38.0, high=51.0, source="Central Washington University...")
    >>> band = ease_band("hose", "skin-tight", "thigh_girth", body=560.0, stretch=0.3)
    >>> round(band.low), round(band.high)
    (-28, 0)
    >>> ease_band("hose", "skin-tight", "neck_girth", body=360.0, stretch=0.8).low
    0.0
    >>> ease_band("hose", "skin-tight", "thigh_girth", body=400.0, stretch=0.6, child=True).low
    0.0
    """
    family = family_of(sort)
    if cut == "skin-tight" and child and key not in NECK_KEYS | LENGTH_KEYS and stretch >= STABLE:
        source = f"{COMMON}: on a child it lies on the body and does not press"
        return EaseBand(0.0, max(CHILD_LIES * body, WOVEN_SKIN[1]), source)
    if cut == "skin-tight":
        return _skin_tight(family, key, body, stretch)
    woven = _woven(family, cut, key, table)
    if woven is not None and raglan and key in BUSTS:
        source = f"{woven.source}; x {RAGLAN[0]} to {RAGLAN[1]} for a raglan or a sleeve cut in one ({ANTHRO})"
        woven = EaseBand(woven.low * RAGLAN[0], woven.high * RAGLAN[1], source)
    if woven is None or cut != "close" or stretch < STABLE:
        return woven
    low = 0.0 if child or key in NECK_KEYS | LENGTH_KEYS else body * max(SKIN_TIGHT["moderate"][0], -stretch * SHARE)
    return EaseBand(min(low, woven.low), woven.high, f"{woven.source}; in stretch cloth from {low / body:+.0%} ({COMMON})")


def rise_band(
    hip: float | None, *, rise: float = 0.0, table: str = "", cut: str = "semi-fitted", stretch: float = 0.0
) -> EaseBand:
    """Crotch depth of the garment over the wearer's, sitting.

    Parameters
    ----------
    rise
        The wearer's body rise, mm: in stretch cloth the band is a share of it.
    hip
        Hip girth, mm; None if it is not known: the widest band is given.
    table
        The wearer's survey table.
    cut
        A loose garment may hang lower.
    stretch
        Cloth that stretches far needs none.

    Examples
    --------
    >>> rise_band(900.0, table="male").low, rise_band(900.0).high, rise_band(1000.0).high
    (10.0, 13.0, 25.0)
    """
    high = next(most for up_to, most in RISES if (hip if hip is not None else 1e6) <= up_to)
    low = SEATED.get(table, 0.0)
    source = f"{ANTHRO} (sitting, at the least); {C209_OLD} (by hip girth)"
    if cut in ("loose", "over-garment"):
        return EaseBand(low, 100.0, f"{source}; upper end {COMMON} for a loose garment")
    if cut == "skin-tight" and stretch >= STABLE:
        return EaseBand(rise * LENGTHWISE[0], high, f"{source}; stretch cloth may be shorter ({COMMON})")
    return EaseBand(low, max(low, high), source)


def cap_band(sort: str, cut: str, *, stretch: float = 0.0) -> EaseBand:
    """How much longer a sleeve's head is than its armhole, in a sleeve that is set in smooth.

    Examples
    --------
    >>> cap_band("shirt", "loose").high, cap_band("jacket", "semi-fitted").low, cap_band("dress", "close", stretch=0.4).high
    (13.0, 25.0, 13.0)
    """
    family = family_of(sort)
    if stretch >= STABLE:
        name = "knit"
    elif family == "shirt":
        name = "shirt"
    else:
        name = "woven" if family in ("jacket", "coat", "bodice") else "plain"
    return EaseBand(*CAPS[name])


def _woven(family: str, cut: str, key: str, table: str) -> EaseBand | None:
    """The most particular row: one for the family before one for any, one for the cut before one for any."""
    fitting = [row for row in TABLE if _fits(row, family, cut, key, table)]
    best = max(fitting, key=lambda row: (bool(row.families), bool(row.body), bool(row.cuts)), default=None)
    return None if best is None else EaseBand(float(best.low), float(best.high), best.source)


def _fits(row: Row, family: str, cut: str, key: str, table: str) -> bool:
    return (
        key in row.keys
        and (not row.families or family in row.families)
        and (not row.cuts or cut in row.cuts)
        and (not row.body or table == row.body)
    )


def _skin_tight(family: str, key: str, body: float, stretch: float) -> EaseBand:
    if key in NECK_KEYS:
        return EaseBand(0.0, WOVEN_SKIN[1], f"{COMMON}; never smaller than the neck")
    if stretch < STABLE:
        if key == "trunk_circumference":
            return EaseBand(50.0, 100.0, f"{COMMON}: this cloth hardly stretches, and she has to bend in it")
        return EaseBand(*WOVEN_SKIN, f"{COMMON}: this cloth hardly stretches")
    if key in LENGTH_KEYS:
        source = f"{COMMON}: {LENGTHWISE[0]:.0%} to none of a length, so that it can still stretch"
        low = LENGTHWISE[0] if stretch >= MODERATE else LENGTHWISE[0] / 2
        return EaseBand(body * max(low, -stretch * SHARE), 0.0, source)
    named = "moderate" if stretch < MODERATE else "swim" if family == "swim" else "high"
    low, high = SKIN_TIGHT[named]
    most = -stretch * SHARE
    source = f"{COMMON}: {low:.0%} to {high:.0%} of the body, using up at most a third of a stretch of {stretch:.0%}"
    return EaseBand(body * max(low, most), body * max(high, most), source)
