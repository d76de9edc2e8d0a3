"""Where each measurement is taken, drawn on the figure as a loop or a line, with its number beside it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from firsthand.body import TAKING
from firsthand.geometry import Affine, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, Sink, WordKind
from firsthand.sheets._figure import View, draw_outline, ellipse, through
from firsthand.sheets.look import WORDS

__all__ = ["MARKS", "NUMBERS", "REACH", "Mark", "badge", "draw_figure"]

NUMBERS: Mapping[str, int] = MappingProxyType({key: number for number, key in enumerate(TAKING, 1)})
"""Every measurement has the same number on every form: its place in the order of taking."""

LOOP, ALONG, FAR = LineKind.NOTCH, LineKind.STITCHING, LineKind.BOUGHT
TICK = 1.1
"""Half the stroke across the end of a length, in the figure's units."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One measurement on the figure.

    Parameters
    ----------
    view
        The drawing it is on.
    lines
        What is drawn, in the figure's units, with its kind of line.
    tip
        Where the thread to its number begins.
    side
        Whether the number stands left (-1) or right (1) of the figure.
    """

    view: View
    lines: tuple[tuple[Path, LineKind], ...]
    tip: Point
    side: int


def _loop(view: View, side: int, x: float, y: float, wide: float, high: float, turn: float = 0.0) -> Mark:
    """A girth: the nearer half of the loop drawn out, the farther one in dashes."""
    near, far = ellipse(x, y, wide, high, turn=turn), ellipse(x, y, wide, high, front=False, turn=turn)
    return Mark(view, ((near, LOOP), (far, FAR)), near.start if (side < 0) == (near.start.x < near.end.x) else near.end, side)


def _along(view: View, side: int, tip: float, *spots: tuple[float, float], bare: bool = False) -> Mark:
    """A length: a dashed line with a stroke across each end, the thread beginning at a share of it."""
    path = through(*spots)
    ends = () if bare else (_tick(path.start, path.start_tangent), _tick(path.end, path.end_tangent))
    return Mark(view, ((path, ALONG), *((end, LOOP) for end in ends)), path.at(path.length * tip), side)


def _tick(at: Point, along: Point) -> Path:
    across = along.unit().left * TICK
    return Path.line(at - across, at + across)


def _slope() -> Mark:
    level = Path.line(Point(-6.6, 144.4), Point(-21.5, 144.4))
    fall = Path.line(Point(-6.6, 144.4), Point(-20.2, 137.6))
    angle = math.atan2(6.8, 13.6)
    arc = Path.arc(Point(-6.6, 144.4), 12.0, math.pi, angle)
    return Mark(View.BACK, ((level, FAR), (fall, FAR), (arc, LOOP)), Point(-21.5, 144.4), -1)


_FRONT, _BACK, _SIDE, _ARM, _SEAT = View.FRONT, View.BACK, View.SIDE, View.ARM, View.SEAT
_RIGHT_ARM = -0.25
"""How far a loop round the wearer's right arm is turned, radians."""

MARKS: Mapping[str, Mark] = MappingProxyType({
    "stature": _along(_SIDE, -1, 0.94, (-17.5, 0), (-17.5, 170)),
    "head_girth": _loop(_FRONT, 1, 0, 163.0, 7.2, 1.7),
    "neck_girth": _loop(_FRONT, 1, 0, 148.0, 5.0, 1.2),
    "neck_base_girth": _loop(_FRONT, 1, 0, 144.0, 6.4, 2.6),
    "upper_chest_girth": _loop(_FRONT, 1, 0, 129.2, 16.9, 2.0),
    "chest_girth": _loop(_FRONT, 1, 0, 122.6, 16.7, 3.2),
    "bust_girth": _loop(_FRONT, 1, 0, 122.6, 16.7, 3.2),
    "under_bust_girth": _loop(_FRONT, 1, 0, 115.6, 15.3, 2.6),
    "waist_girth": _loop(_FRONT, 1, 0, 105.5, 13.0, 2.4),
    "top_hip_girth": _loop(_FRONT, 1, 0, 97.2, 15.1, 2.6),
    "hip_girth": _loop(_FRONT, 1, 0, 87.0, 17.6, 2.8),
    "trunk_circumference": _along(_FRONT, -1, 0.03, (-13.0, 140.2), (-10.4, 122.0), (-6.0, 100.0), (-0.8, 79.6)),
    "armscye_girth": Mark(
        _SIDE,
        ((through((-0.6, 138.0), (4.4, 133.4), (3.6, 127.2), (-0.6, 125.6), (-4.6, 127.2), (-5.4, 133.4), (-0.6, 138.0),
                  start=(1, 0), end=(1, 0)), LOOP),),
        Point(4.2, 130.0), 1,
    ),
    "upper_arm_girth": _loop(_FRONT, -1, -21.5, 120.0, 2.9, 0.9, _RIGHT_ARM),
    "elbow_girth": _loop(_ARM, 1, 1.1, 3.5, 6.8, 1.8, math.radians(48.6)),
    "forearm_girth": _loop(_FRONT, -1, -27.0, 101.0, 2.5, 0.8, _RIGHT_ARM),
    "wrist_girth": _loop(_FRONT, -1, -31.5, 84.4, 2.0, 0.7, _RIGHT_ARM),
    "hand_girth": _loop(_FRONT, -1, -33.9, 74.8, 2.9, 0.9, -0.1),
    "shoulder_length": _along(_BACK, 1, 0.72, (6.8, 145.2), (12.6, 142.4), (18.9, 138.8)),
    "shoulder_width": _along(_BACK, 1, 0.94, (-18.4, 136.6), (-9.0, 140.4), (0, 141.8), (9.0, 140.4), (18.4, 136.6)),
    "shoulder_slope": _slope(),
    "back_width": _along(_BACK, 1, 0.99, (-16.2, 130.4), (16.2, 130.4)),
    "front_width": _along(_FRONT, 1, 0.99, (-15.4, 133.0), (15.4, 133.0)),
    "bust_point_width": _along(_FRONT, 1, 0.99, (-7.6, 120.6), (7.6, 120.6)),
    "side_neck_to_bust": _along(_FRONT, -1, 0.22, (-6.6, 143.0), (-7.2, 132.0), (-7.8, 121.6)),
    "front_waist_length": _along(_FRONT, 1, 0.12, (6.6, 143.0), (7.8, 121.4), (7.2, 104.0)),
    "back_waist_length": _along(_BACK, 1, 0.72, (0, 142.6), (0, 105.5)),
    "scye_depth": _along(_BACK, -1, 0.98, (-4.0, 142.2), (-4.0, 127.4)),
    "arm_length": _along(_BACK, -1, 0.45, (-20.2, 136.0), (-24.9, 121.0), (-28.0, 108.6), (-30.8, 99.0), (-34.4, 84.0)),
    "shoulder_to_wrist_bent": _along(
        _ARM, 1, 0.97, (-2.6, 33.2), (-2.2, 17.0), (-2.0, 4.0), (1.0, -0.6), (8.0, -1.4), (18.0, 0.0), (27.0, 1.2)
    ),
    "upper_arm_length": _along(_ARM, -1, 0.5, (-6.8, 34.0), (-6.8, -1.4)),
    "back_neck_to_wrist": _along(
        _BACK, 1, 0.80, (0.6, 143.4), (11.0, 142.6), (20.8, 136.4), (25.2, 121.0), (28.4, 108.6), (31.2, 99.0), (34.6, 84.0)
    ),
    "waist_to_hip": _along(_SIDE, -1, 0.3, (-2.6, 105.5), (-2.6, 87.0)),
    "body_rise": _along(_SEAT, -1, 0.45, (0.4, 41.0), (0.4, 8.4)),
    "crotch_length": _along(
        _SIDE, 1, 0.16, (6.2, 105.5), (7.4, 92.0), (5.0, 82.0), (0.0, 78.4), (-6.2, 80.0), (-10.6, 88.0), (-6.6, 98.5),
        (-5.9, 105.5),
    ),
    "crotch_length_front": _along(_SIDE, 1, 0.55, (4.4, 105.5), (5.4, 92.0), (3.4, 84.0), (0.2, 81.4)),
    "crotch_length_back": _along(_SIDE, -1, 0.50, (-0.6, 81.2), (-5.4, 83.2), (-8.4, 88.6), (-4.8, 98.5), (-4.4, 105.5)),
    "waist_height": _along(_SIDE, 1, 0.40, (22.8, 105.5), (22.8, 0)),
    "outside_leg_length": _along(_SIDE, -1, 0.55, (1.2, 105.5), (1.8, 88.0), (0.4, 60.0), (-0.8, 30.0), (-0.8, 1.0)),
    "inside_leg_length": _along(_FRONT, 1, 0.80, (0, 77.6), (0, 0.4)),
    "knee_height": _along(_SIDE, 1, 0.30, (19.6, 47.5), (19.6, 0)),
    "thigh_girth": _loop(_FRONT, -1, -9.4, 73.0, 7.7, 1.8),
    "knee_girth": _loop(_FRONT, -1, -8.6, 47.6, 4.1, 1.1),
    "calf_girth": _loop(_FRONT, -1, -8.5, 37.6, 4.8, 1.2),
    "ankle_girth": _loop(_FRONT, -1, -7.3, 10.4, 2.0, 0.7),
    "heel_ankle_girth": _loop(_SIDE, 1, -0.4, 6.6, 6.2, 1.6, math.radians(38)),
    "foot_length": _along(_SIDE, 1, 0.99, (-5.6, -3.2), (18.4, -3.2)),
})  # fmt: skip
"""Where each measurement is taken; the body mass has no place."""

REACH: Mapping[View, tuple[float, float]] = MappingProxyType({
    View.FRONT: (-41.0, 41.0), View.BACK: (-41.0, 41.0), View.SIDE: (-22.5, 27.5),
    View.ARM: (-13.0, 49.0), View.SEAT: (-20.0, 44.0),
})  # fmt: skip
"""Where the numbers stand left and right of each drawing, in the figure's units."""

BADGE = 2.1
"""Radius of the ring round a number, mm on paper."""


def draw_figure(sink: Sink, view: View, keys: Iterable[str], onto: Point, scale: float) -> None:
    """Draw one view with the measurements wanted on it.

    Parameters
    ----------
    sink, view
        Where, and which drawing.
    keys
        The measurements; those of other views are left out.
    onto, scale
        Where the figure's origin comes, and how many millimetres one of its units has.
    """
    marks = {key: MARKS[key] for key in keys if key in MARKS and MARKS[key].view is view}
    place = Affine.translation(onto.x, onto.y) @ Affine.scaling(scale)
    sink.push(place, name=f"figure {view.value}")
    draw_outline(sink, view)
    for mark in marks.values():
        for path, kind in mark.lines:
            sink.path(path, kind)
    sink.pop()
    for side in (-1, 1):
        column = onto.x + REACH[view][0 if side < 0 else 1] * scale
        _number(sink, {key: place(mark.tip) for key, mark in marks.items() if mark.side == side}, column, side)


def _number(sink: Sink, tips: Mapping[str, Point], column: float, side: int) -> None:
    """The numbers of one side, one above another, each with its thread."""
    groups: dict[tuple[float, float], list[str]] = {}
    for key, tip in tips.items():
        groups.setdefault((round(tip.x, 3), round(tip.y, 3)), []).append(key)
    order = sorted(groups, key=lambda spot: (-spot[1], spot[0] * side))
    heights = _spaced([y for _, y in order], 2 * BADGE + 0.5)
    for spot, y in zip(order, heights, strict=True):
        start, first = Point(*spot), Point(column, y)
        sink.path(Path.line(start, first - (first - start).unit() * BADGE), LineKind.RULE)
        for place, key in enumerate(groups[spot]):
            badge(sink, NUMBERS[key], Point(column + side * place * 2 * BADGE, y))


def badge(sink: Sink, number: int, at: Point) -> None:
    """A number in a ring."""
    sink.path(Path.arc(at, BADGE, 0.0, math.tau), LineKind.RULE)
    low = WORDS[WordKind.TINY].size * 0.36
    sink.words(str(number), Point(at.x, at.y - low), WordKind.TINY, anchor=Anchor.MIDDLE)


def _spaced(heights: list[float], apart: float) -> list[float]:
    """Falling heights moved as little as may be, so that each is at least so far below the one before."""
    blocks: list[tuple[float, int]] = []
    for k, height in enumerate(heights):
        blocks.append((height + k * apart, 1))
        while len(blocks) > 1 and blocks[-1][0] > blocks[-2][0]:
            (top, many), (low, few) = blocks[-2:]
            blocks[-2:] = [((top * many + low * few) / (many + few), many + few)]
    level = [middle for middle, count in blocks for _ in range(count)]
    return [middle - k * apart for k, middle in enumerate(level)]
