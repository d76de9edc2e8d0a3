"""What a pattern and a garment are made of: pieces, parts, edges, seams. Knows no files.

Two ways of naming a stretch of boundary run through everything:

* an :class:`Edge` belongs to a piece and is named by its id within that piece;
* an :class:`EdgeRef` names an edge of one *part*: piece, hand, role and copy as well.

A pair is one piece and two parts. A piece is drawn as seen from the face of the fabric and, unless it says otherwise, as
worn on the wearer's right; the left part is its mirror image. A piece cut on the fold is stored as its half, the right one;
its part has the hand ``CENTRE``, and an :class:`EdgeRef` into it says with ``RIGHT`` or ``LEFT`` which half of the
opened-out part it means.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from firsthand.errors import NotThere
from firsthand.geometry import Path, Point

__all__ = [
    "Applied",
    "Closure",
    "ClosureKind",
    "Condition",
    "Corner",
    "CornerShape",
    "Cut",
    "Dart",
    "Edge",
    "EdgeRef",
    "Fate",
    "FateKind",
    "Garment",
    "Haberdashery",
    "Hand",
    "How",
    "InnerLine",
    "InnerLineKind",
    "Level",
    "LevelLine",
    "Notch",
    "NotchKind",
    "Opening",
    "Part",
    "PartState",
    "Pattern",
    "Piece",
    "Pleat",
    "PleatKind",
    "PrintedScale",
    "Rough",
    "Seam",
    "SeamKind",
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


class PartState(StrEnum):
    """How far a part is."""

    PLANNED = "planned"
    HELD_BACK = "held back"
    CUT = "cut"
    SEWN = "sewn"


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
    """

    id: str
    corner: Corner
    path: Path
    allowance: float = 15.0
    inlay: float = 0.0
    fate: Fate | None = None

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


@dataclass(frozen=True, slots=True)
class Dart:
    """A wedge folded out of an edge. The edge's path runs across its open mouth.

    Parameters
    ----------
    edge, at
        The edge, and the arc length at the middle of the mouth, mm.
    width
        Width of the mouth: what the dart takes out of the edge, mm.
    apex
        Its point.
    """

    id: str
    edge: str
    at: float
    width: float
    apex: Point


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
        Depth of one fold, mm; a knife pleat takes up two of them, a box or inverted pleat four.
    towards_end
        Whether the fold is laid towards the end of the edge.
    reach
        How far in from the edge it stays closed (stitched or pressed flat), mm; 0 if it opens just below the edge.
    """

    id: str
    edge: str
    at: float
    depth: float
    kind: PleatKind = PleatKind.KNIFE
    towards_end: bool = True
    reach: float = 0.0

    @property
    def take_up(self) -> float:
        """What it takes out of the edge, mm. Source: NIMI *Dress Making* trade practical, pp. 203-204."""
        return self.depth * (2.0 if self.kind is PleatKind.KNIFE else 4.0)


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
    def outline(self) -> Path:
        """The whole stitching line as one closed path."""
        return Path.joined(edge.path for edge in self.edges)

    def with_edge(self, edge: Edge) -> Shape:
        """The same shape with the edge of that id exchanged."""
        self.edge(edge.id)
        return replace(self, edges=tuple(edge if old.id == edge.id else old for old in self.edges))


class How(StrEnum):
    """How copies of a piece are cut."""

    PAIR = "pair"
    """A left and a right for each count."""
    FOLD = "fold"
    """Opened out along its fold edge."""
    SINGLE = "single"
    """As drawn."""


@dataclass(frozen=True, slots=True)
class Cut:
    """How many of a piece are cut of what: ``count`` pairs, opened-out pieces or single ones."""

    role: str
    how: How = How.PAIR
    count: int = 1


class Condition(StrEnum):
    """What became of a printed piece before it came here."""

    WHOLE = "whole"
    TORN = "torn"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class Rough:
    """Size of a piece that is only a card, with allowances: along the grain x across it, mm (opened out if on the fold)."""

    length: float
    width: float


@dataclass(frozen=True, slots=True)
class Piece:
    """One flat shape of a pattern; without a shape it is only a card.

    Parameters
    ----------
    id, number, name
        Stable id, the number printed on it, its name.
    cuts
        What is cut of it.
    rough
        Its rough size for each size of the pattern, for pieces that are only cards.
    sizes
        The outlines as they were bought, one for each size still there.
    size
        The size chosen; None before a choice.
    shape
        The outline as altered so far; None for a card.
    fold
        The id of the edge that lies on the fold; empty if none.
    drawn
        The hand it is drawn for.
    condition
        What became of the printed piece.
    turning
        Whether it may lie upside down (turned by half a circle) on a fabric without nap.
    grain_tolerance
        How far the grain may be off, radians.
    """

    id: str
    number: str
    name: str
    cuts: tuple[Cut, ...]
    rough: Mapping[str, Rough] = field(default_factory=dict)
    sizes: Mapping[str, Shape] = field(default_factory=dict)
    size: str | None = None
    shape: Shape | None = None
    fold: str = ""
    drawn: Hand = Hand.RIGHT
    condition: Condition = Condition.WHOLE
    turning: bool = True
    grain_tolerance: float = 0.0

    @property
    def bought(self) -> Shape | None:
        """The outline of the chosen size as it was bought."""
        return self.sizes.get(self.size) if self.size else None

    @property
    def is_card(self) -> bool:
        """Whether it has no outline yet."""
        return self.shape is None

    def in_size(self, size: str) -> Piece:
        """The piece in a size, unaltered; a card if that size has no outline."""
        return replace(self, size=size, shape=self.sizes.get(size))

    @property
    def drawn_shape(self) -> Shape:
        """The shape.

        Raises
        ------
        NotThere
            If the piece is only a card.
        """
        if self.shape is None:
            raise NotThere("outline", self.id)
        return self.shape


@dataclass(frozen=True, slots=True, order=True)
class EdgeRef:
    """An edge of one part. On a piece cut on the fold the hand says which half."""

    piece: str
    edge: str
    hand: Hand = Hand.CENTRE
    role: str = "shell"
    copy: int = 1

    def __str__(self) -> str:
        words = [f"{self.piece}.{self.edge}"]
        words += [self.hand.value] if self.hand is not Hand.CENTRE else []
        words += [self.role] if self.role != "shell" else []
        words += [f"no. {self.copy}"] if self.copy != 1 else []
        return " ".join(words)


class SeamKind(StrEnum):
    """How two edges are joined."""

    PLAIN = "plain"
    GATHERED = "gathered"
    PLEATED = "pleated"
    STRETCHED = "stretched"
    LAPPED = "lapped"


@dataclass(frozen=True, slots=True)
class Seam:
    """Joins edges of parts: the chain ``a`` to the chain ``b``, both in the order in which they are sewn.

    The seam fits when ``sewn length of a == ratio * sewn length of b + easing``, within ``tolerance``. All edges of a
    chain are walked the same way round their parts; which way is seen from their order.

    Parameters
    ----------
    easing
        How much longer ``a`` is and is eased in, mm.
    ratio
        Fullness of a gathered ``a``, or below 1 for an ``a`` that is stretched to ``b``.
    reverse_b
        Two edges that both run counter-clockwise round their parts meet head to tail, so ``b`` is walked backwards;
        False where that is not so (a lapped band laid on top).
    after
        Ids of seams that must be sewn before, beyond what the geometry tells.
    """

    id: str
    a: tuple[EdgeRef, ...]
    b: tuple[EdgeRef, ...]
    kind: SeamKind = SeamKind.PLAIN
    easing: float = 0.0
    ratio: float = 1.0
    tolerance: float = 1.5
    reverse_b: bool = True
    take_in: bool = False
    """Whether the fit may be changed here."""
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Level:
    """A line across parts at a body landmark, along which the finished girth is summed.

    Parameters
    ----------
    body
        Key of the body measurement it is compared with.
    limb
        Whether there is one on each side of the body (thigh, wrist); the girth is then that of one side.
    extra
        What a closure adds (a laced gap) or takes (an overlap), mm.
    """

    id: str
    name: str
    body: str
    limb: bool = False
    extra: float = 0.0


class ClosureKind(StrEnum):
    """What a closure is."""

    BUTTONS = "buttons"
    LACING = "lacing"
    DRAWSTRING = "drawstring"
    CLASP = "clasp"
    HOOKS = "hooks"
    SNAPS = "snaps"
    ZIP = "zip"
    ELASTIC = "elastic"
    TAPE = "hook-and-loop"


@dataclass(frozen=True, slots=True)
class Closure:
    """How an opening is closed.

    Parameters
    ----------
    edges
        The edges that meet in it.
    count
        Buttons, hooks, pairs of eyelets.
    overlap
        How far one side lies over the other, mm; negative for a gap left open by lacing.
    alone
        Whether the wearer can close it without help.
    parts_under_pull
        Whether it comes apart when it is pulled hard; wanted for anything round the neck.
    at_neck
        Whether it closes round the neck.
    """

    id: str
    kind: ClosureKind
    edges: tuple[EdgeRef, ...] = ()
    count: int = 0
    overlap: float = 0.0
    alone: bool = True
    parts_under_pull: bool = False
    at_neck: bool = False


@dataclass(frozen=True, slots=True)
class Opening:
    """A hole that stays when all seams are sewn: its edges, in any order, and the closure that shuts it, if any."""

    id: str
    edges: tuple[EdgeRef, ...]
    closure: str = ""


@dataclass(frozen=True, slots=True)
class Applied:
    """A piece laid flat on the face of another one and sewn down: a pocket, a badge, a patch.

    Parameters
    ----------
    piece
        The piece that is laid on.
    onto
        The piece that it is laid on.
    line
        Id of the inner line of ``onto`` that shows where; empty if nothing does.
    role
        The role of the parts of ``onto`` that carry it.
    hand
        The hand of ``onto`` that carries it, for one of which there is only one; centre where each lies on the part of its own
        hand, or there is only one part beneath.
    """

    piece: str
    onto: str
    line: str = ""
    role: str = "shell"
    hand: Hand = Hand.CENTRE


@dataclass(frozen=True, slots=True)
class Haberdashery:
    """Something small that a pattern needs.

    Parameters
    ----------
    kind
        ``button``, ``eyelet``, ``cord``, ``elastic``, ``hook``, ``clasp``, ``ribbon``, ``tape``...
    count
        How many pieces.
    length
        Total length of what is sold by length, mm.
    size
        As it is asked for in a shop: ``15 mm``, ``6 mm brass``.
    """

    kind: str
    count: int = 0
    length: float = 0.0
    size: str = ""
    colour: str = ""


@dataclass(frozen=True, slots=True)
class PrintedScale:
    """A test line: what it says it measures and what a ruler says, mm."""

    printed: float
    measured: float


@dataclass(frozen=True, slots=True)
class Pattern:
    """A set of pieces in one or more sizes.

    Parameters
    ----------
    sizes
        All sizes printed on the envelope, smallest first.
    trimmed
        Those that are no longer on the paper.
    chart
        Body measurements each size is meant for, mm by key.
    expects_stretch
        Least crosswise stretch of the fabric it was made for, as a share.
    expects_thickness
        Greatest thickness of that fabric, mm; 0 if not said.
    haberdashery
        What else it needs.
    applied
        Pieces that are laid on others.
    """

    id: str
    name: str
    sizes: tuple[str, ...]
    pieces: Mapping[str, Piece]
    seams: tuple[Seam, ...] = ()
    levels: tuple[Level, ...] = ()
    closures: tuple[Closure, ...] = ()
    openings: tuple[Opening, ...] = ()
    haberdashery: tuple[Haberdashery, ...] = ()
    chart: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    trimmed: tuple[str, ...] = ()
    scale: PrintedScale | None = None
    expects_stretch: float = 0.0
    expects_thickness: float = 0.0
    applied: tuple[Applied, ...] = ()


@dataclass(frozen=True, slots=True, order=True)
class Part:
    """One cut instance of a piece.

    Examples
    --------
    >>> Part("front", Hand.LEFT, "lining").id
    'front left lining'
    """

    piece: str
    hand: Hand
    role: str
    copy: int = 1
    state: PartState = PartState.PLANNED

    @property
    def id(self) -> str:
        """Stable id."""
        number = f" no. {self.copy}" if self.copy != 1 else ""
        return f"{self.piece} {self.hand.value} {self.role}{number}"


@dataclass(frozen=True, slots=True)
class Garment:
    """One thing worn: a pattern in a size, its roles bound to fabrics, with all its parts.

    Parameters
    ----------
    roles
        The fabric's id for each role.
    cut
        How closely it is meant to sit: ``skin-tight``, ``close``, ``semi-fitted``, ``loose`` or ``over-garment``.
    sort
        What sort of garment it is for tables of ease: ``hose``, ``jerkin``, ``shirt``, ``skirt``, ``cape``, ``hood``...
    over
        Ids of garments that are worn beneath it.
    applied
        Pieces that are laid on others.
    """

    id: str
    name: str
    pattern: str
    size: str
    pieces: Mapping[str, Piece]
    parts: tuple[Part, ...]
    seams: tuple[Seam, ...] = ()
    levels: tuple[Level, ...] = ()
    closures: tuple[Closure, ...] = ()
    openings: tuple[Opening, ...] = ()
    haberdashery: tuple[Haberdashery, ...] = ()
    roles: Mapping[str, str] = field(default_factory=dict)
    cut: str = "semi-fitted"
    sort: str = ""
    over: tuple[str, ...] = ()
    applied: tuple[Applied, ...] = ()

    def piece(self, name: str) -> Piece:
        """The piece with an id.

        Raises
        ------
        NotThere
            If there is none.
        """
        if name not in self.pieces:
            raise NotThere("piece", name, self.pieces)
        return self.pieces[name]

    def with_piece(self, piece: Piece) -> Garment:
        """The same garment with the piece of that id put in or exchanged."""
        return replace(self, pieces={**self.pieces, piece.id: piece})

    def parts_of(self, piece: str) -> tuple[Part, ...]:
        """All parts cut from a piece."""
        return tuple(part for part in self.parts if part.piece == piece)
