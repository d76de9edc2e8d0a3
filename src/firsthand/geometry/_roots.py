"""Roots of polynomials in Bernstein form on [0, 1]."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from functools import cache

__all__ = ["bernstein_product", "bernstein_roots"]


def bernstein_product(f: Sequence[float], g: Sequence[float]) -> list[float]:
    """Coefficients of the product of two polynomials in Bernstein form.

    Examples
    --------
    >>> bernstein_product([0, 1], [0, 1])  # t times t
    [0.0, 0.0, 1.0]
    """
    m, n = len(f) - 1, len(g) - 1
    out = [0.0] * (m + n + 1)
    for i, a in enumerate(f):
        for j, b in enumerate(g):
            out[i + j] += a * b * _comb(m, i) * _comb(n, j)
    return [value / _comb(m + n, k) for k, value in enumerate(out)]


_comb = cache(math.comb)


def bernstein_roots(coefficients: Sequence[float]) -> list[float]:
    """All roots in [0, 1] of a polynomial in Bernstein form, ascending.

    Descartes' rule of signs isolates the roots, bisection on the halves polishes them. A polynomial that is zero
    everywhere has no roots here.

    Examples
    --------
    >>> bernstein_roots([-1, 1]), bernstein_roots([1, 1, 1]), bernstein_roots([0, 0])
    ([0.5], [], [])
    """
    if coefficients and (min(coefficients) > 0 or max(coefficients) < 0):
        least, most = sorted((abs(coefficients[0]), abs(coefficients[-1])))
        if least > 1e-14 * max(most, *map(abs, coefficients)):  # of one sign, and not zero by rounding at an end
            return []
    found: list[float] = []
    scale = max((abs(c) for c in coefficients), default=0.0)
    if scale > 1e-290:  # below that no quotient of coefficients can be trusted: taken for zero everywhere
        _search([c / scale for c in coefficients], 0.0, 1.0, 1e-15, found)
    kept: list[float] = []
    for root in sorted(found):
        if not kept or root - kept[-1] > 1e-12:
            kept.append(root)
    return kept


def _search(c: list[float], lo: float, hi: float, zero: float, found: list[float]) -> None:
    if abs(c[0]) <= zero:
        found.append(lo)
        c = [0.0, *c[1:]]
    if hi == 1.0 and abs(c[-1]) <= zero:
        found.append(hi)
    signs = [value > 0 for value in c if abs(value) > zero]
    changes = sum(a != b for a, b in itertools.pairwise(signs))
    if changes == 0:
        return
    if changes == 1 and abs(c[0]) > zero and abs(c[-1]) > zero:
        found.append(_bisect(c, lo, hi))
        return
    if hi - lo < 1e-11:
        found.append((lo + hi) / 2)
        return
    left, right = _halves(c)
    mid = (lo + hi) / 2
    _search(left, lo, mid, zero, found)
    _search(right, mid, hi, zero, found)


def _halves(c: list[float]) -> tuple[list[float], list[float]]:
    left, right, row = [c[0]], [c[-1]], c
    while len(row) > 1:
        row = [(a + b) / 2 for a, b in itertools.pairwise(row)]
        left.append(row[0])
        right.append(row[-1])
    return left, right[::-1]


def _value(c: list[float], t: float) -> float:
    row = c
    while len(row) > 1:
        row = [a + (b - a) * t for a, b in itertools.pairwise(row)]
    return row[0]


def _bisect(c: list[float], lo: float, hi: float) -> float:
    """The only root between two ends of different sign: regula falsi (Illinois), which cannot leave the bracket."""
    a, b, fa, fb = 0.0, 1.0, c[0], c[-1]
    side = 0
    for _ in range(100):
        t = (a * fb - b * fa) / (fb - fa)
        value = _value(c, t)
        if value == 0 or b - a < 1e-15:
            break
        if (value > 0) == (fb > 0):
            b, fb = t, value
            fa, side = (fa / 2 if side == 1 else fa), 1
        else:
            a, fa = t, value
            fb, side = (fb / 2 if side == -1 else fb), -1
    return lo + (hi - lo) * t
