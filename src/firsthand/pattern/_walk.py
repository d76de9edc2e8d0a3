"""Walking a seam: both sides laid along each other in sewn length."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from firsthand.errors import GeometryError, NotThere
from firsthand.pattern._parts import MIRRORED, PartEdge, is_on_fold, part_shape, resolve
from firsthand.pattern._sense import chain_senses
from firsthand.pattern._sewn import sewn_at, sewn_length
from firsthand.pattern.model import EdgeRef, Garment, Hand, Seam, Shape
from firsthand.units import said

__all__ = ["NotchGap", "SeamWalk", "walk_seam"]

JOINT_REACH = 10.0
"""A notch this near to a joint of edges on the other side, mm, is taken to mean that joint (a shoulder notch on a collar)."""


@dataclass(frozen=True, slots=True)
class NotchGap:
    """Two notches that should meet.

    Parameters
    ----------
    a, b
        The notches, as ``"piece.notch"``, or the joint of two edges that a notch means, as ``"piece.edge | piece.edge"``;
        empty where the other side has nothing to match.
    at_a, at_b
        Their sewn positions from the start of the seam, mm; ``at_b`` as it lies on the longer side of a gathered seam.
    gap
        How far they miss each other beyond what is eased in, mm; positive if ``a``'s comes too late. Not a number, as is the
        position, where one has no partner.
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
    fewer takes the nearest that keeps the order, and one that is left may mean the joint of two edges. What is eased in may
    lie anywhere along the seam, so a pair misses only by what easing cannot explain.

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
        raise GeometryError(f"seam {seam.id!r} has the ratio {seam.ratio} and {said(seam.easing)} eased in")
    if not (math.isfinite(seam.tolerance) and seam.tolerance >= 0):
        raise GeometryError(f"seam {seam.id!r} has a tolerance of {said(seam.tolerance)}")
    if not seam.a or not seam.b:
        raise GeometryError(f"seam {seam.id!r} has only one side")
    senses = chain_senses(garment, seam)
    a, b = (_along(garment, refs, sense) for refs, sense in zip((seam.a, seam.b), senses, strict=True))
    expected = seam.ratio * b.length + seam.easing
    difference = a.length - expected
    gaps = _matched(a, b.scaled(seam.ratio), seam.easing)
    return SeamWalk(seam, a.length, b.length, expected, difference, abs(difference) <= seam.tolerance + 1e-9, gaps)


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


Mark = tuple[str, float]
"""A name and a sewn position from the start of the seam, mm."""


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of a seam: its length, its notches, and where one edge ends and the next begins."""

    length: float
    notches: tuple[Mark, ...]
    joints: tuple[Mark, ...]

    def scaled(self, by: float) -> _Side:
        """The side stretched, so that positions compare with those of a gathered side."""
        notches, joints = (tuple((name, at * by) for name, at in marks) for marks in (self.notches, self.joints))
        return _Side(self.length * by, notches, joints)


def _along(garment: Garment, refs: Sequence[EdgeRef], sense: int) -> _Side:
    """A chain walked with the outline of its parts or against it."""
    total, marks, joints = 0.0, [], []
    for index, ref in enumerate(refs):
        found = located(garment, ref)
        shape, way = _as_drawn(garment, found, sense)
        length = sewn_length(shape, found.edge)
        on_edge = sorted((n for n in shape.notches if n.edge == found.edge), key=lambda n: n.at * way)
        for notch in on_edge:
            at = sewn_at(shape, found.edge, notch.at)
            marks.append((f"{ref.piece}.{notch.id.removesuffix(MIRRORED)}", total + (at if way > 0 else length - at)))
        total += length
        if index + 1 < len(refs):
            joints.append((f"{ref.piece}.{ref.edge} | {refs[index + 1].piece}.{refs[index + 1].edge}", total))
    return _Side(total, tuple(marks), tuple(joints))


def _as_drawn(garment: Garment, found: PartEdge, sense: int) -> tuple[Shape, int]:
    """The shape with a part's edge, and the way it is walked there: of a part for the other hand the piece, the other way."""
    piece = garment.piece(found.part.piece)
    if is_on_fold(piece, found.part) or found.part.hand is Hand.CENTRE or found.part.hand is not piece.drawn.other:
        return part_shape(garment, found.part), sense
    return piece.drawn_shape, -sense


def _matched(a: _Side, b: _Side, easing: float) -> tuple[NotchGap, ...]:
    """Pair notches in order; with unequal numbers so that the gaps are least in sum, and the rest with joints of edges."""
    places_a, places_b = [at for _, at in a.notches], [at for _, at in b.notches]
    if len(places_a) <= len(places_b):
        pairs = list(enumerate(_nearest_in_order(places_a, places_b)))
    else:
        pairs = [(i, j) for j, i in enumerate(_nearest_in_order(places_b, places_a))]
    gaps = [_gap(a.notches[i], b.notches[j], easing) for i, j in pairs]
    left_a = [mark for i, mark in enumerate(a.notches) if i not in {i for i, _ in pairs}]
    left_b = [mark for j, mark in enumerate(b.notches) if j not in {j for _, j in pairs}]
    gaps += [_at_joint(mark, b.joints, easing) or NotchGap(mark[0], "", mark[1], math.nan, math.nan) for mark in left_a]
    gaps += [
        _turned(_at_joint(mark, a.joints, -easing)) or NotchGap("", mark[0], math.nan, mark[1], math.nan) for mark in left_b
    ]
    return tuple(sorted(gaps, key=lambda gap: gap.at_a if gap.a else gap.at_b))


def _gap(one: Mark, two: Mark, easing: float) -> NotchGap:
    return NotchGap(one[0], two[0], one[1], two[1], _beyond(one[1] - two[1], min(0.0, easing), max(0.0, easing)))


def _at_joint(mark: Mark, joints: tuple[Mark, ...], easing: float) -> NotchGap | None:
    """A notch that has no partner may mean the place where two edges of the other side are joined."""
    gaps = [_gap(mark, joint, easing) for joint in joints]
    best = min(gaps, key=lambda gap: abs(gap.gap), default=None)
    return best if best is not None and abs(best.gap) <= JOINT_REACH else None


def _turned(gap: NotchGap | None) -> NotchGap | None:
    return gap and NotchGap(gap.b, gap.a, gap.at_b, gap.at_a, -gap.gap)


def _beyond(value: float, least: float, most: float) -> float:
    return value - most if value > most else min(0.0, value - least)


def _nearest_in_order(few: list[float], many: list[float]) -> tuple[int, ...]:
    """Which of the many each of the few takes, in order, at the least sum of gaps (by dynamic programming)."""
    width = len(many) - len(few) + 1
    best: list[tuple[float, tuple[int, ...]]] = [(0.0, ())] * width
    for k, at in enumerate(few):
        costs = [(cost + abs(at - many[k + shift]), (*chosen, k + shift)) for shift, (cost, chosen) in enumerate(best)]
        best = list(itertools.accumulate(costs, min))
    return best[-1][1]
