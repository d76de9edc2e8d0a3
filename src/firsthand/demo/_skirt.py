"""The warden's skirt: half a circle in four gores, open at the back, with no waistband in the packet.

Half a circle of radius ``waist / pi`` has a waist edge as long as the waist; four gores of 45 degrees share it.

Deliberate: in size L the back gores were graded wrongly. Their side seam is 8 mm longer than the front's.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from firsthand.demo._chart import CHART, LETTERS, chart_of
from firsthand.demo._tools import across, both, each, edge, facing, hem, level, loop, notch
from firsthand.errors import GeometryError
from firsthand.geometry import Path, Point, smooth
from firsthand.pattern import (
    Closure,
    ClosureKind,
    Cut,
    Edge,
    Haberdashery,
    Level,
    LevelLine,
    Notch,
    Opening,
    Pattern,
    Piece,
    Seam,
    Shape,
)

__all__ = ["half_circle_radius", "skirt"]

LENGTH = 690.0
"""From waist edge to hem, mm."""
EASE = 15.0
"""Of the waist edge over the body's waist, mm."""
SLIT = 180.0
"""Length of the opening at the centre back, mm."""
SLIP = 8.0
"""The grading slip of the back gore in size L, mm."""
HALF = math.pi / 8
"""Half the angle of a gore."""


def half_circle_radius(waist: float) -> float:
    """Radius of the waist edge of a half-circle skirt: waist / pi.

    Parameters
    ----------
    waist
        Length of the waist edge, in any unit.

    Returns
    -------
    float
        The radius in the same unit.

    Raises
    ------
    GeometryError
        If the waist is not a length.

    Examples
    --------
    >>> round(half_circle_radius(26), 2)
    8.28
    """
    if not (math.isfinite(waist) and waist > 0):
        raise GeometryError(f"a waist edge must have a length, not {waist}")
    return waist / math.pi


def _around(radius: float, share: float) -> Point:
    """A point of the gore: the centre of the circle is the origin, the share runs from -1 at the left to 1 at the right."""
    return Point.polar(radius, -math.pi / 2 + share * HALF)


def _hem(radius: float, slip: float) -> Path:
    if not slip:
        return Path.arc(Point(0, 0), radius, -math.pi / 2 - HALF, 2 * HALF)
    return smooth([*(_around(radius, share) for share in (-1.0, -0.5, 0.0, 0.5)), _around(radius + slip, 1.0)])


def _gore(row: Mapping[str, float], *, back: bool, slip: float = 0.0) -> Shape:
    radius = half_circle_radius(row["waist_girth"] + EASE)
    end = radius + LENGTH
    right = Path.line(_around(end + slip, 1), _around(radius, 1))
    left = Path.line(_around(radius, -1), _around(end, -1))
    bottom = hem("hem", _hem(end, slip), 15.0, turning=10.0)
    waist = edge("waist", Path.arc(Point(0, 0), radius, HALF - math.pi / 2, -2 * HALF), fate=None)
    if back:
        slit, centre = left.split(SLIT)
        edges = loop(
            bottom, edge("side", right), waist,
            facing("opening", slit, allowance=20.0), edge("centre", centre, allowance=20.0),
        )  # fmt: skip
    else:
        edges = loop(bottom, edge("centre", right), waist, edge("side", left))
    return Shape(
        edges=edges,
        grain=(Point(0, -end + 120), Point(0, -radius - 120)),
        notches=_notches({one.id: one for one in edges}, back=back),
        levels=(_level_as_long_as_the_arc("hip", radius + row["waist_to_hip"]),),
    )


def _notches(edges: Mapping[str, Edge], *, back: bool) -> tuple[Notch, ...]:
    if back:
        return (
            notch("side", edges["side"], -250.0, double=True),
            notch("waist", edges["waist"], edges["waist"].path.length / 2, double=True),
        )
    return (
        notch("side", edges["side"], 250.0),
        notch("centre", edges["centre"], -350.0),
        notch("waist", edges["waist"], edges["waist"].path.length / 2),
    )


def _level_as_long_as_the_arc(id: str, radius: float) -> LevelLine:
    """A straight level across the gore, put where it is as long as the arc of a radius that it stands for."""
    y = -HALF / math.tan(HALF) * radius
    return level(id, Point(y * math.tan(HALF), y), Point(-y * math.tan(HALF), y))


def skirt() -> Pattern:
    """The pattern of the skirt: two front and two back gores; the waistband is drafted to it."""
    backs = {size: _gore(row, back=True, slip=SLIP if size == "L" else 0.0) for size, row in CHART.items()}
    pieces = {
        "front": Piece(
            "front", "1", "Skirt front gore", (Cut("shell"),),
            sizes={size: _gore(row, back=False) for size, row in CHART.items()},
        ),
        "back": Piece("back", "2", "Skirt back gore", (Cut("shell"),), sizes=backs),
    }  # fmt: skip
    opening = both(["back.opening"])
    return Pattern(
        id="skirt",
        name="Warden's half-circle skirt",
        sizes=LETTERS,
        pieces=pieces,
        seams=(
            across(Seam("centre front", (), ()), ["front.centre"]),
            across(Seam("centre back", (), ()), ["back.centre"]),
            *each(Seam("side", (), ()), ["front.side"], ["back.side"]),
        ),
        levels=(Level("hip", "Hip", "hip_girth"),),
        closures=(Closure("back hooks", ClosureKind.HOOKS, opening, count=3),),
        openings=(
            Opening("waist and back slit", both(["front.waist", "back.waist"]) + opening, "back hooks"),
            Opening("hem", both(["front.hem", "back.hem"])),
        ),
        haberdashery=(Haberdashery("hook", count=3, size="large"),),
        chart=chart_of(["waist_girth", "hip_girth"]),
        expects_thickness=0.8,
    )
