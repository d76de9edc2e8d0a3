"""How each measurement is taken: the place, the way, alone or with a friend, and over what.

The words are our own and follow the trade's common practice; no conformity to a standard of body measurements is claimed.
:data:`TAKING` is in the order in which one takes them: girths from the top, then lengths, then legs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

__all__ = ["PREPARE", "TAKING", "Group", "Over", "Taking", "in_order"]


class Over(StrEnum):
    """What the tape is best laid over, where it makes a difference."""

    LIGHT = "thin close clothing"
    FOUNDATION = "the foundation garments worn with the costume"
    SHOES = "the shoes worn with the costume"
    BARE_FEET = "bare feet"
    SKIN = "bare skin"
    HAIR = "the hair or wig cap as it is worn"


class Group(StrEnum):
    """A stretch of the form, in the order of taking."""

    FIRST = "To begin with"
    GIRTHS = "Girths, from the top"
    ARM = "Round the arm"
    UPPER = "Lengths and widths above the waist"
    SLEEVE = "Along the arm"
    LOWER = "From the waist down"
    LEG = "Round the leg, and the foot"


@dataclass(frozen=True, slots=True)
class Taking:
    """How one measurement is taken.

    Parameters
    ----------
    how
        Where the tape lies and how the body is held.
    alone
        How it can be taken without help; empty if it cannot.
    friend
        Why a friend is needed, where it cannot be taken alone.
    over
        What the tape is best laid over.
    """

    key: str
    group: Group
    how: str
    alone: str = ""
    friend: str = ""
    over: Over = Over.LIGHT


PREPARE = (
    "Wear what will be worn beneath the costume, and tie a narrow tape round the waist where it settles by itself when you "
    "bend sideways: every length to or from the waist goes to that tape.",
    "Mark both shoulder points, the root of the neck at the sides and the bone at the back of the neck with dots of chalk or "
    "washable pen.",
    "Stand as you always stand, breathe out, look ahead. The tape lies close and does not dent. Never tie it round the neck.",
    "Take every girth twice, letting go of the tape in between, and write both. If they differ by more than a centimetre, take "
    "it a third time and keep the two that agree.",
    "Take the right side; where the two sides differ, take both and note the other one.",
)
"""What is done before the first measurement, and holds for all of them."""

MIRROR = "Before a mirror, turning to see that the tape lies level at the back."

_t = Taking
_F = Group.FIRST
_G = Group.GIRTHS
_A = Group.ARM
_U = Group.UPPER
_S = Group.SLEEVE
_L = Group.LOWER
_K = Group.LEG
_FOUND, _SHOES, _SKIN = Over.FOUNDATION, Over.SHOES, Over.SKIN

_ALL = (
    _t("stature", _F, "Heels, seat and shoulders against a wall, eyes level; from the floor to the top of the head.",
       "Press a hardback book into the corner of wall and head, hold it there, step away and mark its underside; measure up to "
       "the mark.", over=Over.BARE_FEET),
    _t("body_mass", _F, "On scales, in underwear, at the same time of day as last time.", "Read the scales."),
    # girths
    _t("head_girth", _G, "Above the brows and ears and over the bump at the back: where a hat sits.",
       "In front of a mirror; slide the tape up and down and keep the largest.", over=Over.HAIR),
    _t("neck_girth", _G, "Level round the middle of the neck, just below the Adam's apple, a finger between tape and neck.",
       "In front of a mirror; hold the tape, do not tie it.", over=_SKIN),
    _t("neck_base_girth", _G, "Round the root of the neck: over the bone at the back, both side dots, and the hollow in front.",
       "Lay a fine chain, which settles into the root of the neck, mark where it meets itself, and measure the chain. Do not "
       "fasten it.", over=_SKIN),
    _t("upper_chest_girth", _G, "Close up under the arms, over the shoulder blades and above the bust; arms down.",
       "Bring the tape round with raised arms, then let them hang and close it in front. " + MIRROR, over=_FOUND),
    _t("chest_girth", _G, "Level round the fullest part of the chest and over the shoulder blades, arms down.", MIRROR),
    _t("bust_girth", _G, "Level over the fullest part of the bust and round the back, arms down, without pressing.",
       MIRROR + " A tape with its end hooked to a pin at the side stays level.", over=_FOUND),
    _t("under_bust_girth", _G, "Level round the ribs directly under the breasts, breathed out.", MIRROR, over=_FOUND),
    _t("waist_girth", _G, "Level where the tied tape has settled, between the lowest rib and the hip bone.",
       "Measure along the tied tape, or mark that tape where it meets itself and lay it flat.", over=_FOUND),
    _t("top_hip_girth", _G, "Level round the hip bones, halfway between waist and full hip.", MIRROR, over=_FOUND),
    _t("hip_girth", _G, "Level round the fullest part of the seat, feet together.",
       "Sideways to a mirror, to find the fullest part and to see the tape level.", over=_FOUND),
    _t("trunk_circumference", _G, "From the middle of one shoulder down over the front, between the legs and up the back to "
       "where it began.", friend="The tape must lie straight down the back and must not slip off the shoulder.", over=_FOUND),
    # arm
    _t("armscye_girth", _A, "From the shoulder point down through the armpit and up again; the arm hanging.",
       "Lift the arm, pin the tape's end to the shoulder of a close vest, bring it round, let the arm hang, read in a mirror."),
    _t("upper_arm_girth", _A, "Round the fullest part midway between shoulder and elbow; the arm hanging and loose.",
       "Make a loop of the tape with its end in the teeth or under a clip, slide it up, draw it close and read.", over=_SKIN),
    _t("elbow_girth", _A, "Round the elbow over its point, the arm bent to a right angle.",
       "Rest the hand on the hip and close the tape with the other hand.", over=_SKIN),
    _t("forearm_girth", _A, "Round the fullest part below the elbow; the arm hanging, the hand open.",
       "Lay the arm on a table, hand open, and slide the tape to the fullest place.", over=_SKIN),
    _t("wrist_girth", _A, "Round the wrist over the knob on the side of the little finger.",
       "With the other hand, the arm on a table.", over=_SKIN),
    _t("hand_girth", _A, "Round the knuckles without the thumb, the hand flat. For a cuff without an opening take it also with "
       "the thumb laid into the palm, and note that.", "With the other hand.", over=_SKIN),
    # above the waist
    _t("shoulder_length", _U, "From the dot at the side of the neck to the shoulder point: a raised arm makes a dimple there.",
       "In front of a mirror, with the other hand."),
    _t("shoulder_width", _U, "From one shoulder point to the other over the back, across the bone at the back of the neck.",
       friend="Both ends are behind you; reaching for them moves the shoulders."),
    _t("shoulder_slope", _U, "How far the shoulder falls below the level: a ruler along it, and the angle below horizontal.",
       "Take a photograph from behind at shoulder height, the camera level, and measure the angle on it."),
    _t("back_width", _U, "Straight across the back from arm crease to arm crease, halfway down the armhole; arms hanging.",
       friend="Reaching back spreads the shoulder blades."),
    _t("front_width", _U, "Straight across the front from arm crease to arm crease, halfway down the armhole; arms hanging.",
       "Mark the two creases with pins in a close vest, then measure between the pins in front of a mirror."),
    _t("bust_point_width", _U, "Straight from one bust point to the other, without following the hollow.",
       "In front of a mirror.", over=_FOUND),
    _t("side_neck_to_bust", _U, "From the dot at the side of the neck straight to the bust point.",
       "Hold the end at the dot with the hand of the other side.", over=_FOUND),
    _t("front_waist_length", _U, "From the dot at the side of the neck over the bust point and straight down to the tied tape.",
       "Pin the end to the shoulder of a close vest and let the tape hang over the bust.", over=_FOUND),
    _t("back_waist_length", _U, "From the bone at the back of the neck down the spine to the tied tape; the head straight.",
       friend="Bowing the head to see lengthens the back."),
    _t("scye_depth", _U, "From the bone at the back of the neck down to the level of the armpits.",
       friend="A ruler is held level under the arms while another one reads down the spine."),
    # along the arm
    _t("arm_length", _S, "From the shoulder point over the slightly bent elbow to the wrist bone.",
       "Pin the end at the shoulder point, put the hand on the hip, lay the tape over the elbow and read in a mirror."),
    _t("shoulder_to_wrist_bent", _S, "From the shoulder point over the point of the elbow to the wrist bone, the elbow at a "
       "right angle.", "Pin the end at the shoulder point, lay the forearm on a table and bring the tape round the elbow."),
    _t("upper_arm_length", _S, "From the shoulder point to the point of the elbow, the arm a little bent.",
       "Pin the end at the shoulder point and read at the elbow in a mirror."),
    _t("back_neck_to_wrist", _S, "From the bone at the back of the neck over shoulder point and bent elbow to the wrist bone.",
       friend="The end must be held at the neck while the arm is bent; pinned to a collar it slips."),
    # from the waist down
    _t("waist_to_hip", _L, "At the side from the tied tape down to the level of the fullest part of the seat.",
       "Leave the tape of the hip girth in place and measure between the two in a mirror.", over=_FOUND),
    _t("body_rise", _L, "Sitting upright on a hard flat chair: at the side from the tied tape down to the seat.",
       "Stand a ruler on the chair beside the hip and read it at the tied tape."),
    _t("crotch_length", _L, "From the tied tape in front between the legs to the tied tape behind, close and not tight.",
       "Pin the end to the tape in front, bring it through and read behind in a mirror, or mark it with a clip."),
    _t("crotch_length_front", _L, "From the tied tape in front down to the point between the legs where inside leg seams meet.",
       "Put a safety pin into close leggings at that point and measure to it."),
    _t("crotch_length_back", _L, "From that point between the legs up to the tied tape behind.",
       "Take it from the whole crotch length: the whole less the front."),
    _t("waist_height", _L, "At the side from the tied tape straight down to the floor.",
       "Put the end under the heel and draw the tape up, standing straight.", over=_SHOES),
    _t("outside_leg_length", _L, "At the side from the tied tape over the hip and straight down to the floor, or to where the "
       "hem shall be.", friend="Bending to read the end shortens it.", over=_SHOES),
    _t("inside_leg_length", _L, "From the crotch straight down to the floor, feet a little apart.",
       "Draw a thin hardback book up between the legs, its spine against a wall, mark its upper edge on the wall and measure "
       "down.", over=_SHOES),
    _t("knee_height", _L, "From the middle of the kneecap straight down to the floor, standing.",
       "Mark the kneecap, then hold a long ruler beside the leg and read it in a mirror.", over=_SHOES),
    # legs
    _t("thigh_girth", _K, "Level round the fullest part of one thigh, close under the fold of the seat, feet a little apart.",
       "In front of a mirror, weight on both feet."),
    _t("knee_girth", _K, "Round the middle of the kneecap, standing; for close breeches once more with the knee bent.",
       "Foot on the floor, leaning on a chair."),
    _t("calf_girth", _K, "Round the fullest part of the calf, weight on both feet.",
       "Foot on the floor beside a chair; slide the tape to the fullest place."),
    _t("ankle_girth", _K, "Round the ankle over both bones.", "Foot on a stool.", over=_SKIN),
    _t("heel_ankle_girth", _K, "Round the heel and over the top of the instep, the toes pointed: the widest that a narrow hem "
       "must pass.", "Sitting, the foot across the other knee.", over=_SKIN),
    _t("foot_length", _K, "From the back of the heel to the tip of the longest toe, standing.",
       "Stand on paper with the heel against a wall and mark the longest toe.", over=Over.BARE_FEET),
)  # fmt: skip

TAKING: Mapping[str, Taking] = MappingProxyType({one.key: one for one in _ALL})
"""How each measurement is taken, by key, in the order in which one takes them."""


def in_order(keys: Iterable[str]) -> tuple[str, ...]:
    """Known measurements in the order in which one takes them, each once.

    Examples
    --------
    >>> in_order(["thigh_girth", "waist_girth", "head_girth"])
    ('head_girth', 'waist_girth', 'thigh_girth')
    """
    wanted = set(keys)
    return tuple(key for key in TAKING if key in wanted)
