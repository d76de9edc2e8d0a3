"""The table of cloth: heat, needles, stitches, finishes, pins and shrinkage, with the source beside each row.

Where sources differ on something that can hurt or cannot be undone, the cautious figure stands here.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "BANDS",
    "COMMON",
    "COUNTS",
    "CRAFT",
    "DIFFERENTIAL",
    "EASY",
    "FIBRES",
    "FINISHES",
    "FOOT",
    "HEATS",
    "HEAT_UNKNOWN",
    "KENTUCKY",
    "KNIT_NEEDLES",
    "KNIT_SHRINK",
    "LEATHER_NEEDLE",
    "MOODLE",
    "PILE_SORTS",
    "PINS",
    "PREPARATIONS",
    "PRESSING",
    "SAFE_SORTS",
    "SHEER_SORTS",
    "SHRINKAGE",
    "SHRINKS",
    "SIRUBA",
    "SLIPPERY_SORTS",
    "STICKY_SORTS",
    "STRETCH_SEAM",
    "SYNTHETICS",
    "WOVEN_NEEDLES",
    "WOVEN_SHRINK",
    "Band",
    "Finish",
    "Heat",
    "Preparation",
    "Shrink",
    "Words",
]

COMMON = "common practice"
FIBRES = "GINETEX care symbols, ironing table; fibres by dot from donnad.it"
SIRUBA = "Siruba HSP-6810 manual, p. 17"
EASY = "easysewingtechniques (needle and stitch chart)"
CRAFT = "craftandfabriclinks (needle points)"
COUNTS = "clothalmanac; fabric-online.co.uk (weight classes)"
SHRINKAGE = "onlineclothingstudy 2018-08; fabricis.com (shrinkage by fibre)"
KENTUCKY = "Univ. of Kentucky Coop. Ext. FCS2-304, Seams and Seam Finishes"
MOODLE = "Canadian school course, moodlehub 47832"


@dataclass(frozen=True, slots=True)
class Heat:
    """The iron for some fibres: ``limit`` degrees Celsius at the sole plate, 0 for no iron at all."""

    fibres: tuple[str, ...]
    words: str
    limit: float
    source: str


HEATS = (
    Heat(("vinyl", "pvc", "foil", "sequin", "metallic", "lurex", "foam", "plastic"), "no iron", 0.0, COMMON),
    Heat(("leather", "suede"), "no iron on the face; cool and dry from the back, on a scrap first", 0.0, COMMON),
    Heat(("acetate", "triacetate"), "one dot, 110 °C at most, no steam", 110.0, FIBRES),
    Heat(("acrylic", "modacrylic"), "one dot, 110 °C at most, no steam", 110.0, FIBRES),
    Heat(("nylon", "polyamide"), "one dot, 110 °C at most, no steam", 110.0, FIBRES),
    Heat(("elastane", "spandex", "lycra"), "one dot, 110 °C at most, no steam", 110.0, COMMON),
    Heat(("polypropylene", "olefin", "polyethylene"), "no iron", 0.0, COMMON),
    Heat(("polyester",), "two dots, 150 °C at most", 150.0, FIBRES),
    Heat(("viscose", "rayon", "modal", "lyocell", "cupro", "bamboo"), "two dots, 150 °C at most", 150.0, FIBRES),
    Heat(("silk",), "two dots, 150 °C at most", 150.0, FIBRES),
    Heat(("wool", "cashmere", "mohair", "alpaca"), "two dots, 150 °C at most", 150.0, FIBRES),
    Heat(("cotton", "denim", "calico"), "three dots, 200 °C at most", 200.0, FIBRES),
    Heat(("linen", "flax", "hemp", "ramie"), "three dots, 200 °C at most", 200.0, FIBRES),
)
"""Most delicate first: a blend takes the first row that names one of its fibres (Enkho iron manual, p. 29)."""

SYNTHETICS = (
    "polyester", "nylon", "polyamide", "acrylic", "modacrylic", "acetate", "triacetate", "elastane", "spandex", "lycra",
    "polypropylene", "olefin", "polyethylene", "vinyl", "pvc", "foil", "sequin", "metallic", "lurex", "foam", "plastic",
)  # fmt: skip
"""Fibres that shine, shrink or melt under a hot iron."""

HEAT_UNKNOWN = Heat((), "one dot, 110 °C at most, no steam, until a scrap has shown more", 110.0, COMMON)


@dataclass(frozen=True, slots=True)
class Band:
    """A band of weight: up to ``weight`` g/m2 (and ``thickness`` mm)."""

    name: str
    weight: float
    thickness: float
    source: str


BANDS = (
    Band("light", 150.0, 0.4, COUNTS),
    Band("medium", 300.0, 1.0, COUNTS),
    Band("heavy", 450.0, 2.0, COUNTS),
    Band("very heavy", float("inf"), float("inf"), "smfabricblog 2023-08 (heavy from 340-450 g/m2)"),
)
"""The thickness limits are common practice; the heavier of the two bands counts."""


@dataclass(frozen=True, slots=True)
class Words:
    """Advice in words, with a stitch length where one belongs to it."""

    says: str
    source: str
    length: float = 0.0


WOVEN_NEEDLES = {
    "light": Words("universal 70/10", f"{SIRUBA}; {EASY}", 2.0),
    "medium": Words("universal 80/12", f"{SIRUBA}; {EASY}", 2.5),
    "heavy": Words("universal 90/14", SIRUBA, 2.5),
    "very heavy": Words("universal 100/16", f"{EASY} (coating)", 3.0),
}
KNIT_NEEDLES = {
    "light": Words("ball point 70/10", f"{SIRUBA}; {CRAFT}", 2.5),
    "medium": Words("ball point 80/12", f"{SIRUBA}; {CRAFT}", 2.5),
    "heavy": Words("ball point 90/14", f"{SIRUBA}; {CRAFT}", 2.5),
    "very heavy": Words("ball point 100/16", f"{CRAFT}; {EASY}", 3.0),
    "stretch": Words("stretch 75/11", f"{EASY} (two-way stretch)", 2.5),
}
LEATHER_NEEDLE = Words("leather 90/14", CRAFT, 3.0)

STRETCH_SEAM = 0.18
"""From this stretch on a seam must stretch too. Home trade calls 18-25 % stable, more than that stretchy
(quiltnparty.com; sewingforaliving.com): the cautious end. That 301 at 2.5 mm breaks on strong stretch is common practice."""

DIFFERENTIAL = Words("differential feed 1.5, tried on a scrap", "Bernina, Mastering your sergers (2006), p. 40")


@dataclass(frozen=True, slots=True)
class Finish:
    """How a raw edge is kept: ``stitch`` on the overlocker, ``without`` where there is none; both empty for no finish."""

    stitch: str
    without: str
    words: str
    source: str


FINISHES = {
    "safe": Finish("", "", "needs no finish: the edge does not fray", f"{MOODLE}; Oklahoma Coop. Ext. Sample Techniques 801"),
    "knit": Finish("3-thread overlock", "zigzag", "both allowances neatened together", "sewing reference book, trantor ch0423"),
    "pile": Finish("3-thread overlock", "zigzag", "neaten each allowance: pile sheds", COMMON),
    "sheer": Finish(
        "3-thread overlock", "zigzag", "neaten narrow and together; a French seam where it is nearly straight",
        f"{KENTUCKY}; secrets-of-self-sufficiency.com (French seams)",
    ),
    "woven": Finish(
        "3-thread overlock", "zigzag", "neaten each allowance; a zigzag catches at least three or four threads",
        f"{KENTUCKY}; docslib 11666614",
    ),
}  # fmt: skip

SAFE_SORTS = ("felt", "melton", "loden", "suede", "leather", "vinyl", "neoprene", "lace", "boiled")
PILE_SORTS = ("velvet", "velour", "corduroy", "plush", "fur", "terry")
SLIPPERY_SORTS = ("satin", "silk", "lining", "chiffon", "organza", "habotai", "crepe", "charmeuse", "taffeta")
SHEER_SORTS = ("chiffon", "organza", "voile", "georgette", "tulle")
STICKY_SORTS = ("vinyl", "pvc", "leather", "suede", "foil", "coated")

PINS = {
    "holes": Words("clips, and weights for cutting: pin holes stay", COMMON),
    "pile": Words("long fine pins inside the allowance, close together; baste long seams, pile creeps", COMMON),
    "slippery": Words("fine pins inside the allowance, weights for cutting", COMMON),
    "plain": Words("ordinary pins, across the seam, taken out before the needle reaches them", COMMON),
}

FOOT = {
    "sticky": Words("roller or PTFE", COMMON),
    "pile": Words("walking", COMMON),
    "thick": Words("walking", COMMON),
    "plain": Words("standard", COMMON),
}

PRESSING = {
    "pile": Words("press from the back on a towel or a scrap of the same, steam rather than weight", COMMON),
    "wool": Words("damp cloth between, lift and set down, let it cool flat", COMMON),
    "synthetic": Words("test on a scrap: too hot an iron shines or melts it", COMMON),
    "silk": Words("dry cloth between, no drops of water", COMMON),
    "none": Words("finger-press or roll the seam; keep the iron away", COMMON),
    "plain": Words("steam from the back, a cloth where it shows", COMMON),
}


@dataclass(frozen=True, slots=True)
class Shrink:
    """What the first wash takes lengthwise and crosswise, as shares; the cautious end of the band."""

    words: tuple[str, ...]
    along: float
    across: float
    source: str


SHRINKS = (
    Shrink(("leather", "suede", "vinyl", "pvc", "foil"), 0.0, 0.0, COMMON),
    Shrink(("linen", "flax", "hemp", "ramie"), 0.10, 0.05, f"{SHRINKAGE}: linen 5-10 %; crosswise {COMMON}"),
    Shrink(("viscose", "rayon", "modal", "lyocell", "cupro", "bamboo"), 0.10, 0.05, f"{SHRINKAGE}: rayon 5-10 % and more"),
    Shrink(("cotton", "calico", "denim"), 0.07, 0.03, f"{SHRINKAGE}: cotton 2-7 %; crosswise modacrylic-xf 2018"),
    Shrink(("wool", "cashmere", "mohair", "alpaca"), 0.04, 0.035, "modacrylic-xf 2018 (worsted 4 x 3.5 %)"),
    Shrink(("silk",), 0.05, 0.03, COMMON),
    Shrink(("polyester", "nylon", "polyamide", "acrylic", "elastane", "acetate"), 0.03, 0.03, f"{SHRINKAGE}: below 3 %"),
)
"""The first row that names a fibre of the cloth counts: the more shrinking fibres stand first."""

KNIT_SHRINK = Shrink((), 0.05, 0.05, f"{SHRINKAGE}: laboratory limit for knits 5 %")
WOVEN_SHRINK = Shrink((), 0.03, 0.03, f"{SHRINKAGE}: laboratory limit for wovens 3 %")


@dataclass(frozen=True, slots=True)
class Preparation:
    """How a cloth is shrunk before cutting, and how long it then dries, minutes."""

    words: str
    drying: float
    source: str


PREPARATIONS = {
    "none": Preparation("not washed: only aired and laid flat", 0.0, COMMON),
    "fusible": Preparation(
        "soak a woven fusible in warm water, drip dry flat, never tumble or iron", 1440.0, "asg.org, Fusing facts; " + COMMON
    ),
    "wool": Preparation("steam it all over with the iron held just off, or damp cloth; dry flat overnight", 1440.0, COMMON),
    "silk": Preparation("wash by hand, cool, if it will ever be washed; dry flat, iron damp", 720.0, COMMON),
    "knit": Preparation("wash twice as it will be washed, dry flat", 1440.0, "aftagley 2012-03 (knits twice)"),
    "wash": Preparation("neaten the cut ends, wash as it will be washed, dry, iron", 1440.0, COMMON),
}
