"""Settling: shapes that lie nearly right are moved until they lie exactly right and as short as their order allows.

For each two neighbours a convex piece of allowed ground round their present place is cut out of the complement of their
no-fit polygon. Within these pieces the shortest length is a linear programme. It mends the small overlaps that an engine
with coarser numbers leaves, fits shapes into a strip that is exactly as wide as they are together, and takes up slack.
"""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from firsthand.lay._nofit import NoFit

__all__ = ["Body", "settle"]

_LEAST = 1e-5
"""A round that gains less than this share of the length is the last."""
_TINY = 1e-9
"""Relative to the width: closer is touching."""
_TOUCH = 1e4
"""So many times tiny an edge is still as good as touched."""
_PULL = 1e-7
"""Weight of pulling every shape to the start, so that the answer does not depend on the solver's whim."""

Vector = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Body:
    """A shape that lies somewhere.

    Parameters
    ----------
    key
        Its shape in the store of no-fit polygons: with the gap round it.
    low, high
        The box that must stay on the cloth, relative to the origin of the shape.
    held
        The y it must have, if any.
    """

    key: object
    low: tuple[float, float]
    high: tuple[float, float]
    held: float | None = None


def settle(
    bodies: Sequence[Body],
    at: Vector,
    width: float,
    store: NoFit,
    *,
    rounds: int = 6,
    reach: float = 0.06,
    late: float = math.inf,
) -> tuple[Vector, float] | None:
    """Exact places near the given ones, with the shortest length.

    Parameters
    ----------
    bodies, at
        The shapes and their places (n x 2).
    width
        Of the cloth.
    rounds
        At most so many; it stops when one gains next to nothing.
    reach
        How far a shape may move in one round, as a share of the width.
    late
        The moment, of ``time.monotonic``, from which on a round that is not done is given up.

    Returns
    -------
    tuple or None
        Places and length; None if shapes overlap too deeply to be moved apart, or it got late before the first round was done.
    """
    best: tuple[Vector, float] | None = None
    for _ in range(rounds):
        found = _round(bodies, at, width, store, reach, late)
        if found is None:
            return best
        gain = best[1] - found[1] if best else np.inf
        if best is None or gain > 0:
            best = found
        if gain <= _LEAST * best[1]:
            break
        at = best[0]
    return best


def _round(
    bodies: Sequence[Body], at: Vector, width: float, store: NoFit, share: float, late: float
) -> tuple[Vector, float] | None:
    """One linear programme; lengths are shares of the width in it."""
    n = len(bodies)
    reach, tiny = share * width, _TINY * width
    pairs = _near(bodies, at, reach)
    rows: list[Row] = []
    for i, j in pairs:
        if time.monotonic() > late:
            return None
        rows += _ground(store, bodies[i], bodies[j], at, i, j, reach, tiny)
    matrix, limits = _pairs(rows, n, width)
    ends = np.array([body.high[0] for body in bodies]) / width
    end_rows = _sparse(
        (np.r_[np.ones(n), -np.ones(n)], (np.r_[np.arange(n), np.arange(n)], np.r_[2 * np.arange(n), np.full(n, 2 * n)])),
        (n, 2 * n + 1),
    )
    answer = _solve(
        np.r_[np.tile((_PULL, _PULL / 10), n), 1.0],
        [(matrix, limits), (end_rows, -ends)],
        _bounds(bodies, at / width, width, share),
        late,
    )
    if answer is None:
        return None
    places = answer[:-1].reshape(n, 2) * width
    held = [(k, body.held) for k, body in enumerate(bodies) if body.held is not None]
    for k, y in held:
        places[k, 1] = y
    return places, float(max(places[k, 0] + body.high[0] for k, body in enumerate(bodies)))


def _solve(
    cost: Vector, blocks: list[tuple[Any, Vector]], bounds: list[tuple[float, float | None]], late: float
) -> Vector | None:
    from scipy.optimize import linprog
    from scipy.sparse import vstack

    options = {"primal_feasibility_tolerance": 1e-10}
    if late < math.inf:
        options["time_limit"] = max(0.01, late - time.monotonic())

    answer = linprog(
        cost,
        A_ub=vstack([matrix for matrix, _ in blocks]).tocsr(),
        b_ub=np.concatenate([limits for _, limits in blocks]),
        bounds=bounds,
        method="highs",
        options=options,
    )
    return np.asarray(answer.x) if answer.status == 0 else None


def _bounds(bodies: Sequence[Body], at: Vector, width: float, reach: float) -> list[tuple[float, float | None]]:
    bounds: list[tuple[float, float | None]] = []
    for body, (x, y) in zip(bodies, at, strict=True):
        left = -body.low[0] / width
        bounds.append((max(left, x - reach), max(left, x) + reach))
        low, high = -body.low[1] / width, 1.0 - body.high[1] / width
        if body.held is not None:
            low = high = body.held / width
        elif high < low:  # as wide as the cloth but for the last digit
            low = high = (low + high) / 2
        else:
            low, high = max(low, min(high, y) - reach), min(high, max(low, y) + reach)
        bounds.append((low, high))
    return [*bounds, (0.0, None)]


def _near(bodies: Sequence[Body], at: Vector, reach: float) -> list[tuple[int, int]]:
    low = at + [body.low for body in bodies] - reach
    high = at + [body.high for body in bodies] + reach
    apart = (low[:, None, :] >= high[None, :, :]).any(axis=2)
    meet = ~(apart | apart.T)
    one, two = np.nonzero(np.triu(meet, 1))
    return list(zip(one.tolist(), two.tolist(), strict=True))


Row = tuple[int, int, float, float, float]
"""Bodies i and j, and a half-plane: nx (xj - xi) + ny (yj - yi) >= d."""


def _ground(store: NoFit, a: Body, b: Body, at: Vector, i: int, j: int, reach: float, tiny: float) -> list[Row]:
    edges = store.edges(a.key, b.key)
    place = at[j] - at[i]
    box = 2.5 * reach
    near = (
        (np.minimum(edges[:, 0], edges[:, 2]) <= place[0] + box) & (np.maximum(edges[:, 0], edges[:, 2]) >= place[0] - box)
        & (np.minimum(edges[:, 1], edges[:, 3]) <= place[1] + box) & (np.maximum(edges[:, 1], edges[:, 3]) >= place[1] - box)
    )  # fmt: skip
    inside = _contains(edges, place)
    if not near.any() and not inside:
        return []
    planes = _planes(edges if inside else edges[near], place, tiny, inside=inside)
    return [(i, j, nx, ny, d) for nx, ny, d in planes]


def _contains(edges: Vector, point: Vector) -> bool:
    above = (edges[:, 1] > point[1]) != (edges[:, 3] > point[1])
    crossing = edges[above]
    if not len(crossing):
        return False
    share = (point[1] - crossing[:, 1]) / (crossing[:, 3] - crossing[:, 1])
    return bool(np.count_nonzero(crossing[:, 0] + share * (crossing[:, 2] - crossing[:, 0]) > point[0]) % 2)


def _planes(edges: Vector, place: Vector, tiny: float, *, inside: bool) -> list[tuple[float, float, float]]:
    """Half-planes n.u >= d that together keep clear of all edges, the nearest first."""
    a, b = edges[:, :2], edges[:, 2:]
    planes: list[tuple[float, float, float]] = []
    while len(a) and len(planes) < 40:
        run = b - a
        square = np.maximum((run**2).sum(axis=1), 1e-300)
        share = np.clip(((place - a) * run).sum(axis=1) / square, 0.0, 1.0)
        foot = a + share[:, None] * run
        away = place - foot
        distance = np.hypot(away[:, 0], away[:, 1])
        k = int(np.argmin(distance))
        outwards = np.array([run[k, 1], -run[k, 0]]) / float(np.sqrt(square[k]))
        if inside and not planes:
            place, normal = foot[k], outwards
        elif distance[k] <= tiny or (distance[k] <= _TOUCH * tiny and outwards @ away[k] >= -20 * tiny):
            # The way to a point that is touched says nothing; in a corner the second edge was cut off just before it.
            normal = outwards
        else:
            normal = away[k] / distance[k]
        limit = float(normal @ foot[k])
        planes.append((float(normal[0]), float(normal[1]), limit))
        a, b = _beyond(a, b, normal, limit + tiny)
    return planes


def _beyond(a: Vector, b: Vector, normal: Vector, limit: float) -> tuple[Vector, Vector]:
    """What of the edges lies strictly beyond a line."""
    fa, fb = a @ normal - limit, b @ normal - limit
    keep = (fa > 0) | (fb > 0)
    a, b, fa, fb = a[keep], b[keep], fa[keep], fb[keep]
    change = fb - fa
    share = np.where(change != 0, -fa / np.where(change != 0, change, 1.0), 0.0)
    cut = a + share[:, None] * (b - a)
    return np.where((fa < 0)[:, None], cut, a), np.where((fb < 0)[:, None], cut, b)


def _pairs(rows: list[Row], n: int, width: float) -> tuple[Any, Vector]:
    m = len(rows)
    if not m:
        return _sparse((np.empty(0), (np.empty(0, int), np.empty(0, int))), (0, 2 * n + 1)), np.empty(0)
    table = np.array(rows)
    i, j = table[:, 0].astype(int), table[:, 1].astype(int)
    nx, ny, d = table[:, 2], table[:, 3], table[:, 4]
    index = np.tile(np.arange(m), 4)
    columns = np.r_[2 * i, 2 * i + 1, 2 * j, 2 * j + 1]
    values = np.r_[nx, ny, -nx, -ny]
    return _sparse((values, (index, columns)), (m, 2 * n + 1)), -d / width


def _sparse(entries: Any, shape: tuple[int, int]) -> Any:
    from scipy.sparse import csr_matrix  # late: scipy takes long to load and most of the room does without it

    return csr_matrix(entries, shape=shape)
