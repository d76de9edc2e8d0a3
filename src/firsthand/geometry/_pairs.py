"""Where two segments meet."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from firsthand.geometry._clear import Flat, extent, flat, halves, separate
from firsthand.geometry._nearest import hull_distance, nearest_parameter
from firsthand.geometry._path import JOINT
from firsthand.geometry._roots import bernstein_roots
from firsthand.geometry._segment import Cubic, Line, Segment

__all__ = ["SAME", "meetings"]

Pair = tuple[float, float]
SAME = 0.01  # mm; meetings closer than this along both paths are one: a touch is only as sharp as the curves are round
SMALL = 0.02  # mm; pieces of curves are halved down to this before the nearest approach is sought
MOST = 9  # two different cubics cross at most nine times (Bezout); beyond that they run along each other
MANY = 60  # by then the stretches where they do are plain
CROWDED = 10_000  # pairs of pieces looked at at most
TRIES = 1_500  # nearest approaches sought at most
STEPS = 15  # of Newton's method


def meetings(one: Segment, two: Segment) -> list[Pair]:
    """Parameters on two segments where they come within 1e-6 mm of each other."""
    if isinstance(one, Line):
        if isinstance(two, Line):
            return _line_line(one, two)
        return [(t, u) for u, t in _cubic_line(two, one)]
    if isinstance(two, Line):
        return _cubic_line(one, two)
    return _cubic_cubic(one, two)


# straight with straight --------------------------------------------------------------------------------------


def _heights(one: Line, two: Line) -> tuple[float, float, float]:
    """How far both ends of the second line lie beside the first, and how much of that may be a touch, times its length."""
    ax, ay, dx, dy = one.a.x, one.a.y, one.b.x - one.a.x, one.b.y - one.a.y
    first = dx * (two.a.y - ay) - dy * (two.a.x - ax)
    second = dx * (two.b.y - ay) - dy * (two.b.x - ax)
    return first, second, 2 * JOINT * (abs(dx) + abs(dy))


def _crossed(one: Line, two: Line) -> Pair:
    """Where two lines that surely cross do so."""
    rx, ry, sx, sy = one.b.x - one.a.x, one.b.y - one.a.y, two.b.x - two.a.x, two.b.y - two.a.y
    gx, gy, turn = two.a.x - one.a.x, two.a.y - one.a.y, rx * sy - ry * sx
    return (gx * sy - gy * sx) / turn, (gx * ry - gy * rx) / turn


def _line_line(one: Line, two: Line) -> list[Pair]:
    lo, hi, touch = _heights(one, two)
    if min(lo, hi) > touch or max(lo, hi) < -touch:
        return []
    low, high, near = _heights(two, one)
    if min(low, high) > near or max(low, high) < -near:
        return []
    if min(abs(lo), abs(hi)) > touch and min(abs(low), abs(high)) > near:
        return [_crossed(one, two)]
    ends = _touching_ends(one, two)
    if len(ends) >= 2:
        return ends
    r, s = one.b - one.a, two.b - two.a
    turn = r.cross(s)
    if abs(turn) <= 1e-12 * r.norm * s.norm or turn == 0:
        return ends
    gap = two.a - one.a
    t, u = gap.cross(s) / turn, gap.cross(r) / turn
    if not ends and 0 <= t <= 1 and 0 <= u <= 1:
        return [(t, u)]
    return ends


def _touching_ends(one: Segment, two: Segment) -> list[Pair]:
    """Ends of either that lie on the other one, each place once."""
    found: list[Pair] = []
    for t in (0.0, 1.0):
        end = one.start if t == 0 else one.end
        if hull_distance(two, end) > JOINT:
            continue
        u, distance = nearest_parameter(two, end)
        if distance <= JOINT:
            found.append((t, u))
    for u in (0.0, 1.0):
        end = two.start if u == 0 else two.end
        if hull_distance(one, end) > JOINT:
            continue
        t, distance = nearest_parameter(one, end)
        if distance <= JOINT:
            found.append((t, u))
    kept: list[Pair] = []
    for pair in found:
        if not any(_same(one, pair, k) for k in kept):
            kept.append(pair)
    return sorted(kept)


def _same(one: Segment, pair: Pair, other: Pair) -> bool:
    """Whether two meetings are one: near each other along both segments."""
    beside = abs(pair[0] - other[0]) <= 0.01 and abs(pair[1] - other[1]) <= 0.01
    return beside and one.point(pair[0]).distance(one.point(other[0])) <= SAME


# curved with straight ----------------------------------------------------------------------------------------


def _cubic_line(curve: Cubic, line: Line) -> list[Pair]:
    ox, oy = line.a.x, line.a.y
    wx, wy = line.b.x - ox, line.b.y - oy
    length = math.hypot(wx, wy)
    if length == 0:
        return [(t, 0.0) for t, distance in [nearest_parameter(curve, line.a)] if distance <= JOINT]
    wx, wy = wx / length, wy / length
    k = flat(curve)
    height = [wx * (k[i + 1] - oy) - wy * (k[i] - ox) for i in (0, 2, 4, 6)]
    if min(height) > JOINT or max(height) < -JOINT:
        return []
    along = [wx * (k[i] - ox) + wy * (k[i + 1] - oy) for i in (0, 2, 4, 6)]
    if min(along) > length + JOINT or max(along) < -JOINT:
        return []
    if max(abs(h) for h in height) <= JOINT:
        return _touching_ends(curve, line)
    if _crosses_once(height) and min(along) > JOINT and max(along) < length - JOINT:
        t = _zero(height)
        return [(t, min(1.0, max(0.0, _at(along, t) / length)))]
    level = [3 * (b - a) for a, b in itertools.pairwise(height)]
    touches = [t for t in bernstein_roots(level) if abs(_at(height, t)) <= JOINT]
    found = []
    for t in [*bernstein_roots(height), *touches]:
        reach = _at(along, t)
        if -JOINT <= reach <= length + JOINT:
            found.append((t, min(1.0, max(0.0, reach / length))))
    return _merged(curve, [*_touching_ends(curve, line), *found])


def _crosses_once(height: Sequence[float]) -> bool:
    """Whether a cubic is proven to pass through zero just once, well away from its ends, and never to turn back."""
    a, b, c, d = height
    if a > 0:
        a, b, c, d = -a, -b, -c, -d
    return a < -2 * JOINT and d > 2 * JOINT and a <= b <= c <= d


def _zero(height: Sequence[float]) -> float:
    """The only zero of such a cubic, by Newton's method in a bracket."""
    a, b, c, d = height
    p, q, r = 3 * (b - a), 3 * (a - 2 * b + c), d - 3 * c + 3 * b - a
    lo, hi, t = 0.0, 1.0, a / (a - d)
    for _ in range(60):
        value = a + t * (p + t * (q + t * r))
        if value == 0:
            break
        lo, hi = (t, hi) if (value > 0) == (a > 0) else (lo, t)
        slope = p + t * (2 * q + 3 * t * r)
        step = t - value / slope if slope else -1.0
        before, t = t, step if lo < step < hi else (lo + hi) / 2
        if abs(t - before) <= 1e-15:
            break
    return t


def _at(k: Sequence[float], t: float) -> float:
    """The value of a cubic by its Bernstein coefficients."""
    s = 1 - t
    return k[0] * s * s * s + 3 * s * t * (k[1] * s + k[2] * t) + k[3] * t * t * t


def _merged(one: Segment, pairs: Iterable[Pair]) -> list[Pair]:
    """Leave out what was found twice; ends come first and win."""
    kept: list[Pair] = []
    for pair in pairs:
        if not any(_same(one, pair, k) for k in kept):
            kept.append(pair)
    return sorted(kept)


# curved with curved ------------------------------------------------------------------------------------------

Piece = tuple[Flat, float, float]
"""The eight coordinates of a piece of a cubic, and the stretch of the parameter it is for."""


def _cubic_cubic(one: Cubic, two: Cubic) -> list[Pair]:
    first, second = flat(one), flat(two)
    if separate(first, second):
        return []
    ends = _touching_ends(one, two)
    if len(ends) >= 2 and _together(one, two, ends):
        return [ends[0], ends[-1]]
    found: list[Pair] = []
    stack: list[tuple[Piece, Piece]] = [((first, 0.0, 1.0), (second, 0.0, 1.0))]
    tries, powers = 0, (_powers(one), _powers(two))
    for _ in range(CROWDED):
        if not stack or tries > TRIES:
            break
        p, q = stack.pop()
        if separate(p[0], q[0]) or any(p[1] <= t <= p[2] and q[1] <= u <= q[2] and _solo(p, q) for t, u in found):
            continue
        size_p, size_q = extent(p[0]), extent(q[0])
        if max(size_p, size_q) <= SMALL or _solo(p, q):
            tries += 1
            pair = _approach(*powers, (p[1] + p[2]) / 2, (q[1] + q[2]) / 2)
            inside = pair is not None and p[1] - 1e-9 <= pair[0] <= p[2] + 1e-9 and q[1] - 1e-9 <= pair[1] <= q[2] + 1e-9
            if pair is not None and (inside or max(size_p, size_q) <= SMALL):
                found = _merged(one, [*found, pair])
                if len(found) > MANY:
                    break
                continue
            if max(size_p, size_q) <= SMALL:
                continue
        parts_p = _halved(p) if size_p > SMALL / 2 and size_p >= size_q / 2 else [p]
        parts_q = _halved(q) if size_q > SMALL / 2 and size_q >= size_p / 2 else [q]
        stack += [(x, y) for x in parts_p for y in parts_q]
    return _merged(one, [*ends, *(_thinned(one, two, found) if len(found) > MOST else found)])


def _thinned(one: Cubic, two: Cubic, found: list[Pair]) -> list[Pair]:
    """Of meetings along a stretch where the curves never leave each other only the first and the last."""
    kept: list[Pair] = []
    for k, pair in enumerate(found):
        joins = [0 < j < len(found) and _together(one, two, found[j - 1 : j + 1]) for j in (k, k + 1)]
        if not all(joins):
            kept.append(pair)
    return kept


def _together(one: Cubic, two: Cubic, ends: list[Pair]) -> bool:
    """Whether two curves share the whole stretch between the outermost ends that touch."""
    lo, hi = ends[0][0], ends[-1][0]
    return all(nearest_parameter(two, one.point(lo + (hi - lo) * k / 8))[1] <= JOINT for k in range(1, 8))


def _halved(piece: Piece) -> list[Piece]:
    (one, two), (_, lo, hi) = halves(piece[0]), piece
    mid = (lo + hi) / 2
    return [(one, lo, mid), (two, mid, hi)]


def _solo(p: Piece, q: Piece) -> bool:
    """Whether two pieces can cross at most once: no direction of the one is a direction of the other."""
    fan_p, fan_q = _fan(p[0]), _fan(q[0])
    if fan_p is None or fan_q is None:
        return False
    between = abs(math.remainder(fan_p[0] - fan_q[0], math.pi))
    return between > fan_p[1] + fan_q[1] + 0.1


def _fan(k: Flat) -> tuple[float, float] | None:
    """Middle and half width of the directions of a piece; None if they spread widely."""
    middle = math.atan2(k[7] - k[1], k[6] - k[0])
    spread = 0.0
    for i in (0, 2, 4):
        dx, dy = k[i + 2] - k[i], k[i + 3] - k[i + 1]
        if dx or dy:
            spread = max(spread, abs(math.remainder(math.atan2(dy, dx) - middle, 2 * math.pi)))
    return (middle, spread) if spread < 0.7 else None


Powers = tuple[float, ...]
"""A cubic as a + b t + c t2 + d t3: the four coefficients in x, then in y."""


def _powers(curve: Cubic) -> Powers:
    a, b, c, d = curve.a, curve.b, curve.c, curve.d
    return (
        a.x, 3 * (b.x - a.x), 3 * (a.x - 2 * b.x + c.x), d.x - 3 * c.x + 3 * b.x - a.x,
        a.y, 3 * (b.y - a.y), 3 * (a.y - 2 * b.y + c.y), d.y - 3 * c.y + 3 * b.y - a.y,
    )  # fmt: skip


def _motion(k: Powers, t: float) -> tuple[float, float, float, float, float, float]:
    """Place, first and second derivative."""
    return (
        k[0] + t * (k[1] + t * (k[2] + t * k[3])), k[4] + t * (k[5] + t * (k[6] + t * k[7])),
        k[1] + t * (2 * k[2] + t * 3 * k[3]), k[5] + t * (2 * k[6] + t * 3 * k[7]),
        2 * k[2] + 6 * t * k[3], 2 * k[6] + 6 * t * k[7],
    )  # fmt: skip


def _approach(one: Powers, two: Powers, t: float, u: float) -> Pair | None:
    """Walk both parameters to where the curves meet or, where they only touch, are nearest; None if they stay apart.

    Newton's method on half the squared distance; where that has no minimum ahead, on the meeting of the tangents. Curves that
    cross at a very small angle make the first hardly move: then the tangents alone are tried.
    """
    return _walked(one, two, t, u, tangents=False) or _walked(one, two, t, u, tangents=True)


def _walked(one: Powers, two: Powers, t: float, u: float, *, tangents: bool) -> Pair | None:
    for _ in range(STEPS):
        px, py, vx, vy, ax, ay = _motion(one, t)
        qx, qy, wx, wy, bx, by = _motion(two, u)
        gx, gy = px - qx, py - qy
        slope_t, slope_u = gx * vx + gy * vy, -(gx * wx + gy * wy)
        tt, uu = vx * vx + vy * vy + gx * ax + gy * ay, wx * wx + wy * wy - gx * bx - gy * by
        tu, turn = -(vx * wx + vy * wy), vx * wy - vy * wx
        curved = tt * uu - tu * tu
        if not tangents and tt > 0 and curved > 1e-14 * abs(tt * uu):
            dt, du = (tu * slope_u - uu * slope_t) / curved, (tu * slope_t - tt * slope_u) / curved
        elif turn * turn > 1e-18 * (vx * vx + vy * vy) * (wx * wx + wy * wy):
            dt, du = -(gx * wy - gy * wx) / turn, -(gx * vy - gy * vx) / turn
        else:
            break
        before = t, u
        t, u = min(1.0, max(0.0, t + dt)), min(1.0, max(0.0, u + du))
        if abs(t - before[0]) + abs(u - before[1]) < 1e-15:
            break
    px, py, *_ = _motion(one, t)
    qx, qy, *_ = _motion(two, u)
    return (t, u) if math.hypot(px - qx, py - qy) <= JOINT else None
