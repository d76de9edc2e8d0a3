"""The outline of a piece and what is marked on it. Knows no files, and nothing of parts or garments."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum

from firsthand.errors import NotThere
from firsthand.geometry import Path, Point

__all__ = [
    "Corner",
    "CornerShape",
    "Dart",
    "Edge",
    "Fate",
    "FateKind",
    "Ground",
    "Hand",
    "InnerLine",
    "InnerLineKind",
    "LevelLine",
    "Notch",
    "NotchKind",
    "Pleat",
    "PleatKind",
    "Pressed",
    "Shape",
]


class Hand(StrEnum):
    """The wearer's side that a part belongs to."""

    LEFT = "left"
    RIGHT = "right"
    CENTRE = "centre"

    @property
    def other(self) -> Hand:
        """The other side; the centre has none."""
        return {Hand.LEFT: Hand.RIGHT, Hand.RIGHT: Hand.LEFT}.get(self, Hand.CENTRE)


class FateKind(StrEnum):
    """What becomes of an edge."""

    SEAM = "seam"
    HEM = "hem"
    FACING = "facing"
    BAND = "band"
    CASING = "casing"
    BINDING = "binding"
    FOLD = "fold"
    RAW = "raw"
    APPLIED = "applied"
    """Sewn flat on to the part beneath, as the sides of a patch pocket or a badge."""


@dataclass(frozen=True, slots=True)
class Fate:
    """What becomes of an edge; ``depth`` is the finished depth of a hem or casing, mm."""

    kind: FateKind
    depth: float = 0.0


class CornerShape(StrEnum):
    """How the allowance is shaped at a corner, between the edge that ends there and the edge that begins there."""

    MITRED = "mitred"
    """Both cutting lines run on until they meet; a very sharp point is cut off."""
    SQUARED = "squared"
    """The allowance of the edge that ends here runs on at its full width to where its stitching line, run on, meets the
    cutting line of the edge that begins here, and is cut off there square to its stitching line. Two edges that are
    sewn together then have allowances that end alike."""
    SQUARED_NEXT = "squared next"
    """The same with the edges exchanged: the allowance of the edge that begins here is the one cut off square."""
    MIRRORED = "mirrored"
    """Beyond the stitching line of the hem, the cutting line of the other edge is its own mirror image in that line, so
    that the hem lies flat when it is turned up. The hem is the edge of the two whose fate is a hem, a casing or a facing
    (one with a finished depth before one without); if both are or neither is, it is the edge that begins here."""
    MIRRORED_LAST = "mirrored last"
    """As mirrored, but if both edges or neither are hems, the mirror is the edge that ends here."""
    BLUNTED = "blunted"
    """Mitred, and cut off across the point at the wider of the two margins from the corner."""

    @property
    def flipped(self) -> CornerShape:
        """The shape of the same corner on the mirror image of the piece, where the two edges change places."""
        return _FLIPPED.get(self, self)


_FLIPPED = {
    CornerShape.SQUARED: CornerShape.SQUARED_NEXT,
    CornerShape.SQUARED_NEXT: CornerShape.SQUARED,
    CornerShape.MIRRORED: CornerShape.MIRRORED_LAST,
    CornerShape.MIRRORED_LAST: CornerShape.MIRRORED,
}


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner of the stitching line, where an edge begins."""

    id: str
    shape: CornerShape = CornerShape.MITRED


@dataclass(frozen=True, slots=True)
class Profile:
    """How far an edge moves inwards along its normals, from place to place.

    Parameters
    ----------
    stations
        Arc length on the line that is moved and amount there, both mm, in order of the places. Smooth between, without ever
        leaving the range of the two amounts it runs between; constant beyond the outermost. Positive is inwards.
    straight
        Whether the amount runs straight through its two stations and beyond, so that a straight line stays straight.
    """

    stations: tuple[tuple[float, float], ...]
    straight: bool = False


@dataclass(frozen=True, slots=True)
class Ground:
    """The line that an edge was moved from, so that what moves it again is measured from the same line and adds up.

    It holds only as long as the edge's path is ``result``: whatever changes the path drops it without knowing of it.

    Parameters
    ----------
    line
        The stitching line before it was moved or cut to new corners.
    profiles
        By how much it has been moved so far; they add. Empty for a line that was only cut to new corners or run on to them.
    start, end
        Where ``result`` begins and ends on the moved line, mm of arc; negative, or beyond its length, where that was run on.
    result
        The path that came of it.
    """

    line: Path
    profiles: tuple[Profile, ...]
    start: float
    end: float
    result: Path


@dataclass(frozen=True, slots=True)
class Edge:
    """A named stretch of a piece's stitching line between two corners, counter-clockwise round the piece.

    Parameters
    ----------
    id
        Stable name within the piece, as ``side``.
    corner
        The corner where it begins.
    path
        The stitching line.
    allowance
        Distance from stitching to cutting line, mm.
    inlay
        Further width kept beyond the allowance for letting out, mm.
    fate
        What becomes of it; None is a finding unless a seam names the edge.
    ground
        The line it was moved from, if it was moved along its normals. It counts in comparisons, for the next alteration
        depends on it.
    """

    id: str
    corner: Corner
    path: Path
    allowance: float = 15.0
    inlay: float = 0.0
    fate: Fate | None = None
    ground: Ground | None = field(default=None, hash=False)  # equal edges have equal hashes without it, and sooner

    @property
    def margin(self) -> float:
        """From stitching to cutting line with the inlay, mm."""
        return self.allowance + self.inlay


class NotchKind(StrEnum):
    """How a notch is cut: by custom single in front and double behind."""

    SINGLE = "single"
    DOUBLE = "double"


@dataclass(frozen=True, slots=True)
class Notch:
    """A mark on an edge, ``at`` mm of arc from the start of the edge."""

    id: str
    edge: str
    at: float
    kind: NotchKind = NotchKind.SINGLE


class Pressed(StrEnum):
    """Which way the cloth of a sewn dart lies, seen along the edge it opens on."""

    START = "start"
    """Towards the start of the edge."""
    END = "end"
    """Towards the end of the edge."""
    OPEN = "open"
    """Slashed along its middle, and each half pressed to its own side."""
    BOX = "box"
    """Flattened over the seam, half of it to either side."""

    @property
    def flipped(self) -> Pressed:
        """The same on the mirror image of the piece, whose edges run the other way."""
        return {Pressed.START: Pressed.END, Pressed.END: Pressed.START}.get(self, self)


@dataclass(frozen=True, slots=True)
class Dart:
    """A wedge folded out of an edge. The edge's path runs across its open mouth.

    Both legs should be equally long. How the edge is to be cut so that the folded dart ends in the seam is said by the way it
    is pressed: see :func:`firsthand.pattern.dart_cap`.

    Parameters
    ----------
    edge, at
        The edge, and the arc length at the middle of the mouth, mm.
    width
        Width of the mouth: what the dart takes out of the edge, mm.
    apex
        Its point.
    pressed
        Which way it is pressed. By common practice upright darts are pressed towards the centre of the body and level ones
        down; a shape knows neither, so that it is said here by the way the edge runs.
    """

    id: str
    edge: str
    at: float
    width: float
    apex: Point
    pressed: Pressed = Pressed.START

    @property
    def mouth(self) -> tuple[float, float]:
        """Where its mouth begins and ends, arc lengths along its edge, mm."""
        return self.at - self.width / 2, self.at + self.width / 2


class PleatKind(StrEnum):
    """How a pleat is folded."""

    KNIFE = "knife"
    BOX = "box"
    INVERTED = "inverted"


@dataclass(frozen=True, slots=True)
class Pleat:
    """Cloth folded away at an edge.

    Parameters
    ----------
    edge, at
        The edge, and the arc length at the middle of the cloth taken up, mm.
    depth
        Depth of one fold at the edge, mm; a knife pleat takes up two of them, a box or inverted pleat four.
    towards_end
        Whether the fold is laid towards the end of the edge.
    reach
        How far in from the edge it stays closed (stitched or pressed flat), mm; 0 if it opens just below the edge.
    depths
        How deep one fold is further in, where that changes: pairs of the distance in from the edge, along the middle of the
        pleat, and the depth there, mm; in order. Between them the fold lines run straight; beyond the last the depth stays.
    towards
        A point that the middle of the pleat runs to from the edge; None if it runs square to the edge.
    """

    id: str
    edge: str
    at: float
    depth: float
    kind: PleatKind = PleatKind.KNIFE
    towards_end: bool = True
    reach: float = 0.0
    depths: tuple[tuple[float, float], ...] = ()
    towards: Point | None = None

    @property
    def folds(self) -> int:
        """How many times its depth it takes up. Source: NIMI *Dress Making* trade practical, pp. 203-204."""
        return 2 if self.kind is PleatKind.KNIFE else 4

    @property
    def take_up(self) -> float:
        """What it takes out of the edge, mm."""
        return self.depth * self.folds

    @property
    def mouth(self) -> tuple[float, float]:
        """Where its cloth begins and ends, arc lengths along its edge, mm."""
        return self.at - self.take_up / 2, self.at + self.take_up / 2

    @property
    def visible(self) -> float:
        """How wide a box pleat stands on the face, or how wide the cloth behind an inverted one is, mm; of a knife pleat the
        depth of its fold. Source: NIMI *Dress Making* trade practical, p. 204."""
        return self.depth * self.folds / 2

    def depth_at(self, distance: float) -> float:
        """Depth of one fold at a distance in from the edge, mm.

        Examples
        --------
        >>> shaped = Pleat("p", "waist", 100, 50, depths=((180.0, 40.0), (900.0, 26.0)))
        >>> [shaped.depth_at(distance) for distance in (0, 90, 180, 540, 1000)]
        [50.0, 45.0, 40.0, 33.0, 26.0]
        """
        last = (0.0, float(self.depth))
        for place, depth in self.depths:
            if distance < place:
                return last[1] + (depth - last[1]) * max(0.0, distance - last[0]) / (place - last[0])
            last = (place, float(depth))
        return last[1]


class InnerLineKind(StrEnum):
    """What a line inside a piece is for."""

    PLACEMENT = "placement"
    BUTTONHOLE = "buttonhole"
    EYELET = "eyelet"
    FOLD = "fold"
    STITCHING = "stitching"
    CUT_OUT = "cut-out"


@dataclass(frozen=True, slots=True)
class InnerLine:
    """A line inside the piece; a cut-out is closed and is cut."""

    id: str
    kind: InnerLineKind
    path: Path


@dataclass(frozen=True, slots=True)
class LevelLine:
    """The line of a level on one piece: it is taken to run on both ways to the edges."""

    level: str
    a: Point
    b: Point


@dataclass(frozen=True, slots=True)
class Shape:
    """The outline of a piece in one size, with its markings.

    Parameters
    ----------
    edges
        One closed loop, counter-clockwise; each edge begins where the one before ends.
    grain
        A line along the grain from its lower to its upper end; "up" is with the nap.
    """

    edges: tuple[Edge, ...]
    grain: tuple[Point, Point]
    notches: tuple[Notch, ...] = ()
    darts: tuple[Dart, ...] = ()
    pleats: tuple[Pleat, ...] = ()
    lines: tuple[InnerLine, ...] = ()
    levels: tuple[LevelLine, ...] = ()

    def edge(self, name: str) -> Edge:
        """The edge with an id.

        Raises
        ------
        NotThere
            If there is none.
        """
        for edge in self.edges:
            if edge.id == name:
                return edge
        raise NotThere("edge", name, (edge.id for edge in self.edges))

    @property
    def up(self) -> Point:
        """The direction of the grain, upwards."""
        return (self.grain[1] - self.grain[0]).unit()

    @property
    def outline(self) -> Path:
        """The whole stitching line as one closed path."""
        return Path.joined(edge.path for edge in self.edges)

    def with_edge(self, edge: Edge) -> Shape:
        """The same shape with the edge of that id exchanged."""
        self.edge(edge.id)
        return replace(self, edges=tuple(edge if old.id == edge.id else old for old in self.edges))
