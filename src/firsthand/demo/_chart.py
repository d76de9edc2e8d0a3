"""The size chart all patterns of the demo are drafted from: an adult's body in three sizes, invented by us.

Every number is a body measurement in millimetres. Bust, waist and hip go up by 40 mm from size to size, which is the
common step; the others follow at about the rate at which they follow the bust in the public anthropometric survey of
the US Army of 2012 (ANSUR II), rounded to whole millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

__all__ = ["CHART", "LETTERS", "chart_of"]

LETTERS = ("S", "M", "L")

CHART: Mapping[str, Mapping[str, float]] = {
    "S": {
        "bust_girth": 880, "waist_girth": 700, "hip_girth": 960, "neck_girth": 325, "neck_base_girth": 365,
        "head_girth": 560, "shoulder_length": 122, "back_width": 345, "back_waist_length": 408, "scye_depth": 206,
        "upper_arm_girth": 284, "wrist_girth": 157, "arm_length": 570, "waist_to_hip": 198, "body_rise": 264,
        "inside_leg_length": 782, "knee_height": 460, "thigh_girth": 570, "knee_girth": 370, "calf_girth": 358,
        "heel_ankle_girth": 314,
    },
    "M": {
        "bust_girth": 920, "waist_girth": 740, "hip_girth": 1000, "neck_girth": 335, "neck_base_girth": 373,
        "head_girth": 568, "shoulder_length": 125, "back_width": 355, "back_waist_length": 413, "scye_depth": 211,
        "upper_arm_girth": 296, "wrist_girth": 160, "arm_length": 576, "waist_to_hip": 202, "body_rise": 270,
        "inside_leg_length": 790, "knee_height": 465, "thigh_girth": 592, "knee_girth": 382, "calf_girth": 370,
        "heel_ankle_girth": 320,
    },
    "L": {
        "bust_girth": 960, "waist_girth": 780, "hip_girth": 1040, "neck_girth": 345, "neck_base_girth": 381,
        "head_girth": 576, "shoulder_length": 128, "back_width": 365, "back_waist_length": 418, "scye_depth": 216,
        "upper_arm_girth": 308, "wrist_girth": 163, "arm_length": 582, "waist_to_hip": 206, "body_rise": 276,
        "inside_leg_length": 798, "knee_height": 470, "thigh_girth": 614, "knee_girth": 394, "calf_girth": 382,
        "heel_ankle_girth": 326,
    },
}  # fmt: skip
"""Body measurements by size, mm, under their canonical keys."""


def chart_of(keys: Iterable[str], chart: Mapping[str, Mapping[str, float]] = CHART) -> dict[str, dict[str, float]]:
    """The part of the chart that is printed on one envelope.

    Examples
    --------
    >>> chart_of(["waist_girth"])
    {'S': {'waist_girth': 700}, 'M': {'waist_girth': 740}, 'L': {'waist_girth': 780}}
    """
    wanted = tuple(keys)
    return {size: {key: row[key] for key in wanted} for size, row in chart.items()}
