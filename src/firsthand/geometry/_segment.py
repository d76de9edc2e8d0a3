"""The two sorts of segment: lines and cubic Béziers, with one interface."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import lru_cache

from firsthand.errors import GeometryError
from firsthand.geometry._point import Affine, Box, Point
from firsthand.geometry._roots import bernstein_product, bernstein_roots

__all__ = ["Cubic", "Line", "Segment"]

# Nodes and weights of 16-point Gauss-Legendre quadrature on [-1, 1], positive half; recomputed with
# numpy.polynomial.legendre.leggauss(16) in the tests.
_GAUSS = (
    (0.0950125098376374, 0.1894506104550685), (0.2816035507792589, 0.1826034150449236),
    (0.4580167776572274, 0.1691565193950025), (0.6178762444026438, 0.1495959888165767),
    (0.7554044083550030, 0.1246289712555339), (0.8656312023878318, 0.0951585116824928),
    (0.9445750230732326, 0.0622535239386479), (0.9894009349916499, 0.0271524594117541),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """A straight segment."""

    a: Point
    b: Point

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


@dataclass(frozen=True, slots=True)
class Cubic:
    """A cubic Bézier with end points ``a`` and ``d`` and handles ``b`` and ``c``."""

    a: Point
    b: Point
    c: Point
    d: Point

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
        return (self.c - 2 * self.b + self.a) * (6 * (1 - t)) + (self.d - 2 * self.c + self.b) * (6 * t)

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

    def _gauss(self, lo: float, hi: float) -> float:
        a, b, c, d = self.a, self.b, self.c, self.d
        px, py = 3 * (b.x - a.x), 3 * (b.y - a.y)  # the derivative is p + q t + r t2
        qx, qy = 6 * (a.x - 2 * b.x + c.x), 6 * (a.y - 2 * b.y + c.y)
        rx, ry = 3 * (d.x - 3 * c.x + 3 * b.x - a.x), 3 * (d.y - 3 * c.y + 3 * b.y - a.y)
        mid, half, total = (lo + hi) / 2, (hi - lo) / 2, 0.0
        for node, weight in _GAUSS:
            t, u = mid - half * node, mid + half * node
            total += weight * (
                math.hypot(px + t * (qx + t * rx), py + t * (qy + t * ry))
                + math.hypot(px + u * (qx + u * rx), py + u * (qy + u * ry))
            )
        return half * total

    def length_between(self, lo: float, hi: float) -> float:
        """Arc length between two parameters, mm; negative if they are in the wrong order."""
        stops = [lo, *sorted((t for t in self._slow_places() if min(lo, hi) < t < max(lo, hi)), reverse=lo > hi), hi]
        return math.fsum(self._settled(one, two, self._gauss(one, two), 0) for one, two in itertools.pairwise(stops))

    def _slow_places(self) -> list[float]:
        """Where a curve that turns back on itself is slowest: quadrature must stop there or it misses the turn."""
        handles = (self.b - self.a, self.c - self.b, self.d - self.c)
        chord = self.d - self.a
        if all(handle.dot(chord) >= 0 for handle in handles):
            return []
        bends = (handles[1] - handles[0], handles[2] - handles[1])
        x = bernstein_product([h.x for h in handles], [b.x for b in bends])
        y = bernstein_product([h.y for h in handles], [b.y for b in bends])
        return bernstein_roots([u + v for u, v in zip(x, y, strict=True)])

    def _settled(self, lo: float, hi: float, whole: float, depth: int) -> float:
        """Gauss-Legendre quadrature, halved until it settles."""
        mid = (lo + hi) / 2
        left, right = self._gauss(lo, mid), self._gauss(mid, hi)
        if abs(left + right - whole) <= 1e-10 * (1 + abs(whole)) or depth >= 12:
            return left + right
        return self._settled(lo, mid, left, depth + 1) + self._settled(mid, hi, right, depth + 1)

    @property
    def length(self) -> float:
        """Arc length, mm."""
        return _whole_length(self)

    def length_to(self, t: float) -> float:
        """Arc length from the start to the parameter ``t``, mm."""
        if t <= 0:
            return 0.0
        return _whole_length(self) if t == 1 else self.length_between(0.0, t)

    def parameter_at(self, length: float) -> float:
        """Parameter at an arc length from the start (Newton's method, guarded by bisection), clamped to the segment."""
        _finite(length)
        whole = self.length
        if length <= 0 or whole == 0:
            return 0.0
        if length >= whole:
            return 1.0
        lo, hi, t, reached, at = 0.0, 1.0, length / whole, 0.0, 0.0
        for _ in range(60):
            reached, at = reached + self.length_between(at, t), t
            error = reached - length
            if abs(error) < 1e-10 * (1 + whole):
                break
            lo, hi = (lo, t) if error > 0 else (t, hi)
            speed = self._speed(t)
            step = t - error / speed if speed > 1e-12 else lo
            t = step if lo < step < hi else (lo + hi) / 2
        return t

    def split(self, t: float) -> tuple[Cubic, Cubic]:
        """The two curves before and after the parameter ``t`` (de Casteljau)."""
        ab, bc, cd = self.a.towards(self.b, t), self.b.towards(self.c, t), self.c.towards(self.d, t)
        abc, bcd = ab.towards(bc, t), bc.towards(cd, t)
        middle = abc.towards(bcd, t)
        return Cubic(self.a, ab, abc, middle), Cubic(middle, bcd, cd, self.d)

    def reversed(self) -> Cubic:
        """The same curve the other way round."""
        return Cubic(self.d, self.c, self.b, self.a)

    def transformed(self, by: Affine) -> Cubic:
        """Its image under an affine map."""
        return Cubic(by(self.a), by(self.b), by(self.c), by(self.d))

    def extremes(self) -> list[float]:
        """Parameters inside (0, 1) where the curve turns back in x or in y."""
        handles = (self.b - self.a, self.c - self.b, self.d - self.c)
        roots = [*bernstein_roots([h.x for h in handles]), *bernstein_roots([h.y for h in handles])]
        return [t for t in roots if 0 < t < 1]

    @property
    def bounds(self) -> Box:
        """The smallest box around it, exact."""
        return Box.around([self.a, self.d, *(self.point(t) for t in self.extremes())])

    @property
    def signed_area(self) -> float:
        """Area swept from the origin, mm2, exact (Green's theorem on the polynomial)."""
        a, b, c, d = self.a, self.b, self.c, self.d
        return (6 * a.cross(b) + 3 * a.cross(c) + a.cross(d) + 3 * b.cross(c) + 3 * b.cross(d) + 6 * c.cross(d)) / 20


Segment = Line | Cubic
"""A piece of a path."""


@lru_cache(maxsize=65536)
def _whole_length(curve: Cubic) -> float:
    """Walking a path asks for the same lengths again and again; curves are immutable, so the answer keeps."""
    return curve.length_between(0.0, 1.0)


def _finite(length: float) -> None:
    if not math.isfinite(length):
        raise GeometryError(f"a place along a path must be a finite length, not {length}")
