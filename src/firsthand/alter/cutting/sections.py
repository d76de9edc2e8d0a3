"""Sections of a piece moved rigidly: slashes spread or overlapped, darts turned, opened and closed.

Spread and overlap are one thing with two signs. Angles are in radians, lengths in mm. All give a
:class:`firsthand.alter.cutting.sections_moved.Sectioned`: the new shape, the maps of its edges, lost notches, and where edges
were joined.
"""

from __future__ import annotations

import math
from dataclasses import replace

from firsthand.alter._spots import Spot
from firsthand.alter.cutting.cuts import ON, Cut, Parted, Side, dart_of, mouth_spots
from firsthand.alter.cutting.sections_moved import Joint, Sectioned, moved_part, moved_section
from firsthand.errors import CannotAlter, GeometryError
from firsthand.geometry import Affine, Path, Point, intersections
from firsthand.pattern import Dart, Pressed, Shape
from firsthand.units import said

__all__ = [
    "Cut", "Joint", "Sectioned", "closed_dart", "dart_angle", "far_side", "moved_section", "opened_dart", "spread_between",
    "spread_motion", "turned_dart",
]  # fmt: skip

REACH = 1e4
"""A line is followed this far to find the other side of a piece, mm."""


def spread_motion(one: Point, two: Point, at_one: float, at_two: float, *, right: bool = True) -> Affine:
    """The motion that opens a slash by a gap at either end.

    The gap at an end is the straight distance between the two places into which the end was parted. Where both are alike the
    section is shifted square to the slash; otherwise it turns about a point on the line of the slash.

    Parameters
    ----------
    one, two
        The ends of the slash.
    at_one, at_two
        The gaps, mm; negative where it overlaps.
    right
        Whether the section to the right, seen from the first end to the second, moves; else the left one.

    Raises
    ------
    GeometryError
        If a gap is not finite.
    CannotAlter
        If the ends differ by more than the slash is long.

    Examples
    --------
    >>> turn = spread_motion(Point(0, 0), Point(0, 100), 10, 0)
    >>> round(turn(Point(0, 0)).norm, 9), round(turn(Point(0, 100)).distance(Point(0, 100)), 9)
    (10.0, 0.0)
    """
    if not (math.isfinite(at_one) and math.isfinite(at_two)):
        raise GeometryError("a slash is spread by finite lengths")
    slash = two - one
    length = slash.norm
    if length <= ON or abs(at_one - at_two) >= length:
        words = f"a slash {said(length)} long cannot differ by {said(abs(at_one - at_two))} from end to end"
        raise CannotAlter(words, "Spread it by less, or name a longer line.")
    sign = 1.0 if right else -1.0
    angle = sign * 2 * math.asin((at_one - at_two) / (2 * length))
    across = slash.unit().left * -sign
    here = Affine.rotation(angle / 2)(across) * at_one
    turn = Affine.rotation(angle, about=one)
    return Affine.translation(here.x, here.y) @ turn


def spread_between(
    shape: Shape,
    one: Spot,
    two: Spot,
    at_one: float,
    at_two: float,
    *,
    through: tuple[Point, ...] = (),
    stays: Spot | None = None,
) -> Sectioned:
    """Slash a shape from one place on its outline to another and spread it, or let it overlap.

    Hinged where one gap is 0: the edge at that end keeps its length exactly. Parallel where both are alike.

    Parameters
    ----------
    shape
        The shape.
    one, two
        The ends of the slash; the edge that a spot names is the one that grows there.
    at_one, at_two
        The gap at either end, mm, straight across; negative where the sections overlap. The gaps are those between the ends,
        also where the slash goes through points between.
    through
        Points inside through which the slash goes.
    stays
        A place on the section that stays; None for the one that holds the middle of the grain line.

    Raises
    ------
    GeometryError, NotThere, CannotAlter, Crosses
        See :func:`spread_motion` and :func:`moved_section`.
    """
    parted = Parted(shape, Cut(one, two, through, stays=stays))
    right = parted.stays is Side.LEFT
    return moved_part(parted, spread_motion(one.point(shape), two.point(shape), at_one, at_two, right=right))


def dart_angle(shape: Shape, dart: Dart) -> float:
    """The angle between the legs of a dart at its point, radians."""
    one, two = (spot.point(shape) - dart.apex for spot in mouth_spots(dart))
    return one.angle_to(two)


def turned_dart(
    shape: Shape,
    dart_id: str,
    to: Spot,
    share: float = 1.0,
    *,
    new_id: str = "",
    through: tuple[Point, ...] = (),
    stays: Spot | None = None,
) -> Sectioned:
    """Close a dart by a share of its angle and open it at another place; the pivot is its point.

    What is closed there and opened here are the same angle, and no sewn length changes: the mouth is as wide as the new legs
    are long. Both legs of the new part are equally long. It is pressed the same way, as seen along its edge.

    Parameters
    ----------
    shape, dart_id
        A shape and one of its darts.
    to
        Where the new mouth opens.
    share
        How much of the angle goes there, above 0 and at most 1; the rest stays where it is.
    new_id
        Id of the new dart; empty keeps the old one if all of it goes, else adds a number to it.
    through
        Points through which the slash goes from there to the dart's point.
    stays
        A place on the section that stays; None for the one that holds the middle of the grain line.

    Raises
    ------
    NotThere, CannotAlter, Crosses
        If the dart is not there, the share is none, the id is taken, or the slash is impossible.

    Notes
    -----
    A dart may radiate from its point to any edge; the angle stays, a longer dart is wider. Source: Mabel D. Erwin, *Practical
    Dress Design*, revised edition 1954, p. 31.
    """
    dart = dart_of(shape, dart_id)
    if not 0 < share <= 1:
        raise CannotAlter(f"a dart is turned by a share above 0 and at most 1, not {share:g}", "Name a share of it, as 50 %.")
    name = new_id or (dart_id if share == 1 else _free(shape, dart_id))
    _refuse_taken(shape, name, dart_id if share == 1 else "")
    parted = Parted(shape, Cut(to, None, through, dart_id, stays))
    angle = share * dart_angle(shape, dart) * (1.0 if parted.stays is Side.LEFT else -1.0)
    moved = moved_part(parted, Affine.rotation(angle, about=dart.apex))
    return _with_mouth(moved, name, dart.apex, dart.pressed)


def opened_dart(
    shape: Shape,
    to: Spot,
    point: Point,
    *,
    angle: float | None = None,
    width: float | None = None,
    far: Spot | None = None,
    new_id: str = "dart",
    stays: Spot | None = None,
) -> Sectioned:
    """Put in the paper of a new dart: a slash from the edge through its point, hinged at the other side of the piece.

    Sewn lengths stay what they were; the edge grows by what the dart takes out of it.

    Parameters
    ----------
    shape
        The shape.
    to
        Where the mouth opens.
    point
        The point of the dart.
    angle, width
        One of the two: the angle at the point, radians, or the width of the mouth, mm.
    far
        Where the slash is hinged; None for straight on beyond the point.
    new_id
        Id of the new dart.
    stays
        A place on the section that stays; None for the one that holds the middle of the grain line.

    Raises
    ------
    GeometryError, NotThere, CannotAlter, Crosses
        If the numbers have no sense, the id is taken, or the slash is impossible.
    """
    if (angle is None) == (width is None):
        raise CannotAlter("a dart is opened by an angle or by a width", "Name one of the two.")
    start = to.point(shape)
    if angle is not None:
        width = 2 * start.distance(point) * math.sin(angle / 2) if 0 < angle < math.pi else math.nan
    if width is None or not (math.isfinite(width) and width > 0):
        raise GeometryError("a dart is opened by an angle or a width above zero")
    _refuse_taken(shape, new_id, "")
    hinge = far or far_side(shape, to, point)
    moved = spread_between(shape, to, hinge, width, 0.0, through=(point,), stays=stays)
    return _with_mouth(moved, new_id, _apex(shape, to, hinge, point, moved, stays))


def closed_dart(
    shape: Shape, dart_id: str, share: float = 1.0, *, far: Spot | None = None, stays: Spot | None = None
) -> Sectioned:
    """Fold the paper of a dart away: a slash from its point on to the other side of the piece, hinged there.

    Sewn lengths stay what they were, and the piece becomes flatter: the opposite of :func:`opened_dart`.

    Parameters
    ----------
    shape, dart_id
        A shape and one of its darts.
    share
        How much of the mouth is closed, above 0 and at most 1.
    far
        Where the slash is hinged; None for straight on beyond the point.
    stays
        A place on the section that stays; None for the one that holds the middle of the grain line.

    Raises
    ------
    NotThere, CannotAlter, Crosses
        If the dart is not there, the share is none, or the slash is impossible.
    """
    dart = dart_of(shape, dart_id)
    if not 0 < share <= 1:
        raise CannotAlter(f"a dart is closed by a share above 0 and at most 1, not {share:g}", "Name a share of it, as 50 %.")
    hinge = far or far_side(shape, Spot(dart.edge, dart.at), dart.apex)
    parted = Parted(shape, Cut(hinge, None, (), dart_id, stays))
    about = hinge.point(shape)
    one, two = (spot.point(shape) - about for spot in mouth_spots(dart))
    angle = share * one.angle_to(two) * (1.0 if parted.stays is Side.LEFT else -1.0)
    return moved_part(parted, Affine.rotation(angle, about=about))


def far_side(shape: Shape, to: Spot, point: Point) -> Spot:
    """Where the straight line from a place on the outline through a point meets the outline beyond that point.

    Raises
    ------
    CannotAlter
        If it does not.
    """
    start = to.point(shape)
    if start.distance(point) <= ON:
        raise CannotAlter("the point of a dart cannot lie on its edge", "Name a point inside the piece.")
    ray = Path.line(point, point + (point - start).unit() * REACH)
    met = [(c.at_a, edge.id, c.at_b) for edge in shape.edges for c in intersections(ray, edge.path)]
    if not met:
        raise CannotAlter("there is no edge beyond the point of the dart", "Name a point inside the piece.")
    _, edge, at = min(met)
    return Spot(edge, at)


def _apex(shape: Shape, to: Spot, hinge: Spot, point: Point, moved: Sectioned, stays: Spot | None) -> Point:
    """Where the point of a new dart lies: midway between the two places into which the slash parted it."""
    parted = Parted(shape, Cut(to, hinge, (point,), stays=stays))
    right = parted.stays is Side.LEFT
    joint = moved.joints[0]
    path = moved.shape.edge(joint.edge).path
    width = path.at(joint.start).distance(path.at(joint.end))
    motion = spread_motion(to.point(shape), hinge.point(shape), width, 0.0, right=right)
    return point.towards(motion(point), 0.5)


def _with_mouth(moved: Sectioned, name: str, apex: Point, pressed: Pressed = Pressed.START) -> Sectioned:
    """A dart whose mouth is the gap at the start of the cut."""
    joint = moved.joints[0]
    dart = Dart(name, joint.edge, joint.middle, joint.end - joint.start, apex, pressed)
    return replace(moved, shape=replace(moved.shape, darts=(*moved.shape.darts, dart)))


def _free(shape: Shape, name: str) -> str:
    taken = {dart.id for dart in shape.darts}
    return next(f"{name} {number}" for number in range(2, len(taken) + 3) if f"{name} {number}" not in taken)


def _refuse_taken(shape: Shape, name: str, but: str) -> None:
    if not name.strip():
        raise CannotAlter("a dart cannot be called by nothing but spaces", "Give the new dart another id.")
    if any(dart.id == name != but for dart in shape.darts):
        raise CannotAlter(f"there is a dart {name} already", "Give the new dart another id.")
