"""Where sizes stand beside each other, and what a size is made from that is not on the paper."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import Garment, Piece
from firsthand.units import said

__all__ = ["FARTHEST", "Mix", "Scale", "made_from", "sizes_of"]

FARTHEST = 3.0
"""A size is made at most so many steps beyond those it is made from; common practice is one or two."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Sizes as numbers.

    Parameters
    ----------
    places
        The place of each size: steps from the smallest, or a measurement, mm.
    measurement
        Key of the measurement; empty for steps.
    """

    places: Mapping[str, float]
    measurement: str = ""

    def gap(self, one: str, two: str) -> str:
        """How far apart two sizes are, in words."""
        gap = abs(self.places[one] - self.places[two])
        name = self.measurement.replace("_", " ")
        return f"{said(gap)} of {name}" if name else f"{gap:g} {'step' if gap == 1 else 'steps'}"


def sizes_of(garment: Garment) -> tuple[str, ...]:
    """All sizes of a garment's pattern, smallest first, as far as is known."""
    sizes = list(garment.sizes)
    for piece in garment.pieces.values():
        sizes += [size for size in piece.sizes if size not in sizes]
    return tuple(sizes)


def scale_of(garment: Garment, measurement: str = "", typed: Mapping[str, float] | None = None) -> Scale:
    """The sizes of a garment as numbers.

    Parameters
    ----------
    measurement
        The measurement of the chart that tells them apart. If none is said, that of the first of the garment's levels that the
        chart gives for every size, or else the first the chart gives for every size; without a chart each size is one step
        after the one before.
    typed
        Places that the user has told instead.

    Raises
    ------
    NotThere
        If the chart does not give the measurement for every size.
    CannotAlter
        If the numbers do not grow from size to size.
    """
    if typed:
        scale = Scale(dict(typed))
    else:
        sizes = sizes_of(garment)
        key = _measurement(garment, sizes, measurement)
        places = {size: garment.chart[size][key] for size in sizes} if key else {s: float(k) for k, s in enumerate(sizes)}
        scale = Scale(places, key)
    ordered = [scale.places[size] for size in sizes_of(garment) if size in scale.places]
    if not all(math.isfinite(place) for place in ordered) or any(two <= one for one, two in pairwise(ordered)):
        what = scale.measurement.replace("_", " ") or "the number told"
        raise CannotAlter(f"{what} does not grow from each size to the next", "Tell what does, or the place of each size.")
    return scale


def _measurement(garment: Garment, sizes: Sequence[str], wanted: str) -> str:
    rows = [garment.chart.get(size, {}) for size in sizes]
    common = [key for key in (rows[0] if rows else {}) if all(key in row for row in rows)]
    if wanted and wanted not in common:
        raise NotThere("measurement for every size", wanted, common)
    levels = [level.body for level in garment.levels if level.body in common]
    return wanted or next(iter([*levels, *common]), "")


@dataclass(frozen=True, slots=True)
class Mix:
    """What a size of a piece is made from.

    Parameters
    ----------
    weights
        The share of each size on the paper; they add to one.
    beyond
        How many of the steps between the two it lies beyond the nearer of them; 0 between two sizes or on the paper.
    words
        Where it lies; empty for a size on the paper.
    """

    weights: Mapping[str, float]
    beyond: float = 0.0
    words: str = ""


def made_from(piece: Piece, size: str, scale: Scale) -> Mix:
    """What a size of a piece is made from: its own outline, or the two sizes on the paper that lie nearest, in one line.

    Of three and more sizes left only the two nearest count: from the middle of a range to its ends the steps grow (EN 13402-3:
    40 mm of bust, 60 mm in larger sizes), and what is near is the better guide.

    Raises
    ------
    NotThere
        If it is no size of the pattern.
    CannotAlter
        If fewer than two sizes are left, or it lies too far beyond them.
    """
    if size in piece.sizes:
        return Mix({size: 1.0})
    if size not in scale.places:
        raise NotThere("size", size, scale.places)
    left = sorted((s for s in piece.sizes if s in scale.places), key=lambda s: scale.places[s])
    if len(left) < 2:
        there = f"only size {left[0]} is" if left else "none is"
        raise CannotAlter(f"size {size} of {piece.id} needs two sizes to be made from, and {there} left", "Draw it anew.")
    at = scale.places[size]
    index = next((k for k, s in enumerate(left) if scale.places[s] > at), len(left))
    one, two = (left[k] for k in _pair(index, len(left)))
    share = (at - scale.places[one]) / (scale.places[two] - scale.places[one])
    beyond = max(share - 1, -share, 0.0)
    if beyond > FARTHEST:
        far = f"lies {beyond:.1f} times the step from {one} to {two} beyond them"
        words = f"size {size} of {piece.id} {far}; at most {FARTHEST:g}"
        raise CannotAlter(words, "Take a size nearer to it.")
    nearer = two if share > 0.5 else one
    where = f"{scale.gap(size, nearer)} beyond {nearer}" if beyond else f"between {one} and {two}"
    return Mix({one: 1 - share, two: share}, beyond, where)


def _pair(index: int, count: int) -> tuple[int, int]:
    """The two of some sizes in order that are nearest to a place before ``index``."""
    low = min(max(index - 1, 0), count - 2)
    return low, low + 1
