"""What alterations for the body have in common: their seams, and wedges of length put in across a piece."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, finished, reshaped
from firsthand.alter._spots import spot
from firsthand.alter._together import Next
from firsthand.alter.kinds.slash import SlashAndSpread
from firsthand.alter.model import Alteration, Altered, Entry
from firsthand.alter.moving.chains import chains, place_along
from firsthand.alter.moving.reshape import Reshaped
from firsthand.alter.moving.warp import warped
from firsthand.alter.moving.ways import way_up
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Point
from firsthand.pattern import Garment, Seam, Shape, sewn_length, single_seams

__all__ = ["beside", "far_end", "seam_named", "seams_named", "wedge"]

SETS_IN = 60.0
"""Over this height above the line a raising sets in, mm. Source: our own choice."""


def seams_named(garment: Garment, name: str) -> tuple[Seam, ...]:
    """A seam by its id, or the right and the left one by the name common to both.

    Raises
    ------
    NotThere
        If there is none.
    """
    found = tuple(seam for seam in garment.seams if seam.id in (name, f"{name} right", f"{name} left"))
    if not found:
        raise NotThere("seam", name, (common for common, _ in single_seams(garment)))
    return found


def seam_named(garment: Garment, name: str) -> Seam:
    """The first of them: see :func:`seams_named`."""
    return seams_named(garment, name)[0]


def far_end(garment: Garment, seam: str, place: str) -> str:
    """``start`` or ``end`` of a seam, whichever is farther from a place along it.

    Raises
    ------
    NotThere
        If the seam or the place is not there.
    """
    found = seam_named(garment, seam)
    at, _ = place_along(found.id, chains(garment, found), place)
    whole = sum(sewn_length(garment.piece(ref.piece).drawn_shape, ref.edge) for ref in found.a)
    return "start" if at > whole / 2 else "end"


def beside(shape: Shape, edge: str, neighbour: str) -> str:
    """``start`` or ``end`` of an edge: where it meets a neighbour.

    Raises
    ------
    CannotAlter
        If they do not meet.
    """
    names = [one.id for one in shape.edges]
    shape.edge(edge)
    shape.edge(neighbour)
    k = names.index(edge)
    if names[k - 1] == neighbour:
        return "start"
    if names[(k + 1) % len(names)] == neighbour:
        return "end"
    raise CannotAlter(f"{edge} and {neighbour} do not meet", "Name two edges that meet in a corner.")


def wedge(garment: Garment, name: str, amount: float, centre: str, hinge: str) -> Iterator[Next]:
    """A wedge of length across a piece, open at its centre and hinged at the other side.

    At a seam the piece is slashed across and spread. A fold has to stay straight, so there all that lies above is raised
    instead: by all of it at the fold, by nothing at the hinge, smoothly between.

    Parameters
    ----------
    amount
        How much length is put in at the centre, mm; negative takes it out.
    centre, hinge
        Places on the outline, as ``centre at level hip``.

    Raises
    ------
    NotThere, CannotAlter
        If a place is not there or has no sense.
    """
    piece = garment.piece(name)
    edge = centre.partition(" at ")[0].strip()
    if edge == piece.fold:
        yield from _raised(piece.drawn_shape, name, amount, centre, hinge)
        return

    def slash(now: Garment) -> Alteration | None:
        return SlashAndSpread(piece=name, lines=((centre, hinge),), spread=amount) if amount else None

    yield slash


def _raised(shape: Shape, name: str, amount: float, centre: str, hinge: str) -> Iterator[Next]:
    held, far = (spot(shape, words).point(shape) for words in (centre, hinge))
    up = way_up(shape, centre.partition(" at ")[0].strip())
    reach = (far - held).dot(-up.left)
    if abs(reach) < 1.0:
        raise CannotAlter("the hinge lies on the fold", "Name a place on the other side of the piece.")
    if amount:
        yield lambda now: _Lift(name, amount, _Lifted(held, far, up, amount))


@dataclass(frozen=True, slots=True)
class _Lifted:
    """What lies above a line raised: by all of an amount at its start, by nothing from its end on, smoothly between.

    Above the line the raising sets in over :data:`SETS_IN`, so that nothing is torn; straight up: a fold stays straight.
    """

    start: Point
    end: Point
    up: Point
    amount: float

    def point(self, point: Point) -> Point:
        across, above, _ = self._seen(point)
        return point + self.up * (self.amount * _fall(across)[0] * _fall(1 - above)[0])

    def slope(self, point: Point, along: Point) -> Point:
        across, above, reach = self._seen(point)
        (share, share_slope), (ramp, ramp_slope) = _fall(across), _fall(1 - above)
        right = -self.up.left
        line_rise = (self.end - self.start).dot(self.up) / reach
        d_across = along.dot(right) / reach
        d_above = (along.dot(self.up) - along.dot(right) * line_rise) / SETS_IN
        return along + self.up * (self.amount * (share_slope * d_across * ramp - share * ramp_slope * d_above))

    def _seen(self, point: Point) -> tuple[float, float, float]:
        """How far across towards the end, as a share, and how far above the line, in lengths of the setting in."""
        right = -self.up.left
        reach = (self.end - self.start).dot(right)
        across = (point - self.start).dot(right) / reach
        line = self.start.towards(self.end, across)
        return across, (point - line).dot(self.up) / SETS_IN, reach


def _fall(share: float) -> tuple[float, float]:
    """From one at 0 to nothing at 1, level at both ends; and how fast it falls."""
    if share <= 0 or share >= 1:
        return (1.0, 0.0) if share <= 0 else (0.0, 0.0)
    return 1 - share * share * (3 - 2 * share), -6 * share * (1 - share)


@dataclass(frozen=True, slots=True)
class _Lift(Entry):
    """The step of an alteration that raises part of a piece."""

    kind: ClassVar[str] = "lift"

    piece: str
    amount: float
    lifted: _Lifted

    def apply(self, garment: Garment) -> Altered:
        """The garment with the piece raised."""

        def lift(amount: float) -> dict[str, Reshaped]:
            warp = replace(self.lifted, amount=amount)
            return reshaped(garment, {self.piece: lambda shape: warped(shape, warp)})

        changed = as_much_as_goes(lift, self.amount, "raising by" if self.amount > 0 else "lowering by")
        return finished(garment, self, "", {"amount": self.amount}, changed)
