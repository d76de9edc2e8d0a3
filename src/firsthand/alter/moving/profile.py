"""Profiles: amounts by which an edge moves at stations along it, with a smooth run between, that add and cancel."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from firsthand.errors import GeometryError
from firsthand.pattern.model import Profile
from firsthand.units import said

__all__ = ["NOTHING", "Amounts", "amounts_of", "constant", "merged", "profile", "scaled", "shifted"]

NOTHING = 1e-9
"""Amounts below this, mm, are none: what is left over when a profile and its negative are added."""
APART = 1e-6
"""Stations closer together than this, mm, are one."""


def constant(amount: float) -> Profile:
    """The same amount everywhere.

    Raises
    ------
    GeometryError
        If it is not finite.
    """
    return profile([(0.0, amount)])


def profile(stations: Iterable[tuple[float, float]], *, straight: bool = False) -> Profile:
    """Amounts at stations, in any order.

    Parameters
    ----------
    stations
        Arc length and amount, mm.
    straight
        Whether the amount runs straight through them and beyond; there must be two then.

    Raises
    ------
    GeometryError
        If there are none, a number is not finite, one place has two amounts, or it is to be straight through more than two.

    Examples
    --------
    >>> profile([(100, 0), (0, 5)])
    Profile(stations=((0.0, 5.0), (100.0, 0.0)), straight=False)
    >>> profile([(100, 0), (100, 5)])
    Traceback (most recent call last):
    ...
    firsthand.errors.GeometryError: ⟨0 mm⟩ and ⟨5 mm⟩ are told for one place
    """
    kept: list[tuple[float, float]] = []
    for at, amount in sorted((float(at), float(amount)) for at, amount in stations):
        if not (math.isfinite(at) and math.isfinite(amount)):
            raise GeometryError(f"a profile needs finite lengths, not {said(amount)} at {said(at)}")
        if kept and at - kept[-1][0] < APART:
            if abs(amount - kept[-1][1]) > NOTHING:
                raise GeometryError(f"{said(kept[-1][1])} and {said(amount)} are told for one place")
            continue
        kept.append((at, amount))
    if not kept:
        raise GeometryError("a profile needs at least one station")
    if all(abs(amount - kept[0][1]) <= NOTHING for _, amount in kept):
        kept = [(0.0, kept[0][1])]
    if straight and len(kept) > 2:
        raise GeometryError(f"an amount runs straight through two stations, not through {len(kept)}")
    return Profile(tuple(kept), straight and len(kept) == 2)


def scaled(one: Profile, by: float) -> Profile:
    """All amounts times a number."""
    return replace(one, stations=tuple((at, amount * by) for at, amount in one.stations))


def shifted(one: Profile, by: float) -> Profile:
    """The same amounts at stations further along, mm."""
    return replace(one, stations=tuple((at + by, amount) for at, amount in one.stations))


def merged(profiles: Iterable[Profile]) -> tuple[Profile, ...]:
    """As few profiles with the same sum: of the same stations and in proportion, they are one; those that cancel are none.

    Examples
    --------
    >>> merged([constant(5), constant(3), profile([(0, 1), (9, 2)]), constant(-8), profile([(0, 3), (9, 6)])])
    (Profile(stations=((0.0, 4.0), (9.0, 8.0)), straight=False),)
    """
    kept: list[Profile] = []
    for one in profiles:
        for k, other in enumerate(kept):
            if one.straight is other.straight and _proportional(one.stations, other.stations):
                pairs = zip(one.stations, other.stations, strict=True)
                kept[k] = replace(one, stations=tuple((at, a + b) for (_, a), (at, b) in pairs))
                break
        else:
            kept.append(one)
    return tuple(one for one in kept if any(abs(amount) > NOTHING for _, amount in one.stations))


def _proportional(one: Sequence[tuple[float, float]], two: Sequence[tuple[float, float]]) -> bool:
    """Whether two profiles run through the same shapes, so that their sum at the stations is their sum everywhere."""
    if len(one) != len(two):
        return False
    if len(one) > 1 and any(abs(s - t) > NOTHING for (s, _), (t, _) in zip(one, two, strict=True)):
        return False
    lead = max(range(len(one)), key=lambda k: abs(one[k][1]))
    a, b = one[lead][1], two[lead][1]
    return all(abs(x * b - y * a) <= NOTHING * max(abs(a), abs(b)) for (_, x), (_, y) in zip(one, two, strict=True))


@dataclass(frozen=True, slots=True)
class _Curve:
    """One profile ready to be asked: places, amounts, slopes."""

    xs: tuple[float, ...]
    ys: tuple[float, ...]
    ds: tuple[float, ...]

    def at(self, s: float) -> tuple[float, float]:
        xs, ys, ds = self.xs, self.ys, self.ds
        k = bisect_right(xs, s) - 1
        if k < 0:
            return ys[0], 0.0
        if k >= len(xs) - 1:
            return ys[-1], 0.0
        h = xs[k + 1] - xs[k]
        t, rise = (s - xs[k]) / h, (ys[k + 1] - ys[k]) / h
        c2, c3 = 3 * rise - 2 * ds[k] - ds[k + 1], ds[k] + ds[k + 1] - 2 * rise
        return ys[k] + h * t * (ds[k] + t * (c2 + t * c3)), ds[k] + t * (2 * c2 + 3 * t * c3)

    def level(self, start: float, end: float) -> bool:
        """Whether the amount is the same all along a stretch."""
        pairs = itertools.pairwise(zip(self.xs, self.ys, strict=True))
        return all(one[1] == two[1] for one, two in pairs if one[0] < end and two[0] > start)

    @property
    def stops(self) -> tuple[float, ...]:
        """Places where it bends otherwise."""
        return self.xs if len(self.xs) > 1 else ()


@dataclass(frozen=True, slots=True)
class _Ramp:
    """A profile that runs straight through its two stations and beyond."""

    xs: tuple[float, ...]
    ys: tuple[float, ...]

    @property
    def rise(self) -> float:
        return (self.ys[1] - self.ys[0]) / (self.xs[1] - self.xs[0])

    def at(self, s: float) -> tuple[float, float]:
        return self.ys[0] + (s - self.xs[0]) * self.rise, self.rise

    def level(self, start: float, end: float) -> bool:
        return self.ys[0] == self.ys[1]

    @property
    def stops(self) -> tuple[float, ...]:
        return ()


@dataclass(frozen=True, slots=True)
class Amounts:
    """The sum of profiles, ready to be asked.

    Parameters
    ----------
    stations
        All their places, in order, mm.
    """

    curves: tuple[_Curve | _Ramp, ...]
    stations: tuple[float, ...]

    def at(self, s: float) -> tuple[float, float]:
        """The amount at a place, and by how much it rises for each mm along the line."""
        amount, slope = 0.0, 0.0
        for curve in self.curves:
            a, d = curve.at(s)
            amount, slope = amount + a, slope + d
        return amount, slope

    @property
    def most(self) -> float:
        """No amount is larger than this, either way, mm."""
        return sum(max(map(abs, curve.ys)) for curve in self.curves)

    def level(self, start: float, end: float) -> bool:
        """Whether the amount is the same all along a stretch."""
        return all(curve.level(start, end) for curve in self.curves)

    def straight(self, start: float, end: float) -> bool:
        """Whether the amount runs straight all along a stretch."""
        return all(isinstance(curve, _Ramp) or curve.level(start, end) for curve in self.curves)

    def between(self, start: float, end: float) -> list[float]:
        """The stations inside a stretch."""
        return [at for at in self.stations if start + APART < at < end - APART]


def amounts_of(profiles: Iterable[Profile]) -> Amounts:
    """The sum of profiles.

    Between stations each runs on a cubic with the slopes of F. N. Fritsch and J. Butland, "A method for constructing local
    monotone piecewise cubic interpolants", SIAM J. Sci. Stat. Comput. 5 (1984): the weighted harmonic mean of the slopes on
    both sides, and none where it turns or at the outermost stations, beyond which the amount stays. So it never overshoots,
    and stays zero between two zeros.

    Examples
    --------
    >>> waist = amounts_of([profile([(0, 0), (100, 20), (200, 0), (300, 0)])])
    >>> [round(waist.at(s)[0], 9) for s in (-5, 50, 100, 150, 250, 400)]
    [0.0, 10.0, 20.0, 10.0, 0.0, 0.0]
    """
    curves = tuple(_ramp(one.stations) if one.straight else _curve(one.stations) for one in profiles)
    return Amounts(curves, tuple(sorted({x for curve in curves for x in curve.stops})))


def _curve(stations: Sequence[tuple[float, float]]) -> _Curve:
    xs, ys = tuple(at for at, _ in stations), tuple(amount for _, amount in stations)
    steps = [b - a for a, b in itertools.pairwise(xs)]
    rises = [(b - a) / h for (a, b), h in zip(itertools.pairwise(ys), steps, strict=True)]
    ds = [0.0] * len(xs)
    for k in range(1, len(xs) - 1):
        before, after = rises[k - 1], rises[k]
        if before * after > 0:
            w1, w2 = 2 * steps[k] + steps[k - 1], steps[k] + 2 * steps[k - 1]
            ds[k] = (w1 + w2) / (w1 / before + w2 / after)
    return _Curve(xs, ys, tuple(ds))


def _ramp(stations: Sequence[tuple[float, float]]) -> _Ramp:
    return _Ramp(tuple(at for at, _ in stations), tuple(amount for _, amount in stations))
