"""Least squares under linear inequalities, small and the same every time."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import qr, solve_triangular
from scipy.optimize import nnls

from firsthand.errors import GeometryError

__all__ = ["Array", "least_squares"]

Array: TypeAlias = NDArray[np.float64]

NOTHING = 1e-10
"""A residual of the dual problem below this share of its length means that no point keeps all the inequalities."""


def least_squares(e: Array, f: Array, g: Array, h: Array) -> Array:
    """The x that makes ``|e x - f|`` least under ``g x >= h``.

    The problem is turned into the point nearest to the origin of a polyhedron, and that into least squares with no negative
    unknowns: C. L. Lawson and R. J. Hanson, "Solving Least Squares Problems" (1974; SIAM 1995), chapter 23.

    Parameters
    ----------
    e, f
        The columns of ``e`` must be independent.
    g, h
        The inequalities, a row for each.

    Raises
    ------
    GeometryError
        If a number is not finite, the columns are not independent, or nothing keeps all the inequalities.

    Examples
    --------
    >>> import numpy as np
    >>> least_squares(np.eye(2), np.array([3.0, 1.0]), np.array([[-1.0, -1.0]]), np.array([-2.0])).round(9).tolist()
    [2.0, 0.0]
    """
    if not all(np.isfinite(one).all() for one in (e, f, g, h)):
        raise GeometryError("least squares need finite numbers")
    q, r = qr(e, mode="economic")
    size = np.abs(np.diag(r))
    if r.shape[0] < r.shape[1] or size.min(initial=1.0) <= NOTHING * size.max(initial=1.0):
        raise GeometryError("the unknowns of these least squares are not independent")
    aim = q.T @ f
    if not len(h):
        return _solved(r, aim)
    rows = solve_triangular(r, g.T, trans="T").T
    return _solved(r, aim + _nearest(rows, h - rows @ aim))


def _solved(r: Array, right: Array) -> Array:
    found: Array = solve_triangular(r, right)
    return found


def _nearest(c: Array, d: Array) -> Array:
    """The point nearest to the origin with ``c z >= d``."""
    if (d <= 0).all():
        return np.zeros(c.shape[1])
    scale = np.linalg.norm(np.column_stack([c, d]), axis=1)
    scale[scale == 0] = 1.0
    c, d = c / scale[:, None], d / scale
    length = float(np.abs(d).max())  # so that the answer is of the order of one, and what is left tells what it should
    stacked = np.vstack([c.T, d / length])
    aim = np.zeros(stacked.shape[0])
    aim[-1] = 1.0
    u, _ = nnls(stacked, aim, maxiter=max(50, 10 * stacked.shape[1]))
    left = stacked @ u - aim
    if -left[-1] <= NOTHING:
        raise GeometryError("nothing keeps all the inequalities")
    nearest: Array = -left[:-1] / left[-1] * length
    return nearest
