"""Points, boxes and affine maps."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from firsthand.errors import GeometryError

__all__ = ["Affine", "Box", "Point"]


@dataclass(frozen=True, slots=True, order=True, init=False)
class Point:
    """A point or vector of the plane, in millimetres.

    Raises
    ------
    GeometryError
        If a coordinate is not finite.

    Examples
    --------
    >>> Point(3, 4).norm, Point(1, 0).cross(Point(0, 1)), (Point(1, 2) + Point(1, 1)) * 2
    (5.0, 1.0, Point(x=4.0, y=6.0))
    """

    x: float
    y: float

    def __init__(self, x: float, y: float) -> None:
        if x.__class__ is not float or y.__class__ is not float:
            try:
                x, y = float(x), float(y)
            except OverflowError:
                x = y = math.inf
        if not (math.isfinite(x) and math.isfinite(y)):
            raise GeometryError(f"a point must have finite coordinates, not ({x}, {y})")
        _set_x(self, x)
        _set_y(self, y)

    def __add__(self, other: Point) -> Point:
        return Point(self.x + other.x, self.y + other.y)

    def __sub__(self, other: Point) -> Point:
        return Point(self.x - other.x, self.y - other.y)

    def __mul__(self, factor: float) -> Point:
        return Point(self.x * factor, self.y * factor)

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Point:
        if divisor == 0:
            raise GeometryError("a vector cannot be divided by zero")
        return Point(self.x / divisor, self.y / divisor)

    def __neg__(self) -> Point:
        return Point(-self.x, -self.y)

    def dot(self, other: Point) -> float:
        """Scalar product."""
        return self.x * other.x + self.y * other.y

    def cross(self, other: Point) -> float:
        """Signed area of the parallelogram; positive if ``other`` lies to the left."""
        return self.x * other.y - self.y * other.x

    def angle_to(self, other: Point) -> float:
        """By how much another direction is turned counter-clockwise from this one, radians from minus to plus half a turn.

        Examples
        --------
        >>> Point(2, 0).angle_to(Point(0, 3)) == math.pi / 2
        True
        """
        return math.atan2(self.cross(other), self.dot(other))

    @property
    def norm(self) -> float:
        """Length of the vector, mm."""
        return math.hypot(self.x, self.y)

    @property
    def angle(self) -> float:
        """Direction of the vector, radians from the x axis, counter-clockwise, in (-pi, pi]."""
        return math.atan2(self.y, self.x)

    @property
    def left(self) -> Point:
        """The vector turned a quarter to the left."""
        return Point(-self.y, self.x)

    def unit(self) -> Point:
        """The vector of length 1 in the same direction.

        Raises
        ------
        GeometryError
            If the vector is zero.
        """
        norm = self.norm
        if norm == 0:
            raise GeometryError("a zero vector has no direction")
        return Point(self.x / norm, self.y / norm)

    def distance(self, other: Point) -> float:
        """Distance to another point, mm."""
        return math.hypot(self.x - other.x, self.y - other.y)

    def towards(self, other: Point, share: float) -> Point:
        """The point at a share of the way to another one."""
        return Point(self.x + (other.x - self.x) * share, self.y + (other.y - self.y) * share)

    @staticmethod
    def polar(length: float, angle: float) -> Point:
        """The vector with a length and a direction."""
        return Point(length * math.cos(angle), length * math.sin(angle))


# The doors of the slots: a frozen point is filled through them once, when it is made.
_set_x, _set_y = (Point.__dict__[name].__set__ for name in ("x", "y"))


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle along the axes, in millimetres.

    Raises
    ------
    GeometryError
        If a side is not finite, or left is beyond right or bottom above top.
    """

    left: float
    bottom: float
    right: float
    top: float

    def __post_init__(self) -> None:
        finite = all(map(math.isfinite, (self.left, self.bottom, self.right, self.top)))
        if not (finite and self.left <= self.right and self.bottom <= self.top):
            raise GeometryError(f"no box reaches from ({self.left}, {self.bottom}) to ({self.right}, {self.top})")

    @property
    def width(self) -> float:
        """Extent in x, mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent in y, mm."""
        return self.top - self.bottom

    @property
    def centre(self) -> Point:
        """The middle."""
        return Point((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Corners counter-clockwise from the lower left."""
        return (
            Point(self.left, self.bottom), Point(self.right, self.bottom),
            Point(self.right, self.top), Point(self.left, self.top),
        )  # fmt: skip

    @staticmethod
    def around(points: Iterable[Point]) -> Box:
        """The smallest box around points.

        Raises
        ------
        GeometryError
            If there are none.

        Examples
        --------
        >>> Box.around([Point(1, 5), Point(3, 2)])
        Box(left=1.0, bottom=2.0, right=3.0, top=5.0)
        """
        kept = list(points)
        if not kept:
            raise GeometryError("no box goes around no points")
        xs, ys = [p.x for p in kept], [p.y for p in kept]
        return Box(min(xs), min(ys), max(xs), max(ys))

    def union(self, other: Box) -> Box:
        """The smallest box around both."""
        return Box(
            min(self.left, other.left), min(self.bottom, other.bottom),
            max(self.right, other.right), max(self.top, other.top),
        )  # fmt: skip

    def grown(self, by: float) -> Box:
        """The box with a margin on every side."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def touches(self, other: Box) -> bool:
        """Whether the two have a point in common."""
        return (
            self.left <= other.right and other.left <= self.right
            and self.bottom <= other.top and other.bottom <= self.top
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Affine:
    """An affine map: ``x' = a x + c y + e``, ``y' = b x + d y + f`` (the order of SVG and PDF).

    Raises
    ------
    GeometryError
        If a number is not finite.

    Examples
    --------
    >>> turn = Affine.rotation(math.pi / 2)
    >>> (Affine.translation(10, 0) @ turn)(Point(1, 0))
    Point(x=10.0, y=1.0)
    >>> (turn @ turn.inverse())(Point(3, 4))
    Point(x=3.0, y=4.0)
    """

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __post_init__(self) -> None:
        numbers = (self.a, self.b, self.c, self.d, self.e, self.f)
        if not all(map(math.isfinite, numbers)):
            raise GeometryError(f"an affine map must have finite numbers, not {numbers}")

    def __call__(self, point: Point) -> Point:
        """Map a point."""
        x, y = point.x, point.y
        return Point(self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    def __matmul__(self, first: Affine) -> Affine:
        """The map that does ``first`` and then this one."""
        return Affine(
            self.a * first.a + self.c * first.b,
            self.b * first.a + self.d * first.b,
            self.a * first.c + self.c * first.d,
            self.b * first.c + self.d * first.d,
            self.a * first.e + self.c * first.f + self.e,
            self.b * first.e + self.d * first.f + self.f,
        )

    @property
    def determinant(self) -> float:
        """Signed factor by which areas grow; negative if the map mirrors."""
        return self.a * self.d - self.b * self.c

    def inverse(self) -> Affine:
        """The map that undoes this one.

        Raises
        ------
        GeometryError
            If the map flattens the plane.
        """
        det = self.determinant
        if det == 0:
            raise GeometryError("a map that flattens the plane cannot be undone")
        a, b, c, d = self.d / det, -self.b / det, -self.c / det, self.a / det
        return Affine(a, b, c, d, -(a * self.e + c * self.f), -(b * self.e + d * self.f))

    @staticmethod
    def translation(x: float, y: float) -> Affine:
        """Shift."""
        return Affine(e=x, f=y)

    @staticmethod
    def rotation(angle: float, about: Point | None = None) -> Affine:
        """Turn counter-clockwise by radians about a point (the origin)."""
        if not math.isfinite(angle):
            raise GeometryError(f"no turn by {angle}")
        cos, sin = round(math.cos(angle), 15), round(math.sin(angle), 15)
        turn = Affine(cos, sin, -sin, cos)
        if about is None:
            return turn
        return Affine.translation(about.x, about.y) @ turn @ Affine.translation(-about.x, -about.y)

    @staticmethod
    def scaling(x: float, y: float | None = None) -> Affine:
        """Scale about the origin."""
        return Affine(a=x, d=x if y is None else y)

    @staticmethod
    def mirror(a: Point | None = None, b: Point | None = None) -> Affine:
        """Mirror in the line through two points (the y axis)."""
        if a is None or b is None:
            return Affine(a=-1.0)
        u = (b - a).unit()
        cos2, sin2 = u.x * u.x - u.y * u.y, 2 * u.x * u.y
        flip = Affine(cos2, sin2, sin2, -cos2)
        return Affine.translation(a.x, a.y) @ flip @ Affine.translation(-a.x, -a.y)
