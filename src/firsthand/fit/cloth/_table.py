"""The numbers that stretch and pressure rest on, with the source beside each."""

from __future__ import annotations

from firsthand.fabric import GROWS, STRETCH_SEAM

__all__ = [
    "ALIKE", "CAUTION", "CUTS_TIGHT", "GROWS", "HIGH", "KPA_PER_MMHG", "LAW", "LENGTHWISE",
    "LIGHT", "LIMITS", "LOW", "MOST_LENGTHWISE", "MOST_SHARE", "NARROW", "PULLED", "SCATTER", "SHARE", "STITCH", "STRAINED",
    "STRETCH_SEAM", "TOLD", "TRUNK", "pressure_limit",
]  # fmt: skip

COMMON = "common practice"

SHARE = 1 / 3
"""How much of the stretch there is may be used up. Sources go from a third to two thirds for skin-tight clothes: the cautious
one (common practice)."""
MOST_SHARE = 2 / 3
"""No source goes further (common practice)."""
ALIKE = 0.05
"""A stretch measured by hand against a ruler is not known better than this: nearer to what the pattern expects is the same
(common practice)."""
CUTS_TIGHT = ("skin-tight", "close")
"""Cuts that count on the cloth's stretch."""

LENGTHWISE = 0.25
"""Of what is taken out round the body so much is taken out lengthwise too. Little or none is (common practice): girths change
little when the body bends, lengths much (patternschool.online)."""
MOST_LENGTHWISE = 0.03
"""More than this is never taken out lengthwise, nor added (common practice)."""

STRAINED = 0.05
"""From this strain on a seam is felt to hold the cloth back (common practice)."""
TOLD = 0.005
"""Less than this, as a share of the girth, nobody cuts."""

KPA_PER_MMHG = 0.133322
"""ISO 80000-4 (conventional millimetre of mercury: 133.322 Pa)."""
LAW = "Laplace's law for a cylinder, p = T / r (S. Thomas, World Wide Wounds 2003)"
LOW = 1 - 0.42
"""Sensors read up to 42 % less than the law (Garrigues-Ramón et al., Journal of Wound Care 30 (4), 2021, p. 276)."""
HIGH = 1.25
"""A pull by hand with a kitchen weight and a ruler is within a quarter (common practice); so is the higher pressure where a
limb is not round."""
SCATTER = "sensors read up to 42 % less than the law (J. Wound Care 30 (4), 2021), a pull by hand may be 25 % off"
PULLED = 1.05
"""So much further than it was pulled in the test the cloth's tension is still said."""

LIGHT = "lightest medical class at the ankle: 14 to 17 mmHg in the British Drug Tariff, 18 to 21 in RAL-GZ 387"
NARROW = frozenset(
    f"{place}_girth" for place in ("wrist", "hand", "forearm", "elbow", "upper_arm", "knee", "ankle", "heel_ankle")
)
TRUNK = frozenset(f"{place}_girth" for place in ("bust", "chest", "upper_chest", "under_bust", "waist", "top_hip", "hip"))
LIMITS = {"narrow": 10.0, "trunk": 10.0, "limb": 14.0}
"""Above this a caution, mmHg: on limbs the least of the lightest medical class; where it is narrow, where blood and nerves lie
shallow, and round the trunk, where one breathes, 10 mmHg (common practice)."""

CAUTION = (
    "Take it off at once if anything goes numb, cold, blue or tingles, or if breathing is short; sit in it for a quarter of an "
    "hour before it is finished. It is no medical garment: with bad veins, diabetes or a pregnancy ask a doctor first."
)
STITCH = "narrow zigzag (304) or the overlocker (504, 514); a straight stitch (301) breaks"
"""Common practice: 301 at 2.5 mm breaks on strong stretch. Numbers of ISO 4915."""


def pressure_limit(key: str) -> float:
    """Pressure above which there is a caution at a body measurement, kPa."""
    return LIMITS["narrow" if key in NARROW else "trunk" if key in TRUNK else "limb"] * KPA_PER_MMHG
