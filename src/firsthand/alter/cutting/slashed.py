"""Slashes: several lines across one piece, spread or overlapped one after the other as if at once."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from firsthand.alter._spots import Spot, inner_point, spot
from firsthand.alter.cutting.cuts import Cut, Parted, Side
from firsthand.alter.cutting.sections import spread_motion
from firsthand.alter.cutting.sections_moved import moved_part
from firsthand.alter.moving.chaining import in_turn
from firsthand.alter.moving.maps import place
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.errors import CannotAlter
from firsthand.geometry import Affine, Path, Point, intersections
from firsthand.pattern import Garment, How, Piece, Shape
from firsthand.units import said

__all__ = ["Slash", "read_slash", "refuse_bent_folds", "slashed", "staying"]

APART = 1e-3
"""Lines that come this close to each other meet, mm."""
STRAIGHT = 0.05
"""How far a fold edge may stray and still be straight, mm: what the pattern's own check allows."""


@dataclass(frozen=True, slots=True)
class Slash:
    """A line across a piece and how far it opens at either end, mm; negative where it overlaps."""

    one: Spot
    two: Spot
    through: tuple[Point, ...] = ()
    at_one: float = 0.0
    at_two: float = 0.0

    def scaled(self, by: float) -> Slash:
        """The same line, opened by a share of it."""
        return replace(self, at_one=self.at_one * by, at_two=self.at_two * by)

    def path(self, shape: Shape) -> Path:
        """The line on a piece."""
        return Path.line(self.one.point(shape), *self.through, self.two.point(shape))


def read_slash(shape: Shape, words: Sequence[str]) -> Slash:
    """The line that words name: a place on the outline, points inside if it is not straight, and another place.

    Raises
    ------
    NotThere, CannotAlter
        If a place is not there or cannot be read, or there are fewer than two.
    """
    if isinstance(words, str) or len(words) < 2:
        raise CannotAlter("a line needs two places on the outline", 'Write for example ["hem at 30 %", "waist at 30 %"].')
    return Slash(spot(shape, words[0]), spot(shape, words[-1]), tuple(inner_point(shape, word) for word in words[1:-1]))


def staying(piece: Piece, words: str, slashes: Iterable[Slash]) -> Spot | None:
    """The place on the section that stays: the one named, else the fold edge, else None for where the grain line is."""
    shape = piece.drawn_shape
    if words:
        edge = next((edge for edge in shape.edges if edge.id == words.strip()), None)
        return spot(shape, words) if edge is None else Spot(edge.id, edge.path.length / 2)
    on_fold = piece.fold and any(cut.how is How.FOLD for cut in piece.cuts)
    if not on_fold or any(piece.fold in (slash.one.edge, slash.two.edge) for slash in slashes):
        return None
    return Spot(piece.fold, shape.edge(piece.fold).path.length / 2)


def slashed(shape: Shape, slashes: Sequence[Slash], stays: Spot | None = None) -> Reshaped:
    """A shape slashed along several lines, each opened by its own amounts.

    All places are those of the shape as given: each line goes on lying where it was drawn when others have opened. What holds
    ``stays`` (or the middle of the grain line) stays.

    Raises
    ------
    CannotAlter
        If lines cross each other, or one is impossible.
    Crosses
        If something would cross, or too much be overlapped.
    """
    _refuse_crossed(shape, slashes)
    result = Reshaped(shape, {})
    waiting = list(slashes)
    while waiting:
        slash, *waiting = waiting
        parted = Parted(result.shape, Cut(slash.one, slash.two, slash.through, stays=stays))
        ends = slash.one.point(result.shape), slash.two.point(result.shape)
        motion = spread_motion(*ends, slash.at_one, slash.at_two, right=parted.stays is Side.LEFT)
        moved = moved_part(parted, motion)
        waiting = [_followed(other, moved, parted, motion) for other in waiting]
        stays = None if stays is None else _spot(stays, moved)
        result = in_turn(result, moved)
    return result


def _refuse_crossed(shape: Shape, slashes: Sequence[Slash]) -> None:
    for one, two in itertools.combinations(slashes, 2):
        ends = [spot.point(shape) for slash in (one, two) for spot in (slash.one, slash.two)]
        for crossing in intersections(one.path(shape), two.path(shape)):
            if min(crossing.point.distance(end) for end in ends) > APART:
                raise CannotAlter(
                    "two of the lines cross each other", "Lead them beside each other, or slash one after the other."
                )


def _followed(slash: Slash, moved: Reshaped, parted: Parted, motion: Affine) -> Slash:
    """Where a line is when another one has opened."""
    through = tuple(point if parted.side_of(point) is parted.stays else motion(point) for point in slash.through)
    return replace(slash, one=_spot(slash.one, moved), two=_spot(slash.two, moved), through=through)


def _spot(old: Spot, moved: Reshaped) -> Spot:
    at = place(moved.maps.get(old.edge), old.at)
    if at is None:
        raise Crosses(f"a place on {old.edge} would be overlapped by another line")
    return Spot(old.edge, at)


def refuse_bent_folds(garment: Garment, changed: Iterable[str], after: Garment) -> None:
    """Refuse what bends an edge that lies on the fold.

    Raises
    ------
    CannotAlter
        Naming the edge.
    """
    for name in changed:
        piece = garment.piece(name)
        if not piece.fold or not any(cut.how is How.FOLD for cut in piece.cuts):
            continue
        path = after.piece(name).drawn_shape.edge(piece.fold).path
        along = (path.end - path.start).unit()
        stray = max(abs(along.cross(point - path.start)) for point in path.flattened(STRAIGHT / 2))
        if stray > STRAIGHT:
            words = f"{name}.{piece.fold} lies on the fold and would be bent by {said(stray)}"
            raise CannotAlter(words, "Open the line alike at both ends, end it on another edge, or unfold the piece first.")
