"""Walking a seam: both sides laid along each other in sewn length."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

from firsthand.errors import GeometryError, NotThere
from firsthand.pattern._parts import PartEdge, part_shape, resolve
from firsthand.pattern._sense import chain_senses
from firsthand.pattern._sewn import sewn_at, sewn_length
from firsthand.pattern.model import EdgeRef, Garment, Notch, Seam

__all__ = ["NotchGap", "SeamWalk", "walk_seam"]


@dataclass(frozen=True, slots=True)
class NotchGap:
    """Two notches that should meet.

    Parameters
    ----------
    a, b
        The notches, as ``"piece.notch"``; empty where the other side has none to match.
    at_a, at_b
        Their sewn positions from the start of the seam, mm; ``at_b`` as it lies on the longer side of a gathered seam.
    gap
        How far they miss each other beyond what is eased in, mm; positive if ``a``'s comes too late.
    """

    a: str
    b: str
    at_a: float
    at_b: float
    gap: float


@dataclass(frozen=True, slots=True)
class SeamWalk:
    """What walking a seam showed.

    Parameters
    ----------
    a_length, b_length
        Sewn lengths of both chains, mm.
    expected_a
        What ``a`` should measure: ``ratio * b_length + easing``.
    difference
        ``a_length - expected_a``; positive if ``a`` is too long.
    fits
        Whether the difference is within the seam's tolerance.
    notch_gaps
        Every pair of notches, in order along the seam, and every one without a partner.
    """

    seam: Seam
    a_length: float
    b_length: float
    expected_a: float
    difference: float
    fits: bool
    notch_gaps: tuple[NotchGap, ...] = ()


def walk_seam(garment: Garment, seam: Seam) -> SeamWalk:
    """Compare the two sides of a seam.

    The lengths are sewn lengths: darts and pleats closed. Notches are matched in order; if one side has more, each of the
    fewer takes the nearest that keeps the order. What is eased in may lie anywhere along the seam, so a pair misses only
    by what easing cannot explain.

    Parameters
    ----------
    garment, seam
        A garment and one of its seams.

    Raises
    ------
    NotThere
        If an edge that the seam names is not there, or its piece is only a card.
    GeometryError
        If the ratio or the tolerance makes no sense.

    Examples
    --------
    >>> from firsthand.geometry import Path, Point
    >>> from firsthand.pattern.model import Corner, Cut, Edge, Hand, How, Part, Piece, Shape
    >>> def strip(name: str, length: float) -> Piece:
    ...     corners = [Point(0, 0), Point(80, 0), Point(80, length), Point(0, length)]
    ...     sides = zip(("end", "right", "top", "left"), corners, corners[1:] + corners[:1], strict=True)
    ...     edges = tuple(Edge(side, Corner(side), Path.line(a, b)) for side, a, b in sides)
    ...     return Piece(name, "", name, (Cut("shell", How.SINGLE),), shape=Shape(edges, (corners[0], corners[3])))
    >>> parts = tuple(Part(name, Hand.CENTRE, "shell") for name in ("front", "back"))
    >>> pieces = {"front": strip("front", 407), "back": strip("back", 400)}
    >>> garment = Garment("g", "G", "p", "M", pieces, parts)
    >>> walk = walk_seam(garment, Seam("side", (EdgeRef("front", "right"),), (EdgeRef("back", "left"),)))
    >>> walk.difference, walk.fits
    (7.0, False)
    """
    if not (math.isfinite(seam.ratio) and seam.ratio > 0 and math.isfinite(seam.easing)):
        raise GeometryError(f"seam {seam.id!r} has the ratio {seam.ratio} and {seam.easing} mm eased in")
    if not (math.isfinite(seam.tolerance) and seam.tolerance >= 0):
        raise GeometryError(f"seam {seam.id!r} has a tolerance of {seam.tolerance} mm")
    if not seam.a or not seam.b:
        raise GeometryError(f"seam {seam.id!r} has only one side")
    senses = chain_senses(garment, seam)
    (a_length, a_marks), (b_length, b_marks) = (
        _along(garment, refs, sense) for refs, sense in zip((seam.a, seam.b), senses, strict=True)
    )
    expected = seam.ratio * b_length + seam.easing
    difference = a_length - expected
    scaled = [(name, at * seam.ratio) for name, at in b_marks]
    gaps = _matched(a_marks, scaled, min(0.0, seam.easing), max(0.0, seam.easing))
    return SeamWalk(seam, a_length, b_length, expected, difference, abs(difference) <= seam.tolerance + 1e-9, gaps)


def located(garment: Garment, ref: EdgeRef) -> PartEdge:
    """The edge that a reference means.

    Raises
    ------
    NotThere
        If nothing answers to it.
    """
    found = resolve(garment, ref)
    if found is None:
        raise NotThere("edge of a part", str(ref))
    return found


def _along(garment: Garment, refs: Iterable[EdgeRef], sense: int) -> tuple[float, list[tuple[str, float]]]:
    """Length of a chain and the sewn positions of its notches, walked with the part's outline or against it."""
    total, marks = 0.0, []
    for ref in refs:
        found = located(garment, ref)
        shape = part_shape(garment, found.part)
        length = sewn_length(shape, found.edge)
        notches = sorted(_marks(shape.notches, found.edge), key=lambda n: n.at * sense)
        for notch in notches:
            at = sewn_at(shape, found.edge, notch.at)
            marks.append((f"{ref.piece}.{notch.id}", total + (at if sense > 0 else length - at)))
        total += length
    return total, marks


def _marks(notches: Iterable[Notch], edge: str) -> list[Notch]:
    return [notch for notch in notches if notch.edge == edge]


def _matched(a: list[tuple[str, float]], b: list[tuple[str, float]], least: float, most: float) -> tuple[NotchGap, ...]:
    """Pair notches in order; with unequal numbers so that the gaps are least in sum."""
    if len(a) == len(b):
        pairs = list(zip(range(len(a)), range(len(b)), strict=True))
    elif len(a) < len(b):
        pairs = list(enumerate(_nearest_in_order([at for _, at in a], [at for _, at in b])))
    else:
        pairs = [(i, j) for j, i in enumerate(_nearest_in_order([at for _, at in b], [at for _, at in a]))]
    gaps = [NotchGap(a[i][0], b[j][0], a[i][1], b[j][1], _beyond(a[i][1] - b[j][1], least, most)) for i, j in pairs]
    gaps += [NotchGap(name, "", at, math.nan, math.nan) for i, (name, at) in enumerate(a) if i not in {i for i, _ in pairs}]
    gaps += [NotchGap("", name, math.nan, at, math.nan) for j, (name, at) in enumerate(b) if j not in {j for _, j in pairs}]
    return tuple(sorted(gaps, key=lambda gap: gap.at_a if gap.a else gap.at_b))


def _beyond(value: float, least: float, most: float) -> float:
    return value - most if value > most else min(0.0, value - least)


def _nearest_in_order(few: list[float], many: list[float]) -> tuple[int, ...]:
    """Which of the many each of the few takes, in order, at the least sum of gaps (by dynamic programming)."""
    width = len(many) - len(few) + 1
    best: list[tuple[float, tuple[int, ...]]] = [(0.0, ())] * width
    for k, at in enumerate(few):
        costs = [(cost + abs(at - many[k + shift]), (*chosen, k + shift)) for shift, (cost, chosen) in enumerate(best)]
        best = list(itertools.accumulate(costs, min))
    return best[-1][1] if best else ()
