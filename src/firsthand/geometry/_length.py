"""Arc lengths of cubics by quadrature with as few places as are proven to be enough."""

from __future__ import annotations

import cmath
import math

__all__ = ["GAUSS", "Coordinates", "arc_between", "whole_arc"]

# Nodes and weights of Gauss-Legendre quadrature on [-1, 1], positive half; recomputed with
# numpy.polynomial.legendre.leggauss in the tests.
GAUSS: dict[int, tuple[tuple[float, float], ...]] = {
    2: ((0.5773502691896257, 1.0),),
    4: ((0.33998104358485626, 0.6521451548625464), (0.8611363115940526, 0.34785484513745357)),
    6: (
        (0.2386191860831969, 0.46791393457269104), (0.6612093864662645, 0.3607615730481387),
        (0.9324695142031519, 0.17132449237917027),
    ),
    8: (
        (0.18343464249564978, 0.36268378337836166), (0.525532409916329, 0.3137066458778869),
        (0.7966664774136267, 0.22238103445337443), (0.9602898564975362, 0.10122853629037706),
    ),
    12: (
        (0.1252334085114689, 0.2491470458134027), (0.3678314989981802, 0.2334925365383546),
        (0.5873179542866175, 0.20316742672306573), (0.7699026741943047, 0.16007832854334642),
        (0.9041172563704748, 0.10693932599531907), (0.9815606342467192, 0.04717533638651141),
    ),
    16: (
        (0.09501250983763744, 0.18945061045506864), (0.2816035507792589, 0.18260341504492364),
        (0.45801677765722737, 0.16915651939500265), (0.6178762444026438, 0.1495959888165767),
        (0.755404408355003, 0.12462897125553407), (0.8656312023878318, 0.0951585116824926),
        (0.9445750230732326, 0.062253523938647456), (0.9894009349916499, 0.027152459411754176),
    ),
}  # fmt: skip
_SIZES = tuple(GAUSS)

ENOUGH = 1e-11
"""The error allowed, of one more than the length."""

PLENTY = 6.0
"""From an ellipse of this size a dozen places are enough."""

DEEPEST = 20
"""A stretch about a cusp is halved so often; what is left of it is a millionth of the curve, and slower than that."""

Coordinates = tuple[float, float, float, float, float, float, float, float]
"""x and y of both ends and handles of a cubic, in order."""

Motion = tuple[float, float, float, float, float, float]
"""A velocity over [-1, 1] as ``a + b s + c s2``: a, b and c, each with its x and its y."""


def in_middle(points: Coordinates, lo: float, hi: float) -> Motion:
    """The velocity of a cubic, by its eight coordinates, between two parameters; per half of the stretch.

    Of the whole curve it comes out alike, to the last bit, for the curve walked the other way.
    """
    ax, ay, bx, by, cx, cy, dx, dy = points
    ux, uy, vx, vy, wx, wy = bx - ax, by - ay, cx - bx, cy - by, dx - cx, dy - cy
    if lo == 0.0 and hi == 1.0:
        return (
            0.375 * (ux + wx + 2 * vx), 0.375 * (uy + wy + 2 * vy), 0.75 * (wx - ux), 0.75 * (wy - uy),
            0.375 * (ux + wx - 2 * vx), 0.375 * (uy + wy - 2 * vy),
        )  # fmt: skip
    qx, qy, rx, ry = 2 * (vx - ux), 2 * (vy - uy), ux - 2 * vx + wx, uy - 2 * vy + wy
    mid, half = (lo + hi) / 2, (hi - lo) / 2
    one, two = 3 * half, 3 * half * half
    return (
        one * (ux + mid * (qx + mid * rx)), one * (uy + mid * (qy + mid * ry)),
        two * (qx + 2 * mid * rx), two * (qy + 2 * mid * ry),
        two * half * rx, two * half * ry,
    )  # fmt: skip


def arc(motion: Motion) -> float | None:
    """Arc length of a stretch, mm; None where the curve comes so near to standing still that a fixed number of places fails.

    The speed is analytic but where the velocity, read as a complex polynomial, or its conjugate is zero. With ``r`` the size
    of the largest ellipse about the stretch that is free of those two places, n places leave an error of at most
    64/15 M r^(-2n) / (1 - r^-2), where M is the greatest speed on the ellipse (L. N. Trefethen, "Is Gauss quadrature better
    than Clenshaw-Curtis?", SIAM Review 50 (2008), theorem 4.5); and M is at most r^2 times the greatest speed on the stretch
    (Bernstein's inequality for the square of the speed, a polynomial of degree four).
    """
    ax, ay, bx, by, cx, cy = motion
    a, b, c = complex(ax, ay), complex(bx, by), complex(cx, cy)
    top = abs(a) + abs(b) + abs(c)
    size = _least_ellipse(abs(a), abs(b), abs(c))
    if size < PLENTY:  # the bound from sizes alone is poor: find the places themselves
        root = cmath.sqrt(b * b - 4 * a * c)
        one, two = b + root, b - root
        larger = -0.5 * (one if abs(one) >= abs(two) else two)
        size = min(_ellipse(larger, c), _ellipse(a, larger)) if larger else _ellipse(a, c)
    if not size > 2.4:
        return top if top == 0.0 else None
    wanted = 1.0 + math.log(5.2 * top / (ENOUGH * (1.0 + top)) + 1.0) / (2.0 * math.log(size)) if size < math.inf else 0.0
    count = next((count for count in _SIZES if count >= wanted), None)
    return None if count is None else _summed(motion, count)


def _summed(motion: Motion, count: int) -> float:
    """The quadrature with so many places."""
    ax, ay, bx, by, cx, cy = motion
    total = 0.0
    for node, weight in GAUSS[count]:
        square = node * node
        ex, ey, ox, oy = ax + square * cx, ay + square * cy, node * bx, node * by
        total += weight * (math.hypot(ex + ox, ey + oy) + math.hypot(ex - ox, ey - oy))
    return total


def whole_arc(points: Coordinates, depth: int = 0) -> float:
    """Arc length of a whole cubic, mm, halved where it nearly stands still; the same to the last bit walked the other way."""
    motion = in_middle(points, 0.0, 1.0)
    found = arc(motion)
    if found is not None:
        return found
    if depth == DEEPEST:
        return _summed(motion, 16)
    ax, ay, bx, by, cx, cy, dx, dy = points
    abx, aby, bcx, bcy, cdx, cdy = (ax + bx) / 2, (ay + by) / 2, (bx + cx) / 2, (by + cy) / 2, (cx + dx) / 2, (cy + dy) / 2
    px, py, qx, qy = (abx + bcx) / 2, (aby + bcy) / 2, (bcx + cdx) / 2, (bcy + cdy) / 2
    mx, my = (px + qx) / 2, (py + qy) / 2
    before = whole_arc((ax, ay, abx, aby, px, py, mx, my), depth + 1)
    return before + whole_arc((mx, my, qx, qy, cdx, cdy, dx, dy), depth + 1)


def arc_between(points: Coordinates, lo: float, hi: float, depth: int = 0) -> float:
    """Arc length of a cubic between two parameters in order, mm."""
    motion = in_middle(points, lo, hi)
    found = arc(motion)
    if found is not None:
        return found
    if depth == DEEPEST:
        return _summed(motion, 16)
    mid = (lo + hi) / 2
    return arc_between(points, lo, mid, depth + 1) + arc_between(points, mid, hi, depth + 1)


def _least_ellipse(a: float, b: float, c: float) -> float:
    """The least that the ellipse can measure by the sizes of the coefficients: ``a`` must be outweighed by the other two."""
    if b + c <= 1e-12 * a:
        return math.inf if a else 0.0
    if a == 0:
        return 0.0
    out = 2 * a / (b + math.sqrt(b * b + 4 * a * c))
    return out + math.sqrt(out * out - 1) if out > 1 else 0.0


def _ellipse(over: complex, under: complex) -> float:
    """Sum of the half axes of the ellipse with foci -1 and 1 through a quotient."""
    if abs(under) * 1e12 <= abs(over):
        return math.inf if over else 0.0
    at = over / under
    root = cmath.sqrt(at * at - 1)
    return max(abs(at + root), abs(at - root))
