"""The table of ease: rows with a source beside each; see :mod:`firsthand.fit._bands`.

The sources differ by 25 to 50 mm at the bust and the hip, so the table keeps bands. Where a source gives only a least amount,
the upper end is common practice, and the row says so.
"""

from __future__ import annotations

from dataclasses import dataclass

from firsthand.units import said

__all__ = [
    "ANTHRO",
    "C209",
    "C209_OLD",
    "CAPS",
    "COMMON",
    "CUTS",
    "CWU",
    "FAMILIES",
    "FAMILY",
    "MADALYNNE",
    "NECK_KEYS",
    "TABLE",
    "TOP",
    "Row",
]

CWU = "Central Washington University, costume text, ch. 16 'Ease in Clothing'"
C209 = "New Mexico State University Extension, Guide C-209 'Measurements for Fitting Pants'"
C209_OLD = "older printing of New Mexico State University Extension Guide C-209"
C228 = "New Mexico State University Extension, Guide C-228"
WIKI = "Wikipedia, 'Ease (sewing)'"
THREADS = "Threads, 'Set-in sleeve solutions', 2021"
MADALYNNE = "madalynne.com, 'Sleeve cap ease', reporting textbooks"
ANTHRO = "'Anthropometry, Apparel Sizing and Design', 2nd ed., ch. 9, pp. 226-228"
COMMON = "common practice"
TOP = "upper end common practice"

CUTS = ("skin-tight", "close", "semi-fitted", "loose", "over-garment")
"""From the closest to the widest."""

NECK_KEYS = frozenset({"neck_girth", "neck_base_girth"})
"""Nothing that goes round the neck may ever be smaller than it."""

FAMILIES = {
    "bodice": ("bodice", "dress", "gown", "stays"),
    "shirt": ("shirt", "blouse", "tunic", "chemise", "smock"),
    "jacket": ("jerkin", "jacket", "doublet", "waistcoat", "vest"),
    "coat": ("coat", "cape", "cloak", "mantle", "robe", "cassock"),
    "skirt": ("skirt", "petticoat", "kilt"),
    "trousers": ("trousers", "breeches", "shorts", "pantaloons"),
    "hose": ("hose", "leggings", "tights", "leotard", "catsuit"),
    "head": ("hood", "hat", "cap", "coif", "bonnet"),
    "swim": ("swimsuit", "bathing suit", "swimming trunks"),
    "suit": ("jumpsuit", "overalls", "boiler suit", "romper"),
}
"""Sorts of garment that are fitted alike."""

FAMILY = {sort: family for family, sorts in FAMILIES.items() for sort in sorts}


@dataclass(frozen=True, slots=True)
class Row:
    """Ease wanted, mm: for families and cuts (empty: any) at body measurements."""

    families: tuple[str, ...]
    cuts: tuple[str, ...]
    keys: tuple[str, ...]
    low: float
    high: float
    source: str
    body: str = ""
    """Only for bodies of this survey table; empty for all."""


BUST = ("bust_girth", "chest_girth")
NECK = ("neck_girth", "neck_base_girth")
SNUG = ("close", "semi-fitted")

TABLE = (
    # bodices and dresses
    Row(("bodice",), ("close",), BUST, 38, 51, CWU),
    Row(("bodice",), ("semi-fitted",), BUST, 51, 102, f"{WIKI} (51 to 64); {C228} (76 to 102)"),
    Row(("bodice",), ("close",), ("waist_girth",), 19, 25, CWU),
    Row(("bodice",), ("semi-fitted",), ("waist_girth",), 25, 75, f"{WIKI} (25); {TOP}"),
    # shirts
    Row(("shirt",), ("close",), BUST, 38, 64, CWU),
    Row(("shirt",), ("semi-fitted",), BUST, 51, 102, f"{CWU} (up to 76); {C228} (76 to 102)"),
    Row(("shirt",), ("loose",), BUST, 100, 300, COMMON),
    Row(("shirt",), SNUG, ("waist_girth",), 50, 200, COMMON),
    # jackets and jerkins, over a shirt
    Row(("jacket",), ("close",), BUST, 51, 102, COMMON),
    Row(("jacket",), ("semi-fitted",), BUST, 76, 120, COMMON),
    Row(("jacket",), ("close",), ("waist_girth",), 25, 75, COMMON),
    Row(("jacket",), ("semi-fitted",), ("waist_girth",), 50, 120, COMMON),
    Row(("jacket",), ("semi-fitted",), ("hip_girth",), 64, 130, COMMON),
    # coats and cloaks, over a jacket
    Row(("coat",), (), BUST, 100, 180, COMMON),
    Row(("coat",), (), ("waist_girth", "hip_girth"), 100, 300, COMMON),
    # skirts
    Row(("skirt",), (), ("waist_girth",), 13, 19, CWU),
    Row(("skirt",), ("loose", "over-garment"), ("hip_girth", "top_hip_girth"), 51, 3000, f"{CWU} (least); it hangs free"),
    # trousers
    Row(("trousers",), (), ("waist_girth",), 13, 25, f"{CWU} (13 to 19); {C209} (up to 25)"),
    Row(("trousers",), (), ("waist_girth",), 19, 25, f"{CWU} (men's)", body="male"),
    Row(("trousers",), ("close",), ("hip_girth",), 38, 51, f"{CWU} (men's seat)", body="male"),
    Row(("trousers",), ("semi-fitted",), ("hip_girth",), 38, 102, f"{CWU} (men's seat, to 51); {C209} (to 102)", body="male"),
    Row(("trousers", "skirt"), SNUG, ("top_hip_girth",), 0, 51, C209),
    Row(("trousers",), ("close",), ("hip_girth",), 38, 51, f"{CWU} (men's seat; it says the same of nobody else)"),
    Row(("trousers",), ("semi-fitted",), ("hip_girth",), 51, 102, C209),
    Row(("trousers",), SNUG, ("thigh_girth",), 25, 76, f"{CWU} (least); {TOP}"),
    Row(("trousers",), SNUG, ("knee_girth",), 25, 100, f"{C209_OLD} (least); {TOP}"),
    Row(("trousers",), SNUG, ("calf_girth",), 25, 100, COMMON),
    Row((), ("loose",), ("thigh_girth", "knee_girth", "calf_girth"), 51, 400, COMMON),
    # suits in one piece, as bodices above and trousers below
    Row(("suit",), ("close",), BUST, 38, 51, f"{CWU} (bodices)"),
    Row(("suit",), ("semi-fitted",), BUST, 51, 102, f"{WIKI} (51 to 64); {C228} (76 to 102)"),
    Row(("suit",), SNUG, ("waist_girth",), 19, 75, f"{CWU} (dresses, 19 to 25); {TOP}"),
    # heads
    Row(("head",), (), ("head_girth",), 20, 250, f"{COMMON}: the head and {said(20)}, at the least"),
    # any garment
    Row((), ("close",), BUST, 38, 64, f"{CWU}; {WIKI}"),
    Row((), ("semi-fitted",), BUST, 51, 102, f"{WIKI} (51 to 64); {C228} (76 to 102)"),
    Row((), ("loose",), BUST, 100, 250, COMMON),
    Row((), ("over-garment",), BUST, 100, 180, COMMON),
    Row((), ("close",), ("waist_girth",), 19, 51, f"{CWU}; {TOP}"),
    Row((), ("semi-fitted",), ("waist_girth",), 25, 75, f"{WIKI} (25); {TOP}"),
    Row((), ("loose", "over-garment"), ("waist_girth",), 75, 300, COMMON),
    Row((), ("close",), ("hip_girth",), 51, 70, CWU),
    Row((), ("semi-fitted",), ("hip_girth",), 51, 102, f"{CWU} (51 to 70); {WIKI} (51 or 76); {C209} (51 to 102)"),
    Row((), ("loose", "over-garment"), ("hip_girth",), 76, 300, COMMON),
    Row((), SNUG, ("upper_chest_girth",), 25, 76, COMMON),
    Row((), SNUG, ("under_bust_girth",), 13, 51, COMMON),
    Row((), SNUG, ("upper_arm_girth",), 51, 102, f"{THREADS} (least, woven cloth); {TOP}"),
    Row((), ("loose", "over-garment"), ("upper_arm_girth",), 76, 300, COMMON),
    Row((), (), ("forearm_girth", "elbow_girth"), 25, 150, COMMON),
    Row((), (), ("wrist_girth",), 25, 50, f"{COMMON}, for a buttoned cuff"),
    Row((), SNUG, NECK, 13, 25, COMMON),
    Row((), ("loose", "over-garment"), NECK, 13, 100, COMMON),
    Row((), (), ("hand_girth", "heel_ankle_girth"), 10, 120, f"{COMMON}, for an opening without a placket"),
    Row((), (), ("back_width",), 13, 25, COMMON),
    Row((), ("close", "semi-fitted"), ("front_width",), 0, 13, COMMON),
    Row((), ("loose", "over-garment"), ("back_width",), 13, 150, f"{COMMON} (13 to 25 where it is fitted)"),
    Row((), (), ("crotch_length",), 25, 50, COMMON),
    Row((), ("loose", "over-garment"), ("crotch_length",), 25, 150, f"{COMMON} (25 to 50 where it is fitted)"),
    Row((), (), ("trunk_circumference",), 50, 100, f"{COMMON}, for woven suits in one piece"),
    Row((), ("close", "semi-fitted"), ("armscye_girth",), 25, 80, COMMON),
)  # fmt: skip

CAPS = {
    "knit": (0.0, 13.0, f"{MADALYNNE} (knits; read as 0 to 13 or 0 to 19 mm: the lower)"),
    "shirt": (0.0, 13.0, f"{COMMON}, for a flat shirt sleeve"),
    "woven": (25.0, 38.0, f"{MADALYNNE} (woven, set in)"),
    "plain": (0.0, 38.0, f"{MADALYNNE} (25 to 38, woven); fashion-incubator.com (none needed in a well-cut sleeve)"),
}
"""Sleeve head less armhole, mm, by how the sleeve is set in; ``plain`` where it is not told."""
