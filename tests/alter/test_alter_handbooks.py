"""Alterations against worked examples that others printed. Inches, as printed there; tolerances cover their rounding."""

from __future__ import annotations

import math

import pytest

from firsthand.alter.kinds.flare import Flare
from firsthand.alter.kinds.hem import Hem
from firsthand.geometry import Path, Point
from firsthand.pattern import Corner, Cut, Edge, Fate, FateKind, Garment, How, Pattern, Piece, Shape, cutting_line, make_garment

INCH = 25.4
SLASHES = 40


def strip(length: float, depth: float, *, allowance: float = 0.0) -> Garment:
    """A straight strip: its hem below, its waist above."""
    points = [Point(0, 0), Point(length, 0), Point(length, depth), Point(0, depth)]
    names = ("hem", "right", "waist", "left")
    edges = tuple(
        Edge(name, Corner(name), Path.line(a, b), allowance, 0.0, Fate(FateKind.HEM if name == "hem" else FateKind.SEAM))
        for name, a, b in zip(names, points, points[1:] + points[:1], strict=True)
    )
    piece = Piece("strip", "1", "Strip", (Cut("shell", How.SINGLE),), sizes={"M": Shape(edges, (points[0], points[3]))})
    return make_garment(Pattern("s", "S", ("M",), {"strip": piece}), "M", id="s")


def swung(garment: Garment, hem: float) -> tuple[float, float, float]:
    """A strip slashed from its hem and spread to a hem length: both lengths in inches, and the angle between its ends."""
    shape = garment.piece("strip").drawn_shape
    entry = Flare(amount=hem - shape.edge("hem").path.length, edges=("strip.hem",), count=SLASHES, trued=False)
    done = entry.apply(garment).garment.piece("strip").drawn_shape
    right, left = (done.edge(name).path for name in ("right", "left"))
    one, two = right.end - right.start, left.start - left.end  # both from the hem up
    angle = math.degrees(math.atan2(two.cross(one), two.dot(one))) % 360
    return done.edge("waist").path.length / INCH, done.edge("hem").path.length / INCH, angle


@pytest.mark.parametrize(
    ("inner_diameter", "width", "inner", "outer", "fullness"), [(1, 1, 3.14, 9.42, 3), (2, 1, 6.28, 12.56, 2)]
)
def test_a_strip_spread_to_half_a_flounce(
    inner_diameter: float, width: float, inner: float, outer: float, fullness: float
) -> None:
    """cloningcouture, 'Drafting circular flounces' (2017): a whole ring from inner diameter and width, and its fullness."""
    half = strip(math.pi * inner_diameter / 2 * INCH, width * INCH)
    waist, hem, angle = swung(half, math.pi * (inner_diameter + 2 * width) / 2 * INCH)
    assert (2 * waist, 2 * hem) == pytest.approx((inner, outer), abs=0.01)
    assert hem / waist == pytest.approx(fullness, abs=0.01)
    assert angle == pytest.approx(180, abs=1.0)  # half a ring: the slashes are straight, the arc is not


def test_a_strip_spread_to_half_a_circle_skirt() -> None:
    """prettyquirkypants, 'Circle skirt & half circle skirt formulas' (2014): a waist of 26 in has the radius 8.2 (W / pi)."""
    waist, length = 26.0, 20.0
    garment = strip(waist * INCH, length * INCH)
    radius = waist / math.pi
    entry = Flare(amount=math.pi * length * INCH, edges=("strip.hem",), count=SLASHES, trued=False)
    edge = entry.apply(garment).garment.piece("strip").drawn_shape.edge("waist").path
    across = edge.start.distance(edge.end) / INCH
    assert across / 2 == pytest.approx(8.2, abs=0.08)  # the source cuts 8.276 off to 8.2
    assert across / 2 == pytest.approx(radius, abs=0.02)


def test_a_strip_spread_to_a_cone() -> None:
    """ceemrr.com, 'The net of a frustum': ends 5 and 8 in wide, 4 high: a sector of 126.4 degrees, its radii 7.12 and 11.39."""
    slant = math.hypot(4.0, 1.5)
    waist, hem, angle = swung(strip(math.pi * 5 * INCH, slant * INCH), math.pi * 8 * INCH)
    assert angle == pytest.approx(126.4, abs=0.1 + 126.4 / SLASHES * 0.1)
    assert waist / math.radians(angle) == pytest.approx(7.12, abs=0.05)
    assert hem / math.radians(angle) == pytest.approx(11.39, abs=0.05)


def test_a_leg_shortened_for_a_cuff_is_as_long_as_it_was() -> None:
    """thepinkthink, 'Sew pant cuffs': for a cuff 3 1/4 in high with 1/4 in of allowance 3 in are cut off the leg."""
    height, allowance, cut_off = 3.25 * INCH, 0.25 * INCH, 3.0 * INCH
    leg = strip(16 * INCH, 30 * INCH, allowance=allowance)
    done = Hem(-height, edges=("strip.hem",)).apply(leg).garment.piece("strip").drawn_shape
    assert done.edge("right").path.length + height == pytest.approx(30 * INCH)  # the cuff replaces what was taken off
    assert cutting_line(done).bounds.bottom == pytest.approx(cut_off)  # where the scissors go, from the old finished edge
