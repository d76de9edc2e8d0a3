"""The two sorts of segment: lines and cubic Béziers, with one interface."""

from __future__ import annotations

import math
from dataclasses import dataclass

from firsthand.errors import GeometryError
from firsthand.geometry._length import GAUSS, Coordinates, arc_between, whole_arc
from firsthand.geometry._point import Affine, Box, Point
from firsthand.geometry._roots import bernstein_roots

__all__ = ["Cubic", "Line", "Segment"]

_GAUSS = GAUSS[16]


class _Kept:
    """Room for an answer that keeps, because its owner never changes: no field, so neither compared, shown, nor pickled."""

    __slots__ = ("_length",)

    _length: float


@dataclass(frozen=True, slots=True, init=False)
class Line:
    """A straight segment."""

    a: Point
    b: Point

    def __init__(self, a: Point, b: Point) -> None:
        _set_line_a(self, a)
        _set_line_b(self, b)

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.a

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.b

    @property
    def length(self) -> float:
        """Length, mm."""
        return self.a.distance(self.b)

    def point(self, t: float) -> Point:
        """Point at the parameter ``t`` in [0, 1]."""
        return self.a.towards(self.b, t)

    def tangent(self, t: float) -> Point:
        """Unit tangent at the parameter ``t``."""
        return (self.b - self.a).unit()

    def length_to(self, t: float) -> float:
        """Arc length from the start to the parameter ``t``, mm."""
        return self.length * t

    def parameter_at(self, length: float) -> float:
        """Parameter at an arc length from the start, clamped to the segment."""
        _finite(length)
        whole = self.length
        return min(1.0, max(0.0, length / whole)) if whole else 0.0

    def split(self, t: float) -> tuple[Line, Line]:
        """The two pieces before and after the parameter ``t``."""
        middle = self.point(t)
        return Line(self.a, middle), Line(middle, self.b)

    def reversed(self) -> Line:
        """The same segment the other way round."""
        return Line(self.b, self.a)

    def transformed(self, by: Affine) -> Line:
        """Its image under an affine map."""
        return Line(by(self.a), by(self.b))

    @property
    def bounds(self) -> Box:
        """The smallest box around it."""
        return Box.around((self.a, self.b))

    @property
    def signed_area(self) -> float:
        """Area swept from the origin, mm2: the term of Green's theorem."""
        return self.a.cross(self.b) / 2


@dataclass(frozen=True, slots=True, init=False)
class Cubic(_Kept):
    """A cubic Bézier with end points ``a`` and ``d`` and handles ``b`` and ``c``."""

    a: Point
    b: Point
    c: Point
    d: Point

    def __init__(self, a: Point, b: Point, c: Point, d: Point) -> None:
        _set_a(self, a)
        _set_b(self, b)
        _set_c(self, c)
        _set_d(self, d)

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.a

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.d

    def point(self, t: float) -> Point:
        """Point at the parameter ``t`` in [0, 1]."""
        s = 1 - t
        u, v, w, z = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
        a, b, c, d = self.a, self.b, self.c, self.d  # in plain numbers: this is asked for very often
        return Point(a.x * u + b.x * v + c.x * w + d.x * z, a.y * u + b.y * v + c.y * w + d.y * z)

    def derivative(self, t: float) -> Point:
        """First derivative with respect to ``t``."""
        s = 1 - t
        u, v, w = 3 * s * s, 6 * s * t, 3 * t * t
        a, b, c, d = self.a, self.b, self.c, self.d
        return Point(
            (b.x - a.x) * u + (c.x - b.x) * v + (d.x - c.x) * w,
            (b.y - a.y) * u + (c.y - b.y) * v + (d.y - c.y) * w,
        )

    def second_derivative(self, t: float) -> Point:
        """Second derivative with respect to ``t``."""
        a, b, c, d = self.a, self.b, self.c, self.d
        s, u = 6 * (1 - t), 6 * t
        return Point(
            (c.x - 2 * b.x + a.x) * s + (d.x - 2 * c.x + b.x) * u, (c.y - 2 * b.y + a.y) * s + (d.y - 2 * c.y + b.y) * u
        )

    def tangent(self, t: float) -> Point:
        """Unit tangent at ``t``; where the curve stands still (a folded handle, a cusp) the direction in which it leaves,
        at the end the one in which it arrives.

        Raises
        ------
        GeometryError
            If the curve is a single point.
        """
        slope = self.derivative(t)
        if slope.norm > 1e-9:
            return slope.unit()
        second = self.second_derivative(t) * (1.0 if t < 1 else -1.0)
        for direction in (second, self.d - self.a):
            if direction.norm > 1e-9:
                return direction.unit()
        raise GeometryError("a curve that is a single point has no direction")

    def curvature(self, t: float) -> float:
        """Signed curvature at ``t``, 1/mm; positive where the curve turns left."""
        first, second = self.derivative(t), self.second_derivative(t)
        speed = first.norm
        return first.cross(second) / speed**3 if speed > 1e-9 else 0.0

    def _speed(self, t: float) -> float:
        s = 1 - t
        u, v, w = 3 * s * s, 6 * s * t, 3 * t * t
        a, b, c, d = self.a, self.b, self.c, self.d
        return math.hypot(
            u * (b.x - a.x) + v * (c.x - b.x) + w * (d.x - c.x),
            u * (b.y - a.y) + v * (c.y - b.y) + w * (d.y - c.y),
        )

    @property
    def _flat(self) -> Coordinates:
        a, b, c, d = self.a, self.b, self.c, self.d
        return a.x, a.y, b.x, b.y, c.x, c.y, d.x, d.y

    def length_between(self, lo: float, hi: float) -> float:
        """Arc length between two parameters, mm; negative if they are in the wrong order."""
        if lo <= hi:
            return arc_between(self._flat, lo, hi)
        return -arc_between(self._flat, hi, lo)

    @property
    def length(self) -> float:
        """Arc length, mm."""
        try:  # walking a path asks for the same lengths again and again
            return self._length
        except AttributeError:
            whole = whole_arc(self._flat)
            _set_length(self, whole)
            return whole

    def length_to(self, t: float) -> float:
        """Arc length from the start to the parameter ``t``, mm."""
        if t <= 0:
            return 0.0
        return self.length if t == 1 else self.length_between(0.0, t)

    def parameter_at(self, length: float) -> float:
        """Parameter at an arc length from the start (Newton's method, guarded by bisection), clamped to the segment."""
        _finite(length)
        whole = self.length
        if length <= 0 or whole == 0:
            return 0.0
        if length >= whole:
            return 1.0
        points, sure = self._flat, 1e-10 * (1 + whole)
        lo, hi, t, reached, at = 0.0, 1.0, length / whole, 0.0, 0.0
        for _ in range(60):
            reached += arc_between(points, at, t) if t >= at else -arc_between(points, t, at)
            at, error = t, reached - length
            if abs(error) < sure:
                break
            lo, hi = (lo, t) if error > 0 else (t, hi)
            first, second = self.derivative(t), self.second_derivative(t)
            square = first.x * first.x + first.y * first.y
            step = -error / math.sqrt(square) if square > 1e-24 else 2.0
            if abs(step) < 0.1:  # the second order of Newton's step
                step *= 1 - step * (first.x * second.x + first.y * second.y) / (2 * square)
            inside = lo < t + step < hi
            t = t + step if inside else (lo + hi) / 2
            if inside and abs(step) < 1e-6 and square > 1e-4 * whole * whole:
                break  # the third order is far below what is sure
        return t

    def split(self, t: float) -> tuple[Cubic, Cubic]:
        """The two curves before and after the parameter ``t`` (de Casteljau)."""
        ax, ay, bx, by, cx, cy, dx, dy = self._flat
        abx, aby, bcx, bcy = ax + (bx - ax) * t, ay + (by - ay) * t, bx + (cx - bx) * t, by + (cy - by) * t
        cdx, cdy = cx + (dx - cx) * t, cy + (dy - cy) * t
        px, py, qx, qy = abx + (bcx - abx) * t, aby + (bcy - aby) * t, bcx + (cdx - bcx) * t, bcy + (cdy - bcy) * t
        middle = Point(px + (qx - px) * t, py + (qy - py) * t)
        before = Cubic(self.a, Point(abx, aby), Point(px, py), middle)
        return before, Cubic(middle, Point(qx, qy), Point(cdx, cdy), self.d)

    def reversed(self) -> Cubic:
        """The same curve the other way round."""
        return self._as_long(Cubic(self.d, self.c, self.b, self.a))

    def transformed(self, by: Affine) -> Cubic:
        """Its image under an affine map."""
        image = Cubic(by(self.a), by(self.b), by(self.c), by(self.d))
        return self._as_long(image) if by == _MIRROR else image

    def _as_long(self, image: Cubic) -> Cubic:
        """An image whose length comes out the same to the last bit, with the length if it is known already."""
        known = getattr(self, "_length", None)
        if known is not None:
            _set_length(image, known)
        return image

    def extremes(self) -> list[float]:
        """Parameters inside (0, 1) where the curve turns back in x or in y."""
        handles = (self.b - self.a, self.c - self.b, self.d - self.c)
        roots = [*bernstein_roots([h.x for h in handles]), *bernstein_roots([h.y for h in handles])]
        return [t for t in roots if 0 < t < 1]

    @property
    def bounds(self) -> Box:
        """The smallest box around it, exact."""
        a, b, c, d = self.a, self.b, self.c, self.d
        left, right, bottom, top = min(a.x, d.x), max(a.x, d.x), min(a.y, d.y), max(a.y, d.y)
        if left <= b.x <= right and left <= c.x <= right and bottom <= b.y <= top and bottom <= c.y <= top:
            return Box(left, bottom, right, top)  # the curve lies within its handles
        return Box.around([self.a, self.d, *(self.point(t) for t in self.extremes())])

    @property
    def signed_area(self) -> float:
        """Area swept from the origin, mm2, exact (Green's theorem on the polynomial)."""
        ax, ay, bx, by, cx, cy, dx, dy = self._flat
        ab, ac, ad = ax * by - ay * bx, ax * cy - ay * cx, ax * dy - ay * dx
        bc, bd, cd = bx * cy - by * cx, bx * dy - by * dx, cx * dy - cy * dx
        return (6 * ab + 3 * ac + ad + 3 * bc + 3 * bd + 6 * cd) / 20


_MIRROR = Affine.mirror()

Segment = Line | Cubic
"""A piece of a path."""


def _finite(length: float) -> None:
    if not math.isfinite(length):
        raise GeometryError(f"a place along a path must be a finite length, not {length}")


# The doors of the slots: a frozen value is filled through them once, when it is made.
_set_line_a, _set_line_b = (Line.__dict__[name].__set__ for name in ("a", "b"))
_set_a, _set_b, _set_c, _set_d = (Cubic.__dict__[name].__set__ for name in ("a", "b", "c", "d"))
_set_length = _Kept.__dict__["_length"].__set__
