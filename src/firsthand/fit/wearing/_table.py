"""What a body needs to get into a garment and to move in it: one table, with a source beside each number."""

from __future__ import annotations

from firsthand.units import said

__all__ = [
    "ACROSS_BACK", "ARM", "CAP_FREE", "EASY", "ELASTIC", "ELBOW", "FOOT", "HAND", "HEAD", "KNEE", "LEG", "POOR", "SEAT",
    "SHORT_STEP", "SHOULDERS", "SOFT", "STEP", "THIGH", "THUMB", "TRIP", "WEARING_KEYS",
]  # fmt: skip

COMMON = "common practice"
SURVEY = "ANSUR II, the US Army's public survey of 2012"
SKIN = "Kirk and Ibrahim, Textile Research Journal, 1966 (from memory)"

EASY = (0.5, COMMON)
"""Share of its stretch that a cloth gives without a struggle; all of it counts as tight."""
SHOULDERS = (1.10, f"{SURVEY}: shoulder over chest girth 1.09 (1,986 women), 1.12 (4,082 men)")
"""Girth round shoulders and arms, as a multiple of the bust; with the arms raised the bust alone is the least."""
SOFT = (0.97, COMMON)
"""Hips and bust give so far when something is pulled over them."""
HEAD = (10.0, COMMON)
"""Over the head girth, mm, for a neck that slips over easily; hair and ears want it."""
HAND, THUMB = (10.0, f"{COMMON}: {said(10)} to {said(20)} over the hand"), (15.0, f"{COMMON}: the thumb folded in")
"""Over the hand's girth with its thumb, mm; and what the thumb adds to a girth over the knuckles."""
FOOT = (10.0, f"{COMMON}: {said(10)} to {said(20)} over heel and instep")
ARM = (25.0, COMMON)
"""Over the arm root, mm, for an armhole without a sleeve."""
SEAT = (
    0.026,
    0.052,
    f"{COMMON}: {said(25)} to {said(50)} on a hip of {said(960)}; {SURVEY}: hips are broader by 4.4 % of their girth, sitting",
)
"""Spread of the hips, sitting, as shares of the hip girth."""
THIGH = (0.025, 0.045, COMMON)
KNEE = (0.0, 0.13, f"{SKIN}: 12 to 14 % round a bent knee; a leg that slides up needs less")
ELBOW = (0.0, 0.15, f"{SKIN}: 15 to 22 % round a bent elbow; a sleeve that slides up needs less")
ACROSS_BACK = (0.0, 0.13, f"{SKIN}: 13 to 16 % across the back with the arms forward")
CAP_FREE = (0.28, f"{COMMON}: a shirt's sleeve head is about a quarter of the armhole high, a tailored one a third")
"""A sleeve head this low, as a share of the armhole's length, lets the arm rise."""
STEP, SHORT_STEP = (0.41, "pedometers' rule: a step is 0.41 of the height (from memory)"), 0.6
"""A step as a share of the height; and what is left of it where one only just walks."""
LEG = (0.47, f"{SURVEY}: crotch height is about 0.47 of the height")
TRIP = 20.0
"""A hem nearer to the floor than this, mm, is trodden on (common practice)."""
ELASTIC = (2.0, COMMON)
"""An elastic can be drawn out to so many times its length."""
POOR = 0.05
"""Of a stretch held, what stays above this share of the length bags (common practice)."""

WEARING_KEYS = (
    "stature", "head_girth", "neck_girth", "bust_girth", "chest_girth", "waist_girth", "hip_girth", "thigh_girth", "knee_girth",
    "calf_girth", "heel_ankle_girth", "upper_arm_girth", "armscye_girth", "elbow_girth", "forearm_girth", "hand_girth",
    "back_width", "front_width", "body_rise", "crotch_length", "trunk_circumference", "waist_height", "waist_to_hip",
    "inside_leg_length",
)  # fmt: skip
"""Measurements that the questions here are answered with, where they were taken."""
