"""Linear equations with a symmetric positive matrix, by Cholesky: small ones, without heavy libraries."""

from __future__ import annotations

import math
from collections.abc import Sequence

__all__ = ["inverse", "solved"]

Matrix = Sequence[Sequence[float]]


def solved(matrix: Matrix, right: Sequence[float]) -> tuple[float, ...]:
    """The unknowns of ``matrix @ unknowns = right``.

    Examples
    --------
    >>> solved([[4.0, 0.0], [0.0, 9.0]], [8.0, 9.0])
    (2.0, 1.0)
    """
    return _back(_root(matrix), right)


def inverse(matrix: Matrix) -> tuple[tuple[float, ...], ...]:
    """The inverse.

    Examples
    --------
    >>> inverse([[16.0, 0.0], [0.0, 4.0]])
    ((0.0625, 0.0), (0.0, 0.25))
    """
    root, size = _root(matrix), len(matrix)
    return tuple(_back(root, [float(i == k) for i in range(size)]) for k in range(size))


def _root(matrix: Matrix) -> list[list[float]]:
    """The lower triangle whose square is the matrix."""
    root: list[list[float]] = []
    for i, row in enumerate(matrix):
        made: list[float] = []
        for j in range(i):
            made.append((row[j] - sum(a * b for a, b in zip(made, root[j][:j], strict=True))) / root[j][j])
        made.append(math.sqrt(row[i] - sum(a * a for a in made)))
        root.append(made)
    return root


def _back(root: Sequence[Sequence[float]], right: Sequence[float]) -> tuple[float, ...]:
    size = len(root)
    half: list[float] = []
    for i in range(size):
        half.append((right[i] - sum(a * b for a, b in zip(root[i], half, strict=False))) / root[i][i])
    found = [0.0] * size
    for i in reversed(range(size)):
        found[i] = (half[i] - sum(root[k][i] * found[k] for k in range(i + 1, size))) / root[i][i]
    return tuple(found)
