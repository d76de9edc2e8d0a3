"""Every measurement the program knows: its key, its trade name, how it is taken.

The definitions are our own words. They follow the trade; no conformity to a standard of body measurements is claimed. The
caveats say where the survey behind the plausibility tables took a measurement otherwise than a dressmaker does.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from firsthand.body.model import Body, Measurement, MeasurementKind, Sort
from firsthand.errors import GeometryError
from firsthand.pattern import Level

__all__ = ["MEASUREMENTS", "needed_measurements", "refuse_nonsense", "stand_in", "taken"]

LONGEST = 100_000.0
"""No number of a body is larger, mm; what a body can have is told by :func:`firsthand.body.check_body`."""

GIRTH, LENGTH, ANGLE, MASS = Sort.GIRTH, Sort.LENGTH, Sort.ANGLE, Sort.MASS
_m = MeasurementKind

_ALL = (
    _m("stature", "height", LENGTH, "Top of head to floor, standing straight, no shoes."),
    _m("body_mass", "weight", MASS, "Weight in underwear."),
    _m("head_girth", "head, hat size", GIRTH, "Largest girth around the head above the ears."),
    _m("neck_girth", "neck, collar", GIRTH, "Just below the Adam's apple, at right angles to the neck's axis."),
    _m(
        "neck_base_girth", "base of neck", GIRTH,
        "Around the root of the neck through the back neck point, side neck points and front neck point.",
    ),
    _m("shoulder_length", "shoulder seam", LENGTH, "Side neck point to shoulder point along the shoulder line."),
    _m(
        "shoulder_width", "shoulder to shoulder", LENGTH,
        "Left shoulder point to right shoulder point over the back, passing near the back neck point.",
        "A straight breadth taken with a caliper is shorter.",
    ),
    _m("shoulder_slope", "slope", ANGLE, "Angle of the shoulder line below horizontal."),
    _m("back_width", "across back", LENGTH, "Across the back between the arm creases midway up the armhole."),
    _m("front_width", "across front", LENGTH, "Across the chest between the front arm creases midway up the armhole."),
    _m(
        "chest_girth", "chest", GIRTH,
        "Horizontal, under the arms, over the shoulder blades and the chest at its fullest (men).",
        "The survey took it at the bust point for everybody.",
    ),
    _m(
        "bust_girth", "full bust", GIRTH,
        "Horizontal girth over the fullest part of the bust (women).",
        "The survey took it at the bust point.",
    ),
    _m("upper_chest_girth", "high bust", GIRTH, "Close under the arms, above the bust."),
    _m("under_bust_girth", "underbust, band", GIRTH, "Horizontal, directly under the breasts."),
    _m("bust_point_width", "bust span, apex to apex", LENGTH, "Straight between the two bust points."),
    _m("side_neck_to_bust", "bust depth, HPS to apex", LENGTH, "Side neck point down to the bust point."),
    _m(
        "waist_girth", "waist, natural waist", GIRTH,
        "Horizontal at the level midway between the lowest rib point and the highest point of the hip bone at the side.",
        "The survey took it at the navel: lower, and usually larger, than the dressmaker's waist.",
    ),
    _m("top_hip_girth", "high hip", GIRTH, "Horizontal, at the level midway between waist level and hip level."),
    _m("hip_girth", "full hip, seat", GIRTH, "Horizontal girth at the fullest part of the buttocks."),
    _m(
        "back_waist_length", "nape to waist", LENGTH,
        "Back neck point down the spine to the waist level.",
        "The survey took it down to the level of the navel: longer than to the dressmaker's waist.",
    ),
    _m("front_waist_length", "front length", LENGTH, "Side neck point over the bust point to the waist."),
    _m("scye_depth", "armhole depth", LENGTH, "Back neck point down to the level of the armpits."),
    _m("armscye_girth", "armhole", GIRTH, "Around the arm root over the shoulder point and through the armpit."),
    _m(
        "upper_arm_girth", "bicep", GIRTH,
        "Around the upper arm midway between shoulder point and elbow point.",
        "The survey took it flexed: larger than relaxed.",
    ),
    _m("elbow_girth", "elbow", GIRTH, "Around the bent elbow."),
    _m(
        "forearm_girth", "forearm", GIRTH,
        "Largest girth of the forearm, arm hanging, hand open.",
        "The survey took it flexed: larger than relaxed.",
    ),
    _m("wrist_girth", "wrist", GIRTH, "Around the wrist at the level of the bony knob on the little-finger side (right)."),
    _m(
        "hand_girth", "hand, knuckles", GIRTH,
        "Largest girth over the knuckles without thumb; over the thumb for slip-on cuffs.",
        "The survey took it without the thumb.",
    ),
    _m(
        "arm_length", "sleeve length", LENGTH,
        "Shoulder point over the slightly bent elbow to the wrist bone.",
        "The survey took it along a straight arm.",
    ),
    _m(
        "shoulder_to_wrist_bent", "shoulder to wrist over a bent elbow", LENGTH,
        "Shoulder point over the point of the elbow to the wrist bone, the elbow bent at a right angle.",
    ),
    _m(
        "upper_arm_length", "shoulder to elbow", LENGTH,
        "Shoulder point to elbow.",
        "The survey took it seated, the elbow bent.",
    ),
    _m(
        "back_neck_to_wrist", "centre-back sleeve", LENGTH,
        "Back neck point over shoulder point and bent elbow to wrist bone.",
    ),
    _m("body_rise", "crotch depth, rise", LENGTH, "Seated on a hard flat chair: waist level at the side down to the seat."),
    _m(
        "crotch_length", "crotch length, through the legs", LENGTH,
        "Front waist through the legs to back waist.",
        "The survey took it from the level of the navel.",
    ),
    _m(
        "crotch_length_front", "front crotch length", LENGTH,
        "Front waist down to the point between the legs where the inside leg seams meet.",
    ),
    _m(
        "crotch_length_back", "back crotch length", LENGTH,
        "Back waist down to the point between the legs where the inside leg seams meet.",
        "The survey took it from the level of the navel.",
    ),
    _m("trunk_circumference", "torso loop, girth (leotards)", GIRTH, "Over one shoulder, down through the legs and back up."),
    _m("waist_height", "waist to floor", LENGTH, "Waist level to floor.", "The survey took it at the level of the navel."),
    _m("outside_leg_length", "outseam", LENGTH, "Waist at the side, over the hip, down to the floor or ankle."),
    _m("inside_leg_length", "inseam", LENGTH, "Crotch straight down to the floor (trade inseam stops at the hem)."),
    _m("waist_to_hip", "hip depth", LENGTH, "Waist to full-hip level at the side."),
    _m("thigh_girth", "thigh", GIRTH, "Horizontal, largest girth of the thigh just below the buttock fold (right leg)."),
    _m("knee_girth", "knee", GIRTH, "Around the knee at mid kneecap."),
    _m("knee_height", "waist to knee / knee line", LENGTH, "Mid kneecap to floor."),
    _m("calf_girth", "calf", GIRTH, "Largest horizontal girth of the calf."),
    _m("ankle_girth", "ankle", GIRTH, "Around the ankle over the bones.", "The survey took the least girth above the bones."),
    _m("heel_ankle_girth", "entry girth for narrow hems/tights", GIRTH, "Around heel and top of instep, foot pointed."),
    _m("foot_length", "foot", LENGTH, "Heel to longest toe."),
)  # fmt: skip

MEASUREMENTS: Mapping[str, MeasurementKind] = MappingProxyType({kind.key: kind for kind in _ALL})
"""All kinds of measurement, by key, from head to foot."""

_STAND_INS = {"bust_girth": "chest_girth", "chest_girth": "bust_girth"}
"""Measurements taken at nearly the same place, that can stand in for each other."""


def taken(body: Body, key: str) -> Measurement | None:
    """A measurement of a body, or the one taken at the same place under another name; None if neither was taken.

    Examples
    --------
    >>> wearer = Body("w", "W", {"chest_girth": Measurement("chest_girth", 980.0)})
    >>> taken(wearer, "bust_girth").value, taken(wearer, "hip_girth")
    (980.0, None)
    """
    return body.measurements.get(key) or body.measurements.get(stand_in(key))


def refuse_nonsense(body: Body) -> None:
    """Refuse a body with a measurement that is no number, or none above zero.

    Raises
    ------
    GeometryError
        It names the measurement and whose it is.

    Examples
    --------
    >>> refuse_nonsense(Body("w", "W", {"hip_girth": Measurement("hip_girth", -980.0)}))
    Traceback (most recent call last):
        ...
    firsthand.errors.GeometryError: hip_girth of W must be a length above zero, not -980.0
    """
    for key, measured in body.measurements.items():
        for value in (measured.value, measured.again):
            if value is None:
                continue
            if key in MEASUREMENTS and MEASUREMENTS[key].sort is ANGLE:
                if not abs(value) < math.pi / 2:
                    raise GeometryError(f"{key} of {body.name} must be an angle below a right one, not {value}")
            elif not 0 < value <= LONGEST:
                raise GeometryError(f"{key} of {body.name} must be a length above zero, not {value}")


def stand_in(key: str) -> str:
    """The key of the measurement that is taken at nearly the same place; empty if there is none."""
    return _STAND_INS.get(key, "")


def needed_measurements(levels: Iterable[Level]) -> tuple[str, ...]:
    """The measurements that levels are compared with, in the order of the table, each once.

    Keys that nobody knows come last.

    Examples
    --------
    >>> needed_measurements([Level("hip", "hip", "hip_girth"), Level("bust", "bust", "bust_girth")])
    ('bust_girth', 'hip_girth')
    """
    wanted = dict.fromkeys(level.body for level in levels if level.body)
    return (*(key for key in MEASUREMENTS if key in wanted), *(key for key in wanted if key not in MEASUREMENTS))
