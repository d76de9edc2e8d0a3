"""How much ease is wanted: one table, with a source beside each row.

The sources differ by 25 to 50 mm at the bust and the hip, so the table keeps bands. Where a source gives only a least amount,
the upper end is common practice, and the row says so.
"""

from __future__ import annotations

from dataclasses import dataclass

from firsthand.fit.model import EaseBand
from firsthand.units import said

__all__ = ["CUTS", "NECK_KEYS", "ease_band"]

CWU = "Central Washington University, costume text, ch. 16 'Ease in Clothing'"
C209 = "New Mexico State University Extension, Guide C-209 'Measurements for Fitting Pants'"
C209_OLD = "older printing of New Mexico State University Extension Guide C-209"
C228 = "New Mexico State University Extension, Guide C-228"
WIKI = "Wikipedia, 'Ease (sewing)'"
THREADS = "Threads, 'Set-in sleeve solutions', 2021"
COMMON = "common practice"
TOP = "upper end common practice"

CUTS = ("skin-tight", "close", "semi-fitted", "loose", "over-garment")
"""From the closest to the widest."""

NECK_KEYS = frozenset({"neck_girth", "neck_base_girth"})
"""Nothing that goes round the neck may ever be smaller than it."""

FAMILIES = {
    "bodice": ("bodice", "dress", "gown", "jumpsuit", "stays"),
    "shirt": ("shirt", "blouse", "tunic", "chemise", "smock"),
    "jacket": ("jerkin", "jacket", "doublet", "waistcoat", "vest"),
    "coat": ("coat", "cape", "cloak", "mantle", "robe"),
    "skirt": ("skirt", "petticoat", "kilt"),
    "trousers": ("trousers", "breeches", "shorts", "pantaloons"),
    "hose": ("hose", "leggings", "tights", "leotard"),
    "head": ("hood", "hat", "cap"),
}
"""Sorts of garment that are fitted alike."""

_FAMILY = {sort: family for family, sorts in FAMILIES.items() for sort in sorts}


@dataclass(frozen=True, slots=True)
class _Row:
    """Ease wanted, mm: for families and cuts (empty: any) at body measurements."""

    families: tuple[str, ...]
    cuts: tuple[str, ...]
    keys: tuple[str, ...]
    low: float
    high: float
    source: str


BUST = ("bust_girth", "chest_girth")
NECK = ("neck_girth", "neck_base_girth")
SNUG = ("close", "semi-fitted")

_TABLE = (
    # bodices and dresses
    _Row(("bodice",), ("close",), BUST, 38, 51, CWU),
    _Row(("bodice",), ("semi-fitted",), BUST, 51, 102, f"{WIKI} (51 to 64); {C228} (76 to 102)"),
    _Row(("bodice",), ("close",), ("waist_girth",), 19, 25, CWU),
    _Row(("bodice",), ("semi-fitted",), ("waist_girth",), 25, 75, f"{WIKI} (25); {TOP}"),
    # shirts
    _Row(("shirt",), ("close",), BUST, 38, 64, CWU),
    _Row(("shirt",), ("semi-fitted",), BUST, 51, 102, f"{CWU} (up to 76); {C228} (76 to 102)"),
    _Row(("shirt",), ("loose",), BUST, 100, 300, COMMON),
    _Row(("shirt",), SNUG, ("waist_girth",), 50, 200, COMMON),
    # jackets and jerkins, over a shirt
    _Row(("jacket",), ("close",), BUST, 51, 102, COMMON),
    _Row(("jacket",), ("semi-fitted",), BUST, 76, 120, COMMON),
    _Row(("jacket",), ("close",), ("waist_girth",), 25, 75, COMMON),
    _Row(("jacket",), ("semi-fitted",), ("waist_girth",), 50, 120, COMMON),
    _Row(("jacket",), ("semi-fitted",), ("hip_girth",), 64, 130, COMMON),
    # coats and cloaks, over a jacket
    _Row(("coat",), (), BUST, 100, 180, COMMON),
    _Row(("coat",), (), ("waist_girth", "hip_girth"), 100, 300, COMMON),
    # skirts
    _Row(("skirt",), (), ("waist_girth",), 13, 19, CWU),
    _Row(("skirt",), ("loose", "over-garment"), ("hip_girth", "top_hip_girth"), 51, 3000, f"{CWU} (least); it hangs free"),
    # trousers
    _Row(("trousers",), (), ("waist_girth",), 13, 25, f"{CWU} (13 to 19; men's 19 to 25); {C209} (up to 25)"),
    _Row(("trousers", "skirt"), SNUG, ("top_hip_girth",), 0, 51, C209),
    _Row(("trousers",), ("close",), ("hip_girth",), 38, 51, CWU),
    _Row(("trousers",), ("semi-fitted",), ("hip_girth",), 51, 102, C209),
    _Row(("trousers",), SNUG, ("thigh_girth",), 25, 76, f"{CWU} (least); {TOP}"),
    _Row(("trousers",), SNUG, ("knee_girth",), 25, 100, f"{C209_OLD} (least); {TOP}"),
    _Row(("trousers",), SNUG, ("calf_girth",), 25, 100, COMMON),
    _Row((), ("loose",), ("thigh_girth", "knee_girth", "calf_girth"), 51, 400, COMMON),
    # heads
    _Row(("head",), (), ("head_girth",), 20, 250, f"{COMMON}: the head and {said(20)}, at the least"),
    # any garment
    _Row((), ("close",), BUST, 38, 64, f"{CWU}; {WIKI}"),
    _Row((), ("semi-fitted",), BUST, 51, 102, f"{WIKI} (51 to 64); {C228} (76 to 102)"),
    _Row((), ("loose",), BUST, 100, 250, COMMON),
    _Row((), ("over-garment",), BUST, 100, 180, COMMON),
    _Row((), ("close",), ("waist_girth",), 19, 51, f"{CWU}; {TOP}"),
    _Row((), ("semi-fitted",), ("waist_girth",), 25, 75, f"{WIKI} (25); {TOP}"),
    _Row((), ("loose", "over-garment"), ("waist_girth",), 75, 300, COMMON),
    _Row((), ("close",), ("hip_girth",), 51, 70, CWU),
    _Row((), ("semi-fitted",), ("hip_girth",), 51, 102, f"{CWU} (51 to 70); {WIKI} (51 or 76); {C209} (51 to 102)"),
    _Row((), ("loose", "over-garment"), ("hip_girth",), 76, 300, COMMON),
    _Row((), SNUG, ("upper_chest_girth",), 25, 76, COMMON),
    _Row((), SNUG, ("under_bust_girth",), 13, 51, COMMON),
    _Row((), SNUG, ("upper_arm_girth",), 51, 102, f"{THREADS} (least, woven cloth); {TOP}"),
    _Row((), ("loose", "over-garment"), ("upper_arm_girth",), 76, 300, COMMON),
    _Row((), (), ("forearm_girth", "elbow_girth"), 25, 150, COMMON),
    _Row((), (), ("wrist_girth",), 25, 50, f"{COMMON}, for a buttoned cuff"),
    _Row((), SNUG, NECK, 13, 25, COMMON),
    _Row((), ("loose", "over-garment"), NECK, 13, 100, COMMON),
    _Row((), (), ("hand_girth", "heel_ankle_girth"), 10, 120, f"{COMMON}, for an opening without a placket"),
    _Row((), (), ("back_width",), 13, 25, COMMON),
    _Row((), (), ("crotch_length",), 25, 50, COMMON),
    _Row((), (), ("trunk_circumference",), 50, 100, COMMON),
)  # fmt: skip

STABLE, MODERATE = 0.20, 0.50
"""Below the first a cloth counts as stable, above the second as very stretchy. Home sewing's classes; their edges are soft."""
SHARE = 1 / 3
"""The most of the measured stretch that may be used up; sources differ, this is the cautious one (common practice)."""
SKIN_TIGHT = {"moderate": (-0.05, 0.0), "high": (-0.15, -0.08)}
"""Ease as a share of the body (common practice: fitted knits of moderate stretch; four-way stretch for leggings)."""
WOVEN_SKIN = (0.0, 13.0)
"""Skin-tight in a cloth that does not stretch, mm (common practice)."""


def ease_band(sort: str, cut: str, key: str, *, body: float, stretch: float = 0.0) -> EaseBand | None:
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
    """
    if cut == "skin-tight":
        return _skin_tight(key, body, stretch)
    woven = _woven(_FAMILY.get(sort, ""), cut, key)
    if woven is None or cut != "close" or stretch < STABLE:
        return woven
    low = 0.0 if key in NECK_KEYS else body * max(SKIN_TIGHT["moderate"][0], -stretch * SHARE)
    return EaseBand(min(low, woven.low), woven.high, f"{woven.source}; in stretch cloth from {low / body:+.0%} ({COMMON})")


def _woven(family: str, cut: str, key: str) -> EaseBand | None:
    """The most particular row: one for the family before one for any, one for the cut before one for any."""
    fitting = [
        row
        for row in _TABLE
        if key in row.keys and (not row.families or family in row.families) and (not row.cuts or cut in row.cuts)
    ]
    best = max(fitting, key=lambda row: (bool(row.families), bool(row.cuts)), default=None)
    return None if best is None else EaseBand(float(best.low), float(best.high), best.source)


def _skin_tight(key: str, body: float, stretch: float) -> EaseBand:
    if key in NECK_KEYS:
        return EaseBand(0.0, WOVEN_SKIN[1], f"{COMMON}; never smaller than the neck")
    if stretch < STABLE:
        return EaseBand(*WOVEN_SKIN, f"{COMMON}: this cloth hardly stretches")
    low, high = SKIN_TIGHT["high" if stretch >= MODERATE else "moderate"]
    most = -stretch * SHARE
    source = f"{COMMON}: {low:.0%} to {high:.0%} of the body, using up at most a third of a stretch of {stretch:.0%}"
    return EaseBand(body * max(low, most), body * max(high, most), source)
