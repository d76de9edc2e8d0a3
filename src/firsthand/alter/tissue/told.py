"""What is told of the tissue of a piece: what each alteration moved and cut, and where marks and lines are now."""

from __future__ import annotations

from dataclasses import dataclass

from firsthand.alter.tissue.lineage import Taped
from firsthand.alter.tissue.newlines import NewLine
from firsthand.alter.tissue.offsets import Offset
from firsthand.alter.tissue.rigid import Bit
from firsthand.geometry import Point
from firsthand.pattern import Piece, Shape

__all__ = ["Added", "Altering", "End", "Hinge", "Moved", "PointMoved", "Tissue"]

ORIGIN = Point(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Hinge:
    """Where the two sides of a cut stay together: a printed edge, the arc length on it, and the point before the alteration."""

    edge: str
    at: float
    point: Point


@dataclass(frozen=True, slots=True)
class End:
    """Where a cut meets the printed line.

    Parameters
    ----------
    edge, at, to
        Printed edge and the arc lengths of the two sides of the cut, mm; ``at`` and ``to`` differ where a strip is taken out.
        No edge if it lies in what an earlier alteration put in.
    opened
        How far the two sides are parted there, mm; negative where they lie over each other, 0 at a hinge.
    dart
        Id of the dart whose mouth closes there.
    cut
        Number of the cut within the alteration: both ends of one have the same.
    hinge
        Where on the outline the cut is hinged; None if its sides part all along, or stay together inside the piece.
    """

    edge: str
    at: float
    to: float
    opened: float
    dart: str = ""
    cut: int = 0
    hinge: Hinge | None = None


@dataclass(frozen=True, slots=True)
class Moved:
    """A section of a piece that is moved as it is.

    Parameters
    ----------
    edges
        Printed edges that are on it, the whole ones or, if there are none, those of which it has a stretch.
    right, up
        How far its middle moves to the right as printed, and up along the grain, mm.
    turn
        By how much it turns, radians, counter-clockwise as printed.
    pivot
        What it turns round, where that has a name.
    factor
        How much larger it becomes; 1 for a section that is only moved.
    ends
        Where it is cut from its neighbours.
    middle
        About its middle, as the piece was before.
    between
        Whether it has no whole edge: it lies between cuts.
    """

    edges: tuple[str, ...]
    right: float
    up: float
    turn: float = 0.0
    pivot: str = ""
    factor: float = 1.0
    ends: tuple[End, ...] = ()
    middle: Point = ORIGIN
    between: bool = False


@dataclass(frozen=True, slots=True)
class Altering:
    """What one alteration did to a piece: its words, and the sections it moved; none if it only moved lines."""

    alteration: str
    kind: str
    words: str
    moved: tuple[Moved, ...] = ()


@dataclass(frozen=True, slots=True)
class PointMoved:
    """A point inside that is no longer where its section was printed: right as printed, and up along the grain, mm."""

    name: str
    right: float
    up: float


@dataclass(frozen=True, slots=True)
class Added:
    """A notch, dart or pleat that was not there, or not on that edge: its printed place; no edge where there was nothing."""

    name: str
    edge: str = ""
    at: float = 0.0


@dataclass(frozen=True, slots=True)
class Tissue:
    """What to do on the tissue of one piece.

    Parameters
    ----------
    piece
        Its id.
    new
        Why it cannot be drawn from the printed one and is printed anew; empty if it can.
    stages
        What each alteration did, in order.
    bits
        The printed outline, with where each stretch has been moved by all of them.
    offsets
        From the printed line, once it is moved so, to the new one.
    points
        Points inside.
    gone, added
        Ids of marks that are no longer there, and marks that were not there.
    turned, opened
        Whether the piece is drawn turned over, seen from the tissue, and whether the tissue shows only half of it.
    source
        Id of the piece whose tissue it is, where that is another one.
    lines
        New lines to cut or sew along, which no printed line became.
    taped, foreign
        Pieces whose tissue is taped to it, and its edges that are on theirs.
    size
        Which size's printed line all is measured from, if that is not the piece's own.
    """

    piece: str
    new: str = ""
    stages: tuple[Altering, ...] = ()
    bits: tuple[Bit, ...] = ()
    offsets: tuple[Offset, ...] = ()
    points: tuple[PointMoved, ...] = ()
    gone: tuple[str, ...] = ()
    added: tuple[Added, ...] = ()
    turned: bool = False
    opened: bool = False
    source: str = ""
    lines: tuple[NewLine, ...] = ()
    taped: tuple[Taped, ...] = ()
    foreign: frozenset[str] = frozenset()
    size: str = ""

    @property
    def is_cut(self) -> bool:
        """Whether the tissue is cut through and its sections moved."""
        return any(section.factor == 1.0 for stage in self.stages for section in stage.moved)

    def printed(self, piece: Piece) -> Shape | None:
        """The printed outline from which all is measured."""
        return piece.sizes.get(self.size) if self.size else piece.bought
