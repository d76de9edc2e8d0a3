"""A plain line figure of our own: from the front, from the back, from the side, an arm, and somebody seated.

Drawn from a few points by fair curves, in units of a hundredth of a person of 1.70 m, so that a height in it reads as
centimetres; the middle of the body is at x = 0 and the floor at y = 0. It is nobody's body and no product's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum
from functools import cache
from types import MappingProxyType

from firsthand.geometry import Affine, Path, Point, smooth
from firsthand.geometry.drawing import LineKind, Sink

__all__ = ["OUTLINES", "View", "draw_outline", "ellipse", "through"]


class View(StrEnum):
    """From where the figure is seen."""

    FRONT = "from the front"
    BACK = "from the back"
    SIDE = "from the side"
    ARM = "the arm, bent"
    SEAT = "seated"


Spots = Sequence[tuple[float, float]]
_MIRRORED = Affine(-1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def through(
    *spots: tuple[float, float], start: tuple[float, float] | None = None, end: tuple[float, float] | None = None
) -> Path:
    """A fair curve through points."""
    return smooth([Point(x, y) for x, y in spots], start=Point(*start) if start else None, end=Point(*end) if end else None)


def ellipse(x: float, y: float, wide: float, high: float, *, front: bool = True, turn: float = 0.0) -> Path:
    """The nearer half of a level loop round a limb or trunk, or the farther one."""
    k, sign = 0.5523, -1.0 if front else 1.0
    left, low, right = Point(-wide, 0), Point(0, sign * high), Point(wide, 0)
    halves = (
        Path.curve(left, Point(-wide, k * sign * high), Point(-k * wide, sign * high), low),
        Path.curve(low, Point(k * wide, sign * high), Point(wide, k * sign * high), right),
    )
    return Path.joined(halves).transformed(Affine.translation(x, y) @ Affine.rotation(turn))


def _both(*halves: Path) -> tuple[Path, ...]:
    return (*halves, *(half.transformed(_MIRRORED) for half in halves))


@cache
def _standing() -> tuple[Path, ...]:
    """What the front and the back have in common, one side and its mirror image."""
    head = through((0, 170), (5.6, 167.4), (7.4, 160.5), (6.4, 152.8), (3.6, 148.2), (0, 146.6), start=(1, 0), end=(-1, 0))
    neck = through((4.9, 149.6), (5.1, 146.6), (6.6, 143.7), (12.0, 140.8), (17.4, 137.8), (20.4, 134.4), (21.8, 129.0),
                   start=(0, -1))  # fmt: skip
    outer = through((21.8, 129.0), (23.6, 121.0), (26.6, 109.0), (29.5, 99.5), (32.2, 88.0), (33.4, 84.0))
    hand = through((33.4, 84.0), (35.6, 79.0), (36.9, 73.0), (36.2, 67.4), (34.2, 66.6), (32.6, 71.0), (31.6, 76.0),
                   (30.2, 80.0), (29.6, 84.9))  # fmt: skip
    thumb = through((30.1, 81.5), (28.4, 76.6), (28.9, 72.6), (30.3, 73.4), (31.4, 77.4))
    inner = through((29.6, 84.9), (26.4, 95.0), (23.2, 106.0), (20.2, 116.0), (16.9, 127.6))
    trunk = through((16.9, 127.6), (16.6, 121.5), (14.6, 113.0), (13.0, 105.5), (14.8, 98.0), (17.4, 89.0), (17.9, 82.0),
                    (16.9, 70.0), (14.3, 56.0), (12.6, 47.0), (13.3, 38.0), (12.6, 29.0), (9.7, 15.0), (9.2, 9.0), (10.6, 5.0),
                    (12.2, 1.6))  # fmt: skip
    foot = through((12.2, 1.6), (11.6, 0.3), (8.0, 0.0), (5.2, 0.3), (4.6, 2.0), (5.2, 6.0), (5.4, 9.4))
    inside = through((5.4, 9.4), (5.0, 15.0), (3.7, 29.0), (3.6, 38.0), (4.6, 47.0), (3.7, 58.0), (1.7, 71.0), (0.0, 78.5))
    return _both(head, neck, outer, hand, thumb, inner, trunk, foot, inside)


@cache
def _front() -> tuple[Path, ...]:
    face = (
        *_both(ellipse(2.9, 159.2, 1.2, 0.5)),
        through((-0.7, 155.4), (0.0, 154.9), (0.7, 155.4)),
        through((-1.7, 151.9), (0.0, 151.4), (1.7, 151.9)),
    )
    collar = through((1.2, 142.0), (5.0, 142.6), (10.0, 141.2))
    bust = through((2.2, 121.2), (5.2, 117.9), (9.4, 117.6), (13.6, 120.4))
    knee = through((6.6, 48.6), (8.6, 47.2), (10.6, 48.6))
    return (*_standing(), *face, *_both(collar, bust, knee), ellipse(0, 101.6, 0.5, 0.5))


@cache
def _back() -> tuple[Path, ...]:
    spine = through((0, 140.0), (0, 124.0), (0, 108.0))
    blade = through((5.0, 131.5), (6.6, 125.5), (10.4, 122.5), (12.6, 124.0))
    seat = through((0.6, 80.5), (5.0, 77.3), (10.6, 77.8), (14.6, 80.6))
    cleft = through((0.0, 93.0), (0.0, 86.0), (0.0, 79.2))
    knee = through((6.4, 47.4), (8.6, 48.2), (10.8, 47.4))
    elbow = through((23.6, 108.4), (25.2, 107.6), (26.4, 108.6))
    return (*_standing(), spine, cleft, *_both(blade, seat, knee, elbow))


@cache
def _side() -> tuple[Path, ...]:
    """Facing right, the arm left away."""
    back = through((1.0, 170.0), (-5.6, 167.8), (-8.6, 160.5), (-7.2, 153.0), (-5.6, 149.0), (-5.9, 145.0), (-8.6, 139.0),
                   (-10.9, 130.0), (-9.8, 119.0), (-6.6, 107.0), (-7.4, 100.0), (-11.2, 91.0), (-12.0, 85.0), (-9.4, 77.5),
                   (-8.4, 68.0), (-6.0, 53.0), (-5.0, 47.0), (-7.4, 38.0), (-7.2, 31.0), (-4.0, 15.0), (-3.9, 9.0), (-5.6, 4.0),
                   (-5.0, 0.6), (-2.6, 0.0), start=(-1, 0))  # fmt: skip
    front = through((1.0, 170.0), (7.6, 166.6), (9.6, 160.4), (9.2, 158.2), (11.7, 154.6), (9.8, 153.2), (10.0, 151.2),
                    (9.0, 149.6), (8.6, 147.4), (4.4, 146.8), (2.9, 143.6), (5.6, 139.0), (8.6, 131.0), (12.6, 123.6),
                    (12.2, 119.6), (8.6, 115.0), (6.9, 106.5), (8.6, 97.0), (9.2, 89.0), (8.2, 79.0), (8.6, 70.0), (6.9, 55.0),
                    (5.9, 47.0), (5.0, 36.0), (3.4, 20.0), (3.4, 11.0), (6.6, 6.8), (13.0, 4.4), (17.6, 2.6), (18.4, 0.8),
                    (16.4, 0.0), start=(1, 0))  # fmt: skip
    sole = through((16.4, 0.0), (7.0, 0.5), (-2.6, 0.0))
    ear = through((-0.6, 160.4), (0.6, 161.0), (1.2, 159.0), (0.0, 156.4))
    eye = through((7.2, 159.8), (8.2, 159.4), (8.6, 159.9))
    armhole = through((-0.6, 138.0), (4.4, 133.4), (3.6, 127.2), (-0.6, 125.6), (-4.6, 127.2), (-5.4, 133.4), (-0.6, 138.0),
                      start=(1, 0), end=(1, 0))  # fmt: skip
    return (back, front, sole, ear, eye, armhole)


@cache
def _arm() -> tuple[Path, ...]:
    """An arm bent to a right angle, the shoulder above."""
    upper = through((-4.2, 30.0), (-4.6, 20.0), (-3.9, 10.0), (-3.6, 3.0), (-1.8, -1.0), (2.4, -2.8), (10.0, -3.2),
                    (20.0, -1.6), (26.4, -0.9))  # fmt: skip
    hand = through((26.4, -0.9), (31.0, -1.8), (37.0, -1.8), (42.4, -0.2), (43.0, 1.4), (39.0, 2.4), (33.4, 3.4), (28.8, 3.6),
                   (26.2, 3.4))  # fmt: skip
    lower = through((26.2, 3.4), (18.0, 5.2), (9.4, 6.2), (6.4, 8.0), (5.4, 12.0), (6.0, 21.0), (5.2, 25.4))
    shoulder = through((-4.2, 30.0), (-2.4, 34.2), (1.6, 35.8), (6.4, 36.6))
    return (upper, hand, lower, shoulder)


@cache
def _seated() -> tuple[Path, ...]:
    """The lower body of somebody on a hard chair, facing right."""
    back = through((-7.4, 42.0), (-5.6, 33.0), (-6.6, 26.0), (-10.6, 17.0), (-10.4, 11.0), (-6.6, 8.2), (2.0, 8.0))
    under = through((2.0, 8.0), (18.0, 8.4), (27.0, 8.0), (30.2, 4.0), (29.4, -6.0), start=(1, 0))
    front = through((8.2, 42.0), (6.9, 33.0), (8.4, 26.0), (11.0, 22.6), (20.0, 22.2), (33.0, 21.6), (38.2, 18.0), (38.8, 10.0),
                    (38.2, -6.0))  # fmt: skip
    chair = (
        Path.line(Point(-14, 8), Point(24, 8)), Path.line(Point(-14, 8), Point(-14, 34)),
        Path.line(Point(-12.6, 8), Point(-12.6, -6)), Path.line(Point(22.6, 8), Point(22.6, -6)),
    )  # fmt: skip
    return (back, under, front, *chair)


OUTLINES: Mapping[View, tuple[Path, ...]] = MappingProxyType(
    {View.FRONT: _front(), View.BACK: _back(), View.SIDE: _side(), View.ARM: _arm(), View.SEAT: _seated()}
)
"""The lines of the figure, by view."""


def draw_outline(sink: Sink, view: View) -> None:
    """Draw the figure in its own units."""
    for path in OUTLINES[view]:
        sink.path(path, LineKind.FRAME)
